"""Does every case have an operating point?"""

from collections.abc import Iterator

import numpy as np

from elec.answers.base.points import points
from elec.check import check
from elec.checks.answer import answer, count, listed, percent
from elec.finding import Finding, Verdict
from elec.network.collapse import collapse
from elec.network.netlist import State
from elec.standards import Cite
from elec.study import Study
from elec.wiring.cases import Case


@check(
    "The sources can deliver what is asked in every case",
    sources=(Cite("textbook", "nodal equations", "computed"),),
)
def network_solved(study: Study) -> Iterator[Finding]:
    """Boxes that keep their power draw more as the voltage sinks; past a point it runs away.

    Such a case has no steady state: the voltage collapses until something drops out. Take load
    off, or make the way from the battery shorter and thicker. What could not be computed at all is
    a cannot-tell, and worth a report.
    """
    solution, cases = points(study).solution, points(study).cases
    document = study.document
    missing = [key for key in ("sources", "phases", "equipment", "circuits")
               if not getattr(document, key)]  # fmt: skip
    if missing:
        yield answer(
            study,
            "nothing to judge",
            Verdict.CANNOT_TELL,
            f"Nothing is solved, for the file has no {' and no '.join(missing)}: what passes says "
            "nothing about a system.",
            at=("system",),
            remedy="Go on with the file; elec new FILE writes one that is whole.",
            value=0.0,
        )
    if missing or not cases:
        return
    yield from _each(study, [cases[i] for i in np.flatnonzero(solution.state == State.COLLAPSED)])
    broken = [cases[i] for i in np.flatnonzero(solution.state == State.NUMERICAL)]
    if broken:
        yield answer(
            study,
            "network",
            Verdict.CANNOT_TELL,
            f"{count(len(broken), 'case')} could not be computed: "
            f"{listed(dict.fromkeys(c.title for c in broken), 3)}.",
            at=("feeders",),
            remedy="Look for a loop without resistance or a quantity that cannot be; report it if "
            "you find none.",
            value=float(len(broken)),
            limit=0.0,
        )
    if (solution.state == State.SOLVED).all():
        yield answer(
            study,
            "network",
            Verdict.PASS,
            f"All {len(cases)} cases have an operating point.",
            at=("feeders",),
            value=float(len(cases)),
        )


def _each(study: Study, collapsed: list[Case]) -> Iterator[Finding]:
    """One finding a state and phase, for the count and condition that can deliver least."""
    found = points(study)
    done: dict[tuple[str, str], tuple[float, Case]] = {}
    for case in collapsed:
        served = float(found.solution.served[found.cases.index(case)])
        key = (case.scenario.name, case.phase)
        if key not in done or served < done[key][0]:
            done[key] = (served, case)
    for served, case in done.values():
        counted = (
            "with everything on at once" if case.count == "momentary" else "with lasting loads"
        )
        yield answer(
            study,
            f"{case.phase}, {case.scenario.name}",
            Verdict.FAIL,
            f"{study.system.title('phases', case.phase)}, {case.condition}, {case.scenario.title}, "
            f"{counted}: the sources can deliver {percent(served)} of the demand; the voltage "
            f"collapses. {_cause(study, case)}".rstrip(),
            at=("phases", case.phase),
            remedy="Take load off in that state (shed), or bring the battery nearer with thicker "
            "wire; load-voltage names the loads that starve.",
            value=served,
            limit=1.0,
        )


def _cause(study: Study, case: Case) -> str:
    """Which load asks for too much, and what it could have."""
    found = points(study)
    why = collapse(found.model.netlist, found.model.values, found.cases.index(case))
    if why is None or not why.short:
        return ""
    limited = [study.system.title("sources", name) for name in why.limited]
    said = f"{why.cause or why.short[0]}."
    return f"{said} At its limit: {listed(limited)}." if limited else said
