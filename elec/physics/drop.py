"""Voltage lost along a wire, and how long a wire may be."""

from elec.standards.cite import source
from elec.standards.table import NotCovered


@source("ac4313", "11-66 and tables 11-7, 11-8")
def drop_v(*, resistance_ohm_per_m: float, length_m: float, current_a: float) -> float:
    """Voltage lost along a run: R·L·I; the run includes the ground wire.

    >>> six = 0.44 / 304.8  # AWG 6, ohm per m
    >>> round(drop_v(resistance_ohm_per_m=six, length_m=107 * 0.3048, current_a=20), 3)
    0.942
    """
    return resistance_ohm_per_m * length_m * current_a


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


@source("ac4313", "11-66", "computed")
def greatest_resistance_ohm_per_m(*, allowed_v: float, length_m: float, current_a: float) -> float:
    """Greatest resistance per metre that keeps a run within an allowed drop: R = V/(L·I).

    >>> limit = greatest_resistance_ohm_per_m(allowed_v=1, length_m=50 * 0.3048, current_a=20)
    >>> round(limit * 304.8, 2)  # ohm per 1000 ft: AWG 8 has 0.70, AWG 10 has 1.26
    1.0

    Raises:
        NotCovered: no current or no length, so no limit.
    """
    if current_a <= 0 or length_m <= 0:
        raise NotCovered(
            "current times length", current_a * length_m, "above 0", "the drop formula"
        )
    return allowed_v / (length_m * current_a)


@source("ac4313", "11-67, pages 11-22 and 11-27")
def hot_run_m(*, cold_run_m: float, temperature_degc: float) -> float:
    """Longest run of a copper wire that is warm: L2 = 254.5·L1/(234.5 + T2).

    L1 is the longest run at 20 °C, T2 the conductor's temperature.

    >>> round(hot_run_m(cold_run_m=15.5, temperature_degc=182), 2)  # prints 9.5, in ft
    9.47
    """
    return 254.5 * cold_run_m / (234.5 + temperature_degc)


@source("ac4313", "11-67, page 11-22")
def aluminum_hot_run_m(*, cold_run_m: float, temperature_degc: float) -> float:
    """Longest run of an aluminium wire that is warm: L2 = 258.1·L1/(238.1 + T2).

    >>> round(aluminum_hot_run_m(cold_run_m=10, temperature_degc=105), 2)
    7.52
    """
    return 258.1 * cold_run_m / (238.1 + temperature_degc)
