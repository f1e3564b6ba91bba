"""Grounds on their sheets: rings by stud and gauge as they are bought, each in one column."""

import re
from collections import Counter

import pytest
from msgspec.structs import replace

from elec.answers.grounds.terminals import on_structure
from elec.drawings.ink import Lettering
from elec.drawings.records.grounds import (
    PIGTAILS,
    SHARED,
    SINGLE,
    STUDS,
    ground_record,
)
from elec.drawings.sheets.grounds import grounds
from elec.pages.bench.shopping import terminals_to_buy
from tests.drawings.test_set import drawn, study
from tests.systems import NAMES


@pytest.mark.parametrize("name", NAMES)
def test_rings_of_a_sheet_are_bought(name: str) -> None:
    """Each ground says its stud and its rings; the list to buy from has as many of each stud."""
    own, record = study(name), ground_record(study(name))
    assert record is not None
    asked: Counter[str] = Counter()
    for box in record.boxes:
        if box.terminals:
            stud, _, rings = box.detail.partition("; rings")[2].partition(": ")
            stud = stud.removeprefix(" for ")
            counted = sum(int(one.partition(" ")[0]) for one in rings.split(", "))
            assert counted == len(box.terminals), box.id
            asked[stud] += counted
    bought: Counter[str] = Counter()
    for row in terminals_to_buy(own).rows:
        stud = str(row[2]) if isinstance(row[2], str) else "?"
        bought[stud] += int(str(row[4])) if str(row[0]).startswith("ring") else 0
    unknown = asked.pop("", 0)  # ends elsewhere have no known stud either
    assert asked
    assert {stud: bought[stud] for stud in asked} == asked
    assert unknown <= bought["?"]
    shields = any("shield" in box.detail for box in record.boxes)
    assert any(note.startswith(PIGTAILS) for note in record.notes) == shields
    assert (STUDS in record.notes) == bool(unknown)
    assert any(note.startswith(SINGLE) for note in record.notes) == bool(on_structure(own))


@pytest.mark.parametrize("name", NAMES)
def test_what_shares_a_ring_is_joined_at_its_terminal(name: str) -> None:
    """As many bars as terminals with several drains, said in a note where there are any."""
    record = ground_record(study(name))
    assert record is not None
    shared = [t for box in record.boxes for t in box.terminals if len(t.wires) > 1]
    bars = [i for d in drawn(name).of("grounds") for s in d.sheets for i in s.items
            if i.role == "one ring"]  # fmt: skip
    assert len(bars) == len(shared)
    said = [note for note in record.notes if note.startswith(SHARED)]
    assert len(said) == bool(shared)
    if name == "larkspur":  # four times 754 circular mils are more than AWG 16 has
        assert "(4 drains, were they AWG 22: AWG 14, blue)" in said[0]


@pytest.mark.parametrize("name", NAMES)
def test_a_block_without_a_free_terminal_says_so(name: str) -> None:
    """Who adds a circuit looks for the next free terminal there."""
    record = ground_record(study(name))
    assert record is not None
    for box in record.boxes:
        found = re.search(r"(\d+) of (\d+) terminals(, full)?", box.detail)
        if found:
            assert bool(found[3]) == (found[1] == found[2]), box.id
            assert len(box.terminals) == int(found[1])


@pytest.mark.parametrize("name", NAMES)
def test_boxes_under_each_other_have_air(name: str) -> None:
    """No box of a ground stands closer than 2 mm to the one under it."""
    sheet = drawn(name).of("grounds")[0].sheets[0]
    boxes = sorted({i.box for i in sheet.items if i.kind == "box" or i.role == "equipment"})
    apart = [b[1] - a[3] for a in boxes for b in boxes
             if abs(a[0] - b[0]) < 1.0 and b[1] > a[1]]  # fmt: skip
    assert apart
    assert min(apart) >= 2.0


@pytest.mark.parametrize("name", NAMES)
def test_a_ground_stands_in_one_column(name: str) -> None:
    """None of the four systems has a ground that is higher than a column: none is parted."""
    for drawing in drawn(name).of("grounds"):
        for sheet in drawing.sheets:
            heads = [i.text for i in sheet.items if isinstance(i.ink, Lettering)
                     and i.ref.startswith("ground:")]  # fmt: skip
            assert not [text for text in heads if "continued" in text], sheet.title.label


def test_a_ground_higher_than_a_column_goes_on() -> None:
    """It begins a column of its own, says that it goes on, and no terminal is lost."""
    record = ground_record(study("thistledown"))
    assert record is not None
    first = record.boxes[0]
    box = replace(first, terminals=first.terminals * 4)
    sheets = grounds(replace(record, rows=(), boxes=(*record.boxes[1:], box)))
    heads = [item for sheet in sheets for item in sheet.items if item.ref == f"ground:{box.id}"]
    cells = [item for item in heads if item.role == "pin"]
    assert len(cells) == len(box.terminals)
    assert any("continued" in item.text for item in heads)


def test_rings_of_shields_are_counted_as_rings() -> None:
    """Larkspur's *4 shields* were the rings of 15: *4 shield* are rings, as *11 red* are."""
    record = ground_record(study("larkspur"))
    assert record is not None
    (box,) = (one for one in record.boxes if one.label == "essential ground block")
    shields = sum(wire.mark.endswith(" shield") for t in box.terminals for wire in t.wires)
    rings = sum(t.wires[0].mark.endswith(" shield") for t in box.terminals)
    assert shields > rings > 1
    assert box.detail.endswith(f", {rings} shield*")


@pytest.mark.parametrize("name", NAMES)
def test_what_is_not_known_of_rings_and_airframe_is_said(name: str) -> None:
    """Colours were *from memory*, a thread that is not given left no room to write it in."""
    record = ground_record(study(name))
    assert record is not None
    notes = " ".join(record.notes)
    assert "from memory" not in notes
    assert "by most makers: check yours" in notes
    open_ = [box.label for box in record.boxes if "thread ____" in box.detail]
    assert bool(open_) == ("Thread ____" in notes)
    assert all("rings for " not in b.detail for b in record.boxes if b.label in open_)
    assert ("Airframe: " in notes) == (name in ("foxglove", "thistledown"))
    said = " ".join((*(box.detail for box in record.boxes), notes))
    assert "µΩ" not in said


def test_notes_stand_clear_of_the_spare_wires_over_them() -> None:
    """They were jammed against the list: *Notes* read as one of its lines."""
    (sheet,) = drawn("thistledown").of("grounds")[0].sheets
    (head,) = (i for i in sheet.items if i.text == "Notes")
    (left, top) = head.box[:2]
    over = [i.box[3] for i in sheet.items
            if i.text and i.box[3] <= top and abs(i.box[0] - left) < 1.0]  # fmt: skip
    assert top - max(over) > 3.0
