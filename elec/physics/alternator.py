"""An alternator: what it gives at a speed."""

from collections.abc import Sequence
from itertools import pairwise

from elec.standards.cite import source
from elec.standards.table import NotCovered, interpolate


@source("elec", "straight lines between given points", "computed")
def curve_output_a(*, curve: Sequence[tuple[float, float]], speed_rpm: float) -> float:
    """Greatest current at a speed from points (rpm, A) in rising rpm.

    Beyond the last point its current is kept: output does not fall with speed.

    >>> curve_output_a(curve=[(1000, 8), (1700, 30), (2600, 40)], speed_rpm=1350)
    19.0

    Raises:
        NotCovered: below the first point.
    """
    if not curve or speed_rpm < curve[0][0]:
        span = f"from {curve[0][0]:g} rpm on" if curve else "no point given"
        raise NotCovered("speed", f"{speed_rpm:g} rpm", span, "the alternator's output")
    for left, right in pairwise(curve):
        if speed_rpm <= right[0]:
            return interpolate(x=speed_rpm, left=left, right=right)
    return curve[-1][1]
