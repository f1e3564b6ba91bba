"""The frame, zones and title block of a sheet, which are no part of the drawing.

The fields of the title block are those of ISO 7200 (180 mm wide; from memory), each in words that
need no label. The field for approval stays empty and reads "checked by": the program approves
nothing.
"""

from functools import lru_cache

from elec.cautions import SHORT
from elec.drawings import metrics
from elec.drawings.ink import BLACK, GREY
from elec.drawings.sheet import Item, Sheet, Size, TitleBlock

CREATOR = f"drawn by elec: {SHORT}"
NO_DATE = "no date given"
"""Of the builder's revision: it is never today's."""
ROW_MM = 5.5
PAD_MM = 1.2
LEFT_MM, MIDDLE_MM = 62.0, 128.0
"""Where the columns of the title block end, from its left edge."""
TITLE_ROOM_MM = MIDDLE_MM - LEFT_MM - 2 * PAD_MM
"""Width of a title in its column."""


@lru_cache(maxsize=4)
def blank(size: Size) -> tuple[Item, ...]:
    """What all sheets of a size have in common: frame, zones, and the rules of the title block."""
    page = Sheet(size=size, title=TitleBlock())
    _frame(page)
    page.rect(page.block, width_mm=0.5, kind="frame", fill="#ffffff")
    x0, y0, x1, y1 = page.block
    for x in (x0 + LEFT_MM, x0 + MIDDLE_MM):
        page.line(((x, y0), (x, y1)), width_mm=0.25, kind="frame")
    for row in (2, 3):
        y = y0 + row * ROW_MM
        page.line(((x0 + MIDDLE_MM, y), (x1, y)), width_mm=0.25, kind="frame")
    _cell(page, 1, 3, CREATOR)
    _cell(page, 2, 3, "checked by", colour=GREY)
    return tuple(page.items)


def filled(sheet: Sheet) -> list[Item]:
    """What the title block of a sheet says."""
    page = Sheet(size=sheet.size, title=sheet.title)
    title = sheet.title
    _cell(page, 0, 0, title.number, bold=True)
    _cell(page, 0, 1, title.owner)
    _cell(page, 0, 2, f"{_revision(title)} · {title.date or NO_DATE}")
    _cell(page, 0, 3, f"changed: {title.change or 'not said'}")
    _cell(page, 1, 0, title.document_type)
    _title_lines(page, title.title)
    _cell(page, 2, 0, _name(title), capital_mm=3.5, bold=True, down_mm=2.0)
    _cell(page, 2, 1, _count(title), right=True)
    _cell(page, 2, 2, f"{sheet.size}, {title.note or 'not to scale'}")
    return page.items


def _name(title: TitleBlock) -> str:
    """The name of the sheet; of a circuit or connector by itself the drawing that has it."""
    whole, dash, _ = title.code.partition("-")
    return f"part of {whole}" if dash else f"sheet {title.label}"


def _revision(title: TitleBlock) -> str:
    return f"revision {title.revision or '?'}"


def _count(title: TitleBlock) -> str:
    """Which sheet it is of how many: of this drawing, and of the set where that is drawn."""
    own = f"{title.sheet} of {title.sheets}" if title.sheets > 1 else ""
    in_set = f"{title.place} of {title.total} in all" if title.total else ""
    return " · ".join(text for text in (own, in_set) if text)


def _frame(page: Sheet) -> None:
    x0, y0, x1, y1 = page.frame
    strip = 5.0
    page.rect((x0 - strip, y0 - strip, x1 + strip, y1 + strip), width_mm=0.25, kind="frame")
    page.rect(page.frame, width_mm=0.7, kind="frame")
    for a, b, name in page.columns():
        for near, far in ((y0, y0 - strip), (y1, y1 + strip)):
            if a > x0:
                page.line(((a, near), (a, far)), width_mm=0.35, kind="frame")
            page.text(
                (a + b) / 2, (near + far) / 2, name, align="center", middle=True, kind="frame"
            )
    for a, b, name in page.rows():
        for near, far in ((x0, x0 - strip), (x1, x1 + strip)):
            if a > y0:
                page.line(((near, a), (far, a)), width_mm=0.35, kind="frame")
            page.text(
                (near + far) / 2, (a + b) / 2, name, align="center", middle=True, kind="frame"
            )
    _centring(page)


def _centring(page: Sheet) -> None:
    x0, y0, x1, y1 = page.frame
    mx, my = (x0 + x1) / 2, (y0 + y1) / 2
    for points in (
        ((mx, y0 - 5), (mx, y0)),
        ((mx, y1 + 5), (mx, y1)),
        ((x0 - 5, my), (x0, my)),
        ((x1 + 5, my), (x1, my)),
    ):
        page.line(points, width_mm=0.7, kind="frame", role="centring")


def _cell(
    page: Sheet,
    column: int,
    row: int,
    text: str,
    *,
    capital_mm: float = metrics.SMALLEST_MM,
    bold: bool = False,
    colour: str = BLACK,
    down_mm: float = 0.0,
    right: bool = False,
) -> None:
    """A text in a row of a column of the title block."""
    x0, y0, x1, _ = page.block
    edges = (x0, x0 + LEFT_MM, x0 + MIDDLE_MM, x1)
    left, end = edges[column] + PAD_MM, edges[column + 1] - PAD_MM
    page.text(
        end if right else left,
        y0 + row * ROW_MM + 4.0 + down_mm,
        text,
        capital_mm=capital_mm,
        align="right" if right else "left",
        bold=bold,
        colour=colour,
        room_mm=end - left,
        kind="frame",
    )


def _title_lines(page: Sheet, title: str) -> None:
    """The title in one large line or two small ones."""
    room = TITLE_ROOM_MM
    if metrics.width_mm(title, 3.5, bold=True) <= room:
        _cell(page, 1, 1, title, capital_mm=3.5, bold=True, down_mm=2.8)
        return
    lines = metrics.wrap(metrics.clean(title), metrics.SMALLEST_MM, room, bold=True)
    for row, line in enumerate((lines[0], " ".join(lines[1:])), 1):
        _cell(page, 1, row, line, bold=True)
