"""Grounds: what joins them to the batteries, then each as a box of numbered terminals.

The wires stand at their terminals. Below them stand the wires that end on no connector and in no
circuit.
"""

from collections.abc import Sequence

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.ink import PALE, Point
from elec.drawings.inputs import GroundBox, GroundsDrawing, GroundTerminal, GroundWire
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import Sheet, Wanted
from elec.drawings.sheets import cells, map_detail, parts
from elec.drawings.sheets.circuit import draw_strip
from elec.drawings.sheets.flow import SheetFlow, draw_tiers, limit, new_page
from elec.kept import takes_over

COLUMNS = 3
CELL_MM = 7.0
WIRE_MM = 4.0
PITCH_MM = 4.8
HEAD_MM = parts.LINE_MM + 1.5
LEAST = 3
"""So many terminals stand under a name at least, where a box is parted."""
ROUNDED_MM = 0.01
"""Heights are summed up terminal by terminal and at once."""
SPOT_MM = 16.0
TICKS_MM = 7.0
"""For the boxes of one of several studs: bare metal and torque, as over them."""
MARK_GAP_MM = 3.0
BAR_MM = 1.8
"""From a terminal to the bar that joins what shares a ring on it."""


class _Columns(Struct, kw_only=True):
    """The column being filled."""

    work: SheetFlow
    top: float
    column: int = 0
    y: float = 0.0

    @property
    def sheet(self) -> Sheet:
        """The sheet being filled."""
        return self.work.page().sheet

    @property
    def wide(self) -> float:
        """Width of a column, with the room to the next."""
        x0, _, x1, _ = self.sheet.frame
        return (x1 - x0 - 6.0) / COLUMNS

    @property
    def left(self) -> float:
        """X of the column."""
        return self.sheet.frame[0] + 5.0 + self.wide * self.column

    @property
    def room(self) -> float:
        """Height that is free."""
        return limit(self.sheet) - self.y

    def next(self) -> None:
        """Go on in the next column, or on the next sheet."""
        self.column += 1
        if self.column == COLUMNS:
            new_page(self.work)
            self.column, self.top = 0, self.work.page().y
        self.y = self.top


@takes_over
def grounds(record: GroundsDrawing) -> list[Sheet]:
    """The sheets of all grounds: each whole in one column where that takes no sheet more."""
    found = [
        _drawn(record, whole=whole, ordered=ordered)
        for whole, ordered in ((True, True), (True, False), (False, True))
    ]
    return min(found, key=len)


def _drawn(record: GroundsDrawing, *, whole: bool, ordered: bool) -> list[Sheet]:
    """The sheets; with each ground in one column, and if so in their order or as they fit."""
    work = SheetFlow(
        title=record.title,
        document_type="grounds",
        description=f"{record.title.title}: {', '.join(box.label for box in record.boxes)}.",
        size=record.size,
    )
    new_page(work)
    by_id = dict(enumerate(cells.clipped_rows(record.rows)))
    ranked = layout.order([cells.strip(i, row) for i, row in by_id.items()])
    draw_tiers(work, [by_id[int(str(strip.id))] for strip in ranked])
    told = _told(work.pages[0].sheet, work.pages[0].y, record.notes)
    top = work.page().y + 2.0
    at = _Columns(work=work, top=top, y=top)
    if at.room < HEAD_MM + LEAST * PITCH_MM:
        at.column = COLUMNS - 1
        at.next()
    left = list(record.boxes)
    while left:
        _box(at, left.pop(_next(at, left, whole=whole, ordered=ordered)))
    _others(at, record)
    if not told:
        _notes(at, record)
    for page in work.pages:
        draw_strip(page.sheet, record.cautions[:1])
    return [page.sheet for page in work.pages]


NOTES_MM = (110.0, 95.0, 85.0, 75.0, 65.0)
"""Widths of the notes that are tried beside what joins the grounds."""
CLEAR_MM = 2.0


def _told(sheet: Sheet, bottom: float, notes: Sequence[str]) -> bool:
    """The notes beside what joins the grounds; False where that has no such room."""
    x0, y0, x1, _ = sheet.frame
    room = (x0 + 4.0, y0 + 2.0, x1 - 4.0, bottom)
    if not notes:
        return False
    clear = map_detail.free_room(sheet, room)
    for wide in NOTES_MM:
        high = parts.notes_mm(notes, wide) + parts.SMALL_MM
        spot = clear.box((wide + 2 * CLEAR_MM, high + 2 * CLEAR_MM))
        if spot is not None:
            x, y = spot[0] + CLEAR_MM, spot[1] + CLEAR_MM
            parts.draw_notes(sheet, notes, (x, y, x + wide, y + high))
            return True
    return False


def _next(at: _Columns, left: Sequence[GroundBox], *, whole: bool, ordered: bool) -> int:
    """Which ground stands next, the column being the first that has room for it."""
    while whole:
        asked = left[:1] if ordered else left
        fits = (n for n, box in enumerate(asked) if _box_mm(at, box) <= at.room)
        found = next(fits, None)
        if found is not None:
            return found
        if at.y == at.top and at.top == at.sheet.frame[1] + 3.0:  # higher than any column
            return 0
        at.next()
    return 0


def _box_mm(at: _Columns, box: GroundBox) -> float:
    """Height of a ground in one column."""
    head = parts.LINE_MM * len(_head_lines(at, box, again=False)) + 1.5
    return head + sum(_high(at, terminal) for terminal in box.terminals)


def _head_lines(at: _Columns, box: GroundBox, *, again: bool) -> list[tuple[str, bool]]:
    room = at.wide - 5.0
    name = f"{box.label}, continued" if again else box.label
    lines = [(line, True) for line in metrics.wrap(name, parts.SMALL_MM, room, bold=True)]
    if not again:
        if box.ticks and not _ticked(at, box):
            lines.append((" ".join(f"☐ {what}" for what in box.ticks), False))
        said = metrics.wrap(metrics.clean(box.detail), parts.SMALL_MM, room)
        lines += [(line, False) for line in said]
    return lines


def _ticked(at: _Columns, box: GroundBox) -> str:
    """What is ticked at a ground, each with its box, as it has room behind its name.

    Empty where it has none, and where nothing is ticked.
    """
    room = at.wide - 4.0 - MARK_GAP_MM - parts.width(box.label, bold=True)
    for words in (box.ticks, tuple(what.partition(" ")[0] for what in box.ticks)):
        said = " ".join(f"☐ {what}" for what in words)
        if parts.width(said) <= room:
            return said
    return ""


def _box(at: _Columns, box: GroundBox) -> None:
    """One ground, parted where a column ends."""
    left = list(box.terminals)
    again = False
    while left or not again:
        lines = _head_lines(at, box, again=again)
        head = parts.LINE_MM * len(lines) + 1.5
        need = sum(_high(at, t) for t in left[:LEAST])
        if at.room < head + need and at.y > at.top:
            at.next()
        for k, (line, bold) in enumerate(lines):
            y = at.y + parts.LINE_MM * k + 3.0
            at.sheet.text(at.left, y, line, bold=bold, ref=f"ground:{box.id}")
        if not again and (said := _ticked(at, box)):
            end = (at.left + at.wide - 4.0, at.y + 3.0)
            at.sheet.text(*end, said, align="right", ref=f"ground:{box.id}")
        at.y += head
        while left and at.room + ROUNDED_MM >= _high(at, left[0]):
            _terminal(at, box, left.pop(0))
        at.y += 3.0
        again = True


def _lines(at: _Columns, wire: GroundWire, *, own: bool = False) -> tuple[str, ...]:
    """What is at the other end, in lines beside the mark."""
    mark = parts.width(wire.mark, bold=True)
    spot = (SPOT_MM if wire.target else 0.0) + (TICKS_MM if own else 0.0)
    room = at.wide - 5.0 - CELL_MM - WIRE_MM - 1.0 - mark - 2.8 - spot
    return metrics.wrap(metrics.clean(wire.text), parts.SMALL_MM, room) or ("",)


def _wire_mm(at: _Columns, wire: GroundWire, *, own: bool = False) -> float:
    return PITCH_MM + parts.LINE_MM * (len(_lines(at, wire, own=own)) - 1)


def _high(at: _Columns, terminal: GroundTerminal) -> float:
    return sum(_wire_mm(at, wire, own=terminal.own) for wire in terminal.wires)


def _terminal(at: _Columns, box: GroundBox, terminal: GroundTerminal) -> None:
    """A numbered terminal with its wire, or the shields that share it."""
    sheet, x, high = at.sheet, at.left, _high(at, terminal)
    ref = f"ground:{box.id}"
    cell = (x, at.y, x + CELL_MM, at.y + high)
    sheet.rect(cell, width_mm=0.25, kind="rule", ref=ref, role="pin", fill=PALE)
    sheet.text(
        x + CELL_MM / 2, at.y + high / 2, terminal.number, middle=True, align="center", bold=True,
        room_mm=CELL_MM - 0.6, ref=f"{ref} {terminal.number}",
    )  # fmt: skip
    start, end = x + CELL_MM, x + CELL_MM + WIRE_MM
    if len(terminal.wires) > 1:
        start = _one_ring(at, terminal, (start, at.y + high / 2), ref)
    for wire in terminal.wires:
        y = at.y + PITCH_MM / 2
        sheet.line(((start, y), (end, y)), kind="rule", ref=ref)
        mark = sheet.text(end + 1.0, y, wire.mark, middle=True, bold=True, ref=wire.id)
        if terminal.own:
            right = x + at.wide - 4.0 - SPOT_MM
            sheet.text(right, y, "☐ ☐", middle=True, align="right", ref=f"{ref} {terminal.number}")
        for k, line in enumerate(_lines(at, wire, own=terminal.own)):
            level = y + parts.LINE_MM * k
            sheet.text(end + mark + 2.8, level, line, middle=True, ref=wire.id)
        if wire.target:
            want = Wanted(
                at=(x + at.wide - 4.0, y + parts.SMALL_MM / 2), target=wire.target, ref=wire.id,
                room_mm=SPOT_MM, align="right",
            )  # fmt: skip
            sheet.wanted.append(want)
        at.y += _wire_mm(at, wire, own=terminal.own)


def _one_ring(at: _Columns, terminal: GroundTerminal, middle: Point, ref: str) -> float:
    """The bar that joins drains in one ring, led to the terminal's middle; gives its x."""
    x = middle[0] + BAR_MM
    last = _high(at, terminal) - _wire_mm(at, terminal.wires[-1]) + PITCH_MM / 2
    ends = ((x, at.y + PITCH_MM / 2), (x, at.y + last))
    at.sheet.line(ends, width_mm=0.7, kind="rule", ref=ref, role="one ring")
    at.sheet.line((middle, (x, middle[1])), kind="rule", ref=ref)
    return x


def _others(at: _Columns, record: GroundsDrawing) -> None:
    """The wires that end on no connector and in no circuit, each in a few lines."""
    for care in record.cautions[1:]:
        for line in metrics.wrap(metrics.clean(care), parts.SMALL_MM, at.wide - 5.0, bold=True):
            if at.room < parts.LINE_MM + 1.0:
                at.next()
            at.y += parts.LINE_MM
            at.sheet.text(at.left, at.y, line, bold=True, ref="caution")
        at.y += 2.0
    begun: tuple[int, int] | None = None
    alike: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for wire, mark, *texts in record.others:  # cores of one cable differ in nothing but their marks
        alike.setdefault(tuple(texts), []).append((wire, mark))
    for (gauge, colour, length, start, end, cable), marked in alike.items():
        wire = marked[0][0]
        room = at.wide - 5.0
        rows = _marks(marked, room)
        said = metrics.wrap(f"from {start} to {end}", parts.SMALL_MM, room)
        more = metrics.wrap(parts.join(gauge, colour, length, cable), parts.SMALL_MM, room)
        high = parts.LINE_MM * (len(rows) + len(more) + len(said)) + 1.0
        head = 0.0 if begun == (len(at.work.pages), at.column) else HEAD_MM
        if at.room < high + head and at.y > at.top:
            at.next()
        here = (len(at.work.pages), at.column)
        if begun != here:  # a column that goes on says what it goes on with
            text = record.others_title + (", continued" if begun else "")
            at.sheet.text(at.left, at.y + 3.0, text, bold=True, ref="head")
            at.y += HEAD_MM
            begun = here
        for k, row in enumerate(rows):
            x = at.left
            for ref, mark in row:
                y = at.y + 3.0 + parts.LINE_MM * k
                x += at.sheet.text(x, y, mark, bold=True, ref=ref) + MARK_GAP_MM
        for k, line in enumerate((*more, *said), len(rows)):
            at.sheet.text(at.left, at.y + 3.0 + parts.LINE_MM * k, line, ref=wire)
        at.y += high


APART_MM = 3.0
"""From what stands in a column to the notes under it."""


def _notes(at: _Columns, record: GroundsDrawing) -> None:
    """How the sheets are to be read, under what stands in the last column."""
    lines = [
        (n, line)
        for note in record.notes
        for n, line in enumerate(metrics.wrap(metrics.clean(note), parts.SMALL_MM, at.wide - 8.0))
    ]
    if not lines:
        return
    apart = 0.0 if at.y <= at.top else APART_MM
    if at.room < apart + HEAD_MM + parts.LINE_MM * len(lines) and at.y > at.top:
        at.next()
        apart = 0.0
    at.y += apart
    at.sheet.text(at.left, at.y + 3.0, "Notes", bold=True, ref="head")
    at.y += HEAD_MM
    for n, line in lines:
        if not n:
            at.sheet.text(at.left, at.y + 3.0, "–", ref="note")
        at.sheet.text(at.left + 3.0, at.y + 3.0, line, ref="note")
        at.y += parts.LINE_MM


def _marks(marked: Sequence[tuple[str, str]], room: float) -> list[list[tuple[str, str]]]:
    """Marks of wires in lines of a width."""
    lines: list[list[tuple[str, str]]] = [[]]
    left = room
    for ref, mark in marked:
        wide = parts.width(mark, bold=True)
        if lines[-1] and wide > left:
            lines.append([])
            left = room
        lines[-1].append((ref, mark))
        left -= wide + MARK_GAP_MM
    return lines
