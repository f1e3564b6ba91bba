"""Elimination without subtraction against dense linear algebra, distances and fractions."""

from fractions import Fraction

import networkx as nx
import numpy as np
import pytest

from elec.network.elimination import (
    Elimination,
    SegmentSum,
    Stamp,
    least_degree_order,
)
from elec.network.netlist import Array, Index


def drawn(seed: int, count: int, extra: int) -> tuple[Index, Index, Array]:
    """A connected network over count nodes and the reference -1: a tree and extra branches."""
    rng = np.random.default_rng(seed)
    a = np.concatenate((np.arange(count), rng.integers(0, count, extra)))
    b = np.concatenate(
        (
            [int(rng.integers(-1, k)) if k else -1 for k in range(count)],
            rng.integers(-1, count, extra),
        )
    )
    return a.astype(np.intp), b.astype(np.intp), 10 ** rng.uniform(-1, 2, (count + extra, 3))


def eliminated(
    count: int,
    a: Index,
    b: Index,
    conductance_s: Array,
    inflow_a: Array,
    *,
    leak_s: float = 0.0,
) -> tuple[Array, Array]:
    """Voltages in the caller's order, and pivots."""
    elimination = Elimination(count, a, b)
    cases = conductance_s.shape[1]
    held = np.zeros((elimination.rows, cases))
    held[elimination.leak : elimination.inflow] = leak_s
    Stamp(elimination, a, b).conductance(held, conductance_s)
    held[elimination.inflow + elimination.number[:-1]] = inflow_a
    voltage = elimination.solve(held)
    return voltage[elimination.number[:-1]], held[elimination.leak : elimination.inflow]


def dense(count: int, a: Index, b: Index, conductance_s: Array) -> Array:
    """Nodal matrix of one case, the reference left out."""
    incidence = np.zeros((len(a), count + 1))
    incidence[np.arange(len(a)), a] += 1.0
    incidence[np.arange(len(a)), b] -= 1.0
    incidence = incidence[:, :-1]
    matrix: Array = incidence.T @ (conductance_s[:, None] * incidence)
    return matrix


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize(("count", "extra"), [(1, 0), (8, 0), (30, 12), (40, 200)])
def test_equals_dense_linear_algebra(seed: int, count: int, extra: int) -> None:
    # numpy.linalg.solve (LAPACK gesv). Conductances span 1e3, so its error stays near
    # 1e-16 · condition number (under 1e6).
    a, b, conductance = drawn(seed, count, extra)
    inflow = np.random.default_rng(seed + 1000).normal(size=(count, 3))
    voltage, pivot = eliminated(count, a, b, conductance, inflow)
    assert (pivot > 0.0).all()
    for case in range(3):
        expected = np.linalg.solve(dense(count, a, b, conductance[:, case]), inflow[:, case])
        scale = np.abs(expected).max()
        assert voltage[:, case] == pytest.approx(expected, rel=1e-9, abs=1e-10 * scale)


@pytest.mark.parametrize("seed", range(20))
def test_removing_some_nodes_leaves_the_network_as_the_others_see_it(seed: int) -> None:
    # What is left equals the Schur complement of the nodal matrix (any textbook of linear algebra).
    a, b, conductance = drawn(seed, 40, 25)
    some = np.random.default_rng(seed).random(40) < 0.6
    elimination = Elimination(40, a, b, some)
    held = np.zeros((elimination.rows, 3))
    Stamp(elimination, a, b).conductance(held, conductance)
    elimination.remove(held)
    gone = np.flatnonzero(elimination.number[:-1] < elimination.removed)
    kept = np.flatnonzero(elimination.number[:-1] >= elimination.removed)
    assert len(gone) > 0
    assert set(gone) <= set(np.flatnonzero(some))
    whole = dense(40, a, b, conductance[:, 0])
    inner, across = whole[np.ix_(gone, gone)], whole[np.ix_(gone, kept)]
    schur = whole[np.ix_(kept, kept)] - across.T @ np.linalg.solve(inner, across)
    low, high = np.triu_indices(len(kept), 1)
    number = elimination.number
    joined = [other in elimination.near[k] for k, other in zip(kept[low], kept[high], strict=True)]
    at = elimination.slot(number[kept[low[joined]]], number[kept[high[joined]]])
    tiny = 1e-10 * np.abs(whole).max()
    assert held[at, 0] == pytest.approx(-schur[low[joined], high[joined]], abs=tiny)
    assert np.abs(schur[low, high][~np.asarray(joined)]).max(initial=0.0) <= tiny
    assert held[elimination.leak + number[kept], 0] == pytest.approx(schur.sum(axis=1), abs=tiny)


@pytest.mark.parametrize("seed", range(10))
def test_equals_resistance_distance(seed: int) -> None:
    # networkx.resistance_distance: by the pseudo-inverse of the Laplacian.
    count = 15
    a, b, conductance = drawn(seed, count, 10)
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    for x, y, siemens in zip(a.tolist(), b.tolist(), conductance[:, 0].tolist(), strict=True):
        graph.add_edge(x, y, ohm=1.0 / siemens)
    for node in (0, count - 1):
        inflow = np.zeros((count, 3))
        inflow[node] = 1.0
        voltage, _ = eliminated(count, a, b, conductance, inflow)
        expected = nx.resistance_distance(graph, node, -1, weight="ohm", invert_weight=True)
        # Its pseudo-inverse drops singular values by 1e-15 of the largest: nine digits are left.
        assert voltage[node, 0] == pytest.approx(expected, rel=1e-9)


def exact(count: int, a: Index, b: Index, conductance_s: Array, inflow_a: Array) -> list[Fraction]:
    """Gauss elimination in fractions, without any rounding."""
    rows = [[Fraction(0)] * (count + 1) for _ in range(count)]
    for x, y, siemens in zip(a.tolist(), b.tolist(), conductance_s.tolist(), strict=True):
        for here, there in ((x, y), (y, x)):
            if here >= 0 and x != y:
                rows[here][here] += Fraction(siemens)
                if there >= 0:
                    rows[here][there] -= Fraction(siemens)
    for node in range(count):
        rows[node][count] = Fraction(float(inflow_a[node]))
    for k in range(count):
        for row in range(count):
            if row != k and rows[row][k]:
                factor = rows[row][k] / rows[k][k]
                rows[row] = [p - factor * q for p, q in zip(rows[row], rows[k], strict=True)]
    return [rows[k][count] / rows[k][k] for k in range(count)]


@pytest.mark.parametrize("seed", range(10))
def test_keeps_its_digits_over_twelve_orders_of_magnitude(seed: int) -> None:
    # Conductances from 1e-6 to 1e6 S and currents of one sign: every number is a sum or product
    # of positive numbers, so the relative error is a few roundings per operation (1.1e-16 each).
    rng = np.random.default_rng(seed)
    count = 10
    a, b, _ = drawn(seed, count, 6)
    conductance = 10 ** rng.uniform(-6, 6, (len(a), 1))
    inflow = rng.uniform(0.1, 1.0, (count, 1))
    voltage, _ = eliminated(count, a, b, conductance, inflow)
    expected = [float(x) for x in exact(count, a, b, conductance[:, 0], inflow[:, 0])]
    assert voltage[:, 0] == pytest.approx(expected, rel=1e-13)


def test_an_island_hangs_on_its_leak() -> None:
    a, b = np.array([0, 1]), np.array([-1, 2])
    inflow = np.array([[1.0], [0.0], [0.0]])
    conductance = np.array([[2.0], [1e6]])
    voltage, pivot = eliminated(3, a, b, conductance, inflow, leak_s=1e-15)
    # The leak takes 1e-15 of 2 S from the first; the island has no source at all.
    assert voltage[:, 0] == pytest.approx([0.5, 0.0, 0.0], rel=1e-14, abs=0.0)
    assert (pivot > 0.0).all()


@pytest.mark.parametrize("seed", range(30))
def test_pivots_tell_whether_the_matrix_is_positive_definite(seed: int) -> None:
    count = 12
    a, b, conductance = drawn(seed, count, 8)
    conductance = conductance.copy()
    conductance[-4:] *= -np.random.default_rng(seed).uniform(0.0, 0.3, (4, 3))
    _, pivot = eliminated(count, a, b, conductance, np.zeros((count, 3)))
    lowest = [np.linalg.eigvalsh(dense(count, a, b, conductance[:, k]))[0] for k in range(3)]
    assert (pivot > 0.0).all(axis=0).tolist() == [x > 0.0 for x in lowest]


def test_order_takes_the_fewest_neighbours_first() -> None:
    star = [(0, k) for k in range(1, 6)]
    order, stars, near = least_degree_order(6, star)
    assert sorted(order) == list(range(6))
    assert 0 in order[-2:]
    assert [len(s) for s in stars] == [1, 1, 1, 1, 1, 0]
    assert len(near) == 7  # and of the reference


def test_nodes_with_many_neighbours_stay() -> None:
    star = [(0, k) for k in range(1, 6)]
    order, _, near = least_degree_order(6, star, {0, 1})
    assert order == [1]
    assert near[0] == {2, 3, 4, 5}
    order, _, near = least_degree_order(6, star, {0, 1, 2})
    assert set(order) == {0, 1, 2}  # three neighbours are left, no more than it may have
    assert near[3] == {4, 5}


def test_the_reference_is_a_neighbour_that_stays() -> None:
    order, stars, near = least_degree_order(2, [(0, -1), (0, 1)], {0})
    assert (order, stars) == ([0], [{-1, 1}])
    assert near[1] == {-1}


def test_order_of_a_tree_adds_no_branches() -> None:
    rng = np.random.default_rng(5)
    pairs = [(int(rng.integers(k)), k) for k in range(1, 200)]
    _, stars, _ = least_degree_order(200, pairs)
    assert sum(len(s) for s in stars) == 199


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize(("rows", "targets"), [(0, 5), (6, 40), (40, 6), (300, 4)])
def test_sums_by_target(seed: int, rows: int, targets: int) -> None:
    rng = np.random.default_rng(seed)
    where = rng.integers(0, targets, rows)
    source = rng.normal(size=(rows, 3))
    total = np.ones((targets, 3))
    expected = total.copy()
    np.add.at(expected, where, source)
    SegmentSum(where).add(total, source)
    # The order of the additions differs: some roundings of numbers near 10.
    assert total == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("rows", "targets"), [(6, 40), (40, 6), (300, 4)])
def test_a_column_is_summed_alike_whatever_stands_beside_it(rows: int, targets: int) -> None:
    rng = np.random.default_rng(3)
    sums = SegmentSum(rng.integers(0, targets, rows))
    for shape in ((rows, 70), (rows, 2, 70)):
        source = rng.normal(size=shape)
        together = np.zeros((targets, *shape[1:]))
        sums.add(together, source)
        assert together.any()
        for width in (1, 2, 3, 69):  # to the last bit
            alone = np.zeros((targets, *shape[1:-1], width))
            sums.add(alone, source[..., :width].copy())
            assert np.array_equal(alone, together[..., :width])
