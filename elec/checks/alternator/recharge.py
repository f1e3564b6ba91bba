"""Is there current left to charge the battery?"""

from collections.abc import Iterator

from elec.answers.loads.margins import Margin, margins, the
from elec.answers.time.endurance import batteries, cruise_phase
from elec.check import check
from elec.checks.answer import amps, answer, percent
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit
from elec.working import within


@check(
    "Cruise leaves enough to charge the battery",
    sources=(Cite("trade", "recharge reserve", "seen"),),
    limits=("spare-current-share",),
)
def alternator_recharge(study: Study) -> Iterator[Finding]:
    """The start, the taxi and a night outside cost charge; it has to come back on the flight.

    A fifth of the rated output should be left in cruise; enough to charge the battery in one hour
    is better still (18 A for 18 Ah). Less load, or a larger alternator.
    """
    cruise = cruise_phase(study) if study.document.phases else ""
    for found in margins(study):
        if found.phase == cruise and batteries(study):
            yield _finding(study, found)


def _finding(study: Study, found: Margin) -> Finding:
    rule = limit(study, "spare-current-share")
    title = study.system.title("phases", found.phase)
    name = the(study, found.sources)
    at = ("sources", found.sources[0])
    spare_a, rated_a = found.spare_a, found.rated_a
    if spare_a is None or rated_a is None or not found.share.solved:
        return answer(
            study,
            found.about,
            Verdict.CANNOT_TELL,
            f"What {name} has left in {title} is not known, for its output or the engine speed is "
            "not given.",
            at=at,
            remedy="Give the alternator's output over engine speed, and the speed of the phase.",
        )
    counted = " Loads of unknown current are not counted." if found.unknown else ""
    capacity = sum(battery.capacity_ah for battery in batteries(study).values())
    some = not within(spare_a, 0.0)
    hours = (
        f" In an hour that is {spare_a:.0f} Ah; the batteries hold {capacity:g} Ah."
        if some
        else " The battery is never charged there."
    )
    return compare(
        study,
        found.about,
        at=at,
        value=spare_a,
        limit=rule.value * rated_a,
        rule=rule.bound,
        unit="A",
        digits=1,
        otherwise=Verdict.ADVISE,
        unsure=(Verdict.PASS,) if found.unknown else (),
        says=lambda spare, least: (
            f"{title}, {found.condition}: {f'{spare} are' if some else 'nothing is'} left "
            f"of the {amps(found.can_a)} that {name} gives; {least} are asked, "
            f"{percent(rule.value)} of the rating.{hours}{counted}"
        ),
        remedy="Take load off in cruise, or fit a larger alternator.",
        ask="Read the missing currents off the labels, or measure them.",
        named=(rule,),
        working=lambda: found.left,
    )
