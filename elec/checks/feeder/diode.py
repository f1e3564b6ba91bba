"""Is the wire from a feeder's diode to its bus said, and short?"""

from collections.abc import Iterator

from elec.answers.base.marks import marks
from elec.check import check
from elec.checks.answer import length
from elec.checks.compare import compare
from elec.finding import Finding
from elec.model.wiring import Feeder
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.limits import limit
from elec.wiring.runs import runs


@check(
    "The wire between a feeder's diode and its bus is a stub, or has a device at the bus",
    sources=(
        Cite("ac4313", "11-47", "seen"),
        Cite("elec", "completeness of the input", "judgement"),
    ),
    limits=("unprotected-stub",),
    given="diode on feeders",
)
def feeder_diode(study: Study) -> Iterator[Finding]:
    """Behind the diode the bus feeds back into a chafed wire, and the first device does not see it.

    Mount the diode beside the bus: `diode: {kind: schottky, tail: 4 in}`, or `tail: 0 in` where it
    is bolted to the bar. Where it sits elsewhere (`place:`) fit a second device at the bus:
    `far-end: {breaker: auto}`.
    """
    for chain in chains(study).of("feeder"):
        feeder = study.document.feeders[int(chain.path[1])]
        if feeder.diode is not None:
            yield _finding(study, chain, feeder)


def _finding(study: Study, chain: Chain, feeder: Feeder) -> Finding:
    tail = next((wire for wire in chain.conductors() if wire.tail), None)
    diode = feeder.diode
    length_m = diode.tail_m if diode is not None else None
    if tail is not None:
        length_m = runs(study)[tail.id].length_m
    mark = "" if tail is None else f" ({marks(study)[tail.id]})"
    bus = study.system.end_title(chain.far_end)
    far, most = chain.far_device, limit(study, "unprotected-stub")
    found, allowed = length(study, length_m), length(study, most.value)
    alike = found == allowed and length_m is not None and not most.allows(length_m)
    behind = f"of wire{mark} between its diode and {bus}"
    return compare(
        study,
        chain.name,
        at=(*chain.path, "diode"),
        value=length_m if far is None or length_m is None else 0.0,
        limit=most,
        unit="m",
        says=lambda exact, limit: (
            f"{exact if alike else found} {behind}; {limit if alike else allowed} may go without "
            "protection."
            if far is None
            else f"{found} {behind}, which the {far.kind} there protects."
        ),
        remedy=f"Mount the diode nearer to {bus}, or fit a second device there: "
        "far-end: {breaker: auto}.",
        unknown=f"How its diode reaches {bus} is not said.",
        ask="Write it as diode: {kind: schottky, tail: 4 in}; tail: 0 in where it is bolted to "
        "the bar.",
    )
