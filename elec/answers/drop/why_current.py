"""What a circuit and each of its wires carry, with the loads that it comes from.

In: demand, sizing. Out: hand calculations whose results are those of the analyses.
"""

import math
from collections.abc import Iterable, Iterator, Mapping

import numpy as np

from elec.answers.base.marks import marks
from elec.answers.drop.why_network import SMALLEST_A
from elec.sizing.chosen import Moment
from elec.sizing.order import cranking, loads_on
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.demand import Count, circuit_amps, conditions, demand, worst_circuit_amps
from elec.wiring.hand import looked_up, where
from elec.wiring.wires import tap_term
from elec.working import ROUNDING, Ref, Step, Term, Working, computed, leading_to, total, within


def circuit_working(study: Study, chain: Chain) -> Working | None:
    """The most that a circuit carries at one moment; None where a load is not known."""
    moment = _worst(study, chain.loads, all_phases=True)
    if moment is None or not all(_known(study, load) for load in chain.loads):
        return None
    steps, _ = _together(study, chain.loads, moment, "I")
    return Working(
        title=f"Current of {chain.title}", steps=tuple(steps), binds=_when(study, moment)
    )


def _known(study: Study, load: str) -> bool:
    entry = demand(study).loads.get(load)
    return study.document.equipment[load].passive or (entry is not None and entry.known)


def _moments(study: Study, *, all_phases: bool) -> Iterator[Moment]:
    short = cranking(study)
    for phase in study.document.phases:
        if all_phases or phase not in short:
            for condition in conditions(study):
                yield phase, condition


def _worst(
    study: Study, names: tuple[str, ...], *, all_phases: bool, count: Count = "heat"
) -> Moment | None:
    found = list(_moments(study, all_phases=all_phases))
    return max(found, key=lambda m: circuit_amps(study, names, m[0], m[1], count), default=None)


def _when(study: Study, moment: Moment) -> str:
    return f"{study.system.title('phases', moment[0])}, {moment[1]}"


def _together(
    study: Study, names: tuple[str, ...], moment: Moment, symbol: str, count: Count = "heat"
) -> tuple[list[Step], Term]:
    """The most that loads draw together in a moment; of exclusive ones only the greatest."""
    found = demand(study)
    terms: list[Term] = []
    groups: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        load = found.loads.get(name)
        modes = load.active(moment[0], moment[1]) if load else ()
        amps = [found.highest_a(d) for m in modes if (d := m.drawn(count)) is not None]
        if not amps:
            continue
        pulses = any(m.peak != m.draw for m in modes)
        words = "the most at any instant" if count == "peak" else "root mean square of its pulses"
        title = study.system.title("equipment", name)
        term = Term(
            f"i{len(terms) + 1}",
            max(amps),
            "A",
            f"{title}, {words if pulses else 'the most it draws then'}",
            f"draw of {name}, {where(study, 'equipment', name)}",
            Ref("draw", name),
        )
        terms.append(term)
        group = study.document.equipment[name].exclusive or f" {name}"
        groups.setdefault(group, []).append(term.symbol)
    parts = [one[0] if len(one) == 1 else f"max({', '.join(one)})" for one in groups.values()]
    meaning = f"all its loads together, {_when(study, moment)}"
    if len(groups) < len(terms):
        meaning += "; of loads that exclude each other the greatest"
    step = computed(symbol, "A", meaning, " + ".join(parts) or "0", terms)
    return [step], step.result


def wire_current_workings(study: Study, conductor: Conductor) -> tuple[Working, ...]:
    """What a wire carries for longer than a start, and at most where that is more."""
    chain = chains(study).by_name[conductor.chain]
    mark = marks(study)[conductor.id]
    amps = sizing(study).currents_a.get(conductor.id, {})
    if not amps:
        return ()
    short = cranking(study)
    lasting = {m: a for m, a in amps.items() if m[0] not in short}
    found = []
    for words, some in (("for longer than a start", lasting), ("at most", amps)):
        if some:
            found.append((words, *_greatest(study, chain, conductor, some)))
    if len(found) == 2 and found[0][2] == found[1][2]:
        found = [("at most", *found[0][1:])]
    made = [
        Working(title=f"What {mark} carries {words}",
                steps=_wire_steps(study, conductor, moment, value))
        for words, moment, value in found
    ]  # fmt: skip
    peak = sizing(study).peaks_a[conductor.id]
    if not within(peak, max(amps.values())):
        moment = _worst(study, loads_on(chain, conductor.id), all_phases=True, count="peak")
        steps = _wire_steps(study, conductor, moment or found[0][1], peak, "peak")
        made.append(Working(title=f"What {mark} carries at any instant", steps=steps))
    return tuple(made)


def solved_a(study: Study, circuit: str) -> float:
    """The most that a circuit's feed carries in any moment, by what sized its wires."""
    wires = [one for one in chains(study).by_name[circuit].conductors() if one.role == "feed"]
    carried = sizing(study).currents_a
    return max(
        (amps * one.parallel for one in wires for amps in carried.get(one.id, {}).values()),
        default=0.0,
    )


def apart_a(study: Study, circuits: Iterable[str]) -> float | None:
    """The most that one of them carries, where that is another current than the one counted."""
    counted = worst_circuit_amps(study)
    pairs = [(solved_a(study, one), counted.get(one) or 0.0) for one in circuits]
    return max((solved for solved, other in pairs if not within(solved, other)), default=None)


def _greatest(
    study: Study, chain: Chain, conductor: Conductor, some: Mapping[Moment, float]
) -> tuple[Moment, float]:
    """The moment of the greatest current; of several one in which its own loads draw it."""
    most = max(some.values())
    names = loads_on(chain, conductor.id)
    same = [m for m, a in some.items() if a == most]
    own = [
        m
        for m in same
        if within(circuit_amps(study, names, *m) / conductor.parallel, most, "at least")
    ]
    return (own or same)[0], most


def _wire_steps(
    study: Study, conductor: Conductor, moment: Moment, amps: float, count: Count = "heat"
) -> tuple[Step, ...]:
    chain = chains(study).by_name[conductor.chain]
    names = loads_on(chain, conductor.id)
    counted = circuit_amps(study, names, *moment, count) / conductor.parallel
    if chain.kind != "circuit" or not math.isclose(counted, amps, rel_tol=ROUNDING):
        if chain.kind == "wire":
            told = tap_term(study, chain)
            none = Term("I", amps, "A", "current of the wire", where(study, *chain.path))
            return (looked_up(told or none),)
        meaning = f"{marks(study)[conductor.id]}, {_when(study, moment)}, whichever sources work"
        origin = "solved network: elec export writes it for a circuit simulator"
        followed = _solved_steps(study, chain, conductor, moment, amps)
        return followed or (looked_up(Term("I", amps, "A", meaning, origin)),)
    if conductor.parallel == 1:
        return tuple(_together(study, names, moment, "I", count)[0])
    steps, together = _together(study, names, moment, "I0", count)
    return (*steps, _each(study, chain, conductor, together))


def _each(study: Study, chain: Chain, conductor: Conductor, together: Term) -> Step:
    share = Term("n", float(conductor.parallel), "", "wires that share it",
                 where(study, *chain.path))  # fmt: skip
    return computed("I", "A", "carried by each", f"{together.symbol} / n", (together, share))


def _solved_steps(
    study: Study, chain: Chain, conductor: Conductor, moment: Moment, amps: float
) -> tuple[Step, ...]:
    """What its loads draw at the voltages that the solved network leaves them.

    Empty where they do not make up the current: one that pulses, or a return that is shared.
    """
    solved = sizing(study).solved
    if solved is None:
        return ()
    names = [branch.name for branch in solved.model.netlist.resistors]
    if conductor.id not in names:
        return ()
    here = [i for i, c in enumerate(solved.cases) if (c.phase, c.condition) == moment]
    through = np.abs(np.nan_to_num(solved.solution.resistor_a[names.index(conductor.id), here]))
    case = here[int(through.argmax())]
    loads = loads_on(chain, conductor.id)
    rows = [
        row
        for row, port in enumerate(solved.model.ports)
        if port.equipment in loads and abs(solved.solution.load_a[row, case]) > SMALLEST_A
    ]
    if not rows:
        return ()
    whole = "I0" if conductor.parallel > 1 else "I"
    steps: list[Step] = []
    for number, row in enumerate(rows, 1):
        port = solved.model.ports[row]
        title = f"{study.system.title('equipment', port.equipment)} {port.mode}".strip()
        law, value = port.draw.by, float(solved.model.values.load_value[row, case])
        draw = Term(law.symbol, value, law.unit, f"draw of {title}",
                    where(study, "equipment", port.equipment))  # fmt: skip
        across = Term("U", float(solved.solution.load_v[row, case]), "V", f"voltage at {title}",
                      f"solved network, {solved.cases[case].title}")  # fmt: skip
        steps.append(computed(
            whole if len(rows) == 1 else f"i{number}", "A", f"{title}: {law.manner}",
            law.formula("U"), (draw, across) if law.needs_voltage else (draw,),
        ))  # fmt: skip
    last = steps[0]
    if len(rows) > 1:
        meaning = f"all its loads together, {_when(study, moment)}"
        last = computed(whole, "A", meaning, total(steps), steps)
    if conductor.parallel > 1:
        last = _each(study, chain, conductor, last.term)
    return leading_to(last) if math.isclose(last.result.value, amps, rel_tol=1e-6) else ()
