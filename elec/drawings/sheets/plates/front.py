"""The picture of a panel: rows of positions under their headings, and where its holes are."""

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import engraved, metrics
from elec.drawings.engraved import APART_MM, LEAST_NARROW
from elec.drawings.ink import BLACK, GREY, PALE, Align, Box, Point
from elec.drawings.inputs import PanelFace, PanelPosition
from elec.drawings.layout.view import INCH_M
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import parts

MOST_MM = 30.0
"""The widest that a position is drawn."""
FACE_MM = 13.2
LINE_MM = parts.LINE_MM
ENGRAVED_MM = 3.5
"""From one line of the smallest engraving to the next."""
GAP_MM = 2.0
RADIUS_MM = 4.0
MIDDLE_MM = 4.0 + RADIUS_MM
"""From the top of a row to the middle of its faces."""
OVER_MM = 1.6
"""More than that in a row with words at its levers: one stands over the lever."""
LESS_MM = 0.6
"""The same where no word runs into the name of its position."""
WORDS_MM = 3.1
"""More height of such a row: one word stands over the lever, one under it."""
THROW_MM = 3.1
"""From the middle of a lever of three positions to the end of each throw."""
CLEAR_MM = 0.7
"""From there to the word of that position."""
FUSE_MM = (3.2, 1.9)
"""Half width and height of a fuse in its round holder."""
Row = Sequence[PanelPosition]


class Look(Struct, frozen=True, kw_only=True):
    """How a panel is drawn: room for a position, weight and width of all its engraving."""

    pitch: float
    bold: bool
    narrow: float
    edge: float
    """From the left of the picture to the panel's edge: room for where the rows are."""
    room: float
    """Width of what is said under it."""
    margin: float = 3.0
    """From the edge of the plate to the room of its first position."""
    plate: tuple[float, ...] = ()
    """Spacing and edge of a plate that is drawn in its proportions, mm; empty: it is not."""
    times: float = 1.0
    """How many times as large as it is that is."""
    holes: tuple[float, ...] = ()
    """Diameters of its holes and of those of its buttons, mm, where they are drawn as large."""
    clear: float = 0.0
    """From such a hole to what is engraved over and under it."""
    first: str = ""
    """The sheet on which the plate begins."""
    word: float = parts.SMALL_MM
    """Capitals at its holes, mm: as they are engraved where it is as large as it is."""
    head: float = parts.SMALL_MM
    """Those of its headings."""

    @property
    def line(self) -> float:
        """From one line of an engraving to the next."""
        return ENGRAVED_MM * self.word / parts.SMALL_MM

    @property
    def head_line(self) -> float:
        """The same of a heading."""
        return LINE_MM * self.head / parts.SMALL_MM

    @property
    def bracket(self) -> float:
        """From the top of a row up to its brackets, clear of the foot of their words."""
        return BRACKET_MM + (self.head - parts.SMALL_MM) / 2

    @property
    def half(self) -> float:
        """From a bracket up to the top of the words in its line."""
        return HALF_MM + (self.head - parts.SMALL_MM) / 2


ACROSS_MM = 4.4
"""Over a panel for where its columns are."""
UNDER_MM = 4.6
"""Under a panel for each line of what its measures are."""
DOWN_MM = 10.0
"""Beside a panel for where its rows are."""


def look_of(sheet: Sheet, record: PanelFace) -> Look:
    """One weight and width for all engraving of a panel, so that every word stays in one piece.

    In its proportions, where its measures are given and leave all engraving its room.
    """
    columns, room = max(1, record.columns), sheet.frame[2] - sheet.frame[0] - 9.0
    edge = DOWN_MM if record.down else 0.0
    pitch = min(MOST_MM, (sheet.frame[2] - sheet.frame[0] - 16.0 - edge) / columns)
    tried = (record.times,) if record.times else TIMES
    for times in tried if record.plate else ():
        plate = tuple(times * mm for mm in record.plate)
        margin = plate[2] - plate[0] / 2
        for letters in _letters(record, times):
            true = replace(
                _look(record, plate[0], edge, room, letters), margin=margin, plate=plate,
                times=times, first=sheet.title.label,
            )  # fmt: skip
            if wide(record, true) > room - 3.0 or margin < 0:
                continue
            for made in _forms(record, true):
                if _has_room(record, made):
                    return made
    return _look(record, pitch, edge, room)


def _letters(record: PanelFace, times: float) -> tuple[tuple[float, float], ...]:
    """Capitals of words and headings: as ordered where a plate is as large as it is, or small."""
    small = (parts.SMALL_MM, parts.SMALL_MM)
    if len(record.letters) != 2 or times != 1.0:
        return (small,)
    words, heads = record.letters
    return tuple(dict.fromkeys(((words, heads), (words, parts.SMALL_MM), small)))


def smaller(record: PanelFace, look: Look) -> str:
    """What of a plate is drawn smaller than it is ordered, for want of room; empty: nothing."""
    if len(record.letters) != 2 or look.times != 1.0 or not look.plate:
        return ""
    pairs = zip(("words", "headings"), record.letters, (look.word, look.head), strict=True)
    found = [f"{what} of {mm:g} mm" for what, mm, drawn in pairs if drawn < mm]
    return f"Ordered {' and '.join(found)} do not fit." if found else ""


def _forms(record: PanelFace, true: Look) -> Iterator[Look]:
    """How the engraving of a plate may be drawn, best first: letters, then their room at holes."""
    sized = true.times == 1.0 and bool(record.holes)
    narrow = true.narrow
    while narrow > LEAST_NARROW:
        for clear in NUT_MM if sized else (0.0,):
            yield replace(true, narrow=narrow, holes=record.holes if sized else (), clear=clear)
        narrow = round(narrow - NARROWER, 3)


NARROWER = 0.05
"""By how much letters become narrower where words need fewer lines."""
TIMES = (1.0, 0.75, 0.7, 0.6, 0.5, 1.3, 1.4, 1.5)
"""How many times as large as it is a plate is drawn: the first that leaves its words their room.

As large, or so much smaller or larger that nobody takes it for a template."""


NUT_MM = (3.0, 2.5, 2.0, 1.5, 1.0)
"""From a hole to what is engraved: for the nut, then less where the plate has no more room."""
CROSS_MM = 1.2
"""Half of the cross in the middle of a hole that is drawn as large as it is."""
TAG_MM = 2.6
"""From the top of a row to the foot of the names of its positions."""
OFF_RING_MM = 1.0
"""From these to the holes."""


def _has_room(record: PanelFace, look: Look) -> bool:
    """Whether what stands over and under each row has room on a plate that is as large as it is."""
    _, apart, edge = look.plate
    rows = record.rows
    over = [_over_mm(row, look, titled=_titled(rows, k)) for k, row in enumerate(rows)]
    under = [_under_mm(row, look) for row in rows]
    between = all(a + b <= apart for a, b in zip(under, over[1:], strict=False))
    return between and over[0] <= edge and under[-1] <= edge


def _over_mm(row: Row, look: Look, *, titled: bool) -> float:
    """From the middle of the holes of a row up to what stands over it."""
    return _middle(row, look) + 0.2 + _heading_mm(row, look, titled=titled)


def _heading_mm(row: Row, look: Look, *, titled: bool) -> float:
    """From the names of a row's positions up to the end of its headings, or of its brackets."""
    lines = [
        len(engraved.heading_lines(bus, look.pitch * len(own), look.head)[0])
        for bus, own in _groups(row) if bus
    ]  # fmt: skip
    if not lines:
        return 0.0
    return look.bracket + (look.half + look.head_line * (max(lines) - 1) if titled else 0.0)


BRACKET_MM = 2.2
"""From the top of a row up to its brackets."""
HALF_MM = 1.3
"""From a bracket up to the top of the words in its line."""


def _under_mm(row: Row, look: Look) -> float:
    """From the middle of the holes of a row down to the end of its engraving."""
    return _face(row, look) - _middle(row, look) + look.line * _lines(row, look) + 0.5


def _look(
    record: PanelFace,
    pitch: float,
    edge: float,
    room: float,
    letters: tuple[float, float] = (parts.SMALL_MM, parts.SMALL_MM),
) -> Look:
    word, head = letters
    texts = [spot.text for row in record.rows for spot in row]
    narrow = engraved.narrow_of(texts, pitch, word)
    return Look(
        pitch=pitch, bold=True, narrow=narrow, edge=edge, room=room, word=word, head=head
    )  # fmt: skip


def wide(record: PanelFace, look: Look) -> float:
    """Width of the picture."""
    return look.edge + look.pitch * record.columns + 2 * look.margin


def high(record: PanelFace, rows: Sequence[Row], look: Look) -> float:
    """Height of the picture of some rows."""
    if look.plate:
        _, bottom = _middles(record, rows, look)
        found = bottom - 3.0
    else:
        found = sum(_row_high(row, look, titled=_titled(rows, k)) for k, row in enumerate(rows))
    return _over(record) + found + UNDER_MM * len(_measures(record, rows, look))


def _measures(record: PanelFace, rows: Sequence[Row], look: Look) -> tuple[str, ...]:
    """What is said under a plate, in lines."""
    said = measures(record, rows, look)
    if not said or record.aside:
        return ()
    return metrics.wrap(metrics.clean(said), parts.SMALL_MM, look.room)


def measures(record: PanelFace, rows: Sequence[Row], look: Look) -> str:
    """From where the measures of a plate count, how large it is, what is not to scale."""
    if not record.measures:
        return ""
    said = record.measures.removesuffix(".")
    if look.first and rows[0] is not record.rows[0]:
        said = said.replace(FROM, f"{WHOLE}{look.first}", 1)
    more = [] if look.holes else [RINGS]
    more = [SMALLER.format(times=look.times), *more] if look.times != 1.0 else more
    more += [CLEAR_OF_NUTS] if look.holes and _near(record, look) else []
    return "; ".join((said, *more)) + "."


FROM = "from top left"
"""In what the measures of a plate are."""
WHOLE = "from the top left of the whole plate, on "
SMALLER = "drawn at {times:g} of true size"
RINGS = "rings not to scale"
CLEAR_OF_NUTS = "words: place them clear of the nuts"


def _near(record: PanelFace, look: Look) -> bool:
    """Whether a word stands nearer to a hole than a nut of it lets it."""
    beside = any(
        _beside(spot, look)[0] < _radius(spot, look) + NUT_MM[0]
        for row in record.rows for spot in row if any(spot.lever)
    )  # fmt: skip
    return beside or look.clear < NUT_MM[0]


def _beside(spot: PanelPosition, look: Look) -> tuple[float, float]:
    """From the middle of a hole to the word at its right, and how narrow that is."""
    whole = parts.width(metrics.clean(spot.lever[1].upper()))
    end = look.pitch / 2 - APART_MM / 2
    start = _radius(spot, look) + NUT_MM[0]
    narrow = max(LEAST_NARROW, min(1.0, (end - start) / max(whole, 0.1)))
    return min(start, max(end - narrow * whole, _radius(spot, look) + OFF_RING_MM)), narrow


def _middles(record: PanelFace, rows: Sequence[Row], look: Look) -> tuple[tuple[float, ...], float]:
    """From the top of a plate as large as it is to the holes of its rows, and to its lower edge.

    Where it is cut it ends close to what stands there.
    """
    _, apart, edge = look.plate
    first, last = record.rows.index(tuple(rows[0])), record.rows.index(tuple(rows[-1]))
    top = edge + apart * first - look.times * cut_mm(record, first, look) if first else edge
    end = edge
    if last + 1 < len(record.rows):
        end = look.times * cut_mm(record, last + 1, look) - edge - apart * last
    middles = tuple(top + apart * k for k in range(len(rows)))
    return middles, middles[-1] + end


def cut_mm(record: PanelFace, k: int, look: Look) -> float:
    """From the top of a plate to where it is cut close over the words of its row `k`.

    In whole millimetres of the plate: both of its sheets end there.
    """
    _, apart, edge = look.plate
    over = _over_mm(record.rows[k], look, titled=True)
    return float(math.floor((edge + apart * k - over - CLEAR_MM) / look.times))


def cuts(record: PanelFace, rows: Sequence[Row], look: Look) -> tuple[float, ...]:
    """Where a plate is cut over and under some of its rows, mm from its top edge."""
    if not look.plate:
        return ()
    first, last = record.rows.index(tuple(rows[0])), record.rows.index(tuple(rows[-1])) + 1
    return tuple(cut_mm(record, k, look) for k in (first, last) if 0 < k < len(record.rows))


def draw(sheet: Sheet, record: PanelFace, rows: Sequence[Row], at: Point, look: Look) -> float:
    """Some rows of a panel with its edge and where its holes are; gives the y under them."""
    x, first = at[0] + look.edge, at[1] + _over(record)
    y = first
    middles, bottom = _middles(record, rows, look) if look.plate else ((), 0.0)
    for k, row in enumerate(rows):
        level = y + _head(row, look, titled=_titled(rows, k))
        if look.plate:
            level = first - 2.0 + middles[k] - _middle(row, look)
        _draw_row(sheet, row, level, look, titled=_titled(rows, k), left=x + look.margin)
        if record.down:
            _down(sheet, record.down[record.rows.index(row)], x, level + _middle(row, look))
        y += _row_high(row, look, titled=_titled(rows, k))
    if look.plate:
        y = first - 3.0 + bottom
    right = x + look.pitch * record.columns + 2 * look.margin
    box = (x, first - 2.0, right, y + 1.0)
    head, foot = rows[0] is not record.rows[0], rows[-1] is not record.rows[-1]
    edge(sheet, box, head=head, foot=foot)
    first_row = record.rows.index(tuple(rows[0]))
    for k, level, shift in ((first_row, box[1], 0.0), (first_row + len(rows), box[3], -1.0)):
        if look.plate and 0 < k < len(record.rows):
            _cut_at(sheet, record, cut_mm(record, k, look), (x, level), shift)
    for k, text in enumerate(record.across):
        _across(sheet, text, x + look.margin + look.pitch * (k + 0.5), first - 2.0, look.pitch)
    for line in _measures(record, rows, look):
        y += UNDER_MM
        sheet.text(at[0], y, line, ref="ordinate")
    return y


CORNER_MM = 3.0
QUARTER = tuple(
    (CORNER_MM * (1 - math.sin(k * math.pi / 12)), CORNER_MM * (1 - math.cos(k * math.pi / 12)))
    for k in range(7)
)
"""A rounded corner, from the end of a plate to its side: how far in, how far along."""


def edge(sheet: Sheet, box: Box, *, head: bool, foot: bool, name: str = "panel") -> None:
    """The edge of a plate; broken where it is cut and goes on on another sheet."""
    left, top, right, bottom = box
    if not (head or foot):
        sheet.rect(box, width_mm=0.5, kind="rule", ref=name, corner_mm=CORNER_MM)
        return
    for level, inward, cut in ((top, 1.0, head), (bottom, -1.0, foot)):
        if cut:
            ends = ((left, level), (right, level))
            sheet.line(ends, width_mm=0.5, kind="rule", ref=f"{name} cut", dash=(3.0, 1.5))
            continue
        near = [(left + dx, level + inward * dy) for dx, dy in reversed(QUARTER)]
        far = [(right - dx, level + inward * dy) for dx, dy in QUARTER]
        sheet.line((*near, *far), width_mm=0.5, kind="rule", ref=name)
    upper, lower = top + CORNER_MM * (not head), bottom - CORNER_MM * (not foot)
    for x in (left, right):
        sheet.line(((x, upper), (x, lower)), width_mm=0.5, kind="rule", ref=name)


def _over(record: PanelFace) -> float:
    return ACROSS_MM if record.across else 0.0


def _across(sheet: Sheet, text: str, x: float, edge: float, pitch: float) -> None:
    """How far a column is from the left, with a tick at the edge of the panel."""
    narrow = max(LEAST_NARROW, min(1.0, (pitch - APART_MM) / max(parts.width(text), 0.1)))
    sheet.text(x, edge - 2.1, text, align="center", ref="ordinate", narrow=narrow)
    sheet.line(((x, edge - 1.1), (x, edge)), width_mm=0.25, kind="rule", ref="ordinate")


def _down(sheet: Sheet, text: str, edge: float, y: float) -> None:
    """How far a row is from the top; inches in brackets stand under the mm."""
    for k, said in enumerate(text.split(" ", 1)):
        level = y + LINE_MM * k
        sheet.text(edge - 2.0, level, said, align="right", middle=True, ref="ordinate")
    sheet.line(((edge - 1.5, y), (edge, y)), width_mm=0.25, kind="rule", ref="ordinate")


JOINT = "joint"
"""Beside the edge at which a plate goes on on another sheet, which is no edge of it."""


def _cut_at(sheet: Sheet, record: PanelFace, mm: float, at: Point, shift: float) -> None:
    """How far from the top of the whole plate it is cut, under that or all over it (`shift`)."""
    inches = f" ({mm / (1000 * INCH_M):.2f})" if any("(" in said for said in record.down) else ""
    said = f"{mm:g}{inches}".split(" ")
    for k, word in enumerate((JOINT, *said)):
        level = at[1] + LINE_MM * (k - (len(said) + 0.5 if shift else 0.0))
        sheet.text(at[0] - 2.0, level, word, align="right", middle=True, ref="cut at")
    sheet.line(((at[0] - 1.5, at[1]), at), width_mm=0.25, kind="rule", ref="cut at")


def close(record: PanelFace, rows: Sequence[Row], look: Look) -> tuple[str, ...]:
    """What is engraved nearer to the edge of a plate than screws or a frame let it: its ink."""
    if not look.plate:
        return ()
    found: dict[str, None] = {}
    _, _, edge_ = look.plate
    over = _over_mm(rows[0], look, titled=True) - OVER_INK_MM
    if rows[0] is record.rows[0] and _covered(edge_ - over, look):
        found |= {bus.upper(): None for bus, own in _groups(rows[0])
                  if bus and any(spot.kind for spot in own)}  # fmt: skip
    for row in rows:
        for spot in (spot for spot in row if spot.kind):
            lines = _engraved(spot, look)
            down = _face(row, look) - _middle(row, look) + look.line * len(lines)
            half = look.narrow * max(engraved.width(line, look.word) for line in lines) / 2
            across = look.pitch * (spot.column - 0.5) + look.margin
            beyond = min(across, look.pitch * record.columns + 2 * look.margin - across)
            low = row is record.rows[-1] and _covered(edge_ - down, look)
            if low or _covered(beyond - half, look):
                found[spot.text] = None
    return tuple(found)


def _covered(drawn_mm: float, look: Look) -> bool:
    """Whether what is drawn so far from the edge is nearer to that of the plate than it may."""
    return drawn_mm / look.times < SCREW_MM


OVER_INK_MM = 0.2 + HALF_MM - parts.SMALL_MM / 2
"""From the capitals of a heading up to where its room ends."""
SCREW_MM = 3.0
"""From the edge of a plate to its words: less leaves no room for a screw or a frame."""


def _row_high(row: Row, look: Look, *, titled: bool) -> float:
    head = _head(row, look, titled=titled)
    return head + _face(row, look) + look.line * _lines(row, look) + GAP_MM


def _worded(row: Row) -> bool:
    """Whether words stand at a lever of a row."""
    return any(any(spot.lever) for spot in row)


def _radius(spot: PanelPosition, look: Look) -> float:
    """Of the hole of a position that is drawn as large as it is; else 0."""
    return look.holes[spot.kind == "button"] / 2 if look.holes else 0.0


def _reach(row: Row, look: Look) -> float:
    """Radius of the largest hole of a row that is drawn as large as it is."""
    return max(_radius(spot, look) for spot in row)


def _over_tags(row: Row, look: Look) -> bool:
    """Whether words over the levers of a row run into the names of its positions beside them."""
    return any(_tag_room(spot, look) < LEAST_NARROW for spot in row)


def _tag_room(spot: PanelPosition, look: Look) -> float:
    """How narrow the name of a position has to be beside the word over its lever; 1: as it is."""
    if not any(spot.lever):
        return 1.0
    half = parts.width(metrics.clean(spot.lever[0].upper())) / 2
    room = look.pitch / 2 - 1.0 - BESIDE_MM - half
    return min(1.0, room / max(parts.width(spot.name), 0.1))


BESIDE_MM = 1.2
"""From the name of a position to a word of its lever."""


def _middle(row: Row, look: Look) -> float:
    """From the top of a row to the middle of its holes."""
    if not look.holes:
        crossed = _over_tags(row, look)
        return MIDDLE_MM + (OVER_MM if crossed else LESS_MM if _worded(row) else 0.0)
    if _worded(row):
        return TAG_MM + look.clear + ENGRAVED_MM * _over_tags(row, look) + _reach(row, look)
    beside = max(0.0, look.pitch / 2 - 1.0 - max(parts.width(spot.name) for spot in row))
    clear = (_reach(row, look) + OFF_RING_MM) ** 2  # the name stands beside the top of its ring
    return TAG_MM + math.sqrt(max(clear - beside**2, CROSS_MM**2))


def _face(row: Row, look: Look) -> float:
    """From the top of a row to what is engraved under its faces."""
    if not look.holes:
        words = WORDS_MM + _middle(row, look) - MIDDLE_MM - OVER_MM if _worded(row) else 0.0
        return FACE_MM + LINE_MM + look.word - parts.SMALL_MM - look.line + words
    under = _reach(row, look) + look.clear + look.word - look.line
    return _middle(row, look) + under + (ENGRAVED_MM + UNDER_WORD_MM) * _worded(row)


UNDER_WORD_MM = 1.2
"""More from the word under a lever to the engraving, which else reads on from it."""


def _lines(row: Row, look: Look) -> int:
    """How many lines the longest engraving of a row takes."""
    return max((len(_engraved(spot, look)) for spot in row), default=1)


def _engraved(spot: PanelPosition, look: Look) -> list[str]:
    return engraved.lines(spot.text if spot.kind else "free", look.pitch, look.narrow, look.word)


def _groups(row: Row) -> list[tuple[str, list[PanelPosition]]]:
    return [(bus, list(group)) for bus, group in groupby(row, key=lambda spot: spot.bus)]


def _titled(rows: Sequence[Row], k: int) -> bool:
    """Whether the names of its buses stand over a row: not where the row above is of the same."""
    return not k or [b for b, _ in _groups(rows[k])] != [b for b, _ in _groups(rows[k - 1])]


def _head(row: Row, look: Look, *, titled: bool) -> float:
    """Height over a row for the names of its buses."""
    return 2.0 + _heading_mm(row, look, titled=titled)


# --- rows -------------------------------------------------------------------------------------


def _draw_row(
    sheet: Sheet, row: Row, level: float, look: Look, *, titled: bool, left: float
) -> None:
    """One row of positions, the first of which begins at `left`."""
    pitch = look.pitch
    for bus, spots in _groups(row):
        x = left + pitch * (spots[0].column - 1)
        free = not any(spot.kind for spot in spots)
        ends = (x, x + pitch * len(spots))
        thick = 0.9 if any(spot.heavy for spot in spots) else 0.35
        at = (*ends, level - look.bracket)
        _bus(sheet, bus, at, look, titled=titled, thick=thick, free=free)
    for spot in row:
        x = left + pitch * (spot.column - 0.5)
        middle = level + _middle(row, look)
        _position(sheet, spot, (x, level), look, middle=middle, face=_face(row, look))


def _bus(
    sheet: Sheet,
    bus: str,
    at: tuple[float, float, float],
    look: Look,
    *,
    titled: bool,
    thick: float,
    free: bool,
) -> None:
    """The bracket over the positions of one bus, its name in the line of that.

    Grey where nothing stands there yet: it is not engraved.
    """
    if not bus:
        return
    left, right, level = at[0] + 1.0, at[1] - 1.0, at[2]
    lines: list[str] = []
    narrow = 1.0
    if titled:
        lines, narrow = engraved.heading_lines(bus, at[1] - at[0], look.head)
    begin = left
    if lines:
        begin += 2.4 + narrow * engraved.width(lines[-1], look.head)
        foot = ((left, level + HALF_MM), (left, level))
        sheet.line(foot, width_mm=thick, kind="rule", ref="bus")
    over = min(begin, right)
    start = () if lines else ((left, level + HALF_MM),)
    along = ((over, level), (right, level)) if right - over > 1.0 else ((right, level),)
    points = (*start, *along, (right, level + HALF_MM))
    sheet.line(points, width_mm=thick, kind="rule", ref="bus")
    for i, line in enumerate(reversed(lines)):
        under = level + look.head / 2 - look.head_line * i
        colour = GREY if free else BLACK
        sheet.text(
            left + 1.2, under, line, capital_mm=look.head, bold=True, ref=bus, colour=colour,
            narrow=narrow,
        )  # fmt: skip


def _position(
    sheet: Sheet, spot: PanelPosition, at: Point, look: Look, *, middle: float, face: float
) -> None:
    """One position: its name, its face at the hole, and what is engraved `face` under its top."""
    pitch, (x, y) = look.pitch, at
    ref = spot.ref or f"position {spot.name}"
    narrow = tag if (tag := _tag_room(spot, look)) >= LEAST_NARROW else 1.0
    sheet.text(x - pitch / 2 + 1.0, y + 2.6, spot.name, colour=GREY, ref=ref, narrow=narrow)
    if not spot.kind:
        radius = _radius(spot, look) or RADIUS_MM
        sheet.circle((x, middle), radius, kind="rule", ref=ref, dash=(1.0, 0.8))
        if look.holes:
            _cross(sheet, (x, middle), ref)
        sheet.text(x, y + face + look.line, "free", align="center", colour=GREY, ref=ref)
        return
    if look.holes:
        draw_hole(sheet, spot, (x, middle), _radius(spot, look), ref)
    else:
        draw_face(sheet, spot, x, middle, ref)
    if any(spot.lever):
        _lever_words(sheet, spot, (x, middle), look, ref)
    for i, line in enumerate(_engraved(spot, look)):
        sheet.text(
            x, y + face + look.line * (i + 1), line, capital_mm=look.word, align="center",
            bold=look.bold,
            room_mm=(pitch - APART_MM) / look.narrow + 0.05, ref=ref, narrow=look.narrow,
        )  # fmt: skip


def _lever_words(sheet: Sheet, spot: PanelPosition, at: Point, look: Look, ref: str) -> None:
    """The words of three positions: over the lever, at its right and under it."""
    x, middle = at
    start = _beside(spot, look)[0] if look.holes else 3.3
    far = _radius(spot, look) + look.clear if look.holes else THROW_MM + CLEAR_MM
    whole, beside = look.pitch - APART_MM, look.pitch / 2 - start - APART_MM / 2
    up, level, down = (metrics.clean(word.upper()) for word in spot.lever)
    places: tuple[tuple[str, float, float, float, Align], ...] = (
        (up, x, -far, whole, "center"),
        (level, x + start, parts.SMALL_MM / 2, beside, "left"),
        (down, x, far + parts.SMALL_MM, whole, "center"),
    )
    for word, left, under, room, align in places:
        narrow = max(LEAST_NARROW, min(1.0, room / max(parts.width(word), 0.1)))
        sheet.text(
            left, middle + under, word, align=align, ref=ref, role="lever",
            room_mm=room / narrow + 0.05, narrow=narrow,
        )  # fmt: skip


def draw_face(sheet: Sheet, spot: PanelPosition, x: float, y: float, ref: str) -> None:
    """What is seen of a breaker, fuse or switch, with its rating."""
    r = RADIUS_MM
    if spot.kind == "breaker":
        sheet.circle((x, y), r, kind="rule", width_mm=0.5, ref=ref)
        sheet.circle((x, y), r - 0.9, kind="rule", width_mm=0.25, ref=ref, fill=PALE)
    elif spot.kind == "fuse":
        sheet.circle((x, y), r, kind="rule", width_mm=0.5, ref=ref)
        half, low = FUSE_MM
        cap = (x - half, y - low, x + half, y + low)
        sheet.rect(cap, kind="rule", width_mm=0.25, ref=ref, fill=PALE)
    elif spot.kind == "button":
        sheet.circle((x, y), r, kind="rule", width_mm=0.5, ref=ref)
        sheet.circle((x, y), r / 2, kind="rule", width_mm=0.35, ref=ref, fill=PALE)
    elif spot.lever:
        _draw_three(sheet, x, y, ref)
    else:
        sheet.circle((x, y), 2.6, kind="rule", width_mm=0.5, ref=ref)
        off = -1.0 if spot.kind == "changeover" else 1.0  # one of two throws has no position off
        sheet.polygon(_lever(x, y, off), kind="rule", width_mm=0.35, ref=ref, fill=PALE)
    sheet.text(
        x, y, spot.rating, align="center", middle=True, bold=True, ref=ref, role="letter"
    )  # fmt: skip


def _cross(sheet: Sheet, at: Point, ref: str) -> None:
    """The middle of a hole that is drawn as large as it is."""
    x, y = at
    for dx, dy in ((CROSS_MM, 0.0), (0.0, CROSS_MM)):
        ends = ((x - dx, y - dy), (x + dx, y + dy))
        sheet.line(ends, width_mm=0.2, kind="rule", ref=f"cross {ref}")


def draw_hole(sheet: Sheet, spot: PanelPosition, at: Point, radius: float, ref: str) -> None:
    """A hole as large as it is with its middle; rating of a breaker or lever in it, clear of that.

    Both in grey, as all that is neither engraved nor cut.
    """
    x, y = at
    sheet.circle(at, radius, kind="rule", width_mm=0.5, ref=ref)
    _cross(sheet, at, ref)
    near, far = y + 2 * CROSS_MM, y + max(radius - OFF_RING_MM, 3 * CROSS_MM)
    if spot.kind == "fuse":  # its rating is engraved
        return
    if spot.kind == "breaker":
        sheet.text(
            x, y - (CROSS_MM + radius) / 2, spot.rating, align="center", middle=True, bold=True,
            ref=ref, role="letter", colour=GREY,
        )  # fmt: skip
    elif spot.kind != "button":
        flips = (-1.0, 1.0) if spot.lever else (-1.0,) if spot.kind == "changeover" else (1.0,)
        width, fill = (0.2, "") if spot.lever else (0.35, PALE)
        for up in flips:
            a, b = y + (near - y) * up, y + (far - y) * up
            shape = ((x - 0.8, a), (x - 1.1, b), (x + 1.1, b), (x + 0.8, a))
            sheet.polygon(shape, kind="rule", width_mm=width, ref=ref, fill=fill, colour=GREY)


def _lever(x: float, y: float, up: float, *, short: bool = False) -> tuple[Point, ...]:
    """The outline of a lever that is thrown up (-1) or down (1)."""
    far = y + (THROW_MM if short else 4.4) * up
    return ((x - 0.8, y), (x - 1.1, far), (x + 1.1, far), (x + 0.8, y))


def _draw_three(sheet: Sheet, x: float, y: float, ref: str) -> None:
    """A lever that stands in the middle, with its throws up and down thin."""
    sheet.circle((x, y), 2.6, kind="rule", width_mm=0.5, ref=ref)
    for up in (-1.0, 1.0):
        sheet.polygon(_lever(x, y, up, short=True), kind="rule", width_mm=0.2, ref=ref)
    sheet.circle((x, y), 1.3, kind="rule", width_mm=0.35, ref=ref, fill=PALE)
