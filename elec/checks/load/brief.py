"""Is what is said to be intermittent on for short times?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import Cite, default
from elec.study import Study
from elec.units import show
from elec.wiring.demand import conditions, demand
from elec.working import within


@check(
    "What is said to be intermittent is on for short times",
    sources=(Cite("ac4313", "table 11-6", "memory"),),
    given="intermittent: yes on equipment",
)
def load_brief(study: Study) -> Iterator[Finding]:
    """`intermittent: yes` lets a load lose more voltage and use the whole rating of its device.

    Both hold for what is on for two minutes at a time. A pump that runs through the whole cruise is
    none of these, whatever is written: its device may open in flight, and its wire is judged as
    if it could cool down. Leave `intermittent` out, or say how short it is on in each phase.
    """
    for name, entry in study.document.equipment.items():
        if entry.intermittent and name in demand(study).loads:
            yield _finding(study, name)


def _finding(study: Study, name: str) -> Finding:
    load, phases = demand(study).loads[name], study.document.phases
    whole = {
        phase: phases[phase].lasts_s
        for condition in conditions(study)
        for phase in phases
        for mode in load.active(phase, condition)
        if within(mode.counted, 1.0, "at least")
    }
    brief = default("intermittent-time")
    title = study.system.title("equipment", name)
    longest = max(whole, key=lambda phase: whole[phase], default=None)
    if longest is None or within(whole[longest], brief.si):
        return answer(
            study, name, Verdict.PASS, f"{title} is on for short times.", at=("equipment", name)
        )
    return answer(
        study,
        name,
        Verdict.FAIL,
        f"{title} is written as intermittent and is on all through "
        f"{study.system.title('phases', longest)}, {show(whole[longest], 's')}: "
        f"more than {show(brief.si, 's')} at a time is not intermittent.",
        at=("equipment", name, "intermittent"),
        remedy="Leave intermittent: yes out, or say how long it is on at a time, such as "
        f"on: {{{longest}: 1 min}}.",
        value=whole[longest],
        limit=brief.si,
        unit="s",
    )
