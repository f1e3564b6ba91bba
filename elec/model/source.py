"""Sources of current."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from elec import units
from elec.model.entry import Entry
from elec.model.load import Basis, On
from elec.model.quantity import (
    AmpHours,
    Amps,
    Celsius,
    Flag,
    Fraction,
    Gauge,
    Kilograms,
    Metres,
    Ohms,
    Rpm,
    Seconds,
    Torque,
    Volts,
    alone,
)
from elec.model.wiring import Names, ProtectionText


def _curve(
    across: str, up: str, what: str, least: int = 1, rises: bool = False
) -> tuple[BeforeValidator, WithJsonSchema]:
    """How a mapping from one quantity to another is read: pairs, the first of them rising."""

    def read(value: Any) -> Any:
        if isinstance(value, list):
            raise units.UnitError(f"expected a mapping: {what}")
        if not isinstance(value, Mapping):
            return value
        pairs = _read_pairs(value, across, up)
        if len(pairs) < least:
            raise units.UnitError(f"{len(pairs)} point is given; {least} or more make a curve")
        if len({x for x, _ in pairs}) < len(pairs):
            raise units.UnitError(f"{units.DIMENSIONS[across].noun} is given twice")
        if rises and any(b[1] < a[1] for a, b in pairwise(pairs)):
            raise units.UnitError("the values rise from the first point to the last")
        return tuple(pairs)

    schema = {"type": "object", "additionalProperties": {"type": "string"}, "description": what}
    return BeforeValidator(read), WithJsonSchema(schema)


def _read_pairs(value: Mapping[Any, Any], across: str, up: str) -> list[tuple[float, float]]:
    """The points of a curve, the first quantity rising; every mistake of its texts is told."""
    read: list[float] = []
    wrong: list[str] = []
    for text, dimension in ((t, d) for k, v in value.items() for t, d in ((k, across), (v, up))):
        try:
            read.append(units.parse(str(text), dimension))
        except units.UnitError as error:
            wrong.append(str(error))
    if wrong:
        raise units.UnitError("; ".join(wrong))
    return sorted(zip(read[::2], read[1::2], strict=True))


Pairs = tuple[tuple[float, float], ...]

OutputCurve = Annotated[
    Pairs,
    *_curve("speed", "current", "engine speed → current, such as {1000 rpm: 8 A, 2600 rpm: 40 A}"),
]
"""Pairs (engine rpm, A), rising in rpm."""

SetpointCurve = Annotated[
    Pairs,
    *_curve(
        "temperature",
        "voltage",
        "temperature → voltage, such as {-20 °C: 14.8 V, 20 °C: 14.4 V, 60 °C: 14.0 V}",
        2,
    ),
]
"""Pairs (°C, V), rising in temperature."""

ResistanceCurve = Annotated[
    Pairs,
    *_curve(
        "temperature",
        "resistance",
        "temperature → resistance, such as {-20 °C: 13 mΩ, 25 °C: 9 mΩ}",
        2,
    ),
]
"""Pairs (°C, Ω), rising in temperature."""

RestCurve = Annotated[
    Pairs,
    *_curve(
        "fraction",
        "voltage",
        "share of the charge → voltage, such as {100 %: 12.9 V, 50 %: 12.3 V, 0 %: 11.6 V}",
        2,
        True,
    ),
]
"""Pairs (part of one, V), rising."""

RateCurve = Annotated[
    Pairs,
    *_curve(
        "time",
        "charge",
        "discharge time → charge, such as {1 h: 13 Ah, 5 h: 16 Ah, 20 h: 18 Ah}",
        2,
        True,
    ),
]
"""Pairs (s, Ah), rising: the quicker, the less."""


class SourceEntry(Entry):
    """What every source has."""

    name: str | None = None
    """The text for print."""
    place: str
    """The place it sits in."""
    ground: str | None = None
    """The ground point that its negative side is wired to; left out: the main ground."""
    basis: Basis | None = None
    """Where the figures come from."""
    make: str = ""
    """Maker and type as the plate says, for the load sheet; left out, the sheet has a line to write
    it on."""
    note: str = ""
    """Anything worth printing."""
    mass_kg: Kilograms | None = None
    """Its mass."""
    torque_n_m: Torque | None = None
    """What the nuts or screws of its posts are tightened to, from its maker."""


class Crowbar(Entry):
    """An overvoltage trip that shorts the field circuit where it ends, until its breaker opens."""

    trips_v: Volts | None = None
    """The voltage at which it fires, from its maker."""
    drop_v: Volts | None = None
    """What is left across it once it has fired, from its maker; left out: default
    `crowbar-drop`."""


class FieldWire(Entry):
    """The wire from a regulator to the field terminal of its alternator.

    `field-wire: regulator` names what it comes from; the field circuit feeds that, and its device
    protects this wire, too. `field-wire: inside` where the maker has the regulator in the machine.
    """

    from_: str
    """The regulator (`regulator`) or its contact (`regulator.J1.3`); `inside`: there is no wire."""
    gauge: Gauge | None = None
    """Given: checked. Left out: that of the field circuit."""
    wire: str | None = None
    """The wire type; left out: that of the field circuit."""
    colour: str | None = None
    """Its colour."""
    length_m: Metres | None = None
    """Length when it is known; left out: from the ways."""
    via: Names = ()
    """Places that it passes, in order."""


INSIDE = "inside"


FieldWireText = Annotated[FieldWire, alone("from")]


class Tap(Entry):
    """A thin wire of a regulator: to what it holds (`sense`), or to its warning lamp."""

    from_: str
    """The bus that it senses, or the lamp or its contact (`annunciator.J1.7`); `inside`: the
    regulator has no such wire."""
    to: str | None = None
    """The contact that it ends on; left out: `sense` or `lamp` of the regulator, `S` or `L` of the
    machine where the regulator sits in it."""
    fuse: ProtectionText | None = None
    """The fuse where it begins; left out: of a sense wire `auto`, no less than default `tap-fuse`;
    of a lamp none."""
    amps_a: Amps | None = None
    """What it carries, counted in the network and on the battery: of `sense` while its bus is live,
    of a lamp while the alternator gives nothing. Left out: not counted, and sized for default
    `tap-current`."""
    gauge: Gauge | None = None
    """Given: checked. Left out: chosen."""
    length_m: Metres | None = None
    """Length when it is known; left out: from the ways."""
    via: Names = ()
    """Places that it passes, in order."""


TapText = Annotated[Tap, alone("from")]


def sense_contact(box: str, *, inside: bool) -> str:
    """The contact that a sense wire ends on where nothing else is written.

    >>> sense_contact("regulator", inside=False), sense_contact("alternator", inside=True)
    ('regulator.sense', 'alternator.S')
    """
    return f"{box}.{'S' if inside else 'sense'}"


class SenseTap(Tap):
    """The wire to what a regulator holds."""

    if_open: Literal["off", "full", "holds"] | None = None
    """Of `sense` alone: what its maker says that the regulator does when this wire is open: gives
    nothing (`off`), gives all it can until something takes it off (`full`), or holds on by what it
    sees at its output (`holds`); left out: not known."""


SenseText = Annotated[SenseTap, alone("from")]


class Alternator(SourceEntry):
    """A belt or gear driven alternator or dynamo with its regulator."""

    kind: Literal["alternator"]
    """An alternator or dynamo with its regulator."""
    setpoint_v: Volts
    """What the regulator holds, at 20 °C where it is compensated."""
    setpoint_by_temperature: SetpointCurve | None = None
    """What a compensated regulator holds, by the temperature of the air around battery and
    regulator."""
    output: OutputCurve | None = None
    """Engine speed → current that can be delivered hot."""
    cold_output: OutputCurve | None = None
    """Engine speed → current that can be delivered cold, as makers print it for 23 °C; left out:
    the hot one counts on every day."""
    tolerance: Fraction | None = None
    """How far the output may be off; left out: by its basis."""
    rating_a: Amps | None = None
    """The maker's rated output; left out: the largest value of the curve."""
    starts_at_rpm: Rpm | None = None
    """Engine speed below which it delivers nothing."""
    limit_a: Amps | None = None
    """The current at which it limits itself, however much is asked; left out: 108 % of its
    rating."""
    field_a: Amps | None = None
    """What its field draws, where `field-circuit` is left out or feeds nothing that draws: it is
    then counted only while the alternator has failed and is still switched on (ratings are net of
    the field)."""
    droop_ohm: Ohms | None = None
    """How the voltage falls with current."""
    field_circuit: str | None = None
    """The circuit that feeds its field: opening or shedding it takes the alternator off. What it
    feeds (a regulator, the field) is a load like any other; `field` then counts for nothing."""
    field_wire: FieldWireText | None = None
    """The wire from the regulator to the field terminal F: where it comes from (`regulator`), or
    `inside` where the regulator sits in the machine."""
    sense: SenseText | None = None
    """The bus whose voltage a wire of its own takes to the regulator (`main`), or `inside` where it
    holds the voltage at its supply or its output."""
    warning_lamp: TapText | None = None
    """The lamp, or the contact of an annunciator, that its warning output drives
    (`annunciator.J1.7`), or `inside` where it has none."""
    overvoltage_protection: Flag | None = None
    """Whether something disconnects it when its voltage runs away."""
    crowbar: Crowbar | None = None
    """What shorts the end of its field circuit when the voltage runs away, so that the breaker of
    that circuit opens: `crowbar: {trips: 16.2 V}`."""

    def senses(self) -> str:
        """The bus that a wire takes to its regulator; empty where there is no such wire."""
        return "" if self.sense is None or self.sense.from_ == INSIDE else self.sense.from_

    def taken_off(self) -> bool:
        """Whether something is said to take it off when its voltage runs away."""
        return bool(self.overvoltage_protection) or self.crowbar is not None

    def setpoints(self) -> tuple[float, ...]:
        """Every voltage that its regulator may hold."""
        return (self.setpoint_v, *(v for _, v in self.setpoint_by_temperature or ()))

    def rated_a(self) -> float | None:
        """The rated output, or None where neither rating nor curve is given."""
        if self.rating_a is not None:
            return self.rating_a
        return max((a for _, a in self.output), default=None) if self.output else None


class LeadAcid(SourceEntry):
    """A lead-acid battery."""

    kind: Literal["lead-acid"]
    """A lead-acid battery."""
    construction: Literal["flooded", "agm", "gel"] = "agm"
    """How it is made."""
    capacity_ah: AmpHours
    """Capacity on the nameplate."""
    tolerance: Fraction | None = None
    """How far the capacity that is counted on may be off; left out: by its basis."""
    rate_s: Seconds | None = None
    """The discharge time at which the capacity is rated; left out: a default."""
    resistance_ohm: Ohms | None = None
    """Internal resistance, charged and at room temperature."""
    resistance_by_temperature: ResistanceCurve | None = None
    """Internal resistance over temperature, from its maker, instead of `resistance`."""
    rest: RestCurve | None = None
    """Rest voltage over the charge that is left, from its maker; left out: that of its kind."""
    rates: RateCurve | None = None
    """Discharge time → the charge it gives in it, from its maker, instead of `peukert`."""
    accepts_a: Amps | None = None
    """The greatest current it takes when it is charged; left out: by its kind and size."""
    peukert: float | None = Field(default=None, ge=1.0, le=2.0)
    """Exponent by which capacity falls with current."""
    cutoff_v: Volts | None = None
    """Voltage at which it counts as empty."""
    usable: Fraction | None = None
    """Share of the nameplate that may be counted on; left out: a default."""
    coldest_degc: Celsius | None = None
    """The coldest it gets in flight."""


class Lithium(SourceEntry):
    """A lithium iron phosphate battery with its management system."""

    kind: Literal["lithium-iron-phosphate"]
    """A lithium iron phosphate battery with its management system."""
    capacity_ah: AmpHours
    """Capacity on the nameplate."""
    tolerance: Fraction | None = None
    """How far the capacity that is counted on may be off; left out: by its basis."""
    rate_s: Seconds | None = None
    """The discharge time at which the capacity is rated; left out: a default."""
    resistance_ohm: Ohms | None = None
    """Internal resistance, the management system included."""
    cells: int | None = Field(default=None, ge=1, le=16)
    """Cells in series."""
    resistance_by_temperature: ResistanceCurve | None = None
    """Internal resistance over temperature, from its maker, instead of `resistance`."""
    rest: RestCurve | None = None
    """Rest voltage over the charge that is left, from its maker; left out: that of its kind."""
    rates: RateCurve | None = None
    """Discharge time → the charge it gives in it, from its maker, instead of `peukert`."""
    accepts_a: Amps | None = None
    """The greatest current it takes when it is charged; left out: by its kind and size."""
    peukert: float | None = Field(default=None, ge=1.0, le=2.0)
    """Exponent by which capacity falls with current."""
    cutoff_v: Volts | None = None
    """Voltage at which it counts as empty."""
    usable: Fraction | None = None
    """Share of the nameplate that may be counted on; left out: a default."""
    coldest_degc: Celsius | None = None
    """The coldest it gets in flight."""
    no_charge_below_degc: Celsius | None = None
    """Temperature below which it must not be charged; left out: 0 °C."""
    limit_a: Amps | None = None
    """What the management system lets through before it opens."""
    opens_after_s: Seconds | None = None
    """How long it lets more than `limit` through before it opens, from its maker; left out: not
    known, so that in a short it may open before any device or not at all."""


class ExternalPower(SourceEntry):
    """A ground power receptacle."""

    kind: Literal["external-power"]
    """A receptacle for power from outside."""
    voltage_v: Volts
    """Voltage that comes in."""
    resistance_ohm: Ohms | None = None
    """Resistance of the outside supply and its cable."""
    in_: On = "never"
    """When it is plugged in: a phase, a range, or a list of those; left out: never."""


Battery = LeadAcid | Lithium
Source = Annotated[Alternator | LeadAcid | Lithium | ExternalPower, Field(discriminator="kind")]
