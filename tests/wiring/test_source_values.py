"""What a battery and an alternator are at a charge, a temperature, a speed: at each bound."""

import math

import pytest

from elec.model.source import Alternator, LeadAcid, Lithium
from elec.standards import default
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.hand import assumed, resistance_term
from elec.wiring.sources import (
    accepts_a,
    battery_resistance,
    capacity_share,
    charge_efficiency,
    charge_hours,
    charge_window,
    cutoff_v,
    five_minute_a,
    held,
    no_charge_below_degc,
    one_hour_ah,
    open_circuit_v,
    output,
    output_a,
    peukert,
    ratings,
    resistance_ohm,
    rest_source,
    setpoint_v,
)
from elec.wiring.wires import size_of
from tests.answers.helper import small

TEXT = """\
system: {name: Sources, nominal: 14 V, conditions: [day]}
phases:
  parked: {lasts: 5 min}
  start: {lasts: 5 s, engine: cranking}
  off: {lasts: 5 min, engine: stopped}
  idle: {lasts: 5 min, engine: 800 rpm}
  taxi: {lasts: 5 min, engine: 1000 rpm}
  climb: {lasts: 5 min, engine: 1500 rpm}
  cruise: {lasts: 1 h, engine: 2500 rpm}
sources:
  curve: {kind: alternator, place: panel, setpoint: 14.2 V, rating: 45 A, starts-at: 900 rpm,
    output: {1000 rpm: 10 A, 2000 rpm: 30 A, 2500 rpm: 36 A}, limit: 34 A,
    setpoint-by-temperature: {0 °C: 14.6 V, 40 °C: 14.0 V}}
  rated: {kind: alternator, place: panel, setpoint: 14.2 V, rating: 40 A, starts-at: 1000 rpm}
  cold: {kind: alternator, place: panel, setpoint: 14.2 V, rating: 40 A,
    output: {1000 rpm: 10 A, 2500 rpm: 36 A}, cold-output: {1000 rpm: 14 A, 2500 rpm: 44 A}}
  agm: {kind: lead-acid, place: panel, capacity: 20 Ah, rate: 1 h}
  wet: {kind: lead-acid, place: panel, capacity: 20 Ah, construction: flooded, cutoff: 10.5 V}
  gel: {kind: lead-acid, place: panel, capacity: 20 Ah, construction: gel, peukert: 1.2}
  own: {kind: lead-acid, place: panel, capacity: 20 Ah,
    rest: {100 %: 12.9 V, 50 %: 12.3 V, 0 %: 11.7 V}, rates: {1 h: 14 Ah, 20 h: 20 Ah},
    resistance-by-temperature: {-20 °C: 15 mΩ, 25 °C: 9 mΩ, 60 °C: 8 mΩ}}
  given: {kind: lead-acid, place: panel, capacity: 20 Ah, resistance: 7 mΩ}
  lithium: {kind: lithium-iron-phosphate, place: panel, capacity: 10 Ah}
  five: {kind: lithium-iron-phosphate, place: panel, capacity: 10 Ah, cells: 5, cutoff: 11 V,
    no-charge-below: -5 °C}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders:
FEEDERS
equipment: {lamp: {place: panel, draw: 1 A}}
circuits: {lamp: {bus: main, breaker: auto, feeds: lamp, gauge: AWG 20}}
places: {panel: }
"""
NAMES = ("curve", "rated", "cold", "agm", "wet", "gel", "own", "given", "lithium", "five")


@pytest.fixture(scope="module")
def study() -> Study:
    lines = [f"  - {{from: {name}, to: main, limiter: 60 A}}" for name in NAMES]
    return small(TEXT.replace("FEEDERS", "\n".join(lines)))


def battery(study: Study, name: str) -> LeadAcid | Lithium:
    found = study.document.sources[name]
    assert isinstance(found, LeadAcid | Lithium)
    return found


def test_the_five_minute_current_from_two_ratings(study: Study) -> None:
    """14 Ah in 1 h and 20 Ah in 20 h: the capacity rises with the time to the power of 0.119."""
    power = math.log(20 / 14) / math.log(20)
    by_hand = 14 * (5 / 60) ** power / (5 / 60)
    assert five_minute_a(battery(study, "own")) == pytest.approx(by_hand, rel=1e-6)


def alternator(study: Study, name: str) -> Alternator:
    found = study.document.sources[name]
    assert isinstance(found, Alternator)
    return found


# -- alternators ----------------------------------------------------------------------------------


def amps(study: Study, name: str) -> list[float | None]:
    phases = ("parked", "start", "off", "idle", "taxi", "climb", "cruise")
    found = [output(study, name, alternator(study, name), phase) for phase in phases]
    return [None if one is None else one.result.value for one in found]


def test_what_an_alternator_gives_by_its_speed(study: Study) -> None:
    """By the curve straight between its points: 1500 rpm is half way from 10 to 30 A.

    By its rating alone the hot share of 40 A, 85 %, from the speed at which it starts.
    """
    hot = default("alternator-hot-share").si
    assert amps(study, "curve") == [None, 0.0, 0.0, 0.0, 10.0, 20.0, 36.0]
    assert amps(study, "rated") == [None, 0.0, 0.0, 0.0, 40 * hot, 40 * hot, 40 * hot]
    assert amps(study, "cold")[3:5] == [0.0, 10.0]


@pytest.mark.parametrize(
    ("phase", "words"),
    [
        ("idle", "it gives nothing: it starts at 900 rpm"),
        ("cruise", "at or above the last point of the curve"),
    ],
)
def test_what_is_said_of_the_ends_of_its_curve(study: Study, phase: str, words: str) -> None:
    found = output(study, "curve", alternator(study, "curve"), phase)
    assert found is not None
    assert words in found.note
    below = output(study, "cold", alternator(study, "cold"), "idle")
    assert below is not None
    assert below.note == "below the first point of the curve, 1000 rpm, nothing is counted"
    between = output(study, "curve", alternator(study, "curve"), "climb")
    assert between is not None
    assert between.note == ""
    start = output(study, "curve", alternator(study, "curve"), "start")
    assert start is not None
    assert start.result.origin.startswith("the engine is cranking: small.yaml")


def test_what_it_gives_in_cold_air(study: Study) -> None:
    """Hot from the hot day on, cold from 23 °C down, half way in between; never above its limit."""
    low, high = default("alternator-test").value, default("hot-day").value

    def at(name: str, phase: str, degc: float) -> float | None:
        return output_a(study, name, alternator(study, name), phase, degc)

    assert [at("cold", "cruise", t) for t in (low - 9, low, high, high + 9)] == [44, 44, 36, 36]
    assert at("cold", "cruise", (low + high) / 2) == pytest.approx(40)
    assert at("cold", "idle", low) == 0.0
    assert at("cold", "taxi", low) == 14.0
    assert at("cold", "start", low) == 0.0
    assert at("cold", "parked", low) is None
    # the rating is what it gives cold; 85 % of it when it is hot
    assert at("rated", "cruise", low) == 40.0
    assert at("rated", "cruise", high) == pytest.approx(40 * default("alternator-hot-share").si)
    assert [at("rated", phase, low) for phase in ("idle", "taxi")] == [0.0, 40.0]
    assert [at("curve", "cruise", t) for t in (low, high)] == [34.0, 34.0]  # of 36 A by its curve
    assert at("curve", "climb", low) == 20.0


def test_what_its_regulator_holds(study: Study) -> None:
    found = [setpoint_v(alternator(study, "curve"), t) for t in (-20, 0, 20, 40, 60)]
    assert found == [14.6, 14.6, pytest.approx(14.3), 14.0, 14.0]
    assert setpoint_v(alternator(study, "rated"), -20) == 14.2


# -- batteries ------------------------------------------------------------------------------------


def test_values_between_points_and_beyond_them() -> None:
    curve = ((0.0, 10.0), (1.0, 20.0), (2.0, 40.0))
    found = [held(curve, x) for x in (-1, 0, 0.5, 1, 1.5, 2, 3)]
    assert found == [10, 10, 15, 20, 30, 40, 40]


def test_rest_voltage_is_the_builder_s_or_the_table_s_for_its_cells(study: Study) -> None:
    own = [open_circuit_v(study, battery(study, "own"), share) for share in (0, 0.25, 0.5, 1)]
    assert own == [11.7, pytest.approx(12.0), 12.3, 12.9]
    four, five = (open_circuit_v(study, battery(study, n), 0.5) for n in ("lithium", "five"))
    assert five == pytest.approx(four * 5 / 4)
    gel, agm = (open_circuit_v(study, battery(study, n), 0.5) for n in ("gel", "agm"))
    assert gel == agm
    assert open_circuit_v(study, battery(study, "wet"), 0.5) != agm
    assert rest_source(study, "own", battery(study, "own")).startswith("small.yaml")
    gel_source = rest_source(study, "gel", battery(study, "gel"))
    assert gel_source == rest_source(study, "agm", battery(study, "agm")) != ""


def test_resistance_is_given_or_scaled_from_a_typical_battery(study: Study) -> None:
    def ohm(name: str) -> float:
        return battery_resistance(study, name, battery(study, name)).result.value

    assert (ohm("given"), ohm("own")) == (0.007, 0.009)
    for name, key in (("agm", "agm"), ("gel", "agm"), ("wet", "flooded")):
        usual = default(f"battery-resistance-{key}")
        capacity = default(f"battery-resistance-{key}-capacity").value
        assert ohm(name) == pytest.approx(usual.si * capacity / 20)
    cell = default("battery-resistance-lifepo4-cell")
    capacity = default("battery-resistance-lifepo4-cell-capacity").value
    assert ohm("lithium") == pytest.approx(4 * cell.si * capacity / 10)
    assert ohm("five") == pytest.approx(ohm("lithium") * 5 / 4)
    words = battery_resistance(study, "own", battery(study, "own")).result.meaning
    assert words == "resistance of the battery at 25 °C"


def test_resistance_in_the_cold(study: Study) -> None:
    def ohm(name: str, degc: float) -> float:
        return resistance_ohm(study, name, battery(study, name), degc)

    assert [ohm("own", t) for t in (-40, -20, 25, 70)] == pytest.approx(
        [0.015, 0.015, 0.009, 0.008]
    )
    assert ohm("agm", 25.0) == pytest.approx(
        battery_resistance(study, "agm", battery(study, "agm")).result.value
    )
    # at most as warm as 60 °C, a lithium one as 25 °C; at least as cold as -30 °C
    assert ohm("agm", -30) == ohm("agm", -50) > ohm("agm", -29) > ohm("agm", 25) > ohm("agm", 60)
    assert ohm("agm", 60) == ohm("agm", 70)
    assert ohm("lithium", -30) == ohm("lithium", -50) > ohm("lithium", 0) > ohm("lithium", 25)
    assert ohm("lithium", 25) == ohm("lithium", 40)
    rise = default("battery-cold-coefficient").value
    cold = default("battery-cold-coefficient-lifepo4").value
    assert ohm("agm", 15) / ohm("agm", 25) == pytest.approx(1 + 10 * rise, rel=0.02)
    assert ohm("lithium", 15) / ohm("lithium", 25) == pytest.approx(1 + 10 * cold, rel=0.02)


def test_capacity_in_the_cold(study: Study) -> None:
    agm, lithium = battery(study, "agm"), battery(study, "lithium")
    found = [capacity_share(agm, t) for t in (-60, -40, -18, -1, 0, 20, 40, 60)]
    assert found == sorted(found)
    assert found[0] == found[1] > 0
    assert found[6] == found[7]
    assert found[2] < found[3] <= found[4] < found[5]
    assert found[2] == pytest.approx(default("battery-cold-share").si, rel=0.02)
    cold = [capacity_share(lithium, t) for t in (-200, -60, -40, -20, 0, 25, 60)]
    assert cold == sorted(cold)
    assert cold[0] == 0.0
    slope = [capacity_share(lithium, t) for t in (-24, -22, -20)]
    assert slope[2] - slope[1] == pytest.approx(slope[1] - slope[0], abs=1e-9)


def test_ratings_of_a_battery(study: Study) -> None:
    own, gel, agm = (battery(study, name) for name in ("own", "gel", "agm"))
    assert ratings(own) == ((1.0, 14.0), (20.0, 20.0))
    assert ratings(agm) is None
    assert one_hour_ah(own) == pytest.approx(14.0)
    assert one_hour_ah(agm) == pytest.approx(20.0)
    assert (peukert(gel), peukert(agm)) == (1.2, 1.12)


def test_how_it_is_charged(study: Study) -> None:
    lithium, five, agm, wet = (battery(study, n) for n in ("lithium", "five", "agm", "wet"))
    assert [no_charge_below_degc(b) for b in (agm, lithium, five)] == [
        None, default("no-charge-below").value, -5.0,
    ]  # fmt: skip
    assert [cutoff_v(study, b) for b in (agm, wet, lithium, five)] == [None, 10.5, 10.0, 11.0]
    assert charge_hours(lithium) == default("charge-hours-lifepo4").value
    assert charge_hours(agm) == default("charge-hours").value
    assert charge_efficiency(lithium) == default("charge-efficiency-lifepo4").si
    assert charge_efficiency(agm) == default("charge-efficiency").si
    assert accepts_a(wet) == default("charge-start-flooded").si * 20
    four, more = (charge_window(study, b) for b in (lithium, five))
    assert [more.least_v / four.least_v, more.most_v / four.most_v] == pytest.approx([1.25, 1.25])
    assert 13.5 < four.least_v < four.most_v < 15.0


# -- hand calculations ----------------------------------------------------------------------------


def test_a_default_and_a_gauge_as_terms(study: Study) -> None:
    slack = assumed("wire-slack-per-end", "s", "m")
    assert (slack.symbol, slack.unit, slack.value) == ("s", "m", default("wire-slack-per-end").si)
    (wire, *_) = chains(study).by_name["lamp"].conductors()
    term = resistance_term(size_of(study, wire, "20"))
    assert term.value * 304.8 == pytest.approx(9.88, rel=0.1)  # AWG 20, Ω per 1000 ft
    assert f"{term.value * 304.8:.4g} Ω per 1000 ft" in term.origin
