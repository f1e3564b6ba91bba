"""Wire types: published and the builder's own, through sizing, drop, heat, fault and damage."""

import math

import pytest

from elec.answers.connect.holes import passages
from elec.answers.drop.drops import feeder_drops
from elec.answers.heat.heat import heat
from elec.answers.short.damage import opens_in_time
from elec.answers.short.fault import faults
from elec.physics.heat import table_share
from elec.sizing.sizing import sizing
from elec.standards import AWGS, copper, wire_kind
from elec.study import Study
from elec.wiring.wires import kinds, size
from tests.answers.helper import small

LOADS = (
    "equipment:\n  fan: {place: panel, draw: 20 A, on: always, basis: measured}\n"
    "circuits:\n  fan: {bus: main, breaker: auto, feeds: fan}\n"
)


def _study(feeder: str, types: str = "") -> Study:
    return small(
        "system: {name: Leads, nominal: 14 V}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n"
        "  battery: {kind: lead-acid, place: nose, capacity: 30 Ah, resistance: 9 mΩ}\n"
        "buses:\n  main: {place: panel}\n"
        "grounds:\n  block: {place: nose}\n"
        f"feeders:\n  - {{name: lead, from: battery, to: main, limiter: 40 A, {feeder}}}\n"
        + LOADS
        + types
        + "places: {nose: , panel: }\nways:\n  - {between: [nose, panel], length: 4 m}\n"
    )


def _lead(study: Study) -> str:
    return next(name for name in sizing(study).gauges if name.startswith("lead/"))


def test_an_own_resistance_is_the_one_that_counts() -> None:
    """Twice the resistance at the same temperature loses twice; joints stay."""
    own = "wire-types: {thin: {rated: 150 °C, gauges: {AWG 4: {resistance: 1.8374 mΩ/m}}}}\n"
    there = "gauge: AWG 4, wire: thin"
    usual, other = _study("gauge: AWG 4"), _study(there, own)
    published = copper("4").resistance_20degc_ohm_per_m
    assert heat(other)[_lead(other)].wire.resistance_20degc_ohm_per_m == 1.8374e-3
    assert heat(other)[_lead(other)].wire.resistance_note.startswith("small.yaml:")
    ratio = 1.8374e-3 / published
    # what may flow falls with the root of the resistance, the heat being the same
    assert heat(other)[_lead(other)].allowed_a == pytest.approx(
        heat(usual)[_lead(usual)].allowed_a / math.sqrt(ratio), rel=0.01
    )
    step = next(s for s in feeder_drops(other)["lead"].working.steps if s.formula)
    terms = {t.symbol: t.value for t in step.terms}
    assert terms["R"] == 1.8374e-3
    by_hand = terms["I"] * (1.8374e-3 * terms["L"] * (234.5 + terms["T"]) / 254.5 + 2 * terms["j"])
    assert step.result.value == pytest.approx(by_hand)


def test_a_type_with_a_rating_alone_is_the_published_wire_in_other_insulation() -> None:
    own = "wire-types: {soft: {rated: 90 °C}}\n"
    study = _study("gauge: AWG 4, wire: soft", own)
    found = heat(study)[_lead(study)]
    assert found.rated_degc == 90.0
    assert found.wire.resistance_20degc_ohm_per_m == copper("4").resistance_20degc_ohm_per_m
    # (90 - 50) K against (150 - 50) K over the surroundings, m = 0.5103
    usual = _study("gauge: AWG 4")
    assert found.allowed_a == pytest.approx(
        heat(usual)[_lead(usual)].allowed_a * (40 / 100) ** copper("4").free_air_m, rel=0.02
    )
    assert kinds(study)["soft"].damaged_degc == 140.0
    assert found.wire.resistance_note == copper("4").resistance_note
    assert opens_in_time(study)["lead"].limit_degc == 140.0


def test_aluminium_is_sized_thicker_and_is_never_thin() -> None:
    """The same drop and heat ask for about two gauges more (1.64 times the area)."""
    free, light = _study(""), _study("wire: aluminium")
    mine = sizing(free).gauges[_lead(free)].awg
    other = sizing(light).gauges[_lead(light)].awg
    assert AWGS.index(other) >= max(AWGS.index(mine), AWGS.index("8"))
    found = heat(light)[_lead(light)]
    assert found.kind.conductor == "aluminium"
    step = next(s for s in feeder_drops(light)["lead"].working.steps if "238.1" in s.formula)
    terms = {t.symbol: t.value for t in step.terms}
    warm = (238.1 + terms["T"]) / 258.1
    assert step.result.value == pytest.approx(
        terms["I"] * (terms["R"] * terms["L"] * warm + 2 * terms["j"])
    )


def test_the_negative_is_of_the_same_wire_as_the_lead() -> None:
    study = _study("gauge: AWG 4, wire: battery-cable")
    assert heat(study)["battery-negative/1"].kind.name == "battery-cable"
    assert sizing(study).gauges["battery-negative/1"].awg == "4"


def test_more_resistance_lets_less_through_a_short() -> None:
    copper_a = faults(_study("gauge: AWG 8"))["lead"].least_a
    light_a = faults(_study("gauge: AWG 8, wire: aluminium"))["lead"].least_a
    assert copper_a is not None
    assert light_a is not None
    assert light_a < copper_a


@pytest.mark.parametrize("name", ["etfe-tin", "pvc", "silver-200", "aluminium"])
def test_no_wire_carries_more_than_its_table_in_the_tables_conditions(name: str) -> None:
    """AC 43.13-1B table 11-9 (and 11-10, from memory): 70 °C, 20 % of 33 wires or 9, 60 000 ft."""
    kind = wire_kind(name)
    compared = 0
    for awg in filter(kind.made, AWGS):
        wire = size(kind, awg)
        wires = 33.0 if AWGS.index(awg) <= AWGS.index("10") else 9.0
        for rated, printed in wire.table_current_a:
            if rated == kind.rated_degc:
                share = table_share(
                    table_current_a=printed,
                    free_air_b=wire.free_air_b,
                    free_air_m=wire.free_air_m,
                    rated_degc=rated,
                    wires=wires,
                )
                assert share >= 1 - 1e-9, f"AWG {awg}"
                compared += 1
    assert compared >= 9


def test_what_the_table_takes_off_is_said() -> None:
    """AWG 22 at 150 °C: 5 A in the table, 5.19 A by the curves."""
    wire = size(wire_kind("etfe-tin"), "22")
    assert wire.free_air_b == pytest.approx(copper("22").free_air_b * 5 / 5.186, rel=1e-3)
    assert "5 A at 150" in wire.heat_note
    assert not size(wire_kind("etfe-tin"), "20").heat_note


def test_a_cables_own_diameter_counts_in_its_bundle() -> None:
    study = small(
        "system: {name: Scales, nominal: 14 V}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n  battery: {kind: lead-acid, place: nose, capacity: 30 Ah}\n"
        "buses:\n  main: {place: nose}\n"
        "grounds:\n  block: {place: nose}\n"
        "feeders:\n  - {from: battery, to: main, limiter: 40 A}\n"
        "equipment:\n  a: {place: nose, passive: yes}\n  b: {place: nose, passive: yes}\n"
        "wires:\n  - {from: a, to: b, gauge: AWG 22, length: 100 ft}\n"
        "multicores:\n"
        "  pair: {type: 2-core AWG 20, from: nose, to: nose, spare: yes, length: 10 m}\n"
        "  own: {type: 2-core AWG 20, mass: 60 g/m, diameter: 6.3 mm, from: nose, to: tail,\n"
        "        spare: yes, length: 10 m}\n"
        "places: {nose: , tail: }\nways:\n  - {between: [nose, tail], length: 10 m}\n"
    )
    looseness = 1.05
    assert passages(study)[0].diameter_m == pytest.approx(0.0063 * looseness)
