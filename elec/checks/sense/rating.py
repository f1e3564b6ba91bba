"""Is a switch rated as switches are?"""

from collections.abc import Iterator

from elec.answers.connect.switching import Switching, switching
from elec.check import check
from elec.checks.answer import amps
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit

BY_HAND = ("switch", "button")


@check(
    "Switches are rated as switches are made",
    sources=(Cite("trade", "direct-current ratings of panel switches", "memory"),),
    limits=("switch-rating-most",),
)
def sense_rating(study: Study) -> Iterator[Finding]:
    """A switch of 100 A that a finger moves is not made; a lost decimal point is likely.

    With ten times its rating a switch passes for any load. What carries more is a contactor or a
    relay: then `kind` is wrong.
    """
    for found in switching(study).values():
        if found.rating_a is not None and found.kind in BY_HAND:
            yield _finding(study, found, found.rating_a)


def _finding(study: Study, found: Switching, rating_a: float) -> Finding:
    most = limit(study, "switch-rating-most")
    return compare(
        study,
        found.switch,
        at=("switches", found.switch, "rating"),
        value=rating_a,
        limit=most,
        unit="A",
        says=f"{found.label}: rated {amps(rating_a)}.",
        fault=f"{found.label}: a {found.kind} rated {amps(rating_a)}; those moved by hand are "
        f"made up to about {amps(most.value)}.",
        remedy="Look for the decimal point; write kind: contactor or kind: relay if it is one.",
        otherwise=Verdict.ADVISE,
    )
