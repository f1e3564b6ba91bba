"""A connector: mating face and wiring side side by side, and the table of its pins.

Whether a view is mirrored: the published places are those of the plug's mating face; they are
mirrored for the socket's mating face and for the plug's wiring side.
"""

from collections.abc import Sequence
from dataclasses import replace

from elec.drawings import metrics
from elec.drawings.inputs import ConnectorFace, Pin
from elec.drawings.sheet import GREY, Point, Sheet
from elec.drawings.sheets import parts, table
from elec.record import dataclass

SMALL = parts.SMALL_MM
HEADS = ("pin", "signal", "wire", "gauge", "goes to", "done")
USED_FILL = "#d7e3ee"
LEAST_PITCH_MM = 5.2
MOST_SCALE = 3.0
WORDS = {
    "used": "used",
    "spare": "spare: no wire",
    "unwired": "named in the file, but no wire reaches it",
    "double": "claimed by two wires: settle before crimping",
}
VIEWS = (
    ("mating face", "looked at from the front, where the other half plugs in"),
    ("wiring side", "looked at from behind, where the wires go in"),
)


def mirrored(gender: str, view: str) -> bool:
    """Whether a view shows the published places with left and right exchanged.

    >>> mirrored("pin", "mating face"), mirrored("socket", "mating face")
    (False, True)
    >>> mirrored("pin", "wiring side"), mirrored("socket", "wiring side")
    (True, False)
    """
    return (gender == "socket") != (view == "wiring side")


def connector(record: ConnectorFace) -> list[Sheet]:
    """The sheets of one connector, numbered on from the record's title block."""
    sheet = _new(record, 0)
    y = _heading(sheet, record)
    y = _faces(sheet, record, y)
    sheets = _tables(record, sheet, y)
    for each in sheets:
        _strip(each, record)
    return sheets


def _new(record: ConnectorFace, n: int) -> Sheet:
    number = record.title.sheet + n
    title = record.title.title + (f", continued ({n + 1})" if n else "")
    states = {s: [p.name for p in record.pins if p.state == s] for s in WORDS}
    about = "; ".join(f"{WORDS[s]}: {', '.join(names)}" for s, names in states.items() if names)
    block = replace(record.title, sheet=number, title=title, document_type="connector")
    return Sheet(
        size=record.size,
        title=block,
        id=f"sheet-{block.label}",
        description=f"{record.title.title}, mating face and wiring side. {about}.",
    )


def _heading(sheet: Sheet, record: ConnectorFace) -> float:
    x0, y0, x1, _ = sheet.frame
    contacts = {
        "pin": "with pins (male)",
        "socket": "with sockets (female)",
        "": "gender not given",
    }
    text = parts.join(record.arrangement.name, record.half, contacts[record.gender])
    head = parts.join(record.equipment, record.name)
    x, y = x0 + 5.0, y0 + 7.0
    sheet.text(x, y, head, capital_mm=3.5, bold=True, room_mm=x1 - x - 5.0, ref=record.id)
    sheet.text(x, y + 5.0, text, capital_mm=2.5, room_mm=x1 - x - 5.0, ref=record.id)
    y += 8.5
    doubles = [p.name for p in record.pins if p.state == "double"]
    warnings = []
    if doubles:
        warnings.append(f"Contact {', '.join(doubles)}: claimed by two wires. Settle it first.")
    if not record.gender:
        warnings.append("It is not said whether this half has pins or sockets: views as for pins.")
    if record.arrangement.schematic:
        warnings.append(
            "Schematic: contacts stand in the order of their names, not where they are on the "
            "part. Go by the maker's drawing."
        )
    for warning in warnings:
        for line in metrics.wrap("⚠ " + warning, 2.2, x1 - x - 5.0, bold=True):
            y += 4.2
            sheet.text(x, y, line, capital_mm=2.2, bold=True, ref=record.id)
    return y + 3.0


# --- faces ------------------------------------------------------------------------------------


def _extent(record: ConnectorFace) -> tuple[float, float]:
    """Half width and half height of the face, mm before scaling."""
    shell, contacts = record.arrangement.shell, record.arrangement.contacts
    if shell:
        return shell.flange_width_mm / 2, shell.flange_height_mm / 2
    return (
        max((abs(c.x_mm) for c in contacts), default=0.0) + 4.0,
        max((abs(c.y_mm) for c in contacts), default=0.0) + 4.0,
    )


def _pitch(record: ConnectorFace) -> float:
    """Least distance of two contacts, mm before scaling."""
    contacts = record.arrangement.contacts
    gaps = (
        ((a.x_mm - b.x_mm) ** 2 + (a.y_mm - b.y_mm) ** 2) ** 0.5
        for i, a in enumerate(contacts)
        for b in contacts[i + 1 :]
    )
    return min(gaps, default=4.0)


def _faces(sheet: Sheet, record: ConnectorFace, y: float) -> float:
    """Both views beside each other, or, where they would be too small, under each other."""
    x0, _, x1, _ = sheet.frame
    half_width, half_height = _extent(record)
    pitch = _pitch(record)
    beside = min(MOST_SCALE, ((x1 - x0) / 2 - 10.0) / (2 * half_width))
    stacked = min(MOST_SCALE, (x1 - x0 - 20.0) / (2 * half_width))
    below = beside * pitch < LEAST_PITCH_MM
    left_over = sheet.block[1] - 3.0 - y - 18.0 - _pin_table(sheet, record).height_mm()
    if not below and left_over > 0:
        beside = min(beside, max(left_over / (2 * half_height), LEAST_PITCH_MM / pitch))
    scale = min(stacked, 1.3 * LEAST_PITCH_MM / pitch) if below else beside
    height = 2 * half_height * scale
    for k, (view, words) in enumerate(VIEWS):
        x = (x0 + x1) / 2 if below else x0 + (x1 - x0) * (0.25 + 0.5 * k)
        top = y + (k * (height + 18.0) if below else 0.0)
        sheet.text(x, top + 3.0, view.upper(), capital_mm=2.5, align="center", bold=True, ref=view)
        sheet.text(x, top + 6.6, words, align="center", ref=view)
        middle = top + 9.5 + height / 2
        _face(sheet, record, (x, middle), scale, view)
    return y + (2 * (height + 18.0) if below else height + 18.0)


def _face(sheet: Sheet, record: ConnectorFace, at: Point, scale: float, view: str) -> None:
    sign = -1.0 if mirrored(record.gender, view) else 1.0
    _shell(sheet, record, at, scale, view)
    pins = {p.name: p for p in record.pins}
    radius = 0.44 * _pitch(record) * scale
    most = max(
        [4.2, *(parts.width(c.pin, bold=True) / 2 + 0.5 for c in record.arrangement.contacts)]
    )
    for contact in record.arrangement.contacts:
        x, y = at[0] + sign * contact.x_mm * scale, at[1] - contact.y_mm * scale
        pin = pins.get(contact.pin, Pin(name=contact.pin))
        _contact(sheet, pin, (x, y), min(radius, most), f"{record.id} {view}")


def _contact(sheet: Sheet, pin: Pin, at: Point, radius: float, group: str) -> None:
    used = pin.state in ("used", "double")
    open_ = pin.state == "spare"
    sheet.circle(
        at,
        radius,
        kind="rule",
        width_mm=0.5 if used else 0.2,
        dash=(0.7, 0.5) if open_ else (),
        fill=USED_FILL if used else None,
        ref=pin.name,
        group=group,
    )
    if pin.state == "double":
        sheet.circle(at, radius - 0.7, kind="rule", width_mm=0.3, ref=pin.name, group=group)
    sheet.text(
        at[0],
        at[1],
        pin.name,
        middle=True,
        align="center",
        bold=used,
        colour="#000000" if used else GREY,
        room_mm=2 * radius - 0.3,
        ref=pin.name,
        group=group,
    )


def _shell(sheet: Sheet, record: ConnectorFace, at: Point, scale: float, view: str) -> None:
    x, y = at
    half_width, half_height = (v * scale for v in _extent(record))
    box = (x - half_width, y - half_height, x + half_width, y + half_height)
    group = f"{record.id} {view}"
    shell = record.arrangement.shell
    if record.arrangement.shape == "circular":
        radius = max(half_width, half_height)
        sheet.circle(at, radius, kind="rule", width_mm=0.5, group=group)
        key = ((x - 1.5, y - radius), (x, y - radius + 1.8), (x + 1.5, y - radius))
        sheet.line(key, kind="rule", width_mm=0.5, group=group)
        return
    sheet.rect(box, kind="rule", width_mm=0.35, corner_mm=1.5, group=group)
    if shell:
        wide, narrow = shell.wide_half_mm * scale, shell.narrow_half_mm * scale
        half = shell.height_mm / 2 * scale
        corners = (
            (x - wide, y - half), (x + wide, y - half),
            (x + narrow, y + half), (x - narrow, y + half),
        )  # fmt: skip
        sheet.polygon(corners, kind="rule", width_mm=0.5, group=group)
        for side in (-1, 1):
            screw = (x + side * shell.screw_spacing_mm / 2 * scale, y)
            sheet.circle(screw, 1.5 * scale, kind="rule", width_mm=0.35, group=group)


# --- pins -------------------------------------------------------------------------------------


def _pin_row(pin: Pin) -> tuple[str, ...]:
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


def _short(pin: Pin) -> str:
    return {"spare": "spare", "unwired": "no wire"}.get(pin.state, "two wires!")


@dataclass(frozen=True, kw_only=True)
class _PinTable:
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
    used = [i for i in range(len(HEADS)) if i in (0, 1) or any(r[i] for r in rows)]
    heads = [HEADS[i] for i in used]
    cells = [[r[i] for i in used] for r in rows]
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
    x0, _, _, y1 = sheet.frame
    right, top, _, _ = sheet.block
    sheet.line(((x0, top), (right, top)), width_mm=0.25, kind="rule")
    x, y = x0 + 5.5, top + 3.2
    for state, words in WORDS.items():
        _contact(sheet, Pin(name="1", state=state), (x, y), 2.0, "legend")  # type: ignore[arg-type]
        sheet.text(x + 4.0, y, words, middle=True, room_mm=right - x - 6.0, ref="legend")
        y += 4.9
    cautions: Sequence[str] = record.cautions
    if cautions:
        box = (x0 + 3.0, y - 1.5, right - 3.0, y1 - 1.0)
        y -= 2.2
        for line in metrics.wrap(metrics.clean(cautions[0]), SMALL, box[2] - box[0])[:2]:
            y += 3.0
            sheet.text(box[0], y - 1.0, line, ref="caution")
