"""The command `elec compare`."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec.cli.common import Print, Problem, deliver, options_of, printing, refused, the_system

if TYPE_CHECKING:
    from elec.attempt.compared import Compared
    from elec.read.reading import Reading
    from elec.study import Study

FAILED = 1


@click.command(short_help="What differs between two texts of a system.")
@click.argument("old", required=False)
@click.argument("new", required=False)
@click.option("--rev", metavar="REVISION", help="Compare with the system in a revision of git.")
@click.option("--all", "all_", is_flag=True, help="Every row of every table.")
@click.option("--deep", is_flag=True, help="Also follow whole flights through time; takes longer.")
@click.option("--sheet", is_flag=True, help="As a change sheet for the aircraft's record.")
@click.option("--reason", default="", metavar="TEXT", help="On the sheet: why it is changed.")
@printing
def compare(
    old: str | None,
    new: str | None,
    *,
    rev: str | None,
    all_: bool,
    deep: bool,
    sheet: bool,
    reason: str,
    how: Print,
) -> int:
    """What differs between two texts of a system, what matters first.

    \b
      elec compare my-plane.yaml             with its last issue
      elec compare as-flown.yaml my-plane.yaml
      elec compare HEAD~3:systems/foxglove systems/foxglove
      elec compare --rev HEAD~3 systems/foxglove
      elec compare my-plane-book my-plane.yaml
      elec compare OLD NEW --sheet --reason "second radio" -o change.pdf

    OLD and NEW are files, folders, books that elec wrote (each keeps its text), or REVISION:PATH as
    git has it. It names entries, wires, contacts and devices that differ, loads and margins by
    phase, minutes on the battery, verdicts, weight, and the work: wires to add, to take out, to
    replace, zones to open. With --sheet all of it is a form to be signed for the aircraft's record.
    Exit status 1 when something fails that does not fail in OLD.
    """  # noqa: D301 - the mark keeps click from filling these lines
    if reason and not sheet:
        raise Problem("--reason stands on the sheet; add --sheet")
    before, after, name = _both(old, new, rev, how)
    from elec.attempt.compared import compared
    from elec.pages.compare.page import compare_answer

    found = compared(before, after, deep=deep)
    if sheet:
        from elec.pages.compare.sheet import change_sheet

        issue = name if name.startswith("issue ") else ""
        section = change_sheet(found, reason=reason, issue=issue)
        _remark(found, reason)
    else:
        section = compare_answer(found, name, whole=all_ or how.output is not None)
    from msgspec.structs import replace

    deliver(section, how, replace(options_of(after, how, new or old), again=""))
    return FAILED if found.fails else 0


def _remark(found: "Compared", reason: str) -> None:
    """Say what the sheet lacks; on it there is a line to write on."""
    from elec.pages.compare.page import nothing_differs

    if nothing_differs(found):
        click.echo(
            "Nothing differs between the two texts: the sheet has no change on it.", err=True
        )
    if not reason.strip():
        said = 'The sheet says no reason; write it by hand, or add --reason "second radio".'
        click.echo(said, err=True)


def _both(
    old: str | None, new: str | None, rev: str | None, how: Print
) -> tuple["Study", "Study", str]:
    """The older and the newer system, and what the older is called."""
    from elec.read.kept.earlier import read_earlier, read_revision

    if rev is not None:
        if new is not None:
            raise Problem("--rev compares one system with itself as it was; name one")
        path = the_system(old)
        return (
            _study(read_revision(path, rev), how),
            _study(read_earlier(str(path)), how),
            f"revision {rev}",
        )
    if new is None:
        return _since_issue(the_system(old), how)
    if old is None or not old.strip() or not new.strip():
        raise Problem('An empty name ("") names no system')
    return _study(read_earlier(old), how), _study(read_earlier(new), how), _short(old)


def _since_issue(path: Path, how: Print) -> tuple["Study", "Study", str]:
    """The last issue of a system, and the system."""
    from elec.read.kept.earlier import read_earlier
    from elec.read.kept.issues import BrokenIssue, issues_of

    after = _study(read_earlier(str(path)), how)
    try:
        issues = issues_of(path)
    except BrokenIssue as error:
        raise Problem(str(error)) from None
    if not issues:
        raise Problem(
            "Nothing is issued yet to compare with. Name two, elec compare OLD NEW; or a revision, "
            "elec compare --rev REVISION SYSTEM; or freeze this text first, elec issue SYSTEM "
            '--reason "first flight" --date DATE'
        )
    return _study(issues[-1].read(), how), after, issues[-1].name


def _short(name: str) -> str:
    return name if ":" in name and not Path(name).exists() else Path(name).as_posix()


def _study(reading: "Reading", how: Print) -> "Study":
    from elec.study import Study

    if reading.system is None or reading.mistakes:
        raise refused(reading.mistakes, reading.summary(), how)
    return Study(reading.system)
