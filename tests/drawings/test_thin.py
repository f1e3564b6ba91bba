"""Thin wires on the strip of their circuit: sense, lamp, light, with what they are tapped from."""

import re
from pathlib import Path

import pytest

from elec.answers.base.marks import marks
from elec.drawings.from_study import drawings
from elec.drawings.inputs import COUNTED
from elec.drawings.records.bridge import turned_rows
from elec.drawings.records.circuits import circuit_record
from elec.drawings.records.grounds import other_wires
from elec.drawings.records.thin import on_connector, taps, thin_homes
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.coils import limit_switches
from tests.drawings.references import refs_in, spots
from tests.drawings.test_set import drawn, study
from tests.systems import NAMES

HOMES = {
    "larkspur": {"primary regulator, sense": "alternator-field",
                 "primary regulator, lamp": "alternator-field",
                 "standby regulator, lamp": "standby-field", "annunciator": "starter"},
    "foxglove": {"voltage regulator, sense": "alternator-field",
                 "voltage regulator, lamp": "alternator-field",
                 "starter engaged light": "starter"},
    "yarrow": {"warning unit, starter": "warning-unit"},
    "thistledown": {},
}  # fmt: skip
"""Where a wire leads → the circuit on whose strip it is looked for."""


@pytest.mark.parametrize("name", NAMES)
def test_sense_and_lamp_wires_stand_at_the_box_of_their_circuit(name: str) -> None:
    own = study(name)
    homes = thin_homes(own)
    assert set(homes.values()) == set(HOMES[name].values())
    for chain in chains(own).of("wire"):
        bare = any(p.kind == "equipment" and not on_connector(own, p) for p in chain.parts())
        fed = chain.hot and (bare or chain.device is not None)
        assert fed <= (chain.name in homes), chain.title


@pytest.mark.parametrize("name", NAMES)
def test_a_thin_wire_has_mark_gauge_colour_and_length_on_one_sheet(name: str) -> None:
    own, made = study(name), drawn(name)
    for wire, circuit in thin_homes(own).items():
        (sheet,) = (s for d in made.of("circuit", circuit) for s in d.sheets
                    if f"{wire}/1" in refs_in(s))  # fmt: skip
        texts = [i.text for i in sheet.items if i.ref == f"{wire}/1" and i.text]
        assert any(marks(own)[f"{wire}/1"] in text and " · " in text for text in texts)
        assert any(text.startswith("AWG ") and " · " in text for text in texts)
        strip = [i for i in sheet.items if i.ref == circuit]
        assert strip, "the heading of the circuit stands on the same sheet"


@pytest.mark.parametrize("name", NAMES)
def test_a_thin_wire_to_a_connector_and_its_contact_name_each_other(name: str) -> None:
    own, made = study(name), drawn(name)
    sheets = {sheet.title.label: sheet for sheet in made.sheets}
    for wire, circuit in thin_homes(own).items():
        for end in (p for p in chains(own).by_name[wire].parts() if on_connector(own, p)):
            strips = [s for d in made.of("circuit", circuit) for s in d.sheets]
            ((there, zone),) = (
                (k, z) for s in strips for item, k, z in spots(s)
                if item.ref == f"{wire} {end.id}"
            )  # fmt: skip
            assert end.id in refs_in(sheets[there], zone)
            back = [(k, z) for item, k, z in spots(sheets[there]) if item.ref == end.id]
            assert any(f"{wire}/1" in refs_in(sheets[k], z) for k, z in back), (wire, back)


@pytest.mark.parametrize("name", NAMES)
def test_only_spare_cables_stand_with_the_grounds(name: str) -> None:
    ids = {row[0] for row in other_wires(study(name))}
    spare = {c.id for c in chains(study(name)).conductors() if c.role == "spare"}
    assert ids <= spare


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_that_crosses_over_says_its_terminals(name: str) -> None:
    """On the sheet of a motor that runs both ways: from which terminal to which, then its mark."""
    own = study(name)
    texts = {i.text for d in drawn(name).of("circuit") for s in d.sheets for i in s.items}
    for chain in chains(own).of("circuit"):
        for row in turned_rows(own, chain) or ():
            for bridge in (node.bridge for node in row.nodes if node.bridge is not None):
                pairs = ((0, 5), (3, 2))
                for wire, (a, b) in zip(bridge.wires, pairs, strict=True):
                    said = f"{bridge.marks[a]}–{bridge.marks[b]} · {wire.mark}"
                    assert any(text.startswith(said) for text in texts), said


@pytest.mark.parametrize("name", NAMES)
def test_limit_switches_in_the_leads_of_a_motor_have_their_diodes(name: str) -> None:
    own = study(name)
    kinds = [node.kind for circuit in own.document.circuits
             for row in circuit_record(own, circuit).rows for node in row.nodes]  # fmt: skip
    turned = [one.reverse for one in own.document.circuits.values() if one.reverse is not None]
    asked = sum(len(one.limits) for one in turned if one.by == "switch")
    assert kinds.count("limit-diode") == asked
    assert asked == {"yarrow": 2}.get(name, 0)
    assert bool(limit_switches(own)) >= bool(asked)


@pytest.mark.parametrize("name", NAMES)
def test_a_switch_in_several_circuits_says_which_pole_or_which_terminals(name: str) -> None:
    own = study(name)
    at: dict[str, list[str]] = {}
    for circuit in own.document.circuits:
        for row in circuit_record(own, circuit).rows:
            for node in row.nodes:
                if node.kind in ("switch", "button"):
                    at.setdefault(node.label, []).append(node.sublabel)
    several = {label: said for label, said in at.items() if len(said) > 1}
    assert several or name == "thistledown"
    for label, said in several.items():
        assert all(said), label
        assert len(set(said)) == len(said), label


BARE = """
system: {name: Dunlin, nominal: 14 V}
places: {panel: {}}
sources: {battery: {kind: lead-acid, capacity: 18 Ah, place: panel}}
buses: {main: {place: panel}}
feeders: [{from: battery, to: main, fuse: 30 A, gauge: AWG 10}]
grounds: {block: {place: panel, kind: block}}
equipment: {lamp: {place: panel, passive: true}, box: {place: panel, passive: true}}
wires: [{from: lamp.1, to: box.1}]
"""


def test_without_a_circuit_for_its_box_a_wire_stays_with_the_grounds(tmp_path: Path) -> None:
    """A wire between two things that nothing feeds has no strip."""
    file = tmp_path / "bare.yaml"
    file.write_text(BARE, encoding="utf-8")
    reading = read(file)
    assert reading.system is not None, reading.mistakes
    made = Study(reading.system)
    assert thin_homes(made) == {}
    assert [row[0] for row in other_wires(made)] == ["wire-1/1"]
    assert drawings(made).of("grounds")


@pytest.mark.parametrize("name", NAMES)
def test_a_contact_that_a_wire_is_tapped_from_has_a_dot(name: str) -> None:
    """As on the one-line diagram: the post itself shows that two things hang on it."""
    found = [i.ref for d in drawn(name).of("circuit") for s in d.sheets for i in s.items
             if i.ref.endswith(" tapped")]  # fmt: skip
    of = {on.id for _, on in taps(study(name)).values()}
    assert set(found) == {f"{one} tapped" for one in of}
    assert bool(found) == (name != "thistledown")


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_the_dot_of_a_tap_has_the_mark_of_its_wire(name: str) -> None:
    """A dot that nothing is joined to asks what is missing there."""
    at = {f"{on.id} tapped": wire for wire, (_, on) in taps(study(name)).items()}
    said = {i.ref: i.text for d in drawn(name).of("circuit") for s in d.sheets for i in s.items
            if i.ref in at and i.text}  # fmt: skip
    every = chains(study(name)).by_name
    mark = {ref: marks(study(name))[every[w].conductors()[0].id] for ref, w in at.items()}
    for ref, text in said.items():  # what sits on the post is the fuse: no thin wire is bare there
        assert re.fullmatch(rf"fuse \d+, {mark[ref]}", text), text
    assert said.keys() == mark.keys()


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_a_dot_of_a_tap_is_at_the_post_and_its_fuse_left_of_it(name: str) -> None:
    """It lay part way along the starter's cable, an AWG 22 wire on it."""
    for sheet in (s for d in drawn(name).of("circuit") for s in d.sheets):
        for dot in (i for i in sheet.items if i.ref.endswith(" tapped") and i.kind == "dot"):
            symbol = next(i for i in sheet.items
                          if i.kind == "symbol" and f"{i.ref} tapped" == dot.ref)  # fmt: skip
            x = (dot.box[0] + dot.box[2]) / 2
            assert abs(x - symbol.box[2]) < 1.0
            (text,) = (i for i in sheet.items if i.ref == dot.ref and i.text)
            assert text.box[2] < x


@pytest.mark.parametrize(
    ("name", "load"),
    [("foxglove", "Starter engaged light"), ("larkspur", "Annunciator J1-9")],
)
def test_a_fused_wire_behind_the_starter_has_a_heading_of_its_own(name: str, load: str) -> None:
    """It stood under *no protection* and 160 A, though its fuse has 1 A."""
    (one,) = circuit_record(study(name), "starter").also
    facts = dict(one.facts)
    assert facts["protection"] == "fuse 3, 1 A, on the post itself, no tail in the file"
    assert float(facts["current"].split()[0]) < 1.0
    assert facts["drop"].endswith("no limit")
    assert one.title.title == load
    texts = [i.text for d in drawn(name).of("circuit") for s in d.sheets for i in s.items]
    assert load in texts


def test_coils_on_a_post_say_what_lies_ahead_of_it() -> None:
    """*No protection* stood where a breaker of 15 A lies ahead; a relay was called a contactor."""
    ahead = {"master-2-coil": "limiter 4 60 A", "cross-feed-coil": "CB3-1A 30 A",
             "avionics-master-coil": "CB2-1A 15 A",
             "engine-b-relay-coil": "CB4-1A 15 A"}  # fmt: skip
    for name, said in ahead.items():
        facts = dict(circuit_record(study("larkspur"), name).facts)
        assert facts["protection"].startswith(f"none of its own, ahead: {said}; a jumper on the ")
        assert "no protection" not in facts
    assert "no protection" in dict(circuit_record(study("larkspur"), "master-1-coil").facts)
    relay = dict(circuit_record(study("yarrow"), "essential-feed-coil").facts)["protection"]
    assert relay.startswith("none of its own, ahead: CB3-1B 15 A; a jumper on the relay: ")


def test_diodes_at_limit_switches_say_what_they_carry() -> None:
    """The smallest of the drawer would have been fitted in a motor's lead of 7 A."""
    facts = dict(circuit_record(study("yarrow"), "flaps").facts)
    assert facts["diodes"].endswith("at least 7.0 A (their type: not in the file)")


def test_a_plug_with_other_wires_is_a_part_of_it() -> None:
    """Foxglove's right wing root plug was drawn as one of two contacts: it has seven."""
    for circuit in ("nav-left", "nav-right"):
        record = circuit_record(study("foxglove"), circuit)
        plugs = {n.label for row in record.rows for n in row.nodes if n.kind == "connector"}
        assert all(label.endswith("(part)") for label in plugs)
        assert plugs


@pytest.mark.parametrize("name", NAMES)
def test_numbers_in_brackets_are_explained_where_there_are_any(name: str) -> None:
    for sheet in (s for d in drawn(name).of("circuit") for s in d.sheets):
        texts = [i.text for i in sheet.items if i.text]
        assert (COUNTED in texts) == any("(1)" in text for text in texts if text != COUNTED)
