"""The graph of what is joined, and loops of shields and grounds: by hand and by brute force."""

import random
from collections.abc import Collection
from itertools import combinations

import networkx as nx
import pytest

from elec.answers.grounds.shield_loops import ground_rings, nature, shield_loops
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.graph import JoinGraph, JoinSpot, Link, graph
from elec.wiring.runs import runs
from tests.answers.helper import NAMES, small, whole


def as_networkx(links: Collection[Link]) -> "nx.MultiGraph[str]":
    """Some links as a graph of the library."""
    found: nx.MultiGraph[str] = nx.MultiGraph()
    for link in links:
        found.add_edge(link.a, link.b, key=link.id)
    return found


TEXT = """\
system: {name: Loops, nominal: 14 V, return: wired, structure: steel-tube}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah, ground: post}}
buses: {main: {place: panel}}
grounds:
  post: {place: panel}
  block: {place: panel, to: post, gauge: AWG 8, length: 1 m}
  tail-block: {place: tail, to: post, gauge: AWG 12, length: 4 m}
feeders: [{from: battery, to: main, limiter: auto}]
equipment:
  display: {place: panel, on: always, draw: 1 A, ground: block}
  sensor: {place: tail, on: always, draw: 1 A, ground: tail-block}
circuits:
  display: {bus: main, breaker: auto, feeds: display, length: 1 m}
  sensor: {bus: main, breaker: auto, feeds: sensor, length: 3 m}
multicores:
  link:
    type: 2-core AWG 22 shielded
    shield: SHIELD
    drain: block
    length: 4 m
    cores:
      a: {from: display, to: sensor, signal: link-high}
      b: {from: display, to: sensor, signal: link-low}
places: {panel: , tail: }
ways: [{between: [panel, tail], length: 4 m}]
"""


@pytest.mark.parametrize("name", NAMES)
def test_every_conductor_and_part_is_a_link_between_known_spots(name: str) -> None:
    study = whole(name)
    found = graph(study)
    by_id = {link.id: link for link in found.links}
    assert all(link.a in found.spots and link.b in found.spots for link in found.links)
    for wire in chains(study).conductors():
        assert (by_id[wire.id].a, by_id[wire.id].b) == (wire.a.outlet, wire.b.inlet)
    parts = {p.id for c in chains(study).by_name.values() for p in c.parts()
             if p.inlet != p.outlet}  # fmt: skip
    assert parts <= by_id.keys()


def test_a_loop_is_found_only_where_the_shield_ends_at_both_sides() -> None:
    """By hand: shield from the display's block to the sensor, its return, its ground, the block's.

    Round: 4 m of cable + the sensor's return + 4 m + 1 m of ground wires.
    """
    assert shield_loops(small(TEXT.replace("SHIELD", "from"))) == ()
    study = small(TEXT.replace("SHIELD", "both"))
    (loop,) = shield_loops(study)
    back = next(c for c in chains(study).by_name["sensor"].conductors() if c.role == "return")
    assert set(loop.links) == {
        "shield:link/from", "shield:link/to", back.id, f"{back.a.outlet}/inside",
        "tail-block-ground/1", "block-ground/1",
    }  # fmt: skip
    assert (loop.coaxial, loop.nature) == (False, "fast")
    assert runs(study)[back.id].length_m is not None
    assert loop.length_m == pytest.approx(9.0 + (runs(study)[back.id].length_m or 0.0))
    assert ground_rings(study) == ()


def test_a_cable_without_a_length_leaves_the_loop_without_one() -> None:
    text = TEXT.replace("SHIELD", "both").replace("    length: 4 m\n", "")
    text = text.replace("ways: [{between: [panel, tail], length: 4 m}]\n", "")
    (loop,) = shield_loops(small(text))
    assert loop.length_m is None


def test_signals_tell_whether_a_shield_may_end_twice() -> None:
    assert nature(["egt-probe-high", "egt-probe-low"]) == "slow"
    assert nature(["can-high", "can-low"]) == "fast"
    assert nature(["highway"]) == nature([]) == nature(["can-high", "x"]) == ""


def _random(seed: int) -> tuple[Study, list[Link]]:
    """Boxes and grounds joined at random, some by shields, as a graph that a study holds."""
    draw = random.Random(seed)  # noqa: S311 - no secret
    nodes = [f"ground:{k}" for k in range(6)]
    links = []
    for k in range(draw.randint(4, 9)):
        a, b = draw.sample(nodes, 2)
        kind = "coax" if k < 4 else "ground"
        links.append(
            Link(id=f"l{k}", kind=kind, a=a, b=b, chain=f"c{k}")  # type: ignore[arg-type] # both are kinds
        )
    names = "".join(
        f"  c{k}: {{type: RG-400, from: display, to: sensor, length: 1 m}}\n" for k in range(4)
    )
    text = TEXT.replace("SHIELD", "from")
    head, tail = text.split("multicores:\n")[0], text[text.index("places:") :]
    study = small(f"{head}coax:\n{names}{tail}")
    spots = {name: JoinSpot(id=name, kind="ground", title=name) for name in nodes}
    study.keep(graph, JoinGraph(spots=spots, links=tuple(links)))
    # lengths of invented wires are not known to the study
    return study, links


@pytest.mark.parametrize("seed", range(20))
def test_a_shield_is_told_exactly_if_some_loop_holds_it(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Brute force: every set of links in which each spot has two ends, all joined, is a loop."""
    monkeypatch.setattr("elec.answers.grounds.shield_loops._length", lambda _study, _links: None)
    study, links = _random(seed)
    loops: list[frozenset[str]] = []
    for size in range(2, len(links) + 1):
        for some in combinations(links, size):
            joined = as_networkx(some)
            degrees = [degree for _, degree in joined.degree()]
            if set(degrees) == {2} and nx.is_connected(joined):
                loops.append(frozenset(link.id for link in some))
    inside = {link.chain for link in links if any(link.id in loop for loop in loops)}
    shields = {link.chain for link in links if link.kind == "coax"}
    found = {loop.cable: loop for loop in shield_loops(study)}
    assert found.keys() == inside & shields
    for loop in found.values():
        assert frozenset(loop.links) in loops
        shortest = min(len(one) for one in loops if loop.links[0] in one)
        assert len(loop.links) == shortest
    bare = [loop for loop in loops if all(li.kind == "ground" for li in links if li.id in loop)]
    rings = [frozenset(ring) for ring in ground_rings(study)]
    assert set(rings) <= set(bare)
    wires = as_networkx([link for link in links if link.kind == "ground"])
    independent = wires.number_of_edges() - len(wires) + nx.number_connected_components(wires)
    assert len(rings) == (independent if len(wires) else 0)
