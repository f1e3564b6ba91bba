"""The battery alone: the simulation against a fine integration by scipy, and the printed steps."""

import itertools

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from elec.analyses.endurance import STEP_S, endurance
from elec.analyses.points import points
from elec.standards import table
from tests.analyses.helper import NAMES, loads_of, small, whole

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
    ohm = 0.020 + float(model.values.resistance_ohm[:, 0].sum())

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
    # The simulation ends on its own grid of steps, and reads currents off straight lines between
    # four rest voltages: one step, and a half per cent.
    assert found.simulated_min * 60 == pytest.approx(ends_s, abs=STEP_S + 0.005 * ends_s)
    assert found.samples[0].current_a == pytest.approx(current_a(1.0), rel=2e-3)


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
