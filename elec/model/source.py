"""Sources of current."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from elec import units
from elec.model.entry import Entry
from elec.model.load import Basis
from elec.model.quantity import (
    AmpHours,
    Amps,
    Celsius,
    Flag,
    Fraction,
    Kilograms,
    Ohms,
    Rpm,
    Seconds,
    Volts,
)


def _curve(value: Any) -> Any:
    if not isinstance(value, Mapping):
        return value
    return tuple(
        sorted(
            (units.parse(str(k), "speed"), units.parse(str(v), "current")) for k, v in value.items()
        )
    )


OutputCurve = Annotated[
    tuple[tuple[float, float], ...],
    BeforeValidator(_curve),
    WithJsonSchema(
        {
            "type": "object",
            "additionalProperties": {"type": "string"},
            "description": "engine speed → current, such as {1000 rpm: 8 A, 2600 rpm: 40 A}",
        }
    ),
]
"""Pairs (engine rpm, A), rising in rpm."""


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
    note: str = ""
    """Anything worth printing."""
    mass_kg: Kilograms | None = None
    """Its mass."""


class Alternator(SourceEntry):
    """A belt or gear driven alternator or dynamo with its regulator."""

    kind: Literal["alternator"]
    """An alternator or dynamo with its regulator."""
    setpoint_v: Volts
    """What the regulator holds."""
    output: OutputCurve | None = None
    """Engine speed → current that can be delivered hot."""
    rating_a: Amps | None = None
    """The maker's rated output; left out: the largest value of the curve."""
    starts_at_rpm: Rpm | None = None
    """Engine speed below which it delivers nothing."""
    field_a: Amps | None = None
    """What its field draws."""
    droop_ohm: Ohms | None = None
    """How the voltage falls with current."""
    field_circuit: str | None = None
    """The circuit that feeds its field."""
    overvoltage_protection: Flag | None = None
    """Whether something disconnects it when its voltage runs away."""

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
    rate_s: Seconds | None = None
    """The discharge time at which the capacity is rated; left out: a default."""
    resistance_ohm: Ohms | None = None
    """Internal resistance, charged and at room temperature."""
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
    rate_s: Seconds | None = None
    """The discharge time at which the capacity is rated; left out: a default."""
    resistance_ohm: Ohms | None = None
    """Internal resistance, the management system included."""
    cells: int | None = Field(default=None, ge=1, le=16)
    """Cells in series."""
    peukert: float | None = Field(default=None, ge=1.0, le=2.0)
    """Exponent by which capacity falls with current."""
    cutoff_v: Volts | None = None
    """Voltage at which it counts as empty."""
    usable: Fraction | None = None
    """Share of the nameplate that may be counted on; left out: a default."""
    coldest_degc: Celsius | None = None
    """The coldest it gets in flight."""
    limit_a: Amps | None = None
    """What the management system lets through before it opens."""


class ExternalPower(SourceEntry):
    """A ground power receptacle."""

    kind: Literal["external-power"]
    """A receptacle for power from outside."""
    voltage_v: Volts
    """Voltage that comes in."""
    resistance_ohm: Ohms | None = None
    """Resistance of the outside supply and its cable."""


Battery = LeadAcid | Lithium
Source = Annotated[Alternator | LeadAcid | Lithium | ExternalPower, Field(discriminator="kind")]
