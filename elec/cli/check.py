"""The command `elec check`."""

from dataclasses import replace

import click

from elec.cli.common import Print, deliver, options_of, printing, study_of

FAILED = 1


@click.command(short_help="Is it sound? What fails, and what to do.")
@click.argument("system", required=False)
@click.option("--all", "everything", is_flag=True, help="List what passes, too.")
@click.option("--deep", is_flag=True, help="Also follow whole flights through time; takes longer.")
@printing
def check(system: str | None, everything: bool, deep: bool, how: Print) -> int:
    """Is the system sound? What fails, by how much, and what to do about it.

    Exit status 1 when something fails.
    """
    from elec.check import checks as all_checks
    from elec.check import run as findings_of
    from elec.report.answers import findings_answer

    study = study_of(system, how)
    left = [one.id for one in all_checks() if one.deep and not deep]
    findings = findings_of(study, deep=not left)
    options = options_of(study, how, system)
    deliver(findings_answer(study, findings, left), how, replace(options, passes=everything))
    return FAILED if any(finding.verdict == "fail" for finding in findings) else 0
