"""A workbook with one sheet a table, in the builder's units. Text stays text."""

import math
import re
from collections.abc import Iterable

from elec.pages.document import Book
from elec.pages.table import Cell, Table, Value
from elec.write.columns import head
from elec.write.files import signed
from elec.write.register import Document, Options, writer
from elec.write.to_csv import STARTS_FORMULA, finding_rows, findings_in, tables
from elec.write.values import DATA_DIGITS, UNKNOWN, all_printed, bare, clean, is_numeric, scale
from elec.write.workbook import Workbook, WorkbookSheet, letters

_FIXED_DATE = "2000-01-01T00:00:00Z"
"""Equal books are equal bytes."""
_SHEET_NAME = re.compile(r"[\[\]:*?/\\']")
_LONGEST_NAME = 31  # the format's own limit
_WIDEST = 60


@writer(".xlsx")
def to_xlsx(document: Document, options: Options) -> bytes:
    """Write the tables of a document as a workbook."""
    made = Workbook(clean(document.title), "elec", _FIXED_DATE)
    paper = document.paper if isinstance(document, Book) else "A4"
    taken: set[str] = set()
    findings = [] if isinstance(document, Book) else list(findings_in(document))
    if findings:
        made.add(_list(made, finding_rows(findings, passes=options.passes)))
        taken.add("findings")
    for table in tables(document):
        made.add(_filled(made, table, options, name=_sheet_name(table, taken), paper=paper))
    if not taken:
        made.add(WorkbookSheet(name="empty", columns=(), widths=()))
    return signed(made.written())


def _list(made: Workbook, rows: list[list[str]]) -> WorkbookSheet:
    """Rows of texts under a row of heads."""
    columns = [
        [
            made.text(f"{letters(k)}{line}", text, "head" if line == 1 else _as_text("", text))
            for line, text in enumerate(texts, 1)
        ]
        for k, texts in enumerate(zip(*rows, strict=True))
    ]
    widths = [_wide(texts) for texts in zip(*rows, strict=True)]
    return WorkbookSheet(name="findings", columns=columns, widths=widths)


def _as_text(style: str, text: str) -> str:
    """The look of a text that stays one, too, where the file is read and written as CSV."""
    return f"{style} text".strip() if text.startswith(STARTS_FORMULA) else style


def _wide(lines: Iterable[str]) -> int:
    """The width of a column of such lines, in characters."""
    return min(max(map(len, lines)) + 2, _WIDEST)


def _filled(
    made: Workbook, table: Table, options: Options, *, name: str, paper: str
) -> WorkbookSheet:
    """Heads in row 1, so that filters and formulas of the reader's own work as usual."""
    columns, widths = [], []
    for k, column in enumerate(table.columns):
        values = [row[k] for row in table.rows]
        texts = all_printed(values, column, options.units)
        title = clean(head(column, options.units))
        cells = [made.text(f"{letters(k)}1", title, _as_text("head", title))]
        unit = scale(column, options.units)
        for line, (value, text) in enumerate(zip(values, texts, strict=True), start=2):
            place = f"{letters(k)}{line}"
            figure = None if isinstance(value, str) else _figure(value)
            if figure is not None and math.isfinite(figure) and not _says_more(value):
                shown = f"{figure * unit.factor + 0.0:.{DATA_DIGITS}g}"
                cells.append(made.number(place, shown, len(text.partition(".")[2])))
                continue
            right = text == UNKNOWN or (figure is not None and bool(unit.unit))
            style = "right" if right and is_numeric(column, [value]) else ""
            cells.append(made.text(place, text, _as_text(style, text)))
        columns.append(cells)
        widths.append(_wide([line for text in {title, *texts} for line in text.split("\n")]))
    advice = clean(options.cautions[0]).replace("&", "&&")[:230] if options.cautions else ""
    return WorkbookSheet(
        name=name,
        columns=columns,
        widths=widths,
        fixed=1,
        paper=paper,
        titled=True,
        header="&L" + clean(table.title).replace("&", "&&")[:200] + "&RPage &P of &N",
        footer=f"&L&8{advice}" if advice else "",
    )


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
