"""ListedLoads from a builder's list: what each row says, or why it cannot be taken."""

import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from elec import units
from elec.read.lists.cells import DASHES, NoUnit, named, pointed, positive, quantity
from elec.read.lists.grid import ListRefused, letters, shown
from elec.read.lists.heads import Kind, Listed, listed

PHASES: Mapping[str, tuple[str, ...]] = {
    "start": ("start", "starting", "engine start", "cranking"),
    "taxi": ("taxi", "taxiing"),
    "run-up": ("run-up", "run up", "runup"),
    "take-off": ("take-off", "take off", "takeoff", "t/o"),
    "climb": ("climb",),
    "cruise": ("cruise", "cruising", "en route"),
    "descent": ("descent", "descend"),
    "approach": ("approach",),
    "landing": ("landing",),
}
"""Phase → heads of its column."""
KINDS: Mapping[str, Kind] = {
    "name": Kind(spellings=("name", "load", "item", "equipment", "consumer", "device", "unit")),
    "amps": Kind(
        spellings=("amps", "a", "amp", "ampere", "amperes", "current", "draw", "ma", "i"), unit="A"
    ),
    "watts": Kind(spellings=("watts", "w", "watt", "power", "kw", "p"), unit="W"),
    "breaker": Kind(spellings=("breaker", "cb", "circuit breaker", "breaker rating"), unit="A"),
    "fuse": Kind(spellings=("fuse", "fuse rating"), unit="A"),
    "switch": Kind(spellings=("switch", "sw", "switched by")),
    "gauge": Kind(spellings=("gauge", "awg", "wire", "wire gauge", "wire size"), unit="AWG"),
    "quantity": Kind(spellings=("quantity", "qty", "count", "pieces", "pcs", "number of")),
    **{phase: Kind(spellings=words) for phase, words in PHASES.items()},
}
SAMPLE = """\
Load,Amps (A),Watts (W),Breaker (A),Switch,Gauge (AWG),Start,Taxi,Cruise,Landing
Radio,0.5,,5,AVIONICS,22,,x,x,x
Transponder,,12,3,AVIONICS,22,,,x,x
Landing light,4,,7.5,LANDING,18,,x,,x
Fuel pump,3.5,,5,PUMP,18,x,,10 %,x
Flap motor,6,,10,,16,,,8 s,20 s
"""
"""A list of loads as it may be written: units in the heads, x, a share or a time for a phase."""
_TOTALS = frozenset(
    {"total", "totals", "sum", "subtotal", "sub-total", "grand total", "total load"}
)
_ON = frozenset({"x", "yes", "y", "on", "1", "✓", "✔", "true"})
_OFF = DASHES | {"", "0", "no", "n", "off", "false", "0 %", "never"}
_NONE = DASHES | {"", "none", "no"}


class Load(Struct, frozen=True, kw_only=True):
    """One load of the list, in texts as a system has them."""

    name: str
    title: str
    draw: str
    """Empty: the list does not say."""
    device: str
    rating: str
    gauge: str
    switch: str
    on: str | Mapping[str, str]


class ListedLoads(Struct, frozen=True, kw_only=True):
    """All of them, and what the builder should know."""

    loads: tuple[Load, ...]
    phases: tuple[str, ...]
    notes: tuple[str, ...]


def read_loads(
    path: Path,
    reserved: Sequence[str],
    *,
    asked: Sequence[str] = (),
    sheet: str | None = None,
) -> ListedLoads:
    """The loads of a list.

    Args:
        path: the file.
        reserved: names that the system around them has.
        asked: which column is which, as in "amps=C".
        sheet: the sheet of a workbook.

    Raises:
        ListRefused: all that is unclear, a message each.
    """
    table = listed(path, KINDS, ("name", "amps|watts"), asked=asked, sheet=sheet)
    taking = _Taking(table, reserved)
    for row in table.rows():
        taking.row(row)
    return taking.done()


class _Taking:
    """One pass over the rows."""

    def __init__(self, table: Listed, reserved: Sequence[str]) -> None:
        self.table = table
        columns = table.columns
        self.phases = tuple(
            sorted((p for p in PHASES if p in columns), key=lambda p: columns[p].number)
        )
        self.used = set(reserved)
        self.reserved = frozenset(reserved)
        self.loads: list[Load] = []
        self.notes: list[str] = []
        self.mistakes: list[str] = []
        self.told: set[str] = set()

    def row(self, row: int) -> None:
        table = self.table
        texts = {kind: table.text(row, kind) for kind in table.columns}
        if not any(texts.values()):
            return
        title = texts["name"]
        if title.casefold().strip(" :") in _TOTALS:
            self.notes.append(f"{table.grid.at(row)}: {shown(title)} is a sum, left out.")
            return
        if unfit := table.unfit(row):
            self.mistakes += unfit
            return
        if title and not any(text for kind, text in texts.items() if kind != "name"):
            self.notes.append(
                f"{table.grid.at(row)}: {shown(title)} stands alone, taken for a heading, left out."
            )
            return
        self._pieces(row)
        name = self._name(row, title)
        device, rating = self._device(row)
        self.loads.append(
            Load(
                name=name,
                title=title,
                draw=self._draw(row),
                device=device,
                rating=rating,
                gauge=self._said(row, "gauge", _gauge),
                switch=self._switch(row, name),
                on=self._on(row),
            )
        )

    def done(self) -> ListedLoads:
        table = self.table
        if not self.loads and not self.mistakes:
            self.mistakes.append(
                f"{table.grid.at(table.first - 1)}: no load stands below the heads"
            )
        if self.mistakes:
            raise ListRefused(self.mistakes)
        first = [f"Read: {table.read_as()}."]
        if table.unread:
            first.append(f"Not read: {', '.join(table.unread)}.")
        if not self.phases:
            first.append("No column is a phase of flight: every load counts as on all the time.")
        return ListedLoads(loads=tuple(self.loads), phases=self.phases, notes=(*first, *self.notes))

    def _wrong(self, row: int, kind: str, said: str, *, once: str = "") -> None:
        if once and once in self.told:
            return
        self.told.add(once)
        self.mistakes.append(f"{self.table.at(row, kind)}: {said}")

    def _said(self, row: int, kind: str, reading: Callable[[str, str], str]) -> str:
        """A cell as a text of the system; empty where nothing is written."""
        text = self.table.text(row, kind)
        if text.casefold() in _NONE:
            return ""
        try:
            return reading(text, self.table.columns[kind].unit)
        except NoUnit:
            said = self.table.no_unit(row, kind, KINDS[kind].unit)
            if kind == "amps":
                letter = letters(self.table.columns[kind].number)
                said += f", or, where they are watts, --column watts={letter} --column amps=none"
            self._wrong(row, kind, said, once=f"unit of {kind}")
        except units.UnitError as error:
            self._wrong(row, kind, str(error))
        return ""

    def _name(self, row: int, title: str) -> str:
        if not title:
            self._wrong(row, "name", "no load is named in this row")
            return ""
        base = named(title)
        if not base:
            self._wrong(row, "name", f"{shown(title)} makes no name of a-z and 0-9; write another")
            return ""
        name = f"{base}-load" if base in self.reserved else base
        number = 2
        while name in self.used:
            name, number = f"{base}-{number}", number + 1
        self.used.add(name)
        if name != base or not title.isascii():
            why = ", as the name is taken" if name != base else ""
            self.notes.append(f"{self.table.at(row, 'name')}: {shown(title)} is {name}{why}.")
        return name

    def _pieces(self, row: int) -> None:
        text = self.table.text(row, "quantity")
        if text.casefold() not in (*_NONE, "1"):
            said = (
                f"{shown(text)} pieces: does the row say what one draws, or all? Where all, add "
                "--column quantity=none; else write a row for each"
            )
            self._wrong(row, "quantity", said, once="pieces")

    def _draw(self, row: int) -> str:
        amps, watts = self._said(row, "amps", _drawn), self._said(row, "watts", _drawn)
        if amps and watts:
            said = (
                "amperes and watts are both given; which of them counts? Add --column watts=none, "
                "or --column amps=none"
            )
            self._wrong(row, "amps", said, once="both")
        found = amps or watts
        written = [self.table.text(row, kind) for kind in ("amps", "watts")]
        if not found and all(text.casefold() in _NONE for text in written):
            at = self.table.grid.at(row)
            self.notes.append(f"{at}: nothing says what it draws; it is left open, not zero.")
        return found

    def _device(self, row: int) -> tuple[str, str]:
        breaker, fuse = self._said(row, "breaker", _rated), self._said(row, "fuse", _rated)
        if breaker and fuse:
            self._wrong(row, "fuse", "a breaker and a fuse; one of them protects the circuit")
        return ("fuse", fuse) if fuse else ("breaker", breaker or "auto")

    def _switch(self, row: int, name: str) -> str:
        text = self.table.text(row, "switch")
        if text.casefold() in _NONE or text.casefold() == "0":
            return ""
        if text.casefold() in _ON:
            return name
        found = named(text)
        if not re.search("[a-z]", found):
            self._wrong(row, "switch", f"{shown(text)} is no name of a switch; write one, or x")
        if found in self.reserved:
            at = self.table.at(row, "switch")
            self.notes.append(f"{at}: {shown(text)} is {found}-switch, as the name is taken.")
            return f"{found}-switch"
        return found

    def _on(self, row: int) -> str | dict[str, str]:
        """When it is on: `always`, `never`, or phase → share or time in it."""
        if not self.phases:
            return "always"
        marks = {phase: self.table.text(row, phase).casefold() for phase in self.phases}
        found = {}
        for phase, text in marks.items():
            if text in _ON:
                found[phase] = "100 %"
            elif text not in _OFF:
                found[phase] = self._use(row, phase)
        if not found and "never" not in marks.values():
            said = "it is marked in no phase; mark one, or write never in one of them"
            self._wrong(row, self.phases[0], said)
        if not found:
            return "never"
        whole = len(found) == len(self.phases) and set(found.values()) == {"100 %"}
        return "always" if whole else found

    def _use(self, row: int, phase: str) -> str:
        text = self.table.text(row, phase)
        try:
            said = pointed(text)
            kind, value = units.parse_use(said)
        except units.UnitError:
            said = (
                f"{shown(text)} does not say when it is on; write x, a share (50 %), a time (8 s)"
            )
            self._wrong(row, phase, f"{said}, or nothing")
            return ""
        if value <= 0:
            self._wrong(row, phase, f"{shown(text)}: less than nothing; leave it empty")
        return "100 %" if (kind, value) == ("share", 1.0) else said


def _drawn(text: str, unit: str) -> str:
    wanted = 'expected a draw such as "2.5 A" or "35 W"'
    return positive(quantity(text, unit), ("current", "power"), wanted)


def _rated(text: str, unit: str) -> str:
    if text.casefold() == "auto":
        return "auto"
    return positive(quantity(text, unit), ("current",), f"expected {units.expects('current')}")


def _gauge(text: str, unit: str) -> str:
    plain = text.removeprefix("#").strip()
    if re.fullmatch(r"[0-9]+(/0)?", plain):
        if not unit:
            raise NoUnit(text)
        plain = f"AWG {plain}"
    units.parse(plain, "gauge")
    return plain
