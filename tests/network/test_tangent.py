"""Slopes against differences of whole solutions, and nearby points against whole solutions."""

import numpy as np
import pytest
from msgspec.structs import asdict, replace

from elec.answers.base.points import Points, points
from elec.model.laws import RESISTANCE
from elec.network.netlist import Array, State, Values
from elec.network.solve import solve
from elec.network.tangent import MISMATCH_A, Result, nearby, slopes
from tests.answers.helper import NAMES, whole

STEP = 1e-4
"""Central differences err by the square of the step and by rounding over the step: 1e-6 in V, A."""

MOVED = {
    "resistance": ("resistance_ohm", "relative"),
    "battery_resistance": ("battery_resistance_ohm", "relative"),
    "battery_v": ("battery_emf_v", "volt"),
    "alternator_v": ("alternator_setpoint_v", "volt"),
    "alternator_limit": ("alternator_limit_a", "relative"),
    "diode_v": ("diode_forward_v", "volt"),
    "diode_resistance": ("diode_resistance_ohm", "relative"),
    "load": ("load_value", "draw"),
}


def one_case(values: Values, case: int, count: int = 1) -> Values:
    wide = np.full(count, case)
    return Values(**{name: array[:, wide] for name, array in asdict(values).items()})


def chosen(found: Points, seed: int) -> list[Result]:
    """Three cases drawn by lot; of each a load that is on, and the current out of the batteries."""
    draw = np.random.default_rng(seed)
    solved = np.flatnonzero(found.solution.state == State.SOLVED)
    results = []
    for case in draw.choice(solved, 3, replace=False):
        on = np.flatnonzero(found.solution.load_a[:, case] > 0)
        if len(on):
            results.append(Result(case=int(case), load=int(draw.choice(on))))
        results.append(Result(case=int(case), load=None))
    return results


@pytest.mark.parametrize("name", NAMES)
def test_slopes_agree_with_differences(name: str) -> None:
    found = points(whole(name))
    netlist, values = found.model.netlist, found.model.values
    results = chosen(found, 7)
    by = slopes(netlist, values, found.solution, results)
    draw = np.random.default_rng(8)
    compared = 0
    for column, result in enumerate(results):
        for kind, (field, how) in MOVED.items():
            rows = getattr(values, field).shape[0]
            if not rows:
                continue
            steep = np.argsort(-np.abs(getattr(by, kind)[:, column]))[:2]
            for row in {*steep.tolist(), *draw.integers(rows, size=2).tolist()}:
                moved = one_case(values, result.case, 2)
                array = getattr(moved, field).copy()
                step = np.array([STEP, -STEP])
                if how == "volt":
                    array[row] += step
                elif how == "draw" and netlist.load_laws[row] == RESISTANCE:
                    array[row] /= 1 + step
                else:
                    array[row] *= 1 + step
                again = solve(netlist, replace(moved, **{field: array}))
                if result.load is None:
                    y = -again.battery_a.sum(axis=0)
                else:
                    y = again.load_v[result.load]
                difference = (y[0] - y[1]) / (2 * STEP)
                slope = getattr(by, kind)[row, column]
                assert slope == pytest.approx(difference, rel=1e-4, abs=2e-5), (result, kind, row)
                compared += abs(difference) > 1e-3
    assert compared > 10


def off(draw: np.random.Generator, array: Array, part: float) -> Array:
    moved: Array = array * (1 + part * draw.uniform(-1, 1, array.shape))
    return moved


@pytest.mark.parametrize("name", NAMES)
def test_nearby_points_agree_with_whole_solutions(name: str) -> None:
    found = points(whole(name))
    netlist = found.model.netlist
    draw = np.random.default_rng(9)
    solved = np.flatnonzero(found.solution.state == State.SOLVED)
    for case in draw.choice(solved, 4, replace=False):
        base = one_case(found.model.values, int(case), 100)

        moved = replace(
            base,
            load_value=off(draw, base.load_value, 0.3),
            resistance_ohm=off(draw, base.resistance_ohm, 0.3),
            battery_emf_v=off(draw, base.battery_emf_v, 0.01),
        )
        near = nearby(netlist, moved, found.solution, int(case))
        again = solve(netlist, moved)
        assert (near.solved == (again.state == State.SOLVED)).all()
        good = near.solved
        # The milliampere that a load may miss its law by, through two ohms at most.
        live = (again.load_a > 0) & good
        assert np.abs(near.load_v - again.load_v)[live].max(initial=0.0) < 2.0 * MISMATCH_A
        missed = np.abs((near.battery_a - again.battery_a).sum(axis=0)[good])
        # As many loads may miss theirs by as much, and few do.
        assert missed.max(initial=0.0) < 10 * MISMATCH_A
