"""Is the first device close to the battery post?"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.check import check
from elec.checks.answer import length
from elec.checks.compare import compare
from elec.finding import Finding
from elec.model.source import LeadAcid, Lithium
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, Part, chains
from elec.wiring.limits import limit
from elec.wiring.runs import runs


@check(
    "The wire between a battery's post and the first device is a stub",
    sources=(Cite("ac4313", "11-47", "seen"),),
    limits=("unprotected-stub",),
)
def feeder_stub(study: Study) -> Iterator[Finding]:
    """What lies between the post and the first device nothing protects, and nothing can switch off.

    Keep it to a few inches, sleeved, clear of metal; say how long it is on the device:
    `breaker: {rating: 15 A, stub: 4 in}`, and it is a wire of the lists like any other. A device
    bolted to the post has `stub: 0 in`.
    """
    sources = study.document.sources
    for chain in chains(study).guarded():
        battery = isinstance(sources.get(chain.source_end), LeadAcid | Lithium)
        at_post = chain.kind in ("feeder", "wire") or any(
            row.parts[0].kind == "source" for row in chain.rows if row.role == "feed"
        )
        if battery and at_post and not chain.after and chain.device is not None:
            yield _finding(study, chain, chain.device)


def _finding(study: Study, chain: Chain, device: Part) -> Finding:
    most = limit(study, "unprotected-stub")
    stub = device.protection.stub_m if device.protection is not None else None
    wire = next((c for c in chain.conductors() if c.stub and device.id in (c.a.id, c.b.id)), None)
    if wire is not None:
        stub = runs(study)[wire.id].length_m  # what was cut counts
    mark = f" ({marks(study)[wire.id]})" if wire is not None else ""
    title = study.system.title("sources", chain.source_end)
    found, allowed = length(study, stub), length(study, most.value)
    alike = found == allowed and stub is not None and not most.allows(stub)
    return compare(
        study,
        chain.name,
        at=(*chain.path, device.kind),
        value=stub,
        limit=most,
        unit="m",
        says=lambda exact, limit: (
            f"{exact if alike else found} of wire{mark} between the post of {title} and its "
            f"{device.kind}; {limit if alike else allowed} may go without protection."
        ),
        remedy=f"Move the {device.kind} nearer to the post, or fit a fusible link at the post; "
        f"write the length as stub: on the {device.kind}.",
        unknown=f"How far its {device.kind} is from the post of {title} is not said.",
        ask=f"Measure it and write it there, such as {device.kind}: {{rating: 15 A, stub: 4 in}}; "
        "0 in where it is bolted to the post.",
    )
