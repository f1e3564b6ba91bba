"""The search for the operating point of many cases: tangents for loads, pivots for states.

In: a circuit and its devices. Out: voltages that satisfy every law, and whether they are stable.

Each round solves a linear network. Where a state (alternator off, regulating or limited; diode
blocking or conducting) contradicts the voltages, it is flipped and the round repeated: all
contradicting states at once while their number falls, else the first alone. The second rule
ends for every network of positive conductances (K. G. Murty, "Note on a Bard-type scheme for
solving the complementarity problem", Opsearch 11 (1974) 123; from memory). Once the states hold,
the loads' companions move to the new voltages.

The search starts from above, every load at the highest source. From there tangents (Newton) fall
onto the highest operating point; while all pivots stay positive the network is stable, and in one
set of states there is only one such point: the co-content is convex wherever its second
derivative, the nodal matrix, is positive definite, and that region is itself convex. When a pivot
fails, nothing above is left to find: the demand cannot be met, and secants, which always have a
solution and always go downhill, look for what the loads fall back to.
"""

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict, replace
from numpy.typing import NDArray

from elec.network.circuit import Topology
from elec.network.devices import (
    DEAD_A,
    DEAD_PART,
    Devices,
    Guess,
    contradictions,
    first_guess,
    load_companion,
    load_current,
    source_companion,
)
from elec.network.netlist import Array, Flags, Index
from elec.network.reduced import Linear, Reduced

STEP_TOLERANCE = 1e-9
"""Last tangent step as a part of the highest source; the error left is its square."""
FAST_STEP = 1e-6
FAST_PART = 1e-3
"""A step below the first, and below the second times the one before, is the last as well."""
STARVED_PART = 1e-9
"""How far below its minimum, as a part of it, a load may be and still be served."""

_ROUNDS = 600
_GRACE = 6
_REMEMBERED = 2000
_TANGENTS = 60
_TRIALS_FROM_ABOVE = 4
_MANY = np.iinfo(np.int64).max

Counts = NDArray[np.int64]


class OperatingPoint(Struct, frozen=True, kw_only=True):
    """Where the search ended, (…, cases)."""

    node_v: Array
    """Of the netlist's nodes."""
    guess: Guess
    settled: Flags
    """All states hold and the last step was small."""
    stable: Flags
    """And all pivots of the tangents were positive."""
    smallest_pivot: Array
    rounds: Counts


class _Control(Struct, kw_only=True):
    """Counters that steer each case."""

    secants: Counts
    """Rounds still to go with secants instead of tangents."""
    tangents: Counts
    """Rounds with tangents since the last secant."""
    trouble: Counts
    """How often tangents failed."""
    fewest: Counts
    """Fewest contradictions since the loads' companions last moved."""
    grace: Counts
    """Rounds until contradictions are flipped one by one."""
    step: Array
    """How far the loads' voltages moved last."""

    @classmethod
    def start(cls, cases: int) -> "_Control":
        """One secant first."""
        return cls(
            secants=np.ones(cases, np.int64),
            tangents=np.zeros(cases, np.int64),
            trouble=np.zeros(cases, np.int64),
            fewest=np.full(cases, _MANY),
            grace=np.full(cases, _GRACE),
            step=np.full(cases, np.inf),
        )

    def take(self, cases: Index) -> "_Control":
        """Only these cases."""
        return _Control(**{name: array[cases] for name, array in asdict(self).items()})

    def calm(self, cases: Flags) -> None:
        """Forget how many contradictions there were."""
        self.fewest[cases] = _MANY
        self.grace[cases] = _GRACE

    def fall_back(self, cases: Flags) -> None:
        """Tangents failed: more secants than the last time."""
        self.secants[cases] = 4 << np.minimum(self.trouble[cases], 5)
        self.tangents[cases] = 0
        self.trouble[cases] += 1
        self.calm(cases)


class PointSearch:
    """One search over a batch of cases."""

    def __init__(
        self,
        circuit: Topology,
        devices: Devices,
        *,
        strict: bool = False,
        start: Guess | None = None,
    ) -> None:
        """Prepare.

        Args:
            circuit: the topology.
            devices: the values of all cases.
            strict: give a case up as soon as its demand cannot be met.
            start: begin here instead of from above.
        """
        self._circuit, self._strict = circuit, strict
        cases = len(devices.highest_v)
        self._at = np.arange(cases)
        self._bent = devices.bent()
        self._guess = first_guess(devices) if start is None else start
        self._begun = np.zeros((len(devices.limit_a) + len(devices.diode_s), cases), np.int8)
        """The states that fit while every load was a secant."""
        self._known = np.zeros(cases, np.bool_)
        """Of which cases those are known."""
        self._keys = _alike(devices, self._bent) if start is None else []
        self._recall()
        self._control = _Control.start(cases)
        self._reduced = Reduced(circuit, devices)
        self._core_v = np.zeros((circuit.core.count + 1, cases))
        self._load_a = np.zeros((len(circuit.loads.a), cases))
        self._devices = devices.without_wires()

    def _recall(self) -> None:
        """Begin with the states that fitted before: the same loads on, or else the same wires.

        While every load is a secant, so a positive conductance, only one set of states fits the
        voltages: where a search begins changes how long it takes, not where it ends.
        """
        kept = self._circuit.states
        found = [kept.get(key, kept.get(key[:1])) for key in self._keys]
        known = [case for case, states in enumerate(found) if states is not None]
        if known:
            states = np.stack([one for one in found if one is not None], axis=1)
            alternators = len(self._guess.regulation)
            self._guess.regulation[:, known] = states[:alternators]
            self._guess.conducting[:, known] = states[alternators:] > 0

    def _begins(self, cases: Flags) -> None:
        """Note the states of cases in which they fit the first secants."""
        chosen = cases.nonzero()[0]
        if len(chosen):
            at, guess = self._at[chosen], self._guess
            alternators = len(guess.regulation)
            self._begun[:alternators, at] = guess.regulation[:, chosen]
            self._begun[alternators:, at] = guess.conducting[:, chosen]
            self._known[at] = True

    def _remember(self) -> None:
        kept = self._circuit.states
        if len(kept) > _REMEMBERED:
            kept.clear()
        for key, states, known in zip(self._keys, self._begun.T, self._known, strict=False):
            if known:
                kept[key] = states
                kept.setdefault(key[:1], states)

    def run(self) -> OperatingPoint:
        """Search until every case has settled, was given up, or rounds run out."""
        cases = len(self._at)
        result = OperatingPoint(
            node_v=np.zeros((len(self._circuit.nodes), 0)),
            guess=first_guess(self._devices),
            settled=np.zeros(cases, np.bool_),
            stable=np.zeros(cases, np.bool_),
            smallest_pivot=np.zeros(cases),
            rounds=np.zeros(cases, np.int64),
        )
        pending = np.ones(cases, np.bool_)
        for turn in range(1, _ROUNDS + 1):
            pending &= ~self._round(result, pending, turn)
            if not pending.any():
                break
            if 4 * int(pending.sum()) <= 3 * len(pending):
                self._keep(pending.nonzero()[0])
                pending = pending[pending]
        self._remember()
        return (
            result
            if self._strict
            else replace(result, node_v=self._reduced.node_v(self._core_v, self._load_a))
        )

    def _keep(self, cases: Index) -> None:
        self._devices, self._guess = self._devices.take(cases), self._guess.take(cases)
        self._bent = self._bent.take(cases, axis=1)
        self._control = self._control.take(cases)
        self._reduced.keep(cases)
        self._at = self._at[cases]

    def _round(self, result: OperatingPoint, pending: Flags, turn: int) -> Flags:
        """One linear network for every case; which cases are finished."""
        control, devices = self._control, self._devices
        secant = control.secants > 0
        found = self._linear(secant)
        sound, load_v = found.sound(), found.load_v
        alternators = len(devices.limit_a)
        steady = sound & ~self._flip(
            found.source_v[:alternators], found.source_v[alternators:], sound
        )
        self._begins(steady & secant & (control.trouble == 0))
        step = self._step(load_v)
        close = steady & self._close(step, steady)
        stuck = close & secant & (control.trouble > 1) & (step <= 1e-3 * STEP_TOLERANCE)
        settled = (close & ~secant) | stuck
        finished: Flags = settled.copy()
        if self._strict:
            met = sound & ~starved(devices, load_v).any(axis=0)
            np.logical_or(finished, ~secant & (~sound | (steady & ~met)), out=finished)
            settled = settled & met
        self._record(result, (pending & (finished | (turn == _ROUNDS))).nonzero()[0], found)
        chosen = (pending & finished).nonzero()[0]
        at = self._at[chosen]
        result.settled[at] = settled[chosen]
        result.stable[at] = (settled & ~secant)[chosen]
        result.smallest_pivot[at] = found.pivot[chosen]
        result.rounds[at] = turn
        self._move(load_v, steady, secant, sound)
        return finished

    def _linear(self, secant: Flags) -> Linear:
        """The linear network of the companions."""
        devices, guess = self._devices, self._guess
        return self._reduced.linear(
            source_companion(devices, guess), load_companion(devices, guess.load_v, secant)
        )

    def _flip(self, alternator_v: Array, diode_v: Array, sound: Flags) -> Flags:
        """Flip contradicting states of sound cases; which cases had any."""
        control, guess = self._control, self._guess
        regulation, conducting = contradictions(self._devices, guess, alternator_v, diode_v)
        wrong = np.concatenate((regulation != guess.regulation, conducting != guess.conducting))
        wrong &= sound
        count = wrong.sum(axis=0)
        fewer = count < control.fewest
        control.fewest = np.minimum(count, control.fewest)
        control.grace = np.where(fewer, _GRACE, control.grace - 1)
        lone = ((control.grace < 0) & (count > 1)).nonzero()[0]
        if len(lone):
            first = wrong[:, lone].argmax(axis=0)
            wrong[:, lone] = False
            wrong[first, lone] = True
        alternators = len(regulation)
        np.copyto(guess.regulation, regulation, where=wrong[:alternators])
        np.copyto(guess.conducting, conducting, where=wrong[alternators:])
        flipped: Flags = count > 0
        return flipped

    def _step(self, load_v: Array) -> Array:
        """How far the voltage of any load that is not linear has moved off its companion's."""
        minimum_v = self._devices.minimum_v
        now = np.maximum(load_v, minimum_v)
        now -= np.maximum(self._guess.load_v, minimum_v)
        np.abs(now, out=now)
        step: Array = np.where(self._bent, now, 0.0).max(axis=0, initial=0.0)
        return step

    def _close(self, step: Array, steady: Flags) -> Flags:
        """Whether a tangent step was the last: small, or so much smaller than the one before.

        Each step is then about the square of the one before, and the error left its square.
        """
        control, highest_v = self._control, self._devices.highest_v
        fast = (step <= FAST_STEP * highest_v) & (step <= FAST_PART * control.step)
        control.step = np.where(steady, step, control.step)
        close: Flags = fast | (step <= STEP_TOLERANCE * highest_v)
        return close

    def _move(self, load_v: Array, steady: Flags, secant: Flags, sound: Flags) -> None:
        """Move the companions of steady cases; fall back where tangents fail."""
        control, guess = self._control, self._guess
        np.copyto(guess.load_v, load_v, where=steady)
        control.calm(steady)
        control.secants -= steady & secant
        control.tangents += ~secant
        if not self._strict:
            failed = ~secant & (~sound | (control.tangents > _TANGENTS))
            control.fall_back(failed)
            guess.load_v[:, failed & (control.trouble == _TRIALS_FROM_ABOVE)] = 0.0

    def _record(self, result: OperatingPoint, cases: Index, found: Linear) -> None:
        if not len(cases):
            return
        at = self._at[cases]
        self._core_v[:, at] = found.core_v[:, cases]
        self._load_a[:, at] = found.load_a[:, cases]
        result.guess.regulation[:, at] = self._guess.regulation[:, cases]
        result.guess.conducting[:, at] = self._guess.conducting[:, cases]
        result.guess.load_v[:, at] = self._guess.load_v[:, cases]


def _alike(devices: Devices, bent: Flags) -> list[tuple[bytes, ...]]:
    """Of each case which sources, wires and diodes are there, and which loads are on."""
    there = (devices.limit_a, devices.battery_s, devices.wire_s, devices.diode_s)
    groups = (np.concatenate([one > 0.0 for one in there]), bent | (devices.load_s > 0.0))
    rows = [np.ascontiguousarray(np.packbits(one, axis=0).T) for one in groups]
    return [(one.tobytes(), other.tobytes()) for one, other in zip(*rows, strict=True)]


def starved(devices: Devices, load_v: Array) -> Flags:
    """Which loads that are not linear are reached by a source, but lie below their minimum."""
    low = load_v < devices.minimum_v * (1.0 - STARVED_PART)
    return devices.bent() & low & ~dead(devices, load_v)


def dead(devices: Devices, load_v: Array) -> Flags:
    """Which loads see nothing but the leak of an island."""
    current = np.abs(load_current(devices, load_v))
    return (np.abs(load_v) <= DEAD_PART * devices.highest_v) & (current <= DEAD_A)
