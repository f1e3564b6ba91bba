"""Tables on a sheet: rules, heads, and texts that wrap within their columns."""

from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.ink import PALE, Box, Lettering, Point
from elec.drawings.sheet import Sheet, Wanted
from elec.drawings.sheets import parts

LINE_MM = parts.LINE_MM
ROW_MM = 5.0
"""Height of a row whose texts take one line."""
CLOSE_MM = 4.5
"""The same of a table for which there is little room."""
PAD_MM = 1.4
LEAST_ROWS = 4
"""A table begins on a sheet only where so many rows, or all, have room."""
GAP_MM = 6.0
"""Between two parts of a table side by side."""


def column_widths(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    room_mm: float,
    no_wider: Mapping[str, float] | None = None,
) -> list[float]:
    """Widths that fit the texts; when they are too wide together the widest give way.

    No column is narrower than its longest word, as long as that is possible. `no_wider` bounds
    columns by their heads, where not all texts fit in one line.
    """
    wide = _whole_texts(heads, rows)
    if sum(wide) <= room_mm:
        return wide
    return _shared((wide, _longest_words(heads, rows)), heads, room_mm, no_wider)


def _whole_texts(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[float]:
    """Widths at which every text takes one line."""
    return [
        max([parts.width(head, bold=True), *(parts.width(row[i]) for row in rows)]) + 2 * PAD_MM
        for i, head in enumerate(heads)
    ]


def _longest_words(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[float]:
    """Widths at which no word is broken."""
    return [_longest_word(head, [row[i] for row in rows]) for i, head in enumerate(heads)]


def _shared(
    asked: tuple[list[float], list[float]],
    heads: Sequence[str],
    room_mm: float,
    no_wider: Mapping[str, float] | None,
) -> list[float]:
    """Widths between those of the longest words and those of whole texts, where these are too wide.

    `asked` are both.
    """
    whole, least = asked
    wide = [
        max(low, min(w, no_wider.get(head, w) if no_wider else w))
        for head, w, low in zip(heads, whole, least, strict=True)
    ]
    fixed = [False] * len(wide)
    while sum(wide) > room_mm + 1e-6 and not all(fixed):
        most = max(w for w, f in zip(wide, fixed, strict=True) if not f)
        at_most = [i for i, w in enumerate(wide) if not fixed[i] and w >= most - 0.01]
        others = [w for i, w in enumerate(wide) if not fixed[i] and i not in at_most]
        level = max([most - (sum(wide) - room_mm) / len(at_most), *others])
        for i in at_most:
            wide[i] = max(level, least[i])
            fixed[i] = wide[i] <= least[i] + 0.01
    over = sum(wide) - room_mm
    if over > 0.01:  # a word as long as the page is cut, and the sheet shows it
        widest = max(range(len(wide)), key=lambda i: wide[i])
        wide[widest] -= over
    return wide


def lowest(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    room_mm: float,
    tried: Sequence[Mapping[str, float]],
) -> Mapping[str, float]:
    """Of several bounds of columns those with which a table is the lowest."""
    wide = _whole_texts(heads, rows)
    if sum(wide) <= room_mm:
        return tried[0]
    asked = wide, _longest_words(heads, rows)
    return min(tried, key=lambda most: height_mm(_shared(asked, heads, room_mm, most), heads, rows))


def _longest_word(head: str, texts: Sequence[str]) -> float:
    found = [parts.width(word, bold=True) for word in head.split()]
    words = {word for text in texts for word in text.split()}
    return max([0.0, *found, *map(parts.width, words)]) + 2 * PAD_MM


def filled(
    heads: Sequence[str], rows: Sequence[Sequence[str]], keep: int = 0
) -> tuple[list[str], list[list[str]]]:
    """Heads and rows without the columns that are empty all through, but for the first `keep`."""
    used = [i for i in range(len(heads)) if i < keep or any(row[i] for row in rows)]
    return [heads[i] for i in used], [[row[i] for i in used] for row in rows]


class TablePart(Struct, frozen=True, kw_only=True):
    """Some rows of a table under its heads, and where they are to stand."""

    sheet: Sheet
    at: Point
    heads: Sequence[str]
    rows: Sequence[Sequence[str]]
    widths: Sequence[float]
    refs: Sequence[str]
    row_high: float = ROW_MM

    def draw(self) -> None:
        """Draw them there."""
        draw_table(
            self.sheet, self.at, self.heads, self.rows, widths=self.widths, refs=self.refs,
            row_high=self.row_high,
        )  # fmt: skip


def drawn(found: tuple[list[TablePart], float]) -> float:
    """Draw what `laid` laid out; gives the y under it."""
    for part in found[0]:
        part.draw()
    return found[1]


def laid(
    sheets: list[Sheet],
    y: float,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    refs: Sequence[str],
    area: Callable[[Sheet], Box],
    fresh: Callable[[int], Sheet],
    beside: int = 1,
    most: Mapping[str, float] | None = None,
    row_high: float = ROW_MM,
    packed: bool = False,
) -> tuple[list[TablePart], float]:
    """Where a table stands without its empty columns, on further sheets too, and the y under it.

    Args:
        sheets: the drawing so far; further sheets are put behind.
        y: where the table begins on the last of them.
        heads: of all columns.
        rows: the texts.
        refs: what each row is about.
        area: the part of a sheet that a table may fill.
        fresh: a further sheet, asked for with the count of those that there are.
        beside: in how many parts side by side it stands.
        most: head of a column → how wide that may be, so that others have more.
        row_high: height of a row of one line.
        packed: whether its parts stand close to each other, so that what is free is in one piece.
    """
    heads, body = filled(heads, rows)
    widths_in: dict[float, list[float]] = {}
    found: list[TablePart] = []
    start = 0
    while start < len(body):
        left, _, right, bottom = area(sheets[-1])
        room = (right - left - GAP_MM * (beside - 1)) / beside
        if room not in widths_in:
            widths_in[room] = column_widths(heads, body, room, most)
        widths = widths_in[room]
        rest = len(body) - start
        count = rows_that_fit(bottom - y, widths, heads, body[start:], row_high)
        whole = y <= area(sheets[-1])[1] + 0.01
        if whole and not count:  # a row higher than a sheet runs out of it, and that shows
            count = 1
        if count < min(LEAST_ROWS, rest) and not whole:
            sheets.append(fresh(len(sheets)))
            y = area(sheets[-1])[1]
            continue
        if beside > 1 and rest <= beside * count:
            room_mm = bottom - y
            even = min(count, max(min(LEAST_ROWS, rest), -(-rest // beside)))
            fit = (room_mm, widths, heads)
            while even < count and not _ends(body[start:], even, beside, fit, row_high=row_high):
                even += 1
            count = even
        bottoms = [y]
        for k in range(beside):
            fits = max(whole, rows_that_fit(bottom - y, widths, heads, body[start:], row_high))
            rows_ = slice(start, start + min(count, fits) if k < beside - 1 else start + fits)
            if not body[rows_]:
                break
            step = (sum(widths) if packed else room) + GAP_MM
            part = TablePart(
                sheet=sheets[-1], at=(left + k * step, y), heads=heads,
                rows=body[rows_], widths=widths, refs=refs[rows_], row_high=row_high,
            )  # fmt: skip
            found.append(part)
            bottoms.append(_under(part))
            start += len(body[rows_])
        y = max(bottoms)
    return found, y


def _under(part: TablePart) -> float:
    """The y of the lower edge of a part."""
    y = part.at[1]
    for k, row in enumerate((part.heads, *part.rows)):
        y += row_mm(row, part.widths, bold=k == 0, row_high=part.row_high)
    return y


def _ends(
    rows: Sequence[Sequence[str]],
    count: int,
    beside: int,
    fits: tuple[float, Sequence[float], Sequence[str]],
    *,
    row_high: float,
) -> bool:
    """Whether the rest behind the first parts of so many rows has room in the last part."""
    rest = rows[count * (beside - 1) :]
    return rows_that_fit(*fits, rest, row_high) == len(rest)


def lead(sheets: Sequence[Sheet], spot: str, targets: Sequence[str]) -> None:
    """Cells that keep room for sheet and zone by a text lead to their targets, in their order."""
    left = list(targets)
    for sheet in sheets:
        kept = []
        for item in sheet.items:
            if item.text != spot or not isinstance(item.ink, Lettering):
                kept.append(item)
                continue
            room = item.box[2] - item.box[0] + 2.0
            want = Wanted(at=item.ink.at, target=left.pop(0), ref=item.ref, room_mm=room)
            sheet.wanted.append(want)
        sheet.items[:] = kept


def usual_area(sheet: Sheet) -> Box:
    """What a table may fill of a sheet: all between the frame and the title block."""
    left, top, right, _ = sheet.frame
    return (left + 5.0, top + 4.0, right - 5.0, sheet.block[1] - 3.0)


def _lines(row: Sequence[str], widths: Sequence[float], *, bold: bool) -> list[tuple[str, ...]]:
    return [
        metrics.wrap(metrics.clean(text), parts.SMALL_MM, wide - 2 * PAD_MM + 0.2, bold=bold)
        for text, wide in zip(row, widths, strict=True)
    ]


def row_mm(
    row: Sequence[str], widths: Sequence[float], *, bold: bool = False, row_high: float = ROW_MM
) -> float:
    """Height of a row."""
    return row_high + LINE_MM * (max([1, *map(len, _lines(row, widths, bold=bold))]) - 1)


def height_mm(
    widths: Sequence[float], heads: Sequence[str], rows: Sequence[Sequence[str]]
) -> float:
    """Height of a whole table."""
    return row_mm(heads, widths, bold=True) + sum(row_mm(row, widths) for row in rows)


def draw_table(
    sheet: Sheet,
    at: Point,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    widths: Sequence[float],
    refs: Sequence[str] = (),
    row_high: float = ROW_MM,
) -> float:
    """A table with its top left corner at a point; gives the y of its lower edge."""
    x, top = at
    right, y = x + sum(widths), top
    for k, row in enumerate((heads, *rows)):
        ref = "head" if k == 0 else refs[k - 1] if refs else ""
        high = row_mm(row, widths, bold=k == 0, row_high=row_high)
        if k == 0:
            box = (x, y, right, y + high)
            sheet.rect(box, width_mm=0.25, kind="rule", fill=PALE)
        elif k > 1:
            sheet.line(((x, y), (right, y)), width_mm=0.15, kind="rule")
        left = x
        cells = _lines(row, widths, bold=k == 0)
        for lines, wide in zip(cells, widths, strict=True):
            for n, line in enumerate(lines):
                level = y + row_high / 2 - 0.05 + LINE_MM * n
                room = wide - 2 * PAD_MM + 0.3
                sheet.text(
                    left + PAD_MM, level, line, middle=True, bold=k == 0, room_mm=room, ref=ref
                )
            left += wide
        y += high
    sheet.line(((x, top), (x, y), (right, y), (right, top)), width_mm=0.35, kind="rule")
    left = x
    for wide in widths[:-1]:
        left += wide
        sheet.line(((left, top), (left, y)), width_mm=0.15, kind="rule")
    return y


def rows_that_fit(
    height_mm: float,
    widths: Sequence[float],
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    row_high: float = ROW_MM,
) -> int:
    """How many rows under the heads fit into a height."""
    left = height_mm - row_mm(heads, widths, bold=True, row_high=row_high)
    for count, row in enumerate(rows):
        left -= row_mm(row, widths, row_high=row_high)
        if left < 0.0:
            return count
    return len(rows)
