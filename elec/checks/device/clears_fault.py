"""Does the device open when the far end is shorted?"""

from collections.abc import Iterator

from elec.analyses.chains import Chain, chains
from elec.analyses.devices import Device, ultimate_trip
from elec.analyses.fault import Fault, faults
from elec.analyses.limits import limit
from elec.analyses.sizing import sizing
from elec.check import check
from elec.checks.answer import amps, answer, apart, passes, tightened
from elec.checks.device._words import curve_sources
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study

LOOP = (Cite("elec", "fault current", "computed"), Cite("ac4313", "11-48", "seen"))


@check(
    "A short circuit at the far end opens the device",
    sources=LOOP,
    limits=("fault-multiple",),
    heats=True,
)
def device_clears_fault(study: Study) -> Iterator[Finding]:
    """A long thin wire lets so little current through a short that its breaker may not notice.

    Counted is the worst: a low battery, hot wires, the short at the load. Below twice the rating
    the device takes long, which is advice; below what it must open at, it may never open, which
    fails. Take a smaller rating, a thicker wire or a better ground.
    """
    for chain in chains(study).by_name.values():
        device = sizing(study).devices.get(chain.name)
        if device is not None:
            yield _finding(study, chain, device, faults(study)[chain.name])


def _finding(study: Study, chain: Chain, device: Device, fault: Fault) -> Finding:
    at = (*chain.path, device.kind)
    if fault.least_a is None or device.rating_a is None:
        return answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"The short-circuit current cannot be told: {fault.unknown or device.unknown}.",
            at=at,
            remedy="Give what is missing (length, rating, battery).",
        )
    multiple = limit(study, "fault-multiple")
    sure = ultimate_trip(device)
    enough = multiple.value * device.rating_a
    least, asked = apart(fault.least_a, enough, "A", 1)
    times, wanted = apart(fault.least_a / device.rating_a, multiple.value, "", 1)
    verdict = passes(fault.least_a >= enough * (1 - 1e-9), Verdict.ADVISE)
    opens = ""
    if sure is None:
        opens = f" Nothing published says at which current a {device.family} must open."
    elif fault.least_a < sure * device.rating_a:
        verdict = Verdict.FAIL
        opens = f" It need not open below {amps(sure * device.rating_a)}: the wire would glow on."
    if sure is None and verdict is not Verdict.PASS:
        verdict = Verdict.CANNOT_TELL
    limited = " (what the battery's own management lets through)" if fault.limited else ""
    return answer(
        study,
        chain.name,
        verdict,
        f"{device.label}: a short at the far end drives {least}{limited}, "
        f"{times} times its rating; from {wanted} times ({asked}) it opens soon.{opens}"
        f"{tightened(multiple)}",
        at=at,
        remedy="Take a smaller rating if the load allows it, a thicker wire, or a nearer ground.",
        value=fault.least_a,
        limit=enough,
        unit="A",
        working=lambda: fault.least,
        sources=(*map(str, LOOP), *curve_sources(device)),
    )
