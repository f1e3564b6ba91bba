"""Loads over time and voltage: averages, momentary demand, the law of a load."""

from collections.abc import Sequence

from elec.standards.cite import source
from elec.standards.table import NotCovered


@source("mil_e_7016", "section 6, average over an interval", "memory")
def average_a(*, uses: Sequence[tuple[float, float]], interval_s: float) -> float:
    """Average current over an interval from uses (current in A, time on in s).

    I = Σ I·min(t, T)/T.

    >>> round(average_a(uses=[(13, 8), (10, 6), (6, 30), (17.8, 300)], interval_s=300), 5)
    18.94667

    Raises:
        NotCovered: an interval of no length.
    """
    if interval_s <= 0:
        raise NotCovered("interval", f"{interval_s:g} s", "above 0", "MIL-E-7016F")
    return sum(current * min(on, interval_s) for current, on in uses) / interval_s


@source("mil_e_7016", "5-second demand", "memory")
def momentary_a(*, currents: Sequence[tuple[float, str]]) -> float:
    """Greatest current with everything on at once, from (current in A, exclusive group).

    Of loads that name the same group only the greatest counts; an empty name is no group.

    >>> momentary_a(currents=[(13, ""), (10, ""), (6, ""), (17.8, "")])
    46.8
    >>> momentary_a(currents=[(13, "hydraulics"), (10, "hydraulics"), (6, ""), (17.8, "")])
    36.8
    """
    worst: dict[str, float] = {}
    alone = 0.0
    for current, group in currents:
        if group:
            worst[group] = max(worst.get(group, 0.0), current)
        else:
            alone += current
    return alone + sum(worst.values())


@source("textbook", "power law of a load")
def current_at_a(*, current_a: float, nominal_v: float, voltage_v: float, exponent: float) -> float:
    """Current of a load at another voltage: I·(V/Vn)^a.

    a is 1 for a resistance, 0 for constant current, -1 for constant power, about 0.55 for a
    filament lamp (from memory).

    >>> round(current_at_a(current_a=10, nominal_v=14, voltage_v=12, exponent=-1), 3)
    11.667

    Raises:
        NotCovered: a voltage that is not above 0.
    """
    if voltage_v <= 0 or nominal_v <= 0:
        raise NotCovered("voltage", f"{voltage_v:g} V", "above 0", "the law of a load")
    factor = float((voltage_v / nominal_v) ** exponent)
    return current_a * factor


@source("textbook", "demand factor")
def demand_factor(*, greatest_a: float, connected_a: float) -> float:
    """Greatest demand over connected load, at most 1.

    >>> demand_factor(greatest_a=30, connected_a=40)
    0.75

    Raises:
        NotCovered: nothing connected.
    """
    if connected_a <= 0:
        raise NotCovered("connected load", f"{connected_a:g} A", "above 0", "demand factor")
    return greatest_a / connected_a
