"""The command `elec draw`."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec.cli.common import (
    TEXTS,
    Print,
    Problem,
    deliver,
    no_such,
    on_paper,
    options_of,
    read_system,
    the_system,
)

if TYPE_CHECKING:
    from elec.drawings.from_study import Drawing, Planned
    from elec.study import Study


@click.command(short_help="Draw one sheet, some, or all.")
@click.argument("system", required=False)
@click.argument("subjects", metavar="[SUBJECT]...", nargs=-1)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="OUT",
    help="A folder for a file a sheet, one file .pdf, or .svg for a single sheet.",
)
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="Paper to draw for.")
@click.option("--force", is_flag=True, help="Replace files that elec did not write.")
def draw(
    system: str | None,
    subjects: tuple[str, ...],
    output: Path | None,
    paper: str | None,
    force: bool,
) -> int:
    """Draw sheets: of a SUBJECT, or all; without -o list what there is to draw.

    A SUBJECT is one-line, interconnect, circuits, grounds, routes, panels, connectors or
    legend, or the name of a circuit, of equipment, of a connector (radio.J1) or a
    sheet (C12).
    """
    from elec.drawings.choose import UnknownSubjectError, choose
    from elec.drawings.from_study import draw as made
    from elec.drawings.from_study import in_set
    from elec.study import Study
    from elec.write.files import CannotWrite

    if system is not None and not Path(system).exists() and Path(system).suffix not in TEXTS:
        subjects, system = (system, *subjects), None
    path = the_system(system)
    study = Study(on_paper(read_system(path, None), paper))
    try:
        chosen = choose(study, subjects)
    except UnknownSubjectError as error:
        raise Problem(no_such("drawing of", error.name, error.known)) from error
    if output is None:
        _list(study, chosen, system)
        return 0
    if path.is_dir() and output.is_dir() and output.samefile(path):
        raise Problem(f"{output} holds the system itself; name another folder for the drawings")
    try:
        drawn = _asked([made(study, one) for one in chosen], subjects)
        _write(study, drawn if subjects else in_set(drawn), output, force=force)
    except CannotWrite as error:
        raise Problem(str(error)) from error
    return 0


def _asked(drawn: "list[Drawing]", subjects: "Sequence[str]") -> "list[Drawing]":
    """The drawings; of one that is named by a later sheet of its own alone, that sheet."""
    from msgspec.structs import replace

    from elec.drawings.choose import is_sheet

    later = {name for name in subjects if is_sheet(name)}
    there = {sheet.title.label for one in drawn for sheet in one.sheets}
    if missing := sorted(later - there):
        shown = ", ".join(sheet.title.label for one in drawn for sheet in one.sheets)
        raise Problem(f"There is no sheet {missing[0]}; there are {shown}")
    found = []
    for one in drawn:
        labels = [sheet.title.label for sheet in one.sheets]
        whole = {labels[0], one.kind, one.about, *one.names} & set(subjects)
        named = later & set(labels)
        sheets = [s for s in one.sheets if whole or not named or s.title.label in named]
        found.append(replace(one, sheets=tuple(sheets)))
    return found


def _list(study: "Study", chosen: "Sequence[Planned]", system: str | None) -> None:
    from elec.drawings.choose import KINDS, subject
    from elec.pages.columns import text
    from elec.pages.document import Section, TableBlock
    from elec.pages.table import Table

    how = Print(output=None, format=None, color="auto", wide=False, force=False)
    table = Table(
        id="drawings",
        title="What there is to draw",
        columns=(text("sheet", "Sheet"), text("kind", "Kind"), text("subject", "Subject"),
                 text("title", "Title")),
        rows=tuple((one.first, KINDS[one.kind], subject(one), _titled(one)) for one in chosen),
        note="elec draw SYSTEM SUBJECT... -o sheets.pdf draws them; a sheet's name is a subject, "
        "also of one that goes on from another: C1.2, G2.",
    )  # fmt: skip
    section = Section(id="drawings", title=table.title, blocks=(TableBlock(table=table),))
    deliver(section, how, options_of(study, how, system))


def _titled(one: "Planned") -> str:
    """The title, and of a drawing that several share their names, each a subject, too."""
    shared = one.kind in ("circuit", "connector") and len(one.names) > 1
    return f"{one.title}: {', '.join(one.names)}" if shared else one.title


def _write(study: "Study", drawings: "Sequence[Drawing]", out: Path, *, force: bool) -> None:
    """Write the drawings into a file or a folder, by the ending of its name."""
    from elec.write.drawn import sheet_files, sheets_pdf_of
    from elec.write.files import write_file, write_files

    if out.suffix.lower() == ".pdf":
        write_file(out, sheets_pdf_of(study, drawings), force=force)
        click.echo(f"Wrote {out}: {_counted(sum(len(d.sheets) for d in drawings))}.")
        return
    files = sheet_files(drawings)
    if out.suffix.lower() == ".svg":
        if len(files) > 1:
            names = ", ".join(s.title.label for d in drawings for s in d.sheets)
            raise Problem(
                f"{out} holds one sheet, and these are {len(files)}: {names}. "
                "Name one of them, or write a folder or a .pdf"
            )
        write_file(out, next(iter(files.values())), force=force)
        click.echo(f"Wrote {out}.")
        return
    if out.suffix and not out.is_dir():
        raise Problem(f"{out}: drawings are written as .pdf or .svg, or into a folder")
    write_files(out, files, force=force)
    click.echo(f"Wrote {_counted(len(files))} to {out}.")


def _counted(count: int) -> str:
    return f"{count} sheet{'s' if count != 1 else ''}"
