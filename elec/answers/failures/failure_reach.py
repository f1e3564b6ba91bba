"""How far a single failure reaches: to the engine, to a whole essential bus, or to less.

In: effects, chains, `role: engine`. Out: a consequence, and which failures count at all.
"""

from collections.abc import Iterator, Mapping

from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failures import Effect
from elec.finding import Consequence
from elec.study import Study, analysis
from elec.wiring.backup import engine_loads
from elec.wiring.chains import chains
from elec.wiring.coils import coil_loads, contacts


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


@analysis
def _feeders_through(study: Study) -> Mapping[str, frozenset[str]]:
    """Conductor or part → the feeders that it belongs to, or whose contactor's coil it feeds."""
    found: dict[str, set[str]] = {}
    for chain in chains(study).of("feeder"):
        for name in [c.id for c in chain.conductors()] + [part.id for part in chain.parts()]:
            found.setdefault(name, set()).add(chain.name)
    for coil, switch in coil_loads(study).items():
        moved = {c.name for c, _ in contacts(study).get(switch, ()) if c.kind == "feeder"}
        for name in _in_way_of(study, coil):
            found.setdefault(name, set()).update(moved)
    return {name: frozenset(names) for name, names in found.items()}


def _in_way_of(study: Study, load: str) -> Iterator[str]:
    """Conductors and parts that the current of a load passes in its circuit."""
    for circuit in chains(study).feeds.get(load, ()):
        for row in chains(study).by_name[circuit].rows:
            if row.equipment == load:
                yield from (c.id for c in row.conductors if c is not None)
                yield from (part.id for part in row.parts if part.inlet != part.outlet)


@analysis
def _unfed_anyway(study: Study) -> frozenset[str]:
    return _not_reached(study, frozenset(), frozenset())


def unfed(study: Study, failure: Failure) -> frozenset[str]:
    """Buses that no source reaches any more over the feeders that a failure leaves whole."""
    through = _feeders_through(study)
    cut = frozenset[str]().union(*(through.get(name, ()) for name in failure.opens))
    if not cut and not failure.sources:
        return _unfed_anyway(study)
    return _not_reached(study, cut, failure.sources)


@analysis
def _onward(study: Study) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """From where to where each feeder leads: spot → (feeder, spot behind it)."""
    found: dict[str, list[tuple[str, str]]] = {}
    for chain in chains(study).of("feeder"):
        found.setdefault(chain.source_end, []).append((chain.name, chain.far_end))
        if all(part.kind != "diode" for part in chain.parts()):
            found.setdefault(chain.far_end, []).append((chain.name, chain.source_end))
    return {spot: tuple(steps) for spot, steps in found.items()}


def _not_reached(study: Study, cut: frozenset[str], stopped: frozenset[str]) -> frozenset[str]:
    onward = _onward(study)
    reached = set(study.document.sources) - stopped
    ahead = list(reached)
    while ahead:
        for feeder, end in onward.get(ahead.pop(), ()):
            if end not in reached and feeder not in cut:
                reached.add(end)
                ahead.append(end)
    return frozenset(study.document.buses) - reached


def reach(study: Study, effect: Effect) -> Consequence:
    """The worst that a failure does."""
    taken = frozenset(effect.taken)
    if taken & engine_loads(study):
        return Consequence.ENGINE
    if taken and whole_buses(study, effect.dead):
        return Consequence.BUS
    return Consequence.OTHER


def halted(study: Study, effect: Effect) -> tuple[str, ...]:
    """What the engine needs and has not at once, until a hand has changed over."""
    return tuple(n for n in effect.at_once if n in engine_loads(study) and n not in effect.taken)


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
    "halted",
    "on_essential_buses",
    "own",
    "parted",
    "reach",
    "unfed",
    "whole_buses",
]
