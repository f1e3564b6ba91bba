"""No text of the builder's file acts: not in the page, a sheet, a workbook, a list or a PDF."""

import base64
import csv
import io
import re
import zlib
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import openpyxl
import pytest
from pypdf import PdfReader

from elec.check import run
from elec.cli import main
from elec.drawings.from_study import drawings
from elec.drawings.svg import to_svg
from elec.pages.book import book
from elec.read import read_texts
from elec.study import Study
from elec.write.register import Options, named
from tests.hostile.attacks import ATTACKS, attacked
from tests.hostile.systems import FINCH
from tests.write.test_browser import CHROMIUM
from tests.write.test_page import ask

ACTS = re.compile(r"^\s*(javascript|data|vbscript|file|https?):", re.IGNORECASE)


@cache
def study(text: bytes) -> Study:
    found = read_texts({Path("finch.yaml"): text})
    assert found.system is not None, found.mistakes
    return Study(found.system)


@cache
def whole_book(form: str, *, plain: bool = False) -> bytes:
    """The book of the attacked system; `plain`: of the same one without an attack."""
    one = study(FINCH.encode() if plain else attacked()[0])
    made = book(one, findings=run(one, deep=False))
    return named(form).write(made, Options(passes=True))


class Elements(HTMLParser):
    """Every element of a page, also of the parts that are put in when they are opened."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str]]] = []
        self.packed = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {key: value or "" for key, value in attrs}
        self.found.append((tag, given))
        self.packed = tag == "script" and given.get("class") == "packed"

    def handle_data(self, data: str) -> None:
        if self.packed:
            inner = Elements()
            inner.feed(zlib.decompress(base64.b64decode(data)).decode())
            self.found += inner.found

    def handle_endtag(self, tag: str) -> None:
        self.packed = self.packed and tag != "script"


def elements(page: bytes) -> list[tuple[str, dict[str, str]]]:
    parser = Elements()
    parser.feed(page.decode())
    return parser.found


def test_the_attacks_are_all_put() -> None:
    _, put = attacked()
    assert len(put) > len(ATTACKS)
    assert all(re.search(r"\d{4}", text) for text in put if "{n}" in text)


def test_the_page_has_no_element_or_attribute_that_acts() -> None:
    kinds = {tag for tag, _ in elements(whole_book("html", plain=True))}
    found = elements(whole_book("html"))
    assert len(found) > 3000
    assert {tag for tag, _ in found} <= kinds
    for tag, given in found:
        assert not [key for key in given if key.startswith("on")], (tag, given)
        assert not [v for k, v in given.items() if k in ("href", "src") and ACTS.match(v)]
        assert "srcdoc" not in given
    scripts = [given for tag, given in found if tag == "script"]
    plain = [given for tag, given in elements(whole_book("html", plain=True)) if tag == "script"]
    assert [s for s in scripts if "type" not in s] == [s for s in plain if "type" not in s]


@pytest.mark.outside
@pytest.mark.skipif(not CHROMIUM, reason="no chromium on this machine")
@pytest.mark.parametrize("policy", [True, False], ids=["as it is", "without its policy"])
def test_nothing_runs_in_a_browser_whatever_is_opened_and_searched(
    tmp_path: Path, *, policy: bool
) -> None:
    """The policy in the head would stop a script; the texts are escaped without it, too."""
    page = whole_book("html")
    if not policy:
        page, gone = re.subn(rb'<meta http-equiv="Content-Security-Policy"[^>]*>', b"", page)
        assert gone == 1
    found: dict[str, Any] = ask(
        tmp_path,
        "for (const b of page.querySelectorAll('main > section > h2 > button')) { b.click();"
        " await wait(30); } await wait(300);"
        "for (const d of page.querySelectorAll('details')) d.open = true; await wait(300);"
        "let rows = 0;"
        "for (const text of ['<scr' + 'ipt>', 'onerror', 'javascript', '=cmd', 'hit']) {"
        " rows += (await ask(text)).length; }"
        "const told = page.body.textContent;"
        "return {hit: view.hit === undefined ? '' : view.hit, rows: rows,"
        " closed: page.querySelectorAll('main > section.closed').length,"
        " foreign: page.querySelectorAll('img, iframe, base, style ~ meta').length,"
        " requests: view.performance.getEntriesByType('resource').map(e => e.name),"
        " seen: told.includes('<scr' + 'ipt>window.hit=1000')};",
        page=page,
    )
    assert (found["hit"], found["closed"], found["foreign"]) == ("", 0, 0)
    assert found["requests"] == []
    assert found["seen"]
    assert found["rows"] > 0


def test_sheets_have_no_script_and_no_link_out() -> None:
    shapes = set()
    for sheet in drawings(study(attacked()[0])).sheets:
        for one in ET.fromstring(to_svg(sheet)).iter():  # noqa: S314 - our own, just made
            shapes.add(one.tag.rpartition("}")[2])
            for key, value in one.attrib.items():
                assert not key.startswith("on")
                assert not ("href" in key and ACTS.match(value))
    assert "text" in shapes
    assert not shapes & {"script", "foreignObject", "iframe", "image", "set", "animate"}


def test_no_cell_of_a_workbook_is_a_formula_or_a_link() -> None:
    made = openpyxl.load_workbook(io.BytesIO(whole_book("xlsx")))
    cells = [cell for sheet in made for row in sheet.iter_rows() for cell in row]
    assert len(cells) > 1000
    assert {cell.data_type for cell in cells} <= {"s", "n", "inlineStr"}
    assert all(
        cell.hyperlink is None or not ACTS.match(str(cell.hyperlink.target or "")) for cell in cells
    )
    assert any("=cmd|" in str(cell.value) for cell in cells)


STARTS = ("=", "+", "-", "@", "\t", "\r", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def test_no_cell_of_a_list_begins_as_a_formula() -> None:
    rows = list(csv.reader(io.StringIO(whole_book("csv").decode("utf-8-sig"))))
    cells = [cell for row in rows for cell in row]
    begin = [c for c in cells if c.startswith(STARTS) and not re.fullmatch(r"-?[\d.e+-]+", c)]
    assert begin == []
    assert any("=cmd|" in cell for cell in cells)


def test_a_pdf_has_no_action_and_every_text_as_it_is() -> None:
    content = whole_book("pdf")
    reader = PdfReader(io.BytesIO(content))
    for page in reader.pages:
        for note in page.get("/Annots") or ():
            action = note.get_object().get("/A")
            assert action is None or action.get_object().get("/S") == "/GoTo"
    root: Any = reader.trailer["/Root"]
    assert not {"/OpenAction", "/AA", "/JavaScript"} & set(root.get_object())
    said = "".join(page.extract_text() for page in reader.pages)
    assert "<b>" in said  # shown, not set bold
    assert "app.alert" in said


def test_markdown_and_text_leave_nothing_that_acts() -> None:
    lines = whole_book("markdown").decode().splitlines()
    bare = [line for line in lines if re.search(r"(?<!\\)<(?!!-- written by elec -->)", line)]
    assert bare == []
    assert not re.search(r"(?<!\\)\]\((javascript|attack)", whole_book("markdown").decode())
    printed = whole_book("text").decode()
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]", printed)


@pytest.mark.parametrize("attack", [text.format(n=7) for text in ATTACKS], ids=range(len(ATTACKS)))
def test_as_the_name_of_an_entry_it_is_refused_at_its_line(
    attack: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Such names stand in ids, links and names of files."""
    quoted = "'" + attack.replace("'", "''") + "'"
    text = FINCH.replace("  strobe:\n", f"  {quoted}:\n", 1)
    text = text.replace("feeds: strobe", f"feeds: {quoted}", 1)
    file = tmp_path / "finch.yaml"
    file.write_text(text, encoding="utf-8")
    assert main(["check", str(file), "-o", str(tmp_path / "found.html")]) == 2
    told = capsys.readouterr().err.splitlines()
    line = 1 + text[: text.index(f"  {quoted}:")].count("\n")
    assert told[0].startswith(f"finch.yaml:{line}:")
    assert [path.name for path in tmp_path.iterdir()] == ["finch.yaml"]
