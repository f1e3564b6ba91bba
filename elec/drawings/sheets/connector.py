"""A connector: mating face and wiring side side by side, and the table of its pins."""

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.inputs import Carries, ConnectorFace, DrawnPin
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import face, paper, parts, table

SMALL = parts.SMALL_MM
HEADS = ("pin", "signal", "wire", "gauge", "goes to", "done")
WORDS = {
    "used": "used",
    "spare": "spare: no wire",
    "unwired": "named, but no wire",
    "double": "two wires: settle it first",
}
CARRIES: tuple[Carries, ...] = ("power", "ground", "signal", "shield")


def connector(record: ConnectorFace) -> list[Sheet]:
    """The sheets of one connector, numbered on from the record's title block."""
    sheet = _new(record, 0)
    y = face.heading(sheet, record)
    y = _faces(sheet, record, y)
    sheets = _tables(record, sheet, y)
    for each in sheets:
        _strip(each, record)
    return sheets


def _new(record: ConnectorFace, n: int) -> Sheet:
    states = {s: [p.name for p in record.pins if p.state == s] for s in WORDS}
    about = "; ".join(f"{WORDS[s]}: {', '.join(names)}" for s, names in states.items() if names)
    block = paper.continued(record.title, n, "connector")
    said = f"{record.title.title}, mating face and wiring side. {about}."
    return paper.page(record.size, block, said)


# --- faces ------------------------------------------------------------------------------------


def _faces(sheet: Sheet, record: ConnectorFace, y: float) -> float:
    """Both views beside each other, or, where they would be too small, under each other."""
    x0, _, x1, _ = sheet.frame
    half_width, half_height = face.extent(record)
    pitch = face.pitch(record)
    beside = min(face.MOST_SCALE, ((x1 - x0) / 2 - 10.0) / (2 * half_width))
    stacked = min(face.MOST_SCALE, (x1 - x0 - 20.0) / (2 * half_width))
    below = beside * pitch < face.LEAST_PITCH_MM
    left_over = sheet.block[1] - 3.0 - y - 18.0 - _pin_table(sheet, record).height_mm()
    if not below and left_over > 0:
        beside = min(beside, max(left_over / (2 * half_height), face.LEAST_PITCH_MM / pitch))
    scale = min(stacked, 1.3 * face.LEAST_PITCH_MM / pitch) if below else beside
    height = 2 * half_height * scale
    for k, (view, words) in enumerate(face.VIEWS):
        x = (x0 + x1) / 2 if below else x0 + (x1 - x0) * (0.25 + 0.5 * k)
        top = y + (k * (height + 18.0) if below else 0.0)
        sheet.text(x, top + 3.0, view.upper(), capital_mm=2.5, align="center", bold=True, ref=view)
        sheet.text(x, top + 6.6, words, align="center", ref=view)
        middle = top + 9.5 + height / 2
        face.draw_face(sheet, record, (x, middle), scale, view)
    return y + (2 * (height + 18.0) if below else height + 18.0)


# --- pins -------------------------------------------------------------------------------------


def _pin_row(pin: DrawnPin) -> tuple[str, ...]:
    signal = (
        pin.signal if pin.state == "used" else parts.join(*dict.fromkeys((pin.signal, _short(pin))))
    )
    return (
        pin.name,
        signal,
        pin.mark,
        pin.gauge,
        pin.goes_to,
        "☐" if pin.state in ("used", "double") else "",
    )


def _short(pin: DrawnPin) -> str:
    return {"spare": "spare", "unwired": "no wire"}.get(pin.state, "two wires!")


class _PinTable(Struct, frozen=True, kw_only=True):
    """The table of pins: columns side by side, each `room_mm` wide."""

    heads: list[str]
    rows: list[list[str]]
    widths: list[float]
    across: int
    room_mm: float

    def height_mm(self) -> float:
        """Height with the rows spread evenly over the columns."""
        return table.ROW_MM * (1 + -(-len(self.rows) // self.across))


def _pin_table(sheet: Sheet, record: ConnectorFace) -> _PinTable:
    rows = [_pin_row(p) for p in record.pins]
    heads, cells = table.filled(HEADS, rows, keep=2)
    x0, _, x1, _ = sheet.frame
    natural = sum(table.column_widths(heads, cells, 1000.0)) if cells else 100.0
    across = max(1, min(3, int((x1 - x0 - 8.0) // (natural + 4.0))))
    room = (x1 - x0 - 10.0) / across - 4.0
    widths = table.column_widths(heads, cells, room)
    return _PinTable(heads=heads, rows=cells, widths=widths, across=across, room_mm=room)


def _tables(record: ConnectorFace, sheet: Sheet, y: float) -> list[Sheet]:
    """The pins in columns of a table, on as many sheets as needed."""
    sheets = [sheet]
    pins = _pin_table(sheet, record)
    cells, across = pins.rows, pins.across
    start, column = 0, 0
    while start < len(cells):
        count = table.rows_that_fit(sheet.block[1] - 3.0 - y)
        if column == across or count < min(4, len(cells) - start):
            sheet = _new(record, len(sheets))
            sheets.append(sheet)
            y, column = sheet.frame[1] + 5.0, 0
            continue
        left = -(-(len(cells) - start) // (across - column))
        count = min(count, max(left, 8))
        x = sheet.frame[0] + 5.0 + column * (pins.room_mm + 4.0)
        part = cells[start : start + count]
        names = [p.name for p in record.pins[start : start + count]]
        table.draw_table(sheet, (x, y), pins.heads, part, widths=pins.widths, refs=names)
        start, column = start + count, column + 1
    return sheets


def _strip(sheet: Sheet, record: ConnectorFace) -> None:
    """What the looks of a contact mean, and cautions."""
    left, top, right, _ = paper.strip(sheet)
    x, y = left + 2.5, top + 1.7
    for state, words in WORDS.items():
        face.draw_contact(sheet, DrawnPin(name="1", state=state), (x, y), 2.2, "legend")  # type: ignore[arg-type]
        sheet.text(x + 4.0, y, words, middle=True, room_mm=34.0, ref="legend")
        y += 4.9
    for k, carries in enumerate(CARRIES):
        spot, level = (left + 48.0, top + 1.7 + 4.9 * k)
        sample = DrawnPin(name="1", state="used", carries=carries)
        face.draw_contact(sheet, sample, (spot - 3.5, level), 2.2, f"legend {carries}")
        sheet.text(spot, level, carries, middle=True, room_mm=right - spot + 2.0, ref="legend")
    if record.cautions:
        y -= 2.2
        for line in metrics.wrap(metrics.clean(record.cautions[0]), SMALL, right - left)[:2]:
            y += 3.0
            sheet.text(left, y - 1.0, line, ref="caution")
