"""Systems of 300, 3 000 and 30 000 nodes: solved, right, and growing no faster than they must.

Times are in docs/performance.md (`python -m tests.network.benchmark`); here what they follow from.
"""

import math

import numpy as np
import pytest

from elec.answers.base.points import points
from elec.network.circuit import Topology
from elec.network.netlist import State
from elec.network.solve import solve
from elec.network.spice import to_spice
from tests.answers.helper import small
from tests.network.family import circuits_for, family_sketch, family_text
from tests.network.spice import AGREE_V, as_written, compare, needs_ngspice, without_guess

SIZES = (300, 3_000, 30_000)


@pytest.mark.parametrize("nodes", SIZES)
def test_every_size_is_solved(nodes: int) -> None:
    netlist, values = family_sketch(circuits_for(nodes)).build()
    answer = solve(netlist, values)
    assert abs(len(answer.nodes) - nodes) < 0.05 * nodes
    assert answer.state[0] == State.SOLVED
    assert answer.residual_a[0] < 1e-6
    # The shape keeps its voltages whatever the size: the worst load loses 1 to 2.5 V.
    assert 11.7 < answer.load_v.min() < 13.2


@pytest.mark.outside
@needs_ngspice
@pytest.mark.parametrize("nodes", SIZES)
def test_every_size_agrees_with_ngspice(nodes: int) -> None:
    netlist, values = family_sketch(circuits_for(nodes)).build()
    answer = solve(netlist, values)
    apart = compare(netlist, answer, 0, as_written(without_guess(to_spice(netlist, values, 0))))
    assert apart.nodes == len(answer.nodes)
    assert apart.volts <= AGREE_V


def test_work_grows_as_the_number_of_nodes() -> None:
    work, depth, count = [], [], []
    for nodes in SIZES:
        netlist, values = family_sketch(circuits_for(nodes)).build()
        plan = Topology(netlist, (values.resistance_ohm == 0.0).all(axis=1))
        levels = (*plan.wires.plan, *plan.core.plan)
        slots = plan.wires.slots + plan.core.slots
        work.append(slots + sum(len(level.left) for level in levels))
        depth.append(len(levels))
        count.append(plan.wires.count)
    for k in (1, 2):
        power = math.log(work[k] / work[k - 1]) / math.log(count[k] / count[k - 1])
        assert power < 1.02
    # Levels are array operations: their number must grow like a logarithm, not like the nodes.
    assert max(depth) <= 20
    assert depth[2] - depth[0] <= 8


@pytest.mark.parametrize("nodes", SIZES[:2])
def test_whole_systems_as_text(nodes: int) -> None:
    found = points(small(family_text(circuits_for(nodes))))
    assert abs(len(found.solution.nodes) - nodes) < 0.05 * nodes
    assert (found.solution.state == State.SOLVED).all()
    assert found.solution.residual_a.max() < 1e-6
    cruise = found.select(phase="cruise", scenario="normal")
    drawn = found.solution.load_v[:, cruise]
    assert np.isfinite(drawn).all()
    assert drawn.min() > 11.0
