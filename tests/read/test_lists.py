"""Lists out of a spreadsheet: cells, heads, contacts and readings, each refused with its place."""

import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from elec import cli
from elec.read.edit import Edits
from elec.read.lists import grid
from elec.read.lists.grid import ListRefused, grids, unfit
from elec.read.lists.heads import listed
from elec.read.lists.pin_table import KINDS as PIN_KINDS
from elec.read.lists.pin_table import add_pins
from elec.read.lists.readings import take_readings
from elec.read.starter import starter

RADIO = "  radio: {place: panel, draw: 1.5 A, on: always, essential: yes, basis: typical}"
WITH_PLUG = """\
  radio:
    place: panel
    draw: 1.5 A   # from the plate
    on: always
    basis: typical
    connectors: {J1: {type: dsub-15, pins: {1: power, 8: ground}}, J2: {type: dsub-9}}
"""


@pytest.fixture
def plane(tmp_path: Path) -> Path:
    path = tmp_path / "plane.yaml"
    text = starter("Plane")
    assert RADIO in text
    path.write_text(text.replace(RADIO + "\n", WITH_PLUG), encoding="utf-8")
    return path


def write(tmp_path: Path, text: str, name: str = "list.csv") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def workbook(
    path: Path, rows: list[list[Any]], change: Callable[[Any], None] | None = None
) -> Path:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Sheet 1"
    for row in rows:
        sheet.append(row)
    if change is not None:
        change(sheet)
    book.save(path)
    return path


def refused(call: Callable[[], object]) -> list[str]:
    with pytest.raises(ListRefused) as caught:
        call()
    return list(caught.value.messages)


# cells and heads


def test_a_workbook_keeps_rows_shares_and_places(tmp_path: Path) -> None:
    def share(sheet: Any) -> None:
        sheet["B3"].number_format = "0%"

    path = workbook(tmp_path / "l.xlsx", [["Load", "A"], [None, None], ["pump", 0.5]], share)
    (found,) = grids(path)
    assert found.rows == (("Load", "A"), (), ("pump", "50 %"))
    assert found.at(2, 1) == "l.xlsx, sheet Sheet 1, row 3, column B"


def test_a_formula_that_was_never_worked_out_is_no_empty_cell(tmp_path: Path) -> None:
    (found,) = grids(workbook(tmp_path / "l.xlsx", [["A"], ["=cmd()"]]))
    assert "formula" in unfit(found, 1, 0)
    assert unfit(found, 0, 0) == ""


@pytest.mark.parametrize(
    ("cell", "said"),
    [("=cmd()", "formula"), ("@SUM(A1)", "formula"), ("-cmd(1)", "formula"),
     ("\u202epump", "nobody sees"),
     ("#REF!", "error of the spreadsheet"), ("x" * 201, "201 letters")],
)  # fmt: skip
def test_a_cell_that_is_no_value(tmp_path: Path, cell: str, said: str) -> None:
    found = grids(write(tmp_path, f"{cell}\n"))[0]
    assert said in unfit(found, 0, 0)


def test_cells_that_are_joined_over_the_whole_sheet_cost_nothing(tmp_path: Path) -> None:
    def joined(sheet: Any) -> None:
        sheet["B9"] = "far"
        sheet.merged_cells.add("A2:XFD1048576")

    (found,) = grids(workbook(tmp_path / "l.xlsx", [["A"]], joined))
    assert found.rows == (("A",), *[()] * 7, ("", "far"))
    far = workbook(tmp_path / "f.xlsx", [["A"]], lambda s: s.cell(1048576, 1, "x"))
    assert "more than 2000 rows" in refused(lambda: grids(far))[0]
    wide = workbook(tmp_path / "w.xlsx", [["A"]], lambda s: s.cell(1, 101, "x"))
    assert "or 100 columns" in refused(lambda: grids(wide))[0]


def test_a_formula_over_several_cells_is_no_text(tmp_path: Path) -> None:
    from openpyxl.worksheet.formula import ArrayFormula

    def range_of(sheet: Any) -> None:
        sheet["A1"] = ArrayFormula("A1:A2", "=SUM(B1:B2)")

    (found,) = grids(workbook(tmp_path / "l.xlsx", [], range_of))
    assert "formula" in unfit(found, 0, 0)


@pytest.mark.parametrize(
    "cell", ["+14V (switched)", "-3.5 A", "+14V", "#20", "x" * 200, "audio-hi"]
)
def test_a_cell_that_is_one(tmp_path: Path, cell: str) -> None:
    assert unfit(grids(write(tmp_path, f"{cell}\n"))[0], 0, 0) == ""


def test_a_date_that_the_spreadsheet_made_is_told(tmp_path: Path) -> None:
    from datetime import datetime

    (found,) = grids(workbook(tmp_path / "l.xlsx", [[datetime(2026, 2, 1)]]))  # noqa: DTZ001
    assert "made a date of it" in unfit(found, 0, 0)


def test_what_is_no_list(tmp_path: Path) -> None:
    assert "is a .csv or an .xlsx" in refused(lambda: grids(tmp_path / "l.ods"))[0]
    assert "no such file" in refused(lambda: grids(tmp_path / "l.csv"))[0]
    (tmp_path / "l.csv").write_bytes(b"na\xefve,1\n")
    assert "UTF-8" in refused(lambda: grids(tmp_path / "l.csv"))[0]
    (tmp_path / "l.xlsx").write_bytes(b"PK nothing")
    assert "no workbook" in refused(lambda: grids(tmp_path / "l.xlsx"))[0]
    (tmp_path / "l.csv").write_text("a" * 10_000_000)
    assert "larger than 5 MB" in refused(lambda: grids(tmp_path / "l.csv"))[0]


def test_a_workbook_that_swells_is_not_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with zipfile.ZipFile(tmp_path / "l.xlsx", "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", "0" * 1_000_001)
    monkeypatch.setattr(grid, "MOST_UNPACKED", 1_000_000)
    assert "too large once unpacked" in refused(lambda: grids(tmp_path / "l.xlsx"))[0]


def test_of_several_sheets_one_is_named(tmp_path: Path) -> None:
    path = workbook(tmp_path / "l.xlsx", [["A"]], lambda sheet: sheet.parent.create_sheet("Two"))
    assert "say --sheet" in refused(lambda: grids(path))[0]
    assert grids(path, "Two")[0].sheet == "Two"
    assert 'no sheet "Three"' in refused(lambda: grids(path, "Three"))[0]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_heads_are_found_below_a_title_in_any_order(tmp_path: Path, separator: str) -> None:
    rows = [["Radio plug"], [], ["Colour", "Signal name", "Pin"], ["red", "power", "1"]]
    path = write(tmp_path, "\n".join(separator.join(row) for row in rows))
    found = listed(path, PIN_KINDS, ("contact", "signal"))
    assert [found.text(row, "signal") for row in found.rows()] == ["power"]
    assert found.at(3, "contact") == "list.csv, row 4, column C"
    assert found.unread == ('A "Colour"',)


def test_what_heads_do_not_say_is_asked_for_and_told(tmp_path: Path) -> None:
    path = write(tmp_path, "Nr,Wozu\n1,power\n")
    said = refused(lambda: listed(path, PIN_KINDS, ("contact", "signal")))
    assert len(said) == 2
    assert "--column contact=C" in said[0]
    found = listed(path, PIN_KINDS, ("contact", "signal"), asked=("contact=A", "signal=wozu"))
    assert found.text(1, "signal") == "power"
    path = write(tmp_path, "Pin,Signal,Name\n1,power,red\n")
    (said_one,) = refused(lambda: listed(path, PIN_KINDS, ("contact", "signal")))
    assert '''signal may be B "Signal" or C "Name"''' in said_one
    assert listed(path, PIN_KINDS, ("signal",), asked=("signal=B",)).text(1, "signal") == "power"
    for wrong in ("signal", "signal=Q", "colour=A"):
        assert refused(lambda text=wrong: listed(path, PIN_KINDS, (), asked=(text,)))  # type: ignore[misc]


# contacts


def test_contacts_go_into_the_file_and_nothing_else_changes(plane: Path, tmp_path: Path) -> None:
    before = plane.read_text(encoding="utf-8")
    path = workbook(tmp_path / "p.xlsx", [["Pin", "Signal"], [1, "power"], [3.0, "audio: left"]])
    edits = Edits.of(plane)
    add_pins(edits, "radio.J1", path)
    after = edits.files()[plane].decode()
    old = "{1: power, 8: ground}"
    assert after == before.replace(old, "{1: power, 8: ground, 3: 'audio: left'}")
    assert not edits.reading().mistakes


def test_a_connector_without_contacts_gets_them(plane: Path, tmp_path: Path) -> None:
    edits = Edits.of(plane)
    notes = add_pins(edits, "radio.J2", write(tmp_path, "Pin,Signal\n1,data-high\n2,\n"))
    assert edits.get("equipment.radio.connectors.J2") == {
        "type": "dsub-9", "pins": {"1": "data-high"},
    }  # fmt: skip
    assert "Without a signal, left out: contact 2." in notes
    assert any("No contact carries power or ground" in note for note in notes)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("8,audio", "list.csv, row 2, column B: contact 8 carries ground in the file"),
        ("3,a\n3,b", "list.csv, row 3, column A: contact 3 stands in row 2, too"),
        ("3-5,a", 'list.csv, row 2, column A: "3-5" is not one contact'),
        (",audio", 'list.csv, row 2, column A: "audio" is on no contact'),
        ("3,=cmd()", 'list.csv, row 2, column B: "=cmd()" is a formula'),
        ("3," + "x" * 300, "list.csv, row 2, column B: 300 letters"),
        ("", "list.csv, row 1: no contact stands below the heads"),
    ],
)
def test_a_contact_that_is_not_clear(plane: Path, tmp_path: Path, rows: str, said: str) -> None:
    edits = Edits.of(plane)
    path = write(tmp_path, f"Pin,Signal\n{rows}\n")
    assert said in refused(lambda: add_pins(edits, "radio.J1", path))[0]
    assert edits.diff() == ""


def test_the_command_writes_shows_and_refuses(
    plane: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = str(write(tmp_path, "Pin,Signal\n3,audio\n"))
    assert cli.main(["add", "pins", str(plane), "radio.J1", "--from", path]) == 0
    out = capsys.readouterr().out
    assert "3: audio" in out
    assert f"Wrote {plane}" in out
    assert cli.main(["add", "pins", str(plane), "radio.J1", "--from", path]) == 0
    assert "Nothing changed" in capsys.readouterr().out
    assert cli.main(["add", "pins", str(plane), "radio.J3", "--from", path]) == 2
    assert "did you mean radio.J" in capsys.readouterr().err
    assert cli.main(["add", "pins", str(tmp_path / "no.yaml"), "radio.J1", "--from", path]) == 2
    assert "Traceback" not in capsys.readouterr().err


# readings


def test_readings_go_under_measured(plane: Path, tmp_path: Path) -> None:
    edits = Edits.of(plane)
    path = write(
        tmp_path, "Load;Current (A);V;Colour\nBeacon;0,85;13,9;red\n\nradio;400 mA;;\nmain;;14.1;\n"
    )
    taken, notes = take_readings(edits, path)
    assert edits.get("measured") == {
        "beacon": {"amps": "0.85 A", "volts": "13.9 V"},
        "radio": {"amps": "400 mA"},
        "main": {"volts": "14.1 V"},
    }
    assert [one.name for one in taken] == ["beacon", "radio", "main"]
    assert any('D "Colour"' in note for note in notes)
    assert not edits.reading().mistakes


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (
            "beacn,1",
            'list.csv, row 2, column A: "beacn" is nothing in the file; did you mean beacon',
        ),
        (",1", "list.csv, row 2, column A: no load is named"),
        ("beacon,1,234 A", "list.csv, row 2, column C: a cell behind the last head"),
        ("beacon,1,5 ", "list.csv, row 2, column C: a cell behind the last head"),
        ("beacon,1e999", "list.csv, row 2, column B: "),
        ("beacon,nan", "list.csv, row 2, column B: "),
        ("beacon,0", 'list.csv, row 2, column B: "0 A" is nothing'),
        ("beacon,-1", "list.csv, row 2, column B: "),
        ("beacon,12 V", "list.csv, row 2, column B: "),
        ('beacon,"1,234"', 'list.csv, row 2, column B: "1,234" may be 1.234 or 1234'),
        ("beacon,=1+1", 'list.csv, row 2, column B: "=1+1" is a formula'),
        ("beacon,1\nbeacon,2", "list.csv, row 3, column A: beacon was read in row 2, too"),
        ("main,1", "list.csv, row 2, column A: main is no equipment"),
    ],
)
def test_a_reading_that_is_not_clear(plane: Path, tmp_path: Path, rows: str, said: str) -> None:
    edits = Edits.of(plane)
    path = write(tmp_path, f"Load,Amps\n{rows}\n")
    assert refused(lambda: take_readings(edits, path))[0].startswith(said)
    assert edits.diff() == ""


def test_a_head_without_a_unit_is_asked_for_once(plane: Path, tmp_path: Path) -> None:
    path = write(tmp_path, "Load,Current\nbeacon,0.9\nradio,1\n")
    (said,) = refused(lambda: take_readings(Edits.of(plane), path))
    assert "--column amps=B" in said
    taken, _ = take_readings(Edits.of(plane), path, asked=("amps=B",))
    assert taken[0].keys == {"amps": "0.9 A"}


def test_measured_shows_first_and_writes_when_asked(
    plane: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = plane.read_bytes()
    path = str(write(tmp_path, "Load,A\nbeacon,0.9\n"))
    assert cli.main(["measured", str(plane), "--from", path]) == 0
    out = capsys.readouterr().out
    assert "12 W" in out
    assert "typical" in out
    assert "Nothing was written." in out
    assert plane.read_bytes() == before
    assert cli.main(["measured", str(plane), "--from", path, "--write"]) == 0
    assert "Written into plane.yaml" in capsys.readouterr().out
    assert b"beacon: {amps: 0.9 A}" in plane.read_bytes()
    assert cli.main(["measured", str(plane), "--from", path]) == 0
    assert "Nothing changes" in capsys.readouterr().out
    assert cli.main(["measured", str(plane), "--write"]) == 2
    assert "--from" in capsys.readouterr().err
