"""A form to be signed: all on one page where it fits, its longest table behind it where not.

Sections within it are lists that belong to it, on pages behind.

Letters of text and tables are 2.5 mm high, as ISO 3098 counts them: a hand holds the page, and
somebody signs it. On paper only; nothing is left out to make it fit.
"""

import io
from collections.abc import Iterator, Sequence
from typing import Any

from msgspec.structs import replace
from reportlab.platypus import Flowable

from elec import __version__
from elec.cautions import SHORT
from elec.drawings.metrics import font_size_mm, width_em
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.table import Table
from elec.write.pdf import blocks, grid
from elec.write.pdf.flow import QUIET, RULE, Marks, Text, TextLook, wrap_pt
from elec.write.pdf.paper import MM, colour, finished, font, new_canvas
from elec.write.register import PAPERS_MM, Options
from elec.write.values import bare, glued, one_line

SIZE = font_size_mm(2.5) * MM
"""Letters 2.5 mm high."""
LEAST = font_size_mm(1.8) * MM
"""Of a table that is too wide even for a page lying on its side; as small as on any sheet."""
FULL = grid.GridLook(sizes=(SIZE,), line_share=1.12, row_pt=0.6, gap_pt=4.0, most_em=90.0)
SMALLER = replace(FULL, sizes=(SIZE, LEAST))
TITLE = TextLook(size=14.0, leading=17.0, bold=True, after=1.0)
CAPTION = TextLook(size=SIZE, leading=SIZE * 1.2, bold=True, before=3.5, after=0.5)
PROSE = TextLook(size=SIZE, leading=SIZE * 1.15, before=1.0, after=1.0)
EDGE_MM, FOOT_MM = 7.0, 9.0
FOOT_PT = 7.5
FIELD_PT = SIZE * 1.75
NAME_PT = 82.0
"""Three fields stand side by side where no name is longer, else two: room to write on."""
_Page = tuple[tuple[float, float], list[Flowable]]
"""Its size in mm, and what stands on it."""


def form_pdf(section: Section, options: Options) -> bytes:
    """Write a form as PDF."""
    return _Form(section, options).made()


def form_pages(section: Section, options: Options) -> Sequence["FormPage"]:
    """The pages of a form that is part of a book."""
    made = _Form(section, options)
    pages = made.pages()
    return [
        FormPage(made, size, placed, f"page {number} of {len(pages)} of this form")
        for number, (size, placed) in enumerate(pages, 1)
    ]


class _Form:
    def __init__(self, section: Section, options: Options) -> None:
        self.section, self.options = section, options
        self.marks = Marks()
        self.paper = PAPERS_MM[options.paper]

    def made(self) -> bytes:
        held = io.BytesIO()
        title = one_line(self.section.title)
        canvas = new_canvas(held, title)
        pages = self.pages()
        for number, (size, placed) in enumerate(pages, 1):
            self.draw(canvas, size, placed, f"page {number} of {len(pages)}")
            canvas.showPage()
        canvas.save()
        return finished(held)

    # -- what stands where -----------------------------------------------------------------------

    def pages(self) -> list[_Page]:
        """The pages with their sizes in mm: the form, then the lists that belong to it."""
        fields = [one for one in self.section.blocks if _is_fields(one)]
        head = [self._title(), *self._set(fields[:1], self.paper)]
        lists = [part for inner in self.section.sections for part in self._list(inner)]
        behind = _split([*head, *lists], self.paper, head) if lists else ()
        return [*self._form(), *behind]

    def _list(self, inner: Section) -> Iterator[Flowable]:
        yield Text(one_line(inner.title), CAPTION)
        yield from self._set(inner.blocks, self.paper)

    def _form(self) -> list[_Page]:
        """The pages of the form itself; one where all of it fits."""
        upright, every = self.paper, self.section.blocks
        whole = [self._title(), *self._set(every, upright)]
        longest = max(
            self._tables(),
            key=lambda block: (not self._narrow(block.table, upright), len(block.table.rows)),
            default=None,
        )
        narrow = longest is None or self._narrow(longest.table, upright)
        if longest is None or (narrow and _high(whole, upright) <= _room(upright)[1]):
            return list(_split(whole, upright, []))
        rest = [block for block in every if block is not longest]
        fields = [one for one in rest if _is_fields(one)]
        size = upright if narrow else upright[::-1]
        head = [self._title(), *self._set(fields[:1], size)]
        rows = list(self._set([longest], size))
        if narrow and _high([*head, *rows], size) > _room(size)[1]:
            summed_up = [self._title(), *self._set(rest, upright)]
            return list(_split([*summed_up, *rows], size, head))
        place = every.index(longest)
        first = [
            self._title(),
            *self._set(every[:place], upright),
            Text(f"{one_line(longest.table.title)}: behind this page.", CAPTION),
            *self._set(every[place + 1 :], upright),
        ]
        return [*_split(first, upright, head), *_split([*head, *rows], size, head)]

    def _tables(self) -> list[TableBlock]:
        return [
            block
            for block in self.section.blocks
            if isinstance(block, TableBlock) and not block.table.fields
        ]

    def _narrow(self, table: Table, size: tuple[float, float]) -> bool:
        """Whether a table has room at the full size of its letters."""
        return len(grid.lay(self._columns(table), _room(size)[0], {}, FULL)) == 1

    def _columns(self, table: Table) -> list[grid.PrintColumn]:
        """As everywhere, but bold only where there is no head, a number and its unit together."""
        headless = not any(column.head for column in table.columns)
        return [
            grid.column(
                one.head, list(map(glued, one.texts)), pads=one.pads, number=one.number,
                bold=headless and one.bold, heavy=one.heavy,
            )
            for one in blocks.columns(table, self.options.units)
        ]  # fmt: skip

    def _title(self) -> Text:
        return Text(one_line(self.section.title), TITLE)

    def _set(self, every: Sequence[Block], size: tuple[float, float]) -> Iterator[Flowable]:
        for block in every:
            if isinstance(block, Paragraph):
                yield Text(blocks.prose(block.text), PROSE)
            elif isinstance(block, TableBlock) and block.table.fields:
                yield _Fields(block.table)
            elif isinstance(block, TableBlock):
                yield from self._table(block.table, size)

    def _table(self, table: Table, size: tuple[float, float]) -> Iterator[Flowable]:
        if any(column.head for column in table.columns):
            yield Text(blocks.prose(table.title), CAPTION)
        if table.note:
            yield Text(blocks.prose(table.note), PROSE)
        room, extras = _room(size)[0], blocks.extras_of(table)
        for laid in grid.lay(self._columns(table), room, extras, SMALLER):
            found = grid.Grid(laid, self.marks)
            found.spaceAfter = 1.0
            yield found

    # -- drawing ---------------------------------------------------------------------------------

    def draw(
        self, canvas: Any, size: tuple[float, float], placed: list[Flowable], count: str
    ) -> None:
        """Draw a page of that size in mm."""
        wide, high = size[0] * MM, size[1] * MM
        canvas.setPageSize((wide, high))
        y = high - EDGE_MM * MM
        room = _room(size)[0]
        for one in placed:
            y -= one.getSpaceBefore()
            _, tall = one.wrap(room, y)
            one.drawOn(canvas, EDGE_MM * MM, y - tall)
            y -= tall + one.getSpaceAfter()
        canvas.setFillColor(colour(QUIET))
        canvas.setFont(font(bold=False), FOOT_PT)
        foot = (FOOT_MM - 4.0) * MM
        canvas.drawString(EDGE_MM * MM, foot, f"elec {__version__} · {SHORT}")
        canvas.drawRightString(wide - EDGE_MM * MM, foot, count)


class FormPage(Flowable):  # type: ignore[misc] # reportlab has no types
    """A page of a form within a book."""

    def __init__(
        self, form: _Form, size: tuple[float, float], placed: list[Flowable], count: str
    ) -> None:
        super().__init__()
        self.form, self.size, self.placed, self.count = form, size, placed, count

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """The whole page."""
        return wide, high - 0.01

    def draw(self) -> None:
        """Draw it; the number of the book's page stands in the middle of the foot."""
        canvas = self.canv
        canvas.saveState()
        canvas.translate(0, -0.01)
        self.form.draw(canvas, self.size, self.placed, self.count)
        middle = f"page {canvas.getPageNumber()}"
        canvas.drawCentredString(self.size[0] * MM / 2, (FOOT_MM - 4.0) * MM, middle)
        canvas.restoreState()


def _is_fields(block: Block) -> bool:
    return isinstance(block, TableBlock) and block.table.fields


def _room(size: tuple[float, float]) -> tuple[float, float]:
    """Width and height for text, in points."""
    return (size[0] - 2 * EDGE_MM) * MM, (size[1] - EDGE_MM - FOOT_MM) * MM


def _tall(one: Flowable, room: float) -> float:
    high: float = one.wrap(room, 1e6)[1]
    return float(one.getSpaceBefore() + high + one.getSpaceAfter())


def _high(every: Sequence[Flowable], size: tuple[float, float]) -> float:
    room = _room(size)[0]
    return sum(_tall(one, room) for one in every)


def _split(
    every: Sequence[Flowable], size: tuple[float, float], head: Sequence[Flowable]
) -> Iterator[_Page]:
    """As many on each page as fit, further pages under a head; what is longer is split."""
    wide, high = _room(size)
    page: list[Flowable] = []
    left, waiting, fresh = high, list(every), 0
    while waiting:
        one = waiting.pop(0)
        tall = _tall(one, wide)
        if tall <= left:
            page.append(one)
            left -= tall
            continue
        parts = one.split(wide, left - one.getSpaceBefore())
        if len(parts) > 1:
            page.append(parts[0])
            waiting[:0] = parts[1:]
        elif len(page) > fresh:
            waiting.insert(0, one)
        else:  # no page is high enough: it stands over the edge, and is seen to
            page.append(one)
        yield size, page
        page, fresh = list(head), len(head)
        left = high - _high(head, size)
    if len(page) > fresh:
        yield size, page


class _Fields(Flowable):  # type: ignore[misc] # reportlab has no types
    """Names with what is written there, side by side; where nothing is, a line to write on."""

    def __init__(self, table: Table) -> None:
        super().__init__()
        self.pairs = [(one_line(str(bare(a))), one_line(str(bare(b)))) for a, b in table.rows]
        self.spaceBefore, self.spaceAfter = 1.0, 2.0

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """The size on a page of this width."""
        del high
        longest = max(width_em(name, bold=True) * SIZE for name, _ in self.pairs)
        self.across = 3 if longest <= NAME_PT else 2
        self.part = wide / self.across
        self.lines = [list(self._lines(k)) for k in range(0, len(self.pairs), self.across)]
        self.tall = [max(len(text) for _, text, _ in line) for line in self.lines]
        return wide, sum(FIELD_PT + (tall - 1) * SIZE * 1.15 for tall in self.tall)

    def _lines(self, first: int) -> Iterator[tuple[str, list[str], float]]:
        """Of one line of fields: name, what is written in lines, and how far right that begins."""
        for name, written in self.pairs[first : first + self.across]:
            lead = width_em(name, bold=True) * SIZE + 4.0
            room = max(30.0, self.part - lead - 8.0)
            yield name, wrap_pt(written, SIZE, room), lead

    def draw(self) -> None:
        """Set names, texts and lines."""
        canvas, part = self.canv, self.part
        y = sum(FIELD_PT + (tall - 1) * SIZE * 1.15 for tall in self.tall)
        canvas.setStrokeColor(colour(RULE))
        canvas.setLineWidth(0.5)
        for line, tall in zip(self.lines, self.tall, strict=True):
            base = y - FIELD_PT + 4.0
            for k, (name, text, lead) in enumerate(line):
                canvas.setFillColor(colour("#000000"))
                canvas.setFont(font(bold=True), SIZE)
                canvas.drawString(k * part, base, name)
                canvas.setFont(font(bold=False), SIZE)
                for n, words in enumerate(text):
                    canvas.drawString(k * part + lead, base - n * SIZE * 1.15, words)
                if not any(text):
                    canvas.line(k * part + lead, base - 1.5, (k + 1) * part - 8.0, base - 1.5)
            y -= FIELD_PT + (tall - 1) * SIZE * 1.15


__all__ = ["FormPage", "form_pages", "form_pdf"]
