"""Is the first device close to the battery post?"""

from collections.abc import Iterator

from elec.analyses.chains import Chain, Part, chains
from elec.analyses.limits import limit
from elec.check import check
from elec.checks.answer import answer, apart, length, tightened
from elec.finding import Finding, Verdict
from elec.model.source import LeadAcid, Lithium
from elec.standards import Cite
from elec.study import Study


@check(
    "The wire between a battery's post and the first device is a stub",
    sources=(Cite("ac4313", "11-47", "seen"),),
    limits=("unprotected-stub",),
)
def feeder_stub(study: Study) -> Iterator[Finding]:
    """What lies between the post and the first device nothing protects, and nothing can switch off.

    Keep it to a few inches, sleeved, clear of metal; say how long it is on the device:
    `breaker: {rating: 15 A, stub: 4 in}`. A device bolted to the post has `stub: 0 in`.
    """
    sources = study.document.sources
    for chain in chains(study).guarded():
        post = chain.source_end if chain.kind == "feeder" else ""
        if isinstance(sources.get(post), LeadAcid | Lithium) and chain.device is not None:
            yield _finding(study, chain, chain.device)


def _finding(study: Study, chain: Chain, device: Part) -> Finding:
    most = limit(study, "unprotected-stub")
    stub = device.protection.stub_m if device.protection is not None else None
    title = study.system.title("sources", chain.source_end)
    at = (*chain.path, device.kind)
    remedy = (
        f"Move the {device.kind} nearer to the post, or fit a fusible link at the post; write the "
        f"length as stub: on the {device.kind}."
    )
    if stub is None:
        return answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"How far its {device.kind} is from the post of {title} is not said.",
            at=at,
            remedy=f"Measure it and write it there, such as {device.kind}: "
            "{rating: 15 A, stub: 4 in}; 0 in where it is bolted to the post.",
            limit=most.value,
            unit="m",
        )
    found, allowed = length(study, stub), length(study, most.value)
    if found == allowed and not most.allows(stub):
        found, allowed = apart(stub, most.value, "m")
    return answer(
        study,
        chain.name,
        Verdict.PASS if most.allows(stub) else Verdict.FAIL,
        f"{found} of wire between the post of {title} and its {device.kind}; {allowed} may go "
        f"without protection.{tightened(most)}",
        at=at,
        remedy=remedy,
        value=stub,
        limit=most.value,
        unit="m",
    )
