"""Drawing sheets as pages of their own size, with bookmarks and working cross references."""

import io
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any

from elec.drawings import metrics
from elec.drawings.frame import furniture
from elec.drawings.sheet import (
    BLACK,
    Circle,
    Item,
    Lettering,
    Path,
    Placed,
    Sheet,
    Size,
    TitleBlock,
)
from elec.drawings.svg import extent, identifier, layer, symbol_svg
from elec.record import dataclass
from elec.write.pdf.ink import draw_fragment
from elec.write.pdf.paper import MM, colour, finished, font, new_canvas

_SYMBOL_STYLE = {
    "fill": "none",
    "stroke": BLACK,
    "stroke-width": "0.35",
    "stroke-linecap": "round",
    "stroke-linejoin": "round",
}
Targets = Mapping[str, tuple[float, float] | None]
"""Name that a link may lead to → the spot on its page, or None for the whole page."""


@dataclass(frozen=True, kw_only=True)
class Chapter:
    """Sheets that belong together; `parts` are the drawings, each with its own bookmark."""

    title: str
    parts: tuple[tuple[str, tuple[Sheet, ...]], ...]


def sheets_pdf(title: str, chapters: Sequence[Chapter], *, author: str = "") -> bytes:
    """Sheets as one PDF: a page a sheet, bookmarks a drawing, links from sheet to sheet."""
    held = io.BytesIO()
    canvas = new_canvas(held, title, author=author)
    everything = [sheet for chapter in chapters for _, part in chapter.parts for sheet in part]
    targets = targets_of(everything)
    pages = SheetPages(canvas, targets)
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


def targets_of(sheets: Iterable[Sheet]) -> Targets:
    """Every place that a link of these sheets leads to."""
    kept = list(sheets)
    wanted = {i.ink.link for s in kept for i in s.items if isinstance(i.ink, Lettering)}
    found: dict[str, tuple[float, float] | None] = {sheet.id: None for sheet in kept}
    for sheet in kept:
        for item in sheet.items:
            if item.ref and (name := identifier(sheet, item.ref)) in wanted:
                found.setdefault(name, (item.box[0], item.box[1]))
    return found


class SheetPages:
    """Draws sheets onto the pages of one PDF; symbols and frames are kept there once."""

    def __init__(self, canvas: Any, targets: Targets) -> None:
        """Begin with nothing drawn."""
        self.canvas = canvas
        self.targets = targets
        self._symbols: set[str] = set()
        self._frames: dict[Size, frozenset[Item]] = {}

    def draw(self, sheet: Sheet) -> None:
        """Draw one sheet on the page that is open and make that page as large as the sheet."""
        usual = self._frame(sheet)
        for name in sorted({i.ink.name for i in sheet.items if isinstance(i.ink, Placed)}):
            self._symbol(name)
        canvas = self.canvas
        canvas.setPageSize((sheet.width_mm * MM, sheet.height_mm * MM))
        canvas.bookmarkPage(sheet.id, fit="Fit")
        self._marks(sheet)
        canvas.doForm(f"frame-{sheet.size}")
        pen = Pen(canvas, sheet.height_mm)
        pen.items([item for item in furniture(sheet) if item not in usual])
        pen.items(sheet.items)
        self._links(sheet)

    def _marks(self, sheet: Sheet) -> None:
        """Name the spots of this sheet that links lead to."""
        start = f"{sheet.id}-"
        for name, spot in self.targets.items():
            if spot is not None and name.startswith(start):
                left, top = spot[0] * MM, (sheet.height_mm - spot[1]) * MM
                self.canvas.bookmarkPage(name, fit="XYZ", left=left, top=top + 10 * MM, zoom=0)

    def _links(self, sheet: Sheet) -> None:
        for item in sheet.items:
            if isinstance(item.ink, Lettering) and item.ink.link in self.targets:
                x0, y0, x1, y1 = item.box
                high = sheet.height_mm
                rect = (x0 * MM, (high - y1) * MM, x1 * MM, (high - y0) * MM)
                self.canvas.linkAbsolute("", item.ink.link, rect, thickness=0)

    def _frame(self, sheet: Sheet) -> frozenset[Item]:
        """What all sheets of a size have in common, kept once."""
        if sheet.size not in self._frames:
            empty = Sheet(size=sheet.size, title=TitleBlock(sheet=0))
            other = Sheet(size=sheet.size, title=TitleBlock(sheet=1, code="A", note="another"))
            shared = set(furniture(other))
            items = [item for item in furniture(empty) if item in shared]
            name = f"frame-{sheet.size}"
            self.canvas.beginForm(name, 0, 0, sheet.width_mm * MM, sheet.height_mm * MM)
            Pen(self.canvas, sheet.height_mm).items(items)
            self.canvas.endForm()
            self._frames[sheet.size] = frozenset(items)
        return self._frames[sheet.size]

    def _symbol(self, name: str) -> None:
        if name in self._symbols:
            return
        x0, y0, x1, y1 = extent(name)
        self.canvas.beginForm(f"symbol-{name}", x0 - 1, -y1 - 1, x1 + 1, -y0 + 1)
        draw_fragment(self.canvas, symbol_svg(name), _SYMBOL_STYLE)
        self.canvas.endForm()
        self._symbols.add(name)


class Pen:
    """Draws items; it changes colour, width and dash only where they change."""

    def __init__(self, canvas: Any, height_mm: float) -> None:
        """Begin with nothing set."""
        self.canvas = canvas
        self.height_mm = height_mm
        self._set: dict[str, Any] = {}

    def items(self, items: Iterable[Item]) -> None:
        """Draw items, lines below and texts above."""
        for style, run in groupby(sorted(items, key=layer), key=_kind):
            if style == "text":
                self._texts([item.ink for item in run if isinstance(item.ink, Lettering)])
            elif style == "one":
                for item in run:
                    self._ink(item.ink)
            else:
                self._lines([item.ink for item in run if isinstance(item.ink, Path)])

    def _x(self, x_mm: float) -> float:
        return x_mm * MM

    def _y(self, y_mm: float) -> float:
        return (self.height_mm - y_mm) * MM

    def _ink(self, ink: Path | Circle | Lettering | Placed) -> None:
        if isinstance(ink, Path):
            self._area(ink)
        elif isinstance(ink, Circle):
            self._paint(ink.fill)
            self._stroke(ink.width_mm, ink.colour, ink.dash)
            x, y = ink.centre
            filled = int(ink.fill is not None)
            self.canvas.circle(self._x(x), self._y(y), ink.radius_mm * MM, stroke=1, fill=filled)
        elif isinstance(ink, Placed):
            self.canvas.saveState()
            self.canvas.translate(self._x(ink.at[0]), self._y(ink.at[1]))
            self.canvas.scale(ink.scale * MM, ink.scale * MM)
            self.canvas.doForm(f"symbol-{ink.name}")
            self.canvas.restoreState()

    def _lines(self, inks: Sequence[Path]) -> None:
        """Lines of one style as one path."""
        self._stroke(inks[0].width_mm, inks[0].colour, inks[0].dash)
        path = self.canvas.beginPath()
        for ink in inks:
            self._along(path, ink)
        self.canvas.drawPath(path, stroke=1, fill=0)

    def _area(self, ink: Path) -> None:
        self._paint(ink.fill)
        self._stroke(ink.width_mm, ink.colour, ink.dash)
        filled = int(ink.fill is not None)
        if ink.corner_mm:
            (x0, y0), (x1, y1) = ink.points[0], ink.points[2]
            place = (self._x(x0), self._y(y1), (x1 - x0) * MM, (y1 - y0) * MM)
            self.canvas.roundRect(*place, ink.corner_mm * MM, stroke=1, fill=filled)
            return
        path = self.canvas.beginPath()
        self._along(path, ink)
        self.canvas.drawPath(path, stroke=1, fill=filled)

    def _along(self, path: Any, ink: Path) -> None:
        for number, (x, y) in enumerate(ink.points):
            (path.lineTo if number else path.moveTo)(self._x(x), self._y(y))
        if ink.closed:
            path.close()

    def _texts(self, inks: Sequence[Lettering]) -> None:
        """Texts as one text object; what it sets is not kept for what follows."""
        out = self.canvas.beginText()
        last: tuple[str, float, str] | None = None
        for ink in inks:
            size = round(metrics.font_size_mm(ink.capital_mm) * MM, 3)
            look = (font(bold=ink.bold), size, ink.colour)
            if look != last:
                out.setFont(look[0], look[1])
                out.setFillColor(colour(look[2]))
                last = look
            wide = metrics.width_em(ink.text, ink.bold) * size
            left = {"left": 0.0, "center": wide / 2, "right": wide}[ink.align]
            out.setTextOrigin(self._x(ink.at[0]) - left, self._y(ink.at[1]))
            out.textOut(ink.text)
        self.canvas.drawText(out)
        self._set.pop("fill", None)

    def _paint(self, fill: str | None) -> None:
        if fill is not None:
            self._once("fill", colour(fill), self.canvas.setFillColor)

    def _stroke(self, width_mm: float, stroke: str, dash: tuple[float, ...]) -> None:
        self._once("width", round(width_mm * MM, 3), self.canvas.setLineWidth)
        self._once("stroke", colour(stroke), self.canvas.setStrokeColor)
        self._once("dash", tuple(round(d * MM, 3) for d in dash), self.canvas.setDash)

    def _once(self, name: str, value: Any, change: Any) -> None:
        if self._set.get(name, () if name == "dash" else None) != value:
            self._set[name] = value
            change(value)


def _kind(item: Item) -> str | tuple[float, str, tuple[float, ...]]:
    """How an item is drawn: with other texts, alone, or with other lines of the same style."""
    ink = item.ink
    if isinstance(ink, Lettering):
        return "text"
    if isinstance(ink, Path) and not ink.corner_mm and not ink.fill:
        return (ink.width_mm, ink.colour, ink.dash)
    return "one"


__all__ = ["Chapter", "SheetPages", "sheets_pdf", "targets_of"]
