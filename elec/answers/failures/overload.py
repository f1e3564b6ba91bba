"""What carries too much after any single failure, in every phase in which no starter turns.

In: the failures in cruise, and a sweep over the other phases. Out: `Overloads`. Failures that only
take loads off are not solved: they raise no current elsewhere.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from elec.answers.failures.failure_cascade import Overheated, Trip
from elec.answers.failures.failure_currents import feeder_places
from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failure_states import FeederAmps
from elec.answers.failures.failures import decisive, in_other, shifting, worst_condition
from elec.answers.time.endurance import cruise_phase
from elec.model.system import Condition
from elec.sizing.order import cranking
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.wiring.demand import conditions, demand
from elec.working import unrounded

NEARLY = 1 - 1e-6
"""What carries less than this part of the most is not equal to it in eight digits."""


class Overload(Struct, frozen=True, kw_only=True):
    """One failure in one phase; nothing opens and nothing gets hot where both are empty."""

    failure: Failure
    phase: str
    condition: Condition
    trips: tuple[Trip, ...]
    hot: tuple[Overheated, ...]
    carried: Mapping[str, float]
    """Feeder → the most that it carries; empty where not solved."""
    solved: bool


class Overloads(Struct, frozen=True, kw_only=True):
    """All of them, and where they were looked for."""

    found: tuple[Overload, ...]
    asked: tuple[str, ...]
    """Phases, in the builder's order."""
    not_asked: tuple[str, ...]
    """Phases in which the starter turns: seconds, in which no device opens by warmth."""
    condition: Condition
    """In which all of them were asked."""
    also: tuple[str, ...]
    """Phases asked in the other condition, too: something is on in it alone."""


@analysis
def overloads(study: Study) -> Overloads:
    """Every failure that may shift current, at once and after changing over."""
    brief, phases = cranking(study), tuple(study.document.phases)
    asked = tuple(name for name in phases if name not in brief)
    usual = worst_condition(study)
    if not asked or not chains(study).feeds:
        return Overloads(found=(), asked=(), not_asked=(), condition=usual, also=())
    cruise = cruise_phase(study)
    found = list(decisive(study))
    for name in asked:
        found += shifting(study, name) if name != cruise else ()
    also: tuple[str, ...] = ()
    for other in conditions(study):
        if other != usual:
            also = tuple(name for name in asked if _more(study, name, other, usual))
            found += in_other(study, also, other)
    return Overloads(
        found=tuple(
            Overload(
                failure=effect.failure,
                phase=effect.phase,
                condition=effect.condition,
                trips=effect.trips,
                hot=effect.hot,
                carried=effect.carried,
                solved=effect.solved,
            )
            for effect in found
        ),
        asked=asked,
        not_asked=tuple(name for name in phases if name in brief),
        condition=usual,
        also=also,
    )


def worst_of_feeders(study: Study, found: Sequence[Overload]) -> Mapping[str, Overload]:
    """Feeder → the failure after which it carries most; of equal ones the first."""
    known = [(one, one.carried.amps) for one in found if isinstance(one.carried, FeederAmps)]
    if not known:
        return {}
    worst: dict[str, Overload] = {}
    table = np.array([amps for _, amps in known])
    for name, amps in zip(feeder_places(study), table.T, strict=True):
        near = np.flatnonzero(amps >= NEARLY * amps.max()).tolist()
        worst[name] = known[max(near, key=lambda at: unrounded(float(amps[at])))][0]
    return worst


def _more(study: Study, phase: str, condition: Condition, usual: Condition) -> bool:
    """Whether anything is on in a phase in this condition that is not in the usual one."""
    return any(
        any(mode.share > 0 for mode in load.active(phase, condition))
        and not load.active(phase, usual)
        for load in demand(study).loads.values()
    )
