"""Nodal equations solved by elimination without subtraction, all cases at once.

In: the terminals of two-terminal elements, then their conductances and source currents in every
case. Out: node voltages and pivots.

The matrix of nodal equations is never formed. Only conductances between nodes and from each node
to the reference are kept, and removing a node replaces its star by a mesh: sums, products and
quotients of non-negative numbers. So micro-ohms beside mega-ohms, and islands held by a tiny leak,
lose no digits. Method: W. K. Grassmann, M. I. Taksar, D. P. Heyman, "Regenerative analysis and
steady state distributions for Markov chains", Operations Research 33 (1985) 1107; star-mesh
transformation of circuit theory. (Both cited from memory.)

Nodes are ordered once per topology by least degree (A. George, J. W. H. Liu, "The evolution of the
minimum degree ordering algorithm", SIAM Review 31 (1989) 1; from memory) and renumbered so
that nodes which can go together lie side by side. The numeric work is then a few array operations
per level, with the case as the last axis.
"""

from dataclasses import dataclass
from heapq import heapify, heappop, heappush

import numpy as np
from numpy.typing import NDArray

from elec.network.netlist import Array

Index = NDArray[np.intp]

LEAK_S = 1e-12
"""From every node to the reference, so that an island has a voltage during the solution."""

_ROUNDS = 8
"""Up to this many rows per target are added round by round; more are summed target by target."""


class SegmentSum:
    """Adds rows that share a target: `target[k] += source rows of k`, for a fixed pattern."""

    def __init__(self, targets: Index) -> None:
        """Prepare for source row i to be added to row targets[i]."""
        order = np.argsort(targets, kind="stable")
        self.targets, start, count = np.unique(
            targets[order], return_index=True, return_counts=True
        )
        self._plain = len(self.targets) == len(targets) and bool((np.diff(order) == 1).all())
        self._first = order[start]
        self._many = [
            (int(k), order[start[k] : start[k] + count[k]]) for k in np.flatnonzero(count > _ROUNDS)
        ]
        self._rounds: list[tuple[Index, Index]] = []
        for turn in range(1, _ROUNDS):
            rows = np.flatnonzero((count > turn) & (count <= _ROUNDS))
            if not len(rows):
                break
            self._rounds.append((rows, order[start[rows] + turn]))
        size = len(self.targets)
        run = size > 0 and int(self.targets[-1]) - int(self.targets[0]) == size - 1
        self._at: slice | Index = (
            slice(int(self.targets[0]), int(self.targets[0]) + size) if run else self.targets
        )

    def sums(self, source: Array) -> Array:
        """One row per distinct target, in ascending order."""
        if self._plain:
            return source
        total = source[self._first]
        for rows, take in self._rounds:
            total[rows] += source[take]
        for row, take in self._many:
            total[row] = source[take].sum(axis=0)
        return total

    def add(self, target: Array, source: Array) -> None:
        """Add the source rows into the target."""
        if len(self.targets):
            target[self._at] += self.sums(source)


def least_degree_order(
    count: int, pairs: list[tuple[int, int]]
) -> tuple[list[int], list[set[int]]]:
    """Order nodes so that the one with fewest neighbours goes first; ties go to the shallower.

    Returns the nodes in the order of their removal and, beside each, the neighbours that it had
    when it was removed.
    """
    neighbours: list[set[int]] = [set() for _ in range(count)]
    for a, b in pairs:
        if a != b:
            neighbours[a].add(b)
            neighbours[b].add(a)
    depth = [0] * count
    heap = [(len(near), 0, node) for node, near in enumerate(neighbours)]
    heapify(heap)
    done = [False] * count
    order: list[int] = []
    stars: list[set[int]] = []
    while heap:
        degree, level, node = heappop(heap)
        near = neighbours[node]
        if done[node] or degree != len(near) or level != depth[node]:
            continue
        done[node] = True
        order.append(node)
        stars.append(near)
        for other in near:
            mesh = neighbours[other]
            if degree > 1:
                mesh |= near
                mesh.discard(other)
            mesh.discard(node)
            depth[other] = max(depth[other], level + 1)
            heappush(heap, (len(mesh), depth[other], other))
    return order, stars


@dataclass(frozen=True, kw_only=True)
class _Level:
    """Nodes that are removed together, and where their stars go."""

    nodes: slice
    slots: slice
    column: Index
    """The node of each slot, counted within the level."""
    row: Index
    """The neighbour of each slot."""
    single: bool
    """Every node of the level has one neighbour: no mesh, no sums."""
    by_column: SegmentSum
    by_row: SegmentSum
    left: Index
    right: Index
    into: SegmentSum
    """The mesh: conductance of slot `left` times share of slot `right` goes `into` a slot."""


class Elimination:
    """The order of removal for one topology, and the numeric solution for any values."""

    def __init__(self, count: int, a: Index, b: Index) -> None:
        """Prepare for `count` nodes; a and b are terminals of all elements, -1 the reference."""
        self.count = count
        inner = (a >= 0) & (b >= 0)
        pairs = set(zip(a[inner].tolist(), b[inner].tolist(), strict=True))
        order, stars = least_degree_order(count, list(pairs))
        level = self._depths(order, stars)
        by_level = np.argsort(level, kind="stable")
        self.number = np.empty(count + 1, np.intp)
        self.number[np.asarray(order, np.intp)[by_level]] = np.arange(count)
        self.number[count] = -1  # reached as index -1: the reference keeps its mark
        sizes = np.fromiter((len(star) for star in stars), np.intp, count)
        column = self.number[np.repeat(np.asarray(order, np.intp), sizes)]
        row = self.number[np.fromiter((x for s in stars for x in s), np.intp, int(sizes.sum()))]
        sort = np.lexsort((row, column))
        self._column, self._row = column[sort], row[sort]
        self._key = self._column * count + self._row
        self.slots = len(self._key)
        self._levels = self._plan(level[by_level])

    @staticmethod
    def _depths(order: list[int], stars: list[set[int]]) -> Index:
        """A node's level: one more than that of every node removed before it from its star."""
        depth = [0] * len(order)
        for node, star in zip(order, stars, strict=True):
            above = depth[node] + 1
            for other in star:
                depth[other] = max(depth[other], above)
        return np.asarray([depth[node] for node in order], np.intp)

    def _plan(self, level: Index) -> list[_Level]:
        size = np.bincount(self._column, minlength=self.count) if self.count else self._column
        base = np.concatenate(([0], np.cumsum(size))).astype(np.intp)
        left, right, into, owner = self._meshes(size, base)
        depth = int(level[-1]) + 1 if self.count else 0
        edge = np.searchsorted(level, np.arange(depth + 1))
        sort = np.argsort(level[owner], kind="stable") if len(owner) else owner
        left, right, into, owner = left[sort], right[sort], into[sort], owner[sort]
        mesh_edge = np.searchsorted(level[owner], np.arange(depth + 1)) if depth else edge
        plan = []
        for k in range(depth):
            nodes = slice(int(edge[k]), int(edge[k + 1]))
            slots = slice(int(base[nodes.start]), int(base[nodes.stop]))
            mesh = slice(int(mesh_edge[k]), int(mesh_edge[k + 1]))
            column = self._column[slots] - nodes.start
            plan.append(
                _Level(
                    nodes=nodes,
                    slots=slots,
                    column=column,
                    row=self._row[slots],
                    single=bool((size[nodes] == 1).all()),
                    by_column=SegmentSum(self._column[slots]),
                    by_row=SegmentSum(self._row[slots]),
                    left=left[mesh] - slots.start,
                    right=right[mesh] - slots.start,
                    into=SegmentSum(into[mesh]),
                )
            )
        return plan

    def _meshes(self, size: Index, base: Index) -> tuple[Index, Index, Index, Index]:
        """Every pair of neighbours of a removed node: two slots, the slot between, the node."""
        parts: list[tuple[Index, Index, Index, Index]] = []
        for star in np.unique(size[size > 1]).tolist():
            high, low = np.tril_indices(star, -1)
            nodes = np.flatnonzero(size == star)
            left = (base[nodes][:, None] + high).ravel()
            right = (base[nodes][:, None] + low).ravel()
            key = self._row[right] * self.count + self._row[left]
            into = np.searchsorted(self._key, key)
            parts.append((left, right, into, np.repeat(nodes, len(high))))
        if not parts:
            empty = np.empty(0, np.intp)
            return empty, empty, empty, empty
        left, right, into, owner = (np.concatenate(column) for column in zip(*parts, strict=True))
        return left, right, into, owner

    def slot(self, low: Index, high: Index) -> Index:
        """Where the conductance between two numbered nodes is kept, low < high."""
        return np.searchsorted(self._key, low * self.count + high)

    def solve(self, between: Array, nodal: Array) -> None:
        """Solve in place.

        Args:
            between: Conductance between neighbours in S, (slots, cases); overwritten.
            nodal: Of each node, (nodes, 2, cases). [:, 0] is its conductance to the reference in S
                and becomes its pivot: all are positive just when the matrix is positive definite.
                [:, 1] is the source current into it in A and becomes its voltage in V.
        """
        for level in self._levels:
            self._remove(level, between, nodal)
        pivot, voltage = nodal[:, 0], nodal[:, 1]
        np.divide(voltage, pivot, out=voltage)
        for level in reversed(self._levels):
            share = between[level.slots]
            if not len(share):
                continue
            term = share * voltage[level.row]
            if level.single:
                voltage[level.nodes] += term
            else:
                level.by_column.add(voltage, term)

    @staticmethod
    def _remove(level: _Level, between: Array, nodal: Array) -> None:
        """Turn the stars of a level's nodes into meshes; keep pivots, and shares in `between`."""
        star = between[level.slots]
        if not len(star):
            return
        own = nodal[level.nodes]
        if level.single:
            total = own[:, 0] + star
            share = star / total
            level.by_row.add(nodal, share[:, None] * own)
            own[:, 0] = total
        else:
            given = own[level.column]
            level.by_column.add(nodal[:, 0], star)
            share = star / own[:, 0][level.column]
            given *= share[:, None]
            level.by_row.add(nodal, given)
            if len(level.left):
                level.into.add(between, star[level.left] * share[level.right])
        star[:] = share


class Stamp:
    """Adds a group of elements into the arrays of an elimination."""

    def __init__(self, elimination: Elimination, a: Index, b: Index) -> None:
        """Prepare for elements with terminals a and b (nodes before numbering, -1 reference)."""
        first, second = elimination.number[a], elimination.number[b]
        self._first, self._second = first, second
        self._inner = np.flatnonzero((first >= 0) & (second >= 0) & (first != second))
        low = np.minimum(first, second)[self._inner]
        high = np.maximum(first, second)[self._inner]
        self._between = SegmentSum(elimination.slot(low, high))
        self._outer = np.flatnonzero((first < 0) ^ (second < 0))
        self._leak = SegmentSum(np.maximum(first, second)[self._outer])
        self._at_a, self._at_b = np.flatnonzero(first >= 0), np.flatnonzero(second >= 0)
        self._into_a = SegmentSum(first[self._at_a])
        self._into_b = SegmentSum(second[self._at_b])

    def conductance(self, between: Array, leak: Array, conductance_s: Array) -> None:
        """Add conductances (elements, cases)."""
        self._between.add(between, conductance_s[self._inner])
        self._leak.add(leak, conductance_s[self._outer])

    def source(self, inflow: Array, source_a: Array) -> None:
        """Add source currents (elements, cases), into terminal a and out of terminal b."""
        self._into_a.add(inflow, source_a[self._at_a])
        self._into_b.add(inflow, -source_a[self._at_b])

    def voltage(self, node_v: Array) -> Array:
        """Voltage from a to b of every element; node_v's last row is the reference at 0 V."""
        return node_v[self._first] - node_v[self._second]

    def touch(self, inflow: Array, amount: Array) -> None:
        """Add an amount at both terminals."""
        self._into_a.add(inflow, amount[self._at_a])
        self._into_b.add(inflow, amount[self._at_b])
