"""How long the battery has to last: the published minutes, or a flight without alternator.

In: ceiling, phases, limits. Out: `EnduranceLimit`.
"""

from msgspec import Struct

from elec import units
from elec.answers.base.bodies import usable_share
from elec.answers.base.points import points
from elec.answers.time.endurance import Endurance, batteries
from elec.physics.battery import budget_ampere_minutes
from elec.standards import default
from elec.study import Study
from elec.wiring.cases import scenarios
from elec.wiring.limits import limit
from elec.working import within


class EnduranceLimit(Struct, frozen=True, kw_only=True):
    """Minutes that are asked, and why so many."""

    minutes: float
    why: str

    def met(self, minutes: float) -> bool:
        """Whether a battery that lasts so long lasts long enough."""
        return within(minutes, self.minutes, "at least")


def endurance_limit(study: Study, found: Endurance) -> EnduranceLimit:
    """What this system has to show."""
    if not found.alternator:
        return EnduranceLimit(
            minutes=flight_min(study), why="the whole flight, for nothing charges it"
        )
    given, usual = study.system.about.ceiling_m, default("ceiling").si
    ceiling = usual if given is None else given
    high = ceiling > default("high-ceiling").si
    rule = limit(study, "endurance-high" if high else "endurance")
    most = units.show(default("high-ceiling").si, "m", digits=0)
    own = units.show(ceiling, "m", study.system.about.units, digits=0)
    why = (
        f"{'default ' if given is None else ''}ceiling {own}, {'above' if high else 'up to'} {most}"
    )
    if rule.tightened:
        why = rule.origin
    return EnduranceLimit(minutes=rule.value / 60, why=why)


def flight_min(study: Study) -> float:
    """All phases together, in minutes."""
    return sum(phase.lasts_s for phase in study.document.phases.values()) / 60


def reserve_min(study: Study, found: Endurance) -> float | None:
    """How long the batteries that stand by carry the shed load after the first are empty.

    By ampere-minutes, in a system without alternator; None where there are none.
    """
    state = next((s for s in scenarios(study) if s.emergency), None)
    if found.alternator or state is None:
        return None
    solved = points(study)
    names = [branch.name for branch in solved.model.netlist.batteries]
    index = next(
        i
        for i, c in enumerate(solved.cases)
        if (c.phase, c.condition, c.scenario.name, c.count)
        == (found.cruise, found.condition, state.name, "steady")
    )
    drawn = -solved.solution.battery_a[:, index]
    budget = sum(
        budget_ampere_minutes(capacity_ah=b.capacity_ah, factor=usable_share(study, b))
        for name, b in batteries(study).items()
        if name not in found.batteries and drawn[names.index(name)] > 0
    )
    total = float(drawn.sum())
    return budget / total if total > 0 and budget > 0 else None
