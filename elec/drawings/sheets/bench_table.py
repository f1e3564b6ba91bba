"""The table of the wires at a connector: columns as wide as their texts ask, rows, group names."""

import re
from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby

from msgspec import Struct, field

from elec.drawings import metrics
from elec.drawings.ink import PALE, Point
from elec.drawings.inputs import BenchRow
from elec.drawings.sheet import Sheet, Wanted

CAPITAL_MM = metrics.SMALLEST_MM
LINE_MM = 4.0
PAD_MM = 1.2
MOST_LINES = 6
"""More lines than these are cut, and the sheet shows it."""
ROW_MM = 0.5
"""What a row is higher than its lines."""
SHEET_MM = 16.0
"""Width of the column that says where the other end is drawn (`K2.13/C4`)."""
HEADS = (
    "connector",
    "contact",
    "signal",
    "wire",
    "AWG",
    "colour",
    "goes to",
    "sheet",
    "run",
    "cable",
    "mV at 1 A",
    "at most",
    "crimped",
)
FIELDS = (
    "connector", "contact", "signal", "wire", "gauge", "colour", "goes_to", "sheet", "length",
    "shield", "reads", "most", "built",
)  # fmt: skip
NAME, CONTACT, WIRE, SHEET, LIMIT, BUILT = 0, 1, 3, 7, 11, 12
WRAPPED = (0, 2, 6, 9, 10, 11, 12)
"""Columns whose texts may take several lines."""
BOLD = (NAME, CONTACT, WIRE)


class Columns(Struct, frozen=True, kw_only=True):
    """The columns that hold anything, with their widths."""

    used: tuple[int, ...]
    widths: tuple[float, ...]
    heads: tuple[str, ...] = HEADS


BOX_CAPITAL_MM = 4.15
"""A box to tick as large as a pencil asks: 3.5 mm."""
_BOX = re.compile(r"([☐☑]) ?")
_WIDE = re.compile(r"([☐☑])\1")
"""A box takes the width of two letters of its own, which the text is set with."""


def _boxed(text: str) -> str:
    return _BOX.sub(r"\1\1", metrics.clean(text))


def _write(
    sheet: Sheet, at: Point, line: str, *, room: float, ref: str, bold: bool = False, net: str = ""
) -> None:
    """A line of a cell, its boxes large."""
    x, y = at
    right = x + room
    for k, text in enumerate(_WIDE.split(line)):
        if not text:
            continue
        if k % 2:
            sheet.text(x, y, text, capital_mm=BOX_CAPITAL_MM, middle=True, ref=ref, role="box")
            x += metrics.width_mm(2 * text, CAPITAL_MM)
            continue
        sheet.text(
            x, y, text.strip() if k else text, capital_mm=CAPITAL_MM, middle=True, bold=bold,
            room_mm=right - x, ref=ref, net=net,
        )  # fmt: skip
        x += metrics.width_mm(text, CAPITAL_MM, bold=bold)


@lru_cache(maxsize=1 << 13)
def _cells(row: BenchRow) -> tuple[str, ...]:
    """The texts of a row; its table is laid out in many ways before one is drawn."""
    return tuple(_boxed(getattr(row, name, "")) for name in FIELDS)


@lru_cache(maxsize=1 << 10)
def columns(rows: tuple[BenchRow, ...], room: float, *, spots: bool) -> Columns:
    """Widths by what stands in them; the wrapped ones share what the others leave.

    `spots` says whether the sheet of each other end is written in afterwards. Of some ways to
    share, where the first makes rows high, the one that makes the table lowest.
    """
    return _whole(_lowest(rows, room, spots=spots), room)


def _whole(at: Columns, room: float) -> Columns:
    """The same with the head over the limits in one line if that takes no room of the others."""
    if LIMIT not in at.used:
        return at
    k = at.used.index(LIMIT)
    wide = max(at.widths[k], metrics.width_mm(HEADS[LIMIT], CAPITAL_MM, bold=True) + 2 * PAD_MM)
    if sum(at.widths) - at.widths[k] + wide > room:
        return at
    return Columns(used=at.used, widths=(*at.widths[:k], wide, *at.widths[k + 1 :]))


class _Texts(Struct, frozen=True, kw_only=True):
    """The texts of a table, measured once for all ways to share the room."""

    cells: list[tuple[str, ...]]
    wide: dict[int, list[float]]
    """Column that holds anything → widths of its texts, the least first."""
    word: dict[int, float]
    """Column whose texts may take several lines → width of its longest word."""


def _measured(rows: Sequence[BenchRow], *, spots: bool) -> _Texts:
    body = [_cells(row) for row in rows]
    wide = {
        k: sorted(metrics.width_mm(cells[k], CAPITAL_MM, bold=k in BOLD) for cells in body)
        for k in range(len(HEADS))
        if k in (CONTACT, BUILT) or (k == SHEET and spots) or any(cells[k] for cells in body)
    }
    return _Texts(
        cells=body, wide=wide, word={k: _longest_word(k, body) for k in wide if k in WRAPPED}
    )


def _lowest(rows: Sequence[BenchRow], room: float, *, spots: bool) -> Columns:
    texts = _measured(rows, spots=spots)
    first = _columns(texts, room, MOST)
    if max((row_mm(first, row) for row in rows), default=0.0) <= HIGH * LINE_MM + ROW_MM:
        return first
    tried = (
        first,
        _columns(texts, room, NEARLY_ALL),
        _columns(texts, room, NEARLY_ALL, name=NAME_SHARE),
        _columns(texts, room, 1.0, name=NAME_SHARE),
    )
    tight = tuple(_tight(at, texts, room) for at in dict.fromkeys(tried))
    return min(dict.fromkeys((*tried, *tight)), key=lambda at: _high_mm(at, rows))


def _tight(at: Columns, texts: _Texts, room: float) -> Columns:
    """Columns as wide as their lines are, and what that leaves given to the others."""
    every = [_lines(at, HEADS, bold=True), *(_lines(at, cells) for cells in texts.cells)]
    widths = dict(zip(at.used, at.widths, strict=True))
    for n, k in enumerate(at.used):
        if k in WRAPPED and k != NAME:
            longest = max(
                metrics.width_mm(line, CAPITAL_MM, bold=k in BOLD or not row)
                for row, lines in enumerate(every)
                for line in lines[n]
            )
            widths[k] = min(widths[k], longest + 2 * PAD_MM)
    _spread(widths, texts, room - sum(widths.values()))
    return Columns(used=at.used, widths=tuple(widths.values()))


NAME_SHARE = 0.2
"""A name stands beside all rows of its group: it may take more lines, so that these take fewer."""


def _high_mm(at: Columns, rows: Sequence[BenchRow]) -> float:
    """Height of rows, in groups that are no lower than their names."""
    total = 0.0
    for _, group in groupby(rows, key=lambda row: row.connector):
        own = list(group)
        name = len(name_lines(at, own[0])) * LINE_MM + ROW_MM
        total += max(name, sum(row_mm(at, row) for row in own))
    return total


def _columns(texts: _Texts, room: float, most: float, *, name: float = 1.0) -> Columns:
    used = tuple(texts.wide)
    natural = {k: _natural_mm(k, texts.wide[k], most) + 2 * PAD_MM for k in used}
    words = {k: texts.word[k] + 2 * PAD_MM if k in texts.word else natural[k] for k in used}
    least = {k: min(words[k], 45.0) for k in used}
    like = {k: max(0.0, min(natural[k], 75.0) - least[k]) for k in used}
    if NAME in like:
        like[NAME] *= name
    left = room - sum(least.values())
    share = max(0.0, min(1.0, left / sum(like.values()))) if sum(like.values()) else 0.0
    widths = {k: least[k] + share * like[k] for k in used}
    over = sum(widths.values()) - room
    if over > 0.01:  # a name as long as the page is cut, and the sheet shows it
        widest = max(widths, key=lambda k: widths[k])
        widths[widest] = max(14.0, widths[widest] - over)
    _spread(widths, texts, -over)
    return Columns(used=used, widths=tuple(widths[k] for k in used))


def _spread(widths: dict[int, float], texts: _Texts, left: float) -> None:
    """Give room that is left to columns with texts in several lines, the least asking first."""
    asks = {k: texts.wide[k][-1] + 2 * PAD_MM - widths[k] for k in widths if k in WRAPPED}
    for k, more in sorted(asks.items(), key=lambda ask: ask[1]):
        given = max(0.0, min(more, left))
        widths[k] += given
        left -= given


MOST, NEARLY_ALL = 0.75, 0.92
"""A column that may wrap is as wide as one of these shares of its texts ask."""
HIGH = 1
"""Rows of more lines are high."""


def _natural_mm(k: int, wide: Sequence[float], share: float) -> float:
    """Width of the texts of a column; of one that may wrap, of most of them."""
    if k == SHEET:
        return SHEET_MM - 2 * PAD_MM
    most = wide[min(len(wide) - 1, int(share * len(wide)))] if k in WRAPPED else wide[-1]
    return max(most, metrics.width_mm(HEADS[k], CAPITAL_MM, bold=True))


def _longest_word(k: int, body: Sequence[Sequence[str]]) -> float:
    head = (metrics.width_mm(word, CAPITAL_MM, bold=True) for word in HEADS[k].split())
    said = {word for cells in body for word in cells[k].split()}
    return max([*head, *(metrics.width_mm(word, CAPITAL_MM, bold=k in BOLD) for word in said)])


def _lines(at: Columns, cells: Sequence[str], *, bold: bool = False) -> list[tuple[str, ...]]:
    found: list[tuple[str, ...]] = []
    for k, wide in zip(at.used, at.widths, strict=True):
        if k in WRAPPED:
            room = wide - 2 * PAD_MM + 0.05
            text = "" if k == NAME and not bold else cells[k]
            heavy = bold or k in BOLD
            found.append(metrics.lines(text, CAPITAL_MM, room, MOST_LINES, bold=heavy) or ("",))
        else:
            found.append((cells[k],))
    return found


def _across(at: Columns, row: BenchRow) -> tuple[tuple[str, ...], float, float]:
    """The lines of a text over all columns behind the contact, where they begin, and their room."""
    behind = at.used.index(CONTACT) + 1
    x, room = sum(at.widths[:behind]), sum(at.widths[behind:]) - 2 * PAD_MM
    lines = metrics.lines(_boxed(row.across), CAPITAL_MM, room, MOST_LINES) or ("",)
    return lines, x, room


@lru_cache(maxsize=1 << 14)
def row_mm(at: Columns, row: BenchRow) -> float:
    """Height of a row."""
    if row.across:
        return len(_across(at, row)[0]) * LINE_MM + ROW_MM
    return max(map(len, _lines(at, _cells(row)))) * LINE_MM + ROW_MM


def head_mm(at: Columns) -> float:
    """Height of the heads."""
    return max(map(len, _lines(at, at.heads, bold=True))) * LINE_MM + ROW_MM


def name_lines(at: Columns, row: BenchRow) -> tuple[str, ...]:
    """The name of a group of rows, which stands beside all of them."""
    if at.used[0] != NAME:
        return ()
    room = at.widths[0] - 2 * PAD_MM + 0.05
    return metrics.lines(row.connector, CAPITAL_MM, room, MOST_LINES, bold=True)


class BenchTable(Struct, kw_only=True):
    """A table being drawn: where it began and the y under its last row."""

    sheet: Sheet
    at: Columns
    top: float
    y: float
    across: list[tuple[float, float]] = field(default_factory=list)
    """From where to where rows of one text stand, which no upright rule parts."""

    @property
    def left(self) -> float:
        """Its left edge."""
        return self.sheet.frame[0] + 5.0

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.left + sum(self.at.widths)

    def head(self) -> None:
        """The heads of the columns."""
        high = head_mm(self.at)
        box = (self.left, self.y, self.right, self.y + high)
        self.sheet.rect(box, kind="rule", width_mm=0.25, fill=PALE)
        if self.sheet.kept:
            self._texts(_lines(self.at, self.at.heads, bold=True), bold=True, ref="head")
        self.y += high

    def row(
        self, row: BenchRow, connector: str, *, least_mm: float = 0.0, last: bool = True
    ) -> None:
        """A row; `last` of its group, its lower rule goes through to the left edge."""
        if self.sheet.kept:
            self._draw(row, f"{connector}.{row.contact}", least_mm)
        self.y += max(row_mm(self.at, row), least_mm)
        start = self.left
        if not last and self.at.used[0] == NAME:
            start += self.at.widths[0]
        self.sheet.line(((start, self.y), (self.right, self.y)), width_mm=0.2, kind="rule")

    def _draw(self, row: BenchRow, ref: str, least_mm: float) -> None:
        """The texts of a row."""
        self._texts(_lines(self.at, _cells(row)), bold=False, ref=ref, wire=row.conductor)
        if row.across:
            lines, x, room = _across(self.at, row)
            for n, line in enumerate(lines):
                at = (self.left + x + PAD_MM, self.y + (ROW_MM + LINE_MM) / 2 + n * LINE_MM)
                _write(self.sheet, at, line, room=room + 0.1, ref=ref)
            self.across.append((self.y, self.y + max(row_mm(self.at, row), least_mm)))
        if row.target and SHEET in self.at.used:
            x = self.left + sum(self.at.widths[: self.at.used.index(SHEET)]) + PAD_MM
            wanted = Wanted(
                at=(x, self.y + (ROW_MM + LINE_MM + CAPITAL_MM) / 2), target=row.target, ref=ref,
                room_mm=SHEET_MM - 2 * PAD_MM + 0.1,
            )  # fmt: skip
            self.sheet.wanted.append(wanted)

    def name(self, lines: Sequence[str], connector: str) -> None:
        """The name of the group of rows that begins here."""
        for n, line in enumerate(lines):
            self.sheet.text(
                self.left + PAD_MM, self.y + (ROW_MM + LINE_MM) / 2 + n * LINE_MM, line,
                capital_mm=CAPITAL_MM, middle=True, bold=True, ref=connector,
                room_mm=self.at.widths[0] - 2 * PAD_MM + 0.1,
            )  # fmt: skip

    def close(self) -> None:
        """The upright rules; a row of one text has none but around it and its contact."""
        x = self.left
        outer = self.at.used.index(CONTACT) + 1
        for n, wide in enumerate((0.0, *self.at.widths)):
            x += wide
            start = self.top
            parted = outer < n < len(self.at.widths)
            for top, under in (*(self.across if parted else ()), (self.y, self.y)):
                if top > start:
                    self.sheet.line(((x, start), (x, top)), width_mm=0.2, kind="rule")
                start = under

    def _texts(
        self, cells: Sequence[tuple[str, ...]], *, bold: bool, ref: str, wire: str = ""
    ) -> None:
        x = self.left
        for k, wide, lines in zip(self.at.used, self.at.widths, cells, strict=True):
            for n, line in enumerate(lines):
                at = (x + PAD_MM, self.y + (ROW_MM + LINE_MM) / 2 + n * LINE_MM)
                _write(
                    self.sheet, at, line, room=wide - 2 * PAD_MM + 0.1, ref=ref,
                    bold=bold or k in BOLD, net=wire if k == WIRE else "",
                )  # fmt: skip
            x += wide
