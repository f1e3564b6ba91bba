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
