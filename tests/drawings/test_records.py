"""From chains to rows: every conductor once, joints where several wires leave one thing."""

from collections import Counter
from pathlib import Path

import pytest

from elec.drawings.from_study import drawings
from elec.drawings.records import words
from elec.drawings.records.nodes import drawn_rows
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains

TEXT = """
system: {{name: Small, nominal: 14 V}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources:
  battery: {{kind: lead-acid, place: bay, capacity: 18 Ah, resistance: 9 mΩ}}
buses: {{main: {{place: panel}}}}
feeders: [{{from: battery, to: main, fuse: 30 A}}]
grounds: {{g1: {{place: panel}}}}
equipment:
  left: {{place: wing, draw: 1 A, on: always}}
  right: {{place: wing, draw: 1 A, on: always}}
circuits:
  lights: {{bus: main, breaker: 5 A, switch: lights, feeds: [left, right]{more}}}
places: {{bay: {{}}, panel: {{}}, wing: {{}}}}
ways: [{{between: [bay, panel], length: 1 m}}, {{between: [panel, wing], {length}}}]
"""


def study(folder: Path, more: str = "", length: str = "length: 3 m") -> Study:
    file = folder / "small.yaml"
    file.write_text(TEXT.format(more=more, length=length), encoding="utf-8")
    reading = read(file)
    assert reading.system is not None, reading
    return Study(reading.system)


@pytest.mark.parametrize("more", ["", ", splice: wing"])
def test_every_conductor_is_drawn_once(tmp_path: Path, more: str) -> None:
    made = study(tmp_path, more)
    chain = chains(made).by_name["lights"]
    rows = drawn_rows(made, chain, chain.rows)
    found = Counter(wire.ref for row in rows for wire in row.conductors if wire.ref)
    assert set(found) == {c.id for c in chain.conductors()}
    assert set(found.values()) == {1}


def test_two_wires_from_one_switch_meet_at_a_joint(tmp_path: Path) -> None:
    made = study(tmp_path)
    chain = chains(made).by_name["lights"]
    rows = drawn_rows(made, chain, chain.rows)
    kinds = [[n.kind for n in row.nodes] for row in rows]
    assert kinds[0] == ["bus", "breaker", "switch", "splice", "equipment"]
    assert ["splice", "equipment"] in kinds
    assert kinds.count(["ground", "equipment"]) == 2


def test_a_return_has_its_load_at_the_right(tmp_path: Path) -> None:
    made = study(tmp_path)
    chain = chains(made).by_name["lights"]
    back = [r for r in drawn_rows(made, chain, chain.rows) if r.nodes[0].kind == "ground"]
    assert all(row.nodes[-1].pin == "−" for row in back)


def test_an_unknown_length_is_printed_as_unknown(tmp_path: Path) -> None:
    made = study(tmp_path, length="holes: []")
    text = " ".join(i.text for s in drawings(made).sheets for i in s.items)
    assert words.NOT_KNOWN in text


def test_an_unknown_current_is_a_question_mark() -> None:
    assert words.amps(None) == "?"
    assert words.amps(0.0) == "0.0"
    assert words.amps(0.04) == "0.04"
    assert words.amps(12.34) == "12.3"
