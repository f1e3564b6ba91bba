"""Tables on pages: columns that fit, heads that repeat, texts that wrap and are never cut."""

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct
from reportlab.platypus import Flowable

from elec.drawings.metrics import width_em
from elec.write.pdf.flow import INK, LINK, PALE, QUIET, RULE, VERDICTS, Marks, wrap_pt
from elec.write.pdf.paper import colour, font

SIZES = (8.0, 7.5, 7.0, 6.5)
"""Sizes that are tried, the best first; under the last a table is cut into two by columns."""
_WHOLE = 14
"""A text of so many characters is not wrapped."""
_PENCIL_EM = (5.0, 6.5)
"""Room for a number by hand in an empty column: what it needs, what it would like."""
_PROSE_EM = 26.0
"""A column of sentences asks for no more than this."""


class GridLook(Struct, frozen=True, kw_only=True):
    """How a table is set: sizes that are tried, and room between lines, rows and columns in pt."""

    sizes: Sequence[float] = SIZES
    line_share: float = 1.28
    """From base line to base line, over the size."""
    row_pt: float = 2.6
    gap_pt: float = 7.0
    most_em: float = 45.0
    """No column is wider than this, unless it has to be."""


USUAL = GridLook()
LONG_ROWS, SMALL, SAVES = 40, 7.0, 0.85
"""A table of so many rows goes down to this size where its height falls to that share: it is over
many pages, and cells on several lines are harder to read down than smaller letters."""
LEAST_ROWS = 2
"""A part of a table on a page has so many rows, or all that it has."""
AFTER_PT = 6.0
"""Room below a table."""
WRITTEN_PT = 1.6
"""How much higher the rows are in which somebody writes."""
STRIP_GAP_PT = 14.0
"""Between strips of one table side by side."""


class Extra(Struct, frozen=True, kw_only=True):
    """What a cell has beside its text."""

    link: str = ""
    verdict: str = ""


class PrintColumn(Struct, frozen=True, kw_only=True):
    """A column in print: its head, its texts, and how they stand."""

    head: str
    texts: Sequence[str]
    pads: Sequence[float] = ()
    """What each text lacks behind the point, in em, so that points stand in line."""
    number: bool = False
    bold: bool = False
    heavy: bool = False
    """Some of its texts are set bold."""
    by_hand: bool = False
    """Somebody writes into it: a rule on either side marks the place."""
    least: float = 0.0
    most: float = 0.0
    """Width in em that it needs at least, and that it would like."""


def column(
    head: str, texts: Sequence[str], *, pads: Sequence[float] = (), number: bool = False,
    bold: bool = False, heavy: bool = False, by_hand: bool = False,
) -> PrintColumn:  # fmt: skip
    """A column with the widths that it needs."""
    least = max((width_em(word, bold=True) for word in head.split(" ")), default=0.0)
    most = _head_em(head)
    for text, pad in zip(texts, pads or [0.0] * len(texts), strict=True):
        wide = max(width_em(line, bold or heavy) for line in text.split("\n")) + pad
        most = max(most, wide)
        if number or len(text) <= _WHOLE:
            least = max(least, wide)
        else:
            least = max([least, *(min(width_em(word, bold), 9.0) for word in text.split())])
    if texts and (by_hand or not any(texts)):
        least, most = max(least, _PENCIL_EM[0]), max(most, _PENCIL_EM[1])
    return PrintColumn(
        head=head, texts=texts, pads=pads, number=number, bold=bold, heavy=heavy, by_hand=by_hand,
        least=least, most=max(least, most),
    )  # fmt: skip


def _head_em(head: str) -> float:
    """The width that a head would like: a long one on two lines, parted where both are short.

    >>> _head_em("mark") == width_em("mark", True)
    True
    >>> _head_em("In the first turn, V") == width_em("In the first", True)
    True
    """
    words = head.split(" ")
    if len(head) <= _WHOLE or not words[1:]:
        return width_em(head, bold=True)
    parted = ((" ".join(words[:k]), " ".join(words[k:])) for k in range(1, len(words)))
    return min(max(width_em(a, bold=True), width_em(b, bold=True)) for a, b in parted)


def ease_pt(columns: Sequence[PrintColumn]) -> float:
    """The width at which a table reads well."""
    wide = (max(c.least, min(c.most, _PROSE_EM)) for c in columns)
    return sum(em * SIZES[0] + USUAL.gap_pt for em in wide)


class LaidGrid(Struct, kw_only=True):
    """A table laid out for one width: the size of its letters, its columns, its wrapped rows."""

    size: float
    columns: Sequence[PrintColumn]
    widths: Sequence[float]
    heads: Sequence[list[str]]
    rows: Sequence[Sequence[list[str]]]
    heights: Sequence[float]
    extras: Mapping[tuple[int, int], Extra]
    look: GridLook = USUAL

    @property
    def leading(self) -> float:
        """From base line to base line."""
        return self.size * self.look.line_share

    @property
    def head_height(self) -> float:
        """Height of the heads."""
        if not any(any(head) for head in self.heads):
            return 0.0
        return max(len(head) for head in self.heads) * self.leading + 4


def lay(
    columns: Sequence[PrintColumn], wide: float, extras: Mapping[tuple[int, int], Extra],
    look: GridLook = USUAL,
) -> list[LaidGrid]:  # fmt: skip
    """Lay a table out in a width; one that cannot fit is cut into several by columns."""
    fits = [(size, widths) for size in look.sizes if (widths := _widths(columns, size, wide, look))]
    if fits:
        laid = [_laid(columns, widths, size, extras, look) for size, widths in fits]
        best = laid[0]
        for one in laid[1:] if len(best.rows) >= LONG_ROWS else ():
            if one.size >= SMALL and sum(one.heights) < SAVES * sum(best.heights):
                best = one
        return [best]
    least = look.sizes[-1]
    kept = len(columns) - 1
    while kept > 1 and not _widths(columns[:kept], least, wide, look):
        kept -= 1
    rest = [columns[0], *columns[kept:]] if kept > 1 else list(columns[kept:])
    moved = {(r, c - kept + (kept > 1)): extra for (r, c), extra in extras.items() if c >= kept}
    widths = _widths(columns[:kept], least, wide, look) or [wide]
    first = _laid(columns[:kept], widths, least, extras, look)
    return [first, *lay(rest, wide, moved, look)]


def _widths(
    columns: Sequence[PrintColumn], size: float, wide: float, look: GridLook
) -> list[float]:
    """Widths of the columns, or nothing where they do not fit.

    Each gets what it needs; what is left is shared out by what they would like.
    """
    least = [c.least * size + look.gap_pt for c in columns]
    like = [max(0.0, min(c.most, look.most_em) - c.least) * size for c in columns]
    left = wide - sum(least)
    if left < 0:
        return []
    share = min(1.0, left / sum(like)) if sum(like) else 0.0
    return [low + share * more for low, more in zip(least, like, strict=True)]


def _laid(
    columns: Sequence[PrintColumn], widths: Sequence[float], size: float,
    extras: Mapping[tuple[int, int], Extra], look: GridLook,
) -> LaidGrid:  # fmt: skip
    rooms = [w - look.gap_pt + 0.05 for w in widths]
    body = [
        [wrap_pt(text, size, room, c.bold) if text else [""] for text in c.texts]
        for c, room in zip(columns, rooms, strict=True)
    ]
    rows = [list(row) for row in zip(*body, strict=True)]
    leading = size * look.line_share
    more = WRITTEN_PT if any(c.by_hand for c in columns) else 0.0
    return LaidGrid(
        size=size,
        columns=columns,
        widths=widths,
        heads=[
            wrap_pt(c.head, size, room, bold=True) for c, room in zip(columns, rooms, strict=True)
        ],
        rows=rows,
        heights=[max(len(cell) for cell in row) * leading + look.row_pt + more for row in rows],
        extras=extras,
        look=look,
    )


class Grid(Flowable):  # type: ignore[misc] # reportlab has no types
    """Rows of a laid table; on every page its heads come again."""

    def __init__(
        self, laid: LaidGrid, marks: Marks, first: int = 0, last: int | None = None,
        after_pt: float = 0.0,
    ) -> None:  # fmt: skip
        """Keep a range of rows, and the height of what has to stand below the last of them."""
        super().__init__()
        self.laid, self.marks, self.after_pt = laid, marks, after_pt
        self.moved = False
        self.first, self.last = first, len(laid.rows) if last is None else last
        self.spaceAfter = AFTER_PT
        self.width = sum(laid.widths)
        self.height = laid.head_height + sum(laid.heights[self.first : self.last])

    @property
    def begin_pt(self) -> float:
        """The height of the heads with the first rows: it begins nowhere with fewer."""
        first = self.laid.heights[self.first : min(self.first + LEAST_ROWS, self.last)]
        return self.laid.head_height + sum(first)

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """The size of the rows with the heads; more than there is where what follows lacks room."""
        del wide
        lacks = self.height <= high < self.height + self.after_pt
        return self.width, high + 1.0 if lacks else self.height

    def split(self, wide: float, high: float) -> list["Grid"]:
        """The rows that fit, and the others: no row alone, and none without what follows it."""
        del wide
        left, row = high - self.laid.head_height, self.first
        while row < self.last and self.laid.heights[row] <= left:
            left -= self.laid.heights[row]
            row += 1
        if row == self.last and left >= self.after_pt:
            return [self]
        if self.last - row < LEAST_ROWS and self.last - LEAST_ROWS - self.first >= LEAST_ROWS:
            row = self.last - LEAST_ROWS
        if row == self.last and self.moved:
            self.after_pt = 0.0  # a page of its own and no room: then what follows stands alone
            return [self]
        if row == self.last or row < min(self.first + LEAST_ROWS, self.last):
            self.moved = self.moved or row == self.last
            return []
        return [
            Grid(self.laid, self.marks, self.first, row),
            Grid(self.laid, self.marks, row, self.last, self.after_pt),
        ]

    def draw(self) -> None:
        """Draw heads, rules and texts."""
        canvas, laid = self.canv, self.laid
        top = self.height
        if laid.head_height:
            canvas.setFillColor(colour(PALE))
            canvas.rect(0, top - laid.head_height, self.width, laid.head_height, stroke=0, fill=1)
        self._rules(canvas, top)
        out = canvas.beginText()
        if laid.head_height:
            self._row(out, [(head, INK, True) for head in laid.heads], None, top)
        y = top - laid.head_height
        for row in range(self.first, self.last):
            cells = [self._cell(row, k) for k in range(len(laid.columns))]
            self._row(out, cells, row, y)
            y -= laid.heights[row]
        canvas.drawText(out)

    def _rules(self, canvas: Any, top: float) -> None:
        canvas.setStrokeColor(colour(RULE))
        canvas.setLineWidth(0.3)
        path = canvas.beginPath()
        y = top - self.laid.head_height
        for height in (0.0, *self.laid.heights[self.first : self.last]):
            y -= height
            path.moveTo(0, y)
            path.lineTo(self.width, y)
        left = 0.0
        for own, wide in zip(self.laid.columns, self.laid.widths, strict=True):
            for x in (left, left + wide) if own.by_hand else ():
                path.moveTo(x, top - self.laid.head_height)
                path.lineTo(x, y)
            left += wide
        canvas.drawPath(path, stroke=1, fill=0)

    def _cell(self, row: int, k: int) -> tuple[list[str], str, bool]:
        """Lines, colour and weight of a cell."""
        lines = self.laid.rows[row][k]
        extra = self.laid.extras.get((row, k))
        bold = self.laid.columns[k].bold
        if extra is None:
            return lines, INK, bold
        if extra.verdict:
            return lines, VERDICTS.get(extra.verdict, QUIET), True
        known = extra.link in self.marks.known
        return lines, LINK if known else INK, bold

    def _row(
        self, out: Any, cells: Sequence[tuple[list[str], str, bool]], row: int | None, top: float
    ) -> None:
        laid, left = self.laid, 0.0
        gap, drop_pt = laid.look.gap_pt, laid.look.row_pt / 2
        foot = max(len(lines) for lines, _, _ in cells) if row is None else 0
        look: tuple[str, bool] | None = None
        for k, (lines, ink, bold) in enumerate(cells):
            wide, own = laid.widths[k], laid.columns[k]
            pad = own.pads[row] * laid.size if own.pads and row is not None else 0.0
            if (ink, bold) != look:
                out.setFont(font(bold=bold), laid.size)
                out.setFillColor(colour(ink))
                look = (ink, bold)
            drop = foot - len(lines) if row is None else 0
            for n, line in enumerate(lines):
                x = left + gap / 2
                if own.number:
                    x = left + wide - gap / 2 - pad - width_em(line, bold) * laid.size
                y = top - drop_pt - laid.size * 0.93 - (n + drop) * laid.leading
                out.setTextOrigin(x, y)
                out.textOut(line)
            if row is not None:
                self._link(row, k, (left, top - laid.heights[row], left + wide, top))
            left += wide

    def _link(self, row: int, k: int, box: tuple[float, float, float, float]) -> None:
        extra = self.laid.extras.get((row, k))
        if extra is not None and extra.link in self.marks.known:
            self.marks.lead(self.canv, extra.link, box)


class Strips(Flowable):  # type: ignore[misc] # reportlab has no types
    """A narrow table in strips side by side, read down the first, then down the next."""

    def __init__(
        self, laid: LaidGrid, marks: Marks, across: int, first: int = 0, last: int | None = None
    ) -> None:
        """Keep a range of rows; they are shared out evenly over so many strips."""
        super().__init__()
        self.laid, self.marks, self.across = laid, marks, across
        self.first, self.last = first, len(laid.rows) if last is None else last
        self.spaceAfter = AFTER_PT
        self.parts = self._parts()
        self.width = sum(laid.widths)
        self.height = max(part.height for part in self.parts)

    def _parts(self) -> list[Grid]:
        """The strips: as few rows in each as there can be."""
        each = -(-(self.last - self.first) // self.across)
        starts = range(self.first, self.last, max(1, each))
        return [Grid(self.laid, self.marks, k, min(k + each, self.last)) for k in starts]

    @property
    def begin_pt(self) -> float:
        """As a table: the height of the heads with the first rows."""
        return self.parts[0].begin_pt

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """The size of the strips."""
        del wide, high
        return self.width, self.height

    def split(self, wide: float, high: float) -> list["Strips"]:
        """As many rows as strips of this height hold, and the others."""
        del wide
        least, most = self.first, self.last
        while least < most:
            middle = (least + most + 1) // 2
            fits = Strips(self.laid, self.marks, self.across, self.first, middle).height <= high
            least, most = (middle, most) if fits else (least, middle - 1)
        if least == self.last:
            return [self]
        if least < self.first + LEAST_ROWS * self.across:
            return []
        parts = (self.first, least), (least, self.last)
        return [Strips(self.laid, self.marks, self.across, a, b) for a, b in parts]

    def draw(self) -> None:
        """Draw strip by strip."""
        for k, part in enumerate(self.parts):
            self.canv.saveState()
            self.canv.translate(k * (self.width + STRIP_GAP_PT), self.height - part.height)
            part.canv = self.canv
            part.draw()
            self.canv.restoreState()
