"""Does every feeder have its device, or may it go without?

What may go without a device is decided in `answers.short.bare`; no number is judged here.
"""

from collections.abc import Iterator

from elec.answers.short.bare import bare
from elec.check import check
from elec.checks.answer import answer
from elec.checks.feeder._bare import LIMITS, about_bare
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains


@check(
    "Every feeder has a protective device, or may go without",
    sources=(Cite("cfr_23", "23.1357(a)", "quoted"), Cite("ac4313", "11-47", "seen")),
    limits=LIMITS,
    heats=True,
)
def feeder_device(study: Study) -> Iterator[Finding]:
    """A feeder carries most energy of all: shorted without a limiter it burns through the cowl.

    The cable between the starter's battery and its stud goes without, since nothing that holds the
    starter protects it: with a contactor close to the battery, and so thick that it bears a short
    until somebody switches off. So does a stub of a few inches. A reason under `unprotected:` alone
    makes nothing safe.
    """
    for chain in chains(study).of("feeder"):
        yield _finding(study, chain)


def _finding(study: Study, chain: Chain) -> Finding:
    feeder = study.document.feeders[int(chain.path[1])]
    found = bare(study).get(chain.name)
    if found is not None and feeder.unprotected and found.kind != "none":
        return about_bare(study, chain, found, feeder.unprotected, "limiter: auto")
    if chain.device is not None:
        begins = study.document.sources.get(feeder.from_)
        late = begins is not None and begins.kind == "alternator"
        end = "far end, at the bus" if late else "beginning"
        text, verdict = f"{sizing(study).devices[chain.name].label} at its {end}", Verdict.PASS
        if chain.far is not None:
            text += f", {sizing(study).devices[chain.far.name].label} at its far end"
        text += "."
    elif not chain.conductors():
        text, verdict = "Its ends touch: there is no wire to protect.", Verdict.PASS
    else:
        text, verdict = f"{chain.title}: nothing protects this wire.", Verdict.FAIL
    return answer(
        study,
        chain.name,
        verdict,
        text,
        at=chain.path,
        remedy="Write limiter: auto, fuse: auto or breaker: auto.",
    )
