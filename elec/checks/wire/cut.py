"""Is what was cut long enough?"""

from collections.abc import Iterator

from elec.analyses.built import built
from elec.analyses.chains import Conductor, chains
from elec.analyses.runs import run_as_planned
from elec.check import check
from elec.checks.answer import answer, length, passes, run_length
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "What was cut is as long as its run",
    sources=(Cite("ac4313", "11-118", "seen"), Cite("elec", "wire length", "judgement")),
    given="cut under build",
)
def wire_cut(study: Study) -> Iterator[Finding]:
    """A wire cut short leaves no slack for a second crimp, or pulls on its connector.

    The run asked for contains slack at both ends. If the cut is right because the way is shorter
    than you wrote, correct the way: every other wire on it is then right too.
    """
    for conductor in chains(study).conductors():
        found = built(study).by_conductor.get(conductor.id)
        if found is not None and found.own and found.done.cut_m is not None:
            yield _finding(study, found.name, conductor, found.done.cut_m)


def _finding(study: Study, name: str, wire: Conductor, cut_m: float) -> Finding:
    needed = run_as_planned(study, wire).length_m
    at = ("build", name)
    if needed is None:
        return answer(
            study,
            name,
            Verdict.CANNOT_TELL,
            f"{length(study, cut_m)} were cut; how long it has to be is not known.",
            at=at,
            remedy="Give the missing way or length.",
            value=cut_m,
            unit="m",
        )
    return answer(
        study,
        name,
        passes(cut_m >= needed - 0.0127, Verdict.ADVISE),
        f"{length(study, cut_m)} were cut; its run asks for {run_length(study, needed)}, slack "
        "included.",
        at=at,
        remedy="Measure the way again and correct its length; if it holds, cut a new one.",
        value=cut_m,
        limit=needed,
        unit="m",
    )
