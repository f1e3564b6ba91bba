"""Magnetic field of wires near a compass or magnetometer."""

import math

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


@source("textbook", "dipole on its axis")
def dipole_field_t(*, moment_a_m2: float, distance_m: float) -> float:
    """Field of a magnetised part or a small coil on its axis: 2e-7·m/r³.

    >>> round(dipole_field_t(moment_a_m2=1, distance_m=0.74) * 1e6, 1)
    0.5
    """
    return 2e-7 * moment_a_m2 / distance_m**3


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


@source("textbook", "sum of the horizontal fields")
def deviation_deg(
    *, heading_deg: float, forward_t: float, right_t: float, horizontal_field_t: float
) -> float:
    """Deviation of a level compass at a heading, from a disturbance in the aircraft's axes.

    >>> round(deviation_deg(heading_deg=45, forward_t=0, right_t=2e-6, horizontal_field_t=20e-6), 3)
    -4.351
    """
    heading = math.radians(heading_deg)
    forward = horizontal_field_t * math.cos(heading) + forward_t
    right = -horizontal_field_t * math.sin(heading) + right_t
    turned = math.degrees(math.atan2(-right, forward)) - heading_deg
    return (turned + 180) % 360 - 180
