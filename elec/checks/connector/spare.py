"""Are contacts left for later?"""

from collections.abc import Iterator

from elec.answers.connect.pins import ConnectorPins, pins
from elec.check import check
from elec.checks.answer import answer, count
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.physics.contact import spare_count
from elec.standards import Cite
from elec.study import Study


@check(
    "Every connector has spare contacts",
    sources=(Cite("ac4313", "11-234", "seen"),),
)
def connector_spare(study: Study) -> Iterator[Finding]:
    """A contact that breaks, or a signal that comes later, needs a free place in the same shell.

    Two up to 25 contacts, four up to 100, best at the outer edge. On a box whose pins the maker
    laid out you cannot choose: accept it there.
    """
    for one in pins(study).by_id.values():
        if one.contacts is not None and one.contacts > 1:
            yield _finding(study, one, one.contacts)
        elif one.count("spare") or any(pin.called for pin in one.pins):
            # the type is not known here, but whoever lists its spares has counted its contacts,
            # and has counted them still when a wire lands on the last one
            yield _finding(study, one, len(one.pins))
        elif one.inline and one.contacts is None:
            yield answer(
                study,
                one.id,
                Verdict.CANNOT_TELL,
                f"{one.title}: how many contacts {one.type} has is not known here, so its spares "
                "cannot be counted.",
                at=one.path,
                remedy="Count them on the part you buy, and list the free ones as spare; "
                "two up to 25 contacts, four above.",
            )


def _finding(study: Study, one: ConnectorPins, contacts: int) -> Finding:
    wanted = int(spare_count(contacts=contacts))
    free = one.count("spare")
    laid_out = ", or accept it: the maker of the box laid its contacts out."
    return compare(
        study,
        one.id,
        at=one.path,
        value=float(free),
        limit=float(wanted),
        rule="at least",
        unit="contacts",
        otherwise=Verdict.ADVISE,
        says=f"{one.title}: {count(free, 'contact')} of {contacts} free; {wanted} are asked.",
        remedy=f"Take the next larger shell{'.' if one.inline else laid_out}",
    )
