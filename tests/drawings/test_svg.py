"""SVG: well formed, true millimetres, equal bytes, embeddable, and what it must not load."""

import subprocess
import sys
from xml.etree import ElementTree as ET

from elec.drawings import symbols
from elec.drawings.sheet import Sheet, TitleBlock
from elec.drawings.svg import to_svg
from tests.drawings.reader import read_sheet

NASTY = "R&D <b>\"x\"</b> $a_1$ 'µ' \\frac"


def drawn(sheet_id: str = "sheet-3") -> Sheet:
    sheet = Sheet(size="A4", title=TitleBlock(title=NASTY), id=sheet_id, description=NASTY)
    sheet.text(40, 40, NASTY, ref="a b")
    sheet.line(((40, 50), (90, 50)), ref="w1")
    for i, name in enumerate(symbols.NAMES):
        sheet.symbol(name, (40 + 15 * (i % 12), 70 + 30 * (i // 12)), ref=name)
    return sheet


def parsed(sheet: Sheet) -> ET.Element:
    return ET.fromstring(to_svg(sheet))  # noqa: S314  # our own text


def test_it_is_xml_with_the_text_as_given() -> None:
    root = parsed(drawn())
    texts = [t.text for t in root.iter("{http://www.w3.org/2000/svg}text")]
    assert NASTY in texts
    assert root.get("role") == "img"
    title = root.find("{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert NASTY in (title.text or "")


def test_one_unit_is_one_millimetre() -> None:
    root = parsed(drawn())
    assert root.get("width") == "297mm"
    assert root.get("viewBox") == "0 0 297 210"


def test_ids_start_with_the_sheet_and_are_unique() -> None:
    root = parsed(drawn("sheet-7"))
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert all(str(i).startswith("sheet-7") for i in ids)
    assert len(ids) == len(set(ids))
    assert any(e.get("data-ref") == "w1" for e in root.iter())


def test_a_drawing_of_another_name_differs_in_its_ids_and_links_alone() -> None:
    sheet = drawn()
    sheet.text(40, 170, "see C2", ref="a b", link="sheet-C2")
    leads = {"sheet-C2": "sheet-C2"}
    here, there = to_svg(sheet, leads=leads), to_svg(sheet, name="page-sheet-3", leads={})
    linked = '<a href="#sheet-C2">'
    assert linked in here
    assert linked not in there
    own = there.replace("page-sheet-3", "sheet-3")
    assert own == here.replace(linked, "").replace("</a>", "")
    assert to_svg(sheet, leads=leads) == here


def test_equal_bytes_in_another_process() -> None:
    code = (
        "from tests.drawings.test_svg import drawn; from elec.drawings.svg import to_svg;"
        "import sys; sys.stdout.buffer.write(to_svg(drawn()).encode())"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert run.stdout == to_svg(drawn()).encode()


def test_fonts_and_links_only_when_asked() -> None:
    sheet = drawn()
    sheet.text(40, 150, "sheet 12", link="sheet-12")
    assert "<a " not in to_svg(sheet)
    assert "<a " not in to_svg(sheet, leads={"sheet-1": "sheet-1"})
    assert '<a href="#page-12">' in to_svg(sheet, leads={"sheet-12": "page-12"})
    assert "font-face" not in to_svg(sheet)
    assert "font-face" in to_svg(sheet, embed_font=True)


def test_what_all_zone_letters_have_in_common_is_said_once() -> None:
    """A page of many sheets holds thousands of them; each is read where its zone is."""
    page = Sheet(size="A4", title=TitleBlock(), id="empty")
    svg = to_svg(page)
    found = read_sheet(svg).texts
    for names, axis in ((page.columns(), 0), (page.rows(), 1)):
        for low, high, name in names:
            middles = [(t.box[axis] + t.box[axis + 2]) / 2 for t in found if t.words == name]
            assert len(middles) == 2, name
            assert all(abs(at - (low + high) / 2) < 0.02 for at in middles), name
    assert svg.count("text-anchor") == 1
