"""The command `elec why`."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec.cli.common import (
    TEXTS,
    Print,
    Problem,
    deliver,
    no_subject,
    no_such,
    options_of,
    printing,
    study_of,
)

if TYPE_CHECKING:
    from elec.answers.why.why_names import WhySubject
    from elec.pages.document import Section
    from elec.study import Study


@click.command(
    short_help="How a number came about, to follow with a pocket calculator.",
    options_metavar="[OPTIONS]",
)
@click.argument("words", nargs=-1, required=True, metavar="[SYSTEM] SUBJECT [ABOUT]")
@printing
def why(words: tuple[str, ...], how: Print) -> int:
    """Work out by hand what elec says about one thing: the answer, then every step.

    SUBJECT is whatever has a name in a table, on a drawing or on a wire: a wire's mark (L31A22), a
    circuit, "radio breaker", a piece of equipment, bus, feeder, source, ground, switch, cable,
    connector (radio.J1), contact (radio.J1.1), a way ("panel to belly"), a place, a phase.

    SUBJECT is a check and ABOUT what a finding is about: elec why SYSTEM wire-drop landing-light.
    Or ABOUT is a part of the answer: elec why SYSTEM landing-light drop.
    With a kind as SUBJECT, only things of that kind are meant: elec why SYSTEM circuit radio.
    """
    system, subject, about = split(words, "elec why SYSTEM SUBJECT [ABOUT]")
    study = study_of(system, how)
    options = options_of(study, how, system)
    from msgspec.structs import replace

    deliver(_answer(study, subject, about), how, replace(options, passes=True, again=""))
    return 0


def split(words: tuple[str, ...], usage: str) -> tuple[str | None, str, str | None]:
    """System, subject, and what about: the system may be left out where one is in this folder."""
    first, *rest = words
    named = Path(first).suffix in TEXTS or Path(first).is_dir()
    system = first if named or len(words) > 2 else None
    subject, *about = (rest if system is not None else list(words)) or [""]
    if not subject or len(about) > 1:
        raise click.UsageError(f"Say what about: {usage}")
    return system, subject, about[0] if about else None


def _answer(study: "Study", subject: str, about: str | None) -> "Section":
    from elec.answers.why.why_names import KINDS, find, plain
    from elec.check import ids
    from elec.pages.why.page import why_answer

    first, _, rest = subject.partition(" ")
    if about is None and rest and plain(first) in {plain(one) for one in KINDS}:
        subject, about = first, rest.strip()
    kind = plain(subject)
    if about is not None and kind in {plain(one) for one in KINDS}:
        found = [one for one in find(study, about) if plain(one.kind) == kind]
        if found or not find(study, f"{subject} {about}"):
            if not found:
                raise Problem(no_subject(study, about, f"{subject} "))
            return why_answer(study, found)
    if subject in ids():
        return _of_check(study, subject, about)
    named = f"{subject} {about}" if about is not None else subject
    things = find(study, named)
    if not things and about is None and rest:  # in one pair of quotes what may be two words
        name, _, last = subject.rpartition(" ")
        if find(study, name):
            return _answer(study, name, last)
        if first in ids():
            return _of_check(study, first, rest.strip())
    if not things and about is not None and (things := find(study, subject)):
        return _topic(study, subject, things, plain(about))
    if not things and about is not None:
        raise Problem(no_such("check or kind of thing", subject, [*ids(), *KINDS]))
    if not things:
        return _of_abouts(study, named)
    return why_answer(study, things)


def _topic(study: "Study", name: str, things: "Sequence[WhySubject]", topic: str) -> "Section":
    """One part of the answers about a name: `elec why SYSTEM radio drop`."""
    from elec.pages.why.page import SAID, about, topic_of, why_answer

    topics = {one: [topic_of(part) for part in about(study, one).sections] for one in things}
    asked = (topic, SAID.get(topic, topic))
    topic = next((word for word in asked if any(word in some for some in topics.values())), topic)
    having = [one for one in things if topic in topics[one]]
    if not having:
        known = sorted({word for words in topics.values() for word in words})
        raise Problem(no_such(f"part of the answer about {name}", topic, known))
    return why_answer(study, having, topic)


def _of_check(study: "Study", name: str, about: str | None) -> "Section":
    """One check's findings about one thing, each with its hand calculation."""
    from elec.answers.why.why_names import plain
    from elec.check import ask
    from elec.pages.answers import check_answer, why_answer

    findings = ask(study, name)
    if about is None:
        return check_answer(name, findings)
    found = [one for one in findings if one.about == about]
    found = found or [one for one in findings if plain(one.about) == plain(about)]
    if not found:
        raise Problem(no_such(f"{name} about", about, sorted({one.about for one in findings})))
    return why_answer(found)


def _of_abouts(study: "Study", name: str) -> "Section":
    """What findings call so that is no thing of the file, such as the worst minute."""
    from elec.answers.why.why_names import plain
    from elec.check import run
    from elec.pages.answers import why_answer

    found = [one for one in run(study) if plain(one.about) == plain(name)]
    if not found:
        raise Problem(no_subject(study, name))
    return why_answer(found)
