"""Does more than one wire claim a contact?"""

from collections.abc import Iterator

from elec.answers.connect.pins import ConnectorPins, pins
from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "No two wires claim one contact",
    sources=(Cite("trade", "one wire to a contact", "memory"),),
)
def connector_double(study: Study) -> Iterator[Finding]:
    """One crimp takes one wire; two wires on one contact are a mistake in the list, found too late.

    Join them in a splice before the connector, or use another contact.
    """
    for one in pins(study).by_id.values():
        yield from _findings(study, one)


def _findings(study: Study, one: ConnectorPins) -> Iterator[Finding]:
    double = [pin for pin in one.pins if pin.state == "double"]
    for pin in double:
        wires = listed(f"{ln.mark} (from {ln.goes_to})" for ln in pin.landings)
        yield answer(
            study,
            f"{one.id}.{pin.contact}",
            Verdict.FAIL,
            f"{one.title}, contact {pin.contact}: {len(pin.landings)} wires claim it: {wires}.",
            at=(*one.path, "pins", pin.contact),
            remedy="Give one of them another contact, or join them in a splice before it.",
            value=float(len(pin.landings)),
            limit=1.0,
            unit="wires",
        )
    if not double:
        used = sum(bool(pin.landings) for pin in one.pins)
        yield answer(
            study,
            one.id,
            Verdict.PASS,
            f"{one.title}: {used} contacts in use, one wire each.",
            at=one.path,
        )
