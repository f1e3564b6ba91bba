"""Every case of the three systems against ngspice, a simulator that shares no method with ours."""

import numpy as np
import pytest

from elec.analyses.points import points
from elec.network.netlist import State
from elec.network.spice import spice_nodes, to_spice
from tests.analyses.helper import NAMES, whole
from tests.network.spice import NoOperatingPointError, needs_ngspice, operating_point

AGREE_V = 1e-3
"""A millivolt: a tenth of the last digit that any table prints."""


def simulated(deck: str, guess: dict[str, float]) -> dict[str, float]:
    """ngspice's answer without a first guess, else from a guess at every node.

    It finds no start of its own in a few cases where much is asked of a battery. A guess does not
    bind it: its Newton steps end only where its own equations hold to 1e-9. (Nodes behind a source
    of 0 V get no guess: there version 39.3 keeps some millivolts of it.)
    """
    plain = "\n".join(x for x in deck.splitlines() if not x.startswith(".nodeset"))
    try:
        return operating_point(plain + "\n")
    except NoOperatingPointError:
        line = ".nodeset " + " ".join(f"v({node})={volts!r}" for node, volts in guess.items())
        return operating_point(plain.replace(".op", f"{line}\n.op") + "\n")


@pytest.mark.outside
@needs_ngspice
@pytest.mark.parametrize("name", NAMES)
def test_every_case_agrees_with_ngspice(name: str) -> None:
    found = points(whole(name))
    netlist, values = found.model.netlist, found.model.values
    names = spice_nodes(netlist)
    shorts = (values.resistance_ohm == 0.0).all(axis=1)
    bound = {
        node
        for branch, short in zip(netlist.resistors, shorts, strict=True)
        for node in (branch.a, branch.b)
        if short
    }
    compared = 0
    for index in range(len(found.cases)):
        if found.solution.state[index] != State.SOLVED:
            continue
        ours = found.solution.voltage_v[:, index]
        guess = {
            names[node]: float(volts)
            for node, volts in zip(found.solution.nodes, ours, strict=True)
            if np.isfinite(volts) and names[node] != "0" and node not in bound
        }
        try:
            theirs = simulated(to_spice(netlist, values, index), guess)
        except NoOperatingPointError:
            continue
        for node, volts in zip(found.solution.nodes, ours, strict=True):
            if names[node] in theirs and np.isfinite(volts):
                assert volts == pytest.approx(theirs[names[node]], abs=AGREE_V), (
                    found.cases[index].title,
                    node,
                )
        compared += 1
    solved = int((found.solution.state == State.SOLVED).sum())
    assert compared >= 0.95 * solved  # ngspice may find no point in a few


@pytest.mark.parametrize("name", NAMES)
def test_currents_balance_at_every_node(name: str) -> None:
    found = points(whole(name))
    solved = found.solution.state == State.SOLVED
    assert solved.any()
    # Kirchhoff's sum at the worst node; currents here reach 200 A.
    assert found.solution.residual_a[solved].max() < 1e-5


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
