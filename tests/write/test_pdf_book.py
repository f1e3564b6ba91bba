"""The book as PDF against outside readers: nothing cut, true page numbers, equal bytes."""

import io
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from elec.drawings.from_study import plan
from elec.drawings.sheet import TitleBlock
from elec.drawings.sheets.legend import legend
from elec.pages.book import book as book_of
from elec.pages.document import Book, Figure, Items, Paragraph, Section, TableBlock
from elec.pages.sections import loads_section
from elec.pages.table import Column, Table
from elec.read import read
from elec.study import Study
from elec.units import UnitSystem
from elec.write.pdf import grid
from elec.write.pdf.flow import Marks, Text, TextLook, wrap_pt
from elec.write.pdf.paper import finished, new_canvas
from elec.write.register import Options, named
from tests.answers.helper import whole
from tests.systems import NAMES, SYSTEMS
from tests.write.sample import LOADS, WIRES, book


def written(document: Book | Section, units: UnitSystem = "feet") -> bytes:
    return named("pdf").write(document, Options(units=units))


def reader(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content), strict=True)


def texts(content: bytes) -> list[str]:
    done = subprocess.run(["pdftotext", "-", "-"], input=content, capture_output=True, check=True)
    return done.stdout.decode().split("\f")


def words(text: str) -> list[str]:
    return re.findall(r"\w+", text)


def with_sheet() -> Book:
    """The sample book with a sheet that is there to be drawn."""
    sheet = replace(legend(TitleBlock(title="x", code="L"), "A4")[0], id="sheet-L1")
    figure = Figure(id="drawing-legend", title="Symbols", drawing=sheet, description="")
    drawings = Section(id="drawings", title="Drawings", blocks=(figure,))
    return replace(book(), sections=(*book().sections, drawings))


def long_table(rows: int) -> Table:
    return Table(
        id="long",
        title="Long",
        columns=(Column(key="a", head="Number"), Column(key="b", head="What it says")),
        rows=tuple((f"row{n}", f"word{n} " * 40) for n in range(rows)),
    )


def outline(entries: Any, level: int = 0) -> Iterator[tuple[int, str, Any]]:
    for entry in entries:
        if isinstance(entry, list):
            yield from outline(entry, level + 1)
        else:
            yield level, str(entry.title), entry


def test_every_word_of_every_table_is_on_paper() -> None:
    found = words(" ".join(texts(written(book()))))
    for table in (WIRES, LOADS):
        for row in table.rows:
            for value in row:
                if isinstance(value, str):
                    assert all(word in found for word in words(value)), value


def test_hostile_text_is_only_text() -> None:
    assert "<script>" in "".join(texts(written(book())))


def test_bookmarks_lead_to_the_pages_that_the_contents_name() -> None:
    read = reader(written(with_sheet()))
    number_of = {p.indirect_reference.idnum: n for n, p in enumerate(read.pages, 1)}  # type: ignore[union-attr]
    named_in_outline = {
        title: number_of[entry.page.idnum] for _, title, entry in outline(read.outline)
    }
    contents = read.pages[1].extract_text()
    assert "Contents" in contents
    links: Any = read.pages[1]["/Annots"]
    assert len(links) >= 8
    pages = texts(written(with_sheet()))
    for title in ("Summary and findings", "Load analysis", "Wiring", "Drawings"):
        page = named_in_outline[title]
        if title != "Drawings":
            assert title in pages[page - 1].splitlines()
        lines = [line for line in pages[1].splitlines() if line.strip()]
        assert str(page) in lines, title
        assert title in lines


def test_pages_count_themselves() -> None:
    content = written(book())
    pages = texts(content)
    count = len(reader(content).pages)
    (sheet,) = (n for n, text in enumerate(pages, 1) if "not to scale" in text)
    for number in range(3, count + 1):
        counted = f"page {number}" if number == sheet else f"page {number} of {count}"
        assert counted in " ".join(pages[number - 1].split())


def test_a_sheet_is_a_page_of_its_own_size_and_bears_its_page_number() -> None:
    read = reader(written(with_sheet()))
    last = read.pages[-1]
    assert [float(v) for v in last.mediabox[2:]] == pytest.approx([841.89, 595.28], abs=0.1)
    assert f"page {len(read.pages)}" in last.extract_text()
    assert [title for _, title, _ in outline(read.outline)][-1] == "L1 Symbols"


def test_a_long_table_repeats_its_heads_and_loses_no_row() -> None:
    section = Section(id="s", title="Long", blocks=(TableBlock(table=long_table(120)),))
    pages = texts(written(section))[:-1]
    assert len(pages) > 3
    assert all("What it says" in page for page in pages)
    found = words(" ".join(pages))
    for n in range(120):
        assert found.count(f"row{n}") == 1
        assert found.count(f"word{n}") == 40


@pytest.mark.parametrize("before", range(30, 46))
def test_the_title_of_a_table_is_on_the_page_of_its_first_row(before: int) -> None:
    """However far down the page it begins; the row here is eight lines high."""
    table = replace(long_table(2), title="Title of it")
    lines = tuple(Paragraph(text=f"line {n}") for n in range(before))
    pages = texts(written(Section(id="s", title="s", blocks=(*lines, TableBlock(table=table)))))
    (page,) = [page for page in pages if "Title of it" in page]
    assert "row0" in words(page)


def test_a_table_with_too_many_columns_is_cut_into_two_that_begin_alike() -> None:
    count = 40
    table = Table(
        id="w",
        title="Wide",
        columns=tuple(Column(key=f"k{n}", head=f"Heading{n}") for n in range(count)),
        rows=tuple(tuple(f"r{r}c{n}xxxxxx" for n in range(count)) for r in range(3)),
    )
    content = written(Section(id="s", title="s", blocks=(TableBlock(table=table),)))
    found = words(" ".join(texts(content)))
    assert all(f"r{r}c{n}xxxxxx" in found for r in range(3) for n in range(count))
    assert found.count("r0c0xxxxxx") >= 2


def test_columns_never_reach_over_the_page() -> None:
    columns = [grid.column("Head", [f"{'word ' * n}end" for n in range(1, 60, 7)])] * 7
    for laid in grid.lay(columns, 500.0, {}):
        assert sum(laid.widths) <= 500.01


def test_numbers_stand_under_each_other_at_the_point() -> None:
    section = Section(id="s", title="Loads", blocks=(TableBlock(table=LOADS),))
    done = subprocess.run(
        ["pdftotext", "-bbox", "-", "-"], input=written(section), capture_output=True, check=True
    ).stdout.decode()
    taxi = next(re.finditer(r'xMax="([\d.]+)"[^>]*>3\.2<', done)).group(1)
    below = next(re.finditer(r'xMax="([\d.]+)"[^>]*>0\.8<', done)).group(1)
    assert float(taxi) == pytest.approx(float(below), abs=0.05)


def test_wrapped_lines_keep_every_letter_and_the_width() -> None:
    text = "a-very-long-word-with-hyphens-and more words/with/slashes " * 3 + "x" * 300
    lines = wrap_pt(text, 9.0, 120.0)
    assert "".join("".join(lines).split()) == "".join(text.split())
    from elec.drawings.metrics import width_em

    assert all(width_em(line) * 9.0 <= 120.01 for line in lines)


def test_a_split_text_loses_no_line() -> None:
    text = Text("word " * 200, TextLook())
    _, high = text.wrap(200, 1000)
    first, rest = text.split(200, high / 2)
    assert [*(first.lines or ()), *(rest.lines or ())] == list(text.lines or ())
    assert text.split(200, 15) == []


def test_a_link_to_what_is_not_printed_loses_no_file() -> None:
    marks = Marks(known={"gone"})
    laid = grid.lay([grid.column("Head", ["text"])], 300, {(0, 0): grid.Extra(link="gone")})
    held = io.BytesIO()
    canvas = new_canvas(held, "x")
    grid.Grid(laid[0], marks).drawOn(canvas, 50, 500)
    marks.settle(canvas)
    canvas.showPage()
    canvas.save()
    (page,) = reader(finished(held)).pages
    links: Any = page["/Annots"]
    assert links[0].get_object()["/Dest"][0].get_object() == page.get_object()


def test_a_section_is_printed_on_the_builders_paper() -> None:
    section = Section(id="s", title="Loads", blocks=(TableBlock(table=LOADS),))
    content = named("pdf").write(section, Options(paper="Letter"))
    (page,) = reader(content).pages
    assert [float(v) for v in page.mediabox[2:]] == pytest.approx([612, 792], abs=0.1)


def test_a_whole_system_has_every_sheet_every_section_and_true_page_numbers() -> None:
    system = read(Path(__file__).parents[2] / "systems" / "thistledown").system
    assert system is not None
    study = Study(system)
    made = book_of(study, on_paper=True)
    content = written(made)
    read_back = reader(content)
    number_of = {p.indirect_reference.idnum: n for n, p in enumerate(read_back.pages, 1)}  # type: ignore[union-attr]
    found = {title: number_of[e.page.idnum] for _, title, e in outline(read_back.outline)}
    pages = texts(content)
    for section in made.sections:
        assert section.title in pages[found[section.title] - 1]
    for one in plan(study):
        assert any(title.startswith(f"{one.first} ") for title in found), one.first
    contents = pages[1].splitlines()
    assert all(str(found[s.title]) in contents for s in made.sections)
    sizes = {tuple(round(float(v)) for v in page.mediabox[2:]) for page in read_back.pages}
    assert len(sizes) >= 2
    dests = [
        note.get_object()["/Dest"] for page in read_back.pages for note in page.get("/Annots", [])
    ]
    assert len(dests) > 100
    assert all(dest[0].idnum in number_of for dest in dests)


def test_equal_bytes_in_another_process() -> None:
    code = (
        "import sys; from tests.write.test_pdf_book import *; "
        "sys.stdout.buffer.write(written(with_sheet()))"
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
    assert b"written by elec" in made.pop()[-100:]


@pytest.mark.parametrize("name", NAMES)
def test_an_answer_begins_on_its_first_page(name: str) -> None:
    """Whatever kind of page its first part wants; an empty first page was printed before."""
    system = read(SYSTEMS / name).system
    assert system is not None
    section = loads_section(Study(system))
    first, *_ = texts(written(section))
    assert len(words(first)) > 60


FOOT_PT = 40.0
"""The running foot stands below this."""
OWN_PT = 40.0
"""The height of the longest caution: what stands lower is something else."""


@pytest.mark.parametrize("name", ["foxglove", "larkspur"])
def test_a_caution_stands_on_the_page_of_its_work(name: str) -> None:
    """No caution is the last thing on a page of the papers for the bench."""
    made = book_of(whole(name), purpose="bench", on_paper=True)
    left_alone = []
    for number, page in enumerate(reader(written(made)).pages, 1):
        found: list[tuple[float, str]] = []

        def see(text: str, moved: Any, at: Any, *_: Any, into: Any = found) -> None:
            if text.strip():
                into.append((float(moved[5]) + float(at[5]), text))

        page.extract_text(visitor_text=see)
        body = [y for y, text in found if y > FOOT_PT]
        alone = [y for y, text in found if "⚠ Caution" in text and min(body) > y - OWN_PT]
        left_alone += [number] * (number > 1 and bool(alone))
    assert left_alone == []


def filled(number: int, behind: str) -> Section:
    """A page filled so far, then a caution, then what it is about."""
    high, more = divmod(number, 4)
    fill = Items(items=tuple(f"line {k}" for k in range(38 + high)))
    notes = tuple(Paragraph(text="a note", kind="note") for _ in range(more))
    caution = Paragraph(text=f"beware{number} " + "of a thing that hurts " * 22, kind="caution")
    first = f"first{number} " + "word and word " * 45 + f"end{number}"
    work: Items | TableBlock
    work = Items(items=(first, "second", "third"), boxes=True)
    if behind == "table":
        columns = (
            Column(key="one", head=f"head{number} that is long and stands on several lines " * 3),
            Column(key="two", head="What it is"),
        )
        rows = ((f"first{number}", "word and word " * 20), (f"end{number}", "x"), ("third", "y"))
        work = TableBlock(table=Table(id=f"t{number}", title="Work", columns=columns, rows=rows))
    if behind == "section":
        inner = Section(id=f"i{number}", title="Work", blocks=(work,), new_page=False)
        return Section(
            id=f"s{number}", title="x", blocks=(fill, *notes, caution), sections=(inner,)
        )
    return Section(id=f"s{number}", title="x", blocks=(fill, *notes, caution, work))


@pytest.mark.parametrize("behind", ["list", "table", "section"])
def test_a_caution_is_never_parted_from_the_first_row_of_its_work(behind: str) -> None:
    """However full the page was before it."""
    count = 40
    sections = tuple(filled(number, behind) for number in range(count))
    pages = texts(written(replace(book(), sections=sections)))
    parted = []
    for number in range(count):
        (page,) = [page for page in pages if re.search(rf"beware{number}\b", page)]
        if not all(re.search(rf"{word}{number}\b", page) for word in ("first", "end")):
            parted.append(number)
    moved = [n for n in range(count) if any(re.search(rf"beware{n}\b", p) and "line 37" not in p
                                            for p in pages)]  # fmt: skip
    assert parted == []
    assert moved, "every page had room: the test asked nothing"


def ending(number: int, behind: str) -> Section:
    """A page filled so far, then the end of a paper, then who signs it."""
    columns = (Column(key="one", head="What"), Column(key="two", head="Why"))
    rows = tuple((f"row{number}x{k}", "y") for k in range(6 + number))
    note = f"note{number} " + "word and word " * (40 if behind == "note" else 0)
    table = Table(id=f"t{number}", title="Work", columns=columns, rows=rows, note=note)
    work: Items | TableBlock = TableBlock(table=table)
    if behind == "list":
        work = Items(items=tuple(f"row{number}x{k} " + "word " * 60 for k in range(6 + number)))
    signed = Table(
        id=f"s{number}", title=f"Signed{number}",
        columns=columns, rows=(("Done by", "____"), ("Seen by", "____")), to_write=True,
    )  # fmt: skip
    return Section(id=f"p{number}", title="x", blocks=(work, TableBlock(table=signed)))


@pytest.mark.parametrize("behind", ["table", "note", "list"])
def test_a_signature_stands_under_what_is_signed(behind: str) -> None:
    """It stood alone on a last page, where nobody sees what it is for."""
    count = 45
    sections = tuple(ending(number, behind) for number in range(count))
    pages = texts(written(replace(book(), sections=sections)))
    for number in range(count):
        (page,) = [page for page in pages if re.search(rf"Signed{number}\b", page)]
        assert re.search(rf"row{number}x{5 + number}\b", page), number
        if behind != "list":  # with a row before it, under the heads, and the note
            assert re.search(rf"row{number}x{4 + number}\b", page), number
            assert re.search(rf"note{number}\b", page), number


@pytest.mark.parametrize("name", NAMES)
def test_no_paper_for_the_bench_ends_with_a_signature_alone(name: str) -> None:
    made = book_of(whole(name), purpose="bench", on_paper=True)
    signed = [page for page in texts(written(made)) if "Signed: " in page]
    assert signed
    for page in signed:
        assert len(words(page.partition("Signed: ")[0])) > 12, page


@pytest.mark.parametrize("between", ["steps", "words"])
def test_a_caution_its_steps_and_its_rows_stand_together(between: str) -> None:
    """Several steps, or how it is done, between them: the rows went on without their caution."""
    count, steps = 40, 6
    sections = []
    for number in range(count):
        high = 20 + number % 20
        fill = Items(items=tuple(f"line {k}" for k in range(high)))
        caution = Paragraph(text=f"beware{number}", kind="caution")
        items = tuple(f"step{number}x{k} " + "word " * 30 for k in range(steps))
        columns = (Column(key="one", head="What"), Column(key="two", head="Why"))
        rows = tuple((f"row{number}x{k}", "y") for k in range(4))
        table = Table(id=f"t{number}", title="Work", columns=columns, rows=rows)
        way: Items | Paragraph = Items(items=items, boxes=True)
        if between == "words":
            way = Paragraph(text=" ".join(items))
        sections.append(
            Section(
                id=f"s{number}", title="x", blocks=(fill, caution, way, TableBlock(table=table))
            )
        )
    pages = texts(written(replace(book(), sections=tuple(sections))))
    for number in range(count):
        (page,) = [page for page in pages if re.search(rf"beware{number}\b", page)]
        assert f"step{number}x{steps - 1} " in page, number
        assert f"row{number}x1" in page, number


def test_a_line_that_leads_to_a_list_goes_with_its_first_item() -> None:
    sections = []
    for number in range(30):
        fill = Items(items=tuple(f"line {k}" for k in range(30 + number)))
        blocks = (fill, Paragraph(text=f"lead{number}:"), Items(items=(f"first{number}", "more")))
        sections.append(Section(id=f"s{number}", title="x", blocks=blocks))
    pages = texts(written(replace(book(), sections=tuple(sections))))
    for number in range(30):
        (page,) = [page for page in pages if re.search(rf"lead{number}:", page)]
        assert re.search(rf"first{number}\b", page), number


def test_short_rows_stand_in_strips_and_none_is_lost() -> None:
    """Down the first strip, then down the next; what is of less importance is not printed."""
    columns = (
        Column(key="mark", head="Mark"),
        Column(key="at", head="Where"),
        Column(key="from", head="From", importance=2),
    )
    rows = tuple((f"m{k}", "both ends", f"elsewhere{k}") for k in range(400))
    table = Table(id="labels", title="Labels", columns=columns, rows=rows, strips=True)
    section = Section(id="s", title="x", blocks=(TableBlock(table=table),))
    pages = texts(written(replace(book(), sections=(section,))))
    found = [re.findall(r"\bm\d+\b", page) for page in pages]
    assert sorted(mark for page in found for mark in page) == sorted(str(row[0]) for row in rows)
    assert not any("elsewhere" in page for page in pages)
    full = next(page for page in found if page)
    across = full.index("m1")  # as a reader goes over the page, from left to right
    assert across >= 3
    assert full[across : 2 * across] == [f"m{int(mark[1:]) + 1}" for mark in full[:across]]
    plain = written(plain_section(replace(table, strips=False)))
    assert any("elsewhere399" in page for page in texts(plain))


def plain_section(table: Table) -> Section:
    return Section(id="s", title="x", blocks=(TableBlock(table=table),))


def test_the_place_to_write_a_reading_is_marked() -> None:
    """A rule on either side of it: an empty cell between others was nobody's place."""

    def lines(by_hand: bool) -> int:
        columns = (Column(key="mark", head="Mark"), Column(key="r", head="Read", by_hand=by_hand))
        table = Table(id="t", title="T", columns=columns, rows=(("a", ""), ("b", "")))
        contents = reader(written(plain_section(table))).pages[0].get_contents()
        assert contents is not None
        return len(re.findall(rb"\bl\b", contents.get_data()))

    assert lines(by_hand=True) == lines(by_hand=False) + 2


@pytest.mark.parametrize(("name", "size"), [("larkspur", "A3"), ("foxglove", "Tabloid")])
def test_a_sheet_larger_than_the_binder_says_that_it_is_folded(name: str, size: str) -> None:
    """An A3 page in an A4 binder: in the contents, and on it with the marks."""
    pages = texts(written(book_of(whole(name), purpose="bench", on_paper=True)))
    assert f"N1 Interconnect ({size}, folded once)" in " ".join(pages[1].split())
    said = f"{size}: printed at this size, folded once at the marks"
    (first, *_) = [page for page in pages if said in " ".join(page.split())]
    assert "Interconnect" in first
    assert not [page for page in pages if "folded once" in page and "wiring side" in page]


def test_the_title_of_a_short_table_stands_over_its_rows() -> None:
    """Three rows and a note went to the next page, and the title stayed at the foot of the last."""
    columns = (Column(key="one", head="What"), Column(key="two", head="Why"))
    sections = []
    for number in range(40):
        fill = Items(items=tuple(f"line {k}" for k in range(26 + number % 20)))
        more = tuple(Paragraph(text="a note", kind="note") for _ in range(number // 20))
        rows = tuple((f"row{number}x{k}", "y") for k in range(3))
        table = Table(id=f"t{number}", title=f"Title{number}", columns=columns, rows=rows,
                      note="word and word " * 60)  # fmt: skip
        sections.append(
            Section(id=f"s{number}", title="x", blocks=(fill, *more, TableBlock(table=table)))
        )
    pages = texts(written(replace(book(), sections=tuple(sections))))
    for number in range(40):
        (page,) = [page for page in pages if re.search(rf"Title{number}\b", page)]
        assert re.search(rf"row{number}x2\b", page), number
