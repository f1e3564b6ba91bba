"""What a piece of equipment draws, when, and what it needs."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema, model_validator

from elec import units
from elec.model import laws
from elec.model.entry import Entry
from elec.model.quantity import Amps, Flag, Fraction, Gauge, Kilograms, Seconds, Volts
from elec.working import within


def _known(name: str) -> str:
    return laws.law_of(name).name


class Draw(Entry):
    """A load: a value and the law by which it draws; see `elec.model.laws`."""

    law: Annotated[str, AfterValidator(_known)]
    """The name of its law."""
    value: float = Field(strict=True)
    """In the law's unit."""

    @classmethod
    def steady(cls, current_a: float) -> "Draw":
        """A load that draws the same current at every voltage."""
        return cls(law=laws.CURRENT.name, value=current_a)

    @property
    def by(self) -> laws.Law:
        """Its law."""
        return laws.law_of(self.law)

    def current_a(self, voltage_v: float) -> float:
        """Current at a voltage across the load, by its law.

        >>> Draw(law="power", value=140.0).current_a(14.0)
        10.0
        """
        return self.by.current_a(self.value, voltage_v)

    @property
    def amount(self) -> float:
        """What adds up over time at one voltage, such as A, W, or 1/Ω."""
        return float(self.by.amount(self.value))

    def with_amount(self, amount: float) -> "Draw":
        """The same law with another amount."""
        return self.model_copy(update={"value": self.by.amount(amount)})

    def shared(self, share: float) -> float:
        """Its value counted with its share of the time; off where it has none."""
        return float(self.by.scaled(self.value, share)) if share > 0 else self.by.off

    @property
    def said(self) -> str:
        """As the builder thinks of it: `35 W`."""
        return self.by.said(self.value)


def _draw(value: Any) -> Any:
    if isinstance(value, str):
        law, number = laws.read(value)
        return {"law": law.name, "value": number}
    return value


DrawText = Annotated[
    Draw,
    BeforeValidator(_draw),
    WithJsonSchema(
        {
            "type": "string",
            "description": laws.offered(),
            "examples": [law.example for law in laws.LAWS.values()],
        }
    ),
]


class Use(Entry):
    """How much of a phase a load is on: a share of the time, or a time in each phase."""

    share: float | None = Field(default=None, strict=True)
    """Part of the phase, 0 to 1."""
    time_s: float | None = Field(default=None, strict=True)
    """Time in each phase."""

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
"""When a load is on: `always`, `never`, a phase, a range `taxi..approach`, a list of those, or a
mapping from phase to a share or a time. Resolved by `elec.model.phase.uses`."""

Basis = Literal["measured", "data sheet", "estimate", "typical"]
Character = Literal["electronic", "lamp", "motor", "heater", "inductive", "pulsed"]


class Inrush(Entry):
    """The current at switch-on: `factor` times the load's current, or a `current`, for a time."""

    factor: float | None = Field(default=None, gt=0)
    """How many times the load's current flows at switch-on."""
    current_a: Amps | None = None
    """The current at switch-on, instead of `factor`."""
    lasts_s: Seconds = Field(gt=0)
    """How long it flows."""


def _average(data: Any) -> Any:
    """The draw of a load of which peak and duty are given: what it takes on the average."""
    if not isinstance(data, dict) or data.get("draw") is not None or data.get("modes"):
        return data
    peak, duty = data.get("peak"), data.get("duty")
    if not isinstance(peak, str) or not isinstance(duty, str):
        return data
    try:
        lit = Draw.model_validate(_draw(peak))
        share = units.parse(duty, "fraction")
    except ValueError:
        return data  # the keys themselves are refused
    if share <= 0 or lit.value <= 0:
        return data
    mean = lit.with_amount(lit.amount * share)
    return {**data, "draw": {"law": mean.law, "value": mean.value}}


def _refuse_pulse(draw: Draw | None, peak: Draw | None, duty: float | None) -> None:
    """Raise a mistake where average, peak and duty contradict each other."""
    if duty is not None and not 0 < duty <= 1:
        raise ValueError("duty: the share of the time that it takes its peak, above 0 to 100 %")
    if draw is None or peak is None or draw.law != peak.law:
        return
    if not within(peak.amount, draw.amount, "at least"):
        raise ValueError("peak is less than draw; draw is the average, peak the most it takes")
    if duty is not None and not within(peak.amount * duty, draw.amount):
        raise ValueError(
            "peak times duty is more than draw, the average; leave one of the three out"
        )


class Mode(Entry):
    """One of several ways in which a piece of equipment draws current.

    The first mode is the base; each other mode takes its place for its share of the time.
    """

    draw: DrawText | None = None
    """What is drawn in this mode, on the average; the unit is the law."""
    peak: DrawText | None = None
    """The most it takes in this mode, where it pulses."""
    duty: Fraction | None = None
    """The share of the time in this mode that it takes its peak."""
    on: On = "always"
    """When: `always`, a phase, a range `taxi..approach`, a list, or phases with a share or a
    time."""
    basis: Basis | None = None
    """Where the figure comes from."""
    tolerance: Fraction | None = None
    """How far the draw may be off; left out: by its basis."""

    @model_validator(mode="before")
    @classmethod
    def _averaged(cls, data: Any) -> Any:
        return _average(data)

    @model_validator(mode="after")
    def _agrees(self) -> "Mode":
        _refuse_pulse(self.draw, self.peak, self.duty)
        return self


class MakerAsks(Entry):
    """The device and the wire that the maker of a piece of equipment asks for in its manual."""

    breaker_a: Amps | None = Field(default=None, gt=0)
    """The rating of the breaker, or of the fuse where it stands for either."""
    fuse_a: Amps | None = Field(default=None, gt=0)
    """The rating of the fuse."""
    gauge: Gauge | None = None
    """The thinnest wire."""


class ConnectorPin(Entry):
    """What a contact carries, when there is more to say than its signal."""

    signal: str
    """What the contact carries; `power` and `ground` are found by these words."""
    gauge: Gauge | None = None
    """The gauge that the contact needs."""


def _pin(value: Any) -> Any:
    return {"signal": value} if isinstance(value, str) else value


PinText = Annotated[ConnectorPin, BeforeValidator(_pin)]


class Connector(Entry):
    """A connector on a piece of equipment, or one between two harnesses.

    `contacts` is the gender of the connector on the equipment (or, for one between harnesses, of
    the half on the bus side); the harness carries the other gender.
    """

    type: str
    """The connector's type, such as `dsub-15`, or one of `connector-types`; any other is drawn
    schematically."""
    contacts: Literal["pin", "socket"] | None = None
    """Which gender of contact this connector has."""
    pins: Mapping[str, PinText] = Field(default_factory=dict)
    """Contact → signal, or a mapping with more; a space follows each colon."""
    name: str | None = None
    """The text for print."""
    rating_a: Amps | None = None
    """What one contact may carry, from the maker."""


class Equipment(Entry):
    """Anything that is fed, or that only has signal wires (then without `draw`)."""

    name: str | None = None
    """The text for print."""
    place: str
    """The place it sits in."""
    draw: DrawText | None = None
    """What it draws, on the average; the unit is the law. Left out: unknown, never zero."""
    peak: DrawText | None = None
    """The most it takes, again and again, where it flashes, sounds or pulses. Amperes beside
    watts hold at the nominal voltage."""
    duty: Fraction | None = None
    """The share of the time that it takes its peak; 100 %: it does not pulse."""
    at_v: Volts | None = None
    """Voltage at which the draw of a resistive load was read, for the record."""
    on: On | None = None
    """When it is on: `always` (the default), `never`, a phase, a range `taxi..approach`, a list
    of those, or a mapping from phase to a share or a time."""
    when: Literal["day", "night", "always"] = "always"
    """Only by day, only by night, or both."""
    modes: Mapping[str, Mode] = Field(default_factory=dict)
    """Several ways of drawing current, instead of `draw`. The first is the base; each other
    takes its place for its share."""
    basis: Basis | None = None
    """Where the figure comes from."""
    tolerance: Fraction | None = None
    """How far the draw may be off; left out: by its basis."""
    note: str = ""
    """Anything worth printing."""
    character: Character = "electronic"
    """How it behaves at switch-on and at switch-off."""
    inrush: Inrush | None = None
    """Current at switch-on, where it is known."""
    stall_a: Amps | None = None
    """What a motor takes while it is held fast, from its maker or measured for a second."""
    bears_stall: Flag = False
    """Its maker lets it be held fast for as long as it likes: a slipping clutch, a cut-out in its
    winding, a small fan."""
    minimum_v: Volts | None = None
    """The lowest voltage it works at, from its maker."""
    rides_through_s: Seconds | None = None
    """How long it runs on below that voltage without a reset, as in the first turn of a starter,
    from its maker or a test."""
    drop_v: Volts | None = None
    """Allowed drop, when the equipment's maker gives one."""
    intermittent: Flag = False
    """On for short times only: a larger voltage drop is allowed."""
    essential: Flag = False
    """Needed to end the flight safely; never shed."""
    backup: str | None = None
    """The equipment that takes over when this one is gone, and this one for it."""
    shed: Literal["never", "at once"] | Seconds | None = None
    """When it is switched off after the alternator is lost: `never`, `at once`, or a time after."""
    role: (
        Literal[
            "pitot heat", "landing light", "position light", "anticollision light", "engine",
            "magneto",
        ]
        | None
    ) = None  # fmt: skip
    """A function that a published rule names; `engine`: it keeps the engine running; `magneto`
    (passive): it sparks unless a lead of it is grounded."""
    maker_asks: MakerAsks | None = None
    """The breaker and the wire that its maker asks for; taken where you leave the choice."""
    exclusive: str | None = None
    """Loads with the same word here never run together."""
    ground: str | None = None
    """The ground that its return is wired to; left out: the nearest."""
    connectors: Mapping[str, Connector] = Field(default_factory=dict)
    """Its connectors by name, such as `J1`."""
    mass_kg: Kilograms | None = None
    """What it weighs, for weight and balance."""
    passive: Flag = False
    """True for a thing that draws nothing: a sensor, an antenna, a jack."""

    @model_validator(mode="before")
    @classmethod
    def _averaged(cls, data: Any) -> Any:
        return _average(data)

    @model_validator(mode="after")
    def _agrees(self) -> "Equipment":
        _refuse_pulse(self.draw, self.peak, self.duty)
        return self
