"""Which loads a source can reach at all, before any voltage is known.

In: a circuit and which of its elements conduct in each case. Out: a flag per load and case.

All cases go at once: what holds in which case is one long integer with a bit for each, so that a
step from node to node is one `and` and one `or`, however many the cases.
"""

from collections import deque

from elec.network.circuit import Circuit, Ways
from elec.network.netlist import Flags
from elec.network.trace import Mask, flags_of, masks_of


def supplied_loads(circuit: Circuit, wires: Flags, batteries: Flags, alternators: Flags) -> Flags:
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
    every = (1 << cases) - 1
    a, b = circuit.ends
    wire, battery, alternator = map(masks_of, (wires, batteries, alternators))
    count = len(a)
    diodes, loads = (
        count - len(circuit.loads.a) - len(circuit.diodes.a),
        count - len(circuit.loads.a),
    )
    on = [*wire, *battery, *alternator]
    sources = range(len(wire), len(on))
    closed = wire + [0] * (count - len(wire) + len(circuit.diodes.a))
    grounded = spread(circuit.both_ways, closed, seeds(circuit, every))
    reached = seeds(circuit, 0)
    for element in sources:
        if a[element]:
            reached[a[element]] |= on[element]
        reached[b[element]] |= on[element] & ~grounded[b[element]]
    closed[diodes:loads] = [every] * (loads - diodes)
    # Loads in series hand the supply on.
    closed[loads:count] = [every & ~grounded[node] for node in b[loads:]]
    reached = spread(circuit.supply_ways, closed, reached)
    return flags_of([reached[a[k]] | reached[b[k]] for k in range(loads, count)], cases)


def seeds(circuit: Circuit, reference: int) -> list[Mask]:
    """Nothing reached but the reference, in the given cases."""
    return [reference, *[0] * circuit.elimination.count]


def spread(ways: Ways, on: list[Mask], reached: list[Mask]) -> list[Mask]:
    """Go on from what is reached along elements that are on, until nothing is new."""
    waiting = deque(node for node, bits in enumerate(reached) if bits)
    while waiting:
        node = waiting.popleft()
        here = reached[node]
        for other, element in ways[node]:
            new = here & on[element] & ~reached[other]
            if new:
                reached[other] |= new
                waiting.append(other)
    return reached
