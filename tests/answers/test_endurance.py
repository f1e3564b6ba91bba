"""The battery alone: the simulation against a fine integration by scipy, and the printed steps."""

import itertools
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from elec.answers.base.points import points
from elec.answers.time.alone import LONGEST_S
from elec.answers.time.course import march
from elec.answers.time.endurance import (
    _Endurance,
    _Simulation,
    both_endurances,
    endurance,
    usual_endurance,
)
from elec.model.source import LeadAcid
from elec.network.netlist import Array
from elec.network.solve import solve
from elec.standards import table
from elec.study import Study
from elec.wiring.circuit_model import CELL_JOINT_OHM
from elec.wiring.sources import capacity_share
from tests.answers.helper import NAMES, loads_of, small, whole

CAPACITY_AH, EXPONENT, POWER_W, MINIMUM_V = 18.0, 1.2, 130.0, 9.0

TEXT = f"""\
system: {{name: One battery, nominal: 12 V, conditions: [day]}}
phases: {{cruise: {{lasts: 1 h, engine: stopped}}}}
sources:
  battery: {{kind: lead-acid, place: bay, capacity: {CAPACITY_AH} Ah, rate: 1 h, resistance: 20 mΩ,
            peukert: {EXPONENT}, usable: 100 %, coldest: 25 °C}}
buses: {{main: {{place: bay}}}}
grounds: {{block: {{place: bay}}}}
feeders: [{{from: battery, to: main, unprotected: test, gauge: AWG 4}}]
equipment:
  box: {{place: bay, draw: {POWER_W} W, essential: yes, minimum: {MINIMUM_V} V}}
circuits:
  box: {{bus: main, unprotected: test, feeds: box, gauge: AWG 12}}
places: {{bay: }}
"""


def rest_v(state_of_charge: float) -> float:
    """Rest voltage of a 6-cell AGM battery: straight lines between the table's points."""
    curve = table("elec/battery_voltage").points(
        "state_of_charge_percent", "voltage_v", chemistry="agm"
    )
    share, volts = zip(*curve, strict=True)
    return float(np.interp(100 * state_of_charge, share, volts))


def test_the_simulation_follows_the_fine_integration() -> None:
    study = small(TEXT)
    found = endurance(study)
    assert found is not None
    model = points(study).model
    # Everything lies in one row, so the resistances add.
    ohm = 0.020 + CELL_JOINT_OHM + float(model.values.resistance_ohm[:, 0].sum())

    def current_a(share: float) -> float:
        emf = rest_v(max(share, 0.0))
        return float(POWER_W / ((emf + np.sqrt(emf**2 - 4 * ohm * POWER_W)) / 2))

    def slope(_: float, state: np.ndarray) -> list[float]:
        amps = current_a(float(state[0]))
        fast = (amps / CAPACITY_AH) ** EXPONENT if amps > CAPACITY_AH else amps / CAPACITY_AH
        return [-fast / 3600]

    def empty(_: float, state: np.ndarray) -> float:
        return float(state[0])

    empty.terminal = True  # type: ignore[attr-defined]
    fine = solve_ivp(slope, (0, 86400), [1.0], events=empty, rtol=1e-9, atol=1e-12, max_step=20.0)
    assert fine.t_events is not None
    ends_s = float(fine.t_events[0][0])
    assert found.ends_with == "battery empty"
    assert found.simulated_min is not None
    # Currents are read off straight lines between rest voltages 0.6 % apart, which for a constant
    # power is (0.006)²/4 of the current at the most: a hundred-thousandth, 0.06 s of this time.
    assert found.simulated_min * 60 == pytest.approx(ends_s, rel=1e-5, abs=0.1)
    assert found.samples[0].current_a == pytest.approx(current_a(1.0), rel=1e-6)


def test_the_end_at_a_minimum_voltage_is_found_within_its_step() -> None:
    study = small(TEXT.replace(f"minimum: {MINIMUM_V} V", "minimum: 11.6 V"))
    found = endurance(study)
    assert found is not None
    ohm = 0.020 + CELL_JOINT_OHM + float(points(study).model.values.resistance_ohm[:, 0].sum())

    def box_v(share: float) -> float:
        emf = rest_v(max(share, 0.0))
        return float((emf + np.sqrt(emf**2 - 4 * ohm * POWER_W)) / 2)

    def slope(_: float, state: np.ndarray) -> list[float]:
        amps = POWER_W / box_v(float(state[0]))
        fast = (amps / CAPACITY_AH) ** EXPONENT if amps > CAPACITY_AH else amps / CAPACITY_AH
        return [-fast / 3600]

    def low(_: float, state: np.ndarray) -> float:
        return box_v(float(state[0])) - 11.6

    low.terminal = True  # type: ignore[attr-defined]
    fine = solve_ivp(slope, (0, 86400), [1.0], events=low, rtol=1e-9, atol=1e-12, max_step=20.0)
    assert fine.t_events is not None
    assert found.samples[-1].time_s == pytest.approx(float(fine.t_events[0][0]), abs=0.1)


@pytest.mark.parametrize("kind", ["lead-acid", "lithium-iron-phosphate"])
def test_more_capacity_lasts_longer_more_load_and_cold_less(kind: str) -> None:
    def lasts(*, capacity: float = 18.0, load: float = 130.0, coldest: float = 20.0) -> float:
        text = TEXT.replace("kind: lead-acid", f"kind: {kind}").replace("usable: 100 %, ", "")
        text = text.replace(f"capacity: {CAPACITY_AH} Ah", f"capacity: {capacity} Ah")
        text = text.replace(f"draw: {POWER_W} W", f"draw: {load} W")
        found = endurance(small(text.replace("coldest: 25 °C", f"coldest: {coldest} °C")))
        assert found is not None
        assert found.simulated_min is not None
        return found.simulated_min

    sizes = [lasts(capacity=c) for c in (9.0, 14.0, 18.0, 30.0)]
    loads = [lasts(load=w) for w in (40.0, 90.0, 130.0, 200.0)]
    warmth = [lasts(coldest=t) for t in (-30.0, -18.0, -5.0, 0.0, 10.0, 30.0)]
    assert sizes == sorted(sizes)
    assert loads == sorted(loads, reverse=True)
    assert warmth == sorted(warmth)


def test_a_maker_s_ratings_take_the_place_of_the_exponent() -> None:
    rated = TEXT.replace(f"peukert: {EXPONENT}", "rates: {1 h: 12 Ah, 20 h: 18 Ah}")
    # 12 Ah in one hour; at 10.5 A and 12.3 V the rating is read a little above 12 Ah.
    found = endurance(small(rated))
    plain = endurance(small(TEXT))
    assert found is not None
    assert plain is not None
    assert found.samples[-1].time_s < plain.samples[-1].time_s
    assert found.hand.steps[0].terms[1].value == pytest.approx(12.0)


def test_constant_power_draws_more_as_the_battery_sinks() -> None:
    found = endurance(small(TEXT))
    assert found is not None
    assert found.samples[-1].current_a > found.samples[0].current_a
    assert found.samples[-1].voltage_v < found.samples[0].voltage_v


def test_a_load_that_needs_more_voltage_ends_it_earlier() -> None:
    empty = endurance(small(TEXT))
    picky = endurance(small(TEXT.replace(f"minimum: {MINIMUM_V} V", "minimum: 11.6 V")))
    assert empty is not None
    assert picky is not None
    assert picky.ends_with == "box"
    assert picky.simulated_min is not None
    assert empty.simulated_min is not None
    assert picky.simulated_min < empty.simulated_min


def test_without_an_essential_load_the_battery_itself_ends_it() -> None:
    found = endurance(small(loads_of({"radio": "1 A"})))
    assert found is not None
    assert found.ends_with == "battery empty"
    assert found.samples[-1].lowest_load == ""


def test_a_load_without_current_is_named() -> None:
    text = TEXT.replace("circuits:\n", "  fan: {place: bay}\ncircuits:\n").replace(
        "places:", "  fan: {bus: main, unprotected: test, feeds: fan}\nplaces:"
    )
    found = endurance(small(text))
    assert found is not None
    assert found.unknown == ("fan",)


@pytest.mark.parametrize("name", NAMES)
def test_charge_only_falls_and_time_only_rises(name: str) -> None:
    found = endurance(whole(name))
    assert found is not None
    times = [sample.time_s for sample in found.samples]
    assert times == sorted(times)
    charge = [sample.state_of_charge for sample in found.samples]
    # The battery that is looked at is the emptiest of those that feed; a second one that joins at
    # shedding may be fuller, so the fall is asked for only where there is one battery.
    if len(found.batteries) == 1:
        assert all(b <= a for a, b in itertools.pairwise(charge))


def test_the_ampere_minutes_of_the_floatplane_add_up() -> None:
    found = endurance(whole("foxglove"))
    assert found is not None
    steps = {step.result.symbol: step.result.value for step in found.hand.steps}
    third = found.hand.steps[-2]
    given = {term.symbol: term.value for term in third.terms}
    # The retrofit form: t3 = (Q - I1·t1 - I2·t2) / I3, with 5 and 10 minutes.
    assert (given["t1"], given["t2"]) == (5.0, 10.0)
    left = steps["Q"] - given["I1"] * 5 - given["I2"] * 10
    assert found.hand_min == pytest.approx(15 + left / given["I3"])


def test_two_batteries_that_share_a_load_follow_the_fine_integration() -> None:
    study = whole("larkspur")
    found = endurance(study)
    assert found is not None
    simulation = _Simulation([_Endurance(study, "cold")])
    lattice, bank = simulation.lattice, simulation.bank
    order = [b.name for b in lattice.model.netlist.batteries]
    rows = [order.index(name) for name in bank.names]

    def slope(setting: int, opened: list[bool]) -> Callable[[float, Array], Array]:
        def of(_: float, state: Array) -> Array:
            # The network itself at this very state of charge: no lattice.
            values = lattice.at_state(
                np.array([setting]), np.clip(state, 0, 1)[None], np.array([opened])
            )
            amps = np.nan_to_num(-solve(lattice.model.netlist, values).battery_a[rows, 0])
            return np.array(bank.slope_per_s(np.zeros(1, dtype=np.intp), amps[None])[0])

        return of

    def emptied(battery: int) -> Callable[[float, Array], float]:
        def of(_: float, state: Array) -> float:
            return float(state[battery])

        of.terminal = True  # type: ignore[attr-defined]
        of.direction = -1.0  # type: ignore[attr-defined]
        return of

    state = np.array([one.start for one in bank.days[0]])
    assert found.landing_s is not None
    # Everything on, then shed in cruise, then the landing with its own setting.
    legs = [(found.seen_s, 0), (found.landing_s, 1), (LONGEST_S, 1 + len(simulation.stages))]
    time_s, leg, opened = 0.0, 0, [False, False]
    while not all(opened):
        left = [b for b, gone in enumerate(opened) if not gone]
        fine = solve_ivp(
            slope(legs[leg][1], opened),
            (time_s, legs[leg][0]),
            state,
            events=[emptied(b) for b in left],
            rtol=1e-7,
            atol=1e-10,
            max_step=120.0,
        )
        time_s, state = float(fine.t[-1]), fine.y[:, -1]
        hit = [b for b, times in zip(left, fine.t_events or [], strict=True) if len(times)]
        opened = [gone or b in hit for b, gone in enumerate(opened)]
        leg += 0 if hit else 1
    assert found.ends_with == "battery empty"
    # Lines between rest voltages 0.2 % apart: 0.004 s off where measured; with 1.2 % it was 1.7 s.
    assert found.samples[-1].time_s == pytest.approx(time_s, abs=0.1)


LANDING = """\
system: {name: Whitethroat, nominal: 14 V, conditions: [day], return: wired}
phases:
  cruise: {lasts: 100 min, engine: 2300 rpm}
  circuit: {lasts: 14 min, engine: 1800 rpm}
sources:
  battery: {kind: lead-acid, place: bay, capacity: 20 Ah, rate: 20 h, peukert: 1.15,
            resistance: 9 mΩ, coldest: -8 °C, basis: measured}
  generator: {kind: alternator, place: bay, setpoint: 14.2 V, rating: 50 A,
              output: {1000 rpm: 30 A, 2300 rpm: 50 A}}
buses: {main: {place: bay, essential: yes, warning: 13 V}}
feeders:
  - {name: battery feed, from: battery, to: main, unprotected: test, gauge: AWG 4}
  - {name: output, from: main, to: generator, limiter: 80 A, gauge: AWG 4}
grounds: {post: {place: bay}}
equipment:
  radio: {place: bay, draw: 6 A, essential: yes, minimum: 8 V}
  cabin: {place: bay, draw: 3 A, shed: at once}
  lamp: {place: bay, draw: 15 A, on: circuit, essential: yes, minimum: 8 V}
circuits:
  radio: {bus: main, breaker: 15 A, feeds: radio}
  cabin: {bus: main, breaker: 5 A, feeds: cabin}
  lamp: {bus: main, breaker: 25 A, feeds: lamp}
places: {bay: }
"""


def test_cold_age_peukert_and_the_landing_count_together() -> None:
    """By hand: constant currents, so the charge over time is three straight lines.

    Peukert's law integrated, t = H (C/(I H))^k; 0.8 of the plate for age, 90 % of that in it, cold.
    """
    study = small(LANDING)
    found = endurance(study)
    assert found is not None
    battery = study.document.sources["battery"]
    assert isinstance(battery, LeadAcid)
    charge = 20 * 0.8 * capacity_share(battery, -8.0)

    def per_min(amps: float) -> float:
        return float((amps * 20 / charge) ** 1.15 / 20 / 60)

    first, shed, landing = 5 * per_min(9.0), per_min(6.0), 10 * per_min(21.0)
    by_hand = 5 + (0.9 - first - landing) / shed + 10
    assert found.simulated_min == pytest.approx(by_hand, rel=1e-3)
    assert found.landing_min == pytest.approx(10.0, abs=0.02)
    assert found.minutes == found.simulated_min
    assert found.hand_min is not None
    assert found.minutes is not None
    assert found.hand_min > 1.4 * found.minutes
    # Without charge for ten minutes of it, it is begun at once and ends before it is over.
    small_one = endurance(small(LANDING.replace("capacity: 20 Ah", "capacity: 7 Ah")))
    assert small_one is not None
    assert small_one.landing_s == pytest.approx(300.0)
    assert 0 < small_one.landing_min < 10


def test_no_later_landing_would_be_flown_to_its_end() -> None:
    """Every landing begun earlier is over before the battery is, every later one is not."""
    simulation = _Simulation([_Endurance(small(LANDING), "cold")])
    (flown,), (alone,) = simulation.run(), simulation.alone
    landing_s = flown.landing_s
    assert landing_s is not None
    early, late = (landing_s - 60, landing_s + 60)
    courses = march(simulation.lattice, [alone.plan(at) for at in (early, late)])
    assert courses[0].ends_s - early > 600 > courses[1].ends_s - late


@pytest.mark.parametrize("name", NAMES)
def test_both_days_side_by_side_are_as_each_alone(name: str) -> None:
    """Days that go side by side touch each other in nothing."""
    both, each = Study(whole(name).designed), whole(name)
    both_endurances(both)
    cold, usual = endurance(each), usual_endurance(each)
    assert cold is not None
    assert usual is not None
    assert cold.simulated_min != usual.simulated_min
    assert (endurance(both), usual_endurance(both)) == (cold, usual)


def test_a_late_warning_is_waited_for() -> None:
    """A lithium pack holds 13 V for long; until the warning comes on nothing is shed."""
    lithium = LANDING.replace(
        "kind: lead-acid, place: bay, capacity: 20 Ah, rate: 20 h, peukert: 1.15",
        "kind: lithium-iron-phosphate, place: bay, capacity: 20 Ah, rate: 1 h",
    ).replace("coldest: -8 °C", "coldest: 10 °C")
    early = endurance(small(lithium.replace("warning: 13 V", "warning: 13.3 V")))
    late = endurance(small(lithium))
    assert early is not None
    assert late is not None
    assert early.seen_s == pytest.approx(300.0)
    assert late.seen_s > 600
    seen = next(s for s in late.samples if s.time_s == pytest.approx(late.seen_s, abs=1e-6))
    assert seen.voltage_v == pytest.approx(13.0, abs=0.1)
    assert late.sheds[1] == (late.seen_s, "loads shed")
    assert late.minutes is not None
    assert early.minutes is not None
    assert late.minutes < early.minutes
    assert {t.symbol: t.value for t in late.hand.steps[-2].terms}["t1"] == late.seen_s / 60
