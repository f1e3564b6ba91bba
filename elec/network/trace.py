"""What closed wires and diodes connect, in all cases at once.

In: a circuit and which of its resistors conduct. Out: which nodes a source feeds, and which lead
back to it. A case is one bit of an integer, so that one walk through the network serves all cases.
"""

from collections import deque
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from elec.network.circuit import Topology

Flags = NDArray[np.bool_]

Mask = int
"""One bit a case."""
Beyond = list[list[tuple[int, Mask]]]
"""Node → the nodes that it leads to, each with the cases in which it does."""


def masks_of(flags: Flags) -> list[Mask]:
    """Rows of flags (…, cases) as integers, the first case in the lowest bit."""
    packed = np.packbits(flags, axis=1, bitorder="little")
    whole, (count, size) = packed.tobytes(), packed.shape
    return [int.from_bytes(whole[k * size : (k + 1) * size], "little") for k in range(count)]


def flags_of(masks: Iterable[Mask], cases: int) -> Flags:
    """Integers as rows of flags (…, cases); the flags of a case lie together, as they are asked."""
    listed = list(masks)
    size = max(1, (cases + 7) // 8)
    packed = np.frombuffer(b"".join(mask.to_bytes(size, "little") for mask in listed), np.uint8)
    bits = np.unpackbits(packed.reshape(len(listed), size), axis=1, bitorder="little")
    flags: Flags = bits[:, :cases].astype(np.bool_, order="F")
    return flags


def spread(beyond: Beyond, seeds: Iterable[tuple[int, Mask]]) -> list[Mask]:
    """The cases in which each node is reached from the seeds."""
    reached, fresh = [0] * len(beyond), [0] * len(beyond)
    for node, cases in seeds:
        reached[node] |= cases
        fresh[node] |= cases
    waiting = deque(node for node, cases in enumerate(fresh) if cases)
    while waiting:
        node = waiting.popleft()
        cases, fresh[node] = fresh[node], 0
        for other, passing in beyond[node]:
            more = cases & passing & ~reached[other]
            if more:
                if not fresh[other]:
                    waiting.append(other)
                reached[other] |= more
                fresh[other] |= more
    return reached


def wired(circuit: Topology, wires: Flags) -> Beyond:
    """What closed wires lead to, both ways."""
    beyond: Beyond = [[] for _ in circuit.nodes]
    closed = masks_of(wires | circuit.link[:, None])
    ends = zip(circuit.resistors.a.tolist(), circuit.resistors.b.tolist(), closed, strict=True)
    for a, b, cases in ends:
        if cases:
            beyond[a].append((b, cases))
            beyond[b].append((a, cases))
    return beyond


class Feeding:
    """From each source out and back: which pairs of nodes it can drive a current through."""

    def __init__(self, circuit: Topology, wires: Flags) -> None:
        """Walk from both terminals of every source.

        Args:
            circuit: the topology.
            wires: which resistors conduct, (resistors, cases); links always do.
        """
        self._index = {name: k for k, name in enumerate(circuit.nodes)}
        every = (1 << wires.shape[1]) - 1
        out = wired(circuit, wires)
        back = [list(beyond) for beyond in out]
        tied = spread(out, [(self._index[circuit.netlist.reference], every)])
        for a, b in zip(circuit.diodes.a.tolist(), circuit.diodes.b.tolist(), strict=True):
            out[a].append((b, every))
            back[b].append((a, every))
        netlist = circuit.netlist
        self._paths: dict[str, tuple[list[Mask], list[Mask]]] = {
            source.name: (
                spread(out, [(self._index[source.a], every)]),
                spread(back, [(self._index[source.b], every)]),
            )
            for source in (*netlist.batteries, *netlist.alternators)
        }
        self._grounded = {
            source.name: tied[self._index[source.b]]
            for source in (*netlist.batteries, *netlist.alternators)
        }

    def grounded(self, source: str) -> Mask:
        """The cases in which closed wires join a source's negative with the reference."""
        return self._grounded[source]

    def reaches(self, source: str, node: str) -> Mask:
        """The cases in which closed wires and diodes lead from a source's positive to a node."""
        at = self._index.get(node)
        return 0 if at is None else self._paths[source][0][at]

    def between(self, source: str, a: str, b: str) -> Mask:
        """The cases in which a source, if it works, feeds what lies from node `a` to node `b`."""
        out, back = self._paths[source]
        first, second = self._index.get(a), self._index.get(b)
        if first is None or second is None:
            return 0
        return out[first] & back[second]
