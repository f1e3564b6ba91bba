"""Loads by phase and by bus, each load in each phase, and what the sources give against them."""

import math
from collections.abc import Sequence

from elec.answers.failures.left_alone import LeftAlone, left_alone
from elec.answers.loads.loads import LoadLine, Total, line_title, loads
from elec.answers.loads.margins import (
    Margin,
    alone,
    keeps_rule,
    margins_by_condition,
    names_of,
    rule_of,
)
from elec.model.system import Condition
from elec.pages.columns import amps, phase_title, share, summed, text, volts
from elec.pages.table import Cell, Column, Table, Value
from elec.study import Study
from elec.units import whole_minutes
from elec.wiring.demand import conditions, demand, turns
from elec.wiring.limits import limit
from elec.working import Working

NOTE = (
    "Connected: everything that is on in the phase. 5 s: everything that may be on at one moment, "
    "of "
    "loads that exclude each other the greatest. 5 min: the worst average over five minutes. "
    "Continuous: each current times its share of the phase; while the starter turns only what is "
    "on throughout. All at the voltage told, before anything is lost on the way; where "
    "alternators are set against them, the network is solved (*Loads take*), and nothing is "
    "averaged (*Over 5 min*)."
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
    """What each alternator gives in every phase, what is left, and what lasting loads ask of it.

    Phases in which the engine stands are left out; there the battery carries everything.
    """
    found = sorted(margins_by_condition(study).values(), key=lambda m: m.sources)
    several = len({m.sources for m in found}) > 1
    return Table(
        id="source-margin",
        title="Sources against loads" if several or not found else _whose(study, found[0]),
        columns=(
            *((text("source", "Source"),) if several else ()),
            *_when_columns(),
            amps("load_a", "Loads take", digits=1),
            amps("battery_a", "Into battery", 2, digits=1),
            amps("given_a", "Gives", 3, digits=1),
            amps("available_a", "Can give", digits=1),
            amps("spare_a", "Left", digits=1),
            amps("lasting_a", "Over 5 min", digits=1),
            share("used_fraction", "Used of rating"),
        ),
        rows=tuple(_margin(study, margin, several) for margin in found),
        note=_margin_note(study, found),
    )


def _whose(study: Study, margin: Margin) -> str:
    name = names_of(study, margin.sources)
    return f"{name[:1].upper()}{name[1:]} against its loads"


def _margin_note(study: Study, found: Sequence[Margin]) -> str:
    rule = limit(study, "generator-share")
    text = (
        "Loads take: average, in the solved network. Gives: loads and battery together. Left: can "
        "give less loads; negative: the battery or other sources help. Over 5 min: what may be on "
        "together for more than five minutes, at full current. Used of rating: that over the rated "
        f"output; {100 * rule.value:.0f} % at most, so that the battery recharges ({rule.source})."
    )
    wider = limit(study, "generator-share-landing")
    if any(rule_of(study, m).key == wider.key for m in found):
        text += (
            f" {100 * wider.value:.0f} % while pitot heat and landing light are on together, where "
            f"it keeps to that without the light ({wider.source})."
        )
    added = [m.sources for m in found if len(m.sources) > 1]
    said = [
        f"Added, for they carry one bus together: {names_of(study, sources)}."
        for sources in dict.fromkeys(added)
    ]
    return " ".join([text, *said])


def _margin(study: Study, margin: Margin, several: bool) -> tuple[Value, ...]:
    share, unknown = margin.share, len(margin.unknown)
    certain = not unknown and share.solved
    spare = margin.spare_a if certain else None
    part = margin.used_part if certain else None
    return (
        *((names_of(study, margin.sources),) if several else ()),
        phase_title(study, margin.phase),
        margin.condition,
        summed(share.carried_a, unknown, margin.left),
        -share.drawn_a if certain else None,
        share.given_a if certain else None,
        margin.can_a,
        Cell(value=spare, verdict="advise" if margin.short else None),
        share.asked_a if certain else None,
        Cell(
            value=part,
            working=margin.used,
            verdict="fail" if part is not None and not keeps_rule(study, margin) else None,
        ),
    )


def source_alone(study: Study) -> Table | None:
    """Each alternator while the others have failed: before and after shedding, the worse of both.

    Day or night, whichever leaves less; None for a single alternator.
    """
    worst: dict[tuple[tuple[str, ...], str], dict[str, Margin]] = {}
    for margin in alone(study):
        row = worst.setdefault((margin.sources, margin.phase), {})
        before = row.get(margin.share.situation)
        if before is None or (margin.spare_a or 0.0) < (before.spare_a or 0.0):
            row[margin.share.situation] = margin
    if not worst:
        return None
    judged = left_alone(study)
    return Table(
        id="source-alone",
        title="Each alternator alone, the others failed",
        columns=(
            text("source", "Source"),
            text("phase", "Phase"),
            amps("available_a", "Can give", digits=1),
            amps("load_a", "Loads take", 2, digits=1),
            amps("spare_a", "Left", digits=1),
            amps("elsewhere_a", "Other batteries give", 2, digits=1),
            amps("shed_load_a", "Loads, shed", 2, digits=1),
            amps("shed_spare_a", "Left, shed", digits=1),
            amps("shed_elsewhere_a", "Other batteries, shed", 3, digits=1),
            text("helped", "Battery helps, min", 2),
        ),
        rows=tuple(
            (names_of(study, sources), phase_title(study, phase), row["alone"].can_a,
             *_alone(row["alone"]), *_alone(row["alone, shed"], judged[sources[0], phase]),
             _helps(judged[sources[0], phase]))
            for (sources, phase), row in worst.items()
        ),
        note="By day or night, whichever leaves less. Other batteries: those that it does not "
        "reach, which carry their buses alone. Shed: what the pilot switches off is off, and "
        "feeders for an emergency are closed. Battery helps: how long it gives what is short after "
        "shedding; marked where that is less than is asked (alternator-alone).",
    )  # fmt: skip


def _alone(margin: Margin, judged: LeftAlone | None = None) -> tuple[Value, ...]:
    certain = not margin.unknown and margin.share.solved
    low = judged is not None and judged.known and not judged.enough
    return (
        summed(margin.share.carried_a, len(margin.unknown)),
        Cell(value=margin.spare_a if certain else None, verdict="advise" if low else None),
        max(0.0, margin.share.others_a) if certain else None,
    )


def _helps(judged: LeftAlone) -> Value:
    """Minutes, rounded down; nothing where nothing is short."""
    if not judged.known:
        return Cell(value=None)
    return "" if math.isinf(judged.helped_min) else str(whole_minutes(judged.helped_min))


def load_lines(study: Study, condition: Condition) -> Table:
    """Every load in every phase by day or by night: its continuous current."""
    phases = list(study.document.phases)
    lines: dict[tuple[str, bool], list[LoadLine]] = {}
    for line in loads(study).lines:
        if line.condition == condition:
            lines.setdefault((line.equipment, line.coil), []).append(line)
    rows = [_line_row(study, phases, of_one) for of_one in lines.values()]
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
        note="Average over the phase, A. Nothing printed: off in that phase, or on for a while "
        "only as the starter turns.",
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
        *(_in_phase(study, by_phase.get(phase)) for phase in phases),
    )


def _in_phase(study: Study, line: LoadLine | None) -> Value:
    """The average; nothing for what is on for seconds only while the starter turns."""
    if line is None or (line.continuous_a == 0 and turns(study.document.phases[line.phase])):
        return ""
    return line.continuous_a


def _basis(study: Study, line: LoadLine) -> str:
    if line.coil:
        return ""
    entry = study.document.equipment[line.equipment]
    basis = entry.basis or next((m.basis for m in entry.modes.values() if m.basis), None)
    return basis or "not said"


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
    "conditions",
    "load_lines",
    "loads_by_bus",
    "loads_by_phase",
    "source_alone",
    "source_margin",
    "unknown_loads",
]
