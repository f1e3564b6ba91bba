"""The current of a dead short behind every device: least at the far end, greatest at itself.

In: loops, batteries. Out: `Fault` by chain. Least: a low battery, hot wires, the short at the
load and back through its return. Greatest: a battery at the charging voltage, cold wires, the
short just behind the device, alternators added.
"""

import math
from collections.abc import Iterator, Mapping

from elec.analyses.cases import Scenario, scenarios
from elec.analyses.chains import Chain, chains, ground_node, main_ground
from elec.analyses.circuit_model import part_ohm
from elec.analyses.demand import cells_factor
from elec.analyses.loops import Piece, Route, feeds, loops, returns, wire_piece
from elec.analyses.runs import runs
from elec.analyses.sizing import sizing
from elec.analyses.sources import battery_resistance, open_circuit_v
from elec.model.source import Battery, LeadAcid, Lithium
from elec.record import dataclass
from elec.standards import default
from elec.study import Study, analysis
from elec.working import Step, Term, Working


@dataclass(frozen=True, kw_only=True)
class Fault:
    """Short-circuit currents of one chain; None where not known, then `unknown` says why."""

    chain: str
    least_a: float | None
    greatest_a: float | None
    source: str
    """The battery that gives the least current."""
    limited: bool
    """True where the battery's own management limits the least current."""
    least: Working
    greatest: Working
    unknown: str = ""


@dataclass(frozen=True, kw_only=True)
class _Loop:
    battery: str
    scenario: Scenario
    amps: float
    steps: tuple[Step, ...]
    limited: bool = False


@analysis
def faults(study: Study) -> Mapping[str, Fault]:
    """The short-circuit currents of every circuit and feeder."""
    work = _Faults(study)
    return {
        chain.name: work.fault(chain)
        for chain in chains(study).by_name.values()
        if chain.kind in ("circuit", "feeder")
    }


def _batteries(study: Study) -> Mapping[str, Battery]:
    return {
        name: source
        for name, source in study.document.sources.items()
        if isinstance(source, LeadAcid | Lithium)
    }


class _Faults:
    def __init__(self, study: Study) -> None:
        self.study = study
        self.batteries = _batteries(study)
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

    def fault(self, chain: Chain) -> Fault:
        """Both currents of one chain."""
        unknown = self._unknown(chain)
        least = None if unknown else self._least(chain)
        greatest = None if unknown else self._greatest(chain)
        if not unknown and least is None:
            unknown = "no battery reaches it in any state"
        return Fault(
            chain=chain.name,
            least_a=least.amps if least else None,
            greatest_a=greatest.result.value if greatest else None,
            source=least.battery if least else "",
            limited=bool(least and least.limited),
            least=Working(
                title=f"Least short-circuit current of {chain.title}",
                steps=least.steps if least else (),
            ),
            greatest=Working(
                title=f"Greatest short-circuit current of {chain.title}",
                steps=(greatest,) if greatest else (),
            ),
            unknown=unknown,
        )

    def _unknown(self, chain: Chain) -> str:
        if not self.batteries:
            return "there is no battery, and what an alternator gives into a short is not known"
        found = [runs(self.study)[c.id] for c in chain.conductors()]
        bare = next((run for run in found if run.length_m is None), None)
        return bare.unknown.split(";")[0] if bare else ""

    # -- the least -------------------------------------------------------------------------------

    def _least(self, chain: Chain) -> _Loop | None:
        """The smallest among the states; in each state the battery that gives most."""
        found: list[_Loop] = []
        for state in self.states:
            here = [loop for loop in self._loops(chain, state) if loop.amps > 0]
            if here:
                found.append(max(here, key=lambda loop: loop.amps))
        return min(found, key=lambda loop: loop.amps, default=None)

    def _loops(self, chain: Chain, state: Scenario) -> Iterator[_Loop]:
        for name in self.batteries:
            routes = self.routes.get((name, state.name), {})
            out = routes.get(self._start(chain))
            if out is None or not self._used(chain, state):
                continue
            own, ground = self._own(chain)
            back = self.backs[name].get(ground)
            if back is not None:
                yield self._loop(name, state, out, own, back)

    def _used(self, chain: Chain, state: Scenario) -> bool:
        from elec.analyses.cases import closed

        return chain.kind != "feeder" or closed(
            self.study.document.feeders[int(chain.path[1])], state
        )

    def _alternator_end(self, chain: Chain) -> bool:
        source = self.study.document.sources.get(chain.source_end)
        return chain.kind == "feeder" and source is not None and source.kind == "alternator"

    def _start(self, chain: Chain) -> str:
        """The node that the current comes from; of an alternator's cable it is the bus."""
        name = chain.far_end if self._alternator_end(chain) else chain.source_end
        return f"{name}.+" if name in self.study.document.sources else name

    def _own(self, chain: Chain) -> tuple[tuple[Piece, ...], str]:
        """The pieces of the chain itself, out and back, and the ground it returns to."""
        main = ground_node(main_ground(self.study))
        if chain.kind == "feeder":
            return loops(self.study).feeders[int(chain.path[1])], main
        best: tuple[Piece, ...] = ()
        ground, most = main, -1.0
        for load in chain.loads:
            out = self._row(chain, load, "feed")
            back = self._row(chain, load, "return")
            ohm = sum(p.hot_ohm for p in (*out[0], *back[0]))
            if ohm > most:
                best, ground, most = (*out[0], *back[0]), back[1] or main, ohm
        return best, ground

    def _row(self, chain: Chain, load: str, role: str) -> tuple[tuple[Piece, ...], str]:
        """The pieces of the row of a load with the greatest resistance, and where it ends."""
        best: tuple[Piece, ...] = ()
        end = ""
        for row in chain.rows:
            if row.equipment != load or row.role != role:
                continue
            pieces = [wire_piece(self.study, c) for c in row.conductors if c is not None]
            pieces += [
                Piece(chain=chain.name, name=p.id, a=p.inlet, b=p.outlet, cold_ohm=ohm, hot_ohm=ohm)
                for p in row.parts
                if p.inlet != p.outlet
                for ohm in (part_ohm(self.study, chain, p, self.sizes),)
            ]
            if sum(p.hot_ohm for p in pieces) >= sum(p.hot_ohm for p in best):
                best, end = tuple(pieces), row.parts[-1].outlet
        return best, end

    def _loop(
        self, name: str, state: Scenario, out: Route, own: tuple[Piece, ...], back: Route
    ) -> _Loop:
        forward = out.forward_v + sum(p.forward_v for p in own)
        volts = self.low.value - forward
        terms = [
            Term(
                symbol="E",
                value=volts,
                unit="V",
                meaning=self.low.meaning + (", less its diodes" if forward else ""),
                origin=self.low.origin,
            ),
            self._battery_term(name),
            *self._route_terms("p", out, hot=True),
            *self._own_terms(own),
            *self._route_terms("g", back, hot=True),
        ]
        total = sum(t.value for t in terms[1:])
        amps = volts / total if total > 0 else math.inf
        step = _ohms_law(terms, amps, f"least short-circuit current, fed by {name}, {state.title}")
        battery = self.batteries[name]
        limit = battery.limit_a if isinstance(battery, Lithium) else None
        if limit is not None and limit < amps:
            return _Loop(
                battery=name, scenario=state, amps=limit, limited=True,
                steps=(step, self._limited(name, limit)),
            )  # fmt: skip
        return _Loop(battery=name, scenario=state, amps=amps, steps=(step,))

    def _limited(self, name: str, limit: float) -> Step:
        return Step(
            result=Term(
                symbol="Ik",
                value=limit,
                unit="A",
                meaning="what the battery's management lets through before it opens",
                origin=str(self.study.system.where("sources", name, "limit")),
            )
        )

    def _battery_term(self, name: str) -> Term:
        ohm = self.ohms[name]
        return Term(
            symbol="Rb", value=ohm.value, unit="ohm", meaning=f"resistance of {name}",
            origin=ohm.origin,
        )  # fmt: skip

    def _route_terms(self, symbol: str, route: Route, *, hot: bool) -> Iterator[Term]:
        for i, (chain, ohm) in enumerate(route.by_chain(hot=hot).items(), 1):
            yield Term(
                symbol=f"{symbol}{i}",
                value=ohm,
                unit="ohm",
                meaning=f"{chain}: wires, joints and what sits in it",
                origin="lengths and gauges",
            )

    def _own_terms(self, own: tuple[Piece, ...]) -> Iterator[Term]:
        for i, piece in enumerate(own, 1):
            yield Term(
                symbol=f"w{i}",
                value=piece.hot_ohm,
                unit="ohm",
                meaning=piece.name,
                origin="length and gauge, wire at the rating of its insulation"
                if "/" in piece.name and piece.name.rsplit("/", 1)[1].isdigit()
                else "resistances of devices and contacts",
            )

    # -- the greatest ----------------------------------------------------------------------------

    def _greatest(self, chain: Chain) -> Step | None:
        """All batteries side by side, each through its own way, and what the alternators add."""
        best: Step | None = None
        for state in self.states:
            step = self._together(chain, state)
            if step is not None and (best is None or step.result.value > best.result.value):
                best = step
        return best

    def _together(self, chain: Chain, state: Scenario) -> Step | None:
        start, main = self._start(chain), ground_node(main_ground(self.study))
        device = self._device_ohm(chain)
        terms: list[Term] = []
        pieces: list[str] = []
        total = 0.0
        for i, (name, battery) in enumerate(self.batteries.items(), 1):
            out = self.routes.get((name, state.name), {}).get(start)
            back = self.backs[name].get(main)
            if out is None or back is None:
                continue
            volts = max(open_circuit_v(self.study, battery, 1.0), self._charging())
            ohm = self.ohms[name].value + out.cold_ohm + back.cold_ohm + device
            terms += [
                Term(
                    symbol=f"E{i}", value=volts, unit="V", meaning=f"{name}, charging",
                    origin="highest regulated or rest voltage",
                ),
                Term(
                    symbol=f"R{i}", value=ohm, unit="ohm",
                    meaning=f"{name} itself, its way to here and back, and this device, cold",
                    origin="lengths, gauges, resistances",
                ),
            ]  # fmt: skip
            pieces.append(f"E{i} / R{i}")
            total += volts / ohm if ohm > 0 else math.inf
        if not terms:
            return None
        total += self._alternators(start, state, terms, pieces)
        return Step(
            result=Term(
                symbol="Ik", value=total, unit="A",
                meaning="greatest short-circuit current just behind the device",
                origin="computed",
            ),
            formula=" + ".join(pieces),
            terms=tuple(terms),
            source="Ohm's law",
        )  # fmt: skip

    def _charging(self) -> float:
        sources = self.study.document.sources.values()
        return max((s.setpoint_v for s in sources if s.kind == "alternator"), default=0.0)

    def _device_ohm(self, chain: Chain) -> float:
        return part_ohm(self.study, chain, chain.device, self.sizes) if chain.device else 0.0

    def _alternators(
        self, start: str, state: Scenario, terms: list[Term], pieces: list[str]
    ) -> float:
        multiple = default("alternator-fault-multiple")
        total = 0.0
        for name, source in self.study.document.sources.items():
            if source.kind != "alternator" or name in state.lost:
                continue
            rated = source.rated_a()
            if rated is None or start not in self.reached[name, state.name]:
                continue
            symbol = f"A{len(terms)}"
            terms += [
                Term(
                    symbol=f"m{symbol}", value=multiple.value, unit="", meaning=multiple.meaning,
                    origin=multiple.origin,
                ),
                Term(symbol=symbol, value=rated, unit="A", meaning=f"rated output of {name}"),
            ]  # fmt: skip
            pieces.append(f"m{symbol} * {symbol}")
            total += multiple.value * rated
        return total


def _ohms_law(terms: list[Term], amps: float, meaning: str) -> Step:
    ohms = " + ".join(t.symbol for t in terms[1:])
    return Step(
        result=Term(symbol="Ik", value=amps, unit="A", meaning=meaning, origin="computed"),
        formula=f"E / ({ohms})",
        terms=tuple(terms),
        source="Ohm's law around the loop",
    )
