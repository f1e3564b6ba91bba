"""A panel as the pilot sees it: breakers with ratings, fuses or switches, and what is engraved.

Rows go over sheets where there are many; behind them stands the table of what each does.
"""

from collections.abc import Sequence
from itertools import groupby

from elec.drawings import metrics
from elec.drawings.ink import GREY, PALE
from elec.drawings.inputs import PanelFace, PanelPosition
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import paper, parts, table

MOST_MM = 30.0
"""The widest that a position is drawn."""
FACE_MM = 11.4
LINE_MM = parts.LINE_MM
LINES = 3
GAP_MM = 2.5
Rows = list[list[str]]
RADIUS_MM = 4.0
APART_MM = 0.8
"""Between the engravings of neighbours."""


def panel(records: Sequence[PanelFace]) -> list[Sheet]:
    """The sheets of one panel, or of several small ones one under the other."""
    several = len(records) > 1
    sheets = [_new_sheet(records, 0)]
    y = sheets[0].frame[1] + 4.0
    for record in records:
        if several:
            if y + _small_mm(sheets[-1], record) > _limit(sheets[-1]):
                sheets.append(_new_sheet(records, len(sheets)))
                y = sheets[-1].frame[1] + 4.0
            y = _draw_small(sheets[-1], record, y)
        else:
            y = _draw_panel(records, record, sheets, y)
    for sheet in sheets:
        _strip(sheet, tuple(dict.fromkeys(note for r in records for note in r.notes)))
    return sheets


def _draw_panel(
    records: Sequence[PanelFace], record: PanelFace, sheets: list[Sheet], y: float
) -> float:
    """One panel with its table, on as many sheets as that takes; gives the y under it."""
    pitch = _pitch(sheets[0], record)
    first = y
    for row in record.rows:
        if y + _high(row, pitch) > _limit(sheets[-1]) and y > first:
            _outline(sheets[-1], record, first, y, pitch)
            sheets.append(_new_sheet(records, len(sheets)))
            first = y = sheets[-1].frame[1] + 4.0
        y = _draw_row(sheets[-1], row, y, pitch)
    if record.rows:
        _outline(sheets[-1], record, first, y, pitch)
        y += 3.0
    x, right = sheets[-1].frame[0] + 5.0, sheets[-1].frame[2] - 5.0
    for line in metrics.wrap(metrics.clean(record.missing), parts.SMALL_MM, right - x, bold=True):
        if y + LINE_MM + 1.0 > _limit(sheets[-1]):
            sheets.append(_new_sheet(records, len(sheets)))
            y = sheets[-1].frame[1] + 2.0
        y += LINE_MM
        sheets[-1].text(x, y, line, bold=True, ref="missing")
    refs = [f"position {row[0]}" for row in record.table]
    return table.run_on(
        sheets, y + 2.0, record.heads, record.table, refs=refs, area=table.usual_area,
        fresh=lambda count: _new_sheet(records, count), beside=_beside(sheets[-1], record),
    )  # fmt: skip


WRAPPED = 1.35
"""A table stands in two parts as long as no more of its width than this is wrapped away."""


def _beside(sheet: Sheet, record: PanelFace) -> int:
    left, _, right, _ = table.usual_area(sheet)
    heads, body = table.filled(record.heads, record.table)
    wide = sum(table.column_widths(heads, body, 2 * (right - left)))
    return 2 if wide <= WRAPPED * (right - left) / 2 else 1


def _pitch(sheet: Sheet, record: PanelFace) -> float:
    return min(MOST_MM, (sheet.frame[2] - sheet.frame[0] - 16.0) / record.columns)


def _small_table(sheet: Sheet, record: PanelFace) -> tuple[float, list[float], list[str], Rows]:
    """X, widths, heads and rows of the table beside a small panel."""
    heads, body = table.filled(record.heads, record.table)
    x = sheet.frame[0] + 5.0 + _pitch(sheet, record) * record.columns + 12.0
    return x, table.column_widths(heads, body, sheet.frame[2] - 5.0 - x), heads, body


def _small_mm(sheet: Sheet, record: PanelFace) -> float:
    """Height of a small panel with its name, and its table beside it."""
    _, widths, heads, body = _small_table(sheet, record)
    pitch = _pitch(sheet, record)
    face = sum(_high(row, pitch) for row in record.rows) + 1.0
    return 4.0 + max(face, 3.0 + table.height_mm(widths, heads, body))


def _draw_small(sheet: Sheet, record: PanelFace, y: float) -> float:
    top, pitch = y, _pitch(sheet, record)
    for row in record.rows:
        y = _draw_row(sheet, row, y, pitch)
    _outline(sheet, record, top, y, pitch)
    x, widths, heads, body = _small_table(sheet, record)
    refs = [f"position {row[0]}" for row in record.table]
    sheet.text(x, top + 0.8, record.title.title, bold=True)
    under = table.draw_table(sheet, (x, top + 3.0), heads, body, widths=widths, refs=refs)
    return max(y + 1.0, under) + 4.0


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
    return sheet.block[1] - 6.0


def _high(row: Sequence[PanelPosition], pitch: float = MOST_MM) -> float:
    return _head(row, pitch) + FACE_MM + LINE_MM * _lines(row, pitch) + GAP_MM


def _lines(row: Sequence[PanelPosition], pitch: float) -> int:
    """How many lines the longest engraving of a row takes."""
    return max((len(_engraved(spot, pitch)) for spot in row), default=1)


def _engraved(spot: PanelPosition, pitch: float) -> list[str]:
    text = metrics.clean(spot.text if spot.kind else "free")
    room = (pitch - APART_MM) / _narrow(spot, pitch)
    return _kept(metrics.wrap(text, parts.SMALL_MM, room, bold=_bold(spot, pitch)), room)


def _bold(spot: PanelPosition, pitch: float) -> bool:
    """Whether every word fits in bold; if not, lighter letters keep a word in one piece."""
    return _longest(spot, bold=True) <= pitch - APART_MM


def _longest(spot: PanelPosition, *, bold: bool) -> float:
    return max((parts.width(word, bold=bold) for word in spot.text.split()), default=0.0)


LEAST_NARROW = 0.8


def _narrow(spot: PanelPosition, pitch: float) -> float:
    """How much narrower the letters have to be for the longest word to stay in one piece."""
    room, longest = pitch - APART_MM, _longest(spot, bold=False)
    return max(LEAST_NARROW, min(1.0, int(100 * room / longest) / 100)) if longest else 1.0


def _groups(row: Sequence[PanelPosition]) -> list[tuple[str, list[PanelPosition]]]:
    return [(bus, list(group)) for bus, group in groupby(row, key=lambda spot: spot.bus)]


def _head(row: Sequence[PanelPosition], pitch: float) -> float:
    """Height over a row for the names of its buses."""
    counts = [len(_bus_lines(bus, pitch * len(spots))) for bus, spots in _groups(row) if bus]
    return 4.0 + LINE_MM * max(counts) if counts else 2.0


def _bus_lines(bus: str, wide: float) -> list[str]:
    room = wide - 3.0
    return _kept(metrics.wrap(metrics.clean(bus.upper()), parts.SMALL_MM, room, bold=True), room)


def _outline(sheet: Sheet, record: PanelFace, top: float, bottom: float, pitch: float) -> None:
    x = sheet.frame[0] + 5.0
    box = (x, top - 2.0, x + pitch * record.columns + 6.0, bottom + 1.0)
    sheet.rect(box, width_mm=0.5, kind="rule", ref="panel", corner_mm=3.0)


# --- rows -------------------------------------------------------------------------------------


def _draw_row(sheet: Sheet, row: Sequence[PanelPosition], y: float, pitch: float) -> float:
    """One row of positions; gives the y of the next."""
    left = sheet.frame[0] + 8.0
    level = y + _head(row, pitch)
    for bus, spots in _groups(row):
        _bus(sheet, bus, left + pitch * (spots[0].column - 1), pitch * len(spots), level - 2.0)
    for spot in row:
        _position(sheet, spot, left + pitch * (spot.column - 0.5), level, pitch)
    return level + FACE_MM + LINE_MM * _lines(row, pitch) + GAP_MM


def _bus(sheet: Sheet, bus: str, x: float, wide: float, level: float) -> None:
    """The bracket over the positions of one bus."""
    if not bus:
        return
    points = ((x + 1.0, level + 1.4), (x + 1.0, level), (x + wide - 1.0, level))
    sheet.line((*points, (x + wide - 1.0, level + 1.4)), width_mm=0.35, kind="rule", ref="bus")
    for i, line in enumerate(reversed(_bus_lines(bus, wide))):
        sheet.text(x + 2.0, level - 1.2 - LINE_MM * i, line, bold=True, ref=bus)


def _position(sheet: Sheet, spot: PanelPosition, x: float, y: float, pitch: float) -> None:
    """One position: its name, its face, and what is engraved under it."""
    ref = spot.ref or f"position {spot.name}"
    middle = y + 2.0 + RADIUS_MM
    sheet.text(x - pitch / 2 + 1.0, y + 2.6, spot.name, colour=GREY, ref=ref)
    if not spot.kind:
        sheet.circle((x, middle), RADIUS_MM, kind="rule", ref=ref, dash=(1.0, 0.8))
        sheet.text(x, y + FACE_MM + LINE_MM, "free", align="center", colour=GREY, ref=ref)
        return
    _face(sheet, spot, x, middle, ref)
    for i, line in enumerate(_engraved(spot, pitch)):
        base = y + FACE_MM + LINE_MM * (i + 1)
        bold, narrow = _bold(spot, pitch), _narrow(spot, pitch)
        room = (pitch - APART_MM) / narrow + 0.05
        sheet.text(
            x, base, line, align="center", bold=bold, room_mm=room, ref=ref, narrow=narrow
        )  # fmt: skip


def _kept(lines: Sequence[str], room: float) -> list[str]:
    """At most so many lines; the last says by dots that there is more."""
    if len(lines) <= LINES:
        return list(lines)
    return [*lines[: LINES - 1], metrics.clip(" ".join(lines[LINES - 1 :]), room, bold=True)]


def _face(sheet: Sheet, spot: PanelPosition, x: float, y: float, ref: str) -> None:
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
