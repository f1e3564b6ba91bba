"""A small system, and ways to read a change of it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from elec.model.system import System
from elec.read import Reading, read

GOOD = """\
system: {name: Tern, nominal: 14 V}
phases:
  taxi: {lasts: 10 min, engine: 1200 rpm}
  cruise: {lasts: 2 h, engine: 2350 rpm}
sources:
  alternator: {kind: alternator, place: engine, setpoint: 14.2 V, output: {1000 rpm: 8 A}}
  battery: {kind: lead-acid, place: engine, capacity: 18 Ah, resistance: 9 mohm}
buses:
  main: {place: panel}
grounds:
  block: {place: panel, kind: block}
  far-block: {place: belly, to: block}
feeders:
  - {from: battery, to: main, contactor: master}
  - {from: alternator, to: main, limiter: 40 A}
equipment:
  radio:
    place: panel
    draw: 1.5 A
    connectors:
      J1: {type: dsub-15, contacts: socket, pins: {1: power, 8: ground, 3: audio}}
  beacon: {place: belly, draw: 12 W, on: taxi..cruise}
  antenna: {place: belly, passive: yes}
circuits:
  radio: {bus: main, breaker: 5 A, feeds: radio}
  beacon:
    {bus: main, breaker: auto, switch: beacon, feeds: beacon, through: {root: {feed: A, return: B}}}
plugs:
  root: {type: round-4, place: belly, pins: {A: beacon, B: beacon return}}
wires:
  - {from: radio.J1.3, to: root.A}
multicores:
  spare: {type: 2-core AWG 20, from: panel, to: belly, spare: yes}
coax:
  com: {type: RG-400, from: radio.antenna, to: antenna, service: com}
places: {engine: , panel: , belly: }
ways:
  - {between: [engine, panel], length: 3 ft}
  - {between: [panel, belly], length: 5 ft 6 in}
zones:
  floor: {places: [belly], closes: before the floor goes in}
"""


def reading(folder: Path, text: str | bytes, name: str = "tern.yaml") -> Reading:
    """Read a text as a file."""
    file = folder / name
    if isinstance(text, bytes):
        file.write_bytes(text)
    else:
        file.write_text(text, encoding="utf-8")
    return read(file)


def changed(old: str, new: str) -> str:
    """The small system with one change; the old text must be there once."""
    assert GOOD.count(old) == 1, old
    return GOOD.replace(old, new)


def said(found: Reading) -> list[str]:
    """The mistakes as they are shown."""
    return [str(mistake) for mistake in found.mistakes]


def good(found: Reading) -> System:
    """The system of a text that has no mistake."""
    assert said(found) == []
    assert found.system is not None
    return found.system


Wrong = Callable[[str, str], list[str]]


@pytest.fixture
def wrong(tmp_path: Path) -> Wrong:
    """Mistakes after a change of the small system, without file and place."""

    def show(old: str, new: str) -> list[str]:
        found = reading(tmp_path, changed(old, new))
        assert found.mistakes
        assert found.system is None
        return [f"{m.place.path}: {m.message}" for m in found.mistakes]

    return show
