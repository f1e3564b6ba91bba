"""Is the wire thick enough not to break?"""

from collections.abc import Iterator

from elec.answers.base.marks import gauge_of, marks
from elec.check import check
from elec.checks.answer import answer, tightened
from elec.checks.compare import judged
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.standards import AWGS, Cite
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.limits import limit

POWER = ("feed", "return", "ground")
ADVISE = Verdict.ADVISE


@check(
    "No wire is so thin that it breaks",
    sources=(Cite("trade", "mechanical strength", "memory"),),
    limits=("minimum-power-gauge", "minimum-signal-gauge"),
)
def wire_strength(study: Study) -> Iterator[Finding]:
    """Thin wires break where they leave a terminal, from pulling them in and from vibration.

    A broken power wire takes its load away, so a thinner one fails; of signal wires it is advice.
    Inside a jacketed cable cores may be thinner where the maker of the cable says so.
    """
    for chain in chains(study).by_name.values():
        wires = [c for c in chain.conductors() if c.role != "coax"]
        if wires:
            yield _finding(study, chain, wires)


def _finding(study: Study, chain: Chain, wires: list[Conductor]) -> Finding:
    gauges = {c.id: gauge_of(sizing(study).gauges, c) for c in wires}
    power = wires[0].role in POWER
    least = limit(study, "minimum-power-gauge" if power else "minimum-signal-gauge")
    what = "power" if power else "signal"
    if any(awg not in AWGS for awg in gauges.values()):
        return answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"{chain.title}: its gauge is not known; AWG {least.awg} is the thinnest for a {what} "
            "wire.",
            at=chain.path,
            remedy="Give the gauge in the cable's type, such as 2-core AWG 22 shielded.",
        )
    thinnest = min(wires, key=lambda c: AWGS.index(gauges[c.id]))
    awg = gauges[thinnest.id]
    return answer(
        study,
        marks(study)[thinnest.id],
        judged(AWGS.index(awg), least.value, least.bound, otherwise=None if power else ADVISE),
        f"{chain.title}: AWG {awg} for a {what} wire; AWG {least.awg} is the thinnest that lasts."
        f"{tightened(least)}",
        at=chain.path,
        remedy=f"Take AWG {least.awg} or thicker.",
    )
