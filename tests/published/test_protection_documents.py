"""Breakers and fuses: federal item record 5925-00-226-0377, fuse makers' sheets, UL 248-14.

Times between the printed points are computed on log-log paper by hand.
"""

import math

import pytest

from elec.physics import protection
from elec.standards import NotCovered, breaker_band, fuse_band

FAST = breaker_band("fast")
THERMAL = breaker_band("thermal")


@pytest.mark.parametrize(
    ("multiple", "least", "most"),
    [(2, 0.38, 2.5), (4, 0.10, 0.54), (6, 0.05, 0.27), (10, 0.02, 0.12)],
)
def test_item_record_points(multiple: float, least: float, most: float) -> None:
    """Typed from the record's characteristics."""
    assert protection.least_opening_time_s(band=FAST, multiple=multiple) == pytest.approx(least)
    assert protection.greatest_opening_time_s(band=FAST, multiple=multiple) == pytest.approx(most)


def test_between_the_points() -> None:
    """Computed: 3 and 5 times the rating, and the least time at 7.1 times."""
    assert protection.greatest_opening_time_s(band=FAST, multiple=3) == pytest.approx(
        1.020, abs=0.0005
    )
    assert protection.greatest_opening_time_s(band=FAST, multiple=5) == pytest.approx(
        0.369, abs=0.0005
    )
    assert protection.least_opening_time_s(band=FAST, multiple=7.1) == pytest.approx(
        0.0370, abs=0.00005
    )
    assert protection.greatest_opening_time_s(band=THERMAL, multiple=3) == pytest.approx(
        17.1, abs=0.05
    )


def test_ends_of_the_band() -> None:
    assert math.isinf(protection.greatest_opening_time_s(band=FAST, multiple=1.37))
    assert protection.greatest_opening_time_s(band=FAST, multiple=1.38) == 3600
    assert protection.greatest_opening_time_s(band=FAST, multiple=25) == 0.12
    assert protection.least_opening_time_s(band=FAST, multiple=20) == pytest.approx(0.02 / 4)
    assert math.isinf(protection.least_opening_time_s(band=THERMAL, multiple=1.15))
    assert protection.least_opening_time_s(band=THERMAL, multiple=1.16) < 3600


def test_no_least_time_where_the_record_gives_none() -> None:
    with pytest.raises(NotCovered):
        protection.least_opening_time_s(band=FAST, multiple=1.5)
    with pytest.raises(NotCovered):
        protection.least_opening_time_s(band=breaker_band("panel"), multiple=3)
    with pytest.raises(NotCovered):
        protection.least_opening_time_s(band=fuse_band("glass-ul248-14", 5.0), multiple=2)


def test_lamp_inrush_on_the_fast_breaker() -> None:
    """71 A for 20 ms on 10 A: it holds, for it opens not before 37 ms."""
    assert protection.least_opening_time_s(band=FAST, multiple=7.1) > 0.020


def test_coordination_of_fast_breakers() -> None:
    """5 A below 10 A fails at 20 A; 5 A below 15 A holds to 50 A."""

    def margin(current: float, lower: float, upper: float) -> float:
        most = protection.greatest_opening_time_s(band=FAST, multiple=current / lower)
        least = protection.least_opening_time_s(band=FAST, multiple=current / upper)
        return least - most

    assert margin(20, 5, 10) == pytest.approx(0.38 - 0.54)
    assert margin(50, 5, 15) == pytest.approx(0.142 - 0.12, abs=0.0015)
    assert margin(50, 5, 15) > 0


def test_thermal_slope() -> None:
    """0.3 % per kelvin, from memory: holds 0.99 at 71 °C, trips at 1.71 at -54 °C."""
    assert 1.15 * protection.breaker_ambient_factor(ambient_degc=71) == pytest.approx(
        0.99, abs=0.005
    )
    assert 1.38 * protection.breaker_ambient_factor(ambient_degc=-54) == pytest.approx(
        1.71, abs=0.005
    )
    with pytest.raises(NotCovered):
        protection.breaker_ambient_factor(ambient_degc=130)


@pytest.mark.parametrize(
    ("ambient", "allowed"), [(20, 40), (65, 34), (85, 30), (110, 25), (125, 22)]
)
def test_maxi_fuse_in_the_heat(ambient: float, allowed: float) -> None:
    """Sheet of a 40 A MAXI fuse: continuous amperes."""
    factor = protection.fuse_ambient_factor(family="blade-e", ambient_degc=ambient)
    assert 40 * factor == pytest.approx(allowed)


def test_maxi_fuse_lasting_load() -> None:
    """40 A at 85 °C, 75 % of it for a lasting load: 22.5 A."""
    hot = 40 * protection.fuse_ambient_factor(family="blade-e", ambient_degc=85)
    assert 0.75 * hot == pytest.approx(22.5)


@pytest.mark.parametrize(
    ("multiple", "least", "most"), [(1.35, 60, 1800), (2, 2, 50), (3.5, 0.2, 7), (6, 0.04, 1)]
)
def test_maxi_fuse_curve(multiple: float, least: float, most: float) -> None:
    """Sheet of a 40 A MAXI fuse."""
    band = fuse_band("blade-e", 40.0)
    assert protection.least_opening_time_s(band=band, multiple=multiple) == pytest.approx(least)
    assert protection.greatest_opening_time_s(band=band, multiple=multiple) == pytest.approx(most)


@pytest.mark.parametrize(("rating", "most"), [(5.0, 120), (40.0, 240)])
def test_ul_248_14(rating: float, most: float) -> None:
    """200 %: 2 minutes up to 30 A, 4 minutes above; 135 % within the hour."""
    band = fuse_band("glass-ul248-14", rating)
    assert protection.greatest_opening_time_s(band=band, multiple=2) == most
    assert protection.greatest_opening_time_s(band=band, multiple=1.35) == 3600
