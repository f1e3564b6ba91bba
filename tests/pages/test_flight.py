"""The tables, sentences and picture of a flight over time say what the analyses found."""

import shlex

import pytest

from elec.answers.failures.planned import plan_with
from elec.answers.time.flight import flights
from elec.answers.time.loss import losses
from elec.answers.time.starts import starts
from elec.cli import main
from elec.drawings.charts.plot import GREEN
from elec.drawings.ink import InkPath
from elec.drawings.svg import to_svg
from elec.pages.flight.page import flight_figure, flight_lead, flight_section
from elec.pages.flight.table import (
    alternator_lost,
    flight_charge,
    flight_over_time,
    minutes,
    start_dips,
    start_loads,
)
from elec.pages.table import Cell
from tests.answers.helper import small, whole
from tests.systems import NAMES


def test_the_worst_minute_stands_once_in_its_table_and_first_in_the_sentences() -> None:
    study = whole("foxglove")
    found = losses(study)
    assert found is not None
    table = alternator_lost(study)
    lasts = [c.key for c in table.columns].index("lasts_min")
    worst = [row for row in table.rows if row[-1] == "worst"]
    assert len(worst) == 1
    times = {row[-1]: cell for row in table.rows if isinstance(cell := row[lasts], Cell)}
    assert times["worst"].value == pytest.approx(found.worst.lasts_s / 60)
    # Minutes that last are rounded down.
    down = str(int(found.worst.lasts_s // 60))
    assert times["worst"].text == down
    assert min(float(str(cell.text)) for cell in times.values()) == float(down)
    first, second = flight_lead(study)[:2]
    assert f"{down} min" in first
    assert first.startswith("The worst minute: the alternator lost")
    assert second == plan_with(study)


@pytest.mark.parametrize("name", NAMES)
def test_every_flight_and_every_bus_has_its_row(name: str) -> None:
    study = whole(name)
    found = flights(study)
    assert found is not None
    assert len(flight_charge(study).rows) == sum(len(one.start) for one in found.every)
    assert len(start_loads(study).rows) == len(starts(study))
    assert len(start_dips(study).rows) == (len(starts(study)[0].bus_v) if starts(study) else 0)
    rows = flight_over_time(study, found.lowest()).rows
    assert len(rows) == len(study.document.phases) + 1
    blocks = flight_section(study).blocks
    assert blocks


def test_the_picture_is_the_same_for_the_same_flight() -> None:
    study = whole("larkspur")
    found = flights(study)
    assert found is not None
    first, second = (flight_figure(study, found.lowest()) for _ in range(2))
    assert first.drawing == second.drawing
    written = to_svg(first.drawing)
    for bus in ("power stud", "engine bus A"):
        assert bus in written
    assert "take-off and climb from 15 min" in written


def test_without_an_alternator_there_is_no_worst_minute_to_lose_it() -> None:
    study = whole("thistledown")
    assert losses(study) is None
    assert not alternator_lost(study).rows
    assert not any("alternator" in text for text in flight_lead(study))


def test_without_a_battery_it_says_so() -> None:
    text = (
        "system: {name: None, nominal: 14 V}\nphases: {cruise: {lasts: 1 h, engine: 2400 rpm}}\n"
        "sources: {alternator: {kind: alternator, place: bay, setpoint: 14 V, rating: 20 A}}\n"
        "buses: {main: {place: bay}}\ngrounds: {block: {place: bay}}\nplaces: {bay: }\n"
        "feeders: [{from: alternator, to: main, unprotected: test}]\n"
    )
    study = small(text)
    assert flights(study) is None
    assert flight_lead(study)[0].startswith("There is no battery")
    assert not flight_section(study).blocks


def test_the_command_answers(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["flight", "systems/foxglove"]) == 0
    shown = capsys.readouterr().out
    assert "worst minute" in shown
    assert "Charge through the flight" in shown


def test_a_bus_shows_the_lower_of_day_and_night() -> None:
    study = whole("foxglove")
    table = start_dips(study)
    cold = [c.key for c in table.columns].index("cold_day_v")
    for row in table.rows:
        bus = next(b for b in study.document.buses if study.system.title("buses", b) == row[0])
        found = [one.bus_v[bus] for one in starts(study) if one.day.title == "cold day"]
        assert len(found) == 2
        assert row[cold] == min(found)


def test_the_nearest_to_its_minimum_is_named_with_both_voltages() -> None:
    study = whole("foxglove")
    said = next(text for text in flight_lead(study) if text.startswith("While the starter"))
    pairs = [(load.turning_v - load.minimum_v, load) for one in starts(study) for load in one.loads]
    over, load = min(pairs, key=lambda pair: pair[0])
    assert over > 0
    assert f"{load.turning_v:.1f} V" in said
    assert f"works down to {load.minimum_v:.1f} V" in said


def test_a_short_time_has_as_many_digits_as_a_long_one() -> None:
    assert minutes(2.5).text == "0.0"
    assert minutes(600.0).text == "10.0"
    assert minutes(2.5).value == pytest.approx(2.5 / 60)
    table = alternator_lost(whole("foxglove"))
    into = [row[[c.key for c in table.columns].index("into_min")] for row in table.rows]
    assert all(isinstance(cell, Cell) and str(cell.text)[-2] == "." for cell in into)


def test_without_an_alternator_the_charge_at_the_end_comes_first() -> None:
    study = whole("thistledown")
    found = flights(study)
    assert found is not None
    one = found.lowest()
    first = flight_lead(study)[0]
    assert first.startswith("The charge carries the whole flight of 5 h 2 min")
    assert f"{100 * min(one.end.values()):.0f} % of its charge" in first
    keys = [c.key for c in (*flight_charge(study).columns, *flight_over_time(study, one).columns)]
    assert "back_min" not in keys
    assert "alternator_a" not in keys


def test_a_battery_has_one_look_in_every_part_of_the_picture() -> None:
    study = whole("larkspur")
    found = flights(study)
    assert found is not None
    # The second battery: colour and dash of the third line, in currents and in charge alike.
    chart = flight_figure(study, found.lowest()).chart
    assert chart is not None
    lines = [ink for ink in chart.ink if isinstance(ink, InkPath) and ink.colour == GREEN]
    assert len(lines) >= 4
    assert len({line.dash for line in lines}) == 1


@pytest.mark.parametrize("command", ["spread", "failures", "flight"])
def test_every_command_to_ask_why_is_answered(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    more = ["--samples", "200"] if command == "spread" else []
    assert main([command, "systems/thistledown", *more]) == 0
    shown = capsys.readouterr().out
    asked = [line.strip("- ") for line in shown.splitlines() if "elec why " in line]
    assert asked
    for line in asked:
        assert main(shlex.split(line)[1:]) == 0, line  # 2 would be a name that is not known
        assert capsys.readouterr().out
