"""What the solver takes and gives: nodes, one-ports between them, and their values in every case.

In: names and arrays. Out: voltages and currents. The last axis of every array is the case; a case
is one phase × condition × set of sources × demand. Everything is a one-port between two nodes;
there are no ideal voltage sources, so nodal equations suffice.
"""

from collections.abc import Iterable, Sequence
from enum import IntEnum

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict
from numpy.typing import NDArray

from elec.model.laws import Law

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Index = NDArray[np.intp]


class Branch(Struct, frozen=True, kw_only=True):
    """A one-port from node `a` to node `b`; its current counts from a to b through the element."""

    name: str
    a: str
    b: str


class Netlist(Struct, frozen=True, kw_only=True):
    """The topology, the same for all cases."""

    reference: str
    """The node that is 0 V: the battery negative or main ground."""
    resistors: tuple[Branch, ...] = ()
    batteries: tuple[Branch, ...] = ()
    alternators: tuple[Branch, ...] = ()
    diodes: tuple[Branch, ...] = ()
    """Diodes conduct from a to b."""
    loads: tuple[Branch, ...] = ()
    """Loads draw from a to b."""
    load_laws: tuple[Law, ...] = ()

    def off_values(self) -> Array:
        """The value of each load that is off."""
        return np.asarray([law.off for law in self.load_laws], np.float64)

    def nodes(self) -> tuple[str, ...]:
        """Every node once, the reference first, then in order of appearance."""
        seen = {self.reference: None}
        for group in (self.resistors, self.batteries, self.alternators, self.diodes, self.loads):
            for branch in group:
                seen.setdefault(branch.a)
                seen.setdefault(branch.b)
        return tuple(seen)

    def live_rows(self, kept: Iterable[str]) -> list[int]:
        """The resistors that may carry current: those on no dead end.

        Args:
            kept: nodes that are no dead ends though nothing else may meet there.
        """
        others = (*self.batteries, *self.alternators, *self.diodes, *self.loads)
        fixed = {self.reference, *kept} | {node for one in others for node in (one.a, one.b)}
        near: dict[str, set[int]] = {}
        for row, one in enumerate(self.resistors):
            near.setdefault(one.a, set()).add(row)
            near.setdefault(one.b, set()).add(row)
        live = set(range(len(self.resistors)))
        ends = [node for node, rows in near.items() if len(rows) == 1]
        for node in ends:  # grows while it is read: what is left behind may be an end as well
            if node in fixed or len(near[node]) != 1:
                continue
            (row,) = near[node]
            live.discard(row)
            for end in (self.resistors[row].a, self.resistors[row].b):
                near[end].discard(row)
                if len(near[end]) == 1:
                    ends.append(end)
        return sorted(live)


class Values(Struct, frozen=True, kw_only=True):
    """Numbers of every element in every case; each array is (elements of that kind, cases).

    An open switch is `resistance_ohm = inf`; a resistance of 0 in every case merges its two nodes.
    A failed or absent alternator has `alternator_limit_a = 0`; a disconnected battery has
    `battery_resistance_ohm = inf`. `load_value` is in the unit of the load's law, and
    0 or `Law.off` when off. Below `load_minimum_v` a load falls off in proportion to its voltage,
    so that a solution always exists; such loads are reported in `Solution.starved`.
    """

    resistance_ohm: Array
    battery_emf_v: Array
    battery_resistance_ohm: Array
    alternator_setpoint_v: Array
    alternator_droop_ohm: Array
    """Slope of the regulator: a small positive resistance below the limit."""
    alternator_limit_a: Array
    diode_forward_v: Array
    diode_resistance_ohm: Array
    load_value: Array
    load_minimum_v: Array

    def take(self, cases: Index | slice) -> "Values":
        """Only these cases."""
        return Values(**{name: array[:, cases] for name, array in asdict(self).items()})

    @classmethod
    def join(cls, parts: Sequence["Values"]) -> "Values":
        """The cases of all of them, one after the other."""
        names = cls.__struct_fields__
        return cls(**{n: np.concatenate([getattr(p, n) for p in parts], axis=1) for n in names})

    @property
    def cases(self) -> int:
        """How many cases the arrays hold."""
        return int(self.load_value.shape[1])


class State(IntEnum):
    """What became of a case."""

    SOLVED = 0
    COLLAPSED = 1
    """A demand that does not fall with the voltage cannot be delivered at its minimum voltage."""
    NUMERICAL = 2


class Solution(Struct, frozen=True, kw_only=True):
    """Voltages at nodes and currents through elements, (nodes or elements, cases)."""

    nodes: tuple[str, ...]
    voltage_v: Array
    """To the reference; NaN where a node has no connection to any source (an island)."""
    resistor_a: Array
    battery_a: Array
    """Positive = charging (current enters terminal a)."""
    alternator_a: Array
    """Positive = delivered out of terminal a."""
    alternator_limited: Flags
    diode_a: Array
    load_a: Array
    load_v: Array
    """Voltage across each load; 0 where unpowered."""
    unpowered: Flags
    """(loads, cases): switched on but no source reaches it."""
    starved: Flags
    """(loads, cases): on, powered, but below its minimum voltage."""
    state: NDArray[np.int8]
    """(cases,) a `State`."""
    residual_a: Array
    """(cases,) largest Kirchhoff error of any node."""
    bistable: Flags
    """(cases,) there is a second stable point below this one, where the system may stay after a
    dip; see `solve`."""
    low_v: Array
    """Voltage across each load at that point; NaN where there is none."""
    served: Array
    """(cases,) largest fraction of the demand of all but linear loads that can be delivered, 1
    when solved."""

    @classmethod
    def join(cls, parts: Sequence["Solution"]) -> "Solution":
        """The cases of all of them, one after the other."""
        arrays = {n: np.concatenate([getattr(p, n) for p in parts], axis=-1) for n in _ARRAYS}
        return cls(nodes=parts[0].nodes, **arrays)

    def take(self, cases: Index | slice) -> "Solution":
        """Only these cases."""
        arrays = {name: getattr(self, name)[..., cases] for name in _ARRAYS}
        return Solution(nodes=self.nodes, **arrays)

    def put(self, cases: Index, other: "Solution") -> None:
        """Set these cases to all those of another one, in place."""
        for name in _ARRAYS:
            getattr(self, name)[..., cases] = getattr(other, name)


_ARRAYS = Solution.__struct_fields__[1:]
