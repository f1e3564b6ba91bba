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
from elec.answers.failures.ways_apart import WayNet, Ways, leading
from elec.study import Study, analysis
from elec.wiring.backup import Pair, pairs
from elec.wiring.chains import chains
from elec.wiring.graph import Link, graph


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
    return (*_buses(study, links_that_feed(study)), *_pairs(study, links_between(study)))


@analysis
def links_that_feed(study: Study) -> tuple[Link, ...]:
    """What feeds: wires, parts and diodes of feeders and circuits."""
    by_name = chains(study).by_name
    return tuple(
        link
        for link in graph(study).of("feed", "part", "diode")
        if by_name[link.chain].kind in ("feeder", "circuit")
    )


@analysis
def links_between(study: Study) -> tuple[Link, ...]:
    """Of these what leads from a source to a bus or to either of a pair, loose ends left out."""
    ends = (*study.document.buses, *_pair_ends(study))
    return leading(links_that_feed(study), posts(study), ends)


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
    buses = [bus for bus in study.document.buses if bus in held]
    net = WayNet(feeders, posts(study), buses)
    for bus in buses:
        yield FeedWays(
            about=f"bus {bus}",
            title=study.system.title("buses", bus),
            shared=tuple(
                failure for failure, cut in cuts if bus in cut and failure.id != f"bus:{bus}"
            ),
            ends=((bus,),),
            ways=net.ways((bus,)),
        )


def _pairs(study: Study, links: Collection[Link]) -> Iterator[FeedWays]:
    net = WayNet(links, posts(study), _pair_ends(study))
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
            ways=net.ways({*ends[0], *ends[1]}),
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


def _pair_ends(study: Study) -> tuple[str, ...]:
    """The ends of all pairs."""
    return tuple(spot for pair in pairs(study) for ends in feed_ends(study, pair) for spot in ends)


def posts(study: Study) -> tuple[str, ...]:
    """Where the sources that fly along begin to feed."""
    sources = study.document.sources.items()
    return tuple(f"{name}.+" for name, one in sources if one.kind != "external-power")
