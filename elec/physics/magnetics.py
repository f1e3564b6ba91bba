"""Magnetic field of wires near a compass or magnetometer."""

import math
from collections.abc import Sequence

from elec.physics.formula import formula
from elec.standards.cite import source
from elec.standards.table import NotCovered

Point = tuple[float, float, float]
"""A place in metres: forward, right, down or any other right-handed frame."""


@source("mil_hdbk_419", "equation 6-2")
def wire_field_t(*, current_a: float, distance_m: float) -> float:
    """Field of a long straight wire: 2e-7·I/r, in tesla.

    >>> round(wire_field_t(current_a=1, distance_m=0.3) * 1e6, 4)
    0.6667
    """
    return 2e-7 * current_a / distance_m


@source("textbook", "Biot-Savart law, straight piece")
def piece_field_t(*, current_a: float, start_m: Point, end_m: Point, at_m: Point) -> Point:
    """Field of a straight piece of wire at a point, as a vector in tesla.

    B = 1e-7·I·(r1 x r2)·(|r1| + |r2|)/(|r1|·|r2|·(|r1|·|r2| + r1·r2)); none on the wire's own line.

    >>> side = piece_field_t(current_a=10, start_m=(-0.1, -0.1, 0), end_m=(0.1, -0.1, 0),
    ...                      at_m=(0, 0, 0))
    >>> round(4 * side[2] * 1e6, 4)  # middle of a square loop of 0.2 m
    56.5685
    """
    ax, ay, az = (p - a for p, a in zip(at_m, start_m, strict=True))
    bx, by, bz = (p - b for p, b in zip(at_m, end_m, strict=True))
    cross = (ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx)
    near = math.sqrt(ax * ax + ay * ay + az * az)
    far = math.sqrt(bx * bx + by * by + bz * bz)
    bracket = near * far + ax * bx + ay * by + az * bz
    if near * far == 0 or bracket < 1e-12 * near * far:
        return (0.0, 0.0, 0.0)
    factor = 1e-7 * current_a * (near + far) / (near * far * bracket)
    return (factor * cross[0], factor * cross[1], factor * cross[2])


@formula(
    "b", "µT", "field of the piece", I="current_a: current that does not return beside it",
    d="distance_m: distance from the line of the piece", c1="start_cosine: cosine at its beginning",
    c2="end_cosine: cosine at its end", note="0.1 µT·m/A is the permeability of free space over 4π",
)  # fmt: skip
@source("textbook", "Biot-Savart law, straight piece", "computed")
def piece_field_ut(
    *, current_a: float, distance_m: float, start_cosine: float, end_cosine: float
) -> str:
    """How great the field of a straight piece is, by the angles at its ends, in microtesla.

    The same law as `piece_field_t`, for a pocket calculator: the distance is that from the line of
    the piece, each angle that between the piece and the way from its end to the point.

    >>> half = math.sqrt(0.5)
    >>> round(4 * piece_field_ut(current_a=10, distance_m=0.1, start_cosine=half, end_cosine=half),
    ...       4)  # middle of a square loop of 0.2 m
    56.5685
    """
    return "0.1 * I / d * (c1 + c2)"


@formula("B", "µT", "greatest change in an axis",
         n="net_ut: currents that do not return beside themselves",
         p="pair_ut: feeds with their returns beside them, at the most",
         note="sums over all pieces of the way, each a straight wire")  # fmt: skip
@source("textbook", "Biot-Savart law, straight piece", "computed")
def axis_change_ut(*, net_ut: float, pair_ut: float) -> str:
    """The most that a field may change in an axis, which way pairs lie not being known.

    >>> axis_change_ut(net_ut=1.0, pair_ut=0.25)
    1.25
    """
    return "n + p"


@formula("B", "µT", "greatest change of the horizontal field", B_aft="aft_ut: change aft",
         B_right="right_ut: change right")  # fmt: skip
@source("textbook", "right-angled triangle")
def horizontal_ut(*, aft_ut: float, right_ut: float) -> str:
    """The horizontal part of a field.

    >>> horizontal_ut(aft_ut=3.0, right_ut=4.0)
    5.0
    """
    return "sqrt(B_aft**2 + B_right**2)"


@source("textbook", "two long wires with opposite currents")
def pair_field_t(*, current_a: float, spacing_m: float, distance_m: float) -> float:
    """Field of a wire and its return side by side: 2e-7·I·s/r².

    >>> round(pair_field_t(current_a=10, spacing_m=0.0025, distance_m=0.3) * 1e6, 5)
    0.05556

    Raises:
        NotCovered: spacing above a fifth of the distance.
    """
    if spacing_m > distance_m / 5:
        raise NotCovered(
            "spacing", f"{spacing_m:g} m", f"up to {distance_m / 5:g} m", "pair formula"
        )
    return 2e-7 * current_a * spacing_m / distance_m**2


@source("textbook", "Biot-Savart law, two straight pieces side by side")
def loose_pair_field_t(
    *, current_a: float, spacing_m: float, start_m: Point, end_m: Point, at_m: Point
) -> Point:
    """The most that a piece of wire and its return beside it can add in each axis, in tesla.

    Which way the two lie beside one another is not known, so each axis has the greatest value over
    all of them: |grad B| across the wire times the spacing. Exact for a spacing well below the
    distance.

    >>> most = loose_pair_field_t(current_a=10, spacing_m=0.003, start_m=(-0.5, 0, 0),
    ...                           end_m=(0.5, 0, 0), at_m=(0, 0, 0.3))
    >>> [round(most[axis] * 1e6, 4) for axis in (1, 2)]  # one above, one beside the other
    [0.0723, 0.0572]
    """
    along = [b - a for a, b in zip(start_m, end_m, strict=True)]
    length = math.sqrt(sum(x * x for x in along))
    if length == 0.0:
        return (0.0, 0.0, 0.0)
    unit = [x / length for x in along]
    least = min(range(3), key=lambda i: abs(unit[i]))
    helper = [float(i == least) for i in range(3)]
    first = _cross(unit, helper)
    size = math.sqrt(sum(x * x for x in first))
    first = [x / size for x in first]
    second = _cross(unit, first)
    slopes = [
        _slope(current_a, (start_m, end_m), at_m, across, spacing_m / 2)
        for across in (first, second)
    ]
    x, y, z = (spacing_m * math.hypot(a, b) for a, b in zip(*slopes, strict=True))
    return (x, y, z)


def _cross(a: Sequence[float], b: Sequence[float]) -> list[float]:
    return [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]


def _slope(
    current_a: float,
    ends_m: tuple[Point, Point],
    at_m: Point,
    across: Sequence[float],
    step_m: float,
) -> list[float]:
    """How the field changes with a shift of the wire, T/m in each axis."""

    def moved(sign: float) -> Point:
        x, y, z = (p + sign * step_m * u for p, u in zip(at_m, across, strict=True))
        return piece_field_t(
            current_a=current_a, start_m=ends_m[0], end_m=ends_m[1], at_m=(x, y, z)
        )

    return [(a - b) / (2 * step_m) for a, b in zip(moved(1.0), moved(-1.0), strict=True)]


TWIST_MOST = 100.0
"""No more credit than 40 dB: untwisted tails and unequal currents decide beyond."""


@source("textbook", "field of a double helix, first term of its series in Bessel functions")
def twist_factor(*, pitch_m: float, distance_m: float) -> float:
    """What is left of a pair's field where the pair is twisted, 0.01 to 1.

    x = 2 pi r/p; x^2 * max(K0(x) + K1(x)/x, K1(x) * sqrt(1 + 1/x^2)).

    >>> round(20 * math.log10(twist_factor(pitch_m=1, distance_m=0.75)), 2)
    -17.16
    """
    x = 2 * math.pi * distance_m / pitch_m
    if x > 20:
        return 1 / TWIST_MOST
    k0, k1 = _bessel_k(0, x), _bessel_k(1, x)
    found = x * x * max(k0 + k1 / x, k1 * math.sqrt(1 + 1 / (x * x)))
    return min(1.0, max(found, 1 / TWIST_MOST))


def _bessel_k(order: int, x: float) -> float:
    """Modified Bessel function of the second kind, by its integral over exp(-x cosh t)."""
    step, total, t = 0.05, 0.5 * math.exp(-x), 0.0
    while True:
        t += step
        add = math.exp(-x * math.cosh(t)) * math.cosh(order * t)
        total += add
        if add < 1e-17 * total:
            return total * step


@source("textbook", "worst heading")
def worst_deviation_deg(*, field_t: float, horizontal_field_t: float) -> float:
    """Greatest compass deviation over all headings: asin(B/H).

    >>> round(worst_deviation_deg(field_t=0.5e-6, horizontal_field_t=15e-6), 2)
    1.91

    Raises:
        NotCovered: a disturbance as great as the earth's field.
    """
    if not 0 <= field_t < horizontal_field_t:
        name = f"{field_t * 1e6:g} uT"
        raise NotCovered("disturbance", name, "below the earth's horizontal field", "the compass")
    return math.degrees(math.asin(field_t / horizontal_field_t))
