"""Small pieces that rows are laid out from: diodes, splices, stubs, terminals, contacts."""

from itertools import pairwise

from msgspec.structs import replace

from elec.model.load import Equipment
from elec.model.names import LETTERS
from elec.model.source import INSIDE, Alternator, FieldWire
from elec.model.switch import Pole
from elec.model.wiring import Circuit, Feeder
from elec.study import Study
from elec.wiring.joined.records import Chain, Conductor, Part, PartKind, Row


def feeder_name(feeder: Feeder) -> str:
    """The name of a feeder: given, or made from its ends."""
    return feeder.name or f"{feeder.from_}-to-{feeder.to}"


FIELD_CONTACT = "field"
"""The contact of a regulator that its field wire begins at, where none is named."""


def field_wire(study: Study, alternator: str) -> FieldWire | None:
    """The wire from the regulator to the field of an alternator; None where none is told of."""
    source = study.document.sources.get(alternator)
    wire = source.field_wire if isinstance(source, Alternator) else None
    return None if wire is None or wire.from_ == INSIDE else wire


def field_end(study: Study, circuit: str, load: str) -> tuple[str, FieldWire] | None:
    """The alternator and its field wire, where that leads on from a load of its field circuit."""
    for name, source in study.document.sources.items():
        wire = field_wire(study, name)
        own = isinstance(source, Alternator) and source.field_circuit == circuit
        if own and wire is not None and wire.from_.partition(".")[0] == load:
            return name, wire
    return None


def switched_by(entry: Feeder | Circuit) -> tuple[tuple[PartKind, str], ...]:
    """The contacts in a feeder or in the feed of a circuit, in order: how they are named, names."""
    found: tuple[tuple[PartKind, str | None], ...]
    if isinstance(entry, Feeder):
        found = (
            ("contactor", entry.contactor),
            ("switch", entry.switch),
            ("changeover", entry.changeover),
        )
    else:
        found = (
            ("contactor", entry.contactor),
            *(("switch", name) for name in entry.interlock),
            ("switch", entry.switch if entry.switched == "feed" and not entry.reverse else None),
        )
    return tuple((kind, name) for kind, name in found if name is not None)


def bonded_chain(chain: Chain) -> Chain:
    """The chain of a ground point without a wire: its conductor becomes a joint."""
    start, stop = chain.rows[0].parts
    joint = Part(
        id=f"{chain.name}/1",
        kind="bond",
        name=start.name,
        place=start.place,
        inlet=start.outlet,
        outlet=stop.inlet,
        label=f"joint of {start.label}",
    )
    row = Row(parts=(start, joint, stop), conductors=(None, None), role="ground")
    return replace(chain, rows=(row,))


SEGMENTS = LETTERS
"""Segment letters."""


def segment(index: int) -> str:
    """The letter of a segment; those after Z have two."""
    if index < len(SEGMENTS):
        return SEGMENTS[index]
    return SEGMENTS[index // len(SEGMENTS) - 1] + SEGMENTS[index % len(SEGMENTS)]


def terminal_title(part: Part) -> str:
    """The end of a signal wire as a person says it.

    `radio J1-3`, `terminal sense of voltage regulator`, `load side of starter contactor`,
    `main bus`.
    """
    connector, _, pin = part.contact.rpartition(".")
    if part.kind == "connector":
        return f"{part.label} {part.contact}"
    if part.kind in ("switch", "contactor", "changeover"):
        return f"{part.contact} side of {part.label}"
    if connector:
        return f"{part.label} {connector}-{pin}"
    plain = ("", "+", "-", "1")
    if part.contact.isdigit() and part.contact not in plain:
        return f"{part.label} {part.contact}"
    return part.label if part.contact in plain else f"terminal {part.contact} of {part.label}"


def at_terminal(part: Part, side: int) -> Part:
    """A switch as a wire sees it that ends on its line terminal (0) or its load terminal (1)."""
    terminal = part.terminals[side]
    return replace(part, contact=terminal) if terminal else part


def throws(part: Part, pole: Pole) -> tuple[Part, tuple[Part, ...]]:
    """The common terminal of a pole that leads on to several, and the contact to each of them."""
    node = f"{part.id}/{pole.line}"
    post = replace(
        part, id=node, kind="post", contact=pole.line, inlet=node, outlet=node, terminals=("", "")
    )
    return post, tuple(
        replace(
            part,
            id=f"{part.id}/{terminal}",
            inlet=node,
            outlet=f"{part.id}/{terminal}.out",
            terminals=(pole.line, terminal),
        )
        for terminal in pole.load
    )


def diode_part(chain: str, kind: str, place: str, outlet: str = "") -> Part:
    """A diode of a feeder, which ends on the bus, or of a circuit."""
    return Part(
        id=f"{chain}/diode",
        kind="diode",
        name=kind,
        place=place,
        inlet=f"{chain}/diode.in",
        outlet=outlet or f"{chain}/diode.out",
        label=f"{kind} diode",
    )


def splice_part(chain: str, place: str, node: str = "splice") -> Part:
    """A splice of a circuit or signal wire."""
    id_ = f"{chain}/{node}"
    label = "return splice" if node.startswith("return") else "splice"
    return Part(id=id_, kind="splice", name=chain, place=place, inlet=id_, outlet=id_, label=label)


def cores_of(cable_type: str) -> int:
    """Number of cores in a type such as `3-core AWG 22 shielded`."""
    head = cable_type.partition("-core")[0].strip()
    return int(head) if head.isdigit() else 1


def gauge_of(cable_type: str) -> str | None:
    """Gauge in a type such as `3-core AWG 22 shielded`."""
    words = cable_type.replace(",", " ").split()
    for first, second in pairwise(words):
        if first.upper() == "AWG":
            return second
    return None


def stub_of(wire: Conductor, device: Part, path: tuple[str | int, ...]) -> Conductor:
    """The wire between a bus or post and a device, which nothing protects."""
    far = "far-" if path[-1] == "far-end" else ""
    length = device.protection.stub_m if device.protection is not None else None
    return replace(
        wire, id=f"{wire.chain}/{far}stub", length_m=length, path=(*path, device.kind), stub=True
    )


def turned_round(part: Part) -> Part:
    """A connector passed from its far side to its near side."""
    return replace(part, inlet=part.outlet, outlet=part.inlet)


def pins_with(entry: Equipment, signal: str) -> tuple[str, ...]:
    """Contacts of a piece of equipment that carry a signal: ("J1.1",)."""
    return tuple(
        f"{connector}.{pin}"
        for connector, what in entry.connectors.items()
        for pin, contact in what.pins.items()
        if contact.signal == signal
    )
