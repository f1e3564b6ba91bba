"""Networks against ngspice, a simulator that shares no method with ours: voltages and currents.

Every node whose voltage is determined and every element is compared, in collapsed cases (loads on
their tails) as well. `python -m tests.network.survey` does the same for a thousand networks.

Where micro-ohms stand beside ohms ngspice's LU factorisation loses digits, so resistances of the
random networks span four decades; `test_elimination.py` checks twelve against exact fractions.
"""

import numpy as np
import pytest

from elec.answers.base.points import points
from elec.answers.time.recovery import recovery
from elec.model.laws import CURRENT, POWER
from elec.network.netlist import Netlist, State, Values
from elec.network.solve import solve
from elec.network.spice import to_spice
from tests.answers.helper import NAMES, whole
from tests.network import survey
from tests.network.networks import Sketch, aircraft_sketch
from tests.network.spice import (
    AGREE_A,
    AGREE_V,
    NoOperatingPointError,
    compare,
    measured,
    needs_ngspice,
    operating_point,
    simulate,
    simulate_from_ours,
)

pytestmark = [pytest.mark.outside, needs_ngspice]

PART = 60
"""Of the 250 networks of each kind."""


@pytest.mark.parametrize("kind", survey.KINDS)
def test_random_networks(kind: str) -> None:
    found = survey.tally(kind, range(PART))
    print(f"{kind}: {found}")  # noqa: T201 - shown by pytest -rP
    assert not found.apart
    assert found.compared >= 0.8 * PART
    assert not found.lower
    assert found.changed <= 0.02 * PART
    assert found.states["numerical"] == 0
    assert found.states["solved"] > 0
    assert found.states["collapsed"] > 0


@pytest.mark.parametrize("part", range(3))
@pytest.mark.parametrize("name", NAMES)
def test_every_case_of_the_systems(name: str, part: int) -> None:
    found = points(whole(name))
    netlist, values, solution = found.model.netlist, found.model.values, found.solution
    cases, guessed, volts, amps = range(part, len(found.cases), 3), [], [], []
    second = {one.case: one.before_v - one.after_v for one in recovery(whole(name)).stays}
    for case in cases:
        try:
            apart = simulate(netlist, values, solution, case, tries=1)
        except NoOperatingPointError:
            guessed.append(found.cases[case].title)
            apart = simulate_from_ours(netlist, values, solution, case)
        if not apart.within(AGREE_V, AGREE_A) and found.cases[case] in second:
            # Two stable points, as elec says itself: this is its other one, the sag of the load and
            # that of its bus, between which some millivolts are its ground; from ours it stays.
            assert apart.volts == pytest.approx(second[found.cases[case]], abs=0.01)
            apart = simulate_from_ours(netlist, values, solution, case)
        assert apart.within(AGREE_V, AGREE_A), (found.cases[case].title, apart)
        assert apart.nodes == np.isfinite(solution.voltage_v[:, case]).sum()
        assert apart.elements > 0.5 * len(netlist.resistors)
        volts.append(apart.volts)
        amps.append(apart.amps)
    print(  # noqa: T201
        f"{name}: {len(cases)} cases, worst {max(volts):.1e} V and {max(amps):.1e} A; "
        f"ngspice found no start of its own in {len(guessed)}: {guessed}"
    )
    assert len(guessed) <= 0.15 * len(cases) + 1


def all_kinds() -> tuple[Netlist, Values]:
    sketch = aircraft_sketch(1, circuits=6)
    sketch.wire("main", "joined", 0.0)
    sketch.alternator("joined", "ground", 14.0, 0.01, np.inf)
    return sketch.build()


def test_joined_nodes_and_an_unlimited_alternator() -> None:
    netlist, values = all_kinds()
    answer = solve(netlist, values)
    assert simulate(netlist, values, answer, 0, tries=1).within(AGREE_V, AGREE_A)


def test_the_comparison_can_fail() -> None:
    netlist, values = all_kinds()
    answer = solve(netlist, values)
    values.load_value[0] *= 1.001
    point = operating_point(measured(to_spice(netlist, values, 0)))
    apart = compare(netlist, answer, 0, point)
    assert apart.volts > 100 * AGREE_V
    assert apart.amps > 100 * AGREE_A


def test_a_load_between_grounds_alone_is_left_out_of_the_deck() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.0, 0.01)
    sketch.wire("block", "0", 0.01)
    sketch.load("bus", "block", CURRENT, 10.0)
    sketch.wire("bus", "dead", np.inf)
    sketch.load("dead", "block", POWER, 50.0)
    netlist, values = sketch.build()
    deck = to_spice(netlist, values, 0)
    assert "left out, no source reaches it: l1" in deck
    answer = solve(netlist, values)
    assert answer.state[0] == State.SOLVED
    assert simulate(netlist, values, answer, 0, tries=1).within(AGREE_V, AGREE_A)
