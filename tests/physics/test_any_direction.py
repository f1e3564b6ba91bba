"""Fields of wires that lie askew, held against the integral of Biot and Savart done by numpy.

Along an axis most terms of a cross product are zero and a wrong one shows nowhere.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import kv

from elec.physics.magnetics import (
    loose_pair_field_t,
    pair_field_t,
    piece_field_t,
    twist_factor,
    worst_deviation_deg,
)
from elec.standards import NotCovered

Point = tuple[float, float, float]
PIECES = 4001
"""So many points on the wire: Simpson's rule is good to 1e-9 there at these distances."""

unit = st.floats(-1.0, 1.0)
points = st.tuples(unit, unit, unit)


def integral_t(current_a: float, start: Point, end: Point, at: Point) -> np.ndarray:
    """Biot and Savart, piece by piece along the wire (Jackson, Classical Electrodynamics, 5.4)."""
    a, b, p = map(np.array, (start, end, at))
    t = np.linspace(0.0, 1.0, PIECES)[:, None]
    away = p - (a + t * (b - a))
    inner = np.cross(b - a, away) / np.linalg.norm(away, axis=1)[:, None] ** 3
    weights = np.ones((PIECES, 1))
    weights[1:-1:2], weights[2:-1:2] = 4.0, 2.0
    found: np.ndarray = 1e-7 * current_a * (weights * inner).sum(axis=0) / (3 * (PIECES - 1))
    return found


def distance(start: Point, end: Point, at: Point) -> float:
    """From a point to the nearest of a piece."""
    a, b, p = map(np.array, (start, end, at))
    t = np.clip(np.dot(p - a, b - a) / max(float(np.dot(b - a, b - a)), 1e-30), 0.0, 1.0)
    return float(np.linalg.norm(p - a - t * (b - a)))


@given(start=points, end=points, at=points)
def test_a_piece_in_any_direction(start: Point, end: Point, at: Point) -> None:
    """Each of the three parts of the field, for any two ends and any point well off the wire."""
    if distance(start, end, at) < 0.1:
        return
    found = piece_field_t(current_a=7.0, start_m=start, end_m=end, at_m=at)
    assert found == pytest.approx(integral_t(7.0, start, end, at), rel=1e-6, abs=1e-14)


@pytest.mark.parametrize("at", [(3.0, 6.0, 9.0), (-1.0, -2.0, -3.0), (0.5, 1.0, 1.5), (0, 0, 0)])
def test_on_its_own_line_a_piece_has_no_field(at: Point) -> None:
    """Before it, behind it, on it and at its end: no direction, so nothing, and no division."""
    found = piece_field_t(current_a=9.0, start_m=(0, 0, 0), end_m=(1.0, 2.0, 3.0), at_m=at)
    assert found == pytest.approx((0.0, 0.0, 0.0), abs=1e-18)


@pytest.mark.parametrize(
    ("start", "end"),
    [
        ((0.0, 0.0, 0.0), (1.0, 0.2, 0.4)),
        ((0.0, 0.0, 0.0), (0.1, 1.0, 0.3)),
        ((0.0, 0.0, 0.0), (0.3, -0.5, 1.0)),
        ((-0.4, 0.1, 0.2), (0.9, 0.8, -0.7)),
    ],
)
def test_the_most_of_a_pair_in_any_direction(start: Point, end: Point) -> None:
    """All ways round in which two wires can lie: the greatest of each axis.

    The pair is 2 mm apart at some 0.5 m: what the straight slope leaves out is (s/d)^2, 2e-5.
    """
    at, spacing, current = (0.6, -0.3, 0.5), 0.002, 11.0
    along = np.array(end) - np.array(start)
    along = along / np.linalg.norm(along)
    side = np.cross(along, [0.3, 0.5, -0.8])
    side /= np.linalg.norm(side)
    other = np.cross(along, side)
    most = np.zeros(3)
    for angle in np.linspace(0.0, math.pi, 721):
        shift = spacing / 2 * (math.cos(angle) * side + math.sin(angle) * other)
        one, two = (
            np.array(piece_field_t(current_a=current, start_m=tuple(np.array(start) + s * shift),
                                   end_m=tuple(np.array(end) + s * shift), at_m=at))
            for s in (1.0, -1.0)
        )  # fmt: skip
        most = np.maximum(most, np.abs(one - two))
    found = loose_pair_field_t(
        current_a=current, spacing_m=spacing, start_m=start, end_m=end, at_m=at
    )
    assert found == pytest.approx(most, rel=1e-3)


def test_a_pair_of_no_length_has_no_field() -> None:
    """All three parts."""
    found = loose_pair_field_t(
        current_a=5.0, spacing_m=0.003, start_m=(1, 1, 1), end_m=(1, 1, 1), at_m=(0, 0, 0.3)
    )
    assert found == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("ratio", [0.05, 0.2, 0.35, 0.5, 0.75, 0.9, 1.1])
def test_twist_by_the_tabled_functions(ratio: float) -> None:
    """Bessel functions by scipy; ratio: distance over pitch."""
    x = 2 * math.pi * ratio
    wanted = x * x * max(kv(0, x) + kv(1, x) / x, kv(1, x) * math.sqrt(1 + 1 / (x * x)))
    found = twist_factor(pitch_m=1.0, distance_m=ratio)
    assert found == pytest.approx(min(1.0, max(wanted, 0.01)), rel=1e-9)


def test_what_is_refused_says_up_to_what() -> None:
    """The bound in the sentence is the bound that is asked."""
    with pytest.raises(NotCovered, match=r"up to 0.06 m"):
        pair_field_t(current_a=1.0, spacing_m=0.07, distance_m=0.3)
    with pytest.raises(NotCovered, match=r"20 uT"):
        worst_deviation_deg(field_t=20e-6, horizontal_field_t=15e-6)
