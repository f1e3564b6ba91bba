"""The search for the smallest gauges and devices that pass.

From thin to thick, then once back where less does, so that it ends; the same text always gives the
same answer.
"""

import math
from collections.abc import Mapping

from elec.sizing.chosen import Gauge, Moment, Sizing
from elec.sizing.order import loads_on
from elec.sizing.picking import circuit_device, circuit_devices, with_twins
from elec.sizing.rings import ringed_gauge
from elec.sizing.search.obstacle import SearchObstacle
from elec.sizing.shelf import asked_gauges, off_the_shelf
from elec.standards import AWGS
from elec.wiring.chains import Chain, Conductor
from elec.wiring.demand import circuit_amps
from elec.wiring.limits import limit
from elec.wiring.standby import standing_amps
from elec.wiring.wires import least_gauge, tap_current

MOST_ROUNDS = 12
MOST_SOLUTIONS = 5
MOST_TRIMS = 4
HEAVY_AWG = "4"
"""What feeders count as until their current is known; the answer does not depend on it."""


class SizeSearch(SearchObstacle):
    """Grows gauges, solves, and takes back."""

    def run(self, *, trim: bool = True) -> Sizing:
        """Grow and solve by turns until no gauge changes; once in between, take back."""
        self._start()
        solved: dict[str, str] = {}
        rounds = 0
        while rounds < MOST_SOLUTIONS:
            self._grow()
            if trim and rounds == 1:
                self._trim()
            if self.work.gauges == solved:
                break
            solved = dict(self.work.gauges)
            self._feeders(self._heavy(solved) if rounds == 0 else solved)
            rounds += 1
        return self._result(rounds)

    def _trim(self) -> None:
        """Take back what was needed only while others were thin.

        A bundle of thin wires is loaded more. While it grows, one wire may be made thicker than
        passes in the end. Each such one is made as thin as passes, if all others then pass still.
        """
        for _ in range(MOST_TRIMS):
            changed = False
            for chain in sorted(self.chains, key=lambda c: (-self._position(c), c.name)):
                changed |= self._thinner(chain)
            if not changed:
                break
        self.passed.clear()

    def _position(self, chain: Chain) -> int:
        return max((AWGS.index(self.work.gauges[c.id]) for c in chain.conductors()), default=0)

    def _thinner(self, chain: Chain) -> bool:
        """Make one chain thinner, if it and all beside it pass then."""
        free = [c for c in chain.conductors() if c.id not in self.fixed]
        if not free or free[0].id in self.work.unsatisfied:
            return False
        now = AWGS.index(self.work.gauges[free[0].id])
        least = max(AWGS.index(self.least[c.id]) for c in free)
        low = now
        while low > least and not self.obstacle(chain, free, AWGS[low - 1]):
            low -= 1
        for awg in AWGS[low:now]:
            self._set(free, awg)
            if all(self._passes(other) for other in self._beside(chain)):
                why = self.obstacle(chain, free, AWGS[low - 1]) if low > least else None
                for conductor in free:
                    said = self.reasons[conductor.id] if why is None else why.text
                    self.work.decided[conductor.id] = said
                return True
            low += 1
        if low > now or AWGS[now] != self.work.gauges[free[0].id]:
            self._set(free, AWGS[now])
        return False

    def _set(self, free: list[Conductor], awg: str) -> None:
        for conductor in free:
            self.work.gauges[conductor.id] = awg
        self._load_bundles()

    def _passes(self, chain: Chain) -> bool:
        free = [c for c in chain.conductors() if c.id not in self.fixed]
        if not free or free[0].id in self.work.unsatisfied:
            return True
        return not self.obstacle(chain, free, self.work.gauges[free[0].id])

    def _beside(self, chain: Chain) -> list[Chain]:
        """A chain, those that share a bundle with it, and grounds that rest on its gauge."""
        if not self.sharing:
            for other in self.chains:
                for conductor in other.conductors():
                    for key in self.where.of.get(conductor.id, ()):
                        self.sharing.setdefault(key, {})[other.name] = other
        found = {chain.name: chain}
        for conductor in chain.conductors():
            for key in self.where.of.get(conductor.id, ()):
                found.update(self.sharing[key])
        if chain.kind == "ground":
            found.update({c.name: c for c in self.chains if c.kind == "ground"})
        return list(found.values())

    def _heavy(self, gauges: Mapping[str, str]) -> Mapping[str, str]:
        """For the first solution: feeders and grounds of no given gauge as heavy cable."""
        free = {
            c.id
            for chain in self.chains
            if chain.kind in ("feeder", "ground")
            for c in chain.conductors()
            if c.id not in self.fixed
        }
        return {name: HEAVY_AWG if name in free else awg for name, awg in gauges.items()}

    def _start(self) -> None:
        """Every conductor at its given gauge or the least for strength.

        Circuits at their own currents.
        """
        work = self.work
        work.devices.update(circuit_devices(self.study))
        with_twins(self.study, work.devices)
        for chain in self.chains:
            signal = chain.kind == "wire"
            key = "minimum-signal-gauge" if signal else "minimum-power-gauge"
            least, why = limit(self.study, key).awg, "least gauge for strength"
            contacts = self.contacts[chain.name]
            if contacts and AWGS.index(contacts.thinnest) > AWGS.index(least):
                least, why = contacts.thinnest, f"contacts of {contacts.title}"
            for asked in (asked_gauges(self.study, chain), ringed_gauge(self.study, chain)):
                if asked and AWGS.index(asked[0]) > AWGS.index(least):
                    least, why = asked
            shelf = off_the_shelf(self.study, least)
            if shelf:
                least, why = shelf, "the thinnest of your stock that does"
            for conductor in chain.conductors():
                work.gauges[conductor.id] = conductor.gauge or least_gauge(
                    self.study, conductor, least
                )
                work.decided[conductor.id] = "given" if conductor.gauge else why
                self.least[conductor.id] = work.gauges[conductor.id]
                self.reasons[conductor.id] = work.decided[conductor.id]
            if chain.kind == "circuit":
                self._circuit_currents(chain)
            elif chain.kind == "wire":
                amps = tap_current(self.study, chain) or 0.0
                for conductor in chain.conductors():
                    work.currents[conductor.id] = dict.fromkeys(self.moments, amps)

    def _circuit_currents(self, chain: Chain) -> None:
        counted: dict[tuple[str, ...], tuple[dict[Moment, float], float]] = {}
        for conductor in chain.conductors():
            loads = self.loads_on[conductor.id] = loads_on(chain, conductor.id)
            if loads not in counted:
                counted[loads] = (
                    {moment: standing_amps(self.study, loads, *moment) for moment in self.moments},
                    max((circuit_amps(self.study, loads, *m, "peak") for m in self.moments),
                        default=0.0),
                )  # fmt: skip
            standing, peak = counted[loads]
            share = conductor.parallel
            currents = {moment: amps / share for moment, amps in standing.items()}
            self.work.currents[conductor.id] = self.work.counted[conductor.id] = currents
            self.most_a[conductor.id] = peak / share

    def _grow(self) -> None:
        """Raise gauges until all pass at the loading that they themselves make."""
        for _ in range(MOST_ROUNDS):
            self._load_bundles()
            changed = [self._size(chain) for chain in self.chains]
            if not any(changed) and not self._give_way():
                return

    def _give_way(self) -> bool:
        """Lower chosen ratings of circuits whose contacts take no wire that bears them."""
        lowered = False
        for chain in self.chains:
            device, contacts = self.work.devices.get(chain.name), self.contacts[chain.name]
            free = [c for c in chain.conductors() if c.id in self.work.unsatisfied]
            if not (contacts and device and device.chosen and free and chain.kind == "circuit"):
                continue
            most = min(self.allowed(c.id, contacts.thickest)[0] for c in free)
            if most >= (device.rating_a or 0.0):
                continue
            less = circuit_device(self.study, chain, device.load_a or 0.0, most)
            if less.rating_a is not None and less.rating_a < self.capped.get(chain.name, math.inf):
                for name in (chain.name, *self.twins.get(chain.name, ())):
                    self._cap(self.by_name[name], less.rating_a)
                lowered = True
        return lowered

    def _cap(self, chain: Chain, most_a: float) -> None:
        """Choose the device of a circuit anew below a rating, and its gauge from the least on."""
        device = self.work.devices.get(chain.name)
        if device is None or not device.chosen:
            return
        self.capped[chain.name] = most_a
        less = circuit_device(self.study, chain, device.load_a or 0.0, most_a)
        self.work.devices[chain.name] = less
        for conductor in chain.conductors():
            if conductor.id not in self.fixed:
                self.work.gauges[conductor.id] = self.least[conductor.id]
                self.work.decided[conductor.id] = self.reasons[conductor.id]
                self.work.unsatisfied.discard(conductor.id)

    def _size(self, chain: Chain) -> bool:
        """Choose the chain's one gauge; True when it changed."""
        free = [c for c in chain.conductors() if c.id not in self.fixed]
        if not free:
            return False
        state = self._state(chain)
        if state is not None and self.passed.get(chain.name) == state:
            return False
        now = max((AWGS.index(self.work.gauges[c.id]) for c in free), default=0)
        before = now
        contacts = self.contacts[chain.name]
        thickest = AWGS.index(contacts.thickest) if contacts else len(AWGS)
        if now > thickest and not self.obstacle(chain, free, AWGS[thickest]):
            now = thickest  # it was raised while a bundle was tighter
            for conductor in free:
                decided = self.work.decided[conductor.id].partition("; contacts of")[0]
                self.work.decided[conductor.id] = decided
        while True:
            why = self.obstacle(chain, free, AWGS[now])
            if why is None or now + 1 >= len(AWGS):
                break
            now += 1
            for conductor in free:
                self.work.decided[conductor.id] = why.text
        reason = "" if why is None else why.text
        if why is not None and why.kind == "drop":
            # no copper makes up for it: the gauge for all the rest
            reason = "voltage drop, which no gauge makes up for"
            now = next(
                (i for i in range(now) if not self.obstacle(chain, free, AWGS[i], drop=False)), now
            )
        if contacts and not reason and now > AWGS.index(contacts.thickest):
            decided = self.work.decided[free[0].id]
            most = f"; contacts of {contacts.title} take AWG {contacts.thickest} at most"
            reason = decided if most in decided else decided + most
            if not self.obstacle(chain, free, AWGS[thickest], drop=False):
                now = thickest  # the wire can be made and is safe: what is lost alone is too much
        for conductor in free:
            self.work.gauges[conductor.id] = AWGS[now]
            if reason:
                self.work.unsatisfied.add(conductor.id)
                self.work.decided[conductor.id] = reason
            else:
                self.work.unsatisfied.discard(conductor.id)
        if state is not None:
            self.passed[chain.name] = state
        return now != before

    def _state(self, chain: Chain) -> tuple[float | None, tuple[float, ...]] | None:
        """All that the answer about a circuit can change with; None for chains that need more."""
        if chain.kind not in ("circuit", "wire"):
            return None
        device = self.guard(chain)
        of = self.where.of
        keys = [key for c in chain.conductors() for key in of.get(c.id, ())]
        beside = [float(AWGS.index(awg)) for awg, _ in self._twin_gauges(chain)]
        carried = [self.lasting(c.id) for c in chain.conductors()]
        factors = [self._factor(key) for key in keys]
        return (device.rating_a if device else None, (*factors, *beside, *carried))

    def _result(self, rounds: int) -> Sizing:
        work = self.work
        work.currents.update(self.beside_a)  # sized for all, they carry their shares
        for name in self.beside_a:
            self.lasting_a.pop(name, None)
        carried = work.currents
        return Sizing(
            devices=work.devices,
            gauges={
                name: Gauge(
                    conductor=name,
                    awg=work.gauges[name],
                    chosen=name not in self.fixed,
                    decided=work.decided[name],
                    satisfied=name not in work.unsatisfied,
                )
                for name in self.conductors
            },
            currents_a=carried,
            peaks_a={
                name: max(self.most_a.get(name, 0.0), *carried.get(name, {}).values(), 0.0)
                for name in self.conductors
            },
            loading=work.loading,
            worst_moment=work.moments,
            temperatures_degc=self._temperatures(),
            careful_degc={name: self.careful(name, work.gauges[name]) for name in self.conductors},
            solved=self.solved,
            rounds=rounds,
        )
