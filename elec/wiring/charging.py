"""What flows while the batteries are charged from low: in every phase, whatever lasts being on.

In: sizes, cases of low batteries. Out: solutions of the network in which each battery takes what
it accepts, less where a wire or an alternator lets less through.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.network.netlist import Array, Solution, State, Values
from elec.network.solve import solve
from elec.study import Study
from elec.wiring.cases import recharging_cases
from elec.wiring.chains import chains
from elec.wiring.circuit_model import Model, Sizes, build
from elec.wiring.sources import accepts_a, has_alternator

MOST_TRIES = 30
LEAST_GROWTH = 1.5
"""So much more resistance is tried at least until too little flows."""
NEAR = 1e-3
"""So near to what a battery accepts is near enough: a tenth of a per cent."""


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

    A management system or a charger holds the current, not the voltage: the resistance of the
    charging path is sought at which it flows. Between resistances that let too much and too little
    through a secant: in a network of fixed resistances one over the current is linear in it.
    """
    return each_charged(model, [(values, most_a)])[0]


def each_charged(
    model: Model, asked: Sequence[tuple[Values, Mapping[str, float]]]
) -> tuple[Solution, ...]:
    """The same of several values with what may flow in each, sought side by side."""
    every = Values.join([values for values, _ in asked])
    counts = [values.cases for values, _ in asked]
    diodes = {branch.name: row for row, branch in enumerate(model.netlist.diodes)}
    names = [branch.name for branch in model.netlist.batteries]
    held = [name for name in names if any(name in most for _, most in asked)]
    battery = np.array([names.index(name) for name in held], np.intp)
    valve = np.array([diodes[f"{name}#charge"] for name in held], np.intp)
    each = [[most.get(name, np.inf) for name in held] for _, most in asked]
    most = np.repeat(np.array(each).reshape(len(asked), len(held)).T, counts, axis=1)
    slopes = every.diode_resistance_ohm.copy()
    every = replace(every, diode_resistance_ohm=slopes)
    solution = solve(model.netlist, every)
    search = _Search(slopes[valve], every.battery_resistance_ohm[battery])
    for _ in range(MOST_TRIES):
        ohms = search.next(np.maximum(solution.battery_a[battery], 1e-9), most)
        if ohms is None:
            break
        moved = np.flatnonzero((ohms != slopes[valve]).any(axis=0))
        slopes[valve] = ohms
        solution.put(moved, solve(model.netlist, every.take(moved)))
    ends = np.cumsum(counts)
    return tuple(
        solution.take(slice(end - count, end)) for end, count in zip(ends, counts, strict=True)
    )


class _Search:
    """The resistances of charging paths at which what is accepted flows, for all cases at once."""

    def __init__(self, ohms: Array, inner_ohm: Array) -> None:
        self.ohms = self.low = ohms
        self.inner = inner_ohm
        self.high = np.full_like(ohms, np.inf)
        self.low_inverse, self.high_inverse = np.zeros_like(ohms), np.full_like(ohms, np.inf)
        self.tries = 0

    def next(self, amps: Array, most: Array) -> Array | None:
        """The next resistances to try; None where every current is near or below what is held."""
        over = amps > most * (1 + NEAR)
        under = (amps < most * (1 - NEAR)) & (self.low_inverse > 0)
        if not (over | under).any():
            return None
        self.low = np.where(over, self.ohms, self.low)
        self.low_inverse = np.where(over, 1 / amps, self.low_inverse)
        self.high = np.where(under, self.ohms, self.high)
        self.high_inverse = np.where(under, 1 / amps, self.high_inverse)
        bracketed = np.isfinite(self.high)
        grown = (self.ohms + self.inner) * np.maximum(amps / most, LEAST_GROWTH) - self.inner
        width = np.where(bracketed, self.high - self.low, 0.0)
        rise = np.where(bracketed, self.high_inverse - self.low_inverse, 1.0)
        part = np.clip((1 / most - self.low_inverse) / rise, 0.05, 0.95)
        self.tries += 1
        if self.tries % 2:  # halve: where an alternator is at its limit a secant hardly moves
            part = np.full_like(part, 0.5)
        guess = np.where(bracketed, self.low + part * width, grown)
        self.ohms = np.where(over | under, guess, self.ohms)
        return self.ohms


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
