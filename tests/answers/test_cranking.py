"""The start in two parts, against Ohm's law by hand."""

import pytest

from elec.answers.time.cranking import cranks, start_dips
from elec.check import ask, silent
from tests.answers.helper import small

TEXT = """\
system: {name: Dunnock, nominal: 14 V, conditions: [day], return: wired}
phases:
  start: {lasts: 12 s, engine: cranking}
  cruise: {lasts: 1 h, engine: 2300 rpm}
sources:
  battery: {kind: lead-acid, place: bay, capacity: 17 Ah, resistance: 10 mΩ}
buses: {main: {place: bay}}
grounds: {post: {place: bay}}
feeders: [{name: cable, from: battery, to: main, unprotected: test, gauge: AWG 2}]
equipment:
  starter: {place: bay, draw: 120 A, on: {start: 4 s}, character: motor, minimum: 5 V,
            inrush: {factor: 2.5, lasts: 50 ms}}
  computer: {place: bay, draw: 1 A, minimum: 10.5 V, rides-through: 60 ms, essential: yes}
  lamp: {place: bay, draw: 2 A, character: lamp, minimum: 10.5 V}
circuits:
  starter: {bus: main, unprotected: test, feeds: starter, gauge: AWG 2}
  computer: {bus: main, unprotected: test, feeds: computer, gauge: AWG 12}
  lamp: {bus: main, unprotected: test, feeds: lamp, gauge: AWG 12}
places: {bay: }
"""


def test_both_parts_follow_ohms_law() -> None:
    (one,) = cranks(small(TEXT))
    assert one.starter == "starter"
    assert (one.running_a, one.first_a, one.first_s) == (120.0, 300.0, 0.050)
    assert not one.assumed
    assert one.turning.battery_a["battery"] == pytest.approx(123.0, abs=0.01)
    assert one.first.battery_a["battery"] == pytest.approx(303.0, abs=0.01)
    # Two states of one straight line: E - I R through both, R the 10 mΩ and a little of cable.
    ohm = (one.turning.bus_v["main"] - one.first.bus_v["main"]) / 180.0
    assert 0.0100 < ohm < 0.0115
    assert one.turning.bus_v["main"] + 123.0 * ohm == pytest.approx(12.9, abs=0.02)


def test_who_resets_and_who_only_flickers() -> None:
    found = start_dips(small(TEXT))
    assert found["computer"].turning_v > 10.5 > found["computer"].first_v
    assert found["computer"].resets is False
    assert found["lamp"].resets is False
    shorter = start_dips(small(TEXT.replace("rides-through: 60 ms", "rides-through: 40 ms")))
    assert shorter["computer"].resets is True
    unknown = start_dips(small(TEXT.replace(", rides-through: 60 ms", "")))
    assert unknown["computer"].resets is None


def test_a_first_turn_that_is_not_given_is_three_times_for_forty_milliseconds() -> None:
    text = TEXT.replace(",\n            inrush: {factor: 2.5, lasts: 50 ms}", "")
    (one,) = cranks(small(text))
    assert one.assumed
    assert one.first_a == 360.0
    assert one.first_s == pytest.approx(0.040)


def test_a_current_may_be_given_for_the_first_turn() -> None:
    text = TEXT.replace("factor: 2.5", "current: 280 A")
    (one,) = cranks(small(text))
    assert one.first_a == pytest.approx(280.0)
    assert one.first.battery_a["battery"] == pytest.approx(283.0, abs=0.01)


def test_no_other_load_stands_in_for_a_starter() -> None:
    """A pump is a motor too, and a landing light draws more than anything else."""
    text = TEXT.replace(
        "starter: {place: bay, draw: 120 A, on: {start: 4 s}", "pump: {place: bay, draw: 8 A"
    )
    text = text.replace(
        "starter: {bus: main, unprotected: test, feeds: starter",
        "pump: {bus: main, unprotected: test, feeds: pump",
    )
    study = small(text)
    assert cranks(study) == ()
    assert ask(study, "battery-start") == ()
    assert ("battery-start", "a starter on equipment") in silent([], deep=False)


def test_a_motor_on_while_engines_are_turned_and_never_else_is_the_starter() -> None:
    text = TEXT.replace("starter: {place: bay", "cranker: {place: bay")
    text = text.replace(
        "starter: {bus: main, unprotected: test, feeds: starter",
        "cranker: {bus: main, unprotected: test, feeds: cranker",
    )
    assert [one.starter for one in cranks(small(text))] == ["cranker"]
