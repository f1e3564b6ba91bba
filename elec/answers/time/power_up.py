"""The first power-up: what stands on every bus with each contact closed, then a circuit at a time.

In: the network on a supply in place of one battery, the others out, the engine at rest. Out:
`PowerUp`: a row a state of the contacts, and one step a circuit in a technician's order (what
warns, lights, what moves and heats, electronics, the engine's, the alternator's field), each
solved with this circuit alone switched on and the fewest contacts closed that bring its bus alive.
What does not agree within a fifth is looked for before the next breaker is closed.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Literal, NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict, replace

from elec.answers.base.points import Points, points
from elec.answers.connect.reversing import Bridge, reversing
from elec.answers.time.power_states import SupplyState, supply_states
from elec.network.netlist import Array, Branch, Solution, State, Values
from elec.network.solve import solve
from elec.sizing.devices import inrush
from elec.sizing.order import cranking
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL
from elec.wiring.chains import Chain, chains
from elec.wiring.circuit_model import part_ohm
from elec.wiring.coils import coil_loads, contacts
from elec.wiring.demand import demand, modes_of

Group = Literal["warnings", "lights", "rest", "electronics", "engine", "field"]
GROUPS: tuple[Group, ...] = ("warnings", "lights", "rest", "electronics", "engine", "field")
"""In the order of the work: first what shows that something is wrong, last what drives."""
WARNING_LETTERS, ENGINE_LETTERS = "WD", "JKQ"
"""Function letters of wire marks (elec/wire_letters) by group; a builder may use others."""
WARNING_WORDS = ("warning", "annunciator", "voltmeter", "ammeter")
ENGINE_WORDS = ("fuel-pump", "boost-pump", "ignition", "injectors", "coils")
"""Parts of the names of loads that say the same where no letter is given."""
LIGHTS = ("position light", "anticollision light", "landing light")


class PathRow(Struct, frozen=True, kw_only=True):
    """A state of the contacts, the circuits' breakers open; of `standing`, all of them closed."""

    battery: str
    closed: tuple[str, ...]
    """The contacts that are closed, in words; empty: everything is switched off."""
    bus_v: Mapping[str, float]
    """Buses that are alive."""
    dead: tuple[str, ...]
    """Buses that must read nothing."""
    total_a: float | None
    limit_a: float
    unknown: tuple[str, ...] = ()
    """Loads that nothing switches off and whose current nobody gave."""


class ModeStep(Struct, frozen=True, kw_only=True):
    """One load of a circuit in another mode than its first; None where its current is not known."""

    load: str
    mode: str
    total_a: float | None
    peak_a: float | None
    """The most at each pulse, all told, where that is more."""
    limit_a: float | None
    bus_v: float | None


class PowerStep(Struct, frozen=True, kw_only=True):
    """One circuit switched on alone; None where its current is not known or nothing is solved."""

    circuit: str
    title: str
    group: Group
    bus: str
    battery: str
    closed: tuple[str, ...]
    """The contacts that bring its bus alive, in words."""
    device: str
    """The breaker or fuse to close, such as `5 A breaker`."""
    both_ways: bool = False
    """Whether it is a motor that runs both ways, or pulls the relays of one."""
    relays: str = ""
    """The circuit of the relays, whose device has to be closed, too."""
    switch: str
    loads: tuple[str, ...]
    added_a: float | None
    total_a: float | None
    start_a: float | None
    """The most at the instant of switching on, or at each pulse, all told."""
    limit_a: float | None
    """Where to set the supply's limit."""
    bus_v: float | None
    unknown: tuple[str, ...] = ()
    """Loads of it whose current nobody gave."""
    modes: tuple[ModeStep, ...] = ()
    """Its loads in each of their further modes, one at a time."""


class PowerUp(Struct, frozen=True, kw_only=True):
    """All rows and steps, in order."""

    supplies_v: Mapping[str, float]
    """Battery → what the supply in its place is set to: the full battery at rest."""
    paths: tuple[PathRow, ...]
    """With every circuit's breaker open and every box unplugged: coils alone draw."""
    standing: Mapping[str, PathRow]
    """Battery → all switched off, all breakers closed and all plugged in: the standing current."""
    steps: tuple[PowerStep, ...]
    starting: tuple[PowerStep, ...]
    """The coils of the starter's contactors, tried with the starter's cable off."""
    left_out: tuple[str, ...]
    """Circuits for the engine that are not tried at rest, such as the starter."""


@analysis
def power_up(study: Study) -> PowerUp | None:
    """Every state and every step; None without a battery or a case."""
    at = points(study)
    case = _at_rest(study, at)
    batteries = [n for n, s in study.document.sources.items() if s.kind in BATTERIES]
    if case is None or not batteries:
        return None
    states = [state for name in batteries for state in supply_states(study, at, name)]
    order = sorted(_circuits(study), key=lambda chain: GROUPS.index(group_of(study, chain)))
    usual = [chain for chain in order if not _only_starts(study, chain)]
    tried = usual + [c for c in order if c not in usual and _is_coil(study, c)]
    feeding = [_feeding(study, states, chain) for chain in tried]
    bench = _Bench(study, at, case)
    columns = [_Case(state, ()) for state in states]
    columns += [_Case(state, ()) for state in feeding if state is not None]
    columns += [
        _Case(s, _run_by(study, c)) for s, c in zip(feeding, tried, strict=True) if s is not None
    ]
    further = {
        (chain.name, load, mode): _Case(state, chain.loads, {load: mode})
        for state, chain in zip(feeding, tried, strict=True)
        if state is not None
        for load in chain.loads
        for mode, _, _ in modes_of(study.document.equipment[load])[1:]
    }
    off = [state for state in states if not state.closed]
    at_mode = {key: len(columns) + k for k, key in enumerate(further)}
    at_off = len(columns) + len(further)
    standing = [_Case(state, _unswitched(study, state)) for state in off]
    found = bench.solve([*columns, *further.values(), *standing])
    steps = iter(range(len(states), len(states) + sum(s is not None for s in feeding)))
    apart = sum(state is not None for state in feeding)
    made = []
    for chain, state in zip(tried, feeding, strict=True):
        k = next(steps) if state is not None else None
        solved = None if k is None else (found.total_a(k), found.total_a(k + apart), k + apart)
        step = _step(study, chain, state, found, solved)
        modes = tuple(
            _mode(study, step, key, found, _Columns(on=column, off=k or 0))
            for key, column in at_mode.items()
            if key[0] == chain.name
        )
        made.append(replace(step, modes=modes))
    return PowerUp(
        supplies_v={name: bench.emf_v(name) for name in batteries},
        paths=tuple(_path(study, state, found, k) for k, state in enumerate(states)),
        standing={
            state.battery: _path(study, state, found, at_off + k, _unswitched(study, state))
            for k, state in enumerate(off)
        },
        steps=tuple(made[: len(usual)]),
        starting=tuple(made[len(usual) :]),
        left_out=tuple(chain.title for chain in order if chain not in tried),
    )


BATTERIES = ("lead-acid", "lithium-iron-phosphate")
METER_OHM = 1e7
"""What a voltmeter has: usual of a digital one. Through it every bus has a voltage, be it none."""


class _Case(NamedTuple):
    """Contacts closed, loads switched on, and those that are not in their first mode."""

    state: SupplyState
    loads: tuple[str, ...]
    modes: Mapping[str, str] = MappingProxyType({})


class _Columns(NamedTuple):
    """A case with a circuit on, and the same with it off."""

    on: int
    off: int


class _Solved(Struct, frozen=True, kw_only=True):
    solution: Solution
    nodes: Mapping[str, int]

    def total_a(self, column: int) -> float:
        if self.solution.state[column] != State.SOLVED:
            return math.nan
        return float(-np.nan_to_num(self.solution.battery_a[:, column]).sum())

    def node_v(self, node: str, column: int) -> float:
        row = self.nodes.get(node)
        return math.nan if row is None else float(self.solution.voltage_v[row, column])


class _Bench:
    """The network with a supply in place of one battery, contacts and loads as they are told."""

    def __init__(self, study: Study, at: Points, case: int) -> None:
        self.study, self.at, self.case = study, at, case
        self.netlist = at.model.netlist
        self.rows = at.rows
        self.supplies = {one.name: row for row, one in enumerate(self.netlist.batteries)}

    def emf_v(self, battery: str) -> float:
        return float(self.at.model.values.battery_emf_v[self.supplies[battery], self.case])

    def solve(self, columns: Sequence[_Case]) -> _Solved:
        wide = np.full(len(columns), self.case, np.intp)
        values = {k: array[:, wide] for k, array in asdict(self.at.model.values).items()}
        values["alternator_limit_a"][:] = 0.0
        values["load_value"] = np.repeat(
            self.netlist.off_values().reshape(-1, 1), len(columns), axis=1
        )
        poles = {p for case in columns for one in case.state.closed for p in one.poles}
        ohms = values["resistance_ohm"]
        for name in poles | self._feeder_poles():
            ohms[self.rows[name]] = np.inf
        for k, (state, loads, modes) in enumerate(columns):
            apart = [row for name, row in self.supplies.items() if name != state.battery]
            values["battery_resistance_ohm"][apart, k] = np.inf
            for one in state.closed:
                for pole, ohm in one.poles.items():
                    ohms[self.rows[pole], k] = ohm
            on = {one.switch for one in state.closed} | self._coils(loads)
            moved = {coil for coil, switch in coil_loads(self.study).items() if switch in on}
            first = {
                load: modes.get(load, modes_of(self.study.document.equipment[load])[0][0])
                for load in frozenset(loads) | moved
            }
            self._switch_on(values["load_value"], k, first, on)
            pulled = {switch for coil, switch in coil_loads(self.study).items() if coil in first}
            pulled |= {one.switch for one in state.closed}
            for pole, relay, ohm in self._resting():
                if relay not in pulled:
                    ohms[self.rows[pole], k] = ohm
        buses = tuple(self.study.document.buses)
        meters = tuple(
            Branch(name=f"meter:{bus}", a=bus, b=self.netlist.reference) for bus in buses
        )
        values["resistance_ohm"] = np.vstack([ohms, np.full((len(buses), len(columns)), METER_OHM)])
        netlist = replace(self.netlist, resistors=(*self.netlist.resistors, *meters))
        found = solve(netlist, Values(**values))
        return _Solved(solution=found, nodes={n: row for row, n in enumerate(found.nodes)})

    def _resting(self) -> Iterator[tuple[str, str, float]]:
        """Contacts of feeders that are closed while nothing pulls their relay: pole, relay, Ω."""
        sizes = sizing(self.study).sizes()
        for chain in chains(self.study).of("feeder"):
            for part in chain.parts():
                if part.resting:
                    yield part.id, part.name, part_ohm(self.study, chain, part, sizes)

    def _feeder_poles(self) -> set[str]:
        every = chains(self.study).of("feeder")
        kinds = ("switch", "contactor", "changeover")
        return {part.id for chain in every for part in chain.parts() if part.kind in kinds}

    def _coils(self, loads: Sequence[str]) -> set[str]:
        """Contactors and relays of the circuits that these loads are on."""
        circuits = {name for load in loads for name in chains(self.study).feeds.get(load, ())}
        parts = (part for name in circuits for part in chains(self.study).by_name[name].parts())
        return {
            part.name for part in parts if part.kind in ("switch", "contactor") and not part.resting
        }

    def _switch_on(
        self, amounts: Array, column: int, modes: Mapping[str, str], on: set[str]
    ) -> None:
        """Each load in the mode that it has, and the coil of each contact that is closed."""
        for row, port in enumerate(self.at.model.ports):
            coil = port.mode == "coil" and port.equipment in on
            if coil or (port.mode != "coil" and modes.get(port.equipment) == port.mode):
                amounts[row, column] = port.draw.value


def _at_rest(study: Study, at: Points) -> int | None:
    """A case with all well and the engine at rest, else the first one (its alternators are off)."""
    phases = study.document.phases
    every = [i for i, c in enumerate(at.cases) if c.scenario == NORMAL and c.count == "momentary"]
    stopped = [
        i
        for i in every
        if (engine := phases[at.cases[i].phase].engine) is not None and engine.state == "stopped"
    ]
    return next(iter(stopped or every), None)


def _circuits(study: Study) -> list[Chain]:
    """Circuits by bus, in the builder's order of both; a feeder's contact stands for its coil."""
    order = {bus: k for k, bus in enumerate(study.document.buses)}
    every = [
        chain
        for chain in chains(study).of("circuit")
        if not all(_moves_feeder(study, load) for load in chain.loads)
    ]
    return sorted(every, key=lambda chain: order.get(study.document.circuits[chain.name].bus, -1))


def _moves_feeder(study: Study, load: str) -> bool:
    """Whether a load is the coil of a contact in a feeder."""
    poles = contacts(study).get(coil_loads(study).get(load, ""), ())
    return any(chain.kind == "feeder" for chain, _ in poles)


def group_of(study: Study, chain: Chain) -> Group:
    """When a circuit is switched on for the first time."""
    entries = [study.document.equipment[load] for load in chain.loads]
    fields = {getattr(s, "field_circuit", None) for s in study.document.sources.values()}
    if chain.name in fields:
        return "field"
    if (
        chain.function in ENGINE_LETTERS
        or any(entry.role == "engine" for entry in entries)
        or _called(chain, ENGINE_WORDS)
    ):
        return "engine"
    if chain.function in WARNING_LETTERS or _called(chain, WARNING_WORDS):
        return "warnings"
    lamps = any(entry.character == "lamp" or entry.role in LIGHTS for entry in entries)
    if chain.function == "L" or lamps:
        return "lights"
    return "electronics" if all(e.character == "electronic" for e in entries) else "rest"


def _called(chain: Chain, words: Sequence[str]) -> bool:
    return any(word in load for load in chain.loads for word in words)


def _only_starts(study: Study, chain: Chain) -> bool:
    """Whether a circuit is for cranking alone: its loads are on in no other phase."""
    known = demand(study).loads
    on = {p for load in chain.loads if load in known for p, m in known[load].phases.items() if m}
    return bool(on) and on <= cranking(study)


def _is_coil(study: Study, chain: Chain) -> bool:
    """Whether a circuit feeds the coils of contactors and nothing else."""
    return bool(chain.loads) and all(load in coil_loads(study) for load in chain.loads)


def _run_by(study: Study, chain: Chain) -> tuple[str, ...]:
    """Loads that draw when a circuit is tried: with a motor on relays the coil of one way.

    Of the relays' own circuit one coil: the other way pulls the other one.
    """
    for name, one in reversing(study).items():
        if one.by != "relays":
            continue
        coils = _coils_of(study, one)
        if chain.name == name:
            return (*chain.loads, *coils[:1])
        if set(coils) & set(chain.loads):
            return tuple(load for load in chain.loads if load not in coils[1:])
    return chain.loads


def _coils_of(study: Study, one: Bridge) -> tuple[str, ...]:
    """The coils of the two relays of a bridge, the one that pulls in the first way first."""
    entries = [study.document.switches[part.name].coil for part in one.poles]
    return tuple(coil.load for coil in entries if coil is not None and coil.load)


def relays_of(study: Study, circuit: str) -> str:
    """The circuit that pulls the relays of a motor."""
    one = reversing(study).get(circuit)
    coils = _coils_of(study, one) if one is not None and one.by == "relays" else ()
    names = (name for load in coils for name in chains(study).feeds.get(load, ()))
    return next(names, "")


def _both_ways(study: Study, chain: Chain) -> bool:
    """Whether a circuit is a motor that runs both ways, or pulls its relays."""
    every = reversing(study)
    return chain.name in every or chain.name in {relays_of(study, name) for name in every}


def _feeding(study: Study, states: Sequence[SupplyState], chain: Chain) -> SupplyState | None:
    """The state with the fewest contacts closed in which the bus of a circuit is alive."""
    bus = study.document.circuits[chain.name].bus
    alive = [state for state in states if bus in state.live]
    return min(alive, key=lambda state: len(state.closed), default=None)


def _unswitched(study: Study, state: SupplyState) -> tuple[str, ...]:
    """Loads on live buses that no switch turns off."""
    found: dict[str, None] = {}
    for chain in chains(study).of("circuit"):
        kinds = {part.kind for part in chain.parts()}
        alive = study.document.circuits[chain.name].bus in state.live
        if alive and not kinds & {"switch", "contactor", "changeover"}:
            found.update(dict.fromkeys(chain.loads))
    return tuple(load for load in found if study.document.equipment[load].on != "never")


def _path(
    study: Study,
    state: SupplyState,
    found: _Solved,
    column: int,
    standing: tuple[str, ...] = (),
) -> PathRow:
    alive = {
        bus: volts
        for bus in study.document.buses
        if bus in state.live and math.isfinite(volts := found.node_v(bus, column))
    }
    unknown = tuple(load for load in standing if _unknown(study, load))
    total = found.total_a(column)
    return PathRow(
        battery=state.battery,
        closed=tuple(one.title for one in state.closed),
        bus_v=alive,
        dead=tuple(bus for bus in study.document.buses if bus not in state.live),
        total_a=None if unknown or not math.isfinite(total) else total,
        limit_a=limit_a(total) if math.isfinite(total) else limit_a(0.0),
        unknown=unknown,
    )


def limit_a(greatest_a: float) -> float:
    """Where to set the limit of a supply for a step that takes so much.

    >>> limit_a(0.1), limit_a(5.1), limit_a(12.8)
    (1.0, 6.5, 16.0)
    """
    above = (1 + default("supply-limit-share").si) * greatest_a
    step = default("supply-limit-step").value
    return max(default("supply-limit-least").value, math.ceil(above / step - 1e-3) * step)


def _step(
    study: Study,
    chain: Chain,
    state: SupplyState | None,
    found: _Solved,
    solved: tuple[float, float, int] | None,
) -> PowerStep:
    before, total, column = (math.nan, math.nan, 0) if solved is None else solved
    circuit = study.document.circuits[chain.name]
    device = sizing(study).devices.get(chain.name)
    rating = device.rating_a if device else None
    unknown = tuple(load for load in chain.loads if _unknown(study, load))
    added = total - before if not unknown and math.isfinite(total - before) else None
    most = before + _start_a(study, chain)
    greatest = total if _filaments(study, chain) else max(total, most)
    return PowerStep(
        circuit=chain.name,
        title=chain.title,
        group=group_of(study, chain),
        bus=circuit.bus,
        battery=state.battery if state else "",
        closed=tuple(one.title for one in state.closed) if state else (),
        device=f"{rating:g} A {device.kind}" if device and rating is not None else "no device",
        both_ways=_both_ways(study, chain),
        relays=relays_of(study, chain.name),
        switch=study.system.title("switches", circuit.switch) if circuit.switch else "",
        loads=chain.loads,
        added_a=added,
        total_a=None if added is None else total,
        start_a=most if added is not None and most > total + default("start-shown").value else None,
        limit_a=None if added is None else limit_a(greatest),
        bus_v=_finite(found.node_v(circuit.bus, column)) if solved is not None else None,
        unknown=unknown,
    )


def _mode(
    study: Study, step: PowerStep, key: tuple[str, str, str], found: _Solved, columns: _Columns
) -> ModeStep:
    """A load of a circuit in another mode, the others of it in their first."""
    name, load, mode = key
    column, before = columns.on, found.total_a(columns.off)
    chain = chains(study).by_name[name]
    entry = study.document.equipment[load]
    silent = [one for one in step.unknown if one != load]
    known = entry.modes[mode].draw is not None and not silent
    total = found.total_a(column) if known else math.nan
    most = before + _peaks_a(study, chain, {load: mode})
    told = math.isfinite(total)
    return ModeStep(
        load=load,
        mode=mode,
        total_a=total if told else None,
        peak_a=most if told and most > total + default("start-shown").value else None,
        limit_a=limit_a(max(total, most)) if told else None,
        bus_v=_finite(found.node_v(step.bus, column)) if told else None,
    )


def _start_a(study: Study, chain: Chain) -> float:
    """The most that its loads take at the instant of switching on, or at each pulse."""
    surge, _ = inrush(study, chain)
    return max(_peaks_a(study, chain, {}), surge or 0.0)


def _peaks_a(study: Study, chain: Chain, modes: Mapping[str, str]) -> float:
    """The most that its loads take at any instant, in the modes named or else in their first."""
    found, peaks = demand(study), 0.0
    for load in _run_by(study, chain):
        mode = modes.get(load, modes_of(study.document.equipment[load])[0][0])
        known = found.loads.get(load)
        shares = [m for many in (known.phases.values() if known else ()) for m in many]
        peaks += max(
            (found.highest_a(m.peak) for m in shares if m.mode == mode and m.peak is not None),
            default=0.0,
        )
    return peaks


def _filaments(study: Study, chain: Chain) -> bool:
    """Whether all of its loads are lamps, which come up slowly against a limit and take no harm."""
    return all(study.document.equipment[load].character == "lamp" for load in chain.loads)


def _unknown(study: Study, load: str) -> bool:
    entry = study.document.equipment[load]
    return not entry.passive and entry.on != "never" and modes_of(entry)[0][1] is None


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
