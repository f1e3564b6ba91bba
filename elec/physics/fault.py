"""Current of a short circuit."""

from collections.abc import Sequence

from elec.standards.cite import source
from elec.standards.table import NotCovered


@source("textbook", "Ohm's law around the loop")
def prospective_current_a(*, source_v: float, resistances_ohm: Sequence[float]) -> float:
    """Current of a dead short: E over the sum of all resistances of the loop.

    Greatest: charging voltage, wire at 20 °C, fault at the device. Least: low battery, hot wire,
    fault at the far end.

    >>> round(prospective_current_a(source_v=12.8, resistances_ohm=[0.007]))
    1829

    Raises:
        NotCovered: no resistance at all: the current would have no bound.
    """
    total = sum(resistances_ohm)
    if total <= 0:
        raise NotCovered("loop resistance", f"{total:g} ohm", "above 0", "Ohm's law")
    return source_v / total


@source("elec", "drop and fault share the loop", "computed")
def current_from_drop_a(*, nominal_v: float, drop_v: float, current_a: float) -> float:
    """Fault current of a branch whose drop at a load is known, wire resistance alone: V/ΔV·I.

    >>> current_from_drop_a(nominal_v=14, drop_v=0.5, current_a=1)  # 28 times the load
    28.0

    Raises:
        NotCovered: no drop, so no resistance is known.
    """
    if drop_v <= 0:
        raise NotCovered("drop", f"{drop_v:g} V", "above 0", "the drop formula")
    return nominal_v / drop_v * current_a
