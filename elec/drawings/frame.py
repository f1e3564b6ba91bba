"""The frame, zones and title block of a sheet, which are no part of the drawing.

The fields of the title block follow ISO 7200 (180 mm wide; from memory). The field for approval
stays empty and reads "checked by": the program approves nothing.
"""

from elec.drawings import metrics
from elec.drawings.ink import GREY, Box
from elec.drawings.sheet import Item, Sheet, TitleBlock

CREATOR = "drawn by elec from the system file"


def furniture(sheet: Sheet) -> list[Item]:
    """The frame, the zones and the title block as items; they are not part of the drawing."""
    page = Sheet(size=sheet.size, title=sheet.title)
    _frame(page)
    _title_block(page)
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


def _title_block(page: Sheet) -> None:
    x0, y0, x1, y1 = page.block
    title = page.title
    page.rect(page.block, width_mm=0.5, kind="frame", fill="#ffffff")
    one, two = y0 + 9.0, y0 + 18.0
    a, b, c, d = x0 + 50.0, x1 - 58.0, x1 - 34.0, x1 - 20.0
    cells: tuple[tuple[Box, str, str, float, bool], ...] = (
        ((x0, y0, a, one), "owner", title.owner, 2.0, False),
        ((x0, one, a, two), "creator", CREATOR, 1.8, False),
        ((x0, two, a, y1), "checked by", "", 1.8, False),
        ((a, y0, b, one), "document type", title.document_type, 2.0, False),
        ((b, y0, x1, one), "identification number", title.number, 2.5, True),
        ((b, one, c, two), "date of issue", title.date, 1.8, False),
        ((c, one, d, two), "revision", title.revision, 2.0, True),
        ((d, one, x1, two), "size", page.size, 2.0, False),
        ((b, two, d, y1), "note", title.note or "not to scale", 1.8, False),
        ((d, two, x1, y1), "sheet", _number(title), 2.5, True),
    )
    for box, label, value, capital, bold in cells:
        _cell(page, box, label)
        page.text(
            box[0] + 1.2,
            box[3] - 1.5,
            value,
            capital_mm=capital,
            bold=bold,
            room_mm=box[2] - box[0] - 2.4,
            kind="frame",
        )
    _cell(page, (a, one, b, y1), "title")
    _title_lines(page, (a, one, b, y1), title.title)


def _number(title: TitleBlock) -> str:
    """The sheet's name, and which it is of how many where the drawing has several."""
    return title.label if title.sheets < 2 else f"{title.label} ({title.sheet}/{title.sheets})"


def _cell(page: Sheet, box: Box, label: str) -> None:
    page.rect(box, width_mm=0.25, kind="frame")
    page.text(box[0] + 1.2, box[1] + 2.9, label, colour=GREY, kind="frame")


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
