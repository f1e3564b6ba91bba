"""What stands by for another load, and which circuits are twins of each other.

In: `backup:` of the equipment, demand. Out: what a stand-by's wire carries when it is needed, and
each circuit's twins: the same device and wire, since either has to run to the end of the flight.
"""

from collections.abc import Mapping

from elec.model.system import Condition
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.wiring.demand import circuit_amps, conditions, demand, stand_ins
from elec.working import unrounded


def standing_amps(study: Study, loads: tuple[str, ...], phase: str, condition: Condition) -> float:
    """What loads draw together in a moment, where one that another's loss brings in runs, too."""
    amps = circuit_amps(study, loads, phase, condition)
    for load in loads:
        others = stand_ins(study).get(load, ())
        if any(circuit_amps(study, (one,), phase, condition) > 0 for one in others):
            amps += max(0.0, _most(study, load) - circuit_amps(study, (load,), phase, condition))
    return amps


def _most(study: Study, load: str) -> float:
    return max(
        (
            circuit_amps(study, (load,), phase, condition)
            for phase in study.document.phases
            for condition in conditions(study)
        ),
        default=0.0,
    )


@analysis
def twins(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Circuit → circuits of loads that stand in for its own and are of the same kind."""
    of = {
        chain.loads[0]: chain.name
        for chain in chains(study).of("circuit")
        if len(chain.loads) == 1 and len(chains(study).feeds.get(chain.loads[0], ())) == 1
    }
    found: dict[str, tuple[str, ...]] = {}
    for load, others in stand_ins(study).items():
        alike = tuple(of[one] for one in others if one in of and _alike(study, load, one))
        if load in of and alike:
            found[of[load]] = tuple(dict.fromkeys(alike))
    return found


def _alike(study: Study, load: str, other: str) -> bool:
    """Whether two loads are of one kind: the same character, and draws that agree."""
    first, second = study.document.equipment[load], study.document.equipment[other]
    return first.character == second.character and _draws(study, load) == _draws(study, other)


def _draws(study: Study, load: str) -> set[float]:
    found = demand(study)
    entry = found.loads.get(load)
    return {
        unrounded(found.highest_a(m.peak))
        for modes in (entry.phases.values() if entry else ())
        for m in modes
        if m.peak is not None
    }


__all__ = ["standing_amps", "twins"]
