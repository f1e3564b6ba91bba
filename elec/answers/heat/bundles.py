"""The wires that share each way, how loaded they are, and which is nearest to its limit.

In: surroundings, sizing. Out: `BundleHeat` by way.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.answers.heat.heat import heat, lasting, spot_of
from elec.answers.heat.heat_working import HeatSpot
from elec.physics.heat import bundle_factor
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.demand import worst_circuit_amps
from elec.wiring.surroundings import Bundle, surroundings

MOST_ON_CURVE = 40
"""Wires at which the published curve of bundles ends (AC 43.13-1B figure 11-5, from memory)."""


class BundleHeat(Struct, frozen=True, kw_only=True):
    """One way."""

    way: int
    title: str
    members: int
    bundles: int
    wires: float
    """Wires in one bundle."""
    factor: float
    loading: float
    """Share of what the bundle may carry that is in use in its worst moment."""
    moment: tuple[str, str]
    """Phase and condition of that moment; the phase is empty where nothing flows."""
    tight: HeatSpot | None
    """The wire that uses most of what it may carry; None where no wire carries anything."""
    tightest: str
    """Title of its chain."""
    unknown: tuple[str, ...]
    """Circuits on this way whose current is not known."""

    @property
    def share(self) -> float:
        """What the tightest wire carries over what it may; 0 where none carries anything."""
        return self.tight.used if self.tight else 0.0


@analysis
def bundle_heat(study: Study) -> Mapping[int, BundleHeat]:
    """The bundle of every way that wires lie on."""
    return {
        bundle.leg: _heat(study, bundle, bundle.leg)
        for bundle in surroundings(study).bundles.values()
        if bundle.leg is not None
    }


def _heat(study: Study, bundle: Bundle, way: int) -> BundleHeat:
    done, made = sizing(study), _conductors(study)
    share = done.loading.get(bundle.id, 0.0)
    spots = [
        _spot(study, made[name], bundle, amps)
        for name in bundle.members
        if (amps := lasting(study, done, name)[0]) > 0
    ]
    tight = max(spots, key=lambda spot: spot.used, default=None)
    known = worst_circuit_amps(study)
    circuits = dict.fromkeys(name.rpartition("/")[0] for name in bundle.members)
    return BundleHeat(
        way=way,
        title=bundle.title,
        members=len(bundle.members),
        bundles=bundle.bundles,
        wires=bundle.wires,
        factor=bundle_factor(wires=bundle.wires, loading=share),
        loading=share,
        moment=done.worst_moment.get(bundle.id, ("", "day")),
        tightest=chains(study).by_name[tight.conductor.chain].title if tight else "",
        tight=tight,
        unknown=tuple(c for c in circuits if known.get(c, 0.0) is None),
    )


def _spot(study: Study, conductor: Conductor, bundle: Bundle, amps: float) -> HeatSpot:
    """A conductor in the bundle: as `heat` has it, where that looks at it."""
    hot = heat(study).get(conductor.id)
    if hot is None:
        return spot_of(study, sizing(study), conductor, bundle.id, amps)
    return next(spot for spot in hot.spots if spot.bundle is bundle)


@analysis
def _conductors(study: Study) -> Mapping[str, Conductor]:
    return {c.id: c for c in chains(study).conductors()}
