"""What a wire has from end to end at 20 °C: its copper and the crimp at each end.

In: lengths, gauges. Out: a `Working`, or None where the length or the gauge is not known. Ring-out,
pin tables, connector pages and measured values all ask here.
"""

import math
from collections.abc import Mapping

from msgspec.structs import replace

from elec.answers.base.marks import gauge_of, marks
from elec.sizing.sizing import sizing
from elec.standards import NotCovered, default
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.hand import assumed, computed, resistance_term
from elec.wiring.runs import runs
from elec.wiring.wires import crimped_ohm, size_of
from elec.working import Term, Working


def end_to_end(study: Study, conductor: Conductor, length_m: float | None = None) -> Working | None:
    """The resistance of a wire or core in Ω; of a coaxial line none is given.

    Args:
        study: the system.
        conductor: a wire, or a core of a cable.
        length_m: what was cut; None: the length of its run.
    """
    run = runs(study)[conductor.id]
    length = run.length_m if length_m is None else length_m
    if length is None or not math.isfinite(length) or conductor.role == "coax":
        return None
    try:
        wire = size_of(study, conductor, gauge_of(sizing(study).gauges, conductor))
    except NotCovered:
        return None
    per_metre = replace(resistance_term(wire), symbol="r")
    joint = assumed("j", "joint-resistance", "ohm")
    before = run.steps if run.length_m == length else ()
    long = Term(
        symbol="L", value=length, unit="m", meaning="length of the wire", origin="what was cut"
    )
    if before:
        long = before[-1].result
    step = computed(
        "R", crimped_ohm(wire, length), "ohm", "end to end at 20 °C",
        formula="r * L + 2 * j",
        terms=(per_metre, long, joint),
    )  # fmt: skip
    return Working(title=f"Resistance of {marks(study)[conductor.id]}", steps=(*before, step))


def meter_ohm(ohm: float | None) -> str:
    """What a hand-held ohmmeter shows of a wire: no digit that it cannot read.

    >>> meter_ohm(0.0324), meter_ohm(1.63), meter_ohm(None)
    ('under 0.1 Ω', '1.6 Ω', '?')
    """
    step = default("meter-ohm-resolution").si
    if ohm is None:
        return "?"
    return f"under {step:g} Ω" if ohm < step else f"{round(ohm / step) * step:.1f} Ω"


def meter_mv(ohm: float | None) -> str:
    """The millivolts along a wire at the ring-out current, as a hand-held meter shows them.

    >>> meter_mv(0.0008), meter_mv(0.0324), meter_mv(None)
    ('0.8', '32.4', '?')
    """
    if ohm is None:
        return "?"
    step_mv = default("meter-volt-resolution").si * 1000
    along_mv = ohm * default("ring-out-current").si * 1000
    if along_mv < step_mv:
        return f"under {step_mv:g}"
    return (
        f"{along_mv:.1f}"
        if along_mv < default("meter-counts").value * step_mv
        else f"{along_mv:.0f}"
    )


@analysis
def end_to_end_ohm(study: Study) -> Mapping[str, float | None]:
    """Every conductor → its resistance from end to end at 20 °C; None where it is not known."""
    return {
        one.id: None if (found := end_to_end(study, one)) is None else found.steps[-1].result.value
        for one in chains(study).conductors()
    }
