"""What is said of a start of which nobody says what its starter draws."""

from elec.answers.time.cranking import named_starter
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import default
from elec.study import Study
from elec.wiring.demand import demand


def no_current(study: Study, about: str, phase: str) -> Finding | None:
    """A starter of unknown current cannot be judged; None where no load is called a starter.

    Without any starter a start is not asked: no other load stands in for it.
    """
    for name, load in demand(study).loads.items():
        if named_starter(name) and load.phases.get(phase) and not load.known:
            starter, usual = study.system.title("equipment", name), default("crank-current")
            return answer(
                study,
                about,
                Verdict.CANNOT_TELL,
                f"What {starter} draws is not given, so what it does to the voltage in "
                f"{study.system.title('phases', phase)} is not worked out.",
                at=("equipment", name),
                remedy=f"Give its draw from its maker; usual are {usual.value:g} A "
                f"({usual.cite.remark}).",
            )
    return None
