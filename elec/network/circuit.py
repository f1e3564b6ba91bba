"""A netlist made ready for numbers: nodes counted, zero-ohm links merged, elimination planned.

In: a netlist and which of its resistors are 0 ohm in every case. Out: a circuit, kept for the next
solution of an equal netlist.
"""

from collections.abc import Iterable
from functools import cached_property

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from elec.network.elimination import LEAK_S, Elimination, SegmentSum, Stamp
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


class Topology:
    """A topology with its plan of elimination.

    Elements come in two groups. *Fixed* ones (resistors, then batteries) have one conductance per
    case; *moving* ones (alternators, diodes, loads) change theirs while the solution is sought.
    Nodes that only fixed elements join are removed before the search begins; it works on the core.
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
        fixed = self.resistors + self.batteries
        moving = self.alternators + self.diodes + self.loads
        every = fixed + moving
        count = int(self.unknown.max(initial=-1)) + 1
        self.elimination = Elimination(
            count,
            self.unknown[every.a],
            self.unknown[every.b],
            early=~self._joined_to(moving, count),
        )
        self.fixed = Stamp(self.elimination, self.unknown[fixed.a], self.unknown[fixed.b])
        self.battery = Stamp(
            self.elimination, self.unknown[self.batteries.a], self.unknown[self.batteries.b]
        )
        self.moving = Stamp(
            self.elimination, self.unknown[moving.a], self.unknown[moving.b], core=True
        )
        self.states: dict[bytes, States] = {}
        """States of alternators, then diodes, that fitted before; see `elec.network.operating`."""
        self.leaving = SegmentSum(every.a), SegmentSum(every.b)
        self.leaving_by_links = (
            SegmentSum(self.resistors.a[link]),
            SegmentSum(self.resistors.b[link]),
        )

    def _joined_to(self, elements: NodeIndices, count: int) -> Flags:
        """The unknowns at which one of the elements ends."""
        joined = np.zeros(count + 1, np.bool_)
        joined[self.unknown[elements.a]] = joined[self.unknown[elements.b]] = True
        return joined[:count]

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
        between, nodal = np.zeros((elimination.slots, cases)), np.zeros((len(members), 2, cases))
        stamp.conductance(between, nodal[:, 0], np.ones((int(self.link.sum()), cases)))
        nodal[elimination.number[:-1], 1] = -leaving_a[members]
        return stamp.voltage(elimination.solve(between, nodal))

    def empty(self, cases: int) -> tuple[Array, Array]:
        """Arrays to stamp into, as `Elimination.solve` takes them: only the leak is there."""
        nodal = np.zeros((self.elimination.count, 2, cases))
        nodal[:, 0] = LEAK_S
        return np.zeros((self.elimination.slots, cases)), nodal

    def node_v(self, voltage: Array) -> Array:
        """Voltages in the order of elimination to those of the netlist's nodes."""
        answer: Array = voltage.take(self.elimination.number[self.unknown], axis=0)
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
