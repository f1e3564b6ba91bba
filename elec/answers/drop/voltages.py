"""The lowest voltage of every load in flight; and what no source reaches.

In: the solved cases. Out: `LoadVoltage` and `Reach`. Cases in which a load is off, or its bus is
dead on purpose, do not count for its voltage.
"""

from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from elec.answers.base.points import Points, points
from elec.network.netlist import State
from elec.sizing.order import cranking
from elec.study import Study, analysis
from elec.wiring.cases import Case
from elec.wiring.circuit_model import minimum_v


class LoadVoltage(Struct, frozen=True, kw_only=True):
    """One load over the cases in which it is on and fed. None where there is no such case."""

    equipment: str
    lowest_v: float
    case: Case
    minimum_v: float
    given: bool
    """Whether the minimum is the builder's; else a default."""
    collapsed: bool
    """Whether the sources cannot deliver the demand in that case."""
    served: float
    """Which part of the demand they can deliver there."""
    numerical: int
    """Cases that could not be computed."""


@analysis
def flight_voltages(study: Study) -> Mapping[str, LoadVoltage]:
    """The lowest voltage of every load in all cases but cranking."""
    return _lowest(study)


def _lowest(study: Study) -> Mapping[str, LoadVoltage]:
    found = points(study)
    short = cranking(study)
    cases = np.array([case.phase not in short for case in found.cases])
    if not cases.any() or not found.model.ports:
        return {}
    solution = found.solution
    on = _on(found) & cases[None, :]
    computed = (solution.state != State.NUMERICAL)[None, :]
    fed = on & computed & ~solution.unpowered
    across = np.where(fed, solution.load_v, np.inf)
    worst = across.argmin(axis=1)
    result: dict[str, LoadVoltage] = {}
    for row, port in enumerate(found.model.ports):
        entry = study.document.equipment.get(port.equipment)
        volts = float(across[row, worst[row]])
        broken = int((on[row] & ~computed[0]).sum())
        if entry is None or port.mode == "coil" or (not np.isfinite(volts) and not broken):
            continue
        before = result.get(port.equipment)
        if before is not None and before.lowest_v <= volts:
            continue
        index = int(worst[row])
        result[port.equipment] = LoadVoltage(
            equipment=port.equipment,
            lowest_v=volts,
            case=found.cases[index],
            minimum_v=minimum_v(study, entry),
            given=entry.minimum_v is not None,
            collapsed=int(solution.state[index]) == State.COLLAPSED,
            served=float(solution.served[index]),
            numerical=broken,
        )
    return result


def _on(found: Points) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    amount = found.model.values.load_value
    on: np.ndarray[tuple[int, int], np.dtype[np.bool_]] = np.isfinite(amount) & (amount != 0)
    return on


class Reach(Struct, frozen=True, kw_only=True):
    """A load or bus, and the first case in which it should have a source and has none."""

    name: str
    case: Case | None


@analysis
def load_reach(study: Study) -> Mapping[str, tuple[Reach, ...]]:
    """Equipment → cases in which it is on and no source reaches it; an empty tuple where always."""
    found = points(study)
    lost = _on(found) & found.solution.unpowered
    result: dict[str, tuple[Reach, ...]] = {}
    for row, port in enumerate(found.model.ports):
        if port.mode == "coil" or port.equipment not in study.document.equipment:
            continue
        cases = tuple(
            Reach(name=port.equipment, case=found.cases[int(i)]) for i in np.flatnonzero(lost[row])
        )
        result[port.equipment] = (*result.get(port.equipment, ()), *cases)
    return result


@analysis
def bus_reach(study: Study) -> Mapping[str, Reach]:
    """Every bus, and a case of normal operation in which no source reaches it."""
    found = points(study)
    normal = [i for i, case in enumerate(found.cases) if case.scenario.name == "normal"]
    result: dict[str, Reach] = {}
    for name in study.document.buses:
        row = found.nodes.get(name)
        dead = None
        if row is None:
            dead = found.cases[normal[0]] if normal else None
        else:
            volts = found.solution.voltage_v[row, normal]
            states = found.solution.state[normal]
            which = np.flatnonzero(np.isnan(volts) & (states != State.NUMERICAL))
            dead = found.cases[normal[int(which[0])]] if len(which) else None
        result[name] = Reach(name=name, case=dead)
    return result
