"""Can the device break the greatest short-circuit current?"""

import math
from collections.abc import Iterator

from elec.answers.short.fault import Fault, faults
from elec.check import check
from elec.checks.answer import amps, sentence
from elec.checks.compare import compare
from elec.finding import Finding
from elec.sizing.devices import Device, interrupts, kinds_for
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.demand import demand
from elec.working import within

RULE = Cite("mil_prf_39019", "6.1.1", "seen")


@check(
    "Every device can break the greatest current that a short drives through it",
    sources=(RULE,),
    heats=True,
)
def device_interrupts(study: Study) -> Iterator[Finding]:
    """A battery gives a thousand amperes into a short; a device not made for it welds or bursts.

    Counted is the worst: a charged battery, cold wires, the short just behind the device, the
    alternators added. The device itself does not count, for its rating is given for the current
    that would flow without it. The wire between the post or bus and the device counts where its
    length is known (`stub:`). Take a kind made for more: that another before it
    breaks the short, too, helps only where the maker of both says so. Where the maker gives the
    figure, write `interrupts:` on the device.
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
        return compare(
            study,
            chain.name,
            at=at,
            value=fault.greatest_a,
            limit=None,
            unit="A",
            says="",
            unknown=f"Whether the {device.label} breaks a short cannot be told: {why}.",
            ask=sentence(fault.ask)
            if fault.ask
            else "Read it off its data sheet and write it there, such as "
            f"{device.kind}: {{rating: {device.rating_a or 5:g} A, interrupts: 2000 A}}.",
            working=lambda: fault.greatest,
        )
    volts = demand(study).highest_v
    made_v = can.greatest_v or math.inf
    voltage = f" It is made for {made_v:g} V, the system has {volts:g} V."
    enough_v = within(volts, made_v)
    part = chain.device.protection if chain.device is not None else None
    write = " Or write how long the wire ahead of it is, as stub: it counts."
    sheet = " Where the sheet of yours gives more, write that, such as interrupts: 2000 A."
    bare = f" The wire ahead of the {device.kind} is not counted: its length is not known."
    known = tuple(kinds_for(device, fault.greatest_a, volts))
    such = f", such as a {' or a '.join(known)} of this rating" if known else ""
    return compare(
        study,
        chain.name,
        at=at,
        value=fault.greatest_a,
        limit=can.current_a,
        unit="A",
        besides=enough_v,
        says=f"{device.label}: a short just behind it drives {amps(fault.greatest_a)}; it "
        f"interrupts {amps(can.current_a)}, {can.origin}.{'' if enough_v else voltage}"
        f"{bare if fault.uncounted else ''}",
        remedy=f"Take a kind that interrupts more{such}."
        f"{write if part is not None and part.stub_m is None else ''}"
        f"{sheet if can.source else ''}",
        working=lambda: fault.greatest,
        sources=(str(RULE), can.source) if can.source else (),
    )
