"""Published tables: read once, looked up, never extrapolated.

In: `data/<document>/<table>.csv`. Out: `PublishedTable` and `TableRow`; `NotCovered` where a
document is silent.
"""

import csv
import math
from collections.abc import Iterator
from functools import cache, cached_property

from msgspec import Struct

from elec.standards.cite import DATA, Cite

_HEAD = ("document", "where", "title", "read", "between", "certainty")


class NotCovered(ValueError):  # noqa: N818 - says what is so, not that the program erred
    """A number lies outside what the document or formula covers: the answer is *cannot tell*."""

    def __init__(self, name: str, value: object, range_: str, source: str) -> None:
        """Say which input, its value, what is covered, and by which document."""
        super().__init__(f"{name} = {value} is not covered by {source}: {range_}")
        self.name = name
        self.value = value
        self.range = range_
        self.source = source

    def __reduce__(self) -> tuple[type["NotCovered"], tuple[str, object, str, str]]:
        """Let the exception travel between processes."""
        return type(self), (self.name, self.value, self.range, self.source)


class TableRow(Struct, frozen=True):
    """One row of a table; cells are text until asked for as numbers."""

    table: "PublishedTable"
    cells: tuple[str, ...]

    def text(self, column: str) -> str:
        """Give a cell as written; empty where the document says nothing."""
        return self.cells[self.table.index(column)]

    def has(self, column: str) -> bool:
        """Say whether the document gives this cell."""
        return self.text(column) != ""

    def number(self, column: str) -> float:
        """Give a cell as a number.

        Raises:
            NotCovered: the cell is empty, the document does not say.
        """
        text = self.text(column)
        if text == "":
            row = ", ".join(cell for cell in self.cells[:2] if cell)
            raise NotCovered(column, "?", f"no value for {row}", self.table.cite.place)
        return float(text)

    @property
    def certainty(self) -> str:
        """How this row was got: its own mark, or the table's."""
        own = self.text("certainty") if "certainty" in self.table.columns else ""
        return own or self.table.cite.certainty

    @property
    def cite(self) -> Cite:
        """Where this row was published: its own document and place, or the table's."""
        columns = self.table.columns
        document = self.text("document") if "document" in columns else ""
        where = self.text("where") if "where" in columns else ""
        if document:
            return Cite(document, where, self.certainty)
        return Cite(self.table.cite.document, where or self.table.cite.where, self.certainty)


class PublishedTable(Struct, frozen=True, kw_only=True, dict=True):
    """A published table with its head; `between` says how values between rows may be found."""

    name: str
    cite: Cite
    title: str
    read: str
    between: str
    note: str = ""
    columns: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]

    def index(self, column: str) -> int:
        """Give a column's place; an unknown column is a fault of the program."""
        return self.columns.index(column)

    @cached_property
    def rows(self) -> tuple[TableRow, ...]:
        """All rows in the document's order."""
        return tuple(TableRow(self, cells) for cells in self.cells)

    def __iter__(self) -> Iterator[TableRow]:
        return iter(self.rows)

    def select(self, **keys: str | float) -> tuple[TableRow, ...]:
        """Give the rows whose cells equal the keys; text keys as text, numbers as numbers."""
        every = tuple(keys.items())
        found = self._selected.get(every)
        if found is None:
            asked = [(self.index(column), key) for column, key in every]
            found = tuple(
                row for row in self.rows if all(_equals(row.cells[k], key) for k, key in asked)
            )
            if found:
                self._selected[every] = found
        return found

    @cached_property
    def _selected(self) -> dict[tuple[tuple[str, str | float], ...], tuple[TableRow, ...]]:
        """Keys that have rows, of those asked so far: most are asked often."""
        return {}

    def row(self, **keys: str | float) -> TableRow:
        """Give the one row that the keys name.

        Raises:
            NotCovered: no such row.
        """
        found = self.select(**keys)
        if not found:
            name, value = next(iter(keys.items()))
            given = ", ".join(f"{k} {v}" for k, v in keys.items())
            raise NotCovered(name, value, f"no row for {given}", self.cite.place)
        return found[0]

    def value(self, column: str, **keys: str | float) -> float:
        """Look a number up; at most one numeric key may lie between rows.

        Raises:
            NotCovered: outside the rows, on an empty cell, or between rows of a table that
                gives no values there.
        """
        exact = self.select(**keys)
        if exact:
            return exact[0].number(column)
        open_key = self._open_key(keys)
        rest = {k: v for k, v in keys.items() if k != open_key}
        x = float(keys[open_key])
        rows = sorted(self.select(**rest), key=lambda row: row.number(open_key))
        if not rows:
            return self.row(**rest).number(column)
        low, high = rows[0].number(open_key), rows[-1].number(open_key)
        if self.between == "none" or not low <= x <= high:
            gaps = " and nothing between its rows" if self.between == "none" else ""
            raise NotCovered(open_key, x, f"{low:g} to {high:g}{gaps}", self.cite.place)
        above = next(i for i, row in enumerate(rows) if row.number(open_key) > x)
        left, right = rows[above - 1], rows[above]
        return interpolate(
            x=x,
            left=(left.number(open_key), left.number(column)),
            right=(right.number(open_key), right.number(column)),
            logarithmic=self.between == "log",
        )

    def _open_key(self, keys: dict[str, str | float]) -> str:
        """Name the one numeric key that no row matches; several leave nothing to look up."""
        unmatched = [k for k, v in keys.items() if not self.select(**{k: v})]
        numeric = [k for k in keys if not isinstance(keys[k], str)]
        if len(unmatched) == 1 and unmatched[0] in numeric:
            return unmatched[0]
        if not unmatched and numeric:
            return numeric[-1]
        name = unmatched[0] if unmatched else next(iter(keys))
        raise NotCovered(name, keys[name], "no such row", self.cite.place)

    def points(self, x: str, y: str, **keys: str | float) -> tuple[tuple[float, float], ...]:
        """Give the pairs of two columns in rising x; rows that leave either empty are left out."""
        rows = self.select(**keys)
        pairs = [(row.number(x), row.number(y)) for row in rows if row.has(x) and row.has(y)]
        return tuple(sorted(pairs))


def _equals(cell: str, key: str | float) -> bool:
    """Compare a cell with a key: text with text, number with number."""
    if isinstance(key, str):
        return cell == key
    try:
        return float(cell) == key
    except ValueError:
        return False


def interpolate(
    *,
    x: float,
    left: tuple[float, float],
    right: tuple[float, float],
    logarithmic: bool = False,
) -> float:
    """Find y at x on the straight line between two points, on log-log paper if asked.

    >>> interpolate(x=3, left=(2, 2.5), right=(4, 0.54), logarithmic=True).__round__(3)
    1.02
    """
    (x1, y1), (x2, y2) = left, right
    if logarithmic:
        part = math.log(x / x1) / math.log(x2 / x1)
        return y1 * math.exp(part * math.log(y2 / y1))
    return y1 + (y2 - y1) * (x - x1) / (x2 - x1)


@cache
def table(name: str) -> PublishedTable:
    """Read `data/<name>.csv` on first use: `table("ac4313/wire_copper")`."""
    lines = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    head: dict[str, str] = {}
    for line in lines:
        if not line.startswith("#"):
            break
        key, _, value = line[1:].partition(":")
        key = key.strip()
        joined = f"{head[key]} {value.strip()}" if key in head else value.strip()
        head[key] = joined
    if lacking := [key for key in _HEAD if key not in head]:
        raise ValueError(f"data/{name}.csv: its head lacks {', '.join(lacking)}")
    cells = list(csv.reader(line for line in lines if line and not line.startswith("#")))
    return PublishedTable(
        name=name,
        cite=Cite(head["document"], head["where"], head["certainty"]),
        title=head["title"],
        read=head["read"],
        between=head["between"],
        note=head.get("note", ""),
        columns=tuple(cells[0]),
        cells=tuple(tuple(cell.strip() for cell in row) for row in cells[1:]),
    )
