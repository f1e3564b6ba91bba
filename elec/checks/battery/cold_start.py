"""Does the voltage hold in a start on a cold day?"""

from collections.abc import Iterator

from elec.analyses.flight import flights
from elec.analyses.starts import Start, StartLoad, starts
from elec.check import check
from elec.checks.answer import answer, apart, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "What is on while the starter turns keeps enough voltage also on a cold day",
    sources=(
        Cite("sae_j537", "voltage while cranking", "quoted"),
        Cite("elec", "days", "judgement"),
    ),
    deep=True,
)
def battery_cold_start(study: Study) -> Iterator[Finding]:
    """In the cold a battery's resistance is a third higher, and it may not be quite full.

    What browns out only then restarts in the middle of the start. What must ride through fails;
    anything else is advice: leave it off, or warm the battery. Give the battery's coldest.
    """
    every = [one for one in starts(study) if one.day.name == "cold" and one.loads]
    if not every:
        if starts(study):
            return  # nothing is on while it cranks
        if flights(study) is not None and any(
            source.kind == "alternator" for source in study.document.sources.values()
        ):
            yield _silent(study)
        return
    yield _finding(study, every)


def _silent(study: Study) -> Finding:
    return answer(
        study,
        "cold start",
        Verdict.CANNOT_TELL,
        "No phase has engine: cranking, so a start on a cold day is not worked out.",
        at=("phases",),
        remedy="Add a phase such as start: {lasts: 15 s, engine: cranking}, and the starter as a "
        "load in it.",
    )


def _finding(study: Study, every: list[Start]) -> Finding:
    one = min(every, key=lambda start: min(_over(load) for load in start.loads))
    worst = min(one.loads, key=_over)
    degrees = min(one.day.battery_degc.values())
    low = one.brown_outs()
    entries = study.document.equipment
    volts, least = apart(worst.voltage_v, worst.minimum_v, "V", 1)
    title = study.system.title("equipment", worst.equipment)
    if not low:
        text = f"At {degrees:.0f} °C the closest is {title}: {volts}; it works down to {least}."
        verdict = Verdict.PASS
    else:
        names = listed(study.system.title("equipment", load.equipment) for load in low)
        text = (
            f"At {degrees:.0f} °C too little is left for {names}. The worst is {title}: {volts}; "
            f"it works down to {least}."
        )
        hard = any(entries[load.equipment].essential for load in low)
        verdict = Verdict.FAIL if hard else Verdict.ADVISE
    return answer(
        study,
        "cold start",
        verdict,
        text,
        at=("phases", one.phase),
        remedy="Leave it off in that phase (on:), feed it from a battery that does not crank, take "
        "thicker battery cables, or warm the battery.",
        value=worst.voltage_v,
        limit=worst.minimum_v,
        unit="V",
    )


def _over(load: StartLoad) -> float:
    return load.voltage_v - load.minimum_v
