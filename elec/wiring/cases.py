"""The cases: phase × day or night × which sources work × how the loads are counted.

Of loads that exclude one another each is on in a case of its own: the greatest need not be the one
that loads a certain wire most. In: phases, conditions, sources, exclusive groups. Out: `Case`
records in a fixed order.
"""

import math
from collections.abc import Mapping
from itertools import product
from typing import Literal

from msgspec import Struct

from elec.model.system import Condition
from elec.model.wiring import Feeder
from elec.study import Study, analysis
from elec.wiring.demand import conditions, demand

Count = Literal["steady", "momentary", "lasting"]
"""`steady` counts each load with its share of the time, `momentary` all that may be on at one
moment, `lasting` all that may be on together for more than five minutes."""


class Scenario(Struct, frozen=True, kw_only=True):
    """Which sources are lost, and whether the pilot has shed what can be shed."""

    name: str
    title: str
    lost: frozenset[str]
    emergency: bool
    after_s: float = math.inf
    """Time since the failure, in an emergency: loads with a later shedding time are still on."""
    low: bool = False
    """The batteries are low and take charge, each as much as its own resistance lets in."""


class Case(Struct, frozen=True, kw_only=True):
    """One state of the system that is solved as a whole."""

    phase: str
    condition: Condition
    scenario: Scenario
    count: Count
    instead: tuple[str, ...] = ()
    """Loads that are on in place of the one that draws most of their exclusive group."""

    @property
    def title(self) -> str:
        """`taxi, night, all well`."""
        names = " and ".join(name.replace("-", " ") for name in self.instead)
        return f"{self.phase}, {self.condition}, {self.scenario.title}" + (
            f", {names} on" if names else ""
        )


NORMAL = Scenario(name="normal", title="all well", lost=frozenset(), emergency=False)
RECHARGING = Scenario(
    name="recharging", title="batteries low", lost=frozenset(), emergency=False, low=True
)


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
    elif any(feeder.used == "emergency" for feeder in study.document.feeders):
        title = "changed over, loads shed"
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
        Case(phase=phase, condition=condition, scenario=scenario, count=count, instead=instead)
        for count in _COUNTS
        for scenario in scenarios(study)
        for condition in conditions(study)
        for phase in study.document.phases
        for instead in (alternatives(study, phase, condition) if count == "momentary" else ((),))
    )


def recharging_cases(study: Study) -> tuple[Case, ...]:
    """Every phase in which the engine runs, all that lasts on, and the batteries low.

    Beside `cases`: they say what charging asks of wires and alternators, not how low a bus goes.
    """
    phases = study.document.phases.items()
    return tuple(
        Case(phase=phase, condition=condition, scenario=RECHARGING, count="lasting")
        for phase, entry in phases
        if entry.engine is None or entry.engine.state == "running"
        for condition in conditions(study)
    )


def exclusive_groups(
    study: Study, phase: str, condition: Condition
) -> Mapping[str, tuple[str, ...]]:
    """Exclusive group → the loads of it that may be on, the one that draws most first."""
    found = demand(study)
    groups: dict[str, list[tuple[float, str]]] = {}
    for name, load in found.loads.items():
        group = study.document.equipment[name].exclusive
        if group is None:
            continue
        draws = [
            m.peak for m in load.active(phase, condition) if m.peak is not None and m.share > 0
        ]
        amps = max((found.highest_a(draw) for draw in draws), default=0.0)
        if amps > 0:
            groups.setdefault(group, []).append((amps, name))
    return {
        group: tuple(name for _, name in sorted(members, key=lambda pair: -pair[0]))
        for group, members in groups.items()
    }


def alternatives(study: Study, phase: str, condition: Condition) -> tuple[tuple[str, ...], ...]:
    """Every choice of one load of each exclusive group, as what is on in place of the greatest.

    With many groups not every choice, but every load in one at least.
    """
    groups = list(exclusive_groups(study, phase, condition).values())
    if math.prod(map(len, groups)) <= MOST_CHOICES:
        picks = list(product(*groups))
    else:
        picks = [
            tuple(group[turn % len(group)] for group in groups)
            for turn in range(max(map(len, groups)))
        ]
    return tuple(
        tuple(name for name, group in zip(pick, groups, strict=True) if name != group[0])
        for pick in picks
    )


MOST_CHOICES = 8
"""So many choices among exclusive groups are solved each by itself."""


_COUNTS: tuple[Count, ...] = ("momentary", "steady")
