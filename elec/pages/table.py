"""A neutral table: columns with units, rows of plain values. No format yet.

In: results. Out: `Table`, which every writer prints its own way.
"""

from collections import Counter
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from elec.units import SUFFIXES, split_suffix
from elec.working import Working

if TYPE_CHECKING:
    import pandas as pd


class Column(Struct, frozen=True, kw_only=True):
    """One column. `unit` is a suffix of `elec.units.SUFFIXES` when the cells are numbers in.

    That unit.
    """

    key: str
    """Name for programs, with its unit suffix: `drop_v`, `gauge`."""
    head: str
    unit: str = ""
    digits: int | None = None
    """Digits after the point in print; None: as the unit is usually printed."""
    importance: Literal[1, 2, 3] = 1
    """3 goes first where there is no room, 1 never goes."""
    by_hand: bool = False
    """True where somebody writes into it by hand: its place is marked on paper."""

    @property
    def measure(self) -> str:
        """The unit of numbers in it, by its own or by its key; empty for words and gauges.

        >>> Column(key="length_m", head="Cut").measure, Column(key="gauge_awg", head="AWG").measure
        ('m', '')
        """
        found = self.unit or split_suffix(self.key)[1]
        return "" if found == "awg" else found


class Cell(Struct, frozen=True, kw_only=True):
    """A value with more to it than the value: how it prints, where it leads, how it came about."""

    value: str | float | int | None
    text: str | None = None
    ref: str | None = None
    """Id of the sheet or section that this cell links to."""
    working: Working | None = None
    verdict: str | None = None


Value = str | float | int | None | Cell
"""None prints as `?`: the value is not known. An empty string prints as nothing: there is none."""


class Table(Struct, frozen=True, kw_only=True):
    """Rows of values under columns."""

    id: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    note: str = ""
    to_write: bool = False
    """True where somebody writes into its rows by hand: high enough for that on paper."""
    fields: bool = False
    """Of two columns, a name and what is written there: fields of a form, side by side on paper."""
    strips: bool = False
    """True where it stands on paper in strips side by side, its columns of less importance left
    out: many short rows."""

    def frame(self) -> "pd.DataFrame":
        """The table for a notebook: one row a row, units in the heads, numbers as floats.

        In a column of numbers what is not known and what there is none of are both missing (NaN);
        in a column of words what is not known is None and what there is none of is empty. Title and
        note stand in `attrs`. Loads pandas.
        """
        import pandas as pd

        heads = [_head(column) for column in self.columns]
        twice = {head for head, times in Counter(heads).items() if times > 1}
        frame = pd.DataFrame(
            {
                (column.key if head in twice else head): _series([row[k] for row in self.rows])
                for k, (column, head) in enumerate(zip(self.columns, heads, strict=True))
            }
        )
        frame.attrs = {"title": self.title, "note": self.note}
        return frame


def _head(column: Column) -> str:
    unit = SUFFIXES[column.measure].unit if column.measure else ""
    return f"{column.head}, {unit}" if unit else column.head


def _series(cells: list[Value]) -> "pd.Series[float] | pd.Series[str]":
    """One column: floats where every cell that is there is a number, else objects."""
    import pandas as pd

    values = [cell.value if isinstance(cell, Cell) else cell for cell in cells]
    there = [value for value in values if value is not None and value != ""]
    if there and all(isinstance(value, int | float) for value in there):
        numbers = [float("nan") if value is None or value == "" else value for value in values]
        return pd.Series(numbers, dtype=float)
    return pd.Series(values, dtype=object)
