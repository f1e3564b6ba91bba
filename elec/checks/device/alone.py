"""Does an essential load share its device with nothing else?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import listed
from elec.checks.compare import compare
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains


@check(
    "No essential load shares its breaker or fuse with another load",
    sources=(Cite("cfr_23", "23.1357(b)", "seen"),),
)
def device_alone(study: Study) -> Iterator[Finding]:
    """A fault in the cabin light must not take the radio with it.

    What you need to end the flight safely gets a breaker of its own. Parts of one system that are
    useless without each other may share: accept the finding with that reason.
    """
    for chain in chains(study).of("circuit"):
        essential = [load for load in chain.loads if _essential(study, chain, load)]
        if essential:
            yield _finding(study, chain, essential)


def _essential(study: Study, chain: Chain, load: str) -> bool:
    return study.document.equipment[load].essential or study.document.circuits[chain.name].essential


def _finding(study: Study, chain: Chain, essential: list[str]) -> Finding:
    def named(loads: list[str]) -> str:
        return listed(study.system.title("equipment", load) for load in loads)

    others = [load for load in chain.loads if load != essential[0]]
    return compare(
        study,
        chain.name,
        at=chain.path,
        value=float(len(chain.loads)),
        limit=1.0,
        says=f"{named(essential)} has its device to itself.",
        fault=f"{named(essential[:1])} is essential and shares one device with {named(others)}.",
        remedy=f"Give {named(others)} a circuit of {'its' if len(others) == 1 else 'their'} own.",
    )
