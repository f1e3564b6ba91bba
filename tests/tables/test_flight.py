"""The tables, sentences and picture of a flight over time say what the analyses found."""

import pytest

from elec.analyses.flight import flights
from elec.analyses.loss import losses
from elec.analyses.starts import starts
from elec.cli import main
from elec.report.flight import flight_figure, flight_lead, flight_section
from elec.tables.flight import alternator_lost, flight_charge, flight_over_time, start_dips
from tests.analyses.helper import small, whole


def test_the_worst_minute_stands_once_in_its_table_and_first_in_the_sentences() -> None:
    study = whole("foxglove")
    found = losses(study)
    assert found is not None
    table = alternator_lost(study)
    lasts = [c.key for c in table.columns].index("lasts_min")
    worst = [row for row in table.rows if row[-1] == "worst"]
    assert len(worst) == 1
    assert worst[0][lasts] == pytest.approx(found.worst.lasts_s / 60)
    times = [cell for row in table.rows if isinstance(cell := row[lasts], float)]
    assert min(times) == pytest.approx(found.worst.lasts_s / 60)
    first = flight_lead(study)[0]
    assert f"{found.worst.lasts_s / 60:.0f} min" in first
    assert first.startswith("The worst minute to lose the alternator")


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "thistledown"])
def test_every_flight_and_every_bus_has_its_row(name: str) -> None:
    study = whole(name)
    found = flights(study)
    assert found is not None
    assert len(flight_charge(study).rows) == sum(len(one.start) for one in found.every)
    assert len(start_dips(study).rows) == sum(len(one.bus_v) for one in starts(study))
    rows = flight_over_time(study, found.lowest()).rows
    assert len(rows) == len(study.document.phases) + 1
    blocks = flight_section(study, charts=False).blocks
    assert blocks


def test_the_picture_is_the_same_for_the_same_flight() -> None:
    study = whole("larkspur")
    found = flights(study)
    assert found is not None
    first, second = (flight_figure(study, found.lowest()) for _ in range(2))
    assert first.svg == second.svg
    for bus in ("power stud", "engine bus A"):
        assert bus in first.svg
    assert "take-off and climb from 15 min" in first.svg


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
