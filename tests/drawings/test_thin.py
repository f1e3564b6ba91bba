"""Thin wires on the strip of their circuit: sense, lamp, light, with what they are tapped from."""

from pathlib import Path

import pytest

from elec.answers.base.marks import marks
from elec.drawings.from_study import drawings
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
    assert said == {r: marks(study(name))[every[w].conductors()[0].id] for r, w in at.items()}
