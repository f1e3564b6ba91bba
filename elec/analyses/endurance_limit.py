"""How long the battery has to last: the published minutes, or the flight where there is no alternator.

In: ceiling, phases, limits. Out: `EnduranceLimit`.
"""

from dataclasses import dataclass

from elec.analyses.endurance import Endurance
from elec.analyses.limits import limit
from elec.study import Study

HIGH_M = 25000 * 0.3048
"""Above this ceiling the longer time is asked (14 CFR 23.1353(h), from memory)."""


@dataclass(frozen=True, kw_only=True)
class EnduranceLimit:
    """Minutes that are asked, and why so many."""

    minutes: float
    why: str


def endurance_limit(study: Study, found: Endurance) -> EnduranceLimit:
    """What this system has to show."""
    if not found.alternator:
        return EnduranceLimit(
            minutes=flight_min(study), why="the whole flight, for nothing charges it"
        )
    ceiling = study.system.about.ceiling_m
    high = ceiling is not None and ceiling > HIGH_M
    rule = limit(study, "endurance-high" if high else "endurance")
    why = "ceiling above 25 000 ft" if high else "ceiling up to 25 000 ft"
    if rule.tightened:
        why = rule.origin
    return EnduranceLimit(minutes=rule.value / 60, why=why)


def flight_min(study: Study) -> float:
    """All phases together, in minutes."""
    return sum(phase.lasts_s for phase in study.document.phases.values()) / 60
