"""The wiring book: everything about one system in the order in which the job needs it.

In: a study. Out: a `Book` of sections, without a format and without a clock.
"""

import hashlib

from elec.check import run
from elec.finding import Finding
from elec.pages.binder import BINDERS, Asked, Purpose, bound
from elec.pages.cards.card import cards
from elec.pages.cards.narrow import narrowed
from elec.pages.document import Book
from elec.pages.glance import glance
from elec.pages.issues import Past, since_answer
from elec.study import Study


def book(
    study: Study,
    *,
    digest: str = "",
    findings: tuple[Finding, ...] | None = None,
    purpose: Purpose = "all",
    on_paper: bool = False,
    past: Past | None = None,
) -> Book:
    """Put the book together.

    Args:
        study: the run.
        digest: sha256 of the builder's files; left out, that of the system as it was read.
        findings: what the checks said, where they were run already.
        purpose: the whole book, or the binder for one purpose.
        on_paper: for a printer, which needs no page twice.
        past: what was issued before; None where nothing was.
    """
    about = study.system.about
    found = run(study) if findings is None else findings
    digest = digest or digest_of(study)
    asked = Asked(study=study, found=found, digest=digest, on_paper=on_paper, past=past)
    first, *others = glance(study, found)
    answers = (first, *since_answer(past), *others)
    return Book(
        title=about.name,
        subtitle=BINDERS[purpose].title or about.description,
        owner=about.people,
        revision=about.revision,
        date=about.date,
        digest=digest,
        paper=about.paper,
        units=about.units,
        sections=bound(asked, purpose),
        answers=answers if purpose == "all" and not on_paper else (),
        cards=narrowed(study, cards(study), found) if purpose == "all" and not on_paper else (),
    )


def digest_of(study: Study) -> str:
    """The sha256 of the system as it was read, in hexadecimal: other words, other digest."""
    text = study.document.model_dump_json(by_alias=True)
    return hashlib.sha256(text.encode()).hexdigest()
