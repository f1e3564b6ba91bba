"""Which column is which, by its head or by what the builder says."""

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from elec.read.lists.grid import Cells, ListRefused, grids, letters, shown, unfit

SEARCHED = 20
"""Rows in which the heads are looked for."""


class ReadColumn(Struct, frozen=True, kw_only=True):
    """A column that is read; `unit` is what its head says of bare numbers, empty: nothing."""

    number: int
    head: str
    unit: str = ""


class Kind(Struct, frozen=True, kw_only=True):
    """A kind of column: texts that its head may have, and the unit that --column implies."""

    spellings: tuple[str, ...]
    unit: str = ""


class Listed(Struct, frozen=True, kw_only=True):
    """A list whose columns are known."""

    grid: Cells
    first: int
    """The row behind the heads."""
    columns: Mapping[str, ReadColumn]
    unread: tuple[str, ...]

    def text(self, row: int, kind: str) -> str:
        """The cell of a kind in a row; empty where there is no such column."""
        column = self.columns.get(kind)
        return self.grid.text(row, column.number) if column else ""

    def at(self, row: int, kind: str) -> str:
        """Its place, for a message."""
        return self.grid.at(row, self.columns[kind].number)

    def unfit(self, row: int) -> list[str]:
        """Cells of a row that are no plain values, with their places."""
        found = []
        width = len(self.grid.rows[self.first - 1])
        if not self.grid.sheet and len(self.grid.rows[row]) > width:
            found.append(
                f"{self.grid.at(row, width)}: a cell behind the last head: a comma in a number or "
                "a text parted it; put that into quotation marks, or save with semicolons"
            )
        for column in self.columns.values():
            why = unfit(self.grid, row, column.number)
            if why:
                found.append(f"{self.grid.at(row, column.number)}: {why}")
        return found

    def no_unit(self, row: int, kind: str, unit: str) -> str:
        """A bare number under a head that says no unit, and what to do; `unit` may be meant."""
        column = self.columns[kind]
        return (
            f"{shown(self.text(row, kind))} has no unit, and its head {shown(column.head)} says "
            f"none; write the unit, or, where all of them are in {unit}, "
            f"add --column {kind}={letters(column.number)}"
        )

    def rows(self) -> range:
        """The rows behind the heads."""
        return range(self.first, len(self.grid.rows))

    def read_as(self) -> str:
        """Which column was read as what, for the builder to look over."""
        said = [
            f"{letters(c.number)} {shown(c.head)} as {kind}" for kind, c in self.columns.items()
        ]
        return "; ".join(said)


_UNITS = {
    "a": "A", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "ma": "mA",
    "w": "W", "watt": "W", "watts": "W", "kw": "kW", "v": "V", "volt": "V", "volts": "V",
    "mv": "mV", "awg": "AWG",
}  # fmt: skip


def head_of(text: str) -> tuple[str, str]:
    """The text of a head, and the unit that it says.

    >>> head_of("Current (A)"), head_of("W @14V"), head_of("Amps"), head_of("Current")
    (('current', 'A'), ('w', 'W'), ('amps', 'A'), ('current', ''))
    """
    plain = " ".join(text.casefold().replace("_", " ").split())
    inside = re.search(r"[(\[]\s*([^)\]@]*?)\s*(?:@[^)\]]*)?[)\]]", plain)
    plain_head = re.sub(r"[(\[][^)\]]*[)\]]|@.*", " ", plain)
    said = _UNITS.get(inside.group(1), "") if inside else ""
    parts = plain_head.replace(",", " ").replace("/", " ").split()
    if len(parts) > 1 and not said and parts[-1] in _UNITS:
        said = _UNITS[parts.pop()]
        parts = [part for part in parts if part != "in"]
    plain_head = " ".join(parts).strip(" .:")
    return plain_head, said or _UNITS.get(plain_head, "")


def listed(
    path: Path,
    kinds: Mapping[str, Kind],
    needed: Sequence[str],
    *,
    asked: Sequence[str] = (),
    sheet: str | None = None,
) -> Listed:
    """A list with its columns.

    Args:
        path: the file.
        kinds: what is looked for.
        needed: kinds that have to be there; "amps|watts" where one of them does.
        asked: what the builder says, such as "amps=C", "amps=Strom" or "watts=none".
        sheet: the sheet of a workbook.

    Raises:
        ListRefused: a column is missing, or two may be meant.
    """
    said = _asked(asked, kinds)
    best: tuple[int, Cells, int] | None = None
    every = grids(path, sheet)
    for grid in every:
        for row in range(min(SEARCHED, len(grid.rows))):
            count = len(_by_head(grid, row, kinds, said)[0])
            if best is None or count > best[0]:
                best = (count, grid, row)
    if best is None:
        raise ListRefused([f"{path.name}: nothing is written in it"])
    _, grid, row = best
    columns, mistakes = _by_head(grid, row, kinds, said)
    missing = [one for one in needed if not set(one.split("|")) & columns.keys()]
    for one in missing if not mistakes else ():
        names = one.split("|")
        spellings = ", ".join(f'"{word}"' for name in names for word in kinds[name].spellings[:3])
        mistakes.append(
            f"{grid.at(row)}: no column for {' or '.join(names)} (a head such as {spellings}); "
            f"say which: --column {names[0]}=C"
        )
    if mistakes:
        raise ListRefused(mistakes)
    taken = {column.number for column in columns.values()}
    unread = tuple(
        f"{letters(number)} {shown(text)}"
        for number, text in enumerate(grid.rows[row])
        if text and number not in taken
    )
    return Listed(grid=grid, first=row + 1, columns=columns, unread=unread)


def _asked(asked: Sequence[str], kinds: Mapping[str, Kind]) -> dict[str, str]:
    found: dict[str, str] = {}
    for text in asked:
        kind, sign, which = (part.strip() for part in text.partition("="))
        if not sign or not which or kind not in kinds:
            known = ", ".join(kinds)
            how = "write --column KIND=C (a letter, a head, or none)"
            raise ListRefused([f"--column {shown(text)}: {how}; kinds are: {known}"])
        if kind in found:
            raise ListRefused([f"--column {kind} is given twice"])
        found[kind] = which
    return found


def _by_head(
    grid: Cells, row: int, kinds: Mapping[str, Kind], said: Mapping[str, str]
) -> tuple[dict[str, ReadColumn], list[str]]:
    """The columns by the heads of a row, and what is unclear."""
    heads = {n: head_of(text) for n, text in enumerate(grid.rows[row]) if text}
    columns: dict[str, ReadColumn] = {}
    mistakes: list[str] = []
    named: dict[str, int] = {}
    for kind, which in said.items():
        if which == "none":
            continue
        number = _number(grid, row, which)
        if number is None:
            mistakes.append(f"--column {kind}={which}: {grid.at(row)} has no such letter or head")
        else:
            named[kind] = number
    for kind, one in kinds.items():
        if kind in said and kind not in named:
            continue
        if kind in named:
            number = named[kind]
            text = grid.text(row, number)
            unit = one.unit or heads.get(number, ("", ""))[1]
            columns[kind] = ReadColumn(number=number, head=text, unit=unit)
            continue
        fit = [
            n
            for n, (spellings, _) in heads.items()
            if spellings in one.spellings and n not in named.values()
        ]
        if len(fit) > 1:
            several = " or ".join(f"{letters(n)} {shown(grid.text(row, n))}" for n in fit)
            mistakes.append(
                f"{grid.at(row)}: {kind} may be {several}; say which: "
                f"--column {kind}={letters(fit[0])}"
            )
        elif fit:
            unit = heads[fit[0]][1]
            columns[kind] = ReadColumn(number=fit[0], head=grid.text(row, fit[0]), unit=unit)
    return columns, mistakes


def _number(grid: Cells, row: int, which: str) -> int | None:
    """The column of a head, or of a letter."""
    for number, text in enumerate(grid.rows[row]):
        if text and text.casefold() == which.casefold():
            return number
    width = max(len(cells) for cells in grid.rows)
    for number in range(width):
        if letters(number) == which.upper():
            return number
    return None
