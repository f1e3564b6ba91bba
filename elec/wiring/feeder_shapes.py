"""Feeders that lie beside each other, and rings of them.

In: feeders. Out: what is given twice, what is parallel, and rings of buses that are closed with
all well and that no diode opens.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from msgspec import Struct

from elec.model.wiring import Feeder
from elec.network.circuit import roots
from elec.study import Study, analysis
from elec.wiring.cases import closed, scenarios
from elec.wiring.chains import feeder_name


class Shapes(Struct, frozen=True, kw_only=True):
    """Groups of feeders by their numbers in the file."""

    same: tuple[tuple[int, ...], ...]
    """Alike in everything but name and number."""
    parallel: tuple[tuple[int, ...], ...]
    """Between the same two ends, closed together, but not alike."""
    rings: tuple[tuple[int, ...], ...]
    """Each ring in the order of the file."""


@analysis
def feeder_shapes(study: Study) -> Shapes:
    """How the feeders lie to each other with all well."""
    feeders = study.document.feeders
    normal = next(iter(scenarios(study)), None)
    live = [
        i
        for i, feeder in enumerate(feeders)
        if feeder.diode is None and normal is not None and closed(feeder, normal)
    ]
    beside: dict[frozenset[str], list[int]] = defaultdict(list)
    for index in live:
        beside[frozenset((feeders[index].from_, feeders[index].to))].append(index)
    groups = [tuple(group) for group in beside.values() if len(group) > 1]
    same = tuple(group for group in groups if _alike([feeders[i] for i in group]))
    return Shapes(
        same=same,
        parallel=tuple(group for group in groups if group not in same),
        rings=tuple(_rings(feeders, live)),
    )


def _alike(feeders: Sequence[Feeder]) -> bool:
    told = {"name", "number", "from_", "to"}
    first, *others = (f.model_dump(exclude=told) for f in feeders)
    return all(other == first for other in others)


def _rings(feeders: Sequence[Feeder], live: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """The feeders of each loop; the graph library is loaded only where there is one."""
    ends = [(feeders[index].from_, feeders[index].to) for index in live]
    number = {name: k for k, name in enumerate(dict.fromkeys(end for pair in ends for end in pair))}
    joined = roots(len(number), ((number[a], number[b]) for a, b in ends))
    if len(set(map(frozenset, ends))) <= len(number) - len(set(joined)):
        return
    import networkx as nx

    graph: nx.Graph[str] = nx.Graph()
    for index in live:
        graph.add_edge(feeders[index].from_, feeders[index].to, index=index)
    for ring in nx.cycle_basis(graph):
        pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
        yield tuple(sorted(graph.edges[pair]["index"] for pair in pairs))


def titles(study: Study, group: Sequence[int]) -> list[str]:
    """The names of some feeders."""
    return [feeder_name(study.document.feeders[index]) for index in group]


__all__ = ["Shapes", "feeder_shapes", "titles"]
