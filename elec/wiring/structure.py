"""What returns through the airframe, and how much current it carries.

In: chains, sizing. Out: what ends on structure, by place; amperes.
"""

from collections.abc import Mapping

from elec.study import Study
from elec.wiring.chains import STRUCTURE, chains
from elec.wiring.demand import circuit_amps, conditions


def on_structure(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Place → titles of loads and sources whose return ends on the structure there."""
    found: dict[str, dict[str, None]] = {}
    for chain in chains(study).by_name.values():
        for row in chain.rows:
            end = row.parts[-1]
            if end.name == STRUCTURE and end.kind == "ground":
                found.setdefault(end.place, {})[row.parts[0].label] = None
    return {place: tuple(titles) for place, titles in found.items()}


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
