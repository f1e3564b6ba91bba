"""Readings that somebody wrote into a paper of the bench are not lost by writing it again."""

import csv
import io
import zipfile
from pathlib import Path

import pytest

from elec.pages.columns import text
from elec.pages.document import Section, TableBlock
from elec.pages.table import Table
from elec.write.files import CannotWrite, write_file
from elec.write.register import Options, named
from tests.write.sample import CHECKING

PAPER = Section(
    id="ring-out",
    title="Ring-out",
    blocks=(
        TableBlock(
            table=Table(
                id="ring-out",
                title="Ring-out",
                columns=(text("mark", "Mark"), text("read", "Read"), text("ok", "Done")),
                rows=(("L1A20", "", "☐"), ("L1B20", "", "☐")),
            )
        ),
    ),
)


def written(path: Path) -> bytes:
    content = named(path.suffix[1:]).write(PAPER, Options())
    write_file(path, content)
    return content


@pytest.mark.parametrize(("column", "value"), [(1, "0.21"), (2, "☑"), (2, "yes")])
def test_a_list_with_readings_is_kept(tmp_path: Path, column: int, value: str) -> None:
    path = tmp_path / "ring.csv"
    content = written(path)
    written(path)
    rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))
    rows[2][column] = value
    filled = io.StringIO()
    csv.writer(filled).writerows(rows)
    path.write_text(filled.getvalue(), encoding="utf-8")
    with pytest.raises(CannotWrite, match="was filled in or changed"):
        written(path)
    assert value in path.read_text(encoding="utf-8")
    write_file(path, content, force=True)
    assert path.read_bytes() == content


def test_a_list_without_readings_gives_way_to_the_next(tmp_path: Path) -> None:
    path = tmp_path / "ring.csv"
    content = written(path)
    path.write_bytes(content.replace(b"L1A20", b"L9A20"))
    written(path)
    assert path.read_bytes() == content


def test_a_workbook_that_another_program_saved_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "ring.xlsx"
    content = written(path)
    written(path)
    with zipfile.ZipFile(io.BytesIO(content)) as made, zipfile.ZipFile(path, "w") as again:
        for name in made.namelist():
            again.writestr(name, made.read(name).replace(b"L1B20", b"0.2"))
    with pytest.raises(CannotWrite, match="was filled in or changed"):
        written(path)


def test_a_workbook_of_findings_holds_them(tmp_path: Path) -> None:
    path = tmp_path / "check.xlsx"
    path.write_bytes(named("xlsx").write(CHECKING, Options(passes=True)))
    with zipfile.ZipFile(path) as packed:
        assert packed.testzip() is None
        sheet = packed.read("xl/worksheets/sheet1.xml").decode()
        texts = packed.read("xl/sharedStrings.xml").decode()
    assert "verdict" in texts
    assert sheet.count("<row ") > 1
