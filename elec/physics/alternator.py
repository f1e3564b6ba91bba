"""An alternator: what it gives at a speed, how much of that is used."""

import math
from collections.abc import Sequence
from itertools import pairwise

from elec.record import dataclass
from elec.standards.cite import source
from elec.standards.table import NotCovered, interpolate


@dataclass(frozen=True, kw_only=True)
class OutputLaw:
    """I(n) = final·(1 - exp(-(n - start)/constant)), alternator speed n in rpm."""

    final_current_a: float
    start_rpm: float
    constant_rpm: float


@source("engine_manual", "page 83, hot output; fit", "computed")
def law_output_a(*, law: OutputLaw, speed_rpm: float) -> float:
    """Greatest current at an alternator speed by the exponential law; none below its start.

    >>> hot = OutputLaw(final_current_a=48.2, start_rpm=1000, constant_rpm=750)
    >>> [round(law_output_a(law=hot, speed_rpm=n), 2) for n in (1300, 2500, 5000)]
    [15.89, 41.68, 47.97]
    """
    if speed_rpm <= law.start_rpm:
        return 0.0
    return law.final_current_a * (1 - math.exp((law.start_rpm - speed_rpm) / law.constant_rpm))


def _scaled(points: Sequence[tuple[float, float]], start: float, constant: float) -> OutputLaw:
    """Best final current for a given constant: least squares in one unknown."""
    shape = [1 - math.exp((start - n) / constant) for n, _ in points]
    final = sum(s * i for s, (_, i) in zip(shape, points, strict=True)) / sum(s * s for s in shape)
    return OutputLaw(final_current_a=final, start_rpm=start, constant_rpm=constant)


def _misfit(law: OutputLaw, points: Sequence[tuple[float, float]]) -> float:
    return sum((law_output_a(law=law, speed_rpm=n) - i) ** 2 for n, i in points)


@source("elec", "least squares", "computed")
def fitted_law(*, points: Sequence[tuple[float, float]], start_rpm: float) -> OutputLaw:
    """Fit the exponential law to points (alternator rpm, A) whose speeds lie above the start.

    >>> law = fitted_law(points=[(1300, 16), (2500, 41), (5000, 48)], start_rpm=1000)
    >>> round(law.final_current_a, 1), round(law.constant_rpm)
    (48.1, 761)

    Raises:
        NotCovered: fewer than two points, or one at or below the start.
    """
    if len(points) < 2 or min(n for n, _ in points) <= start_rpm:
        raise NotCovered("points", len(points), "two or more above the start", "the fit")
    low, high = 10.0, 20000.0
    golden = (math.sqrt(5) - 1) / 2
    for _ in range(80):
        left, right = high - golden * (high - low), low + golden * (high - low)
        if _misfit(_scaled(points, start_rpm, left), points) < _misfit(
            _scaled(points, start_rpm, right), points
        ):
            high = right
        else:
            low = left
    return _scaled(points, start_rpm, (low + high) / 2)


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


@source("textbook", "belt drive")
def alternator_speed_rpm(*, engine_rpm: float, pulley_ratio: float) -> float:
    """Speed of an alternator on a belt: engine speed times pulley ratio.

    >>> alternator_speed_rpm(engine_rpm=700, pulley_ratio=1.78)
    1246.0
    """
    return engine_rpm * pulley_ratio


@source("engine_manual", "page 83")
def setpoint_v(*, setpoint_20degc_v: float, temperature_degc: float) -> float:
    """Voltage of a compensated 12 V regulator: 0.1 V less for each 10 °C above 20 °C.

    >>> round(setpoint_v(setpoint_20degc_v=14.4, temperature_degc=60), 1)
    14.0

    Raises:
        NotCovered: outside -20 to 80 °C.
    """
    if not -20 <= temperature_degc <= 80:
        raise NotCovered("regulator", f"{temperature_degc:g} °C", "-20 to 80 °C", "engine manual")
    return setpoint_20degc_v - 0.01 * (temperature_degc - 20)


@source("ac4313", "11-35")
def load_share(*, current_a: float, output_a: float) -> float:
    """Share of an alternator's output that a load takes; 0.80 is the rule of thumb.

    >>> load_share(current_a=48, output_a=60)
    0.8

    Raises:
        NotCovered: no output.
    """
    if output_a <= 0:
        raise NotCovered("output", f"{output_a:g} A", "above 0", "the share of a source")
    return current_a / output_a
