"""The parts of a network that no source reaches, by name.

In: a netlist, its values, a solution, the number of a case. Out: islands.
"""

import numpy as np
from msgspec import Struct

from elec.network.circuit import roots
from elec.network.netlist import Netlist, Solution, Values


class Island(Struct, frozen=True, kw_only=True):
    """Nodes that closed wires join with each other but with no source."""

    nodes: tuple[str, ...]
    elements: tuple[str, ...]
    """Resistors, batteries, alternators and diodes with both terminals in it."""
    loads: tuple[str, ...]
    """Loads that end here, be it with one terminal."""
    asked: tuple[str, ...]
    """Of these, the ones that are switched on."""
    cut: tuple[str, ...]
    """Open resistors that would join it with something else."""


def islands(netlist: Netlist, values: Values, solution: Solution, case: int) -> tuple[Island, ...]:
    """Name the nodes and elements of each island, the largest first.

    Args:
        netlist: The topology.
        values: As they were solved.
        solution: Of these values.
        case: Which case, counted from 0.
    """
    index = {name: k for k, name in enumerate(solution.nodes)}
    dark = np.isnan(solution.voltage_v[:, case])
    wires = np.isfinite(values.resistance_ohm[:, case])
    wired = [
        (index[x.a], index[x.b])
        for x, closed in zip(netlist.resistors, wires, strict=True)
        if closed
    ]
    root = roots(len(index), (pair for pair in wired if dark[pair[0]] and dark[pair[1]]))
    groups: dict[int, list[str]] = {}
    for name, k in index.items():
        if dark[k]:
            groups.setdefault(root[k], []).append(name)
    found = [_island(netlist, values, case, frozenset(nodes), nodes) for nodes in groups.values()]
    return tuple(sorted(found, key=lambda island: -len(island.nodes)))


def _island(
    netlist: Netlist, values: Values, case: int, inside: frozenset[str], nodes: list[str]
) -> Island:
    wires = np.isfinite(values.resistance_ohm[:, case])
    demand = values.load_value[:, case]
    on = np.isfinite(demand) & (demand > 0.0)
    others = (*netlist.batteries, *netlist.alternators, *netlist.diodes)
    ending = [k for k, x in enumerate(netlist.loads) if x.a in inside or x.b in inside]
    pairs = list(zip(netlist.resistors, wires, strict=True))
    return Island(
        nodes=tuple(nodes),
        elements=(
            *(x.name for x, closed in pairs if closed and x.a in inside),
            *(x.name for x in others if x.a in inside and x.b in inside),
        ),
        loads=tuple(netlist.loads[k].name for k in ending),
        asked=tuple(netlist.loads[k].name for k in ending if on[k]),
        cut=tuple(
            x.name for x, closed in pairs if not closed and (x.a in inside) != (x.b in inside)
        ),
    )
