"""A neutral table: columns with units, rows of plain values. No format yet.

In: results. Out: `Table`, which every writer prints its own way.
"""

from typing import Literal

from elec.record import dataclass
from elec.working import Working


@dataclass(frozen=True, kw_only=True)
class Column:
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


@dataclass(frozen=True, kw_only=True)
class Cell:
    """A value with more to it than the value: how it prints, where it leads, how it came about."""

    value: str | float | int | None
    text: str | None = None
    ref: str | None = None
    """Id of the sheet or section that this cell links to."""
    working: Working | None = None
    verdict: str | None = None


Value = str | float | int | None | Cell
"""None prints as `?`: the value is not known. An empty string prints as nothing: there is none."""


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows of values under columns."""

    id: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    note: str = ""
