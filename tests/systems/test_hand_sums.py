"""The larger hand sums at the head of each system.yaml against the solved network."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from elec.answers.base.marks import marks
from elec.answers.base.points import points
from elec.answers.time.endurance import endurance
from elec.answers.time.power_up import power_up
from elec.model.source import Alternator
from elec.network.netlist import State
from elec.pages.bench.power_tables import paths
from elec.pages.circuits.protection import protection
from elec.pages.loads.load import loads_by_phase, source_margin
from elec.pages.table import Table
from elec.read import read
from elec.study import Study
from elec.wiring.runs import runs
from elec.write.values import bare
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


# --- the sums that a builder does on the back of the sheet, from the file's figures alone --------


def row_of(table: Table, **wanted: str) -> dict[str, object]:
    """The one row of a table whose cells read so."""
    keys = [column.key for column in table.columns]
    rows: list[dict[str, object]] = [
        dict(zip(keys, (bare(v) for v in row), strict=True)) for row in table.rows
    ]
    fitting = [r for r in rows if all(str(r[k]) == text for k, text in wanted.items())]
    assert len(fitting) == 1
    return fitting[0]


def number(value: object) -> float:
    return float(str(value))


def test_foxglove_taxi_by_night_summed_from_the_labels() -> None:
    volts = 14.2
    in_watts = 0.85 * 7 + 0.15 * 36 + 7 + 7 + 1.7 + 5.6 + 10 + 7 + 17 + 3 * 5
    in_amps = 0.4 + 0.08 + 0.8 + 2.0 + 3.93 + 0.6 + 0.3 * 0.21 + 4.0 * 16 / 600
    coil = 0.8
    row = row_of(loads_by_phase(study("foxglove")), phase="taxi on the water", condition="night")
    # the same figures once more, so only the last digit of the printed ones differs
    assert number(row["continuous_a"]) == pytest.approx(in_watts / volts + in_amps + coil, abs=0.01)


def test_foxglove_cut_lengths_from_the_ways() -> None:
    # 5 % slack and 3 in at each end; printed rounded up to the inch
    wing_in, post_in = 14 * 12 * 1.05 + 6, 5 * 12 * 1.05 + 6
    assert wing_in == pytest.approx(182.4)
    assert post_in == 69.0
    mark = marks(study("foxglove"))
    lengths = {mark[k]: run.length_m for k, run in runs(study("foxglove")).items()}
    # runs are kept in whole inches or as the sum: within the inch that the cut list rounds up
    assert (lengths["L20C16"] or 0.0) / 0.0254 == pytest.approx(wing_in, abs=1.0)
    assert (lengths["L20B16"] or 0.0) / 0.0254 == pytest.approx(post_in, abs=1.0)


def test_foxglove_breaker_of_the_radio() -> None:
    # 80 % of a breaker for long; 0.3 % less for each kelvin above 25 °C, at 55 °C in the panel
    row = row_of(protection(study("foxglove")), circuit="radio")
    assert number(row["needed_a"]) == pytest.approx(number(row["load_a"]) / 0.8 / 0.91, rel=0.005)
    # 36 W at the voltage it then has: between its least, 11 V, and 14.2 V
    assert 36 / 14.2 < number(row["load_a"]) < 36 / 11.0


def test_foxglove_battery_in_an_hour_and_alone() -> None:
    one_hour_ah = 18 * 20 ** (1 / 1.12 - 1)
    assert one_hour_ah == pytest.approx(13.06, abs=0.01)
    # 5 min with all on, 10 min of landing, the rest shed: the currents of the head of system.yaml
    hand_min = (0.72 * one_hour_ah * 60 - 5 * 13 - 10 * 7) / 5.1 + 15
    found = endurance(study("foxglove"))
    assert found is not None
    # those currents are rounded to a tenth of an ampere or an ampere, elec's are not: 2 %
    assert found.hand_min == pytest.approx(hand_min, rel=0.02)


def test_foxglove_first_power_takes_the_coil_alone() -> None:
    found = power_up(study("foxglove"))
    assert found is not None
    row = row_of(paths(study("foxglove"), found, "battery"), close="MASTER")
    assert number(row["total_a"]) == pytest.approx(0.8, abs=0.001)


def test_foxglove_alternator_between_two_points_of_its_curve() -> None:
    # 1700 rpm is a point; 1450 rpm lies half way from 1200 rpm, 20 A, to 1700 rpm, 30 A
    entry = study("foxglove").document.sources["alternator"]
    assert isinstance(entry, Alternator)
    assert entry.output is not None
    speeds, amps = zip(*entry.output, strict=True)
    assert np.interp(1450.0, speeds, amps) == pytest.approx(25.0)
    row = row_of(source_margin(study("foxglove")), phase="cruise", condition="day")
    assert number(row["available_a"]) == pytest.approx(36.0)
