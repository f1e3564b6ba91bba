"""The network of a batch of cases without what only wires join: what is left is solved many times.

In: a circuit, the values of every case. Out: `Reduced`: the core with its batteries, and the linear
network of any companions of alternators, diodes and loads.

A load on leads of its own is one element with them. With i = g·v - j at its terminals and R of the
leads, the voltage u at their beginnings gives v = (u + R·j)/(1 + g·R), so that
i = (g·u - j)/(1 + g·R). The matrix of the whole is positive definite just when that of the core is
and every 1 + g·R is positive. (Block elimination; any textbook of linear algebra.)
"""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from elec.network.circuit import Topology
from elec.network.devices import Devices
from elec.network.elimination import LEAK_S
from elec.network.netlist import Array, Flags, Index

SMALLEST_S = 1e-30
"""In place of the conductance of an open lead."""


class Linear(Struct, frozen=True, kw_only=True):
    """What one linear network gives, (…, cases)."""

    core_v: Array
    """Of the core's unknowns in its order; the last row is the reference."""
    source_v: Array
    """Across alternators, then diodes."""
    load_v: Array
    load_a: Array
    pivot: Array
    """(cases,) the smallest; positive just when the matrix is positive definite."""

    def sound(self) -> Flags:
        """Cases with a solution that is stable."""
        found: Flags = np.isfinite(self.core_v).all(axis=0) & (self.pivot > 0.0)
        return found


class Reduced:
    """The core of some cases."""

    def __init__(self, circuit: Topology, devices: Devices) -> None:
        """Remove what only wires join, once for cases whose wires are alike."""
        self._circuit = circuit
        first, self._alike = distinct(devices.wire_s)
        self._different = len(first) == len(self._alike)
        wires, core = circuit.wires, circuit.core
        self._wires = np.zeros((wires.rows, len(first)))
        self._wires[wires.leak :] = LEAK_S
        circuit.resistor.conductance(self._wires, devices.wire_s.take(first, axis=1))
        wires.remove(self._wires)
        lead_s = self._wires.take(circuit.leads.at, axis=0)
        self._lead_ohm = 1.0 / np.maximum(lead_s, SMALLEST_S)
        load_ohm = np.zeros((len(circuit.loads.a), len(first)))
        np.add.at(load_ohm, circuit.leads.load, self._lead_ohm)
        held = np.zeros((core.rows, len(first)))
        own = core.leak + core.number[:-1]
        held[own] = self._wires[wires.leak + wires.number[circuit.kept]]
        circuit.joined.conductance(held, self._wires.take(circuit.between, axis=0))
        self.load_ohm = self._each(load_ohm)
        self._held = self._each(held)
        circuit.battery.conductance(self._held, devices.battery_s)
        circuit.battery.source(self._held, devices.battery_s * devices.emf_v)
        self._work = np.empty_like(self._held)

    def _each(self, kinds: Array) -> Array:
        """From one column a kind of wires one a case."""
        return kinds if self._different else kinds.take(self._alike, axis=1)

    def keep(self, cases: Index) -> None:
        """Only these cases from now on; `node_v` goes on taking all of them."""
        self.load_ohm = self.load_ohm.take(cases, axis=1)
        self._held = self._held.take(cases, axis=1)
        self._work = np.empty_like(self._held)

    def lend(self, battery_a: Array | None = None) -> None:
        """In place of the batteries' own source currents these, (batteries, cases), or none."""
        circuit = self._circuit
        self._held[circuit.core.inflow :] = 0.0
        if battery_a is not None:
            circuit.battery.source(self._held, battery_a)

    def linear(self, sources: tuple[Array, Array], loads: tuple[Array, Array]) -> Linear:
        """Solve with the companions (conductance, source) of alternators and diodes, and loads."""
        held, core, moving = self._work, self._circuit.core, self._circuit.moving
        np.copyto(held, self._held)
        load_s, load_a = loads
        whole = 1.0 + load_s * self.load_ohm
        part = 1.0 / whole
        moving.conductance(held, np.concatenate((sources[0], load_s * part)))
        moving.source(held, np.concatenate((sources[1], load_a * part)))
        core_v = core.solve(held)
        across = moving.voltage(core_v)
        count = len(sources[0])
        load_v = (across[count:] + self.load_ohm * load_a) * part
        pivots = np.minimum.reduce(held[core.leak : core.inflow], axis=0, initial=np.inf)
        return Linear(
            core_v=core_v,
            source_v=across[:count],
            load_v=load_v,
            load_a=load_s * load_v - load_a,
            pivot=np.minimum(pivots, np.minimum.reduce(whole, axis=0, initial=np.inf)),
        )

    def node_v(self, core_v: Array, load_a: Array) -> Array:
        """Voltages of the netlist's nodes from those of the core and the loads' currents."""
        circuit = self._circuit
        wires, leads = circuit.wires, circuit.leads
        voltage = np.zeros((wires.count + 1, core_v.shape[1]))
        voltage[wires.number[circuit.kept]] = core_v[circuit.core.number[:-1]]
        drop_v = self._each(self._lead_ohm) * load_a[leads.load]
        voltage[leads.row] = core_v[circuit.lead_end] - leads.sign[:, None] * drop_v
        wires.restore(self._each(self._wires), voltage)
        return circuit.node_v(voltage)


def distinct(columns: Array) -> tuple[Index, NDArray[np.intp]]:
    """The first of each kind of columns, and of which kind each column is."""
    seen: dict[bytes, int] = {}
    first: list[int] = []
    kind = np.empty(columns.shape[1], np.intp)
    moving = columns[(columns != columns[:, :1]).any(axis=1)]
    for case, column in enumerate(np.ascontiguousarray(moving.T)):
        kind[case] = seen.setdefault(column.tobytes(), len(seen))
        if len(seen) > len(first):
            first.append(case)
    return np.asarray(first, np.intp), kind


__all__ = ["Linear", "Reduced", "distinct"]
