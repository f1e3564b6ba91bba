"""A whole flight over time: charge, voltages and currents, phase after phase.

By day and night, on a cold, a usual and a hot day.

In: phases, loads, sources. Out: `Flights`. The alternator works; `loss` takes it away.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from elec.answers.base.bodies import batteries
from elec.answers.base.days import Day, bank, days
from elec.answers.base.points import points
from elec.answers.time.course import Course, FlightLeg, SimulationPlan, march
from elec.answers.time.endurance import cruise_phase, emergency_of, endurance, stages, watched
from elec.answers.time.lattice import Lattice, LatticeSetting, Loads
from elec.model.system import Condition
from elec.network.netlist import Array
from elec.sizing.order import cranking
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Case, Count, Scenario, unshed
from elec.wiring.chains import chains
from elec.wiring.demand import conditions, demand, turning_s
from elec.wiring.sources import has_alternator, output

EVERY_S = 300.0
BESIDE = 0.01
"""How far a charge probably stays from what a straight line foretells; a few cells more are solved
together, rather than alone later."""
LEAST_MOMENTS = 7
"""Moments kept of each part of the flight, at the least, and one in five minutes."""


class FlightPart(Struct, frozen=True, kw_only=True):
    """A part of the flight in which nothing is switched."""

    phase: str
    start_s: float
    end_s: float
    count: Count
    loads: Loads


class Moment(Struct, frozen=True, kw_only=True):
    """One moment of a flight."""

    time_s: float
    phase: str
    bus_v: Mapping[str, float]
    """NaN where no source reaches a bus."""
    battery_a: Mapping[str, float]
    """Drawn from it; negative while it is charged."""
    charge: Mapping[str, float]
    """State of charge, 0 to 1."""
    alternator_a: float


class Flight(Struct, frozen=True, kw_only=True):
    """One flight, all sources working."""

    day: Day
    condition: Condition
    moments: tuple[Moment, ...]
    start: Mapping[str, float]
    end: Mapping[str, float]
    least: Mapping[str, tuple[float, float]]
    """Battery → (least charge, time in s)."""
    back_s: Mapping[str, float | None]
    """Battery → when the charge of the start is back for good; 0 where it is never less; None:
    not on this flight."""
    emptied: tuple[tuple[float, str, str], ...]
    """(time in s, battery, why): batteries that gave out on the way."""

    @property
    def title(self) -> str:
        """`cold day, night`."""
        return f"{self.day.title}, {self.condition}"


class Flights(Struct, frozen=True, kw_only=True):
    """All of them, and what they leave out."""

    parts: tuple[FlightPart, ...]
    every: tuple[Flight, ...]
    unknown: tuple[str, ...]
    """Loads whose current is not known."""
    unknown_output: tuple[str, ...]
    """Phases in which it is not known what an alternator gives; none is counted there."""

    @property
    def lasts_s(self) -> float:
        """From the first phase to the end of the last one."""
        return self.parts[-1].end_s

    def lowest(self) -> Flight:
        """The flight on which a battery is emptied most."""
        return min(self.every, key=lambda f: min(s for s, _ in f.least.values()))


@analysis
def flights(study: Study) -> Flights | None:
    """Every flight; None for a system without a battery or without phases."""
    found = simulation(study)
    return None if found is None else found.flights()


@analysis
def simulation(study: Study) -> "Simulation | None":
    """The network over charge for all flights, shared by what looks further into them."""
    if not batteries(study) or not study.document.phases:
        return None
    return Simulation(study)


class Simulation:
    """Plans and lattice of all flights of a system."""

    def __init__(self, study: Study) -> None:
        """Number all settings: working, alternators lost, and after shedding."""
        self.study = study
        self.days = days(study)
        self.bank = bank(study, self.days)
        self.parts = _parts(study)
        self.alternator = has_alternator(study)
        alone = endurance(study)
        self.cruise = cruise_phase(study)
        self.landing = self.cruise if alone is None else alone.landing
        self.stages = stages(study, unshed(study), emergency_of(study)) if self.alternator else ()
        self.numbers: dict[LatticeSetting, int] = {}
        for day in range(len(self.days)):
            for condition in conditions(study):
                for part in self.parts:
                    self._number(part, condition, NORMAL, day)
                    if self.alternator:
                        self._number(part, condition, unshed(study), day)
                for _, scenario, _ in self.stages[1:]:
                    for phase in (self.cruise, self.landing):
                        self._after(phase, condition, scenario, day)
        self.lattice = Lattice(
            study,
            tuple(self.numbers),
            self.bank,
            tuple(day.air_degc for day in self.days),
            watched=watched(study),
            charging=True,
        )
        self.keys = [(day, c) for day in range(len(self.days)) for c in conditions(study)]
        self.courses: dict[tuple[int, Condition], Course] = {}

    def setting(self, part: FlightPart, condition: Condition, scenario: Scenario, day: int) -> int:
        """The number of what is on in a part of the flight."""
        case = Case(phase=part.phase, condition=condition, scenario=scenario, count=part.count)
        return self.numbers[LatticeSetting(case=case, day=day, loads=part.loads)]

    def after(self, phase: str, condition: Condition, scenario: Scenario, day: int) -> int:
        """The number of what is on after shedding, in cruise or in the landing."""
        case = Case(phase=phase, condition=condition, scenario=scenario, count="steady")
        return self.numbers[LatticeSetting(case=case, day=day)]

    def _number(self, part: FlightPart, condition: Condition, scenario: Scenario, day: int) -> None:
        case = Case(phase=part.phase, condition=condition, scenario=scenario, count=part.count)
        self.numbers.setdefault(
            LatticeSetting(case=case, day=day, loads=part.loads), len(self.numbers)
        )

    def _after(self, phase: str, condition: Condition, scenario: Scenario, day: int) -> None:
        case = Case(phase=phase, condition=condition, scenario=scenario, count="steady")
        self.numbers.setdefault(LatticeSetting(case=case, day=day), len(self.numbers))

    def flights(self) -> Flights:
        """March through all of them side by side."""
        self._expect()
        plans = [self._plan(day, condition) for day, condition in self.keys]
        self.courses = dict(zip(self.keys, march(self.lattice, plans), strict=True))
        return Flights(
            parts=self.parts,
            every=tuple(self._flight(day, condition) for day, condition in self.keys),
            unknown=_unknown_loads(self.study),
            unknown_output=_unknown_output(self.study),
        )

    def state(self, day: int) -> Array:
        """States of charge at the start of the flight."""
        return np.array([one.start for one in self.bank.days[day]])

    def _plan(self, day: int, condition: Condition) -> SimulationPlan:
        legs = tuple(
            FlightLeg(until_s=part.end_s, setting=self.setting(part, condition, NORMAL, day))
            for part in self.parts
        )
        return SimulationPlan(start_s=0.0, state=self.state(day), legs=legs, watch=False)

    def _expect(self) -> None:
        """Have all solved that will probably be passed, by what the solved cases draw."""
        found = points(self.study)
        order = [b.name for b in found.model.netlist.batteries]
        rows = [order.index(name) for name in self.bank.names]
        drawn = {
            (c.phase, c.condition, c.count): -np.nan_to_num(found.solution.battery_a[rows, i])
            for i, c in enumerate(found.cases)
            if c.scenario == NORMAL
        }
        boxes = []
        for day, condition in self.keys:
            here = self.state(day)
            for part in self.parts:
                amps = drawn[part.phase, condition, part.count].copy()
                bodies = self.bank.days[day]
                taken = [one.accepted_a(s) for one, s in zip(bodies, here, strict=True)]
                amps = np.where(amps > 0, amps, -np.array(taken))
                slope = self.bank.slope_per_s(np.full(1, day, dtype=np.intp), amps[None])[0]
                there = np.clip(here + slope * (part.end_s - part.start_s), 0.0, 1.0)
                low = np.maximum(np.minimum(here, there) - BESIDE, 0.0)
                high = np.minimum(np.maximum(here, there) + BESIDE, 1.0)
                number = self.setting(part, condition, NORMAL, day)
                boxes.append((number, low, high))
                here = there
        self.lattice.expect_between(boxes, opened=False)

    def _flight(self, day: int, condition: Condition) -> Flight:
        course, names = self.courses[day, condition], self.bank.names
        times = self._times(course)
        setting, state, opened = course.at(times)
        moments = self._moments(times, state, self.lattice.at(setting, state, opened))
        start = dict(zip(names, self.state(day).tolist(), strict=True))
        least = {name: min((m.charge[name], m.time_s) for m in moments) for name in names}
        return Flight(
            day=self.days[day],
            condition=condition,
            moments=moments,
            start=start,
            end=dict(zip(names, course.state.tolist(), strict=True)),
            least=least,
            back_s={name: self._back(course, b, start[name]) for b, name in enumerate(names)},
            emptied=tuple((t, names[b], why) for t, b, why in course.openings),
        )

    def _times(self, course: Course) -> list[float]:
        """Moments of every part: its two ends, and some between."""
        times: list[float] = []
        for part in self.parts:
            count = max(LEAST_MOMENTS, int(np.ceil((part.end_s - part.start_s) / EVERY_S)) + 1)
            first = np.nextafter(part.start_s, part.end_s)
            times += np.linspace(first, part.end_s, count).tolist()
        return sorted({*times, *(t for t, _, _ in course.openings)})

    def _moments(self, times: list[float], state: Array, found: Array) -> tuple[Moment, ...]:
        columns, names = self.lattice.columns, self.bank.names
        ends = np.array([part.end_s for part in self.parts])
        phases = np.minimum(np.searchsorted(ends, times, side="left"), len(ends) - 1)
        return tuple(
            Moment(
                time_s=time_s,
                phase=self.parts[int(phases[k])].phase,
                bus_v=dict(zip(columns.buses, found[k, columns.bus].tolist(), strict=True)),
                battery_a=dict(zip(names, found[k, columns.current].tolist(), strict=True)),
                charge=dict(zip(names, state[k].tolist(), strict=True)),
                alternator_a=float(found[k, columns.alternator].sum()),
            )
            for k, time_s in enumerate(times)
        )

    @staticmethod
    def _back(course: Course, battery: int, start: float) -> float | None:
        """When the charge of the start is back and stays."""
        back: float | None = 0.0
        for one in course.stretches:
            begin, end = float(one.start[battery]), float(one.end[battery])
            if end < start - 1e-9:
                back = None
            elif back is None and end >= start - 1e-9:
                share = (start - begin) / (end - begin) if end > begin else 1.0
                back = one.start_s + min(1.0, max(0.0, share)) * (one.end_s - one.start_s)
        return back


def _parts(study: Study) -> tuple[FlightPart, ...]:
    """The phases; a start in two parts: while the starter turns, and the rest."""
    found: list[FlightPart] = []
    since = 0.0
    turning = cranking(study)
    for phase, entry in study.document.phases.items():
        end = since + entry.lasts_s
        if phase in turning:
            turns = min(entry.lasts_s, turning_s(study, phase))
            found.append(
                FlightPart(
                    phase=phase,
                    start_s=since,
                    end_s=since + turns,
                    count="momentary",
                    loads="counted",
                )
            )
            since += turns
        if end > since:
            loads: Loads = "quiet" if phase in turning else "counted"
            found.append(
                FlightPart(phase=phase, start_s=since, end_s=end, count="steady", loads=loads)
            )
        since = end
    return tuple(found)


def _unknown_loads(study: Study) -> tuple[str, ...]:
    fed = chains(study).feeds
    return tuple(
        name for name, load in demand(study).loads.items() if not load.known and name in fed
    )


def _unknown_output(study: Study) -> tuple[str, ...]:
    return tuple(
        phase
        for phase in study.document.phases
        if any(
            source.kind == "alternator" and output(study, name, source, phase) is None
            for name, source in study.document.sources.items()
        )
    )
