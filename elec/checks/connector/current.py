"""Does every contact carry its current?"""

from collections.abc import Iterator

from elec.answers.connect.contacts import ContactLoad, contact_loads
from elec.answers.connect.pins import pins
from elec.check import check
from elec.checks.answer import sentence
from elec.checks.compare import compare
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study


@check(
    "Every contact carries its current among its loaded neighbours",
    sources=(
        Cite("trade", "contact ratings", "memory"),
        Cite("contact_specification", "rating factors, contacts loaded", "computed"),
    ),
    heats=True,
)
def connector_current(study: Study) -> Iterator[Finding]:
    """The rating of a contact is that of one alone; among loaded neighbours it carries less.

    The thinner wire in it may limit it further. Spread the current over several contacts and
    wires, or take a connector with larger ones. The maker's figure goes under `rating`.
    """
    for found in contact_loads(study).values():
        yield _finding(study, found)


def _finding(study: Study, found: ContactLoad) -> Finding:
    one = pins(study).by_id[found.connector]
    untold = found.allowed_a is None
    return compare(
        study,
        found.connector,
        at=one.path,
        value=None if untold else found.current_a,
        limit=found.allowed_a,
        unit="A",
        digits=1,
        says=lambda carried, allowed: (
            f"{one.title}: contact {found.contact} carries {carried}; with {found.loaded} of "
            f"{found.contacts} contacts loaded and AWG {found.awg} in it, it may carry {allowed}."
        ),
        remedy="Share it between two contacts, each with its wire, or take larger contacts.",
        unknown=sentence(f"{one.title}: {found.unknown}"),
        ask="Give the current of the load, or rating of the connector from its maker.",
        working=lambda: found.working,
    )
