"""Is every switch made for its load?"""

from collections.abc import Iterator

from elec.answers.connect.switching import Switching, switching
from elec.check import check
from elec.checks.answer import amps, answer, count, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every switch is made for the load it switches",
    sources=(Cite("ac4313", "table 11-4", "seen"),),
    heats=True,
)
def switch_rating(study: Study) -> Iterator[Finding]:
    """A switch printed with 10 A is meant for a heater on alternating current.

    A filament lamp, a motor or a coil on direct current burns its contacts: the rating has to be a
    multiple of the load. Never go by the alternating-current figure. A contactor is made for its
    duty, and its lasting current counts; cranking is for the starter's own contactor. Nor has a
    dimmer contacts that burn: it carries what it is rated for.
    """
    every = switching(study).values()
    bare = [s for s in every if s.rating_a is None and s.needed_a is not None]
    if bare:
        yield _unrated(study, bare)
    for found in every:
        if found.needed_a is None:
            yield _unknown(study, found)
        elif found.rating_a is not None:
            yield _finding(study, found, found.rating_a, found.needed_a)


def _unrated(study: Study, bare: list[Switching]) -> Finding:
    """One finding for all switches whose rating is not given, with what each needs."""
    needs = listed((f"{s.label} {amps(s.needed_a)}" for s in bare), len(bare))
    return answer(
        study,
        "unrated switches",
        Verdict.CANNOT_TELL,
        f"The rating of {count(len(bare), 'switch', 'switches')} is not given. What their "
        "loads ask "
        f"for, direct current: {needs}.",
        at=bare[0].path,
        remedy="Read the direct-current rating off each or its sheet, and give it, such as "
        f"switches: {bare[0].switch}: {{rating: 10 A}}.",
        value=float(len(bare)),
        limit=0.0,
        working=lambda: bare[0].working,
    )


def _unknown(study: Study, found: Switching) -> Finding:
    return answer(
        study,
        found.switch,
        Verdict.CANNOT_TELL,
        f"{found.label}: what it needs cannot be told: {found.unknown}.",
        at=found.path,
        remedy="Give the missing current, measured or from the label.",
        value=found.rating_a,
        unit="A",
    )


def _finding(study: Study, found: Switching, rating_a: float, needed_a: float) -> Finding:
    return compare(
        study,
        found.switch,
        at=found.path,
        value=rating_a,
        limit=needed_a,
        rule="at least",
        unit="A",
        digits=1,
        says=lambda rating, needed: (
            f"{found.label} ({found.kind}, {rating}): a load of {amps(found.current_a)} "
            f"({listed(found.characters)}) asks for {needed} or more."
        ),
        remedy="Take one with a greater direct-current rating, let it drive a relay, or divide the "
        "load over two poles.",
        working=lambda: found.working,
    )
