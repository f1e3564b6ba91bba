"""Short-circuit heating of copper: IEC 60949 and IEC 60364-5-54, ICEA P-32-382, Onderdonk, Preece.

k of 115 and 143 A·s^0.5/mm² are tabled in IEC 60364-5-54 (from memory); the other results were
computed from the published forms, independently of the program.
"""

import math

import pytest

from elec.physics import damage
from elec.standards import NotCovered


@pytest.mark.parametrize(
    ("start", "limit", "k"),
    [
        (70, 160, 115.0),
        (90, 250, 143.1),
        (30, 160, 142.9),
        (105, 160, 87.6),
        (70, 230, 146.9),
        (150, 230, 98.3),
        (150, 260, 113.4),
        (200, 300, 102.9),
        (20, 1083, 289.8),
    ],
)
def test_k_values(start: float, limit: float, k: float) -> None:
    """IEC 60364-5-54 rule k = 226·√ln(…)."""
    assert damage.adiabatic_k(start_degc=start, limit_degc=limit) == pytest.approx(k, abs=0.06)


def test_the_constant_226_follows_from_copper() -> None:
    """IEC 60949: √(3.45e-3·254.5/17.241e-6) = 225.7 against the printed 226."""
    assert math.sqrt(damage.COPPER_HEAT_J_PER_K_MM3 * 254.5 / 17.241e-6) == pytest.approx(
        226, abs=0.5
    )


def test_one_second_rating() -> None:
    """PVC wire of 2.5 mm², 1 s."""
    assert damage.short_time_current_a(adiabatic_k=115, area_mm2=2.5, duration_s=1) == 287.5


def test_onderdonk_current_and_the_sign_error() -> None:
    """2581 circular mil, 5 s, 25 °C: 168.9 A; a copy with the wrong sign prints 178 A."""
    current = damage.onderdonk_current_a(circular_mils=2581, duration_s=5, ambient_degc=25)
    assert current == pytest.approx(168.9, abs=0.05)
    assert abs(current - 178) > 5


def test_onderdonk_time() -> None:
    """4110 circular mil, 400 A, 25 °C: 2.26 s; 2.50 s with the wrong sign."""
    time = damage.onderdonk_time_s(circular_mils=4110, current_a=400, ambient_degc=25)
    assert time == pytest.approx(2.26, abs=0.005)


def test_onderdonk_ends_at_ten_seconds() -> None:
    with pytest.raises(NotCovered, match="10 s"):
        damage.onderdonk_current_a(circular_mils=2581, duration_s=11, ambient_degc=25)
    with pytest.raises(NotCovered, match="10 s"):
        damage.onderdonk_time_s(circular_mils=2581, current_a=100, ambient_degc=25)


def test_icea() -> None:
    """400 circular mil, 10 ms, 25 to 1083 °C: quoted as about 600 A, computed 579 A."""
    current = damage.icea_current_a(
        circular_mils=400, duration_s=0.01, start_degc=25, limit_degc=1083
    )
    assert current == pytest.approx(579, abs=0.5)


def test_three_laws_agree() -> None:
    """IEC, ICEA and Onderdonk are one law: within 1.5 % for AWG 20, 1 s, 25 to 1083 °C."""
    k = damage.adiabatic_k(start_degc=25, limit_degc=1083)
    iec = damage.short_time_current_a(adiabatic_k=k, area_mm2=0.61616, duration_s=1)
    icea = damage.icea_current_a(circular_mils=1216, duration_s=1, start_degc=25, limit_degc=1083)
    onderdonk = damage.onderdonk_current_a(circular_mils=1216, duration_s=1, ambient_degc=25)
    assert icea == pytest.approx(iec, rel=0.015)
    assert onderdonk == pytest.approx(iec, rel=0.015)


def test_preece() -> None:
    """0.0524 in."""
    assert damage.preece_current_a(diameter_in=0.0524) == pytest.approx(122.9, abs=0.05)


def test_limit_below_start() -> None:
    with pytest.raises(NotCovered):
        damage.adiabatic_k(start_degc=160, limit_degc=160)
