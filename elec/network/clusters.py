"""A circuit seen from afar: nodes that closed wires join in every case count as one.

In: a circuit and which of its resistors conduct. Out: what is left to walk through when it is asked
which source reaches what.
"""

from collections import deque
from weakref import WeakKeyDictionary

import numpy as np

from elec.network.circuit import Topology, roots
from elec.network.netlist import Flags, Index
from elec.network.trace import Mask

Ways = list[list[tuple[int, int]]]

_KEPT = 16


class Clusters:
    """Clusters of nodes, and the elements between them.

    Elements are numbered: resistors that do not conduct in every case, batteries, alternators,
    diodes, loads, and the diodes once more for the way back from b to a.
    """

    def __init__(self, circuit: Topology, closed: Flags) -> None:
        """Join the ends of the resistors that are marked as closed."""
        self.switched: Index = np.flatnonzero(~closed)
        joined = zip(circuit.resistors.a[closed], circuit.resistors.b[closed], strict=True)
        leader = np.asarray(roots(len(circuit.nodes), joined), np.intp)
        self.of: Index = np.searchsorted(np.flatnonzero(leader == np.arange(len(leader))), leader)
        """The cluster of each node; the reference is in cluster 0."""
        self.count = int(self.of.max()) + 1
        groups = (circuit.batteries, circuit.alternators, circuit.diodes, circuit.loads)
        a = [circuit.resistors.a[self.switched], *(group.a for group in groups)]
        b = [circuit.resistors.b[self.switched], *(group.b for group in groups)]
        self.a: list[int] = self.of[np.concatenate(a)].tolist()
        self.b: list[int] = self.of[np.concatenate(b)].tolist()
        self.elements = len(self.a)
        self.loads = self.elements - len(circuit.loads.a)
        self.diodes = self.loads - len(circuit.diodes.a)
        self._both = self._ways(self.elements)
        self._onward = self._ways(len(self.switched))

    def _ways(self, returning: int) -> Ways:
        ways: Ways = [[] for _ in range(self.count)]
        for element, (a, b) in enumerate(zip(self.a, self.b, strict=True)):
            if a == b:
                continue
            ways[a].append((b, element))
            if self.diodes <= element < self.loads:
                ways[b].append((a, self.elements + element - self.diodes))
            elif element < returning:
                ways[b].append((a, element))
        return ways

    def seeds(self, reference: Mask) -> list[Mask]:
        """Nothing reached but the reference, in the given cases."""
        return [reference, *[0] * (self.count - 1)]

    def spread(self, on: list[Mask], reached: list[Mask], *, onward: bool = False) -> list[Mask]:
        """Go on from what is reached along elements that are on, until nothing is new.

        Args:
            on: the cases in which each element conducts.
            reached: the cases in which each cluster is reached; changed in place.
            onward: pass sources and loads from a to b alone.
        """
        ways = self._onward if onward else self._both
        waiting = deque(node for node, cases in enumerate(reached) if cases)
        while waiting:
            node = waiting.popleft()
            here = reached[node]
            for other, element in ways[node]:
                new = here & on[element] & ~reached[other]
                if new:
                    reached[other] |= new
                    waiting.append(other)
        return reached


def clusters_of(circuit: Topology, wires: Flags) -> Clusters:
    """The clusters for wires that conduct as flagged, (resistors, cases); kept in the circuit."""
    closed = wires.all(axis=1) | circuit.link
    key = closed.tobytes()
    kept = _kept.setdefault(circuit, {})
    if key not in kept:
        if len(kept) >= _KEPT:
            kept.clear()
        kept[key] = Clusters(circuit, closed)
    return kept[key]


_kept: WeakKeyDictionary[Topology, dict[bytes, Clusters]] = WeakKeyDictionary()
