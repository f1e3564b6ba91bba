"""What loads draw in which phase: shares, times, modes that displace each other, the unknown."""

import pytest

from elec.wiring.circuit_model import mode_amounts
from elec.wiring.demand import circuit_amps, conditions, demand, worst_circuit_amps
from tests.answers.helper import small

TEXT = """\
system: {name: Demand, nominal: 14 V, conditions: [day, night]}
phases:
  taxi: {lasts: 10 min, engine: 1200 rpm}
  climb: {lasts: 5 min, engine: 2600 rpm}
  cruise: {lasts: 2 h, engine: 2400 rpm}
sources:
  alternator: {kind: alternator, place: panel, setpoint: 14.2 V, output: {1000 rpm: 30 A}}
  battery: {kind: lead-acid, place: panel, capacity: 18 Ah}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders: [{from: battery, to: main, limiter: auto}, {from: alternator, to: main, limiter: auto}]
equipment:
  radio:
    place: panel
    modes:
      receive: {draw: 0.5 A, on: always}
      transmit: {draw: 2.5 A, on: {climb: 25 %, cruise: 30 s}}
  lamp: {place: panel, draw: 28 W, on: taxi..climb, when: night}
  heater: {place: panel, draw: 2 ohm, exclusive: heat}
  blower: {place: panel, draw: 5 A, exclusive: heat}
  pump: {place: panel}
  jack: {place: panel, passive: yes}
  flaps: {place: panel, draw: 4 A, on: {climb: 8 s}}
circuits:
  radio: {bus: main, breaker: auto, feeds: radio}
  lamp: {bus: main, breaker: auto, feeds: lamp}
  heat: {bus: main, breaker: auto, feeds: [heater, blower]}
  pump: {bus: main, breaker: auto, feeds: pump}
  flaps: {bus: main, breaker: auto, feeds: flaps}
places: {panel: }
"""


def test_a_mode_takes_its_share_from_the_base() -> None:
    radio = demand(small(TEXT)).loads["radio"]
    climb = {m.mode: m.share for m in radio.active("climb", "day")}
    assert climb == {"receive": pytest.approx(0.75), "transmit": pytest.approx(0.25)}
    cruise = {m.mode: m.share for m in radio.active("cruise", "day")}
    assert cruise["transmit"] == pytest.approx(30 / 7200)
    assert sum(cruise.values()) == pytest.approx(1)


def test_night_only_and_a_range_of_phases() -> None:
    study = small(TEXT)
    assert conditions(study) == ("day", "night")
    lamp = demand(study).loads["lamp"]
    assert lamp.active("taxi", "day") == ()
    assert lamp.active("cruise", "night") == ()
    assert [m.share for m in lamp.active("climb", "night")] == [1.0]


def test_fed_equipment_without_a_draw_is_unknown_and_not_zero() -> None:
    study = small(TEXT)
    assert demand(study).loads["pump"].known is False
    assert worst_circuit_amps(study)["pump"] is None
    assert "jack" not in demand(study).loads


def test_exclusive_loads_count_once_the_greater_one() -> None:
    study = small(TEXT)
    # 14.2 V over 2 Ω is 7.1 A; the blower's 5 A never run beside it.
    amps = circuit_amps(study, ("heater", "blower"), "cruise", "day")
    assert amps == pytest.approx(7.1)


def test_constant_power_draws_more_at_the_low_voltage() -> None:
    study = small(TEXT)
    # 28 W at the 12 V that devices are sized for.
    assert circuit_amps(study, ("lamp",), "taxi", "night") == pytest.approx(28 / 12)
    assert circuit_amps(study, ("lamp",), "taxi", "day") == 0


def test_seconds_only_is_intermittent() -> None:
    found = demand(small(TEXT)).loads
    assert found["flaps"].intermittent
    assert not found["radio"].intermittent


def test_a_mode_counts_only_in_the_phases_in_which_it_is_on() -> None:
    found = mode_amounts(small(TEXT))["radio", "transmit"]
    assert {found[p, "day", "lasting"] for p in ("taxi", "climb", "cruise")} == {
        0.0,
        0.625,
        0.25,
    }
    taxi = {count: amount for (phase, _, count), amount in found.items() if phase == "taxi"}
    assert set(taxi.values()) == {0.0}
    assert found["climb", "day", "momentary"] == 2.5
