"""What the log of an engine monitor says beside the model, before or after it is written."""

from collections.abc import Sequence

from elec.answers.doubt.log_replay import LogRow, Replay
from elec.pages.answers import headline
from elec.pages.columns import count, listed, text
from elec.pages.document import Block, Items, Paragraph, Section, TableBlock
from elec.pages.table import Table, Value
from elec.study import Study

DIGITS = {"V": 2, "A": 1, "mΩ": 2}
NO_PROOF = (
    "What the log says holds for the readings of that monitor: its shunts and its voltage are as "
    "right as they were set. Check them with a meter before a value of it counts."
)


def log_answer(
    study: Study, found: Replay, notes: Sequence[str], *, diff: str, written: Sequence[str]
) -> Section:
    """Model and log side by side, what cannot be told, and the lines that hold what can.

    Args:
        study: the run, as it was before.
        found: the log beside the model.
        notes: what was read as what.
        diff: the lines that hold it; empty where nothing is to be written.
        written: names of the files that were written.
    """
    told = [row for row in found.rows if row.read is not None]
    untold = [row for row in found.rows if row.read is None and not row.writes]
    blocks: list[Block] = [Paragraph(text=note, kind="note") for note in (*notes, *found.notes)]
    blocks.insert(0, Paragraph(text=_lead(told, untold), kind="lead"))
    if told:
        blocks.append(TableBlock(table=log_table(told)))
    if untold:
        blocks.append(Paragraph(text="Cannot be told from this log:"))
        blocks.append(Items(items=tuple(f"{row.what}: {row.why}." for row in untold)))
    turning = [row for row in found.rows if row.writes]
    if turning:
        blocks.append(TableBlock(table=turning_table(turning)))
    if diff:
        said = (
            f"Written into {', '.join(written)}."
            if written
            else "Nothing was written. Add --write to put these lines into the files."
        )
        blocks += [Paragraph(text=diff, kind="verbatim"), Paragraph(text=said)]
    else:
        blocks.append(Paragraph(text="There is nothing to write."))
    blocks.append(Paragraph(text=NO_PROOF, kind="note"))
    return Section(id="measured", title=headline(study), blocks=tuple(blocks), new_page=False)


def _lead(told: Sequence[LogRow], untold: Sequence[LogRow]) -> str:
    first = f"{len(told)} values can be told from the log" if told else "Nothing can be told"
    return f"{first}; {len(untold)} cannot, and are not guessed."


def log_table(rows: Sequence[LogRow]) -> Table:
    """A row a value: read, expected, residual, and how sure."""
    return Table(
        id="log",
        title="Log beside model",
        columns=(
            text("what", "What"),
            text("read", "Log"),
            text("spread", "Spread"),
            text("expected", "Model"),
            text("residual", "Log less model"),
            text("basis", "Model's basis", 2),
            count("samples", "Readings", 2),
            text("when", "At", 2),
            text("remark", "Remark"),
        ),
        rows=tuple(_row(row) for row in rows),
        note=(
            "Spread: one standard deviation of a fit or a level, half of the width of points and "
            "of several starts. Model: as designed, nothing measured in it; of a battery at rest "
            "its full charge. At: minutes and seconds from the first row on."
        ),
    )


def _row(row: LogRow) -> tuple[Value, ...]:
    return (
        row.what,
        _said(row.read, row.unit),
        f"± {_said(row.spread, row.unit)}" if row.spread else "",
        _said(row.expected, row.unit),
        _said(row.residual, row.unit, sign=True),
        row.basis,
        row.samples,
        _when(row),
        row.why,
    )


def _said(value: float | None, unit: str, *, sign: bool = False) -> str | None:
    if value is None:
        return None
    return f"{value:{'+' if sign else ''}.{DIGITS.get(unit, 2)}f} {unit}".strip()


def _when(row: LogRow) -> str:
    if row.when is None:
        return ""
    first, last = (_clock(second) for second in row.when)
    return first if first == last else f"{first} to {last}"


def _clock(seconds: float) -> str:
    """Minutes and seconds from the first row on.

    >>> _clock(754.2)
    '12:34'
    """
    minutes, rest = divmod(int(seconds), 60)
    return f"{minutes}:{rest:02d}"


def turning_table(rows: Sequence[LogRow]) -> Table:
    """Which values of the file would be measured ones."""
    return Table(
        id="log-turning",
        title="What would turn into measured values",
        columns=(text("value", "Value"), text("basis", "Basis now"), text("becomes", "Becomes")),
        rows=tuple(
            (".".join(str(part) for part in path), row.basis, _written(value))
            for row in rows
            for path, value in row.writes
        ),
    )


def _written(value: object) -> str:
    if isinstance(value, dict):
        return listed([f"{key}: {one}" for key, one in value.items()])
    return str(value)
