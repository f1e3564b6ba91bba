"""The batteries alone from the loss of the alternator to the ground: unshed, shed, and a landing.

In: a lattice, what is on from the loss on. Out: `Course`s in which the landing begins as late as it
can: what is left in the batteries then carries it just to its end.
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from elec.analyses.course import Course, Leg, Plan, march
from elec.analyses.lattice import Lattice
from elec.network.netlist import Array
from elec.record import dataclass
from elec.standards import default
from elec.study import Study

LONGEST_S = 24 * 3600.0
CANDIDATES = 7
"""Moments tried at once for the beginning of the landing; so many again between the nearest two."""
ROUNDS = 2
LOOK_S = 30.0
"""How far apart the moments are at which a warning is looked for; between them a straight line."""


@dataclass(frozen=True, kw_only=True)
class Stage:
    """What is on after shedding, from a moment on: setting in cruise, and in the landing."""

    since_s: float
    cruise: int
    landing: int


@dataclass(frozen=True, kw_only=True)
class Alone:
    """Batteries left alone at a moment. Times are on the clock of the flight."""

    start_s: float
    state: Array
    first: tuple[Leg, ...]
    """What is on until the failure is seen; the last leg holds on."""
    seen_s: float
    after: tuple[Stage, ...]
    """In order; of those that begin before the failure is seen the last one counts."""

    def unshed(self) -> Plan:
        """As if nobody ever saw it."""
        last = self.first[-1]
        legs = (*self.first[:-1], Leg(until_s=self.start_s + LONGEST_S, setting=last.setting))
        return Plan(start_s=self.start_s, state=self.state, legs=legs, watch=True)

    def plan(self, landing_s: float = math.inf) -> Plan:
        """Everything on until seen, then shed; from `landing_s` on as in the landing."""
        legs = [leg for leg in self.first if leg.until_s < self.seen_s]
        later = next((leg for leg in self.first if leg.until_s >= self.seen_s), self.first[-1])
        legs.append(Leg(until_s=self.seen_s, setting=later.setting))
        ends = [stage.since_s for stage in self.after[1:]] + [self.start_s + LONGEST_S]
        for stage, until in zip(self.after, ends, strict=True):
            if until <= self.seen_s:
                continue
            if legs[-1].until_s < landing_s < until:
                legs.append(Leg(until_s=landing_s, setting=stage.cruise))
            setting = stage.landing if landing_s < until else stage.cruise
            legs.append(Leg(until_s=until, setting=setting))
        return Plan(start_s=self.start_s, state=self.state, legs=tuple(legs), watch=True)

    @property
    def lands(self) -> bool:
        """Whether anything is on in the landing that is not on in cruise, or the other way."""
        return any(stage.cruise != stage.landing for stage in self.after)


@dataclass(frozen=True, kw_only=True)
class Landed:
    """How it went."""

    course: Course
    landing_s: float | None
    """When the landing began, on the clock of the flight; None: as in cruise, or never begun."""


def to_the_ground(
    lattice: Lattice, every: Sequence[Alone], *, fine: bool = True, record: bool = True
) -> list[Landed]:
    """Simulate all of them, each with its landing begun at the last moment that is early enough.

    A landing lasts the default landing time. Where the charge does not carry one, it is begun as
    soon as the failure is seen.
    """
    straight = march(lattice, [one.plan() for one in every], fine=fine, record=record)
    found = [Landed(course=course, landing_s=None) for course in straight]
    rows = [
        i
        for i, (one, course) in enumerate(zip(every, straight, strict=True))
        if one.lands and course.reason and course.ends_s > one.seen_s
    ]
    if not rows:
        return found
    chosen = [every[i] for i in rows]
    ends = np.array([straight[i].ends_s for i in rows])
    latest = _latest(lattice, chosen, ends, fine=fine)
    plans = [one.plan(at) for one, at in zip(chosen, latest.tolist(), strict=True)]
    courses = march(lattice, plans, fine=fine, record=record)
    for i, at, course in zip(rows, latest.tolist(), courses, strict=True):
        found[i] = Landed(course=course, landing_s=at)
    return found


def _latest(lattice: Lattice, every: Sequence[Alone], ends: Array, *, fine: bool) -> Array:
    """The last moments at which a landing may begin."""
    asked = default("landing-time").si
    low = np.array([one.seen_s for one in every])
    high, count = ends, len(every)
    at = low
    for _ in range(ROUNDS):
        tried = np.linspace(low, high, CANDIDATES, axis=1)
        plans = [one.plan(t) for one, row in zip(every, tried.tolist(), strict=True) for t in row]
        courses = march(lattice, plans, fine=fine, record=False)
        over = np.array([one.ends_s for one in courses]).reshape(count, -1) - tried - asked
        enough = over >= 0
        # The last one that is early enough; where none is, the first.
        last = np.where(enough.any(axis=1), CANDIDATES - 1 - enough[:, ::-1].argmax(axis=1), 0)
        last = np.minimum(last, CANDIDATES - 2)
        every_row = np.arange(count)
        low, high = tried[every_row, last], tried[every_row, last + 1]
        left, right = over[every_row, last], over[every_row, last + 1]
        share = np.clip(left / np.maximum(left - right, 1e-9), 0.0, 1.0)
        at = low + np.where(left > 0, share, 0.0) * (high - low)
    return at


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
    courses = march(lattice, [one.unshed() for one in every])
    return [
        max(one.start_s + usual, lit_s(lattice, course, one.start_s, given))
        for one, course in zip(every, courses, strict=True)
    ]


def lit_s(lattice: Lattice, course: Course, start_s: float, given: Mapping[str, float]) -> float:
    """When the first warning comes on; the end of the longest time where none does.

    A dead bus is noticed without a warning.
    """
    least = np.array([given.get(bus, -math.inf) for bus in lattice.columns.buses])

    def over(times: Sequence[float]) -> Array:
        volts = course.results(lattice, times)[1][:, lattice.columns.bus]
        found: Array = (np.nan_to_num(volts, nan=-1e3) - least).min(axis=1)
        return found

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


__all__ = ["LONGEST_S", "Alone", "Landed", "Stage", "lit_s", "seen_s", "to_the_ground", "warnings"]
