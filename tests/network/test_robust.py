"""Collapse explained, second stable points found."""

import math

import numpy as np
import pytest

from elec.model.laws import CURRENT, POWER
from elec.network.collapse import collapse
from elec.network.netlist import State
from elec.network.solve import solve
from tests.network.networks import Sketch, aircraft_sketch

# ---- collapse: a battery behind a wire, P_max = V²/4R


def overloaded(power_w: float) -> Sketch:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.6, 0.010)
    sketch.wire("bus", "feed", 0.030)
    sketch.load("feed", "0", POWER, power_w, 1.0)
    sketch.load("bus", "0", CURRENT, 20.0, 9.0)
    return sketch


def test_the_most_that_a_wire_delivers_is_v2_by_4r() -> None:
    # With 20 A on the bus: V = 12.6 - 20·0.010 = 12.4 V, R = 40 mΩ, V²/4R = 961 W (by hand).
    netlist, values = overloaded(1000.0).build()
    found = collapse(netlist, values, 0)
    assert found is not None
    assert found.cause is not None
    assert found.cause.load == "l0"
    assert found.cause.demand == 1000.0
    assert found.cause.open_v == pytest.approx(12.4, rel=1e-9)
    assert found.cause.source_ohm == pytest.approx(0.040, rel=1e-9)
    assert found.cause.matched_w == pytest.approx(961.0, rel=1e-9)
    # Tried in steps of a thousandth; at half of 12.4 V the other load is still above its least.
    assert found.cause.deliverable == pytest.approx(961.0, abs=1.5)
    assert found.cause.deliverable <= 961.0
    assert found.limited == ()
    assert str(found.cause) == (
        "l0 needs 1000 W at 1 V or more; 12.4 V behind 40 mΩ can deliver 961 W there; V²/4R = 961 W"
    )


def test_a_case_that_is_solved_has_nothing_to_explain() -> None:
    assert collapse(*overloaded(900.0).build(), 0) is None


def test_a_collapse_in_which_no_load_is_looked_at_names_none() -> None:
    # as where nothing but what has the law of a resistance falls short
    found = collapse(*overloaded(1000.0).build(), 0, most=0)
    assert found is not None
    assert found.short == ()
    assert found.cause is None


def test_the_least_voltage_binds_before_half_the_voltage() -> None:
    # At no less than 11 V no more than 11·(12.4 - 11)/0.040 = 385 W can be had (by hand).
    sketch = overloaded(500.0)
    sketch.loads[0] = (*sketch.loads[0][:4], 11.0)
    found = collapse(*sketch.build(), 0)
    assert found is not None
    assert found.cause is not None
    assert found.cause.deliverable == pytest.approx(385.0, abs=0.6)


def test_loads_that_fall_short_each_on_their_own_are_all_named() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.6, 0.001)
    for k in range(2):
        sketch.wire("bus", f"feed{k}", 0.5)
        sketch.load(f"feed{k}", "0", POWER, 100.0 + k, 6.0)  # V²/4R is 79 W
    found = collapse(*sketch.build(), 0)
    assert found is not None
    assert [x.load for x in found.short] == ["l1", "l0"]  # the weaker first
    assert found.cause is None
    assert all(math.isnan(x.open_v) and x.deliverable == 0.0 for x in found.short)
    assert "others still fall short" in str(found.short[0])


def test_an_alternator_at_its_limit_is_named() -> None:
    sketch = Sketch()
    sketch.alternator("bus", "0", 14.2, 0.004, 60.0)
    sketch.wire("bus", "feed", 0.002)
    sketch.load("feed", "0", POWER, 900.0, 9.0)  # 60 A · 14 V are 840 W
    netlist, values = sketch.build()
    found = collapse(netlist, values, 0)
    assert found is not None
    assert found.limited == ("a0",)
    assert found.cause is not None
    # 60 A through 2 mΩ from the least voltage of full output, 14.2 - 60·0.004 = 13.96 V.
    assert found.cause.deliverable == pytest.approx(60.0 * (13.96 - 0.12), rel=1.5e-3)


@pytest.mark.parametrize("seed", range(6))
def test_what_can_be_delivered_can_and_a_little_more_cannot(seed: int) -> None:
    sketch = aircraft_sketch(seed, circuits=12, mesh=seed % 3)
    sketch.alternators[0] = (*sketch.alternators[0][:4], 0.0)
    sketch.loads[0] = (*sketch.loads[0][:2], POWER, 3000.0, 7.0)
    netlist, values = sketch.build()
    found = collapse(netlist, values, 0)
    assert found is not None
    assert found.cause is not None
    assert found.cause.load == "l0"
    for share, state in ((0.999, State.SOLVED), (1.003, State.COLLAPSED)):
        values.load_value[0] = share * found.cause.deliverable
        assert solve(netlist, values).state[0] == state


# ---- a second stable point


def dipped(power_w: float) -> Sketch:
    sketch = Sketch()
    sketch.alternator("bus", "0", 14.2, 0.004, 60.0)
    sketch.battery("battery", "0", 12.8, 0.012)
    sketch.diode("battery", "bus", 0.35, 0.004)
    sketch.load("bus", "0", POWER, power_w, 9.0)
    return sketch


def test_two_stable_points() -> None:
    # 830 W with 60 A at 14.2 V / 4 mΩ and 12.8 V / 12 mΩ behind a diode of 0.35 V: at full output
    # V² - (12.45 + 60·0.016)·V + 830·0.016 = 0 gives 12.333 V; regulating, 13.962 V (by hand).
    answer = solve(*dipped(830.0).build(), after_dip=True)
    assert answer.state[0] == State.SOLVED
    assert answer.bistable[0]
    assert answer.load_v[0, 0] == pytest.approx(13.962, abs=0.5e-3)
    low = (13.41 + math.sqrt(13.41**2 - 4 * 830 * 0.016)) / 2
    assert low == pytest.approx(12.333, abs=0.5e-3)
    assert answer.low_v[0, 0] == pytest.approx(low, rel=1e-9)


@pytest.mark.parametrize("power_w", [600.0, 845.0])
def test_one_stable_point(power_w: float) -> None:
    # 600 W come up again; 845 W are more than the alternator gives, so there is no upper point.
    answer = solve(*dipped(power_w).build(), after_dip=True)
    assert answer.state[0] == State.SOLVED
    assert not answer.bistable[0]
    assert np.isnan(answer.low_v).all()


def test_the_second_point_is_looked_for_on_request_only() -> None:
    answer = solve(*dipped(830.0).build())
    assert not answer.bistable[0]


def test_a_second_point_with_a_load_on_its_tail() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.6, 0.05)
    sketch.load("bus", "0", POWER, 700.0, 8.0)
    # 12.6²/4/0.05 = 794 W could be had, but on the tail 700 W at 8 V are 91 mΩ: 8.17 V > 8 V, so
    # the load leaves the tail; with a least voltage of 6 V they are 51 mΩ: it stays at 6.38 V > 6.
    assert not solve(*sketch.build(), after_dip=True).bistable[0]
    sketch.loads[0] = (*sketch.loads[0][:4], 1.0)
    answer = solve(*sketch.build(), after_dip=True)
    assert answer.bistable[0]
    assert answer.low_v[0, 0] == pytest.approx(12.6 / (1.0 + 0.05 * 700.0), rel=1e-9)


def test_a_dead_bus_between_grounds_is_no_second_point() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.6, 0.05)
    sketch.wire("block", "0", 0.01)
    sketch.load("bus", "block", POWER, 100.0)
    sketch.load("dead", "block", POWER, 20.0)
    sketch.load("dead", "0", CURRENT, 0.0)
    assert not solve(*sketch.build(), after_dip=True).bistable[0]
