"""The command `elec book`."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec.cli.common import Problem, on_paper, read_system, the_system

if TYPE_CHECKING:
    from elec.finding import Finding
    from elec.model.system import System
    from elec.pages.binder import Purpose
    from elec.pages.issues import Past
    from elec.study import Study


@click.command(short_help="Write the wiring book.")
@click.argument("system", required=False)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="OUT",
    help="A folder, or a file .pdf or .html; default: the system's name with -book.",
)
@click.option(
    "--for",
    "purpose",
    type=click.Choice(["aircraft", "bench", "inspector", "all"]),
    default="all",
    help="Only the papers that stay with the aircraft, lie on the bench, or go to the inspector: "
    "a PDF for a binder. Default: all.",
)
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="Paper to print on.")
@click.option("--force", is_flag=True, help="Replace a book in which files were changed by hand.")
def book(
    system: str | None, output: Path | None, purpose: "Purpose", paper: str | None, force: bool
) -> int:
    """Write the wiring book: one page to read and print, drawings, tables.

    The folder holds book.html (open it in any browser), drawings.pdf with every sheet, the same
    sheets as SVG, the tables as CSV and XLSX, book.json for programs, and under text/ your own
    files as they were read, so that elec compare can say later what differs. With -o book.pdf the
    whole book is one PDF with contents and page numbers, to print for the binder. With --for it is
    a binder for one purpose: what somebody needs at the aircraft, at the bench or to inspect it,
    and nothing twice.
    """
    from elec.study import Study

    path = the_system(system)
    texts = _texts(path)
    study = Study(on_paper(_read(path, texts), paper))
    from elec.answers.build.care import cautions_for
    from elec.answers.failures.failures import flight_effects
    from elec.answers.time.endurance import both_endurances
    from elec.check import run as findings_of
    from elec.pages.book import book as book_of
    from elec.write.files import CannotWrite, write_file
    from elec.write.folder import write_book
    from elec.write.register import Options, by_ending
    from elec.write.to_text import counts

    flight_effects(study)  # before the checks, which ask for a part of it
    both_endurances(study)  # before what asks for one of the two
    findings = findings_of(study)
    options = Options(
        units=study.document.system.units, passes=True, cautions=cautions_for(study, "book")
    )
    stem = path.resolve().stem
    out = output or Path(f"{stem}-book" if purpose == "all" else f"{stem}-{purpose}.pdf")
    form = by_ending(out) if out.suffix and not out.is_dir() else None
    printed = form is not None and form.name == "pdf"
    past = _past(path, study, findings)
    made = book_of(study, findings=findings, purpose=purpose, on_paper=printed, past=past)
    try:
        if form is not None:
            write_file(out, form.write(made, options), force=force)
            click.echo(f"Wrote {out}.")
        else:
            from elec.drawings.from_study import drawings
            from elec.read.kept.earlier import TEXT
            from elec.write.drawn import sheets_pdf_of

            sheets = sheets_pdf_of(study, drawings(study).drawings)
            kept = {f"{TEXT}/{file.name}": content for file, content in texts.items()}
            extra = {"drawings.pdf": sheets, **kept}
            written = write_book(made, out, options, extra=extra, force=force)
            click.echo(f"Wrote {len(written.files)} files to {out}; open {out / 'book.html'}.")
    except CannotWrite as error:
        raise Problem(str(error)) from error
    click.echo(counts(findings))
    return 0


def _texts(path: Path) -> dict[Path, bytes]:
    """The builder's own files as they stand; empty where they cannot be read, which is told."""
    from elec.read import files_of
    from elec.read.text import LARGEST_BYTES, size_of

    files = files_of(path)
    if sum(size_of(file) for file in files) > LARGEST_BYTES:
        return {}
    try:
        return {file: file.read_bytes() for file in files}
    except OSError:
        return {}


def _read(path: Path, texts: dict[Path, bytes]) -> "System":
    """The system from the very bytes that the book keeps; mistakes end the command."""
    from elec.read import read_texts

    found = read_texts(texts) if texts else None
    if found is None or found.system is None or found.mistakes:
        return read_system(path, None)
    return found.system


def _past(path: Path, study: "Study", findings: "tuple[Finding, ...]") -> "Past | None":
    """What was issued before, and what differs since the last issue."""
    from elec.attempt.compared import compared
    from elec.pages.issues import Past
    from elec.read.kept.issues import BrokenIssue, issues_of
    from elec.study import Study

    try:
        issues = issues_of(path)
    except BrokenIssue as error:
        raise Problem(str(error)) from None
    if not issues:
        return None
    before = issues[-1].read().system
    if before is None:
        return Past(issues=issues)
    since = compared(Study(before), study, deep=True, findings=findings)
    return Past(issues=issues, since=since)
