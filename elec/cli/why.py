"""The command `elec why`."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from elec.cli.common import Print, Problem, deliver, no_such, options_of, printing, study_of

if TYPE_CHECKING:
    from elec.finding import Finding
    from elec.report.document import Section
    from elec.study import Study


@click.command(short_help="How a number came about, to follow with a pocket calculator.")
@click.argument("system")
@click.argument("subject")
@click.argument("about", required=False)
@printing
def why(system: str, subject: str, about: str | None, how: Print) -> int:
    """Work out by hand what elec says about one thing: the answer, then every step.

    SUBJECT is whatever has a name in a table, on a drawing or on a wire: a wire's mark (L31A22), a
    circuit, "radio breaker", a piece of equipment, bus, feeder, source, ground, switch, cable,
    connector (radio.J1), contact (radio.J1.1), a way ("panel to belly"), a place, a phase.

    SUBJECT is a check and ABOUT what a finding is about: elec why SYSTEM wire-drop landing-light.
    With a kind as SUBJECT, only things of that kind are meant: elec why SYSTEM circuit radio.
    """
    study = study_of(system, how)
    options = options_of(study, how, system)
    deliver(_answer(study, subject, about), how, replace(options, passes=True, again=""))
    return 0


def _answer(study: "Study", subject: str, about: str | None) -> "Section":
    from elec.analyses.why_names import KINDS, find, plain
    from elec.check import ids
    from elec.report.why import why_answer

    first, _, rest = subject.partition(" ")
    if about is None and rest and plain(first) in {plain(one) for one in KINDS}:
        subject, about = first, rest.strip()
    kind = plain(subject)
    if about is not None and kind in {plain(one) for one in KINDS}:
        found = [one for one in find(study, about) if plain(one.kind) == kind]
        if found or not find(study, f"{subject} {about}"):
            if not found:
                raise Problem(_unknown(study, about, f"{subject} "))
            return why_answer(study, found)
    if subject in ids():
        return _of_check(study, subject, about)
    named = f"{subject} {about}" if about is not None else subject
    things = find(study, named)
    if not things:
        raise Problem(_unknown(study, named))
    return why_answer(study, things)


def _of_check(study: "Study", name: str, about: str | None) -> "Section":
    """One check's findings about one thing, each with its hand calculation."""
    from elec.check import ask
    from elec.report.answers import why_answer

    findings = ask(study, name)
    if about is None:
        raise Problem(f"{name} is a check. {_abouts(name, findings)}")
    found = [one for one in findings if one.about == about]
    if not found:
        raise Problem(no_such(f"{name} about", about, sorted({one.about for one in findings})))
    return why_answer(found)


def _abouts(name: str, findings: "Sequence[Finding]") -> str:
    from elec.write.to_text import quoted

    known = list(dict.fromkeys(one.about for one in findings))
    if not known:
        return "It says nothing about this system."
    listed = ", ".join(quoted(one) for one in known[:12]) + (", …" if len(known) > 12 else "")
    return f"Say what about; {name} speaks of: {listed}."


def _unknown(study: "Study", name: str, kind: str = "") -> str:
    """There is nothing of that name, and what there is."""
    from elec.analyses.why_names import near
    from elec.check import ids

    found = near(study, name, ids())
    text = f'There is no {kind or ""}"{name}"' if kind else f'There is nothing called "{name}"'
    if found:
        *others, last = [f'"{one}"' for one in found]
        return f"{text}; did you mean {', '.join(others)}{' or ' if others else ''}{last}?"
    return (
        f"{text}. Ask by a name of the system file, by a wire's mark, or by a check; elec wires, "
        "elec pins and elec checks list them."
    )
