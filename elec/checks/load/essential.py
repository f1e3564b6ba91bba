"""Is every essential load fed when the alternator is gone?"""

from collections.abc import Iterator

from elec.answers.drop.voltages import Reach, load_reach
from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.demand import demand


@check(
    "Every essential load is fed whichever source is lost",
    sources=(Cite("cfr_23_64", "23.2525(b)", "seen"), Cite("cfr_23", "23.1353(h)(1)", "seen")),
    given="essential on equipment",
)
def load_essential(study: Study) -> Iterator[Finding]:
    """What ends the flight safely must have a way to a battery when an alternator is lost.

    Looked at is every phase with each source lost in turn, and after shedding. Hang it on a bus
    that the battery still reaches then, or let another feeder close (`used: emergency`).
    """
    fed = chains(study).feeds
    for name, entry in study.document.equipment.items():
        if entry.essential and not entry.passive and name in fed:
            load = demand(study).loads.get(name)
            if load is None or not load.known:
                yield _unknown(study, name)
            else:
                yield _finding(study, name, load_reach(study).get(name, ()))


def _unknown(study: Study, name: str) -> Finding:
    return answer(
        study,
        name,
        Verdict.CANNOT_TELL,
        f"{study.system.title('equipment', name)} is essential and its current is not known, so it "
        "is left out of the solved cases.",
        at=("equipment", name),
        remedy="Read its current off the label, or measure it, and give it as draw.",
    )


def _finding(study: Study, name: str, lost: tuple[Reach, ...]) -> Finding:
    title = study.system.title("equipment", name)
    circuits = chains(study).feeds[name]
    buses = listed(
        dict.fromkeys(study.system.end_title(study.document.circuits[c].bus) for c in circuits)
    )
    states = list(dict.fromkeys(r.case.scenario.title for r in lost if r.case is not None))
    return answer(
        study,
        name,
        passes(not lost),
        f"{title} hangs on {buses}, which a source reaches in every case."
        if not lost
        else f"{title} hangs on {buses}, and no source reaches it in this state: {listed(states)}.",
        at=("circuits", circuits[0]),
        remedy="Put it on a bus that the battery reaches then, or add a feeder used: emergency.",
    )
