"""The worst minute to lose the alternator, looked for all along the flight.

How long the battery lasts from then on.

In: the simulated flights. Out: `Losses`. Until the pilot notices, the flight goes on as planned
with everything on; then he sheds, flies on in cruise, and lands at the last moment at which the
batteries still carry a landing.
"""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.days import Day
from elec.answers.time.alone import LONGEST_S, Alone, Stage, seen_s, to_the_ground
from elec.answers.time.course import Course, FlightLeg
from elec.answers.time.endurance import endurance
from elec.answers.time.flight import FlightPart, Flights, Simulation, flights, simulation
from elec.answers.time.lattice import MOST_WHOLE
from elec.model.system import Condition
from elec.network.netlist import Array
from elec.study import Study, analysis
from elec.wiring.cases import unshed

EVERY_S = 600.0
LEAST_POINTS = 4
"""Moments of loss tried in each part of the flight, at the least, and one in ten minutes."""
MORE = 1.1
"""How much more than at first may be drawn until the failure is seen."""
FINER = 9
ROUNDS = 2
"""Around the worst of them so many more are tried, so often."""


class Loss(Struct, frozen=True, kw_only=True):
    """The alternator lost at one moment."""

    day: Day
    time_s: float
    """Since the start of the flight."""
    phase: str
    into_s: float
    """Since the start of that phase."""
    seen_s: float
    """When the failure is seen and loads are shed, from the loss."""
    lasts_s: float
    """Until the end, from the loss."""
    ends_with: str
    """Equipment, `battery empty` or `battery cut-off`; empty: nothing in 24 h."""
    charge: tuple[float, ...]
    """State of charge of each battery at the loss."""


UNTIL = {
    "battery empty": "until it is empty",
    "battery cut-off": "until it is at its cut-off voltage",
    "battery over its limit": "until its current is over its limit",
}
"""What is said of an end that is no equipment's."""


class Losses(Struct, frozen=True, kw_only=True):
    """All moments tried, and the worst."""

    condition: Condition
    tried: tuple[Loss, ...]
    """By day, then by time; the coarse ones."""
    worst: Loss
    cruise: str
    """The phase flown in after shedding."""

    def by_day(self, name: str) -> tuple[Loss, ...]:
        """The moments tried on one day."""
        return tuple(one for one in self.tried if one.day.name == name)


@analysis
def losses(study: Study) -> Losses | None:
    """The search; None without an alternator, a battery, or a phase with a running engine."""
    made, found, alone = simulation(study), flights(study), endurance(study)
    if made is None or found is None or alone is None or not alone.alternator:
        return None
    parts = [part for part in made.parts if _runs(study, part)]
    if not parts:
        return None
    return _Search(study, made, found, parts, alone.condition).run()


def _runs(study: Study, part: FlightPart) -> bool:
    engine = study.document.phases[part.phase].engine
    return engine is None or engine.state == "running"


class _Search:
    def __init__(
        self,
        study: Study,
        made: Simulation,
        found: Flights,
        parts: Sequence[FlightPart],
        condition: Condition,
    ) -> None:
        self.study = study
        self.made = made
        self.found = found
        self.parts = parts
        self.condition = condition
        self.seen_s = made.stages[1][0]

    def run(self) -> Losses:
        days = range(len(self.made.days))
        coarse = [(day, time) for day in days for time in self._moments(day)]
        self._expect()
        tried = self._lose(coarse, fine=False)
        worst = min(tried, key=lambda one: one.lasts_s)
        for _ in range(ROUNDS):
            worst = self._around(worst, tried)
        return Losses(
            condition=self.condition, tried=tuple(tried), worst=worst, cruise=self.made.cruise
        )

    def _moments(self, day: int) -> list[float]:
        """Moments tried first: closely on the cold day, on the others where phases meet."""
        times: set[float] = set()
        for part in self.parts:
            lasts = part.end_s - part.start_s
            count = max(LEAST_POINTS, int(np.ceil(lasts / EVERY_S)) + 1)
            count = count if self.made.days[day].name == "cold" else 2
            times |= set(np.linspace(part.start_s, part.end_s, count).tolist())
        return sorted(times)

    def _around(self, worst: Loss, tried: list[Loss]) -> Loss:
        """The worst between the two neighbours of the worst so far."""
        times = sorted({one.time_s for one in tried})
        at = times.index(worst.time_s)
        low, high = times[max(0, at - 1)], times[min(len(times) - 1, at + 1)]
        day = next(i for i, one in enumerate(self.made.days) if one.name == worst.day.name)
        more = self._lose(
            [(day, float(t)) for t in np.linspace(low, high, FINER)] + [(day, worst.time_s)],
            fine=True,
        )
        tried[:] = [one for one in tried if one.day.name != worst.day.name] + sorted(
            [one for one in tried if one.day.name == worst.day.name and one is not worst]
            + list({one.time_s: one for one in more}.values()),
            key=lambda one: one.time_s,
        )
        tried.sort(key=lambda one: [d.name for d in self.made.days].index(one.day.name))
        return min(more, key=lambda one: one.lasts_s)

    def _lose(self, asked: list[tuple[int, float]], *, fine: bool) -> list[Loss]:
        states = self._states(asked)
        every = [
            self._alone(day, time, state) for (day, time), state in zip(asked, states, strict=True)
        ]
        seen = seen_s(self.made.lattice, every)
        every = [replace(one, seen_s=at) for one, at in zip(every, seen, strict=True)]
        ended = to_the_ground(self.made.lattice, every, fine=fine)
        return [
            self._loss(day, one, landed.course)
            for (day, _), one, landed in zip(asked, every, ended, strict=True)
        ]

    def _states(self, asked: list[tuple[int, float]]) -> list[Array]:
        states: list[Array] = []
        for day, time in asked:
            _, state, _ = self.made.courses[day, self.condition].at([time])
            states.append(state[0])
        return states

    def _alone(self, day: int, time_s: float, state: Array) -> Alone:
        """On as planned until the failure is seen, then shed, in cruise, and a landing."""
        first = [
            FlightLeg(until_s=part.end_s, setting=self._lost(part, day))
            for part in self.made.parts
            if part.end_s > time_s + 1e-6
        ]
        last = FlightLeg(until_s=time_s + LONGEST_S, setting=self._lost(self.made.parts[-1], day))
        return Alone(
            start_s=time_s,
            state=state,
            first=(*first[:-1], last),
            seen_s=time_s + self.seen_s,
            after=tuple(
                Stage(
                    since_s=time_s + since,
                    cruise=self.made.after(self.made.cruise, self.condition, scenario, day),
                    landing=self.made.after(self.made.landing, self.condition, scenario, day),
                )
                for since, scenario, _ in self.made.stages[1:]
            ),
        )

    def _lost(self, part: FlightPart, day: int) -> int:
        return self.made.setting(part, self.condition, unshed(self.study), day)

    def _loss(self, day: int, alone: Alone, course: Course) -> Loss:
        time_s = alone.start_s
        part = next(p for p in self.parts if time_s <= p.end_s + 1e-6)
        begins = next(p.start_s for p in self.made.parts if p.phase == part.phase)
        return Loss(
            day=self.made.days[day],
            time_s=time_s,
            phase=part.phase,
            into_s=time_s - begins,
            seen_s=alone.seen_s - time_s,
            lasts_s=course.ends_s - time_s,
            ends_with=course.reason,
            charge=tuple(alone.state.tolist()),
        )

    def _expect(self) -> None:
        """Have solved what will be passed: a little below the flight, then all the way down."""
        lattice = self.made.lattice
        rows = [
            (day, part)
            for day in range(len(self.made.days))
            for part in self.made.parts
            if part.end_s + self.seen_s > self.parts[0].start_s
        ]
        states = [
            self.made.courses[day, self.condition].at(
                np.linspace(part.start_s, part.end_s, 9).tolist()
            )[1]
            for day, part in rows
        ]
        numbers = np.array([self._lost(part, day) for day, part in rows], dtype=np.intp)
        low = np.array([state.min(axis=0) for state in states])
        high = np.array([state.max(axis=0) for state in states])
        lattice.expect_between(zip(numbers.tolist(), low, high, strict=True), opened=False)
        found = lattice.at(numbers, low, np.zeros(low.shape, dtype=bool))
        slope = lattice.bank.slope_per_s(lattice.day[numbers], found[:, lattice.columns.current])
        down = np.clip(low + MORE * np.minimum(slope, 0.0) * self.seen_s, 0.0, 1.0)
        lattice.expect_between(zip(numbers.tolist(), down, high, strict=True), opened=False)
        boxes = []
        for day in range(len(self.made.days)):
            top = high[lattice.day[numbers] == day].max(axis=0)
            for _, scenario, _ in self.made.stages[1:]:
                for phase in dict.fromkeys((self.made.cruise, self.made.landing)):
                    setting = self.made.after(phase, self.condition, scenario, day)
                    boxes.append((setting, np.zeros(len(top)), top))
        lattice.expect_between(boxes)
        if low.shape[1] > MOST_WHOLE:
            self._scout()

    def _scout(self) -> None:
        """Go ahead from the first and the last moments, whose ways the others follow."""
        times = (self.parts[0].start_s, self.parts[0].end_s, self.parts[-1].end_s)
        days = range(len(self.made.days))
        self._lose([(day, time) for day in days for time in times], fine=False)
