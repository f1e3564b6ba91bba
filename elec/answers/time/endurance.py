"""How long the battery carries the essential loads once the alternator is gone.

In: the network, batteries, shedding. Out: `Endurance`: the published ampere-minute sum, and a
simulation over time of aged batteries on the cold day, by Peukert's law, with a landing at its end;
both are shown, the shorter counts. In a system without an alternator: how long the battery carries
the flight.
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.bodies import batteries, usable_step
from elec.answers.base.days import Day, DayName, bank, days
from elec.answers.base.points import points
from elec.answers.time.alone import LONGEST_S, Alone, AloneEnd, Stage, seen_s, to_the_ground
from elec.answers.time.course import DRAWN_A, Course, FlightLeg, march
from elec.answers.time.lattice import ChargeLine, Lattice, LatticeSetting
from elec.model.source import Battery
from elec.model.system import Condition
from elec.physics.battery import (
    budget_ampere_minutes,
    endurance_min,
    one_hour_capacity_ah,
    shed_time_min,
)
from elec.standards import Cite, cited, default
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Case, Scenario, scenarios, unshed
from elec.wiring.chains import chains
from elec.wiring.demand import cells_factor, conditions
from elec.wiring.hand import said
from elec.wiring.sources import has_alternator, one_hour_ah, peukert, peukert_cite, rated_s
from elec.working import COMPUTED, Step, Term, Working, computed, given

BUDGET = Cite("cap562", "4.1", "seen")
"""Where a battery's endurance is counted in ampere-hours of the one-hour rate."""
STEP_S = 30.0
"""How far apart the samples are; the end and every shedding have one of their own."""
EXPECTED = 1.15
"""How much more than by the solved cases may be drawn before more of the lattice is solved."""
FINER = 6.0
"""Where batteries share a load the course is found twice, then on steps so many times smaller,
which need be solved only along it."""
SHARED_PER_S = 1e-9
"""A battery whose charge falls slower takes no part in a load."""


class Sample(Struct, frozen=True, kw_only=True):
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


class Endurance(Struct, frozen=True, kw_only=True):
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
    day: Day
    """The day of the simulation."""
    seen_s: float
    """When the failure is seen and loads are shed; 0 where there is nothing to lose."""
    warned: bool
    """Whether the low-voltage warning comes on later than the time counted on by custom."""
    landing_s: float | None
    """When the landing of the simulation begins; None where none is flown."""

    @property
    def minutes(self) -> float | None:
        """The shorter of the two."""
        known = [t for t in (self.hand_min, self.simulated_min) if t is not None]
        return min(known) if len(known) == 2 else None

    @property
    def landing_min(self) -> float:
        """How long the landing of the simulation lasted; 0 where none is flown."""
        if self.landing_s is None or self.simulated_min is None:
            return 0.0
        return max(0.0, self.simulated_min - self.landing_s / 60)


def cruise_phase(study: Study) -> str:
    """The longest phase in which the engine runs, or the longest of all."""
    phases = study.document.phases
    running = [n for n, p in phases.items() if p.engine is None or p.engine.state == "running"]
    return max(running or list(phases), key=lambda name: phases[name].lasts_s)


@analysis
def endurance(study: Study) -> Endurance | None:
    """The endurance; None for a system without a battery or without phases."""
    return _on_days(study, ("cold",))[0]


@analysis
def usual_endurance(study: Study) -> Endurance | None:
    """The same on the usual day, to be shown beside it."""
    return _on_days(study, ("usual",))[0]


def both_endurances(study: Study) -> None:
    """Work out both side by side, for whoever shows both: quicker than one after the other."""
    cold, usual = _on_days(study, ("cold", "usual"))
    study.keep(endurance, cold)
    study.keep(usual_endurance, usual)


def _on_days(study: Study, names: tuple[DayName, ...]) -> list[Endurance | None]:
    """The endurance on each day; None for a system without a battery or without phases."""
    if not batteries(study) or not study.document.phases:
        return [None] * len(names)
    every = [_Endurance(study, name) for name in names]
    flown = _Simulation(every).run()
    return [one.result(way) for one, way in zip(every, flown, strict=True)]


class _Endurance:
    def __init__(self, study: Study, day: DayName) -> None:
        self.study = study
        self.day = next(one for one in days(study) if one.name == day)
        self.seen_s = 0.0
        self.batteries = batteries(study)
        self.alternator = has_alternator(study)
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
        return emergency_of(self.study) if self.alternator else NORMAL

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
        terms: list[Term] = []
        formula: list[str] = []
        before: list[Step] = []
        for i, (name, battery) in enumerate(self._counted().items(), 1):
            terms.append(self._share(name, battery, i, before))
            terms.append(self._one_hour(name, battery, f"C{i}", before))
            formula.append(f"f{i} * C{i}")
        text = f"({' + '.join(formula)}) * 60"
        charge = computed("Q", "A min", "charge to count on", text, terms,
                          source=cited(budget_ampere_minutes))  # fmt: skip
        first = (*before, charge)
        if not self.alternator:
            return self._hand_plain(first)
        return self._hand_emergency(first)

    def _share(self, name: str, battery: Battery, number: int, steps: list[Step]) -> Term:
        """The share of the nameplate to count on."""
        if battery.usable is None:
            steps.append(usable_step(self.study, number))
            return steps[-1].result
        where = str(self._where(name, "usable"))
        return Term(f"f{number}", battery.usable, "", "share to count on", where)

    def _one_hour(self, name: str, battery: Battery, symbol: str, steps: list[Step]) -> Term:
        """The capacity at the one-hour rate; converted by Peukert's law where rated over longer."""
        title = self.study.system.title("sources", name)
        words = f"capacity of {title} at one hour"
        if battery.rates is not None:
            return Term(symbol, one_hour_ah(battery), "Ah", words, str(self._where(name, "rates")))
        hours = (battery.rate_s or rated_s()) / 3600
        given_ = given(
            battery.capacity_ah,
            str(self._where(name, "capacity")),
            f"capacity of {title} at {hours:g} h",
        )
        if hours == 1:
            return replace(given_, symbol=symbol, unit="Ah")
        where = self._where(name, "peukert") if battery.peukert else peukert_cite(battery)
        step = one_hour_capacity_ah.step(
            capacity_ah=given_,
            rated_h=given(hours, str(self._where(name, "rate"))),
            peukert_exponent=given(peukert(battery), str(where)),
            symbol=symbol,
            meaning=words,
            source=f"{cited(one_hour_capacity_ah)}; {BUDGET} counts on the one-hour rate",
        )
        steps.append(step)
        return step.result

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
        amps = max(0.0, self.steady[phase, self.condition, scenario.name])
        origin = f"solved network: {phase}, {self.condition}, {scenario.title}"
        return Term(symbol, amps, "A", meaning, origin)

    def _hand_plain(self, first: tuple[Step, ...]) -> tuple[float | None, Working]:
        load = self._amps("I", self.cruise, NORMAL, f"battery current in {self.cruise}")
        title, words = (
            "Battery endurance by ampere-minutes",
            "time that the battery carries this load",
        )
        if load.value <= 0:
            result = Term("t", math.inf, "min", words, COMPUTED)
            return None, Working(title=title, steps=(*first, Step(result=result)))
        step = computed("t", "min", words, "Q / I", (first[-1].result, load), source=str(BUDGET))
        return step.result.value, Working(title=title, steps=(*first, step))

    def _hand_emergency(self, first: tuple[Step, ...]) -> tuple[float | None, Working]:
        t1, t2 = default("recognition-time"), default("landing-time")
        before = self._amps("I1", self.cruise, self.recognition, "battery current until shedding")
        shed = self._amps("I3", self.cruise, self.emergency, "battery current after shedding")
        landing = self._amps(
            "I2", self.landing, self.emergency, f"battery current in {self.landing}"
        )
        if shed.value <= 0:
            return None, Working(title="Battery endurance by ampere-minutes", steps=first)
        inputs = {
            "budget_ampere_minutes": first[-1].result.value,
            "recognition_min": self.seen_s / 60,
            "recognition_current_a": before.value,
            "landing_min": t2.value,
            "landing_current_a": landing.value,
            "shed_current_a": shed.value,
        }
        second = shed_time_min.step(
            budget_ampere_minutes=first[-1].result,
            recognition_current_a=before,
            recognition_min=self._seen(),
            landing_current_a=landing,
            landing_min=said(t2, t2.value),
            shed_current_a=shed,
            source=t1.source,
        )
        total = endurance_min(**inputs)
        steps: tuple[Step, ...] = (*first, second)
        if second.result.value > 0:
            terms = (self._seen(), said(t2, t2.value, "t2", "min"), second.result)
            steps = (*steps, computed("t", "min", "time from the failure", "t1 + t2 + t3", terms))
        return total, Working(title="Battery endurance by ampere-minutes", steps=steps)

    def _seen(self) -> Term:
        """The time until loads are shed: by custom, or until the warning comes on."""
        usual = default("recognition-time")
        if self.seen_s <= usual.si:
            value, meaning, origin = usual.value, usual.meaning, usual.origin
        else:
            value, meaning = self.seen_s / 60, "time until the low-voltage warning comes on"
            origin = f"simulated, {self.day.title}"
        return Term("t1", value, "min", meaning, origin)

    # -- the simulation --------------------------------------------------------------------------

    def result(self, flown: "_Flown") -> Endurance:
        samples = flown.samples
        hand_min, hand = self._hand()
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
            ends_with=flown.ends_with,
            samples=tuple(samples),
            sheds=flown.sheds,
            unknown=unknown,
            batteries=tuple(self._counted()),
            longest=not flown.ends_with,
            day=self.day,
            seen_s=self.seen_s,
            warned=self.seen_s > default("recognition-time").si,
            landing_s=flown.landing_s,
        )


class _Flown(Struct, frozen=True, kw_only=True):
    """What the simulation of one day has found."""

    samples: list[Sample]
    """Until the first essential load starves or the last battery is empty."""
    ends_with: str
    """Empty: after the longest time only."""
    sheds: tuple[tuple[float, str], ...]
    """(time in s, what happens) up to the end."""
    landing_s: float | None
    """When the landing begins."""


class _Simulation:
    """Follows the charge from the failure until the first essential load starves, day by day.

    The days go side by side.
    """

    def __init__(self, every: Sequence[_Endurance]) -> None:
        self.every = every
        setting = every[0]
        self.setting = setting
        """What all days have in common."""
        self.study = setting.study
        self.stages = stages(self.study, setting.recognition, setting.emergency)
        self.bank = bank(self.study, tuple(one.day for one in every))
        lands = setting.alternator and setting.landing != setting.cruise
        phases = [setting.cruise] + ([setting.landing] if lands else [])
        self.per_day = len(phases) * len(self.stages)
        self.lattice = Lattice(
            self.study,
            tuple(
                LatticeSetting(
                    case=Case(phase=phase, condition=setting.condition, scenario=s, count="steady"),
                    day=day,
                )
                for day in range(len(every))
                for phase in phases
                for _, s, _ in self.stages
            ),
            self.bank,
            (default("hot-day").value,) * len(every),
            watched=watched(self.study),
        )
        landing = len(self.stages) if lands else 0
        """Settings of the landing follow those of the cruise."""
        self.alone = [
            Alone(
                start_s=0.0,
                state=np.array([one.start for one in bodies]),
                first=(FlightLeg(until_s=LONGEST_S, setting=number),),
                seen_s=0.0,
                after=tuple(
                    Stage(since_s=since, cruise=number + i, landing=number + i + landing)
                    for i, (since, _, _) in enumerate(self.stages)
                    if i > 0
                ),
            )
            for bodies, number in zip(self.bank.days, self._numbers(), strict=True)
        ]

    def _numbers(self) -> range:
        """The first setting of each day."""
        return range(0, len(self.every) * self.per_day, self.per_day)

    def run(self) -> list[_Flown]:
        """What is found on each day."""
        self._expect()
        if len(self.stages) > 1:
            seen = seen_s(self.lattice, self.alone)
            self.alone = [replace(a, seen_s=s) for a, s in zip(self.alone, seen, strict=True)]
            for one, at in zip(self.every, seen, strict=True):
                one.seen_s = at
        ends = self._fly(self.alone, [])
        shared = [i for i, end in enumerate(ends) if _shared(end.course)]
        found = {i: self._flown(i, end) for i, end in enumerate(ends) if i not in shared}
        if shared:
            self._finer([ends[i].course for i in shared])
            again = self._fly([self.alone[i] for i in shared], [ends[i].landing_s for i in shared])
            found |= {i: self._flown(i, end) for i, end in zip(shared, again, strict=True)}
        return [found[i] for i in range(len(ends))]

    def _fly(self, every: list[Alone], near_s: list[float | None]) -> list[AloneEnd]:
        if len(self.stages) > 1:
            return to_the_ground(self.lattice, every, near_s=near_s)
        courses = march(self.lattice, [one.unshed() for one in every])
        return [AloneEnd(course=course, landing_s=None) for course in courses]

    def _finer(self, rough: list[Course]) -> None:
        """Take a finer lattice, solved beside rough courses."""
        self.lattice = self.lattice.finer(FINER)
        self.lattice.expect(
            ChargeLine(setting=one.setting, first=one.start, last=one.end, opened=one.opened)
            for course in rough
            for one in course.stretches
        )

    def _flown(self, day: int, end: AloneEnd) -> _Flown:
        course, switched = end.course, self._switched(day)
        begun = [] if end.landing_s is None else [end.landing_s]
        sheds = zip(switched, self.stages, strict=True)
        return _Flown(
            samples=self._samples(course, [*switched, *begun]),
            ends_with=course.reason,
            sheds=tuple((t, what) for t, (_, _, what) in sheds if what and t <= course.ends_s),
            landing_s=end.landing_s,
        )

    def _expect(self) -> None:
        """Have all solved that will probably be passed, by what the solved cases draw."""
        found = points(self.study)
        order = [b.name for b in found.model.netlist.batteries]
        rows = [order.index(name) for name in self.bank.names]
        boxes = []
        for day, (number, alone) in enumerate(zip(self._numbers(), self.alone, strict=True)):
            high = alone.state
            for i, (since, scenario, _) in enumerate(self.stages):
                mask = found.select(
                    phase=self.setting.cruise,
                    condition=self.setting.condition,
                    scenario=scenario.name,
                    count="steady",
                )
                drawn = np.nan_to_num(-found.solution.battery_a[rows][:, mask][:, 0])
                low = np.where(drawn > DRAWN_A, 0.0, high)
                if i + 1 < len(self.stages):
                    slope = self.bank.slope_per_s(np.full(1, day), drawn[None])[0]
                    lasts = EXPECTED * (self.stages[i + 1][0] - since)
                    low = np.clip(high + slope * lasts, 0.0, 1.0)
                boxes.append((number + i, low, high))
                if i > 0 and alone.lands:
                    boxes.append((number + i + len(self.stages), np.zeros(len(high)), high))
                high = np.maximum(low, high + (low - high) / EXPECTED**2)
        self.lattice.expect_between(boxes)

    def _samples(self, course: Course, switched: list[float]) -> list[Sample]:
        switched = [t for t in switched if t < course.ends_s]
        times = sorted({*np.arange(0.0, course.ends_s, STEP_S).tolist(), *switched, course.ends_s})
        state, found = course.results(self.lattice, times)
        columns = self.lattice.columns
        amps, volts = found[:, columns.current], found[:, columns.terminal]
        margin = found[:, columns.margin]
        feeding = amps > DRAWN_A
        feeding |= ~feeding.any(axis=1, keepdims=True)
        every = np.arange(len(times))
        lowest = np.where(feeding, state, np.inf).argmin(axis=1)
        worst = margin.argmin(axis=1) if columns.loads else None
        least = None if worst is None else margin[every, worst].tolist()
        rows = zip(
            times,
            volts[every, lowest].tolist(),
            amps.sum(axis=1).tolist(),
            state[every, lowest].tolist(),
            [math.nan] * len(times) if least is None else least,
            [""] * len(times) if worst is None else [columns.loads[i] for i in worst.tolist()],
            strict=True,
        )
        return [
            Sample(
                time_s=time_s,
                voltage_v=voltage,
                current_a=current,
                state_of_charge=charge,
                lowest_margin_v=over,
                lowest_load=load,
            )
            for time_s, voltage, current, charge, over, load in rows
        ]

    def _switched(self, day: int) -> list[float]:
        """When loads are shed; those that are due before the failure is seen, then."""
        seen = self.every[day].seen_s
        return [max(since, seen) if i else 0.0 for i, (since, _, _) in enumerate(self.stages)]


def _shared(course: Course) -> bool:
    """Whether batteries give at the same time."""
    return any((one.start_slope < -SHARED_PER_S).sum() > 1 for one in course.stretches)


def stages(
    study: Study, recognition: Scenario, emergency: Scenario
) -> tuple[tuple[float, Scenario, str], ...]:
    """(start in s after the failure, scenario, what happens then)."""
    if recognition is NORMAL:
        return ((0.0, NORMAL, ""),)
    seen = default("recognition-time").si
    later = sorted(
        {
            float(e.shed)
            for e in study.document.equipment.values()
            if isinstance(e.shed, float) and e.shed > seen and not e.essential
        }
    )
    found = [
        (0.0, recognition, "alternator lost"),
        (seen, replace(emergency, after_s=seen), "loads shed"),
    ]
    found += [(t, replace(emergency, after_s=t), "further loads shed") for t in later]
    return tuple(found)


def emergency_of(study: Study) -> Scenario:
    """All alternators lost and loads shed."""
    return next(s for s in scenarios(study) if s.emergency)


def watched(study: Study) -> frozenset[str]:
    """Equipment whose voltage ends the time: what is essential; all where no alternator is lost."""
    alternator = has_alternator(study)
    return frozenset(
        name
        for name, entry in study.document.equipment.items()
        if entry.essential or not alternator
    )


__all__ = [
    "Endurance",
    "Sample",
    "batteries",
    "both_endurances",
    "cells_factor",
    "cruise_phase",
    "endurance",
    "peukert",
    "rated_s",
]
