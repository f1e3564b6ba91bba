"""A netlist made ready for numbers: nodes counted, zero-ohm links merged, elimination planned.

In: a netlist and which of its resistors are 0 ohm in every case. Out: a circuit, kept for the next
solution of an equal netlist.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from elec.network.elimination import LEAK_S, Elimination, Index, SegmentSum, Stamp
from elec.network.netlist import Array, Branch, Law, Netlist

Flags = NDArray[np.bool_]

_KEPT = 8
_cache: list["Circuit"] = []


@dataclass(frozen=True, kw_only=True)
class Terminals:
    """Where elements of one kind sit: indices into the netlist's nodes."""

    a: Index
    b: Index

    @classmethod
    def of(cls, branches: Iterable[Branch], index: dict[str, int]) -> "Terminals":
        """Look up the terminals of the branches."""
        pairs = [(index[branch.a], index[branch.b]) for branch in branches]
        array = np.asarray(pairs, np.intp).reshape(len(pairs), 2)
        return cls(a=array[:, 0], b=array[:, 1])

    def __add__(self, other: "Terminals") -> "Terminals":
        """Put the other kind's elements behind these."""
        return Terminals(a=np.concatenate((self.a, other.a)), b=np.concatenate((self.b, other.b)))


class Circuit:
    """A topology with its plan of elimination.

    Elements come in two groups. *Fixed* ones (resistors, then batteries) have one conductance per
    case; *moving* ones (alternators, diodes, loads) change theirs while the solution is sought.
    """

    def __init__(self, netlist: Netlist, link: Flags) -> None:
        """Prepare the netlist, with the resistors marked as links merged away."""
        self.netlist = netlist
        self.link = link
        self.nodes = netlist.nodes()
        index = {name: k for k, name in enumerate(self.nodes)}
        self.resistors = Terminals.of(netlist.resistors, index)
        self.batteries = Terminals.of(netlist.batteries, index)
        self.alternators = Terminals.of(netlist.alternators, index)
        self.diodes = Terminals.of(netlist.diodes, index)
        self.loads = Terminals.of(netlist.loads, index)
        laws = np.asarray(netlist.load_laws, np.intp)
        self.is_current, self.is_power = laws == Law.CURRENT, laws == Law.POWER
        self.is_resistance = laws == Law.RESISTANCE
        self.unknown = self._merge()
        """The unknown of each node; -1 for the reference and what is linked to it."""
        fixed = self.resistors + self.batteries
        moving = self.alternators + self.diodes + self.loads
        every = fixed + moving
        self.elimination = Elimination(
            self.unknown.max(initial=-1) + 1, self.unknown[every.a], self.unknown[every.b]
        )
        self.fixed = Stamp(self.elimination, self.unknown[fixed.a], self.unknown[fixed.b])
        self.battery = Stamp(
            self.elimination, self.unknown[self.batteries.a], self.unknown[self.batteries.b]
        )
        self.moving = Stamp(self.elimination, self.unknown[moving.a], self.unknown[moving.b])
        self.incidence = SegmentSum(np.concatenate((every.a, every.b)))

    def _merge(self) -> Index:
        parent = list(range(len(self.nodes)))

        def root(node: int) -> int:
            while parent[node] != node:
                parent[node] = parent[parent[node]]
                node = parent[node]
            return node

        ends = zip(self.resistors.a[self.link], self.resistors.b[self.link], strict=True)
        for a, b in ends:
            first, second = sorted((root(int(a)), root(int(b))))
            parent[second] = first  # the lowest leads, so the reference leads its cluster
        roots = np.asarray([root(node) for node in range(len(parent))], np.intp)
        leaders = np.unique(roots)
        return np.searchsorted(leaders, roots) - 1

    @cached_property
    def link_share(self) -> Array:
        """Current of each link for 1 A taken out at each node, (links, nodes).

        Kirchhoff's current law alone gives it where links form a tree. Where they form a loop,
        they are taken to be equal and share accordingly.
        """
        a, b = self.resistors.a[self.link], self.resistors.b[self.link]
        rows = np.arange(len(a))
        incidence = np.zeros((len(a), len(self.nodes)))
        incidence[rows, a] += 1.0
        incidence[rows, b] -= 1.0
        used = np.flatnonzero(np.abs(incidence).any(axis=0))
        share = np.zeros_like(incidence)
        share[:, used] = -np.linalg.pinv(incidence[:, used].T)
        return share

    def empty(self, cases: int) -> tuple[Array, Array, Array]:
        """Arrays to stamp into: between, leak, inflow."""
        count = self.elimination.count
        return (
            np.zeros((self.elimination.slots, cases)),
            np.full((count, cases), LEAK_S),
            np.zeros((count, cases)),
        )

    def node_v(self, voltage: Array) -> Array:
        """Voltages in the order of elimination to those of the netlist's nodes."""
        with_reference = np.concatenate((voltage, np.zeros((1, voltage.shape[1]))))
        return with_reference[self.elimination.number[self.unknown]]


def circuit_of(netlist: Netlist, link: Flags) -> Circuit:
    """The circuit of the netlist: a kept one where the netlist is equal, or a new one."""
    for position, kept in enumerate(_cache):
        same = kept.netlist is netlist or kept.netlist == netlist
        if same and np.array_equal(kept.link, link):
            _cache.insert(0, _cache.pop(position))
            return kept
    circuit = Circuit(netlist, link)
    _cache.insert(0, circuit)
    del _cache[_KEPT:]
    return circuit
