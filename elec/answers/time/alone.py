"""The batteries alone from the loss of the alternator to the ground: unshed, shed, and a landing.

In: a lattice, what is on from the loss on. Out: `Course`s in which the landing begins as late as it
can: what is left in the batteries then carries it just to its end.
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from elec.answers.time.course import Course, FlightLeg, SimulationPlan, march
from elec.answers.time.lattice import Flags, Lattice
from elec.network.netlist import Array
from elec.standards import default
from elec.study import Study

LONGEST_S = 24 * 3600.0
CLOSE_S = 0.01
"""So exactly the last moment for the landing is looked for: what is printed are minutes."""
MOST_ROUNDS = 30
LOOK_S = 30.0
"""How far apart the moments are at which a warning is looked for; between them a straight line."""


class Stage(Struct, frozen=True, kw_only=True):
    """What is on after shedding, from a moment on: setting in cruise, and in the landing."""

    since_s: float
    cruise: int
    landing: int


class Alone(Struct, frozen=True, kw_only=True):
    """Batteries left alone at a moment. Times are on the clock of the flight."""

    start_s: float
    state: Array
    first: tuple[FlightLeg, ...]
    """What is on until the failure is seen; the last leg holds on."""
    seen_s: float
    after: tuple[Stage, ...]
    """In order; of those that begin before the failure is seen the last one counts."""

    def unshed(self) -> SimulationPlan:
        """As if nobody ever saw it."""
        last = self.first[-1]
        legs = (*self.first[:-1], FlightLeg(until_s=self.start_s + LONGEST_S, setting=last.setting))
        return SimulationPlan(start_s=self.start_s, state=self.state, legs=legs, watch=True)

    def plan(self, landing_s: float = math.inf) -> SimulationPlan:
        """Everything on until seen, then shed; from `landing_s` on as in the landing."""
        legs = [leg for leg in self.first if leg.until_s < self.seen_s]
        later = next((leg for leg in self.first if leg.until_s >= self.seen_s), self.first[-1])
        legs.append(FlightLeg(until_s=self.seen_s, setting=later.setting))
        ends = [stage.since_s for stage in self.after[1:]] + [self.start_s + LONGEST_S]
        for stage, until in zip(self.after, ends, strict=True):
            if until <= self.seen_s:
                continue
            if legs[-1].until_s < landing_s < until:
                legs.append(FlightLeg(until_s=landing_s, setting=stage.cruise))
            setting = stage.landing if landing_s < until else stage.cruise
            legs.append(FlightLeg(until_s=until, setting=setting))
        return SimulationPlan(start_s=self.start_s, state=self.state, legs=tuple(legs), watch=True)

    @property
    def lands(self) -> bool:
        """Whether anything is on in the landing that is not on in cruise, or the other way."""
        return any(stage.cruise != stage.landing for stage in self.after)


class AloneEnd(Struct, frozen=True, kw_only=True):
    """How it went."""

    course: Course
    landing_s: float | None
    """When the landing began, on the clock of the flight; None: as in cruise, or never begun."""


def to_the_ground(
    lattice: Lattice,
    every: Sequence[Alone],
    *,
    fine: bool = True,
    near_s: Sequence[float | None] = (),
) -> list[AloneEnd]:
    """Simulate all of them, each with its landing begun at the last moment that is early enough.

    A landing lasts the default landing time. Where the charge does not carry one, it is begun as
    soon as the failure is seen.

    Args:
        lattice: the network.
        every: what to simulate.
        fine: locate each end by rounds of its own.
        near_s: of each, where the landing will probably begin, where that is known.
    """
    straight = march(lattice, [one.plan() for one in every], fine=fine)
    found = [AloneEnd(course=course, landing_s=None) for course in straight]
    near = near_s or [None] * len(every)
    searches = {
        i: _Search(every[i], straight[i], near[i])
        for i, (one, course) in enumerate(zip(every, straight, strict=True))
        if one.lands and course.reason and course.ends_s > one.seen_s
    }
    left = searches
    for _ in range(MOST_ROUNDS):
        courses = march(lattice, [one.plan() for one in left.values()], fine=fine)
        left = {
            i: one
            for (i, one), course in zip(left.items(), courses, strict=True)
            if not one.take(course)
        }
        if not left:
            break
    for i, search in searches.items():
        found[i] = search.landed()
    return found


class _Search:
    """The last moment at which a landing may begin: tried, and moved, until it is found.

    What the charge carries beyond a landing falls nearly straight with the moment at which it
    begins: by false position, with the Illinois rule (M. Dowell, P. Jarratt, "A modified regula
    falsi method", 1971, from memory). Up to the landing the course is known.
    """

    def __init__(self, alone: Alone, straight: Course, near_s: float | None) -> None:
        self.alone = alone
        self.straight = straight
        self.asked_s = default("landing-time").si
        self.early: tuple[float, float] | None = None
        """(moment, what is left beyond the landing in s), of the latest that is early enough."""
        self.late = self.later = (straight.ends_s, -self.asked_s)
        """The two earliest moments that are too late."""
        usual = straight.ends_s - self.asked_s
        self.at_s = max(alone.seen_s, min(usual if near_s is None else near_s, straight.ends_s))
        self.best: Course | None = None

    def plan(self) -> SimulationPlan:
        """The landing to try, from the last step of the known course before it."""
        return self.alone.plan(self.at_s).from_step_of(self.straight, self.at_s)

    def take(self, course: Course) -> bool:
        """Learn how it went; True where no other moment need be tried."""
        over = course.ends_s - self.at_s - self.asked_s
        first = self.at_s <= self.alone.seen_s
        if over >= 0 or first or self.early is None:
            self.best, self.best_s = course, self.at_s
        if abs(over) <= CLOSE_S or (first and over < 0):
            return True
        if over >= 0:
            if self.early is not None:  # the same side twice: the other one counts half
                self.late = (self.late[0], self.late[1] / 2)
            self.early = (self.at_s, over)
        else:
            if self.early is not None and self.late != self.later:
                self.early = (self.early[0], self.early[1] / 2)
            self.later, self.late = self.late, (self.at_s, over)
        self.at_s = self._next_s()
        return False

    def _next_s(self) -> float:
        """Where a straight line between two moments meets nothing left over."""
        late, over = self.late
        other, other_over = self.early if self.early is not None else self.later
        steep = (over - other_over) / (late - other) if late != other else 0.0
        if steep >= 0:
            return self.alone.seen_s if self.early is None else (late + other) / 2
        return max(self.alone.seen_s, late - over / steep)

    def landed(self) -> AloneEnd:
        """The course with the landing found."""
        if self.best is None:
            return AloneEnd(course=self.straight, landing_s=None)
        course = self.straight.followed_by(self.best, self.best_s)
        return AloneEnd(course=course, landing_s=self.best_s)


def warnings(study: Study) -> Mapping[str, float]:
    """Bus → the voltage below which its low-voltage warning comes on."""
    return {n: bus.warning_v for n, bus in study.document.buses.items() if bus.warning_v}


def seen_s(lattice: Lattice, every: Sequence[Alone]) -> list[float]:
    """When each failure is seen: after the recognition time, or with the warning if that is later.

    On the clock of the flight. Without any warning the recognition time alone.
    """
    usual = default("recognition-time").si
    given = warnings(lattice.study)
    if not given:
        return [one.start_s + usual for one in every]
    seen = [one.start_s + usual for one in every]
    dark = np.flatnonzero(~_lit_at_once(lattice, every, given)).tolist()
    courses = march(lattice, [every[i].unshed() for i in dark])
    for i, course in zip(dark, courses, strict=True):
        seen[i] = max(seen[i], lit_s(lattice, course, every[i].start_s, given))
    return seen


def _lit_at_once(lattice: Lattice, every: Sequence[Alone], given: Mapping[str, float]) -> Flags:
    """Whether a warning comes on with the failure itself: then nothing need be simulated."""
    setting = np.array([one.first[0].setting for one in every], dtype=np.intp)
    state = np.array([one.state for one in every])
    found = lattice.at(setting, state, np.zeros(state.shape, dtype=bool))
    return _over_warning_v(lattice, found, given) < 0


def _over_warning_v(lattice: Lattice, found: Array, given: Mapping[str, float]) -> Array:
    """How far the bus nearest to its warning is above it, of each row of the lattice."""
    least = np.array([given.get(bus, -math.inf) for bus in lattice.columns.buses])
    over: Array = (np.nan_to_num(found[:, lattice.columns.bus], nan=-1e3) - least).min(axis=1)
    return over


def lit_s(lattice: Lattice, course: Course, start_s: float, given: Mapping[str, float]) -> float:
    """When the first warning comes on; the end of the longest time where none does.

    A dead bus is noticed without a warning.
    """

    def over(times: Sequence[float]) -> Array:
        return _over_warning_v(lattice, course.results(lattice, times)[1], given)

    if over([start_s])[0] < 0:
        return start_s
    times = [*np.arange(start_s, course.ends_s, LOOK_S).tolist(), course.ends_s]
    above = over(times)
    low = np.flatnonzero(above < 0)
    if not len(low):
        return start_s + LONGEST_S
    i = int(low[0])
    share = above[i - 1] / (above[i - 1] - above[i])
    return float(times[i - 1] + share * (times[i] - times[i - 1]))


__all__ = [
    "LONGEST_S",
    "Alone",
    "AloneEnd",
    "Stage",
    "lit_s",
    "seen_s",
    "to_the_ground",
    "warnings",
]
