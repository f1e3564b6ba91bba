"""The charge of batteries over time: many simulations at once, each with its own clock.

In: a lattice, and for each simulation its start and what is on until when. Out: `Course`s. Steps
end where a straight line of the lattice ends and where something is switched; within a step all is
smooth, and the currents change by a few per cent: there a Runge-Kutta method of third order
(P. Bogacki, L. F. Shampine, "A 3(2) pair of Runge-Kutta formulas", 1989, from memory) is exact to
far below a second.
What ends a simulation is found within its step.
"""

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from elec.answers.base.bodies import Numbers
from elec.answers.time.lattice import ChargeLine, Flags, Lattice
from elec.network.netlist import Array

MOST_STEPS = 20_000
OVER = 3e-4
"""How far a step goes beyond the end of a straight line, so that the next one begins there."""
CHARGING_PART = 0.4
"""Greatest step as a part of the time in which the missing charge would be filled."""
ROOT_ROUNDS = 6
SAME_S = 1e-6
"""Moments no farther apart are one."""
LEAST_S = 1e-3
"""A step is at least so long, so that no end is crept up to."""
DRAWN_A = 1e-3
"""A battery that gives less feeds nothing."""


class FlightLeg(Struct, frozen=True, kw_only=True):
    """What is on until when."""

    until_s: float
    setting: int


class SimulationPlan(Struct, frozen=True, kw_only=True):
    """One simulation: where it starts, and its legs in order."""

    start_s: float
    state: Array
    legs: tuple[FlightLeg, ...]
    watch: bool
    """End it when an essential load falls below its minimum voltage, or the last battery is
    empty."""
    opened: tuple[tuple[float, int, str], ...] = ()
    """Batteries that were opened before it starts, as in `Course.openings`."""

    def from_step_of(self, course: "Course", before_s: float) -> "SimulationPlan":
        """The same plan from the last step of a course that ends before a moment.

        For a course that went by this plan up to that moment: nothing is simulated twice.
        """
        count = course.steps_before(before_s)
        if not count:
            return self
        last = course.stretches[count - 1]
        return replace(
            self,
            start_s=last.end_s,
            state=last.end,
            legs=tuple(leg for leg in self.legs if leg.until_s > last.end_s + SAME_S),
            opened=tuple(one for one in course.openings if last.opened[one[1]]),
        )


class Stretch(Struct, frozen=True, kw_only=True):
    """One step: smooth from its start to its end."""

    start_s: float
    end_s: float
    setting: int
    opened: Flags
    start: Array
    end: Array
    start_slope: Array
    end_slope: Array


class Course(Struct, kw_only=True):
    """One simulation over time."""

    stretches: list[Stretch] = field(default_factory=list)
    ends_s: float = math.nan
    setting: int = 0
    """Its last."""
    state: Array
    opened: Flags
    reason: str = ""
    """What ended it before its last leg was over: equipment, `battery empty` or `battery cut-off`;
    empty: nothing."""
    openings: list[tuple[float, int, str]] = field(default_factory=list)
    """(time in s, battery, why): batteries that were emptied or opened on the way."""

    def at(self, times_s: Sequence[float]) -> tuple[Numbers, Array, Flags]:
        """Setting, states of charge and opened batteries at times within it."""
        every, count = self.stretches, len(times_s)
        if not every:
            setting = np.full(count, self.setting, dtype=np.intp)
            return (
                setting,
                np.repeat(self.state[None], count, 0),
                np.repeat(self.opened[None], count, 0),
            )
        ends = np.array([one.end_s for one in every])
        index = np.minimum(np.searchsorted(ends, times_s, side="left"), len(every) - 1)
        chosen = [every[i] for i in index.tolist()]
        begun = np.array([one.start_s for one in chosen])
        lasts = ends[index] - begun
        with np.errstate(divide="ignore", invalid="ignore"):
            part = np.where(lasts > 0, (np.asarray(times_s) - begun) / lasts, 0.0)
        step = (
            np.array([one.start for one in chosen]),
            np.array([one.end for one in chosen]),
            np.array([one.start_slope for one in chosen]),
            np.array([one.end_slope for one in chosen]),
        )
        state = np.clip(_hermite(np.clip(part, 0.0, 1.0), lasts, step), 0.0, 1.0)
        setting = np.array([one.setting for one in chosen], dtype=np.intp)
        return setting, state, np.array([one.opened for one in chosen], dtype=bool)

    def steps_before(self, time_s: float) -> int:
        """How many of its first steps end before a moment."""
        return sum(one.end_s < time_s - SAME_S for one in self.stretches)

    def followed_by(self, later: "Course", from_s: float) -> "Course":
        """Its steps before a moment, then those of a course that starts at the last of them."""
        kept = self.stretches[: self.steps_before(from_s)]
        return replace(later, stretches=[*kept, *later.stretches])

    def results(self, lattice: Lattice, times_s: Sequence[float]) -> tuple[Array, Array]:
        """States of charge (times, batteries) and rows of the lattice at times within it."""
        setting, state, opened = self.at(times_s)
        return state, lattice.at(setting, state, opened)


def march(lattice: Lattice, plans: Sequence[SimulationPlan], *, fine: bool = True) -> list[Course]:
    """Simulate all plans side by side.

    Args:
        lattice: the network.
        plans: what to simulate.
        fine: locate each end by rounds of its own; without, by one straight line in its step.
    """
    return _March(lattice, plans, ROOT_ROUNDS if fine else 1).run()


class _March:
    def __init__(self, lattice: Lattice, plans: Sequence[SimulationPlan], rounds: int) -> None:
        self.lattice = lattice
        self.bank = lattice.bank
        self.plans = plans
        self.rounds = rounds
        self.count = len(plans)
        self.time = np.array([plan.start_s for plan in plans], dtype=float)
        self.state = np.array([plan.state for plan in plans], dtype=float).reshape(
            self.count, len(self.bank.names)
        )
        self.opened = np.zeros(self.state.shape, dtype=bool)
        self.leg = np.zeros(self.count, dtype=np.intp)
        self.watch = np.array([plan.watch for plan in plans], dtype=bool)
        for i, plan in enumerate(plans):
            self.opened[i, [battery for _, battery, _ in plan.opened]] = True
        self.courses = [
            Course(
                state=self.state[i].copy(),
                opened=self.opened[i].copy(),
                openings=list(plan.opened),
            )
            for i, plan in enumerate(plans)
        ]
        self.results = np.zeros((self.count, lattice.columns.count))
        self.fresh = np.full(self.count, -1, dtype=np.intp)
        """The setting for which the results of a simulation still hold."""
        self.known = lattice.solved
        self.live = np.array([bool(plan.legs) for plan in plans], dtype=bool)
        legs = [plan.legs[0] if plan.legs else FlightLeg(until_s=0.0, setting=0) for plan in plans]
        self.setting = np.array([leg.setting for leg in legs], dtype=np.intp)
        self.until = np.array([leg.until_s for leg in legs])
        """Of the leg that each is on."""
        self.slope = np.zeros(self.state.shape)
        """The change of charge that the results of a simulation stand for, where they hold."""
        self.clear = np.zeros(self.count, dtype=bool)
        """Where they hold and nothing in them is negative that must not be."""

    def run(self) -> list[Course]:
        for _ in range(MOST_STEPS):
            rows = self.live.nonzero()[0]
            if not len(rows):
                break
            self._step(rows)
        for i, course in enumerate(self.courses):
            course.ends_s = float(self.time[i])
            course.setting = self.plans[i].legs[self.leg[i]].setting if self.plans[i].legs else 0
            course.state = self.state[i]
            course.opened = self.opened[i]
        return self.courses

    def _step(self, rows: Numbers) -> None:
        setting = self.setting[rows]
        held = self.fresh[rows] == setting
        first = self._now(rows, setting, held)
        if self.lattice.solved > self.known:
            self._look_ahead(rows, setting, first)
            self.known = self.lattice.solved
        acted = self._at_once(rows, setting, first, held & self.clear[rows])
        if acted.any():
            steady = ~acted
            rows, setting, first, held = rows[steady], setting[steady], first[steady], held[steady]
            if not len(rows):
                return
        opened = self.opened.take(rows, axis=0)
        day, pulse = self.lattice.day[setting], self.lattice.cranking[setting]
        bank, current = self.bank.on(day), self.lattice.columns.current
        slope = (
            self.slope.take(rows, axis=0)
            if held.all()
            else bank.slope_per_s(first[:, current], pulse)
        )
        start, time = self.state.take(rows, axis=0), self.time[rows]
        lasts = np.minimum(self.until[rows] - time, self._longest(start, slope, day, opened))
        lasts = np.maximum(lasts, 0.0)
        each = lasts[:, None]

        def at(part: float, along: Array) -> Array:
            moved = np.minimum(np.maximum(start + part * each * along, 0.0), 1.0)
            return bank.slope_per_s(self.lattice.current_at(setting, moved, opened), pulse)

        second = at(0.5, slope)
        third = at(0.75, second)
        mean = (2 * slope + 3 * second + 4 * third) / 9
        end = np.minimum(start + each * mean, 1.0)
        last = self.lattice.at(setting, end, opened)
        end_slope = bank.slope_per_s(last[:, current], pulse)
        part = np.ones(len(rows))
        guards = self._guards(rows, setting, opened, end, last)
        crossed = np.minimum.reduce(guards, axis=1) < 0
        over = crossed.nonzero()[0]
        if len(over):
            part[over] = self._roots(
                rows[over],
                setting[over],
                (start[over], end[over], slope[over], end_slope[over], lasts[over]),
                self._guards(rows[over], setting[over], opened[over], start[over], first[over]),
                guards[over],
            )
        self.results[rows] = last
        self.slope[rows] = end_slope
        self.clear[rows] = ~crossed
        self.fresh[rows] = np.where(part >= 1.0, setting, -1)
        self._keep(rows, setting, part, (start, end, slope, end_slope, lasts))

    def _now(self, rows: Numbers, setting: Numbers, held: Flags) -> Array:
        """Results at the start of a step; those of the end of the last one where they hold on."""
        if held.all():
            found: Array = self.results.take(rows, axis=0)
            return found
        return self.lattice.at(
            setting, self.state.take(rows, axis=0), self.opened.take(rows, axis=0)
        )

    def _look_ahead(self, rows: Numbers, setting: Numbers, found: Array) -> None:
        """Have all solved that the present currents lead to, since something was not."""
        day = self.lattice.day[setting]
        slope = self.bank.slope_per_s(day, found[:, self.lattice.columns.current])
        until = self.until[rows] - self.time[rows]
        lines = []
        for k, i in enumerate(rows.tolist()):
            gone = np.where(
                slope[k] < -1e-12, -self.state[i] / np.minimum(slope[k], -1e-12), np.inf
            )
            lasts = min(float(until[k]), float(gone.min(initial=np.inf)))
            lines.append(
                ChargeLine(
                    setting=int(setting[k]),
                    first=self.state[i],
                    last=self.state[i] + slope[k] * lasts,
                    opened=self.opened[i],
                )
            )
        self.lattice.expect(lines)

    def _keep(self, rows: Numbers, setting: Numbers, part: Array, step: tuple[Array, ...]) -> None:
        start, end, slope, end_slope, lasts = step
        whole, reached = part >= 1.0, end
        if not whole.all():
            reached = _hermite(part, lasts, (start, end, slope, end_slope))
            reached[whole] = end[whole]
        since = self.time[rows]
        now = since + part * lasts
        reached = np.maximum(reached, 0.0)
        self.time[rows], self.state[rows] = now, reached
        times = zip(rows.tolist(), since.tolist(), now.tolist(), setting.tolist(), strict=True)
        opened = self.opened.take(rows, axis=0)
        for k, (i, start_s, end_s, number) in enumerate(times):
            self.courses[i].stretches.append(
                Stretch(
                    start_s=start_s,
                    end_s=end_s,
                    setting=number,
                    opened=opened[k],
                    start=start[k],
                    end=reached[k],
                    start_slope=slope[k],
                    end_slope=end_slope[k],
                )
            )
        for i in rows[whole & (now >= self.until[rows] - SAME_S)].tolist():
            self._next_leg(i)

    def _next_leg(self, i: int) -> None:
        legs = self.plans[i].legs
        self.leg[i] += 1
        if self.leg[i] >= len(legs):
            self.leg[i] = len(legs) - 1
            self.live[i] = False
        leg = legs[self.leg[i]]
        self.setting[i], self.until[i] = leg.setting, leg.until_s

    def _longest(self, start: Array, slope: Array, day: Numbers, opened: Flags) -> Array:
        """Time to the end of the straight line that each state is on."""
        lasts = np.full(len(start), np.inf)
        steep = np.abs(slope)
        rises = slope > 0
        for b, axis in enumerate(self.lattice.breaks):
            s, up, speed = start[:, b], rises[:, b], steep[:, b]
            next_ = axis.searchsorted(s - OVER, side="left") - 1
            if up.any():
                next_ = np.where(up, axis.searchsorted(s + OVER, side="right"), next_)
            ahead = axis[np.minimum(np.maximum(next_, 0), len(axis) - 1)]
            time = np.full(len(s), np.inf)
            np.divide(np.abs(ahead - s) + OVER, speed, out=time, where=speed > 1e-15)
            charging = up & ~opened[:, b]
            if charging.any():
                most = np.minimum(time, CHARGING_PART * self.bank.charge_s[day, b])
                time = np.where(charging, most, time)
            lasts = np.minimum(lasts, np.where(opened[:, b], np.inf, time))
        return lasts

    # -- what ends a simulation, or opens a battery ------------------------------------------------

    def _guards(
        self, rows: Numbers, setting: Numbers, opened: Flags, state: Array, found: Array
    ) -> Array:
        """What must not be negative: charge, voltage over the cut-off, current, margins."""
        columns, day = self.lattice.columns, self.lattice.day[setting]
        amps, volts = found[:, columns.current], found[:, columns.terminal]
        feeding = (amps > DRAWN_A) & ~opened
        charge = np.where(feeding, state, 1.0)
        turning = self.lattice.cranking[setting][:, None]
        cutoff = np.where(feeding & ~turning, volts - self.bank.cutoff_v.take(day, axis=0), 1.0)
        limit = np.where(opened, 1.0, self.bank.limit_a.take(day, axis=0) - amps)
        margin = np.where(self.watch[rows][:, None], found[:, columns.margin], 1.0)
        return np.concatenate([charge, cutoff, limit, margin], axis=1)

    def _at_once(self, rows: Numbers, setting: Numbers, found: Array, clear: Flags) -> Flags:
        """Act where something is negative at the start of a step; True where anything was.

        `clear`: where nothing was at the end of the last one, which is this start.
        """
        opened, state = self.opened.take(rows, axis=0), self.state.take(rows, axis=0)
        count = len(self.bank.names)
        acted = np.zeros(len(rows), dtype=bool)
        amps = found[:, self.lattice.columns.current]
        drawn = amps > DRAWN_A
        act = ((state <= 1e-9) & ~opened & drawn).any(axis=1)
        if opened.any():
            act |= self.watch[rows] & opened.any(axis=1) & ~drawn.any(axis=1)
        if clear.all() and not act.any():
            return acted
        guards = self._guards(rows, setting, opened, state, found)
        for k in ((guards.min(axis=1) < 0) | act).nonzero()[0].tolist():
            i = int(rows[k])
            low = int(np.argmin(guards[k]))
            current = amps[k]
            gone = (self.state[i] <= 1e-9) & ~self.opened[i] & (current > DRAWN_A)
            empty = gone.nonzero()[0]
            if len(empty):
                self._open(i, int(empty[0]), "battery empty")
                acted[k] = True
            elif guards[k, low] < 0:
                acted[k] = True
                if low < 3 * count:
                    why = ("battery empty", "battery cut-off", "battery over its limit")
                    self._open(i, low % count, why[low // count])
                else:
                    self._end(i, self.lattice.columns.loads[low - 3 * count])
            elif self.watch[i] and self.opened[i].any() and not (current > DRAWN_A).any():
                acted[k] = True
                self._end(i, self.courses[i].openings[-1][2])
        return acted

    def _open(self, i: int, battery: int, why: str) -> None:
        self.opened[i, battery] = True
        self.fresh[i] = -1
        self.courses[i].openings.append((float(self.time[i]), battery, why))

    def _end(self, i: int, reason: str) -> None:
        openings = self.courses[i].openings
        # A load that loses its supply with the last battery ends for the battery's reason.
        if openings and math.isclose(openings[-1][0], float(self.time[i]), abs_tol=SAME_S):
            reason = openings[-1][2]
        self.courses[i].reason = reason
        self.live[i] = False

    def _roots(
        self,
        rows: Numbers,
        setting: Numbers,
        step: tuple[Array, ...],
        before: Array,
        after: Array,
    ) -> Array:
        """Part of the step at which the first guard turns negative, from just beyond it."""
        start, end, slope, end_slope, lasts = step
        opened = self.opened.take(rows, axis=0)
        low, high = np.zeros(len(rows)), np.ones(len(rows))
        above, below = before, after
        for _ in range(self.rounds):
            falling = below < 0
            fall = np.where(falling, above - below, 1.0)
            share = np.where(falling, np.maximum(above, 0.0) / fall, 1.0).min(axis=1)
            guess = low + (high - low) * np.minimum(share * (1 + 1e-9) + 1e-12, 1.0)
            guess = np.minimum(np.maximum(guess, LEAST_S / np.maximum(lasts, LEAST_S)), 1.0)
            state = _hermite(guess, lasts, (start, end, slope, end_slope))
            found = self.lattice.at(setting, np.maximum(state, 0.0), opened)
            guards = self._guards(rows, setting, opened, state, found)
            beyond = guards.min(axis=1) < 0
            high = np.where(beyond, guess, high)
            below = np.where(beyond[:, None], guards, below)
            low = np.where(beyond, low, guess)
            above = np.where(beyond[:, None], above, guards)
            if (high - low < 1e-10).all():
                break
        # Where every guess fell short the next step goes on from the last of them.
        return np.where(high < 1.0, high, np.where(low > 0.0, low, 1.0))


def _hermite(part: Array, lasts: Array, step: tuple[Array, Array, Array, Array]) -> Array:
    """The cubic through both ends of steps with their slopes: start, end, slopes there."""
    start, end, first, last = step
    p, h = part[:, None], lasts[:, None]
    found: Array = (
        start * (1 + 2 * p) * (1 - p) ** 2
        + end * p**2 * (3 - 2 * p)
        + h * (first * p * (1 - p) ** 2 + last * p**2 * (p - 1))
    )
    return found


__all__ = ["Course", "FlightLeg", "SimulationPlan", "Stretch", "march"]
