"""From the builder's entries to chains: feeders, grounds, wires, cables, and each circuit."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from msgspec.structs import replace

from elec.model.names import as_words
from elec.model.run import leg_wire, legs_of, pairs_of
from elec.model.switch import REST
from elec.model.wiring import Cable, Circuit, Coax, Feeder, Protection, SecondGroundWire
from elec.study import Study
from elec.wiring.joined.grounded import ground_node, is_bonded, joined, main_ground
from elec.wiring.joined.layout import CircuitLayout
from elec.wiring.joined.pieces import (
    at_terminal,
    bonded_chain,
    cores_of,
    diode_part,
    feeder_name,
    gauge_of,
    segment,
    splice_part,
    stub_of,
    switched_by,
    terminal_title,
    turned_round,
)
from elec.wiring.joined.records import STRUCTURE, Chain, Conductor, Part, PartKind, Role, Row


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


class Builder:
    """Makes the chains of a study, one entry at a time, and gives out numbers and segments."""

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
        """The place of a bus or source."""
        document = self.document
        if name in document.buses:
            return document.buses[name].place
        return document.sources[name].place

    def node(self, name: str) -> str:
        """The node of a bus, or of a source's positive side."""
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
        label = (entry.name if entry and entry.name else as_words(name)) if name else kind
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

    def post(self, chain: str, circuit: Circuit, name: str) -> Part:
        """The line post of a contactor of that name, where a circuit begins on it."""
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
            label=f"{self.study.system.title('switches', name)}, line post",
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
                    yield turned_round(part) if turned else part
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
                segment=segment(len(made)),
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
                conductors[index] = replace(conductor, length_m=length_m)
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
            if name != main and not is_bonded(self.study, name):
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
                yield bonded_chain(chain) if joined(self.study, name) else chain
            if ground.second is not None:
                yield self._second_ground(name, ground.second)

    def _second_ground(self, name: str, second: SecondGroundWire) -> Chain:
        return self._ground_chain(
            name=f"{name}-second",
            start=self.ground_part(name),
            ground=second.to,
            path=("grounds", name, "second"),
            title=f"{self.study.system.title('grounds', name)}, second wire to ground",
            gauge=second.gauge,
            wire=second.wire,
            length_m=second.length_m,
            via=second.via,
            role="ground",
        )

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
        via: tuple[str, ...] = (),
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
            via=via,
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
        layout = CircuitLayout(self, name, circuit)
        rows = layout.rows()
        loads = tuple(dict.fromkeys(feed.split(".")[0] for feed in circuit.feeds))
        for load in loads:
            self.feeds[load] = (*self.feeds.get(load, ()), name)
        function = self.function(circuit.function, circuit.feeds)
        return Chain(
            name=name,
            kind="circuit",
            path=("circuits", name),
            title=circuit.name or as_words(name),
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
            label=as_words(name),
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
                segment=segment(len(made)),
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
                    segment=segment(ordinal),
                    cable=name,
                    core=key,
                    signal=signal or self.signal_of(a) or self.signal_of(b),
                )
                rows.append(Row(parts=(a, b), conductors=(conductor,), role=role))
            yield Chain(
                name=name,
                kind="cable",
                path=self.document.cable_path(name),
                title=cable.name or as_words(name),
                function=function,
                number=self.numbers.number(function, cable.number),
                rows=tuple(rows),
                source_end=ends[0][1] if ends else "",
                far_end=ends[0][2] if ends else "",
            )
