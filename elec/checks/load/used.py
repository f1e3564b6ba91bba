"""Is every load on in some phase?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.demand import conditions, demand


@check(
    "Every load is on in some phase",
    sources=(Cite("mil_e_7016", "all operating conditions", "seen"),),
)
def load_used(study: Study) -> Iterator[Finding]:
    """A load that is on in no phase is in no sum and no voltage, however large it is.

    Say when it is on. `on: never` is right for something fitted and not used yet; accept the
    advice with that reason.
    """
    flown = conditions(study)
    for name, load in demand(study).loads.items():
        on = [
            phase
            for phase in study.document.phases
            if any(m.share for c in flown for m in load.active(phase, c))
        ]
        title = study.system.title("equipment", name)
        yield answer(
            study,
            name,
            passes(bool(on), Verdict.ADVISE),
            f"{title} is on in {listed(study.system.title('phases', p) for p in on)}."
            if on
            else f"{title} is on in no phase that is flown.",
            at=("equipment", name),
            remedy="Give on: always, a phase, or a range such as taxi..approach; see also when: "
            "and the conditions that are flown.",
            value=float(len(on)),
        )
