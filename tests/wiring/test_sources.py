"""Sources: what the builder gives wins, over the kind's curves and defaults; and two alternators.

The hot output of the 50 A unit at 13.5 V is that of an engine technical manual, page 83 (seen); its
fit over speed was computed from it.
"""

import math

import pytest

from elec.answers.base.points import points
from elec.model.source import Alternator, LeadAcid, Lithium
from elec.physics.battery import rated_share_per_h
from elec.study import Study
from elec.wiring.sources import (
    capacity_share,
    cutoff_v,
    no_charge_below_degc,
    one_hour_ah,
    open_circuit_v,
    output_a,
    resistance_ohm,
    rest_curve,
    setpoint_v,
)
from tests.answers.helper import small

TEXT = """\
system: {{name: Sources, nominal: 14 V, conditions: [day]}}
phases:
  preflight: {{lasts: 5 min, engine: stopped}}
  taxi: {{lasts: 5 min, engine: 1000 rpm}}
  cruise: {{lasts: 1 h, engine: 2500 rpm}}
sources:
  battery: {{place: bay, {battery}}}
  alternator: {{kind: alternator, place: bay, {alternator}}}
{more}
buses: {{main: {{place: bay}}}}
grounds: {{block: {{place: bay}}}}
feeders:
  - {{from: battery, to: main, unprotected: test, gauge: AWG 4}}
  - {{from: alternator, to: main, unprotected: test, gauge: AWG 4}}
{feeders}
equipment:
  box: {{place: bay, draw: {draw}, essential: yes}}
circuits:
  box: {{bus: main, unprotected: test, feeds: box, gauge: AWG 8}}
places: {{bay: }}
"""
AGM = "kind: lead-acid, capacity: 18 Ah, resistance: 9 mΩ"
HOT = "setpoint: 14.2 V, output: {1000 rpm: 16 A, 2500 rpm: 41 A}"


def system(
    *,
    battery: str = AGM,
    alternator: str = HOT,
    more: str = "",
    feeders: str = "",
    draw: str = "20 A",
) -> Study:
    return small(
        TEXT.format(battery=battery, alternator=alternator, more=more, feeders=feeders, draw=draw)
    )


def battery_of(study: Study) -> LeadAcid | Lithium:
    found = study.document.sources["battery"]
    assert isinstance(found, LeadAcid | Lithium)
    return found


def alternator_of(study: Study, name: str = "alternator") -> Alternator:
    found = study.document.sources[name]
    assert isinstance(found, Alternator)
    return found


def at(study: Study, phase: str, scenario: str = "normal") -> int:
    return next(
        i
        for i, c in enumerate(points(study).cases)
        if (c.phase, c.scenario.name, c.count) == (phase, scenario, "steady")
    )


def alternator_amps(study: Study, phase: str, scenario: str = "normal") -> dict[str, float]:
    found = points(study)
    index = at(study, phase, scenario)
    return {
        branch.name: float(found.solution.alternator_a[i, index])
        for i, branch in enumerate(found.model.netlist.alternators)
    }


def test_the_cold_output_counts_in_cold_air_and_the_hot_one_on_a_hot_day() -> None:
    cold = f"{HOT}, cold-output: {{1000 rpm: 24 A, 2500 rpm: 50 A}}"
    study = system(alternator=cold)
    found = [
        output_a(study, "alternator", alternator_of(study), "taxi", degc)
        for degc in (-10.0, 23.0, 31.5, 40.0, 50.0)
    ]
    assert found == [24.0, 24.0, 20.0, 16.0, 16.0]
    # The steady cases stay with the hot output.
    assert alternator_amps(study, "taxi")["alternator"] == pytest.approx(16.0)


@pytest.mark.parametrize(("starts", "taxi_a"), [(1001, 0.0), (1000, 24.0)])
def test_in_cold_air_too_it_gives_nothing_below_its_starting_speed(
    starts: int, taxi_a: float
) -> None:
    cold = f"{HOT}, cold-output: {{1000 rpm: 24 A, 2500 rpm: 50 A}}, starts-at: {starts} rpm"
    study = system(alternator=cold)
    found = [
        output_a(study, "alternator", alternator_of(study), phase, -10.0)
        for phase in ("preflight", "taxi", "cruise")
    ]
    assert found == [0.0, taxi_a, 50.0]


def test_a_limit_caps_whatever_the_curve_says() -> None:
    study = system(alternator=f"{HOT}, limit: 30 A", draw="60 A")
    assert alternator_amps(study, "cruise")["alternator"] == pytest.approx(30.0)
    free = system(draw="60 A")
    assert alternator_amps(free, "cruise")["alternator"] == pytest.approx(41.0)


def test_a_compensated_regulator_holds_less_in_the_warmth() -> None:
    # 14.4 V at 20 °C, 0.1 V less for each 10 °C (engine technical manual page 83, seen).
    curve = "{-20 °C: 14.8 V, 60 °C: 14.0 V}"
    plain = system()
    study = system(alternator=f"{HOT.replace('14.2', '14.4')}, setpoint-by-temperature: {curve}")
    held = [setpoint_v(alternator_of(study), t) for t in (-40.0, -20.0, 20.0, 60.0, 80.0)]
    assert held == pytest.approx([14.8, 14.8, 14.4, 14.0, 14.0])
    assert setpoint_v(alternator_of(plain), -20.0) == 14.2


def test_two_alike_alternators_share_and_a_lower_setpoint_stands_by() -> None:
    second = (
        "  second: {{kind: alternator, place: bay, setpoint: {} V, output: {{1000 rpm: 41 A}}}}"
    )
    line = "  - {from: second, to: main, unprotected: test, gauge: AWG 4}"
    both = system(more=second.format("14.2"), feeders=line, draw="30 A")
    amps = alternator_amps(both, "cruise")
    assert amps["alternator"] == pytest.approx(amps["second"])
    assert sum(amps.values()) == pytest.approx(30.9, abs=0.1)  # and the charge, C/20
    standby = system(more=second.format("13.4"), feeders=line, draw="30 A")
    assert alternator_amps(standby, "cruise")["second"] == 0.0
    lost = alternator_amps(standby, "cruise", "alternator-failed")
    assert lost["alternator"] == 0.0
    assert lost["second"] == pytest.approx(30.3, abs=0.2)
    # Asked for more than the first gives, the second one helps at its own voltage.
    over = system(more=second.format("13.4"), feeders=line, draw="60 A")
    amps = alternator_amps(over, "cruise")
    assert amps["alternator"] == pytest.approx(41.0)
    assert amps["second"] == pytest.approx(19.4, abs=0.5)


def test_the_field_of_a_failed_alternator_counts_until_it_is_switched_off() -> None:
    plain, field = system(), system(alternator=f"{HOT}, field: 2 A")

    def drawn(study: Study, scenario: str) -> float:
        return -float(points(study).solution.battery_a[0, at(study, "cruise", scenario)])

    assert drawn(field, "alternator-failed") - drawn(plain, "alternator-failed") == pytest.approx(2)
    assert drawn(field, "emergency") == pytest.approx(drawn(plain, "emergency"), rel=1e-9)
    # The field of the failed alternator flows through the battery's cables, which are counted as
    # warm as in their worst case: 0.08 % more ohms, and 2.4e-6 less charge in every other case.
    assert drawn(field, "normal") == pytest.approx(drawn(plain, "normal"), rel=4e-6)


def test_outside_power_is_there_only_where_it_is_plugged_in() -> None:
    cart = (
        "  cart: {kind: external-power, place: bay, voltage: 14.0 V, resistance: 30 mΩ,"
        " in: [preflight]}"
    )
    line = "  - {from: cart, to: main, unprotected: test, gauge: AWG 4}"
    study = system(more=cart, feeders=line)
    found = points(study)
    row = [branch.name for branch in found.model.netlist.batteries].index("cart")
    amps = found.solution.battery_a[row]
    assert amps[at(study, "preflight")] < -20.0
    assert amps[at(study, "cruise")] == pytest.approx(0.0, abs=1e-9)
    assert amps[at(study, "preflight", "emergency")] == pytest.approx(0.0, abs=1e-9)


def test_the_builders_curves_win() -> None:
    mine = system(
        battery="kind: lead-acid, capacity: 18 Ah,"
        " rest: {100 %: 12.8 V, 50 %: 12.2 V, 0 %: 11.5 V},"
        " rates: {20 h: 18 Ah, 5 h: 15 Ah, 1 h: 10 Ah},"
        " resistance-by-temperature: {-20 °C: 15 mΩ, 20 °C: 9 mΩ}"
    )
    battery = battery_of(mine)
    assert open_circuit_v(mine, battery, 0.75) == pytest.approx(12.5)
    assert rest_curve(mine, battery)[0] == (0.0, 11.5)
    assert one_hour_ah(battery) == pytest.approx(10.0)
    assert resistance_ohm(mine, "battery", battery, 0.0) == pytest.approx(0.012)
    usual = system()
    assert open_circuit_v(usual, battery_of(usual), 1.0) == pytest.approx(12.9)
    assert resistance_ohm(usual, "battery", battery_of(usual), 0.0) == pytest.approx(0.009 * 1.2)


def test_ratings_and_peukert_agree_where_two_ratings_come_from_peukert() -> None:
    # CAP 562: 100 Ah in 5 h, 85 Ah in 1 h, hence k = 1.1123 (computed).
    curve = [(1.0, 85.0), (5.0, 100.0)]
    for amps in (20.0, 40.0, 85.0, 120.0):
        expected = (amps / 20.0) ** 1.11232 / 5.0
        assert rated_share_per_h(curve=curve, current_a=amps) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize("kind", ["lead-acid", "lithium-iron-phosphate"])
def test_colder_never_gives_more(kind: str) -> None:
    study = system(battery=f"kind: {kind}, capacity: 18 Ah")
    battery = battery_of(study)
    degrees = [-40.0 + 0.25 * i for i in range(401)]
    shares = [capacity_share(battery, t) for t in degrees]
    ohms = [resistance_ohm(study, "battery", battery, t) for t in degrees]
    assert shares == sorted(shares)
    assert ohms == sorted(ohms, reverse=True)
    assert min(shares) >= 0.0


def test_a_lithium_battery_has_a_lock_out_and_a_cut_off_of_its_own() -> None:
    study = system(battery="kind: lithium-iron-phosphate, capacity: 10 Ah")
    battery = battery_of(study)
    assert no_charge_below_degc(battery) == 0.0
    assert cutoff_v(study, battery) == pytest.approx(10.0)  # 4 cells at 2.5 V (from memory)
    lead = battery_of(system())
    assert no_charge_below_degc(lead) is None
    assert cutoff_v(system(), lead) is None


def test_hot_output_follows_the_fit() -> None:
    # I = 48.2 A · (1 - exp(-(n - 1000)/750)) at pulley 1.78 and 700 rpm: 13.48 A (computed).
    speed = 1.78 * 700
    value = 48.2 * (1 - math.exp(-(speed - 1000) / 750))
    assert value == pytest.approx(13.48, abs=0.01)
    study = system(
        alternator=f"setpoint: 14.2 V, output: {{700 rpm: {value:.3f} A, 1000 rpm: {value:.3f} A}}"
    )
    found = points(study)
    assert -float(found.solution.battery_a[0, at(study, "taxi")]) == pytest.approx(6.52, abs=0.02)
