"""What is joined to what.

Every circuit, feeder, ground and signal wire as rows of parts and conductors.

In: the builder's document. Out: `Chains`. Drawings, network and tables all read the same rows, so
they cannot disagree.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import pairwise
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from elec.model.load import Equipment
from elec.model.run import leg_wire, legs_of, pairs_of
from elec.model.source import INSIDE, Alternator, FieldWire
from elec.model.switch import REST, Pole
from elec.model.wiring import Cable, Circuit, Coax, Feeder, Protection, Through
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.material import bears

PartKind = Literal[
    "bus",
    "source",
    "post",
    "breaker",
    "fuse",
    "limiter",
    "link",
    "shunt",
    "switch",
    "contactor",
    "changeover",
    "diode",
    "splice",
    "connector",
    "equipment",
    "ground",
    "bond",
    "place",
]
ChainKind = Literal["circuit", "feeder", "ground", "wire", "cable"]
Role = Literal["feed", "return", "ground", "signal", "shield", "coax", "spare"]

STRUCTURE = "structure"
"""The node of the metal airframe."""


class Part(Struct, frozen=True, kw_only=True):
    """A thing that a row passes through or ends at; `inlet` and `outlet` are network nodes."""

    id: str
    kind: PartKind
    name: str
    """The builder's identifier in its section."""
    contact: str = ""
    """Connector and contact where the wire ends: `J1.8`, `+`, `A`."""
    place: str
    inlet: str
    outlet: str
    label: str = ""
    protection: Protection | None = None
    rated: str = ""
    """Under which name its rating is kept, of a protective device."""
    terminals: tuple[str, str] = ("", "")
    """Of a switch, the terminals of this pole: line and load."""
    resting: bool = False
    """A contact of a relay that is closed while its coil is not energised."""


class Conductor(Struct, frozen=True, kw_only=True):
    """One physical wire or core from the outlet of part `a` to the inlet of part `b`."""

    id: str
    """`chain/ordinal`: stays the same as long as the chain does."""
    chain: str
    role: Role
    a: Part
    b: Part
    gauge: str | None = None
    """What the builder gave; None: to be chosen."""
    wire: str | None = None
    colour: str | None = None
    length_m: float | None = None
    """What the builder gave or measured; None: from the ways."""
    via: tuple[str, ...] = ()
    segment: str = ""
    cable: str | None = None
    core: str | None = None
    signal: str = ""
    parallel: int = 1
    """How many wires share this load's current."""
    path: tuple[str | int, ...] = ()
    """Where the builder wrote it, where that is not with its chain."""
    stub: bool = False
    """Whether it lies before the device that protects the others."""
    tail: bool = False
    """Whether it leads on from a diode to the bus."""


class Row(Struct, frozen=True, kw_only=True):
    """Parts in order with the conductors between them.

    None where two parts touch (a breaker on a bus bar).
    """

    parts: tuple[Part, ...]
    conductors: tuple[Conductor | None, ...]
    equipment: str = ""
    role: Role = "feed"


class Chain(Struct, frozen=True, kw_only=True, dict=True):
    """Everything one circuit, feeder, ground connection, wire or cable consists of."""

    name: str
    kind: ChainKind
    path: tuple[str | int, ...]
    """Where the builder wrote it."""
    title: str
    function: str
    number: int
    rows: tuple[Row, ...]
    device: Part | None = None
    far_device: Part | None = None
    """A second protective device, at the far end."""
    source_end: str = ""
    """The bus or source that it is fed from."""
    far_end: str = ""
    loads: tuple[str, ...] = ()
    hot: bool = False
    """Of a wire under `wires:`: a source feeds a short in it, as one of a bus, a post, a contact,
    of a lamp, or of a wire that goes on from such a one through a connector: a thin wire."""
    guards: tuple[str, ...] = ()
    """Of a thin wire: the chains whose devices guard it; its own alone where it has one."""
    output: str = ""
    """Of a thin wire: the equipment that it comes out of, as that of a lamp."""
    after: str = ""
    """Of a thin wire: the circuit or wire behind which it begins; empty at a bus or post."""

    @property
    def brings_power(self) -> bool:
        """Whether a short in it is fed by a source: a circuit, a feeder, a thin wire."""
        return self.kind in ("circuit", "feeder") or self.hot

    @cached_property
    def far(self) -> "Chain | None":
        """The same chain as its second device sees it, from the far end; None without one."""
        if self.far_device is None:
            return None
        return replace(
            self,
            name=self.far_device.rated,
            path=(*self.path, "far-end"),
            title=f"{self.title}, far end",
            device=self.far_device,
            far_device=None,
            source_end=self.far_end,
            far_end=self.source_end,
        )

    def parts(self) -> tuple[Part, ...]:
        """Every part once, in order."""
        return self._parts

    def ends(self) -> tuple[Part, ...]:
        """Where its rows end."""
        return tuple(row.parts[-1] for row in self.rows)

    def conductors(self) -> tuple[Conductor, ...]:
        """Every conductor once, in order."""
        return self._conductors

    @cached_property
    def _parts(self) -> tuple[Part, ...]:
        return tuple({part.id: part for row in self.rows for part in row.parts}.values())

    @cached_property
    def _conductors(self) -> tuple[Conductor, ...]:
        found = {c.id: c for row in self.rows for c in row.conductors if c is not None}
        return tuple(found.values())


class Chains(Struct, frozen=True, kw_only=True, dict=True):
    """All chains of the system by name."""

    by_name: Mapping[str, Chain]
    feeds: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Equipment → names of the circuits that feed it."""

    def of(self, kind: ChainKind) -> Iterator[Chain]:
        """The chains of one kind in the builder's order."""
        return iter(self._of.get(kind, ()))

    @cached_property
    def _of(self) -> Mapping[str, list[Chain]]:
        found: dict[str, list[Chain]] = {}
        for chain in self.by_name.values():
            found.setdefault(chain.kind, []).append(chain)
        return found

    def fed_from(self, end: str) -> Sequence[Chain]:
        """Circuits and feeders that begin at a bus or source, in the builder's order."""
        return self._fed_from.get(end, ())

    @cached_property
    def _fed_from(self) -> Mapping[str, list[Chain]]:
        found: dict[str, list[Chain]] = {}
        for chain in self.by_name.values():
            if chain.kind in ("circuit", "feeder"):
                found.setdefault(chain.source_end, []).append(chain)
        return found

    def guarded(self) -> Iterator[Chain]:
        """Every chain, and after a feeder with two devices the feeder as its second one sees it."""
        for chain in self.by_name.values():
            yield chain
            if chain.far is not None:
                yield chain.far

    def named(self, name: str) -> Chain:
        """The chain of that name, or as its second device of that name sees it."""
        if name in self.by_name:
            return self.by_name[name]
        return self._far[name]

    @cached_property
    def _far(self) -> Mapping[str, Chain]:
        every = (chain.far for chain in self.by_name.values())
        return {far.name: far for far in every if far is not None}

    def conductors(self) -> Iterator[Conductor]:
        """Every conductor of the system once."""
        return (c for chain in self.by_name.values() for c in chain.conductors())


@analysis
def chains(study: Study) -> Chains:
    """Lay out every chain of the system."""
    builder = _Builder(study)
    found: dict[str, Chain] = {}
    for index, feeder in enumerate(study.document.feeders):
        chain = builder.feeder(index, feeder)
        found[chain.name] = chain
    for chain in builder.source_grounds():
        found[chain.name] = chain
    coils = {s.coil.load for s in study.document.switches.values() if s.coil is not None}
    own = {name for name in study.document.circuits if name in coils}
    for name, circuit in study.document.circuits.items():
        if name not in own:
            found[name] = builder.circuit(name, circuit)
    for chain in builder.grounds():
        found[chain.name] = chain
    for chain in builder.wires(taps=False):
        found[chain.name] = chain
    for chain in builder.cables():
        found[chain.name] = chain
    for name in study.document.circuits:
        if name in own:  # last, so that they take no number that another wire had before
            found[name] = builder.circuit(name, study.document.circuits[name])
    for chain in builder.wires(taps=True):
        found[chain.name] = chain
    found.update(_thin(found, builder))
    return Chains(by_name=found, feeds=builder.feeds)


def _thin(every: Mapping[str, Chain], builder: "_Builder") -> Mapping[str, Chain]:
    """The wires that a source feeds without a circuit, with what guards each."""
    wires = [chain for chain in every.values() if chain.kind == "wire"]
    found: dict[str, Chain] = {}
    for chain in wires:
        start = chain.rows[0].parts[0]
        live = next((part for part in chain.parts() if is_live(part)), None)
        if chain.device is not None:
            node = start.inlet if start is chain.device else start.outlet
            found[chain.name] = replace(
                chain, hot=True, guards=(chain.name,), after=_behind(every, node)
            )
        elif live is not None:
            found[chain.name] = replace(
                chain,
                hot=True,
                source_end=builder.begins_at(live.name),
                after=_behind(every, live.outlet),
            )
    while True:
        more = [
            one
            for chain in wires
            if chain.name not in found and (one := _led_on(chain, found.values(), every, builder))
        ]
        if not more:
            return found
        found.update({chain.name: chain for chain in more})


def _behind(every: Mapping[str, Chain], node: str) -> str:
    """The circuit in whose feed a node lies beyond the bus; empty where none does."""
    return next(
        (
            chain.name
            for chain in every.values()
            if chain.kind == "circuit"
            for row in chain.rows
            if row.role == "feed" and node in {part.outlet for part in row.parts[1:]}
        ),
        "",
    )


def _led_on(
    chain: Chain, hot: Iterable[Chain], every: Mapping[str, Chain], builder: "_Builder"
) -> Chain | None:
    """A wire as one that a thin wire goes on in, or that comes out of a lamp; None if neither."""
    ends = {part.id for part in chain.parts() if part.kind == "connector"}
    for before in hot:
        if ends & {part.id for part in before.parts()}:
            return replace(chain, hot=True, guards=before.guards, output=before.output,
                           source_end=before.source_end, after=before.name)  # fmt: skip
    start = chain.rows[0].parts[0]
    grounded = any(part.kind in ("ground", "bond") for part in chain.parts())
    if chain.function != "P" or start.kind != "equipment" or grounded:
        return None
    guards = builder.feeds.get(start.name) or tuple(
        one.name for one in hot if any(part.name == start.name for part in one.ends())
    )
    if not guards:
        return None
    fed = every[guards[0]].source_end
    return replace(chain, hot=True, guards=guards, output=start.name, source_end=fed,
                   after=guards[0])  # fmt: skip


def unfed_lamp(study: Study, chain: Chain) -> bool:
    """Whether a wire is the one of a lamp, and what feeds that is not said."""
    start, end = chain.rows[0].parts[0], chain.rows[0].parts[-1]
    sources = study.document.sources.values()
    lamps = {s.warning_lamp.from_ for s in sources if isinstance(s, Alternator) and s.warning_lamp}
    return (
        not chain.hot
        and chain.function == "P"
        and start.kind == "equipment"
        and end.kind != "ground"
        and bool(lamps & {start.name, f"{start.name}.{start.contact}"})
    )


def is_live(part: Part) -> bool:
    """Whether a wire on it has the full voltage of a source: a bus, a post, behind a contact."""
    return part.kind in ("bus", *CONTACTS) or (part.kind == "source" and part.contact == "+")


CONTACTS = ("switch", "contactor", "changeover")
"""Kinds of part that `switches:` says more of."""


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


def main_ground(study: Study) -> str | None:
    """The ground point of the battery negative: `system.ground`, else the first of `grounds`."""
    return study.system.about.ground or next(iter(study.document.grounds), None)


def ground_node(name: str | None) -> str:
    """The network node of a ground point; the structure where there is none."""
    return f"ground:{name}" if name else STRUCTURE


def joined(study: Study, ground: str) -> bool:
    """Whether a ground point is joined to the next one by a known resistance instead of a wire.

    A wire whose resistance was measured (`measured:`) is a wire still. Of the main ground, and of
    structure that names no next point, the resistance is that of its bond to the structure.
    """
    return study.designed.document.grounds[ground].joined and not _bonds(study, ground)


def _bonds(study: Study, ground: str) -> bool:
    """Whether a ground point is bonded to a structure that carries returns."""
    entry = study.designed.document.grounds[ground]
    alone = entry.kind == "structure" and entry.to is None and not entry.wired
    return bears(study, entry.place) and (alone or ground == main_ground(study))


def bond_ohm(study: Study, ground: str) -> float:
    """The resistance of its bond to the structure: given, or that of a sound joint."""
    given = study.document.grounds[ground].resistance_ohm
    return default("structure-joint-resistance").si if given is None else given


def bonded_grounds(study: Study) -> tuple[str, ...]:
    """Ground points that are bonded to a structure that carries returns."""
    return tuple(name for name in study.document.grounds if _bonds(study, name))


def _bonded(chain: Chain) -> Chain:
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


class _Numbers:
    """Gives each chain a number of its own within its function letter, in the builder's order."""

    def __init__(self, taken: set[tuple[str, int]]) -> None:
        self._taken = taken
        self._next: dict[str, int] = {}

    def number(self, function: str, given: int | None) -> int:
        if given is not None:
            return given
        number = self._next.get(function, 1)
        while (function, number) in self._taken:
            number += 1
        self._next[function] = number + 1
        return number


SEGMENTS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Segment letters; I and O are not used."""


def _segment(index: int) -> str:
    if index < len(SEGMENTS):
        return SEGMENTS[index]
    return SEGMENTS[index // len(SEGMENTS) - 1] + SEGMENTS[index % len(SEGMENTS)]


class _Builder:
    def __init__(self, study: Study) -> None:
        self.study = study
        self.document = study.document
        self.feeds: dict[str, tuple[str, ...]] = {}
        document = study.document
        given = [(self.function(c.function, c.feeds), c.number) for c in document.circuits.values()]
        given += [("P", f.number) for f in document.feeders]
        given += [
            (w.function or self.letter((w.from_, *w.to), "U"), w.number + leg)
            for w in document.wires
            if w.number is not None
            for leg in range(len(pairs_of(w.from_, w.to[0])))
        ]
        given += [(self.cable_letter(c), c.number) for c in document.cables.values()]
        self.numbers = _Numbers({(f, n) for f, n in given if n is not None})

    # -- names -----------------------------------------------------------------------------------

    def function(self, given: str | None, feeds: tuple[str, ...]) -> str:
        """The function letter: given, else from what the load is."""
        if given:
            return given
        load = self.document.equipment.get(feeds[0].split(".")[0]) if feeds else None
        if load is not None and load.character == "lamp":
            return "L"
        return "M"

    def letter(self, ends: Iterable[str], usual: str) -> str:
        """J for what ends on a magneto, which is ignition wire; else the usual one."""
        known = self.document.equipment
        boxes = (known.get(end.partition(".")[0]) for end in ends)
        return "J" if any(one is not None and one.role == "magneto" for one in boxes) else usual

    def cable_letter(self, cable: Cable) -> str:
        """The function letter of a cable: given, else by what its cores end on."""
        ends = (end for core in cable.cores.values() for end in (core.from_, core.to))
        return cable.function or self.letter((*ends, cable.from_ or "", cable.to or ""), "R")

    def node_place(self, name: str) -> str:
        document = self.document
        if name in document.buses:
            return document.buses[name].place
        return document.sources[name].place

    def node(self, name: str) -> str:
        return f"{name}.+" if name in self.document.sources else name

    def end(self, name: str) -> Part:
        """The part for a bus or source that a feeder ends on."""
        kind: PartKind = "source" if name in self.document.sources else "bus"
        node = self.node(name)
        section = "sources" if kind == "source" else "buses"
        return Part(
            id=name,
            kind=kind,
            name=name,
            contact="+" if kind == "source" else "",
            place=self.node_place(name),
            inlet=node,
            outlet=node,
            label=self.study.system.title(section, name),
        )

    def small_terminal(self, name: str, contact: str) -> Part:
        """A terminal of an alternator besides its output and its case: F, S, L."""
        node = f"{name}.{contact}"
        return Part(
            id=node, kind="source", name=name, contact=contact, place=self.node_place(name),
            inlet=node, outlet=node, label=self.study.system.title("sources", name),
        )  # fmt: skip

    def switch(self, chain: str, name: str, kind: PartKind, place: str) -> Part:
        """A switch, contactor or changeover as a part of a chain."""
        entry = self.document.switches.get(name)
        label = (entry.name if entry and entry.name else name.replace("-", " ")) if name else kind
        pole = entry.poles.get(chain) if entry else None
        return Part(
            id=f"{chain}/{kind}:{name}",
            kind=kind,
            name=name,
            place=(entry.place if entry and entry.place else place),
            inlet=f"{chain}/{kind}:{name}.in",
            outlet=f"{chain}/{kind}:{name}.out",
            label=label,
            terminals=(pole.line, pole.load[0]) if pole else ("", ""),
            resting=pole is not None and REST in pole.closed,
        )

    def post(self, chain: str, circuit: Circuit) -> Part:
        """The line post of a contactor, where a circuit begins on it."""
        name = circuit.post or ""
        pole = next((one for one in self._poles(name) if not one.resting), None)
        load = circuit.feeds[0].partition(".")[0]
        start = self.end(circuit.bus)
        place = start.place if pole is None else pole.place
        node = start.outlet if pole is None else pole.inlet
        return Part(
            id=f"{chain}/post:{name}",
            kind="post",
            name=name,
            place=place,
            inlet=node,
            outlet=f"{load}.+" if circuit.jumper == "inside" else node,
            label=f"{self.study.system.title('switches', name)}, post",
        )

    def _poles(self, name: str) -> Iterator[Part]:
        """Every contact of a switch, relay or contactor, its inlet on the side that feeds it."""
        for feeder in self.document.feeders:
            for kind, given in switched_by(feeder):
                if given == name:
                    part = self.switch(
                        feeder_name(feeder), name, kind, self.node_place(feeder.from_)
                    )
                    source = self.document.sources.get(feeder.to)
                    turned = source is not None and source.kind != "alternator"
                    yield _turned(part) if turned else part
        for circuit, entry in self.document.circuits.items():
            for kind, given in switched_by(entry):
                if given == name:
                    yield self.switch(circuit, name, kind, self.node_place(entry.bus))

    def protective(self, chain: str, entry: Circuit | Feeder, place: str, node: str) -> Part | None:
        """The protective device at the source end.

        It sits on the bus or source terminal itself, or at the end of a stub.
        """
        device = entry.device()
        if device is None:
            return None
        kind, protection = device
        return Part(
            id=f"{chain}/{kind}",
            kind=kind,
            name=chain,
            place=protection.place or place,
            inlet=f"{chain}/{kind}.in" if protection.apart else node,
            outlet=f"{chain}/{kind}.out",
            label=protection.label or "",
            protection=protection,
            rated=chain,
        )

    def at_far_end(self, name: str, feeder: Feeder, stop: Part) -> Part | None:
        """The second device of a feeder, on the bus or source that it leads to."""
        found = feeder.far_end.device() if feeder.far_end is not None else None
        if found is None:
            return None
        kind, protection = found
        return Part(
            id=f"{name}/far-{kind}",
            kind=kind,
            name=name,
            place=protection.place or stop.place,
            inlet=f"{name}/far-{kind}.in",
            outlet=f"{name}/far-{kind}.out" if protection.apart else stop.inlet,
            label=protection.label or "",
            protection=protection,
            rated=f"{name} far end",
        )

    # -- feeders ---------------------------------------------------------------------------------

    def feeder(self, index: int, feeder: Feeder) -> Chain:
        """A feeder: source or bus → device → wire → contactor → wire → diode → bus.

        From an alternator the device stands last, at the bus; a second one stands last anyway.
        """
        name = feeder_name(feeder)
        start, stop = self.end(feeder.from_), self.end(feeder.to)
        parts: list[Part] = [start]
        generating = feeder.from_ in self.document.sources and (
            self.document.sources[feeder.from_].kind == "alternator"
        )
        device = self.protective(name, feeder, start.place, start.outlet)
        far = self.at_far_end(name, feeder, stop)
        generating = generating and far is None
        if device is not None and generating:
            # the great fault current comes from the battery: the device sits at the bus
            told = device.protection or Protection()
            outlet = device.outlet if told.apart else stop.inlet
            where = told.place or stop.place
            device = replace(device, place=where, inlet=f"{device.id}.in", outlet=outlet)
        elif device is not None:
            parts.append(device)
        if feeder.shunt is not None:
            parts.append(self.switch(name, feeder.shunt, "shunt", start.place))
        for kind, label in switched_by(feeder):
            parts.append(self.switch(name, label, kind, start.place))
        last = device if generating else far
        if feeder.diode is not None:
            outlet = stop.inlet if last is None else last.inlet
            found = feeder.diode
            parts.append(
                diode_part(
                    name, found.kind, found.place or stop.place, "" if found.apart else outlet
                )
            )
        if last is not None:
            parts.append(last)
        parts.append(stop)
        parts = self._at_common(feeder, parts)
        conductors: list[Conductor | None] = []
        for a, b in pairwise(parts):
            if a.outlet == b.inlet:
                conductors.append(None)
                continue
            made = [c for c in conductors if c is not None]
            before = a is start and b is device and not generating
            stub = device if before else last if a is last and b is stop else None
            wire = Conductor(
                id=f"{name}/{sum(not c.stub for c in made) + 1}",
                chain=name,
                role="feed",
                a=at_terminal(a, 1),
                b=at_terminal(b, 0),
                gauge=feeder.gauge,
                wire=feeder.wire,
                via=feeder.via,
                segment=_segment(len(made)),
            )
            if a.kind == "diode" and feeder.diode is not None:
                wire = replace(
                    wire, length_m=feeder.diode.tail_m, path=("feeders", index, "diode"), tail=True
                )
            path = ("feeders", index) if stub is not far else ("feeders", index, "far-end")
            conductors.append(wire if stub is None else stub_of(wire, stub, path))
        self._give_length(conductors, feeder.length_m)
        return Chain(
            name=name,
            kind="feeder",
            path=("feeders", index),
            title=f"{start.label} to {stop.label}",
            function="P",
            number=self.numbers.number("P", feeder.number),
            rows=(Row(parts=tuple(parts), conductors=tuple(conductors)),),
            device=device,
            far_device=far,
            source_end=feeder.from_,
            far_end=feeder.to,
        )

    def _at_common(self, feeder: Feeder, parts: list[Part]) -> list[Part]:
        """With a changeover relay both feeders meet on its common terminal.

        The one that stands first in the file goes on to the bus, the other one ends there.
        """
        relay = self.document.switches.get(feeder.changeover or "")
        if relay is None or not relay.rests:
            return parts
        at = next(k for k, part in enumerate(parts) if part.kind == "changeover")
        common = f"{feeder.changeover}.{parts[at].terminals[1]}"
        contact = replace(parts[at], outlet=common)
        first = next(f for f in self.document.feeders
                     if (f.changeover, f.to) == (feeder.changeover, feeder.to))  # fmt: skip
        if feeder is first:
            return [*parts[:at], contact, *parts[at + 1 :]]
        end = replace(
            contact, id=common, kind="post", inlet=common, contact=contact.terminals[1],
            terminals=("", ""), resting=False,
        )  # fmt: skip
        return [*parts[:at], contact, end]

    @staticmethod
    def _give_length(conductors: list[Conductor | None], length_m: float | None) -> None:
        """A given length belongs to the last conductor, the one that makes the way."""
        if length_m is None:
            return
        for index in range(len(conductors) - 1, -1, -1):
            conductor = conductors[index]
            if conductor is not None and not conductor.stub and not conductor.tail:
                conductors[index] = _with(conductor, length_m=length_m)
                return

    # -- grounds ---------------------------------------------------------------------------------

    def source_grounds(self) -> Iterator[Chain]:
        """The negative cable of every source."""
        for name, source in self.document.sources.items():
            ground = source.ground or main_ground(self.study)
            title = self.study.system.title("sources", name)
            start = Part(
                id=f"{name}.-",
                kind="source",
                name=name,
                contact="-",
                place=source.place,
                inlet=f"{name}.-",
                outlet=f"{name}.-",
                label=title,
            )
            heaviest = next(
                (f for f in self.document.feeders if name in (f.from_, f.to) and f.gauge), None
            )
            yield self._ground_chain(
                name=f"{name}-negative",
                start=start,
                ground=ground,
                path=("sources", name),
                title=f"{title} negative",
                gauge=None,  # as thick as its feeders, and thicker where it must be
                wire=self._negative_wire(name, heaviest),
                role="return",
            )

    def _negative_wire(self, source: str, heaviest: Feeder | None) -> str | None:
        """The wire type of a source's negative: that of the cable whose gauge it takes."""
        if heaviest is not None:
            return heaviest.wire
        own = (f.wire for f in self.document.feeders if source in (f.from_, f.to))
        return next(own, None)

    def grounds(self) -> Iterator[Chain]:
        """From every ground point to the next one: a wire, or a joint of known resistance."""
        main = main_ground(self.study)
        for name, ground in self.document.grounds.items():
            if name == main or _bonds(self.study, name):
                continue
            chain = self._ground_chain(
                name=f"{name}-ground",
                start=self.ground_part(name),
                ground=ground.to or main,
                path=("grounds", name),
                title=f"{self.study.system.title('grounds', name)} to ground",
                gauge=ground.gauge,
                wire=ground.wire,
                length_m=ground.length_m,
                role="ground",
            )
            yield _bonded(chain) if joined(self.study, name) else chain

    def _ground_chain(
        self,
        *,
        name: str,
        start: Part,
        ground: str | None,
        path: tuple[str | int, ...],
        title: str,
        role: Role,
        gauge: str | None,
        wire: str | None,
        length_m: float | None = None,
    ) -> Chain:
        stop = self.ground_part(ground) if ground else self.structure_part(start.place)
        conductor = Conductor(
            id=f"{name}/1",
            chain=name,
            role=role,
            a=start,
            b=stop,
            gauge=gauge,
            wire=wire,
            length_m=length_m,
            segment="A",
            colour="black",
        )
        return Chain(
            name=name,
            kind="ground",
            path=path,
            title=title,
            function="P",
            number=self.numbers.number("P", None),
            rows=(Row(parts=(start, stop), conductors=(conductor,), role=role),),
            source_end=start.name,
            far_end=ground or STRUCTURE,
        )

    def ground_part(self, name: str) -> Part:
        """A ground point as the end of a row."""
        node = ground_node(name)
        entry = self.document.grounds[name]
        label = self.study.system.title("grounds", name)
        return Part(
            id=f"ground:{name}",
            kind="ground",
            name=name,
            place=entry.place,
            inlet=node,
            outlet=node,
            label=label,
        )

    def structure_part(self, place: str) -> Part:
        """The metal structure at a place as the end of a row."""
        return Part(
            id=f"structure@{place}",
            kind="ground",
            name=STRUCTURE,
            place=place,
            inlet=STRUCTURE,
            outlet=STRUCTURE,
            label=f"structure at {place.replace('-', ' ')}",
        )

    # -- circuits --------------------------------------------------------------------------------

    def circuit(self, name: str, circuit: Circuit) -> Chain:
        """A circuit: bus → device → switch → (splice) → connectors → loads → return → ground."""
        layout = _CircuitLayout(self, name, circuit)
        rows = layout.rows()
        loads = tuple(dict.fromkeys(feed.split(".")[0] for feed in circuit.feeds))
        for load in loads:
            self.feeds[load] = (*self.feeds.get(load, ()), name)
        function = self.function(circuit.function, circuit.feeds)
        return Chain(
            name=name,
            kind="circuit",
            path=("circuits", name),
            title=circuit.name or name.replace("-", " "),
            function=function,
            number=self.numbers.number(function, circuit.number),
            rows=rows,
            device=layout.device,
            source_end=circuit.bus,
            loads=loads,
        )

    def equipment_part(self, terminal: str, default: str) -> Part:
        """The contact of a piece of equipment: `radio.J1.1`, or its implicit terminal."""
        name, _, contact = terminal.partition(".")
        entry = self.document.equipment[name]
        contact = contact or default
        node = f"{name}.{contact}"
        return Part(
            id=node,
            kind="equipment",
            name=name,
            contact=contact,
            place=entry.place,
            inlet=node,
            outlet=node,
            label=self.study.system.title("equipment", name),
        )

    # -- signal wires and cables -----------------------------------------------------------------

    def any_end(self, text: str) -> Part:
        """The end of a signal wire: equipment contact, inline connector, ground, bus or place."""
        name, _, contact = text.partition(".")
        document = self.document
        if name in document.equipment:
            return self.equipment_part(text, contact or "1")
        if name in document.plugs:
            return self.inline_part(name, contact)
        if name in document.grounds:
            return self.ground_part(name)
        if name in document.sources and contact not in ("", "+", "B"):
            return self.small_terminal(name, contact)
        if name in document.buses or name in document.sources:
            return self.end(name)
        if name in document.switches:
            pole = next(self._poles(name), None)
            if pole is not None:
                return replace(pole, id=f"{name}.load", contact="load", inlet=pole.outlet)
        return Part(
            id=f"place:{name}",
            kind="place",
            name=name,
            place=name,
            inlet=f"place:{name}",
            outlet=f"place:{name}",
            label=name.replace("-", " "),
        )

    def inline_part(self, name: str, contact: str) -> Part:
        """A contact of a connector between two harnesses."""
        entry = self.document.plugs[name]
        return Part(
            id=f"{name}.{contact}",
            kind="connector",
            name=name,
            contact=contact,
            place=entry.place,
            inlet=f"{name}.{contact}.in",
            outlet=f"{name}.{contact}.out",
            label=self.study.system.title("plugs", name),
        )

    def wires(self, *, taps: bool) -> Iterator[Chain]:
        """Every signal wire as a chain of one conductor; with a splice as one of several rows.

        Those of power (function P) apart, so that they take no number that another wire had.
        """
        for index, wire in enumerate(self.document.wires):
            if (wire.function == "P") != taps:
                continue
            name = f"wire-{index + 1}"
            if len(wire.to) > 1:
                yield self._wire_chain(name, index, (wire.from_, *wire.to))
                continue
            pairs = pairs_of(wire.from_, wire.to[0])
            for ordinal, (start, stop) in enumerate(pairs):
                own = f"{name}-{ordinal + 1}" if len(pairs) > 1 else name
                yield self._wire_chain(own, index, (start, stop), ordinal)

    def _wire_chain(
        self, name: str, index: int, between: tuple[str, ...], ordinal: int = 0
    ) -> Chain:
        """One wire from the first end to the others; `ordinal` counts within a run."""
        wire = self.document.wires[index]
        start, *stops = between
        function = wire.function or self.letter(between, "U")
        a, ends = self.any_end(start), [self.any_end(stop) for stop in stops]
        title = f"{terminal_title(a)} to {' and '.join(map(terminal_title, ends))}"
        device = None
        if wire.fuse is not None:
            told = wire.fuse
            device = Part(
                id=f"{name}/fuse", kind="fuse", name=name, place=told.place or a.place,
                inlet=f"{name}/fuse.in" if told.apart else a.outlet,
                outlet=f"{name}/fuse.out", label=f"at {a.label}", protection=told, rated=name,
            )  # fmt: skip
        trunk: tuple[Part, ...] = (a,)
        if device is not None:
            trunk = (a, device) if device.protection and device.protection.apart else (device,)
        if wire.splice is not None:
            trunk = (*trunk, splice_part(name, wire.splice))
        made: list[Conductor] = []

        def conductor(one: Part, other: Part) -> Conductor:
            found = Conductor(
                id=f"{name}/{sum(not before.stub for before in made) + 1}",
                chain=name,
                role="signal",
                a=one,
                b=other,
                gauge=wire.gauge,
                wire=leg_wire(wire.thermocouple, ordinal) or wire.wire,
                colour=wire.colour,
                length_m=wire.length_m if other in ends else None,
                via=wire.via,
                segment=_segment(len(made)),
                signal=wire.signal or next(filter(None, map(self.signal_of, (a, *ends))), ""),
            )
            if device is not None and other is device:
                found = stub_of(found, device, ("wires", index))
            made.append(found)
            return found

        shared = tuple(conductor(one, other) for one, other in pairwise(trunk))
        rows = tuple(
            Row(
                parts=(*trunk, end),
                conductors=(*shared, conductor(trunk[-1], end)),
                role="signal",
            )
            for end in ends
        )
        given = None if wire.number is None else wire.number + ordinal
        return Chain(
            name=name,
            kind="wire",
            path=("wires", index),
            title=title,
            function=function,
            number=self.numbers.number(function, given),
            rows=rows,
            device=device,
            source_end=start if device is None else self.begins_at(start),
            far_end=stops[0],
        )

    def begins_at(self, start: str) -> str:
        """The bus or source that feeds a wire with a fuse: behind a contact that of its circuit."""
        name = start.partition(".")[0]
        if name in self.document.buses or name in self.document.sources:
            return name
        pole = next(self._poles(name), None)
        circuit = None if pole is None else self.document.circuits.get(pole.id.partition("/")[0])
        return name if circuit is None else circuit.bus

    def signal_of(self, part: Part) -> str:
        """The signal name of the contact that a part stands for."""
        connector, _, pin = part.contact.rpartition(".")
        entry = self.document.equipment.get(part.name)
        if entry is None or connector not in entry.connectors:
            return ""
        found = entry.connectors[connector].pins.get(pin)
        return found.signal if found else ""

    def cables(self) -> Iterator[Chain]:
        """Every cable: its cores, its shield, or the coaxial line itself."""
        for name, cable in self.document.cables.items():
            function = self.cable_letter(cable)
            rows: list[Row] = []
            ends = [
                (key, core.from_, core.to, core.colour, core.signal)
                for key, core in cable.cores.items()
            ]
            if not ends and cable.from_ and cable.to:
                count = 1 if isinstance(cable, Coax) else cores_of(cable.type)
                ends = [(str(i + 1), cable.from_, cable.to, None, None) for i in range(count)]
            role: Role = "coax" if isinstance(cable, Coax) else "spare" if cable.spare else "signal"
            for ordinal, (key, start, stop, colour, signal) in enumerate(ends):
                a, b = self.any_end(start), self.any_end(stop)
                conductor = Conductor(
                    id=f"{name}/{key}",
                    chain=name,
                    role=role,
                    a=a,
                    b=b,
                    gauge=gauge_of(cable.type),
                    wire=leg_wire(legs_of(cable.type), ordinal),
                    colour=colour,
                    length_m=cable.length_m,
                    via=cable.via,
                    segment=_segment(ordinal),
                    cable=name,
                    core=key,
                    signal=signal or self.signal_of(a) or self.signal_of(b),
                )
                rows.append(Row(parts=(a, b), conductors=(conductor,), role=role))
            yield Chain(
                name=name,
                kind="cable",
                path=self.document.cable_path(name),
                title=cable.name or name.replace("-", " "),
                function=function,
                number=self.numbers.number(function, cable.number),
                rows=tuple(rows),
                source_end=ends[0][1] if ends else "",
                far_end=ends[0][2] if ends else "",
            )


def terminal_title(part: Part) -> str:
    """The end of a signal wire as a person says it.

    `radio J1-3`, `sense of voltage regulator`, `load side of starter contactor`, `main bus`.
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
    return part.label if part.contact in plain else f"{part.contact} of {part.label}"


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


class Reversal(Struct, frozen=True, kw_only=True):
    """The two halves of a bridge that turns a motor, as the way sees it that crosses over.

    In this way both wires that cross are in series with the motor; in the other way neither is.
    """

    before: tuple[Part, ...]
    """From the device to the + of the motor: the terminal that is fed, the pole that leads on."""
    behind: tuple[Part, ...]
    """From its − to ground: the other pole, the terminal that is grounded."""
    limits: tuple[Part, ...]
    """Limit switches at the motor itself, in its two leads."""
    jumper_m: float


def reversal(builder: "_Builder", name: str, circuit: Circuit) -> Reversal:
    """The parts of a bridge: of one switch with two poles, or of two relays."""
    entry = circuit.reverse
    assert entry is not None  # noqa: S101 - asked for such circuits only
    load = builder.document.equipment[circuit.feeds[0].partition(".")[0]]
    start = builder.node_place(circuit.bus)
    if entry.by == "switch":
        one, two, three, four, five, six = entry.marks
        first = second = circuit.switch or ""
        kind: PartKind = "switch"
        fed, grounded, plus, minus = one, four, (six, five), (two, three)
    else:
        first, second = entry.relays
        line, common, rest = entry.marks
        kind, fed, grounded = "contactor", line, rest
        plus, minus = (line, common), (common, rest)
    poles = [
        replace(
            builder.switch(name, thing, kind, start),
            id=f"{name}/{kind}:{thing}/{side}",
            inlet=f"{name}/{kind}:{thing}/{side}.in",
            outlet=f"{name}/{kind}:{thing}/{side}.out",
            terminals=terminals,
            resting=entry.by == "relays" and side == "minus",
        )
        for thing, side, terminals in ((first, "plus", plus), (second, "minus", minus))
    ]
    posts = [
        replace(
            pole, id=f"{name}/post:{pole.name}.{contact}", kind="post", contact=contact,
            inlet=f"{name}/post:{pole.name}.{contact}", terminals=("", ""),
            outlet=f"{name}/post:{pole.name}.{contact}",
        )
        for pole, contact in ((poles[1], fed), (poles[0], grounded))
    ]  # fmt: skip
    ends = [builder.switch(name, limit, "switch", load.place) for limit in entry.limits]
    if entry.by == "relays":
        ends = []  # they stand before the coils
    long = entry.jumper_m
    return Reversal(
        before=(posts[0], poles[0]),
        behind=(poles[1], posts[1]),
        limits=tuple(ends),
        jumper_m=default("contactor-jumper").si if long is None else long,
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
    head = cable_type.split("-core", maxsplit=1)[0].strip()
    return int(head) if head.isdigit() else 1


def gauge_of(cable_type: str) -> str | None:
    """Gauge in a type such as `3-core AWG 22 shielded`."""
    words = cable_type.replace(",", " ").split()
    for first, second in pairwise(words):
        if first.upper() == "AWG":
            return second
    return None


def _with(conductor: Conductor, **changes: object) -> Conductor:
    return replace(conductor, **changes)


def stub_of(wire: Conductor, device: Part, path: tuple[str | int, ...]) -> Conductor:
    """The wire between a bus or post and a device, which nothing protects."""
    far = "far-" if path[-1] == "far-end" else ""
    length = device.protection.stub_m if device.protection is not None else None
    return replace(
        wire, id=f"{wire.chain}/{far}stub", length_m=length, path=(*path, device.kind), stub=True
    )


class _CircuitLayout:
    """Lays out one circuit row by row.

    Conductors get their ordinals and segment letters in order of the path.
    """

    def __init__(self, builder: _Builder, name: str, circuit: Circuit) -> None:
        self.builder = builder
        self.name = name
        self.circuit = circuit
        self.made: list[Conductor] = []
        bus = builder.end(circuit.bus) if circuit.post is None else builder.post(name, circuit)
        self.trunk: list[Part] = [bus]
        self.trunk_conductors: list[Conductor | None] = []
        self.device = builder.protective(name, circuit, bus.place, bus.outlet)
        if self.device is not None:
            self._append(self.device)
        self.throws: tuple[Part, ...] = ()
        for kind, given in switched_by(circuit):
            part = builder.switch(name, given, kind, bus.place)
            entry = builder.document.switches.get(given)
            pole = entry.poles.get(name) if entry is not None else None
            if pole is not None and len(pole.load) > 1:
                part, self.throws = throws(part, pole)
            self._append(part)
        if circuit.dimmer is not None:
            self._append(builder.switch(name, circuit.dimmer, "switch", bus.place))
        if circuit.diode is not None:
            load = builder.document.equipment[circuit.feeds[0].partition(".")[0]]
            self._append(diode_part(name, circuit.diode, load.place))
        self.turn = None if circuit.reverse is None else reversal(builder, name, circuit)
        if self.turn is not None:
            for part in self.turn.before:
                self._append(part, length_m=self.turn.jumper_m if part.kind != "post" else None)
        self.daisy: list[Part] = []
        for place, loads in circuit.splice.items():
            if not loads:
                self._append(splice_part(name, place))

    def _append(self, part: Part, **more: object) -> None:
        last = self.trunk[-1]
        self.trunk.append(part)
        touching = last.outlet == part.inlet
        self.trunk_conductors.append(
            None if touching else self._conductor(last, part, "feed", **more)
        )

    def _conductor(self, a: Part, b: Part, role: Role, **more: object) -> Conductor:
        conductor = Conductor(
            id=f"{self.name}/{sum(not wire.stub for wire in self.made) + 1}",
            chain=self.name,
            role=role,
            a=at_terminal(a, 1),
            b=at_terminal(b, 0),
            gauge=self.circuit.gauge,
            wire=self.circuit.wire,
            colour="black" if role == "return" else self.circuit.colour,
            via=self.circuit.via,
            segment=_segment(len(self.made)),
        )
        conductor = _with(conductor, **more) if more else conductor
        if b is self.device and b is not None:
            conductor = stub_of(conductor, b, ("circuits", self.name))
        self.made.append(conductor)
        return conductor

    def rows(self) -> tuple[Row, ...]:
        """Feed rows first, each followed by the return rows of its load."""
        found: list[Row] = []
        counts: dict[str, int] = {}
        for feed in self.circuit.feeds:
            load = feed.split(".")[0]
            counts[load] = counts.get(load, 0) + 1
        done: set[str] = set()
        for feed in self.circuit.feeds:
            load = feed.split(".")[0]
            found.append(self._feed_row(feed, counts[load]))
            if load not in done:
                done.add(load)
                field = self._field_row(found[-1])
                if field is not None:
                    found.append(field)
                found.extend(self._return_rows(load))
        return tuple(found)

    def _beyond(self, load: str) -> Mapping[str, Through]:
        """The connectors between harnesses that lie before a load."""
        return {
            name: through
            for name, through in self.circuit.through.items()
            if through.for_ is None or load in through.for_
        }

    def _passed(self, load: str, role: Role) -> tuple[Part, ...]:
        """Plugs and splices on the way to a load, in order of their distance from the bus."""
        builder, circuit = self.builder, self.circuit
        parts: list[Part] = []
        for name, through in self._beyond(load).items():
            contact = through.feed if role == "feed" else through.return_
            if contact:
                parts.append(builder.inline_part(name, contact))
        splices = circuit.splice if role == "feed" else circuit.return_splice
        own = [place for place, loads in splices.items() if load in (loads or (load,))]
        if role == "feed":
            own = [place for place in own if splices[place]]  # the others lie in the trunk
        if not own:
            return tuple(parts)
        node = "splice" if role == "feed" else "return-splice"
        parts += [splice_part(self.name, place, f"{node}:{place}") for place in own]
        from elec.wiring.ways import distances

        far = distances(builder.study, self.trunk[0].place)
        return tuple(sorted(parts, key=lambda part: far.get(part.place, math.inf)))

    def _field_row(self, feed: Row) -> Row | None:
        """From the regulator at the end of a row on to the field of its alternator."""
        builder, load, last = self.builder, feed.equipment, feed.parts[-1]
        found = field_end(builder.study, self.name, load)
        if found is None:
            return None
        name, wire = found
        start = builder.equipment_part(wire.from_, FIELD_CONTACT)
        stop = builder.small_terminal(name, "F")
        conductor = self._conductor(
            replace(start, inlet=last.outlet, outlet=last.outlet),
            stop,
            "feed",
            gauge=wire.gauge or self.circuit.gauge,
            wire=wire.wire or self.circuit.wire,
            colour=wire.colour or self.circuit.colour,
            via=wire.via,
            length_m=wire.length_m,
            path=("sources", name, "field-wire"),
        )
        return Row(
            parts=(*feed.parts, stop),
            conductors=(*feed.conductors, conductor),
            equipment=load,
            role="feed",
        )

    def _feed_row(self, feed: str, parallel: int) -> Row:
        builder = self.builder
        load = feed.split(".", maxsplit=1)[0]
        stop = builder.equipment_part(self._pin(feed, "power"), "+")
        parts = list(self.trunk)
        conductors = list(self.trunk_conductors)
        for part in self._throw(load):
            conductors.append(None)
            parts.append(part)
        for part in (*self._passed(load, "feed"), *self._own_contacts(load), *self.daisy):
            conductors.append(self._shared(parts[-1], part, "feed"))
            parts.append(part)
        if parts[-1].outlet == stop.inlet:
            conductors.append(None)
        else:
            length = self._jumper_m() if len(parts) == 1 else self.circuit.length_m
            conductors.append(
                self._conductor(parts[-1], stop, "feed", length_m=length, parallel=parallel)
            )
        parts.append(stop)
        if self.circuit.daisy_chain is not None:
            self.daisy.append(stop)
        return Row(parts=tuple(parts), conductors=tuple(conductors), equipment=load, role="feed")

    def _jumper_m(self) -> float | None:
        """The length of a wire from a contactor's post to its own coil; else that of the wire."""
        jumper = self.circuit.jumper
        if self.circuit.post is None or jumper == "inside":
            return self.circuit.length_m
        return default("contactor-jumper").si if jumper is None else jumper

    def _throw(self, load: str) -> tuple[Part, ...]:
        """The contact towards this load, of a switch that has one for each load."""
        loads = list(dict.fromkeys(feed.partition(".")[0] for feed in self.circuit.feeds))
        return self.throws[loads.index(load) :][:1]

    def _own_contacts(self, load: str) -> list[Part]:
        """Contacts that stand before this load alone: its limit switch, another relay's."""
        place = self.builder.document.equipment[load].place
        names = self.circuit.contacts.get(load, ())
        limits = self.turn.limits[:1] if self.turn is not None else ()
        return [*limits] + [self.builder.switch(self.name, name, "switch", place) for name in names]

    def _behind(self) -> tuple[Part, ...]:
        """What stands between the loads and ground: their switch, the other half of a bridge."""
        circuit, builder = self.circuit, self.builder
        if self.turn is not None:
            return self.turn.behind
        if circuit.switched != "ground" or circuit.switch is None:
            return ()
        return (builder.switch(self.name, circuit.switch, "switch", self.trunk[0].place),)

    def _shared(self, a: Part, b: Part, role: Role, **more: object) -> Conductor:
        """The conductor between two parts that several rows pass: made once."""
        for conductor in self.made:
            if (conductor.a.id, conductor.b.id, conductor.role) == (a.id, b.id, role):
                return conductor
        return self._conductor(a, b, role, **more)

    def _pin(self, terminal: str, signal: str) -> str:
        """A terminal with its contact: given, or the only one with that signal."""
        if "." in terminal:
            return terminal
        entry = self.builder.document.equipment[terminal]
        found = pins_with(entry, signal)
        return f"{terminal}.{found[0]}" if len(found) == 1 else terminal

    def _return_rows(self, load: str) -> list[Row]:
        entry = self.builder.document.equipment[load]
        given = [text for text in self.circuit.ground if text.split(".")[0] == load]
        if not given:
            given = [self._pin(load, "ground")]
        return [self._return_row(load, entry, text, len(given)) for text in given]

    def _return_row(self, load: str, entry: Equipment, text: str, parallel: int) -> Row:
        builder = self.builder
        start = builder.equipment_part(text, "-")
        ground = self.circuit.ground_point or entry.ground
        passed = map(_turned, reversed(self._passed(load, "return")))
        limits = self.turn.limits[1:] if self.turn is not None else ()
        along = (*limits, *self._back_along(load), *passed)
        behind = self._behind()
        place = behind[-1].place if behind else entry.place
        if ground is None and bears(builder.study, place) and (behind or not along):
            stop = builder.structure_part(place)
        else:
            if not behind and along:
                place = along[-1].place
            stop = self._ground(ground or nearest_ground(builder.study, place), entry.place)
        parts = [start]
        conductors: list[Conductor | None] = []
        for part in along:
            own = len(parts) == 1
            make = self._conductor if own else self._shared
            conductors.append(make(parts[-1], part, "return"))
            parts.append(part)
        for part in behind:
            live = self.circuit.colour or "white"
            jumps = self.turn.jumper_m if self.turn and part.kind == "post" else None
            conductors.append(self._shared(parts[-1], part, "return", colour=live, length_m=jumps))
            parts.append(part)
        length = self.circuit.length_m if len(parts) == 1 and stop.name != STRUCTURE else None
        if len(parts) > 1:
            conductors.append(self._shared(parts[-1], stop, "return"))
        else:
            conductors.append(
                self._conductor(parts[-1], stop, "return", length_m=length, parallel=parallel)
            )
        parts.append(stop)
        return Row(parts=tuple(parts), conductors=tuple(conductors), equipment=load, role="return")

    def _back_along(self, load: str) -> list[Part]:
        """The loads before this one that the return of a daisy chain passes, the nearest first."""
        if self.circuit.daisy_chain != "both":
            return []
        before = list(dict.fromkeys(feed.split(".")[0] for feed in self.circuit.feeds))
        before = before[: before.index(load)]
        return [
            self.builder.equipment_part(self._pin(name, "ground"), "-") for name in before[::-1]
        ]

    def _ground(self, name: str | None, place: str) -> Part:
        return self.builder.ground_part(name) if name else self.builder.structure_part(place)


def _turned(part: Part) -> Part:
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


def nearest_ground(study: Study, place: str) -> str | None:
    """The ground point that a load at a place returns to.

    The nearest by the ways, the builder's order on a tie.
    """
    from elec.wiring.ways import distances

    grounds = study.document.grounds
    if not grounds:
        return None
    far = distances(study, place)
    known = [name for name, ground in grounds.items() if ground.place in far]
    if not known:
        return main_ground(study)
    return min(known, key=lambda name: (far[grounds[name].place], list(grounds).index(name)))
