"""A wire with a fuse written the wrong way round, or with a device that it does not take."""

from pathlib import Path

import pytest

from tests.read.helper import good, reading

TEXT = """\
system: {name: Bench, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: box, capacity: 18 Ah}}
buses: {main: {place: box}}
grounds: {stud: {place: box}}
feeders: [{name: cable, from: battery, to: main, limiter: {rating: 60 A, stub: 0 in}}]
equipment:
  meter:
    {place: box, passive: yes,
     connectors: {J1: {type: dsub-9, contacts: pin, pins: {1: sense}}}}
  lamp: {place: box, draw: 1 A}
circuits: {lamp: {bus: main, breaker: auto, feeds: lamp}}
wires:
  - {from: START, to: STOP, DEVICE}
places: {box: {}}
"""


def _text(start: str, stop: str, device: str) -> str:
    return TEXT.replace("START", start).replace("STOP", stop).replace("DEVICE", device)


@pytest.mark.parametrize("device", ["fuse: 1 A", "fuse: {rating: 1 A, stub: 2 in}"])
@pytest.mark.parametrize("live", ["main", "battery", "battery.+"])
def test_a_tap_the_wrong_way_round_is_told_once(tmp_path: Path, live: str, device: str) -> None:
    found = reading(tmp_path, _text("meter.J1.1", live, device))
    (mistake,) = found.mistakes
    assert mistake.place.line == 14
    assert f'"{live}" is live, and the fuse sits at the end that is' in mistake.message
    assert f"from: {live}, to: meter.J1.1" in mistake.message
    good(reading(tmp_path, _text(live, "meter.J1.1", device)))  # as it says


@pytest.mark.parametrize(
    ("key", "noun"), [("link", "fusible link"), ("breaker", "breaker"), ("limiter", "limiter")]
)
def test_a_wire_from_a_bus_has_a_fuse(tmp_path: Path, key: str, noun: str) -> None:
    found = reading(tmp_path, _text("main", "meter.J1.1", f"{key}: auto"))
    (mistake,) = found.mistakes
    assert mistake.place.line == 14
    assert f"has a fuse, no {noun}" in mistake.message


def test_a_link_the_wrong_way_round_is_told_both(tmp_path: Path) -> None:
    found = reading(tmp_path, _text("meter.J1.1", "main", "link: auto"))
    assert ["turn it round" in m.message for m in found.mistakes].count(True) == 1
    assert len(found.mistakes) == 2


def test_without_a_fuse_the_old_message_stays(tmp_path: Path) -> None:
    (mistake,) = reading(tmp_path, _text("meter.J1.1", "main", "gauge: AWG 22")).mistakes
    assert "a wire with fuse: 1 A" in mistake.message
