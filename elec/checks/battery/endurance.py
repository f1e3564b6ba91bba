"""Does the battery last until you are on the ground?"""

from collections.abc import Iterator

from elec.answers.failures.planned import plan_with
from elec.answers.time.alone import LONGEST_S
from elec.answers.time.endurance import Endurance, endurance
from elec.answers.time.endurance_limit import EnduranceLimit, endurance_limit, reserve_min
from elec.check import check
from elec.checks.answer import amps, answer, lasts, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.units import whole_minutes


@check(
    "The battery carries what is essential long enough to land",
    sources=(Cite("cfr_23", "23.1353(h)", "memory"), Cite("retrofit", "endurance form", "seen")),
    limits=("endurance", "endurance-high"),
)
def battery_endurance(study: Study) -> Iterator[Finding]:
    """When the alternator dies in cloud at night, this is the time you have.

    Two answers are worked out and the shorter counts: the ampere-minute sum of the published form
    (five minutes until you notice, or until the warning comes on where that is later, and ten for
    the landing), and a simulation of the same with the battery's age, cold, Peukert's law and
    sinking voltage. Shed more, move loads off the essential bus, or fit a larger battery.
    Without an alternator the battery has to last for the whole flight. Test it on the ground.
    """
    found = endurance(study)
    if found is not None:
        yield _finding(study, found, endurance_limit(study, found))


def _finding(study: Study, found: Endurance, rule: EnduranceLimit) -> Finding:
    at = ("sources", (found.batteries or tuple(study.document.sources))[0])
    about = "battery"
    if found.minutes is None:
        return answer(
            study,
            about,
            Verdict.CANNOT_TELL,
            "How long the battery lasts cannot be told: after the failure nothing draws from it.",
            at=at,
            remedy="Mark what you need as essential, and see that a feeder leads there from the "
            "battery.",
            limit=rule.minutes,
            unit="min",
            working=lambda: found.hand,
        )
    reserve = reserve_min(study, found) or 0.0
    minutes, asked = lasts(found.minutes, rule.minutes)
    return compare(
        study,
        about,
        at=at,
        value=found.minutes,
        limit=rule.minutes,
        rule="at least",
        unit="min",
        fails=rule.minutes - reserve,
        unsure=(Verdict.PASS,) if found.unknown else (),
        says=f"{minutes} of {asked} asked ({rule.why}). {_both(study, found)}{_more(reserve)}",
        remedy=_remedy(found),
        working=lambda: found.hand,
    )


def _more(reserve_min: float) -> str:
    if not reserve_min:
        return ""
    return f" The battery that stands by lasts {whole_minutes(reserve_min)} min more."


def _both(study: Study, found: Endurance) -> str:
    hand = "no answer" if found.hand_min is None else f"{whole_minutes(found.hand_min)} min"
    if found.hand_min is not None and found.hand_min > LONGEST_S / 60:
        hand = f"more than {whole_minutes(LONGEST_S / 60)} min"
    more = "more than " if found.longest else ""
    simulated = (
        f"{more}{whole_minutes(found.simulated_min)} min"
        if found.simulated_min is not None
        else "no answer"
    )
    ends = found.ends_with
    if ends in study.document.equipment:
        ends = f"{study.system.title('equipment', ends)} falls below its voltage"
    title = study.system.title("phases", found.cruise)
    degrees = listed(f"{t:.0f} °C" for t in dict.fromkeys(found.day.battery_degc.values()))
    landing = ""
    if found.landing_s is not None:
        landing = f" with a landing as in {study.system.title('phases', found.landing)}"
    text = f"By ampere-minutes {hand}, simulated at {degrees}{landing} {simulated}"
    text += f" ({ends})" if ends else ""
    text += f"; {title}, {found.condition}, from {listed(found.batteries)}."
    if found.warned:
        text += f" The warning comes on after {found.seen_s / 60:.0f} min only."
    if found.unknown:
        names = listed(study.system.title("equipment", name) for name in found.unknown)
        text += f" Not counted, for its current is not known: {names}."
    return f"{text} {plan_with(study)}".rstrip()


def _remedy(found: Endurance) -> str:
    if found.unknown:
        return "Read the missing currents off the labels, or measure them."
    if not found.alternator:
        return "Change over in time, carry a larger battery, or switch off what you can do without."
    shed = next((s for s in found.samples if s.time_s > found.seen_s), None)
    drawn = " It ends before anything is shed."
    if shed is not None:
        drawn = f" After shedding {amps(shed.current_a)} are drawn."
    return (
        "Shed more (shed: at once), move what is not essential to another bus, or fit a larger "
        f"battery.{drawn}"
    )
