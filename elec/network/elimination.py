"""Nodal equations solved by elimination without subtraction, all cases at once.

In: the terminals of two-terminal elements, then their conductances and source currents in every
case. Out: node voltages and pivots.

The matrix of nodal equations is never formed. Only conductances between nodes and from each node
to the reference are kept, and removing a node replaces its star by a mesh: sums, products and
quotients of non-negative numbers. So micro-ohms beside mega-ohms, and islands held by a tiny leak,
lose no digits. Method: W. K. Grassmann, M. I. Taksar, D. P. Heyman, "Regenerative analysis and
steady state distributions for Markov chains", Operations Research 33 (1985) 1107; star-mesh
transformation of circuit theory. (Both cited from memory.)

An elimination may be told to remove only some nodes, those that have few neighbours (inside a wire
run of many parts in series); `elec.network.reduced` does so once before the rounds of a search.

Nodes are ordered once per topology by least degree (A. George, J. W. H. Liu, "The evolution of the
minimum degree ordering algorithm", SIAM Review 31 (1989) 1; from memory) and renumbered so
that nodes which can go together lie side by side. The numeric work is then a few array operations
per level, with the case as the last axis.
"""

from collections.abc import Iterable, Set
from heapq import heapify, heappop, heappush

import numpy as np
from msgspec import Struct

from elec.network.netlist import Array, Flags, Index

LEAK_S = 1e-12
"""From every node to the reference, so that an island has a voltage during the solution."""

_FEW = 3
"""Where only some nodes are removed they have at most this many neighbours: removing them makes no
more than it removes."""
_ROUNDS = 8
"""Up to this many rows per target are added round by round; more are summed target by target."""


class SegmentSum:
    """Adds rows that share a target: `target[k] += source rows of k`, for a fixed pattern.

    Each column is added in the same order whatever stands beside it: neither a matrix product nor
    `np.add.reduce` keeps to that, and the last digit of a case would hang on what else is solved.
    """

    def __init__(self, targets: Index, take: Index | None = None) -> None:
        """Prepare for source row i, or take[i] if given, to be added to row targets[i]."""
        order = np.argsort(targets, kind="stable")
        ordered = targets[order]
        start = np.flatnonzero(np.diff(ordered, prepend=-1))
        distinct, count = ordered[start], np.diff(start, append=len(ordered))
        source = order if take is None else take[order]
        most_first = np.argsort(-count, kind="stable")  # so that each round is a slice
        self.targets, start, count = distinct[most_first], start[most_first], count[most_first]
        self._first = source[start]
        size = len(self.targets)
        many = int((count > _ROUNDS).sum())
        self._many = [(k, source[start[k] : start[k] + count[k]]) for k in range(many)]
        self._rounds: list[tuple[slice, Index]] = []
        for turn in range(1, _ROUNDS):
            rows = slice(many, int((count > turn).sum()))
            if rows.start == rows.stop:
                break
            self._rounds.append((rows, source[start[rows] + turn]))
        self._plain = take is None and np.array_equal(self._first, np.arange(len(targets)))
        first = int(self.targets[0]) if size else 0
        run = np.array_equal(self.targets, np.arange(first, first + size))
        self._at: slice | Index = slice(first, first + size) if run else self.targets

    def sums(self, source: Array) -> Array:
        """One row per distinct target, in the order of `targets`."""
        if self._plain:
            return source
        total: Array = source.take(self._first, axis=0)
        for rows, take in self._rounds:
            total[rows] += source.take(take, axis=0)
        for row, take in self._many:
            total[row] = np.add.accumulate(source.take(take, axis=0), axis=0)[-1]
        return total

    def add(self, target: Array, source: Array) -> None:
        """Add the source rows into the target."""
        if len(self.targets):
            target[self._at] += self.sums(source)

    def subtract(self, target: Array, source: Array) -> None:
        """Subtract the source rows from the target."""
        if len(self.targets):
            target[self._at] -= self.sums(source)


def least_degree_order(
    count: int, pairs: Iterable[tuple[int, int]], some: Set[int] | None = None
) -> tuple[list[int], list[set[int]], list[set[int]]]:
    """Order nodes so that the one with fewest neighbours goes first; ties go to the shallower.

    Of `some` nodes only these go, as long as they have few neighbours.

    Returns the nodes in the order of their removal, beside each the neighbours that it had when it
    was removed, and of every node the neighbours that it has in the end; -1 is the reference.
    """
    near: list[set[int]] = [set() for _ in range(count + 1)]  # the reference's is the last one
    for a, b in pairs:
        if a != b:
            near[a].add(b)
            near[b].add(a)
    depth = [0] * (count + 1)
    done = [False] * (count + 1)
    order: list[int] = []
    stars: list[set[int]] = []
    chosen, most = (range(count), count) if some is None else (some, _FEW)
    heap = [(len(near[node]), 0, node) for node in chosen]
    heapify(heap)
    while heap:
        degree, level, node = heappop(heap)
        if done[node] or degree != len(near[node]) or level != depth[node]:
            continue
        if degree > most:
            break
        done[node] = True
        order.append(node)
        stars.append(near[node])
        for other in near[node]:
            mesh = near[other]
            if degree > 1:
                mesh |= near[node]
                mesh.discard(other)
            mesh.discard(node)
            depth[other] = max(depth[other], level + 1)
            if other in chosen:
                heappush(heap, (len(mesh), depth[other], other))
    return order, stars, near


class _Level(Struct, frozen=True, kw_only=True):
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

    def __init__(self, count: int, a: Index, b: Index, some: Flags | None = None) -> None:
        """Prepare for `count` nodes.

        Args:
            count: how many nodes there are, the reference not counted.
            a: One terminal of each element, -1 for the reference.
            b: The other terminal.
            some: The only nodes that may be removed; left out, all are.
        """
        self.count = count
        pairs = dict.fromkeys(zip(a.tolist(), b.tolist(), strict=True))
        chosen = None if some is None else frozenset(np.flatnonzero(some).tolist())
        order, stars, self.near = least_degree_order(count, pairs, chosen)
        """The neighbours that each node has in the end."""
        self.removed = len(order)
        level = self._depths(order, stars, count)
        stars = [star - {-1} for star in stars]
        kept = sorted({*range(count)} - {*order})
        stars += [{other for other in self.near[node] if other > node} for node in kept]
        sizes = np.fromiter((len(star) for star in stars), np.intp, count)
        by_level = np.lexsort((-sizes[: self.removed], level))
        nodes = np.asarray([*order, *kept], np.intp)
        self.number = np.empty(count + 1, np.intp)
        self.number[nodes] = np.arange(count)
        self.number[nodes[: self.removed][by_level]] = np.arange(self.removed)
        self.number[count] = -1  # reached as index -1: the reference keeps its mark
        column = self.number[np.repeat(nodes, sizes)]
        row = self.number[np.fromiter((x for s in stars for x in s), np.intp, int(sizes.sum()))]
        sort = np.lexsort((row, column))
        self._column, self._row = column[sort], row[sort]
        self._key = self._column * count + self._row
        self.slots = len(self._key)
        self.plan = self._plan(level[by_level])

    @staticmethod
    def _depths(order: list[int], stars: list[set[int]], count: int) -> Index:
        """A node's level: one more than that of every node removed before it from its star."""
        depth = [0] * (count + 1)
        for node, star in zip(order, stars, strict=True):
            above = depth[node] + 1
            for other in star:
                depth[other] = max(depth[other], above)
        return np.asarray([depth[node] for node in order], np.intp)

    def _plan(self, level: Index) -> list[_Level]:
        size = np.bincount(self._column, minlength=self.count) if self.count else self._column
        size = size[: self.removed]
        base = np.concatenate(([0], np.cumsum(size))).astype(np.intp)
        left, right, into, owner = self._meshes(size, base)
        depth = int(level[-1]) + 1 if self.removed else 0
        edge = np.searchsorted(level, np.arange(depth + 1))
        sort = np.argsort(level[owner], kind="stable") if len(owner) else owner
        left, right, into, owner = left[sort], right[sort], into[sort], owner[sort]
        mesh_edge = np.searchsorted(level[owner], np.arange(depth + 1)) if depth else edge
        plan = []
        for k in range(depth):
            nodes = slice(int(edge[k]), int(edge[k + 1]))
            slots = slice(int(base[nodes.start]), int(base[nodes.stop]))
            mesh = slice(int(mesh_edge[k]), int(mesh_edge[k + 1]))
            plan.append(
                _Level(
                    nodes=nodes,
                    slots=slots,
                    column=self._column[slots] - nodes.start,
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
        for star in sorted({*size.tolist()} - {0, 1}):
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

    def slot(self, first: Index, second: Index) -> Index:
        """Where the conductance between two numbered nodes is kept."""
        key = np.minimum(first, second) * self.count + np.maximum(first, second)
        return np.searchsorted(self._key, key)

    def solve(self, between: Array, nodal: Array) -> Array:
        """Solve in place, where all nodes are removed.

        Args:
            between: Conductance between neighbours in S, (slots, cases); overwritten.
            nodal: Of each node, (nodes, 2, cases). [:, 0] is its conductance to the reference in S
                and becomes its pivot: all are positive just when the matrix is positive definite.
                [:, 1] is the source current into it in A.

        Returns:
            Voltages in V, (nodes + 1, cases); the last row is the reference's.
        """
        self.remove(between, nodal)
        voltage = np.zeros((self.count + 1, nodal.shape[2]))
        np.divide(nodal[:, 1], nodal[:, 0], out=voltage[:-1])
        self.restore(between, voltage)
        return voltage

    def remove(self, between: Array, nodal: Array) -> None:
        """Remove nodes; see `solve`. With (nodes, 1, cases) there is no source current."""
        for level in self.plan:
            self._remove(level, between, nodal)

    def restore(self, between: Array, voltage: Array) -> None:
        """Add what comes from the others to the voltages of removed nodes, in place.

        Args:
            between: As `remove` left it.
            voltage: Of removed nodes what it would be, were all others at 0 V; of the others, and
                of the reference behind them, the voltage.
        """
        for level in reversed(self.plan):
            self._restore(level, between, voltage)

    @staticmethod
    def _restore(level: _Level, between: Array, voltage: Array) -> None:
        """From the shares in `between` and the neighbours' voltages those of a level's nodes."""
        share = between[level.slots]
        if not len(share):
            return
        term = voltage.take(level.row, axis=0)
        term *= share
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
            given: Array = own.take(level.column, axis=0)
            level.by_column.add(nodal[:, 0], star)
            share = star / own[:, 0][level.column]
            given *= share[:, None]
            level.by_row.add(nodal, given)
            if len(level.left):
                mesh = star.take(level.left, axis=0)
                mesh *= share.take(level.right, axis=0)
                level.into.add(between, mesh)
        star[:] = share


class Stamp:
    """Adds a group of elements into the arrays of an elimination."""

    def __init__(self, elimination: Elimination, a: Index, b: Index) -> None:
        """Prepare for elements with terminals a and b (nodes before numbering, -1 reference)."""
        first, second = elimination.number[a], elimination.number[b]
        inner = np.flatnonzero((first >= 0) & (second >= 0) & (first != second))
        self._between = SegmentSum(elimination.slot(first[inner], second[inner]), inner)
        outer = np.flatnonzero((first < 0) ^ (second < 0))
        self._leak = SegmentSum(np.maximum(first, second)[outer], outer)
        at_a, at_b = np.flatnonzero(first >= 0), np.flatnonzero(second >= 0)
        self._into_a = SegmentSum(first[at_a], at_a)
        self._into_b = SegmentSum(second[at_b], at_b)
        self._first, self._second = first, second

    def conductance(self, between: Array, leak: Array, conductance_s: Array) -> None:
        """Add conductances (elements, cases)."""
        self._between.add(between, conductance_s)
        self._leak.add(leak, conductance_s)

    def source(self, inflow: Array, source_a: Array) -> None:
        """Add source currents (elements, cases), into terminal a and out of terminal b."""
        self._into_a.add(inflow, source_a)
        self._into_b.subtract(inflow, source_a)

    def voltage(self, node_v: Array) -> Array:
        """Voltage from a to b of every element; node_v's last row is the reference at 0 V."""
        across = node_v[self._first]
        across -= node_v[self._second]
        return across
