"""Which loads a source can reach at all, before any voltage is known.

In: a circuit and which of its elements conduct. Out: a flag per node and case. Ground that differs
by millivolts from ground is no supply: what hangs between two grounds alone has lost its bus.
"""

from collections import deque

import numpy as np

from elec.network.circuit import Circuit, Flags


def supplied_nodes(circuit: Circuit, wires: Flags, batteries: Flags, alternators: Flags) -> Flags:
    """Flag the nodes that a source reaches by closed wires and along diodes, (nodes, cases).

    Args:
        circuit: the topology.
        wires: which resistors conduct, (resistors, cases); links always do.
        batteries: which batteries are connected.
        alternators: which alternators turn.
    """
    pattern = np.concatenate((wires, batteries, alternators)).T
    known: dict[bytes, Flags] = {}
    columns = []
    for case in pattern:
        key = case.tobytes()
        if key not in known:
            known[key] = _reach(circuit, case)
        columns.append(known[key])
    answer: Flags = np.array(columns, np.bool_).reshape(len(columns), len(circuit.nodes)).T
    return answer


def _reach(circuit: Circuit, conducts: Flags) -> Flags:
    wires, batteries = len(circuit.resistors.a), len(circuit.batteries.a)
    beyond: list[list[int]] = [[] for _ in circuit.nodes]
    closed = conducts[:wires] | circuit.link
    for a, b in zip(circuit.resistors.a[closed], circuit.resistors.b[closed], strict=True):
        beyond[a].append(int(b))
        beyond[b].append(int(a))
    grounded = _spread(beyond, [0])
    for a, b in zip(circuit.diodes.a, circuit.diodes.b, strict=True):
        beyond[a].append(int(b))
    for a, b in zip(circuit.loads.a, circuit.loads.b, strict=True):
        if not grounded[b]:  # loads in series hand the supply on
            beyond[a].append(int(b))
    seeds: list[int] = []
    for kind, on in (
        (circuit.batteries, conducts[wires : wires + batteries]),
        (circuit.alternators, conducts[wires + batteries :]),
    ):
        seeds += [int(node) for node in kind.a[on] if circuit.unknown[node] >= 0]
        seeds += [int(node) for node in kind.b[on] if not grounded[node]]
    return _spread(beyond, seeds)


def _spread(beyond: list[list[int]], seeds: list[int]) -> Flags:
    reached = np.zeros(len(beyond), np.bool_)
    waiting = deque(seeds)
    reached[seeds] = True
    while waiting:
        for node in beyond[waiting.popleft()]:
            if not reached[node]:
                reached[node] = True
                waiting.append(node)
    return reached
