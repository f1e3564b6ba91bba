"""The tables of failures: every failure once, names in words, nothing invented."""

from pathlib import Path

import pytest

from elec.answers.failures.failure_list import failures
from elec.answers.failures.failures import effects
from elec.cli import main
from elec.pages.failures.page import failures_lead, failures_section
from elec.pages.failures.table import failure_tables
from elec.pages.table import Cell, Table, Value
from elec.working import unrounded
from tests.answers.helper import NAMES, SYSTEMS, loads_of, small, whole


def _bare(value: Value) -> object:
    return value.value if isinstance(value, Cell) else value


def _column(table: Table, key: str) -> list[object]:
    at = [column.key for column in table.columns].index(key)
    return [_bare(row[at]) for row in table.rows]


@pytest.mark.parametrize("name", NAMES)
def test_every_failure_stands_in_one_row(name: str) -> None:
    study = whole(name)
    told = [str(t) for table in failure_tables(study, "cruise" if name != "thistledown" else
            "soaring") for t in _column(table, "failure")]  # fmt: skip
    titles = "; ".join(told)
    for failure in failures(study):
        assert titles.count(failure.title) >= 1, failure.title
    assert len(told) < len(failures(study))


def test_a_row_says_what_the_analysis_says() -> None:
    study = whole("foxglove")
    table, _ = failure_tables(study, "cruise")
    by_title = {one.failure.title: one for one in effects(study, "cruise")}
    lost, holds = _column(table, "lost"), _column(table, "holds_min")
    for row, title in enumerate(_column(table, "failure")):
        one = by_title[str(title)]
        for name in one.lost:
            assert study.system.title("equipment", name) in str(lost[row])
        assert (holds[row] or None) == one.holds_min


def test_print_counts_what_data_name() -> None:
    table, _ = failure_tables(whole("foxglove"), "cruise")
    at = [column.key for column in table.columns].index("lost")
    long = [row[at] for row in table.rows if isinstance(row[at], Cell) and row[at].text]  # type: ignore[union-attr]
    assert long
    for cell in long:
        assert isinstance(cell, Cell)
        assert cell.text is not None
        assert " more" in cell.text
        assert len(str(cell.value)) > len(cell.text)


def test_a_system_without_essential_loads_says_so() -> None:
    lead = failures_lead(small(loads_of({"lamp": "2 A"})))
    assert "No equipment is marked essential" in lead[0]


def test_a_system_without_circuits_has_no_such_section() -> None:
    study = small("system: {name: Empty, nominal: 14 V}\n")
    assert failures_section(study).blocks == ()


def test_the_command_prints_one_phase_or_the_worst(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(Path(SYSTEMS) / "thistledown")
    assert main(["failures", path]) == 0
    worst = capsys.readouterr().out
    assert "single failures were tried" in worst
    assert main(["failures", path, "--phase", "soaring"]) == 0
    soaring = capsys.readouterr().out
    assert "In soaring" in soaring
    assert "single failures were tried in soaring" in soaring
    assert soaring.count("Signals are not followed") == 1
    assert main(["failures", path, "--phase", "soring"]) == 2
    assert "soaring" in capsys.readouterr().err


def test_what_takes_an_essential_load_comes_first_then_what_empties_a_battery() -> None:
    table, _ = failure_tables(whole("larkspur"))
    gone, holds = _column(table, "gone"), _column(table, "holds_min")
    count = sum(bool(cell) for cell in gone)
    assert count > 0
    assert all(gone[:count])
    times = [cell for cell in holds[count:] if isinstance(cell, float)]
    equal = [unrounded(time) for time in times]  # but for rounding they stand in list order
    assert equal == sorted(equal)
    assert [bool(cell) for cell in holds[count : count + len(times)]] == [True] * len(times)


def test_a_time_on_the_battery_stands_beside_what_is_asked() -> None:
    said = " ".join(failures_lead(whole("foxglove")))
    # 30 minutes: 14 CFR 23.1353(h), below 25 000 ft.
    assert "30 min are asked" in said
    assert "essential bus lost (11 loads)" in said


def test_a_column_in_which_nothing_stands_is_left_out() -> None:
    for name in NAMES:
        for table in failure_tables(whole(name)):
            for column in table.columns:
                if column.key == "low":
                    assert any(_column(table, "low")), name
