"""The cards of equipment, circuits, buses, places and ways."""

from collections.abc import Iterator, Mapping

from elec.answers.base.marks import marks
from elec.answers.connect.pins import pins
from elec.answers.why.why_names import WhySubject
from elec.pages.cards.card import Card, card_of, facts
from elec.pages.circuits.bundle import bundles
from elec.pages.circuits.equipment import equipment as equipment_list
from elec.pages.circuits.wire import circuits, sheet
from elec.pages.columns import place_title, text
from elec.pages.table import Table
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.wiring.ends import SWITCHED, end_id
from elec.wiring.runs import runs
from elec.wiring.surroundings import surroundings


@analysis
def _equipment_list(study: Study) -> Table:
    return equipment_list(study)


@analysis
def _circuits(study: Study) -> Table:
    return circuits(study)


@analysis
def _bundles(study: Study) -> Mapping[str, int]:
    """Id of a bundle → its row."""
    found = surroundings(study).listed()
    return {one.id: number for number, one in enumerate(b for b in found if b.known)}


@analysis
def _bundle_table(study: Study) -> Table:
    return bundles(study)


@analysis
def _ends(study: Study) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """Kind and name of what wires end on → their marks; equipment with all its connectors.

    The kind is that of its card: a switch, a load and a circuit may bear one name.
    """
    found: dict[tuple[str, str], dict[str, None]] = {}
    for conductor in chains(study).conductors():
        for part in (conductor.a, conductor.b):
            if part.rated:  # a breaker bears the name of its circuit, which a box may have, too
                continue
            whole, kind = end_id(part), "switch" if part.kind in (*SWITCHED, "post") else part.kind
            for name in {whole, whole.partition(".")[0]}:
                found.setdefault((kind, name), {})[marks(study)[conductor.id]] = None
    return {key: tuple(some) for key, some in found.items()}


@card_of("equipment")
def equipment(study: Study, subject: WhySubject) -> Card:
    """A piece of equipment: its row of the list, its connectors and all wires that end on it."""
    table = _equipment_list(study)
    row = table.rows[list(study.document.equipment).index(subject.name)]
    own = [one.id for one in pins(study).by_id.values() if one.equipment == subject.name]
    fed = chains(study).feeds.get(subject.name, ())
    return Card(
        kind="equipment",
        name=subject.name,
        title=subject.title,
        facts=facts(table, row, without=frozenset({"equipment"})),
        wires=_ends(study).get((subject.kind, subject.name), ()),
        things=(*fed, *own, study.document.equipment[subject.name].place),
        drawn=subject.name,
    )


@card_of("circuit")
def circuit(study: Study, subject: WhySubject) -> Card:
    """A circuit: its rows of the list, one a load, and its wires."""
    table = _circuits(study)
    chain = chains(study).by_name[subject.name]
    found = [
        fact
        for row in table.rows
        if getattr(row[0], "ref", None) == sheet(subject.name)
        for fact in facts(table, row, without=frozenset({"circuit"}))
    ]
    return Card(
        kind="circuit",
        name=subject.name,
        title=subject.title,
        facts=tuple(found),
        wires=tuple(dict.fromkeys(marks(study)[c.id] for c in chain.conductors())),
        things=tuple(chain.loads),
        drawn=subject.name,
        ref=sheet(subject.name),
    )


@card_of("bus")
def bus(study: Study, subject: WhySubject) -> Card:
    """A bus: what it feeds, the wires on it and those on the devices that sit on it."""
    fed = [c.name for c in chains(study).of("circuit") if c.source_end == subject.name]
    own = _ends(study).get((subject.kind, subject.name), ())
    entry = study.document.buses[subject.name]
    return Card(
        kind="bus",
        name=subject.name,
        title=subject.title,
        facts=((text("place", "Place"), place_title(study, entry.place)),),
        wires=tuple(dict.fromkeys((*own, *_on_devices(study, subject.name)))),
        things=tuple(fed),
        drawn=subject.name,
    )


def _on_devices(study: Study, name: str) -> Iterator[str]:
    """Marks of the wires on the far terminals of the breakers and fuses that sit on a bus."""
    for chain in chains(study).by_name.values():
        sides = ((chain.source_end, chain.device), (chain.far_end, chain.far_device))
        devices = {device.id for end, device in sides if end == name and device is not None}
        for conductor in chain.conductors():
            if not devices.isdisjoint({conductor.a.id, conductor.b.id}):
                yield marks(study)[conductor.id]


@analysis
def _lying(study: Study) -> Mapping[str | int, tuple[str, ...]]:
    """Place, or number of a way → the marks of all that passes it."""
    found: dict[str | int, dict[str, None]] = {}
    for conductor in chains(study).conductors():
        run = runs(study)[conductor.id]
        passed: list[str | int] = [*run.places, *(leg.index for leg in run.legs)]
        for where in passed:
            found.setdefault(where, {})[marks(study)[conductor.id]] = None
    return {where: tuple(some) for where, some in found.items()}


@card_of("place")
def place(study: Study, subject: WhySubject) -> Card:
    """A place: what sits in it, and every wire that passes it or ends in it."""
    inside = [n for n, e in study.document.equipment.items() if e.place == subject.name]
    zones = [z for z, entry in study.document.zones.items() if subject.name in entry.places]
    titles = ", ".join(study.system.title("zones", zone) for zone in zones)
    return Card(
        kind="place",
        name=subject.name,
        title=subject.title,
        facts=((text("zones", "In the zone"), titles),) if titles else (),
        wires=_lying(study).get(subject.name, ()),
        things=tuple(inside),
    )


@card_of("way")
def way(study: Study, subject: WhySubject) -> Card:
    """A way with its holes: its row of the bundles, and every wire that lies on it."""
    number = int(subject.name)
    found = surroundings(study).listed()
    key = next((one.id for one in found if one.leg == number), None)
    table = _bundle_table(study)
    row = table.rows[_bundles(study)[key]] if key is not None and key in _bundles(study) else None
    return Card(
        kind="way",
        name=subject.ask,
        title=subject.title,
        facts=facts(table, row, without=frozenset({"way", "holds"})) if row else (),
        wires=_lying(study).get(number, ()),
        things=study.document.ways[number].between,
    )


def _ending(study: Study, subject: WhySubject) -> Card:
    """Whatever wires end on: where it is, and its wires."""
    return Card(
        kind=subject.kind,
        name=subject.name,
        title=subject.title,
        facts=(),
        wires=_ends(study).get((subject.kind, subject.name), ()),
        drawn=subject.name,
    )


for _kind in ("ground", "switch", "source"):
    card_of(_kind)(_ending)


def _chain(study: Study, subject: WhySubject) -> Card:
    """A feeder or a ground connection: what it joins, and its wires."""
    chain = chains(study).by_name[subject.name]
    return Card(
        kind=subject.kind,
        name=subject.name,
        title=subject.title,
        facts=(),
        wires=tuple(dict.fromkeys(marks(study)[c.id] for c in chain.conductors())),
        things=tuple(name for name in (chain.source_end, chain.far_end) if name),
        drawn=subject.name,
    )


for _kind in ("feeder", "ground connection"):
    card_of(_kind)(_chain)
