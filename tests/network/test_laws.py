"""What holds for every network, whatever its numbers: drawn by hypothesis."""

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import asdict

from elec.model.laws import RESISTANCE
from elec.network.netlist import Array, Flags, Netlist, Solution, State, Values
from elec.network.solve import solve
from tests.network.networks import aircraft_sketch, random_sketch

ROUNDING_V = 1e-10
"""Voltages of 14 V carry some 1e-14 V of rounding; weak feeders magnify it."""

seeds = st.integers(0, 10_000)
few = settings(max_examples=40, deadline=None, derandomize=True)


def port_power_w(netlist: Netlist, answer: Solution) -> Array:
    """Power taken by each element, one array after the other."""
    index = {name: k for k, name in enumerate(answer.nodes)}
    node_v = np.nan_to_num(answer.voltage_v)
    groups = (
        (netlist.resistors, answer.resistor_a),
        (netlist.batteries, answer.battery_a),
        (netlist.alternators, -answer.alternator_a),
        (netlist.diodes, answer.diode_a),
        (netlist.loads, answer.load_a),
    )
    parts = []
    for branches, current in groups:
        a = [index[branch.a] for branch in branches]
        b = [index[branch.b] for branch in branches]
        parts.append((node_v[a] - node_v[b]) * current)
    return np.concatenate(parts)


@few
@given(seed=seeds, any_way=st.booleans())
def test_power_balance(seed: int, any_way: bool) -> None:
    # Tellegen's theorem: what the sources give, the rest takes.
    netlist, values = random_sketch(seed, any_way=any_way).build()
    answer = solve(netlist, values)
    power = port_power_w(netlist, answer)
    largest = max(np.abs(power).max(), 1.0)
    # Currents are off by less than 1e-6 A at nodes of up to 15 V; measured under 1e-9 W.
    assert abs(float(power.sum())) <= 1e-8 * largest
    assert answer.residual_a[0] < 1e-6


@few
@given(seed=seeds, any_way=st.booleans(), demand_a=st.sampled_from([1.0, 10.0, 100.0]))
def test_every_network_has_an_answer(seed: int, any_way: bool, demand_a: float) -> None:
    sketch = random_sketch(
        seed, low_ohm=1e-6, high_ohm=1e6, demand_a=demand_a, diodes=12, any_way=any_way
    )
    answer = solve(*sketch.build(), served=True)
    assert answer.state[0] in {State.SOLVED, State.COLLAPSED}
    assert answer.residual_a[0] < 1e-6
    assert np.isfinite(answer.load_a).all()
    assert (answer.served[0] == 1.0) == (answer.state[0] == State.SOLVED)


@few
@given(seed=seeds, circuit=st.integers(0, 19), factor=st.floats(1.0, 4.0))
def test_a_longer_wire_never_raises_its_loads_voltage(
    seed: int, circuit: int, factor: float
) -> None:
    netlist, values = aircraft_sketch(seed, circuits=20).build(cases=2)
    wire = next(k for k, r in enumerate(netlist.resistors) if r.b == f"hot{circuit}")
    values.resistance_ohm[wire, 1] *= factor
    answer = solve(netlist, values)
    assert answer.load_v[circuit, 1] <= answer.load_v[circuit, 0] + ROUNDING_V


@few
@given(seed=seeds, circuit=st.integers(0, 19))
def test_removing_a_load_never_lowers_a_bus(seed: int, circuit: int) -> None:
    netlist, values = aircraft_sketch(seed, circuits=20).build(cases=2)
    values.load_value[circuit, 1] = 0.0
    answer = solve(netlist, values)
    for bus in ("main", "essential", "avionics"):
        before, after = answer.voltage_v[answer.nodes.index(bus)]
        assert after >= before - ROUNDING_V


@few
@given(seed=seeds, circuit=st.integers(0, 19))
def test_two_halves_in_parallel_equal_one_whole(seed: int, circuit: int) -> None:
    whole = aircraft_sketch(seed, circuits=20)
    halves = aircraft_sketch(seed, circuits=20)
    a, b, law, demand, minimum_v = halves.loads[circuit]
    half = demand * 2 if law == RESISTANCE else demand / 2
    halves.loads[circuit] = (a, b, law, half, minimum_v)
    halves.load(a, b, law, half, minimum_v)
    first, second = solve(*whole.build()), solve(*halves.build())
    assert np.allclose(first.voltage_v, second.voltage_v, rtol=0.0, atol=ROUNDING_V, equal_nan=True)


def _bent(netlist: Netlist) -> Flags:
    """(loads, 1): those of constant current or power."""
    return np.asarray([[law != RESISTANCE] for law in netlist.load_laws])


@few
@given(seed=seeds, factor=st.floats(0.1, 0.99))
def test_what_is_served_can_be_met_and_little_more_cannot(seed: int, factor: float) -> None:
    netlist, values = aircraft_sketch(seed, circuits=8).build()
    values.alternator_limit_a[:] = 0.0
    values.battery_resistance_ohm[:] = 0.5
    values.load_value[:] *= np.where(_bent(netlist), 10.0, 1.0)
    answer = solve(netlist, values, served=True)
    assume(answer.state[0] == State.COLLAPSED and answer.served[0] > 0.0)
    bent = _bent(netlist)
    for part, state in (
        (float(answer.served[0]) * factor, State.SOLVED),
        (float(answer.served[0]) + 2e-3, State.COLLAPSED),
    ):
        scaled = {**asdict(values), "load_value": np.where(bent, part, 1.0) * values.load_value}
        assert solve(netlist, Values(**scaled)).state[0] == state
