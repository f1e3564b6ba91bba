"""Circuits as rows: bus, protective device, wire, switch, load, current, and their own sheet."""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.ink import LINK, Box
from elec.drawings.inputs import CircuitRow, DrawnDevice, OneLine
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import paper, parts
from elec.drawings.sheets.map_detail import FreeRoom, free_room
from elec.drawings.symbols import shape

LEAST_MM = 7.0
"""Least distance of two rows."""
LOAD_ROOM_MM = 68.0
"""The widest that load names are printed before they are made smaller or cut."""
RATING_ROOM_MM = 26.0
POSITION_ROOM_MM = 20.0
WIRE_ROOM_MM = 76.0
SWITCH_ROOM_MM = 54.0
HEADING_MM = 6.2
"""The name of a bus over its rows."""
BASE_MM = 2.2
"""From the line on which that name stands to its first row's texts."""
FOOT_MM = 1.0
"""Under the last row of a bus."""


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
    free: dict[str, Box]
    """Sheet → the largest room that its columns leave."""


def _widest(texts: Iterable[str], least: float, most: float) -> float:
    return min(most, max([least, *(parts.width(t) for t in texts)]))


def columns(right_mm: float, branches: Sequence[CircuitRow]) -> RowColumns:
    """Columns that end at a right edge."""
    branches = [*branches, *(tap for one in branches for tap in one.taps)]
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


def least_mm(branches: Sequence[CircuitRow]) -> float:
    """The least width of a row from its bar to the right edge."""
    if not branches:
        return 0.0
    right = columns(0.0, branches)
    over = max(_over_mm(branch) for branch in branches)
    under = max(_under_mm(branch) for branch in branches)
    return TEXT_MM + max(over, under) + 6.0 - right.terminal_mm


TEXT_MM = 12.0
"""From the bar to the texts on a row."""
NOTES_MM = (140.0, 110.0, 95.0, 85.0, 80.0, 75.0, 60.0, 50.0, 44.0, 42.0, 40.0, 38.0)
"""Widths of the notes that are tried in what a diagram leaves free."""
CLEAR_MM = 1.5
"""Around notes within a diagram."""
TAP_MM = 13.0
"""Room behind the last switch of a row for the fuse of what leaves there."""
BEHIND = "behind it"
"""Before the mark of a wire of which the text stands before its device."""
TAP_ROW_MM = 5.0
TAP_FOOT_MM = 1.9
"""Under the line of such a wire."""


def extent_mm(branch: CircuitRow) -> tuple[float, float]:
    """What a row takes over and under its line: its texts and its symbols."""
    over = max(
        metrics.above_mm(t, parts.SMALL_MM)
        for t in (_rating(branch), _position(branch), _wire(branch), "1")
    )
    devices, named = _devices(branch), _names(branch)
    under = _under(branch) + 0.4 if named else 1.6
    up = max([parts.OVER_LINE_MM + over, *(shape(d.kind).above_mm for d in devices)]) + 0.3
    down = under + max((metrics.below_mm(t, parts.SMALL_MM) for t in named), default=0.0)
    down = max([down, *(shape(d.kind).below_mm + 0.4 for d in devices)])
    return up, max(down, LEAST_MM - up) + _taps_mm(branch)


def _under(branch: CircuitRow) -> float:
    """From the line to the base of the names under it, clear of the switch's own ink."""
    low = max((shape(s.kind).below_mm + 0.4 for s in branch.switches), default=0.0)
    high = max((metrics.above_mm(t, parts.SMALL_MM) for t in _names(branch)), default=0.0)
    return max(parts.OVER_LINE_MM, low) + high


def _over_mm(branch: CircuitRow) -> float:
    """Rating and wire, which stand over the line; the texts of what leaves behind its switch."""
    wire = min(parts.width(_wire(branch)), WIRE_ROOM_MM)
    taps = (parts.width(t) + TAP_MM + 2.0 for one in branch.taps for t in _tap(one))
    return max(_rating_mm(branch) + wire + _switches_mm(branch), *taps, 0.0)


def _under_mm(branch: CircuitRow) -> float:
    """The names of the device and of the switch, which stand under the line."""
    named = _named_mm(branch) + 4.0 if branch.switches else 0.0
    label = parts.width(_label(branch))
    first = min(label, RATING_ROOM_MM + WIRE_ROOM_MM) + 4.0 if label else 0.0
    return first + named if named and first > 4.0 else max(first, named)


def _rating_mm(branch: CircuitRow) -> float:
    """Rating and position of the device, with what keeps the wire from them."""
    found = max(10.0, min(parts.width(_rating(branch), bold=True), RATING_ROOM_MM) + 4.0)
    place = min(parts.width(_position(branch)), POSITION_ROOM_MM)
    return found + (place + 4.0 if place else 0.0)


def _devices(branch: CircuitRow) -> list[DrawnDevice]:
    return [*((branch.device,) if branch.device else ()), *branch.switches]


def _label_mm(switch: DrawnDevice) -> float:
    return min(parts.width(switch.label), SWITCH_ROOM_MM)


def _pitch_mm(switch: DrawnDevice) -> float:
    """From the right edge of a switch to that of the one before it."""
    return max(shape(switch.kind).length_mm + 3.0, _label_mm(switch) + 2.0)


def _switches_mm(branch: CircuitRow) -> float:
    """What the switches of a row take of its line."""
    if not branch.switches:
        return 0.0
    first, *others = branch.switches
    taps = TAP_MM if branch.taps else 0.0
    return shape(first.kind).length_mm + 5.0 + sum(map(_pitch_mm, others)) + taps


def _named_mm(branch: CircuitRow) -> float:
    """What the names of the switches take under the line."""
    if not branch.switches:
        return 0.0
    first, *others = branch.switches
    taps = TAP_MM if branch.taps else 0.0
    return _label_mm(first) + sum(map(_pitch_mm, others)) + taps


def _rating(branch: CircuitRow) -> str:
    return branch.device.rating if branch.device else branch.bare


def _names(branch: CircuitRow) -> list[str]:
    """What stands under the line."""
    texts = (_label(branch), *(switch.label for switch in branch.switches))
    return [metrics.clean(text) for text in texts if text]


def _label(branch: CircuitRow) -> str:
    """What stands under the line where it begins."""
    return parts.join(branch.device.label if branch.device else "", branch.stub)


def _tap(tap: CircuitRow) -> list[str]:
    """What is said of a wire that leaves behind the last switch of a row, line by line.

    All of it stands left of the fuse: what lies behind that says so.
    """
    label = tap.device.label if tap.device else ""
    first = parts.join(label, _rating(tap), tap.stub)
    if tap.device is None:
        return [parts.join(first, _wire(tap))]
    return [first, f"{BEHIND} {_wire(tap)}"]


def _taps_mm(branch: CircuitRow) -> float:
    """What the wires that leave behind the last switch take under it."""
    return TAP_ROW_MM * sum(len(_tap(tap)) for tap in branch.taps)


def _position(branch: CircuitRow) -> str:
    return branch.device.position if branch.device else ""


def _wire(branch: CircuitRow) -> str:
    return parts.join(branch.mark, branch.gauge, branch.length)


def head(sheet: Sheet, at: RowColumns, y: float) -> None:
    """The heads of the columns."""
    sheet.text(at.load_mm, y, "load", bold=True, ref="head")
    sheet.text(at.amps_mm, y, "amps", bold=True, align="right", ref="head")
    sheet.text(at.sheet_mm, y, "sheet", bold=True, align="right", ref="head")


def draw(sheet: Sheet, branch: CircuitRow, bar_x: float, y: float, at: RowColumns) -> None:
    """One circuit as a row: rating and wire over the line, names under it."""
    x = bar_x + 4.0
    at_x, thick = bar_x, parts.line_mm(branch.gauge)
    if branch.device:
        sheet.line(((bar_x, y), (x, y)), width_mm=thick, ref=branch.id)
        at_x = sheet.symbol(branch.device.kind, (x, y), ref=branch.id, net=branch.id)
    text_x = bar_x + TEXT_MM
    over, under = y - parts.OVER_LINE_MM, y + _under(branch)
    sheet.text(text_x, over, _rating(branch), bold=True, room_mm=RATING_ROOM_MM, ref=branch.id)
    start = at.terminal_mm - _switches_mm(branch) + 2.0
    if _label(branch):
        room = min(RATING_ROOM_MM + WIRE_ROOM_MM, at.terminal_mm - _named_mm(branch) - 4.0 - text_x)
        sheet.text(text_x, under, _label(branch), room_mm=room, ref=branch.id)
    wire_x = text_x + _rating_mm(branch)
    place = min(parts.width(_position(branch)), POSITION_ROOM_MM)
    sheet.text(
        wire_x - 4.0 - place, over, _position(branch), room_mm=POSITION_ROOM_MM, ref=branch.id
    )
    room = min(WIRE_ROOM_MM, (start if branch.switches else at.terminal_mm) - 2.0 - wire_x)
    sheet.text(wire_x, over, _wire(branch), room_mm=room, ref=branch.id)
    right = at.terminal_mm - 2.0 - sum(map(_pitch_mm, branch.switches[1:]))
    right -= TAP_MM if branch.taps else 0.0
    for k, switch in enumerate(branch.switches):
        right += _pitch_mm(switch) if k else 0.0
        start = right - 1.0 - shape(switch.kind).length_mm
        sheet.line(((at_x, y), (start, y)), width_mm=thick, ref=branch.id)
        sheet.text(right, under, switch.label, align="right", room_mm=SWITCH_ROOM_MM, ref=branch.id)
        at_x = sheet.symbol(switch.kind, (start, y), ref=branch.id, net=branch.id)
    sheet.line(((at_x, y), (at.terminal_mm, y)), width_mm=thick, ref=branch.id)
    sheet.symbol("terminal", (at.terminal_mm, y), ref=branch.id, net=branch.id)
    _texts(sheet, branch, y, at)
    _draw_taps(sheet, branch, y, at)


def _draw_taps(sheet: Sheet, branch: CircuitRow, y: float, at: RowColumns) -> None:
    """What leaves between the last switch and the load: down from there, each to its own fuse."""
    if not branch.taps:
        return
    _, down = extent_mm(branch)
    x, level = at.terminal_mm - TAP_MM, y + down - _taps_mm(branch)
    sheet.dot((x, y), net=branch.id, ref=branch.id)
    over = y
    for tap in branch.taps:
        level += TAP_ROW_MM
        base, thick = level - TAP_FOOT_MM, parts.line_mm(tap.gauge)
        sheet.line(((x, over), (x, base)), width_mm=thick, ref=tap.id, net=branch.id)
        for k, text in enumerate(_tap(tap)):
            below = base + TAP_ROW_MM * k
            sheet.text(x - 2.0, below, text, middle=True, align="right", ref=tap.id)
        level += TAP_ROW_MM * (len(_tap(tap)) - 1)
        at_x, over = x, base
        if tap.device:
            sheet.line(((x, base), (x + 2.0, base)), width_mm=thick, ref=tap.id, net=branch.id)
            at_x = sheet.symbol(tap.device.kind, (x + 2.0, base), ref=tap.id, net=tap.id)
        sheet.line(((at_x, base), (at.terminal_mm, base)), width_mm=thick, ref=tap.id)
        sheet.symbol("terminal", (at.terminal_mm, base), ref=tap.id, net=tap.id)
        _texts(sheet, tap, base, at)


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
    least = min((_height(rows) for rows in branches.values()), default=0.0)
    some = _room(last, free_y) if _room(last, free_y) >= least else 0.0
    filled = _pack(branches, [some] * count if some else [], _room(last, top))
    result = Lists(sheets=[], where={}, free={})
    for i in range(0, len(filled), count):
        own = i > 0 or not some
        number = last.title.sheet + len(result.sheets) + (1 if not some else 0)
        sheet = _sheet(record, number) if own else last
        ends = [top if own else free_y] * count
        for k, chunks in enumerate(filled[i : i + count]):
            if chunks:
                ends[k] = _draw_column(sheet, record, chunks, feeds, (k, count, ends[k]))
            for bar, _, _ in chunks:
                result.where[bar] = (result.where.get(bar, (number, number))[0], number)
        emptiest = min(range(count), key=lambda k: ends[k])
        x0, x1 = _column(sheet, emptiest, count)
        result.free[sheet.title.label] = (x0, ends[emptiest] + 3.0, x1, sheet.block[1] - 1.0)
        result.sheets.append(sheet)
    if some:
        result.sheets.pop(0)
    for sheet in result.sheets:
        strip(sheet, notes(sheet, record), result.free[sheet.title.label])
    return result


def _column(sheet: Sheet, k: int, count: int) -> tuple[float, float]:
    """Left and right edge of a column, of so many."""
    x0, _, x1, _ = sheet.frame
    wide = (x1 - x0) / count
    return x0 + wide * k + 4.0, x0 + wide * (k + 1) - 3.0


def _sheet(record: OneLine, number: int) -> Sheet:
    title = replace(
        record.title,
        sheet=number,
        title="Power distribution: circuits by bus",
        document_type="one-line diagram",
    )
    about = "The circuits of each bus, one row each."
    return paper.page(record.size, title, about)


def _column_count(sheet: Sheet, branches: Sequence[CircuitRow]) -> int:
    x0, _, x1, _ = sheet.frame
    return max(1, min(2, int((x1 - x0) // (least_mm(branches) + 9.0))))


def _room(sheet: Sheet, top: float) -> float:
    """Height for circuits between a y and the title block, less the heads of the columns."""
    return sheet.block[1] - 1.5 - top - 5.0


def _height(rows: Sequence[CircuitRow]) -> float:
    return HEADING_MM + sum(sum(extent_mm(row)) for row in rows) + FOOT_MM


def _fitting(rows: Sequence[CircuitRow], room: float) -> int:
    """How many rows under their heading have room, at least one."""
    return max(1, next((n for n in range(len(rows)) if _height(rows[: n + 1]) > room), len(rows)))


def _pack(
    branches: Mapping[str, list[CircuitRow]], first: Sequence[float], capacity: float
) -> list[list[_Chunk]]:
    """Circuits into columns, the first of their own heights.

    The longest bus first, each into the first column that has room for all of it; only one that
    is longer than a column is parted.
    """
    filled: list[list[_Chunk]] = [[] for _ in first]
    free = list(first)
    order = {bar: i for i, bar in enumerate(branches)}
    for bar in sorted(branches, key=lambda b: -len(branches[b])):
        todo, going_on = list(branches[bar]), False
        while todo:
            whole = _height(todo)
            place = next((i for i, room in enumerate(free) if whole <= room), None)
            part = todo
            if place is None:
                place, room = len(free), capacity
                filled.append([])
                free.append(capacity)
                part = todo[: _fitting(todo, room)]
            filled[place].append((bar, part, going_on))
            free[place] -= _height(part)
            todo, going_on = todo[len(part) :], True
    return [sorted(chunks, key=lambda c: order[c[0]]) for chunks in filled]


def _draw_column(
    sheet: Sheet,
    record: OneLine,
    chunks: Sequence[_Chunk],
    feeds: Mapping[str, str],
    place: tuple[int, int, float],
) -> float:
    """One column: which of how many, and the y it begins at; gives the y where it ends."""
    left, right = _column(sheet, place[0], place[1])
    at = columns(right, record.branches)
    y = place[2] + 2.0
    head(sheet, at, y)
    y += 3.0
    studs = {b.id for b in record.bars if b.kind == "stud"}
    labels = {b.id: b.label for b in record.bars} | {s.id: s.label for s in record.sources}
    for bar, rows, going_on in chunks:
        y += HEADING_MM
        label = labels[bar] + (" (continued)" if going_on else "")
        room = at.sheet_mm - left
        base = y - BASE_MM
        capital, thick = (parts.SMALL_MM, 0.9) if bar in studs else (parts.HEAD_MM, 1.6)
        title = sheet.text(left, base, label, capital_mm=capital, bold=True, room_mm=room, ref=bar)
        fed = f"fed from {feeds.get(bar, '')}"
        if feeds.get(bar) and parts.width(fed) <= room - title - 6.0:
            sheet.text(left + title + 4.0, base, fed, ref=bar)
        x, first = left + 1.5, y + extent_mm(rows[0])[0]
        for branch in rows:
            up, down = extent_mm(branch)
            y += up
            draw(sheet, branch, x, y, at)
            last = y
            y += down
        ends = ((x, first - 2.8), (x, last + 2.8))
        sheet.line(ends, width_mm=thick, kind="bar", ref=bar, net=bar)
        y += FOOT_MM
    return y


def notes(sheet: Sheet, record: OneLine) -> tuple[str, ...]:
    """The notes of a sheet: the record's, and which branches carry less than their row says."""
    rows = {item.ref for item in sheet.items if item.kind == "symbol"}
    less = [one for branch in record.branches if branch.id in rows for one in branch.less]
    if not less or not record.notes:
        return record.notes
    first, *others = record.notes  # that of marks and branches
    return (f"{first} {BRANCH} {', '.join(less)}.", *others)


BRANCH = "Behind a joint:"
"""Before the branches that carry less than the row of their circuit says."""


def strip(
    sheet: Sheet, notes: Sequence[str], free: Box | None = None, *, further: Sequence[str] = ()
) -> None:
    """Symbols and notes beside the title block; the notes in what is `free` if only there is room.

    Else where the drawing has nothing, in two or three parts if need be. Where there is
    no such room, the symbols alone: the notes stand on another sheet, or on that of symbols.
    """
    left, above, right, below = paper.strip(sheet)
    used = parts.used_symbols(sheet)
    end = parts.draw_legend(sheet, used, (left, above, right + 1.0, below))
    every = (*further, *notes)
    if not every:
        return
    if parts.notes_mm(every, right - end - 5.0) <= below - above:
        parts.draw_notes(sheet, every, (end + 5.0, above, right, below))
        return
    if free is not None:
        x0, y0, x1, y1 = free
        high = parts.notes_mm(every, x1 - x0)
        if y1 - y0 > high:
            parts.draw_notes(sheet, every, (x0, y1 - high, x1, y1))
            return
    clear = _clear(sheet)
    if _spotted(sheet, clear, every, "Notes"):
        return
    room = (end + 5.0, above, right, below)
    fits = (k for k in range(1, len(every))
            if parts.notes_mm(every[k:], room[2] - room[0]) <= room[3] - room[1])  # fmt: skip
    at = next(fits, len(every))
    if _in_parts(sheet, clear, every[:at], "Notes") and every[at:]:
        parts.draw_notes(sheet, every[at:], room, heading=GO_ON)


def _in_parts(sheet: Sheet, clear: FreeRoom, every: Sequence[str], heading: str) -> bool:
    """Notes in one or two places where the diagram has nothing."""
    if _spotted(sheet, clear, every, heading):
        return True
    before = len(sheet.items)
    for k in range(len(every) - 1, 0, -1):
        if _spotted(sheet, clear, every[:k], heading):
            if _spotted(sheet, _clear(sheet), every[k:], GO_ON):
                return True
            del sheet.items[before:]
    return False


GO_ON = "Notes, continued"


def _clear(sheet: Sheet) -> FreeRoom:
    """Where a sheet has nothing so far."""
    x0, y0, x1, _ = sheet.frame
    return free_room(sheet, (x0 + 1.0, y0 + 1.0, x1 - 1.0, sheet.block[1] - 1.0))


def _spotted(sheet: Sheet, clear: FreeRoom, notes: Sequence[str], heading: str) -> bool:
    """Notes where the diagram has nothing; False where that is nowhere so large."""
    for wide in NOTES_MM:
        high = parts.notes_mm(notes, wide) + parts.SMALL_MM
        spot = clear.box((wide + 2 * CLEAR_MM, high + 2 * CLEAR_MM))
        if spot is not None:
            at = (spot[0] + CLEAR_MM, spot[1] + CLEAR_MM)
            box = (*at, at[0] + wide, at[1] + high)
            parts.draw_notes(sheet, notes, box, heading=heading)
            return True
    return False
