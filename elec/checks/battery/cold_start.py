"""Does the voltage hold in a start on a cold day?

What browns out or resets is said by `answers.time.cranking`: two numbers and a time each.
"""

import math
from collections.abc import Iterator

from elec.answers.time.cranking import LoadDip, without_starter
from elec.answers.time.flight import flights
from elec.answers.time.starts import Start, starts
from elec.check import check
from elec.checks.answer import answer, apart, listed, millis
from elec.checks.battery._starter import no_current
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.sources import has_alternator
from elec.working import within


@check(
    "What is on while the starter turns keeps enough voltage also on a cold day",
    sources=(
        Cite("sae_j537", "voltage while cranking", "quoted"),
        Cite("elec", "days", "judgement"),
    ),
    deep=True,
    given="a starter on equipment",
)
def battery_cold_start(study: Study) -> Iterator[Finding]:
    """In the cold a battery's resistance is a third higher, and it may not be quite full.

    Both parts of the start are asked: the first turn, in which boxes reset that do not ride through
    it, and the turning, in which what gets too little browns out. What must ride through fails;
    anything else is advice: leave it off, or warm the battery. Give the battery's coldest.
    """
    missing = without_starter(study)
    every = [one for one in starts(study) if one.day.name == "cold" and one.loads]
    if every:
        yield _finding(study, every)
    elif missing and flights(study) is not None:
        if (silent := no_current(study, "cold start", missing[0])) is not None:
            yield silent
    elif not starts(study) and flights(study) is not None and has_alternator(study):
        yield _silent(study)


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
    loads = [(one, load) for one in every for load in one.loads]
    low = [pair for pair in loads if pair[1].browns_out or _resets(pair[1])]
    open_ = [pair for pair in loads if _may_reset(pair[1])]
    one, worst = min(low or open_ or loads, key=lambda pair: _over(pair[1]))
    degrees = min(one.day.battery_degc.values())
    text = f"At {degrees:.0f} °C "
    if low:
        hard = any(study.document.equipment[load.equipment].essential for _, load in low)
        verdict = Verdict.FAIL if hard else Verdict.ADVISE
        text += f"too little is left for {_names(study, low)}. The worst is "
    elif open_:
        verdict = Verdict.CANNOT_TELL
        text += f"the first turn may reset {_names(study, open_)}. The worst is "
    else:
        verdict = Verdict.PASS
        text += "the closest is "
    volts, least = apart(worst.turning_v, worst.minimum_v, "V", 1)
    title = study.system.title("equipment", worst.equipment)
    lasts = f"{millis(worst.first_s)}{', assumed' if worst.assumed else ''}"
    text += (
        f"{title}: {volts} while the starter turns, {worst.first_v:.1f} V in its first turn "
        f"({lasts}){_rides(worst)}; it works down to {least}."
    )
    asked = ""
    if verdict is Verdict.CANNOT_TELL:
        asked = "Give rides-through of what may reset"
        asked += ", and inrush of the starter. " if worst.assumed else ". "
    return answer(
        study,
        "cold start",
        verdict,
        text,
        at=("phases", one.phase),
        remedy=f"{asked}Leave it off in that phase (on:), feed it from a battery that does not "
        "crank, take thicker battery cables, or warm the battery.",
        value=worst.turning_v if worst.browns_out or not (low or open_) else worst.first_v,
        limit=worst.minimum_v,
        unit="V",
    )


def _names(study: Study, pairs: list[tuple[Start, LoadDip]]) -> str:
    return listed(dict.fromkeys(study.system.title("equipment", d.equipment) for _, d in pairs))


def _rides(load: LoadDip) -> str:
    if within(load.first_v, load.minimum_v, "at least") or load.rides_s is None:
        return ""
    if load.rides_s == math.inf:
        return ", which only slows or dims it"
    return f", of which it rides through {millis(load.rides_s)}"


def _resets(load: LoadDip) -> bool:
    return load.resets is True and not load.assumed


def _may_reset(load: LoadDip) -> bool:
    return not load.browns_out and (load.resets is None or (load.resets and load.assumed))


def _over(load: LoadDip) -> float:
    """How far above its minimum; the first turn counts where it could stop it."""
    turning = load.turning_v - load.minimum_v
    return min(turning, load.first_v - load.minimum_v) if load.resets is not False else turning
