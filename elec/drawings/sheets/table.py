"""Tables on a sheet: rules, heads, and texts that fit their columns."""

from collections.abc import Callable, Sequence

from elec.drawings.ink import PALE, Box, Point
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import parts

ROW_MM = 4.4
PAD_MM = 1.4
LEAST_ROWS = 4
"""A table begins on a sheet only where so many rows, or all, have room."""


def column_widths(
    heads: Sequence[str], rows: Sequence[Sequence[str]], room_mm: float
) -> list[float]:
    """Widths that fit the texts; when they are too wide together the widest give way."""
    wide = [
        max([parts.width(head, bold=True), *(parts.width(row[i]) for row in rows)]) + 2 * PAD_MM
        for i, head in enumerate(heads)
    ]
    while sum(wide) > room_mm:
        most = max(wide)
        others = max((w for w in wide if w < most - 0.01), default=0.0)
        count = sum(w >= most - 0.01 for w in wide)
        level = max(others, most - (sum(wide) - room_mm) / count)
        wide = [min(w, level) for w in wide]
        if level <= others and others == 0.0:
            break
    return wide


def filled(
    heads: Sequence[str], rows: Sequence[Sequence[str]], keep: int = 0
) -> tuple[list[str], list[list[str]]]:
    """Heads and rows without the columns that are empty all through, but for the first `keep`."""
    used = [i for i in range(len(heads)) if i < keep or any(row[i] for row in rows)]
    return [heads[i] for i in used], [[row[i] for i in used] for row in rows]


def run_on(
    sheets: list[Sheet],
    y: float,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    refs: Sequence[str],
    area: Callable[[Sheet], Box],
    fresh: Callable[[int], Sheet],
) -> float:
    """A table without its empty columns that goes on on further sheets; gives the y under it.

    Args:
        sheets: the drawing so far; further sheets are put behind.
        y: where the table begins on the last of them.
        heads: of all columns.
        rows: the texts.
        refs: what each row is about.
        area: the part of a sheet that a table may fill.
        fresh: a further sheet, asked for with the count of those that there are.
    """
    heads, body = filled(heads, rows)
    start = 0
    while start < len(body):
        left, _, right, bottom = area(sheets[-1])
        count = rows_that_fit(bottom - y)
        if count < min(LEAST_ROWS, len(body) - start):
            sheets.append(fresh(len(sheets)))
            y = area(sheets[-1])[1]
            continue
        part = slice(start, start + count)
        widths = column_widths(heads, body, right - left)
        y = draw_table(sheets[-1], (left, y), heads, body[part], widths=widths, refs=refs[part])
        start += count
    return y


def usual_area(sheet: Sheet) -> Box:
    """What a table may fill of a sheet: all between the frame and the title block."""
    left, top, right, _ = sheet.frame
    return (left + 5.0, top + 4.0, right - 5.0, sheet.block[1] - 3.0)


def draw_table(
    sheet: Sheet,
    at: Point,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    widths: Sequence[float],
    refs: Sequence[str] = (),
) -> float:
    """A table with its top left corner at a point; gives the y of its lower edge."""
    x, y = at
    right, bottom = x + sum(widths), y + ROW_MM * (len(rows) + 1)
    sheet.rect((x, y, right, y + ROW_MM), width_mm=0.25, kind="rule", fill=PALE)
    sheet.line(((x, y), (x, bottom), (right, bottom), (right, y)), width_mm=0.35, kind="rule")
    for k in range(1, len(rows)):
        level = y + ROW_MM * (k + 1)
        sheet.line(((x, level), (right, level)), width_mm=0.15, kind="rule")
    left = x
    for wide in widths[:-1]:
        left += wide
        sheet.line(((left, y), (left, bottom)), width_mm=0.15, kind="rule")
    for k, row in enumerate((heads, *rows)):
        left = x
        ref = "head" if k == 0 else refs[k - 1] if refs else ""
        for text, wide in zip(row, widths, strict=True):
            _cell(sheet, (left, y + ROW_MM * k), text, wide, bold=k == 0, ref=ref)
            left += wide
    return bottom


def _cell(sheet: Sheet, at: Point, text: str, wide: float, *, bold: bool, ref: str) -> None:
    x, y = at
    room = wide - 2 * PAD_MM + 0.2
    sheet.text(
        x + PAD_MM, y + ROW_MM / 2 - 0.05, text, middle=True, bold=bold, room_mm=room, ref=ref
    )


def rows_that_fit(height_mm: float) -> int:
    """How many rows under the heads fit into a height."""
    return max(0, int(height_mm // ROW_MM) - 1)
