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
            "description": "engine speed: current that can be delivered hot, e.g. {1000 rpm: 8 A, 2600 rpm: 40 A}",
        }
    ),
]
"""Pairs (engine rpm, A), rising in rpm."""


class SourceEntry(Entry):
    """What every source has."""

    name: str | None = None
    place: str
    ground: str | None = None
    """The ground point that its negative side is wired to; None: see `System.ground_of`."""
    basis: Basis | None = None
    note: str = ""
    mass_kg: Kilograms | None = None


class Alternator(SourceEntry):
    """A belt or gear driven alternator or dynamo with its regulator."""

    kind: Literal["alternator"]
    setpoint_v: Volts
    output: OutputCurve | None = None
    rating_a: Amps | None = None
    """The maker's rated output; None: the largest value of the curve."""
    starts_at_rpm: Rpm | None = None
    field_a: Amps | None = None
    droop_ohm: Ohms | None = None
    field_circuit: str | None = None
    overvoltage_protection: Flag | None = None

    def rated_a(self) -> float | None:
        """The rated output, or None where neither rating nor curve is given."""
        if self.rating_a is not None:
            return self.rating_a
        return max((a for _, a in self.output), default=None) if self.output else None


class LeadAcid(SourceEntry):
    """A lead-acid battery."""

    kind: Literal["lead-acid"]
    construction: Literal["flooded", "agm", "gel"] = "agm"
    capacity_ah: AmpHours
    rate_s: Seconds | None = None
    """The discharge time at which the capacity is rated; None: default."""
    resistance_ohm: Ohms | None = None
    peukert: float | None = Field(default=None, ge=1.0, le=2.0)
    cutoff_v: Volts | None = None
    usable: Fraction | None = None
    """Share of the nameplate that may be counted on; None: default."""
    coldest_degc: Celsius | None = None


class Lithium(SourceEntry):
    """A lithium iron phosphate battery with its management system."""

    kind: Literal["lithium-iron-phosphate"]
    capacity_ah: AmpHours
    rate_s: Seconds | None = None
    resistance_ohm: Ohms | None = None
    cells: int | None = Field(default=None, ge=1, le=16)
    peukert: float | None = Field(default=None, ge=1.0, le=2.0)
    cutoff_v: Volts | None = None
    usable: Fraction | None = None
    coldest_degc: Celsius | None = None
    limit_a: Amps | None = None
    """What the management system lets through before it opens."""


class ExternalPower(SourceEntry):
    """A ground power receptacle."""

    kind: Literal["external-power"]
    voltage_v: Volts
    resistance_ohm: Ohms | None = None


Battery = LeadAcid | Lithium
Source = Annotated[Alternator | LeadAcid | Lithium | ExternalPower, Field(discriminator="kind")]
