"""What a card is, and the cards of a system."""

from collections.abc import Callable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.why.why_names import WhySubject, subjects
from elec.finding import Finding
from elec.pages.table import Column, Table, Value
from elec.study import Study, analysis

Fact = tuple[Column, Value]
"""A column of the table that says it, and the value in its row."""


class Card(Struct, frozen=True, kw_only=True):
    """All that is said of one thing, from the tables that say it."""

    kind: str
    """wire, contact, connector, equipment, circuit, bus, place, way, zone."""
    name: str
    """By which it is asked for: a mark, `radio.J1.7`, a name of the file."""
    title: str
    facts: tuple[Fact, ...]
    wires: tuple[str, ...] = ()
    """Marks of the wires that belong to it, in the order of the list."""
    things: tuple[str, ...] = ()
    """Names of other cards that belong to it."""
    drawn: str = ""
    """By which drawings know it; empty where they do not."""
    ref: str = ""
    """Where the book says more of it."""
    zones: tuple[str, ...] = ()
    """Titles of the zones in which it lies; this and what follows is filled in by `narrow`."""
    buses: tuple[str, ...] = ()
    """Titles of the buses that it hangs on."""
    states: tuple[str, ...] = ()
    """How far its wires are."""
    verdict: str = ""
    """The worst that findings about it say; empty where none is about it."""
    said: tuple[Finding, ...] = ()
    """What is open about it: the findings that do not pass."""


Make = Callable[[Study, WhySubject], Card | None]
_MAKERS: dict[str, Make] = {}


def card_of(kind: str) -> Callable[[Make], Make]:
    """Register a function as the maker of the cards of a kind of thing."""

    def register(make: Make) -> Make:
        _MAKERS[kind] = make
        return make

    return register


def card(study: Study, subject: WhySubject) -> Card | None:
    """The card of one thing; None for a kind of thing that has none."""
    from elec.pages.cards import things, wires  # noqa: F401 - they register their makers

    make = _MAKERS.get(subject.kind)
    return make(study, subject) if make else None


@analysis
def cards(study: Study) -> tuple[Card, ...]:
    """Every card, circuits first."""
    return tuple(_all(study))


def _all(study: Study) -> Iterator[Card]:
    made = [one for subject in subjects(study) if (one := card(study, subject)) is not None]
    names = {one.name for one in made}
    for one in made:
        yield replace(one, things=tuple(name for name in one.things if name in names))


def facts(table: Table, row: tuple[Value, ...], *, without: frozenset[str]) -> tuple[Fact, ...]:
    """The cells of a row that say something, each under its head."""
    return tuple(
        (column, value)
        for column, value in zip(table.columns, row, strict=True)
        if value != "" and column.key not in without and column.head
    )
