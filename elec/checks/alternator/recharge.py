"""Is there current left to charge the battery?"""

from collections.abc import Iterator

from elec.analyses.endurance import batteries, cruise_phase
from elec.analyses.limits import limit
from elec.analyses.margins import Margin, margins, the
from elec.check import check
from elec.checks.answer import amps, answer, apart, passes, percent, tightened
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


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
    if found.spare_a is None or found.rated_a is None or not found.share.solved:
        return answer(
            study,
            found.about,
            Verdict.CANNOT_TELL,
            f"What {name} has left in {title} is not known, for its output or the engine speed is "
            "not given.",
            at=("sources", found.sources[0]),
            remedy="Give the alternator's output over engine speed, and the speed of the phase.",
        )
    capacity = sum(battery.capacity_ah for battery in batteries(study).values())
    wanted = rule.value * found.rated_a
    spare, least = apart(found.spare_a, wanted, "A", 1)
    good = found.spare_a >= wanted * (1 - 1e-9)
    verdict = passes(good, Verdict.ADVISE)
    if good and found.unknown:
        verdict = Verdict.CANNOT_TELL
    left = f"{spare} are left" if found.spare_a >= 0 else "nothing is left"
    hours = (
        f" In an hour that is {found.spare_a:.0f} Ah; the batteries hold {capacity:g} Ah."
        if found.spare_a > 0
        else " The battery is never charged there."
    )
    return answer(
        study,
        found.about,
        verdict,
        f"{title}, {found.condition}: {left} of the {amps(found.can_a or 0.0)} that "
        f"{name} gives; {least} are asked, {percent(rule.value)} of the "
        f"rating.{hours}{tightened(rule)}"
        + (" Loads of unknown current are not counted." if found.unknown else ""),
        at=("sources", found.sources[0]),
        remedy=(
            "Read the missing currents off the labels, or measure them."
            if good
            else "Take load off in cruise, or fit a larger alternator."
        ),
        value=found.spare_a,
        limit=wanted,
        unit="A",
        working=lambda: found.left,
    )
