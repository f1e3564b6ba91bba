"""Switches, relays and contactors, and how their coils are fed."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from elec import units
from elec.model import laws
from elec.model.entry import Entry
from elec.model.load import Basis, DrawText, On
from elec.model.quantity import (
    Amps,
    Fraction,
    Gauge,
    Henries,
    Metres,
    Ohms,
    Seconds,
    Torque,
    Volts,
    alone,
)
from elec.model.wiring import Fitted, JumperText, Names, ProtectionText, Side, Stud


class Surge(Entry):
    """What holds the surge of a coil down across it: a part of that voltage, or a resistor."""

    kind: Literal["voltage", "resistance"]
    value: float = Field(gt=0)
    """In V or Ω."""

    @property
    def said(self) -> str:
        """As the builder writes it: `27 V`."""
        return units.show(self.value, "v" if self.kind == "voltage" else "ohm")


class LetsGo(Entry):
    """Where a coil lets go: a voltage across it, or a current in it, that falls slowly."""

    kind: Literal["voltage", "current"]
    value: float = Field(gt=0)
    """In V or A."""


SURGE_WORDS = ("diode", "inside", "none")


def _surge(value: Any) -> Any:
    if isinstance(value, str) and value not in SURGE_WORDS:
        kind, number = units.parse_any(
            value, ("voltage", "resistance"),
            "expected diode, inside, none, or what else holds the surge down across the coil: a "
            'voltage such as "27 V", or a resistor such as "100 Ω"',
        )  # fmt: skip
        return {"kind": kind, "value": number}
    return value


def _lets_go(value: Any) -> Any:
    if isinstance(value, str):
        kind, number = units.parse_any(
            value, ("voltage", "current"), 'expected a voltage such as "2.5 V" or a current such '
            'as "60 mA"',
        )  # fmt: skip
        return {"kind": kind, "value": number}
    return value


Suppressor = Annotated[
    Literal["diode", "inside", "none"] | Surge,
    BeforeValidator(_surge),
    WithJsonSchema(
        {
            "type": "string",
            "description": "`diode`, `inside`, `none`, a voltage (27 V) or a resistance (100 Ω)",
            "examples": ["27 V", "100 Ω"],
        }
    ),
]
LetsGoText = Annotated[
    LetsGo,
    BeforeValidator(_lets_go),
    WithJsonSchema(
        {
            "type": "string",
            "description": "a voltage (2.5 V) or a current (60 mA)",
            "examples": ["2.5 V", "60 mA"],
        }
    ),
]


class Coil(Fitted):
    """The coil of a contactor or relay, and the circuit that energises it.

    `coil: 0.8 A` alone says what it draws and leaves open how it is fed. With `switch`, `bus`,
    `circuit` or `interlock` it becomes a load and a circuit of its own, named after the contactor
    (`master-coil`), and what is left out is chosen: without `bus` it begins at the contactor's own
    line post and is switched between coil and ground. `coil: {load: starter-coil}` names a load
    that you describe yourself.
    """

    draw: DrawText | None = None
    """What it draws; the unit is the law."""
    load: str | None = None
    """The equipment that is this coil, where it and its circuit are written by hand."""
    bus: str | None = None
    """The bus or source that it is fed from; left out: the contactor's own line post."""
    circuit: str | None = None
    """The circuit that feeds it beside its own loads, in place of one of its own."""
    switch: str | None = None
    """The switch or button that energises it."""
    switched: Side | None = None
    """Where that switch stands: in the `feed`, or between coil and `ground`; left out: `ground`
    where the coil is fed from its own post, else `feed`."""
    interlock: Names = ()
    """Further contacts in its feed that have to be closed: those of another relay, a limit
    switch."""
    jumper: JumperText | None = None
    """The wire from the line post to the coil's terminal: its length, or `inside`; left out: a
    wire as long as default `contactor-jumper`."""
    unprotected: str | None = None
    """Why its wire has no protective device."""
    on: On | None = None
    """When it is energised; left out: whenever its contact has to be closed."""
    minimum_v: Volts | None = None
    """The lowest voltage at which it pulls in or holds, from its maker; left out: where a
    contactor usually drops out."""
    rides_through_s: Seconds | None = None
    """How long it may stay below that voltage without dropping out, from a test."""
    suppressor: Suppressor | None = None
    """What takes up the surge when its switch opens: a `diode` across it (a part to buy and fit), a
    suppressor across it by its voltage (`27 V`, a zener diode or the like), a resistor (`100 Ω`),
    one `inside`, or `none`."""
    inductance_henry: Henries | None = None
    """Its inductance with the contact pulled in, from its maker or measured; with `drops-out` elec
    computes how long the contact stays closed after its switch has opened."""
    drops_out: LetsGoText | None = None
    """The voltage across it, or the current in it, at which it lets go when that falls slowly, from
    its maker or measured."""
    basis: Basis | None = None
    """Where the figure of its draw comes from."""
    tolerance: Fraction | None = None
    """How far its draw may be off; left out: by its basis."""
    ground_point: str | None = None
    """The ground that it, or its switch, returns to; left out: the nearest."""
    via: Names = ()
    """Places that its wires pass, in order."""
    avoid: Names = ()
    """Places, zones or named ways that they keep out of."""
    gauge: Gauge | None = None
    """Given: checked. Left out: chosen."""
    wire: str | None = None
    """The wire type; left out: that of the system."""
    colour: str | None = None
    """Colour of its wires."""
    function: str | None = None
    """Function letters in the wire marks; left out: P."""
    number: int | None = None
    """Its number in the wire marks."""


def _coil(value: Any) -> Any:
    if isinstance(value, str):
        law, number = laws.read(value)
        return {"draw": {"law": law.name, "value": number}}
    return value


CoilText = Annotated[Coil, BeforeValidator(_coil)]


REST = "rest"
"""The position of a relay whose coil is not energised; the other one is `pulled in`."""


class Pole(Entry):
    """One pole of a switch: the terminals that a circuit or feeder goes through."""

    line: str
    """The terminal that is fed, by its number on the part."""
    load: Names
    """The terminal that leads on; several where each load of the circuit has one of its own, in
    their order."""
    closed: Names = ()
    """The positions in which it is closed; left out: in all but the first of `positions`. Of a
    relay `rest` is a contact that opens when the coil is energised."""


class Light(Entry):
    """The wire from behind a contact, through a fuse, to the light that shows it is closed."""

    to: str
    """The lamp, or the contact of an annunciator; or `none`."""
    fuse: ProtectionText | None = None
    """The fuse at the contact; left out: `auto`, no less than default `tap-fuse`."""
    amps_a: Amps | None = None
    """What it carries, counted in the network while the starter turns; left out: not counted, and
    sized for default `tap-current`."""
    gauge: Gauge | None = None
    """Given: checked. Left out: chosen."""
    length_m: Metres | None = None
    """Length when it is known; left out: from the ways."""
    via: Names = ()
    """Places that it passes, in order."""


LightText = Annotated[Light, alone("to")]


class Switch(Entry):
    """A switch, relay or contactor that feeders and circuits name."""

    name: str | None = None
    """The text for print."""
    place: str | None = None
    """The place it sits in; left out: that of the bus or source."""
    kind: Literal["switch", "contactor", "relay", "button", "changeover", "dimmer"] | None = None
    """What it is."""
    resistance_ohm: Ohms | None = None
    """Resistance of its closed contacts."""
    rating_a: Amps | None = None
    """What its contacts may carry, each pole by itself."""
    stud: Stud | None = None
    """The thread that its ring terminals go on."""
    torque_n_m: Torque | None = None
    """What its nut is tightened to, from its maker."""
    positions: Names = ()
    """What its positions are called, off first: `[off, nav, nav and strobe]`."""
    lever: Names = ()
    """The same words as its lever stands in them, from the top: `[nose down, off, nose up]`; left
    out: not known, and nothing is engraved for them."""
    poles: Mapping[str, Pole] = Field(default_factory=dict)
    """Circuit or feeder → the pole that carries it:
    `{nav: {line: 2, load: 3}, strobe: {line: 5, load: 6, closed: both}}`."""
    rests: Names = ()
    """Of a relay that feeders name as their `changeover`: the one of them that is joined while its
    coil is not energised; of two poles, one of each bus."""
    engaged_light: LightText | None = None
    """Of a starter's contactor: the lamp, or the contact of an annunciator, that is lit while it is
    closed, fed from behind its contact through a fuse; or `none`."""
    coil: CoilText | None = None
    """Its coil: what it draws (`0.8 A`), or with how it is fed
    (`{draw: 0.8 A, switch: master-switch}`)."""


__all__ = ["REST", "Coil", "Pole", "Switch"]
