"""Short-circuit heating of copper: IEC 60949 and IEC 60364-5-54, the laws that the program uses.

k of 115 and 143 A·s^0.5/mm² are tabled in IEC 60364-5-54 (from memory); the other results were
computed from the published forms, independently of the program.
"""

import math

import pytest

from elec.physics import damage
from elec.standards import NotCovered, copper


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
    assert math.sqrt(copper("20").heat_j_per_k_mm3 * 254.5 / 17.241e-6) == pytest.approx(
        226, abs=0.5
    )


def test_one_second_rating() -> None:
    """PVC wire of 2.5 mm², 1 s."""
    assert damage.short_time_current_a(adiabatic_k=115, area_mm2=2.5, duration_s=1) == 287.5


def test_limit_below_start() -> None:
    with pytest.raises(NotCovered):
        damage.adiabatic_k(start_degc=160, limit_degc=160)
