"""Sheets as PDF against outside readers: pypdf (bookmarks, links), poppler (text, ink)."""

import io
import os
import subprocess
import sys
from typing import Any

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from elec.drawings.charts.cut import HATCHES
from elec.drawings.charts.plot import Fill, LineLook, Plot, PlotPanel
from elec.drawings.ink import Arc, Circle, InkPath, Lettering, Picture, Placed
from elec.drawings.sheet import SIZES_MM, Sheet, Size, TitleBlock
from elec.drawings.sheets.legend import legend
from elec.drawings.svg import to_svg
from elec.write.pdf.paper import MM, finished, new_canvas
from elec.write.pdf.pen import draw_picture
from elec.write.pdf.sheets import Chapter, sheets_pdf
from tests.pixels import NEAR, ink_of_pdf, ink_of_svg, stray


def two_sheets() -> list[Sheet]:
    one = Sheet(size="A4", title=TitleBlock(title="One", code="C1"), id="sheet-C1")
    one.line(((30.0, 30.0), (90.0, 30.0)))
    one.text(40.0, 50.0, "to the other sheet", link="sheet-C2-radio")
    one.text(40.0, 60.0, "to nowhere", link="sheet-C9")
    two = Sheet(size="A3", title=TitleBlock(title="Zwei µA Ω", code="C2"), id="sheet-C2")
    two.symbol("breaker", (100.0, 100.0), ref="radio")
    two.text(40.0, 50.0, "back", link="sheet-C1")
    return [one, two]


def pdf_of(*sheets: Sheet) -> bytes:
    parts = tuple((f"{s.title.label} {s.title.title}", (s,)) for s in sheets)
    return sheets_pdf("A set", [Chapter(title="Circuits", parts=parts)] if parts else [])


def reader(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content), strict=True)


def outline(entries: Any, level: int = 0) -> list[tuple[int, str]]:
    found: list[tuple[int, str]] = []
    for entry in entries:
        if isinstance(entry, list):
            found += outline(entry, level + 1)
        else:
            found.append((level, str(entry.title)))
    return found


def test_each_page_has_the_size_of_its_sheet() -> None:
    pages = reader(pdf_of(*two_sheets())).pages
    for page, size in zip(pages, ("A4", "A3"), strict=True):
        found = [float(v) * 25.4 / 72 for v in page.mediabox[2:]]
        assert found == pytest.approx(SIZES_MM[size], abs=0.01)


def test_bookmarks_stand_under_their_chapter() -> None:
    found = outline(reader(pdf_of(*two_sheets())).outline)
    assert found == [(0, "C1 One"), (0, "C2 Zwei µA Ω")]
    one, two = two_sheets()
    last = Sheet(size="A4", title=TitleBlock(title="Legend", code="L"), id="sheet-L1")
    circuits = Chapter(title="Circuits", parts=(("C1 One", (one,)), ("C2 Two", (two,))))
    chapters = [circuits, Chapter(title="Symbols", parts=(("L1 Legend", (last,)),))]
    found = outline(reader(sheets_pdf("A set", chapters)).outline)
    assert found == [(0, "Circuits"), (1, "C1 One"), (1, "C2 Two"), (0, "L1 Legend")]


def only_link(page: Any) -> Any:
    (found,) = page["/Annots"]
    return found.get_object()["/Dest"]


def test_links_lead_to_the_sheet_and_the_spot_and_never_to_nothing() -> None:
    first, second = reader(pdf_of(*two_sheets())).pages
    page, how, left, top, _ = only_link(first)
    assert page.get_object() == second.get_object()
    assert how == "/XYZ"
    assert 98 < float(left) * 25.4 / 72 <= 100.1
    assert 85 < 297.0 - float(top) * 25.4 / 72 < 100
    assert only_link(second)[0].get_object() == first.get_object()


def test_the_letters_are_in_the_file_and_can_be_found() -> None:
    content = pdf_of(*two_sheets())
    done = subprocess.run(
        ["pdftotext", "-", "-"], input=content, capture_output=True, check=True
    ).stdout.decode()
    assert "to the other sheet" in done
    assert "Zwei µA Ω" in done
    fonts = subprocess.run(
        ["pdffonts", "-"], input=content, capture_output=True, check=True
    ).stdout.decode()
    lines = [line.split() for line in fonts.splitlines()[2:]]
    assert lines
    assert all("DejaVuSans" in line[0] and line[-5:-2] == ["yes", "yes", "yes"] for line in lines)


def test_a_note_of_a_sheet_takes_the_place_of_the_usual_one() -> None:
    usual = Sheet(size="A4", title=TitleBlock(code="A1"), id="a1")
    own = Sheet(size="A4", title=TitleBlock(code="A2", note="scale as shown"), id="a2")
    texts = [page.extract_text() for page in reader(pdf_of(usual, own)).pages]
    assert "not to scale" in texts[0]
    assert "scale as shown" in texts[1]
    assert "not to scale" not in texts[1]


def test_title_and_origin() -> None:
    content = pdf_of(*two_sheets())
    about = reader(content).metadata
    assert about is not None
    assert about.title == "A set"
    assert content.rstrip().rpartition(b"\n")[2].startswith(b"% written by elec ")


def test_equal_bytes_in_another_process() -> None:
    code = (
        "import sys; from tests.write.test_pdf_sheets import *; "
        "sys.stdout.buffer.write(pdf_of(*two_sheets(), legend(TitleBlock(code='L'), 'A4')[0]))"
    )
    made = {
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(made) == 1


# --- ink against an independent renderer of SVG -----------------------------------------------


@pytest.mark.parametrize("size", ["A4", "Tabloid", "Letter"])  # A3 is no whole pixels
def test_the_legend_has_the_same_ink_as_its_svg(size: Size) -> None:
    """Every symbol, the frame, the title block; a symbol moved by half a millimetre is noticed."""
    sheet = legend(TitleBlock(title="x", owner="Foxglove", code="L"), size)[0]
    found = ink_of_pdf(pdf_of(sheet))
    assert 0.01 < found.mean() < 0.3
    assert stray(found, ink_of_svg(to_svg(sheet))) < NEAR
    number, item = next((n, i) for n, i in enumerate(sheet.items) if isinstance(i.ink, Placed))
    assert isinstance(item.ink, Placed)
    at = (item.ink.at[0] + 0.5, item.ink.at[1] + 0.5)
    sheet.items[number] = replace(item, ink=replace(item.ink, at=at))
    away = ink_of_pdf(pdf_of(sheet))
    assert stray(found, away) > 0


def every_ink() -> Picture:
    """One of each kind of ink, and what charts make of it."""
    plot = Plot(90.0, 60.0)
    for k, sign in enumerate(HATCHES):
        plot.box((5.0 + 12 * k, 5.0, 15.0 + 12 * k, 20.0), Fill(colour="#ffd9a0", hatch=sign))
    panel = PlotPanel(plot, (10.0, 25.0, 50.0, 50.0), (1.0, 100.0), (0.1, 10.0), log=True)
    panel.curve((0.5, 3.0, 20.0, 300.0), (0.05, 9.0, 0.02, 4.0), LineLook(width_mm=0.6))
    panel.level(1.0, LineLook(dash=(2.0, 0.8), width_mm=0.4))
    plot.area(((55.0, 25.0), (70.0, 25.0), (62.0, 40.0)), "#000000")
    plot.text(8.0, 40.0, "turned", turned=True)
    plot.text(20.0, 40.0, "white behind it", paper=True, bold=True)
    more = (
        Arc(centre=(75.0, 45.0), radii_mm=(8.0, 5.0), start_deg=20, turn_deg=140, width_mm=0.5),
        Circle(centre=(75.0, 50.0), radius_mm=4.0, width_mm=0.3, fill="#dddddd", dash=(1.0, 0.5)),
        InkPath(
            points=((55.0, 45.0), (65.0, 45.0), (65.0, 55.0), (55.0, 55.0)), closed=True,
            width_mm=0.4, corner_mm=2.0,
        ),
    )  # fmt: skip
    made = plot.picture()
    return replace(made, ink=(*made.ink, *more))


def pdf_of_picture(picture: Picture) -> bytes:
    held = io.BytesIO()
    canvas = new_canvas(held, "x")
    canvas.setPageSize((picture.width_mm * MM, picture.height_mm * MM))
    draw_picture(canvas, picture, 1.0)
    canvas.showPage()
    canvas.save()
    return finished(held)


def test_every_kind_of_ink_is_the_same_on_both_papers() -> None:
    """The ink of a chart as PDF and as SVG, by two outside programs; less of it is noticed."""
    picture = every_ink()
    found = ink_of_pdf(pdf_of_picture(picture))
    svg = to_svg(picture)
    assert 0.02 < found.mean() < 0.5
    assert stray(found, ink_of_svg(svg)) < NEAR
    for kind in (Arc, Circle, Lettering):
        less = replace(picture, ink=tuple(i for i in picture.ink if not isinstance(i, kind)))
        assert stray(found, ink_of_svg(to_svg(less))) > 2 * NEAR, kind
