"""A circuit as rows: what lies between its bus and each load, and the way back."""

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from msgspec.structs import replace

from elec.model.load import Equipment
from elec.model.wiring import Circuit, Through
from elec.standards import default
from elec.wiring.joined.grounded import nearest_ground
from elec.wiring.joined.pieces import (
    FIELD_CONTACT,
    at_terminal,
    diode_part,
    field_end,
    pins_with,
    segment,
    splice_part,
    stub_of,
    switched_by,
    throws,
    turned_round,
)
from elec.wiring.joined.records import STRUCTURE, Conductor, Part, Role, Row
from elec.wiring.joined.reversal import reversal
from elec.wiring.material import bears

if TYPE_CHECKING:
    from elec.wiring.joined.builder import Builder


class CircuitLayout:
    """Lays out one circuit row by row.

    Conductors get their ordinals and segment letters in order of the path.
    """

    def __init__(self, builder: "Builder", name: str, circuit: Circuit) -> None:
        self.builder = builder
        self.name = name
        self.circuit = circuit
        self.made: list[Conductor] = []
        contactor = circuit.post
        bus = (
            builder.end(circuit.bus)
            if contactor is None
            else builder.post(name, circuit, contactor)
        )
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
            segment=segment(len(self.made)),
        )
        conductor = replace(conductor, **more) if more else conductor
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
        passed = map(turned_round, reversed(self._passed(load, "return")))
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
        # plus stands on it while the switch to ground is open, or one way of a motor that is turned
        live = self.circuit.colour or "white"
        leads = {"colour": live} if behind else {}
        for part in along:
            own = len(parts) == 1
            make = self._conductor if own else self._shared
            conductors.append(make(parts[-1], part, "return", **leads))
            parts.append(part)
        for part in behind:
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
