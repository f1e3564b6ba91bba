"""How wide and high each node of a circuit is on its row, and what is written at it."""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.inputs import PART, CircuitSheet, DrawnDevice, DrawnRow, DrawnWire, Node
from elec.drawings.layout import rows as layout
from elec.drawings.sheets import parts
from elec.drawings.symbols import shape

SMALL = parts.SMALL_MM
PIN_MM = 4.8
PIN_ROOM_MM = 22.0
LINE_MM = parts.LINE_MM
GROUND_ROOM_MM = 42.0
GROUND_LEAST_MM = 28.0
"""Width of the name of a ground point, and where a row is too wide for its sheet."""
TITLE_ROOM_MM = 60.0
SIGNAL_ROOM_MM = 38.0
SOURCES = ("battery", "alternator", "external")
DEVICES = (
    "breaker", "fuse", "limiter", "link", "switch", "closed-contact", "limit-diode", "button",
    "contactor", "relay", "changeover", "dimmer", "diode", "schottky", "shunt",
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
    named = dict.fromkeys(("equipment", "ground", "chassis"), 96.0)  # in two lines
    room = ({"flag": FLAG_ROOM_MM, "note": NOTE_ROOM_MM} | named).get(node.kind, 48.0)
    return replace(
        node,
        label=metrics.clip(node.label, room, bold=node.kind != "note"),
        sublabel=metrics.clip(node.sublabel, NAME_MM),
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
        wide = parts.slot_mm(shown)
        if node.tapped:  # it stands left of its post
            said = bounded(node.tapped, bold=True, room=TAP_ROOM_MM) + 2.0
            wide = max(wide + TAP_MM, 2 * said - shape(node.kind).length_mm)
        return layout.NodeBox(
            ref=node.ref,
            kind=node.kind,
            width_mm=wide,
            above_mm=parts.device_above_mm(shown) + 0.6,
            below_mm=parts.device_below_mm(shown) + 0.6 + (TAP_MM if node.tapped else 0.0),
        )
    return _CELLS.get(node.kind, _equipment_cell)(node)


TAP_MM = 4.4
"""Under a contact with a tap at its post: for the begin of that wire, its fuse and its mark."""
TAP_ROOM_MM = 40.0
BOX_MM = 4.6
"""From the first or last contact of a box to its edge."""
INSIDE_MM = 34.0
"""Up to this width a box's name stands in one line."""
NAME_MM = 50.0
"""The widest that a box's name may be; one that takes more than two lines of it is cut."""


def _equipment_cell(node: Node) -> layout.NodeBox:
    wide = middle_mm(node) + side_mm(node.pin, node.signal)
    return layout.NodeBox(
        ref=node.ref,
        kind="equipment",
        width_mm=wide + side_mm(node.pin_out, node.signal_out),
        above_mm=BOX_MM,
        below_mm=BOX_MM,
        head_mm=BOX_MM,
        foot_mm=BOX_MM,
        lone_mm=LINE_MM / 2 * len(box_lines(node)) + 0.8,
    )


def inner_mm(node: Node) -> float:
    """Width of the symbol inside a box, beside its contacts."""
    return shape(node.inner).length_mm + 2.0 if node.inner else 0.0


def middle_mm(node: Node) -> float:
    """Width of what is between the contacts of a box: its name, and the symbol beside that."""
    return box_title_mm(node) + inner_mm(node)


def box_title_mm(node: Node) -> float:
    """Width of what is written in the middle of a box, with room at both sides."""
    label, under = title(node)
    name = label + PART
    longest = max((parts.width(word, bold=True) for word in name.split()), default=0.0)
    wide = parts.width(name, bold=True)
    if wide > INSIDE_MM:  # in two lines, whose words are parted as evenly as they may be
        tried = (max(INSIDE_MM, longest), 0.6 * wide, 0.75 * wide)
        wide = next((w for w in tried if w >= longest and _two_lines(name, w)), wide)
    return min(NAME_MM, max(wide, parts.width(under))) + 3.0


def _two_lines(name: str, wide: float) -> bool:
    return len(metrics.wrap(name, SMALL, wide + 0.1, bold=True)) <= 2


def box_lines(
    node: Node, *, whole: bool = True, over: bool = False, lone: bool = False
) -> list[tuple[str, bool]]:
    """The lines inside or over a box, and which are bold; an empty one is left for its sheet.

    A part in a single row (`lone`) has no more of them than the whole box.
    """
    label, under = title(node)
    name = label if whole else label + PART
    room = box_title_mm(node) - 2.9
    if over:
        lines = [(metrics.clip(name, NAME_MM, bold=True), True)]
    elif lone and not whole and len(metrics.lines(label, SMALL, room, 2, bold=True)) < 2:
        clear = room - parts.width(PART, bold=True)
        lines = [(metrics.clip(label, clear, bold=True) + PART, True)]
    else:
        lines = [(line, True) for line in metrics.lines(name, SMALL, room, 2, bold=True)]
    if under:
        lines.append((under, False))
    return [*lines, ("", False)] if node.target else lines


def side_mm(pin: str, signal: str) -> float:
    """Width of a contact and its signal inside a box."""
    if not pin and not signal:
        return 0.0
    return (pin_mm(pin) if pin else 0.0) + 2.0 + bounded(signal, room=SIGNAL_ROOM_MM) + 2.0


def pin_mm(pin: str) -> float:
    """Width of a contact's cell."""
    return max(6.4, min(parts.width(pin, bold=True), PIN_ROOM_MM) + 2.4)


CONNECTOR_MM = 3.4
"""From the first or last contact of a connector between harnesses to its edge."""


def connector_mm(node: Node) -> float:
    """Width of a connector between harnesses as drawn for one of its contacts."""
    return max(12.0, 2 * (min(parts.width(node.pin), 14.0) + 3.0))


def _connector_cell(node: Node) -> layout.NodeBox:
    label, under = title(node)
    wide = connector_mm(node)
    foot = max(bounded(under), SPOT_ROOM_MM - 2.0 if node.target else 0.0)
    return layout.NodeBox(
        ref=node.ref,
        kind="connector",
        width_mm=max(wide, bounded(label.removesuffix(PART) + PART, bold=True), foot),
        above_mm=layout.HALF_MM,
        below_mm=layout.HALF_MM,
        head_mm=CONNECTOR_MM + 4.4,
        foot_mm=CONNECTOR_MM + (5.0 if under else 0.6) + (LINE_MM if node.target else 0.0),
    )


def _splice_cell(node: Node) -> layout.NodeBox:
    label, under = title(node)
    name = (label or node.signal) + PART
    wide = max(3.0, bounded(name, bold=True), bounded(under, room=30.0))
    return layout.NodeBox(
        ref=node.ref,
        kind="splice",
        width_mm=wide,
        above_mm=1.0,
        below_mm=1.0,
        head_mm=4.8 + (LINE_MM if under else 0.0),
    )


def ground_lines(node: Node) -> tuple[str, ...]:
    """The name of a ground point in up to three lines."""
    return tuple(
        line
        for text in title(node)
        for line in metrics.wrap(
            metrics.clean(text), SMALL, GROUND_LEAST_MM if node.narrow else GROUND_ROOM_MM
        )
    )[:3]


def _ground_cell(node: Node) -> layout.NodeBox:
    form = shape("chassis" if node.kind == "chassis" else "ground")
    lines = ground_lines(node)
    first = ground_line_mm(lines)
    spot = parts.width(lines[-1]) + SPOT_GAP_MM + GROUND_SPOT_MM if node.target else 0.0
    return layout.NodeBox(
        ref=node.ref,
        kind=node.kind,
        width_mm=max([*map(parts.width, lines), spot]) + 1.5 + form.right_mm - form.left_mm,
        above_mm=max(2.0, SMALL - first + 0.6),
        below_mm=max(form.below_mm + 1.6, first + LINE_MM * (len(lines) - 1) + 2.0),
    )


def ground_line_mm(lines: Sequence[str]) -> float:
    """How far below its wire the first line at a ground stands; the first of several is above."""
    return {1: 3.0, 2: -1.0}.get(len(lines), 1.0 - LINE_MM)


def _bus_cell(node: Node) -> layout.NodeBox:
    label, under = title(node)
    said = bounded(label, bold=True, room=44.0), bounded(under, room=44.0)
    return layout.NodeBox(
        ref=node.ref,
        kind="bus",
        width_mm=2.0 + max(BAR_SPOT_MM if node.target else 2.0, *said),
        above_mm=4.2,
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
        below_mm=form.below_mm + 4.9,
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
SPOT_ROOM_MM = 20.0
"""Room in a flag for the sheet and zone that it leads to (`E12.3/B4`)."""


BAR_SPOT_MM = 12.0
"""Room at a bus for sheet and zone of its bar (`P1/B4`)."""
GROUND_SPOT_MM = 6.4
"""Room at a ground for the sheet of its terminal (`G12`): its number stands there. Its zone would
change with every wire that another circuit puts before it."""
SPOT_GAP_MM = 2.0
"""From that to the text beside it."""


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
        above_mm=2.2,
        below_mm=2.6,
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


def _bridge_cell(node: Node) -> layout.NodeBox:
    named = node.bridge is not None and node.bridge.names[1]
    return layout.NodeBox(
        ref=node.ref,
        kind="bridge",
        width_mm=BRIDGE_MM,
        above_mm=BRIDGE_PITCH_MM / 2 - 0.5,
        below_mm=BRIDGE_PITCH_MM / 2 - 0.5,
        head_mm=COMMON_MM + 6.8,
        foot_mm=COMMON_MM + (6.6 if named else 3.0),
    )


def _throw_cell(node: Node) -> layout.NodeBox:
    return layout.NodeBox(
        ref=node.ref,
        kind="throw",
        width_mm=2 * max(THROW_MM + throw_mm(node), bounded(node.label, bold=True, room=44.0) / 2),
        above_mm=THROW_PITCH_MM / 2 - 0.5,
        below_mm=THROW_PITCH_MM / 2 - 0.5,
        head_mm=9.6,
        foot_mm=5.6,
    )


def throw_mm(node: Node) -> float:
    """Width of what is said at a throw: its terminal and position, or the word for off."""
    said = throw_text(node)
    return max(bounded(said, room=30.0), bounded(node.sublabel, room=28.0) + 2.0) + 3.0


def throw_text(node: Node) -> str:
    """Terminal and position of a throw."""
    return parts.join(node.pin_out, node.signal_out)


THROW_MM = 4.5
"""From the middle of a contact with two throws to its terminals."""
THROW_PITCH_MM = 12.0
"""The least from its one throw to the other."""
BRIDGE_MM = 60.0
"""Width of a bridge; the texts of its two wires reach beyond, between the rows."""
BRIDGE_TIGHT_MM = 50.0
"""The same where a row would be cut without."""
BRIDGE_PITCH_MM = 17.0
"""From its one row to the other."""
COMMON_MM = 5.0
"""How far outside its row the common terminal of a pole lies."""


_CELLS = {
    "bridge": _bridge_cell,
    "throw": _throw_cell,
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
    return wide + 4.0 if wide else BARE_MM


BARE_MM = 3.6
"""The length of a wire without a text."""


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


def box_sides(rows: Iterable[tuple[Node, bool]]) -> tuple[float, float]:
    """What the contacts of a box take at its left and right, from its rows.

    With each row comes whether it begins at the box, which then has its contact at the right.
    """
    left = right = 0.0
    for node, first in rows:
        sides = side_mm(node.pin, node.signal), side_mm(node.pin_out, node.signal_out)
        if first and not sides[1]:
            sides = sides[::-1]
        left, right = max(left, sides[0]), max(right, sides[1])
    return left, right


def strip(name: int, row: DrawnRow, widths: Mapping[str, float] | None = None) -> layout.Strip:
    """A row as the layout sees it; `widths` of its boxes, where other rows have a part in them."""
    found = [cell_of(n) for n in row.nodes]
    return layout.Strip(
        id=name,
        cells=tuple(
            replace(c, width_mm=max(widths[c.ref], c.width_mm if c.kind == "connector" else 0.0))
            if widths and c.kind in ("equipment", "connector")
            else c
            for c in found
        ),
        lengths_mm=tuple(_wire_mm(w) for w in row.conductors),
    )


TIGHT_MM = 2.0
"""What may be taken from the room beside the texts of a wire where a row would be cut without."""
LEAST_BOX_MM = (24.0, 16.0)
"""The least width of a box, and where a row would be cut without."""


def tier(rows: Sequence[DrawnRow], *, over: bool = False, tight: bool = False) -> layout.Tier:
    """Rows laid out in columns; the names of boxes inside them or, to save width, `over` them.

    Where they are `tight`, wires and boxes are no longer than their texts ask for.
    """
    least = LEAST_BOX_MM[tight]
    boxes: dict[str, list[tuple[Node, bool]]] = {}
    for row in rows:
        for k, node in enumerate(row.nodes):
            if node.kind == "equipment":
                boxes.setdefault(node.ref, []).append((node, k == 0))
    pins: dict[str, float] = {}
    for row in rows:
        for node in row.nodes:
            if node.kind == "connector":
                pins[node.ref] = max(pins.get(node.ref, 0.0), connector_mm(node))
    widths = pins | {
        ref: max(least, sum(box_sides(here)) + max(middle_mm(node) for node, _ in here))
        for ref, here in boxes.items()
    }
    strips = [strip(i, row, widths) for i, row in enumerate(rows)]
    if over:
        lines = {ref: box_lines(here[0][0], whole=False, over=True) for ref, here in boxes.items()}
        narrow = {
            ref: max(
                least,
                sum(box_sides(here)) + max(inner_mm(node) for node, _ in here),
                *(min(NAME_MM, parts.width(text, bold=bold)) + 1.0 for text, bold in lines[ref]),
            )
            for ref, here in boxes.items()
        }
        strips = [
            replace(one, cells=tuple(_titled_over(c, narrow, lines) for c in one.cells))
            for one in strips
        ]
    found = layout.tier([_tight(one) for one in strips] if tight else strips)
    found.over = over
    return found


def _tight(strip: layout.Strip) -> layout.Strip:
    """A row whose wires and bridge are no longer than they have to be."""
    wide = tuple(
        replace(c, width_mm=BRIDGE_TIGHT_MM) if c.kind == "bridge" else c for c in strip.cells
    )
    short = tuple(mm - TIGHT_MM if mm > BARE_MM else mm for mm in strip.lengths_mm)
    return replace(strip, cells=wide, lengths_mm=short)


def _titled_over(
    cell: layout.NodeBox, widths: Mapping[str, float], lines: Mapping[str, Sequence[object]]
) -> layout.NodeBox:
    if cell.kind != "equipment":
        return cell
    head = BOX_MM + 0.6 + LINE_MM * len(lines[cell.ref])
    return replace(cell, width_mm=widths[cell.ref], head_mm=head, lone_mm=0.0)


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
