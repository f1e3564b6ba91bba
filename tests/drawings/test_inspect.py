"""The finished-sheet check catches each planted fault, and nothing on a sheet without any."""

from collections.abc import Callable

import pytest

from elec.drawings.sheet import Sheet, TitleBlock
from tests.drawings.inspect import crossings, inspect


def clean() -> Sheet:
    sheet = Sheet(size="A4", title=TitleBlock(title="Test"))
    sheet.line(((40, 50), (80, 50)), ref="w1")
    sheet.symbol("breaker", (80, 50), ref="b1", net="w1")
    sheet.line(((86, 50), (120, 50)), ref="w1")
    sheet.rect((120, 40, 150, 60), ref="box")
    sheet.text(60, 48, "L31A20", ref="w1")
    sheet.text(135, 50, "radio", align="center", middle=True, ref="box")
    return sheet


PLANTED: dict[str, Callable[[Sheet], object]] = {
    "text on text": lambda s: s.text(62, 48, "L32"),
    "text on line": lambda s: s.text(50, 51, "over the wire"),
    "text on symbol": lambda s: s.text(81, 50, "x"),
    "line through symbol": lambda s: s.line(((83, 30), (83, 70)), ref="w2"),
    "line through box": lambda s: s.line(((110, 45), (160, 45)), ref="w2"),
    "box on box": lambda s: s.rect((145, 55, 170, 70), ref="other"),
    "lines on one another": lambda s: s.line(((60, 50), (75, 50)), ref="w2"),
    "crossing": lambda s: s.line(((60, 40), (60, 60)), ref="w2"),
    "outside the frame": lambda s: s.text(280, 30, "far right of it"),
    "in the title block": lambda s: s.text(200, 190, "under"),
    "cut text": lambda s: s.text(40, 80, "a text that is far too long", room_mm=12.0),
    "text too small": lambda s: s.text(40, 80, "tiny", capital_mm=1.5),
}


def test_a_clean_sheet_has_no_fault() -> None:
    assert inspect(clean()) == ()


@pytest.mark.parametrize("kind", PLANTED)
def test_each_planted_fault_is_found(kind: str) -> None:
    sheet = clean()
    PLANTED[kind](sheet)
    assert kind in {fault.kind for fault in inspect(sheet)}


def test_text_on_the_edge_of_a_box_is_found() -> None:
    sheet = clean()
    sheet.text(140, 61, "across the edge")
    assert "text on line" in {fault.kind for fault in inspect(sheet)}


def test_crossings_are_counted() -> None:
    sheet = clean()
    assert crossings(sheet) == 0
    sheet.line(((60, 40), (60, 60)), ref="w2")
    assert crossings(sheet) == 1


def test_a_fault_says_where() -> None:
    sheet = clean()
    sheet.text(62, 48, "L32")
    (fault,) = [f for f in inspect(sheet) if f.kind == "text on text"]
    assert fault.zone == sheet.zone(62, 48)
    assert "L31A20" in str(fault)
