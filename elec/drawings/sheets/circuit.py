"""A circuit as rows: from the bus through each device, splice and connector to the load, and back.

Every conductor carries its mark over the line and gauge, colour and length under it. Below stand
the table of the wires on the sheet, facts and cautions. What finds no room goes on the next sheet.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest

from elec.drawings import metrics
from elec.drawings.inputs import CircuitSheet, Conductor, Device, Node, Row
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import PALE, Align, Box, Sheet
from elec.drawings.sheets import parts, table
from elec.drawings.symbols import shape

SMALL = parts.SMALL_MM
PIN_MM = 4.4
PIN_ROOM_MM = 24.0
FACT_MM = 3.6
LINE_MM = 3.2
GROUND_ROOM_MM = 34.0
TITLE_ROOM_MM = 60.0
SIGNAL_ROOM_MM = 44.0
SOURCES = ("battery", "alternator", "external")
DEVICES = (
    "breaker", "fuse", "limiter", "link", "switch", "button", "contactor", "relay", "changeover",
    "diode", "schottky", "shunt",
)  # fmt: skip


@dataclass(kw_only=True)
class _Page:
    """A sheet being filled: the next free y."""

    sheet: Sheet
    y: float


@dataclass(kw_only=True)
class _Work:
    record: CircuitSheet
    pages: list[_Page] = field(default_factory=list)
    letters: int = 0

    def page(self) -> _Page:
        return self.pages[-1]


def circuit(record: CircuitSheet) -> list[Sheet]:
    """The sheets of one circuit, numbered on from the record's title block."""
    work = _Work(record=record)
    _new_page(work)
    starred = star(record.rows, record.focus) if record.focus else ()
    if starred and _tier(starred).width_mm <= _across(work.page().sheet):
        _draw_tiers(work, starred)
    else:
        by_id = dict(enumerate(record.rows))
        ordered = layout.order([_strip(i, row) for i, row in by_id.items()])
        _draw_tiers(work, [by_id[int(str(strip.id))] for strip in ordered])
    _draw_below(work)
    for page in work.pages:
        _draw_strip(page.sheet, record)
    return [page.sheet for page in work.pages]


def _new_page(work: _Work) -> None:
    block = work.record.title
    n = len(work.pages)
    title = block.title + (f", continued ({n + 1})" if n else "")
    first = block.sheet + n
    sheet = Sheet(
        size=work.record.size,
        title=replace(block, sheet=first, title=title, document_type="circuit diagram"),
        id=f"sheet-{first}",
        description=_described(work.record),
    )
    work.pages.append(_Page(sheet=sheet, y=sheet.frame[1] + 3.0))


def _described(record: CircuitSheet) -> str:
    chains = (" to ".join(dict.fromkeys(map(_end_text, row.nodes))) for row in record.rows)
    return f"{record.title.title}: " + "; ".join(chains) + "."


def _limit(sheet: Sheet) -> float:
    return sheet.block[1] - 3.0


# --- sizes ------------------------------------------------------------------------------------


def _device(node: Node) -> Device:
    return Device(kind=node.kind, label=node.label, rating=node.sublabel)  # type: ignore[arg-type]


def _title(node: Node) -> tuple[str, str]:
    label = node.label if node.kind == "splice" else node.label or node.ref
    return label, parts.join(node.sublabel, node.connector)


def _bounded(text: str, *, bold: bool = False, room: float = TITLE_ROOM_MM) -> float:
    return min(room, parts.width(text, bold=bold))


def _cell(node: Node) -> layout.Cell:
    """A node's size."""
    if node.kind in DEVICES:
        device = _device(node)
        return layout.Cell(
            ref=node.ref,
            kind=node.kind,
            width_mm=parts.slot_mm(device),
            above_mm=parts.device_above_mm(device) + 0.6,
            below_mm=parts.device_below_mm(device) + 0.6,
        )
    return _CELLS.get(node.kind, _equipment_cell)(node)


def _equipment_cell(node: Node) -> layout.Cell:
    label, under = _title(node)
    wide = max(
        24.0,
        _side_mm(node.pin, node.signal) + _side_mm(node.pin_out, node.signal_out),
        _bounded(f"{label} (part)", bold=True) + 2.0,
        _bounded(under) + 2.0,
    )
    head = 5.0 + 4.2 + (3.2 if under else 0.0)
    return layout.Cell(
        ref=node.ref,
        kind="equipment",
        width_mm=wide,
        above_mm=4.0,
        below_mm=4.0,
        head_mm=head,
        foot_mm=5.4,
    )


def _side_mm(pin: str, signal: str) -> float:
    """Width of a contact and its signal inside a box."""
    if not pin and not signal:
        return 0.0
    return (_pin_mm(pin) if pin else 0.0) + 2.0 + _bounded(signal, room=SIGNAL_ROOM_MM) + 2.0


def _pin_mm(pin: str) -> float:
    return max(6.4, min(parts.width(pin, bold=True), PIN_ROOM_MM) + 2.4)


def _connector_cell(node: Node) -> layout.Cell:
    label, under = _title(node)
    wide = max(12.0, 2 * (min(parts.width(node.pin), 14.0) + 3.0))
    return layout.Cell(
        ref=node.ref,
        kind="connector",
        width_mm=max(wide, _bounded(f"{label} (part)", bold=True), _bounded(under)),
        above_mm=4.0,
        below_mm=4.0,
        head_mm=4.2 + 4.2 + (3.2 if under else 0.0),
        foot_mm=4.8,
    )


def _splice_cell(node: Node) -> layout.Cell:
    label, under = _title(node)
    name = f"{label or node.signal} (part)"
    wide = max(3.0, _bounded(name, bold=True), _bounded(under, room=30.0))
    return layout.Cell(
        ref=node.ref,
        kind="splice",
        width_mm=wide,
        above_mm=1.0,
        below_mm=1.0,
        head_mm=4.6 + (3.2 if under else 0.0),
    )


def _ground_lines(node: Node) -> tuple[str, ...]:
    """The name of a ground point in up to three lines."""
    return tuple(
        line
        for text in _title(node)
        for line in metrics.wrap(metrics.clean(text), SMALL, GROUND_ROOM_MM)
    )[:3]


def _ground_cell(node: Node) -> layout.Cell:
    form = shape("chassis" if node.kind == "chassis" else "ground")
    lines = _ground_lines(node)
    return layout.Cell(
        ref=node.ref,
        kind=node.kind,
        width_mm=max(map(parts.width, lines)) + 1.5 + form.right_mm - form.left_mm,
        above_mm=2.0,
        below_mm=max(form.below_mm + 1.6, 1.0 + LINE_MM * len(lines)),
    )


def _bus_cell(node: Node) -> layout.Cell:
    label, under = _title(node)
    return layout.Cell(
        ref=node.ref,
        kind="bus",
        width_mm=max(4.0, _bounded(label, bold=True, room=44.0), _bounded(under, room=44.0)),
        above_mm=8.0 + (3.2 if under else 0.0),
        below_mm=4.2,
    )


def _source_cell(node: Node) -> layout.Cell:
    label, under = _title(node)
    form = shape(node.kind)
    wide = max(form.right_mm, _bounded(label, bold=True), _bounded(under))
    return layout.Cell(
        ref=node.ref,
        kind=node.kind,
        width_mm=wide,
        above_mm=form.above_mm + 4.6,
        below_mm=form.below_mm + 4.6,
    )


def _flag_cell(node: Node) -> layout.Cell:
    return layout.Cell(
        ref=node.ref,
        kind="flag",
        width_mm=parts.flag_mm(metrics.clean(node.label)),
        above_mm=3.2,
        below_mm=3.2,
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
    **dict.fromkeys(SOURCES, _source_cell),
}


def _wire_texts(wire: Conductor) -> tuple[str, str]:
    over = parts.join(wire.mark, wire.length)
    return over, parts.join(wire.gauge, wire.colour, wire.cable)


def _wire_mm(wire: Conductor) -> float:
    texts = _wire_texts(wire)
    wide = max(parts.width(texts[0], bold=True), parts.width(texts[1]))
    return wide + 5.0 if wide else 4.0


def _strip(name: int, row: Row) -> layout.Strip:
    return layout.Strip(
        id=name,
        cells=tuple(_cell(n) for n in row.nodes),
        lengths_mm=tuple(_wire_mm(w) for w in row.conductors),
    )


# --- tiers and pages --------------------------------------------------------------------------


def _draw_tiers(work: _Work, rows: Sequence[Row]) -> None:
    """Rows that fit the width; what is wider is cut and goes on below, joined by letters."""
    if not rows:
        return
    sheet = work.page().sheet
    room = _across(sheet)
    found = _tier(rows)
    letters = work.letters
    for column in layout.cut_columns(found, room):
        work.letters = letters
        left, right = _split(work, found, rows, column)
        if left and right and max(map(_nodes, (left, right))) < _nodes(rows):
            if column > 1 and _tier(left).width_mm > room:
                continue
            _draw_tiers(work, left)
            _draw_tiers(work, right)
            return
    work.letters = letters
    layout.stretch(found, room)
    _draw_rows(work, found, rows)


def _across(sheet: Sheet) -> float:
    """Width for the rows."""
    return sheet.frame[2] - sheet.frame[0] - 10.0


def star(rows: Sequence[Row], focus: str) -> list[Row]:
    """Rows that all begin at one box, with that box in the middle: some to its left, some right.

    Rows to the same box stay together; each group goes to the side that has fewer rows.
    """
    groups: dict[str, list[Row]] = {}
    for row in rows:
        groups.setdefault(row.nodes[-1].ref, []).append(row)
    alone = groups.pop(focus, [])
    left: list[Row] = []
    right: list[Row] = []
    for group in groups.values():
        (right if len(right) <= len(left) else left).extend(group)
    zipped = [_through(a, b) for a, b in zip_longest(left, right)]
    return zipped + alone


def _through(left: Row | None, right: Row | None) -> Row:
    """One row from a box at the left through the middle to a box at the right."""
    if left is None:
        assert right is not None  # noqa: S101  # the longer list has a row here
        node = right.nodes[0]
        first = replace(node, pin="", signal="", pin_out=node.pin, signal_out=node.signal)
        return replace(right, nodes=(first, *right.nodes[1:]))
    turned = Row(nodes=tuple(reversed(left.nodes)), conductors=tuple(reversed(left.conductors)))
    if right is None:
        return turned
    node = right.nodes[0]
    middle = replace(turned.nodes[-1], pin_out=node.pin, signal_out=node.signal)
    return Row(
        nodes=(*turned.nodes[:-1], middle, *right.nodes[1:]),
        conductors=(*turned.conductors, *right.conductors),
    )


def _tier(rows: Sequence[Row]) -> layout.Tier:
    return layout.tier([_strip(i, row) for i, row in enumerate(rows)])


def _split(
    work: _Work, found: layout.Tier, rows: Sequence[Row], column: int
) -> tuple[list[Row], list[Row]]:
    """The rows left and right of a column; a row over it is cut in a conductor."""
    left: list[Row] = []
    right: list[Row] = []
    for keys, row in zip(found.keys, rows, strict=True):
        count = sum(found.column[key] < column for key in keys)
        if count == len(row.nodes) - 1 and row.nodes[-1].kind == "flag":
            count = len(row.nodes)
        if count == 1 and row.nodes[0].kind == "flag":
            count = 0
        if count == len(row.nodes):
            left.append(row)
        elif count == 0:
            right.append(row)
        else:
            a, b = _cut(work, row, count)
            left.append(a)
            right.append(b)
    return left, right


def _nodes(rows: Sequence[Row]) -> int:
    """How many nodes there are, flags aside; it must fall with every cut."""
    return sum(node.kind != "flag" for row in rows for node in row.nodes)


def _cut(work: _Work, row: Row, count: int) -> tuple[Row, Row]:
    """A row cut in the conductor before node `count`."""
    letter = _letter(work.letters)
    work.letters += 1
    wire = row.conductors[count - 1]
    out = Node(kind="flag", ref=f"to {letter}", label=letter)
    back = Node(kind="flag", ref=f"from {letter}", label=letter)
    return (
        Row(nodes=(*row.nodes[:count], out), conductors=row.conductors[:count]),
        Row(
            nodes=(back, *row.nodes[count:]),
            conductors=(replace(wire, gauge="", colour="", length=""), *row.conductors[count:]),
        ),
    )


def _letter(n: int) -> str:
    return chr(ord("A") + n % 26) + ("" if n < 26 else str(n // 26))


def _draw_rows(work: _Work, found: layout.Tier, rows: Sequence[Row]) -> None:
    """As many rows as fit on each page."""
    first = 0
    while first < len(rows):
        page = work.page()
        last = len(rows)
        while True:
            made = layout.parts(found, first, last)
            ys = layout.heights(found, made, first, last)
            fits = page.y + layout.bottom(made, ys, first) <= _limit(page.sheet)
            if fits or last == first + 1:
                break
            last -= 1
        if not fits and page.y > page.sheet.frame[1] + 4.0:
            _new_page(work)
            continue
        _Ink(page.sheet, found, rows, made, [page.y + y for y in ys], first).draw()
        page.y += layout.bottom(made, ys, first) + 3.0
        first = last
        if first < len(rows):
            _new_page(work)


# --- ink --------------------------------------------------------------------------------------


@dataclass
class _Ink:
    """The rows of one page."""

    sheet: Sheet
    found: layout.Tier
    rows: Sequence[Row]
    made: Sequence[layout.Part]
    ys: Sequence[float]
    first: int

    def draw(self) -> None:
        """Conductors, then what they join."""
        for i in range(self.first, self.first + len(self.ys)):
            self._conductors(i)
        for part in self.made:
            self._part(part)

    def _y(self, row: int) -> float:
        return self.ys[row - self.first]

    def _x(self, key: str) -> float:
        return self.sheet.frame[0] + 5.0 + self.found.middle[self.found.column[key]]

    def _terminal(self, row: int, index: int) -> float:
        """X of the point of a ground symbol, its name being beside it."""
        node = self.rows[row].nodes[index]
        form = shape("chassis" if node.kind == "chassis" else "ground")
        x, half = self._x(self.found.keys[row][index]), self._half(row, index)
        return x + half - form.right_mm if index == 0 else x - half - form.left_mm

    def _half(self, row: int, index: int) -> float:
        return self._width(row, index) / 2

    def _width(self, row: int, index: int) -> float:
        """Width of a cell; of a shared one, the widest over its rows."""
        key = self.found.keys[row][index]
        cell = self.found.strips[row].cells[index]
        if cell.kind == "equipment":
            return self._box_width(self.found.column[key])
        if cell.kind not in layout.SHARED_KINDS:
            return cell.width_mm
        pairs = zip(self.found.keys, self.found.strips, strict=True)
        return max(s.cells[k.index(key)].width_mm for k, s in pairs if key in k)

    def _box_width(self, column: int) -> float:
        """The boxes of a column are all as wide as the widest, so that they line up."""
        pairs = zip(self.found.keys, self.found.strips, strict=True)
        return max(
            cell.width_mm
            for keys, strip in pairs
            for key, cell in zip(keys, strip.cells, strict=True)
            if cell.kind == "equipment" and self.found.column[key] == column
        )

    def _port(self, row: int, index: int, side: int) -> float:
        """X where a conductor meets a node, on its left (−1) or right (+1)."""
        node = self.rows[row].nodes[index]
        x = self._x(self.found.keys[row][index])
        if node.kind in DEVICES:
            return x + side * shape(node.kind).length_mm / 2
        if node.kind in ("equipment", "flag"):
            return x + side * self._half(row, index)
        if node.kind == "connector":
            return x + side * self._connector_half(node)
        if node.kind == "bus" or node.kind in SOURCES:
            left = x - self._half(row, index)
            return left + (0.8 if node.kind == "bus" else shape(node.kind).length_mm)
        return x if node.kind == "splice" else self._terminal(row, index)

    def _connector_half(self, node: Node) -> float:
        key = node.ref
        pins = [n.pin for r in self.rows for n in r.nodes if n.ref == key]
        return max(6.0, *(min(parts.width(p), 14.0) + 3.0 for p in pins))

    def _conductors(self, i: int) -> None:
        row, y = self.rows[i], self._y(i)
        for k, wire in enumerate(row.conductors):
            a, b = self._port(i, k, 1), self._port(i, k + 1, -1)
            net = f"{i}.{k}"
            self.sheet.line(((a, y), (b, y)), width_mm=0.35, ref=wire.ref, net=net)
            over, under = _wire_texts(wire)
            left, right = self._free(i, k, 1), self._free(i, k + 1, -1)
            middle = (left + right) / 2
            self.sheet.text(
                middle,
                y - parts.OVER_LINE_MM,
                over,
                align="center",
                bold=bool(wire.mark),
                ref=wire.ref,
            )
            below = y + parts.OVER_LINE_MM + SMALL
            self.sheet.text(middle, below, under, align="center", ref=wire.ref)

    def _free(self, row: int, index: int, side: int) -> float:
        """X from which on a wire's texts are clear of a node's own texts."""
        node = self.rows[row].nodes[index]
        if node.kind in ("equipment", "flag", "connector"):
            return self._port(row, index, side)
        return self._x(self.found.keys[row][index]) + side * self._half(row, index)

    def _part(self, part: layout.Part) -> None:
        row = part.rows[0]
        index = self.found.keys[row].index(part.key)
        node = self.rows[row].nodes[index]
        if node.kind in DEVICES:
            net = f"{row}.{index}"
            x = self._x(part.key)
            parts.draw_device(self.sheet, _device(node), x, self._y(row), net=net, ref=node.ref)
        elif node.kind == "equipment":
            self._equipment(part, row, index)
        elif node.kind == "connector":
            self._connector(part, node)
        elif node.kind == "splice":
            self._splice(part, node)
        elif node.kind == "flag":
            x = self._x(part.key) - self._half(row, index)
            text = metrics.clean(node.label)
            parts.draw_flag(self.sheet, x, self._y(row), text, ref=node.ref, link=node.link)
        elif node.kind == "bus":
            self._bus(part, node, row, index)
        elif node.kind in SOURCES:
            self._source(part, node, row, index)
        else:
            self._ground(node, row, index)

    def _titles(self, x: float, base: float, node: Node, part: layout.Part, room: float) -> None:
        """Bold label and the line under it, centred over a box; `base` is the box's top."""
        label, under = _title(node)
        if not part.whole:
            label = f"{label or node.signal} (part)"
        room = max(room, 10.0)
        over = base - 1.4 - (3.2 if under else 0.0)
        kw = {"align": "center", "room_mm": room, "ref": node.ref}
        self.sheet.text(x, over, label, bold=True, **kw)  # type: ignore[arg-type]
        self.sheet.text(x, base - 1.4, under, **kw)  # type: ignore[arg-type]

    def _equipment(self, part: layout.Part, row: int, index: int) -> None:
        node = self.rows[row].nodes[index]
        x, half = self._x(part.key), self._half(row, index)
        top, bottom = self._y(part.rows[0]) - 4.4, self._y(part.rows[-1]) + 4.4
        box = (x - half, top, x + half, bottom)
        self.sheet.rect(box, width_mm=0.5, ref=node.ref, fill="#ffffff")
        self._titles(x, top, node, part, 2 * half)
        for i in part.rows:
            at = self.found.keys[i].index(part.key)
            each = self.rows[i].nodes[at]
            if at > 0:
                self._pin((each.pin, each.signal), node.ref, box, self._y(i), left=True)
            if each.pin_out or each.signal_out:
                out = (each.pin_out, each.signal_out)
                self._pin(out, node.ref, box, self._y(i), left=False)
            elif at == 0:
                self._pin((each.pin, each.signal), node.ref, box, self._y(i), left=False)

    def _pin(self, what: tuple[str, str], ref: str, box: Box, y: float, *, left: bool) -> None:
        """A contact at a side of a box, and its signal beside it."""
        pin, signal = what
        wide = _pin_mm(pin) if pin else 0.0
        edge = box[0] if left else box[2]
        inner = edge + wide if left else edge - wide
        if pin:
            cell = (min(edge, inner), y - PIN_MM / 2, max(edge, inner), y + PIN_MM / 2)
            self.sheet.rect(cell, width_mm=0.25, kind="rule", ref=ref, fill=PALE)
            middle = (edge + inner) / 2
            room = wide - 1.0
            self.sheet.text(
                middle, y, pin, middle=True, align="center", bold=True, room_mm=room, ref=ref
            )
        x = inner + (1.4 if left else -1.4)
        align: Align = "left" if left else "right"
        room = min(SIGNAL_ROOM_MM, box[2] - box[0] - wide - 2.4)
        self.sheet.text(x, y, signal, middle=True, align=align, room_mm=room, ref=ref)

    def _connector(self, part: layout.Part, node: Node) -> None:
        x, half = self._x(part.key), self._connector_half(node)
        top, bottom = self._y(part.rows[0]) - 3.6, self._y(part.rows[-1]) + 3.6
        self.sheet.rect((x - half, top, x + half, bottom), width_mm=0.35, ref=node.ref)
        self.sheet.line(
            ((x, top), (x, bottom)), width_mm=0.25, kind="rule", ref=node.ref, dash=(1.2, 0.8)
        )
        row, index = part.rows[0], self.found.keys[part.rows[0]].index(part.key)
        self._titles(x, top, node, part, 2 * self._half(row, index))
        for i in part.rows:
            pin = self.rows[i].nodes[self.found.keys[i].index(part.key)].pin
            for side in (-1, 1):
                self.sheet.text(
                    x + side * half / 2,
                    self._y(i),
                    pin,
                    middle=True,
                    align="center",
                    room_mm=half - 1.0,
                    ref=node.ref,
                )

    def _splice(self, part: layout.Part, node: Node) -> None:
        x = self._x(part.key)
        ys = [self._y(i) for i in part.rows]
        net = f"splice {node.ref}"
        if len(ys) > 1:
            self.sheet.line(((x, ys[0]), (x, ys[-1])), width_mm=0.35, ref=node.ref, net=net)
        for y in ys:
            self.sheet.dot((x, y), net=net, ref=node.ref)
        row, index = part.rows[0], self.found.keys[part.rows[0]].index(part.key)
        self._titles(x, ys[0] - 0.6, node, part, self._width(row, index))

    def _bus(self, part: layout.Part, node: Node, row: int, index: int) -> None:
        x, y = self._x(part.key) - self._half(row, index) + 0.8, self._y(row)
        self.sheet.line(((x, y - 3.2), (x, y + 3.2)), width_mm=1.6, kind="bar", ref=node.ref)
        label, under = _title(node)
        left = x - 0.8
        over = y - 4.6 - (3.2 if under else 0.0)
        self.sheet.text(left, over, label, bold=True, room_mm=44.0, ref=node.ref)
        self.sheet.text(left, y - 4.6, under, room_mm=44.0, ref=node.ref)

    def _source(self, part: layout.Part, node: Node, row: int, index: int) -> None:
        x, y = self._x(part.key) - self._half(row, index), self._y(row)
        form = shape(node.kind)
        self.sheet.symbol(node.kind, (x, y), ref=node.ref, net=f"{row}.{index}")
        label, under = _title(node)
        room = TITLE_ROOM_MM
        self.sheet.text(x, y - form.above_mm - 1.2, label, bold=True, room_mm=room, ref=node.ref)
        self.sheet.text(x, y + form.below_mm + 0.8 + SMALL, under, room_mm=room, ref=node.ref)

    def _ground(self, node: Node, row: int, index: int) -> None:
        x, y = self._terminal(row, index), self._y(row)
        name = "chassis" if node.kind == "chassis" else "ground"
        self.sheet.symbol(name, (x, y), ref=node.ref, net=f"{row}.{index}")
        form = shape(name)
        at_left = index == 0
        edge = x + form.left_mm - 1.0 if at_left else x + form.right_mm + 1.0
        align: Align = "right" if at_left else "left"
        for i, line in enumerate(_ground_lines(node)):
            self.sheet.text(edge, y + 3.0 + LINE_MM * i, line, align=align, ref=node.ref)


# --- below the rows ---------------------------------------------------------------------------

HEADS = ("wire", "gauge", "colour", "length", "from", "to", "cable")


def _end_text(node: Node) -> str:
    place = "-".join(p for p in (node.connector, node.pin) if p)
    if node.kind in DEVICES:
        name = f"{node.label} {node.kind}" if node.label else node.kind
        return f"{node.sublabel} {name}".strip()
    if node.kind == "splice" and not node.label:
        return node.signal or "joint"
    return parts.join(node.label or node.ref, place)


def wire_rows(record: CircuitSheet) -> list[tuple[tuple[str, ...], str]]:
    """The wires on the sheet as rows of the table, each once, with their reference."""
    found: dict[str, tuple[str, ...]] = {}
    for row in record.rows:
        for k, wire in enumerate(row.conductors):
            if not (wire.mark or wire.ref):
                continue
            ends = (_end_text(row.nodes[k]), _end_text(row.nodes[k + 1]))
            texts = (wire.mark or wire.ref, wire.gauge, wire.colour, wire.length, *ends, wire.cable)
            found.setdefault(wire.ref or wire.mark, texts)
    return [(texts, ref) for ref, texts in found.items()]


def _draw_below(work: _Work) -> None:
    """The table of wires, and the facts beside or under it."""
    rows = wire_rows(work.record)
    used = [i for i in range(len(HEADS)) if any(texts[i] for texts, _ in rows)]
    heads = [HEADS[i] for i in used]
    cells = [[texts[i] for i in used] for texts, _ in rows]
    refs = [ref for _, ref in rows]
    start, beside = 0, None
    while start < len(cells):
        page = work.page()
        count = table.rows_that_fit(_limit(page.sheet) - page.y - 6.0)
        if count < min(3, len(cells) - start):
            _new_page(work)
            continue
        x, top = page.sheet.frame[0] + 5.0, page.y
        widths = table.column_widths(heads, cells, page.sheet.frame[2] - x - 5.0)
        page.sheet.text(x, top + 3.0, "Wires on this circuit", bold=True, ref="head")
        part = slice(start, start + count)
        page.y = 4.0 + table.draw_table(
            page.sheet, (x, top + 4.6), heads, cells[part], widths=widths, refs=refs[part]
        )
        start += count
        beside = (x + sum(widths) + 8.0, top)
    if work.record.facts:
        _draw_facts(work, beside)


def _draw_facts(work: _Work, beside: tuple[float, float] | None) -> None:
    facts = work.record.facts
    page = work.page()
    name_mm = 4.0 + max(_bounded(name, bold=True, room=44.0) for name, _ in facts)
    right = page.sheet.frame[2] - 5.0
    x = page.sheet.frame[0] + 5.0
    lines = _fact_lines(facts, right - x - name_mm)
    if beside and right - beside[0] - name_mm > 50.0:
        slim = _fact_lines(facts, right - beside[0] - name_mm)
        if beside[1] + 6.0 + FACT_MM * len(slim) < _limit(page.sheet):
            (x, page.y), lines = beside, slim
    for name, line in lines:
        if page.y + FACT_MM + 2.0 > _limit(page.sheet):
            _new_page(work)
            page, x = work.page(), page.sheet.frame[0] + 5.0
        page.y += FACT_MM
        page.sheet.text(x, page.y, name, bold=True, room_mm=44.0, ref="fact")
        page.sheet.text(x + name_mm, page.y, line, ref="fact")


def _fact_lines(facts: Sequence[tuple[str, str]], room: float) -> list[tuple[str, str]]:
    lines: list[tuple[str, str]] = []
    for name, value in facts:
        for i, line in enumerate(metrics.wrap(metrics.clean(value), SMALL, room)):
            lines.append((name if i == 0 else "", line))
    return lines


def _draw_strip(sheet: Sheet, record: CircuitSheet) -> None:
    x0, _, _, y1 = sheet.frame
    right, top, _, _ = sheet.block
    sheet.line(((x0, top), (right, top)), width_mm=0.25, kind="rule")
    box = (x0 + 3.0, top + 1.5, right - 3.0, y1 - 1.5)
    if record.cautions:
        parts.draw_notes(sheet, record.cautions, box, heading="Cautions")
    else:
        parts.draw_legend(sheet, parts.used_symbols(sheet), box)


__all__ = ["circuit", "wire_rows"]
