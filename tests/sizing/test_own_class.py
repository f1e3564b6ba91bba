"""Curves of the builder's own, in everything that asks a device when it opens."""

import math

import pytest

from elec.answers.short.damage import opens_in_time
from elec.sizing.devices import band_of, holds_inrush, interrupts, ultimate_trip
from elec.sizing.own_class import OwnFamily
from elec.sizing.picking import circuit_devices
from elec.study import Study
from tests.answers.helper import small

CLASSES = """\
device-classes:
  mine:
    source: sheet 7
    interrupts: 2500 A
    curve:
      115 %: {holds: 1 h}
      138 %: {opens: 1 h}
      200 %: {holds: 12 s, opens: 40 s}
      1000 %: {holds: 300 ms, opens: 1 s}
"""


def _study(breaker: str, classes: str = CLASSES) -> Study:
    return small(
        "system: {name: Curves, nominal: 14 V}\n"
        "phases:\n  cruise: {lasts: 1 h, engine: 2400 rpm}\n"
        "sources:\n  battery: {kind: lead-acid, place: panel, capacity: 18 Ah, resistance: 9 mΩ}\n"
        "buses:\n  main: {place: panel}\ngrounds:\n  block: {place: panel}\n"
        "feeders:\n  - {from: battery, to: main, limiter: 60 A}\n"
        "equipment:\n  lamp: {place: tail, draw: 3 A, on: always,\n"
        "         character: lamp, inrush: {factor: 10, lasts: 200 ms}}\n"
        f"circuits:\n  lamp: {{bus: main, breaker: {breaker}, feeds: lamp, gauge: AWG 20}}\n"
        f"{classes}places: {{panel: , tail: }}\n"
        "ways:\n  - {between: [panel, tail], length: 4 m}\n"
    )


def test_points_are_read_as_they_stand() -> None:
    study = _study("{rating: 5 A, class: mine}")
    device = circuit_devices(study)["lamp"]
    assert isinstance(device.family, OwnFamily)
    assert str(device.family) == "mine"
    band = band_of(device.kind, device.family, 5.0)
    assert [(p.multiple, p.least_s, p.most_s) for p in band.points] == [
        *((1.15, 3600.0, None), (1.38, None, 3600.0)),
        *((2.0, 12.0, 40.0), (10.0, 0.3, 1.0)),
    ]
    assert ultimate_trip(device) == 1.38
    # 30 A on 5 A is 6 times: 12 s falls to 0.3 s from 2 to 10 times, straight on log-log paper
    held = holds_inrush(device.kind, device.family, 5.0, 30.0, 0.2, warmth=1.0)
    assert held is not None
    slope = math.log(0.3 / 12) / math.log(10 / 2)
    assert held[1] == pytest.approx(12 * (6 / 2) ** slope)
    found = interrupts(study, device)
    assert found is not None
    assert found.current_a == 2500.0
    assert "sheet 7" in found.origin


def test_a_quicker_part_saves_the_wire_that_the_wide_class_curve_does_not() -> None:
    quick = CLASSES.replace("40 s", "12 s").replace("opens: 1 s", "opens: 300 ms")
    wide = opens_in_time(_study("{rating: 5 A, class: thermal}"))["lamp"]
    mine = opens_in_time(_study("{rating: 5 A, class: mine}", quick))["lamp"]
    assert mine.opens_s is not None
    assert wide.opens_s is not None
    assert mine.share < wide.share


def test_a_curve_of_one_part_and_compensation() -> None:
    """55 °C behind the panel takes 9 % from an uncompensated breaker, nothing from the other."""
    curve = "curve: {115 %: {holds: always}, 200 %: {holds: 5 s, opens: 20 s}}"
    plain = circuit_devices(_study(f"{{rating: 5 A, {curve}}}", ""))["lamp"]
    steady = circuit_devices(_study(f"{{rating: 5 A, {curve}, compensated: yes}}", ""))["lamp"]
    assert str(plain.family) == "own curve"
    assert plain.needed_a == pytest.approx(3 / 0.8 / 0.91)
    assert steady.needed_a == pytest.approx(3 / 0.8)


def test_two_classes_of_one_name_are_two_classes() -> None:
    """Results kept by name never mix up two systems."""
    one = circuit_devices(_study("{rating: 5 A, class: mine}"))["lamp"].family
    other = CLASSES.replace("12 s", "13 s")
    two = circuit_devices(_study("{rating: 5 A, class: mine}", other))["lamp"].family
    assert str(one) == str(two)
    assert one != two
    assert hash(one) != hash(two)
    again = circuit_devices(_study("{rating: 5 A, class: mine}"))["lamp"].family
    assert again == one


def test_an_auto_rating_is_chosen_among_the_usual_ones() -> None:
    device = circuit_devices(_study("{rating: auto, class: mine}"))["lamp"]
    assert device.chosen
    # 3 A / 0.8 / 0.91 = 4.1 A
    assert device.rating_a == 5.0


def test_a_warm_breaker_opens_sooner_at_switch_on() -> None:
    """55 °C leave 91 % of 5 A: 30 A are then 6.59 times it, and 6 times a compensated one."""
    curve = "curve: {200 %: {holds: 12 s, opens: 40 s}, 1000 %: {holds: 300 ms, opens: 1 s}}"
    plain = circuit_devices(_study(f"{{rating: 5 A, {curve}}}", ""))["lamp"]
    steady = circuit_devices(_study(f"{{rating: 5 A, {curve}, compensated: yes}}", ""))["lamp"]
    slope = math.log(0.3 / 12) / math.log(10 / 2)
    for device, share in ((plain, 0.91), (steady, 1.0)):
        held = device.holds_inrush(5.0)
        assert held is not None
        assert device.warmth == pytest.approx(share)
        assert held[1] == pytest.approx(12 * (6 / share / 2) ** slope)
