"""Workbooks: read back by one library, held against what another one writes."""

import io
import zipfile
from typing import Any
from xml.etree import ElementTree as ET

import openpyxl
import pytest
import xlsxwriter

from elec.write.register import Options, named
from elec.write.workbook import Workbook, WorkbookSheet
from tests.write.sample import book

TEXTS = [
    " begins with a space",
    "two\nlines",
    "ends\n",
    "a < b & c > \"d\" 'e'",
    "_x0041_ _X",
    "Ω²",
]


def made(*sheets: WorkbookSheet, of: Workbook | None = None) -> Any:
    found = of or Workbook("A title & more", "elec", "2000-01-01T00:00:00Z")
    for sheet in sheets:
        found.add(sheet)
    return openpyxl.load_workbook(io.BytesIO(found.written()))


def ours() -> Any:
    found = Workbook("A title & more", "elec", "2000-01-01T00:00:00Z")
    words = [found.text("A1", "Text", "head")]
    words += [found.text(f"A{n}", text) for n, text in enumerate(TEXTS, 2)]
    numbers = [found.text("B1", "=Number", "head text")]
    numbers += [found.number(f"B{n}", f"{n / 8}", n) for n in range(2, len(TEXTS) + 2)]
    looks = [found.text("C1", "Look", "head"), found.text("C2", "?", "right")]
    looks += [found.text("C3", "=x", "text"), found.text("C4", "-x", "right text")]
    looks += [found.text(f"C{n}", "") for n in range(5, len(TEXTS) + 2)]
    return made(
        WorkbookSheet(
            name="its A1 & <b>",
            columns=[words, numbers, looks],
            widths=[22, 9, 60],
            fixed=1,
            titled=True,
            header="&LA && B <c>&RPage &P of &N",
            footer="&L&8Advice",
        ),
        WorkbookSheet(name="second", columns=[[found.text("A1", "Alone", "head")]], widths=[7]),
        of=found,
    )


def theirs() -> Any:
    held = io.BytesIO()
    found = xlsxwriter.Workbook(held, {"in_memory": True})
    head = {"bold": True, "text_wrap": True, "valign": "top", "bottom": 1}
    sheet = found.add_worksheet("its A1 & <b>")
    sheet.write_string(0, 0, "Text", found.add_format(head))
    sheet.write_string(0, 1, "=Number", found.add_format({**head, "quote_prefix": True}))
    sheet.write_string(0, 2, "Look", found.add_format(head))
    for n, text in enumerate(TEXTS, 2):
        sheet.write_string(n - 1, 0, text)
        digits = found.add_format({"num_format": "0." + "0" * n})
        sheet.write_number(n - 1, 1, n / 8, digits)
    right, quoted = {"align": "right"}, {"quote_prefix": True}
    sheet.write_string(1, 2, "?", found.add_format(right))
    sheet.write_string(2, 2, "=x", found.add_format(quoted))
    sheet.write_string(3, 2, "-x", found.add_format(right | quoted))
    for k, width in enumerate((22, 9, 60)):
        sheet.set_column(k, k, width)
    sheet.autofilter(0, 0, len(TEXTS), 2)
    sheet.freeze_panes(1, 1)
    sheet.repeat_rows(0)
    sheet.set_header("&LA && B <c>&RPage &P of &N")
    sheet.set_footer("&L&8Advice")
    second = found.add_worksheet("second")
    second.write_string(0, 0, "Alone", found.add_format(head))
    second.set_column(0, 0, 7)
    second.freeze_panes(1, 0)
    for one in (sheet, second):
        one.set_landscape()
        one.fit_to_pages(1, 0)
        one.set_paper(9)
    found.close()
    return openpyxl.load_workbook(held)


def cell(one: Any) -> tuple[Any, ...]:
    look, font, border = one.alignment, one.font, one.border
    return (
        one.value, one.data_type, one.number_format, one.quotePrefix, font.b, font.name, font.sz,
        look.horizontal, look.vertical, look.wrapText, border.bottom.style, border.top.style,
    )  # fmt: skip


def told(sheet: Any) -> dict[str, Any]:
    return {
        "cells": {one.coordinate: cell(one) for row in sheet.iter_rows() for one in row},
        "widths": {
            n: one.width
            for one in sheet.column_dimensions.values()
            for n in range(one.min, one.max + 1)
        },
        "fixed": sheet.freeze_panes,
        "narrowed": sheet.auto_filter.ref,
        "titles": sheet.print_title_rows,
        "page": (sheet.page_setup.orientation, sheet.page_setup.paperSize),
        "fits": (sheet.sheet_properties.pageSetUpPr.fitToPage, sheet.page_setup.fitToHeight),
        "margins": [getattr(sheet.page_margins, side) for side in ("left", "top", "header")],
        "around": (str(sheet.oddHeader), str(sheet.oddFooter)),
    }


def test_sheets_read_as_those_of_a_library_that_knows_the_whole_format() -> None:
    mine, other = ours(), theirs()
    assert mine.sheetnames == other.sheetnames
    for name in mine.sheetnames:
        assert told(mine[name]) == told(other[name])


def test_every_text_comes_back_as_it_was() -> None:
    assert [one.value for one in ours().worksheets[0]["A"]][1:] == TEXTS


def test_title_author_and_time_stand_in_the_file() -> None:
    said = ours().properties
    assert (said.title, said.creator) == ("A title & more", "elec")
    assert said.created.isoformat().startswith("2000-01-01T00:00:00")


def test_a_text_longer_than_a_cell_holds_is_cut_where_it_is_seen() -> None:
    found = Workbook("t", "elec", "2000-01-01T00:00:00Z")
    long = made(
        WorkbookSheet(name="s", columns=[[found.text("A1", "x" * 40000)]], widths=[9]), of=found
    )
    assert long["s"]["A1"].value == "x" * 32766 + "…"


@pytest.mark.parametrize("name", ["loads", "wires"])
def test_what_there_is_none_of_is_an_empty_cell(name: str) -> None:
    content = named("xlsx").write(book(), Options())
    sheet = openpyxl.load_workbook(io.BytesIO(content))[name]
    assert all(one.value != "" for row in sheet.iter_rows() for one in row)
    with zipfile.ZipFile(io.BytesIO(content)) as held:
        shared = ET.fromstring(held.read("xl/sharedStrings.xml"))  # noqa: S314 - our own
    texts = ["".join(one.itertext()) for one in shared]
    assert "" not in texts
    assert len(texts) == len(set(texts))


def test_all_parts_are_named_in_the_list_of_parts() -> None:
    """A spreadsheet refuses a file in which a part is not named, or one that is named lacks."""
    content = named("xlsx").write(book(), Options())
    with zipfile.ZipFile(io.BytesIO(content)) as held:
        types = ET.fromstring(held.read("[Content_Types].xml"))  # noqa: S314 - our own
        parts = {f"/{name}" for name in held.namelist() if not name.endswith(".rels")}
        parts.remove("/[Content_Types].xml")
        assert {one.get("PartName") for one in types if one.get("PartName")} == parts
        relations = ET.fromstring(held.read("xl/_rels/workbook.xml.rels"))  # noqa: S314 - our own
        targets = {f"/xl/{one.get('Target')}" for one in relations}
        assert targets == parts - {"/docProps/core.xml", "/xl/workbook.xml"}
