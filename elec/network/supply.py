"""Which loads a source can reach at all, before any voltage is known.

In: a circuit and which of its elements conduct in each case. Out: a flag per load and case.
"""

import numpy as np

from elec.network.circuit import Topology
from elec.network.clusters import clusters_of
from elec.network.netlist import Flags
from elec.network.trace import flags_of, masks_of


def supplied_loads(circuit: Topology, wires: Flags, batteries: Flags, alternators: Flags) -> Flags:
    """Flag the loads that a source reaches by closed wires and along diodes, (loads, cases).

    Known before any voltage. Ground that differs by millivolts from ground is no supply: what hangs
    between two grounds alone has lost its bus.

    Args:
        circuit: the topology.
        wires: which resistors conduct, (resistors, cases); links always do.
        batteries: which batteries are connected.
        alternators: which alternators turn.
    """
    cases = wires.shape[1]
    if not len(circuit.loads.a):
        return np.zeros((0, cases), np.bool_)
    every = (1 << cases) - 1
    net = clusters_of(circuit, wires)
    diodes, loads = net.loads - net.diodes, net.elements - net.loads
    closed = masks_of(wires[net.switched])
    sources = masks_of(batteries) + masks_of(alternators)
    nothing = [0] * len(sources)
    joined = [*closed, *nothing, *[0] * (diodes + loads + diodes)]
    grounded = net.spread(joined, net.seeds(every))
    reached = net.seeds(0)
    hot = circuit.unknown[(circuit.batteries + circuit.alternators).a] >= 0
    for element, (on, apart) in enumerate(zip(sources, hot, strict=True), len(closed)):
        a, b = net.a[element], net.b[element]
        if apart:
            reached[a] |= on
        reached[b] |= on & ~grounded[b]
    # Loads in series hand the supply on.
    series = [every & ~grounded[node] for node in net.b[net.loads :]]
    passing = [*closed, *nothing, *[every] * diodes, *series, *[0] * diodes]
    reached = net.spread(passing, reached, onward=True)
    ends = zip(net.a[net.loads :], net.b[net.loads :], strict=True)
    return flags_of([reached[a] | reached[b] for a, b in ends], cases)
