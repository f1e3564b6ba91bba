"""A builder's own wire: its insulation, and what differs from the published figures."""

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from elec import units
from elec.model.entry import Entry
from elec.model.quantity import Celsius, KilogramsPerMetre, Metres, OhmsPerMetre


class WireGauge(Entry):
    """One gauge of a wire type; what is left out is as published for the gauge."""

    resistance_ohm_per_m: OhmsPerMetre | None = None
    """Greatest resistance at 20 °C."""
    diameter_m: Metres | None = None
    """Over the insulation."""
    conductor_diameter_m: Metres | None = None
    """Over the strands."""
    mass_kg_per_m: KilogramsPerMetre | None = None
    """Of the wire with its insulation."""


class WireType(Entry):
    """A wire that the published types do not describe (`wire-types:` in the file)."""

    name: str | None = None
    """The text for print."""
    conductor: Literal["copper", "aluminium"] = "copper"
    """What its strands are made of."""
    rated_degc: Celsius
    """What its insulation bears for ever, by its maker."""
    damaged_degc: Celsius | None = None
    """Where it counts as damaged in a short circuit; left out: 50 °C above its rating."""
    gauges: Mapping[str, WireGauge] = Field(default_factory=dict)
    """Gauge → what differs from the published wire of that gauge."""
    source: str = ""
    """Where the figures come from, for print."""

    def by_awg(self) -> Mapping[str, WireGauge]:
        """The gauges by their numbers: `AWG 2/0` is "00"."""
        return {units.parse(key, "gauge"): entry for key, entry in self.gauges.items()}
