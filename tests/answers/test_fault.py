"""Short-circuit currents, by hand from the printed resistances of AC 43.13-1B table 11-9."""

import pytest

from elec.answers.short.damage import opens_in_time
from elec.answers.short.fault import faults
from elec.answers.short.selectivity import selectivity
from tests.answers.helper import small

OHM_PER_FT = {"4": 0.28e-3, "8": 0.70e-3, "20": 9.88e-3}
"""Table 11-9 as printed, two to three digits."""
JOINTS = 2 * 0.2e-3
HOT = (234.5 + 150) / 254.5
"""Copper at the rating of its insulation."""

TEXT = """
system: {{name: Fault, nominal: 14 V, wire: etfe-tin}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources:
  battery: {{kind: lead-acid, place: box, capacity: 18 Ah, resistance: 12 mΩ}}
  {more}
buses: {{main: {{place: box}}}}
grounds: {{stud: {{place: box}}}}
feeders:
  - {{name: cable, from: battery, to: main, {feeder}, gauge: AWG 4, length: 2 ft}}
equipment: {{lamp: {{place: box, draw: 1 A}}}}
circuits: {{lamp: {{bus: main, {device}, feeds: lamp, gauge: AWG 20, length: 30 ft}}}}
places: {{box: {{within: 3 ft}}}}
"""


def _text(**changes: str) -> str:
    usual = {
        "more": "",
        "feeder": "unprotected: short",
        "device": "breaker: {rating: 5 A, resistance: 45 mΩ}",
    }
    return TEXT.format(**{**usual, **changes})


def test_least_current_is_the_hand_sum() -> None:
    """11.5 V over battery, cable, breaker, 30 ft out and 30 ft back hot, and the negative cable."""
    cable = OHM_PER_FT["4"] * 2 * HOT + JOINTS
    negative = OHM_PER_FT["4"] * 3 * HOT + JOINTS
    wire = 2 * (OHM_PER_FT["20"] * 30 * HOT + JOINTS)
    expected = 11.5 / (0.012 + cable + 0.045 + wire + negative)
    found = faults(small(_text()))["lamp"]
    # 1 %: the table prints AWG 4 with two digits
    assert found.least_a == pytest.approx(expected, rel=0.01)
    assert found.source == "battery"


def test_greatest_current_is_the_hand_sum() -> None:
    """A full battery over its cold cable; an alternator raises the voltage.

    Not the breaker (45 mΩ): what it breaks is given for the prospective current, which is that
    without it (IEC 60050-441, 441-17-01, from memory).
    """
    study = small(
        _text(more="alternator: {kind: alternator, place: box, setpoint: 14.2 V, rating: 40 A}")
    )
    alone = faults(small(_text()))["lamp"].greatest_a
    assert alone is not None
    cable = OHM_PER_FT["4"] * 2 + JOINTS
    negative = OHM_PER_FT["4"] * 3 + JOINTS
    ohm = 0.012 + cable + negative
    # 12.9 V: a rested AGM battery, typical; 1 % as above
    assert alone == pytest.approx(12.9 / ohm, rel=0.01)
    # the alternator hangs on no feeder here: it adds nothing, but its voltage counts
    assert faults(study)["lamp"].greatest_a == pytest.approx(14.2 / ohm, rel=0.01)


def test_lithium_management_limits_the_least_current() -> None:
    text = _text().replace(
        "kind: lead-acid, place: box, capacity: 18 Ah",
        "kind: lithium-iron-phosphate, place: box, capacity: 18 Ah, limit: 7 A",
    )
    found = faults(small(text))["lamp"]
    assert found.least_a == 7
    assert found.limited


def test_without_a_battery_nobody_knows() -> None:
    text = _text().replace(
        "battery: {kind: lead-acid, place: box, capacity: 18 Ah, resistance: 12 mΩ}",
        "battery: {kind: alternator, place: box, setpoint: 14 V, rating: 40 A}",
    )
    found = faults(small(text))["lamp"]
    assert found.least_a is None
    assert "no battery" in found.unknown


@pytest.mark.parametrize(("upper", "sure"), [("10 A", False), ("15 A", True)])
def test_fast_breakers_in_step(upper: str, sure: bool) -> None:
    """Federal item record of the fast class: below 10 A a 5 A may lose, below 15 A it wins."""
    fast = "{{rating: {}, class: fast}}".format
    text = _text(feeder=f"breaker: {fast(upper)}", device=f"breaker: {fast('5 A')}")
    (found,) = selectivity(small(text))["cable"]
    assert found.sure is sure
    if not sure:
        assert found.sure_to_a is not None
        assert found.sure_to_a < 4 * 5


def test_damage_time_of_the_worst_current() -> None:
    """5 A of the wide class on AWG 20: the wire outlasts it at every corner of its curve."""
    found = opens_in_time(small(_text()))["lamp"]
    assert found.opens_s is not None
    assert found.share < 1
    assert found.end_a <= 50


def _fused(stub: str) -> str:
    """A fuse ahead of the bus on a stub of AWG 20 that starts at the post."""
    text = _text(feeder=f"fuse: {{rating: 30 A, resistance: 1 mΩ, {stub}}}")
    return text.replace("gauge: AWG 4, length: 2 ft", "gauge: AWG 20, length: 2 ft")


@pytest.mark.parametrize("inches", [0, 3, 12])
def test_greatest_current_counts_the_stub(inches: float) -> None:
    """A short just behind the device: battery, the wire ahead of it, the negative."""
    stub = OHM_PER_FT["20"] * inches / 12 + JOINTS if inches else 0.0
    negative = OHM_PER_FT["20"] * 3 + JOINTS
    fault = faults(small(_fused(f"stub: {inches:g} in")))["cable"]
    # 1 %: the table is printed with two to three digits
    assert fault.greatest_a == pytest.approx(12.9 / (0.012 + stub + negative), rel=0.01)
    assert fault.greatest.value == pytest.approx(fault.greatest_a)
    assert fault.uncounted == ()


def test_a_wire_of_a_usual_length_is_not_counted_and_is_told() -> None:
    """`place:` alone says that a wire is there; the short may be nearer than its usual length."""
    bolted = faults(small(_fused("stub: 0 in")))["cable"]
    apart = faults(small(_fused("place: box")))["cable"]
    assert apart.greatest_a == bolted.greatest_a
    assert apart.uncounted == ("cable/stub",)


def test_greatest_current_of_a_second_device_counts_its_own_stub() -> None:
    """The device at the alternator: what a battery drives into it comes through the whole cable."""
    far = ", far-end: {fuse: {rating: 50 A, resistance: 1 mΩ, stub: 6 in}}"
    text = _text(more="alternator: {kind: alternator, place: box, setpoint: 12 V, rating: 40 A}")
    output = "  - {name: output, from: alternator, to: main, fuse: {rating: 50 A, resistance: 1 mΩ}"
    text = text.replace("equipment:", f"{output}, gauge: AWG 8, length: 4 ft{far}}}\nequipment:")
    found = faults(small(text))
    battery = 0.012 + OHM_PER_FT["4"] * 5 + 2 * JOINTS  # its cable and its negative
    stub = OHM_PER_FT["8"] / 2 + JOINTS
    whole = stub + 0.001 + OHM_PER_FT["8"] * 4 + JOINTS
    more = 1.5 * 40  # the alternator itself, at what it gives into a short
    for name, ahead in (("output far end", stub), ("output", whole)):
        own = (found[name].greatest_a or 0.0) - more
        assert own == pytest.approx(12.9 / (battery + ahead), rel=0.015), name
