"""Are device and wire what the maker of the box asks for?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.sizing.devices import Device
from elec.sizing.picking import MakersDevice, asks
from elec.sizing.shelf import asked_gauges
from elec.sizing.sizing import sizing
from elec.standards import AWGS, Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.working import within


@check(
    "Every breaker and wire is what the maker of the equipment asks for",
    sources=(Cite("ac4313", "11-47 and 11-48", "memory"),),
)
def device_as_asked(study: Study) -> Iterator[Finding]:
    """The maker knows what his box takes at its worst, and what its own wiring bears.

    Asked is only where `maker-asks:` says so. A greater rating or a thinner wire than he asks for
    fails; a smaller rating is advice, since it may open in use.
    """
    for chain in chains(study).of("circuit"):
        asked = asks(study, chain)
        if asked is not None:
            yield _device(study, chain, asked)
        wanted = asked_gauges(study, chain)
        if wanted is not None:
            yield _wire(study, chain, wanted[0])


def _device(study: Study, chain: Chain, asked: MakersDevice) -> Finding:
    device = sizing(study).devices[chain.name]
    small = device.rating_a is not None and not within(device.rating_a, asked.rating_a, "at least")
    return compare(
        study,
        chain.name,
        at=("equipment", asked.load, "maker-asks"),
        value=device.rating_a,
        limit=asked.rating_a,
        unit="A",
        otherwise=Verdict.FAIL if asked.alone and not small else Verdict.ADVISE,
        besides=not small,
        says=f"{device.label}; the maker of {asked.title} asks for {asked.rating_a:g} A.",
        remedy=f"Take {asked.rating_a:g} A, or write down why not under accept."
        if small
        else _too_great(device, asked),
        unknown=f"It has no rating yet: {device.unknown}.",
        ask="Give the missing current.",
    )


def _too_great(device: Device, asked: MakersDevice) -> str:
    """What helps where the rating is greater than the maker asks for."""
    if not asked.alone:
        return f"Give {asked.title} a circuit of its own behind {asked.rating_a:g} A."
    if device.needed_a is not None and not within(device.needed_a, asked.rating_a):
        needed = f"{device.needed_a:.2g} A"
        return f"Its draw as given asks for {needed}: read the manual again, or measure it."
    return f"Take {asked.rating_a:g} A, or write down why not under accept."


def _wire(study: Study, chain: Chain, awg: str) -> Finding:
    gauges = [sizing(study).gauges[c.id].awg for c in chain.conductors()]
    thinnest = min(gauges, key=AWGS.index)
    good = AWGS.index(thinnest) >= AWGS.index(awg)
    load = next(n for n in chain.loads if study.document.equipment[n].maker_asks is not None)
    return answer(
        study,
        f"{chain.name} wire",
        Verdict.PASS if good else Verdict.FAIL,
        f"Its wire is AWG {thinnest}; its maker asks for AWG {awg} or thicker.",
        at=("equipment", load, "maker-asks"),
        remedy=f"Take AWG {awg}, or leave gauge out and it is chosen.",
    )
