"""What every single failure takes and leaves: for the whole system, and within the circuits."""

import math
from collections.abc import Sequence

from elec.answers.failures.blind import blind_words
from elec.answers.failures.changing_over import drawing_on
from elec.answers.failures.failure_reach import halted
from elec.answers.failures.failures import Effect, effects, flight_phases, worst_effects
from elec.pages.columns import listed, phase_title, text, volts
from elec.pages.table import Cell, Column, Table, Value
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.units import whole_minutes
from elec.working import unrounded


def amps(value: float) -> str:
    """A current in a remark."""
    return f"{value:.3g} A"


MOST = 5
"""So many names stand in a cell; the rest is counted."""


def failure_tables(study: Study, phase: str | None = None) -> tuple[Table, Table]:
    """Failures beyond one circuit, then those within one; in a phase, or the worst of all.

    What takes an essential load comes first, then what empties a battery, the soonest first.
    """
    found = found_in(study, phase)
    beyond = [one for one in found if not one.failure.circuit and one.failure.powers]
    within = [one for one in found if one.failure.circuit or not one.failure.powers]
    first = [[one] for one in sorted(beyond, key=rank)]
    return (
        _table(study, "failures", "What single failures take", first, _note(study, found, phase)),
        _table(study, "circuit-failures", "Failures within one circuit", _alike(within), ""),
    )


def found_in(study: Study, phase: str | None) -> tuple[Effect, ...]:
    """Every failure in a phase, or with the worst of all phases of flight."""
    return worst_effects(study) if phase is None else effects(study, phase)


def rank(one: Effect) -> tuple[bool, float]:
    """What takes an essential load first, then what empties a battery, the soonest first."""
    holds = math.inf if one.holds_min is None else one.holds_min
    return (not one.taken, 0.0 if one.taken else unrounded(holds))


def _table(
    study: Study, name: str, title: str, groups: Sequence[Sequence[Effect]], note: str
) -> Table:
    rows = tuple(_row(study, group) for group in groups)
    columns = (
        text("failure", "Failure"),
        text("gone", "Essential, nothing takes over"),
        Column(key="holds_min", head="Battery holds", unit="min", digits=0),
        volts("least_v", "Least, essential"),
        text("lost", "Lost at once"),
        text("least_load", "At", 3),
        text("low", "Too little voltage", 2),
        text("remark", "Remark", 2),
    )
    kept = [k for k, column in enumerate(columns) if column.key != "low" or _any(rows, k)]
    return Table(
        id=name,
        title=title,
        columns=tuple(columns[k] for k in kept),
        rows=tuple(tuple(row[k] for k in kept) for row in rows),
        note=note,
    )


def _any(rows: Sequence[Sequence[Value]], column: int) -> bool:
    return any(row[column] != "" for row in rows)


def _note(study: Study, found: Sequence[Effect], phase: str | None) -> str:
    condition = found[0].condition if found else "night"
    where = (
        f"the worst of {listed([phase_title(study, p) for p in flight_phases(study)])}"
        if phase is None
        else phase_title(study, phase)
    )
    return (
        f"In {where}, by {condition}. Lost at once: with the feeders of normal flight. Least, at "
        "an essential load that is left, and the battery: after changing over and shedding where "
        "that helps. Nothing there: no essential load that is on is left, or no battery is "
        "emptied. Voltages with all that may be on at one moment; the time with shares of the "
        "time by Peukert's law, aged and cold, until the first battery is empty. Signals are not "
        "followed."
    )


def _alike(found: Sequence[Effect]) -> list[list[Effect]]:
    """Failures of one circuit with the same effect in one row; plugs without power in one."""
    groups: dict[object, list[Effect]] = {}
    for one in found:
        key: object = (one.failure.circuit, one.lost, one.low, one.taken)
        if not one.failure.powers:
            key = one.failure.kind
        groups.setdefault(key, []).append(one)
    return list(groups.values())


def _row(study: Study, group: Sequence[Effect]) -> tuple[Value, ...]:
    first = group[0]
    leasts = [one.least for one in group if one.least is not None]
    least = min(leasts, key=lambda least: least.margin_v) if leasts else None
    unknown = not all(one.solved for one in group)
    return (
        _titles(group),
        _names(study, first.taken, "", verdict="fail"),
        ""
        if first.holds_min is None
        else Cell(value=first.holds_min, text=whole_minutes(first.holds_min)),
        None
        if unknown and least is None
        else ""
        if least is None
        else Cell(value=least.voltage_v, verdict="fail" if least.low else None),
        _names(study, first.lost, "no load" if first.sources or first.drained else "nothing"),
        study.system.title("equipment", least.equipment) if least else "",
        Cell(value=None) if unknown and not first.low else _names(study, first.low, ""),
        _remark(study, first),
    )


def _titles(group: Sequence[Effect]) -> Cell:
    titles = [one.failure.title for one in group]
    whole = "; ".join(titles)
    if len(titles) > MOST:
        rest = len(titles) - MOST + 1
        return Cell(value=whole, text=f"{'; '.join(titles[: MOST - 1])}; and {rest} more")
    return Cell(value=whole)


def _names(study: Study, names: Sequence[str], none: str, verdict: str | None = None) -> Value:
    """Equipment by title, the rest counted in print."""
    if not names:
        return none
    titles = [_title(study, name) for name in names]
    whole = listed(titles)
    if len(titles) <= MOST:
        return Cell(value=whole, verdict=verdict)
    shown = f"{', '.join(titles[: MOST - 1])} and {len(titles) - MOST + 1} more"
    return Cell(value=whole, text=shown, verdict=verdict)


def _title(study: Study, name: str) -> str:
    kind, _, switch = name.partition(":")
    if kind == "coil" and switch:
        return f"coil of {study.system.title('switches', switch)}"
    return study.system.title("equipment", name)


def _changing(study: Study, one: Effect) -> str:
    """The hand that helps; where not in every phase, in which.

    Not where the minutes beside it are those of a phase in which it does.
    """
    text = "change over and shed"
    told = one.phase or one.holds_in in one.changed_in
    if not told and set(one.changed_in) < set(flight_phases(study)):
        text += f" in {listed([phase_title(study, phase) for phase in one.changed_in])}"
    return f"{text} (the engine stops until then)" if halted(study, one) else text


def _remark(study: Study, one: Effect) -> str:
    """What else there is to know."""
    found: list[str] = []
    if one.sources:
        names = listed([study.system.title("sources", name) for name in one.sources])
        found.append(f"{names} {'gives' if len(one.sources) == 1 else 'give'} nothing")
    found += [blind_words(study, name) for name in one.astray]
    if one.served < 1:
        found.append(f"{one.served:.0%} of the demand can be met at once".replace("%", " %"))
    found += [
        f"then {amps(trip.amps)} open the {sizing(study).devices[trip.device].label} of "
        f"{trip.device.replace('-', ' ')}"
        for trip in one.trips
    ]
    found += [
        f"{amps(wire.amps)} in {wire.conductor.rpartition('/')[0].replace('-', ' ')}, which may "
        f"carry {amps(wire.allowed_a)}"
        for wire in one.hot[:2]
    ]
    if one.changed_over:
        found.append(_changing(study, one))
    if one.drained:
        names = listed([study.system.title("sources", name) for name in one.drained])
        found.append(f"{names} {'discharges' if len(one.drained) == 1 else 'discharge'}")
        on = [study.system.title("switches", n) for n in drawing_on(study, one.failure, one.lost)]
        if on:
            found.append(f"the coil of {listed(on)} draws on")
    if one.failure.signals:
        count = one.failure.signals
        found.append(f"{count} signal {'wire' if count == 1 else 'wires'} parted")
    return "; ".join(found)
