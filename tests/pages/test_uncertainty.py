"""What is printed about bands: certain and doubtful answers, what to measure, what is not known."""

import pytest

from elec.answers.doubt.uncertainty import sampled, uncertainty
from elec.cli import main
from elec.pages.doubt.page import spread_lead, spread_section
from elec.pages.doubt.table import MEASURE, band_tables, measure_first, of_interest
from elec.pages.table import Cell
from tests.answers.helper import NAMES, loads_of, small, whole


def lead_of(text: str) -> str:
    study = small(text)
    return " ".join(spread_lead(study, sampled(study, 500, solved=False)))


def test_a_doubtful_margin_says_what_to_measure() -> None:
    # 60 A ± 40 % (its basis is not said) against 55 A ± 40 %.
    said = lead_of(loads_of({"heater": "55 A"}))
    assert "not certain that the alternator carries the load" in said
    assert "Measure this first. Alternator output (basis not said, ±40 %, at small.yaml:5;" in said


def test_a_certain_margin_says_so() -> None:
    said = lead_of(loads_of({"heater": "5 A"}))
    assert "carries every phase also with what is uncertain against it" in said
    assert "No answer is in doubt" in said


def test_what_is_short_for_certain_is_not_called_doubtful() -> None:
    said = lead_of(loads_of({"heater": "200 A"}))
    # 60 A ± 40 % against 200 A ± 40 %, more than any output.
    assert "In cruise, day, the alternator falls short of the load: −140.0 A as computed" in said
    assert "not certain that the alternator" not in said


def test_a_current_that_is_not_known_comes_before_anything_else() -> None:
    said = lead_of(loads_of({"heater": "5 A", "pump": ""}))
    assert "Not in any of this, for the current is not known: pump." in said


def test_a_system_without_sources_has_nothing_to_say() -> None:
    study = small("system: {name: Nothing, nominal: 14 V}\nphases: {cruise: {lasts: 1 h}}\n")
    assert not uncertainty(study).bands
    assert not spread_section(study).blocks
    assert "nothing to say" in " ".join(spread_lead(study, uncertainty(study)))


def number(value: object) -> float:
    return float(str(value.value if isinstance(value, Cell) else value))


@pytest.mark.parametrize("name", NAMES)
def test_tables_hold_every_band_and_name_what_to_do(name: str) -> None:
    study = whole(name)
    found = sampled(study, 500, solved=False)
    tables = band_tables(found)
    # what devices hold is told by the check alone, where it is in doubt
    assert sum(len(table.rows) for table in tables) == sum(b.kind != "device" for b in found.bands)
    assert [bool(table.note) for table in tables] == [False] * (len(tables) - 1) + [True]
    for table in tables:
        at = [
            [c.key.rpartition("_")[0] for c in table.columns].index(k)
            for k in ("low", "middle", "high")
        ]
        for row in table.rows:
            bounds = [row[k] for k in at]
            assert bounds == sorted(bounds, key=number)
    drivers = measure_first(study, found).rows
    assert {row[0] for row in drivers} <= {
        f"{b.title} in {b.where}" if b.kind == "margin" else b.title for b in of_interest(found)
    }
    for row in drivers:
        assert row[3] in {*MEASURE.values(), "measured already"}
        assert ".yaml:" in str(row[4])
        assert isinstance(row[6], Cell)


def test_the_command_prints_the_answer_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["spread", "systems/thistledown", "--samples", "200"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[2].startswith("On the battery alone, in soaring, day: ")
    assert any(line.startswith("What to measure first") for line in lines)
    assert main(["spread", "systems/thistledown", "--samples", "10"]) == 2


def test_a_voltage_that_is_too_low_for_certain_is_said_before_what_holds() -> None:
    text = loads_of({"heater": "5 A", "radio": "2 A"}).replace(
        "radio: {place", "radio: {essential: yes, minimum: 13.9 V, place"
    )
    study = small(text)
    said = spread_lead(study, sampled(study, 500, solved=False))
    # On the battery no essential load can have 13.9 V: a lead-acid battery rests below that.
    assert said[0].startswith("On the battery alone, in cruise, night: 0 min")
    assert said[1].startswith("Radio gets too little voltage: ")
    assert "it works down to 13.90 V" in said[1]
    assert not any("Every essential load keeps its voltage" in text for text in said)


def test_what_to_do_is_never_left_out_for_want_of_room() -> None:
    study = whole("foxglove")
    table = measure_first(study, sampled(study, 500, solved=False))
    assert [c.importance for c in table.columns if c.key in ("input", "do")] == [1, 1]
