"""The command line's answer with cards: what a thing is, then its wires in one list."""

from collections.abc import Iterable

from elec.answers.why.why_names import WhySubject
from elec.pages.cards.card import Card, card, cards
from elec.pages.circuits.wire import conductors
from elec.pages.columns import text
from elec.pages.document import Block, Section, TableBlock
from elec.pages.table import Column, Table, Value
from elec.study import Study

WIRE = ("mark", "from", "to", "gauge_awg", "colour", "length_m", "state")
"""What is said of a wire in the list of a thing's wires."""


def show_answer(study: Study, found: Iterable[WhySubject]) -> Section | None:
    """The cards of what has a name, one under the other; None where none of it has a card."""
    made = [one for subject in found if (one := card(study, subject)) is not None]
    if not made:
        return None
    first = made[0]
    return Section(
        id="show",
        title=f"{first.name}, {first.kind}: {first.title}",
        blocks=tuple(_blocks(study, first)),
        sections=tuple(
            Section(
                id=f"show-{one.kind}",
                title=f"{one.name}, {one.kind}: {one.title}",
                blocks=tuple(_blocks(study, one)),
                new_page=False,
            )
            for one in made[1:]
        ),
        new_page=False,
    )


def _blocks(study: Study, one: Card) -> list[Block]:
    blocks: list[Block] = []
    if one.facts:
        columns = tuple(column for column, _ in one.facts)
        if len(dict.fromkeys(column.key for column in columns)) < len(columns):
            blocks.append(TableBlock(table=_several(one)))
        else:
            blocks.append(TableBlock(table=_upright(one)))
    if one.wires:
        blocks.append(TableBlock(table=_wires(study, one)))
    known: dict[str, Card] = {}
    for other in cards(study):
        known.setdefault(other.name, other)
    others = [known[name] for name in one.things if name in known]
    if others:
        blocks.append(TableBlock(table=_others(others)))
    return blocks


def _upright(one: Card) -> Table:
    """One row, turned on the screen by whoever prints it: heads over values."""
    return Table(
        id="facts",
        title="",
        columns=tuple(column for column, _ in one.facts),
        rows=(tuple(value for _, value in one.facts),),
    )


def _several(one: Card) -> Table:
    """Facts of several rows, such as the loads of a circuit."""
    columns: list[Column] = []
    rows: list[dict[str, Value]] = [{}]
    for column, value in one.facts:
        if column.key in rows[-1]:
            rows.append({})
        rows[-1][column.key] = value
        if column.key not in {known.key for known in columns}:
            columns.append(column)
    return Table(
        id="facts",
        title="",
        columns=tuple(columns),
        rows=tuple(tuple(row.get(column.key, "") for column in columns) for row in rows),
    )


def _wires(study: Study, one: Card) -> Table:
    whole = conductors(study)
    kept = [k for k, column in enumerate(whole.columns) if column.key in WIRE]
    by_mark = {row[0]: row for row in whole.rows}
    return Table(
        id="its-wires",
        title="Its wires",
        columns=tuple(whole.columns[k] for k in kept),
        rows=tuple(tuple(by_mark[m][k] for k in kept) for m in one.wires if m in by_mark),
    )


def _others(others: list[Card]) -> Table:
    return Table(
        id="belongs",
        title="Belongs to it",
        columns=(text("name", "Name"), text("kind", "What"), text("title", "Title")),
        rows=tuple((other.name, other.kind, other.title) for other in others),
    )
