"""A table as aligned lines of text: two spaces between columns, numbers aligned at the point."""

import re
import textwrap
from collections.abc import Sequence

from msgspec import Struct

from elec.pages.table import Column, Table
from elec.units import UnitSystem
from elec.write.values import UNKNOWN, is_numeric, one_line, printed, scale

GAP = "  "
_NUMBER = re.compile(r"[-−]?\d+(\.\d+)?")
_NARROWEST = 8
"""No text column is wrapped to less than this many characters."""


class LaidText(Struct, frozen=True, kw_only=True):
    """The lines of a table and the heads of the columns that found no room."""

    lines: tuple[str, ...]
    dropped: tuple[str, ...]


def head(column: Column, system: UnitSystem) -> str:
    """The head of a column with the unit that its numbers have.

    >>> head(Column(key="drop_v", head="Drop", unit="v"), "feet")
    'Drop, V'
    """
    unit = scale(column, system).unit
    return f"{column.head}, {unit}" if unit and unit != "AWG" else column.head


def lay(table: Table, *, system: UnitSystem, width: int | None, wide: bool) -> LaidText:
    """Lay a table out in a width, or without one for a pipe, where every row is one line.

    Where there is no room, heads are folded first; then the least important columns go. Nothing
    is ever cut: words that remain too wide are wrapped.
    """
    shown = list(range(len(table.columns)))
    cells = [_column(table, index, system) for index in shown]
    if width is not None and _width(cells, shown) > width:
        cells = [_column(table, index, system, folded=True) for index in shown]
    if width is not None and not wide:
        for index in _expendable(table):
            if _width(cells, shown) <= width:
                break
            shown.remove(index)
    dropped = tuple(table.columns[i].head for i in range(len(cells)) if i not in shown)
    columns = [cells[index] for index in shown]
    if width is not None and _width(cells, shown) > width:
        stiff = [_stiff(table, index) for index in shown]
        columns = _wrap(columns, width, stiff)
    return LaidText(lines=tuple(_lines(columns)), dropped=dropped)


def length(text: str) -> int:
    """How many columns of a terminal a text takes."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def pad(text: str, width: int) -> str:
    """A text with spaces after it up to a width."""
    return text + " " * (width - length(text))


def _expendable(table: Table) -> list[int]:
    """Columns in the order in which they go: importance 3 from the right, then 2."""
    order = [
        index
        for importance in (3, 2)
        for index in reversed(range(len(table.columns)))
        if table.columns[index].importance == importance
    ]
    return order[: len(table.columns) - 1]


def _column(table: Table, index: int, system: UnitSystem, *, folded: bool = False) -> list[str]:
    """Head and cells of one column, all padded to the same width; a folded head has line ends."""
    column = table.columns[index]
    values = [row[index] for row in table.rows]
    texts = [one_line(printed(value, column, system)) for value in values]
    numeric = is_numeric(column, values)
    if numeric:
        texts = at_point(texts)
    name = head(column, system)
    if folded:
        body = max([length(text) for text in texts], default=0)
        room = max([body, *(length(word) for word in name.split())], default=1)
        name = "\n".join(textwrap.wrap(name, max(1, room), break_long_words=False))
    width = max(length(line) for text in (name, *texts) for line in text.split("\n"))
    return [
        "\n".join(_rpad(line, width) if numeric else pad(line, width) for line in text.split("\n"))
        for text in (name, *texts)
    ]


def _rpad(text: str, width: int) -> str:
    return " " * (width - length(text)) + text


def at_point(texts: list[str]) -> list[str]:
    """Texts of equal width whose decimal points stand under each other."""
    padded = [text + " " * lacks for text, lacks in zip(texts, lacking(texts), strict=True)]
    width = max((length(text) for text in padded), default=0)
    return [" " * (width - length(text)) + text for text in padded]


def lacking(texts: Sequence[str]) -> list[int]:
    """By how many characters, the point counted, each number ends before the longest behind it.

    >>> lacking(["1.25", "3", "?", "none", "0.5"])
    [0, 3, 3, 0, 1]
    """
    found: list[int | None] = []
    for text in texts:
        number = text == UNKNOWN or _NUMBER.fullmatch(text)
        found.append((len(text) - text.index(".") if "." in text else 0) if number else None)
    most = max((behind for behind in found if behind), default=0)
    return [0 if behind is None else most - behind for behind in found]


def _broad(column: list[str]) -> int:
    """The width of a column, whose cells are all padded to it."""
    return length(column[0].split("\n")[0])


def _width(cells: list[list[str]], shown: list[int]) -> int:
    return sum(_broad(cells[i]) for i in shown) + len(GAP) * (len(shown) - 1)


def _stiff(table: Table, index: int) -> bool:
    return is_numeric(table.columns[index], [row[index] for row in table.rows])


def _wrap(columns: list[list[str]], width: int, stiff: list[bool]) -> list[list[str]]:
    """Narrow the widest text columns until the table fits, or nothing can be narrowed."""
    widths = [_broad(column) for column in columns]
    longest_word = [
        max((length(word) for cell in column for word in cell.split()), default=0)
        for column in columns
    ]
    while sum(widths) + len(GAP) * (len(widths) - 1) > width:
        able = [
            i for i, w in enumerate(widths) if w > max(longest_word[i], _NARROWEST) and not stiff[i]
        ]
        if not able:
            break
        widths[max(able, key=lambda i: widths[i])] -= 1
    return [
        [
            "\n".join(textwrap.wrap(cell.strip(), w) or [""]) if _broad([cell]) > w else cell
            for cell in c
        ]
        for c, w in zip(columns, widths, strict=True)
    ]


def _lines(columns: list[list[str]]) -> list[str]:
    """Rows of cells, which may hold line ends, as lines."""
    widths = [
        max(length(part) for cell in column for part in cell.split("\n")) for column in columns
    ]
    lines = []
    for number, row in enumerate(zip(*columns, strict=True)):
        parts = [cell.split("\n") for cell in row]
        tall = max(len(part) for part in parts)
        for k in range(tall):
            # Heads stand on the first row, cells hang from the line above.
            above = [k - (tall - len(part)) if number == 0 else k for part in parts]
            texts = [
                part[i] if 0 <= i < len(part) else "" for i, part in zip(above, parts, strict=True)
            ]
            line = GAP.join(pad(text, w) for text, w in zip(texts, widths, strict=True))
            lines.append(line.rstrip())
    return lines
