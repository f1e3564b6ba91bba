"""What differs between two systems, as tables: a row a wire, contact, device, load, value."""

from collections.abc import Callable

from elec import units
from elec.answers.build.difference import SAME_A
from elec.answers.build.load_difference import TotalPair, load_difference
from elec.answers.build.weight import Sum, added, weight
from elec.answers.build.wire_changes import (
    Known,
    WireChange,
    contact_changes,
    device_changes,
)
from elec.answers.build.written import written_changes
from elec.attempt.verdicts import VerdictChange, rank
from elec.pages.columns import amps, phase_title, text
from elec.pages.table import Cell, Column, Table, Value
from elec.pages.things.weight import KINDS
from elec.study import Study


def verdicts_table(changes: tuple[VerdictChange, ...]) -> Table:
    """Every verdict that differs: new, gone, worse, better."""
    return Table(
        id="compare-verdicts",
        title="Verdicts that differ",
        columns=(
            text("check", "Check"),
            text("about", "About"),
            text("before", "Before"),
            text("after", "After"),
            text("change", "So it is"),
        ),
        rows=tuple(
            (
                one.check,
                one.about,
                one.before.value if one.before else "",
                Cell(value=one.after.value if one.after else "", verdict=one.after),
                change_word(one),
            )
            for one in changes
        ),
    )


def change_word(one: VerdictChange) -> str:
    """New, gone, worse, better; of the same verdict, which way its number moved."""
    if one.after is None:
        return "gone"
    if one.before is None:
        return "new"
    if rank(one.after) == rank(one.before):
        return {"worse": "worse by its number", "better": "better by its number"}.get(
            one.number, "another number"
        )
    return "worse" if one.worse else "better"


def wires_table(changes: tuple[WireChange, ...]) -> Table:
    """Every wire that differs, and what has to be done to it."""
    return Table(
        id="compare-wires",
        title="Wires that differ",
        columns=(
            text("before", "Mark before"),
            text("after", "Mark after"),
            text("work", "Work"),
            text("from", "From"),
            text("to", "To"),
            text("gauge_awg", "AWG"),
            text("colour", "Colour", 2),
            text("length", "Run"),
            text("differs", "What differs", 2),
            text("state", "Built", 3),
        ),
        rows=tuple(_wire(one) for one in changes),
        note=(
            "Work: a wire that is to be thicker, longer, of another type or colour is replaced; "
            "one that is long enough for its other ends or way is ended or laid anew. Built: by "
            "the ticks in the older text, and behind the arrow by those of the newer one; of a "
            "wire that is not ticked nobody knows."
        ),
    )


def _wire(one: WireChange) -> tuple[Value, ...]:
    def both(of: Callable[[Known], str]) -> str:
        was, now = (of(known) if known else "" for known in (one.before, one.after))
        return now if was == now or not was else was if not now else f"{was} → {now}"

    known = one.after or one.before
    turned = (
        one.before is not None and one.after is not None and "ends" not in one.differs
    )  # the same ends, perhaps written the other way round
    return (
        one.before.mark if one.before else "",
        one.after.mark if one.after else "",
        one.does,
        (known.from_ if turned and known else both(lambda w: w.from_)),
        (known.to if turned and known else both(lambda w: w.to)),
        both(lambda w: w.gauge),
        both(lambda w: w.colour),
        both(lambda w: w.cut),
        ", ".join(one.differs),
        built_words(one),
    )


def built_words(one: WireChange) -> str:
    """How far a wire is by the older text's tick, and by the newer one's where that says other."""
    had = "" if one.before is None else one.before.state if one.before.ticked else "not ticked"
    has = one.after.state if one.after is not None and one.after.ticked else ""
    return " → ".join(dict.fromkeys(filter(None, (had, has))))


def contacts_table(before: Study, after: Study) -> Table:
    """Contacts that carry something else, or lead elsewhere."""
    return Table(
        id="compare-contacts",
        title="Contacts that differ",
        columns=(
            text("connector", "Connector"),
            text("contact", "Contact"),
            text("before", "Before"),
            text("after", "After"),
        ),
        rows=tuple(
            (one.connector, one.contact, one.before or "–", one.after or "–")
            for one in contact_changes(before, after)
        ),
    )


def devices_table(before: Study, after: Study) -> Table:
    """Protective devices that are new, gone or another."""
    return Table(
        id="compare-devices",
        title="Devices that differ",
        columns=(
            text("of", "Of"),
            text("before", "Before"),
            text("after", "After"),
        ),
        rows=tuple(
            (one.title, one.before or "–", one.after or "–")
            for one in device_changes(before, after)
        ),
    )


def loads_table(before: Study, after: Study) -> Table:
    """What all loads draw in the phases in which that differs."""
    pairs = [pair for pair in load_difference(before, after).pairs if _moved(pair)]
    return Table(
        id="compare-loads",
        title="Loads by phase",
        columns=(
            text("phase", "Phase"),
            text("condition", "By"),
            amps("connected_before_a", "Connected before"),
            amps("connected_after_a", "after"),
            amps("average_before_a", "On the average before"),
            amps("average_after_a", "after"),
        ),
        rows=tuple(
            (
                phase_title(after, pair.after.phase),
                pair.after.condition,
                _sum(pair.before.connected_a, pair.before.unknown),
                _sum(pair.after.connected_a, pair.after.unknown),
                _sum(pair.before.continuous_a, pair.before.unknown),
                _sum(pair.after.continuous_a, pair.after.unknown),
            )
            for pair in pairs
        ),
    )


def _moved(pair: TotalPair) -> bool:
    more = (pair.more_a("connected"), pair.more_a("average"))
    return max(map(abs, more)) >= SAME_A or pair.before.unknown != pair.after.unknown


def _sum(known_a: float, unknown: tuple[str, ...]) -> Value:
    return Cell(value=None, text=f"{known_a:.2f} + ?") if unknown else known_a


def weight_table(before: Study, after: Study) -> Table:
    """The harness and the equipment, in mass; what nobody knows the mass of is counted."""
    rows: list[tuple[Value, ...]] = []
    system = after.system.about.units
    for title, kinds in (("the harness", KINDS), ("equipment", ("equipment",))):
        was, now = (added(weight(study).of(*kinds)) for study in (before, after))
        if abs(now.mass_kg - was.mass_kg) >= SAME_KG or was.unknown != now.unknown:
            more = now.mass_kg - was.mass_kg
            known = not was.unknown and not now.unknown
            less = f"{'+' if more >= 0 else '-'}{units.show(abs(more), 'kg', system)}"
            rows.append(
                (
                    title,
                    _mass(was, system),
                    _mass(now, system),
                    less if known else f"{less}, of what has a mass",
                )
            )
    return Table(
        id="compare-weight",
        title="Weight",
        columns=(
            text("what", "What"),
            Column(key="before_kg", head="Before", unit="kg"),
            Column(key="after_kg", head="After", unit="kg"),
            text("more", "More"),
        ),
        rows=tuple(rows),
        note="Computed from lengths and tables; a real weighing supersedes it.",
    )


def _mass(found: Sum, system: units.UnitSystem) -> Value:
    if not found.unknown:
        return found.mass_kg
    return Cell(value=None, text=f"{units.show(found.mass_kg, 'kg', system)} + ?")


SAME_KG = 5e-4
"""Half a gram: masses nearer to each other than this print alike."""


def written_table(before: Study, after: Study) -> Table:
    """Every entry and value of the text that is another."""
    return Table(
        id="compare-text",
        title="What is written differently",
        columns=(
            text("section", "Section"),
            text("entry", "Entry"),
            text("key", "Value"),
            text("what", ""),
            text("before", "Before"),
            text("after", "After"),
        ),
        rows=tuple(
            (one.section, one.entry, one.key, one.what, one.before or "–", one.after or "–")
            for one in written_changes(before, after)
        ),
    )


__all__ = [
    "change_word", "contacts_table", "devices_table", "loads_table", "verdicts_table",
    "weight_table", "wires_table", "written_table",
]  # fmt: skip
