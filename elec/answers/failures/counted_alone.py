"""What is counted of one load after the alternator is lost, in the case that is planned with.

In: a load, the case to plan with. Out: `CountedAlone`: in which phases it is counted until loads
are shed, and in which after that.
"""

import numpy as np
from msgspec import Struct

from elec.answers.base.points import points
from elec.answers.failures.planned import planned
from elec.answers.time.endurance import emergency_of, endurance
from elec.answers.time.flight import simulation
from elec.answers.time.loss import Loss, losses
from elec.model.system import Condition
from elec.study import Study
from elec.wiring.demand import demand
from elec.working import within


class CountedAlone(Struct, frozen=True, kw_only=True):
    """Where a load counts; phases by name, in the order in which they are flown."""

    condition: Condition
    seen_min: float
    """When the failure is seen and loads are shed, from the loss."""
    passed: tuple[str, ...]
    """The phases that are flown between the loss and the shedding."""
    until: tuple[str, ...]
    """Those of them in which the load is on."""
    later: tuple[str, ...]
    """The phases that are flown after the shedding: cruise, and the landing."""
    after: tuple[str, ...]
    """Those of them in which the load would be on if nothing took it."""
    dead_bus: str = ""
    """The bus that it goes with when loads are shed; empty: one that feeds it lives."""


def counted_alone(study: Study, load: str) -> CountedAlone | None:
    """What is counted of a load; None without a case of an alternator lost.

    Args:
        study: the system.
        load: the name of a piece of equipment that draws current.
    """
    found, entry = endurance(study), demand(study).loads.get(load)
    if found is None or not found.alternator or entry is None:
        return None
    case, search = planned(study), losses(study)
    worst = case.of if case is not None and isinstance(case.of, Loss) else None
    if worst is not None and search is not None:
        condition, seen_s = search.condition, worst.seen_s
        passed = _passed(study, worst)
    else:
        condition, seen_s, passed = found.condition, found.seen_s, (found.cruise,)
    later = tuple(dict.fromkeys((found.cruise, found.landing)))
    fed = [c.bus for c in study.document.circuits.values() if load in _names(c.feeds)]
    dead = bool(fed) and not any(_alive(study, bus, found.cruise, condition) for bus in fed)
    return CountedAlone(
        condition=condition,
        seen_min=seen_s / 60,
        passed=passed,
        until=tuple(p for p in passed if entry.active(p, condition)),
        later=later,
        after=tuple(p for p in later if entry.active(p, condition)),
        dead_bus=fed[0] if dead else "",
    )


def _passed(study: Study, worst: Loss) -> tuple[str, ...]:
    """The phases between a loss and when it is seen; what follows the flight is as its end."""
    made = simulation(study)
    parts = () if made is None else made.parts
    start, end = worst.time_s, worst.time_s + worst.seen_s
    inside = [p.phase for p in parts if not within(min(p.end_s, end), max(p.start_s, start))]
    beyond = [parts[-1].phase] if parts and parts[-1].end_s < end else []
    return tuple(dict.fromkeys((*inside, *beyond)))


def _names(feeds: tuple[str, ...]) -> set[str]:
    return {feed.partition(".")[0] for feed in feeds}


def _alive(study: Study, bus: str, phase: str, condition: Condition) -> bool:
    solved = points(study)
    scenario = emergency_of(study)
    mask = solved.select(phase=phase, condition=condition, scenario=scenario.name, count="steady")
    index = int(np.flatnonzero(mask)[0])
    return bus in solved.nodes and not np.isnan(solved.node_v(bus)[index])


__all__ = ["CountedAlone", "counted_alone"]
