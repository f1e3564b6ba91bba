"""Are device and wire what the maker of the box asks for?"""

from collections.abc import Iterator

from elec.analyses.chains import Chain, chains
from elec.analyses.picking import Asked, asks
from elec.analyses.shelf import asked_gauges
from elec.analyses.sizing import sizing
from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import AWGS, Cite
from elec.study import Study


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


def _device(study: Study, chain: Chain, asked: Asked) -> Finding:
    device = sizing(study).devices[chain.name]
    at = ("equipment", asked.load, "maker-asks")
    text = f"{device.label}; the maker of {asked.title} asks for {asked.rating_a:g} A."
    verdict = Verdict.PASS
    remedy = f"Take {asked.rating_a:g} A, or write down why not under accept."
    if device.rating_a is None:
        verdict, text = Verdict.CANNOT_TELL, f"It has no rating yet: {device.unknown}."
        remedy = "Give the missing current."
    elif device.rating_a > asked.rating_a * (1 + 1e-9):
        verdict = Verdict.FAIL if asked.alone else Verdict.ADVISE
        if not asked.alone:
            remedy = f"Give {asked.title} a circuit of its own behind {asked.rating_a:g} A."
        elif (device.needed_a or 0.0) > asked.rating_a:
            remedy = (
                f"Its draw as given asks for {device.needed_a:.2g} A: read the manual again, or "
                "measure it."
            )
    elif device.rating_a < asked.rating_a * (1 - 1e-9):
        verdict = Verdict.ADVISE
    return answer(
        study,
        chain.name,
        verdict,
        text,
        at=at,
        remedy=remedy,
        value=device.rating_a,
        limit=asked.rating_a,
        unit="A",
    )


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
