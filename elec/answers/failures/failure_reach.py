"""How far a single failure reaches: to the engine, to a whole essential bus, or to less.

In: effects, chains, `role: engine`. Out: a consequence, and which failures count at all.
"""

from collections.abc import Mapping

from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failures import Effect
from elec.finding import Consequence
from elec.study import Study, analysis
from elec.wiring.chains import chains


@analysis
def engine_loads(study: Study) -> frozenset[str]:
    """Equipment that keeps an engine running which stops without electricity; else none."""
    if not study.system.about.electrically_dependent:
        return frozenset()
    return frozenset(n for n, e in study.document.equipment.items() if e.role == "engine")


@analysis
def on_essential_buses(study: Study) -> Mapping[str, frozenset[str]]:
    """Essential bus → essential loads that have no other bus."""
    equipment, circuits = study.document.equipment, study.document.circuits
    fed = chains(study).feeds
    found = {}
    for bus, entry in study.document.buses.items():
        hanging = (
            load
            for load, names in fed.items()
            if equipment[load].essential and {circuits[n].bus for n in names} == {bus}
        )
        if entry.essential:
            found[bus] = frozenset(hanging)
    return found


def whole_buses(study: Study, gone: frozenset[str]) -> tuple[str, ...]:
    """Essential buses of which every essential load is gone."""
    return tuple(b for b, loads in on_essential_buses(study).items() if loads and loads <= gone)


def unfed(study: Study, failure: Failure) -> frozenset[str]:
    """Buses that no source reaches any more over the feeders that a failure leaves whole."""
    sources, buses = study.document.sources, study.document.buses
    whole: list[tuple[str, str]] = []
    for chain in chains(study).of("feeder"):
        cut = {c.id for c in chain.conductors()} | {part.id for part in chain.parts()}
        if cut & failure.opens:
            continue
        whole.append((chain.source_end, chain.far_end))
        if all(part.kind != "diode" for part in chain.parts()):
            whole.append((chain.far_end, chain.source_end))
    reached = set(sources) - failure.sources
    while more := {b for a, b in whole if a in reached} - reached:
        reached |= more
    return frozenset(buses) - reached


def reach(study: Study, effect: Effect) -> Consequence:
    """The worst that a failure does."""
    taken = frozenset(effect.taken)
    if taken & engine_loads(study):
        return Consequence.ENGINE
    if taken and whole_buses(study, effect.dead):
        return Consequence.BUS
    return Consequence.OTHER


def own(effect: Effect) -> bool:
    """Whether it lies in the circuit of the one load that it takes."""
    return effect.failure.branches and len(effect.taken) == 1


def apart(study: Study, failure: Failure) -> bool:
    """Whether it is a whole way with several bundles, and not one of them."""
    whole = failure.kind == "way" and len(failure.path) == 2
    return whole and study.document.ways[int(failure.path[1])].bundles > 1


def parted(study: Study, failure: Failure) -> bool:
    """Whether nothing cuts all its bundles at once: none of its holes takes several."""
    if not apart(study, failure):
        return False
    return all(hole.bundle for hole in study.document.ways[int(failure.path[1])].holes)


__all__ = [
    "apart",
    "engine_loads",
    "on_essential_buses",
    "own",
    "parted",
    "reach",
    "unfed",
    "whole_buses",
]
