"""A panel as one stands before it: breakers with ratings, fuses or switches, and what is engraved.

Under rows of positions stands the table of what each of them does, on the same sheet; where there
are many they go on on further sheets, each with its table.
"""

from collections.abc import Sequence
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.ink import GREY, PALE, Point
from elec.drawings.inputs import PanelFace, PanelPosition
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import paper, parts, table

MOST_MM = 30.0
"""The widest that a position is drawn."""
FACE_MM = 11.4
LINE_MM = parts.LINE_MM
LINES = 3
GAP_MM = 2.0
Rows = list[list[str]]
RADIUS_MM = 4.0
APART_MM = 0.8
"""Between the engravings of neighbours."""
WARNING_MM = 5.4
"""From one line of a warning to the next."""
PARTS = 3
"""A table stands in so many parts side by side at most."""
Row = Sequence[PanelPosition]


class _Look(Struct, frozen=True, kw_only=True):
    """How a panel is drawn: room for a position, weight and width of all its engraving."""

    pitch: float
    bold: bool
    narrow: float


def panel(records: Sequence[PanelFace]) -> list[Sheet]:
    """The sheets of one panel, or of several small ones together."""
    sheets = [_new_sheet(records, 0)]
    faces = [record for record in records if record.rows]
    if len(records) > 1:
        y = _draw_small(records, faces, sheets)
    else:
        y = _draw_panel(records, records[0], sheets) if faces else _top(sheets[0])
    for record in records:
        if not record.rows:
            y = _draw_table(records, record, record.table, record.refs, sheets=sheets, y=y)
    for sheet in sheets:
        _strip(sheet, tuple(dict.fromkeys(note for r in records for note in r.notes)))
    return sheets


def _draw_panel(records: Sequence[PanelFace], record: PanelFace, sheets: list[Sheet]) -> float:
    """One panel, rows with their table sheet by sheet; gives the y under it."""
    look = _look(sheets[0], record)
    y = _draw_warning(sheets[0], record.warning, _top(sheets[0]))
    shares = _shares(sheets[0], record, y)
    whole = tuple(range(len(record.heads)))
    kept = next(
        (
            kept
            for kept in (whole, record.short or whole)
            if all(_parts(sheets[0], record, rows, kept, y) for rows in shares)
        ),
        whole,
    )
    for rows in shares:
        if rows is not shares[0]:
            sheets.append(_new_sheet(records, len(sheets)))
            _draw_warning(sheets[-1], record.warning, _top(sheets[-1]))
        first = low = y
        for k, row in enumerate(rows):
            low = _draw_row(sheets[-1], row, low, look, titled=_titled(rows, k))
        _outline(sheets[-1], (sheets[-1].frame[0] + 5.0, first), record, low, look.pitch)
        heads, body, refs = _under(record, rows, kept)
        low = table.run_on(
            sheets, low + 4.0, heads, body, refs=refs, area=table.usual_area,
            fresh=lambda count: _new_sheet(records, count),
            beside=_parts(sheets[-1], record, rows, kept, y) or PARTS,
        )  # fmt: skip
    x, right = sheets[-1].frame[0] + 5.0, sheets[-1].frame[2] - 5.0
    for line in metrics.wrap(metrics.clean(record.missing), parts.SMALL_MM, right - x, bold=True):
        if low + LINE_MM + 1.0 > _limit(sheets[-1]):
            sheets.append(_new_sheet(records, len(sheets)))
            low = sheets[-1].frame[1] + 2.0
        low += LINE_MM
        sheets[-1].text(x, low, line, bold=True, ref="missing")
    return low


def _shares(sheet: Sheet, record: PanelFace, y: float) -> list[Sequence[Row]]:
    """The rows of each sheet: as many as have room with their table under them."""
    found: list[Sequence[Row]] = []
    left = list(record.rows)
    kept = record.short or tuple(range(len(record.heads)))
    while left:
        count = next(
            (n for n in range(len(left), 1, -1) if _parts(sheet, record, left[:n], kept, y)), 1
        )
        found.append(left[:count])
        left = left[count:]
    return found


def _top(sheet: Sheet) -> float:
    return sheet.frame[1] + 4.0


def _draw_warning(sheet: Sheet, text: str, y: float) -> float:
    """What nobody may miss, large and framed; gives the y of what comes under it."""
    if not text:
        return y
    x, right = sheet.frame[0] + 5.0, sheet.frame[2] - 5.0
    lines = metrics.wrap(metrics.clean(text), parts.HEAD_MM, right - x - 4.0, bold=True)
    box = (x, y - 2.0, right, y + WARNING_MM * len(lines) + 0.6)
    sheet.rect(box, width_mm=0.5, kind="rule", ref="warning", fill=PALE)
    for line in lines:
        y += WARNING_MM
        sheet.text(
            x + 2.0, y - 1.4, line, capital_mm=parts.HEAD_MM, bold=True, ref="warning"
        )  # fmt: skip
    return y + 4.6


# --- the table under its rows -----------------------------------------------------------------


def _under(
    record: PanelFace, rows: Sequence[Row], kept: Sequence[int]
) -> tuple[list[str], Rows, list[str]]:
    """Heads, rows and references of the table of some rows of positions.

    Only the columns `kept`: what the picture right over it shows need not be said again.
    """
    names = {spot.name for row in rows for spot in row}
    shown = [row for row in record.table if row[0] in names]
    heads, body = table.filled(
        [record.heads[i] for i in kept], [[row[i] for i in kept] for row in shown]
    )
    return heads, body, [f"position {row[0]}" for row in shown]


def _parts(
    sheet: Sheet, record: PanelFace, rows: Sequence[Row], kept: Sequence[int], y: float
) -> int:
    """In how few parts side by side the table of some rows has room under them; 0: in none."""
    look = _look(sheet, record)
    y += sum(_high(row, look, titled=_titled(rows, k)) for k, row in enumerate(rows)) + 4.0
    heads, body, _ = _under(record, rows, kept)
    left, _, right, bottom = table.usual_area(sheet)
    return _parts_in(heads, body, right - left, bottom - y)


def _parts_in(heads: Sequence[str], body: Rows, wide: float, high: float) -> int:
    """In how few parts a table fits a room, none much narrower than it would like to be."""
    if not body:
        return 1
    like = sum(table.column_widths(heads, body, 4 * wide))
    for count in range(1, PARTS + 1):
        room = (wide - table.GAP_MM * (count - 1)) / count
        each = -(-len(body) // count)
        if count > 1 and like > WRAPPED * room:
            return 0
        widths = table.column_widths(heads, body, room)
        pieces = (body[i : i + each] for i in range(0, len(body), each))
        if max(table.height_mm(widths, heads, piece) for piece in pieces) <= high:
            return count
    return 0


WRAPPED = 1.25
"""A table stands in several parts as long as no more of its width than this is wrapped away."""


# --- small panels, and what is on none --------------------------------------------------------


def _draw_table(
    records: Sequence[PanelFace],
    record: PanelFace,
    rows: Sequence[Sequence[str]],
    refs: Sequence[str],
    *,
    sheets: list[Sheet],
    y: float,
) -> float:
    """A table under the title of its record, whole on one sheet if that can be."""
    heads, body = table.filled(record.heads, rows)
    left, top, right, bottom = table.usual_area(sheets[-1])
    count = _parts_in(heads, body, right - left, bottom - y - 6.0)
    if not count and y > top + 20.0:
        sheets.append(_new_sheet(records, len(sheets)))
        y = top
        count = _parts_in(heads, body, right - left, bottom - y - 6.0)
    sheets[-1].text(left, y + 1.6, record.title.title, bold=True)
    return 4.0 + table.run_on(
        sheets, y + 3.4, heads, body, refs=refs, area=table.usual_area,
        fresh=lambda count: _new_sheet(records, count), beside=count or 1,
    )  # fmt: skip


BETWEEN_MM = 8.0
"""Between two small panels side by side."""


def _draw_small(
    records: Sequence[PanelFace], faces: Sequence[PanelFace], sheets: list[Sheet]
) -> float:
    """Small panels side by side, each under its name, and one table of all that are alike."""
    warning = next((face.warning for face in faces if face.warning), "")
    y = _draw_warning(sheets[0], warning, _top(sheets[0]))
    left, right = sheets[0].frame[0] + 5.0, sheets[0].frame[2] - 5.0
    x, under = left, y
    for face in faces:
        look = _look(sheets[0], face)
        wide = max(look.pitch * face.columns + 6.0, parts.width(face.title.title, bold=True))
        high = sum(
            _high(row, look, titled=_titled(face.rows, k)) for k, row in enumerate(face.rows)
        )
        if x > left and x + wide > right:
            x, y = left, under
        if y + 6.0 + high > _limit(sheets[-1]):
            sheets.append(_new_sheet(records, len(sheets)))
            x, y = left, _draw_warning(sheets[-1], warning, _top(sheets[-1]))
            under = y
        sheets[-1].text(x, y + 0.6, face.title.title, bold=True)
        low = y + 4.5
        for k, row in enumerate(face.rows):
            low = _draw_row(sheets[-1], row, low, look, titled=_titled(face.rows, k), left=x)
        _outline(sheets[-1], (x, y + 4.5), face, low, look.pitch)
        x += wide + BETWEEN_MM
        under = max(under, low + 6.0)
    for heads in dict.fromkeys(face.heads for face in faces):
        alike = [face for face in faces if face.heads == heads]
        rows = [(face.title.title, *row) for face in alike for row in face.table]
        refs = [f"position {row[0]} {face.id}" for face in alike for row in face.table]
        under = _draw_table(
            records,
            replace(alike[0], heads=("panel", *heads), title=replace(alike[0].title, title="")),
            rows,
            refs,
            sheets=sheets,
            y=under - 3.4,
        )
    return under


def _new_sheet(records: Sequence[PanelFace], before: int) -> Sheet:
    name = records[0].title.title
    name = name if len(records) == 1 else "Breakers, fuses and switches elsewhere"
    block = paper.continued(records[0].title, before, "panel", name=name)
    said = "; ".join(
        f"{spot.name}: {parts.join(spot.text, spot.rating) or 'free'}"
        for record in records
        for row in record.rows
        for spot in row
    )
    about = f"{name}, positions by row from the top: {said}."
    return paper.page(records[0].size, block, about)


def _limit(sheet: Sheet) -> float:
    return sheet.block[1] - 3.0


def _high(row: Row, look: _Look, *, titled: bool = True) -> float:
    return _head(row, look.pitch, titled=titled) + FACE_MM + LINE_MM * _lines(row, look) + GAP_MM


def _lines(row: Row, look: _Look) -> int:
    """How many lines the longest engraving of a row takes."""
    return max((len(_engraved(spot, look)) for spot in row), default=1)


def _engraved(spot: PanelPosition, look: _Look) -> list[str]:
    text = metrics.clean(spot.text if spot.kind else "free")
    room = (look.pitch - APART_MM) / look.narrow
    whole = " ".join(
        metrics.clip(word, room, bold=look.bold) for word in text.split()
    )  # a word is never parted
    return _kept(_even(whole, room, bold=look.bold), room)


def _even(text: str, room: float, *, bold: bool) -> tuple[str, ...]:
    """A text in as few lines as it needs, none much longer than the others."""
    lines = metrics.wrap(text, parts.SMALL_MM, room, bold=bold)
    if len(lines) < 2:
        return lines
    for part in range(5, 10):
        narrower = metrics.wrap(text, parts.SMALL_MM, room * part / 10, bold=bold)
        if len(narrower) == len(lines) and " ".join(narrower) == text:
            return narrower
    return lines


LEAST_NARROW = 0.65


def _look(sheet: Sheet, record: PanelFace) -> _Look:
    """One weight and width for all engraving of a panel, so that every word stays in one piece."""
    columns = max(1, record.columns)
    pitch = min(MOST_MM, (sheet.frame[2] - sheet.frame[0] - 16.0) / columns)
    words = {word for row in record.rows for spot in row for word in spot.text.split()}
    longest = max((parts.width(word, bold=True) for word in words), default=0.0)
    fits = int(100 * (pitch - APART_MM) / longest) / 100 if longest else 1.0
    return _Look(pitch=pitch, bold=True, narrow=max(LEAST_NARROW, min(1.0, fits)))


def _groups(row: Row) -> list[tuple[str, list[PanelPosition]]]:
    return [(bus, list(group)) for bus, group in groupby(row, key=lambda spot: spot.bus)]


def _titled(rows: Sequence[Row], k: int) -> bool:
    """Whether the names of its buses stand over a row: not where the row above is of the same."""
    return not k or [b for b, _ in _groups(rows[k])] != [b for b, _ in _groups(rows[k - 1])]


def _head(row: Row, pitch: float, *, titled: bool) -> float:
    """Height over a row for the names of its buses."""
    counts = [len(_bus_lines(bus, pitch * len(spots))) for bus, spots in _groups(row) if bus]
    return 4.0 + LINE_MM * max(counts) * titled if counts else 2.0


def _bus_lines(bus: str, wide: float) -> list[str]:
    room = wide - 3.0
    return _kept(metrics.wrap(metrics.clean(bus.upper()), parts.SMALL_MM, room, bold=True), room)


def _outline(sheet: Sheet, at: Point, record: PanelFace, bottom: float, pitch: float) -> None:
    """The edge of a panel, its upper left corner 2 mm over a point."""
    x, top = at
    box = (x, top - 2.0, x + pitch * record.columns + 6.0, bottom + 1.0)
    sheet.rect(box, width_mm=0.5, kind="rule", ref="panel", corner_mm=3.0)


# --- rows -------------------------------------------------------------------------------------


def _draw_row(
    sheet: Sheet, row: Row, y: float, look: _Look, *, titled: bool, left: float = 0.0
) -> float:
    """One row of positions of a panel whose edge is at `left`; gives the y of the next."""
    left, pitch = (left or sheet.frame[0] + 5.0) + 3.0, look.pitch
    level = y + _head(row, pitch, titled=titled)
    for bus, spots in _groups(row):
        x = left + pitch * (spots[0].column - 1)
        _bus(sheet, bus, x, pitch * len(spots), level - 2.0, titled=titled)
    for spot in row:
        _position(sheet, spot, left + pitch * (spot.column - 0.5), level, look)
    return level + FACE_MM + LINE_MM * _lines(row, look) + GAP_MM


def _bus(sheet: Sheet, bus: str, x: float, wide: float, level: float, *, titled: bool) -> None:
    """The bracket over the positions of one bus."""
    if not bus:
        return
    points = ((x + 1.0, level + 1.4), (x + 1.0, level), (x + wide - 1.0, level))
    sheet.line((*points, (x + wide - 1.0, level + 1.4)), width_mm=0.35, kind="rule", ref="bus")
    for i, line in enumerate(reversed(_bus_lines(bus, wide) if titled else [])):
        sheet.text(x + 2.0, level - 1.2 - LINE_MM * i, line, bold=True, ref=bus)


def _position(sheet: Sheet, spot: PanelPosition, x: float, y: float, look: _Look) -> None:
    """One position: its name, its face, and what is engraved under it."""
    pitch = look.pitch
    ref = spot.ref or f"position {spot.name}"
    middle = y + 2.0 + RADIUS_MM
    sheet.text(x - pitch / 2 + 1.0, y + 2.6, spot.name, colour=GREY, ref=ref)
    if not spot.kind:
        sheet.circle((x, middle), RADIUS_MM, kind="rule", ref=ref, dash=(1.0, 0.8))
        sheet.text(x, y + FACE_MM + LINE_MM, "free", align="center", colour=GREY, ref=ref)
        return
    draw_face(sheet, spot, x, middle, ref)
    for i, line in enumerate(_engraved(spot, look)):
        sheet.text(
            x, y + FACE_MM + LINE_MM * (i + 1), line, align="center", bold=look.bold,
            room_mm=(pitch - APART_MM) / look.narrow + 0.05, ref=ref, narrow=look.narrow,
        )  # fmt: skip


def _kept(lines: Sequence[str], room: float) -> list[str]:
    """At most so many lines; the last says by dots that there is more."""
    if len(lines) <= LINES:
        return list(lines)
    return [*lines[: LINES - 1], metrics.clip(" ".join(lines[LINES - 1 :]), room, bold=True)]


def draw_face(sheet: Sheet, spot: PanelPosition, x: float, y: float, ref: str) -> None:
    """What is seen of a breaker, fuse or switch, with its rating."""
    r = RADIUS_MM
    if spot.kind == "breaker":
        sheet.circle((x, y), r, kind="rule", width_mm=0.5, ref=ref)
        sheet.circle((x, y), r - 0.9, kind="rule", width_mm=0.25, ref=ref, fill=PALE)
    elif spot.kind == "fuse":
        sheet.rect((x - r, y - 2.6, x + r, y + 2.6), kind="rule", width_mm=0.5, ref=ref, fill=PALE)
    elif spot.kind == "button":
        sheet.circle((x, y), r, kind="rule", width_mm=0.5, ref=ref)
        sheet.circle((x, y), r / 2, kind="rule", width_mm=0.35, ref=ref, fill=PALE)
    else:
        sheet.circle((x, y), 2.6, kind="rule", width_mm=0.5, ref=ref)
        lever = ((x - 0.8, y), (x - 1.1, y - 4.4), (x + 1.1, y - 4.4), (x + 0.8, y))
        sheet.polygon(lever, kind="rule", width_mm=0.35, ref=ref, fill=PALE)
    sheet.text(
        x, y, spot.rating, align="center", middle=True, bold=True, ref=ref, role="letter"
    )  # fmt: skip


# --- below ------------------------------------------------------------------------------------


def _strip(sheet: Sheet, notes: Sequence[str]) -> None:
    parts.draw_notes(sheet, notes, paper.strip(sheet))
