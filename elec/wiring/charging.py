"""What flows while the batteries are charged from low: in every phase, whatever lasts being on.

In: sizes, cases of low batteries. Out: solutions of the network in which each battery takes what
it accepts, less where a wire or an alternator lets less through.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.model.load import Draw
from elec.network.netlist import Array, Branch, Flags, Solution, State, Values
from elec.network.solve import solve
from elec.study import Study
from elec.wiring.cases import recharging_cases
from elec.wiring.chains import chains
from elec.wiring.circuit_model import Model, Sizes, build
from elec.wiring.sources import accepts_a, has_alternator


class Accepted(Struct, frozen=True, kw_only=True):
    """The greatest current that a battery takes, and whether the builder says so."""

    current_a: float
    given: bool


def accepted(study: Study) -> Mapping[str, Accepted]:
    """Of every battery."""
    return {
        name: Accepted(current_a=accepts_a(source), given=source.accepts_a is not None)
        for name, source in study.document.sources.items()
        if source.kind in ("lead-acid", "lithium-iron-phosphate")
    }


def low_model(study: Study, sizes: Sizes) -> Model | None:
    """The network with low batteries; None where no engine turns or no battery is there."""
    found = recharging_cases(study)
    if not found or not accepted(study):
        return None
    if not has_alternator(study):
        return None
    return build(study, found, sizes)


def charged(model: Model, values: Values, most_a: Mapping[str, float]) -> Solution:
    """Solve with every battery taking no more than this; those not named all they can.

    A management system or a charger holds the current, not the voltage: a battery that would take
    more draws just that, whatever the voltage is.
    """
    return each_charged(model, [(values, most_a)])[0]


def each_charged(
    model: Model, asked: Sequence[tuple[Values, Mapping[str, float]]]
) -> tuple[Solution, ...]:
    """The same of several values with what may flow in each, side by side.

    Where one battery takes less the voltage of all is higher, so that one that is held once would
    take too much again if it were not: each search ends after as many steps as there are batteries.
    """
    every = Values.join([values for values, _ in asked])
    counts = [values.cases for values, _ in asked]
    names = [branch.name for branch in model.netlist.batteries]
    held = [name for name in names if any(name in most for _, most in asked)]
    battery = np.array([names.index(name) for name in held], np.intp)
    each = [[most.get(name, np.inf) for name in held] for _, most in asked]
    most = np.repeat(np.array(each).reshape(len(asked), len(held)).T, counts, axis=1)
    holding = _Holding(model, every, held)
    solution = solve(holding.netlist, holding.values)
    while True:
        over = (solution.battery_a[battery] > most) & ~holding.done
        moved = np.flatnonzero(over.any(axis=0))
        if not len(moved):
            break
        holding.hold(over, most)
        solution.put(moved, solve(holding.netlist, holding.values.take(moved)))
    solution.battery_a[battery] += holding.amps
    ends = np.cumsum(counts)
    return tuple(
        solution.take(slice(end - count, end)) for end, count in zip(ends, counts, strict=True)
    )


class _Holding:
    """The network with a load beside each battery that takes what it accepts in its place."""

    def __init__(self, model: Model, values: Values, held: Sequence[str]) -> None:
        net = model.netlist
        diodes = {branch.name: row for row, branch in enumerate(net.diodes)}
        self._valve = np.array([diodes[f"{name}#charge"] for name in held], np.intp)
        self._load = slice(len(net.loads), len(net.loads) + len(held))
        beside = tuple(Branch(name=f"{n}#takes", a=f"{n}.+", b=f"{n}.-") for n in held)
        laws = (*net.load_laws, *(Draw.steady(0.0).by for _ in held))
        self.netlist = replace(net, loads=(*net.loads, *beside), load_laws=laws)
        self.amps = np.zeros((len(held), values.cases))
        self.done = self.amps > 0.0
        self.values = replace(
            values,
            diode_resistance_ohm=values.diode_resistance_ohm.copy(),
            load_value=np.concatenate((values.load_value, self.amps)),
            load_minimum_v=np.concatenate((values.load_minimum_v, self.amps)),
        )

    def hold(self, over: Flags, most: Array) -> None:
        """Let these batteries take what they accept; their charging path is open instead."""
        self.done |= over
        self.amps = np.where(over, most, self.amps)
        self.values.load_value[self._load] = self.amps
        opened = self.values.diode_resistance_ohm
        opened[self._valve] = np.where(over, np.inf, opened[self._valve])


def charging_a(study: Study, sizes: Sizes, wanted: frozenset[str]) -> Mapping[str, float]:
    """The most that each wire of these feeders carries while batteries are charged from low.

    Args:
        study: the run.
        sizes: chosen so far.
        wanted: names of feeders.
    """
    model = low_model(study, sizes) if wanted else None
    if model is None:
        return {}
    most = {name: one.current_a for name, one in accepted(study).items()}
    solution = charged(model, model.values, most)
    return conductors_a(study, model, solution, wanted)


def conductors_a(
    study: Study, model: Model, solution: Solution, wanted: frozenset[str] | None = None
) -> Mapping[str, float]:
    """Conductor of the feeders → the most it carries in the cases that have a solution."""
    row = {branch.name: i for i, branch in enumerate(model.netlist.resistors)}
    sound = solution.state == State.SOLVED
    return {
        conductor.id: float(np.abs(solution.resistor_a[row[conductor.id]][sound]).max(initial=0.0))
        for chain in chains(study).of("feeder")
        if wanted is None or chain.name in wanted
        for conductor in chain.conductors()
    }
