"""Breakers and fuses: when they open, what they may carry, which rating to take."""

import math

from elec.physics.formula import formula
from elec.standards.cite import source
from elec.standards.device import CurveBand
from elec.standards.table import NotCovered, interpolate, table


@formula(
    "to", "s", "longest time until it opens", x="multiple: multiple of the rating",
    x1="before_multiple: point of the band", t1="before_s: its longest time",
    x2="after_multiple: next point", t2="after_s: its longest time",
    note="straight on log-log paper between the points",
)  # fmt: skip
@source("elec", "log-log between the points of the band", "computed")
def between_points_s(
    *,
    multiple: float,
    before_multiple: float,
    before_s: float,
    after_multiple: float,
    after_s: float,
) -> str:
    """Time at a multiple of the rating between two points of a device's band.

    >>> round(between_points_s(multiple=3, before_multiple=2, before_s=2.5, after_multiple=4,
    ...                        after_s=0.54), 3)
    1.02
    """
    return "t1 * (t2 / t1) ** (ln(x / x1) / ln(x2 / x1))"


@source("elec", "log-log between the points of the band", "computed")
def greatest_opening_time_s(*, band: CurveBand, multiple: float) -> float:
    """Longest time that a device may take to open at a multiple of its rating.

    Straight on log-log paper between the points. Infinite below the first point at which it must
    open. Beyond the last point the last time is kept, which is careful for the wire.

    >>> from elec.standards.device import breaker_band
    >>> fast = breaker_band("fast")
    >>> round(greatest_opening_time_s(band=fast, multiple=3), 3)
    1.02
    >>> round(greatest_opening_time_s(band=fast, multiple=5), 3)
    0.369
    """
    points = band.longest_around(multiple)
    if not points:
        return math.inf
    if len(points) == 1:
        return points[0][1]
    (x1, t1), (x2, t2) = points
    return between_points_s(
        multiple=multiple, before_multiple=x1, before_s=t1, after_multiple=x2, after_s=t2
    )


@source("elec", "log-log between the points of the band", "computed")
def least_opening_time_s(*, band: CurveBand, multiple: float) -> float:
    """Shortest time that a device may take to open at a multiple of its rating.

    Infinite up to the point that it must hold (or up to its rating, where the band has no such
    point but has a window). Straight on log-log paper between the points; beyond the last it
    falls with the square of the current.

    >>> from elec.standards.device import breaker_band
    >>> round(least_opening_time_s(band=breaker_band("fast"), multiple=7.1), 4)
    0.037

    Raises:
        NotCovered: the band gives no least times around this multiple.
    """
    if multiple <= band.hold:
        return math.inf
    points = band.shortest
    windows = [p for p in band.points if p.least_s is not None and p.most_s is not None]
    if not windows or multiple < points[0][0]:
        first = windows[0].multiple if windows else math.inf
        raise NotCovered("multiple", f"{multiple:g}", f"from {first:g} on", band.name)
    last_multiple, last_time = points[-1]
    if multiple >= last_multiple:
        return last_time * (last_multiple / multiple) ** 2
    above = next(i for i, point in enumerate(points) if point[0] > multiple)
    return interpolate(x=multiple, left=points[above - 1], right=points[above], logarithmic=True)


BREAKER_SPAN_DEGC = (-55.0, 121.0)
"""What thermal breakers are made for (common practice, from memory)."""
RATED_DEGC = 25.0
"""The temperature at which makers state what a breaker or fuse carries (common practice)."""


@formula("f", "", "factor for temperature", Ta="ambient_degc: temperature at the device")
@source("trade", "0.3 % per kelvin from 25 °C, uncompensated thermal breaker", "memory")
def breaker_ambient_factor(*, ambient_degc: float) -> str:
    """Share of its rating that an uncompensated thermal breaker has.

    A compensated breaker has 1.

    >>> round(breaker_ambient_factor(ambient_degc=55), 2)
    0.91

    Raises:
        NotCovered: outside -55 to 121 °C, the span of the breakers.
    """
    least, most = BREAKER_SPAN_DEGC
    if not least <= ambient_degc <= most:
        span = f"{least:g} to {most:g} °C"
        raise NotCovered("ambient", f"{ambient_degc:g} °C", span, "breaker slope")
    return f"1 - 0.003 * (Ta - {RATED_DEGC:g})"


@source("fuse_sheet", "ambient factors", "quoted")
def fuse_ambient_factor(*, family: str, ambient_degc: float) -> float:
    """Share of its rating that a fuse may carry at an ambient temperature.

    >>> 40 * fuse_ambient_factor(family="blade-e", ambient_degc=85)  # prints 30 A
    30.0

    Raises:
        NotCovered: no values for the family, or outside them.
    """
    return table("elec/fuse_ambient").value("factor", family=family, ambient_degc=ambient_degc)
