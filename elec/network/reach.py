"""Which nodes a source reaches: elsewhere there is no voltage to speak of.

In: a circuit, its devices and a solution's states. Out: a flag per node and case.
"""

import numpy as np

from elec.network.circuit import Topology
from elec.network.clusters import clusters_of
from elec.network.devices import DEAD_A, Devices, Guess, Regulation, idle
from elec.network.netlist import Array, Flags
from elec.network.trace import flags_of, masks_of


def reached_nodes(
    circuit: Topology, devices: Devices, guess: Guess, node_v: Array, load_a: Array
) -> Flags:
    """Flag the nodes whose voltage is determined, (nodes, cases).

    A node is reached when wires, batteries, working alternators or conducting diodes join it with
    the reference, with a terminal of a source or with a load that draws current; and when it is
    also tied to the reference, be it through loads. Without any source none is reached but
    the reference. A diode that conducts next to nothing holds what is behind it only above the
    reference, and what is before it only below: there alone a leak to the reference draws its
    current forward.
    """
    cases = load_a.shape[1]
    every = (1 << cases) - 1
    wires = devices.wire_s > 0.0
    net = clusters_of(circuit, wires)
    batteries = masks_of(devices.battery_s > 0.0)
    closed = masks_of(wires[net.switched])
    before_v, behind_v = node_v[circuit.diodes.a], node_v[circuit.diodes.b]
    resting = idle(devices, before_v - behind_v)
    conducting = (before_v - behind_v > devices.forward_v) & ~resting
    joined = [
        *closed,
        *batteries,
        *masks_of(guess.regulation != Regulation.OFF),
        *masks_of(conducting | (resting & (behind_v > 0.0))),
    ]
    back = masks_of(conducting | (resting & (before_v < 0.0)))
    taking = masks_of(load_a != 0.0)
    tied = net.spread(joined + taking + back, net.seeds(every))
    near = net.seeds(every)
    drawing = masks_of(np.abs(load_a) > DEAD_A)
    sources = batteries + masks_of(devices.limit_a > 0.0)
    for first, group in ((len(closed), sources), (net.loads, drawing)):
        for element, on in enumerate(group, first):
            near[net.a[element]] |= on
            near[net.b[element]] |= on
    near = net.spread(joined + [0] * len(taking) + back, near)
    both = flags_of([x & y for x, y in zip(near, tied, strict=True)], cases)
    both &= devices.highest_v > 0.0
    answer: Flags = both[net.of]
    answer[circuit.unknown < 0] = True
    return answer
