"""Shortest ways against networkx, a general graph library, on maps drawn from a seed."""

import math

import networkx as nx
import numpy as np
import pytest

from elec.analyses.ways import path_via, paths_from, way_map
from elec.study import Study
from tests.analyses.helper import small

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
