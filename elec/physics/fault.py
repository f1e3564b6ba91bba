"""Current of a short circuit."""

from elec.physics.formula import formula
from elec.standards.cite import source
from elec.standards.table import NotCovered


@formula(
    "Ic", "A", "current through the crowbar", Ik="short_a: current of a dead short",
    E="source_v: voltage that drives it", U="drop_v: what the fired crowbar keeps",
)  # fmt: skip
@source("textbook", "Ohm's law around the loop")
def crowbar_current_a(*, short_a: float, source_v: float, drop_v: float) -> str:
    """Current of a loop that ends in a fired crowbar: as a dead short, less what it keeps.

    >>> round(crowbar_current_a(short_a=100.0, source_v=12.0, drop_v=1.5), 1)
    87.5

    Raises:
        NotCovered: the crowbar keeps all that drives the loop.
    """
    if drop_v > source_v:
        raise NotCovered("crowbar drop", f"{drop_v:g} V", f"at most {source_v:g} V", "Ohm's law")
    return "Ik * (E - U) / E"


@formula("Ik", "A", "short-circuit current", E="source_v: voltage that drives the short",
         R="loop_ohm: all resistances of the loop")  # fmt: skip
@source("textbook", "Ohm's law around the loop")
def prospective_current_a(*, source_v: float, loop_ohm: float) -> str:
    """Current of a dead short: E over the sum of all resistances of the loop.

    Greatest: charging voltage, wire at 20 °C, fault at the device. Least: low battery, hot wire,
    fault at the far end.

    >>> round(prospective_current_a(source_v=12.8, loop_ohm=0.007))
    1829

    Raises:
        NotCovered: no resistance at all: the current would have no bound.
    """
    if loop_ohm <= 0:
        raise NotCovered("loop resistance", f"{loop_ohm:g} ohm", "above 0", "Ohm's law")
    return "E / R"
