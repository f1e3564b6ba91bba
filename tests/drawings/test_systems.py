"""Every sheet of the three systems: no fault, nothing missing, every reference resolves."""

from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.answers.connect.pins import pins
from elec.drawings.from_study import Drawings, draw, drawings, plan
from elec.drawings.ink import Lettering
from elec.drawings.records.thin import thin_homes
from elec.drawings.sheet import Sheet
from elec.drawings.svg import to_svg
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from tests.drawings.inspect import crossings, inspect
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"


@cache
def study(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


def drawn(name: str) -> Drawings:
    return drawings(study(name))


@pytest.mark.parametrize("name", NAMES)
def test_no_sheet_has_a_fault(name: str) -> None:
    faults = [
        f"sheet {s.title.label} ({d.kind} {d.about}): {fault}"
        for d in drawn(name).drawings
        for s in d.sheets
        for fault in inspect(s)
        if not (d.kind == "interconnect" and fault.kind == "crossing")
    ]
    assert faults == []


@pytest.mark.parametrize("name", NAMES)
def test_lines_between_boxes_cross_seldom(name: str) -> None:
    """Any boxes may be joined to any, so some lines must cross: fewer than one a line."""
    for drawing in drawn(name).of("interconnect"):
        lines = {i.ref for s in drawing.sheets for i in s.items if i.role == "link"}
        assert sum(crossings(s) for s in drawing.sheets) < len(lines)


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_has_a_name_of_its_own_that_is_known_beforehand(name: str) -> None:
    sheets = drawn(name).sheets
    names = [s.title.label for s in sheets]
    assert len(set(names)) == len(names)
    assert [s.id for s in sheets] == [f"sheet-{label}" for label in names]
    for drawing, planned in zip(drawn(name).drawings, plan(study(name)), strict=True):
        assert drawing.sheets[0].title.label == planned.first
        assert [s.title.sheet for s in drawing.sheets] == [
            n + 1 for n in range(len(drawing.sheets))
        ]
        assert {s.title.sheets for s in drawing.sheets} == {len(drawing.sheets)}


@pytest.mark.parametrize("name", NAMES)
def test_one_drawing_alone_is_the_same_as_in_the_set(name: str) -> None:
    for planned in plan(study(name))[:: len(plan(study(name))) // 5]:
        alone = draw(Study(study(name).system), planned).sheets
        together = next(
            d.sheets
            for d in drawn(name).of(planned.kind, planned.about)
            if d.title == planned.title
        )
        assert alone == tuple(_placeless(sheet) for sheet in together)
        assert {sheet.title.total for sheet in together} == {len(drawn(name).sheets)}


def _placeless(sheet: Sheet) -> Sheet:
    """A sheet without its place in the set, which one drawing alone does not know."""
    return replace(sheet, title=replace(sheet.title, place=0, total=0))


@pytest.mark.parametrize("name", NAMES)
def test_every_conductor_is_drawn(name: str) -> None:
    found = drawn(name).index
    missing = [c.id for c in chains(study(name)).conductors() if c.id not in found]
    feeders = {c.id for chain in chains(study(name)).of("feeder") for c in chain.conductors()}
    assert [m for m in missing if m not in feeders] == []
    assert all(chain.name in found for chain in chains(study(name)).of("feeder"))


@pytest.mark.parametrize("name", NAMES)
def test_every_circuit_and_every_connector_has_its_drawing(name: str) -> None:
    found = drawn(name)
    shared = [circuit for d in found.of("circuit") for circuit in d.names]
    assert sorted(shared) == sorted(c.name for c in chains(study(name)).of("circuit"))
    shared = [key for d in found.of("connector") for key in d.names]
    assert sorted(shared) == sorted(pins(study(name)).by_id)


def on_sheet(found: Drawings) -> dict[str, tuple[str, str]]:
    """Circuit → name and id of the sheet that has its heading."""
    return {
        circuit: (sheet.title.label, sheet.id)
        for drawing in found.of("circuit")
        for circuit in drawing.names
        for sheet in reversed(drawing.sheets)
        if any(item.ref == circuit for item in sheet.items)
    }


def listed_circuits(name: str) -> list[str]:
    """Circuits with a row on the one-line diagram: a coil on its contactor's post has none."""
    every = chains(study(name)).of("circuit")
    return [chain.name for chain in every if chain.rows[0].parts[0].kind != "post"]


def links_of(sheet: Sheet) -> list[str]:
    inks = (item.ink for item in sheet.items)
    return [ink.link for ink in inks if isinstance(ink, Lettering) and ink.link]


@pytest.mark.parametrize("name", NAMES)
def test_every_link_leads_to_a_sheet_and_every_circuit_is_linked_once(name: str) -> None:
    found = drawn(name)
    ids = {s.id for s in found.sheets}
    targets = Counter(target for s in found.sheets for target in links_of(s))
    assert set(targets) <= ids
    (first,) = found.of("one-line")
    listed = Counter(target for s in first.sheets for target in links_of(s))
    wires = [c.name for c in chains(study(name)).of("wire") if c.device is not None]
    rows = [*listed_circuits(name), *(thin_homes(study(name))[wire] for wire in wires)]
    on = Counter(on_sheet(found)[circuit][1] for circuit in rows)
    for drawing in found.of("circuit"):
        for sheet in drawing.sheets:
            assert listed[sheet.id] == on[sheet.id], sheet.title.label


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_number_on_the_one_line_is_the_circuits(name: str) -> None:
    found = drawn(name)
    (first,) = found.of("one-line")
    numbers = {
        item.ref: item.text
        for sheet in first.sheets
        for item in sheet.items
        if item.text.startswith("C")
        and item.ink.__class__.__name__ == "Lettering"
        and item.ref
        and getattr(item.ink, "link", "")
    }
    for circuit in listed_circuits(name):
        assert numbers[circuit] == on_sheet(found)[circuit][0]


@pytest.mark.parametrize("name", NAMES)
def test_drawing_again_gives_the_same_bytes(name: str) -> None:
    fresh = Study(study(name).system)
    one = "".join(to_svg(s) for s in drawn(name).sheets[:12])
    two = "".join(to_svg(s) for s in drawings(fresh).sheets[:12])
    assert one == two
