"""The solved network by hand: what flows into a bus and out of it, and where a voltage comes from.

In: the solved cases. Out: balances of currents, and the way back to the source with what is lost
on it, as hand calculations.
"""

from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct

from elec.answers.base.points import Points, points
from elec.network.netlist import Branch
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.working import Step, Term, Working, computed, total

SMALLEST_A = 1e-6
"""Less than the network is solved to; such a current is none."""

Group = Literal["resistor", "diode", "battery", "alternator", "load"]


class NodeFlow(Struct, frozen=True, kw_only=True):
    """What one chain, coil or source takes out of a node in one case."""

    name: str
    title: str
    amps: float
    """Positive: out of the node; negative: into it."""


class Balance(Struct, frozen=True, kw_only=True):
    """All flows of a bus in one case."""

    node: str
    case: int
    title: str
    flows: tuple[NodeFlow, ...]
    volts: float

    @property
    def incoming(self) -> tuple[NodeFlow, ...]:
        """What feeds it, the greatest first."""
        found = [f for f in self.flows if f.amps < -SMALLEST_A]
        return tuple(sorted(found, key=lambda f: f.amps))

    @property
    def outgoing(self) -> tuple[NodeFlow, ...]:
        """What it feeds, the greatest first."""
        found = [f for f in self.flows if f.amps > SMALLEST_A]
        return tuple(sorted(found, key=lambda f: -f.amps))

    @property
    def through_a(self) -> float:
        """What flows through the bus."""
        return sum(f.amps for f in self.outgoing)


class Element(Struct, frozen=True, kw_only=True):
    """A one-port of the network: of which kind, and its row in the arrays of that kind."""

    group: Group
    row: int
    branch: Branch


@analysis
def around(study: Study) -> Mapping[str, tuple[Element, ...]]:
    """Node → the elements that end on it."""
    net = points(study).model.netlist
    groups: tuple[tuple[Group, Sequence[Branch]], ...] = (
        ("resistor", net.resistors), ("diode", net.diodes), ("battery", net.batteries),
        ("alternator", net.alternators), ("load", net.loads),
    )  # fmt: skip
    found: dict[str, list[Element]] = {}
    for group, branches in groups:
        for row, branch in enumerate(branches):
            element = Element(group=group, row=row, branch=branch)
            for node in {branch.a, branch.b}:
                found.setdefault(node, []).append(element)
    return {node: tuple(elements) for node, elements in found.items()}


@analysis
def owners(study: Study) -> Mapping[str, str]:
    """Element → the chain that it is a part of."""
    found = {}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            found[conductor.id] = chain.name
        for part in chain.parts():
            found.setdefault(part.id, chain.name)
    return found


def amps_of(found: Points, element: Element, case: int) -> float:
    """Current from a to b through an element."""
    solution = found.solution
    match element.group:
        case "resistor":
            value = solution.resistor_a[element.row, case]
        case "diode":
            value = solution.diode_a[element.row, case]
        case "battery":
            value = solution.battery_a[element.row, case]
        case "alternator":
            value = -solution.alternator_a[element.row, case]
        case "load":
            value = solution.load_a[element.row, case]
    return float(value)


def out_of(found: Points, element: Element, node: str, case: int) -> float:
    """Current that leaves a node through an element."""
    amps = amps_of(found, element, case)
    return amps if element.branch.a == node else -amps


def worst_balance(study: Study, node: str) -> Balance | None:
    """The case in which most flows through a bus; None where it is never fed."""
    found = points(study)
    row = found.nodes.get(node)
    if row is None:
        return None
    alive = np.isfinite(found.solution.voltage_v[row])
    through = np.zeros(len(found.cases))
    for case in np.flatnonzero(alive):
        flows = (out_of(found, e, node, int(case)) for e in around(study).get(node, ()))
        through[case] = sum(a for a in flows if a > 0)
    if not alive.any():
        return None
    return balance(study, node, int(through.argmax()))


def balance(study: Study, node: str, case: int) -> Balance:
    """All flows of a node in one case."""
    found = points(study)
    sums: dict[str, float] = {}
    titles: dict[str, str] = {}
    for element in around(study).get(node, ()):
        name, title = _owner(study, element)
        titles[name] = title
        sums[name] = sums.get(name, 0.0) + out_of(found, element, node, case)
    return Balance(
        node=node,
        case=case,
        title=case_title(study, case),
        flows=tuple(NodeFlow(name=n, title=titles[n], amps=a) for n, a in sums.items()),
        volts=float(found.solution.voltage_v[found.nodes[node], case]),
    )


def case_title(study: Study, case: int) -> str:
    """`taxi on the water, night, all well, all that may be on`."""
    one = points(study).cases[case]
    count = {"momentary": "everything on that may be", "steady": "each load with its share"}
    phase = study.system.title("phases", one.phase)
    return f"{phase}, {one.condition}, {one.scenario.title}, {count[one.count]}"


def _owner(study: Study, element: Element) -> tuple[str, str]:
    name = element.branch.name
    owner = owners(study).get(name) or owners(study).get(name.partition(":")[0])
    if owner is not None:
        return owner, chains(study).by_name[owner].title
    if element.group == "load":
        port = points(study).model.ports[element.row]
        return port.name, f"{port.equipment} {port.mode}".strip()
    return name, name.replace("-", " ")


def balance_working(found: Balance, title: str) -> Working:
    """What flows in, what flows out, and that they are equal."""
    steps: list[Step] = []
    results: list[Term] = []
    for symbol, words, flows in (
        ("Ii", "flows in", found.incoming), ("Io", "flows out", found.outgoing),
    ):  # fmt: skip
        terms = [
            Term(f"{symbol[1]}{n}", abs(flow.amps), "A", flow.title, f"solved network: {flow.name}")
            for n, flow in enumerate(flows, 1)
        ]
        step = computed(symbol, "A", f"what {words}", total(terms), terms)
        steps.append(step)
        results.append(step.result)
    name = f"Currents of {title} in the worst case"
    return Working(title=name, steps=tuple(steps), binds=found.title)


def lowest_case(study: Study, load: str, phase: str | None = None) -> tuple[int | None, float]:
    """The case in which a load that is on and fed has least voltage, and that voltage."""
    found = points(study)
    cases = np.array([phase is None or case.phase == phase for case in found.cases])
    rows = [i for i, port in enumerate(found.model.ports) if is_port(study, load, i)]
    if not rows or not cases.any():
        return None, 0.0
    value = found.model.values.load_value[rows]
    on = np.isfinite(value) & (value != 0) & cases[None, :] & ~found.solution.unpowered[rows]
    across = np.where(on, found.solution.load_v[rows], np.inf)
    best = int(across.min(axis=0).argmin())
    least = float(across[:, best].min())
    return (best, least) if np.isfinite(least) else (None, 0.0)


def is_port(study: Study, load: str, index: int) -> bool:
    """Whether an element of the network is this piece of equipment, and not a coil."""
    port = points(study).model.ports[index]
    return port.equipment == load and port.mode != "coil"
