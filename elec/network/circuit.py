"""A netlist made ready for numbers: nodes counted, zero-ohm links merged, elimination planned.

In: a netlist and which of its resistors are 0 ohm in every case. Out: a circuit, kept for the next
solution of an equal netlist.
"""

from collections.abc import Iterable
from functools import cached_property

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from elec.network.elimination import Elimination, SegmentSum, Stamp
from elec.network.netlist import Array, Branch, Flags, Index, Netlist

States = NDArray[np.int8]

_KEPT = 8
_cache: list["Topology"] = []


class NodeIndices(Struct, frozen=True, kw_only=True):
    """Where elements of one kind sit: indices into the netlist's nodes."""

    a: Index
    b: Index

    @classmethod
    def of(cls, branches: Iterable[Branch], index: dict[str, int]) -> "NodeIndices":
        """Look up the terminals of the branches."""
        pairs = [(index[branch.a], index[branch.b]) for branch in branches]
        array = np.asarray(pairs, np.intp).reshape(len(pairs), 2)
        return cls(a=array[:, 0], b=array[:, 1])

    def __add__(self, other: "NodeIndices") -> "NodeIndices":
        """Put the other kind's elements behind these."""
        return NodeIndices(a=np.concatenate((self.a, other.a)), b=np.concatenate((self.b, other.b)))


def roots(count: int, pairs: Iterable[tuple[int, int]]) -> list[int]:
    """Of each node the first of all nodes that the pairs join it with."""
    parent = list(range(count))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    for a, b in pairs:
        first, second = root(a), root(b)
        if first != second:
            parent[max(first, second)] = min(first, second)
    return [root(node) for node in range(count)]


class Leads:
    """Wires that lead from the core to one end of one load and to nothing else."""

    def __init__(self, wires: Elimination, loads: NodeIndices, met: Index) -> None:
        """Find them.

        Args:
            wires: nodes that only resistors join are removed in it.
            loads: the unknowns at which loads end.
            met: how many elements other than resistors end at each unknown.
        """
        self.ends = NodeIndices(a=loads.a.copy(), b=loads.b.copy())
        """The unknowns at which loads end, leads taken as part of the load."""
        self.inner = np.zeros(len(met), np.bool_)
        """Unknowns between a lead and its load."""
        passed: set[int] = set()
        found: list[tuple[int, int, int, int]] = []
        for sign, side in ((1, self.ends.a), (-1, self.ends.b)):
            for load, end in enumerate(side.tolist()):
                if end < 0 or met[end] != 1 or len(wires.near[end]) != 1 or end in passed:
                    continue
                (other,) = wires.near[end]
                passed.add(other)
                side[load] = other
                self.inner[end] = True
                found.append((load, sign, end, other))
        table = np.asarray(found, np.intp).reshape(len(found), 4)
        self.load, self.sign, inner, self.outer = table.T
        """The load of each, 1 where it leads to its first end and -1 to its second, and the
        unknown at which it begins."""
        self.row = wires.number[inner]
        """Of the unknown between it and its load."""
        self.at = wires.leak + self.row
        away = np.flatnonzero(self.outer >= 0)
        self.at[away] = wires.slot(self.row[away], wires.number[self.outer[away]])
        """The row in which `wires` holds its conductance."""


class Topology:
    """A topology with its plan of elimination.

    Resistors have one conductance per case; alternators, diodes and loads change theirs while the
    solution is sought. Nodes that only resistors join are removed before the search begins, and a
    load that hangs on leads of its own counts with them as one element: the search works on the
    *core*, which is a few buses, grounds and terminals of sources.
    """

    def __init__(self, netlist: Netlist, link: Flags) -> None:
        """Prepare the netlist, with the resistors marked as links merged away."""
        self.netlist = netlist
        self.link = link
        self.nodes = netlist.nodes()
        index = {name: k for k, name in enumerate(self.nodes)}
        self.resistors = NodeIndices.of(netlist.resistors, index)
        self.batteries = NodeIndices.of(netlist.batteries, index)
        self.alternators = NodeIndices.of(netlist.alternators, index)
        self.diodes = NodeIndices.of(netlist.diodes, index)
        self.loads = NodeIndices.of(netlist.loads, index)
        laws = tuple(dict.fromkeys(netlist.load_laws))
        self.laws = {law: np.array([one == law for one in netlist.load_laws]) for law in laws}
        """Each law that occurs → which loads go by it."""
        joined = zip(self.resistors.a[link], self.resistors.b[link], strict=True)
        self.leader = np.asarray(roots(len(self.nodes), joined), np.intp)
        """The node that stands for each node and all that links join it with."""
        leaders = np.flatnonzero(self.leader == np.arange(len(self.nodes)))
        self.unknown = np.searchsorted(leaders, self.leader) - 1
        """The unknown of each node; -1 for the reference and what is linked to it."""
        every = self.resistors + self.batteries + self.alternators + self.diodes + self.loads
        moving = self.alternators + self.diodes + self.loads
        ends = self._ends(self.batteries + moving)
        wires = self._ends(self.resistors)
        count = int(self.unknown.max(initial=-1)) + 1
        met = np.bincount(np.concatenate((ends.a, ends.b)) + 1, minlength=count + 1)[1:]
        """How many elements other than resistors end at each unknown."""
        self.wires = Elimination(count, wires.a, wires.b, met == 0)
        self.resistor = Stamp(self.wires, wires.a, wires.b)
        self.leads = Leads(self.wires, self._ends(self.loads), met)
        kept = np.flatnonzero((self.wires.number[:-1] >= self.wires.removed) & ~self.leads.inner)
        self.kept = kept
        """The unknowns of the core."""
        place = np.full(count + 1, -1, np.intp)
        place[kept] = np.arange(len(kept))
        pairs = [(k, other) for k in kept.tolist() for other in self.wires.near[k] if other > k]
        pair = np.asarray(pairs, np.intp).reshape(len(pairs), 2)
        pair = pair[place[pair[:, 1]] >= 0]
        self.between = self.wires.slot(*self.wires.number[pair].T)
        """Where `wires` keeps the conductance between two unknowns of the core."""
        outer = NodeIndices(a=place[self.leads.ends.a], b=place[self.leads.ends.b])
        battery = self._ends(self.batteries, place)
        turning = self._ends(self.alternators + self.diodes, place) + outer
        both = NodeIndices(a=place[pair[:, 0]], b=place[pair[:, 1]])
        core = both + battery + turning
        self.core = Elimination(len(kept), core.a, core.b)
        self.joined = Stamp(self.core, both.a, both.b)
        self.battery = Stamp(self.core, battery.a, battery.b)
        self.moving = Stamp(self.core, turning.a, turning.b)
        self.lead_end = self.core.number[place[self.leads.outer]]
        """The row of a voltage of the core at which each lead begins."""
        self.states: dict[tuple[bytes, ...], States] = {}
        """States of alternators, then diodes, that fitted before; see `elec.network.operating`."""
        self.leaving = SegmentSum(every.a), SegmentSum(every.b)
        self.leaving_by_links = (
            SegmentSum(self.resistors.a[link]),
            SegmentSum(self.resistors.b[link]),
        )

    def _ends(self, elements: NodeIndices, place: Index | None = None) -> NodeIndices:
        """The unknowns at which elements end, or another number of those."""
        a, b = self.unknown[elements.a], self.unknown[elements.b]
        return NodeIndices(a=a, b=b) if place is None else NodeIndices(a=place[a], b=place[b])

    @cached_property
    def _joined(self) -> tuple[Index, Elimination, Stamp]:
        """Links as a network of their own, each cluster tied to its leader."""
        members = np.flatnonzero(self.leader != np.arange(len(self.nodes)))
        local = np.full(len(self.nodes), -1, np.intp)
        local[members] = np.arange(len(members))
        a, b = local[self.resistors.a[self.link]], local[self.resistors.b[self.link]]
        elimination = Elimination(len(members), a, b)
        return members, elimination, Stamp(elimination, a, b)

    def link_current(self, leaving_a: Array) -> Array:
        """Current of each link, (links, cases).

        Kirchhoff's current law alone gives it where links form a tree. Where they form a loop
        they are taken to be equal, and share accordingly.

        Args:
            leaving_a: Current that leaves each node by all other elements, (nodes, cases).
        """
        members, elimination, stamp = self._joined
        cases = leaving_a.shape[1]
        held = np.zeros((elimination.rows, cases))
        stamp.conductance(held, np.ones((int(self.link.sum()), cases)))
        held[elimination.inflow + elimination.number[:-1]] = -leaving_a[members]
        return stamp.voltage(elimination.solve(held))

    def node_v(self, voltage: Array) -> Array:
        """Voltages in the order of `wires` to those of the netlist's nodes."""
        answer: Array = voltage.take(self.wires.number[self.unknown], axis=0)
        answer[self.unknown < 0] = 0.0
        return answer


def circuit_of(netlist: Netlist, link: Flags) -> Topology:
    """The circuit of the netlist: a kept one where the netlist is equal, or a new one."""
    for position, kept in enumerate(_cache):
        same = kept.netlist is netlist or kept.netlist == netlist
        if same and np.array_equal(kept.link, link):
            _cache.insert(0, _cache.pop(position))
            return kept
    circuit = Topology(netlist, link)
    _cache.insert(0, circuit)
    del _cache[_KEPT:]
    return circuit
