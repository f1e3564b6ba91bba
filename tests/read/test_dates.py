"""Dates are days that there are, written year-month-day; all else is told with what was meant."""

from pathlib import Path

import pytest

from elec import cli
from elec.read import read_texts
from elec.read.starter import starter
from elec.units import UnitError, parse_day

WRONG = {
    "banana": '"banana" is no date; write year-month-day, such as 2031-05-04',
    "today": '"today" is no date; write year-month-day, such as 2031-05-04',
    "2031-5-4": "did you mean 2031-05-04 (year-month-day)?",
    "2031/05/04": "did you mean 2031-05-04 (year-month-day)?",
    "20310504": "did you mean 2031-05-04 (year-month-day)?",
    "4.5.2031": "did you mean 2031-05-04 or 2031-04-05 (year-month-day)?",
    "25.5.2031": "did you mean 2031-05-25 (year-month-day)?",
    "2031-02-30": '"2031-02-30": there is no such day; write year-month-day',
    "2031-13-01": '"2031-13-01": there is no such day; write year-month-day',
    "31-05-04": "write year-month-day, such as 2031-05-04",
}


@pytest.mark.parametrize(("said", "told"), WRONG.items())
def test_what_is_no_date_is_refused_with_what_was_meant(said: str, told: str) -> None:
    with pytest.raises(UnitError) as refused:
        parse_day(said)
    assert str(refused.value).endswith(told)


def test_a_day_is_taken_as_it_is() -> None:
    assert parse_day("2032-02-29") == "2032-02-29"


@pytest.mark.parametrize("section", ["build: {beacon: {", "measured: {beacon: {amps: 1 A, "])
def test_a_date_in_the_file_is_asked_for_the_same(section: str) -> None:
    def said(date: str) -> list[str]:
        text = f"{starter('Tern')}\n{section}date: {date}}}}}\n"
        return [one.message for one in read_texts({Path("tern.yaml"): text.encode()}).mistakes]

    assert said("2031-05-04") == []
    assert said("4 May") == ['"4 May" is no date; write year-month-day, such as 2031-05-04']


@pytest.mark.parametrize(
    "arguments",
    [
        ("done", "tern.yaml", "beacon", "--state", "pulled", "--date", "2031-02-30"),
        ("issue", "tern.yaml", "--reason", "first flight", "--date", "banana"),
    ],
)
def test_the_commands_refuse_it_and_write_nothing(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("tern.yaml").write_text(starter("Tern"), encoding="utf-8")
    assert cli.main(list(arguments)) == 2
    assert capsys.readouterr().err.startswith(f'--date: "{arguments[-1]}"')
    assert [path.name for path in tmp_path.iterdir()] == ["tern.yaml"]


def test_an_issue_dated_before_the_last_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    file = Path("tern.yaml")
    file.write_text(starter("Tern"), encoding="utf-8")
    assert cli.main(["issue", "tern.yaml", "--reason", "first", "--date", "2031-05-04"]) == 0
    file.write_text(starter("Tern").replace("draw: 12 W", "draw: 10 W"), encoding="utf-8")
    capsys.readouterr()
    assert cli.main(["issue", "tern.yaml", "--reason", "again", "--date", "2031-05-03"]) == 0
    assert "2031-05-03, is before that of issue 1, 2031-05-04" in capsys.readouterr().out
