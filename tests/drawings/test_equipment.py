"""Equipment sheets: where each wire goes, shields with their drains, what is spare."""

import re
from pathlib import Path

import pytest

from elec.drawings.from_study import Drawings, drawings
from elec.drawings.ink import Lettering
from elec.drawings.records.equipment import groups
from elec.drawings.sheet import Item, Sheet
from elec.read import read
from elec.study import Study
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"
TEXT = """
system: {{name: Small, nominal: 14 V}}
sources:
  battery: {{kind: lead-acid, place: panel, capacity: 18 Ah, resistance: 9 mΩ}}
buses: {{main: {{place: panel}}}}
feeders: [{{from: battery, to: main, fuse: 30 A}}]
grounds: {{block: {{place: panel}}}}
places: {{panel: {{}}}}
equipment:
  radio:
    place: panel
    draw: 1 A
    connectors:
      J1:
        type: dsub-9
        contacts: pin
        pins: {{1: power, 6: ground, 2: phones, 3: phones-low, 4: free}}
      antenna: {{type: BNC, contacts: socket}}
  intercom:
    place: panel
    passive: yes
    connectors:
      J1: {{type: dsub-9, contacts: pin, pins: {{2: phones, 3: phones-low, 9: shield}}}}
  whip: {{place: panel, passive: yes}}
circuits: {{radio: {{bus: main, breaker: 5 A, feeds: radio, twisted: yes}}}}
multicores:
  phones:
    type: 2-core AWG 22 {kind}
    cores:
      a: {{from: radio.J1.2, to: intercom.J1.2}}
      b: {{from: radio.J1.3, to: intercom.J1.3}}
    {shield}

coax:
  lead: {{type: RG-400, from: radio.antenna, to: whip}}
"""


def made(folder: Path, shield: str = "", kind: str = "shielded") -> Drawings:
    file = folder / "small.yaml"
    file.write_text(TEXT.format(shield=shield, kind=kind), encoding="utf-8")
    reading = read(file)
    assert reading.system is not None, reading.mistakes
    return drawings(Study(reading.system))


def items(found: Drawings, name: str) -> list[Item]:
    (drawing,) = found.of("equipment", name)
    return [item for sheet in drawing.sheets for item in sheet.items]


def text_of(found: Drawings, name: str) -> str:
    return "\n".join(item.text for item in items(found, name))


@pytest.mark.parametrize(
    ("shield", "drains", "said"),
    [
        ("shield: from\n    drain: block", 1, "grounded here, to block"),
        ("shield: to\n    drain: intercom.J1.9", 1, "grounded at intercom, to intercom J1-9"),
        ("shield: both\n    drain: block", 2, "grounded at both ends"),
        ("shield: none", 0, "grounded nowhere"),
        ("", 0, "not said where it is grounded"),
    ],
)
def test_a_drain_is_drawn_where_the_shield_is_grounded(
    tmp_path: Path, shield: str, drains: int, said: str
) -> None:
    found = made(tmp_path, shield)
    drawn = items(found, "radio")  # both boxes share a sheet
    assert sum(item.role == "shield" for item in drawn) == 2
    wires = [i for i in drawn if i.kind == "wire" and i.ref == "phones/drain"]
    assert len(wires) == drains
    assert said in text_of(found, "radio")


def test_a_drain_on_a_contact_ends_on_it(tmp_path: Path) -> None:
    found = made(tmp_path, "shield: to\n    drain: intercom.J1.9")
    drawn = items(found, "intercom")
    (wire,) = [i for i in drawn if i.kind == "wire" and i.ref == "phones/drain"]
    assert "intercom.J1.9" in wire.ends


def test_twisted_pairs_and_coaxial_lines_are_marked(tmp_path: Path) -> None:
    found = made(tmp_path, kind="twisted")
    drawn = items(found, "radio")
    assert {i.ref for i in drawn if i.role == "twist"} == {"radio/twist", "phones/twist"}
    assert [i.ref for i in drawn if i.ref.startswith("coax ")] == ["coax lead"]
    (circuit,) = found.of("circuit", "radio")
    assert any(i.role == "twist" for s in circuit.sheets for i in s.items)


def test_spare_and_unwired_contacts_are_said(tmp_path: Path) -> None:
    text = text_of(made(tmp_path), "radio")
    assert "spare: 5, 7 to 9" in text
    assert "no wire reaches it" in text
    assert "pins on it, sockets on the harness" in text


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_every_flag_names_the_sheet_and_zone_of_the_other_end(name: str) -> None:
    system = read(SYSTEMS / name).system
    assert system is not None
    found = drawings(Study(system))
    flags = 0
    for drawing in found.of("equipment"):
        for sheet in drawing.sheets:
            for flag in (i for i in sheet.items if i.kind == "flag" and i.role.startswith("to ")):
                flags += 1
                what, _, ref = flag.role.removeprefix("to ").partition(" ")
                kind = "circuit" if what == "wire" else "equipment"
                spot = _text_in(sheet, flag)
                there = [
                    s
                    for s in found.index[ref]
                    if s.sheet.startswith({"circuit": "C"}.get(kind, "E"))
                ]
                assert spot in {f"{s.sheet}/{s.zone}" for s in there}, (sheet.id, ref)
    assert flags > 50


def _text_in(sheet: Sheet, flag: Item) -> str:
    """The sheet and zone written in a flag."""
    x0, y0, x1, y1 = flag.box
    for item in sheet.items:
        inside = x0 <= item.box[0] and item.box[2] <= x1 and y0 <= item.box[1] and item.box[3] <= y1
        if isinstance(item.ink, Lettering) and item.ink.link and inside:
            assert re.fullmatch(r"[CE][\d.]+/[A-H]\d+", item.text)
            assert item.ink.link == f"sheet-{item.text.partition('/')[0]}"
            return item.text
    return ""


@pytest.mark.parametrize("name", NAMES)
def test_every_piece_of_equipment_with_connectors_is_in_one_drawing(name: str) -> None:
    system = read(SYSTEMS / name).system
    assert system is not None
    names = [one for group in groups(Study(system)) for one in group.names]
    assert sorted(names) == sorted(
        key for key, entry in system.document.equipment.items() if entry.connectors
    )
