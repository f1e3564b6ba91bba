"""A tick that takes back what was ticked is said, and a list says how many went which way."""

from pathlib import Path

import pytest

from elec import cli
from elec.read.starter import starter


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "tern.yaml"
    path.write_text(starter("Tern"), encoding="utf-8")
    return path


def done(capsys: pytest.CaptureFixture[str], file: Path, *arguments: str) -> list[str]:
    """What is printed behind the line of the file that was written."""
    assert cli.main(["done", str(file), *arguments]) == 0
    return capsys.readouterr().out.splitlines()[1:]


def test_a_state_before_the_one_that_stands_is_said(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert done(capsys, file, "beacon", "--state", "terminated") == []
    assert done(capsys, file, "beacon", "--state", "rung-out") == []
    said = ["beacon goes back: rung out before, cut now."]
    assert done(capsys, file, "beacon", "--state", "cut") == said


def test_a_wire_goes_back_from_what_its_circuit_was(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert done(capsys, file, "beacon", "--state", "pulled") == []
    said = ["M2A20 goes back: pulled before, cut now."]
    assert done(capsys, file, "M2A20", "--state", "cut") == said
    assert done(capsys, file, "M2B20", "--state", "tested") == []


def test_a_reading_moves_nothing(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert done(capsys, file, "M2A20", "--state", "tested") == []
    assert done(capsys, file, "M2A20", "--ohms", "90 mohm") == []


def test_a_tick_that_was_given_for_another_wire_is_not_taken_back(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert done(capsys, file, "beacon", "--state", "tested") == []
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("{bus: main, breaker: auto, switch: beacon,",
                                 "{bus: main, breaker: auto, gauge: AWG 16, switch: beacon,"),
                    encoding="utf-8")  # fmt: skip
    assert done(capsys, file, "beacon", "--state", "cut") == []


def test_a_list_says_how_many_went_which_way(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ticks = tmp_path / "ticks.txt"
    ticks.write_text("beacon pulled\nfield cut\nradio planned\n", encoding="utf-8")
    assert done(capsys, file, "--from", str(ticks)) == ["2 went forward, 0 back, 1 as before."]
    ticks.write_text("beacon cut\nfield tested\nradio planned\n", encoding="utf-8")
    assert done(capsys, file, "--from", str(ticks)) == [
        "1 went forward, 1 back, 1 as before.",
        "beacon goes back: pulled before, cut now.",
    ]
