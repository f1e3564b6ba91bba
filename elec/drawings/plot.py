"""Panels with axes, curves, bars and texts as SVG in points, equal bytes for equal numbers.

In: numbers and looks. Out: SVG text. Only what the charts of the book need; a general library for
plots takes longer to load than the book's other drawings take to draw.
"""

import math
from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape

from elec.drawings.metrics import clean, width_em
from elec.record import dataclass

TEXT_PT = 9.0
LINE_PT = 12.6
"""From one line of text to the next."""
_CAPITAL, _DROP = 0.73 * TEXT_PT, 0.24 * TEXT_PT
_TICK_PT, _GAP_PT = 3.5, 3.0
_HANDLE_PT, _COLUMN_GAP_PT = 24.0, 18.0
_TILE_PT = 24
"""The side of a tile of hatching; lines repeat in a whole part of it."""
GRID = "#CCCCCC"

Range = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Look:
    """How a line is drawn."""

    colour: str = "#000000"
    width_pt: float = 0.8
    dash: tuple[float, ...] = ()
    """Lengths of dashes and gaps, in widths of the line."""


@dataclass(frozen=True, kw_only=True)
class Fill:
    """How an area is filled: a colour and, over it, one of the hatches of `HATCHES`."""

    colour: str
    hatch: str = ""


@dataclass(frozen=True, kw_only=True)
class Key:
    """An entry of a legend."""

    name: str
    look: Look | Fill


@dataclass(frozen=True, kw_only=True)
class Axes:
    """One panel as asked for."""

    y: Range
    y_label: str
    share: float
    """Its part of the height."""
    keys: tuple[Key, ...] = ()
    columns: int = 1
    head_pt: float = 0.0
    """Room above for texts."""


def ticks(limits: Range, most: int) -> list[float]:
    """Round numbers within the limits, at most so many.

    >>> ticks((0, 105), 5)
    [0.0, 25.0, 50.0, 75.0, 100.0]
    >>> ticks((23.4, 28.5), 6)
    [24.0, 25.0, 26.0, 27.0, 28.0]
    """
    low, high = limits
    power = math.floor(math.log10(max(high - low, 1e-9) / max(most, 1))) - 1
    for size in (s * 10.0**p for p in range(power, power + 4) for s in (1.0, 2.0, 2.5, 5.0)):
        first, last = math.ceil(low / size - 1e-9), math.floor(high / size + 1e-9)
        if last - first + 1 <= most:
            return [k * size for k in range(first, last + 1)]
    return []


def tick_texts(values: Sequence[float]) -> list[str]:
    """Numbers for print, all with as many decimals as the finest of them needs.

    >>> tick_texts([-2.5, 0.0, 2.5]), tick_texts([10.0, 20.0])
    (['−2.5', '0.0', '2.5'], ['10', '20'])
    """
    digits = next(
        (d for d in range(6) if all(abs(v - round(v, d)) < 1e-9 * max(1, abs(v)) for v in values)),
        6,
    )
    return [f"{value:.{digits}f}".replace("-", "−") for value in values]


def around(values: Iterable[float], part: float = 0.05) -> Range:
    """Limits with some room beyond the numbers that are finite."""
    known = [value for value in values if math.isfinite(value)]
    if not known:
        return 0.0, 1.0
    low, high = min(known), max(known)
    room = part * (high - low) or 0.5
    return low - room, high + room


def text_pt(text: str, *, bold: bool = False) -> float:
    """Width of a text."""
    return width_em(clean(text), bold) * TEXT_PT


def _n(value: float) -> str:
    """A number of the drawing.

    >>> _n(12.0), _n(-0.504), _n(-0.001), _n(100)
    ('12', '-0.5', '0', '100')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class Paper:
    """A picture in points, y downwards."""

    def __init__(self, width_pt: float, height_pt: float) -> None:
        """Begin with white paper."""
        self.width, self.height = width_pt, height_pt
        self._hatches: dict[Fill, str] = {}
        self._clips: list[str] = []
        self._ink: list[str] = []

    def line(self, points: Iterable[tuple[float, float]], look: Look, clip: str = "") -> None:
        """A line through points; it leaves a gap where a point is not a number."""
        parts, pen_down = [], False
        for x, y in points:
            known = math.isfinite(x) and math.isfinite(y)
            if known:
                parts.append(f"{'L' if pen_down else 'M'} {_n(x)} {_n(y)}")
            pen_down = known
        if not parts:
            return
        style = f"fill: none; stroke: {look.colour}; stroke-width: {_n(look.width_pt)}"
        if look.dash:
            lengths = ",".join(_n(length * look.width_pt) for length in look.dash)
            style += f"; stroke-dasharray: {lengths}"
        clipped = f' clip-path="url(#{clip})"' if clip else ""
        self._ink.append(f'<path d="{" ".join(parts)}"{clipped} style="{style}"/>')

    def box(self, left: float, top: float, width: float, height: float, fill: Fill | None) -> None:
        """A box with a thin edge; without a fill white paper without an edge."""
        look = f"fill: {self._paint(fill)}; stroke: #000000; stroke-width: 0.6"
        self._ink.append(
            f'<rect x="{_n(left)}" y="{_n(top)}" width="{_n(width)}" height="{_n(height)}" '
            f'style="{look if fill else "fill: #ffffff"}"/>'
        )

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        anchor: str = "start",
        bold: bool = False,
        paper: bool = False,
        turned: bool = False,
    ) -> None:
        """A line of text on its base line, kept within the picture; `paper`: white behind it."""
        text = clean(text)
        wide = text_pt(text, bold=bold)
        before = {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        if not turned:
            x = max(min(x, self.width - 1 - wide + before), before + 1)
        if paper:
            high = _CAPITAL + _DROP
            self.box(x - before - 0.6, y - _CAPITAL - 0.6, wide + 1.2, high + 1.2, None)
        turn = f' transform="rotate(-90 {_n(x)} {_n(y)})"' if turned else ""
        weight = "; font-weight: 700" if bold else ""
        self._ink.append(
            f'<text x="{_n(x)}" y="{_n(y)}"{turn} style="font-size: {_n(TEXT_PT)}px; '
            f"font-family: 'DejaVu Sans'{weight}; text-anchor: {anchor}\">{escape(text)}</text>"
        )

    def clip(self, left: float, top: float, right: float, bottom: float) -> str:
        """A window that lines may be cut to; its name."""
        name = f"window{len(self._clips) + 1}"
        self._clips.append(
            f'<clipPath id="{name}"><rect x="{_n(left)}" y="{_n(top)}" width="{_n(right - left)}" '
            f'height="{_n(bottom - top)}"/></clipPath>'
        )
        return name

    def svg(self) -> str:
        """The whole picture."""
        size = f"0 0 {_n(self.width)} {_n(self.height)}"
        defs = "\n".join([*self._clips, *self._patterns()])
        return "\n".join(
            [
                (
                    f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(self.width)}pt" '
                    f'height="{_n(self.height)}pt" viewBox="{size}" version="1.1" '
                    'stroke-linejoin="round" stroke-linecap="butt">'
                ),
                f"<defs>\n{defs}\n</defs>",
                (
                    f'<rect width="{_n(self.width)}" height="{_n(self.height)}" '
                    'style="fill: #ffffff"/>'
                ),
                *self._ink,
                "</svg>\n",
            ]
        )

    def _paint(self, fill: Fill | None) -> str:
        if fill is None or not fill.hatch:
            return fill.colour if fill else "#ffffff"
        return f"url(#{self._hatches.setdefault(fill, f'h{len(self._hatches) + 1}')})"

    def _patterns(self) -> Iterable[str]:
        for fill, name in self._hatches.items():
            tile = f'x="0" y="0" width="{_TILE_PT}" height="{_TILE_PT}"'
            yield (
                f'<pattern id="{name}" patternUnits="userSpaceOnUse" {tile}>'
                f'<rect {tile} style="fill: {fill.colour}"/><path d="{HATCHES[fill.hatch]}" '
                'style="fill: none; stroke: #000000; stroke-width: 0.6"/></pattern>'
            )


def _slanting(every: int) -> str:
    far = _TILE_PT
    return " ".join(f"M {k} {far} L {k + far} 0" for k in range(-far, far + 1, every))


def _falling(every: int) -> str:
    far = _TILE_PT
    return " ".join(f"M {k} 0 L {k + far} {far}" for k in range(-far, far + 1, every))


def _upright(every: int) -> str:
    return " ".join(f"M {k} 0 L {k} {_TILE_PT}" for k in range(every // 2, _TILE_PT, every))


def _level(every: int) -> str:
    return " ".join(f"M 0 {k} L {_TILE_PT} {k}" for k in range(every // 2, _TILE_PT, every))


HATCHES = {
    "/": _slanting(8),
    "\\": _falling(8),
    "x": f"{_slanting(8)} {_falling(8)}",
    "|": _upright(6),
    "-": _level(6),
    "+": f"{_upright(6)} {_level(6)}",
}
"""Lines over a tile, by the sign that looks like them."""


class Panel:
    """One pair of axes on the paper."""

    def __init__(
        self, paper: Paper, box: tuple[float, float, float, float], x: Range, y: Range
    ) -> None:
        """Place it: left, top, right, bottom in points, and the limits of both axes."""
        self.paper, self.x, self.y = paper, x, y
        self.left, self.top, self.right, self.bottom = box
        self.window = paper.clip(*box)

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the paper."""
        part_x = (x - self.x[0]) / (self.x[1] - self.x[0])
        part_y = (y - self.y[0]) / (self.y[1] - self.y[0])
        return (
            self.left + part_x * (self.right - self.left),
            self.bottom - part_y * (self.bottom - self.top),
        )

    def curve(self, xs: Sequence[float], ys: Sequence[float], look: Look) -> None:
        """A line through points, cut at the edges."""
        self.paper.line([self.at(x, y) for x, y in zip(xs, ys, strict=True)], look, self.window)

    def upright(self, x: float, look: Look) -> None:
        """A line from bottom to top."""
        here = self.at(x, self.y[0])[0]
        self.paper.line([(here, self.bottom), (here, self.top)], look)

    def level(self, y: float, look: Look, ends: Range | None = None) -> None:
        """A line from left to right, or between two places of x."""
        self.curve(self.x if ends is None else ends, (y, y), look)

    def frame(self, x_ticks: Sequence[float], *, grid: bool, named: bool) -> None:
        """Both axes with their ticks; those of x `named` or bare; a `grid` where it is wanted."""
        y_ticks = ticks(self.y, _most_y(self.bottom - self.top))
        if grid:
            for x in x_ticks:
                self.upright(x, Look(colour=GRID, width_pt=0.5))
            for y in y_ticks:
                self.level(y, Look(colour=GRID, width_pt=0.5))
        corner = [(self.left, self.top), (self.left, self.bottom), (self.right, self.bottom)]
        self.paper.line(corner, Look())
        for y, text in zip(y_ticks, tick_texts(y_ticks), strict=True):
            here = self.at(self.x[0], y)[1]
            self.paper.line([(self.left - _TICK_PT, here), (self.left, here)], Look())
            beside = self.left - _TICK_PT - _GAP_PT
            self.paper.text(beside, here + _CAPITAL / 2, text, anchor="end")
        for x, text in zip(x_ticks, tick_texts(x_ticks), strict=True):
            here = self.at(x, self.y[0])[0]
            self.paper.line([(here, self.bottom), (here, self.bottom + _TICK_PT)], Look())
            if named:
                below = self.bottom + _TICK_PT + _GAP_PT + _CAPITAL
                self.paper.text(here, below, text, anchor="middle")


def _most_y(height_pt: float) -> int:
    return max(3, int(height_pt / 16))


def panels(
    width_pt: float,
    height_pt: float,
    *,
    every: Sequence[Axes],
    x: Range,
    foot_pt: float,
    notes: Sequence[str] = (),
) -> tuple[Paper, list[Panel]]:
    """Panels below one another, axes in line, legends above them and notes below all.

    Args:
        width_pt: of the picture.
        height_pt: of the picture.
        every: the panels from above.
        x: limits of their common axis.
        foot_pt: room below the last panel for ticks and the name of the axis.
        notes: lines of text at the bottom.
    """
    paper = Paper(width_pt, height_pt)
    named = max(
        text_pt(text)
        for one in every
        for text in tick_texts(ticks(one.y, _most_y(height_pt / len(every)))) or [""]
    )
    left = LINE_PT + 2 * _GAP_PT + named + _TICK_PT + _GAP_PT
    right = width_pt - 8.0
    legends = [_legend_columns(one, right - left) for one in every]
    heads = [
        max(one.head_pt, -(-len(one.keys) // count) * LINE_PT + 6.0 if one.keys else 4.0)
        + (_TICK_PT + 2 * _GAP_PT if k else 0.0)
        for k, (one, count) in enumerate(zip(every, legends, strict=True))
    ]
    foot = foot_pt + (len(notes) * LINE_PT + 6.0 if notes else 0.0)
    free = height_pt - foot - sum(heads)
    whole = sum(one.share for one in every)
    made, top = [], 0.0
    for one, head, count in zip(every, heads, legends, strict=True):
        top += head
        bottom = top + free * one.share / whole
        panel = Panel(paper, (left, top, right, bottom), x, one.y)
        made.append(panel)
        above = top - -(-len(one.keys) // count) * LINE_PT - 6.0
        _legend(paper, one.keys, count, (left, above))
        paper.text(LINE_PT - _DROP, (top + bottom) / 2, one.y_label, anchor="middle", turned=True)
        top = bottom
    for number, note in enumerate(reversed(notes)):
        paper.text(left, height_pt - 4.0 - number * LINE_PT, note)
    return paper, made


def _column_widths(keys: Sequence[Key], count: int) -> list[float]:
    rows = -(-len(keys) // count)
    return [
        max(text_pt(key.name) for key in keys[k : k + rows]) + _HANDLE_PT + 2 * _GAP_PT
        for k in range(0, len(keys), rows)
    ]


def _legend_columns(one: Axes, room_pt: float) -> int:
    """As many columns as were asked for, or fewer where they would not fit."""
    count = max(1, min(one.columns, len(one.keys)))
    while count > 1:
        widths = _column_widths(one.keys, count)
        if sum(widths) + _COLUMN_GAP_PT * (len(widths) - 1) <= room_pt:
            break
        count -= 1
    return count


def _legend(paper: Paper, keys: Sequence[Key], count: int, at: tuple[float, float]) -> None:
    """Entries column by column, each with a piece of its line or area."""
    if not keys:
        return
    rows = -(-len(keys) // count)
    left, top = at
    for column, width in enumerate(_column_widths(keys, count)):
        for row, key in enumerate(keys[column * rows : (column + 1) * rows]):
            middle = top + (row + 0.5) * LINE_PT + 2.0
            if isinstance(key.look, Look):
                paper.line([(left, middle), (left + _HANDLE_PT, middle)], key.look)
            else:
                paper.box(left, middle - 3.2, _HANDLE_PT, 6.4, key.look)
            paper.text(left + _HANDLE_PT + 2 * _GAP_PT, middle + _CAPITAL / 2, key.name)
        left += width + _COLUMN_GAP_PT
