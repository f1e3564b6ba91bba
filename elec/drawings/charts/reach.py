"""Bars of what is known only within a band, and of how near results come to their limits.

In: numbers and words. Out: `Picture`s with a row each: its name, its bar, what it says.
"""

from collections.abc import Sequence

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.charts.plot import (
    BLUE,
    CAPITAL_MM,
    EDGE_MM,
    LINE_MM,
    ORANGE,
    SKY,
    VERMILLION,
    WIDTH_MM,
    Fill,
    LineLook,
    Plot,
    PlotPanel,
    Range,
    around,
    tick_texts,
    ticks,
)
from elec.drawings.ink import Picture

NAME_MM, SAID_MM = 58.0, 46.0
"""Room for the name at the left of a bar, and for its numbers at the right."""
ROW_MM, BAR_MM = 6.4, 3.2
KEY_MM = 8.0
FOOT_MM = 13.0
MOST_TICKS = 7
_LIMIT = LineLook(colour=VERMILLION, width_mm=0.8)
_COMPUTED = LineLook(width_mm=0.7)


class BandRow(Struct, frozen=True, kw_only=True):
    """A result with the band in which it lies, and what is asked of it."""

    name: str
    low: float
    computed: float
    high: float
    asked: float
    said: str
    """The numbers, for print."""
    sign: str = ""
    """The sign of the verdict of the finding about it."""


class BandChart(Struct, frozen=True, kw_only=True):
    """Results of one kind and unit."""

    axis: str
    rows: tuple[BandRow, ...]


def band_chart(data: BandChart) -> Picture:
    """A bar from lowest to highest, a stroke where it is computed, a line at what is asked."""
    known = [v for row in data.rows for v in (row.low, row.computed, row.high, row.asked)]
    names = [_lines(row.sign, row.name) for row in data.rows]
    plot, panel = _panel(names, around(known), KEY_MM)
    left = panel.left
    for x, word, look in (
        (left, "nine of ten lie within", Fill(colour=SKY)),
        (left + 46.0, "as computed", _COMPUTED),
        (left + 76.0, "asked", _LIMIT),
    ):
        _key(plot, x, word, look)
    for row, lines, y in zip(data.rows, names, _middles(names), strict=True):
        low, high = panel.at(row.low, 0)[0], panel.at(row.high, 0)[0]
        plot.box((low, y - BAR_MM / 2, max(high, low + 0.3), y + BAR_MM / 2), Fill(colour=SKY))
        _stroke(panel, row.computed, y, _COMPUTED, BAR_MM * 0.75)
        _stroke(panel, row.asked, y, _LIMIT, BAR_MM)
        _written(plot, lines, row.said, y)
    _axis(panel, data.axis)
    return plot.picture()


class NearRow(Struct, frozen=True, kw_only=True):
    """A check's result that is nearest to its limit; `left` is what is left, as a part of it."""

    name: str
    left: float
    said: str
    sign: str = ""


class NearChart(Struct, frozen=True, kw_only=True):
    """How near results come to their limits."""

    rows: tuple[NearRow, ...]


FULL = 1.0
"""A result twice its limit, or zero, has all of it left; longer bars say no more."""


def near_chart(data: NearChart) -> Picture:
    """A bar as long as what is left to the limit; beyond the limit it is hatched, to the left."""
    over = min([row.left for row in data.rows] + [0.0])
    names = [_lines(row.sign, row.name) for row in data.rows]
    plot, panel = _panel(names, (max(-FULL, over * 1.05), FULL), KEY_MM)
    for x, word, look in (
        (panel.left, "left to the limit", Fill(colour=BLUE)),
        (panel.left + 38.0, "beyond it", Fill(colour=ORANGE, hatch="/")),
        (panel.left + 68.0, "limit", _LIMIT),
    ):
        _key(plot, x, word, look)
    zero = panel.at(0.0, 0)[0]
    for row, lines, y in zip(data.rows, names, _middles(names), strict=True):
        end = panel.at(max(-FULL, min(FULL, row.left)), 0)[0]
        fill = Fill(colour=BLUE) if row.left >= 0 else Fill(colour=ORANGE, hatch="/")
        if abs(end - zero) > EDGE_MM:
            plot.box((min(zero, end), y - BAR_MM / 2, max(zero, end), y + BAR_MM / 2), fill)
        _written(plot, lines, row.said, y)
    panel.upright(0.0, _LIMIT)
    _axis(panel, "left to the limit, % of the limit", factor=100.0)
    return plot.picture()


# --- rows ---------------------------------------------------------------------------------------


def _lines(sign: str, name: str) -> tuple[str, ...]:
    return metrics.wrap(metrics.clean(f"{sign} {name}".strip()), CAPITAL_MM, NAME_MM - 2.0) or (
        "?",
    )


def _high(lines: Sequence[str]) -> float:
    return max(ROW_MM, len(lines) * LINE_MM + 1.2)


def _middles(names: Sequence[Sequence[str]]) -> list[float]:
    found, y = [], KEY_MM
    for lines in names:
        found.append(y + _high(lines) / 2)
        y += _high(lines)
    return found


def _panel(names: Sequence[Sequence[str]], x: Range, top: float) -> tuple[Plot, PlotPanel]:
    bottom = top + sum(map(_high, names))
    plot = Plot(WIDTH_MM, bottom + FOOT_MM)
    return plot, PlotPanel(plot, (NAME_MM, top, WIDTH_MM - SAID_MM, bottom), x, (0.0, 1.0))


def _key(plot: Plot, x: float, word: str, look: Fill | LineLook) -> None:
    middle = 2.8
    if isinstance(look, Fill):
        plot.box((x, middle - BAR_MM / 2, x + 6.0, middle + BAR_MM / 2), look)
        x += 6.0
    else:
        plot.line([(x + 1.0, middle - BAR_MM / 2), (x + 1.0, middle + BAR_MM / 2)], look)
        x += 2.0
    plot.text(x + 1.2, middle + CAPITAL_MM / 2, word)


def _stroke(panel: PlotPanel, value: float, y: float, look: LineLook, half: float) -> None:
    x = panel.at(value, 0)[0]
    panel.plot.line([(x, y - half), (x, y + half)], look)


def _written(plot: Plot, lines: Sequence[str], said: str, y: float) -> None:
    first = y - (len(lines) - 1) * LINE_MM / 2 + CAPITAL_MM / 2
    for number, line in enumerate(lines):
        plot.text(0.5, first + number * LINE_MM, line)
    plot.text(WIDTH_MM - 0.5, y + CAPITAL_MM / 2, said, align="right")


def _axis(panel: PlotPanel, name: str, *, factor: float = 1.0) -> None:
    marks = ticks(panel.x, MOST_TICKS)
    panel.plot.line([(panel.left, panel.bottom), (panel.right, panel.bottom)], LineLook())
    for x, text in zip(marks, tick_texts([factor * x for x in marks]), strict=True):
        here = panel.at(x, 0)[0]
        panel.plot.line([(here, panel.bottom), (here, panel.bottom + 1.2)], LineLook())
        panel.plot.text(here, panel.bottom + 2.4 + CAPITAL_MM, text, align="center")
    panel.name_x(name)
