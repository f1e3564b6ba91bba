"""Sheets of grounds and of the interconnect: references both ways, joints, nothing left out."""

import shutil
from itertools import pairwise
from pathlib import Path

import pytest

from elec.answers.connect.pins import colour_of
from elec.answers.grounds.terminals import on_structure, stud_of, terminals
from elec.drawings.index import SheetSpot, with_spots
from elec.drawings.ink import Lettering
from elec.drawings.inputs import GroundBox
from elec.drawings.records import words
from elec.drawings.records.grounds import ground_record
from elec.drawings.records.interconnect import interconnects
from elec.drawings.records.runs import signal_runs
from elec.drawings.records.thin import on_connector
from elec.drawings.sheet import Sheet, TitleBlock, Wanted
from elec.read import read
from elec.study import Study
from elec.wiring.chains import STRUCTURE, bonded_grounds, chains, ground_node, joined
from tests.drawings.references import refs_in, spots
from tests.drawings.test_set import SYSTEMS, drawn, study
from tests.read.helper import changed, good, reading
from tests.systems import NAMES


@pytest.mark.parametrize("name", NAMES)
def test_each_ground_with_wires_has_boxes_to_tick(name: str) -> None:
    """Torque at all, bare metal where it is structure or a stud on it; the value is the maker's."""
    (drawing,) = drawn(name).of("grounds")
    record = ground_record(study(name))
    assert record is not None
    texts = [(item.ref, item.text) for sheet in drawing.sheets for item in sheet.items]
    for box in record.boxes:
        kind = box.detail.partition(",")[0]
        given = box.id in study(name).document.grounds
        bolted = given and (box.id in bonded_grounds(study(name)) or joined(study(name), box.id))
        metal = box.id.startswith(STRUCTURE) or kind in ("structure", "stud") or bolted
        own = " ".join(text for ref, text in texts if ref == f"ground:{box.id}")
        assert own.count("torque") == bool(box.terminals), box.id
        assert ("☐ bare" in own) == (metal and bool(box.terminals)), box.id
    assert "Torque: the maker's value." in " ".join(record.notes)


def test_a_block_bolted_to_structure_has_a_box_for_bare_metal() -> None:
    """The joint that all currents pass had but its torque to tick."""
    for name in ("larkspur", "yarrow"):
        boxes = {box.id: box.ticks for box in ground_boxes(study(name))}
        assert boxes["firewall-ground"] == ("bare metal", "torque")
        assert boxes["panel-block"] == ("torque",)


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_the_starter_is_in_the_picture_of_the_grounds(name: str) -> None:
    """The largest return of all was but a row below it."""
    record = ground_record(study(name))
    assert record is not None
    rows = [row for row in record.rows if row.nodes[0].label == "starter"]
    assert len(rows) == 1
    wire = rows[0].conductors[0].mark
    (end,) = [box.id for box in record.boxes for t in box.terminals if t.wires[0].mark == wire]
    assert rows[0].nodes[1].ref == ground_node(end)


@pytest.mark.parametrize("name", NAMES)
def test_each_of_several_studs_has_its_boxes(name: str) -> None:
    """One pair of boxes stood for up to eight joints."""
    for box in ground_boxes(study(name)):
        several = box.id.startswith(STRUCTURE) and len(box.terminals) > 1
        assert all(t.own for t in box.terminals) or not several, box.id
        shown = [i.text for d in drawn(name).of("grounds") for s in d.sheets for i in s.items
                 if i.text == "☐ ☐" and i.ref.startswith(f"ground:{box.id} ")]  # fmt: skip
        assert len(shown) == sum(t.own for t in box.terminals)


@pytest.mark.parametrize("name", NAMES)
def test_a_shield_leads_to_the_row_with_its_box(name: str) -> None:
    """It led to the top of its connector, or to another sheet of it."""
    made, met = drawn(name), 0
    sheets = {sheet.title.label: sheet for sheet in made.sheets}
    for drawing in made.of("grounds"):
        for item, there, zone in (spot for s in drawing.sheets for spot in spots(s)):
            if item.ref.endswith("/drain") and there[0] == "K":
                met += 1
                assert any(ref.endswith(".shield") for ref in refs_in(sheets[there], zone))
    assert met


def test_spare_wires_are_to_be_capped() -> None:
    (drawing,) = drawn("larkspur").of("grounds")
    assert any(
        i.text == "Spare wires: cap both ends, stow" for s in drawing.sheets for i in s.items
    )


@pytest.mark.parametrize("name", NAMES)
def test_a_shield_or_signal_ground_leads_to_its_connector(name: str) -> None:
    """From each terminal with such a wire to a sheet and zone of connectors that has its cable."""
    own, made = study(name), drawn(name)
    sheets = {sheet.title.label: sheet for sheet in made.sheets}
    led = {item.ref: (there, zone) for d in made.of("grounds") for s in d.sheets
           for item, there, zone in spots(s) if there[0] == "K"}  # fmt: skip
    met = 0
    for every in terminals(own).values():
        for end in (one for terminal in every for one in terminal):
            chain = chains(own).by_name[end.wire.partition("/")[0]]
            shield = end.other is None
            signal = end.other is not None and on_connector(own, end.other)
            if chain.kind not in ("wire", "cable") or not (shield or signal):
                continue
            met += 1
            there, zone = led[f"{end.wire}/drain" if shield else end.wire]
            found = refs_in(sheets[there], zone)
            if end.other is not None:
                assert end.other.id in found
            else:
                assert any(ref.endswith(".shield") for ref in found)
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_a_signal_ground_is_led_to_from_its_contact(name: str) -> None:
    """The contact's row names the zone of the sheet of grounds that has the terminal."""
    own, made = study(name), drawn(name)
    grounds = {s.title.label: s for d in made.of("grounds") for s in d.sheets}
    back = [(item.ref, k, z) for s in made.sheets if s.title.label[0] == "K"
            for item, k, z in spots(s) if k in grounds]  # fmt: skip
    for chain in chains(own).of("wire"):
        for wire in chain.conductors():
            for end, other in ((wire.a, wire.b), (wire.b, wire.a)):
                if other.kind == "ground" and on_connector(own, end):
                    led = [(k, z) for ref, k, z in back if ref == end.id]
                    assert any(wire.id in refs_in(grounds[k], z) for k, z in led), wire.id


@pytest.mark.parametrize("name", NAMES)
def test_what_is_joined_without_a_wire_is_drawn(name: str) -> None:
    own, record = study(name), ground_record(study(name))
    assert record is not None
    ends = {(a.ref, b.ref) for row in record.rows for a, b in pairwise(row.nodes)}
    for ground in own.document.grounds:
        if joined(own, ground) and f"{ground}-ground" in chains(own).by_name:
            chain = chains(own).by_name[f"{ground}-ground"]
            assert (chain.rows[0].parts[0].id, chain.rows[0].parts[-1].id) in ends, ground
    for ground in bonded_grounds(own):
        assert (ground_node(ground), f"{ground} {STRUCTURE}") in ends


@pytest.mark.parametrize("name", NAMES)
def test_a_column_that_goes_on_says_with_what(name: str) -> None:
    """What stands highest in a column of terminals or spare wires is a name in bold."""
    for drawing in drawn(name).of("grounds"):
        for sheet in drawing.sheets:
            listed = [i for i in sheet.items if isinstance(i.ink, Lettering)
                      and (i.ref.startswith("ground:") or i.ref == "head")]  # fmt: skip
            wires = [i for i in sheet.items if isinstance(i.ink, Lettering) and "spare/" in i.ref]
            gauges = [i for i in wires if i.text.startswith("AWG ")]  # in the line under the marks
            for left in {round(i.box[0]) for i in gauges}:
                first = min((i for i in gauges if round(i.box[0]) == left), key=lambda i: i.box[1])
                over = [i for i in listed if abs(i.box[0] - left) < 1.0 and i.box[1] < first.box[1]]
                assert any(i.text.startswith("Spare wires") for i in over), sheet.title.label


@pytest.mark.parametrize("name", NAMES)
def test_all_that_signal_wires_join_is_drawn_or_listed(name: str) -> None:
    own = study(name)
    sheets = [sheet for d in drawn(name).of("interconnect") for sheet in d.sheets]
    texts = " | ".join(i.text for sheet in sheets for i in sheet.items if i.text)
    met = 0
    for run in signal_runs(own):
        ends = (run.parts[0], run.parts[-1])
        if all(end.kind == "equipment" for end in ends) and ends[0].name != ends[1].name:
            met += 1
            for end in ends:
                first = own.system.title("equipment", end.name).split()[0]
                assert first in texts, end.name
    assert met
    assert interconnects(own)


@pytest.mark.parametrize("name", NAMES)
def test_both_ends_of_a_line_name_their_connector(name: str) -> None:
    for drawing in drawn(name).of("interconnect"):
        for sheet in drawing.sheets:
            lines = [item for item in sheet.items if item.role == "link"]
            for line in lines:
                for box in set(line.ends) & set(study(name).document.equipment):
                    named = [i.text for i in sheet.items if i.ref == box and i.text]
                    known = study(name).document.equipment[box].connectors
                    assert any(t in known or "," in t for t in named) or not known, box


def test_an_interconnect_that_fits_takes_the_paper_of_the_system() -> None:
    (drawing,) = drawn("yarrow").of("interconnect")
    assert [sheet.size for sheet in drawing.sheets] == ["A4"]


@pytest.mark.parametrize("name", ["larkspur", "yarrow"])
def test_wires_on_structure_have_a_stud_each_that_their_circuit_names(name: str) -> None:
    own, made = study(name), drawn(name)
    assert stud_of(own)
    for (place, wire), number in stud_of(own).items():
        others = [n for (p, _), n in stud_of(own).items() if p == place]
        assert sorted(others) == list(range(1, len(others) + 1))
        (box,) = [b for b in ground_boxes(own) if any(w.id == wire for t in b.terminals
                                                      for w in t.wires)]  # fmt: skip
        assert [t.number for t in box.terminals if t.wires[0].id == wire] == [str(number)]
    said = {i.text for d in made.of("circuit") for s in d.sheets for i in s.items}
    assert {f"stud {n}" for n in stud_of(own).values()} <= said


def ground_boxes(own: Study) -> tuple[GroundBox, ...]:
    record = ground_record(own)
    assert record is not None
    return record.boxes


def test_ohms_of_a_joint_say_where_they_are_from(tmp_path: Path) -> None:
    """Yarrow's main ground has no resistance in the file; what was measured says so."""

    def ends(own: Study) -> list[tuple[str, str]]:
        record = ground_record(own)
        assert record is not None
        return [(n.label, n.sublabel) for row in record.rows for n in row.nodes
                if n.kind == "chassis"]  # fmt: skip

    assert ("structure, typical", "2.5 mΩ") in ends(study("yarrow"))
    assert ("structure", "1.5 mΩ") in ends(study("larkspur"))
    folder = tmp_path / "larkspur"
    shutil.copytree(SYSTEMS / "larkspur", folder)
    (folder / "measured.yaml").write_text("measured: {spar-ground: {ohms: 1.1 mΩ}}\n", "utf-8")
    system = read(folder).system
    assert system is not None
    assert ("structure, measured", "1.1 mΩ") in ends(Study(system))


@pytest.mark.parametrize("name", NAMES)
def test_structure_has_one_name_at_connectors_and_at_grounds(name: str) -> None:
    """Its place is named as on the map, and so it is on the circuits' sheets."""
    found = {
        kind: " ".join(i.text for d in drawn(name).of(kind) for s in d.sheets for i in s.items)
        for kind in ("connector", "grounds")
    }
    assert "structure at " not in found["connector"]
    for place in on_structure(study(name)):
        assert f"structure, {words.place(study(name), place)}" in found["grounds"]


@pytest.mark.parametrize("name", NAMES)
def test_an_other_end_on_the_same_sheet_is_said_to_be_here(name: str) -> None:
    """Blank is left to what stands on no sheet; no reference names its own sheet."""
    for sheet in drawn(name).sheets:
        own = f"{sheet.title.label}/"
        assert not [i.text for i in sheet.items if i.text.startswith(own)]


def test_a_place_of_the_same_sheet_is_written_as_here() -> None:
    sheet = Sheet(size="A4", title=TitleBlock(title="Test", code="G"))
    at = (60.0, 50.0)
    sheet.wanted = [Wanted(at=at, target=t, ref="w1", room_mm=16.0) for t in ("own", "far", "none")]
    spots = {
        "own": SheetSpot(sheet=sheet.title.label, zone="B3", sheet_id=sheet.id),
        "far": SheetSpot(sheet="C2", zone="A1", sheet_id="sheet-C2"),
    }
    (made,) = with_spots([sheet], spots.get)
    assert [i.text for i in made.items if i.text] == ["here B3", "C2/A1"]


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_to_a_switch_that_grounds_a_load_has_no_colour_of_a_ground(name: str) -> None:
    """Plus stands on it while the switch is open; black is what leads on to a ground or a plug."""
    for chain in chains(study(name)).of("circuit"):
        entry = study(name).document.circuits[chain.name]
        for wire in chain.conductors():
            if wire.role == "return" and not entry.colour:
                live = entry.reverse is not None or entry.switched == "ground"
                black = wire.b.kind == "ground" or not live
                assert (colour_of(wire) == "black") == black, wire.id


def test_a_live_return_through_a_plug_has_one_colour(tmp_path: Path) -> None:
    """Before its plug and behind it, up to the switch."""
    held = "switch: beacon, feeds: beacon"
    text = changed(held, held.replace(", ", ", switched: ground, "))
    chain = chains(Study(good(reading(tmp_path, text)))).by_name["beacon"]
    back = [wire for wire in chain.conductors() if wire.role == "return"]
    assert [colour_of(wire) for wire in back] == ["white", "white", "black"]


@pytest.mark.parametrize("name", NAMES)
def test_rings_are_counted_by_the_gauge_that_connectors_say(name: str) -> None:
    """Of signals, too: no ring is of a gauge that another sheet knows."""
    record = ground_record(study(name))
    assert record is not None
    wires = {c.id: c for c in chains(study(name)).conductors()}
    for box in record.boxes:
        known = {words.gauge(study(name), wires[w.id]) for t in box.terminals for w in t.wires
                 if w.id in wires}  # fmt: skip
        assert ("gauge ?" in box.detail) == ("gauge ?" in known), box.id
