"""What charging low batteries asks of wires, devices and alternators.

In: sizing, sources. Out: `Recharging`: the most that each feeder carries, and for each alternator
and phase what loads and charge ask of it. Where nobody says what a battery accepts, what it takes
is bounded by its own resistance, the wires and what the alternators can give: no more can flow.
"""

from collections.abc import Iterator, Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.loads.sharing import BLOCKED_V, IDLE_SHARE, UNBOUND_A, alternators
from elec.model.source import Alternator
from elec.model.system import Condition
from elec.network.netlist import Array, Solution, State
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.cases import recharging_cases
from elec.wiring.chains import chains
from elec.wiring.charging import accepted, conductors_a, each_charged, low_model
from elec.wiring.circuit_model import Model, has_field
from elec.wiring.sources import output

TAKES_A = 0.05
"""A battery that takes less is not charged there."""
PART = 0.1
"""A feeder that carries less of a battery's charge is not on its way: loads there draw a little
more, because the voltage is lower."""


class ChargedFeeder(Struct, frozen=True, kw_only=True):
    """A feeder that carries charge."""

    chain: str
    most_a: float
    """The most that it carries; where what a battery accepts is not given, the most that can."""
    batteries: tuple[str, ...]
    """What is charged through it: the one at its end, else all that are charged."""
    bounded: bool
    """Whether a battery of them may take more or less, for nobody says what it accepts."""


class ChargeAsked(Struct, frozen=True, kw_only=True):
    """What is asked of one alternator in one phase with low batteries."""

    alternator: str
    phase: str
    condition: Condition
    loads_a: float
    """By all that may be on together for more than five minutes."""
    charge_a: float
    """On top of that, by batteries that take what they accept."""
    gives_a: float
    can_a: float | None
    """What it can deliver at the engine speed of the phase; None: not known."""
    rated_a: float | None
    solved: bool

    @property
    def asked_a(self) -> float:
        """Loads and charge."""
        return self.loads_a + self.charge_a

    @property
    def short(self) -> bool:
        """It gives all that it can, and the battery takes longer."""
        return self.can_a is not None and self.asked_a > self.can_a * (1 + 1e-6)


class Recharging(Struct, frozen=True, kw_only=True):
    """Charging from low."""

    takes_a: Mapping[str, float]
    """Battery → the most that it takes in any phase, of those that are charged."""
    lines: tuple[ChargedFeeder, ...]
    asked: tuple[ChargeAsked, ...]
    unknown: tuple[str, ...]
    """Batteries that are charged, and of which nobody says what they accept."""


@analysis
def recharging(study: Study) -> Recharging | None:
    """Charging from low; None without an engine that turns, a battery or an alternator."""
    model = low_model(study, sizing(study).sizes())
    return None if model is None else _Charging(study, model).found()


class _Charging:
    def __init__(self, study: Study, model: Model) -> None:
        self.study, self.model = study, model
        self.cases = recharging_cases(study)
        self.accepted = accepted(study)
        turning, known = self._turning()
        limit = np.where(known, model.values.alternator_limit_a, turning * UNBOUND_A)
        values = replace(model.values, alternator_limit_a=limit)
        most = {name: one.current_a for name, one in self.accepted.items()}
        given = {name: one.current_a for name, one in self.accepted.items() if one.given}
        charging = np.array([b.name.endswith("#charge") for b in model.netlist.diodes], bool)
        blocked = np.where(charging[:, None], BLOCKED_V, values.diode_forward_v)
        free = replace(values, alternator_limit_a=turning * UNBOUND_A)
        self.usual, self.bound, self.asked, self.idle, self.loads = each_charged(
            model,
            [
                (values, most),
                (values, given),
                (free, most),
                (replace(values, diode_forward_v=blocked), {}),
                (replace(free, diode_forward_v=blocked), {}),
            ],
        )

    def found(self) -> Recharging:
        usual, bound = self._takes(self.usual), self._takes(self.bound)
        usual = {**dict.fromkeys(bound, 0.0), **usual}
        takes = {
            name: usual[name] if one.given else max(usual.get(name, 0.0), bound.get(name, 0.0))
            for name, one in self.accepted.items()
            if name in usual or name in bound
        }
        return Recharging(
            takes_a=takes,
            lines=tuple(self._lines(takes)),
            asked=tuple(self._every_asked()),
            unknown=tuple(name for name in takes if not self.accepted[name].given),
        )

    def _turning(self) -> tuple[Array, Array]:
        """1 where an alternator works and gives anything, or may; and where its output is known."""
        every = alternators(self.study)
        names = [branch.name for branch in self.model.netlist.alternators]
        found = np.zeros((len(names), len(self.cases)))
        known = np.ones((len(names), len(self.cases)), bool)
        for row, name in enumerate(names):
            for i, case in enumerate(self.cases):
                step = output(self.study, name, every[name], case.phase)
                works = has_field(self.study, name, case)
                found[row, i] = works and (step is None or step.result.value > 0)
                known[row, i] = step is not None
        return found, known

    def _takes(self, solution: Solution) -> Mapping[str, float]:
        sound = solution.state == State.SOLVED
        every = {
            branch.name: float(solution.battery_a[row][sound].max(initial=0.0))
            for row, branch in enumerate(self.model.netlist.batteries)
            if branch.name in self.accepted
        }
        return {name: amps for name, amps in every.items() if amps > TAKES_A}

    def _lines(self, takes: Mapping[str, float]) -> Iterator[ChargedFeeder]:
        usual = conductors_a(self.study, self.model, self.usual)
        bound = conductors_a(self.study, self.model, self.bound)
        idle = conductors_a(self.study, self.model, self.idle)
        for chain in chains(self.study).of("feeder"):
            ends = {chain.source_end, chain.far_end}
            through = tuple(name for name in takes if name in ends) or tuple(takes)
            bounded = any(not self.accepted[name].given for name in through)
            wires = [conductor.id for conductor in chain.conductors()]
            if not through or not wires:
                continue
            amps = max(max(usual[n], bound[n]) if bounded else usual[n] for n in wires)
            before = max(idle[name] for name in wires)
            if amps > before + PART * min(takes[name] for name in through):
                yield ChargedFeeder(
                    chain=chain.name,
                    most_a=amps,
                    batteries=through,
                    bounded=bounded,
                )

    def _every_asked(self) -> Iterator[ChargeAsked]:
        for row, branch in enumerate(self.model.netlist.alternators):
            source = alternators(self.study)[branch.name]
            for column in range(len(self.cases)):
                one = self._one(row, column, branch.name, source)
                if one.asked_a > IDLE_SHARE * (one.rated_a or 0.0):
                    yield one

    def _one(self, row: int, column: int, name: str, source: Alternator) -> ChargeAsked:
        case = self.cases[column]
        loads_a = float(self.loads.alternator_a[row, column])
        step = output(self.study, name, source, case.phase)
        limit_a = float(self.model.values.alternator_limit_a[row, column])
        return ChargeAsked(
            alternator=name,
            phase=case.phase,
            condition=case.condition,
            loads_a=loads_a,
            charge_a=float(self.asked.alternator_a[row, column]) - loads_a,
            gives_a=float(self.usual.alternator_a[row, column]),
            can_a=None if step is None else limit_a,
            rated_a=source.rated_a(),
            solved=all(
                solution.state[column] == State.SOLVED
                for solution in (self.usual, self.asked, self.loads)
            ),
        )


__all__ = ["ChargeAsked", "ChargedFeeder", "Recharging", "recharging"]
