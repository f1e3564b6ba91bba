"""The larger hand sums at the head of each system.yaml against the solved network."""

from functools import cache
from pathlib import Path

import pytest

from elec.analyses.endurance import endurance
from elec.analyses.points import points
from elec.network.netlist import State
from elec.read import read
from elec.study import Study
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"


@cache
def study(name: str) -> Study:
    system = read(SYSTEMS / name).system
    assert system is not None
    return Study(system)


@pytest.mark.parametrize(("name", "hand_min"), [("foxglove", 71.0), ("larkspur", 60.0)])
def test_battery_endurance(name: str, hand_min: float) -> None:
    found = endurance(study(name))
    assert found is not None
    assert found.simulated_min is not None
    # The hand sum takes one current and one point of Peukert's law; the simulation follows both,
    # and of two batteries the one that is left carries all of it in the end.
    assert found.simulated_min == pytest.approx(hand_min, rel=0.12)


def test_thistledown_first_battery_lasts_the_flight_even_cold_and_old() -> None:
    found = endurance(study("thistledown"))
    assert found is not None
    assert found.simulated_min is not None
    # 10.8 Ah at 1.75 A by hand is 6.2 h; current rises and voltage sinks before it is empty.
    assert found.simulated_min == pytest.approx(6.2 * 60, rel=0.12)
    assert found.simulated_min > 5.0 * 60


def battery_a(name: str, phase: str, condition: str, scenario: str) -> list[float]:
    solved = points(study(name))
    here = solved.select(phase=phase, condition=condition, scenario=scenario, count="steady")
    return [float(row[here][0]) for row in solved.solution.battery_a]


def test_foxglove_discharges_while_taxiing_at_night_only() -> None:
    (night,) = battery_a("foxglove", "taxi", "night", "normal")
    (day,) = battery_a("foxglove", "taxi", "day", "normal")
    # 2.6 A at 14 V by hand; at the 12.8 V of a discharging battery constant power draws more.
    assert -3.8 < night < -2.6
    assert day > 0


def test_larkspur_standby_alternator_carries_the_essential_side() -> None:
    solved = points(study("larkspur"))
    here = solved.select(
        phase="cruise", condition="night", scenario="alternator-failed", count="steady"
    )
    names = [branch.name for branch in solved.model.netlist.alternators]
    standby = float(solved.solution.alternator_a[names.index("standby-alternator")][here][0])
    # 10.9 A at 28 V by hand; the bus stands at 27 V, and battery 2 is topped up with 0.3 A.
    assert standby == pytest.approx(10.9, abs=0.8)


@pytest.mark.parametrize("name", NAMES)
def test_every_case_with_all_sources_has_an_operating_point(name: str) -> None:
    solved = points(study(name))
    normal = solved.select(scenario="normal")
    assert (solved.solution.state[normal] == State.SOLVED).all()
