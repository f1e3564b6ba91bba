"""Frame, zones and title block, against the sizes and rules of the standards (from memory)."""

from collections.abc import Callable, Mapping

import pytest

from elec.drawings import frame
from elec.drawings.sheet import SIZES_MM, Item, Sheet, Size, TitleBlock, Trial
from tests.drawings.inspect import inspect


def blank(size: Size = "A4") -> Sheet:
    return Sheet(size=size, title=TitleBlock(title="Nothing"))


def furniture(sheet: Sheet) -> list[Item]:
    return [*frame.blank(sheet.size), *frame.filled(sheet)]


def test_what_sheets_have_in_common_says_nothing_of_one() -> None:
    said = {item.text for item in frame.blank("A4")}
    assert said >= {"checked by", frame.CREATOR}
    one = Sheet(size="A4", title=TitleBlock(title="One", owner="Ann", number="7", code="C1"))
    assert {item.text for item in frame.filled(one)} == {
        "One",
        "Ann",
        "7",
        "sheet C1",
        "A4, not to scale",
        "revision ? · no date given",
        "changed: not said",
    }


def test_the_title_block_has_the_builder_s_date_and_what_he_changed() -> None:
    block = TitleBlock(revision="B", date="2031-05-04", change="a second pump", place=3, total=9)
    said = {item.text for item in frame.filled(Sheet(size="A4", title=block))}
    assert said >= {"revision B · 2031-05-04", "changed: a second pump", "3 of 9 in all"}


def test_paper_sizes_are_landscape() -> None:
    assert SIZES_MM["A4"] == (297, 210)  # ISO 216
    assert SIZES_MM["A3"] == (420, 297)
    assert SIZES_MM["Letter"] == pytest.approx((11 * 25.4, 8.5 * 25.4))
    assert SIZES_MM["Tabloid"] == pytest.approx((17 * 25.4, 11 * 25.4))


@pytest.mark.parametrize(("size", "across", "down"), [("A3", 8, 6), ("A4", 6, 4)])
def test_zones_are_50_mm_from_the_centring_marks(size: Size, across: int, down: int) -> None:
    sheet = blank(size)
    assert len(sheet.columns()) == across  # ISO 5457
    assert len(sheet.rows()) == down
    inner = sheet.columns()[1:-1]
    assert all(b - a == pytest.approx(50.0) for a, b, _ in inner)
    x0, _, x1, _ = sheet.frame
    assert any(a == pytest.approx((x0 + x1) / 2) for a, _, _ in sheet.columns())


def test_zone_letters_leave_out_i_and_o() -> None:
    from elec.drawings.sheet import LETTERS

    assert "I" not in LETTERS
    assert "O" not in LETTERS


def test_zone_of_the_corners() -> None:
    sheet = blank("A3")
    x0, y0, x1, y1 = sheet.frame
    assert sheet.zone(x0 + 1, y0 + 1) == "A1"
    assert sheet.zone(x1 - 1, y1 - 1) == "F8"


def test_the_filing_border_is_20_mm_and_the_block_180_mm() -> None:
    sheet = blank()
    assert sheet.frame[0] == 20.0
    assert sheet.frame[2] == sheet.width_mm - 10.0
    assert sheet.block[2] - sheet.block[0] == 180.0


def test_nobody_approves_anything() -> None:
    words = " ".join(item.text for item in furniture(blank()))
    assert "checked by" in words
    assert "approved" not in words.lower()


@pytest.mark.parametrize("size", list(SIZES_MM))
def test_the_title_block_has_no_overlaps_even_when_full(size: Size) -> None:
    title = TitleBlock(
        owner="A very long name of an owner and of the aircraft",
        title="Sources and feeders of the whole system, continued with the standby side (part 12)",
        document_type="power distribution one-line diagram",
        number="EL-2026-0001-distribution",
        revision="AB",
        date="2026-12-31",
        sheet=88,
        sheets=88,
        note="not to scale, of the file 8f2c9a",
    )
    sheet = Sheet(size=size, title=title)
    texts = [i for i in furniture(sheet) if i.text]
    from tests.drawings.inspect import _overlap

    for k, a in enumerate(texts):
        assert a.capital_mm >= 1.8 - 1e-6
        for b in texts[k + 1 :]:
            assert not _overlap(a.box, b.box), (a.text, b.text)


def test_an_empty_sheet_is_clean() -> None:
    assert inspect(blank()) == ()


DRAWN: Mapping[str, Callable[[Sheet], object]] = {
    "line": lambda sheet: sheet.line(((0.0, 0.0), (1.0, 1.0))),
    "polygon": lambda sheet: sheet.polygon(((0.0, 0.0), (1.0, 1.0), (1.0, 0.0))),
    "rect": lambda sheet: sheet.rect((0.0, 0.0, 1.0, 1.0)),
    "circle": lambda sheet: sheet.circle((0.0, 0.0), 1.0),
    "dot": lambda sheet: sheet.dot((0.0, 0.0), net="n"),
    "text": lambda sheet: sheet.text(0.0, 0.0, "a"),
    "symbol": lambda sheet: sheet.symbol("breaker", (0.0, 0.0)),
}
ASKED = {"columns", "rows", "zone"}


def test_a_trial_keeps_nothing_that_a_sheet_would() -> None:
    methods = {name for name, one in vars(Sheet).items() if callable(one) and name[0] != "_"}
    assert methods == DRAWN.keys() | ASKED
    for name, draw in DRAWN.items():
        sheet, trial = blank(), Trial(size="A4", title=TitleBlock())
        draw(sheet)
        draw(trial)
        assert (bool(sheet.items), trial.items) == (True, []), name
    assert blank().kept
    assert not Trial(size="A4", title=TitleBlock()).kept
