"""What must be unplugged before a current or a voltage is sent through the wires, by name."""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.answers.connect.magnetos import magneto_leads
from elec.answers.connect.vapour import in_vapour, left_out, sender
from elec.cautions import CARE
from elec.model.load import Equipment
from elec.pages.columns import listed, place_title, text
from elec.pages.document import Block, Items, Paragraph, TableBlock
from elec.pages.table import Table, Value
from elec.study import Study
from elec.wiring.chains import Conductor, Part, chains
from elec.wiring.ends import end_text, wire_ends


def tested(study: Study) -> tuple[Conductor, ...]:
    """Wires and cores through which a current or a test voltage may be sent."""
    every = chains(study).conductors()
    return tuple(c for c in every if c.role != "coax" and not left_out(study, c))


def not_tested(study: Study, test: str) -> Table:
    """Wires that are left out of ring-out and insulation test, by name."""
    rows = tuple(
        (
            marks(study)[c.id],
            *wire_ends(study, c),
            _danger(study, c.a if in_vapour(study, c.a) else c.b),
            "☐",
        )
        for c in chains(study).conductors()
        if left_out(study, c)
    )
    return Table(
        id=f"left-out-of-{test}",
        title="Left out: tank senders, and ends where fuel vapour may be",
        columns=(
            text("mark", "Mark"),
            text("from", "From"),
            text("to", "To"),
            text("why", "Why"),
            text("ok", "Looked at"),
        ),
        rows=rows,
        note=(
            "No tester of any kind on these while fuel is in the tank or was. Look at both crimps, "
            "pull by hand; measure before the sender goes in, or with the tank empty and aired "
            "as its maker says."
        ),
    )


def _danger(study: Study, part: Part) -> str:
    """What is at an end that no tester may reach."""
    spot = study.document.places.get(part.place)
    if spot is not None and spot.fuel_vapour:
        return f"fuel vapour, {place_title(study, part.place)}"
    return "sender in fuel"


def apart(study: Study) -> Table:
    """What must be off the wires, by name, with its place."""
    return Table(
        id="unplugged",
        title="Unplugged first",
        columns=(
            text("what", "What"),
            text("place", "Place", 2),
            text("how", "How"),
            text("why", "Why"),
            text("ok", "Off"),
        ),
        rows=tuple(_apart(study)),
        note=(
            "Things that stand in no file are searched for and taken off, too: surge parts, "
            "filters, suppressor diodes over coils, anything with a lamp in it."
        ),
    )


def _apart(study: Study) -> Iterator[tuple[Value, ...]]:
    document, title = study.document, study.system.title
    for name, source in document.sources.items():
        why = "a test voltage kills its diodes and regulator"
        if source.kind != "alternator":
            why = "a source: nothing is tested on a live wire"
        where = place_title(study, source.place)
        yield title("sources", name), where, "leads off both posts, covered", why, "☐"
    done: set[str] = set()
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind == "diode" and part.id not in done:
                done.add(part.id)
                where = place_title(study, part.place)
                yield (
                    f"{end_text(study, part)} of {chain.title}",
                    where,
                    "wires off both sides",
                    "it passes one way, and 250 V may break it down",
                    "☐",
                )
    reached = _reached(study)
    for name, entry in document.equipment.items():
        spot = document.places.get(entry.place)
        vapour = sender(name, entry) or (spot is not None and spot.fuel_vapour)
        if entry.passive and not vapour and name not in reached:
            continue
        yield (
            title("equipment", name),
            place_title(study, entry.place),
            _how(entry),
            _why(entry, vapour),
            "☐",
        )


def _reached(study: Study) -> frozenset[str]:
    """Equipment to which a tested wire leads: a sensor that draws nothing is killed as well."""
    ends = (part for c in tested(study) for part in (c.a, c.b))
    return frozenset(part.name for part in ends if part.kind == "equipment")


def _how(entry: Equipment) -> str:
    """Plugs out; where wires end on screws or on its own leads, these off."""
    plugs = [n for n, one in entry.connectors.items() if one.type != TERMINALS]
    if not plugs:
        return "wires off"
    bare = " and wires off" if len(plugs) < len(entry.connectors) else ""
    return f"{'plugs' if plugs[1:] else 'plug'} {listed(plugs)} out{bare}"


TERMINALS = "terminals"
"""The type of a connector that is none: screws or leads."""


def _why(entry: Equipment, vapour: bool) -> str:
    if vapour:
        return "fuel vapour: its wires are not tested at all"
    if entry.passive:
        return "250 V may break what is in it"
    if entry.character == "electronic":
        return "electronics: a test voltage kills it"
    return "its own resistance is read; 250 V may break it"


def _magneto(study: Study) -> tuple[Block, ...]:
    """The caution of magneto leads, where there are magnetos."""
    if not magneto_leads(study):
        return ()
    return (Paragraph(text=f"{CARE['magneto']} {CARE['magneto leads']}", kind="caution"),)


def before_ringing(study: Study) -> tuple[Block, ...]:
    """What stands before a ring-out."""
    return (
        Paragraph(text=f"{CARE['battery']} {CARE['ring-out']}", kind="caution"),
        *_magneto(study),
        Items(items=RINGING, boxes=True),
        *_table(not_tested(study, "ring-out")),
    )


RINGING = (
    "Every battery out or its leads off and covered; no supply, no charger.",
    (
        "Every box and sensor unplugged; bare wires off coils, lamps, motors, regulators and "
        'diodes: the insulation test\'s list "Unplugged first" names each of them.'
    ),
)


def _table(table: Table) -> tuple[Block, ...]:
    return (TableBlock(table=table),) if table.rows else ()


def before_insulation(study: Study) -> tuple[Block, ...]:
    """What stands before an insulation test."""
    return (
        Paragraph(text=f"{CARE['ring-out']} {CARE['shock']}", kind="caution"),
        TableBlock(table=apart(study)),
        *_table(not_tested(study, "insulation-test")),
    )
