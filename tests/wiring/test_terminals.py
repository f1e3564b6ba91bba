"""A closed contact has one resistance, whatever is solved beside it."""

import numpy as np
import pytest
from msgspec.structs import replace

from elec.answers.base.points import points
from elec.network.solve import solve
from tests.answers.helper import NAMES, whole


@pytest.mark.parametrize("name", NAMES)
def test_a_case_is_the_same_alone_and_beside_others(name: str) -> None:
    """All terminals of boxes are open in the case beside it, as when loads fail one by one."""
    model = points(whole(name)).model
    values = model.values.take(np.array([0, 0]))
    ohms = values.resistance_ohm.copy()
    rows = [k for k, one in enumerate(model.netlist.resistors) if one.name.endswith("/contact")]
    ohms[rows, 1] = np.inf
    assert rows
    beside = solve(model.netlist, replace(values, resistance_ohm=ohms))
    alone = solve(model.netlist, model.values.take(np.array([0])))
    # 1e-9 V: far above rounding, far below what 1 µΩ loses at 10 mA
    assert beside.load_v[:, 0] == pytest.approx(alone.load_v[:, 0], abs=1e-9)
