"""Every sheet of the three systems: no fault, nothing missing, every reference resolves."""

import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from elec.analyses.chains import chains
from elec.analyses.pins import pins
from elec.drawings.from_study import Drawings, drawings
from elec.drawings.inspect import inspect
from elec.drawings.svg import to_svg
from elec.read import read
from elec.study import Study

SYSTEMS = Path(__file__).parents[2] / "systems"
NAMES = ("foxglove", "larkspur", "thistledown")


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
        f"sheet {s.title.sheet} ({d.kind} {d.about}): {fault}"
        for d in drawn(name).drawings
        for s in d.sheets
        for fault in inspect(s)
    ]
    assert faults == []


@pytest.mark.parametrize("name", NAMES)
def test_sheets_are_numbered_through(name: str) -> None:
    sheets = drawn(name).sheets
    assert [s.title.sheet for s in sheets] == list(range(1, len(sheets) + 1))
    assert {s.title.sheets for s in sheets} == {len(sheets)}
    assert len({s.id for s in sheets}) == len(sheets)


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
    assert [d.about for d in found.of("circuit")] == [
        c.name for c in chains(study(name)).of("circuit")
    ]
    several = [key for key, one in pins(study(name)).by_id.items() if len(one.pins) > 1]
    assert [d.about for d in found.of("connector")] == several


@pytest.mark.parametrize("name", NAMES)
def test_every_link_leads_to_a_sheet_and_every_circuit_is_linked_once(name: str) -> None:
    found = drawn(name)
    ids = {s.id for s in found.sheets}
    targets = Counter(
        target
        for s in found.sheets
        for target in re.findall(r'<a href="#([^"]+)"', to_svg(s, links=True))
    )
    assert set(targets) <= ids
    for drawing in found.of("circuit"):
        assert targets[drawing.sheets[0].id] == 1, drawing.about


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_number_on_the_one_line_is_the_circuits(name: str) -> None:
    found = drawn(name)
    (first,) = found.of("one-line")
    numbers = {
        item.ref: item.text
        for sheet in first.sheets
        for item in sheet.items
        if item.text.isdigit()
        and item.ink.__class__.__name__ == "Lettering"
        and item.ref
        and getattr(item.ink, "link", "")
    }
    for drawing in found.of("circuit"):
        assert numbers[drawing.about] == str(drawing.sheets[0].title.sheet)


@pytest.mark.parametrize("name", NAMES)
def test_drawing_again_gives_the_same_bytes(name: str) -> None:
    fresh = Study(study(name).system)
    one = "".join(to_svg(s) for s in drawn(name).sheets[:12])
    two = "".join(to_svg(s) for s in drawings(fresh).sheets[:12])
    assert one == two
