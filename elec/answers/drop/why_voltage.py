"""Where a voltage comes from: the way back to the source, and what is lost on it.

In: the solved cases. Out: hand calculations whose results are those of the solved network.
"""

from collections import deque
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from elec.answers.base.marks import marks
from elec.answers.base.points import Points, points
from elec.answers.drop.drop_working import part_term
from elec.answers.drop.why_network import (
    SMALLEST_A,
    Element,
    amps_of,
    around,
    case_title,
    out_of,
    owners,
)
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.hand import looked_up, where
from elec.working import Step, Term, Working, computed, total


class _Loss(Struct, frozen=True, kw_only=True):
    element: Element
    amps: float
    """In the direction of the way, from the source."""


def voltage_working(
    study: Study, title: str, case: int, *, plus: str, minus: str = ""
) -> Working | None:
    """The voltage of a bus or a load in one case, from its source over all that is lost.

    Args:
        study: the system.
        title: what it is the voltage of.
        case: the number of the case.
        plus: the node.
        minus: the other node; left out: the reference.

    Returns:
        None where no current flows, so that there is no way to follow.
    """
    found = points(study)
    ahead, start = _back(study, plus, case)
    behind = _home(study, minus, case) if minus else []
    if (minus and behind is None) or not _is_source(study, start):
        return None
    first, steps = _source(study, start, case)
    losses = [one for one in (*ahead, *(behind or [])) if _loses(found, one, case)]
    terms: list[Term] = [first]
    pieces = [first.symbol]
    number = 0
    for place, (amps, group) in enumerate(_grouped(losses), 1):
        current = Term(symbol=f"I{place}", value=amps, unit="A", meaning="current there",
                       origin=f"solved network: {_named(study, group[0])}")  # fmt: skip
        ohms: list[Term] = []
        for one in group:
            number += 1
            ohms.append(_loss_term(study, one, case, number))
        plain = [t for t in ohms if t.unit != "V"]
        terms += [*([current] if plain else []), *ohms]
        bracketed = f"({total(plain)})" if len(plain) > 1 else total(plain)
        pieces += [f"{current.symbol} * {bracketed}"] if plain else []
        pieces += [t.symbol for t in ohms if t.unit == "V"]
    steps.append(
        computed("U", "V", title, " - ".join(pieces), terms,
                 source="Ohm's law along the way, out and back")
    )  # fmt: skip
    return Working(title=title, steps=tuple(steps), binds=case_title(study, case))


def _loses(found: Points, one: _Loss, case: int) -> bool:
    """Whether anything is lost in an element: joints of no resistance are left out."""
    element = one.element
    if element.group != "resistor":
        return True
    return float(found.model.values.resistance_ohm[element.row, case]) > 0


def _back(study: Study, node: str, case: int) -> tuple[list[_Loss], str]:
    """The way along which most current comes to a node, from the source on, and where it begins."""
    found = points(study)
    way: list[_Loss] = []
    seen = {node}
    while True:
        into = [
            (-out_of(found, e, node, case), e)
            for e in around(study).get(node, ())
            if e.group in ("resistor", "diode") and _other(e, node) not in seen
        ]
        sources = [
            -out_of(found, e, node, case)
            for e in around(study).get(node, ())
            if e.group in ("battery", "alternator")
        ]
        amps, best = max(into, key=lambda item: item[0], default=(0.0, None))
        if best is None or amps <= SMALLEST_A or max(sources, default=0.0) >= amps:
            return way[::-1], node
        if "#" in best.branch.name:  # the valve in the model of a battery: part of the battery
            return way[::-1], node
        way.append(_Loss(element=best, amps=amps))
        node = _other(best, node)
        seen.add(node)


def _home(study: Study, node: str, case: int) -> list[_Loss] | None:
    """The shortest way over wires from a node to the reference; None without one.

    Where other currents come the other way, they count negative.
    """
    found = points(study)
    reference = found.model.netlist.reference
    came: dict[str, tuple[str, Element]] = {}
    queue = deque([node])
    while queue and reference not in came:
        here = queue.popleft()
        for element in around(study).get(here, ()):
            there = _other(element, here)
            closed = element.group == "resistor" and np.isfinite(
                found.model.values.resistance_ohm[element.row, case]
            )
            if closed and there not in came and there != node:
                came[there] = (here, element)
                queue.append(there)
    if node != reference and reference not in came:
        return None
    way: list[_Loss] = []
    there = reference
    while there != node:
        here, element = came[there]
        way.append(_Loss(element=element, amps=out_of(found, element, here, case)))
        there = here
    return way[::-1]


def _is_source(study: Study, node: str) -> bool:
    name = node.partition("#")[0].removesuffix(".+")
    return name in study.document.sources


def _other(element: Element, node: str) -> str:
    return element.branch.b if element.branch.a == node else element.branch.a


def _source(study: Study, node: str, case: int) -> tuple[Term, list[Step]]:
    """The voltage at which the way begins, with its step where the source has a law."""
    found = points(study)
    volts = float(found.solution.voltage_v[found.nodes[node], case])
    name = node.partition("#")[0].removesuffix(".+")
    title = study.system.title("sources", name) if name in study.document.sources else node
    plain = Term(symbol="E", value=volts, unit="V", meaning=f"voltage at {title}",
                 origin="solved network, to the main ground")  # fmt: skip
    law, valve = _law(study, node, case)
    if law is None:
        return plain, [looked_up(plain)]
    amps = -amps_of(found, law, case)
    values = found.model.values
    below = float(found.solution.voltage_v[found.nodes[law.branch.b], case])
    if law.group == "battery":
        emf, ohm = values.battery_emf_v[law.row, case], values.battery_resistance_ohm[law.row, case]
        words, keys = ("at rest", "its own resistance"), ("rest voltage", "resistance")
    elif found.solution.alternator_limited[law.row, case]:
        return plain, [looked_up(plain, note="it gives all that it can: its voltage gives way")]
    else:
        emf = values.alternator_setpoint_v[law.row, case]
        ohm = values.alternator_droop_ohm[law.row, case]
        words, keys = ("held by its regulator", "droop of its regulator"), ("setpoint", "droop")
    origin = f"{where(study, 'sources', name)}, {keys[0]}"
    terms: tuple[Term, ...] = (
        Term(symbol="E0", value=float(emf), unit="V", meaning=f"{title} {words[0]}", origin=origin),
        Term(symbol="Is", value=amps, unit="A", meaning=f"what {title} gives",
             origin="solved network"),
        Term(symbol="Rs", value=float(ohm), unit="ohm", meaning=words[1],
             origin=f"{keys[1]} of {name}"),
        Term(symbol="Un", value=below, unit="V", meaning="its negative terminal to the main ground",
             origin="solved network"),
    )  # fmt: skip
    formula = "E0 - Is * Rs + Un"
    if valve:
        terms = (
            *terms,
            Term(symbol="Dv", value=valve, unit="V", meaning="valve of the battery's model",
                 origin="no physical part: it keeps charging and discharging apart"),
        )  # fmt: skip
        formula += " - Dv"
    step = computed("E", "V", plain.meaning, formula, terms)
    return step.result, [step]


def _law(study: Study, node: str, case: int) -> tuple[Element | None, float]:
    """The source behind a node, and what the valve of a battery's model takes."""
    found = points(study)
    for element in around(study).get(node, ()):
        if element.group in ("battery", "alternator") and element.branch.a == node:
            return element, 0.0
    name = node.removesuffix(".+")
    cell = f"{name}#cell"
    behind = [e for e in around(study).get(cell, ()) if e.group == "battery"]
    if not behind or node == name:
        return None, 0.0
    volts = found.solution.voltage_v
    return behind[0], float(volts[found.nodes[cell], case] - volts[found.nodes[node], case])


def _grouped(losses: Sequence[_Loss]) -> Iterator[tuple[float, list[_Loss]]]:
    """Losses one behind the other that carry the same current."""
    group: list[_Loss] = []
    for one in losses:
        if group and abs(one.amps - group[0].amps) > 1e-9 * abs(one.amps):
            yield group[0].amps, group
            group = []
        group.append(one)
    if group:
        yield group[0].amps, group


def _loss_term(study: Study, one: _Loss, case: int, number: int) -> Term:
    """The resistance of a wire or part; of a diode the voltage that it takes."""
    found, element = points(study), one.element
    name = _named(study, element=one)
    if element.group == "resistor":
        ohm = float(found.model.values.resistance_ohm[element.row, case])
        return Term(symbol=f"R{number}", value=ohm, unit="ohm", meaning=name,
                    origin=_ohm_origin(study, element, name))  # fmt: skip
    a = found.solution.voltage_v[found.nodes[element.branch.a], case]
    b = found.solution.voltage_v[found.nodes[element.branch.b], case]
    return Term(symbol=f"D{number}", value=float(a - b), unit="V", meaning=f"{name}, conducting",
                origin="forward voltage and resistance of the diode")  # fmt: skip


def _ohm_origin(study: Study, element: Element, name: str) -> str:
    """Of a wire its own calculation, of a part the table or the line that it comes from."""
    owner = owners(study).get(element.branch.name)
    if element.branch.name in marks(study):
        return f"resistance of {name}, as warm as it gets"
    chain = chains(study).by_name[owner] if owner else None
    part = next((p for p in chain.parts() if p.id == element.branch.name), None) if chain else None
    if chain is None or part is None:
        return f"resistance of {name}"
    return part_term(study, chain, part, "R").origin


def _named(study: Study, element: _Loss) -> str:
    """A wire by its mark, a part by its chain and what it is."""
    name = element.element.branch.name
    mark = marks(study).get(name)
    if mark is not None:
        return mark
    owner, _, part = name.rpartition("/")
    return f"{part.partition(':')[2] or part} of {owner}" if owner else name
