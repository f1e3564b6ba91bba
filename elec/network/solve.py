"""The operating point of every case of a netlist at once.

In: a netlist and its values. Out: voltages and currents, and what became of each case.
"""

from collections.abc import Iterator

import numpy as np

from elec.network.circuit import NodeIndices, Topology, circuit_of
from elec.network.devices import (
    Devices,
    Guess,
    Regulation,
    devices_of,
    invalid_cases,
    load_current,
    lowest_guess,
)
from elec.network.netlist import Array, Flags, Netlist, Solution, State, Values
from elec.network.operating import STARVED_PART, OperatingPoint, PointSearch, dead, starved
from elec.network.reach import reached_nodes
from elec.network.served import served_fraction

RESIDUAL_A = 1e-6
"""A case whose currents miss Kirchhoff's current law by more is not called solved."""

LOW_PART = 1e-6
"""Points whose voltages differ by less, as a part of the highest source, are one."""

_BATCH = 256
"""At most so many cases go together: more would not fit a processor's cache."""
_MOST_VALUES = 600_000
"""At most so many resistors times cases go together: memory then grows with the network alone."""
_LEAST_BATCH = 32
_MOST_HELD = 4_000_000
"""At most so many resistors times cases are held at a time by `portions`: 32 MB an array."""


def at_once(netlist: Netlist) -> int:
    """How many cases of a netlist are best solved at a time."""
    fit = _MOST_VALUES // max(1, len(netlist.resistors))
    return max(_LEAST_BATCH, min(_BATCH, fit))


def portions(netlist: Netlist, cases: int) -> Iterator[slice]:
    """Many cases in turns whose values and solutions fit, for whoever keeps little of them."""
    turn = max(at_once(netlist), _MOST_HELD // max(1, len(netlist.resistors)))
    for first in range(0, cases, turn):
        yield slice(first, min(first + turn, cases))


def solve(
    netlist: Netlist, values: Values, *, after_dip: bool = False, served: bool = False
) -> Solution:
    """Solve the network in every case.

    Nothing is raised for odd numbers: a case that holds NaN, a negative resistance or demand, or
    an infinite demand of current or power ends as `State.NUMERICAL` with NaN for all its results.

    The answer is the highest stable operating point: what a system shows that comes up without
    a dip. A current or power load that this leaves below its minimum voltage makes the case
    `State.COLLAPSED`; its voltages are then those with the loads on their passive tails, and
    `Solution.served` says, where that is asked, which part of all current and power demand could be
    met.

    Args:
        netlist: The topology. It is kept, so that an equal one needs no preparation again.
        values: Numbers of every element in every case. A series resistance below 1 µΩ counts as
            1 µΩ, but a resistor of 0 Ω in every case joins its nodes. (Currents through joined
            resistors follow from Kirchhoff's current law; in loops of them they share alike.)
        after_dip: Look for a second stable point as well, from below: alternators at their limit,
            loads at their minimum voltage. Where there is one below the answer, the case is
            `Solution.bistable`: it does not come up again after a dip. Takes about half as long
            again.
        served: Search for the part of the demand that can be met where not all can, which takes
            longer than all else; left out, it is NaN there.

    Returns:
        Voltages in V to the reference and currents in A of every case. An alternator whose limit
        is 0 delivers nothing.

    Raises:
        ValueError: An array's shape does not fit the netlist.
    """
    _fit(netlist, values)
    cases = values.cases
    link = (values.resistance_ohm == 0.0).all(axis=1) & (cases > 0)
    circuit = circuit_of(netlist, link)
    count = max(1, -(-cases // at_once(netlist)))
    parts = [
        _solve_batch(circuit, part, after_dip=after_dip, served=served)
        for part in (
            values.take(slice(k * cases // count, (k + 1) * cases // count)) for k in range(count)
        )
    ]
    return parts[0] if len(parts) == 1 else Solution.join(parts)


_NAMES = (
    ("resistors", ("resistance_ohm",)),
    ("batteries", ("battery_emf_v", "battery_resistance_ohm")),
    ("alternators", ("alternator_setpoint_v", "alternator_droop_ohm", "alternator_limit_a")),
    ("diodes", ("diode_forward_v", "diode_resistance_ohm")),
    ("loads", ("load_value", "load_minimum_v")),
)


def _fit(netlist: Netlist, values: Values) -> None:
    for kind, names in _NAMES:
        for name in names:
            want = (len(getattr(netlist, kind)), values.cases)
            have = getattr(values, name).shape
            if have != want:
                raise ValueError(f"{name} has the shape {have}, but the netlist needs {want}")
    if len(netlist.load_laws) != len(netlist.loads):
        raise ValueError(f"{len(netlist.load_laws)} laws for {len(netlist.loads)} loads")


def _solve_batch(circuit: Topology, values: Values, *, after_dip: bool, served: bool) -> Solution:
    invalid = invalid_cases(circuit, values)
    with np.errstate(all="ignore"):  # invalid cases and failed tangents end as flags, not as noise
        devices = devices_of(circuit, values)
        point = PointSearch(circuit, devices).run()
        answer = _answer(circuit, devices, point, invalid)
        collapsed = np.flatnonzero(answer.state == State.COLLAPSED)
        if served and len(collapsed):
            answer.served[collapsed] = served_fraction(circuit, devices.take(collapsed))
        return _with_low_point(circuit, devices, answer, point.guess) if after_dip else answer


def _with_low_point(
    circuit: Topology, devices: Devices, answer: Solution, guess: Guess
) -> Solution:
    """Search from below where all demand is met, and keep what differs."""
    which = np.flatnonzero(answer.state == State.SOLVED)
    if not len(which):
        return answer
    there = devices.take(which)
    start = lowest_guess(there, guess.conducting[:, which])
    low = PointSearch(circuit, there, start=start).run()
    high_v = answer.load_v[:, which]  # 0 where no source reaches the load
    low_v = np.where(high_v == 0.0, 0.0, _across(circuit.loads, low.node_v))
    apart = np.abs(low_v - high_v).max(axis=0, initial=0.0)
    other = low.settled & low.stable & (apart > LOW_PART * devices.highest_v[which])
    found = which[other]
    answer.bistable[found] = True
    answer.low_v[:, found] = low_v[:, other]
    return answer


def _across(terminals: NodeIndices, node_v: Array) -> Array:
    return node_v[terminals.a] - node_v[terminals.b]


def _answer(circuit: Topology, devices: Devices, point: OperatingPoint, invalid: Flags) -> Solution:
    node_v = point.node_v
    alternator_v = _across(circuit.alternators, node_v)
    load_v = _across(circuit.loads, node_v)
    delivered = (devices.setpoint_v - alternator_v) * devices.droop_s
    delivered = np.clip(delivered, 0.0, devices.limit_a)
    diode_v = _across(circuit.diodes, node_v)
    diode_a = np.maximum(diode_v - devices.forward_v, 0.0) * devices.diode_s
    battery_a = (_across(circuit.batteries, node_v) - devices.emf_v) * devices.battery_s
    load_a = load_current(devices, load_v)
    resistor_a = _across(circuit.resistors, node_v) * devices.wire_s
    residual = _close_links(circuit, resistor_a, battery_a, -delivered, diode_a, load_a)
    on = devices.bent() | (devices.load_s > 0.0)
    unpowered = (on & dead(devices, load_v)) | devices.unsupplied
    hungry = starved(devices, load_v)
    reached = reached_nodes(circuit, devices, point.guess, node_v, load_a)
    numerical = invalid | ~point.settled | ~(residual <= RESIDUAL_A)
    collapsed = (hungry.any(axis=0) | ~point.stable) & ~numerical
    solved = ~numerical & ~collapsed
    state = np.select([solved, collapsed], [State.SOLVED, State.COLLAPSED], State.NUMERICAL)
    low = on & (load_v < devices.minimum_v * (1.0 - STARVED_PART))

    def known(array: Array) -> Array:
        array[..., numerical] = np.nan
        return array

    node_v[~reached] = np.nan
    both = reached[circuit.loads.a] & reached[circuit.loads.b]
    return Solution(
        nodes=circuit.nodes,
        voltage_v=known(node_v),
        resistor_a=known(resistor_a),
        battery_a=known(battery_a),
        alternator_a=known(delivered),
        alternator_limited=(point.guess.regulation == Regulation.LIMITED) & ~numerical,
        diode_a=known(diode_a),
        load_a=known(np.where(unpowered, 0.0, load_a)),
        load_v=known(np.where(unpowered | ~both, 0.0, load_v)),
        unpowered=unpowered & ~numerical,
        starved=low & ~unpowered & ~numerical,
        state=state.astype(np.int8),
        residual_a=known(residual),
        bistable=np.zeros(len(state), np.bool_),
        low_v=np.full_like(load_v, np.nan),
        served=np.where(solved, 1.0, np.nan),
    )


def _close_links(circuit: Topology, resistor_a: Array, *others: Array) -> Array:
    """Give joined resistors their current in place; return the largest Kirchhoff error."""
    through = np.concatenate((resistor_a, *others))
    leaving = np.zeros((len(circuit.nodes), through.shape[1]))
    from_a, into_b = circuit.leaving
    from_a.add(leaving, through)
    into_b.subtract(leaving, through)
    if circuit.link.any():
        link_a = circuit.link_current(leaving)
        resistor_a[circuit.link] = link_a
        from_a, into_b = circuit.leaving_by_links
        from_a.add(leaving, link_a)
        into_b.subtract(leaving, link_a)
    residual: Array = np.abs(leaving).max(axis=0, initial=0.0)
    return residual
