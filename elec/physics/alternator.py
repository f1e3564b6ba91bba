"""An alternator: what it gives at a speed."""

from collections.abc import Sequence
from itertools import pairwise

from elec.physics.formula import formula
from elec.standards.cite import source
from elec.standards.table import NotCovered


@formula("I", "A", "what it gives", n="speed_rpm: engine speed", n1="before_rpm: curve",
         i1="before_a: curve", n2="after_rpm: curve", i2="after_a: curve")  # fmt: skip
@source("elec", "straight lines between given points", "computed")
def between_outputs_a(
    *, speed_rpm: float, before_rpm: float, before_a: float, after_rpm: float, after_a: float
) -> str:
    """Current at a speed between two points of a curve.

    >>> between_outputs_a(speed_rpm=1350, before_rpm=1000, before_a=8, after_rpm=1700, after_a=30)
    19.0
    """
    return "i1 + (i2 - i1) * (n - n1) / (n2 - n1)"


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
    for (n1, i1), (n2, i2) in pairwise(curve):
        if speed_rpm <= n2:
            return between_outputs_a(
                speed_rpm=speed_rpm, before_rpm=n1, before_a=i1, after_rpm=n2, after_a=i2
            )
    return curve[-1][1]
