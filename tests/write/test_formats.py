"""CSV, XLSX, JSON and Markdown: read back by other libraries, safe, equal bytes."""

import csv
import io
import json
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from msgspec.structs import replace

from elec import __version__
from elec.pages.document import Book, Section, TableBlock
from elec.pages.table import Column, Table
from elec.write.register import Options, by_ending, formats, named
from elec.write.to_csv import guarded, table_csv
from elec.write.to_json import dump
from elec.write.to_markdown import escape
from tests.write.sample import CHECKING, FINDINGS, HOSTILE, LOADS, WIRES, book

PLAIN = Options()


def workbook(document: Section | Book) -> Any:
    return openpyxl.load_workbook(io.BytesIO(named("xlsx").write(document, PLAIN)))


def section_of(table: Table) -> Section:
    return Section(id="s", title="s", blocks=(TableBlock(table=table),))


def test_formats_are_found_by_walking_the_folder() -> None:
    from pathlib import Path

    import elec.write

    files = {p.stem[3:] for p in Path(elec.write.__path__[0]).glob("to_*.py")}
    assert set(formats()) == files
    assert {"csv", "html", "json", "markdown", "text", "xlsx"} <= files


@pytest.mark.parametrize(
    ("file", "name"), [("a.CSV", "csv"), ("b.md", "markdown"), ("c.htm", "html"), ("d.txt", "text")]
)
def test_an_ending_names_its_format(file: str, name: str) -> None:
    from pathlib import Path

    found = by_ending(Path(file))
    assert found is not None
    assert found.name == name


def test_no_ending_is_claimed_twice() -> None:
    endings = [ending for form in formats().values() for ending in form.endings]
    assert len(endings) == len(set(endings))


def test_an_unknown_format_is_no_fault() -> None:
    with pytest.raises(KeyError):
        named("stone")


@pytest.mark.parametrize("name", sorted(formats()))
def test_equal_documents_give_equal_bytes(name: str) -> None:
    assert named(name).write(book(), PLAIN) == named(name).write(book(), PLAIN)


# CSV


def rows_of(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))


def test_csv_has_a_byte_order_mark_and_si_values_under_heads_with_units() -> None:
    content = table_csv(WIRES)
    assert content.startswith(b"\xef\xbb\xbf")
    rows = rows_of(content)
    assert rows[0] == [column.key for column in WIRES.columns]
    first = dict(zip(rows[0], rows[1], strict=True))
    assert (first["length_m"], first["drop_v"], first["current_a"]) == (
        "4.2672",
        "0.6364",
        "3.2143",
    )


def test_csv_prints_a_question_mark_for_the_unknown() -> None:
    rows = rows_of(table_csv(LOADS))
    assert rows[3] == ["bilge pump", "?", "?", "?"]
    assert rows[1][3] == ""
    assert rows[4][1] == "4.0 + ?"


@given(st.text())
def test_no_text_of_a_builder_becomes_a_formula(text: str) -> None:
    found = guarded(text)
    if found.startswith(("=", "+", "-", "@", "\t", "\r")):
        float(found)  # a plain number; anything else would have a leading quote


def test_csv_of_findings_lists_what_is_listed_elsewhere() -> None:
    rows = rows_of(named("csv").write(CHECKING, PLAIN))
    assert [row[0] for row in rows[1:]] == ["fail", "advise", "cannot-tell", "accepted"]
    every = rows_of(named("csv").write(CHECKING, replace(PLAIN, passes=True)))
    assert len(every) == 1 + len(FINDINGS)


# XLSX


def test_a_workbook_has_a_sheet_a_table_with_frozen_head_and_filter() -> None:
    found = workbook(book())
    assert found.sheetnames == ["loads", "wires"]
    sheet = found["wires"]
    assert sheet.freeze_panes == "B2"
    assert sheet.auto_filter.ref == "A1:L6"
    assert sheet["F1"].value == "Length, ft"
    assert sheet["F2"].value == pytest.approx(14.0, abs=1e-9)  # 4.2672 m / 0.3048
    assert sheet["D5"].value == "?"


def test_no_cell_of_a_workbook_is_a_formula_or_a_link() -> None:
    table = Table(
        id="t",
        title="t",
        columns=(Column(key="a", head="=HEAD()"),),
        rows=(("=2+3",), ("@x",), ("http://example.invalid",), ("007",), (HOSTILE,)),
    )
    sheet = workbook(section_of(table))["t"]
    assert [cell.data_type for cell in sheet["A"]] == ["s"] * 6
    assert all(cell.hyperlink is None for cell in sheet["A"])
    assert sheet["A5"].value == "007"


def test_sheet_names_are_short_plain_and_different() -> None:
    columns = (Column(key="a", head="A"),)
    tables = [
        Table(id=name, title="t", columns=columns, rows=()) for name in ("a/b", "A/B", "x" * 50)
    ]
    section = Section(id="s", title="s", blocks=tuple(TableBlock(table=t) for t in tables))
    names = workbook(section).sheetnames
    assert names == ["a b", "A B 2", "x" * 31]


# JSON


def test_json_names_version_and_format_and_keeps_si_with_units_in_keys() -> None:
    found = json.loads(named("json").write(book(), PLAIN))
    assert (found["elec"], found["format"]) == (__version__, 1)
    wires = found["sections"][2]["sections"][0]["blocks"][0]
    assert wires["rows"][0]["length_m"] == 4.2672
    assert wires["rows"][3]["current_a"] is None
    assert wires["rows"][0]["drop_v"]["value"] == 0.6364
    assert wires["rows"][0]["drop_v"]["working"]["steps"][0]["formula"] == "P / V"


def test_json_has_every_finding_with_its_place() -> None:
    found = json.loads(named("json").write(CHECKING, PLAIN))
    block = found["blocks"][0]
    assert block["counts"] == {"fail": 1, "advise": 1, "cannot-tell": 1, "accepted": 1, "pass": 12}
    assert len(block["findings"]) == len(FINDINGS)
    assert block["findings"][0]["place"] == {
        "file": "lights.yaml", "line": 31, "column": 5, "path": "circuits.landing-light",
    }  # fmt: skip
    assert (block["findings"][0]["value"], block["findings"][0]["unit"]) == (0.6364, "V")


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_json_refuses_what_is_no_number(value: float) -> None:
    with pytest.raises(ValueError, match="JSON"):
        dump({"x": value})


def test_json_spells_infinity_out_and_leaves_what_has_no_solution_unknown() -> None:
    table = replace(LOADS, rows=(("x", float("inf"), float("-inf"), float("nan")),))
    rows = json.loads(named("json").write(section_of(table), PLAIN))["blocks"][0]["rows"]
    assert list(rows[0].values()) == ["x", "infinity", "-infinity", None]


# Markdown


@given(st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1))
def test_builders_text_in_markdown_is_only_text(text: str) -> None:
    found = MarkdownIt().enable("table").render(escape(text))
    plain = MarkdownIt().enable("table").parse(escape(text))
    kinds = {child.type for token in plain for child in token.children or []}
    assert kinds <= {"text", "text_special", "softbreak"}
    assert found.startswith("<p>")
    assert found.count("<") == 2


def test_markdown_tables_have_as_many_cells_in_each_row() -> None:
    lines = named("markdown").write(section_of(WIRES), PLAIN).decode().splitlines()
    rows = [line for line in lines if line.startswith("|")]
    html = MarkdownIt().enable("table").render("\n".join(rows))
    assert html.count("<td") == len(WIRES.columns) * len(WIRES.rows)
    assert html.count("<th") - html.count("<thead") == len(WIRES.columns)
    assert "<script" not in html
