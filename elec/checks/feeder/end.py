"""Is a feeder protected at the end that the battery feeds?"""

from collections.abc import Iterator

from elec.analyses.chains import Chain, chains
from elec.analyses.heat import heat
from elec.analyses.hot import BackFed, back_fed
from elec.check import check
from elec.checks.answer import amps, answer
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every feeder is protected at each end that a battery feeds",
    sources=(Cite("ac4313", "11-47", "seen"), Cite("trade", "alternator cable", "memory")),
)
def feeder_end(study: Study) -> Iterator[Finding]:
    """A wire between two sources is fed from both ends; a device at one end does not guard it.

    The alternator's cable is the usual case: the alternator limits itself, the battery does not.
    The limiter belongs at the bus. elec puts the device where the feeder comes `from`: write the
    bus as `from` and the alternator as `to`.
    """
    for chain in chains(study).of("feeder"):
        if chain.conductors():
            yield _finding(study, chain)


def _finding(study: Study, chain: Chain) -> Finding:
    feeder = study.document.feeders[int(chain.path[1])]
    back = back_fed(study).get(chain.name)
    verdict, text = Verdict.PASS, f"{chain.title}: no battery feeds it from its far end."
    allowed = min((heat(study)[c.id].allowed_a for c in chain.conductors()), default=0.0)
    if back is not None:
        verdict, text = _fed(back, allowed)
        if feeder.unprotected and not back.device:
            verdict, text = Verdict.PASS, f"No device, because: {feeder.unprotected}."
    return answer(
        study,
        chain.name,
        verdict,
        text,
        at=chain.path,
        remedy=f"Let it begin there: from: {chain.far_end}, to: {chain.source_end}; the device "
        f"then sits at {chain.far_end.replace('-', ' ')}. Or fit a second device at that end.",
        value=back.rating_a if back else None,
        limit=allowed,
        unit="A",
    )


def _fed(back: BackFed, allowed: float) -> tuple[Verdict, str]:
    if not back.device:
        text = f"Shorted, {back.battery} feeds it from its far end, past its own device, and "
        return Verdict.FAIL, text + "nothing opens."
    if back.rating_a is not None and back.rating_a > allowed:
        text = f"From its far end {back.battery} feeds it through a {back.device}; "
        return Verdict.ADVISE, f"{text}the wire may carry {amps(allowed)}."
    return (
        Verdict.PASS,
        f"From its far end {back.battery} feeds it through a {back.device}, which protects it.",
    )
