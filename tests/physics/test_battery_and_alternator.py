"""Battery and alternator formulas against integration and an outside fit."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, curve_fit

from elec.physics import alternator, battery
from elec.standards import NotCovered

Vector = np.ndarray[tuple[int], np.dtype[np.float64]]

CELL = {"capacity_ah": 18.0, "rated_h": 1.0, "peukert_exponent": 1.12}


def test_varying_current_against_integration() -> None:
    """12 A falling to 6 A over an hour, then steady: charge left after 90 minutes.

    The integral of drawn_share_per_h by scipy against the closed form of a falling power; capacity
    rated over 20 h, so that every current is above the rated one.
    """
    cell = {"capacity_ah": 18.0, "rated_h": 20.0, "peukert_exponent": 1.12}

    def current(hour: float) -> float:
        return 12 - 6 * hour if hour < 1 else 6

    def slope(hour: float, _: Vector) -> list[float]:
        return [battery.drawn_share_per_h(current_a=current(hour), **cell)]

    run = solve_ivp(slope, (0, 1.5), [0.0], rtol=1e-9, atol=1e-12, max_step=0.02)
    k, rated = 1.12, 18 / 20
    falling = (12 ** (k + 1) - 6 ** (k + 1)) / (6 * (k + 1))
    expected = (falling + 0.5 * 6**k) / (20 * rated**k)
    assert float(run.y[0][-1]) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("current", [20.0, 40.0, 90.0])
def test_time_share_and_capacity_agree(current: float) -> None:
    hours = battery.discharge_time_h(current_a=current, **CELL)
    assert hours * current == pytest.approx(
        battery.equivalent_capacity_ah(current_a=current, **CELL)
    )
    assert hours * battery.drawn_share_per_h(current_a=current, **CELL) == pytest.approx(1)


def test_no_benefit_below_the_rated_current() -> None:
    assert battery.drawn_share_per_h(current_a=9, **CELL) == pytest.approx(0.5)
    with pytest.raises(NotCovered):
        battery.discharge_time_h(current_a=0, **CELL)


def test_constant_power_by_root_finding() -> None:
    """The greater root of V·(E - V)/R = P, by scipy."""
    root = brentq(lambda v: v * (12.6 - v) / 0.03 - 900, 6.3, 12.6)
    found = battery.constant_power_v(rest_v=12.6, resistance_ohm=0.03, power_w=900)
    assert found == pytest.approx(root)
    limit = battery.greatest_power_w(rest_v=12.6, resistance_ohm=0.03)
    at_limit = battery.constant_power_v(rest_v=12.6, resistance_ohm=0.03, power_w=limit)
    assert at_limit == pytest.approx(6.3)


def test_scaled_resistance() -> None:
    """A 24 V battery of 35 Ah like a 12 V one of 17 Ah and 7 milliohm."""
    found = battery.scaled_resistance_ohm(
        known_resistance_ohm=0.007, known_capacity_ah=17, capacity_ah=35, cells_ratio=2
    )
    assert found == pytest.approx(0.0068)


POINTS = [(1300.0, 16.0), (2500.0, 41.0), (5000.0, 48.0)]


def test_fit_against_scipy() -> None:
    def law(n: Vector, final: float, constant: float) -> Vector:
        return final * (1 - np.exp((1000 - n) / constant))

    speeds, currents = np.array([n for n, _ in POINTS]), np.array([i for _, i in POINTS])
    expected, _ = curve_fit(law, speeds, currents, p0=[50.0, 800.0])
    found = alternator.fitted_law(points=POINTS, start_rpm=1000)
    assert found.final_current_a == pytest.approx(expected[0], rel=1e-4)
    assert found.constant_rpm == pytest.approx(expected[1], rel=1e-4)


def test_fit_gives_back_an_exact_law() -> None:
    law = alternator.OutputLaw(final_current_a=60, start_rpm=900, constant_rpm=1500)
    points = [(n, alternator.law_output_a(law=law, speed_rpm=n)) for n in (1500, 3000, 8000)]
    found = alternator.fitted_law(points=points, start_rpm=900)
    assert found.final_current_a == pytest.approx(60, rel=1e-6)
    assert found.constant_rpm == pytest.approx(1500, rel=1e-6)
    with pytest.raises(NotCovered):
        alternator.fitted_law(points=points[:1], start_rpm=900)
    with pytest.raises(NotCovered):
        alternator.fitted_law(points=points, start_rpm=1500)


def test_curve() -> None:
    curve = [(1000.0, 8.0), (1700.0, 30.0), (2600.0, 40.0)]
    for rpm, amps in ((1000, 8), (1350, 19), (1700, 30), (2150, 35), (2600, 40), (2800, 40)):
        assert alternator.curve_output_a(curve=curve, speed_rpm=rpm) == pytest.approx(amps)
    with pytest.raises(NotCovered, match="from 1000 rpm"):
        alternator.curve_output_a(curve=curve, speed_rpm=999)
    with pytest.raises(NotCovered, match="no point"):
        alternator.curve_output_a(curve=[], speed_rpm=999)


@pytest.mark.parametrize(
    ("current", "output", "share"),
    [(55, 60, 0.917), (47, 60, 0.783), (58, 60, 0.967), (48, 60, 0.8)],
)
def test_share(current: float, output: float, share: float) -> None:
    found = alternator.load_share(current_a=current, output_a=output)
    assert found == pytest.approx(share, abs=0.0005)
    with pytest.raises(NotCovered):
        alternator.load_share(current_a=current, output_a=0)


def test_setpoint_falls_with_heat() -> None:
    """0.1 V for each 10 °C, engine manual; bands of vehicles at 60 °C are 13.2 to 14.3 V."""
    warm = alternator.setpoint_v(setpoint_20degc_v=14.4, temperature_degc=60)
    assert warm == pytest.approx(14.0)
    assert 13.2 <= warm <= 14.3
    with pytest.raises(NotCovered):
        alternator.setpoint_v(setpoint_20degc_v=14.4, temperature_degc=90)
    assert math.isclose(alternator.setpoint_v(setpoint_20degc_v=14.4, temperature_degc=20), 14.4)
