"""The search's spare ways lead to the same operating points as its usual one."""

import numpy as np
import pytest

from elec.model.laws import POWER, RESISTANCE
from elec.network import operating
from elec.network.netlist import Solution, State
from elec.network.solve import solve
from tests.network.networks import Sketch, aircraft_sketch, random_sketch

SAME_V = 1e-9
"""Each way ends with a tangent step below 1e-9 of the voltage, and its error is the square."""


def same(first: Solution, second: Solution) -> bool:
    return bool(
        np.allclose(first.voltage_v, second.voltage_v, rtol=0.0, atol=SAME_V, equal_nan=True)
    )


def solved_networks() -> list[tuple[Sketch, Solution]]:
    pairs = []
    for seed in range(60):
        sketch = random_sketch(seed, any_way=seed % 2 == 0, diodes=20)
        answer = solve(*sketch.build())
        if answer.state[0] == State.SOLVED:
            pairs.append((sketch, answer))
    assert len(pairs) >= 15
    return pairs


def test_flipping_states_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = solved_networks()
    monkeypatch.setattr(operating, "_GRACE", -2)
    for sketch, answer in usual:
        assert same(solve(*sketch.build()), answer)


def overloaded() -> list[Sketch]:
    sketches = []
    for seed in range(12):
        sketch = aircraft_sketch(seed, circuits=20, mesh=seed % 4)
        factor = 4.0 + seed
        sketch.loads = [
            (a, b, law, demand * (1.0 if law == RESISTANCE else factor), 4.0)
            for a, b, law, demand, _ in sketch.loads
        ]
        sketch.alternators[0] = (*sketch.alternators[0][:4], 0.0)
        sketches.append(sketch)
    return sketches


@pytest.mark.parametrize("trials", [1, 4])
def test_overload_ends_on_a_point_that_obeys_every_law(
    monkeypatch: pytest.MonkeyPatch, trials: int
) -> None:
    # With one trial the loads soon start from below, all on their tails.
    monkeypatch.setattr(operating, "_TRIALS_FROM_ABOVE", trials)
    served = []
    for sketch in overloaded():
        answer = solve(*sketch.build(), served=True)
        assert answer.state[0] in {State.SOLVED, State.COLLAPSED}
        assert answer.residual_a[0] < 1e-6
        assert answer.starved.any() == (answer.state[0] == State.COLLAPSED)
        served.append(float(answer.served[0]))
    assert 0.0 < min(served) < 0.9


@pytest.mark.parametrize("beyond", [1e-2, 1e-5, 1e-8, 1e-11])
@pytest.mark.parametrize("minimum_v", [0.01, 1.0, 6.0])
def test_just_beyond_the_largest_power_the_load_falls_to_its_tail(
    beyond: float, minimum_v: float
) -> None:
    power_w = 12.6**2 / (4 * 0.010) * (1.0 + beyond)
    sketch = Sketch()
    sketch.battery("bus", "0", 12.6, 0.010)
    sketch.load("bus", "0", POWER, power_w, minimum_v)
    answer = solve(*sketch.build())
    assert answer.state[0] == State.COLLAPSED
    tail_s = power_w / minimum_v**2
    assert answer.load_v[0, 0] == pytest.approx(12.6 / (1.0 + 0.010 * tail_s), rel=1e-11)


def test_rounds_running_out_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(operating, "_ROUNDS", 2)
    answer = solve(*aircraft_sketch(1, circuits=5).build())
    assert answer.state[0] == State.NUMERICAL
    assert np.isnan(answer.voltage_v).all()
