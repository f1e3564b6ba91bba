"""Shortest ways against networkx, a general graph library, on maps drawn from a seed."""

import math

import networkx as nx
import numpy as np
import pytest

from elec.study import Study
from elec.wiring.ways import closed_by, path_via, paths_from, way_map
from tests.answers.helper import small

HEAD = "system: {name: Map, nominal: 14 V}\n"


def drawn(seed: int) -> tuple[Study, "nx.Graph[str]"]:
    """A map of 12 places: some stand apart, some pairs are joined twice."""
    rng = np.random.default_rng(seed)
    names = [f"p{k}" for k in range(12)]
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(names)
    lines = []
    for _ in range(18):
        a, b = (names[int(k)] for k in rng.choice(len(names), 2, replace=False))
        millimetres = int(rng.integers(100, 5000))
        lines.append(f"  - {{between: [{a}, {b}], length: {millimetres} mm}}")
        length = millimetres / 1000
        if not graph.has_edge(a, b) or graph.edges[a, b]["length"] > length:
            graph.add_edge(a, b, length=length)
    places = "".join(f"  {name}:\n" for name in names)
    return small(f"{HEAD}places:\n{places}ways:\n" + "\n".join(lines) + "\n"), graph


@pytest.mark.parametrize("seed", range(12))
def test_shortest_ways_are_those_of_networkx(seed: int) -> None:
    study, graph = drawn(seed)
    for start in graph:
        theirs = nx.single_source_dijkstra_path_length(graph, start, weight="length")
        ours = paths_from(study, start)
        assert set(ours) == set(theirs)
        for stop, length in theirs.items():
            found = ours[stop]
            # Sums of at most 18 lengths in another order: rounding only.
            assert found.length_m == pytest.approx(length, abs=1e-9)
            assert found.places[0] == start
            assert found.places[-1] == stop
            assert math.fsum(leg.length_m or 0 for leg in found.legs) == pytest.approx(length)


def test_a_way_without_length_is_measured_between_its_stations() -> None:
    study = small(
        HEAD + "places:\n"
        "  a: {station: 1 m, buttline: 2 m, waterline: 0 m}\n  b: {station: 4 m, buttline: -2 m}\n"
        "ways:\n  - {between: [a, b]}\n"
    )
    (leg,) = way_map(study).legs
    assert leg.computed
    assert leg.length_m == pytest.approx(5.0)  # 3-4-5


def test_a_way_of_unknown_length_is_the_last_resort() -> None:
    study = small(
        HEAD + "places: {a: , b: , c: }\n"
        "ways:\n  - {between: [a, c]}\n"
        "  - {between: [a, b], length: 30 m}\n  - {between: [b, c], length: 30 m}\n"
    )
    path = path_via(study, ("a", "c"))
    assert path is not None
    assert path.places == ("a", "b", "c")
    assert path.length_m == pytest.approx(60)


def test_only_a_way_of_unknown_length_gives_no_length() -> None:
    study = small(HEAD + "places: {a: , b: }\nways:\n  - {between: [a, b]}\n")
    path = path_via(study, ("a", "b"))
    assert path is not None
    assert path.length_m is None


def test_places_that_no_way_joins_have_no_path() -> None:
    study = small(HEAD + "places: {a: , b: , c: }\nways:\n  - {between: [a, b], length: 1 m}\n")
    assert path_via(study, ("a", "c")) is None


def test_via_is_kept_although_it_is_longer() -> None:
    study = small(
        HEAD + "places: {a: , b: , c: }\n"
        "ways:\n  - {between: [a, c], length: 1 m}\n"
        "  - {between: [a, b], length: 2 m}\n  - {between: [b, c], length: 2 m}\n"
    )
    path = path_via(study, ("a", "b", "c"))
    assert path is not None
    assert path.length_m == pytest.approx(4)


AROUND = """\
places:
  engine:
  exhaust:
  firewall:
  tunnel:
  panel:
ways:
  - {name: short, between: [engine, exhaust], length: 1 ft}
  - {between: [exhaust, panel], length: 1 ft}
  - {name: low, between: [engine, firewall], length: 3 ft}
  - {between: [firewall, panel], length: 3 ft}
  - {between: [firewall, tunnel], length: 9 ft}
  - {between: [tunnel, panel], length: 9 ft}
zones: {hot: {places: [exhaust]}}
"""


@pytest.mark.parametrize(
    ("avoid", "metres"),
    [
        ((), 2),
        (("exhaust",), 6),
        (("hot",), 6),
        (("short",), 6),
        (("short", "low"), None),
        (("panel",), 2),
    ],
)
def test_a_run_keeps_out_of_what_it_avoids(avoid: tuple[str, ...], metres: float | None) -> None:
    """Both ends of a run may lie in what it avoids; it only may not pass through."""
    study = small(HEAD + AROUND)
    found = path_via(study, ("engine", "panel"), closed_by(study, avoid))
    feet = None if found is None or found.length_m is None else found.length_m / 0.3048
    assert feet == pytest.approx(metres) if metres else feet is None


def test_avoiding_is_what_a_graph_without_the_place_says() -> None:
    study, graph = drawn(3)
    graph.remove_node("p5")
    theirs = nx.single_source_dijkstra_path_length(graph, "p0", weight="length")
    ours = paths_from(study, "p0", closed_by(study, ("p5",)))
    assert {name for name in ours if name != "p5"} == set(theirs)
    for name, length in theirs.items():
        assert ours[name].length_m == pytest.approx(length, abs=1e-9)
