"""Overload after a single failure: what takes over, opens, and takes the rest with it."""

import pytest

from elec.answers.failures.failures import decisive
from elec.answers.failures.overload import overloads, worst_of_feeders
from elec.check import run
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.working import unrounded
from tests.answers.helper import small

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


def test_the_worst_failure_of_a_feeder_is_the_one_after_which_it_carries_most() -> None:
    study = _study("breaker: 40 A, gauge: AWG 8", "breaker: 40 A, gauge: AWG 8")
    found = [one for one in overloads(study).found if one.carried]
    worst = worst_of_feeders(study, found)
    assert worst["to right"].failure.id in {"feeder:to left", "device:to left"}
    for name, one in worst.items():
        every = [unrounded(other.carried[name]) for other in found]
        assert found.index(one) == every.index(max(every))
    assert worst_of_feeders(study, []) == {}


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


PHASES = (
    "phases:\n"
    "  start: {lasts: 10 s, engine: cranking}\n"
    "  climb: {lasts: 5 min, engine: 2400 rpm}\n"
    "  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
)


def _climbing(on: str, conditions: str = "[day]") -> Study:
    """As above, `one` on in some phases only: the loop carries most in them, not in cruise."""
    text = LOOP.format(arm="breaker: 25 A, gauge: AWG 8", tie="breaker: 40 A, gauge: AWG 8")
    text = text.replace("phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}\n", PHASES)
    text = text.replace("conditions: [day]", f"conditions: {conditions}")
    return small(
        text.replace("one: {place: p, draw: 20 A, on: always", f"one: {{place: p, draw: 20 A, {on}")
    )


def _to_right(study: Study) -> Finding:
    return next(f for f in run(study) if f.check == "failure-overload" and f.about == "to right")


def test_an_overload_outside_cruise_is_found_and_its_phase_named() -> None:
    study = _climbing("on: climb")
    effect = next(e for e in decisive(study) if e.failure.id == "feeder:to left")
    assert effect.trips == ()  # in cruise 10 A run there
    found = _to_right(study)
    assert found.verdict is Verdict.FAIL
    assert "climb by day: then 30.0 A run through its" in found.sentence
    assert (
        "Asked by day in climb and cruise; not in start, while the starter turns." in found.sentence
    )


def test_a_load_of_the_day_alone_is_asked_by_day() -> None:
    study = _climbing("on: climb, when: day", conditions="[day, night]")
    found = _to_right(study)
    assert found.verdict is Verdict.FAIL
    assert "climb by day" in found.sentence
    assert "Asked by night in climb and cruise, and by day in climb; not in start" in found.sentence


def test_each_phase_is_asked_as_cruise_is() -> None:
    """The phases asked beside cruise give what cruise gives where nothing else is on in them."""
    done = overloads(_climbing("on: always"))
    cruise, climb = (
        {
            o.failure.id: (o.trips, o.hot, dict(o.carried))
            for o in done.found
            if o.phase == phase and o.carried
        }
        for phase in ("cruise", "climb")
    )
    assert cruise
    assert cruise == climb


TWO = """\
system: {name: Two, nominal: 14 V, ambient: 25 °C, conditions: [day], return: airframe}
phases: {cruise: {lasts: 1 h}}
sources:
  first: {kind: lead-acid, place: p, capacity: 60 Ah, rate: 1 h, resistance: 8 mΩ}
  second: {kind: lead-acid, place: p, capacity: 60 Ah, rate: 1 h, resistance: 40 mΩ}
buses: {left: {place: p}, right: {place: p}}
feeders:
  - {name: first left, from: first, to: left, limiter: 125 A, gauge: AWG 2}
  - {name: first right, from: first, to: right, limiter: 125 A, gauge: AWG 2}
  - {name: second right, from: second, to: right, breaker: auto}
  - {name: tie, from: left, to: right, breaker: auto}
grounds: {g: {place: p}}
equipment:
  a: {place: p, draw: 6 A, on: always}
  b: {place: p, draw: 6 A, on: always}
  c: {place: p, draw: 6 A, on: always}
  d: {place: p, draw: 6 A, on: always}
  e: {place: p, draw: 6 A, on: always}
circuits:
  a: {bus: left, fuse: 7.5 A, feeds: a}
  b: {bus: left, fuse: 7.5 A, feeds: b}
  c: {bus: left, fuse: 7.5 A, feeds: c}
  d: {bus: right, fuse: 7.5 A, feeds: d}
  e: {bus: right, fuse: 7.5 A, feeds: e}
places: {p: {ambient: 25 °C}}
"""


def test_what_elec_chooses_holds_when_a_battery_with_two_feeders_is_lost() -> None:
    """No single feeder of the first battery puts all on the second; the battery's loss does."""
    study = small(TWO)
    effect = next(e for e in decisive(study) if e.failure.id == "source:first")
    assert effect.carried["second right"] == pytest.approx(30.0, abs=1e-6)
    assert effect.trips == ()
    assert effect.hot == ()
    # 80 % of the rating for a lasting 30 A
    assert (sizing(study).devices["second right"].rating_a or 0.0) >= 30.0 / 0.8 * 0.99
    found = [f for f in run(study) if f.check == "failure-overload"]
    assert {f.verdict for f in found} == {Verdict.PASS}
