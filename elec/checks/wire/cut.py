"""Is what was cut long enough?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import length, run_length
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite, default
from elec.study import Study
from elec.wiring.built import built
from elec.wiring.chains import Conductor, chains
from elec.wiring.runs import run_as_planned
from elec.working import within


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


def _short(cut_m: float, needed_m: float) -> bool:
    return not within(cut_m, needed_m - default("cut-tolerance").si, "at least")


def _finding(study: Study, name: str, wire: Conductor, cut_m: float) -> Finding:
    needed = run_as_planned(study, wire).length_m
    return compare(
        study,
        name,
        at=("build", name),
        value=cut_m,
        limit=needed,
        rule="at least",
        unit="m",
        otherwise=Verdict.ADVISE if needed and _short(cut_m, needed) else Verdict.PASS,
        says=f"{length(study, cut_m)} were cut; its run asks for "
        f"{run_length(study, needed)}, slack included.",
        remedy="Measure the way again and correct its length; if it holds, cut a new one.",
        unknown=f"{length(study, cut_m)} were cut; how long it has to be is not known.",
        ask="Give the missing way or length.",
    )
