"""The whole set of each system: its sheets, how full they are, their letters, what leads where."""

import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from elec.answers.connect.panel import panels
from elec.drawings.frame import blank, filled
from elec.drawings.from_study import Drawings, drawings
from elec.drawings.ink import Lettering
from elec.drawings.sheet import Sheet
from elec.drawings.svg import to_svg
from elec.read import read
from elec.study import Study
from tests.drawings.reader import read_sheet
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"
MOST = {"larkspur": 70, "foxglove": 38, "thistledown": 18, "yarrow": 21}
"""Sheets of a set: what a builder leafs through; two more than today, but for larkspur's goal."""
SPOT = re.compile(r"([A-Z]\d+(?:\.\d+)?)/[A-Z]\d")
HALF = 0.5
"""A sheet that another of its drawing follows reaches at least so far down: a circuit or connector
that is not parted is never higher than half a sheet in these systems."""
LEAST = 0.05
"""Of the area of a sheet, what the boxes of its items cover at least: one short list does."""


@cache
def study(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


def drawn(name: str) -> Drawings:
    return drawings(study(name))


@pytest.mark.parametrize("name", NAMES)
def test_a_set_is_no_thicker_than_it_has_to_be(name: str) -> None:
    assert len(drawn(name).sheets) <= MOST[name]


@pytest.mark.parametrize("name", NAMES)
def test_no_letter_is_lower_than_2_5_mm(name: str) -> None:
    """Measured in the SVG by the outlines of the font, frame and title block too."""
    heights = {
        round(text.capital_mm, 2)
        for sheet in drawn(name).sheets
        for text in read_sheet(to_svg(sheet)).texts
        if text.words.strip()
    }
    assert min(heights) >= 2.49  # sizes are written to 0.01 mm
    furniture = [item for s in drawn(name).sheets for item in (*blank(s.size), *filled(s))]
    assert min(item.capital_mm for item in furniture if item.text) >= 2.5


def cells(sheet: Sheet) -> tuple[set[tuple[int, int]], int]:
    """Squares of 5 mm that the boxes of items touch, and how many there are."""
    x0, y0, x1, _ = sheet.frame
    wide, high = int((x1 - x0) // 5), int((sheet.block[1] - y0) // 5)
    found = {
        (x, y)
        for item in sheet.items
        for x in range(int((item.box[0] - x0) // 5), int((item.box[2] - x0) // 5) + 1)
        for y in range(int((item.box[1] - y0) // 5), int((item.box[3] - y0) // 5) + 1)
        if 0 <= x < wide and 0 <= y < high
    }
    return found, wide * high


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_is_worth_its_paper(name: str) -> None:
    for drawing in drawn(name).drawings:
        for sheet in drawing.sheets:
            used, whole = cells(sheet)
            assert len(used) / whole >= LEAST, sheet.title.label
            lowest = max((y for _, y in used), default=0)
            high = (sheet.block[1] - sheet.frame[1]) // 5
            if sheet is not drawing.sheets[-1]:
                assert (lowest + 1) / high >= HALF, sheet.title.label


@pytest.mark.parametrize("name", NAMES)
def test_every_switch_and_breaker_stands_on_a_panel(name: str) -> None:
    shown = {item.ref for d in drawn(name).of("panel") for s in d.sheets for item in s.items}
    subjects = {
        position.subject.name
        for layout in panels(study(name)).by_name.values()
        for position in layout.positions
        if position.subject is not None
    }
    assert subjects
    assert subjects <= shown
    flipped = {key for key, entry in study(name).document.switches.items() if entry.coil is None}
    used = {circuit.switch for circuit in study(name).document.circuits.values()}
    assert flipped & used <= subjects


@pytest.mark.parametrize("name", NAMES)
def test_a_reference_leads_to_a_sheet_that_leads_back(name: str) -> None:
    """Between connectors as often one way as the other: each wire says it at both its ends."""
    sheets = {sheet.title.label: sheet for sheet in drawn(name).sheets}
    pairs: Counter[tuple[str, str]] = Counter()
    for label, sheet in sheets.items():
        for item in sheet.items:
            if isinstance(item.ink, Lettering) and (found := SPOT.fullmatch(item.text)):
                assert item.ink.link == sheets[found[1]].id
                pairs[label, found[1]] += 1
    assert pairs
    for (a, b), count in pairs.items():
        if a[0] == b[0] == "K":
            assert pairs[b, a] == count, (a, b)
