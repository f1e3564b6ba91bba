"""The cases: phase × day or night × which sources work × how the loads are counted.

In: phases, conditions, sources. Out: `Case` records in a fixed order.
"""

import math
from typing import Literal

from elec.analyses.demand import conditions
from elec.model.system import Condition
from elec.model.wiring import Feeder
from elec.record import dataclass
from elec.study import Study, analysis

Count = Literal["steady", "momentary"]
"""`steady` counts each load with its share of the time, `momentary` all that may be on at one
moment."""


@dataclass(frozen=True, kw_only=True)
class Scenario:
    """Which sources are lost, and whether the pilot has shed what can be shed."""

    name: str
    title: str
    lost: frozenset[str]
    emergency: bool
    after_s: float = math.inf
    """Time since the failure, in an emergency: loads with a later shedding time are still on."""


@dataclass(frozen=True, kw_only=True)
class Case:
    """One state of the system that is solved as a whole."""

    phase: str
    condition: Condition
    scenario: Scenario
    count: Count

    @property
    def title(self) -> str:
        """`taxi, night, all well`."""
        return f"{self.phase}, {self.condition}, {self.scenario.title}"


NORMAL = Scenario(name="normal", title="all well", lost=frozenset(), emergency=False)


@analysis
def scenarios(study: Study) -> tuple[Scenario, ...]:
    """All well; each alternator lost; primary generation lost and loads shed."""
    sources = study.document.sources
    alternators = [name for name, s in sources.items() if s.kind == "alternator"]
    found = [NORMAL]
    found += [
        Scenario(
            name=f"{name}-failed",
            title=f"{study.system.title('sources', name)} failed",
            lost=frozenset({name}),
            emergency=False,
        )
        for name in alternators
    ]
    lost = frozenset(alternators) or frozenset(primary_batteries(study))
    if len(alternators) > 1:
        found.append(unshed(study))
    if lost:
        title = "on the battery, loads shed" if alternators else "on the second battery"
        found.append(Scenario(name="emergency", title=title, lost=lost, emergency=True))
    return tuple(found)


def unshed(study: Study) -> Scenario:
    """All alternators lost and nothing shed yet.

    What the battery carries until the pilot has seen it.
    """
    sources = study.document.sources
    alternators = frozenset(name for name, s in sources.items() if s.kind == "alternator")
    return Scenario(
        name="all-failed"
        if len(alternators) > 1
        else f"{next(iter(alternators), 'nothing')}-failed",
        title="all alternators failed, nothing shed",
        lost=alternators,
        emergency=False,
    )


def primary_batteries(study: Study) -> tuple[str, ...]:
    """Batteries that only feeders used in normal operation reach.

    Where others stand by for an emergency.
    """
    used: dict[str, set[str]] = {}
    for feeder in study.document.feeders:
        for end in (feeder.from_, feeder.to):
            if end in study.document.sources:
                used.setdefault(end, set()).add(feeder.used)
    if not any("emergency" in ways for ways in used.values()):
        return ()
    return tuple(name for name, ways in used.items() if ways == {"normal"})


def closed(feeder: Feeder, scenario: Scenario) -> bool:
    """Whether a feeder carries current in a scenario."""
    if feeder.used == "always":
        return True
    return feeder.used == ("emergency" if scenario.emergency else "normal")


@analysis
def cases(study: Study) -> tuple[Case, ...]:
    """Every case of the system."""
    return tuple(
        Case(phase=phase, condition=condition, scenario=scenario, count=count)
        for count in _COUNTS
        for scenario in scenarios(study)
        for condition in conditions(study)
        for phase in study.document.phases
    )


_COUNTS: tuple[Count, ...] = ("momentary", "steady")
