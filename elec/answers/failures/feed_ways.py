"""In how many independent ways each essential bus, and each essential pair, is fed.

In: the graph of what is joined, feeders all closed that can be closed, failures. Out: `FeedWays`.
Counted are ways from the sources by Menger's theorem: the most ways that have nothing in common are
as many as the least things that cut all of them. What all ways go through is a single failure of
the list, so that it has the same name everywhere.
"""

from collections.abc import Collection, Iterator

from msgspec import Struct

from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failure_pairs import common
from elec.answers.failures.failure_reach import unfed, whole_buses
from elec.answers.failures.failures import decisive
from elec.study import Study, analysis
from elec.wiring.backup import Pair, pairs
from elec.wiring.chains import chains
from elec.wiring.graph import Link, graph

SOURCES = "sources"
TARGET = "target"


class Ways(Struct, frozen=True, kw_only=True):
    """Which starts lead there, and in how many ways."""

    starts: tuple[str, ...]
    by_wire: int
    """Ways with no wire, device or switch in common."""
    independent: int
    """Ways that have no source, stud or bus in common either."""


class FeedWays(Struct, frozen=True, kw_only=True):
    """How a bus, or either of two loads, is fed."""

    about: str
    title: str
    ends: tuple[tuple[str, ...], ...]
    """Of a bus itself; of a pair where the circuits of each end."""
    ways: Ways
    """From the posts of the sources."""
    shared: tuple[Failure, ...]
    """Single failures that cut all ways, or take back what hangs on it."""


@analysis
def feed_ways(study: Study) -> tuple[FeedWays, ...]:
    """Every bus with an essential load, then every essential pair."""
    if not study.document.phases:
        return ()
    links = links_that_feed(study)
    return (*_buses(study, links), *_pairs(study, links))


@analysis
def links_that_feed(study: Study) -> tuple[Link, ...]:
    """What feeds: wires, parts and diodes of feeders and circuits."""
    by_name = chains(study).by_name
    return tuple(
        link
        for link in graph(study).of("feed", "part", "diode")
        if by_name[link.chain].kind in ("feeder", "circuit")
    )


def _buses(study: Study, links: Collection[Link]) -> Iterator[FeedWays]:
    equipment, circuits = study.document.equipment, study.document.circuits
    held = {
        circuits[name].bus
        for load, names in chains(study).feeds.items()
        if equipment[load].essential or equipment[load].role == "engine"
        for name in names
    }
    feeders = [link for link in links if chains(study).by_name[link.chain].kind == "feeder"]
    cuts = [
        (effect.failure, unfed(study, effect.failure) | {*whole_buses(study, effect.dead)})
        for effect in decisive(study)
    ]
    for bus in study.document.buses:
        if bus not in held:
            continue
        yield FeedWays(
            about=f"bus {bus}",
            title=study.system.title("buses", bus),
            shared=tuple(
                failure for failure, cut in cuts if bus in cut and failure.id != f"bus:{bus}"
            ),
            ends=((bus,),),
            ways=_counted(study, feeders, (bus,)),
        )


def _pairs(study: Study, links: Collection[Link]) -> Iterator[FeedWays]:
    for pair in pairs(study):
        found = common(study)[pair.about]
        if found.unfed or not found.essential:
            continue
        ends = feed_ends(study, pair)
        yield FeedWays(
            about=pair.about,
            title=pair.title,
            shared=found.failures,
            ends=ends,
            ways=_counted(study, links, sorted({*ends[0], *ends[1]})),
        )


def feed_ends(study: Study, pair: Pair) -> tuple[tuple[str, ...], ...]:
    """Where the circuits of each of a pair end at its equipment."""
    return tuple(
        tuple(
            row.parts[-1].inlet
            for name in circuits
            for row in chains(study).by_name[name].rows
            if row.role == "feed" and row.equipment in pair.equipment
        )
        for circuits in pair.circuits
    )


def posts(study: Study) -> tuple[str, ...]:
    """Where the sources that fly along begin to feed."""
    sources = study.document.sources.items()
    return tuple(f"{name}.+" for name, one in sources if one.kind != "external-power")


def _counted(study: Study, links: Collection[Link], ends: Collection[str]) -> Ways:
    return ways(links, posts(study), ends)


def ways(links: Collection[Link], starts: Collection[str], ends: Collection[str]) -> Ways:
    """The most ways without a link in common, and without a link or a spot in common.

    Args:
        links: what leads; a diode from `a` to `b` only.
        starts: where ways begin; without a spot in common each begins at another.
        ends: where they end; any number may end at one.
    """
    import networkx as nx
    from networkx.algorithms.flow import edmonds_karp

    kept = leading(links, starts, ends)
    net: nx.DiGraph[object] = nx.DiGraph()
    for link in kept:
        # a link is a spot of its own, so that two wires side by side are two ways
        for a, b in ((link.a, link.b), (link.b, link.a)):
            if link.kind != "diode" or a == link.a:
                net.add_edge(("out", a), ("in", link), capacity=1)
                net.add_edge(("in", link), ("out", link), capacity=1)
                net.add_edge(("out", link), ("in", b), capacity=1)
    joined = {end for link in links for end in (link.a, link.b)}
    spots = {end for link in kept for end in (link.a, link.b)} | joined & {*starts, *ends}
    net.add_nodes_from((SOURCES, TARGET, *(("in", spot) for spot in starts)))
    net.add_edges_from((SOURCES, ("in", spot)) for spot in starts if spot in spots)
    net.add_edges_from((("in", spot), TARGET) for spot in ends if spot in spots)
    found = []
    for most in (len(links), 1):
        net.add_edges_from(((("in", s), ("out", s)) for s in spots), capacity=most)
        found.append(
            nx.maximum_flow_value(net, SOURCES, TARGET, flow_func=edmonds_karp)
        )  # a few ways in a large net: one search for each
    reached = tuple(spot for spot in starts if nx.has_path(net, ("in", spot), TARGET))
    return Ways(starts=reached, by_wire=int(found[0]), independent=int(found[1]))


def leading(
    links: Collection[Link], starts: Collection[str], ends: Collection[str]
) -> tuple[Link, ...]:
    """The links without those that lead to nothing but a loose end: no way goes over them."""
    at: dict[str, dict[str, Link]] = {}
    for link in links:
        at.setdefault(link.a, {})[link.id] = link
        at.setdefault(link.b, {})[link.id] = link
    held, gone = {*starts, *ends}, set[str]()
    loose = [spot for spot, here in at.items() if len(here) == 1 and spot not in held]
    while loose:
        spot = loose.pop()
        for link in at.pop(spot).values():
            other = link.b if link.a == spot else link.a
            gone.add(link.id)
            at[other].pop(link.id)
            if len(at[other]) == 1 and other not in held:
                loose.append(other)
    return tuple(link for link in links if link.id not in gone)
