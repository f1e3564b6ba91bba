"""A first system out of a builder's list of loads."""

from collections.abc import Callable, Sequence
from pathlib import Path

import openpyxl
import pytest

from elec import cli
from elec.check import run
from elec.model.system import System
from elec.read.lists.first_system import RESERVED, first_system
from elec.read.lists.grid import ListRefused
from elec.read.lists.loads import ListedLoads, read_loads
from elec.read.reading import read_texts
from elec.study import Study

GOOD = """\
My loads;;;;;;;;
Notes;CB (A);Load;Taxi;Amps;Take-off;Cruise;Switch;AWG
;;;;;;;;
;;LIGHTS;;;;;;
bright;10;Landing light;x;3,5;1;50%;yes;18
;5 A;Höhenmesser;x;0.4 A;x;x;;
;;Radio;x;45 W;x;;AVIONICS;AWG 22
;;Radio;;1,25;;5 min;Master;
;;Main;;;;x;;
;;Total;;9,9;;;;
"""
LINES = """\
  landing-light: {name: Landing light, place: panel, draw: 3.5 A, \
on: {taxi: 100 %, take-off: 100 %, cruise: 50%}, basis: estimate}
  hoehenmesser: {name: Höhenmesser, place: panel, draw: 0.4 A, on: always, basis: estimate}
  radio: {name: Radio, place: panel, draw: 45 W, on: [taxi, take-off], basis: estimate}
  radio-2: {name: Radio, place: panel, draw: 1.25 A, on: {cruise: 5 min}, basis: estimate}
  main-load: {name: Main, place: panel, on: [cruise], basis: estimate}
  landing-light: {bus: main, breaker: 10 A, gauge: AWG 18, switch: landing-light, \
feeds: landing-light}
  hoehenmesser: {bus: main, breaker: 5 A, feeds: hoehenmesser}
  radio: {bus: main, breaker: auto, gauge: AWG 22, switch: avionics, feeds: radio}
  radio-2: {bus: main, breaker: auto, switch: master-switch, feeds: radio-2}
"""


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "loads.csv"
    path.write_text(text, encoding="utf-8")
    return path


def loads(path: Path, asked: Sequence[str] = ()) -> ListedLoads:
    return read_loads(path, RESERVED, asked=asked)


def refused(call: Callable[[], object]) -> list[str]:
    with pytest.raises(ListRefused) as caught:
        call()
    return list(caught.value.messages)


def read(text: str) -> System:
    reading = read_texts({Path("p.yaml"): text.encode()})
    assert reading.mistakes == ()
    assert reading.system is not None
    return reading.system


def test_a_list_gives_a_system_that_reads_and_can_be_checked(tmp_path: Path) -> None:
    found = loads(write(tmp_path, GOOD))
    text = first_system("Plane", found, "loads.csv")
    document = read(text).document
    assert [*document.phases] == ["taxi", "take-off", "cruise"]
    assert [*document.equipment] == [
        "landing-light", "hoehenmesser", "radio", "radio-2", "main-load", "regulator",
        "master-coil",
    ]  # fmt: skip
    for line in LINES.splitlines():
        assert line in text.splitlines()
    assert run(Study(read(text)), deep=False)
    told = "\n".join(found.notes)
    for said in (
        'C "Load" as name; E "Amps" as amps; B "CB (A)" as breaker',
        'Not read: A "Notes"',
        'loads.csv, row 4: "LIGHTS" stands alone, taken for a heading, left out.',
        'row 6, column C: "Höhenmesser" is hoehenmesser.',
        'row 8, column C: "Radio" is radio-2, as the name is taken.',
        'row 8, column H: "Master" is master-switch',
        "row 9: nothing says what it draws; it is left open, not zero.",
        'row 10: "Total" is a sum, left out.',
    ):
        assert said in told


def test_what_has_to_be_put_right_is_said_at_its_place(tmp_path: Path) -> None:
    lines = first_system("Plane", loads(write(tmp_path, GOOD)), "loads.csv").splitlines()
    for section in ("system", "sources", "buses", "feeders", "switches", "grounds", "phases",
                    "places", "equipment"):  # fmt: skip
        at = next(n for n, line in enumerate(lines) if line.startswith(f"{section}:"))
        assert "ut right:" in "".join(lines[at - 2 : at]), section


def test_without_phases_a_load_is_always_on_and_that_is_said(tmp_path: Path) -> None:
    found = loads(write(tmp_path, "A,Name\n1.5,pump\n"))
    assert found.loads[0].on == "always"
    assert any("every load counts as on all the time" in note for note in found.notes)
    assert [*read(first_system("P", found, "l")).document.phases] == ["start", "taxi", "cruise"]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ('pump,"1,234",,x', 'row 2, column B: "1,234" may be 1.234 or 1234'),
        ("pump,1e999,,x", "row 2, column B: "),
        ("pump,nan,,x", "row 2, column B: "),
        ("pump,-2,,x", "row 2, column B: "),
        ("pump,0,,x", 'row 2, column B: "0 A" is nothing'),
        ("pump,3-4,,x", "row 2, column B: "),
        ("pump,3 V,,x", 'row 2, column B: "3 V" is a voltage'),
        ("pump,=cmd(),,x", 'row 2, column B: "=cmd()" is a formula'),
        ("=cmd(),3,,x", 'row 2, column A: "=cmd()" is a formula'),
        ("pump" + "p" * 300 + ",3,,x", "row 2, column A: 304 letters"),
        (",3,,x", "row 2, column A: no load is named in this row"),
        ("!!!,3,,x", 'row 2, column A: "!!!" makes no name'),
        ("pump,3,ten,x", "row 2, column C: "),
        ("pump,3,,maybe", 'row 2, column D: "maybe" does not say when it is on'),
        ("pump,3,,0.5", 'row 2, column D: "0.5" does not say when it is on'),
        ("pump,3,,", "row 2, column D: it is marked in no phase"),
        ("pump,3,5,x,7", "row 2, column E: a cell behind the last head"),
    ],
)
def test_a_cell_that_is_not_clear(tmp_path: Path, row: str, said: str) -> None:
    path = write(tmp_path, f"Load,Amps,CB (A),Cruise\n{row}\n")
    (message,) = refused(lambda: loads(path))
    assert message.startswith(f"loads.csv, {said}")


def test_a_load_may_be_on_never(tmp_path: Path) -> None:
    found = loads(write(tmp_path, "Load,Amps,Cruise\nspare,3,never\n"))
    assert found.loads[0].on == "never"
    read(first_system("P", found, "l"))


@pytest.mark.parametrize(
    ("text", "asked", "said"),
    [
        ("Load,Current\npump,3\nfan,2\n", "amps=B", '"3" has no unit'),
        ("Load,Power\npump,30\n", "watts=B", '"30" has no unit'),
        ("Load,A,CB\npump,3,5\n", "breaker=C", '"5" has no unit'),
        ("Load,A,Wire\npump,3,20\n", "gauge=C", '"20" has no unit'),
        ("Load,A,W\npump,3,42\n", "watts=none", "amperes and watts are both given"),
        ("Load,A,Qty\npump,3,2\n", "quantity=none", '"2" pieces'),
        ("Load,A,Amps\npump,3,2\n", "amps=C", "amps may be B"),
        ("Load,Strom\npump,3\n", "amps=Strom", "no column for amps or watts"),
    ],
)
def test_what_is_unclear_is_asked_for_once_by_an_option(
    tmp_path: Path, text: str, asked: str, said: str
) -> None:
    path = write(tmp_path, text)
    (message,) = refused(lambda: loads(path))
    assert said in message
    assert f"--column {asked.partition('=')[0]}=" in message
    assert loads(path, (asked,)).loads


def test_what_no_aircraft_has_is_refused_with_its_path(tmp_path: Path) -> None:
    found = loads(write(tmp_path, "Load,A\npump,90000\n"))
    (message,) = refused(lambda: first_system("P", found, "loads.csv"))
    assert message.startswith("loads.csv: equipment.pump.draw: ")


def test_the_command_writes_a_system_that_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["Load", "W @14V", "Cruise"], ["Strobe", 30, "x"], [], ["Pump", 12.5, "x"]):
        sheet.append(row)
    book.save("loads.xlsx")
    assert cli.main(["new", "--from", "loads.xlsx", "-o", "my-plane.yaml"]) == 0
    out = capsys.readouterr().out
    assert "2 loads from loads.xlsx, each an estimate." in out
    assert "Wrote my-plane.yaml" in out
    assert cli.main(["check", "my-plane.yaml"]) in (0, 1)
    capsys.readouterr()
    assert cli.main(["new", "--from", "loads.xlsx"]) == 0
    assert Path("loads.yaml").is_file()
    assert cli.main(["new", "b.yaml", "-o", "c.yaml"]) == 2
    assert cli.main(["new", "b.yaml", "--column", "amps=C"]) == 2
    Path("bad.csv").write_text("Load,A\npump,x\n")
    capsys.readouterr()
    assert cli.main(["new", "b.yaml", "--from", "bad.csv"]) == 2
    err = capsys.readouterr().err
    assert "bad.csv, row 2, column B" in err
    assert "Nothing was written." in err
    assert not Path("b.yaml").exists()


def test_the_sample_makes_a_system_that_is_checked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(["new", "--sample"]) == 0
    sample = capsys.readouterr().out
    Path("loads.csv").write_text(sample, encoding="utf-8")
    assert cli.main(["new", "plane.yaml", "--from", "loads.csv"]) == 0
    assert "5 loads from loads.csv" in capsys.readouterr().out
    text = Path("plane.yaml").read_text(encoding="utf-8")
    assert "landing-light: {bus: main, breaker: 7.5 A, gauge: AWG 18, switch: landing" in text
    assert "fuel-pump: {name: Fuel pump, place: panel, draw: 3.5 A" in text
    assert cli.main(["check", "plane.yaml"]) in (0, 1)
    assert cli.main(["new", "other.yaml", "--sample"]) == 2
    assert not Path("other.yaml").exists()


def test_the_help_says_that_a_column_of_amperes_needs_a_unit(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert cli.main(["new", "--help"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "have their unit in the head, Breaker (A), or in each cell, 5 A" in said
