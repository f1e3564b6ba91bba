"""Where each formula ends: it holds at its bound, and says so a hair beyond."""

import math
from collections.abc import Callable
from typing import Any

import pytest

from elec.physics import (
    alternator,
    atmosphere,
    battery,
    bundle,
    coax,
    contact,
    cylinder,
    damage,
    drop,
    fault,
    heat,
    load,
    magnetics,
    protection,
    switch,
    wire,
)
from elec.standards import NotCovered

LINE = {"free_air_b": 2.183, "free_air_m": 0.4629}
FORM = {
    "budget_ampere_minutes": 1575.0, "recognition_min": 5.0, "recognition_current_a": 43.5,
    "landing_min": 10.0, "landing_current_a": 48.1,
}  # fmt: skip
MOST = heat.free_air_current_a(**LINE, rise_k=250)
BALANCE = {
    "ambient_degc": 70.0, "resistance_20degc_ohm_per_m": 0.03, "zero_degc": -234.5,
}  # fmt: skip


def _settled(lost: float) -> float:
    return damage.settled_k(
        heat_loss_w_per_k_m=lost, heat_made_w_per_k_m=1.0, ambient_degc=0, zero_degc=-234.5
    )


def _loss(ambient: float) -> float:
    given = {**BALANCE, "ambient_degc": ambient}
    return damage.heat_loss_w_per_k_m(current_a=7, conductor_degc=150, **given)


def _cold(degc: float) -> float:
    return battery.cold_resistance_ohm(
        resistance_25degc_ohm=1, temperature_degc=degc, rise_share_per_k=0.008
    )


def _frozen(degc: float) -> float:
    return battery.frozen_factor(temperature_degc=degc, share_at_18_below=0.5)


def _careful(amps: float) -> float:
    return heat.careful_temperature_degc(
        current_a=amps, allowed_current_a=10, ambient_degc=50, rated_degc=150
    )


def _warm(amps: float) -> float:
    return heat.conductor_temperature_degc(
        current_a=amps, **LINE, ambient_degc=0, bundle_factor=0.5, altitude_factor=0.8
    )


def _pressure(metres: float) -> float:
    return atmosphere.pressure_ratio(altitude_m=metres)


def _capacity(hours: float) -> float:
    return battery.one_hour_capacity_ah(capacity_ah=1, rated_h=hours, peukert_exponent=1.1)


def _rated(hours: float) -> float:
    return battery.rated_charge_ah(curve=[(1.0, 85.0), (5.0, 100.0)], discharge_h=hours)


def _accepted(hours: float) -> float:
    return battery.accepted_current_a(
        state_of_charge=0.5, capacity_ah=1, most_a=9e9, charge_h=hours
    )


def _alone(degc: float) -> float:
    return cylinder.first_principles_current_a(
        diameter_m=0.0015, conductor_diameter_m=0.001, resistance_ohm_per_m=0.05, ambient_degc=60,
        conductor_degc=degc, pressure_pa=101325, wires=1, loading=1, emissivity=0.85,
        insulation_w_per_m_k=0.24, bundle_w_per_m_k=0.145,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("formula", "inside", "outside"),
    [
        (_capacity, 1e-6, 0.0),
        (_rated, 1e-6, 0.0),
        (_accepted, 1e-6, 0.0),
        (lambda a: battery.shed_time_min(**FORM, shed_current_a=a), 1e-6, 0.0),
        (_frozen, -40.0, -40.01),
        (_frozen, 0.0, 0.01),
        (_cold, -30.0, -30.01),
        (_cold, 60.0, 60.01),
        (_pressure, -300.0, -300.1),
        (_pressure, 32000.0, 32000.1),
        (lambda r: heat.free_air_current_a(**LINE, rise_k=r), 0.0, -0.01),
        (lambda r: heat.free_air_current_a(**LINE, rise_k=r), 250.0, 250.01),
        (lambda n: heat.bundle_factor(wires=n, loading=0.5), 1.0, 0.99),
        (lambda p: heat.bundle_factor(wires=5, loading=p), 1.0, 1.01),
        (lambda d: heat.altitude_factor(pressure_ratio=d), 0.07, 0.0699),
        (lambda d: heat.altitude_factor(pressure_ratio=d), 1.04, 1.0401),
        (_warm, 0.4 * MOST, 0.4001 * MOST),
        (_careful, 0.0, -0.01),
        (_careful, 10.0, 10.01),
        (_alone, 60.1, 60.0),
        (lambda t: damage.adiabatic_k(start_degc=160, limit_degc=t), 160.01, 160.0),
        (_loss, 149.9, 150.0),
        (_settled, 1 + 1.1e-9, 1 + 0.9e-9),
        (_settled, 1 - 1.1e-9, 1 - 0.9e-9),
        (lambda a: drop.longest_run_m(allowed_v=1, resistance_ohm_per_m=1, current_a=a), 1e-6, 0.0),
        (lambda r: fault.prospective_current_a(source_v=1, loop_ohm=r), 1e-6, 0.0),
        (lambda s: load.average_a(uses=[], interval_s=s), 1e-6, 0.0),
        (lambda n: contact.loading_factor(loaded=n, contacts=20), 1, 0),
        (lambda n: contact.loading_factor(loaded=n, contacts=20), 20, 21),
        (lambda t: protection.breaker_ambient_factor(ambient_degc=t), -55.0, -55.1),
        (lambda t: protection.breaker_ambient_factor(ambient_degc=t), 121.0, 121.1),
        (lambda v: switch.needed_rating_a(current_a=1, nominal_v=v, load="lamp"), 24.0, 48.0),
        (lambda x: wire.mark_count(length_in=x, end_in=3, every_in=15), 0.0, -0.01),
        (
            lambda s: magnetics.pair_field_t(current_a=1, spacing_m=s, distance_m=1.0),
            0.2,
            0.201,
        ),
        (lambda b: magnetics.worst_deviation_deg(field_t=b, horizontal_field_t=1), 0.0, -1e-9),
        (lambda b: magnetics.worst_deviation_deg(field_t=b, horizontal_field_t=1), 0.999, 1.0),
        (lambda n: alternator.curve_output_a(curve=[(9.0, 1.0)], speed_rpm=n), 9.0, 8.99),
    ],
)
def test_it_holds_at_its_bound_and_not_beyond(
    formula: Callable[[Any], float], inside: float, outside: float
) -> None:
    assert math.isfinite(formula(inside))
    with pytest.raises(NotCovered):
        formula(outside)


def _clothed(insulation: str) -> float:
    """Heat that the insulation alone takes, 2 mm over a conductor of 1 mm."""
    heat = damage.insulation_heat_j_per_k_mm3(insulation=insulation)
    return damage.heat_capacity_j_per_k_m(
        area_mm2=0.0, heat_j_per_k_mm3=0.0, insulation_j_per_k_mm3=heat, diameter_mm=2,
        conductor_diameter_mm=1,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("found", "expected"),
    [
        # An endurance: the charge is gone just as the failure is seen, and just at landing.
        (
            lambda: battery.endurance_min(
                **{**FORM, "budget_ampere_minutes": 217.5}, shed_current_a=34
            ),
            5,
        ),
        (
            lambda: battery.endurance_min(
                **{**FORM, "budget_ampere_minutes": 698.5}, shed_current_a=34
            ),
            15,
        ),
        # A single rating; the slowest; quicker than the quickest keeps the slope (Peukert's law).
        (lambda: _rated(5.0), 100.0),
        (lambda: _rated(0.2), 85 * 0.2 ** (1 - 1 / 1.11232)),
        (
            lambda: battery.rated_share_per_h(curve=[(1.0, 85.0), (5.0, 100.0)], current_a=170),
            2**1.11232,
        ),
        (
            lambda: battery.rated_share_per_h(curve=[(1.0, 85.0), (5.0, 100.0)], current_a=40),
            0.2 * 2**1.11232,
        ),
        (
            lambda: battery.accepted_current_a(
                state_of_charge=1.1, capacity_ah=18, most_a=7, charge_h=1
            ),
            0,
        ),
        # The ends of a straight line that would go below nothing.
        (lambda: battery.frozen_factor(temperature_degc=-40, share_at_18_below=0.4), 0),
        # 30 and 60 min belong to the class between them.
        (lambda: battery.temperature_factor(temperature_degc=0, discharge_min=30), 0.82),
        (lambda: battery.temperature_factor(temperature_degc=0, discharge_min=60), 0.82),
        (lambda: battery.temperature_factor(temperature_degc=0, discharge_min=29.9), 0.80),
        # One contact of a few is not among others; of several in parallel one alone has all.
        (lambda: contact.hardest_contact_a(contacts=1, current_a=15, share=0.8), 15),
        (lambda: contact.hardest_contact_a(contacts=2, current_a=16, share=0.8), 10),
        (
            lambda: coax.longest_m(
                allowed_db=1, attenuation_db_per_m=1, connectors=3, connector_loss_db=0.5
            ),
            0,
        ),
        (
            lambda: coax.loss_db(
                attenuation_db_per_m=0.5, length_m=4, connectors=2, connector_loss_db=0.25
            ),
            2.5,
        ),
        # Between the peaks a current rests at what makes up the average: √(0.5·9 + 0.5·1).
        (lambda: load.pulsing_a(average_a=2, peak_a=3, duty=0.5), math.sqrt(5)),
        (lambda: load.pulsing_a(average_a=1, peak_a=3, duty=0.5), math.sqrt(4.5)),
        (lambda: load.momentary_a(currents=[(3, "g"), (5, "g"), (4, "g")]), 5),
        # AC 43.13-1B 11-208: no mark below 3 in, one from 3 to 7 in.
        (lambda: wire.mark_count(length_in=2.99, end_in=3, every_in=15), 0),
        (lambda: wire.mark_count(length_in=3, end_in=3, every_in=15), 1),
        (lambda: wire.mark_count(length_in=7, end_in=3, every_in=15), 1),
        (lambda: wire.mark_count(length_in=7.01, end_in=3, every_in=15), 2),
        (lambda: bundle.diameter_mm(diameters_mm=[2.0, 3.0]), 5),
        (
            lambda: _clothed("ptfe"),
            1000 * 2.2e-3 * 0.75 * math.pi,
        ),
        (
            lambda: _clothed("pvc"),
            1000 * 1.9e-3 * 0.75 * math.pi,
        ),
        (lambda: alternator.curve_output_a(curve=[(9.0, 1.0)], speed_rpm=99), 1),
    ],
)
def test_what_it_gives_at_a_corner(found: Callable[[], float], expected: float) -> None:
    """Computed by hand; 1e-4: the exponents are written with six digits."""
    assert found() == pytest.approx(expected, rel=1e-4)


def test_a_wire_that_has_reached_its_limit_has_no_time_left() -> None:
    common = {**BALANCE, "heat_capacity_j_per_k_m": 2.0, "heat_loss_w_per_k_m": 0.03}
    assert damage.damage_time_s(current_a=0, start_degc=230, limit_degc=230, **common) == 0
    assert math.isinf(damage.damage_time_s(current_a=0, start_degc=229, limit_degc=230, **common))


@pytest.mark.parametrize(
    ("metres", "hectopascal"),
    [(0, 1013.25), (5000, 540.48), (11019.1, 226.32), (18000, 75.65), (20063.1, 54.7489),
     (25000, 25.49), (30000, 11.97)],
)  # fmt: skip
def test_pressure_of_each_layer(metres: float, hectopascal: float) -> None:
    """U.S. Standard Atmosphere 1976, table I, geometric height (from memory); half a last digit."""
    assert atmosphere.pressure_pa(altitude_m=metres) / 100 == pytest.approx(hectopascal, abs=0.006)


@pytest.mark.parametrize("height_m", [11000.0, 20000.0])
def test_the_layers_of_air_meet(height_m: float) -> None:
    """Geopotential heights at which the next formula begins; 1e-6: the constants' last digits."""
    geometric = height_m * atmosphere.EARTH_M / (atmosphere.EARTH_M - height_m)
    below, above = (_pressure(geometric + step) for step in (-0.001, 0.001))
    assert below == pytest.approx(above, rel=1e-6)
