"""The start: its first turn, with the rotor still standing, and the turning after it.

In: the solved cases. Out: `Crank` for each phase in which the starter turns, by day or night, the
worse of both: the least voltage of every bus and load in both, and what the batteries give. All
sources work, the batteries are full; everything that may be on at one moment is on. The first turn
is the `inrush:` of the starter.
"""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict

from elec.answers.base.points import Points, points
from elec.model.system import Condition
from elec.network.netlist import Array, Solution, State, Values
from elec.network.solve import solve
from elec.sizing.devices import StartCurrent
from elec.sizing.order import cranking
from elec.sizing.starter_cables import FirstTurn, first_turn, named_starter, starter_of
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL
from elec.wiring.chains import Chain
from elec.wiring.circuit_model import LoadPort, minimum_v
from elec.wiring.demand import conditions

SENSITIVE = ("electronic", "inductive")
"""What a dip of some tens of ms resets or lets drop: electronics, coils. A lamp only flickers."""


class Turn(Struct, frozen=True, kw_only=True):
    """One state of the starter."""

    bus_v: Mapping[str, float]
    load_v: Mapping[str, float]
    """Equipment that is on and fed → its least voltage."""
    battery_a: Mapping[str, float]
    wire_a: Mapping[str, float]
    """Conductor → what it carries."""
    computed: bool
    """False where the network has no numbers."""


class Crank(Struct, frozen=True, kw_only=True):
    """One start."""

    phase: str
    condition: Condition
    starter: str
    first_a: float
    """What the starter draws in the first turn, and how long."""
    first_s: float
    assumed: bool
    """Whether these two are defaults."""
    running_a: float
    turns_s: float
    """How long the starter turns, the first turn counted."""
    first: Turn
    turning: Turn


class LoadDip(Struct, frozen=True, kw_only=True):
    """One load in a start."""

    equipment: str
    phase: str
    turning_v: float
    first_v: float
    first_s: float
    minimum_v: float
    given: bool
    """Whether the minimum is the builder's; else a default."""
    assumed: bool
    """Whether the first turn is a default."""
    rides_s: float | None
    """How long it runs on below its minimum; None: not known; infinite where it does not matter."""
    computed: bool

    @property
    def browns_out(self) -> bool:
        """Whether it has too little for all the time that the starter turns."""
        return self.turning_v < self.minimum_v

    @property
    def resets(self) -> bool | None:
        """Whether the first turn alone stops it; None: not known."""
        if self.first_v >= self.minimum_v:
            return False
        return None if self.rides_s is None else self.rides_s < self.first_s


def without_starter(study: Study) -> tuple[str, ...]:
    """Phases of cranking in which no load of known current turns the engine."""
    turning = cranking(study)
    return tuple(
        phase
        for phase in study.document.phases
        if phase in turning and starter_of(study, phase) is None
    )


@analysis
def cranks(study: Study) -> tuple[Crank, ...]:
    """Every phase in which the starter turns, in the worse of day and night."""
    found: list[Crank] = []
    for phase in study.document.phases:
        starter = starter_of(study, phase) if phase in cranking(study) else None
        if starter is None:
            continue
        every = [_crank(study, phase, condition, starter) for condition in conditions(study)]
        found.append(min(every, key=_lowest))
    return tuple(found)


def start_current(one: Crank, chain: Chain) -> StartCurrent:
    """What a chain carries in the first turn and after it."""
    wires = [c.id for c in chain.conductors()]
    first_a, turning_a = (
        max((turn.wire_a.get(wire, 0.0) for wire in wires), default=0.0)
        for turn in (one.first, one.turning)
    )
    return StartCurrent(
        first_a=first_a, first_s=one.first_s, turning_a=turning_a, turns_s=one.turns_s
    )


def _lowest(one: Crank) -> float:
    return min(one.turning.load_v.values(), default=0.0)


def _crank(study: Study, phase: str, condition: Condition, starter: str) -> Crank:
    found = points(study)
    mask = found.select(phase=phase, condition=condition, scenario=NORMAL.name, count="momentary")
    column = np.flatnonzero(mask)[[0, 0]]
    values = Values(**{key: array[:, column] for key, array in asdict(found.model.values).items()})
    turn = first_turn(study, starter, phase, condition)
    first_turned(values, found.model.ports, starter, turn.factor, [0])
    solution = solve(found.model.netlist, values)
    turns = [_turn(study, found, values, solution, at) for at in (0, 1)]
    return Crank(
        phase=phase,
        condition=condition,
        starter=starter,
        first_a=turn.factor * turn.running_a,
        first_s=turn.lasts_s,
        assumed=turn.assumed,
        running_a=turn.running_a,
        turns_s=turn.turns_s,
        first=turns[0],
        turning=turns[1],
    )


def _turn(study: Study, found: Points, values: Values, solution: Solution, at: int) -> Turn:
    return Turn(
        bus_v={
            bus: float(solution.voltage_v[found.nodes[bus], at])
            for bus in study.document.buses
            if bus in found.nodes
        },
        load_v=least_v(study, found.model.ports, values.load_value[:, at], solution.load_v[:, at]),
        battery_a={
            branch.name: -float(solution.battery_a[i, at])
            for i, branch in enumerate(found.model.netlist.batteries)
        },
        wire_a={name: abs(float(solution.resistor_a[row, at])) for name, row in found.rows.items()},
        computed=int(solution.state[at]) != State.NUMERICAL,
    )


def first_turned(
    values: Values, ports: Sequence[LoadPort], starter: str, factor: float, columns: Sequence[int]
) -> None:
    """Let a starter draw so many times its running current in these cases."""
    for row, port in enumerate(ports):
        if port.equipment == starter and port.mode != "coil":
            usual = values.load_value[row, columns]
            values.load_value[row, columns] = port.draw.by.scaled(usual, factor)


def least_v(
    study: Study, ports: Sequence[LoadPort], amount: Array, volts: Array
) -> Mapping[str, float]:
    """The least voltage of each equipment that is on and fed, its coil left out.

    `amount` and `volts` are by row: what each load asks for in the case, and has.
    """
    lowest: dict[str, float] = {}
    for row, port in enumerate(ports):
        on = np.isfinite(amount[row]) and amount[row] != 0
        if not on or port.mode == "coil" or port.equipment not in study.document.equipment:
            continue
        if np.isfinite(volts[row]):
            lowest[port.equipment] = min(float(volts[row]), lowest.get(port.equipment, np.inf))
    return lowest


@analysis
def start_dips(study: Study) -> Mapping[str, LoadDip]:
    """Every load that is on in a start: the worst of all starts."""
    found: dict[str, LoadDip] = {}
    for one in cranks(study):
        for dip in load_dips(
            study,
            one.starter,
            one.turning.load_v,
            one.first.load_v,
            phase=one.phase,
            first_s=one.first_s,
            assumed=one.assumed,
            computed=one.turning.computed and one.first.computed,
        ):
            if dip.equipment not in found or dip.turning_v < found[dip.equipment].turning_v:
                found[dip.equipment] = dip
    return found


def load_dips(
    study: Study,
    starter: str,
    turning_v: Mapping[str, float],
    first_v: Mapping[str, float],
    *,
    phase: str,
    first_s: float,
    assumed: bool,
    computed: bool,
) -> Iterator[LoadDip]:
    """The loads of a start, with what each needs and how long it rides through.

    `turning_v` and `first_v` are what each has while the starter turns and in its first turn, which
    lasts `first_s`; the others are those of `LoadDip`.
    """
    for name, volts in turning_v.items():
        entry = study.document.equipment[name]
        rides = entry.rides_through_s
        if name == starter or (rides is None and entry.character not in SENSITIVE):
            rides = np.inf
        yield LoadDip(
            equipment=name,
            phase=phase,
            turning_v=volts,
            first_v=first_v.get(name, 0.0),
            first_s=first_s,
            minimum_v=minimum_v(study, entry),
            given=entry.minimum_v is not None,
            assumed=assumed,
            rides_s=rides,
            computed=computed,
        )


__all__ = [
    "Crank",
    "FirstTurn",
    "LoadDip",
    "Turn",
    "cranks",
    "first_turn",
    "first_turned",
    "least_v",
    "load_dips",
    "named_starter",
    "start_dips",
    "starter_of",
    "without_starter",
]
