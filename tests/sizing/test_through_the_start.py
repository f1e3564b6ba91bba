"""What `auto` takes in the way of the starter's current stays closed until the engine runs."""

from elec.check import run
from elec.finding import Verdict
from elec.sizing.sizing import sizing
from elec.sizing.starter_cables import _starter
from elec.study import Study
from tests.answers.helper import small

SYSTEM = """\
system: {name: Started, nominal: 14 V, return: wired, electrically-dependent: no}
phases:
  start: {lasts: 15 s, engine: cranking}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  battery: {kind: lead-acid, place: firewall, capacity: 18 Ah, resistance: 9 mΩ}
buses: {stud: {place: firewall}}
feeders: [{from: battery, to: stud, KIND: {rating: RATING, stub: 4 in}}]
grounds: {block: {place: firewall, kind: block}}
equipment:
  starter: {place: engine, draw: 110 A, on: {start: 4 s}, character: motor,
    inrush: {factor: 3, lasts: 50 ms}}
  radio: {place: firewall, draw: 2 A, on: cruise}
circuits:
  starter: {bus: stud, feeds: starter, gauge: AWG 4, unprotected: starter main circuit}
  radio: {bus: stud, breaker: 5 A, feeds: radio}
places: {engine: {}, firewall: {}}
ways: [{between: [engine, firewall], length: 2 ft}]
"""


def started(rating: str, kind: str = "limiter") -> Study:
    return small(SYSTEM.replace("RATING", rating).replace("KIND", kind))


def verdict(study: Study) -> Verdict:
    (found,) = (f for f in run(study, deep=False) if f.check == "device-holds-start")
    return found.verdict


def test_the_rating_that_is_taken_holds_the_start_and_the_next_smaller_does_not() -> None:
    study = started("auto")
    device = sizing(study).devices["battery-to-stud"]
    assert (device.rating_a, device.decided) == (80.0, "110 A for 4 s while the starter turns")
    assert verdict(study) is Verdict.PASS
    assert verdict(started("60 A")) is Verdict.FAIL


def test_a_rating_that_is_given_stays() -> None:
    """A fuse of 15 A before a starter of 110 A: beyond its curve it opens even sooner."""
    study = started("15 A", "fuse")
    assert sizing(study).devices["battery-to-stud"].rating_a == 15.0
    assert verdict(study) is Verdict.FAIL


def test_a_motor_that_turns_only_with_the_engine_s_start_is_its_starter_from_20_a_on() -> None:
    text = SYSTEM.replace("starter: {place", "winch: {place").replace(
        "starter: {bus", "winch: {bus"
    )
    text = text.replace("feeds: starter", "feeds: winch")
    text = text.replace("RATING", "auto").replace("KIND", "limiter")
    found = [_starter(small(text.replace("110 A", amps)), "start") for amps in ("20 A", "19.9 A")]
    assert found == ["winch", None]
    on = text.replace("on: {start: 4 s}", "on: {start: 4 s, cruise: 4 s}")
    assert _starter(small(on), "start") is None


def test_only_a_link_has_the_gauge_of_one() -> None:
    text = SYSTEM.replace("RATING", "auto").replace("KIND", "limiter")
    linked = text.replace("breaker: 5 A, feeds: radio", "link: auto, gauge: AWG 18, feeds: radio")
    found = [{n: d.link_awg for n, d in sizing(small(t)).devices.items()} for t in (text, linked)]
    assert set(found[0].values()) == {None}
    assert [awg for awg in found[1].values() if awg] == [found[1]["radio"]] == ["22"]
