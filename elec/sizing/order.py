"""In which order chains are sized, and what the size of one rests on.

In: chains. Out: chains in order; what lies behind a feeder; what a ground wire takes back.
"""

from collections.abc import Mapping

from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains, known_ohm
from elec.wiring.demand import turns


def returns_through(study: Study, chain: Chain) -> tuple[tuple[str, str], ...]:
    """The conductors whose whole current, in a short circuit, comes back through a ground wire.

    For the negative of a source its feeders, for a ground point the returns that land on it; with
    the title of their chain. A connection whose resistance was measured is left alone.
    """
    if chain.kind != "ground":
        return ()
    if known_ohm(study, chain) is not None:
        return ()
    if chain.ground or chain.seconds:
        return _landing_on(study).get(chain.source_end, ())
    return _feeders_at(study).get(chain.source_end, ())


@analysis
def _landing_on(study: Study) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Ground point → returns that land on it."""
    found: dict[str, list[tuple[str, str]]] = {}
    for chain in chains(study).of("circuit"):
        for conductor in chain.conductors():
            if conductor.role == "return":
                found.setdefault(conductor.b.name, []).append((conductor.id, chain.title))
    return {name: tuple(here) for name, here in found.items()}


@analysis
def _feeders_at(study: Study) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Source or bus → wires of the feeders that end there."""
    found: dict[str, list[tuple[str, str]]] = {}
    for chain in chains(study).of("feeder"):
        for end in {chain.source_end: None, chain.far_end: None}:
            found.setdefault(end, []).extend((c.id, chain.title) for c in chain.conductors())
    return {name: tuple(here) for name, here in found.items()}


@analysis
def ground_wires(study: Study) -> Mapping[str, tuple[Chain, ...]]:
    """Ground point → the chains that lead from it: its own and the second one."""
    found: dict[str, list[Chain]] = {}
    for chain in chains(study).of("ground"):
        for name in dict.fromkeys((chain.ground, chain.seconds)):
            if name:
                found.setdefault(name, []).append(chain)
    return {name: tuple(here) for name, here in found.items()}


def loads_on(chain: Chain, conductor: str) -> tuple[str, ...]:
    """The loads whose current a conductor of a circuit carries."""
    return tuple(
        dict.fromkeys(
            row.equipment
            for row in chain.rows
            if any(c is not None and c.id == conductor for c in row.conductors)
        )
    )


def behind(study: Study, found: list[Chain]) -> Mapping[str, tuple[str, ...]]:
    """Feeder → circuits and feeders on its far bus, by which its device is chosen."""
    from_: dict[str, list[Chain]] = {}
    for chain in found:
        if chain.kind in ("circuit", "feeder"):
            from_.setdefault(chain.source_end, []).append(chain)
    return {
        chain.name: tuple(
            one.name
            for one in from_.get(chain.far_end, ())
            if one.name != chain.name and in_one_path(study, chain, one)
        )
        for chain in found
        if chain.kind == "feeder"
    }


def in_one_path(study: Study, feeder: Chain, branch: Chain) -> bool:
    """Whether both can be in one path of a fault in the branch, the feeder with all its current.

    A feeder for normal use and one for an emergency are never closed together. What leads to an
    alternator is closed only while that alternator lives; and where the bus has a second feeder
    the branch carries the current of both and opens first.
    """
    if branch.kind == "circuit":
        return True
    feeders = study.document.feeders
    upper, lower = feeders[int(feeder.path[1])], feeders[int(branch.path[1])]
    if {upper.used, lower.used} >= {"normal", "emergency"}:
        return False
    if not to_alternator(study, branch):
        return True
    others = [
        chain
        for chain in chains(study).of("feeder")
        if chain.name not in (feeder.name, branch.name)
        and feeder.far_end in (chain.source_end, chain.far_end)
        and feeders[int(chain.path[1])].used != "emergency"
        and not _leads_away(chain, feeder.far_end)
    ]
    return upper.used != "emergency" and not others


def to_alternator(study: Study, chain: Chain) -> bool:
    """Whether a feeder begins or ends at an alternator."""
    ends = (chain.source_end, chain.far_end)
    sources = study.document.sources
    return any(end in sources and sources[end].kind == "alternator" for end in ends)


def _leads_away(chain: Chain, bus: str) -> bool:
    """Whether a diode lets a feeder take current from a bus alone, and give it none."""
    return chain.source_end == bus and any(part.kind == "diode" for part in chain.parts())


def in_order(study: Study) -> list[Chain]:
    """All chains but cables: ground points from the main ground outwards, others as written.

    What a chain's gauge rests on comes before it, whatever the order of the text.
    """
    every = [c for c in chains(study).by_name.values() if c.kind != "cable"]
    grounds = {chain.ground: chain for chain in every if chain.ground}

    def depth(chain: Chain) -> int:
        count, here = 0, chain
        while here.far_end in grounds and count <= len(grounds):
            count, here = count + 1, grounds[here.far_end]
        return count

    seconds = [chain for chain in every if chain.seconds]
    last = sorted((*grounds.values(), *seconds), key=lambda c: (depth(c), c.name))
    outer = {c.name for c in last}
    return [*(c for c in every if c.name not in outer), *last]


def cranking(study: Study) -> frozenset[str]:
    """Phases in which the starter turns.

    Too short to heat a wire, long enough to lower the voltage.
    """
    phases = study.document.phases
    return frozenset(name for name, phase in phases.items() if turns(phase))
