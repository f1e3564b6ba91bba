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
FACE_MM = 11.0
LINE_MM = 3.2
LINES = 3
GAP_MM = 4.0
RADIUS_MM = 4.0
APART_MM = 0.8
"""Between the engravings of neighbours."""


def panel(records: Sequence[PanelFace]) -> list[Sheet]:
    """The sheets of one panel, or of several small ones one under the other."""
    several = len(records) > 1
    sheets = [_new_sheet(records, 0)]
    y = sheets[0].frame[1] + 6.0
    for record in records:
        if several:
            top = sum(map(_high, record.rows)) + table.ROW_MM * (len(record.table) + 1) + 12.0
            if y + top > _limit(sheets[-1]) and y > sheets[-1].frame[1] + 7.0:
                sheets.append(_new_sheet(records, len(sheets)))
                y = sheets[-1].frame[1] + 6.0
            sheets[-1].text(sheets[-1].frame[0] + 5.0, y + 1.0, record.title.title, bold=True)
            y += 5.0
        y = _draw_panel(records, record, sheets, y)
    for sheet in sheets:
        _strip(sheet, tuple(dict.fromkeys(note for r in records for note in r.notes)))
    return sheets


def _draw_panel(
    records: Sequence[PanelFace], record: PanelFace, sheets: list[Sheet], y: float
) -> float:
    """One panel with its table, on as many sheets as that takes; gives the y under it."""
    pitch = min(MOST_MM, (sheets[0].frame[2] - sheets[0].frame[0] - 16.0) / record.columns)
    first = y
    for row in record.rows:
        if y + _high(row, pitch) > _limit(sheets[-1]) and y > first:
            _outline(sheets[-1], record, first, y, pitch)
            sheets.append(_new_sheet(records, len(sheets)))
            first = y = sheets[-1].frame[1] + 6.0
        y = _draw_row(sheets[-1], row, y, pitch)
    if record.rows:
        _outline(sheets[-1], record, first, y, pitch)
    return _draw_table(records, record, sheets, y + 5.0) + 8.0


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
    room, bold = pitch - APART_MM, _bold(spot, pitch)
    return _kept(metrics.wrap(text, parts.SMALL_MM, room, bold=bold), room)


def _bold(spot: PanelPosition, pitch: float) -> bool:
    """Whether every word fits in bold; if not, lighter letters keep a word in one piece."""
    return all(parts.width(word, bold=True) <= pitch - APART_MM for word in spot.text.split())


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
        room, bold = pitch - APART_MM, _bold(spot, pitch)
        sheet.text(x, base, line, align="center", bold=bold, room_mm=room, ref=ref)


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
    size = 1.8 if len(spot.rating) > 2 else 2.5
    sheet.text(
        x, y, spot.rating, capital_mm=size, align="center", middle=True, bold=True, ref=ref,
        role="letter",
    )  # fmt: skip


# --- below ------------------------------------------------------------------------------------


def _draw_table(
    records: Sequence[PanelFace], record: PanelFace, sheets: list[Sheet], y: float
) -> float:
    refs = [f"position {row[0]}" for row in record.table]
    return table.run_on(
        sheets, y, record.heads, record.table, refs=refs, area=table.usual_area,
        fresh=lambda count: _new_sheet(records, count),
    )  # fmt: skip


def _strip(sheet: Sheet, notes: Sequence[str]) -> None:
    parts.draw_notes(sheet, notes, paper.strip(sheet))
