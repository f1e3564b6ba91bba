"""What lies in series counts as one resistor: a smaller network with the same currents.

In: a netlist, nodes whose voltage is asked. Out: `Shortened`: the netlist without dead ends and
with every run of resistors in series as one. A wire with its terminals, contacts and joints is a
dozen of them, which whoever asks for currents alone need not solve for in every case.
"""

from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict, replace

from elec.network.devices import SMALLEST_OHM
from elec.network.elimination import SegmentSum
from elec.network.netlist import Array, Branch, Index, Netlist, Solution, State, Values


class Shortened(Struct, frozen=True, kw_only=True):
    """A netlist and the shorter one."""

    netlist: Netlist
    """The shorter one."""
    run: Index
    """Of each resistor that may carry current the run that it lies in; else -1."""
    sign: Array
    """Whether each resistor leads the same way as its run, 1, or the other way, -1."""
    sums: SegmentSum

    def values(self, values: Values) -> Values:
        """Values of the shorter netlist."""
        given = values.resistance_ohm
        linked = (given == 0.0).all(axis=1, keepdims=True)
        ohms = np.where(linked, 0.0, np.maximum(given, SMALLEST_OHM))
        total = np.zeros((len(self.netlist.resistors), values.cases))
        self.sums.add(total, ohms)
        return Values(**{**asdict(values), "resistance_ohm": total})

    def runs(self, rows: Sequence[int]) -> list[int]:
        """The runs that resistors of the longer netlist lie in."""
        return sorted({int(self.run[row]) for row in rows} - {-1})

    def amps(self, solution: Solution) -> Array:
        """What every resistor of the longer netlist carries, without a sign."""
        carried = np.abs(solution.resistor_a)
        none = np.where(solution.state == State.NUMERICAL, np.nan, 0.0)
        every: Array = np.concatenate((carried, none[None]))[self.run]  # -1 is the last row
        return every

    def resistor_a(self, solution: Solution, rows: Sequence[int]) -> Array:
        """The current of some resistors of the longer netlist."""
        found = np.zeros((len(rows), len(solution.state)))
        found[:, solution.state == State.NUMERICAL] = np.nan
        for at, row in enumerate(rows):
            if self.run[row] >= 0:
                found[at] = self.sign[row] * solution.resistor_a[self.run[row]]
        return found


def shortened(netlist: Netlist, asked: Iterable[str] = ()) -> Shortened:
    """Take dead ends off and put what lies in series together.

    Args:
        netlist: the longer netlist.
        asked: nodes that stay, since their voltage is asked.
    """
    kept = tuple(asked)
    live = netlist.live_rows(kept)
    others = (*netlist.batteries, *netlist.alternators, *netlist.diodes, *netlist.loads)
    fixed = {netlist.reference, *kept} | {node for one in others for node in (one.a, one.b)}
    near: dict[str, list[int]] = {}
    for row in live:
        near.setdefault(netlist.resistors[row].a, []).append(row)
        near.setdefault(netlist.resistors[row].b, []).append(row)
    ends = {node for node, rows in near.items() if node in fixed or len(rows) != 2}
    run = np.full(len(netlist.resistors), -1, np.intp)
    sign = np.ones(len(netlist.resistors))
    made: list[Branch] = []
    for row in live:  # in order; a ring without an end carries nothing
        if run[row] >= 0:
            continue
        first = _first(netlist, near, ends, row)
        if first is None:
            continue
        node, at = first
        begin = node
        while True:
            one = netlist.resistors[at]
            run[at] = len(made)
            sign[at] = 1.0 if one.a == node else -1.0
            node = one.b if one.a == node else one.a
            if node in ends:
                break
            at = sum(near[node]) - at
        made.append(Branch(name=netlist.resistors[row].name, a=begin, b=node))
    rows = np.flatnonzero(run >= 0)
    return Shortened(
        netlist=replace(netlist, resistors=tuple(made)),
        run=run,
        sign=sign,
        sums=SegmentSum(run[rows], rows),
    )


def _first(
    netlist: Netlist, near: dict[str, list[int]], ends: set[str], row: int
) -> tuple[str, int] | None:
    """The end of a run before its first resistor, and that resistor; None in a ring."""
    node, at = netlist.resistors[row].a, row
    while node not in ends:
        at = sum(near[node]) - at
        if at == row:
            return None
        one = netlist.resistors[at]
        node = one.b if one.a == node else one.a
    return node, at


__all__ = ["Shortened", "shortened"]
