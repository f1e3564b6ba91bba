"""The rows of the load sheet: each use of each load, well fed and on the battery alone.

In: loads, solved cases, endurance, devices. Out: `LoadSheet`. Nothing is computed anew: currents
and averages are those of the load analysis, on the battery those of the solved network, and the
minutes that shedding gains come out of the sums that the endurance is made of.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.points import points
from elec.answers.loads.loads import LoadLine, LoadUse, Total, loads
from elec.answers.time.alone import LONGEST_S
from elec.answers.time.endurance import Endurance, emergency_of, endurance
from elec.answers.time.lasting import Lasting, lasting
from elec.model.system import Condition
from elec.network.netlist import Array
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Scenario, unshed
from elec.wiring.chains import chains
from elec.wiring.demand import conditions, turns

After = Literal["on", "shed", "off", ""]
"""What becomes of a load on the battery alone; empty where there is no battery."""
DRAWS_A = 1e-9
"""Less than this is off."""
PRINTED = 2
"""Currents that differ behind so many decimals alone are alike."""


class PhaseGroup(Struct, frozen=True, kw_only=True):
    """Phases in which the engine turns alike, so that the alternator can give as much in each."""

    phases: tuple[str, ...]
    total: Total
    """Of that phase in which most is drawn on the average."""


class BatteryStage(Struct, frozen=True, kw_only=True):
    """One time on the battery alone, of which the currents are shown."""

    words: Literal["until shed", "shed", "landing", "flight", "second battery"]
    phase: str
    scenario: Scenario


class SheetRow(Struct, frozen=True, kw_only=True):
    """One use of one load, or several alike in one circuit."""

    equipment: tuple[str, ...]
    """Of a coil its switch."""
    mode: str
    coil: bool
    circuit: str
    """Its first one; empty for a coil."""
    condition: Condition
    """Another one than that of the sheet where it is on in that alone; it is then in no sum."""
    amps_a: float | None
    """Of one of them, when on; None: not known."""
    minutes: float
    """How long it is on in the counted phases, all its times together."""
    normal_a: tuple[float | None, ...]
    """Of all of them, the average in each phase group."""
    battery_a: tuple[float, ...]
    """Of all of them, in each stage on the battery alone."""
    after: After
    gains_min: float | None = None
    """So much longer the battery lasts with them shed than with them on; None: not known; infinite:
    it then lasts for more than a day."""

    @property
    def ampere_minutes(self) -> float | None:
        """What all of them take in the counted phases."""
        return None if self.amps_a is None else len(self.equipment) * self.amps_a * self.minutes


class LoadSheet(Struct, frozen=True, kw_only=True):
    """All rows, and their sums."""

    condition: Condition
    voltage_v: float
    """At which a current when on is counted."""
    phases: tuple[str, ...]
    """Those that are counted: with the engine running; where nothing charges, all but the start."""
    minutes: float
    """How long they last together."""
    groups: tuple[PhaseGroup, ...]
    stages: tuple[BatteryStage, ...]
    rows: tuple[SheetRow, ...]
    unknown: tuple[str, ...]
    """Loads whose current is not known; the sums leave them out."""

    def summed_a(self, stage: int) -> float:
        """All that is drawn in a stage on the battery alone."""
        return sum(row.battery_a[stage] for row in self.rows)

    @property
    def ampere_minutes(self) -> float:
        """All that is taken in the counted phases, of what is known."""
        mine = (row for row in self.rows if row.condition == self.condition)
        return sum(row.ampere_minutes or 0.0 for row in mine)


@analysis
def load_sheet(study: Study) -> LoadSheet:
    """The rows by night where that takes more, else by day."""
    return _Sheet(study).made()


class _Sheet:
    def __init__(self, study: Study) -> None:
        self.study = study
        self.loads = loads(study)
        phases = study.document.phases
        counted = [name for name, entry in phases.items() if not turns(entry)]
        turning = [name for name in counted if self.loads.capacity[name].running]
        self.phases = turning or counted
        self.charged = bool(turning)
        self.condition = max(reversed(conditions(study)), key=self._taken)
        self.endurance = endurance(study)
        self.points = points(study)
        self.stages = tuple(self._stages(self.endurance)) if self.endurance else ()
        self.groups = tuple(self._groups())

    def made(self) -> LoadSheet:
        here = [self.loads.total(phase, self.condition) for phase in self.phases]
        rows = tuple(self._with_gains(list(_together(self._rows()))))
        return LoadSheet(
            condition=self.condition,
            voltage_v=max((total.voltage_v for total in here), default=0.0),
            phases=tuple(self.phases),
            minutes=sum(map(self._lasts_min, self.phases)),
            groups=self.groups,
            stages=self.stages,
            rows=rows,
            unknown=tuple(dict.fromkeys(name for total in here for name in total.unknown)),
        )

    def _lasts_min(self, phase: str) -> float:
        return self.study.document.phases[phase].lasts_s / 60

    def _taken(self, condition: Condition) -> float:
        """A·min in all phases."""
        totals = (self.loads.total(phase, condition) for phase in self.phases)
        return sum(total.continuous_a * self._lasts_min(total.phase) for total in totals)

    # -- phases and stages -----------------------------------------------------------------------

    def _groups(self) -> Iterator[PhaseGroup]:
        alike: dict[object, list[str]] = {}
        for name in self.phases:
            engine = self.study.document.phases[name].engine
            known = self.charged and engine is not None and engine.rpm is not None
            alike.setdefault(engine.rpm if known and engine else name, []).append(name)
        for phases in alike.values():
            totals = [self.loads.total(phase, self.condition) for phase in phases]
            most = max(totals, key=lambda total: (len(total.unknown), total.continuous_a))
            yield PhaseGroup(phases=tuple(phases), total=most)

    def _stages(self, found: Endurance) -> Iterator[BatteryStage]:
        study = self.study
        if found.alternator:
            shed = emergency_of(study)
            yield BatteryStage(words="until shed", phase=found.cruise, scenario=unshed(study))
            yield BatteryStage(words="shed", phase=found.cruise, scenario=shed)
            if found.landing != found.cruise:
                yield BatteryStage(words="landing", phase=found.landing, scenario=shed)
            return
        yield BatteryStage(words="flight", phase=found.cruise, scenario=NORMAL)
        second = {case.scenario.name: case.scenario for case in self.points.cases}.get("emergency")
        if second is not None:
            yield BatteryStage(words="second battery", phase=found.cruise, scenario=second)

    # -- rows ------------------------------------------------------------------------------------

    def _rows(self) -> Iterator[SheetRow]:
        drawn = self._drawn()
        for (name, coil), lines in self._lines().items():
            for mode in dict.fromkeys(use.mode for line in lines for use in line.uses):
                battery = drawn.pop((name, "coil" if coil else mode), (0.0,) * len(self.stages))
                yield self._row(lines, mode, battery)
        for (name, mode), battery in drawn.items():
            if max(battery) > DRAWS_A:
                yield self._only_then(name, mode, battery)

    def _lines(self) -> Mapping[tuple[str, bool], list[LoadLine]]:
        """By load: its lines but for the start, in the condition of the sheet where it has any."""
        found: dict[tuple[str, bool], dict[Condition, list[LoadLine]]] = {}
        for line in self.loads.lines:
            if not turns(self.study.document.phases[line.phase]):
                key = line.equipment, line.coil
                found.setdefault(key, {}).setdefault(line.condition, []).append(line)
        return {
            key: some.get(self.condition) or next(iter(some.values()))
            for key, some in found.items()
        }

    def _drawn(self) -> dict[tuple[str, str], tuple[float, ...]]:
        """(equipment or switch, mode or `coil`) → what it draws in each stage, all its ways in."""
        if self.endurance is None:
            return {}
        at = [self._case(stage, self.endurance.condition) for stage in self.stages]
        every: dict[tuple[str, str], Array] = {}
        for k, port in enumerate(self.points.model.ports):
            amps = self.points.solution.load_a[k, at]
            key = port.equipment, port.mode
            every[key] = every[key] + amps if key in every else amps
        return {key: tuple(amps.tolist()) for key, amps in every.items()}

    def _case(self, stage: BatteryStage, condition: Condition) -> int:
        asked = stage.phase, condition, stage.scenario.name, "steady"
        cases = enumerate(self.points.cases)
        return next(
            i for i, c in cases if (c.phase, c.condition, c.scenario.name, c.count) == asked
        )

    def _row(self, lines: Sequence[LoadLine], mode: str, battery: tuple[float, ...]) -> SheetRow:
        name, coil = lines[0].equipment, lines[0].coil
        every = {line.phase: use for line in lines for use in line.uses if use.mode == mode}
        uses = {phase: use for phase, use in every.items() if phase in self.phases}
        amps = [use.amps_a for use in (uses or every).values()]
        return SheetRow(
            equipment=(name,),
            mode=mode,
            coil=coil,
            circuit=self._circuit(name, coil),
            condition=lines[0].condition,
            amps_a=None if None in amps else max(a for a in amps if a is not None),
            minutes=sum(use.counted * self._lasts_min(phase) for phase, use in uses.items()),
            normal_a=tuple(_average(uses.get(group.total.phase)) for group in self.groups),
            battery_a=battery,
            after=self._after(battery),
        )

    def _only_then(self, name: str, mode: str, battery: tuple[float, ...]) -> SheetRow:
        """What is on after the failure alone, such as the coil of a relay that changes over."""
        coil = mode == "coil"
        return SheetRow(
            equipment=(name,),
            mode="" if coil else mode,
            coil=coil,
            circuit=self._circuit(name, coil),
            condition=self.condition,
            amps_a=max(battery),
            minutes=0.0,
            normal_a=(0.0,) * len(self.groups),
            battery_a=battery,
            after=self._after(battery),
        )

    def _circuit(self, name: str, coil: bool) -> str:
        return next(iter(() if coil else chains(self.study).feeds.get(name, ())), "")

    def _after(self, battery: tuple[float, ...]) -> After:
        if self.endurance is None:
            return ""
        later = battery[1:] if self.endurance.alternator else battery
        if max(later) > DRAWS_A:
            return "on"
        return "shed" if max(battery) > DRAWS_A else "off"

    # -- what shedding gains ---------------------------------------------------------------------

    def _with_gains(self, rows: Sequence[SheetRow]) -> Iterator[SheetRow]:
        found = self.endurance
        sums = None if found is None or found.unknown else lasting(self.study, found)
        if sums is None or found is None:
            yield from rows
            return
        now = sum((self._three(row.battery_a) for row in rows), np.zeros(3))
        lasts = _minutes(sums, len(found.batteries), now, now)
        for row in rows:
            change = self._three(row.battery_a)
            if found.alternator:
                change[0] = 0.0
                if row.after == "shed":
                    change[1:] = -row.battery_a[0]
            other = _minutes(sums, len(found.batteries), now, now - change)
            beyond = max(other, lasts) > LONGEST_S / 60
            yield replace(row, gains_min=math.inf if beyond else abs(other - lasts))

    def _three(self, battery: tuple[float, ...]) -> Array:
        """The currents that the sums ask for: until shedding, in the landing, after shedding."""
        if self.endurance is not None and self.endurance.alternator:
            return np.array([battery[0], battery[-1], battery[1]])
        return np.full(3, battery[0])


def _average(use: LoadUse | None) -> float | None:
    return 0.0 if use is None else use.average_a


def _minutes(sums: Lasting, batteries: int, usual_a: Array, drawn_a: Array) -> float:
    """The shorter of the two sums, as the endurance counts it."""
    full = np.ones((batteries, 1))
    ratio = np.divide(drawn_a, usual_a, out=np.ones(3), where=usual_a > DRAWS_A)
    by_hand = sums.hand_min(full, drawn_a[:, None])
    return float(min(by_hand[0], sums.simulated_min(full, ratio[:, None])[0]))


def _together(rows: Iterable[SheetRow]) -> Iterator[SheetRow]:
    """Loads of one circuit that differ in nothing but their names stand in one row."""
    alike: dict[object, list[SheetRow]] = {}
    for number, row in enumerate(rows):
        printed = tuple(round(amps, PRINTED) for amps in row.battery_a)
        key = replace(row, equipment=(), battery_a=printed) if row.circuit else number
        alike.setdefault(key, []).append(row)
    for some in alike.values():
        yield replace(
            some[0],
            equipment=tuple(name for row in some for name in row.equipment),
            normal_a=tuple(map(_sum, zip(*(row.normal_a for row in some), strict=True))),
            battery_a=tuple(map(sum, zip(*(row.battery_a for row in some), strict=True))),
        )


def _sum(values: Iterable[float | None]) -> float | None:
    known = list(values)
    return None if None in known else sum(value for value in known if value is not None)


__all__ = ["BatteryStage", "LoadSheet", "PhaseGroup", "SheetRow", "load_sheet"]
