"""Is it said where each shield is grounded?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.model.wiring import Cable, Coax
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains


@check(
    "Every shield is grounded at an end that is said",
    sources=(
        Cite("ac4313", "11-186f", "seen"),
        Cite("trade", "shield of audio cables at one end", "memory"),
    ),
)
def cable_shield(study: Study) -> Iterator[Finding]:
    """A shield on no ground is an antenna; one grounded at both ends carries the hum of the bus.

    Audio and slow signals: at one end, the one its box asks for. Fast digital and ignition leads:
    at both. Write `shield: from` (or to, both) and the contact or ground as `drain`.
    """
    for chain in chains(study).of("cable"):
        cable = study.document.cables[chain.name]
        shielded = "shielded" in cable.type or cable.shield is not None
        if shielded and not isinstance(cable, Coax) and not cable.spare:
            yield _finding(study, chain.name, chain.title, cable)


def _end(study: Study, name: str, cable: Cable) -> str:
    """The end at which the shield is grounded, in words."""
    if cable.shield == "both":
        return "both ends"
    rows = chains(study).by_name[name].rows
    part = rows[0].parts[0 if cable.shield == "from" else -1] if rows else None
    return part.label if part else f"its {cable.shield} end"


def _finding(study: Study, name: str, title: str, cable: Cable) -> Finding:
    at = study.document.cable_path(name)
    if cable.shield is None:
        return answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{title}: at which end its shield is grounded is not said.",
            at=at,
            remedy="See the manual of the box, and write shield: from, to, both or none.",
        )
    if cable.shield == "none":
        return answer(
            study,
            name,
            Verdict.ADVISE,
            f"{title}: its shield is grounded nowhere, so that it shields nothing.",
            at=(*at, "shield"),
            remedy="Ground it at the end that the box's manual names.",
        )
    if cable.drain is None:
        return answer(
            study,
            name,
            Verdict.ADVISE,
            f"{title}: its shield is grounded at {_end(study, name, cable)}; on which contact or "
            "ground is not said.",
            at=(*at, "shield"),
            remedy="Write drain: with the contact or ground point.",
        )
    drain = cable.drain.replace("-", " ")
    return answer(
        study,
        name,
        Verdict.PASS,
        f"{title}: its shield is grounded at {_end(study, name, cable)}, on {drain}.",
        at=(*at, "drain"),
    )
