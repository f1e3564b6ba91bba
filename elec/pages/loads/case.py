"""The cases of the solved network in brief: bus voltages and what every source gives."""

import math

from elec.answers.base.points import Points, points
from elec.network.netlist import State
from elec.pages.columns import amps, phase_title, text, volts
from elec.pages.table import Column, Table, Value
from elec.study import Study


def cases(study: Study) -> Table:
    """Every case with loads at their share of the time."""
    found = points(study)
    buses = list(study.document.buses)
    sources = [
        b.name
        for b in (*found.model.netlist.alternators, *found.model.netlist.batteries)
        if study.document.sources[b.name].kind != "external-power"
    ]
    steady = [i for i, case in enumerate(found.cases) if case.count == "steady"]
    return Table(
        id="cases",
        title="Cases of the solved network",
        columns=(
            text("phase", "Phase"),
            text("condition", "By"),
            text("scenario", "Sources"),
            *(_bus_column(study, bus) for bus in buses),
            *(_source_column(study, source) for source in sources),
        ),
        rows=tuple(_row(study, found, i, buses, sources) for i in steady),
        note=(
            "Loads at their share of the time. Sources: what each gives; a negative number "
            "charges. A dash: "
            "no source reaches that bus."
        ),
    )


def _bus_column(study: Study, bus: str) -> Column:
    return volts(f"{bus.replace('-', '_')}_v", study.system.title("buses", bus))


def _source_column(study: Study, source: str) -> Column:
    key = f"{source.replace('-', '_')}_a"
    return amps(key, study.system.title("sources", source), digits=1)


def _row(
    study: Study, found: Points, index: int, buses: list[str], sources: list[str]
) -> tuple[Value, ...]:
    case = found.cases[index]
    head = (phase_title(study, case.phase), case.condition, case.scenario.title)
    if found.solution.state[index] != State.SOLVED:
        return (*head, *(None for _ in (*buses, *sources)))
    return (
        *head,
        *(_volts(found, bus, index) for bus in buses),
        *(_amps(found, source, index) for source in sources),
    )


def _volts(found: Points, bus: str, index: int) -> Value:
    if bus not in found.nodes:
        return "–"
    value = float(found.node_v(bus)[index])
    return "–" if math.isnan(value) else value


def _amps(found: Points, source: str, index: int) -> float:
    netlist, solution = found.model.netlist, found.solution
    for row, branch in enumerate(netlist.alternators):
        if branch.name == source:
            return _flat(float(solution.alternator_a[row, index]))
    row = next(i for i, branch in enumerate(netlist.batteries) if branch.name == source)
    return _flat(-float(solution.battery_a[row, index]))


ROUNDING_A = 1e-6
"""Currents below this are rounding of the solution."""


def _flat(current_a: float) -> float:
    return 0.0 if abs(current_a) < ROUNDING_A else current_a
