"""The field of wires, against integrals by scipy and published figures."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import kv

from elec.answers.fields.field import distance_m, pitch_m
from elec.physics.magnetics import (
    loose_pair_field_t,
    pair_field_t,
    piece_field_t,
    piece_field_ut,
    twist_factor,
    wire_field_t,
)

Point = tuple[float, float, float]
COORDINATES = st.tuples(*[st.floats(-3, 3)] * 3)


def integrated_t(current_a: float, start: Point, end: Point, at: Point) -> np.ndarray:
    """Biot-Savart by quadrature over the wire, one component after the other."""
    a, b, p = (np.array(v, float) for v in (start, end, at))

    def part(t: float, axis: int) -> float:
        r = p - (a + t * (b - a))
        return float(np.cross(b - a, r)[axis] / np.linalg.norm(r) ** 3)

    parts = [quad(part, 0, 1, args=(axis,), epsabs=1e-13, epsrel=1e-10)[0] for axis in range(3)]
    return 1e-7 * current_a * np.array(parts)


@settings(deadline=None)
@given(start=COORDINATES, end=COORDINATES, at=COORDINATES)
def test_a_piece_of_wire_against_quadrature(start: Point, end: Point, at: Point) -> None:
    """1e-9: quadrature is asked for 1e-10, and a tenth of a metre keeps the integrand smooth."""
    if distance_m(at, start, end) < 0.1:
        return
    ours = np.array(piece_field_t(current_a=10, start_m=start, end_m=end, at_m=at))
    theirs = integrated_t(10, start, end, at)
    assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-15)


def test_a_run_of_pieces_against_quadrature() -> None:
    run = [(0.0, 0.0, 0.0), (1.5, 0.0, 0.2), (1.5, 2.0, 0.4), (3.0, 2.5, 0.4)]
    at = (1.0, 1.0, -0.5)
    pairs = list(itertools.pairwise(run))
    ours = sum(np.array(piece_field_t(current_a=4, start_m=a, end_m=b, at_m=at)) for a, b in pairs)
    theirs = sum(integrated_t(4, a, b, at) for a, b in pairs)
    assert ours == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize(
    ("amps", "metres", "microtesla"), [(1, 0.3, 0.6667), (30, 1, 6.0), (60, 0.5, 24.0)]
)
def test_long_wire(amps: float, metres: float, microtesla: float) -> None:
    """MIL-HDBK-419A equation 6-2; rounded to four figures."""
    assert wire_field_t(current_a=amps, distance_m=metres) * 1e6 == pytest.approx(
        microtesla, rel=1e-4
    )


def test_a_square_loop() -> None:
    """Textbook: 2·sqrt(2)·mu0·I/(pi·a) in the middle of a square of 0.2 m at 10 A."""
    a = 0.1
    corners = [(a, a, 0.0), (-a, a, 0.0), (-a, -a, 0.0), (a, -a, 0.0), (a, a, 0.0)]
    field = sum(
        piece_field_t(current_a=10, start_m=p, end_m=q, at_m=(0, 0, 0))[2]
        for p, q in itertools.pairwise(corners)
    )
    assert field == pytest.approx(
        2 * math.sqrt(2) * 4e-7 * math.pi * 10 / (math.pi * 0.2), rel=1e-12
    )


@pytest.mark.parametrize(
    "at", [(0.1, 0.2, 0.3), (1.4, 0.2, -0.1), (-0.7, 0.05, 0.0), (0.5, -2.0, 1.0)]
)
def test_the_angles_at_its_ends_say_the_same(at: Point) -> None:
    """Beside the piece, beyond either end and far off: the vector's size, by plain trigonometry."""
    a, b, p = np.array((0.0, 0.0, 0.0)), np.array((1.0, 0.0, 0.0)), np.array(at)
    vector = piece_field_t(current_a=7, start_m=(0, 0, 0), end_m=(1, 0, 0), at_m=at)
    by_angles = piece_field_ut(
        current_a=7,
        distance_m=math.hypot(at[1], at[2]),
        start_cosine=(p - a)[0] / float(np.linalg.norm(p - a)),
        end_cosine=(b - p)[0] / float(np.linalg.norm(b - p)),
    )
    # Rounding; beyond an end the two cosines nearly cancel.
    assert by_angles == pytest.approx(1e6 * float(np.linalg.norm(vector)), rel=1e-9)


def test_two_wires_exactly() -> None:
    """The most in each axis: the two finite wires put side by side, or one over the other."""
    at = (0.0, 0.0, 0.3)
    beside = np.zeros(3)
    over = np.zeros(3)
    for sign in (1, -1):
        shift = sign * 0.0015
        beside += piece_field_t(
            current_a=sign * 10, start_m=(-0.5, shift, 0), end_m=(0.5, shift, 0), at_m=at
        )
        over += piece_field_t(
            current_a=sign * 10, start_m=(-0.5, 0, shift), end_m=(0.5, 0, shift), at_m=at
        )
    most = loose_pair_field_t(
        current_a=10, spacing_m=0.003, start_m=(-0.5, 0, 0), end_m=(0.5, 0, 0), at_m=at
    )
    assert most[2] == pytest.approx(abs(beside[2]), rel=1e-9)
    assert most[1] == pytest.approx(abs(over[1]), rel=1e-9)
    assert abs(beside[2]) * 1e6 == pytest.approx(0.057165, abs=1e-6)


@given(spacing=st.floats(0.001, 0.01), distance=st.floats(0.2, 2.0))
def test_a_long_pair_is_the_pair_formula(spacing: float, distance: float) -> None:
    """0.3 %: wires of 100 m are not endless, and 10 mm is not small against 0.2 m (its square)."""
    most = loose_pair_field_t(
        current_a=5,
        spacing_m=spacing,
        start_m=(-50, 0, 0),
        end_m=(50, 0, 0),
        at_m=(0, 0, distance),
    )
    usual = pair_field_t(current_a=5, spacing_m=spacing, distance_m=distance)
    assert max(most) == pytest.approx(usual, rel=0.003)


@given(st.floats(0.05, 1.2))
def test_twist_against_bessel_functions(distance: float) -> None:
    x = 2 * math.pi * distance
    series = x * x * max(kv(0, x) + kv(1, x) / x, kv(1, x) * math.sqrt(1 + 1 / (x * x)))
    ours = twist_factor(pitch_m=1, distance_m=distance)
    assert ours == pytest.approx(min(1.0, series), rel=1e-9)


def test_twist_published() -> None:
    """Moser and Spencer: 50 dB below the untwisted pair at one and a half pitches; capped at 40."""
    x = 2 * math.pi * 1.5
    series = x * x * max(kv(0, x) + kv(1, x) / x, kv(1, x) * math.sqrt(1 + 1 / (x * x)))
    assert 20 * math.log10(series) == pytest.approx(-50, abs=0.2)
    assert twist_factor(pitch_m=1, distance_m=1.5) == 0.01
    assert twist_factor(pitch_m=0.025, distance_m=2.0) == 0.01


@given(st.floats(0.01, 3), st.floats(1.0, 3.0))
def test_farther_never_more(distance: float, times: float) -> None:
    near = twist_factor(pitch_m=0.03, distance_m=distance)
    assert twist_factor(pitch_m=0.03, distance_m=distance * times) <= near * (1 + 1e-9)


def test_pitch_by_gauge() -> None:
    assert pitch_m("22") == pytest.approx(0.3048 / 10)
    assert pitch_m("26") == pitch_m("22")
    assert pitch_m("0") == pitch_m("4")


def test_a_piece_without_length_adds_nothing() -> None:
    """Two places at one spot with a way between them: no current flows along anything."""
    most = loose_pair_field_t(
        current_a=10, spacing_m=0.003, start_m=(1, 2, 3), end_m=(1, 2, 3), at_m=(0, 0, 0)
    )
    assert most == (0.0, 0.0, 0.0)
