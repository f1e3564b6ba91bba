"""What a newcomer wrote and was told wrong, twice or not at all: one clear message each."""

from pathlib import Path

import pytest

from elec.read.lists.loads import read_loads
from tests.read.helper import good, reading

TEXT = """\
system: {name: Bench, nominal: 14 V}
phases: {taxi: {lasts: 15 s, engine: 1200 rpm}, cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: box, capacity: 18 Ah}}
buses: {main: {place: box}}
grounds: {stud: {place: box}}
feeders:
  - {name: cable, from: battery, to: main, limiter: {rating: 60 A, stub: 0 in}}
switches:
  pull: {kind: relay, place: box, coil: {draw: 0.5 A, switch: key, breaker: auto, bus: main}MORE}
equipment:
  lamp: {place: box, draw: 1 A, on: {taxi: 5 s}}
  fan: {place: box, draw: 1 A}
  radio: {place: box, modes: {listen: {draw: 1 A}, send: {draw: 3 A, on: {cruise: 10 %}}}}
circuits:
  lamp: {bus: main, contactor: pull, breaker: auto, feeds: [lamp, fan]}
  radio: {bus: main, breaker: auto, feeds: radio}
places: {box: {}}
"""


@pytest.mark.parametrize(
    ("was", "written", "line", "said"),
    [
        ("{taxi: 5 s}", "{taxi: 40 s}", 11, "40 s are longer than taxi"),
        ("draw: 3 A, on: {cruise: 10 %}", "draw: 3 A", 13, "write on: {cruise: 10 %}"),
        ("[lamp, fan]", "[lamp; fan]", 15, "a comma parts what is listed, lamp, fan"),
        ("MORE", ", engaged-light: {}", 9, "{to: annunciator.J1.9}"),
        ("fan: {place: box,", "fan: {place: box, leads: {red: +},", 12, "pins: {red: power,"),
    ],
)
def test_one_message(tmp_path: Path, was: str, written: str, line: int, said: str) -> None:
    text = TEXT.replace(was, written)
    assert text != TEXT
    (mistake,) = reading(tmp_path, text.replace("MORE", "")).mistakes
    assert mistake.place.line == line
    assert said in mistake.message


def test_as_it_is_meant_it_is_read(tmp_path: Path) -> None:
    leads = "connectors: {leads: {type: terminals, pins: {red: power, black: ground}}}"
    text = TEXT.replace("fan: {place: box,", f"fan: {{place: box, {leads},")
    good(reading(tmp_path, text.replace("MORE", "")))


def test_a_dash_in_a_list_is_nothing(tmp_path: Path) -> None:
    file = tmp_path / "loads.csv"
    dashes = ["--", "—", "n/a", "?"]
    rows = "".join(f"Load {k},{14},{dash},{dash}\n" for k, dash in enumerate(dashes))
    file.write_text(f"Load,Volts (V),Amps (A),Breaker (A)\nRadio,14,0.5,5\n{rows}")
    found = read_loads(file, ())
    assert [one.draw for one in found.loads] == ["0.5 A", "", "", "", ""]
    assert [one.rating for one in found.loads] == ["5 A", "auto", "auto", "auto", "auto"]
    assert any('B "Volts (V)"' in note and "Not read" in note for note in found.notes)
