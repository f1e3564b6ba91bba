"""A workbook with one sheet a table, in the builder's units. Text stays text."""

import datetime as dt
import io
import math
import re
from collections.abc import Mapping
from typing import Any

from elec.pages.document import Book
from elec.pages.table import Cell, Table, Value
from elec.write.columns import head
from elec.write.files import signed
from elec.write.register import Document, Options, writer
from elec.write.to_csv import STARTS_FORMULA, finding_rows, findings_in, tables
from elec.write.values import DATA_DIGITS, UNKNOWN, all_printed, bare, clean, is_numeric, scale

_FIXED_DATE = dt.datetime(2000, 1, 1)  # noqa: DTZ001 - the format has no time zone; equal bytes
_SHEET_NAME = re.compile(r"[\[\]:*?/\\']")
_LONGEST_NAME = 31  # the format's own limit
_WIDEST = 60
LONGEST = 32767
"""So many characters a cell of the format holds; a longer text would be left out."""
HEAD = {"bold": True, "text_wrap": True, "valign": "top", "bottom": 1}


@writer(".xlsx")
def to_xlsx(document: Document, options: Options) -> bytes:
    """Write the tables of a document as a workbook."""
    import xlsxwriter

    held = io.BytesIO()
    book = xlsxwriter.Workbook(
        held,
        {
            "in_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            "strings_to_numbers": False,
        },
    )
    book.set_properties({"title": clean(document.title), "author": "elec", "created": _FIXED_DATE})
    paper = document.paper if isinstance(document, Book) else "A4"
    taken: set[str] = set()
    styles = _styles(book)
    findings = [] if isinstance(document, Book) else list(findings_in(document))
    if findings:
        _list(book.add_worksheet("findings"), finding_rows(findings, passes=options.passes), styles)
        taken.add("findings")
    for table in tables(document):
        sheet = book.add_worksheet(_sheet_name(table, taken))
        _fill(sheet, table, options, styles)
        sheet.set_paper(9 if paper == "A4" else 1)  # the format's numbers for the two
    if not taken:
        book.add_worksheet("empty")
    book.close()
    return signed(held.getvalue())


def _list(sheet: Any, rows: list[list[str]], styles: Mapping[str, Any]) -> None:
    """Rows of texts under a row of heads."""
    for line, row in enumerate(rows):
        for k, text in enumerate(row):
            style = "head" if not line else "text" if text.startswith(STARTS_FORMULA) else ""
            _write(sheet, (line, k), text, styles.get(style))
    for k, column in enumerate(zip(*rows, strict=True)):
        sheet.set_column(k, k, min(max(map(len, column)) + 2, _WIDEST))
    sheet.autofilter(0, 0, len(rows) - 1, len(rows[0]) - 1)
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)


def _styles(book: Any) -> Mapping[str, Any]:
    return {
        "head": book.add_format(HEAD),
        "head text": book.add_format({**HEAD, "quote_prefix": True}),
        "title": book.add_format({"bold": True, "font_size": 13}),
        "right": book.add_format({"align": "right"}),
        "text": book.add_format({"quote_prefix": True}),
        "right text": book.add_format({"align": "right", "quote_prefix": True}),
        **{
            str(n): book.add_format({"num_format": "0." + "0" * n if n else "0"}) for n in range(10)
        },
    }


def _fill(sheet: Any, table: Table, options: Options, styles: Mapping[str, Any]) -> None:
    """Heads in row 1, so that filters and formulas of the reader's own work as usual."""
    for k, column in enumerate(table.columns):
        values = [row[k] for row in table.rows]
        texts = all_printed(values, column, options.units)
        title = head(column, options.units)
        as_text = clean(title).startswith(STARTS_FORMULA)
        _write(sheet, (0, k), clean(title), styles["head text" if as_text else "head"])
        unit = scale(column, options.units)
        for line, (value, text) in enumerate(zip(values, texts, strict=True), start=1):
            figure = None if isinstance(value, str) else _figure(value)
            if figure is not None and math.isfinite(figure) and not _says_more(value):
                shown = float(f"{figure * unit.factor:.{DATA_DIGITS}g}")
                digits = len(text.partition(".")[2])
                sheet.write_number(line, k, shown + 0.0, styles[str(min(digits, 9))])
                continue
            right = text == UNKNOWN or (figure is not None and bool(unit.unit))
            style = "right" if right and is_numeric(column, [value]) else ""
            if text.startswith(STARTS_FORMULA):  # read and written again as CSV it stays a text
                style = f"{style} text".strip()
            _write(sheet, (line, k), text, styles.get(style))
        lines = [line for text in {title, *texts} for line in text.split("\n")]
        sheet.set_column(k, k, min(max(map(len, lines)) + 2, _WIDEST))
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
    sheet.freeze_panes(1, 1)
    sheet.repeat_rows(0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    if options.cautions:
        sheet.set_footer("&L&8" + clean(options.cautions[0]).replace("&", "&&")[:230])
    sheet.set_header("&L" + clean(table.title).replace("&", "&&")[:200] + "&RPage &P of &N")


def _write(sheet: Any, at: tuple[int, int], text: str, style: Any) -> None:
    """A cell of text; one that is empty is none, one longer than a cell holds is cut with `…`."""
    if text:
        shown = text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"
        sheet.write_string(*at, shown, style)


def _figure(value: Value) -> float | None:
    """The number that a cell holds; None for words, and for yes and no."""
    plain = bare(value)
    if plain is None or isinstance(plain, (str, bool)):
        return None
    return float(plain)


def _says_more(value: Value) -> bool:
    """Whether a cell's own text stands for its number: `14 ft 3 in`."""
    return isinstance(value, Cell) and value.text is not None


def _sheet_name(table: Table, taken: set[str]) -> str:
    plain = _SHEET_NAME.sub(" ", clean(table.id)).strip()[:_LONGEST_NAME] or "table"
    name, number_ = plain, 2
    while name.casefold() in taken:
        name = f"{plain[: _LONGEST_NAME - 4]} {number_}"
        number_ += 1
    taken.add(name.casefold())
    return name
