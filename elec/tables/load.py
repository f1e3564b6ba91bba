"""Loads by phase and by bus, each load in each phase, and what the sources give against them."""

import numpy as np

from elec.analyses.demand import conditions, demand
from elec.analyses.loads import Capacity, LoadLine, Total, line_title, loads
from elec.analyses.points import points
from elec.model.system import Condition
from elec.network.netlist import State
from elec.standards import default
from elec.study import Study
from elec.tables.columns import amps, phase_title, share, summed, text, volts, worked
from elec.tables.table import Cell, Column, Table, Value
from elec.working import Working

NOTE = (
    "Connected: everything that is on in the phase. 5 s: everything that may be on at one moment, "
    "of "
    "loads that exclude each other the greatest. 5 min: the worst average over five minutes. "
    "Continuous: each current times its share of the phase."
)


def loads_by_phase(study: Study) -> Table:
    """What the whole aircraft draws in every phase, by day and by night."""
    rows = [(*_when(study, total), *_sums(study, total)) for total in loads(study).totals]
    return Table(
        id="loads-by-phase",
        title="Loads by phase",
        columns=(*_when_columns(), *_sum_columns(), text("unknown", "Current not known", 2)),
        rows=tuple(
            (*row, _names(study, t)) for row, t in zip(rows, loads(study).totals, strict=True)
        ),
        note=NOTE,
    )


def loads_by_bus(study: Study) -> Table:
    """What every bus draws in every phase."""
    found = loads(study).buses
    return Table(
        id="loads-by-bus",
        title="Loads by bus and phase",
        columns=(text("bus", "Bus"), *_when_columns(), *_sum_columns()),
        rows=tuple(
            (study.system.title("buses", t.bus), *_when(study, t), *_sums(study, t)) for t in found
        ),
    )


def source_margin(study: Study) -> Table:
    """What the alternators give in every phase, what is left, and what the battery does.

    Rows are left out where the engine stands; there the battery carries everything.
    """
    limit = default("alternator-share").si
    rows: list[tuple[Value, ...]] = []
    for total in loads(study).totals:
        capacity = loads(study).capacity[total.phase]
        if capacity.running or capacity.available_a is None:
            rows.append((*_when(study, total), *_margin(study, total, capacity, limit)))
    return Table(
        id="source-margin",
        title="Sources against loads",
        columns=(
            *_when_columns(),
            amps("load_a", "Continuous load", digits=1),
            amps("available_a", "Source gives", digits=1),
            amps("spare_a", "Spare", digits=1),
            share("used_fraction", "Used"),
            amps("allowed_a", f"{100 * limit:.0f} % of rating", 2, digits=1),
            amps("battery_a", "Into the battery", 2, digits=1),
        ),
        rows=tuple(rows),
        note=(
            f"No more than {100 * limit:.0f} % of the rated output all the time, so that the "
            "battery recharges "
            "(AC 43.13-1B 11-35, a rule of thumb). Into the battery: from the solved network; a "
            "negative number is drawn from it. A charged battery accepts less than what is spare."
        ),
    )


def battery_current_a(study: Study, phase: str, condition: Condition) -> float | None:
    """Current into all batteries in normal operation, loads at their share of the time, in A.

    None where the case has no solution or a load's current is not known.
    """
    if loads(study).total(phase, condition).unknown:
        return None
    found = points(study)
    mask = found.select(phase=phase, condition=condition, scenario="normal", count="steady")
    index = int(np.flatnonzero(mask)[0])
    if found.solution.state[index] != State.SOLVED:
        return None
    return float(found.solution.battery_a[:, index].sum())


def load_lines(study: Study, condition: Condition) -> Table:
    """Every load in every phase by day or by night: its continuous current."""
    phases = list(study.document.phases)
    lines = [line for line in loads(study).lines if line.condition == condition]
    rows = [
        _line_row(study, phases, [ln for ln in lines if (ln.equipment, ln.coil) == key])
        for key in dict.fromkeys((ln.equipment, ln.coil) for ln in lines)
    ]
    totals = [loads(study).total(phase, condition) for phase in phases]
    rows.append(
        (
            "all loads", "", None if any(t.unknown for t in totals) else "", "",
            *(summed(t.continuous_a, len(t.unknown)) for t in totals),
        )
    )  # fmt: skip
    return Table(
        id=f"load-lines-{condition}",
        title=f"Every load by {condition}",
        columns=(
            text("equipment", "Load"),
            text("bus", "Bus", 2),
            amps("connected_a", "When on"),
            text("basis", "Known from", 3),
            *(_phase_column(study, phase) for phase in phases),
        ),
        rows=tuple(rows),
        note="Average over the phase, A. Nothing printed: off in that phase.",
    )


def _phase_column(study: Study, phase: str) -> Column:
    return amps(f"{phase.replace('-', '_')}_a", phase_title(study, phase))


def _line_row(study: Study, phases: list[str], lines: list[LoadLine]) -> tuple[Value, ...]:
    by_phase = {line.phase: line for line in lines}
    currents = [line.connected_a for line in lines]
    connected = None if None in currents else max(c for c in currents if c is not None)
    bus = lines[0].bus
    return (
        line_title(study, lines[0]),
        study.system.title("buses", bus) if bus else "at the source",
        connected,
        _basis(study, lines[0]),
        *(by_phase[p].continuous_a if p in by_phase else "" for p in phases),
    )


def _basis(study: Study, line: LoadLine) -> str:
    if line.coil:
        return ""
    entry = study.document.equipment[line.equipment]
    basis = entry.basis or next((m.basis for m in entry.modes.values() if m.basis), None)
    return basis or "not said"


def _margin(study: Study, total: Total, capacity: Capacity, limit: float) -> tuple[Value, ...]:
    gives, load = capacity.available_a, None if total.unknown else total.continuous_a
    spare = None if gives is None or load is None else gives - load
    rated = capacity.rated_a
    over = load is not None and rated is not None and load > limit * rated
    return (
        summed(total.continuous_a, len(total.unknown), _working(study, total)),
        worked(
            gives, f"What the sources give in {phase_title(study, total.phase)}", capacity.steps
        ),
        Cell(value=spare, verdict="advise" if spare is not None and spare < 0 else None),
        None if gives is None or load is None or gives <= 0 else load / gives,
        Cell(value=None if rated is None else limit * rated, verdict="advise" if over else None),
        battery_current_a(study, total.phase, total.condition),
    )


def _when_columns() -> tuple[Column, ...]:
    return text("phase", "Phase"), text("condition", "By")


def _when(study: Study, total: Total) -> tuple[Value, ...]:
    return phase_title(study, total.phase), total.condition


def _sum_columns() -> tuple[Column, ...]:
    return (
        volts("voltage_v", "At", 3, digits=1),
        amps("connected_a", "Connected", 2),
        amps("momentary_a", "5 s"),
        amps("five_minute_a", "5 min"),
        amps("continuous_a", "Continuous"),
    )


def _sums(study: Study, total: Total) -> tuple[Value, ...]:
    unknown = len(total.unknown)
    working = _working(study, total)
    return (
        total.voltage_v,
        summed(total.connected_a, unknown),
        summed(total.momentary_a, unknown),
        summed(total.five_minute_a, unknown),
        summed(total.continuous_a, unknown, working),
    )


def _working(study: Study, total: Total) -> Working | None:
    of = f" of {study.system.title('buses', total.bus)}" if total.bus else ""
    title = f"Continuous load{of} in {phase_title(study, total.phase)} by {total.condition}"
    return Working(title=title, steps=total.steps) if total.steps else None


def _names(study: Study, total: Total) -> str:
    return ", ".join(study.system.title("equipment", name) for name in total.unknown)


def unknown_loads(study: Study) -> tuple[str, ...]:
    """Fed equipment whose current is not known, in the builder's order."""
    fed = {name for circuit in study.document.circuits.values() for name in circuit.feeds}
    names = {feed.split(".")[0] for feed in fed}
    return tuple(
        name
        for name, entry in study.document.equipment.items()
        if name in names
        and not entry.passive
        and (name not in demand(study).loads or not demand(study).loads[name].known)
    )


__all__ = [
    "battery_current_a",
    "conditions",
    "load_lines",
    "loads_by_bus",
    "loads_by_phase",
    "source_margin",
    "unknown_loads",
]
