"""Every case of the three systems; `tests/network/test_outside.py` compares them with ngspice."""

import numpy as np
import pytest

from elec.answers.base.points import points
from elec.network.netlist import State
from tests.answers.helper import NAMES, whole


@pytest.mark.parametrize("name", NAMES)
def test_currents_balance_at_every_node(name: str) -> None:
    found = points(whole(name))
    solved = found.solution.state == State.SOLVED
    assert solved.any()
    # Kirchhoff's sum at the worst node; currents here reach 200 A.
    assert found.solution.residual_a[solved].max() < 1e-6


@pytest.mark.parametrize("name", NAMES)
def test_what_flows_out_of_a_bus_wire_flows_into_its_loads(name: str) -> None:
    study = whole(name)
    found = points(study)
    normal = found.select(scenario="normal", count="steady")
    for circuit in study.document.circuits:
        loads = {feed.split(".")[0] for feed in study.document.circuits[circuit].feeds}
        fed = [
            c
            for c in study.document.circuits.values()
            if loads & {f.split(".")[0] for f in c.feeds}
        ]
        ports = [p.name for p in found.model.ports if p.equipment in loads]
        if len(fed) > 1 or f"{circuit}/1" not in found.rows:
            continue
        wire = found.current_a(f"{circuit}/1")[normal]
        into = sum((found.load_a(port)[normal] for port in ports), np.zeros(int(normal.sum())))
        assert np.allclose(wire, into, atol=1e-6)
