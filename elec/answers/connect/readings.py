"""What an ohmmeter reads at a contact of an unplugged connector: ground, bus, other contacts.

In: chains, pins. Out: a `EndReading` for every end that a contact is joined to by copper, with the
most that passes there, which for one wire is that of the ring-out. The state
is that of a ring-out: the battery disconnected, every box unplugged or unhooked; a breaker, fuse or
switch on the way is named, for it has to be closed; one of no more than the test current with its
rating. Resistances are those of the wires with their crimps at 20 °C, and of the breaker, fuse,
switch on the way, as given or usual (`part_ohm`), which the network counts with, too. What is not
named must read open. A way over a wire into which no tester may send anything is `barred`: it is
not measured.
"""

import heapq
from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from elec import units
from elec.answers.connect.pins import ConnectorPins, Landing, pins
from elec.answers.connect.vapour import left_out
from elec.answers.drop.end_to_end import end_to_end_ohm, most_ohm
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.circuit_model import part_ohm
from elec.wiring.ends import end_text

CLOSED_BY_HAND = ("breaker", "fuse", "limiter", "link", "switch", "contactor", "changeover")
OPEN = {"switch": "all switches off", "breaker": "breakers out", "fuse": "fuses out"}
"""How devices stand while a wire is rung, by their kind."""
CLOSED = "only what a row names is closed"
"""What is not open then: the readings of a connector go on through it."""
ENDS = ("bus", "source", "post", "ground", "equipment", "place")
"""Parts at which a reading ends: what lies behind them is another thing's matter. A terminal in
the middle of a circuit is none."""
_BLOCKS = ("diode",)
"""An ohmmeter reads nothing sure through it."""


@analysis
def all_open(study: Study) -> str:
    """What is open while a wire is rung, of the kinds that the system has, in words."""
    kinds = {part.kind for chain in chains(study).by_name.values() for part in chain.parts()}
    return ", ".join(text for kind, text in OPEN.items() if kind in kinds) or "nothing powered"


class EndReading(Struct, frozen=True, kw_only=True):
    """One end that a contact is joined to."""

    end: str
    """In words: `main bus`, `intercom, J1 contact 3`."""
    kind: str
    """The kind of part that it is: bus, ground, equipment, connector, place."""
    key: str
    """The id of that end."""
    ohm: float | None
    """Resistance of the wires up to there at 20 °C; None where a length or gauge is not known."""
    most_ohm: float | None = None
    """The most that passes; None where the resistance is not known."""
    through: tuple[str, ...] = ()
    """What has to be closed on the way."""
    place: str = ""
    gently: bool = False
    """Whether a device on the way is for no more than the current of a ring-out."""
    barred: bool = False
    """Whether a wire on the way ends at a tank's sender or in fuel vapour: nothing is measured."""


class _Edge(Struct, frozen=True, kw_only=True):
    """A wire, or two parts that touch."""

    to: str
    ohm: float | None
    barred: bool = False
    wire: str = ""
    """Id of the wire; empty where parts touch."""


class _Way(Struct, frozen=True, kw_only=True):
    """How a node was reached."""

    known: bool = True
    wires: tuple[str, ...] = ()
    through: tuple[str, ...] = ()
    gently: bool = False
    barred: bool = False


class _Copper(Struct, frozen=True, kw_only=True):
    """All that is joined, as a graph: a connector between harnesses has a node for each half."""

    edges: Mapping[str, tuple[_Edge, ...]]
    parts: Mapping[str, Part]
    closed_ohm: Mapping[str, float]
    """What each thing that is closed by hand has, Ω."""
    small: Mapping[str, str]
    """Devices of no more than the current of a ring-out → their rating."""


Key = tuple[str, str, str]
"""Connector, its half (`equipment`, `near`, `far`), contact."""


@analysis
def readings(study: Study) -> Mapping[Key, tuple[EndReading, ...]]:
    """Every contact with a wire → what it is joined to, grounds and buses first."""
    copper = _copper(study)
    found: dict[Key, tuple[EndReading, ...]] = {}
    for one in pins(study).by_id.values():
        for pin in one.pins:
            for side in dict.fromkeys(landing.side for landing in pin.landings):
                key = (one.id, side, pin.contact)
                node = _own(one, pin.contact, side)
                if node not in copper.edges:
                    node = one.id  # the single contact of a coaxial connector
                found[key] = tuple(_reached(study, copper, node))
    return found


def _own(one: ConnectorPins, contact: str, side: str) -> str:
    return f"{one.id}.{contact} {side}" if one.inline else f"{one.id}.{contact}"


def _copper(study: Study) -> _Copper:
    edges: dict[str, list[_Edge]] = {}
    parts: dict[str, Part] = {}
    closed: dict[str, float] = {}
    small: dict[str, str] = {}
    sent_a = default("ring-out-current").si
    sizes = sizing(study).sizes()
    sides = _sides(study)
    for chain in chains(study).by_name.values():
        for a, b, conductor in _joints(chain):
            ohm = 0.0 if conductor is None else end_to_end_ohm(study)[conductor.id]
            one, two = (_node(part, conductor, sides) for part in (a, b))
            parts[one], parts[two] = a, b
            for node, part in ((one, a), (two, b)):
                if part.kind in CLOSED_BY_HAND:
                    closed[node] = part_ohm(study, chain, part, sizes)
                    rating_a = sizes.ratings.get(part.rated or chain.name)
                    if part.protection is not None and rating_a is not None and rating_a <= sent_a:
                        small[node] = units.show(rating_a, "a")
            barred = conductor is not None and left_out(study, conductor)
            wire = "" if conductor is None else conductor.id
            edges.setdefault(one, []).append(_Edge(to=two, ohm=ohm, barred=barred, wire=wire))
            edges.setdefault(two, []).append(_Edge(to=one, ohm=ohm, barred=barred, wire=wire))
    return _Copper(
        edges={k: tuple(v) for k, v in edges.items()}, parts=parts, closed_ohm=closed, small=small
    )


def _joints(chain: Chain) -> Iterator[tuple[Part, Part, Conductor | None]]:
    """Every two parts that are joined, once."""
    seen: set[str] = set()
    for row in chain.rows:
        for k, conductor in enumerate(row.conductors):
            name = conductor.id if conductor else f"{row.parts[k].id} {row.parts[k + 1].id}"
            if name not in seen:
                seen.add(name)
                yield row.parts[k], row.parts[k + 1], conductor


_Sides = Mapping[str, Mapping[str, Landing]]
"""Conductor → contact's id → how it lands there."""


def _sides(study: Study) -> _Sides:
    found: dict[str, dict[str, Landing]] = {}
    for one in pins(study).by_id.values():
        for pin in one.pins:
            for landing in pin.landings:
                found.setdefault(landing.conductor, {})[f"{one.id}.{pin.contact}"] = landing
    return found


def _node(part: Part, conductor: Conductor | None, sides: _Sides) -> str:
    """The node of an end: one half of a connector between harnesses, a contact, or a part."""
    contact = f"{part.name}.{part.contact}" if part.contact else part.name
    if part.kind == "connector":
        landing = sides.get(conductor.id if conductor else "", {}).get(contact)
        return f"{contact} {landing.side if landing else 'near'}"
    return contact if part.kind == "equipment" else part.id


def _reached(study: Study, copper: _Copper, start: str) -> Iterator[EndReading]:
    """The ends that a node is joined to, the nearest in copper first."""
    ends: list[EndReading] = []
    done: set[str] = set()
    count = 0
    queue: list[tuple[float, int, str, _Way]] = [(0.0, 0, start, _Way())]
    while queue:
        ohm, _, node, way = heapq.heappop(queue)
        if node in done:
            continue
        done.add(node)
        part = copper.parts.get(node)
        if node != start and part is not None:
            if part.kind in (*ENDS, "connector"):
                ends.append(_reading(study, part, ohm, way))
                continue
            if part.kind in _BLOCKS:
                continue
            if part.kind in CLOSED_BY_HAND and not _goes_on(copper, node, done):
                ends.append(_reading(study, part, ohm, way))
                continue
            if part.kind in CLOSED_BY_HAND:
                ohm += copper.closed_ohm.get(node, 0.0)
                said = f"{copper.small.get(node, '')} {_closed(study, part)}".strip()
                small = way.gently or node in copper.small
                way = replace(way, through=(*way.through, said), gently=small)
        for edge in copper.edges.get(node, ()):
            count += 1
            on = replace(
                way,
                known=way.known and edge.ohm is not None,
                wires=(*way.wires, *((edge.wire,) * bool(edge.wire))),
                barred=way.barred or edge.barred,
            )
            heapq.heappush(queue, (ohm + (edge.ohm or 0.0), count, edge.to, on))
    order = {"ground": 0, "bus": 1, "source": 1}
    yield from sorted(ends, key=lambda r: order.get(r.kind, 2))


def _goes_on(copper: _Copper, node: str, done: set[str]) -> bool:
    """Whether copper leads on from a device: a thin wire's fuse is the end of that wire."""
    return any(edge.to not in done for edge in copper.edges.get(node, ()))


def _reading(study: Study, part: Part, ohm: float, way: _Way) -> EndReading:
    contact = f"{part.name}.{part.contact}" if part.contact else part.name
    told = way.known and not way.barred
    return EndReading(
        end=end_text(study, part),
        kind=part.kind,
        key=contact,
        ohm=ohm if told else None,
        most_ohm=most_ohm(study, way.wires, ohm) if told else None,
        through=way.through,
        gently=way.gently,
        place=part.place,
        barred=way.barred,
    )


def _closed(study: Study, part: Part) -> str:
    """What has to be closed, in words."""
    if part.kind in ("breaker", "fuse", "limiter", "link"):
        return f"{part.kind} {'closed' if part.kind == 'breaker' else 'in'}"
    label, way = part.label or end_text(study, part), _way_of(study, part)
    return f"{label} at {way}" if way else f"{label} on"


def _way_of(study: Study, part: Part) -> str:
    """The way in which a switch turns a motor while its pole joins its terminals, if it does."""
    turned = (c.reverse for c in study.document.circuits.values() if c.switch == part.name)
    ways = (one.ways[0] for one in turned if one is not None and one.by == "switch")
    return next(ways, "") if all(part.terminals) else ""
