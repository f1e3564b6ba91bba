"""The command `elec try`: what it prints, in which order, and how it ends."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from elec import cli
from tests.attempt.test_attempt import small

Run = Callable[..., tuple[int, str, str]]

LAMP = ("--add", "lamp", "--draw", "12W", "--place", "belly", "--on", "taxi..cruise")


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> Run:
    """Run a command beside the starting system; gives exit status, output and errors."""
    small(tmp_path)
    monkeypatch.chdir(tmp_path)

    def command(*arguments: str) -> tuple[int, str, str]:
        status = cli.main(["try", *arguments])
        out, err = capfd.readouterr()
        return status, out, err

    return command


def test_the_answer_comes_in_the_order_in_which_a_builder_asks(run: Run) -> None:
    status, out, err = run(*LAMP, "--switch", "none")
    assert (status, err) == (0, "")
    words = [
        "It fits: nothing gets worse than it is now.", "Device", "Wire", "Run", "Marks",
        "Alternator margin", "Battery alone", "No verdict changes.", "--- tern.yaml",
        "Nothing was written. Add --write",
    ]  # fmt: skip
    places = [out.index(word) for word in words]
    assert places == sorted(places)
    assert not Path("tern.yaml").read_text(encoding="utf-8").count("lamp")


def test_what_is_to_be_cut_is_what_the_cut_list_says(
    run: Run, capfd: pytest.CaptureFixture[str]
) -> None:
    """Cut by the run, each wire would be short of its first strip-back."""
    _, out, _ = run(*LAMP, "--switch", "none", "--write")
    line = next(text for text in out.splitlines() if text.startswith("Marks"))
    marks, said = (part.split(", ") for part in line.removeprefix("Marks").strip().split("  cut "))
    cli.main(["bench", "tern.yaml", "cut-list", "--format", "json"])
    blocks = json.loads(capfd.readouterr().out)["blocks"]
    (table,) = (block for block in blocks if block.get("id") == "cut-list")
    cuts = {row["mark"]: row["cut_m"]["text"] for row in table["rows"]}
    assert said == [cuts[mark] for mark in marks]


def test_numbers_of_the_answer(run: Run) -> None:
    _, out, _ = run(*LAMP, "--switch", "none")
    line = {text.split("  ")[0]: text for text in out.splitlines()}
    # 12 W at 12 V are 1.0 A; over 80 % and the warmth of a panel at 50 °C: the next rating is 2 A
    assert "2 A breaker" in line["Device"]
    assert "1.0 A, held to 80 %" in line["Device"]
    assert "AWG 20" in line["Wire"]  # AWG 22 would lose more, warm as the circular counts it
    assert " of 0.50 V" in line["Wire"]
    assert "panel, belly" in line["Run"]
    margins = [text.split() for text in out.splitlines() if text.startswith(("taxi ", "cruise "))]
    for _, _, before, after in (cells[:4] for cells in margins):
        # 12 W at 14.2 V are 0.845 A
        assert float(before) - float(after) == pytest.approx(12 / 14.2, abs=0.11)


def test_a_new_switch_says_what_it_needs_and_that_its_rating_is_open(run: Run) -> None:
    status, out, _ = run(*LAMP)
    assert status == 0
    assert "Switch" in out
    assert "cannot-tell  switch-rating" in out
    assert "It is new." in out


def test_what_does_not_fit_ends_with_1_and_says_what_binds(run: Run) -> None:
    status, out, _ = run("--add", "heater", "--draw", "25A", "--place", "belly")
    assert status == 1
    assert "It does not fit as it is:" in out
    assert "alternator-margin" in out
    assert "Before: pass." in out
    assert "Ways out, each tried:" in out


def test_written_lines_are_those_that_were_shown(run: Run) -> None:
    before = Path("tern.yaml").read_text(encoding="utf-8")
    _, tried, _ = run(*LAMP)
    status, out, _ = run(*LAMP, "--write")
    assert status == 0
    assert "Written into tern.yaml." in out
    lines = [t[1:] for t in tried.splitlines() if t.startswith("+") and not t.startswith("+++")]
    after = Path("tern.yaml").read_text(encoding="utf-8")
    assert [ln for ln in after.splitlines() if ln not in before.splitlines()] == lines
    assert lines
    again, _, err = run(*LAMP)
    assert again == 2
    assert 'already equipment "lamp"' in err


def test_several_at_once_are_one_change(run: Run) -> None:
    status, out, err = run(
        *LAMP, "--switch", "none", "--change", "radio", "--draw", "2 A",
        "--set", "ways.panel-to-belly.length=6ft",
    )  # fmt: skip
    assert (status, err) == (0, "")
    assert "lamp, circuit lamp" in out
    assert "radio, circuit radio" in out
    assert "length: 6 ft}" in out


def test_removing_says_what_goes_along(run: Run) -> None:
    status, out, _ = run("--remove", "beacon")
    assert status == 0
    assert "With beacon go: the circuit beacon, the switch beacon." in out
    assert "Add --write to take these lines out of tern.yaml" in out


def test_a_value_that_stands_there_already(run: Run) -> None:
    status, out, _ = run("--change", "radio", "--draw", "1.5 A")
    assert status == 0
    assert "there is nothing to write" in out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "Say what to try"),
        (("--draw", "12W"), "put --add NAME or --change NAME before it"),
        (("--remove", "radio", "--draw", "12W"), "put --add NAME or --change NAME before it"),
        ((*LAMP, "--draw", "3W"), "--draw is given twice for lamp"),
        (("--set", "circuits.beacon.gauge"), "--set PATH=VALUE"),
        (("--add", "lamp", "--place", "belly", "--draw", "14 V"), '--draw: "14 V" is a voltage'),
        (("--change", "radoi", "--draw", "1A"), 'did you mean "radio"'),
        (("--set", "circuits.beacon.gage=AWG 20"), "circuits.beacon.gage"),
        (("--room", "mian"), 'did you mean "main"'),
        (("--room", "main", "--remove", "radio"), "ask it alone"),
        (("--room", "belly", "--bus", "mian"), 'no bus "mian"'),
    ],
)
def test_mistakes_end_with_2_and_say_what_to_write(
    run: Run, arguments: tuple[str, ...], said: str
) -> None:
    status, out, err = run(*arguments)
    assert status == 2
    assert out == ""
    assert said in err


def test_a_system_with_mistakes_is_answered_as_everywhere(run: Run) -> None:
    path = Path("tern.yaml")
    text = path.read_text(encoding="utf-8").replace(
        "bus: main, breaker: 5 A", "bus: mian, fuse: 5 A"
    )
    path.write_text(text, encoding="utf-8")
    status, _, err = run(*LAMP)
    assert status == 2
    assert 'there is no bus "mian"; did you mean "main"?' in err
    assert "nothing was computed" in err


def test_for_programs(run: Run) -> None:
    status, out, _ = run(*LAMP, "--switch", "none", "--format", "json")
    assert status == 0
    tables = {b["id"]: b for b in json.loads(out)["blocks"] if b["kind"] == "table"}
    margins = tables["margin-before-after"]["rows"]
    assert all(row["after_a"]["value"] < row["before_a"] for row in margins)
    assert tables["circuit-lamp"]["rows"][0]["what"] == "Device"


def test_a_terminal_of_40_columns_cuts_nothing(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    monkeypatch.setattr(shutil, "get_terminal_size", lambda: os.terminal_size((40, 24)))
    _, out, _ = run(*LAMP)
    answer, diff = out.split("--- tern.yaml")
    assert all(len(line) <= 40 for line in answer.splitlines())
    assert "+  lamp: {bus: main, breaker: auto, switch: lamp, feeds: lamp}" in diff
    assert "".join(out.split()).count("theloadneeds") == 1


def test_room_in_words(run: Run) -> None:
    status, out, _ = run("--room", "beacon")
    assert status == 0
    assert "Circuit beacon:" in out
    assert "What binds:" in out
    assert "How far each limit is" in out


ASK = """
import sys
import elec.attempt.beside as beside
beside._possible = lambda: sys.argv[1] == "beside"
from elec.cli import main
raise SystemExit(main(["try", *sys.argv[2:]]))
"""


@pytest.mark.parametrize("load", ["12W", "40A"])
def test_a_second_process_changes_nothing_but_the_time(run: Run, load: str) -> None:
    del run  # its folder holds the system
    asked = ("--add", "lamp", "--draw", load, "--place", "belly", "--on", "taxi..cruise")
    answers = [
        subprocess.run(
            [sys.executable, "-c", ASK, how, *asked], capture_output=True, text=True, check=False
        )
        for how in ("beside", "alone")
    ]
    assert answers[0].stdout == answers[1].stdout
    assert answers[0].returncode == answers[1].returncode
    assert "Alternator margin" in answers[0].stdout


FAULT = """
import elec.attempt.beside as beside
import elec.check
from elec.attempt.asked import AskedChange
from elec.attempt.attempt import attempt
beside._possible = lambda: True
def broken(study, *, deep):
    raise RuntimeError("out of order")
beside.run = broken
attempt("tern.yaml", [AskedChange(kind="add", name="lamp", keys={"place": "belly", "draw": "1 A"})])
"""


def test_a_fault_in_the_second_process_is_not_swallowed(run: Run) -> None:
    del run
    done = subprocess.run(
        [sys.executable, "-c", FAULT], capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode == 1
    assert "RuntimeError: out of order" in done.stderr
