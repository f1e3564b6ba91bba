"""What the search for sizes knows of the system, and how far it has come.

In: demand, surroundings, wires. Out: `SearchState`, on which the layers of the search stand.
"""

from collections.abc import Mapping

from msgspec import Struct, field

from elec.sizing.chosen import Moment
from elec.sizing.devices import Device
from elec.sizing.order import behind, cranking, in_order
from elec.sizing.starter_cables import drivers
from elec.standards import WireSize
from elec.study import Study
from elec.wiring.chains import Chain
from elec.wiring.contact_class import range_over
from elec.wiring.demand import conditions
from elec.wiring.limits import limit
from elec.wiring.runs import runs
from elec.wiring.standby import twins
from elec.wiring.surroundings import surroundings
from elec.wiring.wires import kind_of, size


class Work(Struct):
    """The state of the search."""

    gauges: dict[str, str] = field(default_factory=dict)
    decided: dict[str, str] = field(default_factory=dict)
    unsatisfied: set[str] = field(default_factory=set)
    devices: dict[str, Device] = field(default_factory=dict)
    counted: dict[str, dict[Moment, float]] = field(default_factory=dict)
    """Of circuits, by the draws of their loads alone."""
    currents: dict[str, dict[Moment, float]] = field(default_factory=dict)
    loading: dict[str, float] = field(default_factory=dict)
    moments: dict[str, Moment] = field(default_factory=dict)


class SearchState:
    """The system as the search sees it, and the state of its work."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self.chains = in_order(study)
        self.conductors = {c.id: c for chain in self.chains for c in chain.conductors()}
        self.where = surroundings(study)
        self.cranking = cranking(study)
        self.moments: tuple[Moment, ...] = tuple(
            (phase, condition) for phase in study.document.phases for condition in conditions(study)
        )
        self.work = Work()
        self.most_a: dict[str, float] = {}
        self.loads_on: dict[str, tuple[str, ...]] = {}
        """Of each conductor of a circuit the loads whose current it carries."""
        self.lasting_a: dict[str, float] = {}
        self.parts_v: dict[str, dict[tuple[str, ...], float]] = {}
        self.kinds = {name: kind_of(study, c) for name, c in self.conductors.items()}
        self.rated = {name: kind.rated_degc for name, kind in self.kinds.items()}
        self.free_a: dict[tuple[str, str, float], float] = {}
        self.warm_degc: dict[tuple[str, str, float, tuple[float, ...]], float] = {}
        self.careful_degc: dict[tuple[str, str, float, tuple[float, ...]], float] = {}
        self.factors: dict[str, float] = {}
        self.inside: dict[str, list[str]] = {}
        self.moving: dict[str, list[str]] = {}
        self.still_a: dict[str, list[tuple[Moment, float]]] = {}
        self.passed: dict[str, tuple[float | None, tuple[float, ...]]] = {}
        self.least: dict[str, str] = {}
        self.reasons: dict[str, str] = {}
        self.sharing: dict[str, dict[str, Chain]] = {}
        self.runs = runs(study)
        self.altitude = self.where.altitude_factor.value
        self.fixed = {n: c.gauge for n, c in self.conductors.items() if c.gauge is not None}
        self.tight = limit(study, "bundle-tight").value
        self.twins = twins(study)
        self.capped: dict[str, float] = {}
        self.by_name = {chain.name: chain for chain in self.chains}
        self.drivers = {
            chain.name: found
            for chain in self.chains
            if (found := drivers(study, chain, self.cranking)) is not None
        }
        self.contacts = {
            chain.name: range_over(study, tuple(c for c in chain.conductors() if c.gauge is None))
            for chain in self.chains
        }
        self.behind = behind(study, self.chains)
        bundles, of = self.where.bundles, self.where.of
        self.warmest = {
            n: max((bundles[key].ambient.value for key in of.get(n, ())), default=20.0)
            for n in self.conductors
        }
        self.limits_v: dict[str, tuple[float, ...]] = {}
        self.chain_a: dict[str, float] = {}
        self.after_a: Mapping[str, float] = {}
        self.charge_a: Mapping[str, float] = {}

    def lasting(self, conductor: str) -> float:
        """The most that a conductor carries for longer than a start."""
        if conductor not in self.lasting_a:
            found = self.work.currents.get(conductor, {})
            self.lasting_a[conductor] = max(
                (a for (phase, _), a in found.items() if phase not in self.cranking), default=0.0
            )
        return self.lasting_a[conductor]

    def guard(self, chain: Chain) -> Device | None:
        """The device that guards a chain's wires: of a thin wire the greatest before it."""
        found = (self.work.devices.get(name) for name in chain.guards or (chain.name,))
        known = [device for device in found if device is not None]
        return max(known, key=lambda device: device.rating_a or 0.0, default=None)

    def _wire(self, conductor: str, awg: str) -> WireSize:
        return size(self.kinds[conductor], awg)
