"""No text in a CSV or a workbook is taken for a formula; numbers stay numbers (CWE-1236)."""

import csv
import io
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from elec.pages.book import book
from elec.read import read_texts
from elec.study import Study
from elec.write.register import Options, named
from elec.write.to_csv import STARTS_FORMULA
from tests.hostile.systems import FINCH

EVIL = ("=1+1", "@SUM(A1)", "+cmd", "-2+3")
NUMBER = re.compile(r"-?\d+(\.\d+)?(e[+-]?\d+)?")
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def study_with(text: str) -> Study:
    """A system in which every free text begins so."""
    quoted = f'"{text}"'
    file = FINCH.replace("name: Finch", f"name: {quoted}")
    file = file.replace("  com:\n", f"  com:\n    name: {quoted}\n    note: {quoted}\n", 1)
    file = file.replace("battery: {kind", f"battery: {{name: {quoted}, note: {quoted}, kind")
    reading = read_texts({Path("finch.yaml"): file.encode()})
    assert reading.system is not None, reading.mistakes
    return Study(reading.system)


def cells(content: bytes) -> Iterator[str]:
    for row in csv.reader(io.StringIO(content.decode("utf-8-sig"))):
        yield from row


@pytest.mark.parametrize("text", EVIL)
def test_no_cell_of_a_csv_is_a_formula(text: str) -> None:
    content = named("csv").write(book(study_with(text)), Options())
    assert isinstance(content, bytes)
    found = list(cells(content))
    assert "'" + text in found
    for cell in found:
        assert not cell.startswith(STARTS_FORMULA) or NUMBER.fullmatch(cell), cell


@pytest.mark.parametrize("text", EVIL)
def test_no_cell_of_a_workbook_is_a_formula(text: str) -> None:
    content = named("xlsx").write(book(study_with(text)), Options())
    assert isinstance(content, bytes)
    with zipfile.ZipFile(io.BytesIO(content)) as held:
        shared = [
            "".join(t.text or "" for t in one.iter(f"{MAIN}t"))
            for one in ET.fromstring(held.read("xl/sharedStrings.xml"))  # noqa: S314 - our own
        ]
        formats = ET.fromstring(held.read("xl/styles.xml")).find(f"{MAIN}cellXfs")  # noqa: S314
        assert formats is not None
        quoted = {i for i, one in enumerate(formats) if one.get("quotePrefix") == "1"}
        for name in held.namelist():
            if not name.startswith("xl/worksheets/sheet"):
                continue
            for cell in ET.fromstring(held.read(name)).iter(f"{MAIN}c"):  # noqa: S314 - our own
                assert cell.find(f"{MAIN}f") is None
                value = cell.find(f"{MAIN}v")
                if cell.get("t") == "s" and value is not None:
                    said = shared[int(value.text or 0)]
                    if said.startswith(STARTS_FORMULA):
                        assert int(cell.get("s", "0")) in quoted, said
