"""Coils that are switched off: how their current dies away, and when it lets go."""

from elec.physics.formula import formula
from elec.standards.cite import source
from elec.standards.table import NotCovered


@formula(
    "t", "s", "time until the current has fallen to where the contact lets go",
    L="inductance_henry: inductance, pulled in", R="coil_ohm: resistance of the coil",
    I="current_a: current before its switch opens", i="lets_go_a: current at which it lets go",
    U="held_v: what the part across the coil keeps",
)  # fmt: skip
@source("textbook", "step response of a resistor and an inductor in series")
def held_release_s(
    *, inductance_henry: float, coil_ohm: float, current_a: float, lets_go_a: float, held_v: float
) -> str:
    """Time until a coil lets go whose current goes on through a diode or a suppressor.

    The part keeps its voltage U: L di/dt + R i + U = 0, so that i + U / R dies away by L / R.

    >>> round(1000 * held_release_s(inductance_henry=0.1, coil_ohm=20.0, current_a=0.7,
    ...                             lets_go_a=0.1, held_v=0.8), 2)
    8.33
    >>> round(1000 * held_release_s(inductance_henry=0.1, coil_ohm=20.0, current_a=0.7,
    ...                             lets_go_a=0.1, held_v=27.0), 2)
    1.73

    Raises:
        NotCovered: it does not carry more than it lets go at.
    """
    _more(current_a, lets_go_a)
    return "L / R * ln((I + U / R) / (i + U / R))"


@formula(
    "t", "s", "time until the current has fallen to where the contact lets go",
    L="inductance_henry: inductance, pulled in", R="coil_ohm: resistance of the coil",
    I="current_a: current before its switch opens", i="lets_go_a: current at which it lets go",
    P="across_ohm: resistor across the coil",
)  # fmt: skip
@source("textbook", "step response of a resistor and an inductor in series")
def resistor_release_s(
    *,
    inductance_henry: float,
    coil_ohm: float,
    current_a: float,
    lets_go_a: float,
    across_ohm: float,
) -> str:
    """Time until a coil lets go whose current goes on through a resistor.

    It dies away by L over both resistances.

    >>> round(1000 * resistor_release_s(inductance_henry=0.1, coil_ohm=20.0, current_a=0.7,
    ...                                 lets_go_a=0.1, across_ohm=100.0), 2)
    1.62

    Raises:
        NotCovered: it does not carry more than it lets go at.
    """
    _more(current_a, lets_go_a)
    return "L / (R + P) * ln(I / i)"


def _more(current_a: float, lets_go_a: float) -> None:
    if current_a <= lets_go_a:
        raise NotCovered(
            "current of the coil", f"{current_a:g} A", f"above {lets_go_a:g} A", "a coil that holds"
        )
