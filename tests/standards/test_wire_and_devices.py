"""Records put together from tables: wire sizes, bands of breakers and fuses."""

import math

import pytest

from elec.standards import (
    AWGS,
    NotCovered,
    breaker_band,
    breaker_classes,
    breaker_ratings_a,
    breaker_resistance_ohm,
    copper,
    fuse_band,
    fuse_families,
    fuse_ratings_a,
    fuse_resistance_ohm,
    table,
)


def test_gauges_run_from_thin_to_thick() -> None:
    areas = [copper(awg).area_mm2 for awg in AWGS]
    assert areas == sorted(areas)
    resistances = [copper(awg).resistance_20degc_ohm_per_m for awg in AWGS]
    assert resistances == sorted(resistances, reverse=True)
    assert copper("20").position < copper("4").position < copper("00").position


@pytest.mark.parametrize("awg", AWGS)
def test_resistance_is_that_of_the_copper_there_is(awg: str) -> None:
    wire = copper(awg)
    # ρ of copper is 0.01724 Ω·mm²/m; lay, tin and tolerance make aircraft wire 3 to 30 % more
    rho = wire.resistance_20degc_ohm_per_m * wire.area_mm2
    assert 1.03 < rho / 0.01724 < 1.31


@pytest.mark.parametrize("awg", AWGS)
def test_mass_in_the_table_is_what_its_formula_gives(awg: str) -> None:
    wire = copper(awg)
    # 8.89 g/cm³ of tinned copper, 2 % of lay, 1.70 g/cm³ of ETFE: the formula in the table's head
    ring = math.pi / 4 * (wire.diameter_mm**2 - wire.conductor_diameter_mm**2)
    computed = (wire.area_mm2 * 8.89 * 1.02 + ring * 1.70) / 1000
    # half of the last printed digit, 0.01 lb per 1000 ft, and 3e-6 of conversion
    assert wire.mass_kg_per_m == pytest.approx(computed, abs=0.006 * 1.48816e-3)


def test_which_table_the_resistance_comes_from() -> None:
    assert copper("20").resistance_note == "AC 43.13-1B table 11-9"
    assert "memory" in copper("0").resistance_note
    assert "memory" in copper("26").resistance_note
    assert copper("0").table_current_a == ((105.0, 128.0), (150.0, 192.0), (200.0, 243.0))
    assert copper("26").table_current_a == ()


def test_two_tables_of_resistance_agree_within_the_printed_digit() -> None:
    fine = table("mil_w_22759/wire_copper")
    for row in table("ac4313/wire_copper"):
        if row.text("awg") == "24":
            continue  # 28.40 in AC 43.13-1B, 26.2 in the wire specification: known disagreement
        printed = row.number("resistance_20degc_ohm_per_kft")
        other = fine.row(awg=row.text("awg")).number("resistance_20degc_ohm_per_kft")
        assert abs(printed - other) <= 0.0051, row.text("awg")  # half of 0.01


def test_unknown_gauge() -> None:
    with pytest.raises(NotCovered, match="AWG 21"):
        copper("21")


@pytest.mark.parametrize("name", breaker_classes())
def test_breaker_bands_are_ordered(name: str) -> None:
    band = breaker_band(name)
    multiples = [p.multiple for p in band.points]
    assert multiples == sorted(multiples)
    for point in band.points:
        if point.least_s is not None and point.most_s is not None:
            assert point.least_s <= point.most_s
    times = [p.most_s for p in band.points if p.most_s is not None]
    assert times == sorted(times, reverse=True)
    assert band.ultimate_trip is None or band.ultimate_trip > band.hold


@pytest.mark.parametrize("family", fuse_families())
def test_fuse_bands_are_ordered(family: str) -> None:
    for row in table("elec/fuse_curves").select(family=family):
        band = fuse_band(family, row.number("rating_from_a"))
        times = [p.most_s for p in band.points if p.most_s is not None]
        assert times == sorted(times, reverse=True)
        least = [p.least_s for p in band.points if p.least_s is not None]
        assert least == sorted(least, reverse=True)


def test_a_band_is_as_sure_as_its_least_sure_point() -> None:
    assert breaker_band("thermal").cite.certainty == "memory"
    assert breaker_band("fast").cite.certainty == "seen"
    assert fuse_band("blade-c", 10.0).cite.certainty == "memory"
    assert fuse_band("blade-c", 35.0).cite.certainty == "quoted"


def test_hold_and_ultimate_trip() -> None:
    thermal = breaker_band("thermal")
    assert (thermal.hold, thermal.ultimate_trip) == (1.15, 1.38)
    assert breaker_band("fast").hold == 1.0
    assert math.isinf(breaker_band("panel").points[0].least_s or 0)


def test_unknown_devices() -> None:
    with pytest.raises(NotCovered, match="known are"):
        breaker_band("magic")
    with pytest.raises(NotCovered, match="known are"):
        fuse_band("blade-c", 41.0)
    with pytest.raises(NotCovered, match="no ratings"):
        fuse_ratings_a("strip-limiter")


def test_ratings_rise() -> None:
    assert list(breaker_ratings_a()) == sorted(breaker_ratings_a())
    assert fuse_ratings_a("blade-c") == (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40)


def test_resistances() -> None:
    assert breaker_resistance_ohm(1.0)[0] == 0.85
    assert breaker_resistance_ohm(1.0)[1].certainty == "memory"
    middle, _ = breaker_resistance_ohm(4.0)
    assert breaker_resistance_ohm(5.0)[0] < middle < breaker_resistance_ohm(3.0)[0]
    assert fuse_resistance_ohm("blade-c", 2.0)[0] == pytest.approx(0.0535)


@pytest.mark.parametrize(
    ("family", "rating_a", "mohm"),
    [
        ("blade-c", 3.0, 32.5),  # by hand: 53.5 · (22.8/53.5)^(ln 1.5/ln 2), between 2 and 4 A
        ("blade-c", 35.0, 1.67),  # √(1.97 · 1.44) is 1.68 at 34.6 A
        ("blade-f", 3.0, 32.5),  # as another blade
        ("blade-e", 20.0, 3.38),
        ("blade-e", 30.0, 1.9),  # its own
        ("blade-e", 80.0, 0.7),  # beyond 40 A the drop at the rating stays: 1.4 · 40/80
    ],
)
def test_a_fuse_that_no_sheet_has_resists_as_its_neighbours(
    family: str, rating_a: float, mohm: float
) -> None:
    """Not as a bolted joint: 0.1 V at 3 A is a tenth of the drop that a builder allows."""
    assert fuse_resistance_ohm(family, rating_a)[0] * 1000 == pytest.approx(mohm, rel=0.01)


def test_of_what_fuses_no_sheet_speaks_nothing_is_made_up() -> None:
    with pytest.raises(NotCovered):
        fuse_resistance_ohm("sf30", 60.0)
    with pytest.raises(NotCovered):
        fuse_resistance_ohm("blade-c", 4711.0)
