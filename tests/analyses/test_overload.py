"""Overload after a single failure: what takes over, opens, and takes the rest with it."""

import pytest

from elec.analyses.failures import decisive
from elec.analyses.sizing import sizing
from elec.study import Study
from tests.analyses.helper import small

LOOP = """\
system: {{name: Loop, nominal: 14 V, ambient: 25 °C, conditions: [day], return: airframe}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources: {{battery: {{kind: lead-acid, place: p, capacity: 60 Ah, rate: 1 h, resistance: 8 mΩ}}}}
buses: {{main: {{place: p}}, left: {{place: p}}, right: {{place: p}}}}
feeders:
  - {{name: battery feed, from: battery, to: main, limiter: 125 A, gauge: AWG 2}}
  - {{name: to left, from: main, to: left, {arm}}}
  - {{name: to right, from: main, to: right, {arm}}}
  - {{name: tie, from: left, to: right, {tie}}}
grounds: {{g: {{place: p}}}}
equipment:
  one: {{place: p, draw: 20 A, on: always, essential: yes, basis: measured}}
  two: {{place: p, draw: 10 A, on: always, essential: yes, basis: measured}}
circuits:
  one: {{bus: left, breaker: 30 A, feeds: one}}
  two: {{bus: right, breaker: 20 A, feeds: two}}
places: {{p: {{ambient: 25 °C}}}}
"""


def _study(arm: str, tie: str) -> Study:
    return small(LOOP.format(arm=arm, tie=tie))


def test_one_arm_opens_and_the_other_follows() -> None:
    study = _study("breaker: 25 A, gauge: AWG 8", "breaker: 40 A, gauge: AWG 8")
    effect = next(e for e in decisive(study) if e.failure.id == "feeder:to left")
    assert [trip.device for trip in effect.trips] == ["to right"]
    # 20 A and 10 A of constant current through what is left
    assert effect.trips[0].amps == pytest.approx(30.0, abs=1e-6)
    # 25 A hold 115 % by their class at 25 °C
    assert effect.trips[0].holds_a == pytest.approx(28.75)
    assert set(effect.taken) == {"one", "two"}


def test_an_arm_that_holds_all_of_it_takes_nothing() -> None:
    study = _study("breaker: 40 A, gauge: AWG 8", "breaker: 40 A, gauge: AWG 8")
    effect = next(e for e in decisive(study) if e.failure.id == "feeder:to left")
    assert effect.trips == ()
    assert effect.taken == ()
    assert effect.carried["to right"] == pytest.approx(30.0, abs=1e-6)


def test_a_wire_that_gets_too_hot_is_named() -> None:
    study = _study("breaker: 50 A, gauge: AWG 18", "breaker: 50 A, gauge: AWG 8")
    effect = next(e for e in decisive(study) if e.failure.id == "feeder:to left")
    assert [wire.conductor for wire in effect.hot] == ["to right/1"]


def test_what_elec_chooses_holds_it() -> None:
    study = _study("breaker: auto", "breaker: auto")
    for effect in decisive(study):
        assert effect.trips == (), effect.failure.title
        assert effect.hot == (), effect.failure.title
    # 80 % of the rating for a lasting 30 A
    assert (sizing(study).devices["to right"].rating_a or 0.0) >= 30.0 / 0.8 * 0.99
