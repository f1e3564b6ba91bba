"""The paper of the HTML book: rules of its pages, and how wide its tables have to be."""

from collections.abc import Sequence
from itertools import accumulate
from typing import Literal

from msgspec import Struct

from elec import __version__
from elec.cautions import SHORT
from elec.drawings.metrics import width_em
from elec.pages.document import Book
from elec.pages.table import Column, Table
from elec.units import UnitSystem
from elec.write.register import PAPERS_MM
from elec.write.values import all_printed, is_numeric, one_line, scale

_BINDING_MM = 18
_SHORT = 22
"""Text of so many characters is never wrapped in a table."""
DIGEST_SHOWN = 12
"""So many characters of the digest tell one text from another on paper."""
_PROSE = 34
"""A column of sentences reads badly with fewer characters on a line."""
_PROSE_EM = 0.56  # the usual width of a character of running text in this font
_BRIEF = 14
"""Text of so many characters is not wrapped on paper either."""
_TABLE_PT = 8.5
_GAP_PT = 7.1  # 2.5 mm between columns, as in book.css
_POINTS_PER_MM = 72 / 25.4
_SCREEN_PX, _SCREEN_GAP_PX = 15.0, 14.4  # letters and gap of a table, as in book.css
_LONG_PX, _LONG_FIRST_PX = 224.0, 128.0  # the least width of what wraps, as in book.css


def css_text(text: str) -> str:
    r"""Text as a CSS string in which every character but letters, digits and spaces is escaped.

    >>> css_text("a</style>")
    '"a\\3c \\2f style\\3e "'
    """
    safe = (
        c if c == " " or (c.isascii() and c.isalnum()) else f"\\{ord(c):x} " for c in one_line(text)
    )
    return '"' + "".join(safe) + '"'


def usable_pt(paper: Literal["A4", "Letter"], *, lying: bool) -> float:
    """How much of a line of the paper holds text, in points."""
    width, height = PAPERS_MM[paper]
    return ((height - 24.0) if lying else (width - 12.0 - _BINDING_MM)) * _POINTS_PER_MM


class PrintedColumn(Struct, frozen=True, kw_only=True):
    """A column as it prints; made once for all that is asked about its width and its cells."""

    column: Column
    unit: str
    texts: tuple[str, ...]
    numeric: bool


def printed_columns(table: Table, units: UnitSystem) -> tuple[PrintedColumn, ...]:
    """The columns of a table."""
    found = []
    for k, column in enumerate(table.columns):
        values = [row[k] for row in table.rows]
        found.append(
            PrintedColumn(
                column=column,
                unit=scale(column, units).unit,
                texts=all_printed(values, column, units),
                numeric=is_numeric(column, values),
            )
        )
    return tuple(found)


def least_pt(one: PrintedColumn) -> float:
    """The least width of a column on paper: its longest word or number, in points."""
    return _column_pt(one, _BRIEF)


def off_phone(columns: Sequence[PrintedColumn], room_px: float) -> bool:
    """Whether a table is wider than a screen, its heads and short texts each on one line."""
    widths = (_column_px(one, first=k == 0) for k, one in enumerate(columns))
    return any(width > room_px for width in accumulate(widths))


def _column_px(one: PrintedColumn, *, first: bool) -> float:
    texts = set(one.texts)
    whole = texts if one.numeric else {text for text in texts if len(text) <= _SHORT}
    wide = max(map(width_em, whole), default=0.0) * _SCREEN_PX
    head = width_em(f"{one.column.head} {one.unit}", bold=True) * _SCREEN_PX
    long = 0.0 if len(whole) == len(texts) else _LONG_FIRST_PX if first else _LONG_PX
    return max(wide, head, long) + _SCREEN_GAP_PX


def ease_pt(one: PrintedColumn) -> float:
    """The width at which a column reads well: short texts on one line."""
    longest = max(map(len, one.texts), default=0)
    prose_pt = min(longest, _PROSE) * _PROSE_EM * _TABLE_PT + _GAP_PT
    return max(_column_pt(one, _SHORT), 0.0 if one.numeric else prose_pt)


def _column_pt(one: PrintedColumn, unwrapped: int) -> float:
    texts = set(one.texts)
    whole = texts if one.numeric else {text for text in texts if len(text) <= unwrapped}
    words = {word for text in texts - whole for word in text.split()}
    body = max(map(width_em, whole | words), default=0.0)
    head = max((width_em(word, bold=True) for word in one.column.head.split()), default=0.0)
    return max(body, head) * _TABLE_PT + _GAP_PT


BRIEF = "brief"
"""A text that never wraps, in a cell that bears no class for it: most are of this kind."""


KINDS = ("number", BRIEF, "short", "long")
"""How a cell may wrap: that of a number never does."""


def kind(text: str) -> str:
    """How a cell of words may wrap."""
    return BRIEF if len(text) <= _BRIEF else "short" if len(text) <= _SHORT else "long"


def page_rule(
    name: str, size: tuple[float, float], book: Book, binding: Literal["left", "top"]
) -> str:
    """One `@page` rule with running heads."""
    margins = (
        f"14mm 12mm 16mm {_BINDING_MM}mm"
        if binding == "left"
        else f"{_BINDING_MM}mm 12mm 16mm 12mm"
    )
    revision = " · ".join(
        part for part in (f"revision {book.revision}" if book.revision else "", book.date) if part
    )
    digest = f"text {book.digest[:DIGEST_SHOWN]}" if book.digest else ""
    foot = " · ".join(part for part in (f"elec {__version__}", digest, SHORT) if part)
    return (
        f"@page {name}{{size:{size[0]:g}mm {size[1]:g}mm;margin:{margins};"
        f"@top-left{{content:{css_text(book.title)}}}"
        f"@top-right{{content:{css_text(revision)}}}"
        f"@bottom-left{{content:{css_text(foot)}}}"
        '@bottom-right{content:"page " counter(page) " of " counter(pages)}}'
    )
