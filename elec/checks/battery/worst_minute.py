"""Does the battery last wherever in the flight the alternator is lost?"""

from collections.abc import Iterator

from elec.answers.time.endurance import endurance
from elec.answers.time.endurance_limit import endurance_limit
from elec.answers.time.flight import flights
from elec.answers.time.loss import UNTIL, Loss, Losses, losses
from elec.check import check
from elec.checks.answer import lasts, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.units import whole_minutes


@check(
    "The battery lasts also when the alternator is lost at the worst minute",
    sources=(
        Cite("cfr_23", "23.1353(h)", "memory"),
        Cite("elec", "flight over time", "judgement"),
    ),
    limits=("endurance", "endurance-high"),
)
def battery_worst_minute(study: Study) -> Iterator[Finding]:
    """After the start and a long taxi the battery is not full, and that is when you take off.

    The whole flight is followed on a cold, a usual and a hot day, the alternator is taken away all
    along it, and the worst is looked for, a landing included. Taxi faster, switch heavy loads on
    later, shed more, or fit a larger battery.
    """
    found = losses(study)
    if found is not None:
        yield _finding(study, found)


def _finding(study: Study, found: Losses) -> Finding:
    alone, whole = endurance(study), flights(study)
    assert alone is not None  # noqa: S101 - nothing is lost where it is not known
    limit = endurance_limit(study, alone).minutes
    worst = found.worst
    minutes = worst.lasts_s / 60
    held, asked = lasts(minutes, limit)
    title = study.system.title("phases", worst.phase)
    unknown = () if whole is None else whole.unknown + whole.unknown_output
    names = listed(one.replace("-", " ") for one in unknown)
    text = (
        f"Lost {whole_minutes(worst.into_s / 60)} min into {title} on a {worst.day.title} by "
        f"{found.condition}, the battery then lasts {held}{_until(study, worst)}; {asked} are "
        "asked. "
        f"Its charge was {100 * min(worst.charge):.0f} %."
    )
    return compare(
        study,
        "worst minute",
        at=("phases", worst.phase),
        value=minutes,
        limit=limit,
        rule="at least",
        unit="min",
        unsure=(Verdict.PASS,) if unknown else (),
        says=f"{text} Not known, and not counted: {names}." if unknown else text,
        fault=text,
        remedy=_remedy(study, worst),
        ask="Give the missing currents, engine speeds and the alternator's output.",
    )


def _until(study: Study, worst: Loss) -> str:
    """What ends it."""
    if worst.ends_with not in study.document.equipment:
        return f", {UNTIL[worst.ends_with]}" if worst.ends_with else ""
    return f", until {study.system.title('equipment', worst.ends_with)} falls below its voltage"


def _remedy(study: Study, worst: Loss) -> str:
    if worst.ends_with in study.document.equipment:
        title = study.system.title("equipment", worst.ends_with)
        return (
            f"The voltage ends it, not the charge alone: have less on at that minute, thicker "
            f"wires to {title}, a battery of less resistance, or see at which voltage it still "
            "works (minimum). Faster on the ground and a larger battery help, too."
        )
    if worst.ends_with == "battery over its limit":
        return "Have less on at that minute (shed: at once), or fit a battery that gives more."
    return (
        "Keep the engine faster on the ground, switch heavy loads on later, shed more "
        "(shed: at once), or fit a larger battery."
    )
