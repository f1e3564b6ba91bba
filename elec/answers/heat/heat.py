"""How warm every conductor gets on its run, and what it may carry, with the working.

In: sizing, surroundings. Out: `WireHeat` by conductor. The published curves through their compact
fits decide; the circular's own temperature formula stands beside it as the careful number.
"""

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.heat.heat_working import HeatSpot, rating_working, warm_working
from elec.physics.heat import ampacity_a, bundle_factor
from elec.sizing.chosen import Moment, Sizing
from elec.sizing.order import cranking
from elec.sizing.sizing import rated_degc, sizing, wire_of
from elec.standards import WireKind, WireSize
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.demand import worst_circuit_amps
from elec.wiring.runs import runs
from elec.wiring.surroundings import surroundings
from elec.wiring.wires import kind_of, size_of
from elec.working import Working


class WireHeat(Struct, frozen=True, kw_only=True, dict=True):
    """One conductor. Currents and temperatures hold in its tightest spot but for `warmest_degc`."""

    conductor: str
    awg: str
    current_a: float
    moment: Moment | None
    allowed_a: float
    spot: str
    """Id of the bundle that binds: where it may carry least."""
    title: str
    wires: float
    loading: float
    ambient_degc: float
    rated_degc: float
    expected_degc: float | None
    """By the power law; None beyond the curves."""
    careful_degc: float | None
    """By the circular's formula; None where the current is above the allowed one."""
    warmest_degc: float | None
    """By the power law where it gets warmest, which need not be where it may carry least."""
    tight: HeatSpot
    warm: HeatSpot
    spots: tuple[HeatSpot, ...]
    """All spots of its run."""
    unknown: str = ""

    @property
    def used(self) -> float:
        """The part that it carries of what it may; infinite where it may carry nothing."""
        return self.tight.used

    @cached_property
    def working(self) -> Working:
        """What it may carry where it may carry least; ends with the share that is used."""
        return rating_working(self.tight)

    @cached_property
    def temperature(self) -> Working:
        """How warm it gets where it gets warmest; ends with the temperature to expect."""
        return warm_working(self.warm, worked=self.tight is self.warm)

    @property
    def where(self) -> str:
        """Where it may carry least, for a sentence."""
        return self.tight.bundle.where

    @property
    def wire(self) -> WireSize:
        """What its gauge of its wire type is."""
        return self.tight.wire

    @property
    def kind(self) -> WireKind:
        """Its wire type."""
        return self.tight.kind

    @property
    def workings(self) -> tuple[Working, ...]:
        """Both."""
        return (self.working, self.temperature)


class BundleUse(Struct, frozen=True, kw_only=True):
    """What the power conductors of a bundle carry in its worst moment, and could carry alone."""

    moment: Moment
    carried_a: tuple[tuple[str, float], ...]
    """Conductor and current, by member of the bundle: one that lies there twice stands twice."""
    alone_a: tuple[tuple[str, float], ...]
    """What each could carry in that air and height without neighbours."""
    amps: float
    capacity_a: float
    """Sums of both."""


@analysis
def bundle_use(study: Study) -> Mapping[str, BundleUse]:
    """Sum of the currents and of the capacities behind the loading of every bundle."""
    done, around = sizing(study), surroundings(study)
    power = {
        c.id: c
        for chain in chains(study).by_name.values()
        if chain.kind != "cable"
        for c in chain.conductors()
    }
    found = {}
    for key, bundle in around.bundles.items():
        inside = [power[m] for m in bundle.members if m in power]
        moment = done.worst_moment.get(key, ("", "day"))
        carried = tuple((c.id, done.currents_a.get(c.id, {}).get(moment, 0.0)) for c in inside)
        alone = tuple((c.id, _alone_a(study, c, bundle.ambient.value)) for c in inside)
        found[key] = BundleUse(
            moment=moment,
            carried_a=carried,
            alone_a=alone,
            amps=sum(amps for _, amps in carried),
            capacity_a=sum(amps for _, amps in alone),
        )
    return found


def _alone_a(study: Study, conductor: Conductor, ambient_degc: float) -> float:
    """What a conductor could carry in that air and height without neighbours."""
    wire = wire_of(study, conductor)
    return ampacity_a(
        free_air_b=wire.free_air_b,
        free_air_m=wire.free_air_m,
        ambient_degc=ambient_degc,
        rated_degc=rated_degc(conductor, study),
        bundle_factor=1.0,
        altitude_factor=surroundings(study).altitude_factor.value,
    )


@analysis
def heat(study: Study) -> Mapping[str, WireHeat]:
    """The heat of every power conductor, thin wires that a source feeds among them."""
    found = {}
    done = sizing(study)
    for chain in chains(study).by_name.values():
        if chain.kind in ("wire", "cable") and not chain.hot:
            continue
        for conductor in chain.conductors():
            spots = surroundings(study).of.get(conductor.id, ())
            if spots:
                found[conductor.id] = _heat(study, done, conductor, spots)
    return found


def heat_in(study: Study, conductor: Conductor, awg: str) -> WireHeat:
    """A power conductor as if it had another gauge, its bundles loaded as they are."""
    done = sizing(study)
    gauges = {**done.gauges, conductor.id: replace(done.gauges[conductor.id], awg=awg)}
    spots = surroundings(study).of[conductor.id]
    return _heat(study, replace(done, gauges=gauges), conductor, spots)


def _heat(study: Study, done: Sizing, conductor: Conductor, spots: tuple[str, ...]) -> WireHeat:
    amps, moment = lasting(study, done, conductor.id)
    found = [spot_of(study, done, conductor, key, amps) for key in spots]
    tight = min(found, key=lambda spot: spot.allowed_a)
    unread = [spot for spot in found if spot.expected_degc is None]
    warm = unread[0] if unread else max(found, key=lambda spot: spot.expected_degc or 0.0)
    if warm.expected_degc == tight.expected_degc:
        warm = tight
    return WireHeat(
        conductor=conductor.id,
        awg=tight.wire.awg,
        current_a=amps,
        moment=moment,
        allowed_a=tight.allowed_a,
        spot=tight.bundle.id,
        title=tight.bundle.title,
        wires=tight.bundle.wires,
        loading=tight.loading,
        ambient_degc=tight.bundle.ambient.value,
        rated_degc=tight.rated_degc,
        expected_degc=tight.expected_degc,
        careful_degc=tight.careful_degc,
        warmest_degc=warm.expected_degc,
        tight=tight,
        warm=warm,
        spots=tuple(found),
        unknown=_unknown(study, conductor),
    )


def spot_of(study: Study, done: Sizing, conductor: Conductor, key: str, amps: float) -> HeatSpot:
    """A conductor in one of the bundles that it lies in, at a current."""
    around = surroundings(study)
    bundle = around.bundles[key]
    share = done.loading.get(key, 0.0)
    use = bundle_use(study)[key]
    return HeatSpot(
        study=study,
        conductor=conductor,
        wire=size_of(study, conductor, done.gauges[conductor.id].awg),
        kind=kind_of(study, conductor),
        bundle=bundle,
        rated_degc=rated_degc(conductor, study),
        amps=amps,
        loading=share,
        factor=bundle_factor(wires=bundle.wires, loading=share),
        height=around.altitude,
        altitude=around.altitude_factor,
        together_a=use.amps,
        capacity_a=use.capacity_a,
        moment=use.moment,
    )


def lasting(study: Study, done: Sizing, conductor: str) -> tuple[float, Moment | None]:
    """The most that a conductor carries for longer than a start, and when."""
    short = cranking(study)
    found = {m: a for m, a in done.currents_a.get(conductor, {}).items() if m[0] not in short}
    if not found:
        return 0.0, None
    moment = max(found, key=lambda m: found[m])
    return found[moment], moment


def _unknown(study: Study, conductor: Conductor) -> str:
    if worst_circuit_amps(study).get(conductor.chain, 0.0) is None:
        return "the current of a load on this circuit is not known"
    return runs(study)[conductor.id].unknown if not runs(study)[conductor.id].legs else ""
