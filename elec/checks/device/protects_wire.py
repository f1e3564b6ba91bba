"""Does the device open before the wire is overloaded?"""

from collections.abc import Iterator

from elec.answers.heat.heat import WireHeat, heat
from elec.answers.heat.remedies import enough_for
from elec.answers.short.ratings import smaller, thicker
from elec.check import check
from elec.checks.answer import amps
from elec.checks.compare import compare
from elec.checks.device._words import named
from elec.finding import Finding
from elec.sizing.devices import Device
from elec.sizing.sizing import guarding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.coils import wires_behind


@check(
    "Every breaker and fuse protects the wire behind it",
    sources=(Cite("ac4313", "11-48", "seen"),),
    heats=True,
)
def device_protects_wire(study: Study) -> Iterator[Finding]:
    """The device is there for the wire: its rating must not exceed what the wire may carry.

    What it may carry counts in the warmest spot of its run, in its bundle and at height, not in
    free air. Take a smaller rating if the load allows it, or a thicker wire. A small gap is common
    with intermittent heavy loads: then the wire, not the device, has to give.
    """
    for chain in chains(study).guarded():
        device = guarding(study, chain)
        wires = [heat(study)[c.id] for c in wires_behind(study, chain) if c.id in heat(study)]
        if device is not None and wires:
            yield _finding(study, chain, device, min(wires, key=lambda wire: wire.allowed_a))


def _finding(study: Study, chain: Chain, device: Device, wire: WireHeat) -> Finding:
    where = wire.where
    return compare(
        study,
        chain.name,
        at=(*chain.path, device.kind),
        value=device.rating_a,
        limit=wire.allowed_a,
        unit="A",
        digits=1,
        says=lambda _, allowed: (
            f"{named(study, chain, device)}; AWG {wire.awg} may carry {allowed} {where}, its "
            "warmest spot."
        ),
        remedy=lambda: _remedy(study, chain, device, wire),
        unknown=f"Its {device.kind} has no rating yet: {device.unknown}.",
        ask="Give the missing current, or write the rating.",
        working=lambda: wire.working,
    )


def _remedy(study: Study, chain: Chain, device: Device, wire: WireHeat) -> str:
    ways = []
    if device.chain != chain.name and chain.kind == "wire":
        ways.append("Give it a fuse of its own where it begins: fuse: 1 A.")
    fit = smaller(study, chain, device) if device.chain == chain.name or device.at_far_end else None
    if fit is not None:
        ways.append(f"Take {fit.words}, which still holds the load.")
    gauge = thicker(study, chain)
    allowed = None if device.rating_a is None else enough_for(wire, device.rating_a)
    if gauge is not None:
        carries = allowed is not None and allowed[0] == gauge
        does = f"may carry {amps(allowed[1])} there" if allowed and carries else "passes there"
        ways.append(f"AWG {gauge} {does}.")
    return " Or: ".join(ways) or "Split the circuit, or lead its wire outside this bundle."
