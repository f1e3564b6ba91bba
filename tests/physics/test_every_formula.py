"""Every public formula cites a source, shows an example, and has the dimension its name says."""

import doctest
import importlib
import inspect
import math
import pkgutil
from collections.abc import Callable
from typing import Any

import pint
import pytest

import elec.physics.formula
from elec.standards import cites, documents
from elec.units import SUFFIXES

Formula = Callable[..., Any]


def formulas() -> dict[str, Formula]:
    found: dict[str, Formula] = {}
    for module in pkgutil.iter_modules(elec.physics.__path__):
        room = importlib.import_module(f"elec.physics.{module.name}")
        for name, one in vars(room).items():
            made = inspect.isfunction(one) or isinstance(one, elec.physics.formula.Formula)
            own = made and one.__module__ == room.__name__ and name != "formula"
            if own and not name.startswith("_"):
                found[f"{module.name}.{name}"] = one
    return found


FORMULAS = formulas()


def test_there_are_formulas_to_test() -> None:
    assert len(FORMULAS) > 50


@pytest.mark.parametrize("name", FORMULAS)
def test_cites_a_known_document(name: str) -> None:
    found = cites(FORMULAS[name])
    assert found
    for cite in found:
        assert cite.document in documents()
        assert cite.where


@pytest.mark.parametrize("name", FORMULAS)
def test_shows_an_example(name: str) -> None:
    text = FORMULAS[name].__doc__ or ""
    assert doctest.DocTestParser().get_examples(text), f"{name} has no example"


@pytest.mark.parametrize("name", FORMULAS)
def test_takes_keywords_only_and_no_hidden_numbers(name: str) -> None:
    for parameter in inspect.signature(FORMULAS[name]).parameters.values():
        assert parameter.kind is inspect.Parameter.KEYWORD_ONLY
        assert parameter.default is inspect.Parameter.empty


OFFSET = ("temperature", "gauge", "fraction", "level", "level per length")
"""Dimensions whose units no quantity is multiplied in."""
UNITS = {
    **{name: one.unit for name, one in SUFFIXES.items() if one.dimension not in OFFSET},
    "mm2": "mm**2",
    "in": "inch",
    "a2s": "A**2 * s",
    "kg_m": "kg * m",
    "pa": "pascal",
    "a_m2": "A * m**2",
    "j_per_k_m": "J/K/m",
    "w_per_k_m": "W/K/m",
    "ampere_minutes": "A * min",
    "db": "",
    "db_per_m": "1/m",
    "share_per_h": "1/h",
}
"""Those of elec, written as pint reads them, and those of formulas alone."""
PLAIN = (
    *("factor", "share", "loading", "wires", "multiple", "exponent", "efficiency", "pulses"),
    *("connectors", "contacts", "duty", "ratio", "count", "reflection", "state_of_charge", "scale"),
    "cosine",
)

CHOSEN = {
    "coil.held_release_s lets_go_a": 1.0,
    "coil.resistor_release_s lets_go_a": 1.0,
    "battery.endurance_min budget_ampere_minutes": 1575.0,
    "battery.shed_time_min budget_ampere_minutes": 1575.0,
    "coax.longest_m allowed_db": 10.0,
    "heat.bundle_factor loading": 0.5,
    "alternator.between_outputs_a after_rpm": 3.0,
    "protection.between_points_s after_multiple": 3.0,
}
"""Values that a formula needs to lie within its range; all others are 1.7."""

EMPIRICAL = {
    **dict.fromkeys(
        (
            "heat.free_air_current_a",
            "heat.ampacity_a",
            "heat.bundle_loading",
            "heat.table_share",
            "heat.conductor_temperature_degc",
            "heat.careful_temperature_degc",
            "cylinder.convection_w_per_m2_k",
            "cylinder.dissipation_w_per_m",
            "cylinder.first_principles_current_a",
            "damage.adiabatic_k",
            "damage.short_time_current_a",
            "coax.attenuation_db_per_m",
            "atmosphere.pressure_pa",
            "atmosphere.pressure_ratio",
        ),
        "fit, its constants carry units",
    ),
    **dict.fromkeys(
        (
            "damage.heat_loss_w_per_k_m",
            "damage.lasting_current_a",
            "drop.wire_drop_v",
            "drop.crimped_ohm",
            "drop.warm_factor",
            "damage.heat_made_w_per_k_m",
            "damage.settled_k",
            "damage.warming_time_s",
            "damage.even_warming_time_s",
            "damage.damage_time_s",
            "protection.breaker_ambient_factor",
            "protection.fuse_ambient_factor",
            "battery.cold_resistance_ohm",
            "battery.temperature_factor",
            "battery.frozen_factor",
        ),
        "function of a temperature in °C, an offset unit",
    ),
    **dict.fromkeys(
        (
            "wire.mark_count",
            "damage.heat_capacity_j_per_k_m",
            "damage.insulation_heat_j_per_k_mm3",
            "bundle.bare_hole_diameter_mm",
            "battery.budget_ampere_minutes",
            "coax.delivered_w",
            "magnetics.wire_field_t",
            "magnetics.piece_field_t",
            "magnetics.piece_field_ut",
            "magnetics.loose_pair_field_t",
            "magnetics.pair_field_t",
            "magnetics.worst_deviation_deg",
        ),
        "a constant of nature, of a material or between two units stands as a number",
    ),
    **dict.fromkeys(
        (
            "protection.greatest_opening_time_s",
            "protection.least_opening_time_s",
            "fault.prospective_current_a",
            "battery.one_hour_capacity_ah",
            "battery.rated_charge_ah",
            "battery.rated_share_per_h",
            "alternator.curve_output_a",
            "bundle.diameter_mm",
            "load.average_a",
            "load.momentary_a",
            "contact.loading_factor",
            "contact.spare_count",
            "battery.peukert_exponent",
            "switch.needed_rating_a",
            "heat.altitude_factor",
            "spread.combined_deviation",
        ),
        "looks up, compares with plain numbers, or takes a list",
    ),
    "magnetics.horizontal_ut": "the root of the text takes plain numbers",
    "load.pulsing_a": "the root of the text takes plain numbers",
}
"""Formulas that quantities cannot go through, and why; their dimension is tested by values."""


def unit_of(name: str) -> str | None:
    for suffix in sorted(UNITS, key=len, reverse=True):
        if name == suffix or name.endswith(f"_{suffix}"):
            return UNITS[suffix]
    return "" if any(name == p or name.endswith(f"_{p}") for p in PLAIN) else None


DIMENSIONAL = [name for name in FORMULAS if name not in EMPIRICAL]


def test_exceptions_exist() -> None:
    assert set(EMPIRICAL) <= set(FORMULAS)


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry()


@pytest.mark.parametrize("name", DIMENSIONAL)
def test_dimension_is_what_the_name_says(
    name: str, registry: pint.UnitRegistry[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    formula = FORMULAS[name]
    given: dict[str, Any] = {}
    for parameter, spec in inspect.signature(formula).parameters.items():
        unit = unit_of(parameter)
        if unit is None:
            assert spec.annotation is str, (name, parameter)
            given[parameter] = "rectangle"
        else:
            number = CHOSEN.get(f"{name} {parameter}", 1.7)
            given[parameter] = registry.Quantity(number, unit) if unit else number
    expected = unit_of(name.split(".")[1])
    assert expected is not None, f"{name} ends in no unit of SUFFIXES, UNITS or PLAIN"
    monkeypatch.setattr(math, "sqrt", lambda x: x**0.5)
    result = formula(**given)
    dimension = registry.Quantity(1, expected).dimensionality
    assert registry.Quantity(result).dimensionality == dimension


def test_a_swapped_quotient_would_be_caught(registry: pint.UnitRegistry[Any]) -> None:
    current, resistance = registry.Quantity(2, "ampere"), registry.Quantity(3, "ohm")
    assert (current * resistance).dimensionality == registry.Quantity(1, "volt").dimensionality
    assert (current / resistance).dimensionality != registry.Quantity(1, "volt").dimensionality
