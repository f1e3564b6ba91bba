"""Workbooks, read back by another library: nothing of a text is left out unseen."""

import io
import zipfile
from xml.etree import ElementTree as ET

import openpyxl
import pytest

from elec.pages.document import Section, TableBlock
from elec.pages.table import Column, Table
from elec.write.register import Document, Options, named
from elec.write.to_xlsx import LONGEST
from tests.write.sample import book


def read_back(document: Document) -> tuple[bytes, openpyxl.Workbook]:
    content = named("xlsx").write(document, Options())
    return content, openpyxl.load_workbook(io.BytesIO(content))


@pytest.mark.parametrize("more", [0, 1, 4000])
def test_a_text_longer_than_a_cell_holds_is_cut_where_it_is_seen(more: int) -> None:
    text = "x" * (LONGEST + more)
    table = Table(id="t", title="T", columns=(Column(key="a", head="A"),), rows=((text,),))
    _, held = read_back(Section(id="s", title="S", blocks=(TableBlock(table=table),)))
    assert held.worksheets[0]["A2"].value == (text if not more else "x" * (LONGEST - 1) + "…")


@pytest.mark.parametrize("name", ["loads", "wires"])
def test_what_there_is_none_of_is_an_empty_cell(name: str) -> None:
    content, held = read_back(book())
    assert all(one.value != "" for row in held[name].iter_rows() for one in row)
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        shared = ET.fromstring(parts.read("xl/sharedStrings.xml"))  # noqa: S314 - our own
    assert "" not in ["".join(one.itertext()) for one in shared]
