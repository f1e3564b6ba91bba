"""Connector types in the builder's file: what cannot be is refused and explained."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.answers.connect.pins import pins
from elec.drawings import faces
from elec.drawings.ink import Circle
from elec.drawings.records.bench import bench_pages
from elec.drawings.sheets.bench import bench
from elec.study import Study
from tests.drawings.inspect import inspect
from tests.read.helper import GOOD, Wrong, reading

ZONES = "zones:\n  floor: {places: [belly], closes: before the floor goes in}\n"
CONTACTS = (
    "A: {x: -3 mm, y: 3 mm}, B: {x: 3 mm, y: 3 mm}, "
    "C: {x: 4 mm, y: -3 mm}, D: {x: -3 mm, y: -3 mm, size: 1.6 mm}"
)


def own(keys: str, name: str = "round-4") -> str:
    return ZONES + f"connector-types: {{{name}: {{{keys}}}}}\n"


def sound(contacts: str = CONTACTS, more: str = "") -> str:
    return own(f"shape: circular, {more}source: drawing 7, contacts: {{{contacts}}}")


@pytest.mark.parametrize(
    ("new", "mistakes"),
    [
        (own("shape: circular, source: x, contacts: {}"), [
            "connector-types.round-4.contacts: a connector has contacts; name each with its x and y"
        ]),
        (sound("A: {x: 1 mm, y: 0 mm}, B: {x: 1.2 mm, y: 0 mm}"), [
            ("connector-types.round-4.contacts.B: contact B lies on contact A; two contacts are "
            "0.8 mm apart at least")
        ]),
        (sound(more="diameter: 9 mm, "), [
            "connector-types.round-4.contacts.C: contact C lies outside the face"
        ]),
        (sound(more="width: 9 mm, "), [
            "connector-types.round-4.width: a circular face has diameter, no width"
        ]),
        (own(f"shape: rectangular, diameter: 9 mm, source: x, contacts: {{{CONTACTS}}}"), [
            ("connector-types.round-4.diameter: a rectangular face has width and height, "
            "no diameter")
        ]),
        (own(f"shape: circular, contacts: {{{CONTACTS}}}"), [
            'connector-types.round-4: "source" is missing'
        ]),
        (sound("A: {x: 1, y: 0 mm}"), [
            'connector-types.round-4.contacts.A.x: "1" has no unit; write 1 ft, 1 in, 1 m or 1 mm'
        ]),
        (own(f"shape: oval, source: x, contacts: {{{CONTACTS}}}"), [
            'connector-types.round-4.shape: "oval" is none of circular, rectangular'
        ]),
        (own(f"shape: circular, source: x, contacts: {{{CONTACTS}}}", "dsub-9"), [
            ("connector-types.dsub-9: dsub-9 is published and known here; give yours another name")
        ]),
        (own(f"shape: circular, source: x, contacts: {{{CONTACTS}}}", "my_plug"), [
            "connector-types.my_plug: a name is made of letters, digits and hyphens"
        ]),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(wrong: Wrong, new: str, mistakes: list[str]) -> None:
    assert wrong(ZONES, new) == mistakes


def study(tmp_path: Path) -> Study:
    more = "contact-size: '16', rating: 13 A, thinnest: AWG 20, thickest: AWG 16, "
    text = GOOD.replace(ZONES, sound(more=more)).replace(
        "type: round-4,", "type: round-4, contacts: pin,"
    )
    found = reading(tmp_path, text)
    assert found.mistakes == ()
    assert found.system is not None
    return Study(found.system)


def test_its_contacts_size_and_rating_are_known(tmp_path: Path) -> None:
    one = pins(study(tmp_path)).by_id["root"]
    assert (one.arrangement, one.contacts, one.contact_size) == ("round-4", 4, "16")
    assert (one.rating_a, one.thinnest_awg, one.thickest_awg) == (13.0, "20", "16")
    assert "tern.yaml" in one.rating_origin
    assert [pin.contact for pin in one.pins] == ["A", "B", "C", "D"]
    assert one.pin("C").state == "spare"


def test_its_face_is_true_and_mirrored_for_the_side_in_the_hand(tmp_path: Path) -> None:
    """Pins, mating face: as written. C is lower right there and lower left from behind."""
    found = study(tmp_path)
    kind = found.document.connector_types["round-4"]
    face = faces.face("round-4", ["A", "B"], socket=False, own=kind)
    assert not face.schematic
    assert {c.pin: (c.x_mm, c.y_mm) for c in face.contacts}["C"] == pytest.approx((4.0, -3.0))
    page = replace(bench_pages(found, "root")[0], claims=())  # two wires claim a contact here
    sheet = bench(page)[0]
    assert inspect(sheet) == ()
    spots = {
        view: {
            i.ref: i.ink.centre
            for i in sheet.items
            if isinstance(i.ink, Circle) and i.group == f"root {view}" and i.ref
        }
        for view in ("mating face", "wiring side")
    }
    mating, wiring = spots["mating face"], spots["wiring side"]
    assert mating["C"][0] - mating["A"][0] == pytest.approx(-(wiring["C"][0] - wiring["A"][0]))
    assert mating["C"][0] > mating["A"][0]
    assert any("drawing 7" in item.text for item in sheet.items)
    assert not any("Schematic" in item.text for item in sheet.items)
