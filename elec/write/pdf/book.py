"""The wiring book as pages for a binder: title, contents with page numbers, sections, sheets."""

import io
from collections.abc import Iterable, Iterator, Sequence
from itertools import takewhile
from typing import Any

from msgspec.structs import replace
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
)

from elec import __version__
from elec.cautions import ADVICE, SHORT
from elec.drawings.index import targets
from elec.drawings.metrics import width_em
from elec.drawings.sheet import SIZES_MM, Sheet
from elec.pages.document import (
    Block,
    Book,
    Figure,
    FindingList,
    Items,
    Paragraph,
    Section,
    TableBlock,
    WorkingBlock,
)
from elec.write.pdf import blocks
from elec.write.pdf.flow import QUIET, RULE, Heading, Marks, Named, Text, TextLook, wrap_pt
from elec.write.pdf.form import form_pages
from elec.write.pdf.paper import MM, colour, describe, finished, font, load_fonts, new_canvas_class
from elec.write.pdf.sheets import SheetPages
from elec.write.register import PAPERS_MM, Options
from elec.write.values import one_line

BINDING_MM, EDGE_MM, TOP_MM, FOOT_MM = 20.0, 12.0, 17.0, 15.0
COLUMN_GAP_MM = 7.0
FOLD_MM = 4.0
"""Length of the marks at which a sheet is folded."""
MOST_TOGETHER = 0.8
"""No more of a page is kept together."""
SEVERAL = 3
"""From so many on, small charts stand in two columns."""
_TITLES = (
    TextLook(size=17.0, leading=22.0, bold=True, after=6.0),
    TextLook(size=12.5, leading=17.0, bold=True, before=10.0, after=4.0),
    TextLook(size=10.5, leading=14.0, bold=True, before=8.0, after=3.0),
)
_ENTRY_PT = (12.0, 9.6)
"""Height of an entry of the contents: of a section, of a part of one."""


_Open = tuple[str, tuple[float, float], tuple[tuple[float, float, str, int], ...]]
"""A page of the contents: its name, its size, and where which page number belongs."""


def book_pdf(book: Book) -> bytes:
    """A whole book, or a section as a small one without title page and contents."""
    load_fonts()
    held = io.BytesIO()
    maker = _Maker(replace(book, sections=_on_paper(book.sections)))
    maker.document(held).build(list(maker.story()), canvasmaker=new_canvas_class())
    return finished(held)


def _on_paper(sections: Iterable[Section]) -> tuple[Section, ...]:
    """Without what is only there to look up on a screen."""
    return tuple(replace(one, sections=_on_paper(one.sections)) for one in sections if one.paper)


class _Maker:
    """Builds the story of one book."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.marks = Marks()
        sheets = [
            block.sheet
            for section in _all(book.sections)
            for block in section.blocks
            if isinstance(block, Figure) and block.sheet is not None
        ]
        self.targets = targets(sheets)
        self.pages: SheetPages | None = None
        self.open: list[_Open] = []
        self.last: dict[int, int] = {}
        for section in _all(book.sections):
            self.marks.known.add(section.id)
            for block in section.blocks:
                if isinstance(block, TableBlock):
                    self.marks.known.add(block.table.id)
                elif isinstance(block, Figure):
                    self.marks.known |= {block.id, *block.also}
                elif isinstance(block, FindingList):
                    self.last |= {id(finding): id(block) for finding in block.findings}

    # -- pages ---------------------------------------------------------------------------------

    def document(self, held: io.BytesIO) -> BaseDocTemplate:
        """The document with its kinds of pages."""
        book = self.book
        wide, high = PAPERS_MM[book.paper]
        first = "title" if book.digest else self._first_kind()
        templates = [
            self._template("upright", (wide, high), BINDING_MM, TOP_MM),
            self._template("wide", (high, wide), EDGE_MM, BINDING_MM),
            self._template("columns", (wide, high), BINDING_MM, TOP_MM, across=2),
            self._bare("title", wide, high),
            *(self._bare(f"sheet-{name}", *size) for name, size in SIZES_MM.items()),
            self._bare("form", wide, high),
            self._bare("form-wide", high, wide),
        ]
        templates.sort(key=lambda template: template.id != first)
        return BaseDocTemplate(held, pageTemplates=templates, invariant=1, pageCompression=1)

    def _template(
        self, name: str, size: tuple[float, float], left: float, top: float, across: int = 1
    ) -> PageTemplate:
        wide, high = size
        room = (wide - left - EDGE_MM - (across - 1) * COLUMN_GAP_MM) / across
        frames = [
            Frame(
                (left + k * (room + COLUMN_GAP_MM)) * MM, FOOT_MM * MM, room * MM,
                (high - top - FOOT_MM) * MM, 0, 0, 0, 0, id=f"{name}-{k}",
            )
            for k in range(across)
        ]  # fmt: skip

        def furnish(canvas: Any, _: Any) -> None:
            self._furnish(canvas, (wide, high, left, top))

        return PageTemplate(name, frames, onPage=furnish, pagesize=(wide * MM, high * MM))

    def _bare(self, name: str, wide: float, high: float) -> PageTemplate:
        edge = 25.0 if name == "title" else 0.0
        frame = Frame(
            edge * MM, edge * MM, (wide - 2 * edge) * MM, (high - 2 * edge) * MM, 0, 0, 0, 0
        )

        def begin(canvas: Any, _: Any) -> None:
            self._begin(canvas)

        return PageTemplate(name, [frame], onPage=begin, pagesize=(wide * MM, high * MM))

    def _begin(self, canvas: Any) -> None:
        """What has to be said once in a file."""
        if self.pages is None:
            describe(canvas, _title(self.book), author=self.book.owner)
            canvas.showOutline()
            self.pages = SheetPages(canvas, self.targets)

    def _furnish(self, canvas: Any, page: tuple[float, float, float, float]) -> None:
        """Running head and foot."""
        self._begin(canvas)
        wide, high, left, top = page
        book = self.book
        x0, x1 = left * MM, (wide - EDGE_MM) * MM
        head, foot = (high - top + 5.0) * MM, 9.0 * MM
        canvas.setStrokeColor(colour(RULE))
        canvas.setLineWidth(0.4)
        canvas.line(x0, head - 4, x1, head - 4)
        canvas.setFillColor(colour(QUIET))
        canvas.setFont(font(bold=False), 7.5)
        canvas.drawString(x0, head, one_line(book.title))
        revision = f"revision {book.revision}" if book.revision else ""
        parts = (revision, book.date)
        canvas.drawRightString(x1, head, one_line(" · ".join(p for p in parts if p)))
        digest = f"text {book.digest[:12]}" if book.digest else ""
        said = (f"elec {__version__}", digest, SHORT)
        canvas.drawString(x0, foot, " · ".join(p for p in said if p))
        count_wide = width_em(" of 8888") * 7.5
        canvas.drawRightString(x1 - count_wide, foot, f"page {canvas.getPageNumber()}")
        canvas.saveState()
        canvas.translate(x1 - count_wide, foot)
        canvas.doForm("page-count")
        canvas.restoreState()

    # -- story ---------------------------------------------------------------------------------

    def story(self) -> Iterator[Flowable]:
        """Everything in order."""
        book = self.book
        if book.digest:
            yield from self._title_page()
            yield from self._contents()
        for number, section in enumerate(book.sections):
            yield from self._section(section, 0, first=not number and not book.digest)
        yield _Count(self)

    def _title_page(self) -> Iterator[Flowable]:
        book = self.book
        yield Text(
            one_line(book.title), TextLook(size=30, leading=38, bold=True, before=90, after=8)
        )
        if book.subtitle:
            yield Text(one_line(book.subtitle), TextLook(size=13, leading=18, after=40))
        facts = (
            ("Owner", book.owner),
            ("Revision", book.revision),
            ("Date", book.date),
            ("Digest of the text", book.digest[:12]),
            ("Computed and drawn by", f"elec {__version__}"),
            ("Checked by", "_" * 24),
        )
        for name, value in facts:
            if value:
                yield Text(one_line(value), TextLook(size=10, leading=15, indent=150), lead=name)
        yield Text(
            ADVICE, TextLook(box="#a40000", before=60, size=10, leading=14), lead="⚠ Caution"
        )
        yield NextPageTemplate("upright")
        yield PageBreak()

    def _contents(self) -> Iterator[Flowable]:
        entries = list(self._entries(self.book.sections, 0))
        wide, high = PAPERS_MM[self.book.paper]
        room = (high - TOP_MM - FOOT_MM) * MM - 40
        yield Heading("Contents", _TITLES[0], "contents", self.marks, 0)
        columns: list[list[tuple[str, str, int]]] = [[]]
        left = room
        for entry in entries:
            if left < _ENTRY_PT[entry[2]] + (6 if entry[2] == 0 else 0):
                columns.append([])
                left = room
            left -= _ENTRY_PT[entry[2]] + (4 if entry[2] == 0 else 0)
            columns[-1].append(entry)
        for k in range(0, len(columns), 2):
            pair = columns[k : k + 2]
            yield _Contents(self, pair, (wide - BINDING_MM - EDGE_MM) * MM, room, f"contents-{k}")
            yield NextPageTemplate("upright")
            if k + 2 < len(columns):
                yield PageBreak()

    def _entries(self, sections: Sequence[Section], level: int) -> Iterator[tuple[str, str, int]]:
        """Title, name of the spot, and level of all that the contents list."""
        for section in sections:
            yield one_line(section.title), section.id, level
            for block in section.blocks if level == 0 else ():
                if isinstance(block, Figure) and block.sheet is not None:
                    title = block.sheet.title
                    if title.sheet == 1:
                        large = self.folded(block.sheet)
                        more = f" ({block.sheet.size}, folded once)" if large else ""
                        yield f"{title.label}  {one_line(block.title)}{more}", block.id, 1
            yield from self._entries(section.sections, 1)

    def folded(self, sheet: Sheet) -> bool:
        """Whether a sheet is larger than the paper of the binder."""
        return max(SIZES_MM[sheet.size]) > max(PAPERS_MM[self.book.paper])

    def _form(self, section: Section, level: int) -> Iterator[Flowable]:
        """A form to be signed, on pages of its own."""
        options = Options(units=self.book.units, paper=self.book.paper)
        for number, page in enumerate(form_pages(section, options)):
            kind = "form" if page.size == PAPERS_MM[self.book.paper] else "form-wide"
            yield NextPageTemplate(kind)
            yield PageBreak()
            if not number:
                yield Named(section.id, self.marks, one_line(section.title), level)
            yield page
            self._kind = kind

    def _section(self, section: Section, level: int, *, first: bool = False) -> Iterator[Flowable]:
        if section.form:
            yield from self._form(section, level)
            return
        plain = [b for b in section.blocks if not isinstance(b, Figure) or b.sheet is None]
        kinds = self._kinds(section, plain)
        if first:
            self._kind = self._first_kind()
        yield from self._page(kinds[0] if kinds else "upright", fresh=self._fresh(section, level))
        look = _TITLES[min(level, len(_TITLES) - 1)]
        yield CondPageBreak(blocks.LEAST_TABLE_PT + look.leading)
        yield Heading(one_line(section.title), look, section.id, self.marks, level)
        for number, (block, kind) in enumerate(zip(plain, kinds, strict=True)):
            yield from self._page(kind)
            setting = self._setting(section, kind)
            high = self._together_pt(section, plain[number:], setting)
            if high:
                yield CondPageBreak(high)
            after = _signature_pt(plain[number + 1 :], setting)
            yield from blocks.flowables((block,), replace(setting, after_pt=after))
        for block in section.blocks:
            if isinstance(block, Figure) and block.sheet is not None:
                yield from self._sheet(block, block.sheet, level + 1)
        for inner in section.sections:
            yield from self._section(inner, level + 1)

    def _together_pt(
        self, section: Section, rest: Sequence[Block], setting: blocks.SectionSetting
    ) -> float:
        """The room that a block needs with what it is about; nothing where it stands for itself.

        Cautions stand on the page of what they are about: with the steps and the words before it,
        whole, and with its beginning. A paragraph before a list goes with the first item.
        """
        run = _cautions(rest)
        if not run:
            if rest[1:] and isinstance(rest[0], Paragraph) and isinstance(rest[1], Items):
                return sum(blocks.begin_pt(one, setting) + blocks.AROUND_PT for one in rest[:2])
            return 0.0
        end = run
        while end < len(rest) - 1 and _between(rest[end]):
            end += 1
        high = sum(blocks.height_pt(one, setting) for one in rest[:end])
        high += sum(blocks.begin_pt(one, setting) + blocks.AROUND_PT for one in rest[end : end + 1])
        if run == len(rest):
            high += self._goes_on_pt(section)
        return min(high, MOST_TOGETHER * setting.high_pt)

    def _setting(self, section: Section, kind: str) -> blocks.SectionSetting:
        return blocks.SectionSetting(
            units=self.book.units, marks=self.marks, wide_pt=self._room(kind), last=self.last,
            title=section.title, high_pt=self._high(kind),
        )  # fmt: skip

    def _goes_on_pt(self, section: Section) -> float:
        """The height of the heading and the beginning of what a section goes on with."""
        inner = next(iter(section.sections), None)
        if inner is None or inner.new_page or inner.form:
            return 0.0
        high = blocks.LEAST_TABLE_PT + _TITLES[-1].leading
        plain = [b for b in inner.blocks if not isinstance(b, Figure)]
        setting = self._setting(inner, self._kind)
        return high + sum(blocks.begin_pt(one, setting) for one in plain[:1])

    def _first_kind(self) -> str:
        """The kind of page that a small book begins with."""
        for section in self.book.sections[:1]:
            plain = [b for b in section.blocks if not isinstance(b, Figure) or b.drawing is None]
            return next(iter(self._kinds(section, plain)), "upright")
        return "upright"

    def _fresh(self, section: Section, level: int) -> bool:
        """Whether a section begins on a page of its own; the first of a small book is there."""
        return section.new_page if level else bool(self.book.digest)

    def _page(self, kind: str, *, fresh: bool = False) -> Iterator[Flowable]:
        """Go on on a page of that kind."""
        if fresh or kind != self._kind:
            yield NextPageTemplate(kind)
            yield PageBreak()
            self._kind = kind

    def _kinds(self, section: Section, plain: Sequence[Block]) -> list[str]:
        """The kind of page of each block: lying for a wide table, columns for workings.

        What would stand anywhere goes with the first part of its section.
        """
        room = self._room("upright")
        if self._narrow(plain):
            return ["columns"] * len(plain)
        found: list[str] = []
        for block in plain:
            if isinstance(block, TableBlock):
                wide = blocks.ease_pt(block.table, self.book.units) > room
                found.append("wide" if wide else "")
            else:
                found.append("upright" if isinstance(block, FindingList) else "")
        inner = (
            section.sections[0] if section.sections and not section.sections[0].new_page else None
        )
        usual = "upright"
        if inner is not None and all(isinstance(b, Paragraph) for b in plain):
            usual = next(iter(self._kinds(inner, inner.blocks)), usual)
        return _spread(found, usual)

    def _narrow(self, plain: Sequence[Block]) -> bool:
        """Whether a section is hand calculations or small charts, which stand in columns."""
        if any(isinstance(b, TableBlock | FindingList) for b in plain):
            return False
        charts = any(isinstance(b, Figure) for b in plain)
        return self._small_charts(plain) or (
            not charts and any(isinstance(b, WorkingBlock) for b in plain)
        )

    def _small_charts(self, plain: Sequence[Block]) -> bool:
        """Whether a section is several charts, small enough to stand in columns."""
        charts = [b for b in plain if isinstance(b, Figure)]
        if len(charts) < SEVERAL:
            return False
        room = self._room("columns") * 1.25
        return all(chart.drawing.width_mm * MM <= room for chart in charts)

    _kind = "title"

    def _sheet(self, figure: Figure, sheet: Sheet, level: int) -> Iterator[Flowable]:
        name = f"sheet-{sheet.size}"
        yield NextPageTemplate(name)
        yield PageBreak()
        yield _SheetPage(self, figure, sheet, level)
        self._kind = name

    def _high(self, kind: str) -> float:
        """Height of the text on a kind of page, in points."""
        wide, high = PAPERS_MM[self.book.paper]
        if kind == "wide":
            return (wide - BINDING_MM - FOOT_MM) * MM
        return (high - TOP_MM - FOOT_MM) * MM

    def _room(self, kind: str) -> float:
        """Width of the text on a kind of page, in points."""
        wide, high = PAPERS_MM[self.book.paper]
        if kind == "wide":
            return (high - 2 * EDGE_MM) * MM
        room = wide - BINDING_MM - EDGE_MM
        return ((room - COLUMN_GAP_MM) / 2 if kind == "columns" else room) * MM


class _SheetPage(Flowable):  # type: ignore[misc] # reportlab has no types
    """A drawing sheet that is a page."""

    def __init__(self, maker: _Maker, figure: Figure, sheet: Sheet, level: int) -> None:
        super().__init__()
        self.maker, self.figure, self.sheet, self.level = maker, figure, sheet, level

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """The whole page."""
        return wide, high - 0.01

    def draw(self) -> None:
        """Draw the sheet and name the page."""
        canvas, sheet, marks = self.canv, self.sheet, self.maker.marks
        assert self.maker.pages is not None  # noqa: S101 - every page begins with it
        canvas.saveState()
        canvas.translate(0, -0.01)
        self.maker.pages.draw(sheet)
        canvas.restoreState()
        fresh = self.figure.id not in marks.named
        for name in (self.figure.id, *self.figure.also):
            marks.name(canvas, name)
        if fresh and sheet.title.sheet == 1:
            title = f"{sheet.title.label} {one_line(self.figure.title)}"
            canvas.addOutlineEntry(title, self.figure.id, self.level, closed=True)
        canvas.setFont(font(bold=False), 6.5)
        canvas.setFillColor(colour(QUIET))
        canvas.drawString(4 * MM, 6 * MM, f"page {canvas.getPageNumber()}")
        if self.maker.folded(sheet):
            self._fold()

    def _fold(self) -> None:
        """Where a sheet larger than the binder's paper is folded, and that it is."""
        canvas, size = self.canv, self.sheet.size
        wide, high = (side * MM for side in SIZES_MM[size])
        canvas.setStrokeColor(colour(QUIET))
        canvas.setLineWidth(0.5)
        canvas.line(wide / 2, 0, wide / 2, FOLD_MM * MM)
        canvas.line(wide / 2, high - FOLD_MM * MM, wide / 2, high)
        canvas.saveState()
        canvas.translate(9 * MM, 14 * MM)
        canvas.rotate(90)
        canvas.drawString(0, 0, f"{size}: printed at this size, folded once at the marks")
        canvas.restoreState()


class _Contents(Flowable):  # type: ignore[misc]
    """A page of the contents; the numbers of the pages are filled in when they are known."""

    def __init__(
        self, maker: _Maker, columns: Sequence[Sequence[tuple[str, str, int]]], wide: float,
        high: float, name: str,
    ) -> None:  # fmt: skip
        super().__init__()
        self.maker, self.columns, self.name = maker, columns, name
        self.size = (wide, high)

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """The size it was given."""
        del wide, high
        return self.size

    def draw(self) -> None:
        """Draw titles and links; the page numbers come as a form of that name."""
        wide = (self.size[0] - 18) / 2
        out = self.canv.beginText()
        spots: list[tuple[float, float, str, int]] = []
        for k, entries in enumerate(self.columns):
            left, y = k * (wide + 18), self.size[1]
            for title, key, level in entries:
                y -= _ENTRY_PT[level] + (4 if level == 0 else 0)
                size = 9.0 if level == 0 else 7.5
                indent = 10.0 * level
                text = wrap_pt(title, size, wide - indent - 30, bold=level == 0)
                line = text[0] + ("…" if len(text) > 1 else "")
                out.setFont(font(bold=level == 0), size)
                out.setTextOrigin(left + indent, y)
                out.textOut(line)
                self.maker.marks.lead(self.canv, key, (left, y - 2, left + wide, y + 8))
                spots.append((left + wide, y, key, level))
        self.canv.drawText(out)
        self.canv.doForm(self.name)
        self.maker.open.append((self.name, self.size, tuple(spots)))


class _Count(Flowable):  # type: ignore[misc]
    """The end: how many pages there are, and on which the entries of the contents stand."""

    def __init__(self, maker: _Maker) -> None:
        super().__init__()
        self.maker = maker

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """It takes no room."""
        del wide, high
        return 0.0, 0.0

    def draw(self) -> None:
        """Fill in what was left open."""
        canvas = self.canv
        self.maker.marks.settle(canvas)
        canvas.beginForm("page-count", 0, -5, 80, 12)
        canvas.setFont(font(bold=False), 7.5)
        canvas.setFillColor(colour(QUIET))
        canvas.drawString(0, 0, f" of {canvas.getPageNumber()}")
        canvas.endForm()
        for name, size, spots in self.maker.open:
            canvas.beginForm(name, 0, -5, *size)
            for x, y, key, level in spots:
                canvas.setFont(font(bold=level == 0), 9.0 if level == 0 else 7.5)
                canvas.drawRightString(x, y, str(self.maker.marks.pages.get(key, "")))
            canvas.endForm()


def _signature_pt(rest: Sequence[Block], setting: blocks.SectionSetting) -> float:
    """The height of a table to sign that follows: it stands on no page alone."""
    if rest and isinstance(rest[0], TableBlock) and rest[0].table.to_write:
        return blocks.height_pt(rest[0], setting)
    return 0.0


def _between(block: Block) -> bool:
    """Whether a block is steps or words on the way from a caution to its rows."""
    return isinstance(block, Items) or (isinstance(block, Paragraph) and block.kind != "caution")


def _cautions(rest: Sequence[Block]) -> int:
    """How many cautions stand one after the other at the beginning.

    >>> _cautions([Paragraph(text="a", kind="caution"), Paragraph(text="b")])
    1
    """
    return len(list(takewhile(lambda b: isinstance(b, Paragraph) and b.kind == "caution", rest)))


def _spread(kinds: list[str], usual: str = "upright") -> list[str]:
    """What does not mind goes with the next that does, or else with the last, to save pages.

    >>> _spread(["", "wide", "", "upright", ""]), _spread(["", ""])
    (['wide', 'wide', 'upright', 'upright', 'upright'], ['upright', 'upright'])
    """
    minded = [kind for kind in kinds if kind]
    last = minded[-1] if minded else usual
    found: list[str] = []
    for kind in reversed(kinds):
        last = kind or last
        found.append(last)
    return found[::-1]


def _title(book: Book) -> str:
    revision = f", revision {book.revision}" if book.revision else ""
    return one_line(f"{book.title}{revision}")


def _all(sections: Iterable[Section]) -> Iterator[Section]:
    for section in sections:
        yield section
        yield from _all(section.sections)
