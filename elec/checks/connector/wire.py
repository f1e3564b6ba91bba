"""Does every wire fit its contact?"""

from collections.abc import Iterator

from elec.answers.connect.contacts import ContactWire, contact_wires
from elec.answers.connect.pins import ConnectorPins, pins
from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every wire fits the contact it is crimped into",
    sources=(Cite("trade", "contact ratings", "memory"),),
)
def connector_wire(study: Study) -> Iterator[Finding]:
    """A wire too thick does not go in; one too thin is not held by the crimp and pulls out.

    Change to a contact of that size, or splice a short tail of the right gauge before the
    connector.
    """
    for one in pins(study).by_id.values():
        wires = list(contact_wires(one))
        if wires:
            yield from _findings(study, one, wires)


def _findings(study: Study, one: ConnectorPins, wires: list[ContactWire]) -> Iterator[Finding]:
    bad = [wire for wire in wires if wire.fits is False]
    for wire in bad:
        span = (
            f"AWG {wire.needs} is asked for"
            if wire.needs
            else f"size {one.contact_size} takes AWG {one.thinnest_awg} to {one.thickest_awg}"
        )
        yield answer(
            study,
            f"{one.id}.{wire.contact}",
            Verdict.FAIL,
            f"{one.title}, contact {wire.contact}: {wire.mark} is AWG {wire.awg}; {span}.",
            at=(*one.path, "pins", wire.contact),
            remedy="Choose a gauge that fits (gauge:), or splice a tail of the right gauge on.",
        )
    unknown = [wire for wire in wires if wire.fits is None]
    if unknown and not _plain(one):
        yield answer(
            study,
            one.id,
            Verdict.CANNOT_TELL,
            f"{one.title}: which gauges a contact of {one.type} takes is not published here; "
            f"{listed(dict.fromkeys(f'AWG {wire.awg}' for wire in unknown))} end there.",
            at=one.path,
            remedy="Look it up at its maker before you buy contacts.",
        )
    elif not bad:
        gauges = listed(dict.fromkeys(f"AWG {wire.awg}" for wire in wires))
        yield answer(
            study, one.id, Verdict.PASS, f"{one.title}: {gauges} fit its contacts.", at=one.path
        )


def _plain(one: ConnectorPins) -> bool:
    """Ends that are soldered or screwed: any gauge does."""
    return "terminals" in one.type or "jack" in one.type
