"""The matrix of failures: what each takes of the engine, the buses and the essential loads.

In: the effects that the tables list. Out: `Figure`s, each with its rows in words. Nothing is judged
here: what is lost or back is the effect's, and the sign before a row is that of its finding.
"""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from elec.answers.failures.failures import Effect, worst_effects
from elec.check import verdict_of
from elec.drawings.charts.matrix import (
    MatrixChart,
    MatrixColumn,
    MatrixRow,
    Outcome,
    matrix_charts,
)
from elec.pages.columns import listed, sign_of
from elec.pages.document import Figure
from elec.pages.failures.table import rank
from elec.study import Study
from elec.wiring.backup import engine_loads
from elec.wiring.chains import chains


class FailureColumn(Struct, frozen=True, kw_only=True):
    """A thing that may be taken: its name, and the equipment that it stands for."""

    name: str
    group: str
    loads: frozenset[str]
    """Of a bus, what hangs on it alone and is in use in flight."""


def matrix_figures(study: Study) -> tuple[Figure, ...]:
    """The failures beyond one circuit that take anything, worst first."""
    beyond = [e for e in worst_effects(study) if not e.failure.circuit and e.failure.powers]
    columns = tuple(_columns(study))
    if not columns or not beyond:
        return ()
    found = [(one, tuple(outcome(one, column) for column in columns)) for one in beyond]
    rows = [(e, cells) for e, cells in found if set(cells) != {"kept"}]
    without = [e for e, cells in found if set(cells) == {"kept"}]
    if not rows:
        return ()
    rows.sort(key=lambda row: (-row[1].count("lost"), -row[1].count("reduced"), rank(row[0])))
    chart = MatrixChart(
        columns=tuple(MatrixColumn(name=c.name, group=c.group) for c in columns),
        rows=tuple(
            MatrixRow(name=e.failure.title, outcomes=cells, sign=_sign(study, e))
            for e, cells in rows
        ),
    )
    pictures = matrix_charts(chart)
    words = [_words(e, columns, cells) for e, cells in rows]
    if without:
        words.append(f"These take none of them: {listed([e.failure.title for e in without])}.")
    said = _said(study, len(rows), without)
    return tuple(
        Figure(
            id="chart-failures" if number == 1 else f"chart-failures-{number}",
            title="What each failure takes"
            + (f", {number} of {len(pictures)}" if len(pictures) > 1 else ""),
            drawing=picture,
            description=said if number == 1 else "Signs as in the first part.",
            words=tuple(words) if number == 1 else (),
        )
        for number, picture in enumerate(pictures, 1)
    )


def _columns(study: Study) -> Iterator[FailureColumn]:
    engine = engine_loads(study)
    if engine:
        yield FailureColumn(name="engine", group="engine", loads=engine)
    used = frozenset(name for effect in worst_effects(study) for name in effect.lost)
    for bus in study.document.buses:
        loads = used & {
            load
            for load, names in chains(study).feeds.items()
            if {chains(study).by_name[name].source_end for name in names} == {bus}
        }
        if loads:
            yield FailureColumn(name=study.system.title("buses", bus), group="buses", loads=loads)
    for name, entry in study.document.equipment.items():
        if entry.essential and name in chains(study).feeds:
            title = study.system.title("equipment", name)
            yield FailureColumn(name=title, group="loads", loads=frozenset({name}))


def outcome(effect: Effect, column: FailureColumn) -> Outcome:
    """What a failure does to a thing, in the worst phase of flight.

    Lost: for good, and nothing takes over; of a bus, all that hangs on it alone. Reduced: off or
    with too little voltage at once, until the pilot has changed over or a backup does its work.
    """
    loads, off, low = column.loads, frozenset(effect.lost), frozenset(effect.low)
    if column.group == "buses":  # what is shed after a failure is no loss
        lost = loads <= off & effect.dead
        reduced = loads <= off or bool(loads & low)
    else:
        lost = not loads.isdisjoint(effect.taken)
        reduced = not loads.isdisjoint(off | low)
    if lost:
        return "lost"
    if reduced:
        return "reduced"
    return "kept" if effect.solved else "unknown"


def _sign(study: Study, effect: Effect) -> str:
    return sign_of(verdict_of(study, effect.failure.about, "failure-single"))


def _words(effect: Effect, columns: Sequence[FailureColumn], cells: Sequence[Outcome]) -> str:
    parts: Mapping[Outcome, str] = {
        "lost": "lost", "reduced": "reduced", "unknown": "cannot tell", "kept": "kept",
    }  # fmt: skip
    which = {
        kind: [c.name for c, cell in zip(columns, cells, strict=True) if cell == kind]
        for kind in parts
    }
    said = [f"{parts[kind]}: {listed(names)}" for kind, names in which.items() if names]
    return f"{effect.failure.title[:1].upper()}{effect.failure.title[1:]}. {'; '.join(said)}."


def _said(study: Study, count: int, without: Sequence[Effect]) -> str:
    rest = f" {len(without)} more take none of them." if without else ""
    engine = (
        ""
        if engine_loads(study)
        else " The engine has no column: the file does not say that it needs electricity."
    )
    return (
        f"Rows: the {count} failures beyond one circuit that take something; columns: the buses "
        "with what hangs on each alone, and the essential loads. Lost: for good, and nothing takes "
        "over. Reduced: off or with too little voltage at once, until you have changed over, or "
        "while a backup does the work. Worst phase of flight. Failures within one circuit are in "
        f"their table. A sign before a row is that of failure-single.{engine}{rest}"
    )


__all__ = ["FailureColumn", "matrix_figures", "outcome"]
