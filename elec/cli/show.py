"""The command `elec show`."""

import click

from elec.cli.common import Print, Problem, deliver, no_subject, options_of, printing, study_of
from elec.cli.why import split


@click.command(short_help="A wire, contact, box, place or way in one screen.")
@click.argument("words", nargs=-1, required=True, metavar="[SYSTEM] SUBJECT")
@printing
def show(words: tuple[str, ...], how: Print) -> int:
    """The card of one thing: what it is, and its wires with their marks, from and to.

    SUBJECT is whatever has a name: a wire's mark (L31A22), a contact (radio.J1.7), a connector, a
    piece of equipment, a circuit, a bus, a place, a way ("panel to belly"), a panel.
    """
    system, subject, about = split(words, "elec show SYSTEM SUBJECT")
    study = study_of(system, how)
    from elec.answers.why.why_names import find
    from elec.pages.cards.page import show_answer
    from elec.pages.cards.panel import panel_answer

    name = f"{subject} {about}" if about is not None else subject
    found = find(study, name)
    answer = show_answer(study, found) or panel_answer(study, name)
    if answer is None:
        hint = f'"{name}" has no card; elec why says what there is of it.' if found else ""
        raise Problem(hint or no_subject(study, name))
    deliver(answer, how, options_of(study, how, system))
    return 0
