"""Options side by side: a row each, a column each measure, a mark where its number lies."""

from collections.abc import Sequence

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.charts.plot import (
    BLUE,
    CAPITAL_MM,
    GRID,
    GRID_MM,
    LINE_MM,
    WIDTH_MM,
    Fill,
    LineLook,
    Plot,
    around,
)
from elec.drawings.ink import BLACK, WHITE, Picture

HALF_MM = 1.15
"""Half the width of a mark."""
NAMES_MM = 74.0
"""Room for numbers and titles of the rows."""
GAP_MM = 3.5
HEAD_MM = 2 * LINE_MM + 1.0


class OptionRow(Struct, frozen=True, kw_only=True):
    """One option: its numbers in the order of the columns, None where one is not known."""

    title: str
    numbers: tuple[float | None, ...]
    texts: tuple[str, ...]
    """The same as they are printed."""
    dominated: bool = False
    as_built: bool = False


class OptionChart(Struct, frozen=True, kw_only=True):
    """Rows under columns, whose heads say which way is better."""

    heads: tuple[tuple[str, str], ...]
    """What it is, and on which side it is better: `best left`."""
    rows: tuple[OptionRow, ...]


def option_chart(data: OptionChart) -> Picture:
    """A mark for every number: full where nothing dominates the option, hollow where some does."""
    foot = 2 * LINE_MM
    height = HEAD_MM + len(data.rows) * LINE_MM + foot
    plot = Plot(WIDTH_MM, height)
    wide = (WIDTH_MM - NAMES_MM - 1.0) / max(1, len(data.heads))
    for n, row in enumerate(data.rows):
        base = _middle(n) + CAPITAL_MM / 2
        name = metrics.wrap(row.title, CAPITAL_MM, NAMES_MM - 2.0)
        text = name[0] + (" …" if len(name) > 1 else "")
        plot.text(0.4, base, text, bold=row.as_built)
    for column, (head, better) in enumerate(data.heads):
        left = NAMES_MM + column * wide
        _column(plot, data.rows, column, (left, left + wide - GAP_MM))
        plot.text(left, LINE_MM - 0.6, head, bold=True)
        plot.text(left, 2 * LINE_MM - 0.9, better)
    under = height - LINE_MM + CAPITAL_MM / 2
    _mark(plot, 2.0, height - LINE_MM, hollow=False)
    plot.text(4.5, under, "not dominated")
    _mark(plot, 34.0, height - LINE_MM, hollow=True)
    plot.text(36.5, under, "dominated by another one")
    plot.line([(84.0, height - LINE_MM - 1.6), (84.0, height - LINE_MM + 1.6)], _AS_BUILT)
    plot.text(86.5, under, "as it is")
    return plot.picture()


_AS_BUILT = LineLook(colour=BLACK, width_mm=0.3, dash=(1.0, 0.6))


def _middle(row: int) -> float:
    return HEAD_MM + (row + 0.5) * LINE_MM


def _column(plot: Plot, rows: Sequence[OptionRow], column: int, sides: tuple[float, float]) -> None:
    """One measure: lines for the rows, the number of what is built, a mark each."""
    left, right = sides
    low, high = around([v for row in rows if (v := row.numbers[column]) is not None], 0.08)
    for n, row in enumerate(rows):
        here, value = _middle(n), row.numbers[column]
        plot.line([(left, here), (right, here)], LineLook(colour=GRID, width_mm=GRID_MM))
        if value is None:
            plot.text(left, here + CAPITAL_MM / 2, row.texts[column], paper=True)
    built = next((row.numbers[column] for row in rows if row.as_built), None)
    if built is not None:
        x = left + (built - low) / (high - low) * (right - left)
        plot.line([(x, HEAD_MM), (x, _middle(len(rows) - 1) + LINE_MM / 2)], _AS_BUILT)
    for n, row in enumerate(rows):
        value = row.numbers[column]
        if value is not None:
            x = left + (value - low) / (high - low) * (right - left)
            _mark(plot, x, _middle(n), hollow=row.dominated)


def _mark(plot: Plot, x: float, y: float, *, hollow: bool) -> None:
    box = (x - HALF_MM, y - HALF_MM, x + HALF_MM, y + HALF_MM)
    plot.box(box, Fill(colour=WHITE if hollow else BLUE))


__all__ = ["OptionChart", "OptionRow", "option_chart"]
