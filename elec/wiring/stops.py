"""Which of the places that the builder names under `via` each wire passes.

In: chains, ways. Out: the places by conductor id. A way given for a feeder or a circuit leads from
its beginning to its end once: each of its wires lies on the part between its own ends, and a return
lies beside the feed as far as that serves.
"""

from collections.abc import Mapping
from itertools import accumulate, pairwise

from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Row, chains
from elec.wiring.ways import UNKNOWN_M, Closed, closed_by, path_via, paths_from

UNREACHED_M = 1e12
"""Where no way leads: taken only where nothing else is left, and told at reading."""


@analysis
def stops(study: Study) -> Mapping[str, tuple[str, ...]]:
    """The places that each conductor passes in order, by its id."""
    found: dict[str, tuple[str, ...]] = {}
    for chain in chains(study).by_name.values():
        if chain.kind == "circuit" and any(c.via for c in chain.conductors()):
            _circuit(study, chain, found)
        elif chain.kind == "feeder":
            _along(study, chain.rows[0], _given(chain.rows[0]), avoided(study, chain.name), found)
        else:
            found |= {c.id: c.via for c in chain.conductors()}
    return found


def avoided(study: Study, chain: str) -> tuple[str, ...]:
    """What the builder keeps the wires of a chain out of."""
    found = chains(study).by_name[chain]
    section, key = found.path[:2]
    entry = getattr(study.document, str(section))[key]
    names: tuple[str, ...] = getattr(entry.second if found.seconds else entry, "avoid", ())
    return names


def _given(row: Row) -> tuple[str, ...]:
    return next((c.via for c in row.conductors if c is not None), ())


def _circuit(study: Study, chain: Chain, found: dict[str, tuple[str, ...]]) -> None:
    avoid = avoided(study, chain.name)
    feed: tuple[str, ...] = ()
    for row in chain.rows:
        if row.role == "feed":
            _along(study, row, _towards(chain, row), avoid, found)
            feed = _passed(study, row, avoid, found)
        else:
            _along(study, row, _beside(study, row, feed), avoid, found)


def _towards(chain: Chain, row: Row) -> tuple[str, ...]:
    """The places on the way to one load: where several are fed, as far as that one lies."""
    via, end = _given(row), row.parts[-1].place
    several = len(chain.loads) > 1
    return via[: via.index(end)] if several and end in via else via


def _along(
    study: Study,
    row: Row,
    via: tuple[str, ...],
    avoid: tuple[str, ...],
    found: dict[str, tuple[str, ...]],
) -> None:
    """Share the places out between the wires of a row; wires of earlier rows keep theirs."""
    wires = [c for c in row.conductors if c is not None]
    left = via[sum(len(found[c.id]) for c in wires if c.id in found) :]
    free = [c for c in wires if c.id not in found]
    if not free:
        return
    parts = _shared_out(study, free, left, closed_by(study, avoid))
    found.update({wire.id: part for wire, part in zip(free, parts, strict=True)})


def _shared_out(
    study: Study, wires: list[Conductor], via: tuple[str, ...], closed: Closed
) -> tuple[tuple[str, ...], ...]:
    """The shares that make the row shortest; the places stay in order."""
    if not via:
        return ((),) * len(wires)
    hops = [_apart_m(study, a, b, closed) for a, b in pairwise(via)]
    before = [0.0, *accumulate(hops)]
    best: dict[int, tuple[float, tuple[tuple[str, ...], ...]]] = {0: (0.0, ())}
    for wire in wires:
        so_far, best = best, {}
        a, b = wire.a.place, wire.b.place
        into = [_apart_m(study, a, stop, closed) for stop in via]
        out = [_apart_m(study, stop, b, closed) for stop in via]
        straight = _apart_m(study, a, b, closed)
        for used, (length, parts) in so_far.items():
            for end in range(used, len(via) + 1):
                piece = (
                    straight
                    if end == used
                    else into[used] + before[end - 1] - before[used] + out[end - 1]
                )
                if end not in best or length + piece < best[end][0]:
                    best[end] = (length + piece, (*parts, via[used:end]))
    return best[len(via)][1]


def _apart_m(study: Study, a: str, b: str, closed: Closed) -> float:
    path = paths_from(study, a, closed).get(b)
    if path is None:
        return UNREACHED_M
    return sum(UNKNOWN_M if leg.length_m is None else leg.length_m for leg in path.legs)


def _passed(
    study: Study, row: Row, avoid: tuple[str, ...], found: Mapping[str, tuple[str, ...]]
) -> tuple[str, ...]:
    """The places that a feed passes, from its load back to its bus."""
    places: tuple[str, ...] = ()
    for wire in (c for c in row.conductors if c is not None):
        line = (wire.a.place, *found[wire.id], wire.b.place)
        path = path_via(study, line, closed_by(study, avoid))
        places += line if path is None else path.places
    return places[::-1]


def _beside(study: Study, row: Row, feed: tuple[str, ...]) -> tuple[str, ...]:
    """What a return passes: the feed's named places, back to where its ground is nearest."""
    ground = row.parts[-1].place
    via = _given(row)
    leave = min(range(len(feed)), key=lambda n: _apart_m(study, feed[n], ground, Closed()))
    beside = tuple(place for place in feed[:leave] if place in via and place != feed[0])
    at = feed[leave]
    return beside if at in (ground, feed[0]) else (*beside, at)
