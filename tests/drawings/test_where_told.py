"""What a circuit's sheet says of where things are: switches, buses, terminals of grounds."""

import re

import pytest

from elec.answers.base.marks import marks
from elec.answers.connect.panel import panels
from elec.answers.connect.pins import colour_of
from elec.answers.grounds.terminals import on_structure
from elec.drawings.ink import Lettering
from elec.drawings.inputs import Node
from elec.drawings.records.circuits import circuit_record
from elec.drawings.records.thin import tap_ref, taps, thin_homes
from elec.drawings.records.throws import levers
from elec.drawings.sheet import Sheet
from elec.wiring.chains import chains
from elec.wiring.coils import contacts
from tests.drawings.test_set import drawn, study
from tests.systems import NAMES

SHEET = re.compile(r"[PG]\d+(/[A-F]\d+)?")


def _nodes(name: str) -> list[tuple[str, Node]]:
    own = study(name)
    return [
        (circuit, node)
        for circuit in own.document.circuits
        for row in circuit_record(own, circuit).rows
        for node in row.nodes
    ]


@pytest.mark.parametrize("name", NAMES)
def test_a_switch_says_its_position_on_a_panel_that_is_laid_out(name: str) -> None:
    """As a breaker does; counted terminals alone do not lead anybody to the switch."""
    met = 0
    for circuit, node in _nodes(name):
        position = panels(study(name)).position(node.lever, switch=True) if node.lever else None
        if position is None or not panels(study(name)).by_name[position.panel].given:
            continue
        said = node.label if node.kind == "throw" else node.sublabel
        assert said.startswith(position.name), (circuit, node)
        met += 1
    assert met


@pytest.mark.parametrize("name", NAMES)
def test_metal_has_one_name_on_circuits_and_grounds(name: str) -> None:
    """`left tip rib` on the one and `left wing tip` on the other would be taken for two."""
    named = {i.text for d in drawn(name).of("grounds") for s in d.sheets for i in s.items if i.text}
    metal = {node.label for _, node in _nodes(name) if node.kind == "chassis"}
    assert metal <= named
    assert bool(metal) <= bool(on_structure(study(name)))


def test_a_rib_is_called_so_where_its_light_is_drawn() -> None:
    metal = {node.label for _, node in _nodes("yarrow") if node.kind == "chassis"}
    assert {"left tip rib", "right tip rib", "tail rib", "structure, seats and spar"} <= metal


@pytest.mark.parametrize("name", NAMES)
def test_no_sheet_of_circuits_has_one_lone_circuit(name: str) -> None:
    for drawing in drawn(name).of("circuit"):
        for sheet in drawing.sheets:
            there = {item.ref for item in sheet.items} & set(drawing.names)
            assert len(there) > 1, sheet.title.label


def _told(sheet: Sheet, ref: str) -> list[str]:
    """The sheets that are named at a bus or ground."""
    texts = (i for i in sheet.items if i.ref == ref and isinstance(i.ink, Lettering) and i.ink.link)
    return [i.text for i in texts if SHEET.fullmatch(i.text)]


@pytest.mark.parametrize("name", NAMES)
def test_a_bus_and_a_ground_name_the_sheet_on_which_they_are_found(name: str) -> None:
    by_label = {sheet.title.label: sheet for sheet in drawn(name).sheets}
    buses = set(study(name).document.buses)
    known = {mark: wire for wire, mark in marks(study(name)).items()}
    met = {"bus": 0, "ground": 0}
    for drawing in drawn(name).of("circuit"):
        for sheet in drawing.sheets:
            for ref in {i.ref for i in sheet.items if i.kind == "bar"} & buses:
                for there in _told(sheet, ref):
                    label, _, zone = there.partition("/")
                    boxes = [
                        i.box for i in by_label[label].items if i.kind == "bar" and i.ref == ref
                    ]
                    middles = [((x0 + x1) / 2, (y0 + y1) / 2) for x0, y0, x1, y1 in boxes]
                    assert zone in {by_label[label].zone(x, y) for x, y in middles}, there
                    met["bus"] += 1
            for ref in {i.ref for i in sheet.items if i.ref.startswith(("ground:", "structure@"))}:
                for there in _told(sheet, ref):
                    texts = {i.text for i in by_label[there].items}
                    grounded = {i.text for i in sheet.items if i.text} | {
                        i.text.partition(" · ")[0] for i in sheet.items if i.text
                    }
                    assert (grounded & known.keys()) & texts, (there, ref)
                    met["ground"] += 1
    assert min(met.values()) > 0


@pytest.mark.parametrize("name", NAMES)
def test_the_way_back_from_a_load_is_black_where_it_stands_under_wires_too(name: str) -> None:
    """The note on the sheet of grounds says so of each wire on the way back from a load."""
    equipment = study(name).document.equipment
    for chain in chains(study(name)).of("wire"):
        for wire in chain.conductors():
            ends = (wire.a, wire.b)
            lamps = [p for p in ends if p.kind == "equipment" and not equipment[p.name].connectors]
            if lamps and any(p.kind == "ground" for p in ends) and wire.role == "signal":
                assert colour_of(wire) == "black", marks(study(name))[wire.id]


def test_a_drop_that_is_counted_at_a_peak_says_the_peak() -> None:
    """Beside *0.7 A at most*, which is the root mean square, 1.41 V seemed wrong twice over."""
    facts = dict(circuit_record(study("larkspur"), "strobe-right").facts)
    assert facts["current"] == "0.7 A at most"
    # 1.4 A of the strobe while it charges; circuits.yaml of the system
    assert "at its peak of 1.4 A" in facts["drop"]
    assert "peak" not in dict(circuit_record(study("larkspur"), "cabin-lights").facts)["drop"]


def _led_to(name: str, circuit: str) -> set[str]:
    """What stands in a circuit's words and at its posts: sheets and zones, `here` written out."""
    return {
        item.text.replace("here ", f"{sheet.title.label}/")
        for drawing in drawn(name).of("circuit", circuit)
        for sheet in drawing.sheets
        for item in sheet.items
        if item.ref == circuit or item.ref.endswith(" tap") or ".line" in item.ref
    }


def _spot(name: str, ref: str, kind: str) -> str:
    """Sheet and zone of a thing on the sheets of circuits, or on the one-line diagram."""
    letter = "P" if kind == "feeder" else "C"
    return str(next(s for s in drawn(name).index[ref] if s.sheet.startswith(letter)))


@pytest.mark.parametrize("name", NAMES)
def test_poles_of_one_lever_name_each_other(name: str) -> None:
    """Each of several circuits that a lever switches has the sheet and zone of its other poles."""
    own = study(name)
    for poles in levers(own).values():
        circuits = [(c, p) for c, p in poles if c.kind == "circuit"]
        for chain, _ in circuits:
            for other, pole in circuits:
                spot = _spot(name, pole.id, "circuit")
                assert other is chain or spot in _led_to(name, chain.name), pole.id


@pytest.mark.parametrize("name", NAMES)
def test_a_tap_and_what_it_sits_on_name_each_other(name: str) -> None:
    own = study(name)
    for wire, (chain, contact) in taps(own).items():
        home = thin_homes(own)[wire]
        assert _spot(name, contact.id, chain.kind) in _led_to(name, home), wire
        tap = _spot(name, tap_ref(wire), "circuit")
        assert chain.kind != "circuit" or tap in _led_to(name, chain.name), wire


@pytest.mark.parametrize(("name", "relay"), [("foxglove", "water-rudder-up"),
                                             ("larkspur", "flaps-up")])  # fmt: skip
def test_one_relay_has_one_numbering(name: str, relay: str) -> None:
    """Its interlock is a second pole: pole by pole, in brackets, for the file gives none."""
    marks = {t for _, part in contacts(study(name))[relay] for t in part.terminals if t}
    assert marks == {"(11)", "(12)", "(21)", "(22)"}
