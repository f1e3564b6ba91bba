"""Every loop that shields, returns, ground wires and structure close.

In: the graph of what is joined, lengths of wires. Out: `ShieldLoop` for each shield that lies in a
loop, by the shortest one, and `ground_rings`: loops without any shield. Together they are a basis:
a loop needs a shield, or it is one of grounds alone. Cases of boxes that touch the structure by
their screws are not in the builder's file, and not in here.
"""

import re
from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from elec.network.circuit import roots
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.wiring.graph import JoinGraph, Link, LinkKind, Step, fewest_steps, graph, steps_of
from elec.wiring.runs import runs

GROUNDS: tuple[LinkKind, ...] = ("return", "ground", "bond", "seat")
"""What joins boxes and ground points to each other, shields aside."""
SHIELDS: tuple[LinkKind, ...] = ("shield", "coax")
FAST = re.compile(r"(?<![a-z])(?:data|bus|serial|can|ethernet|video|clock|high|hi|low|lo)(?![a-z])")
"""Words in the name of a signal that make it digital or a balanced pair (our list)."""
SLOW = re.compile(
    r"(?<![a-z])(?:temperature|thermocouple|probe|sender|level|quantity|pressure|flow|position)(?![a-z])"
)
"""Words that make it slow and small: a current in the shield falsifies it (our list)."""


class ShieldLoop(Struct, frozen=True, kw_only=True):
    """A loop with at least one shield."""

    cable: str
    title: str
    coaxial: bool
    through: tuple[str, ...]
    """What else is in it, in order, for print: boxes, ground points, structure."""
    links: tuple[str, ...]
    """Ids of its wires, shields and joints, in order; see `graph`."""
    length_m: float | None
    """All the way round; None where the length of a cable or wire in it is not known."""
    nature: str
    """`fast`, `slow`, or empty: what the names of its signals say."""


def nature(signals: Sequence[str]) -> str:
    """What the names of the signals in a shield say: all fast, any slow, or neither.

    >>> nature(["attitude-high", "attitude-low"]), nature(["oil-temperature"]), nature(["x", "y"])
    ('fast', 'slow', '')
    """
    if any(SLOW.search(signal.lower()) for signal in signals):
        return "slow"
    return "fast" if signals and all(FAST.search(s.lower()) for s in signals) else ""


@analysis
def shield_loops(study: Study) -> tuple[ShieldLoop, ...]:
    """Every shield that lies in a loop, with the shortest loop it is in."""
    links = _candidates(study)
    if not _ring_exists(links):
        return ()
    found = []
    steps = steps_of(_core(links))
    own_of: dict[str, list[Link]] = {}
    for link in links:
        if link.kind in SHIELDS:
            own_of.setdefault(link.chain, []).append(link)
    for name in study.document.cables:
        own = own_of.get(name, [])
        ends = _ends(own)
        way = ends and fewest_steps(steps, ends[:1], ends[1:], own)
        if ends and way is not None:
            found.append(_loop(study, name, own, [ends[0], *(spot for _, spot in way)], way))
    return tuple(found)


@analysis
def ground_rings(study: Study) -> tuple[tuple[str, ...], ...]:
    """Loops of returns, ground wires and structure without a shield: the ids of their links.

    One for each link that closes a ring with the links before it: as many as there are independent
    ones (checked in the tests against a graph library, which a check is not to wait for).
    """
    links = tuple(link for link in _candidates(study) if link.kind not in SHIELDS)
    if not _ring_exists(links):
        return ()
    tree: dict[str, list[Step]] = {}
    rings = []
    for link in _core(links):
        way = fewest_steps(tree, [link.a], [link.b])
        if way is None:
            tree.setdefault(link.a, []).append((link, link.b))
            tree.setdefault(link.b, []).append((link, link.a))
        else:
            rings.append((link.id, *(passed.id for passed, _ in way)))
    return tuple(rings)


def _candidates(study: Study) -> tuple[Link, ...]:
    """Returns, grounds, bonds and shields, with boxes joined to the contacts of their returns."""
    joined: JoinGraph = graph(study)
    kept = joined.of(*GROUNDS, *SHIELDS)
    inline = tuple(
        link for link in joined.of("part") if link.part == "connector"
    )  # a return may pass one
    contacts = {end for link in joined.of("return") for end in (link.a, link.b)}
    inside = tuple(link for link in joined.of("inside") if link.b in contacts)
    return (*kept, *inline, *inside)


def _ring_exists(links: Sequence[Link]) -> bool:
    """Whether there is any loop; asked without the library."""
    number = {
        name: k for k, name in enumerate(dict.fromkeys(e for li in links for e in (li.a, li.b)))
    }
    joined = roots(len(number), ((number[li.a], number[li.b]) for li in links))
    return len(links) > len(number) - len(set(joined))


def _core(links: Sequence[Link]) -> Sequence[Link]:
    """The links that may lie in a loop: dead ends are taken off."""
    kept = [link for link in links if link.a != link.b]
    while True:
        met = Counter(end for link in kept for end in (link.a, link.b))
        left = [link for link in kept if met[link.a] > 1 and met[link.b] > 1]
        if len(left) == len(kept):
            return kept
        kept = left


def _ends(own: Sequence[Link]) -> tuple[str, str] | None:
    """Where the two ends of a shield are; None where it ends once."""
    if len(own) == 1 and own[0].kind == "coax":
        return own[0].a, own[0].b
    return (own[0].b, own[1].b) if len(own) == 2 else None


def _loop(
    study: Study, name: str, own: Sequence[Link], way: Sequence[str], steps: Sequence[Step]
) -> ShieldLoop:
    passed = [link for link, _ in steps]
    spots = graph(study).spots
    chain = chains(study).by_name[name]
    signals = [c.signal or c.core or "" for c in chain.conductors()]
    titles = [spots[node].title for node in way if spots[node].kind != "contact"]
    return ShieldLoop(
        cable=name,
        title=chain.title,
        coaxial=own[0].kind == "coax",
        through=tuple(dict.fromkeys(titles)),
        links=(*(link.id for link in own), *(link.id for link in passed)),
        length_m=_length(study, [*own, *passed]),
        nature=nature(signals),
    )


def _length(study: Study, links: Sequence[Link]) -> float | None:
    """The wires and cables in a loop; structure itself has no length here."""
    total = 0.0
    shields = {link.chain for link in links if link.kind in SHIELDS}
    wires = [link.id for link in links if link.kind in ("return", "ground")]
    wires += [chains(study).by_name[name].conductors()[0].id for name in shields]
    for wire in wires:
        length = runs(study)[wire].length_m
        if length is None:
            return None
        total += length
    return total


__all__ = ["ShieldLoop", "ground_rings", "nature", "shield_loops"]
