"""The network solution against closed forms, and its answers where there is none.

Tolerance `EXACT`: a solution is final when the last tangent step is under 1e-9 of the highest
source; the error left is about its square, so only rounding of a few units in the 16th digit,
times the number of operations, remains. The leak of 1e-12 S at each node shifts a voltage by 1e-12
of itself for every ohm that the node is away from its source.
"""

import math
import subprocess
import sys

import numpy as np
import pytest
from msgspec.structs import asdict

from elec.model.laws import CURRENT, POWER, RESISTANCE, Law
from elec.network import circuit
from elec.network import solve as solving
from elec.network.netlist import Branch, Flags, Netlist, Solution, State, Values
from elec.network.solve import at_once, portions, solve
from tests.network.networks import Sketch, aircraft_sketch

EXACT = 1e-11


def solution(sketch: Sketch) -> Solution:
    return solve(*sketch.build(), served=True)


def volts(answer: Solution, node: str, case: int = 0) -> float:
    return float(answer.voltage_v[answer.nodes.index(node), case])


def one_load(law: Law, demand: float, *, emf_v: float, ohm: float, minimum_v: float) -> Sketch:
    sketch = Sketch()
    sketch.battery("bus", "0", emf_v, ohm)
    sketch.load("bus", "0", law, demand, minimum_v)
    return sketch


# ---- constant power: V = (E + √(E² - 4RP))/2, from E - V = R·P/V


def test_worked_example_of_constant_power() -> None:
    # 12.6 V behind 10 mΩ, 1000 W. Printed to 4 and 3 decimals: half of the last digit (computed).
    answer = solution(one_load(POWER, 1000.0, emf_v=12.6, ohm=0.010, minimum_v=9.0))
    assert volts(answer, "bus") == pytest.approx(11.7489, abs=0.5e-4)
    assert answer.load_a[0, 0] == pytest.approx(85.115, abs=0.5e-3)


@pytest.mark.parametrize(
    ("emf_v", "ohm", "power_w"),
    [(12.6, 0.010, 1000.0), (28.0, 0.5, 100.0), (12.8, 1.0, 40.0), (14.2, 1e-4, 5.0)],
)
def test_constant_power_closed_form(emf_v: float, ohm: float, power_w: float) -> None:
    answer = solution(one_load(POWER, power_w, emf_v=emf_v, ohm=ohm, minimum_v=1.0))
    expected = (emf_v + math.sqrt(emf_v**2 - 4 * ohm * power_w)) / 2
    assert answer.state[0] == State.SOLVED
    assert volts(answer, "bus") == pytest.approx(expected, rel=EXACT)
    assert answer.battery_a[0, 0] == pytest.approx(-power_w / expected, rel=1e-9)


@pytest.mark.parametrize("margin", [1e-2, 1e-4, 1e-6])
def test_collapse_is_located_at_the_largest_power(margin: float) -> None:
    largest_w = 12.6**2 / (4 * 0.010)  # 3969 W, from dP/dV = 0
    below = one_load(POWER, largest_w * (1 - margin), emf_v=12.6, ohm=0.010, minimum_v=1.0)
    above = one_load(POWER, largest_w * (1 + margin), emf_v=12.6, ohm=0.010, minimum_v=1.0)
    assert solution(below).state[0] == State.SOLVED
    assert solution(below).served[0] == 1.0
    assert solution(above).state[0] == State.COLLAPSED
    assert solution(above).served[0] < 1.0


def test_served_fraction_up_to_the_largest_power() -> None:
    largest_w = 12.6**2 / (4 * 0.010)
    answer = solution(one_load(POWER, 2 * largest_w, emf_v=12.6, ohm=0.010, minimum_v=1.0))
    assert 0.5 - 1e-3 <= answer.served[0] <= 0.5  # the stated resolution, never too high


@pytest.mark.parametrize("law", [POWER, CURRENT])
def test_served_fraction_down_to_the_minimum_voltage(law: Law) -> None:
    # At 9 V the source gives (12.6 - 9)/0.1 = 36 A = 324 W; 50 A or 450 W are wanted.
    demand = 450.0 if law == POWER else 50.0
    answer = solution(one_load(law, demand, emf_v=12.6, ohm=0.1, minimum_v=9.0))
    assert answer.state[0] == State.COLLAPSED
    assert answer.starved[0, 0]
    assert 0.72 - 1e-3 <= answer.served[0] <= 0.72


@pytest.mark.parametrize("law", [POWER, CURRENT])
def test_below_its_minimum_a_load_is_a_resistance(law: Law) -> None:
    demand = 450.0 if law == POWER else 50.0  # both 50 A at 9 V: 0.18 Ω
    answer = solution(one_load(law, demand, emf_v=12.6, ohm=0.1, minimum_v=9.0))
    assert answer.load_v[0, 0] == pytest.approx(12.6 * 0.18 / 0.28, rel=EXACT)
    assert answer.load_a[0, 0] == pytest.approx(12.6 / 0.28, rel=EXACT)
    assert answer.residual_a[0] < 1e-6


def test_a_resistance_below_its_minimum_is_starved_but_solved() -> None:
    answer = solution(one_load(RESISTANCE, 0.18, emf_v=12.6, ohm=0.1, minimum_v=9.0))
    assert answer.state[0] == State.SOLVED
    assert answer.starved[0, 0]
    assert answer.load_v[0, 0] == pytest.approx(12.6 * 0.18 / 0.28, rel=EXACT)


def test_only_the_load_on_the_long_wire_starves() -> None:
    sketch = one_load(POWER, 100.0, emf_v=12.6, ohm=0.01, minimum_v=9.0)
    sketch.wire("bus", "far", 2.0)
    sketch.load("far", "0", CURRENT, 3.0, 9.0)
    answer = solution(sketch)
    assert answer.state[0] == State.COLLAPSED
    assert answer.starved[:, 0].tolist() == [False, True]
    assert answer.load_a[0, 0] == pytest.approx(100.0 / answer.load_v[0, 0], rel=EXACT)


# ---- sources


def test_two_batteries_share_by_their_resistance() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.6, 0.010)
    sketch.battery("bus", "0", 12.9, 0.030)
    sketch.load("bus", "0", RESISTANCE, 0.5)
    answer = solution(sketch)
    bus = (12.6 / 0.010 + 12.9 / 0.030) / (1 / 0.010 + 1 / 0.030 + 1 / 0.5)  # Millman
    assert volts(answer, "bus") == pytest.approx(bus, rel=EXACT)
    assert answer.battery_a[0, 0] == pytest.approx((bus - 12.6) / 0.010, rel=1e-9)
    assert answer.battery_a[1, 0] == pytest.approx((bus - 12.9) / 0.030, rel=1e-9)


def test_alternator_feeds_the_bus_and_charges_the_battery() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.8, 0.1)
    sketch.alternator("bus", "0", 14.2, 0.004, 60.0)
    sketch.load("bus", "0", CURRENT, 10.0)
    answer = solution(sketch)
    bus = (12.8 / 0.1 + 14.2 / 0.004 - 10.0) / (1 / 0.1 + 1 / 0.004)
    assert volts(answer, "bus") == pytest.approx(bus, rel=EXACT)
    assert answer.battery_a[0, 0] > 0.0  # positive is charging
    assert answer.alternator_a[0, 0] == pytest.approx(10.0 + answer.battery_a[0, 0], rel=1e-9)
    assert not answer.alternator_limited[0, 0]


def test_alternator_at_its_limit_leaves_the_rest_to_the_battery() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.8, 0.1)
    sketch.alternator("bus", "0", 14.2, 0.004, 60.0)
    sketch.load("bus", "0", CURRENT, 70.0)
    answer = solution(sketch)
    assert answer.alternator_a[0, 0] == 60.0
    assert answer.alternator_limited[0, 0]
    assert volts(answer, "bus") == pytest.approx(12.8 - 10.0 * 0.1, rel=EXACT)


@pytest.mark.parametrize(
    ("setpoint_v", "limit_a", "why"),
    [(14.2, 0.0, "failed"), (12.0, 60.0, "bus above its setpoint")],
)
def test_alternator_without_output(setpoint_v: float, limit_a: float, why: str) -> None:
    sketch = one_load(CURRENT, 5.0, emf_v=12.8, ohm=0.1, minimum_v=9.0)
    sketch.alternator("bus", "0", setpoint_v, 0.004, limit_a)
    answer = solution(sketch)
    assert answer.alternator_a[0, 0] == 0.0, why
    assert not answer.alternator_limited[0, 0]
    assert volts(answer, "bus") == pytest.approx(12.3, rel=EXACT)


def test_unlimited_alternator() -> None:
    sketch = Sketch()
    sketch.alternator("bus", "0", 14.2, 0.01, math.inf)
    sketch.load("bus", "0", CURRENT, 200.0)
    answer = solution(sketch)
    assert volts(answer, "bus") == pytest.approx(12.2, rel=EXACT)
    assert not answer.alternator_limited[0, 0]


def test_the_higher_of_two_stable_points() -> None:
    # 60 A at 14.2 V behind 4 mΩ, a battery of 12.8 V behind 12 mΩ and a diode of 0.35 V, 830 W:
    # stable at 13.962 V with an idle battery, and at 12.333 V (computed, to half the last digit).
    sketch = Sketch()
    sketch.alternator("bus", "0", 14.2, 0.004, 60.0)
    sketch.battery("battery", "0", 12.8, 0.012)
    sketch.diode("battery", "bus", 0.35, 0.004)
    sketch.load("bus", "0", POWER, 830.0, 9.0)
    answer = solution(sketch)
    assert volts(answer, "bus") == pytest.approx(13.962, abs=0.5e-3)
    assert answer.battery_a[0, 0] == pytest.approx(0.0, abs=1e-9)  # a leak of 1e-12 S at 13 V
    assert answer.diode_a[0, 0] == 0.0


# ---- diodes


def test_diode_conducts_with_its_drop_and_blocks_in_reverse() -> None:
    sketch = Sketch()
    sketch.battery("main", "0", 14.0, 0.01)
    sketch.battery("standby", "0", 12.0, 0.01)
    sketch.diode("main", "essential", 0.4, 0.01)
    sketch.diode("standby", "essential", 0.4, 0.01)
    sketch.load("essential", "0", CURRENT, 5.0)
    answer = solution(sketch)
    assert volts(answer, "essential") == pytest.approx(14.0 - 5.0 * 0.02 - 0.4, rel=EXACT)
    assert answer.diode_a[0, 0] == pytest.approx(5.0, rel=1e-9)
    assert answer.diode_a[1, 0] == 0.0


def test_bus_without_load_behind_a_diode() -> None:
    sketch = Sketch()
    sketch.battery("main", "0", 14.0, 0.01)
    sketch.diode("main", "fed", 0.4, 0.01)
    sketch.diode("held", "main", 0.4, 0.01)
    answer = solution(sketch)
    # The leak of 1e-12 S draws 14 pA: far below a nanovolt.
    assert volts(answer, "fed") == pytest.approx(13.6, abs=1e-9)
    assert math.isnan(volts(answer, "held"))


def test_a_diode_without_current_holds_only_what_a_leak_draws_through_it() -> None:
    # Behind a diode of 0.35 V whose anode is at 0.1 V nothing is held: it would be at -0.25 V, and
    # a leak would have to flow backwards. Before a cathode at -5 V it would be at -4.65 V: held.
    sketch = Sketch()
    sketch.battery("low", "0", 0.1, 0.01)
    sketch.diode("low", "floating", 0.35, 0.01)
    sketch.battery("0", "negative", 5.0, 0.01)
    sketch.diode("held", "negative", 0.35, 0.01)
    answer = solution(sketch)
    assert math.isnan(volts(answer, "floating"))
    assert volts(answer, "held") == pytest.approx(-4.65, abs=1e-9)


# ---- islands, open switches, joined nodes


def switched(ohm: float) -> Sketch:
    sketch = Sketch()
    sketch.battery("battery", "0", 12.6, 0.01)
    sketch.wire("battery", "bus", ohm)
    sketch.wire("bus", "lamp", 0.1)
    sketch.load("lamp", "0", POWER, 10.0)
    sketch.load("lamp", "0", CURRENT, 1.0)
    sketch.load("lamp", "0", RESISTANCE, 12.0)
    return sketch


def test_open_switch_makes_an_island() -> None:
    answer = solution(switched(math.inf))
    assert answer.state[0] == State.SOLVED
    assert math.isnan(volts(answer, "bus"))
    assert math.isnan(volts(answer, "lamp"))
    assert volts(answer, "battery") == pytest.approx(12.6, rel=EXACT)
    assert answer.unpowered[:, 0].all()
    assert not answer.starved.any()
    assert (answer.load_a == 0.0).all()
    assert (answer.load_v == 0.0).all()
    assert (answer.resistor_a == 0.0).all()


def test_closed_switch_makes_none() -> None:
    answer = solution(switched(1e-3))
    assert not answer.unpowered.any()
    assert np.isfinite(answer.voltage_v).all()


def test_open_return_leaves_the_load_unpowered() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.6, 0.01)
    sketch.load("bus", "return", POWER, 10.0)
    sketch.wire("return", "0", math.inf)
    answer = solution(sketch)
    assert answer.unpowered[0, 0]
    assert math.isnan(volts(answer, "return"))
    assert volts(answer, "bus") == pytest.approx(12.6, rel=EXACT)


def test_loads_in_series_share_the_voltage() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.0, 1e-3)
    sketch.load("bus", "middle", RESISTANCE, 4.0, 1.0)
    sketch.load("middle", "0", RESISTANCE, 8.0, 1.0)
    answer = solution(sketch)
    assert volts(answer, "middle") == pytest.approx(12.0 * 8.0 / 12.001, rel=EXACT)


def test_part_with_its_own_source_but_no_tie_to_the_reference() -> None:
    sketch = one_load(CURRENT, 1.0, emf_v=12.0, ohm=0.1, minimum_v=9.0)
    sketch.battery("plus", "minus", 9.0, 0.1)
    sketch.load("plus", "minus", RESISTANCE, 0.9, 1.0)
    answer = solution(sketch)
    assert math.isnan(volts(answer, "plus"))  # to the reference it is undetermined
    assert answer.load_a[1, 0] == pytest.approx(9.0, rel=1e-9)  # but its current is not
    assert not answer.unpowered[1, 0]


def test_no_source_at_all() -> None:
    sketch = Sketch()
    sketch.wire("bus", "0", 1.0)
    sketch.load("bus", "0", POWER, 10.0)
    answer = solution(sketch)
    assert answer.state[0] == State.SOLVED
    assert math.isnan(volts(answer, "bus"))
    assert volts(answer, "0") == 0.0
    assert answer.unpowered[0, 0]


def test_joined_nodes_have_one_voltage_and_a_current_between() -> None:
    sketch = Sketch()
    sketch.battery("battery", "minus", 12.6, 0.01)
    sketch.wire("minus", "0", 0.0)
    sketch.wire("battery", "post", 0.0)
    sketch.wire("post", "bus", 0.0)
    sketch.load("post", "0", CURRENT, 4.0)
    sketch.load("bus", "0", CURRENT, 6.0)
    answer = solution(sketch)
    assert answer.resistor_a[:, 0] == pytest.approx([-10.0, 10.0, 6.0], rel=1e-9)
    assert volts(answer, "bus") == volts(answer, "battery") == pytest.approx(12.5, rel=EXACT)


def test_joined_nodes_in_a_loop_share_alike() -> None:
    sketch = one_load(CURRENT, 9.0, emf_v=12.6, ohm=0.01, minimum_v=9.0)
    sketch.wire("bus", "a", 0.0)
    sketch.wire("bus", "a", 0.0)
    sketch.wire("bus", "b", 0.0)
    sketch.wire("b", "a", 0.0)
    sketch.load("a", "0", CURRENT, 5.0)
    answer = solution(sketch)
    assert answer.resistor_a[:, 0] == pytest.approx([2.0, 2.0, 1.0, 1.0], rel=1e-9)


def test_zero_in_one_case_only_is_a_micro_ohm() -> None:
    netlist, values = switched(1e-3).build(cases=2)
    values.resistance_ohm[0, 1] = 0.0
    answer = solve(netlist, values)
    drop = volts(answer, "battery", 1) - volts(answer, "bus", 1)
    # The difference of two voltages of 12 V is rounded to 2e-15 V: a thousandth of 3 µV.
    assert drop == pytest.approx(1e-6 * answer.resistor_a[0, 1], abs=1e-14)
    assert answer.residual_a[1] < 1e-6


def test_ten_orders_of_magnitude_side_by_side() -> None:
    sketch = Sketch()
    sketch.battery("a", "0", 12.0, 1e-6)
    sketch.wire("a", "b", 1e6)
    sketch.wire("b", "c", 1e-5)
    sketch.wire("c", "d", 1e4)
    sketch.wire("d", "0", 2e6)
    answer = solution(sketch)
    through = 12.0 / (1e-6 + 1e6 + 1e-5 + 1e4 + 2e6)
    assert volts(answer, "d") == pytest.approx(through * 2e6, rel=3e-6)  # the leak: 1e-12 S · 1 MΩ
    assert answer.residual_a[0] < 1e-6


def test_a_load_the_wrong_way_round() -> None:
    sketch = Sketch()
    sketch.battery("bus", "0", 12.0, 0.1)
    sketch.load("0", "bus", CURRENT, 2.0, 8.0)
    answer = solution(sketch)
    assert answer.starved[0, 0]
    assert answer.load_a[0, 0] < 0.0
    assert answer.served[0] == 0.0


# ---- numbers that no element can have


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("resistance_ohm", math.nan),
        ("resistance_ohm", -1.0),
        ("battery_emf_v", math.inf),
        ("battery_resistance_ohm", math.nan),
        ("alternator_setpoint_v", math.nan),
        ("alternator_limit_a", -5.0),
        ("diode_forward_v", math.nan),
        ("load_value", math.nan),
        ("load_value", -3.0),
        ("load_value", math.inf),
        ("load_minimum_v", math.nan),
    ],
)
def test_a_bad_number_spoils_its_own_case_only(name: str, bad: float) -> None:
    sketch = aircraft_sketch(3, circuits=4)
    sketch.load("main", "ground", POWER, 10.0)
    netlist, values = sketch.build(cases=3)
    good = solve(netlist, values, served=True)
    getattr(values, name)[-1, 1] = bad
    answer = solve(netlist, values, served=True)
    assert answer.state.tolist() == [State.SOLVED, State.NUMERICAL, State.SOLVED]
    for array in (answer.voltage_v, answer.load_a, answer.load_v, answer.resistor_a):
        assert np.isnan(array[:, 1]).all()
    assert np.isnan(answer.served[1])
    assert np.array_equal(answer.voltage_v[:, ::2], good.voltage_v[:, ::2])


def test_arrays_must_fit_the_netlist() -> None:
    netlist, values = switched(1.0).build()
    _, other = aircraft_sketch(1, circuits=2).build()
    with pytest.raises(ValueError, match=r"resistance_ohm has the shape \(\d+, 1\)"):
        solve(netlist, other)
    short = Netlist(reference="0", loads=(Branch(name="l", a="x", b="0"),))
    with pytest.raises(ValueError, match="0 laws for 1 loads"):
        solve(short, Sketch(loads=[("x", "0", POWER, 1.0, 1.0)]).build()[1])
    assert solve(netlist, values).state[0] == State.SOLVED


# ---- many cases


def spread_values(cases: int) -> tuple[Netlist, Values]:
    """An aircraft's cases: other demands, alternator failed in some, a switch open in some."""
    netlist, values = aircraft_sketch(7, circuits=12).build(cases)
    rng = np.random.default_rng(11)
    values.load_value[:] *= rng.uniform(0.2, 3.0, values.load_value.shape)
    values.alternator_limit_a[:, ::3] = 0.0
    values.resistance_ohm[5, ::4] = math.inf
    values.battery_resistance_ohm[:, ::5] = 0.3
    return netlist, values


def test_a_case_does_not_depend_on_its_neighbours() -> None:
    netlist, values = spread_values(300)  # more than one batch
    together = solve(netlist, values)
    assert set(together.state.tolist()) == {State.SOLVED, State.COLLAPSED}
    for case in (0, 1, 4, 15, 255, 256, 299):
        pick = slice(case, case + 1)
        alone = solve(netlist, Values(**{k: v[:, pick] for k, v in asdict(values).items()}))
        assert alone.state[0] == together.state[case]
        # Sums may be taken in another order: a few units in the last digit.
        assert alone.voltage_v == pytest.approx(
            together.voltage_v[:, pick], rel=EXACT, abs=1e-12, nan_ok=True
        )
    assert together.residual_a.max() < 1e-6


def test_an_equal_netlist_is_prepared_once(monkeypatch: pytest.MonkeyPatch) -> None:
    prepared: list[Netlist] = []

    class Counting(circuit.Topology):
        def __init__(self, netlist: Netlist, link: Flags) -> None:
            prepared.append(netlist)
            super().__init__(netlist, link)

    monkeypatch.setattr(circuit, "Topology", Counting)
    monkeypatch.setattr(circuit, "_cache", [])
    first, values = switched(0.5).build()
    again, other = switched(0.7).build()
    before = solve(first, values)
    after = solve(again, other)
    assert len(prepared) == 1
    assert volts(after, "bus") < volts(before, "bus")
    values.resistance_ohm[0] = 0.0  # joined nodes are another topology
    solve(first, values)
    assert len(prepared) == 2


def test_nothing_to_solve() -> None:
    empty = Sketch()
    answer = solve(*empty.build())
    assert answer.nodes == ("0",)
    assert answer.voltage_v.shape == (1, 1)
    none = solve(*switched(1.0).build(cases=0))
    assert none.state.shape == (0,)
    assert none.voltage_v.shape == (4, 0)


def test_importing_the_solver_loads_numpy_only() -> None:
    heavy = ("scipy", "networkx", "pandas", "pint", "matplotlib", "pydantic", "schemdraw")
    code = f"import sys, elec.network.solve; print([x for x in {heavy!r} if x in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_a_bus_that_lost_its_feeder_is_dead_though_grounds_differ() -> None:
    """Milliamperes between two grounds through a dead bus are no supply; the case is solved."""
    netlist = Netlist(
        reference="stud",
        resistors=(
            Branch(name="feeder", a="battery", b="live"),
            Branch(name="opened", a="battery", b="dead"),
            Branch(name="ground", a="block", b="stud"),
        ),
        batteries=(Branch(name="battery", a="battery", b="stud"),),
        loads=(
            Branch(name="fed", a="live", b="block"),
            Branch(name="lost 1", a="dead", b="block"),
            Branch(name="lost 2", a="dead", b="stud"),
        ),
        load_laws=(CURRENT, POWER, POWER),
    )
    column = np.ones((1, 1))
    values = Values(
        resistance_ohm=np.array([[0.01], [np.inf], [0.005]]),
        battery_emf_v=12.6 * column,
        battery_resistance_ohm=0.01 * column,
        alternator_setpoint_v=np.zeros((0, 1)),
        alternator_droop_ohm=np.zeros((0, 1)),
        alternator_limit_a=np.zeros((0, 1)),
        diode_forward_v=np.zeros((0, 1)),
        diode_resistance_ohm=np.zeros((0, 1)),
        load_value=np.array([[10.0], [50.0], [20.0]]),
        load_minimum_v=np.full((3, 1), 8.0),
    )
    solution = solve(netlist, values)
    assert solution.state[0] == State.SOLVED
    assert list(solution.unpowered[:, 0]) == [False, True, True]
    assert np.isnan(solution.voltage_v[solution.nodes.index("dead"), 0])
    assert solution.load_a[0, 0] == pytest.approx(10.0, abs=1e-12)


def test_portions_hold_every_case_once_and_no_more_than_fits(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where little fits, as many cases go at a time as are solved at a time anyway."""
    netlist, _ = one_load(CURRENT, 1.0, emf_v=12.0, ohm=0.1, minimum_v=8.0).build()
    turn = at_once(netlist)
    monkeypatch.setattr(solving, "_MOST_HELD", 1)
    found = list(portions(netlist, 2 * turn + 5))
    assert [part.stop - part.start for part in found] == [turn, turn, 5]
    assert [part.start for part in found] == [0, turn, 2 * turn]
    assert not list(portions(netlist, 0))
