"""All sheets of a system, numbered through, with their cross references.

In: a `Study`. Out: `Drawings`: the one-line diagram, a sheet a circuit, grounds, the signal wires
box by box, the connectors, and the legend.
"""

from collections.abc import Iterator
from dataclasses import field
from typing import Literal

from elec.analyses.chains import chains
from elec.analyses.pins import pins
from elec.drawings.index import Spot, index, numbered
from elec.drawings.records import circuits, connectors, distribution, words
from elec.drawings.sheet import Sheet
from elec.drawings.sheets.circuit import circuit
from elec.drawings.sheets.connector import connector
from elec.drawings.sheets.legend import legend
from elec.drawings.sheets.one_line import one_line
from elec.record import dataclass
from elec.study import Study, analysis

DrawingKind = Literal["one-line", "circuit", "grounds", "signals", "connector", "legend"]


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """One drawing on one or more sheets; `about` names the circuit, equipment or connector."""

    kind: DrawingKind
    about: str
    title: str
    sheets: tuple[Sheet, ...]


@dataclass(frozen=True, kw_only=True)
class Drawings:
    """Every drawing of a system, in the order of the sheets."""

    drawings: tuple[Drawing, ...]
    index: dict[str, tuple[Spot, ...]] = field(default_factory=dict)
    """Reference (a conductor's id, a name of equipment) → where it is drawn."""

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """All sheets."""
        return tuple(sheet for drawing in self.drawings for sheet in drawing.sheets)

    def of(self, kind: DrawingKind, about: str = "") -> tuple[Drawing, ...]:
        """The drawings of a kind, or those about one thing."""
        return tuple(d for d in self.drawings if d.kind == kind and about in ("", d.about))


@analysis
def drawings(study: Study) -> Drawings:
    """Draw everything."""
    count = len(one_line(distribution.one_line_record(study, {})))
    made = [*_behind(study, count + 1)]
    where = {
        d.about: (d.sheets[0].title.sheet, d.sheets[0].id) for d in made if d.kind == "circuit"
    }
    first = one_line(distribution.one_line_record(study, where))
    if len(first) != count:
        raise AssertionError("the one-line diagram changed its sheets with their numbers")
    whole = [
        Drawing(kind="one-line", about="", title="Power distribution", sheets=tuple(first)),
        *made,
    ]
    sheets = iter(numbered([sheet for drawing in whole for sheet in drawing.sheets]))
    done = tuple(
        Drawing(
            kind=d.kind, about=d.about, title=d.title, sheets=tuple(next(sheets) for _ in d.sheets)
        )
        for d in whole
    )
    return Drawings(drawings=done, index=index([s for d in done for s in d.sheets]))


def _behind(study: Study, number: int) -> Iterator[Drawing]:
    """What comes behind the one-line diagram, from a sheet number on."""
    for make in (_circuits, _grounds, _signals, _connectors, _legend):
        for drawing in make(study, number):
            number += len(drawing.sheets)
            yield drawing


def _circuits(study: Study, number: int) -> Iterator[Drawing]:
    for chain in chains(study).of("circuit"):
        sheets = circuit(circuits.circuit_record(study, chain.name, number))
        number += len(sheets)
        yield Drawing(kind="circuit", about=chain.name, title=chain.title, sheets=tuple(sheets))


def _grounds(study: Study, number: int) -> Iterator[Drawing]:
    record = circuits.ground_record(study, number)
    if record is not None:
        title = record.title.title
        yield Drawing(kind="grounds", about="", title=title, sheets=tuple(circuit(record)))


def _signals(study: Study, number: int) -> Iterator[Drawing]:
    for name, (title, rows) in circuits.box_records(study).items():
        record = circuits.box_record(study, name, title, rows, number)
        sheets = circuit(record)
        number += len(sheets)
        yield Drawing(kind="signals", about=name, title=record.title.title, sheets=tuple(sheets))


def _connectors(study: Study, number: int) -> Iterator[Drawing]:
    """The faces; a connector with a single contact (a coaxial one) needs none."""
    for name, one in pins(study).by_id.items():
        if len(one.pins) < 2:
            continue
        sheets: list[Sheet] = []
        for half in connectors.halves(study, name):
            record = connectors.connector_record(study, name, half, number + len(sheets))
            sheets.extend(connector(record))
        number += len(sheets)
        yield Drawing(kind="connector", about=name, title=one.title, sheets=tuple(sheets))


def _legend(study: Study, number: int) -> Iterator[Drawing]:
    block = words.title_block(study, "Symbols and conventions", number)
    sheet = legend(block, words.paper(study, large=False))
    yield Drawing(kind="legend", about="", title=block.title, sheets=(sheet,))
