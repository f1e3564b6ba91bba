"""How wide and high each node of a circuit is on its row, and what is written at it."""

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.inputs import CircuitSheet, DrawnDevice, DrawnRow, DrawnWire, Node
from elec.drawings.layout import rows as layout
from elec.drawings.sheets import parts
from elec.drawings.symbols import shape

SMALL = parts.SMALL_MM
PIN_MM = 4.4
PIN_ROOM_MM = 24.0
LINE_MM = 3.2
GROUND_ROOM_MM = 34.0
TITLE_ROOM_MM = 60.0
SIGNAL_ROOM_MM = 44.0
SOURCES = ("battery", "alternator", "external")
DEVICES = (
    "breaker", "fuse", "limiter", "link", "switch", "button", "contactor", "relay", "changeover",
    "dimmer", "diode", "schottky", "shunt",
)  # fmt: skip


def clipped(record: CircuitSheet) -> CircuitSheet:
    """The record with texts that no sheet has room for cut; the finished-sheet check says so."""
    return replace(record, rows=clipped_rows(record.rows))


def clipped_rows(rows: Sequence[DrawnRow]) -> tuple[DrawnRow, ...]:
    """Rows with such texts cut."""
    return tuple(
        DrawnRow(
            nodes=tuple(map(_clipped_node, row.nodes)),
            conductors=tuple(map(_clipped_wire, row.conductors)),
        )
        for row in rows
    )


def _clipped_node(node: Node) -> Node:
    room = {"flag": FLAG_ROOM_MM, "note": NOTE_ROOM_MM}.get(node.kind, 48.0)
    return replace(
        node,
        label=metrics.clip(node.label, room, bold=node.kind != "note"),
        sublabel=metrics.clip(node.sublabel, 58.0),
        connector=metrics.clip(node.connector, 18.0),
        pin=metrics.clip(node.pin, PIN_ROOM_MM, bold=True),
        pin_out=metrics.clip(node.pin_out, PIN_ROOM_MM, bold=True),
        signal=metrics.clip(node.signal, SIGNAL_ROOM_MM),
        signal_out=metrics.clip(node.signal_out, SIGNAL_ROOM_MM),
    )


def _clipped_wire(wire: DrawnWire) -> DrawnWire:
    return replace(
        wire,
        mark=metrics.clip(wire.mark, 26.0, bold=True),
        gauge=metrics.clip(wire.gauge, 18.0),
        colour=metrics.clip(wire.colour, 18.0),
        length=metrics.clip(wire.length, 22.0, bold=True),
        cable=metrics.clip(wire.cable, 44.0),
    )


def device(node: Node) -> DrawnDevice:
    """A node as a device with its label and rating."""
    return DrawnDevice(kind=node.kind, label=node.label, rating=node.sublabel)  # type: ignore[arg-type]


def title(node: Node) -> tuple[str, str]:
    """The bold line of a node and the line under it."""
    label = node.label if node.kind == "splice" else node.label or node.ref
    return label, parts.join(node.sublabel, node.connector)


def bounded(text: str, *, bold: bool = False, room: float = TITLE_ROOM_MM) -> float:
    """Width of a text, at most the room that it will get."""
    return min(room, parts.width(text, bold=bold))


def cell_of(node: Node) -> layout.NodeBox:
    """A node's size."""
    if node.kind in DEVICES:
        shown = device(node)
        return layout.NodeBox(
            ref=node.ref,
            kind=node.kind,
            width_mm=parts.slot_mm(shown),
            above_mm=parts.device_above_mm(shown) + 0.6,
            below_mm=parts.device_below_mm(shown) + 0.6,
        )
    return _CELLS.get(node.kind, _equipment_cell)(node)


def _equipment_cell(node: Node) -> layout.NodeBox:
    label, under = title(node)
    wide = max(
        24.0,
        side_mm(node.pin, node.signal) + side_mm(node.pin_out, node.signal_out),
        bounded(f"{label} (part)", bold=True) + 2.0,
        bounded(under) + 2.0,
    )
    head = 5.0 + 4.2 + (3.2 if under else 0.0)
    return layout.NodeBox(
        ref=node.ref,
        kind="equipment",
        width_mm=wide,
        above_mm=layout.HALF_MM,
        below_mm=layout.HALF_MM,
        head_mm=head,
        foot_mm=5.4,
    )


def side_mm(pin: str, signal: str) -> float:
    """Width of a contact and its signal inside a box."""
    if not pin and not signal:
        return 0.0
    return (pin_mm(pin) if pin else 0.0) + 2.0 + bounded(signal, room=SIGNAL_ROOM_MM) + 2.0


def pin_mm(pin: str) -> float:
    """Width of a contact's cell."""
    return max(6.4, min(parts.width(pin, bold=True), PIN_ROOM_MM) + 2.4)


def _connector_cell(node: Node) -> layout.NodeBox:
    label, under = title(node)
    wide = max(12.0, 2 * (min(parts.width(node.pin), 14.0) + 3.0))
    return layout.NodeBox(
        ref=node.ref,
        kind="connector",
        width_mm=max(wide, bounded(f"{label} (part)", bold=True), bounded(under)),
        above_mm=layout.HALF_MM,
        below_mm=layout.HALF_MM,
        head_mm=4.2 + 4.2 + (3.2 if under else 0.0),
        foot_mm=4.8,
    )


def _splice_cell(node: Node) -> layout.NodeBox:
    label, under = title(node)
    name = f"{label or node.signal} (part)"
    wide = max(3.0, bounded(name, bold=True), bounded(under, room=30.0))
    return layout.NodeBox(
        ref=node.ref,
        kind="splice",
        width_mm=wide,
        above_mm=1.0,
        below_mm=1.0,
        head_mm=4.6 + (3.2 if under else 0.0),
    )


def ground_lines(node: Node) -> tuple[str, ...]:
    """The name of a ground point in up to three lines."""
    return tuple(
        line
        for text in title(node)
        for line in metrics.wrap(metrics.clean(text), SMALL, GROUND_ROOM_MM)
    )[:3]


def _ground_cell(node: Node) -> layout.NodeBox:
    form = shape("chassis" if node.kind == "chassis" else "ground")
    lines = ground_lines(node)
    return layout.NodeBox(
        ref=node.ref,
        kind=node.kind,
        width_mm=max(map(parts.width, lines)) + 1.5 + form.right_mm - form.left_mm,
        above_mm=2.0,
        below_mm=max(form.below_mm + 1.6, 1.0 + LINE_MM * len(lines)),
    )


def _bus_cell(node: Node) -> layout.NodeBox:
    label, under = title(node)
    return layout.NodeBox(
        ref=node.ref,
        kind="bus",
        width_mm=max(4.0, bounded(label, bold=True, room=44.0), bounded(under, room=44.0)),
        above_mm=8.0 + (3.2 if under else 0.0),
        below_mm=4.2,
    )


def _source_cell(node: Node) -> layout.NodeBox:
    label, under = title(node)
    form = shape(node.kind)
    wide = max(form.right_mm, bounded(label, bold=True), bounded(under))
    return layout.NodeBox(
        ref=node.ref,
        kind=node.kind,
        width_mm=wide,
        above_mm=form.above_mm + 4.6,
        below_mm=form.below_mm + 4.6,
    )


def _flag_cell(node: Node) -> layout.NodeBox:
    return layout.NodeBox(
        ref=node.ref,
        kind="flag",
        width_mm=flag_mm(node),
        above_mm=layout.HALF_MM,
        below_mm=layout.HALF_MM,
    )


FLAG_ROOM_MM = 52.0
SPOT_ROOM_MM = 15.0
"""Room in a flag for the sheet and zone that it leads to (`E12.3/B4`)."""


def flag_mm(node: Node) -> float:
    """Length of a flag; where it leads to another sheet it has a second line with that."""
    first = min(parts.width(node.label, bold=bool(node.sublabel)), FLAG_ROOM_MM)
    if not node.target:
        return first + 6.0
    return max(first, min(parts.width(node.sublabel), FLAG_ROOM_MM) + SPOT_ROOM_MM) + 6.0


def _note_cell(node: Node) -> layout.NodeBox:
    return layout.NodeBox(
        ref=node.ref,
        kind="note",
        width_mm=bounded(node.label, room=NOTE_ROOM_MM) + 1.0,
        above_mm=2.0,
        below_mm=2.4,
    )


NOTE_ROOM_MM = 74.0
SHIELD_MM = 3.4
"""Width of the oval that stands for a shield."""
TWIST_MM = 3.0
COAX_MM = 3.2


def _through_cell(node: Node) -> layout.NodeBox:
    wide = {"shield": SHIELD_MM, "twist": TWIST_MM, "coax": COAX_MM}[node.kind]
    return layout.NodeBox(
        ref=node.ref,
        kind=node.kind,
        width_mm=wide,
        above_mm=layout.HALF_MM,
        below_mm=layout.HALF_MM,
    )


_CELLS = {
    "equipment": _equipment_cell,
    "connector": _connector_cell,
    "splice": _splice_cell,
    "ground": _ground_cell,
    "chassis": _ground_cell,
    "stud": _ground_cell,
    "bus": _bus_cell,
    "flag": _flag_cell,
    "note": _note_cell,
    **dict.fromkeys(layout.THROUGH_KINDS, _through_cell),
    **dict.fromkeys(SOURCES, _source_cell),
}


def wire_texts(wire: DrawnWire) -> tuple[str, str]:
    """What stands over and under a conductor."""
    over = parts.join(wire.mark, wire.length)
    return over, parts.join(wire.gauge, wire.colour, wire.cable)


def _wire_mm(wire: DrawnWire) -> float:
    texts = wire_texts(wire)
    wide = max(parts.width(texts[0], bold=True), parts.width(texts[1]))
    return wide + 4.0 if wide else 3.6


class WireSpan(Struct, frozen=True, kw_only=True):
    """A conductor of a row from node `first` to node `last`, through what lies around it."""

    first: int
    last: int
    texted: int
    """The piece that its texts stand on."""
    wire: DrawnWire


def spans(row: DrawnRow) -> list[WireSpan]:
    """The conductors of a row; a shield, twist or coaxial mark parts no conductor."""
    found: list[WireSpan] = []
    first = 0
    for k, wire in enumerate(row.conductors):
        if wire.gap:
            first = k + 1
            continue
        inside = k + 1 < len(row.conductors) and not row.conductors[k + 1].gap
        if inside and row.nodes[k + 1].kind in layout.THROUGH_KINDS:
            continue
        pieces = range(first, k + 1)
        texted = max(pieces, key=lambda i: len(parts.join(*wire_texts(row.conductors[i]))))
        named = next((i for i in pieces if row.conductors[i].ref), texted)
        best = row.conductors[texted]
        shown = best if best.ref else replace(best, ref=row.conductors[named].ref)
        found.append(WireSpan(first=first, last=k + 1, texted=texted, wire=shown))
        first = k + 1
    return found


def strip(name: int, row: DrawnRow) -> layout.Strip:
    """A row as the layout sees it."""
    return layout.Strip(
        id=name,
        cells=tuple(cell_of(n) for n in row.nodes),
        lengths_mm=tuple(_wire_mm(w) for w in row.conductors),
    )


def tier(rows: Sequence[DrawnRow]) -> layout.Tier:
    """Rows laid out in columns."""
    return layout.tier([strip(i, row) for i, row in enumerate(rows)])


def end_text(node: Node, *, right: bool = False) -> str:
    """The end of a conductor at the left or right side of a node in words."""
    pin = (node.pin_out or node.pin) if right else (node.pin or node.pin_out)
    place = "-".join(p for p in (node.connector, pin) if p)
    if node.kind in DEVICES:
        name = f"{node.label} {node.kind}" if node.label else node.kind
        if node.kind == "dimmer" and node.label:  # it is called so
            name = node.label
        if pin:
            return f"{name}, terminal {pin}"
        return f"{node.sublabel} {name}".strip()
    if node.kind == "splice" and not node.label:
        return node.signal or "joint"
    return parts.join(node.label or node.ref, place)
