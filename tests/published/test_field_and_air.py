"""Magnetic field (MIL-HDBK-419A equation 6-2, line theory) and the US Standard Atmosphere 1976.

Pressures are those of the printed atmosphere tables, from memory; fields computed by hand.
"""

import pytest
from scipy.integrate import quad

from elec.physics import atmosphere, magnetics
from elec.standards import NotCovered

FOOT_M = 0.3048


@pytest.mark.parametrize(
    ("altitude_m", "pascal"),
    [(0, 101325), (1000, 89876), (5000, 54048), (10000, 26500), (20000, 5529.3), (30000, 1197.0)],
)
def test_pressures_of_the_printed_tables(altitude_m: float, pascal: float) -> None:
    """Geometric height, table I, from memory; half of the last digit and one in 10 000."""
    found = atmosphere.pressure_pa(altitude_m=altitude_m)
    assert found == pytest.approx(pascal, rel=1e-4)


@pytest.mark.parametrize(
    ("feet", "ratio"),
    [(5000, 0.8321), (10000, 0.6878), (20000, 0.4599), (40000, 0.1858), (60000, 0.0714)],
)
def test_pressure_ratio(feet: float, ratio: float) -> None:
    found = atmosphere.pressure_ratio(altitude_m=feet * FOOT_M)
    assert found == pytest.approx(ratio, abs=6e-5)


def test_outside_the_layers() -> None:
    for altitude in (-301, 32001):
        with pytest.raises(NotCovered):
            atmosphere.pressure_pa(altitude_m=altitude)


@pytest.mark.parametrize(
    ("current", "distance", "microtesla"),
    [(1, 0.3, 0.6667), (10, 0.3, 6.667), (30, 1, 6.0), (60, 0.5, 24.0)],
)
def test_long_wire(current: float, distance: float, microtesla: float) -> None:
    field = magnetics.wire_field_t(current_a=current, distance_m=distance)
    assert field * 1e6 == pytest.approx(microtesla, rel=1e-4)


def test_square_loop() -> None:
    """2·√2·mu0·I/(π·a) = 56.5685 uT in the middle of 0.2 m, 10 A."""
    corners = [(-0.1, -0.1, 0.0), (0.1, -0.1, 0.0), (0.1, 0.1, 0.0), (-0.1, 0.1, 0.0)]
    total = sum(
        magnetics.piece_field_t(
            current_a=10, start_m=corners[n - 1], end_m=corners[n], at_m=(0, 0, 0)
        )[2]
        for n in range(4)
    )
    assert total * 1e6 == pytest.approx(56.5685, abs=5e-5)


def test_piece_against_integration() -> None:
    """Biot-Savart law integrated along a slanted piece by scipy."""
    start, end, at = (0.1, -0.4, 0.2), (0.5, 0.6, -0.1), (0.3, 0.1, 0.7)
    span = [e - s for s, e in zip(start, end, strict=True)]

    def slice_(t: float, axis: int) -> float:
        arm = [p - s - t * d for p, s, d in zip(at, start, span, strict=True)]
        cube = sum(x * x for x in arm) ** 1.5
        one, two = (axis + 1) % 3, (axis + 2) % 3
        return float(1e-7 * 12 * (span[one] * arm[two] - span[two] * arm[one]) / cube)

    found = magnetics.piece_field_t(current_a=12, start_m=start, end_m=end, at_m=at)
    for axis in range(3):
        expected = quad(slice_, 0, 1, args=(axis,))[0]
        assert found[axis] == pytest.approx(expected, rel=1e-9)


def test_pair_of_finite_wires() -> None:
    """1 m long, 3 mm apart, 10 A, seen from 0.3 m: -0.057165 uT, whatever its name of axis."""
    out = magnetics.piece_field_t(
        current_a=10, start_m=(-0.5, 0.0015, 0), end_m=(0.5, 0.0015, 0), at_m=(0, 0, 0.3)
    )
    back = magnetics.piece_field_t(
        current_a=10, start_m=(0.5, -0.0015, 0), end_m=(-0.5, -0.0015, 0), at_m=(0, 0, 0.3)
    )
    total = [o + b for o, b in zip(out, back, strict=True)]
    assert total[2] * 1e6 == pytest.approx(-0.057165, abs=5e-7)
    assert total[1] == pytest.approx(0, abs=1e-18)


def test_on_the_wire_itself() -> None:
    """No field from a piece on its own line; a long piece is a long wire."""
    assert magnetics.piece_field_t(
        current_a=10, start_m=(0, 0, 0), end_m=(1, 0, 0), at_m=(2, 0, 0)
    ) == (0, 0, 0)
    long = magnetics.piece_field_t(
        current_a=1, start_m=(-1000, 0, 0), end_m=(1000, 0, 0), at_m=(0, 0.3, 0)
    )
    straight = magnetics.wire_field_t(current_a=1, distance_m=0.3)
    assert long[2] == pytest.approx(straight, rel=1e-6)


@pytest.mark.parametrize(
    ("field", "horizontal", "degrees"),
    [(0.5, 15, 1.91), (2, 15, 7.66), (2, 20, 5.74), (5, 25, 11.54)],
)
def test_worst_deviation(field: float, horizontal: float, degrees: float) -> None:
    found = magnetics.worst_deviation_deg(
        field_t=field * 1e-6, horizontal_field_t=horizontal * 1e-6
    )
    assert found == pytest.approx(degrees, abs=0.005)
    with pytest.raises(NotCovered):
        magnetics.worst_deviation_deg(field_t=20e-6, horizontal_field_t=15e-6)
