"""What does cranking do to the loads that are on?"""

import math
from collections.abc import Iterator

from elec.answers.time.cranking import Crank, LoadDip, cranks, start_dips, without_starter
from elec.answers.time.endurance import batteries
from elec.check import check
from elec.checks.answer import amps, answer, apart, listed, millis
from elec.checks.battery._starter import no_current
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.model.source import Lithium
from elec.sizing.order import cranking
from elec.standards import Cite, default
from elec.study import Study
from elec.wiring.sources import has_alternator
from elec.working import within


@check(
    "What is on in the start keeps enough voltage, and the battery gives the current",
    sources=(
        Cite("sae_j537", "voltage while cranking", "quoted"),
        Cite("do_160", "section 16", "memory"),
        Cite("iso_7637_2", "pulse 4", "quoted"),
    ),
    given="a starter on equipment",
)
def battery_start(study: Study) -> Iterator[Finding]:
    """The starter pulls the bus down: boxes restart, an engine computer misfires.

    A start has two parts. In the first turn the rotor still stands, and for some tens of
    milliseconds two to four times the running current flows (`inrush:` of the starter): what gets
    less than it works at resets, unless it rides through so long (`rides-through`, ask its maker).
    Then the starter turns for seconds: what gets less than it works at browns out. What must ride
    through (ignition, engine computer, display) fails; anything else is advice: leave it off in the
    start phase. A management system that lets less through than the starter draws opens, and every
    bus that its battery feeds is dark.
    """
    turning = cranking(study)
    if not turning:
        if has_alternator(study):
            yield _silent(study)
        return
    for phase in without_starter(study):
        if (silent := no_current(study, phase, phase)) is not None:
            yield silent
    for found in start_dips(study).values():
        yield _finding(study, found)
    for one in cranks(study):
        yield from _limits(study, one)
        yield _buses(study, one)


def _silent(study: Study) -> Finding:
    usual, time = default("crank-current"), default("crank-time")
    return answer(
        study,
        "start",
        Verdict.CANNOT_TELL,
        "No phase has engine: cranking, so what the starter does to the voltage is not worked out.",
        at=("phases",),
        remedy="Add a phase such as start: {lasts: 15 s, engine: cranking}, and the starter as a "
        f"load in it; usual are {usual.value:g} A for {time.value:g} s ({usual.cite.remark}).",
    )


def _finding(study: Study, found: LoadDip) -> Finding:
    title = study.system.title("equipment", found.equipment)
    at = ("equipment", found.equipment)
    if not found.computed:
        return answer(
            study,
            found.equipment,
            Verdict.CANNOT_TELL,
            f"{title}: the voltage while the starter turns could not be computed.",
            at=at,
            remedy="Look for a source or wire of no resistance, and report it.",
            limit=found.minimum_v,
            unit="V",
        )
    low = found.turning_v if found.browns_out else found.first_v
    return answer(
        study,
        found.equipment,
        _verdict(study, found),
        _sentence(title, found),
        at=at,
        remedy=_remedy(found),
        value=low,
        limit=found.minimum_v,
        unit="V",
    )


def _verdict(study: Study, found: LoadDip) -> Verdict:
    """What browns out or resets is said by `answers.time.cranking`: two numbers and a time."""
    if not found.browns_out and found.resets is False:
        return Verdict.PASS
    if not found.browns_out and (found.resets is None or found.assumed):
        return Verdict.CANNOT_TELL
    essential = study.document.equipment[found.equipment].essential
    return Verdict.FAIL if essential else Verdict.ADVISE


def _sentence(title: str, found: LoadDip) -> str:
    volts, least = apart(found.turning_v, found.minimum_v, "V", 1)
    least = least if found.given else f"{least} (assumed)"
    first, _ = apart(found.first_v, found.minimum_v, "V", 1)
    lasts = f"{millis(found.first_s)}{', assumed' if found.assumed else ''}"
    if found.browns_out:
        return f"{title} browns out: {volts} while the starter turns; it works down to {least}."
    keeps = f"{volts} while the starter turns, {first} in its first turn ({lasts})"
    works = f"it works down to {least}"
    if within(found.first_v, found.minimum_v, "at least"):
        return f"{title} keeps {keeps}; {works}."
    if found.rides_s is None:
        return f"{title} may reset: {keeps}; {works}, and how long it rides through is not known."
    if found.resets:
        return f"{title} resets: {keeps}; {works}, and rides through {millis(found.rides_s)}."
    return f"{title} rides through: {keeps}; {works}."


def _remedy(found: LoadDip) -> str:
    asked = "" if found.given else "Give its minimum from its maker. "
    if not found.browns_out and found.rides_s is None:
        asked += "Ask its maker how long it runs on below that and give rides-through: 80 ms. "
    if found.assumed:
        asked += "Give the starter's inrush, as {factor: 3, lasts: 40 ms}. "
    return (
        f"{asked}Leave it off in that phase (on:), feed it from a battery that does not crank, or "
        "take thicker battery cables."
    )


def _limits(study: Study, one: Crank) -> Iterator[Finding]:
    """Management systems against the current of the start."""
    for name, battery in batteries(study).items():
        if isinstance(battery, Lithium) and one.turning.battery_a.get(name, 0.0) > 1.0:
            yield _limit(study, one, name, battery)


def _limit(study: Study, one: Crank, name: str, battery: Lithium) -> Finding:
    title = study.system.title("sources", name)
    title = f"{title[:1].upper()}{title[1:]}"
    turning, first = one.turning.battery_a[name], one.first.battery_a[name]
    gives = (
        f"{title} gives {amps(first)} in the first turn ({millis(one.first_s)}"
        f"{', assumed' if one.assumed else ''}) and {amps(turning)} while the starter turns"
    )
    remedy = (
        "Take a battery whose management system lets the starter's current through, or another "
        "battery for the start."
    )
    limit, after = battery.limit_a, battery.opens_after_s
    over = limit is not None and not within(turning, limit)
    rides = (
        limit is not None
        and after is not None
        and not within(first, limit)
        and within(after, one.first_s, "at least")
    )
    opens = f"{gives}; its management system opens at {amps(limit)} (limit)"
    fault = f"{opens} in the first turn, and every bus that it feeds is dark."
    if over:
        fault = f"{opens}, and every bus that it feeds is dark."
    elif after is None:
        fault = f"{opens}, and whether it waits for the end of the first turn is not known."
    return compare(
        study,
        name,
        at=("sources", name),
        value=turning if over or rides else max(turning, first),
        limit=limit,
        unit="A",
        says=f"{opens}, and waits longer than the first turn lasts."
        if rides
        else f"{gives}; its management system lets {amps(limit)} through.",
        fault=fault,
        remedy=remedy,
        unknown=f"{gives}; at which current its management system opens is not given.",
        unsure=(Verdict.FAIL,) if after is None and not over else (),
        ask="Read it off its sheet and give limit: 300 A."
        if limit is None
        else f"Ask its maker what it lets through for {millis(one.first_s)}, or how long it "
        f"waits (opens-after: 100 ms). {remedy}",
    )


def _buses(study: Study, one: Crank) -> Finding:
    """The least voltage of each bus in both parts of the start."""
    each = [
        f"{study.system.title('buses', bus)} {first:.1f} V, then {one.turning.bus_v[bus]:.1f} V"
        for bus, first in one.first.bus_v.items()
        if math.isfinite(first) and math.isfinite(one.turning.bus_v[bus])
    ]
    phase = study.system.title("phases", one.phase)
    how = ", assumed" if one.assumed else ""
    return answer(
        study,
        one.phase,
        Verdict.PASS,
        f"In {phase} by {one.condition}, first turn ({amps(one.first_a)} for "
        f"{millis(one.first_s)}{how}) and turning ({amps(one.running_a)}): "
        f"{listed(each, most=12)}.",
        at=("phases", one.phase),
    )
