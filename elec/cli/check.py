"""The command `elec check`."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from elec.cli.common import Print, Problem, deliver, no_such, options_of, printing, study_of

if TYPE_CHECKING:
    from elec.finding import Finding

FAILED = 1


@click.command(short_help="Is it sound? What fails, and what to do.")
@click.argument("system", required=False)
@click.option("--all", "everything", is_flag=True, help="List what passes, too.")
@click.option("--why", nargs=2, metavar="CHECK ABOUT", help="How one finding was worked out.")
@click.option("--deep", is_flag=True, help="Also follow whole flights through time; takes longer.")
@printing
def check(
    system: str | None, everything: bool, why: tuple[str, str] | None, deep: bool, how: Print
) -> int:
    """Is the system sound? What fails, by how much, and what to do about it.

    Exit status 1 when something fails.
    """
    from elec.check import checks as all_checks
    from elec.check import run as findings_of
    from elec.report.answers import findings_answer, why_answer

    study = study_of(system, how)
    left = [one.id for one in all_checks() if one.deep and not deep]
    if why is not None and why[0] in left:
        left = []
    findings = findings_of(study, deep=not left)
    options = options_of(study, how, system)
    if why is None:
        section = findings_answer(study, findings, left)
        deliver(section, how, replace(options, passes=everything))
    else:
        asked = _asked(findings, *why)
        deliver(why_answer(asked), how, replace(options, passes=True, again=""))
    return FAILED if any(finding.verdict == "fail" for finding in findings) else 0


def _asked(findings: "Sequence[Finding]", check_: str, about: str) -> "list[Finding]":
    """The findings of a check about one thing."""
    of_check = [finding for finding in findings if finding.check == check_]
    if not of_check:
        raise Problem(no_such("check", check_, sorted({finding.check for finding in findings})))
    found = [finding for finding in of_check if finding.about == about]
    if not found:
        known = sorted({finding.about for finding in of_check})
        raise Problem(no_such(f"{check_} about", about, known))
    return found
