"""A picture with axes, curves, bars and texts as ink, equal ink for equal numbers.

In: numbers and looks. Out: a `Picture` in millimetres. Only what the charts of the book need; a
general library for plots takes longer to load than the book's other drawings take to draw. Colours
are those of Okabe and Ito (2008).
"""

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.charts.cut import clipped, hatching
from elec.drawings.ink import BLACK, WHITE, Align, Box, InkPath, Lettering, Picture, Point

WIDTH_MM = 180.0
BLUE, VERMILLION, GREEN = "#0072B2", "#D55E00", "#009E73"
ORANGE, SKY, PURPLE, GREY = "#E69F00", "#56B4E9", "#CC79A7", "#999999"
CAPITAL_MM, DROP_MM = 2.3, 0.8
"""Height of capitals, about 9 pt, and how far letters reach below their line."""
LINE_MM = 4.4
"""From one line of text to the next."""
EDGE_MM, GRID_MM = 0.2, 0.18
_TICK_MM, _GAP_MM = 1.2, 1.0
_HANDLE_MM, _COLUMN_GAP_MM = 8.5, 6.3
GRID = "#CCCCCC"
Range = tuple[float, float]


class LineLook(Struct, frozen=True, kw_only=True):
    """How a line is drawn."""

    colour: str = BLACK
    width_mm: float = 0.28
    dash: tuple[float, ...] = ()
    """Lengths of dashes and gaps."""


class Fill(Struct, frozen=True, kw_only=True):
    """How an area is filled: a colour and, over it, one of the hatches of `HATCHES`."""

    colour: str
    hatch: str = ""


class Key(Struct, frozen=True, kw_only=True):
    """An entry of a legend."""

    name: str
    look: LineLook | Fill


class Axes(Struct, frozen=True, kw_only=True):
    """One panel as asked for."""

    y: Range
    y_label: str
    share: float
    """Its part of the height."""
    keys: tuple[Key, ...] = ()
    columns: int = 1
    head_mm: float = 0.0
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


def text_mm(text: str) -> float:
    """Width of a text."""
    return metrics.width_mm(metrics.clean(text), CAPITAL_MM)


class Plot:
    """A chart being drawn."""

    def __init__(self, width_mm: float, height_mm: float, capital_mm: float = CAPITAL_MM) -> None:
        """Begin with white paper, for lettering of this height."""
        self.width, self.height, self.capital = width_mm, height_mm, capital_mm
        self._ink: list[InkPath | Lettering] = []

    def picture(self) -> Picture:
        """The finished chart."""
        return Picture(width_mm=self.width, height_mm=self.height, ink=tuple(self._ink))

    def line(self, points: Sequence[Point], look: LineLook) -> None:
        """A line through points."""
        self._ink.append(
            InkPath(
                points=tuple(points), width_mm=look.width_mm, colour=look.colour, dash=look.dash
            )
        )

    def area(self, points: Sequence[Point], colour: str, *, edge_mm: float = 0.0) -> None:
        """An area, with an edge where it has a width."""
        self._ink.append(InkPath(points=tuple(points), width_mm=edge_mm, fill=colour, closed=True))

    def box(self, box: Box, fill: Fill) -> None:
        """A box with a thin edge, hatched where the fill is."""
        left, top, right, bottom = box
        corners = ((left, top), (right, top), (right, bottom), (left, bottom))
        self.area(corners, fill.colour)
        for line in hatching(box, fill.hatch):
            self.line(line, LineLook(width_mm=EDGE_MM))
        self.line((*corners, corners[0]), LineLook(width_mm=EDGE_MM))

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        align: Align = "left",
        bold: bool = False,
        paper: bool = False,
        turned: bool = False,
    ) -> None:
        """A line of text on its base line, kept within the picture; `paper`: white behind it."""
        text, high = metrics.clean(text), self.capital
        wide = metrics.width_mm(text, high, bold)
        before = {"left": 0.0, "center": wide / 2, "right": wide}[align]
        if not turned:
            x = max(min(x, self.width - 0.4 - wide + before), before + 0.4)
        if paper:
            left, right, top, bottom = (
                x - before - 0.2,
                x - before + wide + 0.2,
                y - high,
                y + DROP_MM,
            )
            corners = ((left, top - 0.2), (right, top - 0.2), (right, bottom), (left, bottom))
            self.area(corners, WHITE)
        self._ink.append(
            Lettering(text=text, at=(x, y), capital_mm=high, bold=bold, align=align, turned=turned)
        )


class PlotPanel:
    """One pair of axes on the paper; both may be logarithmic."""

    def __init__(self, plot: Plot, box: Box, x: Range, y: Range, *, log: bool = False) -> None:
        """Place it in a box of the paper, with the limits of both axes."""
        self.plot, self.x, self.y, self.log, self.box = plot, x, y, log, box
        self.left, self.top, self.right, self.bottom = box

    def at(self, x: float, y: float) -> Point:
        """A point of the paper."""
        part_x, part_y = self._part(x, self.x), self._part(y, self.y)
        return (
            self.left + part_x * (self.right - self.left),
            self.bottom - part_y * (self.bottom - self.top),
        )

    def _part(self, value: float, limits: Range) -> float:
        low, high = limits
        if self.log:
            return math.log(value / low) / math.log(high / low)
        return (value - low) / (high - low)

    def cut(self, points: Iterable[Point]) -> list[tuple[Point, ...]]:
        """The parts of a curve that lie between the axes, on the paper."""
        return list(clipped((self.at(x, y) for x, y in points), self.box))

    def curve(self, xs: Sequence[float], ys: Sequence[float], look: LineLook) -> None:
        """A line through points, cut at the edges, with a gap where one is not a number."""
        for part in self.cut(zip(xs, ys, strict=True)):
            self.plot.line(part, look)

    def upright(self, x: float, look: LineLook) -> None:
        """A line from bottom to top."""
        here = self.at(x, self.y[0])[0]
        self.plot.line([(here, self.bottom), (here, self.top)], look)

    def level(self, y: float, look: LineLook, ends: Range | None = None) -> None:
        """A line from left to right, or between two places of x."""
        self.curve(self.x if ends is None else ends, (y, y), look)

    def frame(self, x_ticks: Sequence[float], *, grid: bool, named: bool) -> None:
        """Both axes with their ticks; those of x `named` or bare; a `grid` where it is wanted."""
        y_ticks = ticks(self.y, _most_y(self.bottom - self.top))
        if grid:
            for x in x_ticks:
                self.upright(x, LineLook(colour=GRID, width_mm=GRID_MM))
            for y in y_ticks:
                self.level(y, LineLook(colour=GRID, width_mm=GRID_MM))
        corner = [(self.left, self.top), (self.left, self.bottom), (self.right, self.bottom)]
        self.plot.line(corner, LineLook())
        for y, text in zip(y_ticks, tick_texts(y_ticks), strict=True):
            here = self.at(self.x[0], y)[1]
            self.plot.line([(self.left - _TICK_MM, here), (self.left, here)], LineLook())
            beside = self.left - _TICK_MM - _GAP_MM
            self.plot.text(beside, here + CAPITAL_MM / 2, text, align="right")
        for x, text in zip(x_ticks, tick_texts(x_ticks), strict=True):
            here = self.at(x, self.y[0])[0]
            self.plot.line([(here, self.bottom), (here, self.bottom + _TICK_MM)], LineLook())
            if named:
                below = self.bottom + _TICK_MM + _GAP_MM + CAPITAL_MM
                self.plot.text(here, below, text, align="center")

    def name_x(self, text: str) -> None:
        """The name of the axis that all panels share, below the last."""
        middle = (self.left + self.right) / 2
        self.plot.text(middle, self.bottom + 2 * LINE_MM + 1.4, text, align="center")


def _most_y(height_mm: float) -> int:
    return max(3, int(height_mm / 5.6))


def panels(
    width_mm: float,
    height_mm: float,
    *,
    every: Sequence[Axes],
    x: Range,
    foot_mm: float,
    notes: Sequence[str] = (),
) -> tuple[Plot, list[PlotPanel]]:
    """Panels below one another, axes in line, legends above them and notes below all.

    Args:
        width_mm: of the picture.
        height_mm: of the picture.
        every: the panels from above.
        x: limits of their common axis.
        foot_mm: room below the last panel for ticks and the name of the axis.
        notes: lines of text at the bottom.
    """
    plot = Plot(width_mm, height_mm)
    whole = sum(one.share for one in every)
    named = max(
        text_mm(text)
        for one in every
        for text in tick_texts(ticks(one.y, _most_y(height_mm * one.share / whole))) or [""]
    )
    left = LINE_MM + 2 * _GAP_MM + named + _TICK_MM + _GAP_MM
    right = width_mm - 2.8
    legends = [_legend_columns(one, right - left) for one in every]
    heads = [
        max(one.head_mm, -(-len(one.keys) // count) * LINE_MM + 2.1 if one.keys else 1.4)
        + (_TICK_MM + 2 * _GAP_MM if k else 0.0)
        for k, (one, count) in enumerate(zip(every, legends, strict=True))
    ]
    foot = foot_mm + (len(notes) * LINE_MM + 2.1 if notes else 0.0)
    free = height_mm - foot - sum(heads)
    made, top = [], 0.0
    for one, head, count in zip(every, heads, legends, strict=True):
        top += head
        bottom = top + free * one.share / whole
        panel = PlotPanel(plot, (left, top, right, bottom), x, one.y)
        made.append(panel)
        above = top - -(-len(one.keys) // count) * LINE_MM - 2.1
        _legend(plot, one.keys, count, (left, above))
        plot.text(LINE_MM - DROP_MM, (top + bottom) / 2, one.y_label, align="center", turned=True)
        top = bottom
    for number, note in enumerate(reversed(notes)):
        plot.text(left, height_mm - 1.4 - number * LINE_MM, note)
    return plot, made


def _column_widths(keys: Sequence[Key], count: int) -> list[float]:
    rows = -(-len(keys) // count)
    return [
        max(text_mm(key.name) for key in keys[k : k + rows]) + _HANDLE_MM + 2 * _GAP_MM
        for k in range(0, len(keys), rows)
    ]


def _legend_columns(one: Axes, room_mm: float) -> int:
    """As many columns as were asked for, or fewer where they would not fit."""
    count = max(1, min(one.columns, len(one.keys)))
    while count > 1:
        widths = _column_widths(one.keys, count)
        if sum(widths) + _COLUMN_GAP_MM * (len(widths) - 1) <= room_mm:
            break
        count -= 1
    return count


def _legend(plot: Plot, keys: Sequence[Key], count: int, at: tuple[float, float]) -> None:
    """Entries column by column, each with a piece of its line or area."""
    if not keys:
        return
    rows = -(-len(keys) // count)
    left, top = at
    for column, width in enumerate(_column_widths(keys, count)):
        for row, key in enumerate(keys[column * rows : (column + 1) * rows]):
            middle = top + (row + 0.5) * LINE_MM + 0.7
            if isinstance(key.look, LineLook):
                plot.line([(left, middle), (left + _HANDLE_MM, middle)], key.look)
            else:
                plot.box((left, middle - 1.1, left + _HANDLE_MM, middle + 1.1), key.look)
            plot.text(left + _HANDLE_MM + 2 * _GAP_MM, middle + CAPITAL_MM / 2, key.name)
        left += width + _COLUMN_GAP_MM
