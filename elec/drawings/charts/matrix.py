"""What each of many events takes from each of some things, in signs that read without colour.

In: rows and columns of words. Out: `Picture`s, as many as the rows need, none higher than a page.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Literal

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.charts.plot import (
    EDGE_MM,
    GRID,
    LINE_MM,
    ORANGE,
    VERMILLION,
    WIDTH_MM,
    LineLook,
    Plot,
)
from elec.drawings.ink import Box, Picture

Outcome = Literal["lost", "reduced", "kept", "unknown"]
SIGNS: Mapping[Outcome, str] = {
    "lost": "lost", "reduced": "reduced", "kept": "kept", "unknown": "cannot tell",
}  # fmt: skip
"""Each outcome as the legend calls it."""
HIGHEST_MM = 205.0
"""Of one picture; a page holds that with its heading and a sentence."""
CELL_MM, SIGN_MM = 4.4, 3.2
NARROW_MM = 3.5
"""The least width of a column: its name, turned, is one line."""
CAPITAL_MM = 2.2
HEAD_GAP_MM = 1.4
GROUP_MM = 1.6
"""Between two groups of columns."""
KEY_MM = 7.0
DOT_MM = 0.5


class MatrixColumn(Struct, frozen=True, kw_only=True):
    """A thing that may be taken; columns of one `group` stand together."""

    name: str
    group: str


class MatrixRow(Struct, frozen=True, kw_only=True):
    """An event and what it does to each thing, in the order of the columns."""

    name: str
    outcomes: tuple[Outcome, ...]
    sign: str = ""
    """Before its name: the sign of the verdict of the finding about it."""


class MatrixChart(Struct, frozen=True, kw_only=True):
    """Events against things."""

    columns: tuple[MatrixColumn, ...]
    rows: tuple[MatrixRow, ...]


def matrix_charts(data: MatrixChart) -> tuple[Picture, ...]:
    """The matrix, with its heads and its legend on every picture."""
    lefts = _lefts(data)
    head = max((_wide(one.name) for one in data.columns), default=0.0) + 2 * HEAD_GAP_MM
    room = lefts[0] - HEAD_GAP_MM
    named = [(row, metrics.wrap(_named(row), CAPITAL_MM, room) or ("?",)) for row in data.rows]
    pictures: list[list[tuple[MatrixRow, tuple[str, ...]]]] = [[]]
    high = top = KEY_MM + head
    for row, lines in named:
        if pictures[-1] and high + _high(lines) > HIGHEST_MM:
            pictures.append([])
            high = top
        pictures[-1].append((row, lines))
        high += _high(lines)
    return tuple(_picture(data, rows, lefts, top) for rows in pictures if rows)


def _named(row: MatrixRow) -> str:
    return f"{row.sign} {row.name}".strip()


def _wide(text: str) -> float:
    return metrics.width_mm(metrics.clean(text), CAPITAL_MM)


def _high(lines: Sequence[str]) -> float:
    return CELL_MM + (len(lines) - 1) * LINE_MM * CAPITAL_MM / 2.3


def _lefts(data: MatrixChart) -> list[float]:
    """Where each column begins, and at the end where the last one ends."""
    groups = sum(a.group != b.group for a, b in pairwise(data.columns))
    longest = max((_wide(_named(row)) for row in data.rows), default=0.0) + 2 * HEAD_GAP_MM
    most = WIDTH_MM - 1.0 - groups * GROUP_MM - len(data.columns) * NARROW_MM
    first = max(20.0, min(longest, most))
    free = WIDTH_MM - 1.0 - first - groups * GROUP_MM
    wide = min(2 * CELL_MM, free / max(1, len(data.columns)))
    lefts = [first]
    for before, one in pairwise(data.columns):
        lefts.append(lefts[-1] + wide + (GROUP_MM if one.group != before.group else 0.0))
    return [*lefts, lefts[-1] + wide]


def _picture(
    data: MatrixChart,
    rows: Sequence[tuple[MatrixRow, tuple[str, ...]]],
    lefts: Sequence[float],
    top: float,
) -> Picture:
    plot = Plot(WIDTH_MM, top + sum(_high(lines) for _, lines in rows) + 1.0, CAPITAL_MM)
    wide = lefts[-1] - lefts[-2]
    spots = list(_legend(plot))
    for left, column in zip(lefts, data.columns, strict=False):
        middle = left + wide / 2 + CAPITAL_MM / 2
        plot.text(middle, top - HEAD_GAP_MM, column.name, turned=True)
    y = top
    for row, lines in rows:
        high = _high(lines)
        plot.line([(0.5, y), (lefts[-1], y)], LineLook(colour=GRID, width_mm=EDGE_MM))
        for number, line in enumerate(lines):
            below = y + (CELL_MM + CAPITAL_MM) / 2 + number * LINE_MM * CAPITAL_MM / 2.3
            plot.text(0.5, below, line)
        for left, outcome in zip(lefts, row.outcomes, strict=False):
            spots.append((outcome, (left + wide / 2, y + high / 2)))
        y += high
    plot.line([(0.5, y), (lefts[-1], y)], LineLook(colour=GRID, width_mm=EDGE_MM))
    _signs(plot, spots)
    return plot.picture()


Spot = tuple[Outcome, tuple[float, float]]


def _legend(plot: Plot) -> Iterator[Spot]:
    x = 0.5
    for outcome, word in SIGNS.items():
        yield outcome, (x + SIGN_MM / 2, SIGN_MM / 2 + 0.6)
        plot.text(x + SIGN_MM + 1.2, SIGN_MM / 2 + 0.6 + CAPITAL_MM / 2, word)
        x += SIGN_MM + _wide(word) + 8.0


def _signs(plot: Plot, spots: Sequence[Spot]) -> None:
    """Lost: a full box with a cross; reduced: half a box; kept: a dot; not known: a mark.

    One kind of ink after another, so that it becomes few paths.
    """
    for outcome, (x, y) in spots:
        if outcome == "kept":
            plot.line([(x - DOT_MM, y), (x + DOT_MM, y)], LineLook(width_mm=2 * DOT_MM))
    for outcome, at in spots:
        left, top, right, bottom = _box(at)
        if outcome == "lost":
            plot.area(((left, top), (right, top), (right, bottom), (left, bottom)), VERMILLION)
        elif outcome == "reduced":
            plot.area(((left, top), (left, bottom), (right, bottom)), ORANGE)
    for outcome, at in spots:
        if outcome != "kept":
            left, top, right, bottom = _box(at)
            corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
            plot.line(corners, LineLook(width_mm=EDGE_MM))
            if outcome == "reduced":
                plot.line([(left, top), (right, bottom)], LineLook(width_mm=EDGE_MM))
    for outcome, at in spots:
        left, top, right, bottom = _box(at)
        if outcome == "lost":
            plot.line([(left, top), (right, bottom)], LineLook(width_mm=0.5))
            plot.line([(left, bottom), (right, top)], LineLook(width_mm=0.5))
    for outcome, (x, y) in spots:
        if outcome == "unknown":
            plot.text(x, y + CAPITAL_MM / 2, "?", align="center", bold=True)


def _box(at: tuple[float, float]) -> Box:
    (x, y), half = at, SIGN_MM / 2
    return (x - half, y - half, x + half, y + half)
