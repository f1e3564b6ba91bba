"""The command `elec issue`."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec import __version__
from elec.cli.common import (
    Print,
    Problem,
    day,
    deliver,
    options_of,
    printing,
    read_system,
    the_system,
)

if TYPE_CHECKING:
    from elec.read.kept.issues import Issue
    from elec.study import Study


@click.command(short_help="Freeze the text as an issue, with the reason; list the issues.")
@click.argument("system", required=False)
@click.option("--reason", metavar="TEXT", help="Why it is issued; without it, issues are listed.")
@click.option("--date", metavar="DATE", help="Its date, 2031-05-04; no clock is asked.")
@printing
def issue(system: str | None, *, reason: str | None, date: str | None, how: Print) -> int:
    """Freeze the text as it stands, so that every later text can be held against it.

    \b
      elec issue my-plane --reason "first flight" --date 2031-05-04
      elec compare my-plane            what differs since
      elec issue my-plane              the issues there are

    The files are copied as they are into issues/ in the system's folder (of a file NAME.yaml, into
    NAME-issues/ beside it), each issue in a folder of its own, with date, reason and digests. It is
    refused where nothing differs from the last issue. The book lists the issues in its change
    record and begins with what differs since the last.
    """  # noqa: D301 - the mark keeps click from filling these lines
    from elec.read.kept.issues import BrokenIssue, issues_of
    from elec.study import Study

    path = the_system(system)
    study = Study(read_system(path, how))
    try:
        known = issues_of(path)
        if reason is None and date is None:
            from elec.pages.issues import issues_answer

            deliver(issues_answer(study, known), how, options_of(study, how, system))
            return 0
        _freeze(path, study, known, _words(reason, "--reason"), _words(date, "--date"))
    except BrokenIssue as error:
        raise Problem(str(error)) from None
    return 0


def _words(given: str | None, option: str) -> str:
    if given is None or not given.strip():
        asks = '--reason "second radio"' if option == "--reason" else "--date 2031-05-04"
        raise Problem(f"An issue has a reason and a date; add {asks}")
    if not given.isprintable():
        raise Problem(f"{option}: write it in one line")
    return given.strip() if option == "--reason" else day(given, option)


def _freeze(path: Path, study: "Study", known: "tuple[Issue, ...]", reason: str, date: str) -> None:
    from elec.pages.book import digest_of
    from elec.read.kept.issues import folder_of, frozen
    from elec.study import Study
    from elec.write.files import CannotWrite, write_files

    digest = digest_of(study)
    last = known[-1] if known else None
    if last is not None:
        before = last.read().system
        if before is not None and digest_of(Study(before)) == digest:
            raise Problem(
                f"Nothing differs from {last.name} ({last.date}, {last.reason}) but words and "
                "remarks of the files; there is nothing to issue"
            )
    number = last.number + 1 if last else 1
    about = {
        "date": date, "reason": reason, "revision": study.system.about.revision,
        "digest": digest, "elec": __version__,
    }  # fmt: skip
    folder = folder_of(path, number)
    try:
        files = frozen(path, number, about)
        folder.parent.mkdir(exist_ok=True)
        if folder.exists():
            raise Problem(f"{folder} is there already, without a note; move it away first")
        write_files(folder, files)
    except (CannotWrite, OSError) as error:
        raise Problem(str(error)) from error
    click.echo(f"Wrote issue {number} to {folder}: {reason}.")
    if last is not None and date < last.date:
        click.echo(f"Its date, {date}, is before that of {last.name}, {last.date}. Is that meant?")
