"""The network near a solved point: how results change with every element, and many points close by.

In: a solved case. Out: slopes of chosen results by every element's value, from one linear solution
a result; and the solutions of cases that differ little from the solved one.

Slopes by the adjoint network: where J·v = j is the network linearised at its operating point and
y = c·v a result, J·λ = c gives dy/dp = -(λa - λb)·∂i/∂p for a value p of an element between a and b
that carries i. J is symmetric, so λ is the voltage of the same network with the unit current of the
result fed in. (S. W. Director, R. A. Rohrer, "The generalized adjoint network and network
sensitivities", IEEE Transactions on Circuit Theory 16 (1969) 318; from memory.)
"""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict
from numpy.typing import NDArray

from elec.network.circuit import Topology, circuit_of
from elec.network.devices import (
    Devices,
    Guess,
    Regulation,
    contradictions,
    devices_of,
    load_companion,
    load_current,
    source_companion,
)
from elec.network.netlist import Array, Index, Netlist, Solution, State, Values
from elec.network.reduced import Reduced
from elec.network.solve import solve

Flags = NDArray[np.bool_]

MISMATCH_A = 1e-3
"""A step after which no load draws this much more or less than its law says is the last."""
IDLE_A = 1e-4
"""A diode that would carry less than this may stay as it is."""
_STEPS = 5
_BATCH = 256


class Result(Struct, frozen=True, kw_only=True):
    """A voltage across a load, or a current out of sources, in one case."""

    case: int
    load: int | None = None
    """Its place among the netlist's loads; None: the current out of the batteries."""
    alternators: tuple[int, ...] = ()
    """Where any are named: the current out of these."""


class Slopes(Struct, frozen=True, kw_only=True):
    """How much each result changes, (elements, results), in V or A.

    By a relative rise (twice the value for a step of one) of a resistance, a limit or a load's
    draw, and by a rise of one volt of a source's or diode's voltage.
    """

    resistance: Array
    battery_v: Array
    battery_resistance: Array
    alternator_v: Array
    alternator_limit: Array
    diode_v: Array
    diode_resistance: Array
    load: Array


def slopes(
    netlist: Netlist, values: Values, solution: Solution, results: Sequence[Result]
) -> Slopes:
    """Slopes of results at solved points, the states of diodes and alternators kept.

    Args:
        netlist: the topology.
        values: as they were solved.
        solution: of these values.
        results: what to differentiate; their cases must be solved.
    """
    cases = np.asarray([r.case for r in results], np.intp)
    circuit = _circuit(netlist, values)
    devices = devices_of(circuit, _take(values, cases))
    lean = _adjoint(circuit, devices, _states(solution, cases), results)

    def across(kind: str) -> Array:
        ends = getattr(circuit, kind)
        found: Array = lean[ends.a] - lean[ends.b]
        return found

    drawn = np.asarray([r.load is None and not r.alternators for r in results])
    given = _given(len(devices.limit_a), results)
    battery = across("batteries")
    battery_a, diode_a = solution.battery_a[:, cases], solution.diode_a[:, cases]
    limited = solution.alternator_limited[:, cases]
    regulating = (solution.alternator_a[:, cases] > 0) & ~limited
    conducts = np.where(diode_a > 0, devices.diode_s, 0.0)
    alternator = across("alternators")
    return Slopes(
        resistance=across("resistors") * solution.resistor_a[:, cases],
        battery_v=(battery + drawn) * devices.battery_s,
        battery_resistance=(battery + drawn) * battery_a,
        alternator_v=(alternator + given) * np.where(regulating, devices.droop_s, 0.0),
        alternator_limit=(alternator + given) * np.where(limited, devices.limit_a, 0.0),
        diode_v=across("diodes") * conducts,
        diode_resistance=across("diodes") * diode_a,
        load=-across("loads") * solution.load_a[:, cases],
    )


def _given(alternators: int, results: Sequence[Result]) -> Array:
    """1 where a result is the current out of an alternator, (alternators, results)."""
    found = np.zeros((alternators, len(results)))
    for column, result in enumerate(results):
        found[list(result.alternators), column] = 1.0
    return found


def _adjoint(circuit: Topology, devices: Devices, guess: Guess, results: Sequence[Result]) -> Array:
    """The adjoint network's node voltages, one column a result."""
    reduced, (source_s, _), (load_s, _) = _stamped(circuit, devices, guess)
    lent, unit = np.zeros_like(source_s), np.zeros_like(load_s)
    drawn = np.zeros(devices.battery_s.shape)
    regulating = guess.regulation == Regulation.REGULATING
    given = _given(len(devices.limit_a), results)
    lent[: len(given)] = -given * np.where(regulating, devices.droop_s, 0.0)
    for column, result in enumerate(results):
        if result.alternators:
            continue
        if result.load is None:
            drawn[:, column] = -devices.battery_s[:, column]
        else:
            unit[result.load, column] = 1.0
    reduced.lend(drawn)
    found = reduced.linear((source_s, lent), (load_s, unit))
    return reduced.node_v(found.core_v, found.load_a)


class Nearby(Struct, frozen=True, kw_only=True):
    """What many cases near a solved one give, (elements, cases)."""

    load_v: Array
    battery_a: Array
    """Positive = charging."""
    alternator_a: Array
    solved: Flags
    """(cases,) whether the case has a solution in which all demand is met."""
    afresh: int
    """Cases that had to be solved from the beginning."""


def nearby(netlist: Netlist, values: Values, solution: Solution, case: int) -> Nearby:
    """Solve cases that differ little from a solved one.

    One step of Newton's method from the solved point: exact in all resistances and sources, with
    the loads' laws by their tangents. Where a diode or an alternator contradicts its state, or a
    load misses its law by a milliampere, a few more steps follow from there; cases that have not
    settled then are solved afresh.

    Args:
        netlist: the topology.
        values: of the new cases.
        solution: holds the solved point.
        case: which of its cases that is.
    """
    circuit = _circuit(netlist, values)
    parts = [
        _near(circuit, _take(values, np.arange(first, min(first + _BATCH, values.cases))),
              solution, case)
        for first in range(0, values.cases, _BATCH)
    ]  # fmt: skip
    return Nearby(
        load_v=np.concatenate([p.load_v for p in parts], axis=1),
        battery_a=np.concatenate([p.battery_a for p in parts], axis=1),
        alternator_a=np.concatenate([p.alternator_a for p in parts], axis=1),
        solved=np.concatenate([p.solved for p in parts]),
        afresh=sum(p.afresh for p in parts),
    )


def _near(circuit: Topology, values: Values, solution: Solution, case: int) -> Nearby:
    every = devices_of(circuit, values)
    cases = np.arange(values.cases)
    load_v = np.zeros(every.load_s.shape)
    battery_a = np.zeros(every.battery_s.shape)
    alternator_a = np.zeros(every.limit_a.shape)
    devices, guess = every, _states(solution, np.full(values.cases, case, np.intp))
    for _ in range(_STEPS):
        node_v, stable = _step(circuit, devices, guess)
        across = node_v[circuit.loads.a] - node_v[circuit.loads.b]
        load_v[:, cases] = np.where(devices.unsupplied, 0.0, across)
        across_v = node_v[circuit.batteries.a] - node_v[circuit.batteries.b]
        battery_a[:, cases] = (across_v - devices.emf_v) * devices.battery_s
        regulated = node_v[circuit.alternators.a] - node_v[circuit.alternators.b]
        asked = (devices.setpoint_v - regulated) * devices.droop_s
        alternator_a[:, cases] = np.clip(asked, 0.0, devices.limit_a)
        left = np.flatnonzero(~stable | _strays(circuit, devices, guess, node_v))
        cases, devices, guess = cases[left], devices.take(left), guess.take(left)
        if not len(cases):
            break
    solved = np.ones(values.cases, np.bool_)
    if len(cases):
        found = solve(circuit.netlist, _take(values, cases))
        load_v[:, cases], battery_a[:, cases] = found.load_v, found.battery_a
        alternator_a[:, cases] = found.alternator_a
        solved[cases] = found.state == State.SOLVED
    return Nearby(
        load_v=load_v,
        battery_a=battery_a,
        alternator_a=alternator_a,
        solved=solved,
        afresh=len(cases),
    )


def _step(circuit: Topology, devices: Devices, guess: Guess) -> tuple[Array, Flags]:
    """Node voltages of the linear network of a guess, and whether it is stable."""
    reduced, sources, loads = _stamped(circuit, devices, guess)
    found = reduced.linear(sources, loads)
    return reduced.node_v(found.core_v, found.load_a), found.pivot > 0


def _strays(circuit: Topology, devices: Devices, guess: Guess, node_v: Array) -> Flags:
    """Cases whose states or loads do not agree with what a step gave; the guess moves there."""
    alternator_v = node_v[circuit.alternators.a] - node_v[circuit.alternators.b]
    diode_v = node_v[circuit.diodes.a] - node_v[circuit.diodes.b]
    load_v = node_v[circuit.loads.a] - node_v[circuit.loads.b]
    regulation, conducting = contradictions(devices, guess, alternator_v, diode_v)
    idle = np.abs(diode_v - devices.forward_v) * devices.diode_s <= IDLE_A
    flip = (conducting != guess.conducting) & ~idle
    load_s, load_a = load_companion(devices, guess.load_v, np.zeros(load_v.shape[1], np.bool_))
    missed = load_current(devices, load_v) - (load_s * load_v - load_a)
    wrong: Flags = (regulation != guess.regulation).any(axis=0) | flip.any(axis=0)
    wrong |= ~(np.abs(missed).max(axis=0, initial=0.0) <= MISMATCH_A)
    guess.regulation = regulation
    guess.conducting = guess.conducting ^ flip
    guess.load_v = np.where(np.isfinite(load_v), load_v, guess.load_v)
    return wrong


def _circuit(netlist: Netlist, values: Values) -> Topology:
    return circuit_of(netlist, (values.resistance_ohm == 0.0).all(axis=1) & (values.cases > 0))


def _take(values: Values, cases: Index) -> Values:
    return Values(**{name: array[:, cases] for name, array in asdict(values).items()})


def _states(solution: Solution, cases: Index) -> Guess:
    """The solved states as a guess."""
    limited = solution.alternator_limited[:, cases]
    delivers = solution.alternator_a[:, cases] > 0
    regulation = np.where(delivers, Regulation.REGULATING, Regulation.OFF)
    return Guess(
        regulation=np.where(limited, Regulation.LIMITED, regulation).astype(np.int8),
        conducting=solution.diode_a[:, cases] > 0,
        load_v=solution.load_v[:, cases],
    )


def _stamped(
    circuit: Topology, devices: Devices, guess: Guess
) -> tuple[Reduced, tuple[Array, Array], tuple[Array, Array]]:
    """The network of a guess, and its companions: of sources, of loads."""
    tangents = np.zeros(len(devices.highest_v), np.bool_)
    return (
        Reduced(circuit, devices),
        source_companion(devices, guess),
        load_companion(devices, guess.load_v, tangents),
    )


__all__ = ["Nearby", "Result", "Slopes", "nearby", "slopes"]
