"""What is asked of the uncertain inputs: alternator margins, time on the battery, least voltages.

In: margins, endurance, voltages, the solved cases. Out: `AllSubjects`: each result as a function of
the deviations of all inputs, with the slopes of the network results that it needs.
"""

from collections.abc import Callable, Iterator
from typing import Literal

import numpy as np
from msgspec import Struct

from elec.answers.base.points import Points, points
from elec.answers.doubt.tolerances import Inputs, inputs
from elec.answers.drop.voltages import LoadVoltage, flight_voltages
from elec.answers.loads.margins import Margin, margins, the
from elec.answers.time.endurance import endurance
from elec.answers.time.endurance_limit import endurance_limit
from elec.answers.time.lasting import Lasting, lasting
from elec.network.netlist import Array, State
from elec.network.tangent import Result, slopes
from elec.sizing.picking import shares
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Case
from elec.wiring.chains import chains
from elec.wiring.demand import demand

Kind = Literal["margin", "endurance", "voltage", "device"]


class Subject(Struct, frozen=True, kw_only=True):
    """One result; `value` takes deviations (inputs, n) and network results (results, n)."""

    kind: Kind
    about: str
    """What the margin is about, `battery`, or the equipment."""
    title: str
    where: str
    unit: str
    nominal: float
    limit: float
    unknown: tuple[str, ...]
    """Loads whose current is not known; they are not in it."""
    path: tuple[str | int, ...]
    value: Callable[[Array, Array], Array]
    thing: str = ""
    """Of a voltage: the title of its load."""


class Untold(Struct, frozen=True, kw_only=True):
    """A result of which nothing can be said, and why."""

    kind: Kind
    about: str
    title: str
    why: str
    path: tuple[str | int, ...]


class AllSubjects(Struct, frozen=True, kw_only=True):
    """All subjects, and the network results that they read."""

    inputs: Inputs
    results: tuple[Result, ...]
    nominal: Array
    """(results,)"""
    slopes: Array
    """(results, inputs) by a relative rise of each input."""
    subjects: tuple[Subject, ...]
    untold: tuple[Untold, ...]


@analysis
def setting(study: Study) -> AllSubjects:
    """Everything that is asked, made ready for deviations."""
    return _Setting(study).run()


class _Setting:
    def __init__(self, study: Study) -> None:
        self.study = study
        self.found = points(study)
        self.inputs = inputs(study)
        self.results: list[Result] = []
        self.places: dict[Result, int] = {}
        self.untold: list[Untold] = []
        self.cases = {case: i for i, case in enumerate(self.found.cases)}

    def run(self) -> AllSubjects:
        subjects = [
            *self._margins(),
            *self._endurance(),
            *self._voltages(),
            *self._devices(),
        ]
        results = tuple(self.results)
        return AllSubjects(
            inputs=self.inputs,
            results=results,
            nominal=_nominal(self.found, results),
            slopes=_by_input(self.found, self.inputs, results),
            subjects=tuple(subjects),
            untold=tuple(self.untold),
        )

    def _row(self, result: Result) -> int:
        """The place of a network result, entered at the first question."""
        if result not in self.places:
            self.places[result] = len(self.results)
            self.results.append(result)
        return self.places[result]

    # -- margins ---------------------------------------------------------------------------------

    def _margins(self) -> Iterator[Subject]:
        for margin in margins(self.study):
            title = self.study.system.title("phases", margin.phase)
            path = ("sources", margin.sources[0])
            name = the(self.study, margin.sources)
            if margin.spare_a is None or not margin.share.solved:
                why = f"what {name} delivers at that engine speed is not known"
                self.untold.append(
                    Untold(
                        kind="margin",
                        about=margin.about,
                        title=f"alternator margin in {title}",
                        why=why,
                        path=path,
                    )
                )
                continue
            yield Subject(
                kind="margin",
                about=margin.about,
                title="alternator margin",
                where=f"{title}, {margin.condition}",
                unit="A",
                nominal=margin.spare_a,
                limit=0.0,
                unknown=margin.unknown,
                path=path,
                value=self._spare(margin),
            )

    def _spare(self, margin: Margin) -> Callable[[Array, Array], Array]:
        """What it can give, less what it gives, less what batteries and others help with."""
        names = [b.name for b in self.found.model.netlist.alternators]
        chosen = tuple(names.index(name) for name in margin.sources)
        case = Case(phase=margin.phase, condition=margin.condition, scenario=NORMAL, count="steady")
        gives = self._row(Result(case=self.cases[case], alternators=chosen))
        helps = self._row(Result(case=self.cases[case]))
        limits = self.found.model.values.alternator_limit_a[:, self.cases[case]]
        outputs = limits[list(chosen)]
        by = self.inputs.alternator_output[list(chosen)]
        above = margin.short and not margin.share.limited
        others_a = margin.share.help_a + self._elsewhere_a(margin, self.cases[case])

        def spare(x: Array, y: Array) -> Array:
            can = y[gives] if above else outputs @ (1.0 + x[by])
            found: Array = can - y[gives] - y[helps] - others_a
            return found

        return spare

    def _elsewhere_a(self, margin: Margin, case: int) -> float:
        """What batteries take that are not on its side, less what they give."""
        drawn = -float(self.found.solution.battery_a[:, case].sum())
        return margin.share.drawn_a - drawn

    # -- the battery -----------------------------------------------------------------------------

    def _endurance(self) -> Iterator[Subject]:
        found = endurance(self.study)
        if found is None:
            return
        parts = lasting(self.study, found)
        path = ("sources", (found.batteries or tuple(self.study.document.sources))[0])
        if parts is None or found.minutes is None:
            why = "it lasts more than a day" if found.longest else "nothing draws from it"
            self.untold.append(
                Untold(kind="endurance", about="battery", title="battery alone", why=why, path=path)
            )
            return
        cruise = self.study.system.title("phases", found.cruise)
        yield Subject(
            kind="endurance",
            about="battery",
            title="battery alone",
            where=f"{cruise}, {found.condition}",
            unit="min",
            nominal=found.minutes,
            limit=endurance_limit(self.study, found).minutes,
            unknown=found.unknown,
            path=path,
            value=self._time(parts),
        )

    def _time(self, parts: Lasting) -> Callable[[Array, Array], Array]:
        """The shorter of the ampere-minute sum and the simulation."""
        rows = [self._row(Result(case=self._steady(parts, p, s.name))) for p, s in parts.states]
        moved = [self.inputs.capacity[name] for name in parts.charge_ampere_minutes]
        now = -self.found.solution.battery_a.sum(axis=0)
        usual = np.array([[now[self.results[row].case]] for row in rows])

        def time(x: Array, y: Array) -> Array:
            capacity, drawn = 1.0 + x[moved], y[rows]
            return np.minimum(
                parts.hand_min(capacity, drawn), parts.simulated_min(capacity, drawn / usual)
            )

        return time

    def _steady(self, parts: Lasting, phase: str, scenario: str) -> int:
        return next(
            i
            for i, c in enumerate(self.found.cases)
            if (c.phase, c.condition, c.scenario.name, c.count)
            == (phase, parts.condition, scenario, "steady")
        )

    # -- voltages --------------------------------------------------------------------------------

    def _voltages(self) -> Iterator[Subject]:
        equipment = self.study.document.equipment
        marked = any_essential(self.study)
        unknown = tuple(n for n, load in demand(self.study).loads.items() if not load.known)
        for name, least in flight_voltages(self.study).items():
            if marked and not equipment[name].essential:
                continue
            title = self.study.system.title("equipment", name)
            case = self.cases[least.case]
            if self.found.solution.state[case] != State.SOLVED or least.numerical:
                why = f"in {least.case.title} the sources cannot deliver what is asked of them"
                self.untold.append(
                    Untold(
                        kind="voltage", about=name, title=title, why=why, path=("equipment", name)
                    )
                )
                continue
            yield self._voltage(name, title, least, unknown)

    def _voltage(
        self, name: str, title: str, least: LoadVoltage, unknown: tuple[str, ...]
    ) -> Subject:
        row = self._row(Result(case=self.cases[least.case], load=self._port(name, least)))

        def volts(_: Array, y: Array) -> Array:
            found: Array = y[row]
            return found

        return Subject(
            kind="voltage",
            about=name,
            title=f"least voltage at {title}",
            thing=title,
            where=_where(self.study, least.case),
            unit="V",
            nominal=least.lowest_v,
            limit=least.minimum_v,
            unknown=unknown,
            path=("equipment", name),
            value=volts,
        )

    def _port(self, name: str, least: LoadVoltage) -> int:
        """The element of the load that has its least voltage."""
        case = self.cases[least.case]
        across = self.found.solution.load_v[:, case]
        amount = self.found.model.values.load_value[:, case]
        rows = [
            i
            for i, port in enumerate(self.found.model.ports)
            if port.equipment == name and amount[i] != 0 and np.isfinite(amount[i])
        ]
        return min(rows, key=lambda i: abs(float(across[i]) - least.lowest_v))

    # -- devices ---------------------------------------------------------------------------------

    def _devices(self) -> Iterator[Subject]:
        """What a device holds where it sits, less what its loads take."""
        for chain in chains(self.study).of("circuit"):
            device = sizing(self.study).devices.get(chain.name)
            if device is None or device.rating_a is None or device.load_a is None:
                continue
            drawn = [
                (amps, self.inputs.port[name, mode])
                for name, mode, amps in shares(self.study, chain)
                if (name, mode) in self.inputs.port
            ]
            held, load = device.rating_a * device.warmth, max(device.load_a, device.peak_a or 0.0)
            if drawn:
                yield Subject(
                    kind="device",
                    about=chain.name,
                    title=f"{device.label} of {chain.title}",
                    where=f"which holds {held:.1f} A where it sits",
                    unit="A",
                    nominal=held - load,
                    limit=0.0,
                    unknown=(),
                    path=(*chain.path, device.kind),
                    value=_beyond(held - load, drawn),
                )


def _beyond(nominal: float, drawn: list[tuple[float, int]]) -> Callable[[Array, Array], Array]:
    amps = np.array([a for a, _ in drawn])
    moved = np.array([i for _, i in drawn], np.intp)

    def beyond(x: Array, _: Array) -> Array:
        found: Array = nominal - amps @ x[moved]
        return found

    return beyond


def _where(study: Study, case: Case) -> str:
    phase = study.system.title("phases", case.phase)
    return f"{phase}, {case.condition}, {case.scenario.title}"


def _nominal(found: Points, results: tuple[Result, ...]) -> Array:
    solution = found.solution

    def value(result: Result) -> float:
        if result.alternators:
            return float(solution.alternator_a[list(result.alternators), result.case].sum())
        if result.load is None:
            return -float(solution.battery_a[:, result.case].sum())
        return float(solution.load_v[result.load, result.case])

    return np.array([value(result) for result in results])


def _by_input(found: Points, every: Inputs, results: tuple[Result, ...]) -> Array:
    """The slopes of the network results, summed over the elements that an input moves."""
    total = np.zeros((len(every.every), len(results)))
    if not results:
        return total.T
    values = found.model.values
    by = slopes(found.model.netlist, values, found.solution, results)
    cases = [r.case for r in results]
    emf, setpoint = values.battery_emf_v[:, cases], values.alternator_setpoint_v[:, cases]
    forward = values.diode_forward_v[:, cases]
    for moved, change in (
        (every.load, by.load),
        (every.resistor, by.resistance),
        (every.battery_v, by.battery_v * emf),
        (every.battery_resistance, by.battery_resistance),
        (every.diode, by.diode_v * forward + by.diode_resistance),
        (every.alternator_v, by.alternator_v * setpoint),
        (every.alternator_output, by.alternator_limit),
    ):
        some = moved >= 0
        np.add.at(total, moved[some], change[some])
    return total.T


def any_essential(study: Study) -> bool:
    """Whether a load is marked essential: then the voltages of those count, else of all."""
    return any(entry.essential for entry in study.document.equipment.values())


__all__ = ["AllSubjects", "Subject", "Untold", "any_essential", "setting"]
