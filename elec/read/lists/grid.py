"""A spreadsheet file as cells of plain text, each with its place.

.csv is read by the language's own reader and .xlsx by openpyxl, which alone keeps the rows as they
stand and tells a percentage by the form of its cell.
"""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from datetime import date, datetime, time
from itertools import islice
from pathlib import Path
from typing import Any

from msgspec import Struct

from elec.units import fold

MOST_BYTES = 5_000_000
MOST_UNPACKED = 20_000_000
MOST_ROWS, MOST_COLUMNS, MOST_LETTERS = 2000, 100, 200
"""No list of loads, contacts or readings of a light aircraft has more (our judgement)."""


class ListRefused(Exception):  # noqa: N818 - what happened, as CannotEdit
    """What cannot be taken, a message each with its place."""

    def __init__(self, messages: Sequence[str]) -> None:
        """Keep the messages, in the order of the list."""
        super().__init__("\n".join(messages))
        self.messages = tuple(messages)


class Cells(Struct, frozen=True, kw_only=True):
    """The cells of one sheet: rows of texts, empty where nothing is written."""

    file: str
    sheet: str
    """Empty for a .csv."""
    rows: tuple[tuple[str, ...], ...]

    def text(self, row: int, column: int) -> str:
        """A cell, counted from 0; empty beyond the end of its row."""
        cells = self.rows[row]
        return cells[column] if column < len(cells) else ""

    def at(self, row: int, column: int | None = None) -> str:
        """The place of a cell, or of a row, for a message.

        >>> Cells(file="l.csv", sheet="", rows=()).at(6, 2)
        'l.csv, row 7, column C'
        """
        sheet = f", sheet {self.sheet}" if self.sheet else ""
        cell = "" if column is None else f", column {letters(column)}"
        return f"{self.file}{sheet}, row {row + 1}{cell}"


def letters(column: int) -> str:
    """How a spreadsheet names a column counted from 0.

    >>> letters(0), letters(27)
    ('A', 'AB')
    """
    found = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        found = chr(65 + rest) + found
    return found


def shown(text: str) -> str:
    """A cell's text in a message."""
    plain = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return f'"{plain if len(plain) <= 40 else plain[:37] + "..."}"'


def grids(path: Path, sheet: str | None = None) -> tuple[Cells, ...]:
    """The ways in which a file can be read: one for .xlsx, one by each separator for .csv.

    Raises:
        ListRefused: it is no such file, is too large, or holds cells that are none.
    """
    if path.suffix.lower() not in (".csv", ".xlsx"):
        raise ListRefused([f"{path}: a list is a .csv or an .xlsx file; save it as one of these"])
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ListRefused(
                [f"{path}: larger than {MOST_BYTES // 1_000_000} MB; no list of yours is"]
            )
        content = path.read_bytes()
    except OSError as error:
        raise ListRefused([f"{path}: {(error.strerror or str(error)).lower()}"]) from None
    if path.suffix.lower() == ".xlsx":
        return (_workbook(path.name, content, sheet),)
    if sheet is not None:
        raise ListRefused([f"{path}: a .csv has no sheets; leave --sheet out"])
    return tuple(_separated(path.name, content))


def _separated(name: str, content: bytes) -> Iterator[Cells]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ListRefused(
            [f"{name}: no text in UTF-8; save it as CSV UTF-8, or as .xlsx"]
        ) from None
    if "\0" in text:
        raise ListRefused(
            [f"{name}: holds bytes that are no text; save it as CSV UTF-8, or as .xlsx"]
        )
    for separator in ";\t,":
        try:
            rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))
        except csv.Error as error:
            raise ListRefused([f"{name}: cannot be read as a list: {error}"]) from None
        yield _grid(name, "", rows)


def _workbook(name: str, content: bytes, sheet: str | None) -> Cells:
    from openpyxl import load_workbook

    if _unpacked(content) > MOST_UNPACKED:
        raise ListRefused([f"{name}: too large once unpacked; no list of yours is so long"])
    try:
        values = load_workbook(io.BytesIO(content), data_only=True, read_only=True)
        written = load_workbook(io.BytesIO(content), read_only=True)
    except Exception as error:  # the library raises whatever a broken part makes it
        said = f"{name}: no workbook that can be read; save it as .xlsx anew, or as .csv"
        raise ListRefused([said]) from error
    names = [one.title for one in values.worksheets]
    listed = ", ".join(names)
    if not names:
        raise ListRefused([f"{name} has no sheet of cells"])
    if sheet is None and len(names) != 1:
        raise ListRefused([f'{name} has {len(names)} sheets ({listed}): say --sheet "{names[0]}"'])
    if sheet is not None and sheet not in names:
        raise ListRefused([f'{name} has no sheet "{sheet}"; there are: {listed}'])
    chosen = sheet or names[0]
    both = (one[chosen].iter_rows(max_col=MOST_COLUMNS + 1) for one in (values, written))
    rows = [
        [_cell(value, formula) for value, formula in zip(*pair, strict=True)]
        for pair in islice(zip(*both, strict=True), MOST_ROWS + 1)
    ]
    for row in rows:
        while row and not row[-1]:
            row.pop()
    return _grid(name, chosen, rows)


def _unpacked(content: bytes) -> int:
    """Bytes of a workbook once unpacked; 0 where it is none."""
    import zipfile

    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            return sum(part.file_size for part in packed.infolist())
    except (zipfile.BadZipFile, ValueError, OSError):
        return 0


def _cell(cell: Any, formula: Any) -> str:
    """A cell as it is shown; a formula that was never worked out stays a formula."""
    value = cell.value
    if value is None:
        text = str(formula.value) if formula.data_type == "f" else ""
        return text if text.startswith("=") or not text else "={}"  # of a whole range of cells
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        share = "%" in str(cell.number_format)
        return f"{value * 100:.12g} %" if share else f"{value:.12g}"
    if isinstance(value, date | datetime | time):
        return f"={value} (a date)"
    return str(value)


def _too_many(name: str) -> str:
    return f"{name}: more than {MOST_ROWS} rows or {MOST_COLUMNS} columns; leave the rest out"


def _grid(name: str, sheet: str, rows: Sequence[Sequence[str]]) -> Cells:
    """The grid, once no cell is too long or a formula."""
    if len(rows) > MOST_ROWS or any(len(row) > MOST_COLUMNS for row in rows):
        raise ListRefused([_too_many(name)])
    tidy = tuple(tuple(fold(text) for text in row) for row in rows)
    return Cells(file=name, sheet=sheet, rows=tidy)


def unfit(grid: Cells, row: int, column: int) -> str:
    """Why a cell is no plain value; empty where it is one."""
    text = grid.text(row, column)
    if len(text) > MOST_LETTERS:
        return f"{len(text)} letters in one cell; {MOST_LETTERS} are read"
    if not text.isprintable():
        return f"{shown(text)} holds characters that nobody sees; type it anew"
    if text.endswith("(a date)"):
        return f"{shown(text[1:])}: the spreadsheet made a date of it; write it as text"
    if re.match(r"[=@]|[+-][A-Za-z]+\(", text):
        return f"{shown(text)} is a formula without a value; write the value itself"
    if text.startswith("#") and text.rstrip("!?").isupper():
        return f"{shown(text)} is an error of the spreadsheet; write the value itself"
    return ""
