"""Buses, feeders, circuits, protective devices, switches, wires, cables and grounds."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from elec import units
from elec.model.entry import Entry
from elec.model.load import Connector, DrawText
from elec.model.quantity import Amps, Flag, Gauge, Metres, Ohms, Seconds, Volts

DeviceKind = Literal["breaker", "fuse", "limiter", "link"]
Used = Literal["always", "normal", "emergency", "never"]
"""When a feeder carries current: `normal` opens and `emergency` closes when primary generation is lost."""


def _names(value: Any) -> Any:
    return (
        (value,) if isinstance(value, str) else tuple(value) if isinstance(value, list) else value
    )


Names = Annotated[
    tuple[str, ...],
    BeforeValidator(_names),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]
"""One name, or a list of names."""


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
    class_: str | None = None
    """A time-current class of docs/sources.md; None: the default class of its kind."""
    resistance_ohm: Ohms | None = None
    interrupts_a: Amps | None = None
    label: str | None = None


def _protection(value: Any) -> Any:
    return {"rating": value} if isinstance(value, str) else value


ProtectionText = Annotated[
    Protection,
    BeforeValidator(_protection),
    WithJsonSchema(
        {
            "description": "auto, a rating (5 A), or a mapping with rating and class",
            "anyOf": [
                {"type": "string", "examples": ["auto", "5 A"]},
                {
                    "type": "object",
                    "additionalProperties": False,
                    "properties": {
                        "rating": {"type": "string"},
                        "class": {"type": "string"},
                        "resistance": {"type": "string"},
                        "interrupts": {"type": "string"},
                        "label": {"type": "string"},
                    },
                },
            ],
        }
    ),
]


class Bus(Entry):
    """A bus bar, a stud or a post that things hang on."""

    name: str | None = None
    place: str
    essential: Flag = False
    warning_v: Volts | None = None
    """Where the low-voltage warning of this bus comes on."""


class Ground(Entry):
    """A stud, block or piece of structure that returns hang on.

    `to` names the next ground point towards the battery negative; None for the main ground.
    """

    name: str | None = None
    place: str
    kind: Literal["stud", "block", "structure"] = "stud"
    to: str | None = None
    gauge: Gauge | None = None
    length_m: Metres | None = None
    resistance_ohm: Ohms | None = None
    """Measured or known resistance of the connection to `to`, instead of a wire."""


class Switch(Entry):
    """A switch, relay or contactor that feeders and circuits name."""

    name: str | None = None
    place: str | None = None
    kind: Literal["switch", "contactor", "relay", "button", "changeover"] | None = None
    resistance_ohm: Ohms | None = None
    rating_a: Amps | None = None
    coil: DrawText | None = None
    """What the coil draws from the bus or source on the feeding side, when it has one."""


class Protected(Entry):
    """What circuits and feeders share: one protective device at the source end, or a reason for none."""

    breaker: ProtectionText | None = None
    fuse: ProtectionText | None = None
    limiter: ProtectionText | None = None
    link: ProtectionText | None = None
    unprotected: str | None = None
    """Why this wire has no protective device (starter main circuit, harmless)."""

    def device(self) -> tuple[DeviceKind, Protection] | None:
        """The protective device and its kind, or None."""
        kinds: tuple[DeviceKind, ...] = ("breaker", "fuse", "limiter", "link")
        for kind in kinds:
            found: Protection | None = getattr(self, kind)
            if found is not None:
                return kind, found
        return None


class Feeder(Protected):
    """A heavy conductor from a source or bus to a bus, with what sits in it.

    In order from `from`: protective device, shunt, contactor or switch or changeover, diode.
    """

    name: str | None = None
    from_: str
    to: str
    shunt: str | None = None
    contactor: str | None = None
    switch: str | None = None
    changeover: str | None = None
    diode: Literal["schottky", "silicon"] | None = None
    used: Used = "always"
    gauge: Gauge | None = None
    wire: str | None = None
    length_m: Metres | None = None
    via: Names = ()
    number: int | None = None


class Through(Entry):
    """The contacts that a circuit uses in a connector between two harnesses."""

    feed: str
    return_: str | None = None
    for_: Names | None = None
    """The loads that lie beyond this connector; None: all of the circuit."""


class Circuit(Protected):
    """From a bus through a protective device and perhaps a switch to one or more loads, and back.

    `feeds` names equipment (`belly-beacon`) or its contact (`radio.J1.1`); `ground` the contact on which the load
    returns; `ground_point` the ground that return is wired to.
    """

    name: str | None = None
    bus: str
    switch: str | None = None
    contactor: str | None = None
    feeds: Names
    ground: Names = ()
    ground_point: str | None = None
    splice: str | None = None
    """The place where the feed branches to several loads; None: at the switch or device."""
    through: Mapping[str, Through] = Field(default_factory=dict)
    via: Names = ()
    length_m: Metres | None = None
    """Length of the longest way from the bus to the load, when it is measured or known; else from the ways."""
    gauge: Gauge | None = None
    wire: str | None = None
    colour: str | None = None
    function: str | None = Field(default=None, pattern=r"^[A-Z]{1,2}$")
    number: int | None = None
    essential: Flag = False
    engraving: str | None = None


class Wire(Entry):
    """A single conductor between two contacts, usually a signal."""

    from_: str
    to: str
    gauge: Gauge | None = None
    wire: str | None = None
    colour: str | None = None
    length_m: Metres | None = None
    via: Names = ()
    function: str | None = Field(default=None, pattern=r"^[A-Z]{1,2}$")
    number: int | None = None
    signal: str | None = None
    amps_a: Amps | None = None
    on_time_s: Seconds | None = None


class Core(Entry):
    """One conductor of a cable."""

    from_: str
    to: str
    colour: str | None = None
    signal: str | None = None


class Cable(Entry):
    """Several cores in one jacket (`2-core AWG 20`, `3-core AWG 22 shielded`), or a coaxial cable (`RG-400`)."""

    name: str | None = None
    type: str
    from_: str | None = None
    to: str | None = None
    cores: Mapping[str, Core] = Field(default_factory=dict)
    shield: Literal["from", "to", "both", "none"] | None = None
    """At which end the shield is grounded."""
    drain: str | None = None
    """The contact or ground point that the shield's drain goes to."""
    service: str | None = None
    spare: Flag = False
    via: Names = ()
    length_m: Metres | None = None
    function: str | None = Field(default=None, pattern=r"^[A-Z]{1,2}$")
    number: int | None = None


__all__ = [
    "Bus", "Cable", "Circuit", "Connector", "Core", "DeviceKind", "Feeder", "Ground", "Names", "Protected",
    "Protection", "Switch", "Through", "Used", "Wire",
]  # fmt: skip
