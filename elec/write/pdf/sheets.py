"""Drawing sheets as pages of their own size, with bookmarks and working cross references."""

import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from msgspec import Struct

from elec.drawings import symbols
from elec.drawings.frame import blank, filled
from elec.drawings.index import Target, targets
from elec.drawings.ink import Ink, Lettering, Placed, Point
from elec.drawings.sheet import Item, Sheet, Size
from elec.drawings.svg import layer
from elec.write.pdf.paper import MM, finished, new_canvas
from elec.write.pdf.pen import Pen


class Chapter(Struct, frozen=True, kw_only=True):
    """Sheets that belong together; `parts` are the drawings, each with its own bookmark."""

    title: str
    parts: tuple[tuple[str, tuple[Sheet, ...]], ...]


def sheets_pdf(title: str, chapters: Sequence[Chapter], *, author: str = "") -> bytes:
    """Sheets as one PDF: a page a sheet, bookmarks a drawing, links from sheet to sheet."""
    held = io.BytesIO()
    canvas = new_canvas(held, title, author=author)
    everything = [sheet for chapter in chapters for _, part in chapter.parts for sheet in part]
    pages = SheetPages(canvas, targets(everything))
    for chapter in chapters:
        several = len(chapters) > 1 and len(chapter.parts) > 1
        for number, (name, part) in enumerate(chapter.parts):
            key = part[0].id
            if several and not number:
                canvas.bookmarkPage(f"chapter {key}", fit="Fit")
                canvas.addOutlineEntry(chapter.title, f"chapter {key}", 0, closed=True)
            canvas.addOutlineEntry(name, key, int(several), closed=True)
            for sheet in part:
                pages.draw(sheet)
                canvas.showPage()
    if everything:
        canvas.showOutline()
    canvas.save()
    return finished(held)


class SheetPages:
    """Draws sheets onto the pages of one PDF; symbols and frames are kept there once."""

    def __init__(self, canvas: Any, leads: Mapping[str, Target]) -> None:
        """Begin with nothing drawn."""
        self.canvas = canvas
        self.leads = leads
        self._symbols: set[str] = set()
        self._frames: set[Size] = set()
        self._spots: dict[str, list[tuple[str, Point]]] = {}
        for name, lead in leads.items():
            if lead.spot is not None:
                self._spots.setdefault(lead.sheet_id, []).append((name, lead.spot))

    def draw(self, sheet: Sheet) -> None:
        """Draw one sheet on the page that is open and make that page as large as the sheet."""
        self._frame(sheet)
        for name in sorted({i.ink.name for i in sheet.items if isinstance(i.ink, Placed)}):
            self._symbol(name)
        canvas = self.canvas
        canvas.setPageSize((sheet.width_mm * MM, sheet.height_mm * MM))
        canvas.bookmarkPage(sheet.id, fit="Fit")
        self._marks(sheet)
        canvas.doForm(f"frame-{sheet.size}")
        pen = Pen(canvas, sheet.height_mm)
        pen.draw(item.ink for item in filled(sheet))
        pen.draw(_ordered(sheet.items))
        self._links(sheet)

    def _marks(self, sheet: Sheet) -> None:
        """Name the spots of this sheet that links lead to."""
        for name, (x, y) in self._spots.get(sheet.id, ()):
            left, top = x * MM, (sheet.height_mm - y) * MM
            self.canvas.bookmarkPage(name, fit="XYZ", left=left, top=top + 10 * MM, zoom=0)

    def _links(self, sheet: Sheet) -> None:
        for item in sheet.items:
            if isinstance(item.ink, Lettering) and item.ink.link in self.leads:
                x0, y0, x1, y1 = item.box
                high = sheet.height_mm
                rect = (x0 * MM, (high - y1) * MM, x1 * MM, (high - y0) * MM)
                self.canvas.linkAbsolute("", item.ink.link, rect, thickness=0)

    def _frame(self, sheet: Sheet) -> None:
        """What all sheets of a size have in common, kept once."""
        if sheet.size not in self._frames:
            size = (sheet.width_mm * MM, sheet.height_mm * MM)
            self.canvas.beginForm(f"frame-{sheet.size}", 0, 0, *size)
            Pen(self.canvas, sheet.height_mm).draw(_ordered(blank(sheet.size)))
            self.canvas.endForm()
            self._frames.add(sheet.size)

    def _symbol(self, name: str) -> None:
        if name in self._symbols:
            return
        drawn = symbols.drawn(name)
        x0, y0, x1, y1 = drawn.box
        self.canvas.beginForm(
            f"symbol-{name}", (x0 - 1) * MM, (-y1 - 1) * MM, (x1 + 1) * MM, (1 - y0) * MM
        )
        self.canvas.setLineCap(1)
        self.canvas.setLineJoin(1)
        Pen(self.canvas, 0.0).draw(drawn.ink)
        self.canvas.endForm()
        self._symbols.add(name)


def _ordered(items: Iterable[Item]) -> list[Ink]:
    """The ink of items, lines below and texts above."""
    return [item.ink for item in sorted(items, key=layer)]


__all__ = ["Chapter", "SheetPages", "sheets_pdf"]
