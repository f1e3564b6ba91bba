"""What is said of a start in which no load turns the engine."""

from elec.analyses.cranking import named_starter
from elec.analyses.demand import demand
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import default
from elec.study import Study


def no_starter(study: Study, about: str, phase: str) -> Finding:
    """A start without a starter cannot be judged: no other load stands in for it."""
    title = study.system.title("phases", phase)
    usual, time = default("crank-current"), default("crank-time")
    silent = [
        name
        for name, load in demand(study).loads.items()
        if named_starter(name) and load.phases.get(phase) and not load.known
    ]
    if silent:
        starter = study.system.title("equipment", silent[0])
        return answer(
            study,
            about,
            Verdict.CANNOT_TELL,
            f"{title}: what {starter} draws is not given, so what it does to the voltage is not "
            "worked out.",
            at=("equipment", silent[0]),
            remedy=f"Give its draw from its maker; usual are {usual.value:g} A "
            f"({usual.cite.remark}).",
        )
    return answer(
        study,
        about,
        Verdict.CANNOT_TELL,
        f"{title}: no load turns the engine, so what the starter does to the voltage is not worked "
        "out.",
        at=("phases", phase),
        remedy=f"Give the starter: {{draw: {usual.value:g} A, on: {{{phase}: {time.value:g} s}}, "
        f"character: motor}} is usual ({usual.cite.remark}). Started by hand: leave the phase out, "
        "or write engine: stopped.",
    )
