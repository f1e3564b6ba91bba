"""Circuits as rows: bus, protective device, wire, switch, load, current, and their own sheet."""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings.ink import LINK
from elec.drawings.inputs import CircuitRow, OneLine
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import paper, parts
from elec.drawings.symbols import shape

PITCH_MM = 7.2
LOAD_ROOM_MM = 62.0
"""The widest that load names are printed before they are made smaller or cut."""
RATING_ROOM_MM = 16.0
WIRE_ROOM_MM = 62.0
SWITCH_ROOM_MM = 34.0
HEADING_MM = 8.0
LEAST_SHARED_MM = 50.0
"""Less than this is not used for circuits under the feeders."""


class RowColumns(Struct, frozen=True, kw_only=True):
    """x of the columns: end of the wire, load name, current and sheet (right aligned)."""

    terminal_mm: float
    load_mm: float
    load_room_mm: float
    amps_mm: float
    sheet_mm: float


class Lists(Struct, frozen=True, kw_only=True):
    """The sheets of circuits, and for each bar the first and last of them."""

    sheets: list[Sheet]
    where: dict[str, tuple[int, int]]


def _widest(texts: Iterable[str], least: float, most: float) -> float:
    return min(most, max([least, *(parts.width(t) for t in texts)]))


def columns(right_mm: float, branches: Sequence[CircuitRow]) -> RowColumns:
    """Columns that end at a right edge."""
    sheet = _widest((b.sheet for b in branches), parts.width("sheet", bold=True), 20.0)
    amps = _widest((b.amps for b in branches), parts.width("amps", bold=True), 24.0)
    load = _widest((b.load for b in branches), 24.0, LOAD_ROOM_MM)
    amps_x = right_mm - sheet - 4.0
    load_x = amps_x - amps - 4.0 - load
    return RowColumns(
        terminal_mm=load_x - 3.0,
        load_mm=load_x,
        load_room_mm=load,
        amps_mm=amps_x,
        sheet_mm=right_mm,
    )


def _column_mm(branches: Sequence[CircuitRow]) -> tuple[float, float, float]:
    """Widths of rating, wire text and switch with its label."""
    rating = _widest((_rating(b) for b in branches), 8.0, RATING_ROOM_MM)
    wire = _widest((_wire(b) for b in branches), 12.0, WIRE_ROOM_MM)
    labels = _widest((b.switch.label for b in branches if b.switch), 0.0, SWITCH_ROOM_MM)
    return rating, wire, labels + 9.0


def least_mm(branches: Sequence[CircuitRow]) -> float:
    """The least width of a row from its bar to the right edge."""
    if not branches:
        return 0.0
    right = columns(0.0, branches)
    return 14.0 + sum(_column_mm(branches)) + 8.0 - right.terminal_mm


def _rating(branch: CircuitRow) -> str:
    return branch.device.rating if branch.device else ""


def _wire(branch: CircuitRow) -> str:
    return parts.join(branch.mark, branch.gauge, branch.length)


def head(sheet: Sheet, at: RowColumns, y: float) -> None:
    """The heads of the columns."""
    sheet.text(at.load_mm, y, "load", bold=True, ref="head")
    sheet.text(at.amps_mm, y, "amps", bold=True, align="right", ref="head")
    sheet.text(at.sheet_mm, y, "sheet", bold=True, align="right", ref="head")


def draw(sheet: Sheet, branch: CircuitRow, bar_x: float, y: float, at: RowColumns) -> None:
    """One circuit as a row."""
    rating, _, _ = _column_mm((branch,))
    x = bar_x + 4.0
    at_x = bar_x
    if branch.device:
        sheet.line(((bar_x, y), (x, y)), width_mm=0.3, ref=branch.id)
        at_x = sheet.symbol(branch.device.kind, (x, y), ref=branch.id, net=branch.id)
    text_x = bar_x + 12.0
    over, under = y - parts.OVER_LINE_MM, y + parts.OVER_LINE_MM + parts.SMALL_MM
    sheet.text(text_x, over, _rating(branch), bold=True, room_mm=RATING_ROOM_MM, ref=branch.id)
    end = at.terminal_mm - 2.0
    start = label_x = 0.0
    if branch.switch:
        start = at.terminal_mm - shape(branch.switch.kind).length_mm - 3.0
        label_x = start - 1.0
        end = label_x - min(parts.width(branch.switch.label), SWITCH_ROOM_MM) - 2.0
    if branch.device:
        room = min(RATING_ROOM_MM + WIRE_ROOM_MM, end - text_x)
        sheet.text(text_x, under, branch.device.label, room_mm=room, ref=branch.id)
    wire_x = text_x + RATING_ROOM_MM + 2.0 if rating > 12.0 else text_x + 14.0
    room = min(WIRE_ROOM_MM, end - wire_x)
    sheet.text(wire_x, over, _wire(branch), room_mm=room, ref=branch.id)
    if branch.switch:
        sheet.line(((at_x, y), (start, y)), width_mm=0.3, ref=branch.id)
        sheet.text(
            label_x, over, branch.switch.label, align="right", room_mm=SWITCH_ROOM_MM, ref=branch.id
        )
        at_x = sheet.symbol(branch.switch.kind, (start, y), ref=branch.id, net=branch.id)
    sheet.line(((at_x, y), (at.terminal_mm, y)), width_mm=0.3, ref=branch.id)
    sheet.symbol("terminal", (at.terminal_mm, y), ref=branch.id, net=branch.id)
    _texts(sheet, branch, y, at)


def _texts(sheet: Sheet, branch: CircuitRow, y: float, at: RowColumns) -> None:
    ref = branch.id
    sheet.text(at.load_mm, y, branch.load, middle=True, room_mm=at.load_room_mm, ref=ref)
    sheet.text(at.amps_mm, y, branch.amps, middle=True, align="right", room_mm=24.0, ref=ref)
    sheet.text(
        at.sheet_mm,
        y,
        branch.sheet,
        middle=True,
        align="right",
        room_mm=20.0,
        ref=ref,
        colour=LINK if branch.link else "#000000",
        link=branch.link,
    )


# --- sheets of circuits -----------------------------------------------------------------------

_Chunk = tuple[str, list[CircuitRow], bool]
"""A bar, some of its circuits, and whether they go on from an earlier column."""


def sheets(
    record: OneLine,
    branches: Mapping[str, list[CircuitRow]],
    feeds: Mapping[str, str],
    shared: tuple[Sheet, float],
) -> Lists:
    """The circuits bus by bus in columns.

    First under `shared`, a sheet and the y from which it is free, then on sheets of their own.
    """
    last, free_y = shared
    count = _column_count(last, record.branches)
    top = last.frame[1] + 3.0
    some = _room(last, free_y) if _room(last, free_y) >= LEAST_SHARED_MM else 0.0
    filled = _pack(branches, [some] * count if some else [], _room(last, top))
    result = Lists(sheets=[], where={})
    for i in range(0, len(filled), count):
        own = i > 0 or not some
        number = last.title.sheet + len(result.sheets) + (1 if not some else 0)
        sheet = _sheet(record, number) if own else last
        for k, chunks in enumerate(filled[i : i + count]):
            if chunks:
                _draw_column(sheet, record, chunks, feeds, (k, count, top if own else free_y))
            for bar, _, _ in chunks:
                result.where[bar] = (result.where.get(bar, (number, number))[0], number)
        result.sheets.append(sheet)
    if some:
        result.sheets.pop(0)
    for sheet in result.sheets:
        strip(sheet, record)
    return result


def _sheet(record: OneLine, number: int) -> Sheet:
    title = replace(
        record.title, sheet=number, title="Circuits by bus", document_type="one-line diagram"
    )
    about = "The circuits of each bus, one row each."
    return paper.page(record.size, title, about)


def _column_count(sheet: Sheet, branches: Sequence[CircuitRow]) -> int:
    x0, _, x1, _ = sheet.frame
    return max(1, min(2, int((x1 - x0) // (least_mm(branches) + 9.0))))


def _room(sheet: Sheet, top: float) -> float:
    """Height for circuits between a y and the title block, less the heads of the columns."""
    return sheet.block[1] - 3.0 - top - 5.0


def _height(rows: int) -> float:
    return HEADING_MM + rows * PITCH_MM + 3.0


def _pack(
    branches: Mapping[str, list[CircuitRow]], first: Sequence[float], capacity: float
) -> list[list[_Chunk]]:
    """Circuits into columns, the first of their own heights; a bus stays whole if it can."""
    filled: list[list[_Chunk]] = [[]]
    used = 0.0

    def room() -> float:
        return first[len(filled) - 1] if len(filled) <= len(first) else capacity

    for bar, rows in branches.items():
        todo, going_on = list(rows), False
        while todo:
            free = int((room() - used - HEADING_MM - 3.0) // PITCH_MM)
            whole = len(todo) <= free
            could = _height(len(todo)) <= capacity and len(filled) > len(first)
            if not whole and (free < 4 or (filled[-1] and could)):
                filled.append([])
                used = 0.0
                continue
            part, todo = todo[:free], todo[free:]
            filled[-1].append((bar, part, going_on))
            used += _height(len(part))
            going_on = True
    return filled


def _draw_column(
    sheet: Sheet,
    record: OneLine,
    chunks: Sequence[_Chunk],
    feeds: Mapping[str, str],
    place: tuple[int, int, float],
) -> None:
    """One column: which of how many, and the y it begins at."""
    x0, _, x1, _ = sheet.frame
    wide = (x1 - x0) / place[1]
    left, right = x0 + wide * place[0] + 4.0, x0 + wide * (place[0] + 1) - 3.0
    at = columns(right, record.branches)
    y = place[2] + 2.0
    head(sheet, at, y)
    y += 3.0
    labels = {b.id: b.label for b in record.bars} | {s.id: s.label for s in record.sources}
    for bar, rows, going_on in chunks:
        y += HEADING_MM
        label = labels[bar] + (" (continued)" if going_on else "")
        room = at.load_mm - left - 4.0
        title = sheet.text(
            left, y - 4.6, label, capital_mm=parts.HEAD_MM, bold=True, room_mm=room, ref=bar
        )
        if feeds.get(bar) and room - title > 40.0:
            fed = f"fed from {feeds[bar]}"
            sheet.text(left + title + 4.0, y - 4.6, fed, room_mm=room - title - 6.0, ref=bar)
        bottom = y + (len(rows) - 1) * PITCH_MM
        x = left + 1.5
        sheet.line(((x, y - 2.8), (x, bottom + 2.8)), width_mm=1.6, kind="bar", ref=bar, net=bar)
        for i, branch in enumerate(rows):
            draw(sheet, branch, x, y + i * PITCH_MM, at)
        y = bottom + PITCH_MM - 4.2 + 3.0


def strip(sheet: Sheet, record: OneLine, free_y: float | None = None) -> None:
    """Legend and notes beside the title block; the notes over it where only there is room.

    The sheet is empty from `free_y` on, if that is given.
    """
    left, above, right, below = paper.strip(sheet)
    top = sheet.block[1]
    used = parts.used_symbols(sheet)
    end = parts.draw_legend(sheet, used, (left, above, right + 1.0, below))
    if record.notes and right - end > 57.0:
        parts.draw_notes(sheet, record.notes, (end + 5.0, above, right, below))
    elif record.notes and free_y is not None and top - free_y > 9.0 + 3.2 * 2 * len(record.notes):
        height = 9.0 + 3.2 * 2 * len(record.notes)
        parts.draw_notes(
            sheet, record.notes, (left + 2.0, top - height, sheet.frame[2] - 5.0, top - 2.0)
        )
