"""How long the battery carries the essential loads once the alternator is gone.

In: the network, batteries, shedding. Out: `Endurance`: the published ampere-minute sum and a
simulation over time, both shown; the shorter counts. In a system without an alternator: how long
the battery carries the flight.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

import numpy as np

from elec.analyses.cases import NORMAL, Case, Scenario, scenarios, unshed
from elec.analyses.chains import chains
from elec.analyses.circuit_model import Model, build, minimum_v
from elec.analyses.demand import cells_factor, conditions
from elec.analyses.points import points
from elec.analyses.sizing import sizing
from elec.analyses.sources import open_circuit_v, peukert, rated_s
from elec.model.source import Battery, LeadAcid, Lithium
from elec.model.system import Condition
from elec.network.netlist import Array, Solution, Values
from elec.network.solve import solve
from elec.physics.battery import (
    budget_ampere_minutes,
    drawn_share_per_h,
    endurance_min,
    shed_time_min,
    temperature_factor,
)
from elec.standards import NotCovered, default, table
from elec.study import Study, analysis
from elec.working import Step, Term, Working

STEP_S = 30.0
LONGEST_S = 24 * 3600.0
GRID = 4
"""Rest voltages of each battery at which the network is solved; between them straight lines."""


@dataclass(frozen=True, kw_only=True)
class Sample:
    """One moment after the failure."""

    time_s: float
    voltage_v: float
    """At the terminals of the battery that is emptied first."""
    current_a: float
    """Drawn from all batteries together."""
    state_of_charge: float
    lowest_margin_v: float
    """Least voltage of an essential load above its minimum."""
    lowest_load: str


@dataclass(frozen=True, kw_only=True)
class Endurance:
    """The answer for one system. Times are None where they cannot be told; `unknown` says why."""

    alternator: bool
    condition: Condition
    cruise: str
    landing: str
    hand_min: float | None
    hand: Working
    simulated_min: float | None
    ends_with: str
    """What ends the simulation: `battery empty`, or the load that falls below its minimum."""
    samples: tuple[Sample, ...]
    sheds: tuple[tuple[float, str], ...]
    """(time in s, what is shed)."""
    unknown: tuple[str, ...] = ()
    batteries: tuple[str, ...] = ()
    longest: bool = False
    """True where the simulation was ended after 24 h."""

    @property
    def minutes(self) -> float | None:
        """The shorter of the two."""
        known = [t for t in (self.hand_min, self.simulated_min) if t is not None]
        return min(known) if len(known) == 2 else None


def batteries(study: Study) -> Mapping[str, Battery]:
    """The batteries of the system."""
    return {
        name: source
        for name, source in study.document.sources.items()
        if isinstance(source, LeadAcid | Lithium)
    }


def cruise_phase(study: Study) -> str:
    """The longest phase in which the engine runs, or the longest of all."""
    phases = study.document.phases
    running = [n for n, p in phases.items() if p.engine is None or p.engine.state == "running"]
    return max(running or list(phases), key=lambda name: phases[name].lasts_s)


@analysis
def endurance(study: Study) -> Endurance | None:
    """The endurance; None for a system without a battery or without phases."""
    if not batteries(study) or not study.document.phases:
        return None
    return _Endurance(study).result()


class _Endurance:
    def __init__(self, study: Study) -> None:
        self.study = study
        self.batteries = batteries(study)
        self.alternator = any(s.kind == "alternator" for s in study.document.sources.values())
        self.cruise = cruise_phase(study)
        self.steady = self._steady_amps()
        self.condition = self._worst_condition()
        self.landing = self._landing_phase()

    # -- currents out of the solved cases --------------------------------------------------------

    def _steady_amps(self) -> Mapping[tuple[str, str, str], float]:
        """(phase, condition, scenario) → current out of the batteries.

        All loads counted with their share.
        """
        found = points(self.study)
        drawn = -found.solution.battery_a.sum(axis=0)
        return {
            (c.phase, c.condition, c.scenario.name): float(drawn[i])
            for i, c in enumerate(found.cases)
            if c.count == "steady"
        }

    @property
    def emergency(self) -> Scenario:
        """The state after shedding; plain operation where there is no alternator to lose."""
        if not self.alternator:
            return NORMAL
        return next(s for s in scenarios(self.study) if s.emergency)

    @property
    def recognition(self) -> Scenario:
        return unshed(self.study) if self.alternator else NORMAL

    def _worst_condition(self) -> Condition:
        name = self.emergency.name
        return max(
            reversed(conditions(self.study)), key=lambda c: self.steady[self.cruise, c, name]
        )

    def _landing_phase(self) -> str:
        """The phase after cruise that draws most after shedding; cruise where none follows."""
        names = list(self.study.document.phases)
        later = names[names.index(self.cruise) :]
        return max(later, key=lambda phase: self.steady[phase, self.condition, self.emergency.name])

    # -- the published sum -----------------------------------------------------------------------

    def _hand(self) -> tuple[float | None, Working]:
        factor, terms, formula = default("battery-factor"), [], []
        before: list[Step] = []
        for i, (name, battery) in enumerate(self._counted().items(), 1):
            given = battery.usable
            usable = factor.si if given is None else given
            origin = factor.origin if given is None else str(self._where(name, "usable"))
            capacity = self._one_hour(name, battery, f"C{i}", before)
            terms += [
                Term(
                    symbol=f"f{i}",
                    value=usable,
                    unit="",
                    meaning="share to count on",
                    origin=origin,
                ),
                capacity,
            ]
            formula.append(f"f{i} * C{i}")
        budget = sum(
            budget_ampere_minutes(capacity_ah=b.value, factor=a.value)
            for a, b in zip(terms[::2], terms[1::2], strict=True)
        )
        charge = Step(
            result=Term(
                symbol="Q",
                value=budget,
                unit="A min",
                meaning="charge to count on",
                origin="computed",
            ),
            formula=f"({' + '.join(formula)}) * 60",
            terms=tuple(terms),
            source=factor.source,
        )
        first = (*before, charge)
        if not self.alternator:
            return self._hand_plain(budget, first)
        return self._hand_emergency(budget, first)

    def _one_hour(self, name: str, battery: Battery, symbol: str, steps: list[Step]) -> Term:
        """The capacity at the one-hour rate; converted by Peukert's law where rated over longer."""
        title = self.study.system.title("sources", name)
        hours = (battery.rate_s or rated_s()) / 3600
        given = Term(
            symbol=symbol if hours == 1 else symbol.replace("C", "Cr"),
            value=battery.capacity_ah,
            unit="Ah",
            meaning=f"capacity of {title} at {hours:g} h",
            origin=str(self._where(name, "capacity")),
        )
        if hours == 1:
            return given
        exponent = peukert(battery)
        where = self._where(name, "peukert") if battery.peukert else "Peukert exponents, judgement"
        terms = (
            given,
            Term(
                symbol=symbol.replace("C", "H"),
                value=hours,
                unit="h",
                meaning="rated time",
                origin=str(self._where(name, "rate")),
            ),
            Term(
                symbol=symbol.replace("C", "k"),
                value=exponent,
                unit="",
                meaning="Peukert exponent",
                origin=str(where),
            ),
        )
        result = Term(
            symbol=symbol,
            value=battery.capacity_ah * hours ** (1 / exponent - 1),
            unit="Ah",
            meaning=f"capacity of {title} at one hour",
            origin="computed",
        )
        steps.append(
            Step(
                result=result,
                formula=f"{terms[0].symbol} * {terms[1].symbol} ** (1 / {terms[2].symbol} - 1)",
                terms=terms,
                source="Peukert's law; CAP 562 4.1 counts on the one-hour rate",
            )
        )
        return result

    def _counted(self) -> Mapping[str, Battery]:
        """The batteries that carry current in the state looked at."""
        found = points(self.study)
        mask = found.select(
            phase=self.cruise,
            condition=self.condition,
            scenario=self.emergency.name,
            count="steady",
        )
        index = int(np.flatnonzero(mask)[0])
        names = [b.name for b in found.model.netlist.batteries]
        alive = {
            name: battery
            for name, battery in self.batteries.items()
            if -found.solution.battery_a[names.index(name), index] > 1e-3
        }
        return alive or self.batteries

    def _where(self, name: str, key: str) -> object:
        return self.study.system.where("sources", name, key)

    def _amps(self, symbol: str, phase: str, scenario: Scenario, meaning: str) -> Term:
        return Term(
            symbol=symbol,
            value=max(0.0, self.steady[phase, self.condition, scenario.name]),
            unit="A",
            meaning=meaning,
            origin=f"solved network: {phase}, {self.condition}, {scenario.title}",
        )

    def _hand_plain(self, budget: float, first: tuple[Step, ...]) -> tuple[float | None, Working]:
        load = self._amps("I", self.cruise, NORMAL, f"battery current in {self.cruise}")
        minutes = budget / load.value if load.value > 0 else None
        step = Step(
            result=Term(
                symbol="t",
                value=math.inf if minutes is None else minutes,
                unit="min",
                meaning="time that the battery carries this load",
                origin="computed",
            ),
            formula="Q / I",
            terms=(first[-1].result, load),
            source="CAP 562 4.1",
        )
        return minutes, Working(title="Battery endurance by ampere-minutes", steps=(*first, step))

    def _hand_emergency(
        self, budget: float, first: tuple[Step, ...]
    ) -> tuple[float | None, Working]:
        t1, t2 = default("recognition-time"), default("landing-time")
        before = self._amps("I1", self.cruise, self.recognition, "battery current until shedding")
        shed = self._amps("I3", self.cruise, self.emergency, "battery current after shedding")
        landing = self._amps(
            "I2", self.landing, self.emergency, f"battery current in {self.landing}"
        )
        terms = (
            first[-1].result,
            before,
            Term(symbol="t1", value=t1.value, unit="min", meaning=t1.meaning, origin=t1.origin),
            landing,
            Term(symbol="t2", value=t2.value, unit="min", meaning=t2.meaning, origin=t2.origin),
            shed,
        )
        if shed.value <= 0:
            return None, Working(title="Battery endurance by ampere-minutes", steps=first)
        inputs = {
            "budget_ampere_minutes": budget,
            "recognition_min": t1.value,
            "recognition_current_a": before.value,
            "landing_min": t2.value,
            "landing_current_a": landing.value,
            "shed_current_a": shed.value,
        }
        rest = shed_time_min(**inputs)
        total = endurance_min(**inputs)
        second = Step(
            result=Term(
                symbol="t3",
                value=rest,
                unit="min",
                meaning="time on the shed load",
                origin="computed",
            ),
            formula="max(0, (Q - I1 * t1 - I2 * t2) / I3)",
            terms=terms,
            source=t1.source,
        )
        steps: tuple[Step, ...] = (*first, second)
        if rest > 0:
            third = Step(
                result=Term(
                    symbol="t",
                    value=total,
                    unit="min",
                    meaning="time from the failure",
                    origin="computed",
                ),
                formula="t1 + t2 + t3",
                terms=(terms[2], terms[4], second.result),
            )
            steps = (*steps, third)
        return total, Working(title="Battery endurance by ampere-minutes", steps=steps)

    # -- the simulation --------------------------------------------------------------------------

    def result(self) -> Endurance:
        hand_min, hand = self._hand()
        samples, ended, sheds, longest = _Simulation(self).run()
        fed = chains(self.study).feeds
        unknown = tuple(
            name
            for name, entry in self.study.document.equipment.items()
            if name in fed and not entry.passive and entry.draw is None and not entry.modes
        )
        return Endurance(
            alternator=self.alternator,
            condition=self.condition,
            cruise=self.cruise,
            landing=self.landing,
            hand_min=hand_min,
            hand=hand,
            simulated_min=samples[-1].time_s / 60 if samples else None,
            ends_with=ended,
            samples=tuple(samples),
            sheds=sheds,
            unknown=unknown,
            batteries=tuple(self._counted()),
            longest=longest,
        )


class _Simulation:
    """Steps through time.

    The network is solved once on a grid of rest voltages and shedding steps.
    """

    def __init__(self, setting: _Endurance) -> None:
        self.setting = setting
        self.study = setting.study
        self.names = tuple(setting.batteries)
        self.stages = self._stages()
        self.axes = [self._axis(name) for name in self.names]
        self.bodies = {name: self._body(name) for name in self.names}
        self.model, self.solution = self._solve()

    def _stages(self) -> tuple[tuple[float, Scenario, str], ...]:
        """(start in s, scenario, what happens then)."""
        if not self.setting.alternator:
            return ((0.0, NORMAL, ""),)
        seen = default("recognition-time").si
        later = sorted(
            {
                float(e.shed)
                for e in self.study.document.equipment.values()
                if isinstance(e.shed, float) and e.shed > seen and not e.essential
            }
        )
        base = self.setting.emergency
        stages = [
            (0.0, self.setting.recognition, "alternator lost"),
            (seen, _after(base, seen), "loads shed"),
        ]
        stages += [(t, _after(base, t), "further loads shed") for t in later]
        return tuple(stages)

    def _axis(self, name: str) -> Array:
        battery = self.setting.batteries[name]
        return np.linspace(
            open_circuit_v(self.study, battery, 0.0), open_circuit_v(self.study, battery, 1.0), GRID
        )

    def _solve(self) -> tuple[Model, Solution]:
        grid = list(product(*(range(GRID) for _ in self.names)))
        phase, condition = self.setting.cruise, self.setting.condition
        solved = tuple(
            Case(phase=phase, condition=condition, scenario=scenario, count="steady")
            for _, scenario, _ in self.stages
            for _ in grid
        )
        model = build(self.study, solved, sizing(self.study).sizes())
        order = [b.name for b in model.netlist.batteries]
        emf = model.values.battery_emf_v.copy()
        for axis, name in zip(self.axes, self.names, strict=True):
            position = self.names.index(name)
            row = [axis[point[position]] for point in grid] * len(self.stages)
            emf[order.index(name)] = row
        values = _with_emf(model.values, emf)
        return model, solve(model.netlist, values)

    def _table(self, data: Array, stage: int) -> Array:
        size = GRID ** len(self.names)
        return data[..., stage * size : (stage + 1) * size].reshape(
            *data.shape[:-1], *([GRID] * len(self.names))
        )

    def run(self) -> tuple[list[Sample], str, tuple[tuple[float, str], ...], bool]:
        """Samples until the first essential load starves or a battery that feeds one is empty."""
        order = [b.name for b in self.model.netlist.batteries]
        rows = [order.index(name) for name in self.names]
        margin, names = self._margins()
        count = len(self.names)
        data = np.concatenate([-self.solution.battery_a[rows], self._terminal(), margin])
        tables = [self._table(data, stage) for stage in range(len(self.stages))]
        share = [self._start(name) for name in self.names]
        samples: list[Sample] = []
        time_s, stage = 0.0, 0
        while time_s <= LONGEST_S:
            while stage + 1 < len(self.stages) and time_s >= self.stages[stage + 1][0] - 1e-6:
                stage += 1
            rest = [
                open_circuit_v(self.study, self.setting.batteries[n], s)
                for n, s in zip(self.names, share, strict=True)
            ]
            now = self._at(tables[stage], rest)
            current, terminal, over = now[:count], now[count : 2 * count], now[2 * count :]
            worst = int(np.argmin(over)) if len(names) else -1
            feeding = [i for i in range(len(share)) if current[i] > 1e-3]
            lowest = min(feeding or range(len(share)), key=lambda i: share[i])
            samples.append(
                Sample(
                    time_s=time_s,
                    voltage_v=float(terminal[lowest]),
                    current_a=float(sum(current)),
                    state_of_charge=share[lowest],
                    lowest_margin_v=float(over[worst]) if worst >= 0 else math.nan,
                    lowest_load=names[worst] if worst >= 0 else "",
                )
            )
            if worst >= 0 and not over[worst] >= 0:
                return samples, names[worst], self._sheds(time_s), False
            if feeding and all(share[i] <= 0 for i in feeding):
                return samples, "battery empty", self._sheds(time_s), False
            if any(self._cut(i, float(terminal[i])) for i in feeding):
                return samples, "battery cut-off", self._sheds(time_s), False
            step = STEP_S
            if stage + 1 < len(self.stages):
                step = min(step, max(1e-3, self.stages[stage + 1][0] - time_s))
            for i, name in enumerate(self.names):
                share[i] -= self._rate(name, float(current[i])) * step / 3600
            time_s += step
        return samples, "", self._sheds(time_s), True

    def _cut(self, index: int, terminal_v: float) -> bool:
        cutoff = self.setting.batteries[self.names[index]].cutoff_v
        return cutoff is not None and terminal_v < cutoff

    def _sheds(self, until_s: float) -> tuple[tuple[float, str], ...]:
        return tuple((t, what) for t, _, what in self.stages if what and t <= until_s)

    def _at(self, grid: Array, rest: list[float]) -> Array:
        """Straight lines between the grid's rest voltages, one axis after the other."""
        for axis, value in zip(self.axes, rest, strict=True):
            at = float(np.clip((value - axis[0]) / (axis[-1] - axis[0]) * (GRID - 1), 0, GRID - 1))
            low = min(int(at), GRID - 2)
            part = at - low
            grid = grid[:, low] * (1 - part) + grid[:, low + 1] * part
        return grid

    def _terminal(self) -> Array:
        nodes = {name: i for i, name in enumerate(self.solution.nodes)}
        return np.array(
            [
                self.solution.voltage_v[nodes[f"{name}.+"]]
                - self.solution.voltage_v[nodes[f"{name}.-"]]
                for name in self.names
            ]
        )

    def _margins(self) -> tuple[Array, tuple[str, ...]]:
        """Voltage above its minimum of every essential load that is on."""
        rows, names = [], []
        for i, port in enumerate(self.model.ports):
            entry = self.study.document.equipment.get(port.equipment)
            essential = entry is not None and (entry.essential or not self.setting.alternator)
            if entry is None or not essential:
                continue
            on = np.isfinite(self.model.values.load_value[i]) & (
                self.model.values.load_value[i] != 0
            )
            margin = self.solution.load_v[i] - minimum_v(self.study, entry)
            rows.append(np.where(on, margin, np.inf))
            names.append(port.equipment)
        data = np.array(rows).reshape(len(rows), self.solution.load_v.shape[1])
        return np.nan_to_num(data, posinf=1e3, nan=-1.0), tuple(names)

    def _start(self, name: str) -> float:
        """State of charge at the failure; 1 where the builder counts on a share of his own."""
        given = self.setting.batteries[name].usable
        return default("battery-state-of-charge").si if given is None else 1.0

    def _rate(self, name: str, current_a: float) -> float:
        """Share of the full charge of the aged battery that is drawn in an hour."""
        if current_a <= 0:
            return 0.0
        aged_ah, hours, exponent = self.bodies[name]
        return drawn_share_per_h(
            capacity_ah=aged_ah, rated_h=hours, peukert_exponent=exponent, current_a=current_a
        )

    def _body(self, name: str) -> tuple[float, float, float]:
        """Capacity left by age and cold, the hours it is rated for, the Peukert exponent."""
        battery = self.setting.batteries[name]
        usable = default("battery-factor").si if battery.usable is None else battery.usable
        aged = usable / self._start(name) * self._temperature(battery)
        hours = (battery.rate_s or rated_s()) / 3600
        return battery.capacity_ah * aged, hours, peukert(battery)

    @staticmethod
    def _temperature(battery: Battery) -> float:
        degc = battery.coldest_degc
        if degc is None:
            degc = default("battery-temperature").value
        if isinstance(battery, Lithium):
            try:
                return table("elec/lithium_temperature").value("share", temperature_degc=degc)
            except NotCovered:
                return 1.0 if degc >= 25 else 0.8
        try:
            return temperature_factor(temperature_degc=degc, discharge_min=60.0)
        except NotCovered:
            return 1.0


def _after(base: Scenario, time_s: float) -> Scenario:
    from dataclasses import replace

    return replace(base, after_s=time_s)


def _with_emf(values: Values, emf: Array) -> Values:
    from dataclasses import replace

    return replace(values, battery_emf_v=emf)


__all__ = [
    "Endurance",
    "Sample",
    "batteries",
    "cells_factor",
    "cruise_phase",
    "endurance",
    "peukert",
    "rated_s",
]
