"""What a piece of equipment draws, when, and what it needs."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from elec import units
from elec.model.entry import Entry
from elec.model.quantity import Amps, Flag, Fraction, Seconds, Volts

LawName = Literal["current", "power", "resistance"]


class Draw(Entry):
    """A load and its law: amperes stay constant, watts stay constant, ohms stay constant."""

    law: LawName
    value: float = Field(strict=True)
    """A, W or Ω by the law."""

    def current_a(self, voltage_v: float) -> float:
        """Current at a voltage across the load, by its law.

        >>> Draw(law="power", value=140.0).current_a(14.0)
        10.0
        """
        if self.law == "current":
            return self.value
        if self.law == "power":
            return self.value / voltage_v
        return voltage_v / self.value


def _draw(value: Any) -> Any:
    if isinstance(value, str):
        law, number = units.parse_draw(value)
        return {"law": law, "value": number}
    return value


DrawText = Annotated[
    Draw,
    BeforeValidator(_draw),
    WithJsonSchema(
        {
            "type": "string",
            "description": "a current (2.5 A), a power (35 W) or a resistance (5 Ω); the unit is the law",
            "examples": ["2.5 A", "35 W", "5 Ω"],
        }
    ),
]


class Use(Entry):
    """How much of a phase a load is on: a share of the time, or a time in each phase."""

    share: float | None = Field(default=None, strict=True)
    time_s: float | None = Field(default=None, strict=True)

    def share_of(self, lasts_s: float) -> float:
        """The part of a phase of that length, 0 to 1, in which the load is on."""
        if self.time_s is not None:
            return min(1.0, self.time_s / lasts_s) if lasts_s > 0 else 1.0
        return 1.0 if self.share is None else self.share


def _use(value: Any) -> Any:
    if isinstance(value, str):
        kind, number = units.parse_use(value)
        return {units.yaml_key(kind): number}
    return value


UseText = Annotated[
    Use,
    BeforeValidator(_use),
    WithJsonSchema(
        {
            "type": "string",
            "description": "a share (10 %) or a time (8 s)",
            "examples": ["10 %", "8 s"],
        }
    ),
]

On = Literal["always", "never"] | str | list[str] | dict[str, UseText]
"""When a load is on: `always`, `never`, a phase, a range `taxi..approach`, a list of those, or a mapping
from phase to a share or a time. Resolved by `elec.model.phase.uses`."""

Basis = Literal["measured", "data sheet", "estimate", "typical"]
Character = Literal["electronic", "lamp", "motor", "heater", "inductive"]


class Inrush(Entry):
    """The current at switch-on: `factor` times the load's current, or a `current`, for a time."""

    factor: float | None = Field(default=None, gt=0)
    current_a: Amps | None = None
    lasts_s: Seconds = Field(gt=0)


class Mode(Entry):
    """One of several ways in which a piece of equipment draws current.

    The first mode is the base; each other mode takes its place for its share of the time.
    """

    draw: DrawText | None = None
    on: On = "always"
    basis: Basis | None = None
    tolerance: Fraction | None = None


class ConnectorPin(Entry):
    """What a contact carries, when there is more to say than its signal."""

    signal: str
    gauge: str | None = None


def _pin(value: Any) -> Any:
    return {"signal": value} if isinstance(value, str) else value


PinText = Annotated[ConnectorPin, BeforeValidator(_pin)]


class Connector(Entry):
    """A connector on a piece of equipment, or one between two harnesses.

    `contacts` is the gender of the connector on the equipment (or, for one between harnesses, of the half on the
    bus side); the harness carries the other gender.
    """

    type: str
    contacts: Literal["pin", "socket"] | None = None
    pins: Mapping[str, PinText] = Field(default_factory=dict)
    name: str | None = None
    rating_a: Amps | None = None


class Equipment(Entry):
    """Anything that is fed, or that only has signal wires (then without `draw`)."""

    name: str | None = None
    place: str
    draw: DrawText | None = None
    at_v: Volts | None = None
    """Voltage at which a draw in amperes of a resistive load was read; information for the reader."""
    on: On | None = None
    when: Literal["day", "night", "always"] = "always"
    modes: Mapping[str, Mode] = Field(default_factory=dict)
    basis: Basis | None = None
    tolerance: Fraction | None = None
    note: str = ""
    character: Character = "electronic"
    inrush: Inrush | None = None
    minimum_v: Volts | None = None
    drop_v: Volts | None = None
    """Allowed drop, when the equipment's maker gives one."""
    intermittent: Flag = False
    essential: Flag = False
    shed: Literal["never", "at once"] | Seconds | None = None
    exclusive: str | None = None
    """Loads with the same word here never run together."""
    ground: str | None = None
    connectors: Mapping[str, Connector] = Field(default_factory=dict)
    passive: Flag = False
    """True for a thing that draws nothing: a sensor, an antenna, a jack."""
