"""Devices and gauges: the smallest that pass, found together, since bundles depend on gauges.

In: demand, devices, surroundings; for feeders and grounds the solved network. Out: `Sizing`. From
thin to thick, then once back where less does, so that the search ends; the same text always gives
the same answer.
"""

import math
from collections import ChainMap
from collections.abc import Iterator, Mapping
from functools import cached_property

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from elec.model.system import Condition
from elec.network.netlist import Array, Solution
from elec.network.solve import solve
from elec.physics.damage import adiabatic_k, short_time_current_a
from elec.physics.drop import contacts_drop_v
from elec.physics.heat import (
    ampacity_a,
    bundle_factor,
    careful_temperature_degc,
    conductor_temperature_degc,
)
from elec.sizing.after_failure import after_failure_a, left_to_elec
from elec.sizing.chart import chart_awg
from elec.sizing.devices import Device, allowed_drop_v, drop_limit_v
from elec.sizing.feeder_current import rated
from elec.sizing.feeder_devices import AFTER_FAILURE, CHARGING, RESERVE, feeder_device
from elec.sizing.obstacle import Obstacle
from elec.sizing.picking import circuit_device, circuit_devices, with_twins
from elec.sizing.shelf import asked_gauges, off_the_shelf
from elec.sizing.starter_cables import drivers
from elec.standards import AWGS, NotCovered, WireSize
from elec.study import Study, analysis
from elec.wiring.cases import Case, cases
from elec.wiring.chains import Chain, Conductor, Row, chains
from elec.wiring.charging import charging_a
from elec.wiring.circuit_model import Model, Sizes, build, part_ohm
from elec.wiring.contact_class import range_over
from elec.wiring.demand import circuit_amps, conditions, turns
from elec.wiring.duty import duties
from elec.wiring.limits import limit
from elec.wiring.runs import runs
from elec.wiring.standby import standing_amps, twins
from elec.wiring.surroundings import loading, surroundings
from elec.wiring.wires import kind_of, least_gauge, lost_v, size
from elec.working import within

Moment = tuple[str, Condition]
"""A phase and a condition."""

MOST_ROUNDS = 12
MOST_SOLUTIONS = 5
MOST_TRIMS = 4
MORE = 1.001
"""Less than that above what is counted is rounding of the solver, not another current."""
STARTS = 3
"""Attempts in a row that a starter's wires shall bear without cooling (our judgement)."""
HEAVY_AWG = "4"
"""What feeders count as until their current is known; the answer does not depend on it."""


class Gauge(Struct, frozen=True, kw_only=True):
    """The gauge of one conductor and what decided it."""

    conductor: str
    awg: str
    chosen: bool
    """True where the program chose it."""
    decided: str
    """`heat in panel to belly`, `voltage drop`, `least gauge for strength`, `given`."""
    satisfied: bool = True
    """False where even the thickest gauge does not pass."""


class Sizing(Struct, frozen=True, kw_only=True, dict=True):
    """All sizes, and the currents they rest on."""

    devices: Mapping[str, Device]
    gauges: Mapping[str, Gauge]
    currents_a: Mapping[str, Mapping[Moment, float]]
    """Conductor → phase and condition → the most it carries then, whichever sources work.

    What pulses counts by its root mean square."""
    peaks_a: Mapping[str, float]
    """Conductor → the most at any instant."""
    loading: Mapping[str, float]
    """Bundle → its loading in the worst moment, 0 to 1."""
    worst_moment: Mapping[str, Moment]
    temperatures_degc: Mapping[str, float]
    """Conductor → its temperature in its warmest spot at its greatest lasting current."""
    careful_degc: Mapping[str, float]
    """The same as AC 43.13-1B 11-67 estimates it, on the careful side: for the voltage drop."""
    solved: "Solved"
    """The network in which circuits, feeders and grounds got their currents."""
    rounds: int = 0

    def sizes(self) -> Sizes:
        """What the network is built from."""
        return self._sizes

    @cached_property
    def _sizes(self) -> Sizes:
        return Sizes(
            gauges={name: gauge.awg for name, gauge in self.gauges.items()},
            ratings={n: d.rating_a for n, d in self.devices.items() if d.rating_a is not None},
            families={n: d.family for n, d in self.devices.items()},
            temperatures_degc=self.temperatures_degc,
        )


class Solved(Struct, frozen=True, kw_only=True):
    """The last network that was solved while sizes were chosen."""

    cases: tuple[Case, ...]
    model: Model
    solution: Solution


class _Work(Struct):
    """The state of the search."""

    gauges: dict[str, str] = field(default_factory=dict)
    decided: dict[str, str] = field(default_factory=dict)
    unsatisfied: set[str] = field(default_factory=set)
    devices: dict[str, Device] = field(default_factory=dict)
    counted: dict[str, dict[Moment, float]] = field(default_factory=dict)
    """Of circuits, by the draws of their loads alone."""
    currents: dict[str, dict[Moment, float]] = field(default_factory=dict)
    loading: dict[str, float] = field(default_factory=dict)
    moments: dict[str, Moment] = field(default_factory=dict)


@analysis
def sizing(study: Study) -> Sizing:
    """Choose what is not given until nothing changes."""
    return SizeSearch(study).run()


def rated_degc(conductor: Conductor, study: Study) -> float:
    """The temperature that a conductor's insulation is rated for."""
    return kind_of(study, conductor).rated_degc


def cranking(study: Study) -> frozenset[str]:
    """Phases in which the starter turns.

    Too short to heat a wire, long enough to lower the voltage.
    """
    phases = study.document.phases
    return frozenset(name for name, phase in phases.items() if turns(phase))


def ended(study: Study) -> "SizeSearch":
    """The search as it ended: to ask it again what it would say of other gauges."""
    done = sizing(study)
    search = SizeSearch(study)
    search.work = _Work(
        gauges={name: gauge.awg for name, gauge in done.gauges.items()},
        devices=dict(done.devices),
        currents={name: dict(amps) for name, amps in done.currents_a.items()},
        loading=dict(done.loading),
        moments=dict(done.worst_moment),
    )
    for chain in chains(study).of("circuit"):
        for conductor in chain.conductors():
            search.most_a[conductor.id] = done.peaks_a[conductor.id]
        search.passes(chain)
    return search


class SizeSearch:
    """The search for the smallest gauges and devices that pass."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self.chains = _in_order(study)
        self.conductors = {c.id: c for chain in self.chains for c in chain.conductors()}
        self.where = surroundings(study)
        self.cranking = cranking(study)
        self.moments: tuple[Moment, ...] = tuple(
            (phase, condition) for phase in study.document.phases for condition in conditions(study)
        )
        self.work = _Work()
        self.most_a: dict[str, float] = {}
        self.lasting_a: dict[str, float] = {}
        self.parts_v: dict[tuple[str, tuple[str, ...]], float] = {}
        self.kinds = {name: kind_of(study, c) for name, c in self.conductors.items()}
        self.rated = {name: kind.rated_degc for name, kind in self.kinds.items()}
        self.free_a: dict[tuple[str, str, float], float] = {}
        self.warm_degc: dict[tuple[str, str, float, tuple[float, ...]], float] = {}
        self.careful_degc: dict[tuple[str, str, float, tuple[float, ...]], float] = {}
        self.factors: dict[str, float] = {}
        self.inside: dict[str, list[str]] = {}
        self.moving: dict[str, list[str]] = {}
        self.still_a: dict[str, list[tuple[Moment, float]]] = {}
        self.passed: dict[str, tuple[float | None, tuple[float, ...]]] = {}
        self.least: dict[str, str] = {}
        self.reasons: dict[str, str] = {}
        self.sharing: dict[str, dict[str, Chain]] = {}
        self.runs = runs(study)
        self.altitude = self.where.altitude_factor.value
        self.fixed = {n: c.gauge for n, c in self.conductors.items() if c.gauge is not None}
        self.tight = limit(study, "bundle-tight").value
        self.twins = twins(study)
        self.capped: dict[str, float] = {}
        self.by_name = {chain.name: chain for chain in self.chains}
        self.drivers = {
            chain.name: found
            for chain in self.chains
            if (found := drivers(study, chain, self.cranking)) is not None
        }
        self.contacts = {
            chain.name: range_over(study, tuple(c for c in chain.conductors() if c.gauge is None))
            for chain in self.chains
        }
        self.behind = _behind(study, self.chains)
        bundles, of = self.where.bundles, self.where.of
        self.warmest = {
            n: max((bundles[key].ambient.value for key in of.get(n, ())), default=20.0)
            for n in self.conductors
        }
        self.limits_v: dict[str, tuple[float, ...]] = {}
        self.chain_a: dict[str, float] = {}
        self.after_a: Mapping[str, float] = {}
        self.charge_a: Mapping[str, float] = {}

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
            asked = asked_gauges(self.study, chain)
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
                wire = self.study.document.wires[int(chain.path[1])]
                amps = wire.amps_a or 0.0
                for conductor in chain.conductors():
                    work.currents[conductor.id] = dict.fromkeys(self.moments, amps)

    def _circuit_currents(self, chain: Chain) -> None:
        for conductor in chain.conductors():
            loads = loads_on(chain, conductor.id)
            work, share = self.work, conductor.parallel
            work.currents[conductor.id] = {
                moment: standing_amps(self.study, loads, *moment) / share for moment in self.moments
            }
            work.counted[conductor.id] = work.currents[conductor.id]
            self.most_a[conductor.id] = max(
                (
                    circuit_amps(self.study, loads, phase, condition, "peak") / share
                    for phase, condition in self.moments
                ),
                default=0.0,
            )

    # -- heat ------------------------------------------------------------------------------------

    def lasting(self, conductor: str) -> float:
        """The most that a conductor carries for longer than a start."""
        if conductor not in self.lasting_a:
            found = self.work.currents.get(conductor, {})
            self.lasting_a[conductor] = max(
                (a for (phase, _), a in found.items() if phase not in self.cranking), default=0.0
            )
        return self.lasting_a[conductor]

    def _wire(self, conductor: str, awg: str) -> WireSize:
        return size(self.kinds[conductor], awg)

    def _free(self, conductor: str, awg: str, ambient_degc: float) -> float:
        key = (self.kinds[conductor].name, awg, ambient_degc)
        if key not in self.free_a:
            wire = self._wire(conductor, awg)
            self.free_a[key] = ampacity_a(
                free_air_b=wire.free_air_b,
                free_air_m=wire.free_air_m,
                ambient_degc=ambient_degc,
                rated_degc=self.rated[conductor],
                bundle_factor=1.0,
                altitude_factor=self.altitude,
            )
        return self.free_a[key]

    def _load_bundles(self) -> None:
        """How much of each bundle's capacity is in use in its worst moment."""
        work = self.work
        self.factors.clear()
        if not self.still_a:
            self._count_circuits()
        for key, bundle in self.where.bundles.items():
            ambient = bundle.ambient.value
            capacity = sum(self._free(m, work.gauges[m], ambient) for m in self.inside[key])
            best: float = 0.0
            when: Moment = ("", "day")
            for moment, still in self.still_a[key]:
                amps = still + sum(
                    work.currents.get(m, {}).get(moment, 0.0) for m in self.moving[key]
                )
                if amps > best:
                    best, when = amps, moment
            work.loading[key] = loading(best, capacity, bundle.wires)
            work.moments[key] = when

    def _count_circuits(self) -> None:
        """What circuits and signal wires carry in each bundle, which no solution changes."""
        solved = {
            c.id for x in self.chains if x.kind in ("feeder", "ground") for c in x.conductors()
        }
        lasting = [moment for moment in self.moments if moment[0] not in self.cranking]
        currents = self.work.currents
        for key, bundle in self.where.bundles.items():
            self.inside[key] = [m for m in bundle.members if m in self.conductors]
            self.moving[key] = [m for m in self.inside[key] if m in solved]
            here = [currents[m] for m in self.inside[key] if m not in solved and m in currents]
            self.still_a[key] = [
                (moment, sum(found.get(moment, 0.0) for found in here)) for moment in lasting
            ]

    def _factor(self, key: str) -> float:
        """The bundle factor of a bundle at its loading."""
        if key not in self.factors:
            wires = self.where.bundles[key].wires
            self.factors[key] = factor_of(wires, self.work.loading.get(key, 0.0))
        return self.factors[key]

    def allowed(self, conductor: str, awg: str) -> tuple[float, str]:
        """The current that a gauge may carry in the hottest spot of its run, and that spot."""
        least, spot = float("inf"), ""
        for key in self.where.of.get(conductor, ()):
            bundle = self.where.bundles[key]
            amps = self._free(conductor, awg, bundle.ambient.value) * self._factor(key)
            if amps < least:
                least, spot = amps, key
        return least, spot

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
        device = self.work.devices.get(chain.name)
        of = self.where.of
        keys = [key for c in chain.conductors() for key in of.get(c.id, ())]
        beside = [float(AWGS.index(awg)) for awg, _ in self._twin_gauges(chain)]
        carried = [self.lasting(c.id) for c in chain.conductors()]
        factors = [self._factor(key) for key in keys]
        return (device.rating_a if device else None, (*factors, *beside, *carried))

    def obstacle(
        self, chain: Chain, free: list[Conductor], awg: str, *, drop: bool = True
    ) -> Obstacle | None:
        """Why a gauge does not do for a chain; None when it does. The drop may be left out."""
        here = AWGS.index(awg)
        contacts = self.contacts[chain.name]
        if contacts and here < AWGS.index(contacts.thinnest):
            return Obstacle(kind="contacts", text=f"contacts of {contacts.title}")
        for name, title in returns_through(self.study, chain):
            if here < AWGS.index(self.work.gauges[name]):
                return Obstacle(kind="short comes back", text=f"as thick as {title}")
        if off_the_shelf(self.study, awg):
            return Obstacle(kind="stock", text="your stock has none")
        for twin, title in self._twin_gauges(chain):
            if here < AWGS.index(twin):
                text = f"as thick as {title}, which it stands in for"
                return Obstacle(kind="stands in", text=text)
        device = self.work.devices.get(chain.name)
        rating = device.rating_a if device else None
        far = self.work.devices.get(chain.far.name) if chain.far else None
        for conductor in free:
            needed = self._duty(chain, conductor.id) if rating is None else rating
            if rating is not None and far is not None:
                needed = max(needed, far.rating_a or 0.0)
            amps, spot = self.allowed(conductor.id, awg)
            if not within(amps, needed, "at least"):
                where = self.where.bundles[spot].where if spot else ""
                return Obstacle(kind="heat", text=f"heat {where}".rstrip(), where=where)
            if self._tight(conductor.id, awg):
                text = f"heat, {self.tight:.0%} of what it may carry at most"
                return Obstacle(kind="tight", text=text)
            if self._start_heats(conductor.id, awg):
                return Obstacle(kind="starts", text=f"heat of {STARTS} starts in a row")
        if self._short_heats(chain, free, awg):
            return Obstacle(kind="short", text="heat of a short until it is switched off")
        trial = ChainMap({c.id: awg for c in free}, self.work.gauges)
        reserve = 1.0 if chain.kind == "circuit" else RESERVE
        for lost, most in self.drops(chain, trial) if drop else ():
            if not within(lost * reserve, most):
                return Obstacle(kind="drop", text="voltage drop")
        if device is not None and rating is not None:
            chart = chart_awg(rating, device.kind)
            asked = -1 if chart is None else AWGS.index(chart)
            if contacts:  # the chart is advice: it asks for nothing that does not fit
                asked = min(asked, AWGS.index(contacts.thickest))
            if here < asked:
                return Obstacle(kind="chart", text=f"published chart for a {device.label}")
        return None

    def _twin_gauges(self, chain: Chain) -> list[tuple[str, str]]:
        """(gauge, title) of the circuits that stand in for this one, as far as it can take them."""
        contacts = self.contacts[chain.name]
        found = []
        for name in self.twins.get(chain.name, ()):
            awg = max((self.work.gauges[c.id] for c in self.by_name[name].conductors()),
                      key=AWGS.index)  # fmt: skip
            if contacts and AWGS.index(awg) > AWGS.index(contacts.thickest):
                awg = contacts.thickest
            found.append((awg, self.by_name[name].title))
        return found

    def _tight(self, conductor: str, awg: str) -> bool:
        """Whether a wire uses so much of what it may carry on a way that it is pointed out."""
        carried = self.lasting(conductor) * RESERVE
        return any(
            carried
            > self.tight * self._free(conductor, awg, bundle.ambient.value) * self._factor(key)
            for key in self.where.of.get(conductor, ())
            if (bundle := self.where.bundles[key]).leg is not None
        )

    def _start_heats(self, conductor: str, awg: str) -> bool:
        """Whether starts in a row, with no heat lost meanwhile, bring a wire to its rating.

        For a short time the copper alone takes up the heat: I = K·S/√t (IEC 60949, adiabatic form).
        """
        if not self.cranking:
            return False
        for (phase, _), amps in self.work.currents.get(conductor, {}).items():
            if phase not in self.cranking or amps <= 0:
                continue
            rated, warmest = self.rated[conductor], self.warmest[conductor]
            if warmest >= rated:
                return True
            most = short_time_current_a(
                adiabatic_k=adiabatic_k(start_degc=warmest, limit_degc=rated),
                area_mm2=self._wire(conductor, awg).copper_mm2,
                duration_s=STARTS * self.study.document.phases[phase].lasts_s,
            )
            if amps * RESERVE > most:
                return True
        return False

    def _short_heats(self, chain: Chain, free: list[Conductor], awg: str) -> bool:
        """Whether a short damages a starter's cable sooner than it can be switched off.

        Nothing protects it. Its own wires alone hold the current back, cold; copper alone takes the
        heat: both on the careful side of what `bare` finds in the solved short.
        """
        driving = self.drivers.get(chain.name)
        if driving is None:
            return False
        volts, ohms = driving
        wires = [c for c in free if c.role == "feed"]
        for wire in wires:
            ohms += self._wire(wire.id, awg).ohm(self.runs[wire.id].length_m or 0.0)
        for wire in wires:
            start, damaged = self.temperature(wire.id, awg), self.kinds[wire.id].damaged_degc
            most = short_time_current_a(
                adiabatic_k=adiabatic_k(start_degc=start, limit_degc=damaged),
                area_mm2=self._wire(wire.id, awg).copper_mm2,
                duration_s=limit(self.study, "unprotected-bears").value,
            )
            if volts / ohms / wire.parallel > most:
                return True
        return False

    def _duty(self, chain: Chain, conductor: str) -> float:
        """What a conductor without a rated device must carry."""
        duty = duties(self.study).get(chain.name)
        lasting = self.lasting(conductor)
        if chain.kind != "feeder":
            return lasting
        others = max(self.after_a.get(conductor, 0.0), self.charge_a.get(conductor, 0.0))
        return max(lasting * RESERVE, others * RESERVE, duty.current_a if duty else 0.0)

    # -- drop ------------------------------------------------------------------------------------

    def temperature(self, conductor: str, awg: str) -> float:
        """The warmest that a conductor gets at its greatest lasting current, at most its rating."""
        keys = self.where.of.get(conductor, ())
        amps = self.lasting(conductor)
        state = (conductor, awg, amps, tuple([self._factor(key) for key in keys]))
        if state not in self.warm_degc:
            self.warm_degc[state] = self._warmest(conductor, awg, amps, keys)
        return self.warm_degc[state]

    def _warmest(self, conductor: str, awg: str, amps: float, keys: tuple[str, ...]) -> float:
        wire = self._wire(conductor, awg)
        warmest = 20.0
        for key in keys:
            try:
                here = conductor_temperature_degc(
                    current_a=amps,
                    free_air_b=wire.free_air_b,
                    free_air_m=wire.free_air_m,
                    ambient_degc=self.where.bundles[key].ambient.value,
                    bundle_factor=self._factor(key),
                    altitude_factor=self.altitude,
                )
            except NotCovered:
                here = self.rated[conductor]
            warmest = max(warmest, here)
        return min(warmest, self.rated[conductor])

    def careful(self, conductor: str, awg: str) -> float:
        """The warmest by the circular's estimate; its rating where it carries more than allowed."""
        keys, amps = self.where.of.get(conductor, ()), self.lasting(conductor)
        state = (conductor, awg, amps, tuple([self._factor(key) for key in keys]))
        if state not in self.careful_degc:
            self.careful_degc[state] = self._careful(conductor, awg, amps, keys)
        return self.careful_degc[state]

    def _careful(self, conductor: str, awg: str, amps: float, keys: tuple[str, ...]) -> float:
        wire, rated, warmest = self._wire(conductor, awg), self.rated[conductor], 20.0
        for key in keys:
            around = self.where.bundles[key].ambient.value
            allowed = ampacity_a(
                free_air_b=wire.free_air_b,
                free_air_m=wire.free_air_m,
                ambient_degc=around,
                rated_degc=rated,
                bundle_factor=self._factor(key),
                altitude_factor=self.altitude,
            )
            if amps > allowed or around >= rated:
                return rated
            here = careful_temperature_degc(
                current_a=amps, allowed_current_a=allowed, ambient_degc=around, rated_degc=rated
            )
            warmest = max(warmest, here)
        return warmest

    def _lost_v(self, conductor: str, awg: str, amps: float) -> float:
        length = self.runs[conductor].length_m
        if length is None:
            return 0.0  # the finding about this wire says cannot tell
        return lost_v(self._wire(conductor, awg), length, self.careful(conductor, awg), amps)

    def drops(self, chain: Chain, gauges: Mapping[str, str]) -> Iterator[tuple[float, float]]:
        """Drop and limit of each load of a circuit, or of a feeder or ground as a whole."""
        if chain.kind == "wire":
            return
        if chain.kind == "circuit":
            if chain.name not in self.limits_v:
                self.limits_v[chain.name] = tuple(
                    drop_limit_v(self.study, load).volts for load in chain.loads
                )
            for load, most in zip(chain.loads, self.limits_v[chain.name], strict=True):
                yield self._circuit_drop(chain, load, gauges), most
            return
        for crank, allowed in (
            (False, limit(self.study, "feeder-drop").value * self.study.system.about.nominal_v),
            (True, allowed_drop_v(self.study, intermittent=True)),
        ):
            lost, least = 0.0, 0.0 if crank else self._rated_a(chain)
            for conductor in chain.conductors():
                found = self.work.currents.get(conductor.id, {})
                amps = max(
                    (a for (p, _), a in found.items() if (p in self.cranking) == crank), default=0.0
                )
                amps = max(amps, least)
                lost += self._lost_v(conductor.id, gauges[conductor.id], amps)
            yield lost, allowed

    def _rated_a(self, chain: Chain) -> float:
        found = rated(self.study, chain, self.work.devices)
        return 0.0 if found is None else found.current_a

    def _circuit_drop(self, chain: Chain, load: str, gauges: Mapping[str, str]) -> float:
        lost, feeds = 0.0, 0.0
        for row in chain.rows:
            if row.equipment != load:
                continue
            part = 0.0
            for conductor in row.conductors:
                if conductor is None:
                    continue
                amps = self.most_a[conductor.id]
                part += self._lost_v(conductor.id, gauges[conductor.id], amps)
            part += self._parts_drop(chain, row)
            if row.role == "feed":
                feeds = max(feeds, part)
            else:
                lost = max(lost, part)
        return lost + feeds

    def passes(self, chain: Chain) -> None:
        """Let contacts, switch and device of a circuit carry the most that its wires carry."""
        self.chain_a[chain.name] = max(
            (self.most_a[c.id] * c.parallel for c in chain.conductors()), default=0.0
        )
        self.parts_v = {key: v for key, v in self.parts_v.items() if key[0] != chain.name}

    def _parts_drop(self, chain: Chain, row: Row) -> float:
        """What contacts, switch and device of a row lose; no gauge changes it."""
        key = (chain.name, tuple(part.id for part in row.parts))
        if key not in self.parts_v:
            if chain.name not in self.chain_a:
                self.chain_a[chain.name] = max(
                    (circuit_amps(self.study, chain.loads, p, c, "peak") for p, c in self.moments),
                    default=0.0,
                )
            sizes = self._rated(chain)
            self.parts_v[key] = sum(
                contacts_drop_v(
                    current_a=self.chain_a[chain.name],
                    resistance_ohm=part_ohm(self.study, chain, part, sizes),
                )
                for part in row.parts
                if part.inlet != part.outlet
            )
        return self.parts_v[key]

    def _rated(self, chain: Chain) -> Sizes:
        """What is known of the device of one chain."""
        device = self.work.devices.get(chain.name)
        rating = device.rating_a if device else None
        return Sizes(
            gauges={},
            ratings={} if rating is None else {chain.name: rating},
            families={} if device is None else {chain.name: device.family},
        )

    # -- feeders and grounds ---------------------------------------------------------------------

    def _feeders(self, gauges: Mapping[str, str]) -> None:
        """Let the network say what feeders and grounds carry, and choose their devices.

        Circuits carry what the network says where that is more than what is counted: constant
        power at a low bus, coils, returns that share a contact.
        """
        solved = tuple(c for c in cases(self.study) if c.count == "momentary")
        model = build(self.study, solved, self._sizes(gauges), warming=True)
        solution = solve(model.netlist, model.values)
        self.solved = Solved(cases=solved, model=model, solution=solution)
        self.after_a = after_failure_a(self.study, model, solved, self.cranking)
        self.charge_a = charging_a(self.study, self._sizes(gauges), left_to_elec(self.study))
        amps = np.abs(solution.resistor_a)
        amps[np.isnan(amps)] = 0.0  # a case without a solution is another check's to tell
        place = {b.name: i for i, b in enumerate(model.netlist.resistors)}
        when: dict[Moment, list[int]] = {}
        for i, case in enumerate(solved):
            when.setdefault((case.phase, case.condition), []).append(i)
        most = {moment: amps[:, columns].max(axis=1) for moment, columns in when.items()}
        for chain in self.chains:
            if chain.kind in ("feeder", "ground"):
                for conductor in chain.conductors():
                    row = place[conductor.id]
                    self.work.currents[conductor.id] = {m: float(a[row]) for m, a in most.items()}
                    self.lasting_a.pop(conductor.id, None)
            elif chain.kind == "circuit":
                self._solved_circuit(chain, most, place)
        self.still_a.clear()
        with_twins(self.study, self.work.devices)
        self._feeder_devices()

    def _solved_circuit(
        self, chain: Chain, most: Mapping[Moment, Array], place: Mapping[str, int]
    ) -> None:
        work = self.work
        lasting = {m: amps for m, amps in most.items() if m[0] not in self.cranking}
        for conductor in chain.conductors():
            loads, row = loads_on(chain, conductor.id), place[conductor.id]
            found = dict(work.counted[conductor.id])
            for moment, amps in lasting.items():
                solved = float(amps[row])
                if solved > found[moment] * MORE + 1e-6:
                    found[moment] = solved
                    peak = solved * self._peak_ratio(loads, moment)
                    self.most_a[conductor.id] = max(self.most_a[conductor.id], peak)
            work.currents[conductor.id] = found
            self.lasting_a.pop(conductor.id, None)
        self.passes(chain)
        if chain.device is None or chain.device.id not in place:
            return
        through = max((float(a[place[chain.device.id]]) for a in lasting.values()), default=0.0)
        cap = self.capped.get(chain.name, math.inf)
        work.devices[chain.name] = circuit_device(self.study, chain, through, cap)

    def _peak_ratio(self, loads: tuple[str, ...], moment: Moment) -> float:
        """The most that loads take at any instant over what warms: 1 where none of them pulses."""
        heat = circuit_amps(self.study, loads, *moment)
        return circuit_amps(self.study, loads, *moment, "peak") / heat if heat > 0 else 1.0

    def _feeder_devices(self) -> None:
        """Choose them from the loads up, since each opens after those behind it."""
        devices = self.work.devices
        feeders = [
            c for c in self.chains if c.kind == "feeder" and (c.device or c.far_device) is not None
        ]
        for _ in feeders:
            before = dict(devices)
            for chain in feeders:
                load = max((self.lasting(c.id) for c in chain.conductors()), default=0.0)
                others = [
                    (max((found.get(c.id, 0.0) for c in chain.conductors()), default=0.0), why)
                    for found, why in ((self.after_a, AFTER_FAILURE), (self.charge_a, CHARGING))
                ]
                behind = [devices[n] for n in self.behind[chain.name] if n in devices]
                if chain.device is not None:
                    devices[chain.name] = feeder_device(self.study, chain, load, behind, others)
                if chain.far is not None:
                    far = feeder_device(self.study, chain.far, load, (), others)
                    devices[chain.far.name] = replace(far, chain=chain.name, at_far_end=True)
            if devices == before:
                return

    def _sizes(self, gauges: Mapping[str, str]) -> Sizes:
        work = self.work
        return Sizes(
            gauges=gauges,
            ratings={n: d.rating_a for n, d in work.devices.items() if d.rating_a is not None},
            families={n: d.family for n, d in work.devices.items()},
            temperatures_degc=self._temperatures(),
        )

    def _temperatures(self) -> dict[str, float]:
        if not self.work.loading:
            self._load_bundles()
        return {name: self.temperature(name, self.work.gauges[name]) for name in self.conductors}

    def _result(self, rounds: int) -> Sizing:
        work = self.work
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
            currents_a=work.currents,
            peaks_a={
                name: max(self.most_a.get(name, 0.0), *work.currents.get(name, {}).values(), 0.0)
                for name in self.conductors
            },
            loading=work.loading,
            worst_moment=work.moments,
            temperatures_degc=self._temperatures(),
            careful_degc={name: self.careful(name, work.gauges[name]) for name in self.conductors},
            solved=self.solved,
            rounds=rounds,
        )


def returns_through(study: Study, chain: Chain) -> tuple[tuple[str, str], ...]:
    """The conductors whose whole current, in a short circuit, comes back through a ground wire.

    For the negative of a source its feeders, for a ground point the returns that land on it; with
    the title of their chain. A connection whose resistance was measured is left alone.
    """
    if chain.kind != "ground":
        return ()
    if chain.path[0] == "grounds":
        if study.document.grounds[str(chain.path[1])].resistance_ohm is not None:
            return ()
        return _landing_on(study).get(chain.source_end, ())
    return _feeders_at(study).get(chain.source_end, ())


@analysis
def _landing_on(study: Study) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Ground point → returns that land on it."""
    found: dict[str, list[tuple[str, str]]] = {}
    for chain in chains(study).of("circuit"):
        for conductor in chain.conductors():
            if conductor.role == "return":
                found.setdefault(conductor.b.name, []).append((conductor.id, chain.title))
    return {name: tuple(here) for name, here in found.items()}


@analysis
def _feeders_at(study: Study) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Source or bus → wires of the feeders that end there."""
    found: dict[str, list[tuple[str, str]]] = {}
    for chain in chains(study).of("feeder"):
        for end in {chain.source_end: None, chain.far_end: None}:
            found.setdefault(end, []).extend((c.id, chain.title) for c in chain.conductors())
    return {name: tuple(here) for name, here in found.items()}


def loads_on(chain: Chain, conductor: str) -> tuple[str, ...]:
    """The loads whose current a conductor of a circuit carries."""
    return tuple(
        dict.fromkeys(
            row.equipment
            for row in chain.rows
            if any(c is not None and c.id == conductor for c in row.conductors)
        )
    )


def _behind(study: Study, found: list[Chain]) -> Mapping[str, tuple[str, ...]]:
    """Feeder → circuits and feeders on its far bus, by which its device is chosen.

    The output of an alternator is none of them, whichever end it is written from.
    """
    sources = study.document.sources
    made = {name for name, source in sources.items() if source.kind == "alternator"}
    from_: dict[str, list[str]] = {}
    for chain in found:
        if chain.kind in ("circuit", "feeder") and chain.far_end not in made:
            from_.setdefault(chain.source_end, []).append(chain.name)
    return {
        chain.name: tuple(n for n in from_.get(chain.far_end, ()) if n != chain.name)
        for chain in found
        if chain.kind == "feeder"
    }


def _in_order(study: Study) -> list[Chain]:
    """All chains but cables: ground points from the main ground outwards, others as written.

    What a chain's gauge rests on comes before it, whatever the order of the text.
    """
    every = [c for c in chains(study).by_name.values() if c.kind != "cable"]
    grounds = {c.source_end: c for c in every if c.kind == "ground" and c.path[0] == "grounds"}

    def depth(chain: Chain) -> int:
        count, here = 0, chain
        while here.far_end in grounds and count <= len(grounds):
            count, here = count + 1, grounds[here.far_end]
        return count

    last = sorted(grounds.values(), key=lambda c: (depth(c), c.name))
    outer = {c.name for c in last}
    return [*(c for c in every if c.name not in outer), *last]


def factor_of(wires: float, share: float) -> float:
    """The bundle factor; beyond the 40 wires of the published curve by the same law, carried on."""
    return bundle_factor(wires=wires, loading=share)


__all__ = ["Gauge", "Moment", "Sizing", "cranking", "factor_of", "rated_degc", "sizing"]
