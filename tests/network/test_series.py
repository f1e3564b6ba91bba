"""Resistors in series as one: the same currents as solved one by one.

Kirchhoff's current law: what lies in series carries one current. Compared with the solution of the
whole network, to which every node adds a leak of 1e-12 S: some 1e-9 A in these, 1e-7 A allowed.
"""

import numpy as np
import pytest
from msgspec.structs import replace

from elec.network.netlist import Branch, Netlist, State
from elec.network.series import shortened
from elec.network.solve import solve
from tests.network.networks import aircraft_sketch, random_sketch


def _chain(*ways: str) -> Netlist:
    ends = [way.split() for way in ways]
    return Netlist(
        reference="ground",
        resistors=tuple(Branch(name=str(n), a=a, b=b) for n, (a, b) in enumerate(ends)),
        batteries=(Branch(name="main", a="plus", b="ground"),),
    )


def test_a_run_is_one_whichever_way_its_parts_are_drawn() -> None:
    found = shortened(_chain("plus one", "two one", "two ground"))
    assert [(one.a, one.b) for one in found.netlist.resistors] == [("plus", "ground")]
    assert found.run.tolist() == [0, 0, 0]
    assert found.sign.tolist() == [1.0, -1.0, 1.0]
    assert found.runs([0, 2]) == [0]


def test_a_node_that_is_asked_for_ends_a_run_and_a_fork_does() -> None:
    assert shortened(_chain("plus one", "one ground"), ("one",)).run.tolist() == [0, 1]
    forked = _chain("plus one", "one two", "one two", "two ground")
    assert shortened(forked).run.tolist() == [0, 1, 2, 3]


def test_dead_ends_and_rings_of_wires_alone_are_left_out() -> None:
    found = shortened(_chain("plus ground", "plus tip", "here there", "there here"))
    assert found.run.tolist() == [0, -1, -1, -1]
    assert found.runs([1, 2]) == []
    assert len(found.netlist.resistors) == 1


@pytest.mark.parametrize("seed", range(30))
def test_currents_are_those_of_the_whole_network(seed: int) -> None:
    sketch = aircraft_sketch(seed, circuits=12) if seed % 2 else random_sketch(seed, any_way=False)
    netlist, values = sketch.build()
    rng = np.random.default_rng(seed)
    values = values.take(np.zeros(6, np.intp))
    ohms = values.resistance_ohm.copy()
    ohms[rng.integers(0, len(ohms), 5), range(1, 6)] = np.inf  # one open in each case but the first
    ohms[rng.integers(0, len(ohms))] = 0.0
    values = replace(values, resistance_ohm=ohms)
    whole, found = solve(netlist, values), shortened(netlist)
    assert len(found.netlist.resistors) < len(netlist.resistors)
    short = solve(found.netlist, found.values(values))
    assert (short.state == whole.state).all()
    known = whole.state != State.NUMERICAL
    assert known.any()
    difference = np.abs(found.resistor_a(short, range(len(ohms))) - whole.resistor_a)[:, known]
    assert difference.max() < 1e-7
    size = np.abs(found.amps(short) - np.abs(whole.resistor_a))
    assert size[:, known].max() < 1e-7
    assert np.isnan(found.amps(short)[:, ~known]).all()
    assert np.abs(short.load_v - whole.load_v)[:, known].max(initial=0.0) < 1e-7
