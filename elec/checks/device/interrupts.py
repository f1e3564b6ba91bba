"""Can the device break the greatest short-circuit current?"""

from collections.abc import Iterator

from elec.analyses.chains import Chain, chains
from elec.analyses.demand import demand
from elec.analyses.devices import Device, interrupts
from elec.analyses.fault import Fault, faults
from elec.analyses.sizing import sizing
from elec.check import check
from elec.checks.answer import amps, answer, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study

RULE = Cite("mil_prf_39019", "6.1.1", "seen")


@check(
    "Every device can break the greatest current that a short drives through it",
    sources=(RULE,),
    heats=True,
)
def device_interrupts(study: Study) -> Iterator[Finding]:
    """A battery gives a thousand amperes into a short; a device not made for it welds or bursts.

    Counted is the worst: a charged battery, cold wires, the short just behind the device, the
    alternators added. Take a kind made for more (a limiter close to the battery), or put one
    before it. Where the maker gives the figure, write `interrupts:` on the device.
    """
    for chain in chains(study).guarded():
        device = sizing(study).devices.get(chain.name)
        if device is not None:
            yield _finding(study, chain, device, faults(study)[chain.name])


def _finding(study: Study, chain: Chain, device: Device, fault: Fault) -> Finding:
    at = (*chain.path, device.kind)
    can = interrupts(study, device)
    if fault.greatest_a is None or can is None:
        why = (
            f"the greatest short-circuit current is not known: {fault.unknown}"
            if fault.greatest_a is None
            else f"what a {device.kind} of class {device.family} interrupts is not published; a "
            f"short drives {amps(fault.greatest_a)}"
        )
        return answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"Whether the {device.label} breaks a short cannot be told: {why}.",
            at=at,
            remedy="Read it off its data sheet and write it there, such as "
            f"{device.kind}: {{rating: {device.rating_a or 5:g} A, interrupts: 2000 A}}.",
            value=fault.greatest_a,
            unit="A",
            working=lambda: fault.greatest,
        )
    volts = demand(study).highest_v
    enough_v = can.greatest_v is None or volts <= can.greatest_v
    voltage = (
        "" if enough_v else f" It is made for {can.greatest_v:g} V, the system has {volts:g} V."
    )
    return answer(
        study,
        chain.name,
        passes(fault.greatest_a <= can.current_a and enough_v),
        f"{device.label}: a short just behind it drives {amps(fault.greatest_a)}; it interrupts "
        f"{amps(can.current_a)}, {can.origin}.{voltage}",
        at=at,
        remedy="Take a kind that interrupts more, or put a limiter that does close to the battery.",
        value=fault.greatest_a,
        limit=can.current_a,
        unit="A",
        working=lambda: fault.greatest,
        sources=(str(RULE), can.source) if can.source else (),
    )
