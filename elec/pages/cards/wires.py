"""The cards of wires, contacts and connectors."""

from collections.abc import Iterator, Mapping

from elec.answers.base.marks import marks
from elec.answers.connect.pins import pins
from elec.answers.heat.heat import heat
from elec.answers.why.why_names import WhySubject
from elec.pages.cards.card import Card, Fact, card_of, facts
from elec.pages.circuits.pin import connectors, pin_tables_by_id
from elec.pages.circuits.wire import conductors, device, used, why_id
from elec.pages.columns import amps, degc, share, text
from elec.pages.table import Table, Value
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.coils import behind_common, feeding
from elec.wiring.ends import end_id
from elec.wiring.laid import laid
from elec.wiring.runs import runs


@analysis
def _schedule(study: Study) -> tuple[Table, Mapping[str, tuple[Value, ...]]]:
    table = conductors(study)
    every = [c for chain in chains(study).by_name.values() for c in chain.conductors()]
    return table, {c.id: row for c, row in zip(every, table.rows, strict=True)}


@analysis
def _of(study: Study) -> Mapping[str, tuple[Chain, Conductor]]:
    return {
        c.id: (chain, c) for chain in chains(study).by_name.values() for c in chain.conductors()
    }


@card_of("wire")
def wire(study: Study, subject: WhySubject) -> Card:
    """A wire: its row of the schedule, what it carries, how warm it gets, its way and holes."""
    table, rows = _schedule(study)
    chain, conductor = _of(study)[subject.name]
    ends = [end_id(part) for part in (conductor.a, conductor.b)]
    return Card(
        kind="wire",
        name=marks(study)[conductor.id],
        title=chain.title,
        facts=(
            *facts(table, rows[conductor.id], without=frozenset({"mark", "run"})),
            *_carried(study, chain, conductor),
            *_way(study, conductor),
        ),
        things=tuple(dict.fromkeys((chain.name, *ends, *_equipment(conductor)))),
        drawn=conductor.id,
        ref=why_id(chain.name),
    )


def _equipment(conductor: Conductor) -> Iterator[str]:
    for part in (conductor.a, conductor.b):
        yield end_id(part).partition(".")[0]


def _carried(study: Study, chain: Chain, conductor: Conductor) -> Iterator[Fact]:
    hot = heat(study).get(conductor.id)
    if hot is not None:
        known = not hot.unknown
        yield amps("current_a", "Carries at most"), hot.current_a if known else None
        yield degc("warmest_degc", "Warm to"), hot.warmest_degc if known else None
        yield share("used_fraction", "Of what it may carry"), used(study, hot)
    if chain.device is not None:
        yield text("device", "Protected by"), device(study, chain)
    others = [
        f"{sized.label} of {chains(study).by_name[name].title}"
        for name in feeding(study, chain)
        if conductor in behind_common(study)[name][1]
        and (sized := sizing(study).devices.get(name)) is not None
    ]
    if others:  # behind a relay that changes over
        yield text("devices", "Fed behind its relay through"), ", ".join(others)


def _way(study: Study, conductor: Conductor) -> Iterator[Fact]:
    numbers = [leg.index for leg in runs(study)[conductor.id].legs]
    ways = [study.document.ways[number] for number in numbers]
    names = [way.title for way in ways]
    if names:
        yield text("ways", "Lies along"), ", ".join(names)
    holes = [
        f"{hole.diameter_m * 1000:.0f} mm {'with' if hole.grommet else 'without'} grommet ({name})"
        for number, way, name in zip(numbers, ways, names, strict=True)
        for hole in way.holes
        if hole.bundle in (None, _bundle(study, number, conductor.chain) or hole.bundle)
    ]
    if holes:
        yield text("holes", "Passes holes"), ", ".join(holes)


def _bundle(study: Study, way: int, chain: str) -> str:
    """The bundle of a way in which a chain lies; empty where the file does not say."""
    found = laid(study).get(way)
    return found.of.get(chain, "") if found is not None else ""


@card_of("contact")
def contact(study: Study, subject: WhySubject) -> Card:
    """A contact: every wire that lands on it, as the pin table says."""
    name, _, number = subject.name.rpartition(".")
    one = pins(study).by_id[name]
    table = pin_tables_by_id(study)[name]
    rows = [row for row in table.rows if str(getattr(row[0], "value", row[0])) == number]
    found = [fact for row in rows for fact in facts(table, row, without=frozenset({"contact"}))]
    landed = [landing.mark for landing in one.pin(number).landings]
    return Card(
        kind="contact",
        name=subject.name,
        title=f"{one.title}, contact {number}",
        facts=tuple(found),
        wires=tuple(landed),
        things=tuple(dict.fromkeys((name, one.equipment))) if one.equipment else (name,),
        drawn=subject.name,
        ref=f"pins-{name}",
    )


@card_of("connector")
def connector(study: Study, subject: WhySubject) -> Card:
    """A connector: its row of the list, and the wires on it contact by contact."""
    table = connectors(study)
    row = next(r for r in table.rows if getattr(r[0], "value", r[0]) == subject.name)
    one = pins(study).by_id[subject.name]
    landed = [landing.mark for pin in one.pins for landing in pin.landings if landing.mark]
    return Card(
        kind="connector",
        name=subject.name,
        title=one.title,
        facts=facts(table, row, without=frozenset({"connector", "title"})),
        wires=tuple(dict.fromkeys(landed)),
        things=(one.equipment,) if one.equipment else (),
        ref=f"pins-{subject.name}",
    )
