"""The command `elec measured`."""

from pathlib import Path

import click

from elec.cli.common import (
    Print,
    Problem,
    deliver,
    options_of,
    printing,
    refused,
    study_of,
    the_system,
)


@click.command(short_help="What was measured, beside what was expected.")
@click.argument("system", required=False)
@click.option(
    "--from",
    "source",
    type=click.Path(path_type=Path),
    metavar="LIST",
    help="Readings from a .csv or .xlsx: load, amps, volts.",
)
@click.option("--write", is_flag=True, help="Write the readings of the list into the files.")
@click.option("--column", multiple=True, metavar="KIND=C", help="load=A, amps=C, volts=none.")
@click.option("--sheet", metavar="NAME", help="The sheet of a workbook that has several.")
@printing
def measured(
    system: str | None,
    *,
    source: Path | None,
    write: bool,
    column: tuple[str, ...],
    sheet: str | None,
    how: Print,
) -> int:
    """Every measured value beside the expected one; what is off, and the likely cause.

    Write them under `measured:` (amps, volts, ohms of equipment, buses, sources, grounds) and in
    `build:` (cut, ohms, insulation of a wire). They count in place of computed values in
    everything else. With --from a list says them: what would turn from typical to measured is
    shown, and --write puts it into the files.
    """
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
    from elec.read.edit import CannotEdit, CannotSave, Edits
    from elec.read.lists.grid import ListRefused
    from elec.read.lists.readings import take_readings
    from elec.write.values import clean

    path = the_system(system)
    study = study_of(str(path), how)
    try:
        edits = Edits.of(path)
        taken, notes = take_readings(edits, source, asked=column, sheet=sheet)
        reading = edits.reading()
        if reading.mistakes:
            raise refused(reading.mistakes, "Nothing was written.", how)
        diff = edits.diff()
        written = tuple(file.name for file in edits.write()) if write else ()
    except ListRefused as error:
        said = [*error.messages, "Nothing was written."]
        raise Problem("\n".join(clean(text) for text in said)) from None
    except (CannotEdit, CannotSave) as error:
        raise Problem(str(error)) from None
    answer = readings_answer(study, taken, notes, diff=diff, written=written)
    deliver(answer, how, options_of(study, how, system))
    return 0
