"""Does the device open when the far end is shorted?"""

from collections.abc import Iterator

from elec.answers.short.fault import Fault, faults
from elec.answers.short.ratings import smaller
from elec.check import check
from elec.checks.answer import amps, answer, apart, sentence
from elec.checks.compare import compare
from elec.checks.device._words import curve_sources, named
from elec.finding import Finding, Verdict
from elec.sizing.devices import Device, ultimate_trip
from elec.sizing.sizing import guarding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.limits import limit
from elec.working import within

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
        device = guarding(study, chain)
        if device is not None:
            yield _finding(study, chain, device, faults(study)[chain.name])


def _finding(study: Study, chain: Chain, device: Device, fault: Fault) -> Finding:
    multiple, sure = limit(study, "fault-multiple"), ultimate_trip(device)
    at = (*chain.path, device.kind)
    if fault.least_a is None or device.rating_a is None:
        return answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"The short-circuit current cannot be told: {fault.unknown or device.unknown}.",
            at=at,
            remedy=sentence(fault.ask or "give what is missing (length, rating, battery)"),
        )
    rating = device.rating_a
    times, wanted = apart(fault.least_a / rating, multiple.value, "", 1)
    limited = " (what the battery's own management lets through)" if fault.limited else ""
    opens = ""
    if sure is None:
        opens = f" Nothing published says at which current a {device.family} must open."
    elif not within(fault.least_a, sure * rating, "at least"):
        opens = f" It need not open below {amps(sure * rating)}: the wire would glow on."
    return compare(
        study,
        chain.name,
        at=at,
        value=fault.least_a,
        limit=multiple.value * rating,
        rule="at least",
        unit="A",
        digits=1,
        otherwise=Verdict.ADVISE,
        fails=None if sure is None else sure * rating,
        unsure=(Verdict.ADVISE,) if sure is None else (),
        says=lambda least, asked: (
            f"{named(study, chain, device)}: a short at the far end drives {least}{limited}, "
            f"{times} times its rating; from {wanted} times ({asked}) it opens soon.{opens}"
        ),
        remedy=lambda: _remedy(study, chain, device),
        named=(multiple,),
        working=lambda: fault.least,
        sources=(*map(str, LOOP), *curve_sources(device)),
    )


def _remedy(study: Study, chain: Chain, device: Device) -> str:
    fit = smaller(study, chain, device) if device.chain == chain.name or device.at_far_end else None
    rating = f"Take {fit.words}, " if fit is not None else "Take "
    return f"{rating}a thicker wire, or a nearer ground."
