"""What the search for sizes chose: gauges, devices, and the currents that they rest on."""

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from elec.model.system import Condition
from elec.network.netlist import Solution
from elec.sizing.devices import Device
from elec.wiring.cases import Case
from elec.wiring.circuit_model import Model, Sizes

Moment = tuple[str, Condition]
"""A phase and a condition."""


class Gauge(Struct, frozen=True, kw_only=True):
    """The gauge of one conductor and what decided it."""

    conductor: str
    awg: str
    chosen: bool
    """True where the program chose it."""
    decided: str
    """`heat in panel to belly`, `voltage drop`, `least gauge for strength`, `given`."""
    satisfied: bool = True
    """False where even the thickest gauge does not pass."""


class Solved(Struct, frozen=True, kw_only=True):
    """The last network that was solved while sizes were chosen."""

    cases: tuple[Case, ...]
    model: Model
    solution: Solution


class Sizing(Struct, frozen=True, kw_only=True, dict=True):
    """All sizes, and the currents they rest on."""

    devices: Mapping[str, Device]
    gauges: Mapping[str, Gauge]
    currents_a: Mapping[str, Mapping[Moment, float]]
    """Conductor → phase and condition → the most it carries then, whichever sources work.

    What pulses counts by its root mean square."""
    peaks_a: Mapping[str, float]
    """Conductor → the most at any instant."""
    loading: Mapping[str, float]
    """Bundle → its loading in the worst moment, 0 to 1."""
    worst_moment: Mapping[str, Moment]
    temperatures_degc: Mapping[str, float]
    """Conductor → its temperature in its warmest spot at its greatest lasting current."""
    careful_degc: Mapping[str, float]
    """The same as AC 43.13-1B 11-67 estimates it, on the careful side: for the voltage drop."""
    solved: Solved | None
    """The network in which circuits, feeders and grounds got their currents; None where nothing
    is wired."""
    rounds: int = 0

    def sizes(self) -> Sizes:
        """What the network is built from."""
        return self._sizes

    @cached_property
    def _sizes(self) -> Sizes:
        return Sizes(
            gauges={name: gauge.awg for name, gauge in self.gauges.items()},
            ratings={n: d.rating_a for n, d in self.devices.items() if d.rating_a is not None},
            families={n: d.family for n, d in self.devices.items()},
            temperatures_degc=self.temperatures_degc,
        )
