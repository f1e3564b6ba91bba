"""A flight over time: charge and energy balance against sums of their own, the worst minute."""

import itertools
import math

import numpy as np
import pytest

from elec.answers.time.endurance import endurance
from elec.answers.time.flight import Flight, Flights, Simulation, flights, simulation
from elec.answers.time.loss import losses
from elec.answers.time.starts import starts
from elec.network.netlist import Array, Branch, State
from elec.network.solve import solve
from elec.study import Study
from elec.wiring.circuit_model import CELL_JOINT_OHM
from tests.answers.helper import NAMES, small, whole

TEXT = """\
system: {{name: Flight, nominal: 14 V, conditions: [day]}}
phases:
  start: {{lasts: 15 s, engine: cranking}}
  taxi: {{lasts: 10 min, engine: 1000 rpm}}
  cruise: {{lasts: {cruise}, engine: 2400 rpm}}
sources:
  battery: {{place: bay, resistance: 9 mΩ, usable: 72 %, {battery}}}
  alternator:
    {{kind: alternator, place: bay, setpoint: 14.2 V, output: {{1000 rpm: {idle}, 2400 rpm: 40 A}}}}
buses: {{main: {{place: bay}}}}
grounds: {{block: {{place: bay}}}}
feeders:
  - {{from: battery, to: main, unprotected: test, gauge: AWG 4}}
  - {{from: alternator, to: main, unprotected: test, gauge: AWG 4}}
equipment:
  starter: {{place: bay, draw: 200 A, on: {{start: 5 s}}, minimum: 6 V}}
  box: {{place: bay, draw: {draw}, on: taxi..cruise, essential: yes, minimum: {minimum}}}
  shed: {{place: bay, draw: 3 A, on: taxi..cruise, shed: at once, minimum: 9 V}}
  meter: {{place: bay, draw: 0.1 A, minimum: 10.5 V}}
circuits:
  starter: {{bus: main, unprotected: test, feeds: starter, gauge: AWG 4}}
  box: {{bus: main, unprotected: test, feeds: box, gauge: AWG 12}}
  shed: {{bus: main, unprotected: test, feeds: shed, gauge: AWG 16}}
  meter: {{bus: main, unprotected: test, feeds: meter, gauge: AWG 22}}
places: {{bay: }}
"""
AGM = "kind: lead-acid, capacity: 20 Ah, rate: 1 h"
LITHIUM = "kind: lithium-iron-phosphate, capacity: 20 Ah, rate: 1 h"


def system(
    *,
    battery: str = AGM,
    draw: str = "8 A",
    idle: str = "20 A",
    cruise: str = "1 h",
    minimum: str = "10.5 V",
) -> Study:
    return small(TEXT.format(battery=battery, draw=draw, idle=idle, cruise=cruise, minimum=minimum))


def flights_of(study: Study) -> Flights:
    found = flights(study)
    assert found is not None
    return found


def on(study: Study, day: str) -> Flight:
    return next(one for one in flights_of(study).every if one.day.name == day)


def worst_min(study: Study) -> float:
    found = losses(study)
    assert found is not None
    return found.worst.lasts_s / 60


def test_the_start_takes_its_charge_and_no_more() -> None:
    # 200 A for 5 s is 0.2778 Ah (computed); the meter takes 0.1 A beside it.
    one = on(system(), "usual")
    after = next(m for m in one.moments if m.phase == "taxi")
    body = simulation(system())
    assert body is not None
    counted_ah = body.bank.capacity_ah[1][0]
    taken_ah = (one.start["battery"] - after.charge["battery"]) * counted_ah
    meter_ah = 0.1 * 15 / 3600
    assert taken_ah == pytest.approx(200 * 5 / 3600 + meter_ah, rel=2e-3)


def test_the_start_is_back_after_charge_over_spare_current() -> None:
    # W = Q/(η·I): 0.2778 Ah and the meter's, 0.85, 1 A to spare (computed; 10 A: 1.96 min).
    text = TEXT.format(battery=AGM, draw="8 A", idle="12.1 A", cruise="1 h", minimum="10.5 V")
    text = text.replace("usable: 72 %, ", "").replace("lasts: 10 min", "lasts: 40 min")
    one = on(small(text), "hot")
    charge_ah = 200 * 5 / 3600 + 0.1 * 15 / 3600
    minutes = 60 * charge_ah / (0.85 * 1.0)
    assert minutes == pytest.approx(19.64, abs=0.05)
    back = one.back_s["battery"]
    assert back is not None
    # The battery's own resistance leaves it a little less than the whole of the spare ampere.
    assert (back - 15) / 60 == pytest.approx(minutes, rel=0.01)


def test_in_the_cold_a_lithium_battery_is_not_charged() -> None:
    study = system(battery=f"{LITHIUM}, coldest: -5 °C")
    cold, hot = on(study, "cold"), on(study, "hot")
    assert cold.back_s["battery"] is None
    assert all(m.battery_a["battery"] >= -1e-9 for m in cold.moments)
    assert hot.end["battery"] > cold.end["battery"]


def test_a_taxi_at_idle_drains_what_the_alternator_lacks() -> None:
    # 8 + 3 + 0.1 A of 5 A: 6.1 A for ten minutes out of the battery.
    one = on(system(idle="5 A"), "hot")
    taxi = [m for m in one.moments if m.phase == "taxi"]
    assert all(m.alternator_a == pytest.approx(5.0, abs=1e-6) for m in taxi)
    assert taxi[3].battery_a["battery"] == pytest.approx(6.1, abs=1e-6)
    assert one.least["battery"][1] == pytest.approx(615.0, abs=1e-6)


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_energy_and_charge_balance_over_the_flight(name: str) -> None:
    """What sources give is what loads, wires and diodes take, within 0.1 % over the whole flight.

    At close moments of the simulated flight the network is solved afresh, without the lattice; the
    battery's energy comes from its charge over its rest voltage, not from those currents.
    """
    made = simulation(whole(name))
    assert made is not None
    flights_of(whole(name))
    given = taken = stored = 0.0
    course = made.courses[made.keys[-1]]
    for part in made.parts:
        count = 41 if part.end_s - part.start_s > 60 else 9
        first = math.nextafter(part.start_s, math.inf)
        times = np.linspace(first, part.end_s, count)
        setting, state, opened = course.at(times.tolist())
        values = made.lattice.at_state(setting, state, opened)
        found = solve(made.lattice.model.netlist, values)
        assert (found.state == State.SOLVED).all()
        nodes = {n: i for i, n in enumerate(found.nodes)}
        netlist = made.lattice.model.netlist
        volts = np.nan_to_num(found.voltage_v)
        watts = (_across(volts, nodes, netlist.alternators) * found.alternator_a).sum(axis=0)
        used = (found.load_v * found.load_a).sum(axis=0)
        lost = (_across(volts, nodes, netlist.resistors) * found.resistor_a).sum(axis=0)
        lost += (_across(volts, nodes, netlist.diodes) * found.diode_a).sum(axis=0)
        cells_v = _across(volts, nodes, netlist.batteries) - values.battery_emf_v
        inside = (cells_v * found.battery_a).sum(axis=0)
        given += float(np.trapezoid(watts, times))
        taken += float(np.trapezoid(used + lost + inside, times))
        stored += _stored_j(made, part.start_s, part.end_s, len(made.keys) - 1)
    assert given == pytest.approx(taken + stored, rel=1e-3)


def _across(volts: Array, nodes: dict[str, int], branches: tuple[Branch, ...]) -> Array:
    """Voltage across every branch, (branches, moments)."""
    found: Array = (
        volts[[nodes[one.a] for one in branches]] - volts[[nodes[one.b] for one in branches]]
    )
    return found


def _stored_j(made: Simulation, start_s: float, end_s: float, which: int) -> float:
    """Energy that went into the batteries: their charge over their rest voltage."""
    course = made.courses[made.keys[which]]
    times = np.linspace(math.nextafter(start_s, math.inf), end_s, 201)
    setting, state, opened = course.at(times.tolist())
    pulse = bool(made.lattice.cranking[setting[0]])
    total = 0.0
    for b, one in enumerate(made.bank.days[made.keys[which][0]]):
        rest = np.array([one.rest_v(s) for s in state[:, b]])
        moved = np.diff(state[:, b])
        middle = 0.5 * (rest[1:] + rest[:-1])
        full_c = 3600 * one.capacity_ah
        rising = moved > 0
        # Charge put in is more than what is kept; charge drawn quickly is less than what it costs.
        amps = made.lattice.at(setting, state, opened)[:, b]
        mid = 0.5 * (amps[1:] + amps[:-1])
        over = np.maximum(mid, 0) * one.rated_h / one.capacity_ah
        cost = np.where((over > 1) & (not pulse), np.maximum(over, 1) ** (one.exponent - 1), 1.0)
        coulombs = full_c * moved * np.where(rising, 1 / one.efficiency, 1 / cost)
        total += float((coulombs * middle).sum())
    return total


@pytest.mark.parametrize("name", NAMES)
def test_charge_is_a_share_and_time_goes_on(name: str) -> None:
    for one in flights_of(whole(name)).every:
        times = [moment.time_s for moment in one.moments]
        assert times == sorted(times)
        assert times[-1] == pytest.approx(flights_of(whole(name)).lasts_s)
        for moment in one.moments:
            assert all(0.0 <= charge <= 1.0 for charge in moment.charge.values())


def test_the_worst_minute_is_no_better_than_any_other() -> None:
    study = whole("foxglove")
    found, alone = losses(study), endurance(study)
    assert found is not None
    assert alone is not None
    assert found.worst.lasts_s <= min(one.lasts_s for one in found.tried) + 1.0
    # After start and taxi at night less is left than the 90 % that the other sum begins with.
    assert alone.simulated_min is not None
    assert found.worst.lasts_s / 60 < alone.simulated_min
    assert found.worst.phase in ("taxi", "climb")


def test_more_capacity_never_makes_it_shorter_more_load_never_longer() -> None:
    sizes = [
        worst_min(system(battery=f"kind: lead-acid, capacity: {c} Ah, rate: 1 h"))
        for c in (12, 20, 30)
    ]
    loads = [worst_min(system(draw=f"{a} A")) for a in (4, 8, 14)]
    needs = [worst_min(system(minimum=f"{v} V")) for v in (9.0, 11.5, 12.0)]
    colds = [worst_min(system(battery=f"{AGM}, coldest: {t} °C")) for t in (-25, -10, 0)]
    for one in (sizes, colds):
        assert all(a <= b + 1e-6 for a, b in itertools.pairwise(one))
    for one in (loads, needs):
        assert all(a >= b - 1e-6 for a, b in itertools.pairwise(one))


def test_a_cold_start_dips_deeper_as_a_hand_sum_has_it() -> None:
    study = system(battery=f"{AGM}, coldest: -10 °C")
    every = {one.day.name: one for one in starts(study)}
    made = simulation(study)
    assert made is not None
    ohms = {
        day: made.bank.days[i][0].resistance_ohm for i, day in enumerate(("cold", "usual", "hot"))
    }
    # 0.8 % per kelvin below 25 °C (our judgement).
    assert ohms["cold"] == pytest.approx(0.009 * 1.28)
    for day, one in every.items():
        (body,) = made.bank.days[("cold", "usual", "hot").index(day)]
        amps = one.battery_a["battery"]
        assert amps == pytest.approx(200.1, abs=1e-6)
        terminal = body.rest_v(1.0) - amps * (ohms[day] + CELL_JOINT_OHM)
        assert one.bus_v["main"] < terminal
        assert one.bus_v["main"] == pytest.approx(terminal, abs=0.6)
    assert every["cold"].bus_v["main"] < every["usual"].bus_v["main"] < every["hot"].bus_v["main"]
    low = [load.equipment for load in every["cold"].brown_outs()]
    assert low == ["meter"]


def test_a_load_without_current_and_an_output_not_known_are_named() -> None:
    text = TEXT.format(battery=AGM, draw="8 A", idle="20 A", cruise="1 h", minimum="10.5 V")
    study = small(text.replace("draw: 0.1 A, ", "").replace(", engine: 2400 rpm", ""))
    found = flights_of(study)
    assert found.unknown == ("meter",)
    assert found.unknown_output == ("cruise",)


def test_a_management_system_that_the_start_overloads_opens_and_is_named() -> None:
    from elec.pages.flight.page import flight_lead

    study = system(battery=f"{LITHIUM}, limit: 120 A, coldest: 20 °C")
    one = on(study, "hot")
    assert one.emptied[0] == (0.0, "battery", "battery over its limit")
    assert any("battery over its limit after" in text for text in flight_lead(study))
