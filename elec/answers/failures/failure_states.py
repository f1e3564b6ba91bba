"""All failures in both states of the feeders: as in normal flight, and after changing over.

In: a sweep. Out: `Both`: what each failure does at once, and, where changing over may help, then;
what opens because it carries too much, and what feeders carry.
"""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct

from elec.answers.failures.failure_cascade import Key, Overheated, Settled, Trip, settled
from elec.answers.failures.failure_currents import feeder_places
from elec.answers.failures.failure_sweep import After, Sweep
from elec.network.netlist import Array
from elec.study import Study
from elec.wiring.cases import NORMAL, Scenario

CHANGED = Scenario(
    name="changed-over", title="changed over, loads shed", lost=frozenset(), emergency=True
)
"""Feeders for normal use open, those for an emergency closed, loads shed."""


class FeederAmps(Mapping[str, float]):
    """Feeder → the most that it carries, A; an array, since there is one for each failure."""

    def __init__(self, study: Study, amps: Array, others: Mapping[str, float]) -> None:
        """Amperes of all feeders, and of circuits whose device opens."""
        self._place, self.amps, self._others = feeder_places(study), amps, others

    def __getitem__(self, name: str) -> float:
        """Of one of them."""
        at = self._place.get(name)
        return self._others[name] if at is None else float(self.amps[at])

    def __iter__(self) -> Iterator[str]:
        """The feeders, then the circuits."""
        yield from self._place
        yield from self._others

    def __len__(self) -> int:
        """How many there are."""
        return len(self._place) + len(self._others)


class Loaded(Struct, frozen=True, kw_only=True):
    """What opens and what gets hot after one failure."""

    trips: tuple[Trip, ...]
    hot: tuple[Overheated, ...]


class Both(Struct, frozen=True, kw_only=True):
    """Failures by phase and column; the last column of a phase is the state without one."""

    first: Mapping[Key, After]
    """As in normal flight."""
    second: Mapping[Key, After]
    """After changing over, where that may help."""
    at_once: Mapping[Key, Settled]
    later: Mapping[Key, Settled]

    def _settled(self, key: Key) -> list[Settled]:
        return [some[key] for some in (self.at_once, self.later) if key in some]

    def loaded(self, key: Key) -> Loaded:
        """At once and after changing over together."""
        found = self._settled(key)
        return Loaded(
            trips=tuple({t.device: t for one in found for t in one.trips}.values()),
            hot=tuple({w.conductor: w for one in found for w in one.hot}.values()),
        )

    def carried(self, study: Study, key: Key) -> Mapping[str, float]:
        """The most that each feeder carries, A; empty where not solved."""
        every = self._settled(key)
        if not every:
            return {}
        place, others = feeder_places(study), dict[str, float]()
        amps = np.fmax.reduce([one.feeders for one in every], initial=0.0)
        for trip in (trip for one in every for trip in one.trips):
            name = trip.device.removesuffix(" far end")
            if name in place:
                amps[place[name]] = max(amps[place[name]], trip.amps)
            else:
                others[name] = max(others.get(name, 0.0), trip.amps)
        return FeederAmps(study, amps, others)


def in_both(sweep: Sweep, every: Sequence[Key], *, quick: bool) -> Both:
    """Trace and solve failures; changing over is looked at where it may help.

    Args:
        sweep: with both states; nothing solved yet.
        every: phases and columns.
        quick: do not solve what only takes loads off, and no batteries.
    """
    healthy = [(phase, sweep.healthy) for phase in dict.fromkeys(phase for phase, _ in every)]
    _solve(sweep, [*every, *healthy], NORMAL, quick=quick)
    first = {(p, c): sweep.after(p, NORMAL, c) for p, c in [*every, *healthy]}
    at_once = settled(sweep, every, NORMAL)
    first |= {key: one.after for key, one in at_once.items() if one.trips}
    again = [
        (phase, column)
        for (phase, column), after in first.items()
        if _may_help(sweep, phase, column, after, first[phase, sweep.healthy])
    ]
    _solve(sweep, again, CHANGED, quick=quick)
    second = {(p, c): sweep.after(p, CHANGED, c) for p, c in again}
    open_ = {key: one.opened for key, one in at_once.items()}
    later = settled(sweep, again, CHANGED, open_)
    second |= {key: one.after for key, one in later.items() if one.trips or open_.get(key)}
    return Both(first=first, second=second, at_once=at_once, later=later)


def _solve(
    sweep: Sweep, wanted: Sequence[tuple[str, int]], state: Scenario, *, quick: bool
) -> None:
    """Voltages of all of them; battery currents where more than loads is lost."""
    asked: list[tuple[int, int]] = []
    for phase, column in wanted:
        for count in sweep.counts:
            base = sweep.at[phase, state.name, count]
            light = column != sweep.healthy and sweep.takes_loads(base, column)
            if not (light and (quick or (count == "steady" and state == NORMAL))):
                asked.append((base, column))
    sweep.solve(asked)


def _may_help(sweep: Sweep, phase: str, column: int, after: After, healthy: After) -> bool:
    """Whether changing over can bring an essential load back, or spare a battery."""
    if newly(after.drained, healthy.drained):
        return True
    taken = sweep.taken(after.dead | frozenset(after.low))
    still = sweep.taken(sweep.dead(phase, CHANGED, column))
    return not set(taken) <= set(still)


def newly(names: Mapping[str, float], before: Mapping[str, float]) -> tuple[str, ...]:
    """What is not there without the failure."""
    return tuple(name for name in names if name not in before)
