"""The command `elec check`."""

from typing import TYPE_CHECKING

import click

from elec.cli.common import Print, Problem, deliver, no_subject, options_of, printing, study_of

if TYPE_CHECKING:
    from elec.finding import Finding
    from elec.study import Study

FAILED = 1


@click.command(short_help="Is it sound? What fails, and what to do.")
@click.argument("system", required=False)
@click.option("--all", "everything", is_flag=True, help="List what passes, too.")
@click.option("--fails", is_flag=True, help="Only what fails.")
@click.option(
    "--about",
    metavar="SUBJECT",
    help="Only what is about one thing: a name, a wire's mark, a circuit, a way, a check.",
)
@click.option("--deep", is_flag=True, help="Also follow whole flights through time; takes longer.")
@printing
def check(  # noqa: PLR0917 - click passes them by name
    system: str | None, everything: bool, fails: bool, about: str | None, deep: bool, how: Print
) -> int:
    """Is the system sound? What fails, by how much, and what to do about it.

    What stops the engine stands first, then what takes an essential bus, then heat. Exit status 1
    when something of what is listed fails.
    """
    from elec.check import checks as all_checks
    from elec.check import run as findings_of
    from elec.check import silent
    from elec.pages.answers import findings_answer
    from elec.pages.waiting import folded

    if everything and fails:
        raise click.UsageError("--all and --fails contradict each other.")
    study = study_of(system, how)
    left = [one.id for one in all_checks() if one.deep and not deep]
    findings = findings_of(study, deep=not left)
    listed = findings if about is None else _about(study, findings, about)
    hidden = 0
    if fails:
        hidden = sum(f.verdict not in ("fail", "pass", "accepted") for f in listed)
        listed = tuple(finding for finding in listed if finding.verdict == "fail")
    from msgspec.structs import replace

    options = replace(options_of(study, how, system), passes=everything or about is not None)
    whole = not fails and about is None
    quiet = [one for one in silent(findings, deep=not left) if one[1]] if whole else []
    if whole and not everything and how.output is None and how.format in (None, "text"):
        listed = folded(study, listed)
    deliver(findings_answer(study, listed, left, hidden=hidden, not_given=quiet), how, options)
    return FAILED if any(finding.verdict == "fail" for finding in listed) else 0


def _about(study: "Study", findings: "tuple[Finding, ...]", name: str) -> "tuple[Finding, ...]":
    """The findings about one thing, or of one check."""
    from elec.answers.build.concerns import concerns
    from elec.check import ids

    if name in ids():
        return tuple(finding for finding in findings if finding.check == name)
    is_about = concerns(study, name)
    if is_about is None:
        raise Problem(no_subject(study, name))
    return tuple(finding for finding in findings if is_about(finding))
