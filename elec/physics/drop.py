"""Voltage lost along a wire, and how long a wire may be."""

from elec.physics.formula import formula
from elec.standards.cite import source
from elec.standards.table import NotCovered


@formula("w", "", "resistance over that at 20 °C", T="conductor_degc: conductor temperature")
@source("ac4313", "11-67, pages 11-22 and 11-23")
def warm_factor(*, conductor_degc: float, zero_degc: float) -> str:
    """Resistance of a conductor at a temperature over that at 20 °C.

    At `zero_degc` the straight line of the metal's resistance meets nothing.

    >>> round(warm_factor(conductor_degc=105, zero_degc=-234.5), 3)  # copper
    1.334
    >>> round(warm_factor(conductor_degc=105, zero_degc=-238.1), 3)  # aluminium
    1.329
    """
    return f"({-zero_degc:g} + T) / {20 - zero_degc:g}"


def _crimped(zero_degc: float) -> str:
    return f"R * L * {warm_factor.text(conductor_degc=20.0, zero_degc=zero_degc)} + 2 * j"


WIRE = {
    "R": "resistance_20degc_ohm_per_m: resistance at 20 °C", "L": "length_m: length of the wire",
    "T": "conductor_degc: conductor temperature", "j": "joint_ohm: crimped terminal",
}  # fmt: skip


@formula("Re", "ohm", "resistance of the wire with a crimped terminal at both ends", **WIRE)
@source("ac4313", "11-67, pages 11-22 and 11-23")
def crimped_ohm(
    *,
    resistance_20degc_ohm_per_m: float,
    length_m: float,
    joint_ohm: float,
    conductor_degc: float,
    zero_degc: float,
) -> str:
    """Resistance of a wire from stud to stud, at 20 °C or as warm as it is.

    At `zero_degc` the straight line of the metal's resistance meets nothing.

    >>> six = 0.44 / 304.8  # AWG 6, ohm per m
    >>> round(1000 * crimped_ohm(resistance_20degc_ohm_per_m=six, length_m=107 * 0.3048,
    ...                          joint_ohm=0.001, conductor_degc=20.0, zero_degc=-234.5), 2)
    49.08
    """
    return "R * L + 2 * j" if conductor_degc == 20.0 else _crimped(zero_degc)


@formula("v", "V", "lost in the wire", I="current_a: current", **WIRE)
@source("ac4313", "11-66 and tables 11-7, 11-8")
@source("ac4313", "11-67, pages 11-22 and 11-23")
def wire_drop_v(
    *,
    current_a: float,
    resistance_20degc_ohm_per_m: float,
    length_m: float,
    conductor_degc: float,
    joint_ohm: float,
    zero_degc: float,
) -> str:
    """Voltage lost in a warm wire and the crimped terminals at its two ends.

    At `zero_degc` the straight line of the metal's resistance meets nothing.

    >>> six = 0.44 / 304.8  # AWG 6, ohm per m
    >>> round(wire_drop_v(current_a=20, resistance_20degc_ohm_per_m=six, length_m=107 * 0.3048,
    ...                   conductor_degc=20, joint_ohm=0, zero_degc=-234.5), 3)
    0.942
    """
    return f"I * ({_crimped(zero_degc)})"


@formula("k", "V", "lost in contacts, switch and device", I="current_a: current",
         K="resistance_ohm: contacts, switch and device together")  # fmt: skip
@source("textbook", "Ohm's law")
def contacts_drop_v(*, current_a: float, resistance_ohm: float) -> str:
    """Voltage lost in what sits in a circuit beside its wires.

    >>> contacts_drop_v(current_a=5.0, resistance_ohm=0.01)
    0.05
    """
    return "I * K"


@source("ac4313", "table 11-8")
def longest_run_m(*, allowed_v: float, resistance_ohm_per_m: float, current_a: float) -> float:
    """Longest run that keeps within an allowed drop: L = V/(R·I).

    >>> longest = longest_run_m(allowed_v=1, resistance_ohm_per_m=1.26 / 304.8, current_a=20)
    >>> round(longest / 0.3048, 1)  # the table prints 39 ft
    39.7

    Raises:
        NotCovered: no current, so no limit.
    """
    if current_a <= 0:
        raise NotCovered("current", f"{current_a:g} A", "above 0", "the drop formula")
    return allowed_v / (resistance_ohm_per_m * current_a)
