"""Which nodes a source reaches: elsewhere there is no voltage to speak of.

In: a circuit, its devices and a solution's states. Out: a flag per node and case.
"""

import numpy as np

from elec.network.circuit import Circuit
from elec.network.devices import DEAD_A, Devices, Guess, Regulation, idle
from elec.network.netlist import Array, Flags
from elec.network.supply import seeds, spread
from elec.network.trace import flags_of, masks_of


def reached_nodes(
    circuit: Circuit, devices: Devices, guess: Guess, diode_v: Array, load_a: Array
) -> Flags:
    """Flag the nodes whose voltage is determined, (nodes, cases).

    A node is reached when wires, batteries, working alternators or conducting diodes join it with
    the reference, with a terminal of a source or with a load that draws current; and when it is
    also tied to the reference, be it through loads. Without any source none is reached but
    the reference. A diode that conducts next to nothing holds up what is behind it, not what is
    before it.
    """
    cases = load_a.shape[1]
    every = (1 << cases) - 1
    a, b = circuit.ends
    joined = masks_of(devices.wire_s > 0.0) + masks_of(devices.battery_s > 0.0)
    joined += masks_of(guess.regulation != Regulation.OFF) + masks_of(guess.conducting)
    backward = masks_of(guess.conducting & ~idle(devices, diode_v))
    taking = masks_of(load_a != 0.0)
    tied = spread(circuit.both_ways, joined + taking + backward, seeds(circuit, every))
    near = seeds(circuit, every)
    wires, batteries = len(devices.wire_s), len(devices.battery_s)
    sources = joined[wires : wires + batteries] + masks_of(devices.limit_a > 0.0)
    drawing = masks_of(np.abs(load_a) > DEAD_A)
    for first, group in ((wires, sources), (len(joined), drawing)):
        for element, bits in enumerate(group, first):
            near[a[element]] |= bits
            near[b[element]] |= bits
    near = spread(circuit.both_ways, joined + [0] * len(taking) + backward, near)
    both = flags_of([x & y for x, y in zip(near, tied, strict=True)], cases)
    both &= devices.highest_v > 0.0
    both[0] = True
    answer: Flags = both[circuit.unknown + 1]
    return answer
