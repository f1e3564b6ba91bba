"""Buses, feeders, circuits, protective devices, wires, cables and grounds."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from elec import units
from elec.model.device import CURVE_SCHEMA, Curve
from elec.model.entry import Entry
from elec.model.load import Connector
from elec.model.names import Names
from elec.model.quantity import (
    Amps,
    Decibels,
    Flag,
    Gauge,
    KilogramsPerMetre,
    Metres,
    Ohms,
    StubMetres,
    Torque,
    Volts,
    Watts,
    alone,
)
from elec.model.reverse import ReverseText

DeviceKind = Literal["breaker", "fuse", "limiter", "link"]
Stud = Literal["no-6", "no-8", "no-10", "1/4", "5/16", "3/8", "1/2", "M4", "M5", "M6", "M8", "M10"]
"""The thread that ring terminals go on; numbers and fractions are those of inch threads."""
Used = Literal["always", "normal", "emergency", "never"]
"""When a feeder carries current: `normal` opens, `emergency` closes when alternators are lost."""
Side = Literal["feed", "ground"]
"""On which side of its load a switch stands: before it, or between it and ground."""


Thermocouple = Literal["K", "K+", "K-", "J", "J+", "J-", "E", "E+", "E-", "T", "T+", "T-"]
"""Letters of IEC 60584; with a sign one leg of the pair."""


def _splices(value: Any) -> Any:
    return {value: ()} if isinstance(value, str) else value


Splices = Annotated[
    Mapping[str, Names],
    BeforeValidator(_splices),
    WithJsonSchema(
        {
            "description": "a place, or places with the loads beyond each, such as "
            "{wing-root: [left-light, right-light]}",
            "anyOf": [
                {"type": "string"},
                {
                    "type": "object",
                    "additionalProperties": {
                        "anyOf": [
                            {"type": "string"},
                            {"type": "array", "items": {"type": "string"}},
                        ]
                    },
                },
            ],
        }
    ),
]
"""Place → loads beyond it; no loads mean all of the circuit."""


def _rating(value: Any) -> Any:
    if isinstance(value, str):
        return None if value == "auto" else units.parse(value, "current")
    return value


Rating = Annotated[
    float,
    Field(gt=0),
    WithJsonSchema(
        {"type": "string", "description": "auto, or a rating (5 A)", "examples": ["auto", "5 A"]}
    ),
]


class Protection(Entry):
    """A protective device; `rating_a` None means `auto`, the program chooses."""

    rating_a: Annotated[Rating | None, BeforeValidator(_rating)] = None
    """`auto`, or the rating."""
    class_: str | None = None
    """A time-current class of docs/sources.md, or one of `device-classes`; left out: the default
    class of its kind."""
    curve: Curve | None = None
    """The curve of this part alone, from its maker's sheet."""
    compensated: Flag = False
    """Its curve does not move with the temperature around it."""
    resistance_ohm: Ohms | None = None
    """Resistance of the device."""
    interrupts_a: Amps | None = None
    """The largest current it can interrupt."""
    label: str | None = None
    """What is engraved beside it."""
    gauge: Gauge | None = None
    """Of a fusible link: the gauge of its wire; left out: four gauge numbers thinner than the wire
    behind it."""
    place: str | None = None
    """The place it sits in, where that is not beside what it hangs on."""
    stub_m: StubMetres | None = None
    """Length of the wire between the bus, post or terminal and this device, which nothing protects;
    0 where the device is bolted to it."""

    @property
    def apart(self) -> bool:
        """Whether a wire leads to it."""
        return bool(self.stub_m) or (self.stub_m is None and self.place is not None)


ProtectionText = Annotated[
    Protection,
    alone("rating"),
    WithJsonSchema(
        {
            "description": "auto, a rating (5 A), or {rating: 5 A, class: ...}",
            "anyOf": [
                {"type": "string", "examples": ["auto", "5 A"]},
                {
                    "type": "object",
                    "additionalProperties": False,
                    "properties": {
                        "rating": {"type": "string"},
                        "class": {"type": "string"},
                        "curve": CURVE_SCHEMA,
                        "compensated": {"enum": ["yes", "no"]},
                        "resistance": {"type": "string"},
                        "interrupts": {"type": "string"},
                        "label": {"type": "string"},
                        "gauge": {"type": "string"},
                        "place": {"type": "string"},
                        "stub": {"type": "string"},
                    },
                },
            ],
        }
    ),
]


class Bus(Entry):
    """A bus bar, a stud or a post that things hang on."""

    name: str | None = None
    """The text for print."""
    place: str
    """The place it sits in."""
    essential: Flag = False
    """What hangs on it is needed to end the flight safely."""
    warning_v: Volts | None = None
    """Where the low-voltage warning of this bus comes on."""
    stud: Stud | None = None
    """The thread that its ring terminals go on."""
    torque_n_m: Torque | None = None
    """What its nut is tightened to, from its maker."""


class SecondGroundWire(Entry):
    """A second wire from a ground point, so that one loose terminal does not lift what hangs on it.

    `second: firewall-block`, or with its own gauge, length and way.
    """

    to: str
    """The ground point that it leads to; that of the first wire, or another one."""
    gauge: Gauge | None = None
    """Given: checked. Left out: chosen, so that it carries everything alone."""
    wire: str | None = None
    """The wire type; left out: that of the system."""
    length_m: Metres | None = None
    """Length when it is known; left out: from the ways."""
    via: Names = ()
    """Places that it passes, in order."""
    avoid: Names = ()
    """Places, zones or ways that it keeps out of."""


def _second(value: Any) -> Any:
    return {"to": value} if isinstance(value, str) else value


SecondGroundWireText = Annotated[SecondGroundWire, BeforeValidator(_second)]


class Ground(Entry):
    """A stud, block or piece of structure that returns hang on.

    `to` names the next ground point towards the battery negative; left out: the main ground.
    """

    name: str | None = None
    """The text for print."""
    place: str
    """The place it sits in."""
    kind: Literal["stud", "block", "structure"] = "stud"
    """A stud, a block of many, or a piece of structure."""
    to: str | None = None
    """The next ground towards the battery; left out: the main ground."""
    gauge: Gauge | None = None
    """Gauge of the wire to `to`; left out: it is chosen."""
    wire: str | None = None
    """The wire type; left out: that of the system."""
    length_m: Metres | None = None
    """Length of the wire to `to`; left out: from the ways."""
    resistance_ohm: Ohms | None = None
    """Measured or known resistance of the connection to `to`, instead of a wire; of the main
    ground, and of a piece of structure without `to`, of its bond to the structure."""
    second: SecondGroundWireText | None = None
    """A second wire beside the one to `to`: where to, or its keys."""
    stud: Stud | None = None
    """The thread that its ring terminals go on."""
    torque_n_m: Torque | None = None
    """What its nut is tightened to, from its maker."""
    terminals: int | None = Field(default=None, ge=1, le=200)
    """How many terminals it has; left out: a stud takes what the limit allows, others many."""
    shields_per_terminal: int = Field(default=1, ge=1, le=10)
    """How many shield drains are crimped into one terminal on it."""

    @property
    def wired(self) -> bool:
        """Whether something is said of a wire to the next one."""
        return (self.gauge, self.wire, self.length_m) != (None, None, None)

    @property
    def joined(self) -> bool:
        """Whether structure or a strap of known resistance stands in place of a wire."""
        return self.resistance_ohm is not None and not self.wired

    @model_validator(mode="after")
    def _wire_or_joint(self) -> "Ground":
        if self.resistance_ohm is not None and not self.joined:
            raise ValueError(
                "resistance stands in place of a wire: take out gauge, wire and length; or take "
                "out resistance, and write what was measured on the wire under measured"
            )
        return self


class Fitted(Entry):
    """One protective device of whichever kind."""

    breaker: ProtectionText | None = None
    """A circuit breaker."""
    fuse: ProtectionText | None = None
    """A fuse."""
    limiter: ProtectionText | None = None
    """A current limiter."""
    link: ProtectionText | None = None
    """A fusible link: `auto`, or its gauge and where it sits,
    `{gauge: AWG 22, place: firewall, stub: 2 in}`."""

    def device(self) -> tuple[DeviceKind, Protection] | None:
        """The protective device and its kind, or None."""
        kinds: tuple[DeviceKind, ...] = ("breaker", "fuse", "limiter", "link")
        for kind in kinds:
            found: Protection | None = getattr(self, kind)
            if found is not None:
                return kind, found
        return None


class Protected(Fitted):
    """What circuits and feeders share: one protective device at the source end, or why none."""

    unprotected: str | None = None
    """Why this wire has no protective device: a starter's main circuit, a battery's own cable, a
    stub of a few inches."""


def _jumper(value: Any) -> Any:
    return units.parse(value, "length") if isinstance(value, str) and value != "inside" else value


JumperText = Annotated[
    Literal["inside"] | float,
    BeforeValidator(_jumper),
    WithJsonSchema({"type": "string", "description": "a length, or inside", "examples": ["4 in"]}),
]
"""A short wire on the thing itself: its length in m, or `inside` where the maker has fitted it."""


DiodeKind = Literal["schottky", "silicon"]


class Diode(Entry):
    """A diode in a feeder, with the wire that leads on from it to the bus.

    `diode: schottky` alone leaves open how it reaches the bus; `tail: 0 in` where it is bolted to
    the bar.
    """

    kind: DiodeKind
    """What it is made of, which says what it keeps."""
    place: str | None = None
    """The place it sits in; left out: that of the bus."""
    tail_m: StubMetres | None = None
    """Length of the wire from it to the bus; 0 where it is bolted to the bar; left out: from the
    ways where it sits elsewhere, else it counts as bolted and a check asks."""

    @property
    def apart(self) -> bool:
        """Whether a wire leads on from it."""
        return bool(self.tail_m) or (self.tail_m is None and self.place is not None)


def _diode(value: Any) -> Any:
    return {"kind": value} if isinstance(value, str) else value


DiodeText = Annotated[Diode, BeforeValidator(_diode)]


class Feeder(Protected):
    """A heavy conductor from a source or bus to a bus, with what sits in it.

    In order from `from`: protective device, shunt, contactor or switch or changeover, diode. A
    feeder from an alternator has its protective device at the other end, at the bus: the great
    fault current comes from the battery.
    """

    name: str | None = None
    """The text for print."""
    from_: str
    """The source or bus that it comes from."""
    to: str
    """The bus or source that it leads to."""
    shunt: str | None = None
    """A shunt in it, by name."""
    contactor: str | None = None
    """A contactor in it, by name."""
    switch: str | None = None
    """A switch in it, by name."""
    changeover: str | None = None
    """A changeover switch in it; feeders that share it are never closed together."""
    diode: DiodeText | None = None
    """A diode at its end (`schottky`, `silicon`), or with the wire from it to the bus:
    `{kind: schottky, tail: 6 in}`."""
    far_end: Fitted | None = None
    """A second protective device, where the feeder ends: `far-end: {breaker: 15 A}`. What has a
    source beyond both ends needs one at each."""
    used: Used = "always"
    """When it carries current: `normal` opens and `emergency` closes when the alternators are
    lost."""
    gauge: Gauge | None = None
    """Given: checked. Left out: chosen."""
    wire: str | None = None
    """The wire type; left out: that of the system."""
    length_m: Metres | None = None
    """Length when it is known; left out: from the ways."""
    via: Names = ()
    """Places that it passes, in order, once from end to end."""
    avoid: Names = ()
    """Places, zones or named ways that it keeps out of."""
    number: int | None = None
    """Its number in the wire marks."""


class Through(Entry):
    """The contacts that a circuit uses in a connector between two harnesses."""

    feed: str
    """The contact of the feed."""
    return_: str | None = None
    """The contact of the return."""
    for_: Names | None = None
    """The loads that lie beyond this connector; left out: all of the circuit."""


class Circuit(Protected):
    """From a bus through a protective device and perhaps a switch to one or more loads, and back.

    `feeds` names equipment (`belly-beacon`) or its contact (`radio.J1.1`); `ground` the contact on
    which the load returns; `ground_point` the ground that return is wired to.
    """

    name: str | None = None
    """The text for print."""
    bus: str
    """The bus that it hangs on."""
    switch: str | None = None
    """Its switch; one name in two circuits is one switch with two poles."""
    switched: Side = "feed"
    """Where its switch stands: in the `feed`, or between the load and `ground`."""
    contactor: str | None = None
    """Its contactor or relay."""
    interlock: Names = ()
    """Further contacts in its feed that have to be closed: those of another relay, a limit switch,
    a second button."""
    contacts: Mapping[str, Names] = Field(default_factory=dict)
    """Contacts that stand before one of its loads alone, a limit switch or a resting contact of
    another relay: `{gear-up-coil: [up-limit, gear-down]}`."""
    reverse: ReverseText | None = None
    """Its motor runs both ways: `switch`, where its switch has two poles that cross the leads, or
    `relays`, where two relays do."""
    post: str | None = None
    """The contactor on whose line post it begins, in place of the terminal of `bus` itself."""
    jumper: JumperText | None = None
    """Of a coil that is fed from its own contactor's post: the length of the wire from the post to
    the coil's terminal, or `inside`."""
    dimmer: str | None = None
    """A dimmer in its feed, by its name under `switches`, with the resistance that is left in it
    at its brightest."""
    diode: DiodeKind | None = None
    """A diode in its feed, at its first load. A load that two circuits feed, each through its
    diode, lives while one of them does."""
    feeds: Names
    """Equipment (`belly-beacon`) or its contact (`radio.J1.1`); several contacts of one thing
    are wires in parallel."""
    ground: Names = ()
    """The contact that the load returns from."""
    ground_point: str | None = None
    """The ground that the return is wired to."""
    splice: Splices = Field(default_factory=dict)
    """The place where the feed branches to several loads, or several places, each with the loads
    beyond it (`{wing-root: [left, right], left-wing: [left, strobe]}`); left out: at the switch or
    device."""
    return_splice: Splices = Field(default_factory=dict)
    """Likewise where returns join to one wire; left out: each load has a return of its own."""
    daisy_chain: Literal["feed", "both"] | None = None
    """The feed leads from load to load in the order of `feeds`; with `both` the return, too, back
    the same way."""
    through: Mapping[str, Through] = Field(default_factory=dict)
    """Connectors between harnesses on the way, with the contacts used."""
    via: Names = ()
    """Places that it passes, in order; returns lie beside the feed as far as that serves."""
    avoid: Names = ()
    """Places, zones or named ways that it keeps out of."""
    length_m: Metres | None = None
    """Length from the bus to the farthest load, when it is known; left out: from the ways."""
    gauge: Gauge | None = None
    """Given: checked. Left out: chosen."""
    wire: str | None = None
    """The wire type; left out: that of the system."""
    colour: str | None = None
    """Colour of the feed."""
    function: str | None = Field(default=None, pattern=r"^[A-Z]{1,2}$")
    """Function letters in the wire marks."""
    number: int | None = None
    """Its number in the wire marks."""
    essential: Flag = False
    """Needed to end the flight safely."""
    twisted: Flag = False
    """Feed and return are twisted together, so that their fields cancel."""
    engraving: str | None = None
    """What is engraved at its breaker or switch."""
    sheet: str | None = None
    """The title of the sheet that it shares with others; left out: by its function letter."""

    @model_validator(mode="after")
    def _one_motor(self) -> "Circuit":
        if self.reverse is None:
            return self
        if len({feed.partition(".")[0] for feed in self.feeds}) != 1:
            raise ValueError(
                "a circuit with reverse: feeds one motor; give each a circuit of its own"
            )
        if self.splice or self.return_splice or self.daisy_chain or self.diode:
            raise ValueError(
                "no splice, daisy-chain or diode stands in the circuit of a reversed motor"
            )
        if self.switched == "ground":
            raise ValueError("reverse: crosses both leads; leave switched: out")
        if self.reverse.by == "switch" and self.switch is None:
            raise ValueError("reverse: switch needs that switch of two poles, as switch: NAME")
        return self


class Wire(Entry):
    """A single conductor between two contacts, usually a signal; between runs one for each."""

    from_: str
    """Contact (`radio.J1.3`), a run of contacts (`radio.J1.3..7`, `root.A..H`), equipment, ground,
    or contact between harnesses (`wing-root.3`)."""
    to: Names
    """The other end, likewise; several with `splice`."""
    splice: str | None = None
    """The place where it branches to the several ends under `to`."""
    thermocouple: Thermocouple | None = None
    """The letter of thermocouple wire, for a run of contacts whose first is the positive leg
    (`K`), or of one leg (`K+`, `K-`)."""
    gauge: Gauge | None = None
    """Given: checked. Left out: chosen."""
    wire: str | None = None
    """The wire type; left out: that of the system."""
    colour: str | None = None
    """Its colour."""
    length_m: Metres | None = None
    """Length when it is known; left out: from the ways."""
    via: Names = ()
    """Places that it passes, in order."""
    avoid: Names = ()
    """Places, zones or named ways that it keeps out of."""
    function: str | None = Field(default=None, pattern=r"^[A-Z]{1,2}$")
    """Function letters in the wire mark."""
    number: int | None = None
    """Its number in the wire mark."""
    signal: str | None = None
    """What it carries; left out: the signal of its contacts."""
    amps_a: Amps | None = None
    """Current that it carries, counted as lasting."""
    fuse: ProtectionText | None = None
    """Of a wire that begins at a bus, at the post of a source, or behind a contactor: the fuse
    there, with its rating; `auto` takes the least that holds its current, no less than default
    `tap-fuse`."""


class Core(Entry):
    """One conductor of a cable."""

    from_: str
    """One end, as in `wires:`."""
    to: str
    """The other end."""
    colour: str | None = None
    """Its colour."""
    signal: str | None = None
    """What it carries; left out: the signal of its contacts."""


class Cable(Entry):
    """Several cores in one jacket (`2-core AWG 20 shielded`), under `multicores:`."""

    name: str | None = None
    """The text for print."""
    type: str
    """What it is."""
    from_: str | None = None
    """One end: equipment, its contact, a ground; for a spare a place."""
    to: str | None = None
    """The other end."""
    cores: Mapping[str, Core] = Field(default_factory=dict)
    """Core → its ends, for a cable of several cores."""
    shield: Literal["from", "to", "both", "none"] | None = None
    """At which end the shield is grounded."""
    drain: str | None = None
    """The contact or ground point that the shield's drain goes to. Of one grounded at both ends it
    leads from the end at `from`, or from the box that has the contact; the other end lies on its
    box."""
    service: str | None = None
    """What a coaxial cable serves, such as `com`."""
    diameter_m: Metres | None = None
    """Of the whole cable, measured or by its maker; left out: by its type."""
    mass_kg_per_m: KilogramsPerMetre | None = None
    """Of the whole cable, weighed or by its maker; left out: by its type."""
    power_w: Watts | None = None
    """What the radio puts into a coaxial cable, by its label."""
    loss_db: Decibels | None = None
    """What the radio's manual allows the cable to lose, connectors included."""
    least_loss_db: Decibels | None = None
    """What the radio's manual asks the cable of an amplified antenna to lose at least; 0 dB where
    it asks nothing."""
    spare: Flag = False
    """Laid for later."""
    via: Names = ()
    """Places that it passes, in order."""
    avoid: Names = ()
    """Places, zones or named ways that it keeps out of."""
    length_m: Metres | None = None
    """Length when it is known; left out: from the ways."""
    function: str | None = Field(default=None, pattern=r"^[A-Z]{1,2}$")
    """Function letters in its mark."""
    number: int | None = None
    """Its number in its mark."""


class Coax(Cable):
    """A coaxial line (`RG-400`), under `coax:`; it has no cores."""


__all__ = [
    "Bus", "Cable", "Circuit", "Coax", "Connector", "Core", "DeviceKind", "Diode", "Feeder",
    "Ground", "Names", "Protected", "Protection", "Side", "Stud", "Through", "Used", "Wire",
]  # fmt: skip
