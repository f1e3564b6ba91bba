"""Circuit sheets: every wire with its texts, no crossing, every box whole or marked as part."""

from collections import Counter

import pytest

from elec.drawings.inputs import CircuitSheet, DrawnRow, DrawnWire, Node
from elec.drawings.sheet import Size, TitleBlock
from elec.drawings.sheets.circuit import circuit
from tests.drawings import invented
from tests.drawings.inspect import inspect


def test_navigation_lights_fit_one_a4_sheet() -> None:
    (sheet,) = circuit(invented.LIGHTS)
    assert inspect(sheet) == ()
    found = Counter(item.text for item in sheet.items)
    for row in invented.LIGHTS.rows:
        for wire in row.conductors:
            if wire.mark:
                assert found[f"{wire.mark} · {wire.length}"] == 1
    for label in ("MAIN BUS", "NAV", "nav lights", "SP3", "J12", "left light"):
        assert found[label] >= 1
    assert not any("(part)" in text for text in found)


@pytest.mark.parametrize("seed", range(40))
def test_random_circuits_have_no_fault(seed: int) -> None:
    sizes: tuple[Size, ...] = ("A4", "A3", "Letter", "Tabloid")
    record = invented.random_circuit(seed, sizes[seed % 4])
    sheets = circuit(record)
    assert [str(f) for s in sheets for f in inspect(s)] == []
    drawn = {item.ref for sheet in sheets for item in sheet.items if item.kind == "wire"}
    assert {w.ref for row in record.rows for w in row.conductors if w.ref} <= drawn


def test_a_row_wider_than_the_sheet_goes_on_at_a_letter() -> None:
    nodes = [invented.BUS]
    nodes += [invented.through(f"J{i}", "1") for i in range(9)]
    nodes.append(invented.equipment("tail-light", "1", "power"))
    wires = tuple(invented.wire(i + 1) for i in range(len(nodes) - 1))
    record = CircuitSheet(
        title=TitleBlock(title="Long"),
        id="long",
        rows=(DrawnRow(nodes=tuple(nodes), conductors=wires),),
    )
    sheets = circuit(record)
    assert [str(f) for s in sheets for f in inspect(s)] == []
    letters = Counter(
        i.text for s in sheets for i in s.items if i.ref.startswith(("to ", "from ")) and i.text
    )
    assert letters
    assert all(count == 2 for count in letters.values())


def test_many_wires_continue_on_the_next_sheet() -> None:
    rows = tuple(
        DrawnRow(
            nodes=(invented.ground(), invented.equipment("box", str(i), f"signal {i}")),
            conductors=(DrawnWire(ref=f"w{i}", mark=f"R{i}A22", gauge="AWG 22"),),
        )
        for i in range(1, 51)
    )
    sheets = circuit(CircuitSheet(title=TitleBlock(title="Box"), id="box", rows=rows))
    assert len(sheets) > 2
    assert [str(f) for s in sheets for f in inspect(s)] == []
    assert "continued" in sheets[1].title.title
    assert any("(part)" in item.text for item in sheets[0].items)


def test_a_circuit_without_rows_is_an_empty_sheet() -> None:
    sheets = circuit(CircuitSheet(title=TitleBlock(title="None"), id="none", rows=()))
    assert len(sheets) == 1


def test_a_row_needs_a_conductor_between_nodes() -> None:
    with pytest.raises(ValueError, match="one conductor"):
        DrawnRow(nodes=(invented.BUS, invented.BREAKER), conductors=())


def test_cautions_and_facts_are_printed() -> None:
    words = " ".join(i.text for s in circuit(invented.LIGHTS) for i in s.items)
    assert "Battery off" in words
    assert "0.31 V of 0.50 V" in words


def test_long_names_are_kept_in_their_boxes() -> None:
    node = Node(
        kind="equipment",
        ref="x",
        label="an equipment with a name of very great length indeed " * 2,
        sublabel="somewhere",
        connector="J1",
        pin="12345678",
        signal="serial data out, third channel, to the recorder",
    )
    wire = DrawnWire(ref="w", mark="L31A20", gauge="AWG 20")
    row = DrawnRow(nodes=(invented.BUS, invented.BREAKER, node), conductors=(invented.JOINT, wire))
    sheets = circuit(CircuitSheet(title=TitleBlock(title="Long"), id="l", rows=(row,)))
    assert {f.kind for s in sheets for f in inspect(s)} <= {"cut text"}
