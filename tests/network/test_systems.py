"""What holds for every wire, load and node of the three systems, whatever their numbers."""

import numpy as np
import pytest
from msgspec.structs import replace

from elec.answers.base.points import Points, points
from elec.model.laws import RESISTANCE
from elec.network import circuit
from elec.network.netlist import Array, Branch, Index, Netlist, State
from elec.network.solve import solve
from elec.study import Study
from tests.answers.helper import NAMES, whole

ROUNDING_V = 1e-9
"""Voltages of 14 V carry some 1e-14 V of rounding; weak feeders magnify it."""

systems = pytest.mark.parametrize("name", NAMES)


def lively(found: Points) -> int:
    """The solved case in which most loads draw."""
    drawing = (np.abs(found.solution.load_a) > 0.0).sum(axis=0)
    return int(np.where(found.solution.state == State.SOLVED, drawing, -1).argmax())


def place(found: Points, ends: tuple[Branch, ...]) -> tuple[Index, Index]:
    a = np.asarray([found.nodes[branch.a] for branch in ends], np.intp)
    return a, np.asarray([found.nodes[branch.b] for branch in ends], np.intp)


@systems
def test_kirchhoff_at_every_node_of_every_case(name: str) -> None:
    # Summed here from the currents alone, not the residual that the solution reports.
    found = points(whole(name))
    netlist, solution = found.model.netlist, found.solution
    leaving = np.zeros((len(solution.nodes), len(found.cases)))
    groups: tuple[tuple[tuple[Branch, ...], Array], ...] = (
        (netlist.resistors, solution.resistor_a),
        (netlist.batteries, solution.battery_a),
        (netlist.alternators, -solution.alternator_a),
        (netlist.diodes, solution.diode_a),
        (netlist.loads, solution.load_a),
    )
    for ends, current in groups:
        a, b = place(found, ends)
        np.add.at(leaving, a, current)
        np.subtract.at(leaving, b, current)
    assert (solution.state != State.NUMERICAL).all()
    assert np.abs(leaving).max() < 1e-6
    assert solution.residual_a.max() < 1e-6
    assert np.abs(solution.resistor_a).max() > 1.0


@systems
def test_a_case_alone_has_the_same_answer_to_the_last_bit(name: str) -> None:
    # Whatever was solved before, and whatever is solved together with it.
    found = points(whole(name))
    for case in range(0, len(found.cases), 7):
        circuit._cache.clear()
        alone = solve(found.model.netlist, found.model.values.take(np.array([case])))
        for results in ("voltage_v", "resistor_a", "battery_a", "alternator_a", "load_a"):
            ours, all_of_them = getattr(alone, results), getattr(found.solution, results)
            assert np.array_equal(ours[:, 0], all_of_them[:, case], equal_nan=True), results


@systems
def test_a_longer_wire_never_raises_its_loads_voltage(name: str) -> None:
    study, found = whole(name), points(whole(name))
    case = lively(found)
    rows = [
        (found.rows[wire], load)
        for port, load in found.loads.items()
        for wire in found.rows
        if wire.startswith(feeding(study, port)) and found.solution.load_v[load, case] > 0.0
    ]
    assert len(rows) > 15
    wires, loads = (np.asarray(column, np.intp) for column in zip(*rows, strict=True))
    values = found.model.values.take(np.full(len(rows), case, np.intp))
    values.resistance_ohm[wires, np.arange(len(rows))] *= 1.5
    answer = solve(found.model.netlist, values)
    after = answer.load_v[loads, np.arange(len(rows))]
    before = found.solution.load_v[loads, case]
    assert (after <= before + ROUNDING_V).all()
    assert (after < before - 1e-4).sum() > 5


def feeding(study: Study, port: str) -> tuple[str, ...]:
    """How the names of wires and devices begin that feed a load port."""
    equipment = port.partition(":")[0]
    return tuple(
        f"{name}/"
        for name, circuit in study.document.circuits.items()
        if any(feed.partition(".")[0] == equipment for feed in circuit.feeds)
    )


@systems
def test_removing_a_load_never_lowers_a_bus(name: str) -> None:
    found = points(whole(name))
    case, count = lively(found), len(found.model.netlist.loads)
    values = found.model.values.take(np.full(count, case, np.intp))
    off = found.model.netlist.off_values()
    values.load_value[np.arange(count), np.arange(count)] = off
    answer = solve(found.model.netlist, values)
    buses = [found.nodes[bus] for bus in whole(name).document.buses]
    before = found.solution.voltage_v[buses, case]
    after = answer.voltage_v[buses]
    fed = np.isfinite(before)
    assert (after[fed] >= before[fed, None] - ROUNDING_V).all()
    assert (after[fed] > before[fed, None] + 1e-4).any()


@systems
def test_two_halves_in_parallel_equal_one_whole(name: str) -> None:
    found = points(whole(name))
    netlist, values = found.model.netlist, found.model.values
    twice = Netlist(
        reference=netlist.reference,
        resistors=(*netlist.resistors, *netlist.resistors),
        batteries=(*netlist.batteries, *netlist.batteries),
        alternators=(*netlist.alternators, *netlist.alternators),
        diodes=(*netlist.diodes, *netlist.diodes),
        loads=(*netlist.loads, *netlist.loads),
        load_laws=(*netlist.load_laws, *netlist.load_laws),
    )
    half = np.array([[2.0 if law == RESISTANCE else 0.5] for law in netlist.load_laws])
    factors = {
        "resistance_ohm": 2.0, "battery_emf_v": 1.0, "battery_resistance_ohm": 2.0,
        "alternator_setpoint_v": 1.0, "alternator_droop_ohm": 2.0, "alternator_limit_a": 0.5,
        "diode_forward_v": 1.0, "diode_resistance_ohm": 2.0, "load_value": half,
        "load_minimum_v": 1.0,
    }  # fmt: skip
    doubled = {
        key: np.tile(getattr(values, key) * factor, (2, 1)) for key, factor in factors.items()
    }
    answer = solve(twice, replace(values, **doubled))
    order = [answer.nodes.index(node) for node in found.solution.nodes]
    assert (answer.state == found.solution.state).all()
    assert np.allclose(
        answer.voltage_v[order], found.solution.voltage_v, rtol=0.0, atol=ROUNDING_V, equal_nan=True
    )
    solved = found.solution.state == State.SOLVED
    together = answer.battery_a.reshape(2, -1, len(found.cases)).sum(axis=0)
    assert np.allclose(together[:, solved], found.solution.battery_a[:, solved], atol=1e-6)
