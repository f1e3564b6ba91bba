"""How much return current the airframe carries.

In: chains, sizing. Out: amperes.
"""

from elec.analyses.chains import STRUCTURE, chains
from elec.analyses.demand import circuit_amps, conditions
from elec.study import Study


def structure_current_a(study: Study) -> float:
    """The most that loads returning to structure draw together in one phase and condition."""
    loads = tuple(
        dict.fromkeys(
            row.equipment
            for chain in chains(study).of("circuit")
            for row in chain.rows
            if row.role == "return" and _structural(study, row.parts[-1].name)
        )
    )
    return max(
        (
            circuit_amps(study, loads, phase, condition)
            for phase in study.document.phases
            for condition in conditions(study)
        ),
        default=0.0,
    )


def _structural(study: Study, ground: str) -> bool:
    if ground == STRUCTURE:
        return True
    entry = study.document.grounds.get(ground)
    return entry is not None and entry.kind == "structure"
