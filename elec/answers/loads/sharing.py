"""How the alternators share the load: all well, and each one alone.

In: sizing, phases, sources. Out: `Share`s from the solved network: what each alternator gives, what
the batteries on its side give or take, and what lasting loads ask of it. Outputs are added only of
alternators that carry together on one bus: no open contact, diode or set-point parts them.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.model.system import Condition
from elec.network.circuit import roots
from elec.network.netlist import Array, Solution, State
from elec.network.solve import solve
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Case, Count, Scenario
from elec.wiring.circuit_model import Model, build, has_field
from elec.wiring.demand import conditions
from elec.wiring.sources import alternators, output

Situation = Literal["all well", "alone", "alone, shed"]
COUNTS: tuple[Count, ...] = ("steady", "lasting")
IDLE_SHARE = 0.01
"""An alternator of which less than this share of its rating is asked stands by."""
UNBOUND_A = 1e5
"""In place of an alternator's limit, to see what its set-point asks of it."""
BLOCKED_V = 1e3
"""In place of a charging path's threshold, so that a battery takes nothing."""
CONDUCTS_A = 1e-3
"""A diode that carries less joins nothing."""


class Share(Struct, frozen=True, kw_only=True):
    """What one alternator, or several that are added, carry in one phase and condition."""

    phase: str
    condition: Condition
    situation: Situation
    sources: tuple[str, ...]
    can_a: float | None
    """What it can deliver at the engine speed of the phase; None: not known."""
    given_a: float
    """Loads at their share of the time, the batteries charged or helping."""
    drawn_a: float
    """Out of the batteries on its side; negative: into them."""
    asked_a: float
    """What it would have to give to hold its set-point: all that may be on together for more than
    five minutes, batteries full. With what a battery gives that stands above the set-point."""
    lights_a: float
    """The landing lights' part of that."""
    lasting: tuple[tuple[str, float], ...]
    """(equipment, A) of the loads that ask it, of those that it reaches."""
    limited: bool
    """It gives all that it can."""
    solved: bool
    loads: tuple[tuple[str, float], ...]
    """(name, A) of everything that draws, loads at their share of the time."""
    others_a: float
    """What other sources give of it."""
    help_a: float
    """What other alternators give for no other reason than that this one is at its limit."""

    @property
    def carried_a(self) -> float:
        """What its loads take: from it, from the batteries on its side, from those that help."""
        return self.given_a + self.drawn_a + self.help_a


def shares(study: Study) -> tuple[Share, ...]:
    """Every phase in which the engine runs, by day and night, all well and each one alone."""
    return _shared(study, tuple(_situations(study)))


def shares_all_well(study: Study) -> tuple[Share, ...]:
    """Those with nothing lost, which are known without solving the others."""
    return _shared(study, ALL_WELL)


def _shared(study: Study, asked: tuple[tuple[Situation, Scenario], ...]) -> tuple[Share, ...]:
    known = _known_shares(study)
    left = tuple(one for one in asked if one[1] not in known)
    if left and alternators(study):
        found = _Sharing(study, left)
        known.update({scenario: tuple(found.every(scenario)) for _, scenario in left})
    return tuple(share for _, scenario in asked for share in known.get(scenario, ()))


@analysis
def _known_shares(study: Study) -> dict[Scenario, tuple[Share, ...]]:
    """Those asked for so far: what is asked for together is solved together."""
    del study
    return {}


ALL_WELL: tuple[tuple[Situation, Scenario], ...] = (("all well", NORMAL),)


def _situations(study: Study) -> Iterator[tuple[Situation, Scenario]]:
    yield from ALL_WELL
    every = frozenset(alternators(study))
    after: tuple[tuple[Situation, bool], ...] = (("alone", False), ("alone, shed", True))
    for name in alternators(study) if len(every) > 1 else ():
        for situation, shed in after:
            yield (
                situation,
                Scenario(
                    name=f"{name}-{situation}",
                    title=f"{study.system.title('sources', name)} {situation}",
                    lost=every - {name},
                    emergency=shed,
                ),
            )


class _Sharing:
    def __init__(self, study: Study, asked: tuple[tuple[Situation, Scenario], ...]) -> None:
        self.study = study
        self.situation = {scenario: word for word, scenario in asked}
        phases = [
            name
            for name, phase in study.document.phases.items()
            if phase.engine is None or phase.engine.state == "running"
        ]
        self.cases = tuple(
            Case(phase=phase, condition=condition, scenario=scenario, count=count)
            for count in COUNTS
            for scenario in self.situation
            for phase in phases
            for condition in conditions(study)
        )
        self.at = {case: i for i, case in enumerate(self.cases)}
        self.model: Model = build(study, self.cases, sizing(study).sizes())
        self.names = [branch.name for branch in self.model.netlist.alternators]
        self._known: dict[tuple[bytes, tuple[int, ...]], Mapping[str, int]] = {}
        """What is joined, by closed contacts and conducting diodes: many cases are alike."""
        values = self.model.values
        steady = slice(0, len(self.cases) // len(COUNTS))
        self.real = solve(self.model.netlist, values.take(steady))
        """Of the steady cases, which stand first."""
        charging = [b.name.endswith("#charge") for b in self.model.netlist.diodes]
        self.free = solve(
            self.model.netlist,
            replace(
                values,
                alternator_limit_a=np.where(self._turning(), UNBOUND_A, 0.0),
                diode_forward_v=np.where(
                    np.array(charging, bool)[:, None], BLOCKED_V, values.diode_forward_v
                ),
            ),
        )

    def _turning(self) -> Array:
        """1 where an alternator works and gives anything, or may: its output is not known."""
        found = np.zeros((len(self.names), len(self.cases)))
        for row, name in enumerate(self.names):
            for i, case in enumerate(self.cases):
                step = output(self.study, name, alternators(self.study)[name], case.phase)
                works = has_field(self.study, name, case)
                found[row, i] = works and (step is None or step.result.value > 0)
        return found

    def every(self, scenario: Scenario) -> Iterator[Share]:
        for case in self.cases:
            if case.count == "steady" and case.scenario == scenario:
                yield from self._case(case, self.situation[scenario])

    def _case(self, case: Case, situation: Situation) -> Iterator[Share]:
        now = self.at[case]
        most = self.at[replace(case, count="lasting")]
        joined = self._joined(now)
        groups = self._groups(case, most, joined)
        drawn = self._drawn(self.real, now, groups, joined)
        missing = self._drawn(self.free, most, groups, joined)
        solved = all(
            solution.state[i] == State.SOLVED
            for solution, i in ((self.real, now), (self.free, most))
        )
        given = [self._given(self.real, group, now) for group in groups]
        extra = [
            max(0.0, real - self._given(self.free, group, now))
            for real, group in zip(given, groups, strict=True)
        ]
        loads = tuple(self._loads(now))
        every_a = sum(a for _, a in loads)
        for g, (group, out_a, help_a) in enumerate(zip(groups, given, drawn, strict=True)):
            limited = all(self._limited(name, now) for name in group)
            yield Share(
                phase=case.phase,
                condition=case.condition,
                situation=situation,
                sources=group,
                can_a=self._can(group, case, now),
                given_a=out_a,
                drawn_a=help_a,
                asked_a=self._given(self.free, group, most) + max(0.0, missing[g]),
                lights_a=self._lights(most),
                lasting=tuple(self._lasting(most, group).items()),
                limited=limited,
                solved=solved,
                loads=loads,
                others_a=every_a - out_a - help_a,
                help_a=sum(extra) - extra[g] if limited else 0.0,
            )

    def _can(self, group: tuple[str, ...], case: Case, at: int) -> float | None:
        limits = self.model.values.alternator_limit_a[:, at]
        every = alternators(self.study)
        steps = [output(self.study, name, every[name], case.phase) for name in group]
        if any(step is None for step in steps):
            return None
        return float(sum(limits[self.names.index(name)] for name in group))

    def _given(self, solution: Solution, group: tuple[str, ...], case: int) -> float:
        return sum(self._amps(solution, name, case) for name in group)

    def _amps(self, solution: Solution, name: str, case: int) -> float:
        return float(solution.alternator_a[self.names.index(name), case])

    def _limited(self, name: str, case: int) -> bool:
        return bool(self.real.alternator_limited[self.names.index(name), case])

    def _joined(self, case: int, diodes: tuple[int, ...] = ()) -> Mapping[str, int]:
        """Node → a number shared by all that closed contacts, wires and these diodes join."""
        closed = np.isfinite(self.model.values.resistance_ohm[:, case])
        key = closed.tobytes(), diodes
        if key not in self._known:
            net = self.model.netlist
            number = {node: k for k, node in enumerate(net.nodes())}
            joining = [branch for branch, on in zip(net.resistors, closed, strict=True) if on]
            joining += [net.diodes[k] for k in diodes]
            found = roots(len(number), ((number[one.a], number[one.b]) for one in joining))
            self._known[key] = dict(zip(number, found, strict=True))
        return self._known[key]

    def _groups(
        self, case: Case, most: int, joined: Mapping[str, int]
    ) -> tuple[tuple[str, ...], ...]:
        """Those that carry together on one bus; each of the others alone."""
        groups: list[list[str]] = []
        for name in self.names:
            if name in case.scenario.lost:
                continue
            bus = joined[f"{name}.+"]
            mates = [g for g in groups if joined[f"{g[0]}.+"] == bus and self._carries(g[0], most)]
            if mates and self._carries(name, most):
                mates[0].append(name)
            else:
                groups.append([name])
        return tuple(tuple(group) for group in groups)

    def _carries(self, name: str, most: int) -> bool:
        rated = alternators(self.study)[name].rated_a() or 0.0
        return self._amps(self.free, name, most) > IDLE_SHARE * rated

    def _drawn(
        self,
        solution: Solution,
        case: int,
        groups: Sequence[tuple[str, ...]],
        joined: Mapping[str, int],
    ) -> list[float]:
        """Of each group: what comes out of the batteries on its bus, or else behind a diode."""
        found = [0.0] * len(groups)
        open_to = np.flatnonzero(solution.diode_a[:, case] > CONDUCTS_A)
        beside = self._joined(case, tuple(open_to.tolist()))
        for k, branch in enumerate(self.model.netlist.batteries):
            amps = -float(solution.battery_a[k, case])
            able = [g for g in groups if amps > 0 or self._given(solution, g, case) > 0]
            near = self._near(branch.name, able, joined) or self._near(branch.name, able, beside)
            if near:
                chosen = max(near, key=lambda group: self._weight(solution, group, case, amps))
                found[groups.index(chosen)] += amps
        return found

    def _near(
        self, battery: str, groups: Sequence[tuple[str, ...]], joined: Mapping[str, int]
    ) -> list[tuple[str, ...]]:
        bus = joined[f"{battery}.+"]
        return [group for group in groups if any(joined[f"{name}.+"] == bus for name in group)]

    def _weight(
        self, solution: Solution, group: tuple[str, ...], case: int, amps: float
    ) -> tuple[bool, float]:
        """A battery helps the one that is at its limit, and is charged by the one that gives."""
        limited = all(solution.alternator_limited[self.names.index(n), case] for n in group)
        return limited and amps > 0, self._given(solution, group, case)

    def _loads(self, case: int) -> Iterator[tuple[str, float]]:
        for k, port in enumerate(self.model.ports):
            amps = float(self.real.load_a[k, case])
            if amps > 0:
                yield port.name, amps

    def _lasting(self, case: int, group: tuple[str, ...]) -> Mapping[str, float]:
        """What loads on its side draw, past closed contacts and diodes that conduct."""
        open_to = np.flatnonzero(self.free.diode_a[:, case] > CONDUCTS_A)
        joined = self._joined(case, tuple(open_to.tolist()))
        sides = {joined[f"{name}.+"] for name in group}
        found: dict[str, float] = {}
        for k, port in enumerate(self.model.ports):
            amps = float(self.free.load_a[k, case])
            load = port.mode != "coil" and port.equipment in self.study.document.equipment
            if amps > 0 and load and joined[self.model.netlist.loads[k].a] in sides:
                found[port.equipment] = found.get(port.equipment, 0.0) + amps
        return found

    def _lights(self, case: int) -> float:
        return sum(
            float(self.free.load_a[k, case])
            for k, port in enumerate(self.model.ports)
            if port.mode != "coil"
            and port.equipment in self.study.document.equipment
            and self.study.document.equipment[port.equipment].role == "landing light"
        )


__all__ = ["IDLE_SHARE", "Share", "Situation", "alternators", "shares", "shares_all_well"]
