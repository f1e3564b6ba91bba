"""What a wire has from end to end at 20 °C: its copper and the crimp at each end.

In: lengths, gauges. Out: a `Working`, or None where the length or the gauge is not known. Ring-out,
pin tables, connector pages and measured values all ask here.
"""

import math
from collections.abc import Mapping, Sequence

from elec import units
from elec.answers.base.marks import gauge_of, marks
from elec.physics.drop import crimped_ohm
from elec.sizing.devices import allowed_drop_v
from elec.sizing.sizing import sizing
from elec.standards import NotCovered, default
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.hand import assumed, resistance_term
from elec.wiring.runs import runs
from elec.wiring.wires import size_of
from elec.working import Working, given, leading_to


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
    before = run.steps if run.length_m == length else ()
    step = crimped_ohm.step(
        resistance_20degc_ohm_per_m=resistance_term(wire),
        length_m=before[-1] if before else given(length, "what was cut"),
        joint_ohm=assumed("joint-resistance"),
        conductor_degc=20.0,
        zero_degc=wire.zero_degc,
        meaning="end to end at 20 °C",
    )
    return Working(title=f"Resistance of {marks(study)[conductor.id]}", steps=leading_to(step))


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


def small_share() -> float:
    """Of the current of a ring-out, what is sent over a device for no more than that.

    >>> small_share()
    0.1
    """
    return default("ring-out-current-small").si / default("ring-out-current").si


def small_current() -> str:
    """That lesser current in words, A.

    >>> small_current()
    '0.1 A'
    """
    return units.show(default("ring-out-current-small").si, "a", digits=1)


def of_small() -> str:
    """How often a reading with the lesser current counts: the mV to expect are of the whole one.

    Without it a poor joint passes as good.

    >>> of_small()
    'With 0.1 A, count 10 times the reading, unless the mV to expect are "at 0.1 A".'
    """
    return (
        f"With {small_current()}, count {1 / small_share():.0f} times the reading, unless the "
        f'mV to expect are "at {small_current()}".'
    )


def most_ohm(study: Study, conductors: Sequence[str], ohm: float) -> float:
    """The most that passes: a share and the leads more, in a thick wire what it may lose.

    That is the drop that the table allows for short use, at the greatest current of the wires, be
    it that of the start; one that spends it alone leaves nothing to the others. Never less than
    the share: a good wire passes, and whether it is thick enough asks `wire-drop`.

    Args:
        study: the system.
        conductors: ids of the wires that are measured, one behind the other.
        ohm: what is expected of all of it, with what is closed by hand between them.
    """
    share, lead = default("measured-resistance-share").si, default("measured-resistance-lead").si
    flat = ohm * (1 + share) + lead
    currents = sizing(study).currents_a
    amperes = max((a for one in conductors for a in currents.get(one, {}).values()), default=0.0)
    if amperes <= 0:
        return flat
    lost = allowed_drop_v(study, intermittent=True) / amperes
    return min(flat, max(lost, ohm * (1 + share)))


@analysis
def end_to_end_ohm(study: Study) -> Mapping[str, float | None]:
    """Every conductor → its resistance from end to end at 20 °C; None where it is not known."""
    return {
        one.id: None if (found := end_to_end(study, one)) is None else found.steps[-1].result.value
        for one in chains(study).conductors()
    }
