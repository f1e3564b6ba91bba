"""The wires that share each way, how loaded they are, and which is nearest to its limit.

In: surroundings, sizing. Out: `BundleHeat` by way.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.physics.heat import ampacity_a
from elec.sizing.order import cranking
from elec.sizing.search.heat import factor_of
from elec.sizing.sizing import rated_degc, sizing
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.demand import worst_circuit_amps
from elec.wiring.surroundings import Bundle, surroundings
from elec.wiring.wires import size_of

MOST_ON_CURVE = 40
"""Wires at which the published curve of bundles ends (AC 43.13-1B figure 11-5, from memory)."""


class BundleHeat(Struct, frozen=True, kw_only=True):
    """One way. `share` is current over allowed current of the tightest wire."""

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
    tightest: str
    """Title of its chain; empty where no wire carries anything."""
    conductor: str
    share: float
    current_a: float
    allowed_a: float
    unknown: tuple[str, ...]
    """Circuits on this way whose current is not known."""


@analysis
def bundle_heat(study: Study) -> Mapping[int, BundleHeat]:
    """The bundle of every way that wires lie on."""
    return {
        bundle.leg: _heat(study, bundle, bundle.leg)
        for bundle in surroundings(study).bundles.values()
        if bundle.leg is not None
    }


def _heat(study: Study, bundle: Bundle, way: int) -> BundleHeat:
    done, short = sizing(study), cranking(study)
    factor = factor_of(bundle.wires, done.loading.get(bundle.id, 0.0))
    made = _conductors(study)
    best = ("", 0.0, 0.0, 0.0)
    for name in bundle.members:
        found = done.currents_a.get(name, {})
        amps = max((a for m, a in found.items() if m[0] not in short), default=0.0)
        if amps <= 0:
            continue
        wire = size_of(study, made[name], done.gauges[name].awg)
        allowed = ampacity_a(
            free_air_b=wire.free_air_b,
            free_air_m=wire.free_air_m,
            ambient_degc=bundle.ambient.value,
            rated_degc=rated_degc(made[name], study),
            bundle_factor=factor,
            altitude_factor=surroundings(study).altitude_factor.value,
        )
        share = amps / allowed if allowed > 0 else float("inf")
        if share > best[1]:
            best = (name, share, amps, allowed)
    known = worst_circuit_amps(study)
    circuits = dict.fromkeys(name.rpartition("/")[0] for name in bundle.members)
    return BundleHeat(
        way=way,
        title=bundle.title,
        members=len(bundle.members),
        bundles=bundle.bundles,
        wires=bundle.wires,
        factor=factor,
        loading=done.loading.get(bundle.id, 0.0),
        moment=done.worst_moment.get(bundle.id, ("", "day")),
        tightest=chains(study).by_name[best[0].rpartition("/")[0]].title if best[0] else "",
        conductor=best[0],
        share=best[1],
        current_a=best[2],
        allowed_a=best[3],
        unknown=tuple(c for c in circuits if known.get(c, 0.0) is None),
    )


@analysis
def _conductors(study: Study) -> Mapping[str, Conductor]:
    return {c.id: c for c in chains(study).conductors()}
