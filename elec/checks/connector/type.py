"""Is the connector one whose contacts are known?"""

from collections.abc import Iterator

from elec.answers.connect.pins import ConnectorPins, pins
from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study

COAXIAL = ("BNC", "TNC", "SMA", "N", "mini-UHF", "F")
"""Connectors of coaxial lines; they have one centre contact and a shell."""
PLAIN = ("terminals", "jack", "screw", "studs", "tabs")
"""Words of ends without an arrangement of contacts: drawn as they are wired."""


@check(
    "Every connector is of a type whose contacts are known",
    sources=(
        Cite("footprints", "D-subminiature arrangements", "seen"),
        Cite("trade", "contact ratings", "memory"),
    ),
)
def connector_type(study: Study) -> Iterator[Finding]:
    """Only of a known type can elec draw the face, count spares and say what a contact carries.

    Write the type as in docs/file-format.md (dsub-15, dsub-hd-26, circular-38999-20), or describe
    it under `connector-types` by its maker's drawing. Without that give `rating` of one contact;
    the face is then drawn schematically.
    """
    for one in pins(study).by_id.values():
        yield _finding(study, one)


def _finding(study: Study, one: ConnectorPins) -> Finding:
    strange = [pin.contact for pin in one.pins if not pin.known]
    at = one.path
    if strange:
        return answer(
            study,
            one.id,
            Verdict.FAIL,
            f"{one.type} has no contact {listed(strange)}; it has {one.contacts}.",
            at=at,
            remedy="Correct the contact, or the type.",
        )
    known = bool(one.arrangement or one.family)
    if known or one.type in COAXIAL or any(word in one.type for word in PLAIN):
        size = f", contacts of size {one.contact_size}" if one.contact_size else ""
        return answer(study, one.id, Verdict.PASS, f"{one.title}: {one.type}{size}.", at=at)
    return answer(
        study,
        one.id,
        Verdict.CANNOT_TELL,
        f"{one.title}: the type {one.type} is not known here; how many contacts it has and what "
        "they carry is not either.",
        at=at,
        remedy="Write it as in docs/file-format.md, or describe it under connector-types.",
    )
