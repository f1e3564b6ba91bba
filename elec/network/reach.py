"""Which nodes a source reaches: elsewhere there is no voltage to speak of.

In: a circuit, its devices and a solution's states. Out: a flag per node and case.

The elimination never subtracts, so a positive amount put in at one node arrives as a positive
amount exactly at those nodes that are connected with it, and as exact zero elsewhere.
"""

import numpy as np

from elec.network.circuit import Circuit, Flags
from elec.network.devices import Devices, Guess, Regulation
from elec.network.netlist import Array
from elec.network.operating import DEAD_A


def reached_nodes(circuit: Circuit, devices: Devices, guess: Guess, load_a: Array) -> Flags:
    """Flag the nodes whose voltage is determined, (nodes, cases).

    A node is reached when wires, batteries, working alternators or conducting diodes join it with
    the reference, with a terminal of a source or with a load that draws current; and when it is
    also tied to the reference, be it through loads. Without any source none is reached but
    the reference.
    """
    alternator_s = np.where(guess.regulation != Regulation.OFF, 1.0, 0.0)
    diode_s = np.where(guess.conducting, 1.0, 0.0)
    source_s = np.concatenate((alternator_s, diode_s))
    load_s = np.where(np.abs(load_a) > 0.0, 1.0, 0.0)
    drawing = np.where(np.abs(load_a) > DEAD_A, 1.0, 0.0)
    near = _spread(circuit, devices, np.concatenate((source_s, 0.0 * load_s)), drawing, True)
    tied = _spread(circuit, devices, np.concatenate((source_s, load_s)), 0.0 * drawing, False)
    reached = near & tied & (devices.highest_v > 0.0)
    reached[circuit.unknown < 0] = True
    return reached


def _spread(
    circuit: Circuit, devices: Devices, moving_s: Array, drawing: Array, sources: bool
) -> Flags:
    """Connected with the reference, or with drawing loads, or (if wanted) with sources."""
    between, nodal = circuit.empty(moving_s.shape[1])
    leak, inflow = nodal[:, 0], nodal[:, 1]
    leak[:] = 0.0
    fixed_s = np.concatenate((devices.wire_s, devices.battery_s))
    circuit.fixed.conductance(between, leak, np.where(fixed_s > 0.0, 1.0, 0.0))
    circuit.moving.conductance(between, leak, moving_s)
    inflow += leak
    leak += 1.0
    other = np.zeros_like(moving_s)
    other[len(other) - len(drawing) :] = drawing
    if sources:
        other[: len(devices.limit_a)] = np.where(devices.limit_a > 0.0, 1.0, 0.0)
        circuit.battery.touch(inflow, np.where(devices.battery_s > 0.0, 1.0, 0.0))
    circuit.moving.touch(inflow, other)
    circuit.elimination.solve(between, nodal)
    return circuit.node_v(inflow) > 0.0
