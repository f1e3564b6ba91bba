"""Nodal equations solved by elimination without subtraction, all cases at once.

In: the terminals of two-terminal elements, then their conductances and source currents in every
case. Out: node voltages and pivots.

The matrix of nodal equations is never formed. Only conductances between nodes and from each node
to the reference are kept, and removing a node replaces its star by a mesh: sums, products and
quotients of non-negative numbers. So micro-ohms beside mega-ohms, and islands held by a tiny leak,
lose no digits. Method: W. K. Grassmann, M. I. Taksar, D. P. Heyman, "Regenerative analysis and
steady state distributions for Markov chains", Operations Research 33 (1985) 1107; star-mesh
transformation of circuit theory. (Both cited from memory.)

Nodes to which only *fixed* elements are joined, and which have few neighbours (those inside a wire
run of many parts in series), can be removed once before the rounds of a search: `reduce`. The
rounds then work on what is left, the *core*; `expand` finds the removed nodes' voltages at the end.

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
"""Early nodes have at most this many neighbours: removing them makes no more than it removes."""
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
    count: int, pairs: list[tuple[int, int]], early: Iterable[int] = ()
) -> tuple[list[int], list[set[int]], int]:
    """Order nodes so that the one with fewest neighbours goes first; ties go to the shallower.

    Nodes in `early` go before all others, as long as they have few neighbours.

    Returns the nodes in the order of their removal, beside each the neighbours that it had when it
    was removed, and how many went early.
    """
    neighbours: list[set[int]] = [set() for _ in range(count)]
    for a, b in pairs:
        if a != b:
            neighbours[a].add(b)
            neighbours[b].add(a)
    depth = [0] * count
    done = [False] * count
    order: list[int] = []
    stars: list[set[int]] = []

    def remove(chosen: Set[int], most: int) -> None:
        heap = [(len(neighbours[node]), depth[node], node) for node in chosen]
        heapify(heap)
        while heap:
            degree, level, node = heappop(heap)
            near = neighbours[node]
            if done[node] or degree != len(near) or level != depth[node]:
                continue
            if degree > most:
                break
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
                if other in chosen:
                    heappush(heap, (len(mesh), depth[other], other))

    remove(set(early), _FEW)
    went = len(order)
    first = max((depth[node] for node in order), default=-1) + 1
    depth = [max(level, first) for level in depth]
    remove({node for node in range(count) if not done[node]}, count)
    return order, stars, went


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

    def __init__(self, count: int, a: Index, b: Index, early: Flags | None = None) -> None:
        """Prepare for `count` nodes.

        Args:
            count: how many nodes there are, the reference not counted.
            a: One terminal of each element, -1 for the reference.
            b: The other terminal.
            early: Nodes that may be removed before the core.
        """
        self.count = count
        inner = (a >= 0) & (b >= 0)
        pairs = set(zip(a[inner].tolist(), b[inner].tolist(), strict=True))
        chosen = [] if early is None else np.flatnonzero(early).tolist()
        order, stars, self.early = least_degree_order(count, list(pairs), chosen)
        level = self._depths(order, stars, self.early)
        sizes = np.fromiter((len(star) for star in stars), np.intp, count)
        by_level = np.lexsort((-sizes, level))
        self.number = np.empty(count + 1, np.intp)
        self.number[np.asarray(order, np.intp)[by_level]] = np.arange(count)
        self.number[count] = -1  # reached as index -1: the reference keeps its mark
        column = self.number[np.repeat(np.asarray(order, np.intp), sizes)]
        row = self.number[np.fromiter((x for s in stars for x in s), np.intp, int(sizes.sum()))]
        sort = np.lexsort((row, column))
        self._column, self._row = column[sort], row[sort]
        self._key = self._column * count + self._row
        self.slots = len(self._key)
        self.early_slots = int(np.searchsorted(self._column, self.early))
        level = level[by_level]
        plan = self._plan(level)
        split = int(level[self.early]) if self.early < count else len(plan)
        self._outer, self._core = plan[:split], plan[split:]

    @staticmethod
    def _depths(order: list[int], stars: list[set[int]], early: int) -> Index:
        """A node's level: one more than that of every node removed before it from its star."""
        depth = [0] * len(order)
        first = 0
        for turn, (node, star) in enumerate(zip(order, stars, strict=True)):
            if turn < early:
                first = max(first, depth[node] + 1)
            else:
                depth[node] = max(depth[node], first)
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
            core = nodes.start >= self.early
            node, slot = (self.early, self.early_slots) if core else (0, 0)
            plan.append(
                _Level(
                    nodes=slice(nodes.start - node, nodes.stop - node),
                    slots=slice(slots.start - slot, slots.stop - slot),
                    column=self._column[slots] - nodes.start,
                    row=self._row[slots] - node,
                    single=bool((size[nodes] == 1).all()),
                    by_column=SegmentSum(self._column[slots] - node),
                    by_row=SegmentSum(self._row[slots] - node),
                    left=left[mesh] - slots.start,
                    right=right[mesh] - slots.start,
                    into=SegmentSum(into[mesh] - slot),
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

    def slot(self, low: Index, high: Index) -> Index:
        """Where the conductance between two numbered nodes is kept, low < high."""
        return np.searchsorted(self._key, low * self.count + high)

    def solve(self, between: Array, nodal: Array) -> Array:
        """Solve in place.

        Args:
            between: Conductance between neighbours in S, (slots, cases); overwritten.
            nodal: Of each node, (nodes, 2, cases). [:, 0] is its conductance to the reference in S
                and becomes its pivot: all are positive just when the matrix is positive definite.
                [:, 1] is the source current into it in A and becomes its voltage in V.

        Returns:
            Voltages in V, (nodes + 1, cases); the last row is the reference's.
        """
        early = self.reduce(between, nodal)
        core = self.solve_core(between[self.early_slots :], nodal[self.early :])
        voltage = self.expand(between, early, core)
        nodal[:, 1] = voltage[:-1]
        return voltage

    def reduce(self, between: Array, nodal: Array) -> Array:
        """Remove the early nodes; see `solve`.

        Returns:
            What the early nodes' voltages would be, were all others at 0 V, (early nodes, cases).
        """
        for level in self._outer:
            self._remove(level, between, nodal)
        answer: Array = nodal[: self.early, 1] / nodal[: self.early, 0]
        return answer

    def solve_core(self, between: Array, nodal: Array) -> Array:
        """Solve for the nodes that are not early; see `solve`, all arrays of these nodes alone."""
        for level in self._core:
            self._remove(level, between, nodal)
        voltage = np.zeros((len(nodal) + 1, nodal.shape[2]))
        np.divide(nodal[:, 1], nodal[:, 0], out=voltage[:-1])
        for level in reversed(self._core):
            self._restore(level, between, voltage)
        return voltage

    def expand(self, between: Array, early: Array, core: Array) -> Array:
        """Put the early nodes' voltages before the others'.

        Args:
            between: As `reduce` left it.
            early: What `reduce` returned.
            core: What `solve_core` returned.
        """
        voltage = np.concatenate((early, core))
        for level in reversed(self._outer):
            self._restore(level, between, voltage)
        return voltage

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

    def __init__(self, elimination: Elimination, a: Index, b: Index, *, core: bool = False) -> None:
        """Prepare for elements with terminals a and b (nodes before numbering, -1 reference).

        With `core` the arrays are those of `Elimination.solve_core`.
        """
        first, second = elimination.number[a], elimination.number[b]
        node, slot = (elimination.early, elimination.early_slots) if core else (0, 0)
        inner = np.flatnonzero((first >= 0) & (second >= 0) & (first != second))
        low = np.minimum(first, second)[inner]
        high = np.maximum(first, second)[inner]
        self._between = SegmentSum(elimination.slot(low, high) - slot, inner)
        outer = np.flatnonzero((first < 0) ^ (second < 0))
        self._leak = SegmentSum(np.maximum(first, second)[outer] - node, outer)
        at_a, at_b = np.flatnonzero(first >= 0), np.flatnonzero(second >= 0)
        self._into_a = SegmentSum(first[at_a] - node, at_a)
        self._into_b = SegmentSum(second[at_b] - node, at_b)
        self._first = np.where(first < 0, -1, first - node)
        self._second = np.where(second < 0, -1, second - node)

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
