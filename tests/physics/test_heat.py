"""Heat: the compact law turned round, its bounds, and first principles beside it."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from elec.physics import atmosphere, cylinder, drop, heat
from elec.standards import AWGS, NotCovered, WireSize, copper, table
from elec.standards.wire import COPPER_ZERO_DEGC

gauges = st.sampled_from(AWGS)


def _first_principles(
    size: WireSize, *, ambient: float, conductor: float, wires: float = 1, loading: float = 1
) -> float:
    warm = size.resistance_20degc_ohm_per_m * (234.5 + conductor) / 254.5
    return cylinder.first_principles_current_a(
        diameter_m=size.diameter_mm / 1000,
        conductor_diameter_m=size.conductor_diameter_mm / 1000,
        resistance_ohm_per_m=warm,
        ambient_degc=ambient,
        conductor_degc=conductor,
        pressure_pa=101325,
        wires=wires,
        loading=loading,
        emissivity=0.85,
        insulation_w_per_m_k=0.24,
        bundle_w_per_m_k=0.145,
    )


def test_conductor_temperature_by_root_finding() -> None:
    """scipy's brentq on the capacity of AWG 20, 15 wires at 50 %, 10 000 ft, 40 °C: 109.9 °C."""
    size = copper("20")
    factor = heat.bundle_factor(wires=15, loading=0.5)
    height = heat.altitude_factor(pressure_ratio=atmosphere.pressure_ratio(altitude_m=3048))

    def missing(conductor: float) -> float:
        return (
            heat.ampacity_a(
                free_air_b=size.free_air_b,
                free_air_m=size.free_air_m,
                ambient_degc=40,
                rated_degc=conductor,
                bundle_factor=factor,
                altitude_factor=height,
            )
            - 7.5
        )

    root = brentq(missing, 41, 280)
    found = heat.conductor_temperature_degc(
        current_a=7.5,
        free_air_b=size.free_air_b,
        free_air_m=size.free_air_m,
        ambient_degc=40,
        bundle_factor=factor,
        altitude_factor=height,
    )
    assert found == pytest.approx(root, abs=1e-6)
    assert found == pytest.approx(109.9, abs=0.05)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(gauges, st.floats(1, 40), st.floats(0, 1), st.floats(0.0715, 1), st.floats(-20, 90))
def test_capacity_and_temperature_are_inverse(
    awg: str, wires: float, loading: float, ratio: float, ambient: float
) -> None:
    size = copper(awg)
    common = {
        "free_air_b": size.free_air_b,
        "free_air_m": size.free_air_m,
        "ambient_degc": ambient,
        "bundle_factor": heat.bundle_factor(wires=wires, loading=loading),
        "altitude_factor": heat.altitude_factor(pressure_ratio=ratio),
    }
    allowed = heat.ampacity_a(rated_degc=150, **common)
    warm = heat.conductor_temperature_degc(current_a=allowed, **common)
    assert warm == pytest.approx(150, abs=1e-6)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.floats(1, 39), st.floats(0, 0.99), st.floats(0, 1), st.floats(0, 0.01))
def test_factors_never_rise(wires: float, loading: float, more: float, step: float) -> None:
    base = heat.bundle_factor(wires=wires, loading=loading)
    assert heat.bundle_factor(wires=wires + more, loading=loading) <= base
    assert heat.bundle_factor(wires=wires, loading=loading + step) <= base
    assert 0 < base <= 1


def test_careful_estimate_is_above_the_expected_one() -> None:
    """AC form against the power law, share of the full rise at 50 % current: 0.707 and 0.229."""
    careful = heat.careful_temperature_degc(
        current_a=5, allowed_current_a=10, ambient_degc=0, rated_degc=100
    )
    assert careful == pytest.approx(70.7, abs=0.05)
    expected = 100 * 0.5 ** (1 / 0.47)
    assert expected == pytest.approx(22.9, abs=0.05)
    for awg in AWGS:
        size = copper(awg)
        allowed = size.free_air_b * 100**size.free_air_m
        likely = heat.conductor_temperature_degc(
            current_a=allowed / 2,
            free_air_b=size.free_air_b,
            free_air_m=size.free_air_m,
            ambient_degc=0,
            bundle_factor=1,
            altitude_factor=1,
        )
        assert likely < careful


def test_careful_estimate_covers_0_to_the_allowed_current() -> None:
    common = {"allowed_current_a": 10.0, "ambient_degc": 50.0, "rated_degc": 150.0}
    assert heat.careful_temperature_degc(current_a=0, **common) == 50
    assert heat.careful_temperature_degc(current_a=10, **common) == 150
    assert (
        heat.careful_temperature_degc(
            current_a=0, allowed_current_a=0, ambient_degc=50, rated_degc=50
        )
        == 50
    )
    for current in (-1.0, 10.1):
        with pytest.raises(NotCovered):
            heat.careful_temperature_degc(current_a=current, **common)


@pytest.mark.parametrize(
    ("awg", "single", "bundled"),
    [
        ("22", 13.9, 7.8),
        ("20", 18.4, 10.3),
        ("16", 28.8, 16.2),
        ("10", 66.7, 37.5),
        ("2", 257.1, 144.4),
    ],
)
def test_handy_values(awg: str, single: float, bundled: float) -> None:
    """150 °C wire in 50 °C: alone at sea level; 10 wires at 50 %, 10 000 ft; by another program."""
    size = copper(awg)
    height = heat.altitude_factor(pressure_ratio=atmosphere.pressure_ratio(altitude_m=3048))
    for factor, altitude, expected in (
        (1.0, 1.0, single),
        (heat.bundle_factor(wires=10, loading=0.5), height, bundled),
    ):
        found = heat.ampacity_a(
            free_air_b=size.free_air_b,
            free_air_m=size.free_air_m,
            ambient_degc=50,
            rated_degc=150,
            bundle_factor=factor,
            altitude_factor=altitude,
        )
        assert found == pytest.approx(expected, abs=0.06)


def test_free_air_against_first_principles() -> None:
    """Every reading of MIL-W-5088L figure 3: mean -6 %, each within 15 %."""
    errors = []
    for row in table("mil_w_5088/free_air"):
        if row.cite.document != "mil_w_5088":
            continue
        size = copper(row.text("awg"))
        rise = row.number("rise_k")
        found = _first_principles(size, ambient=60, conductor=60 + rise)
        errors.append(found / row.number("current_a") - 1)
    assert len(errors) == 27
    assert max(abs(e) for e in errors) < 0.15
    assert sum(errors) / len(errors) == pytest.approx(-0.058, abs=0.01)


def test_bundle_against_first_principles() -> None:
    """AWG 20, fitted bundle conductivity: 3 % rms, 7 % at most, over all readings of 2 to 20."""
    size = copper("20")
    alone = _first_principles(size, ambient=60, conductor=200)
    errors = []
    for row in table("mil_w_5088/bundle_derating"):
        wires, percent = row.number("wires_count"), row.number("loading_percent")
        if not 2 <= wires <= 20:
            continue
        found = _first_principles(
            size, ambient=60, conductor=200, wires=wires, loading=percent / 100
        )
        errors.append(found / alone / row.number("factor") - 1)
    assert len(errors) >= 90
    assert math.sqrt(sum(e * e for e in errors) / len(errors)) < 0.03
    assert max(abs(e) for e in errors) < 0.07


@pytest.mark.parametrize("awg", ["24", "20", "16", "10", "4"])
@pytest.mark.parametrize("rise", [1.0, 3.0, 10.0, 20.0, 29.0])
def test_small_rises_below_the_figure(awg: str, rise: float) -> None:
    """Below 30 K the figure has no reading: within 2 K of first principles matched at 30 K."""
    size = copper(awg)

    def law(rise_k: float) -> float:
        return heat.free_air_current_a(
            free_air_b=size.free_air_b, free_air_m=size.free_air_m, rise_k=rise_k
        )

    match = law(30) / _first_principles(size, ambient=50, conductor=80)
    true = brentq(
        lambda t: match * _first_principles(size, ambient=50, conductor=50 + t) - law(rise),
        0.001,
        90,
    )
    assert true == pytest.approx(rise, abs=2.0)


def test_no_current_no_rise() -> None:
    size = copper("20")
    found = heat.conductor_temperature_degc(
        current_a=0,
        free_air_b=size.free_air_b,
        free_air_m=size.free_air_m,
        ambient_degc=50,
        bundle_factor=1,
        altitude_factor=1,
    )
    assert found == 50
    assert (
        heat.ampacity_a(
            free_air_b=size.free_air_b,
            free_air_m=size.free_air_m,
            ambient_degc=150,
            rated_degc=150,
            bundle_factor=1,
            altitude_factor=1,
        )
        == 0
    )


def test_outside_the_curves() -> None:
    # The published curve ends at 40 wires; its law goes on, always downwards.
    many = [heat.bundle_factor(wires=n, loading=0.2) for n in (40, 41, 70, 100)]
    assert many == sorted(many, reverse=True)
    assert len(set(many)) == len(many)
    with pytest.raises(NotCovered, match="at most 1"):
        heat.bundle_factor(wires=5, loading=1.2)
    with pytest.raises(NotCovered, match="60 000 ft"):
        heat.altitude_factor(pressure_ratio=0.05)
    with pytest.raises(NotCovered, match="250 K"):
        heat.free_air_current_a(free_air_b=2, free_air_m=0.5, rise_k=251)
    with pytest.raises(NotCovered, match="250 K"):
        heat.conductor_temperature_degc(
            current_a=100,
            free_air_b=2.183,
            free_air_m=0.4629,
            ambient_degc=50,
            bundle_factor=1,
            altitude_factor=1,
        )
    with pytest.raises(NotCovered, match="above ambient"):
        _first_principles(copper("20"), ambient=100, conductor=100)


def test_loading_below_the_lowest_curve() -> None:
    assert heat.bundle_factor(wires=10, loading=0.05) == heat.bundle_factor(wires=10, loading=0.2)


def test_drop_and_its_inverses() -> None:
    r = copper("18").resistance_20degc_ohm_per_m
    volts = drop.wire_drop_v(
        resistance_20degc_ohm_per_m=r,
        length_m=8,
        current_a=5,
        conductor_degc=20,
        joint_ohm=0,
        zero_degc=COPPER_ZERO_DEGC,
    )
    assert drop.longest_run_m(
        allowed_v=volts, resistance_ohm_per_m=r, current_a=5
    ) == pytest.approx(8)
    with pytest.raises(NotCovered):
        drop.longest_run_m(allowed_v=1, resistance_ohm_per_m=r, current_a=0)
