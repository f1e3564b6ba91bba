"""All failures in some phases: traced, then solved in batches where voltages are asked.

In: cases of the study, the list of failures. Out: `After` one failure, in one phase and state of
the feeders. A failure is the netlist of the cases with resistors at infinity and sources stopped;
loads that it cuts off count as off. Failures that do nothing but take loads off are solved once for
all that take the same ones.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict

from elec.answers.base.bodies import batteries
from elec.answers.failures.failure_battery import LONG_MIN, each_emptied_min
from elec.answers.failures.failure_currents import Currents, Reader
from elec.answers.failures.failure_list import Failure, failures
from elec.answers.failures.failure_trace import Traced, Tracer, opening
from elec.model.system import Condition
from elec.network.netlist import Array, Flags, State, Values
from elec.network.series import shortened
from elec.network.solve import at_once, solve
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.backup import stand_ins
from elec.wiring.cases import NORMAL, Case, Count, Scenario
from elec.wiring.chains import chains
from elec.wiring.circuit_model import build, minimum_v, part_ohm
from elec.wiring.coils import CONTACTS, held
from elec.wiring.demand import demand
from elec.working import within

COUNTS: tuple[Count, ...] = ("momentary", "steady")
ADRIFT_OHM = 1e10
"""What is open counts with this where it parts a working source from the main ground: voltages need
a common reference, and a nanoampere over it changes nothing."""


class Least(Struct, frozen=True, kw_only=True):
    """The essential load that is nearest to its minimum voltage."""

    equipment: str
    voltage_v: float
    minimum_v: float

    @property
    def margin_v(self) -> float:
        """How far it is above its minimum."""
        return self.voltage_v - self.minimum_v

    @property
    def low(self) -> bool:
        """Whether it is below its minimum."""
        return not within(self.voltage_v, self.minimum_v, "at least")


class After(Struct, frozen=True, kw_only=True):
    """One failure in one phase and one state of the feeders."""

    dead: frozenset[str]
    """Equipment that nothing feeds."""
    low: tuple[str, ...]
    """Equipment in use, and `coil:NAME`, below its minimum voltage."""
    serving: frozenset[str]
    """Sources that feed anything."""
    least: Least | None
    drained: Mapping[str, float]
    """Battery → what it gives, A; only those that would be empty within a day."""
    solved: bool
    """Whether voltages are known; not where an alternator may run away."""
    served: float
    astray: tuple[str, ...]
    """Alternators that are off because their regulators see no longer what they hold."""
    untold: bool
    """Whether one of them may run away, and nothing is said to take it off."""


class _Answer(Struct, frozen=True, kw_only=True):
    """What is asked of one solved case."""

    low: tuple[str, ...]
    """Equipment in use, and `coil:NAME`, below its minimum voltage."""
    least: Least | None
    drained: Mapping[str, float]
    """Battery → what it gives, A; only those that would be empty within a day."""
    currents: Currents
    solved: bool
    served: float


class Sweep:
    """All failures in some phases; the last column is the state without one."""

    def __init__(
        self,
        study: Study,
        phases: tuple[str, ...],
        states: tuple[Scenario, ...],
        counts: tuple[Count, ...],
        condition: Condition,
        *,
        which: tuple[Failure, ...] | None = None,
    ) -> None:
        """Build the cases; nothing is traced or solved yet. `which` failures: left out, all."""
        self.study, self.condition, self.counts = study, condition, counts
        self.cases = tuple(
            Case(phase=phase, condition=condition, scenario=state, count=count)
            for phase in phases
            for state in states
            for count in counts
        )
        self.at = {(c.phase, c.scenario.name, c.count): i for i, c in enumerate(self.cases)}
        self.model = build(study, self.cases, sizing(study).sizes())
        self._short = shortened(self.model.netlist)
        self.essential = {
            name: at
            for at, (name, entry) in enumerate(study.document.equipment.items())
            if (entry.essential or entry.role == "engine") and name in chains(study).feeds
        }
        """What is essential, with its place in the text."""
        self._port_things = tuple(
            port.equipment if port.equipment in study.document.equipment else port.name
            for port in self.model.ports
        )
        """Equipment of every port; `coil:NAME` for a coil, `field:NAME` for an alternator's."""
        self._floors = self._minima()
        self._is_essential = np.array([t in self.essential for t in self._port_things], np.bool_)
        self._off = self.model.netlist.off_values()
        self._begin(failures(study) if which is None else which)
        self.in_use = {phase: self._in_use(phase) for phase in phases}
        """Phase → equipment that is on, its current known or not, with its place in the text."""

    def _begin(self, which: tuple[Failure, ...]) -> None:
        """With these failures; nothing of them is traced or solved yet."""
        self.failures = which
        self.healthy = len(which)
        self.opened = opening(self.model.netlist, which)
        self._closes: Flags = np.asarray(self.opened.closed.any(axis=0))
        self._tracers: dict[str, Tracer] = {}
        self._traces: dict[tuple[str, bytes], Traced] = {}
        self._by_base: dict[int, Traced] = {}
        self._gone_in: dict[int, Flags] = {}
        """Of each trace that is kept."""
        self._answers: dict[tuple[int, object], _Answer] = {}

    def of(self, which: tuple[Failure, ...]) -> "Sweep":
        """The same cases with other failures."""
        other = copy(self)
        other._begin(which)  # noqa: SLF001
        return other

    def _minima(self) -> Array:
        """The least voltage of every port; of a coil or field that at which it holds."""
        equipment = self.study.document.equipment
        held = self.model.values.load_minimum_v[:, 0]
        return np.array(
            [
                minimum_v(self.study, equipment[thing])
                if thing in equipment
                else -math.inf  # what a thin wire carries has no minimum
                if port.mode == "tap"
                else held[row]
                for row, port in enumerate(self.model.ports)
                for thing in (port.equipment,)
            ],
            dtype=float,
        )

    # -- tracing ---------------------------------------------------------------------------------

    def traced(self, base: int) -> Traced:
        """What is fed in a case; cases with the same feeders and sources share it."""
        if base not in self._by_base:
            self._by_base[base] = self._traced(base)
        return self._by_base[base]

    def _traced(self, base: int) -> Traced:
        values, state = self.model.values, self.cases[base].scenario.name
        batteries = np.isfinite(values.battery_resistance_ohm[:, base])
        alternators = values.alternator_limit_a[:, base] > 0.0
        key = state, np.concatenate((batteries, alternators)).tobytes()
        if key not in self._traces:
            if state not in self._tracers:
                wires = values.resistance_ohm[:, base]
                self._tracers[state] = Tracer(self.study, self.model.netlist, wires, self.opened)
            self._traces[key] = self._tracers[state].trace(batteries, alternators)
        return self._traces[key]

    def dead(self, phase: str, state: Scenario, column: int) -> frozenset[str]:
        """What nothing feeds in a failure; coils as `coil:NAME`."""
        return self.traced(self.at[phase, state.name, "momentary"]).dead(column)

    def takes_loads(self, base: int, column: int) -> bool:
        """Whether a failure only takes loads off: that lowers no voltage elsewhere."""
        if column == self.healthy or not self.failures[column].powers:
            return True
        return self.failures[column].branches and bool(self.traced(base).steady[column])

    # -- solving ---------------------------------------------------------------------------------

    def _key(self, base: int, column: int) -> object:
        if self.takes_loads(base, column):
            return self.traced(base).fed[:, column].tobytes()
        return column

    def solve(self, wanted: Iterable[tuple[int, int]]) -> None:
        """Solve cases × failures in batches; those that are alike once."""
        new: dict[tuple[int, object], tuple[int, int]] = {}
        for base, column in wanted:
            key = base, self._key(base, column)
            if key not in self._answers:
                new.setdefault(key, (base, column))
        keys, picks = list(new), list(new.values())
        most = at_once(self.model.netlist)  # the values of the longer one have to fit as well
        for first in range(0, len(picks), most):
            chunk = picks[first : first + most]
            values = self._values(chunk)
            solution = solve(self._short.netlist, self._short.values(values), served=True)
            currents = self._reader.read(self._short.amps(solution))
            volts = self._volts(values.load_value, solution.load_v)
            drained = self._drained(-solution.battery_a)
            for at, key in enumerate(keys[first : first + most]):
                low, least = volts[at]
                self._answers[key] = _Answer(
                    low=low,
                    least=least,
                    drained=drained[at],
                    currents=currents[at],
                    solved=bool(solution.state[at] != State.NUMERICAL),
                    served=float(solution.served[at]),
                )

    def _volts(
        self, load_value: Array, load_v: Array
    ) -> list[tuple[tuple[str, ...], Least | None]]:
        """Of each case what is low, and the essential load nearest to its minimum."""
        asked = load_value != self._off[:, None]
        over = np.where(asked, load_v - self._floors[:, None], np.nan)
        essential = np.where(self._is_essential[:, None] & ~np.isnan(over), over, np.inf)
        low: list[dict[str, None]] = [{} for _ in range(over.shape[1])]
        for row, at in np.argwhere(over < 0.0).tolist():
            low[at][self._port_things[row]] = None
        found: list[tuple[tuple[str, ...], Least | None]] = []
        rows = essential.argmin(axis=0).tolist() if len(over) else [0] * over.shape[1]
        for at, row in enumerate(rows):
            least = None
            if len(over) and essential[row, at] < np.inf:
                least = Least(
                    equipment=self._port_things[row],
                    voltage_v=float(load_v[row, at]),
                    minimum_v=float(self._floors[row]),
                )
            found.append((tuple(low[at]), least))
        return found

    def _drained(self, given_a: Array) -> list[dict[str, float]]:
        """Of each case the batteries that would be empty within a day."""
        known = batteries(self.study)
        found: list[dict[str, float]] = [{} for _ in range(given_a.shape[1])]
        for branch, amps in zip(self.model.netlist.batteries, given_a, strict=True):
            if branch.name in known:
                giving = (amps > 0).nonzero()[0]
                soon = each_emptied_min(self.study, branch.name, amps[giving]) < LONG_MIN
                for at in giving[soon].tolist():
                    found[at][branch.name] = float(amps[at])
        return found

    def momentary(self) -> "Sweep":
        """The same without what batteries give; both share what is solved."""
        other = copy(self)
        other.counts = COUNTS[:1]
        other.at = {key: at for key, at in self.at.items() if key[2] in other.counts}
        return other

    def shifting(self, phase: str) -> list[int]:
        """The failures that may shift current in a phase."""
        base = self.at[phase, NORMAL.name, "momentary"]
        return [column for column in range(self.healthy) if not self.takes_loads(base, column)]

    def forget(self) -> None:
        """Drop what was solved; what was traced stays."""
        self._answers.clear()

    def _values(self, picks: Sequence[tuple[int, int]]) -> Values:
        """The values of cases with failures: opened wires, stopped sources, dead loads off."""
        bases = [base for base, _ in picks]
        columns = [column for _, column in picks]
        opened = self.opened
        arrays = {name: array[:, bases] for name, array in asdict(self.model.values).items()}
        arrays["resistance_ohm"][opened.resistors[:, columns]] = np.inf
        arrays["battery_resistance_ohm"][opened.batteries[:, columns]] = np.inf
        for at, (base, column) in enumerate(picks):
            traced = self.traced(base)
            if traced.moved[column]:
                arrays["resistance_ohm"][traced.dropped[:, column], at] = np.inf
            if traced.moved[column] or self._closes[column]:
                closes = traced.fallen_back[:, column] | opened.closed[:, column]
                for row in closes.nonzero()[0].tolist():
                    arrays["resistance_ohm"][row, at] = self._changing_ohm[row]
            if traced.adrift[:, column].any():
                opens = opened.resistors[:, column] | traced.dropped[:, column]
                arrays["resistance_ohm"][opens, at] = ADRIFT_OHM
            arrays["alternator_limit_a"][~traced.alternators[:, column], at] = 0.0
        gone = np.stack([self._gone(base)[column] for base, column in picks], axis=1)
        arrays["load_value"] = np.where(gone, self._off[:, None], arrays["load_value"])
        return Values(**arrays)

    def _gone(self, base: int) -> Flags:
        """The loads that each failure cuts off, (failures + 1, loads)."""
        traced = self.traced(base)
        if id(traced) not in self._gone_in:
            row = {name: at for at, name in enumerate(traced.things)}
            thing = [row.get(name, len(row)) for name in self._port_things]
            fed = np.vstack((traced.fed, np.ones(traced.fed.shape[1], np.bool_)))
            self._gone_in[id(traced)] = np.ascontiguousarray(~fed[thing].T)
        return self._gone_in[id(traced)]

    # -- results ---------------------------------------------------------------------------------

    def after(self, phase: str, state: Scenario, column: int) -> After:
        """What a failure does in a phase, as far as it was solved."""
        base = self.at[phase, state.name, "momentary"]
        traced = self.traced(base)
        dead = traced.dead(column)
        answer = self._answers.get((base, self._key(base, column)))
        known = answer is not None and answer.solved
        lasting = self.at.get((phase, state.name, "steady"))
        steady = None
        if lasting is not None:
            steady = self._answers.get((lasting, self._key(lasting, column)))
        serving = traced.serving[:, column].nonzero()[0]
        return After(
            dead=frozenset(name for name in dead if ":" not in name),
            low=() if answer is None else answer.low,
            serving=frozenset(traced.sources[row] for row in serving),
            least=None if answer is None else answer.least,
            drained={} if steady is None else steady.drained,
            solved=known and not bool(traced.untold[column]),
            served=answer.served if answer and known else math.nan,
            astray=tuple(
                branch.name
                for branch, off in zip(
                    self.model.netlist.alternators, traced.astray[:, column], strict=True
                )
                if off
            ),
            untold=bool(traced.untold[column]),
        )

    @cached_property
    def _changing_ohm(self) -> Mapping[int, float]:
        """Resistor of a contact of a feeder → its resistance, closed."""
        sizes = sizing(self.study).sizes()
        return {
            self.rows[part.id]: part_ohm(self.study, chain, part, sizes)
            for chain in chains(self.study).of("feeder")
            for part in chain.parts()
            if part.kind in CONTACTS and part.id in self.rows
        }

    @cached_property
    def rows(self) -> Mapping[str, int]:
        """Resistor → its row."""
        return {branch.name: row for row, branch in enumerate(self.model.netlist.resistors)}

    @cached_property
    def _reader(self) -> Reader:
        return Reader(self.study, self.rows)

    def currents(self, phase: str, state: Scenario, column: int) -> Currents | None:
        """What carries too much with all that may be on at one moment; None: not solved."""
        base = self.at[phase, state.name, "momentary"]
        answer = self._answers.get((base, self._key(base, column)))
        return None if answer is None or not answer.solved else answer.currents

    def _in_use(self, phase: str) -> Mapping[str, int]:
        loads = demand(self.study).loads
        return {
            name: at
            for at, name in enumerate(self.study.document.equipment)
            if name in loads
            and held(self.study, name, NORMAL)
            and any(mode.share > 0 for mode in loads[name].active(phase, self.condition))
        }

    def taken(self, gone: frozenset[str]) -> tuple[str, ...]:
        """Essential equipment that is gone together with all that could do its work."""
        backup, fed = stand_ins(self.study), chains(self.study).feeds
        equipment = self.study.document.equipment

        def works(name: str) -> bool:
            """A passive backup has a source of its own; another one needs a circuit."""
            return name not in gone and (name in fed or equipment[name].passive)

        return tuple(
            name
            for name in sorted(gone & self.essential.keys(), key=self.essential.__getitem__)
            if not any(works(other) for other in backup.get(name, ()))
        )
