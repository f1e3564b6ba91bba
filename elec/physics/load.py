"""Loads over time and voltage: averages, momentary demand, the law of a load."""

from collections.abc import Sequence

from elec.physics.formula import formula
from elec.standards.cite import place_of, source
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
        raise NotCovered("interval", f"{interval_s:g} s", "above 0", place_of(average_a))
    return sum(current * min(on, interval_s) for current, on in uses) / interval_s


@formula("q", "A", "root mean square: warms wire and device", m="average_a: average",
         p="peak_a: peak", d="duty: share of the time")  # fmt: skip
@source("textbook", "root mean square of a current of two levels")
def pulsing_a(*, average_a: float, peak_a: float, duty: float | None) -> str:
    """Root mean square of a current that pulses: the lasting current that warms a wire as much.

    It takes its peak for a share of the time and the same rest between, which makes up the
    average. Where the share is not known, the most that average and peak allow: that of a current
    which is nothing between its peaks.

    >>> round(pulsing_a(average_a=0.4, peak_a=2.0, duty=0.2), 3)  # nothing between: 2·√0.2
    0.894
    >>> round(pulsing_a(average_a=0.4, peak_a=2.0, duty=None), 3)
    0.894
    >>> pulsing_a(average_a=0.4, peak_a=0.4, duty=1.0)
    0.4
    """
    if duty is None or duty >= 1:
        return "sqrt(m * p)"
    return "sqrt(d * p**2 + max(0, m - d * p) ** 2 / (1 - d))"


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
