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

    Each column is added in the same order whatever stands beside it: a matrix product does not keep
    to that, nor does `np.add.reduce` for a single column, which it adds in pairs; the last digit of
    a case would hang on what else is solved.
    """

    def __init__(self, targets: Index, take: Index | None = None) -> None:
        """Prepare for source row i, or take[i] if given, to be added to row targets[i]."""
        order = np.argsort(targets, kind="stable")
        ordered = targets[order]
        start = np.flatnonzero(np.diff(ordered, prepend=-1))
        distinct, count = ordered[start], np.diff(start, append=len(ordered))
        source = order if take is None else take[order]
        most_first = np.argsort(-count, kind="stable")  # so that each round is a slice
        distinct, start, count = distinct[most_first], start[most_first], count[most_first]
        many = int((count > _ROUNDS).sum())
        parts = [source[start[k] : start[k] + count[k]] for k in range(many)]
        ends = np.cumsum([0, *(len(part) for part in parts)]).tolist()
        self._many = list(zip(distinct[:many].tolist(), map(slice, ends, ends[1:]), strict=False))
        start, count, distinct = start[many:], count[many:], distinct[many:]
        at, self._rounds = ends[-1], list[slice]()
        for turn in range(int(count.max(initial=0))):
            parts.append(source[start[: int((count > turn).sum())] + turn])
            self._rounds.append(slice(at, at := at + len(parts[-1])))
        self.order: Index = np.concatenate(parts) if parts else np.empty(0, np.intp)
        """The source rows, those of one target or of one round together."""
        size = len(distinct)
        first = int(distinct[0]) if size else 0
        run = np.array_equal(distinct, np.arange(first, first + size))
        self._at: slice | Index = slice(first, first + size) if run else distinct

    def add(self, target: Array, source: Array) -> None:
        """Add the source rows into the target."""
        if len(self.order):
            self.add_ordered(target, source.take(self.order, axis=0))

    def subtract(self, target: Array, source: Array) -> None:
        """Subtract the source rows from the target."""
        if len(self.order):
            self.add_ordered(target, -source.take(self.order, axis=0))

    def add_ordered(self, target: Array, rows: Array) -> None:
        """Add source rows that stand in `order` already into the target; they are overwritten."""
        alone = rows[:1].size == 1
        for row, part in self._many:
            some = rows[part]
            target[row] += np.add.accumulate(some)[-1] if alone else np.add.reduce(some)
        if not self._rounds:
            return
        first, *others = self._rounds
        total = rows[first]
        for part in others:
            total[: part.stop - part.start] += rows[part]
        target[self._at] += total


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
    """Nodes that are removed together and have neighbours, and where their stars go."""

    nodes: slice
    own: slice
    """The rows of `held` with their conductances to the reference."""
    slots: slice
    """Their stars: the first neighbour of each node, then the second of those that have one …"""
    turns: tuple[slice, ...]
    """The same within the level, from the second neighbour on."""
    column: Index
    """The row of `own` of each slot."""
    row: Index
    """The neighbour of each slot."""
    left: Index
    right: Index
    into: SegmentSum
    """The mesh: row `left` times the share of slot `right` goes `into` a row, in its order."""


class Elimination:
    """The order of removal for one topology, and the numeric solution for any values.

    All values stand in one array `held`, (rows, cases): conductances between neighbours in S, one a
    slot; from row `leak` on each node's to the reference in S; from row `inflow` on the source
    current into each node in A, where all nodes are removed.
    """

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
        self.slots = self.leak = len(self._key)
        self.inflow = self.leak + count
        self._whole = some is None
        self.rows = self.inflow + count * self._whole
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
        base = np.concatenate(([0], np.cumsum(size))).astype(np.intp)
        depth = int(level[-1]) + 1 if self.removed else 0
        of_node = np.concatenate((level, np.full(self.count - self.removed, depth, np.intp)))
        turn = np.arange(self.slots) - base[self._column]
        by_turn = np.lexsort((self._column, turn, of_node[self._column]))
        self._place = np.empty(self.slots, np.intp)
        self._place[by_turn] = np.arange(self.slots)
        """Where the slot of each key is kept."""
        left, right, into, owner = self._meshes(size[: self.removed], base)
        edge = np.searchsorted(level, np.arange(depth + 1))
        sort = np.argsort(level[owner], kind="stable")
        left, right, into, owner = left[sort], right[sort], into[sort], owner[sort]
        mesh_edge = np.searchsorted(level[owner], np.arange(depth + 1))
        plan = []
        for k in range(depth):
            first, last = int(edge[k]), int(edge[k + 1])
            slots = slice(int(base[first]), int(base[last]))
            if slots.start == slots.stop:
                continue
            mesh = slice(int(mesh_edge[k]), int(mesh_edge[k + 1]))
            sums = SegmentSum(into[mesh])
            counts = np.bincount(turn[slots])
            starts = np.cumsum(counts) - counts
            turns = [slice(s, s + n) for s, n in zip(starts.tolist(), counts.tolist(), strict=True)]
            last = first + turns[0].stop
            plan.append(
                _Level(
                    nodes=slice(first, last),
                    own=slice(self.leak + first, self.leak + last),
                    slots=slots,
                    turns=tuple(turns[1:]),
                    column=self.leak + self._column[by_turn[slots]],
                    row=self._row[by_turn[slots]],
                    left=left[mesh][sums.order],
                    right=right[mesh][sums.order],
                    into=sums,
                )
            )
        return plan

    def _meshes(self, size: Index, base: Index) -> tuple[Index, Index, Index, Index]:
        """What removing nodes adds: a row, the slot of a share, the row it goes into, the node.

        Every pair of neighbours gets a conductance more, every neighbour its share of the
        conductance to the reference and of the source current.
        """
        parts: list[tuple[Index, Index, Index, Index]] = []
        for star in sorted({*size.tolist()} - {0, 1}):
            high, low = np.tril_indices(star, -1)
            nodes = np.flatnonzero(size == star)
            left = (base[nodes][:, None] + high).ravel()
            right = (base[nodes][:, None] + low).ravel()
            into = self.slot(self._row[right], self._row[left])
            parts.append((self._place[left], self._place[right], into, nodes.repeat(len(high))))
        slots = np.arange(base[self.removed])
        column, row = self._column[slots], self._row[slots]
        parts += [
            (first + column, self._place[slots], first + row, column)
            for first in (self.leak, self.inflow)[: 1 + self._whole]
        ]
        left, right, into, owner = (np.concatenate(column) for column in zip(*parts, strict=True))
        return left, right, into, owner

    def slot(self, first: Index, second: Index) -> Index:
        """Where the conductance between two numbered nodes is kept."""
        key = np.minimum(first, second) * self.count + np.maximum(first, second)
        found: Index = self._place[np.searchsorted(self._key, key)]
        return found

    def solve(self, held: Array) -> Array:
        """Solve in place, where all nodes are removed.

        Args:
            held: The values; overwritten. The conductances to the reference become pivots: all are
                positive just when the matrix is positive definite.

        Returns:
            Voltages in V, (nodes + 1, cases); the last row is the reference's.
        """
        self.remove(held)
        voltage = np.zeros((self.count + 1, held.shape[1]))
        np.divide(held[self.inflow :], held[self.leak : self.inflow], out=voltage[:-1])
        self.restore(held, voltage)
        return voltage

    def remove(self, held: Array) -> None:
        """Remove nodes: their stars become meshes; of each is kept its pivot, and its shares."""
        for level in self.plan:
            star, own = held[level.slots], held[level.own]
            mesh = held.take(level.left, axis=0)
            if level.turns:
                total = star[: len(own)].copy()
                for turn in level.turns:
                    total[: turn.stop - turn.start] += star[turn]
                own += total
            else:
                own += star
            star /= held.take(level.column, axis=0)
            mesh *= held.take(level.right, axis=0)
            level.into.add_ordered(held, mesh)

    def restore(self, held: Array, voltage: Array) -> None:
        """Add what comes from the others to the voltages of removed nodes, in place.

        Args:
            held: As `remove` left it.
            voltage: Of removed nodes what it would be, were all others at 0 V; of the others, and
                of the reference behind them, the voltage.
        """
        for level in reversed(self.plan):
            term = voltage.take(level.row, axis=0)
            term *= held[level.slots]
            nodes = voltage[level.nodes]
            total = term[: len(nodes)]
            for turn in level.turns:
                total[: turn.stop - turn.start] += term[turn]
            nodes += total


class Stamp:
    """Adds a group of elements into the array of an elimination."""

    def __init__(self, elimination: Elimination, a: Index, b: Index) -> None:
        """Prepare for elements with terminals a and b (nodes before numbering, -1 reference)."""
        first, second = elimination.number[a], elimination.number[b]
        inner = np.flatnonzero((first >= 0) & (second >= 0) & (first != second))
        outer = np.flatnonzero((first < 0) ^ (second < 0))
        slots = elimination.slot(first[inner], second[inner])
        leaks = elimination.leak + np.maximum(first, second)[outer]
        self._conductance = SegmentSum(
            np.concatenate((slots, leaks)), np.concatenate((inner, outer))
        )
        at_a, at_b = np.flatnonzero(first >= 0), np.flatnonzero(second >= 0)
        self._into_a = SegmentSum(elimination.inflow + first[at_a], at_a)
        self._into_b = SegmentSum(elimination.inflow + second[at_b], at_b)
        self._first, self._second = first, second

    def conductance(self, held: Array, conductance_s: Array) -> None:
        """Add conductances (elements, cases)."""
        self._conductance.add(held, conductance_s)

    def source(self, held: Array, source_a: Array) -> None:
        """Add source currents (elements, cases), into terminal a and out of terminal b."""
        self._into_a.add(held, source_a)
        self._into_b.subtract(held, source_a)

    def voltage(self, node_v: Array) -> Array:
        """Voltage from a to b of every element; node_v's last row is the reference at 0 V."""
        across: Array = node_v.take(self._first, axis=0)
        across -= node_v.take(self._second, axis=0)
        return across
