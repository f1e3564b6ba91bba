"""Does every feeder have its device, or a reason for none?"""

from collections.abc import Iterator

from elec.analyses.chains import Chain, chains
from elec.analyses.sizing import sizing
from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every feeder has a protective device, or a stated reason for none",
    sources=(Cite("cfr_23", "23.1357(a)", "quoted"), Cite("ac4313", "11-47", "seen")),
)
def feeder_device(study: Study) -> Iterator[Finding]:
    """A feeder carries most energy of all: shorted without a limiter it burns through the cowl.

    The cable between battery and starter may go without, if it is short, booted at its ends and
    touches nothing; say that under `unprotected:`.
    """
    for chain in chains(study).of("feeder"):
        yield _finding(study, chain)


def _finding(study: Study, chain: Chain) -> Finding:
    feeder = study.document.feeders[int(chain.path[1])]
    if chain.device is not None:
        text, verdict = f"{sizing(study).devices[chain.name].label} at its beginning.", Verdict.PASS
    elif feeder.unprotected:
        text, verdict = f"No device, because: {feeder.unprotected}.", Verdict.PASS
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
        remedy="Write limiter: auto, fuse: auto or breaker: auto; or say under unprotected: why it "
        "may go without.",
    )
