"""The current of a dead short behind every device: least at the far end, greatest at itself.

In: loops, batteries. Out: `Fault` by chain. Least: a low battery, hot wires, the short at the
load and back through its return. Greatest: a battery at the charging voltage, cold wires, the
short just behind the device, what lies ahead of it as far as it is known, alternators added; not
the device itself, for what it can break is given for the current that would flow without it.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.bodies import batteries
from elec.answers.grounds.loops import LoopPiece, Route, feeds, loops, returns, wire_piece
from elec.answers.short.fault_working import (
    FaultTogether,
    FaultWay,
    Loop,
    Ring,
    greatest_steps,
    least_steps,
)
from elec.model.source import Lithium
from elec.sizing.devices import Device
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.cases import Scenario, scenarios
from elec.wiring.chains import Chain, Part, chains, ground_node, main_ground
from elec.wiring.circuit_model import Sizes, part_ohm
from elec.wiring.demand import cells_factor
from elec.wiring.runs import is_known, runs
from elec.wiring.sources import battery_resistance, open_circuit_v
from elec.working import Working


class Fault(Struct, frozen=True, kw_only=True, dict=True):
    """Short-circuit currents of one chain; None where not known, then `unknown` says why."""

    chain: str
    least_a: float | None
    greatest_a: float | None
    source: str
    """The battery that gives the least current."""
    limited: bool
    """True where the battery's own management limits the least current."""
    build: Callable[[bool], Working]
    unknown: str = ""
    ask: str = ""
    """What to do about what is not known, where it is the length of a wire."""
    uncounted: tuple[str, ...] = ()
    """Wires ahead of the device whose length is not known: the greatest current leaves them out."""

    @cached_property
    def least(self) -> Working:
        """The loop of the least current and Ohm's law around it."""
        return self.build(False)

    @cached_property
    def greatest(self) -> Working:
        """Every battery's loop, and what the alternators add."""
        return self.build(True)


@analysis
def faults(study: Study) -> Mapping[str, Fault]:
    """The short-circuit currents of every circuit, feeder and thin wire."""
    work = _work(study)
    return {
        chain.name: work.fault(chain) for chain in chains(study).guarded() if chain.brings_power
    }


def fault_with(study: Study, chain: Chain, device: Device) -> Fault:
    """The short-circuit currents of a chain with another rating of its device."""
    work = _work(study)
    ratings = {**work.sizes.ratings, chain.name: device.rating_a or 0.0}
    return _Faults(study, work, replace(work.sizes, ratings=ratings)).fault(chain)


@analysis
def _work(study: Study) -> "_Faults":
    return _Faults(study)


class _Faults:
    def __init__(
        self, study: Study, known: "_Faults | None" = None, sizes: Sizes | None = None
    ) -> None:
        self.study = study
        if known is not None and sizes is not None:
            self.__dict__.update(known.__dict__)
            self.sizes = sizes
            return
        self.batteries = batteries(study)
        self.states = tuple({s.emergency: s for s in reversed(scenarios(study))}.values())
        self.routes = {
            (name, state.name): feeds(study, f"{name}.+", state)
            for name in self.batteries
            for state in self.states
            if name not in state.lost
        }
        self.reached = {
            (name, state.name): feeds(study, f"{name}.+", state)
            for name, source in study.document.sources.items()
            for state in self.states
            if source.kind == "alternator" and name not in state.lost
        }
        self.backs = {name: returns(study, f"{name}.-") for name in self.batteries}
        self.ohms = {n: battery_resistance(study, n, b).result for n, b in self.batteries.items()}
        factor = cells_factor(study.system.about.nominal_v)
        self.low = default("fault-voltage-14" if factor < 2 else "fault-voltage-28")
        self.sizes = sizing(study).sizes()
        self._in_feeders = {
            node for own in loops(study).feeders.values() for p in own for node in (p.a, p.b)
        }

    def fault(self, chain: Chain) -> Fault:
        """Both currents of one chain."""
        unknown, ask = self._unknown(chain)
        least = None if unknown else self._least(chain)
        greatest = None if unknown else self._greatest(chain)
        if not unknown and least is None:
            unknown = "no battery reaches it in any state"

        def build(most: bool) -> Working:
            if most:
                steps = greatest_steps(self.study, greatest) if greatest else ()
                return Working(
                    title=f"Greatest short-circuit current of {chain.title}", steps=steps
                )
            steps = least_steps(self.study, least) if least else ()
            return Working(title=f"Least short-circuit current of {chain.title}", steps=steps)

        return Fault(
            chain=chain.name,
            least_a=least.amps if least else None,
            greatest_a=greatest.amps if greatest else None,
            source=least.ring.battery if least else "",
            limited=least is not None and least.limited,
            build=build,
            unknown=unknown,
            ask=ask,
            uncounted=() if greatest is None else self._ahead(chain)[1],
        )

    def _unknown(self, chain: Chain) -> tuple[str, str]:
        """Why its currents are not known, and what to do about it."""
        if not self.batteries:
            return "there is no battery, and what an alternator gives into a short is not known", ""
        found = [runs(self.study)[c.id] for c in chain.conductors()]
        bare = next((run for run in found if run.length_m is None), None)
        return (bare.why, bare.ask) if bare else ("", "")

    # -- the least -------------------------------------------------------------------------------

    def _least(self, chain: Chain) -> Loop | None:
        """The smallest among the states; in each state the battery that gives most."""
        found: list[Loop] = []
        for state in self.states:
            here = [loop for loop in self._loops(chain, state) if loop.amps > 0]
            if here:
                found.append(max(here, key=lambda loop: loop.amps))
        return min(found, key=lambda loop: loop.amps, default=None)

    def _loops(self, chain: Chain, state: Scenario) -> Iterator[Loop]:
        for name in self.batteries:
            out = self._way(chain, name, state)
            if out is None or not self._used(chain, state):
                continue
            own, ground = self._own(chain)
            back = self.backs[name].get(ground)
            if back is not None:
                battery = self.batteries[name]
                yield Loop(
                    chain=chain,
                    scenario=state,
                    ring=Ring(
                        battery=name,
                        battery_ohm=self.ohms[name].value,
                        hot=True,
                        parts=(("p", out), ("w", Route(pieces=own)), ("g", back)),
                    ),
                    low=self.low,
                    limit_a=battery.limit_a if isinstance(battery, Lithium) else None,
                )

    def _way(self, chain: Chain, battery: str, state: Scenario) -> Route | None:
        """From a battery to where the chain begins; to a far end past its own feeder."""
        if (battery, state.name) not in self.routes:
            return None
        if chain.path[-1] != "far-end":
            return self.routes[battery, state.name].get(self._start(chain))
        others = feeds(self.study, f"{battery}.+", state, without=int(chain.path[1]))
        return others.get(self._start(chain))

    def _used(self, chain: Chain, state: Scenario) -> bool:
        from elec.wiring.cases import closed

        return chain.kind != "feeder" or closed(
            self.study.document.feeders[int(chain.path[1])], state
        )

    def _alternator_end(self, chain: Chain) -> bool:
        source = self.study.document.sources.get(chain.source_end)
        return chain.kind == "feeder" and source is not None and source.kind == "alternator"

    def _start(self, chain: Chain) -> str:
        """The node that the current comes from; of an alternator's cable it is the bus."""
        node = chain.rows[0].parts[0].inlet if chain.kind == "wire" and not chain.after else ""
        if node in self._in_feeders:
            return node  # behind a contact in a feeder
        name = chain.far_end if self._alternator_end(chain) else chain.source_end
        return f"{name}.+" if name in self.study.document.sources else name

    def _own(self, chain: Chain) -> tuple[tuple[LoopPiece, ...], str]:
        """The pieces of the chain itself, out and back, and the ground it returns to."""
        main = ground_node(main_ground(self.study))
        if chain.kind == "feeder":
            return loops(self.study).feeders[int(chain.path[1])], main
        if chain.kind == "wire":
            return self._thin(chain)
        best: tuple[LoopPiece, ...] = ()
        ground, most = main, -1.0
        for load in chain.loads:
            out = self._row(chain, load, "feed")
            back = self._row(chain, load, "return")
            ohm = sum(p.hot_ohm for p in (*out[0], *back[0]))
            if ohm > most:
                best, ground, most = (*out[0], *back[0]), back[1] or main, ohm
        return best, ground

    def _thin(self, chain: Chain) -> tuple[tuple[LoopPiece, ...], str]:
        """The pieces of a thin wire, with those of the circuit or wire that it begins behind.

        Back it goes the way of what it ends on; else through the main ground at best.
        """
        before, own = self._before(chain), self._row(chain, "", "signal")[0]
        back: tuple[LoopPiece, ...] = ()
        ground, most = ground_node(main_ground(self.study)), -1.0
        for end in chain.ends():
            for name in chains(self.study).feeds.get(end.name, ()):
                found, to = self._row(chains(self.study).by_name[name], end.name, "return")
                ohm = sum(p.hot_ohm for p in found)
                if found and ohm > most:
                    back, ground, most = found, to, ohm
        return (*before, *own, *back), ground

    def _before(self, chain: Chain) -> tuple[LoopPiece, ...]:
        """What lies between the bus and the beginning of a thin wire."""
        if not chain.after:
            return ()
        before = chains(self.study).by_name[chain.after]
        if before.kind == "wire":
            return (*self._before(before), *self._row(before, "", "signal")[0])
        if chain.output:
            return self._row(before, chain.output, "feed")[0]
        nodes = {node for p in chain.parts() for node in (p.inlet, p.outlet)}
        row = next(r for r in before.rows if any(p.outlet in nodes for p in r.parts[1:]))
        last = next(i for i, p in enumerate(row.parts) if i and p.outlet in nodes)
        wires = [wire_piece(self.study, c) for c in row.conductors[:last] if c is not None]
        return (*wires, *self._parts(before, row.parts[: last + 1]))

    def _parts(self, chain: Chain, parts: Sequence[Part]) -> tuple[LoopPiece, ...]:
        """The devices, switches and contacts among the parts of a row."""
        return tuple(
            LoopPiece(chain=chain.name, name=p.id, a=p.inlet, b=p.outlet, cold_ohm=ohm, hot_ohm=ohm)
            for p in parts
            if p.inlet != p.outlet
            for ohm in (part_ohm(self.study, chain, p, self.sizes),)
        )

    def _row(self, chain: Chain, load: str, role: str) -> tuple[tuple[LoopPiece, ...], str]:
        """The pieces of the row of a load with the greatest resistance, and where it ends."""
        best: tuple[LoopPiece, ...] = ()
        end = ""
        for row in chain.rows:
            if row.equipment != load or row.role != role:
                continue
            pieces = [wire_piece(self.study, c) for c in row.conductors if c is not None]
            pieces += self._parts(chain, row.parts)
            if sum(p.hot_ohm for p in pieces) >= sum(p.hot_ohm for p in best):
                best, end = tuple(pieces), row.parts[-1].outlet
        return best, end

    # -- the greatest ----------------------------------------------------------------------------

    def _greatest(self, chain: Chain) -> FaultTogether | None:
        """All batteries side by side, each through its own way, and what the alternators add."""
        found = (self._together(chain, state) for state in self.states)
        known = [one for one in found if one is not None]
        return max(known, key=lambda one: one.amps, default=None)

    def _together(self, chain: Chain, state: Scenario) -> FaultTogether | None:
        start, main = self._start(chain), ground_node(main_ground(self.study))
        ahead = Route(pieces=self._ahead(chain)[0])
        ways = []
        for name, battery in self.batteries.items():
            out = self._way(chain, name, state)
            back = self.backs[name].get(main)
            if out is None or back is None:
                continue
            rest, charging = open_circuit_v(self.study, battery, 1.0), self._charging()
            ways.append(
                FaultWay(
                    ring=Ring(
                        battery=name,
                        battery_ohm=self.ohms[name].value,
                        hot=False,
                        parts=(("p", out), ("g", back), ("w", ahead)),
                    ),
                    volts=max(rest, charging),
                    charging=charging >= rest,
                )
            )
        if not ways:
            return None
        return FaultTogether(
            chain=chain,
            ways=tuple(ways),
            alternators=tuple(self._alternators(start, state)),
        )

    def _charging(self) -> float:
        sources = self.study.document.sources.values()
        return max((s.setpoint_v for s in sources if s.kind == "alternator"), default=0.0)

    def _ahead(self, chain: Chain) -> tuple[tuple[LoopPiece, ...], tuple[str, ...]]:
        """What lies between where the chain begins and its device; and wires of unknown length.

        A stub, and what a current from the far end passes before it comes to the device. A usual
        length is not counted: the short may be nearer than that.
        """
        row = next((r for r in chain.rows if chain.device in r.parts), None)
        if row is None or chain.device is None:
            return (), ()
        at, start = row.parts.index(chain.device), self._start(chain)
        behind = any(start in (part.inlet, part.outlet) for part in row.parts[at + 1 :])
        between = slice(at, None) if behind else slice(None, at)
        wires = [wire for wire in row.conductors[between] if wire is not None]
        parts = row.parts[at + 1 :] if behind else row.parts[:at]
        known = [wire for wire in wires if is_known(self.study, wire)]
        pieces = [wire_piece(self.study, wire) for wire in known]
        pieces += self._parts(chain, [part for part in parts if part.kind != "diode"])
        return tuple(pieces), tuple(wire.id for wire in wires if wire not in known)

    def _alternators(self, start: str, state: Scenario) -> Iterator[tuple[str, float]]:
        """Name and rated output of the alternators that feed the same short."""
        for name, source in self.study.document.sources.items():
            if source.kind != "alternator" or name in state.lost:
                continue
            rated = source.rated_a()
            if rated is not None and start in self.reached[name, state.name]:
                yield name, rated
