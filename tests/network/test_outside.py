"""Whole networks against ngspice, a simulator that shares no method with ours.

Each network is written as a deck, solved by ngspice and by us, and every node whose voltage is
determined is compared, with collapsed cases (loads on their tails) among them.

`AGREE_V`: ngspice stops when its last step is under 1e-9 of the voltage plus 1e-9 V, which is
1.5e-8 V at 14 V. Measured: worst node 8.8e-9 V here, 1.2e-8 V over 700 other random networks,
2.4e-9 V over 1000 other aircraft networks; most agree to 1e-10 V.
Where micro-ohms stand beside ohms its LU factorisation loses more digits, so resistances here span
four decades; `test_elimination.py` checks twelve against exact fractions.
"""

from collections.abc import Iterator

import numpy as np
import pytest

from elec.network.netlist import Array, Netlist, Solution, State, Values
from elec.network.solve import solve
from elec.network.spice import spice_nodes, to_spice
from tests.network.networks import Sketch, aircraft_sketch, random_sketch
from tests.network.spice import NoOperatingPointError, needs_ngspice, operating_point

AGREE_V = 1.5e-8

pytestmark = [pytest.mark.outside, needs_ngspice]


def difference_v(netlist: Netlist, answer: Solution, theirs: dict[str, float]) -> Array:
    """Ours minus theirs at every determined node that ngspice knows."""
    names = spice_nodes(netlist)
    pairs = [
        (float(answer.voltage_v[k, 0]), theirs[names[node]])
        for k, node in enumerate(answer.nodes)
        if names[node] in theirs and np.isfinite(answer.voltage_v[k, 0])
    ]
    return np.asarray([ours - other for ours, other in pairs])


def is_lower_point(netlist: Netlist, answer: Solution, theirs: dict[str, float]) -> bool:
    """Whether ngspice ended on another stable point, below ours at every load.

    An alternator at its limit or a load on its tail makes a second one possible.
    """
    names = spice_nodes(netlist)
    across = [
        theirs.get(names[x.a], np.nan) - theirs.get(names[x.b], np.nan) for x in netlist.loads
    ]
    return bool((np.asarray(across) <= answer.load_v[:, 0] + AGREE_V).all())


def compare(sketches: Iterator[Sketch], least: int) -> None:
    """Compare all; print what could not be; `least` of them must have been compared."""
    compared, unanswered, lower, worst = 0, 0, 0, 0.0
    states: set[int] = set()
    for sketch in sketches:
        netlist, values = sketch.build()
        answer = solve(netlist, values)
        assert answer.state[0] != State.NUMERICAL
        try:
            theirs = operating_point(to_spice(netlist, values, 0))
        except NoOperatingPointError:
            unanswered += 1
            continue
        apart = float(np.abs(difference_v(netlist, answer, theirs)).max(initial=0.0))
        if apart > AGREE_V and is_lower_point(netlist, answer, theirs):
            lower += 1
            continue
        assert apart <= AGREE_V, sketch
        compared, worst = compared + 1, max(worst, apart)
        states.add(int(answer.state[0]))
    print(  # noqa: T201
        f"{compared} compared, worst node {worst:.1e} V; ngspice gave none for {unanswered} and a "
        f"lower operating point for {lower}"
    )
    assert compared >= least
    assert lower <= 0.03 * compared
    assert states == {State.SOLVED, State.COLLAPSED}


def test_random_networks_with_grounded_loads() -> None:
    compare((random_sketch(seed, any_way=False) for seed in range(150)), least=120)


def test_random_networks_with_heavy_demand() -> None:
    compare(
        (random_sketch(s, any_way=False, low_ohm=1e-4, demand_a=30.0) for s in range(200, 280)),
        least=60,
    )


def test_random_networks_any_way_round() -> None:
    compare((random_sketch(seed, diodes=8) for seed in range(400, 500)), least=80)


def test_aircraft_networks_up_to_collapse() -> None:
    def sketches() -> Iterator[Sketch]:
        for seed in range(40):
            sketch = aircraft_sketch(seed, circuits=15, mesh=seed % 6)
            if seed % 2:  # the alternator failed, the battery weak
                sketch.alternators[0] = (*sketch.alternators[0][:4], 0.0)
                sketch.batteries[0] = (*sketch.batteries[0][:3], 0.02 * (seed % 5))
            yield sketch

    compare(sketches(), least=35)


def all_kinds() -> tuple[Netlist, Values]:
    sketch = aircraft_sketch(1, circuits=6)
    sketch.wire("main", "joined", 0.0)
    sketch.alternator("joined", "ground", 14.0, 0.01, np.inf)
    return sketch.build()


def test_joined_nodes_and_an_unlimited_alternator() -> None:
    netlist, values = all_kinds()
    answer = solve(netlist, values)
    theirs = operating_point(to_spice(netlist, values, 0))
    assert np.abs(difference_v(netlist, answer, theirs)).max() <= AGREE_V


def test_the_comparison_can_fail() -> None:
    netlist, values = all_kinds()
    answer = solve(netlist, values)
    values.load_value[0] *= 1.001
    theirs = operating_point(to_spice(netlist, values, 0))
    assert np.abs(difference_v(netlist, answer, theirs)).max() > 100 * AGREE_V
