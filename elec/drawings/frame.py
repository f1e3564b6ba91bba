"""The frame, zones and title block of a sheet, which are no part of the drawing.

The fields of the title block follow ISO 7200 (180 mm wide; from memory). The field for approval
stays empty and reads "checked by": the program approves nothing.
"""

from functools import lru_cache

from elec.cautions import SHORT
from elec.drawings import metrics
from elec.drawings.ink import GREY, Box
from elec.drawings.sheet import Item, Sheet, Size, TitleBlock

CREATOR = f"drawn by elec: {SHORT}"


@lru_cache(maxsize=4)
def blank(size: Size) -> tuple[Item, ...]:
    """What all sheets of a size have in common: frame, zones, and the cells of the title block."""
    page = Sheet(size=size, title=TitleBlock())
    _frame(page)
    page.rect(page.block, width_mm=0.5, kind="frame", fill="#ffffff")
    for label, box in _cells(page).items():
        page.rect(box, width_mm=0.25, kind="frame")
        page.text(box[0] + 1.2, box[1] + 2.9, label, colour=GREY, kind="frame")
    _value(page, "creator", CREATOR, 1.8)
    _value(page, "size", size, 2.0)
    return tuple(page.items)


def filled(sheet: Sheet) -> list[Item]:
    """What the title block of a sheet says."""
    page = Sheet(size=sheet.size, title=sheet.title)
    title = sheet.title
    _value(page, "owner", title.owner, 2.0)
    _value(page, "document type", title.document_type, 2.0)
    _value(page, "identification number", title.number, 2.5, bold=True)
    _value(page, "date of issue", title.date, 1.8)
    _value(page, "revision", title.revision, 2.0, bold=True)
    _value(page, "note", title.note or "not to scale", 1.8)
    _value(page, "sheet", _number(title), 2.5, bold=True)
    _title_lines(page, _cells(page)["title"], title.title)
    return page.items


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


def _cells(page: Sheet) -> dict[str, Box]:
    """The cells of the title block by their labels."""
    x0, y0, x1, y1 = page.block
    one, two = y0 + 9.0, y0 + 18.0
    a, b, c, d = x0 + 50.0, x1 - 58.0, x1 - 34.0, x1 - 20.0
    return {
        "owner": (x0, y0, a, one),
        "creator": (x0, one, a, two),
        "checked by": (x0, two, a, y1),
        "document type": (a, y0, b, one),
        "identification number": (b, y0, x1, one),
        "date of issue": (b, one, c, two),
        "revision": (c, one, d, two),
        "size": (d, one, x1, two),
        "note": (b, two, d, y1),
        "sheet": (d, two, x1, y1),
        "title": (a, one, b, y1),
    }


def _value(page: Sheet, cell: str, text: str, capital_mm: float, *, bold: bool = False) -> None:
    left, _, right, bottom = _cells(page)[cell]
    page.text(
        left + 1.2,
        bottom - 1.5,
        text,
        capital_mm=capital_mm,
        bold=bold,
        room_mm=right - left - 2.4,
        kind="frame",
    )


def _number(title: TitleBlock) -> str:
    """The sheet's name, and which it is of how many where the drawing has several."""
    return title.label if title.sheets < 2 else f"{title.label} ({title.sheet}/{title.sheets})"


def _title_lines(page: Sheet, box: Box, title: str) -> None:
    room = box[2] - box[0] - 2.4
    capital = 3.5 if metrics.width_mm(title, 3.5, bold=True) <= room else 2.5
    lines = metrics.wrap(metrics.clean(title), capital, room, bold=True)[:3]
    for i, line in enumerate(reversed(lines)):
        page.text(
            box[0] + 1.2,
            box[3] - 2.0 - i * capital * 1.7,
            line,
            capital_mm=capital,
            bold=True,
            room_mm=room,
            kind="frame",
        )
