"""The command `elec measured`."""

from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec.cli.common import (
    Print,
    Problem,
    deliver,
    no_such,
    options_of,
    printing,
    refused,
    study_of,
    the_system,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from elec.answers.doubt.log_replay import LogSubjects
    from elec.read.edit import Edits
    from elec.study import Study


@click.command(short_help="What was measured, beside what was expected.")
@click.argument("system", required=False)
@click.option(
    "--from",
    "source",
    type=click.Path(path_type=Path),
    metavar="LIST",
    help="Readings from a .csv or .xlsx: load, amps, volts.",
)
@click.option(
    "--log",
    type=click.Path(path_type=Path),
    metavar="CSV",
    help="The log of an engine monitor: time, rpm, volts, amps.",
)
@click.option("--at", metavar="BUS", help="Of a log: the bus or battery whose volts it has.")
@click.option("--alternator", metavar="NAME", help="Of a log: whose amperes, of several.")
@click.option("--battery", metavar="NAME", help="Of a log: whose amperes, of several.")
@click.option("--write", is_flag=True, help="Write what the list or log says into the files.")
@click.option("--column", multiple=True, metavar="KIND=C", help="load=A, amps=C, volts=none.")
@click.option("--sheet", metavar="NAME", help="The sheet of a workbook that has several.")
@printing
def measured(
    system: str | None,
    *,
    source: Path | None,
    log: Path | None,
    at: str | None,
    alternator: str | None,
    battery: str | None,
    write: bool,
    column: tuple[str, ...],
    sheet: str | None,
    how: Print,
) -> int:
    """Every measured value beside the expected one; what is off, and the likely cause.

    Write them under `measured:` (amps, volts, ohms of equipment, buses, sources, grounds) and in
    `build:` (cut, ohms, insulation of a wire). They count in place of computed values in
    everything else. With --from a list says them: what would turn from typical to measured is
    shown, and --write puts it into the files. With --log an engine monitor's log is put beside the
    model: battery at rest and at each start, what the regulator holds, what the alternator gives
    hot, loads that step; what is not sure is not told.
    """
    if log is not None:
        if source is not None or sheet is not None:
            raise Problem("--log reads a log, --from a list; ask for one of them")
        of = (at, alternator, battery)
        return _logged(system, log, of, column=column, write=write, how=how)
    if at or alternator or battery:
        raise Problem("--at, --alternator and --battery go with a log: --log engine.csv")
    if source is not None:
        return _listed(system, source, column=column, sheet=sheet, write=write, how=how)
    if write or column or sheet is not None:
        raise Problem("--write, --column and --sheet go with a list: --from readings.csv")
    from elec.answers.doubt.measured import comparisons
    from elec.pages.answers import tables_answer
    from elec.pages.closing.table import measured as table_of
    from elec.pages.closing.table import notes

    study = study_of(system, how)
    found = comparisons(study)
    off = [one for one in found if one.agrees is False]
    if not found:
        leads: tuple[str, ...] = (
            (
                "Nothing is measured yet. Such as: measured: {beacon: {amps: 1.4 A}}; "
                "elec done SYSTEM L31A --ohms 210mΩ"
            ),
        )
    elif off:
        names = ", ".join(dict.fromkeys(one.title for one in off))
        leads = (f"{len(off)} of {len(found)} measured values are off: {names}.",)
    else:
        leads = (f"All {len(found)} measured values agree with what was computed.",)
    tables = (*((table_of(study),) if found else ()), *notes(study))
    deliver(tables_answer(study, "measured", tables, leads), how, options_of(study, how, system))
    return 0


def _listed(
    system: str | None,
    source: Path,
    *,
    column: tuple[str, ...],
    sheet: str | None,
    write: bool,
    how: Print,
) -> int:
    """Take the readings of a list, or show what they would change."""
    from elec.pages.closing.from_list import readings_answer
    from elec.read.edit import Edits
    from elec.read.lists.readings import take_readings

    path = the_system(system)
    study = study_of(str(path), how)
    with _told("Nothing was written."):
        edits = Edits.of(path)
        taken, notes = take_readings(edits, source, asked=column, sheet=sheet)
        diff, written = _put(edits, write=write, how=how)
    answer = readings_answer(study, taken, notes, diff=diff, written=written)
    deliver(answer, how, options_of(study, how, system))
    return 0


@contextmanager
def _told(last: str) -> "Iterator[None]":
    """What a list or the files cannot do becomes a message, with these words behind it."""
    from elec.read.edit import CannotEdit, CannotSave
    from elec.read.lists.grid import ListRefused
    from elec.write.values import clean

    try:
        yield
    except ListRefused as error:
        said = [*error.messages, last]
        raise Problem("\n".join(clean(text) for text in said)) from None
    except (CannotEdit, CannotSave) as error:
        raise Problem(str(error)) from None


def _put(edits: "Edits", *, write: bool, how: Print) -> tuple[str, tuple[str, ...]]:
    """What differs, and the files that were written, where that was asked."""
    reading = edits.reading()
    if reading.mistakes:
        raise refused(reading.mistakes, "Nothing was written.", how)
    return edits.diff(), tuple(file.name for file in edits.write()) if write else ()


def _logged(
    system: str | None,
    source: Path,
    of: tuple[str | None, str | None, str | None],
    *,
    column: tuple[str, ...],
    write: bool,
    how: Print,
) -> int:
    """Put an engine monitor's log beside the model, and write what it says where asked."""
    from elec.answers.doubt.log_replay import LogColumns, replay
    from elec.pages.closing.from_log import log_answer
    from elec.read.edit import Edits
    from elec.read.lists.log import put_log, read_log

    path = the_system(system)
    study = study_of(str(path), how)
    with _told("Nothing was read from it."):
        log = read_log(source, column)
        subjects = _subjects(study, of, log.heads)
        columns = LogColumns(
            time_s=log.time_s,
            volts=log.columns["volts"],
            rpm=log.columns.get("rpm"),
            alternator_a=log.columns.get("alternator-amps"),
            battery_a=log.columns.get("battery-amps"),
            battery_head=log.heads.get("battery-amps", ""),
        )
        found = replay(study, columns, subjects)
        edits = Edits.of(path)
        put_log(edits, [one for row in found.rows for one in row.writes])
        diff, written = _put(edits, write=write, how=how)
    notes = [f"Read: {log.read_as}; {len(log.time_s)} rows. Volts at {subjects.at}."]
    notes += [f"{count} empty cells of {kind} are left out." for kind, count in log.missing.items()]
    answer = log_answer(study, found, notes, diff=diff, written=written)
    deliver(answer, how, options_of(study, how, system))
    return 0


def _subjects(
    study: "Study", of: tuple[str | None, str | None, str | None], heads: "Mapping[str, str]"
) -> "LogSubjects":
    """What the columns are of: as asked, as a head names it, or the only one there is."""
    from elec.answers.base.bodies import batteries
    from elec.answers.doubt.log_replay import LogSubjects

    sources = study.document.sources
    alternators = [name for name, one in sources.items() if one.kind == "alternator"]
    held = list(batteries(study))
    buses = list(study.document.buses)
    at, alternator, battery = of
    return LogSubjects(
        at=_one(study, "--at", at, [*buses, *held], heads.get("volts", "")),
        alternator=_one(
            study, "--alternator", alternator, alternators, heads.get("alternator-amps", "")
        ),
        battery=_one(study, "--battery", battery, held, heads.get("battery-amps", "")),
    )


def _one(
    study: "Study",
    option: str,
    asked: str | None,
    known: list[str],
    head: str,
) -> str:
    if asked is not None:
        if asked not in known:
            raise Problem(f"{option} " + no_such("thing to read", asked, known))
        return asked
    words = set(head.lower().replace("(", " ").replace("-", " ").split())
    named = [n for n in known if {*n.split("-")} <= words or {*_words(study, n)} <= words]
    if named:
        return max(named, key=len)
    least = [name for name in known if option != "--at" or name in study.document.buses]
    if len(least) > 1:
        what = f'"{head}" does not say which one it is' if head else "which one is read is not said"
        raise Problem(f"{what}; say {option} NAME: {', '.join(known)}")
    return least[0] if least else ""


def _words(study: "Study", name: str) -> list[str]:
    for section in ("buses", "sources"):
        if name in getattr(study.document, section):
            return study.system.title(section, name).lower().split()
    return [name]
