"""Rows on a sheet: conductors with their texts, and the nodes that they join."""

from collections.abc import Sequence

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.ink import PALE, Align, Box, Point
from elec.drawings.inputs import PART, DrawnRow, Node
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import Sheet, Wanted
from elec.drawings.sheets import around, cells, parts
from elec.drawings.sheets.bridge import draw_bridge, draw_throw
from elec.drawings.sheets.levers import draw_levers
from elec.drawings.symbols import shape

BONDED = (2.4, 1.4)
"""Dashes of what is joined without a wire."""
_LEFT = frozenset({*layout.LEFT_KINDS, "flag"})


def _right_end(row: DrawnRow, index: int) -> str:
    """The id of what a conductor leaves to the right."""
    node = row.nodes[index]
    return node.contact_out or (node.contact if index == 0 or node.kind != "equipment" else "")


class RowInk(Struct):
    """The rows of one page, ready to be drawn."""

    sheet: Sheet
    found: layout.Tier
    rows: Sequence[DrawnRow]
    made: Sequence[layout.TallBox]
    ys: Sequence[float]
    first: int

    def draw(self) -> None:
        """Conductors, then what they join."""
        if not self.sheet.kept:
            return
        for i in range(self.first, self.first + len(self.ys)):
            self._conductors(i)
        for part in self.made:
            self._part(part)
        shown = self.rows[self.first : self.first + len(self.ys)]
        draw_levers(self.sheet, ((n.ref, n.lever) for row in shown for n in row.nodes))

    def _y(self, row: int) -> float:
        return self.ys[row - self.first]

    def _x(self, key: str) -> float:
        return self.sheet.frame[0] + 5.0 + self.found.middle[self.found.column[key]]

    def _middle(self, row: int, index: int) -> float:
        """X of the middle of a node; what begins a row in the first column stands at its left."""
        key = self.found.keys[row][index]
        x, column = self._x(key), self.found.column[key]
        if index or column or self.rows[row].nodes[index].kind not in _LEFT:
            return x
        return x - self.found.wide[0] / 2 + self._half(row, index)

    def _terminal(self, row: int, index: int) -> float:
        """X of the point of a ground symbol, its name being beside it."""
        node = self.rows[row].nodes[index]
        form = shape("chassis" if node.kind == "chassis" else "ground")
        x, half = self._x(self.found.keys[row][index]), self._half(row, index)
        return x + half - form.right_mm if index == 0 else x - half - form.left_mm

    def _half(self, row: int, index: int) -> float:
        return self._width(row, index) / 2

    def _width(self, row: int, index: int) -> float:
        """Width of a node; boxes of a column are all as wide, so that they line up."""
        cell = self.found.strips[row].cells[index]
        if cell.kind in ("equipment", "flag"):
            return self._box_width(self.found.column[self.found.keys[row][index]], cell.kind)
        return cell.width_mm

    def _box_width(self, column: int, kind: str) -> float:
        """The boxes of a column are all as wide as the widest, so that they line up."""
        pairs = zip(self.found.keys, self.found.strips, strict=True)
        return max(
            cell.width_mm
            for keys, strip in pairs
            for key, cell in zip(keys, strip.cells, strict=True)
            if cell.kind == kind and self.found.column[key] == column
        )

    def _port(self, row: int, index: int, side: int) -> float:
        """X where a conductor meets a node, on its left (−1) or right (+1)."""
        node = self.rows[row].nodes[index]
        x = self._middle(row, index)
        if node.kind in cells.DEVICES:
            return x + side * shape(node.kind).length_mm / 2
        if node.kind in ("equipment", "flag", "note", "bridge", "throw"):
            return x + side * self._half(row, index)
        if node.kind == "connector":
            return x + side * self._connector_half(node)
        if node.kind == "bus" or node.kind in cells.SOURCES:
            left = x - self._half(row, index)
            return left + (0.8 if node.kind == "bus" else shape(node.kind).length_mm)
        if node.kind == "splice" or node.kind in layout.THROUGH_KINDS:
            return x
        return self._terminal(row, index)

    def _connector_half(self, node: Node) -> float:
        key = node.ref
        pins = [n.pin for r in self.rows for n in r.nodes if n.ref == key]
        return max(6.0, *(min(parts.width(p), 14.0) + 3.0 for p in pins))

    def _conductors(self, i: int) -> None:
        row, y = self.rows[i], self._y(i)
        for span in cells.spans(row):
            wire, k = span.wire, span.texted
            a, b = self._port(i, span.first, 1), self._port(i, span.last, -1)
            ends = (_right_end(row, span.first), row.nodes[span.last].contact)
            self.sheet.line(
                ((a, y), (b, y)),
                width_mm=parts.line_mm(wire.gauge),
                dash=BONDED if wire.bonded else (),
                ref=wire.ref,
                net=f"{i}.{span.first}",
                role="end" if wire.end else "",
                ends=ends if wire.ref else ("", ""),
            )
            over, under = cells.wire_texts(wire)
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
            below = y + parts.OVER_LINE_MM + parts.SMALL_MM
            self.sheet.text(middle, below, under, align="center", ref=wire.ref)

    def _free(self, row: int, index: int, side: int) -> float:
        """X from which on a wire's texts are clear of a node's own texts."""
        node = self.rows[row].nodes[index]
        if node.kind in ("equipment", "flag", "connector"):
            return self._port(row, index, side)
        return self._middle(row, index) + side * self._half(row, index)

    def _part(self, part: layout.TallBox) -> None:
        row = part.rows[0]
        index = self.found.keys[row].index(part.key)
        node = self.rows[row].nodes[index]
        if node.kind in cells.DEVICES:
            net = f"{row}.{index}"
            x = self._x(part.key)
            parts.draw_device(
                self.sheet, cells.device(node), x, self._y(row), net=net, ref=node.ref
            )
            if node.tapped:
                under = cells.bounded(node.sublabel) / 2 + 1.0 if node.sublabel else 0.0
                half = max(shape(node.kind).length_mm / 2, under)  # clear of its rating
                post = self._x(part.key) + min(half, part.cell.width_mm / 2)
                self._tap((post, self._y(row)), node, net)
        elif node.kind == "equipment":
            self._equipment(part, row, index)
        elif node.kind == "connector":
            self._connector(part, node)
        elif node.kind == "splice":
            self._splice(part, node)
        elif node.kind == "flag":
            self._flag(row, index)
        elif node.kind == "note":
            self._note(part, row, index)
        elif node.kind == "bridge":
            at = [(self._y(i), self._thick(i, part.key)) for i in part.rows]
            draw_bridge(self.sheet, node, self._x(part.key), at, part.cell.width_mm / 2)
        elif node.kind == "throw":
            self._throw(part)
        elif node.kind in layout.THROUGH_KINDS:
            around.draw(self.sheet, node, self._x(part.key), self._passed(part), self._tails(part))
        elif node.kind == "bus":
            self._bus(node, row, index)
        elif node.kind in cells.SOURCES:
            self._source(node, row, index)
        else:
            self._ground(node, row, index)

    def _tap(self, at: Point, node: Node, net: str) -> None:
        """A dot at a post, and the begin of what leaves there, with its fuse and its mark."""
        (x, y), ref = at, f"{node.ref} tapped"
        self.sheet.dot(at, net=net, ref=ref)
        low = y + parts.device_below_mm(cells.device(node)) + cells.TAP_MM
        self.sheet.line(((x, y), (x, low)), width_mm=parts.THIN_MM, kind="rule", ref=ref, net=net)
        self.sheet.text(
            x - 1.0, low, node.tapped, align="right", bold=True, room_mm=cells.TAP_ROOM_MM, ref=ref
        )

    def _thick(self, i: int, key: str) -> tuple[float, float]:
        """How thick the wires are that come to a node of a row and that lead on from it."""
        k, found = self.found.keys[i].index(key), cells.spans(self.rows[i])
        come = [parts.line_mm(one.wire.gauge) for one in found if one.last == k]
        go = [parts.line_mm(one.wire.gauge) for one in found if one.first == k]
        return max(come, default=parts.THIN_MM), max(go, default=parts.THIN_MM)

    def _throw(self, part: layout.TallBox) -> None:
        at = {i: self.found.keys[i].index(part.key) for i in part.rows}
        levels = [
            (self._y(i), self.rows[i].nodes[k], k > 0, self._thick(i, part.key))
            for i, k in at.items()
        ]
        draw_throw(self.sheet, levels, self._x(part.key), part.cell.width_mm / 2)

    def _flag(self, row: int, index: int) -> None:
        node = self.rows[row].nodes[index]
        x, half = self._middle(row, index), self._half(row, index)
        left, width = x - half, 2 * half
        parts.draw_flag(
            self.sheet,
            left,
            self._y(row),
            metrics.clean(node.label),
            ref=node.ref,
            link=node.link,
            width_mm=width,
            target=node.target,
            second=metrics.clean(node.sublabel),
        )
        if node.target:
            under = parts.width(node.sublabel)
            at = (left + 1.6 + (under + 2.0 if under else 0.0), self._y(row) + parts.SECOND_MM)
            room = cells.SPOT_ROOM_MM - 2.0
            self.sheet.wanted.append(Wanted(at=at, target=node.target, ref=node.ref, room_mm=room))

    def _note(self, part: layout.TallBox, row: int, index: int) -> None:
        node = self.rows[row].nodes[index]
        x, half = self._x(part.key), self._half(row, index)
        at_left = index == 0
        self.sheet.text(
            x + half - 0.5 if at_left else x - half + 0.5,
            self._y(row),
            node.label,
            middle=True,
            align="right" if at_left else "left",
            room_mm=cells.NOTE_ROOM_MM,
            ref=node.ref,
        )

    def _passed(self, part: layout.TallBox) -> list[float]:
        """Y of the rows whose conductor passes through a part."""
        return [self._y(i) for i in part.rows if self._passes(part.key, i)]

    def _tails(self, part: layout.TallBox) -> list[float]:
        """Y of the rows that begin or end at a part: the drain of a shield."""
        return [self._y(i) for i in part.rows if not self._passes(part.key, i)]

    def _passes(self, key: str, i: int) -> bool:
        k = self.found.keys[i].index(key)
        return not (self.rows[i].conductors[k - 1].gap or k + 1 == len(self.rows[i].nodes)
                    or self.rows[i].conductors[k].gap or k == 0)  # fmt: skip

    def _titles(
        self,
        at: tuple[float, float],
        node: Node,
        part: layout.TallBox,
        room: float,
        foot: float | None = None,
    ) -> None:
        """Bold label over a box and the line that goes with it, over it or under its `foot`.

        `at` is the middle of the box's top.
        """
        x, base = at
        label, under = cells.title(node)
        if not part.whole and not label.endswith(PART):
            label = f"{label or node.signal}{PART}"
        room = max(room, 10.0)
        over = base - 1.2 - (cells.LINE_MM if under and foot is None else 0.0)
        below = base - 1.2 if foot is None else foot + 1.6 + parts.SMALL_MM
        kw = {"align": "center", "room_mm": room, "ref": node.ref}
        self.sheet.text(x, over, label, bold=True, **kw)  # type: ignore[arg-type]
        if node.kind == "connector" and node.target:
            at, spot = (x, below + (cells.LINE_MM if under else 0.0)), cells.SPOT_ROOM_MM - 2.0
            self.sheet.wanted.append(
                Wanted(at=at, target=node.target, ref=node.ref, room_mm=spot, align="center")
            )
        self.sheet.text(x, below, under, **kw)  # type: ignore[arg-type]

    def _equipment(self, part: layout.TallBox, row: int, index: int) -> None:
        node = self.rows[row].nodes[index]
        x, half = self._x(part.key), self._half(row, index)
        reach = cells.BOX_MM
        if len(part.rows) == 1 and not self.found.over:
            reach = max(reach, part.cell.lone_mm)
        top, bottom = self._y(part.rows[0]) - reach, self._y(part.rows[-1]) + reach
        box = (x - half, top, x + half, bottom)
        self.sheet.rect(box, width_mm=0.5, ref=node.ref, fill="#ffffff")
        self._inside(part, node, box)
        for i in part.rows:
            at = self.found.keys[i].index(part.key)
            each, y = self.rows[i].nodes[at], self._y(i)
            first = (each.pin, each.signal, each.contact)
            if at > 0:
                self._pin(first, node.ref, box, y, left=True)
            if each.pin_out or each.signal_out:
                out = (each.pin_out, each.signal_out, each.contact_out)
                self._pin(out, node.ref, box, y, left=False)
            elif at == 0:
                self._pin(first, node.ref, box, y, left=False)
        if node.inner:
            self._inner(part, node, box)

    def _inner(self, part: layout.TallBox, node: Node, box: Box) -> None:
        """What lies between + and − inside a box, beside its contacts and joined to both."""
        at = {i: self.found.keys[i].index(part.key) for i in part.rows}
        pins = {self.rows[i].nodes[k].pin: self._y(i) for i, k in at.items() if k > 0}
        if not {"+", "−"} <= pins.keys() or pins["+"] > pins["−"]:
            return  # the symbol has the diode's band above
        edge, form = box[0] + cells.pin_mm("+"), shape(node.inner)
        x, middle, net = edge + 2.0, (pins["+"] + pins["−"]) / 2, f"inside {node.ref}"
        up = form.above_mm - 0.2  # half the pen
        for y, end in ((pins["+"], middle - up), (pins["−"], middle + up)):
            self.sheet.line(
                ((edge, y), (x + 1.2, y), (x + 1.2, end)), width_mm=0.25, kind="rule", net=net,
                role="inside",
            )  # fmt: skip
        self.sheet.symbol(node.inner, (x, middle), ref=node.ref, net=net)

    def _inside(self, part: layout.TallBox, node: Node, box: Box) -> None:
        """The name of a box and where it is, between the contacts at its sides."""
        places = [(i, self.found.keys[i].index(part.key)) for i in part.rows]
        here = [(self.rows[i].nodes[k], k == 0) for i, k in places]
        lone = len(part.rows) == 1
        lines = cells.box_lines(node, whole=part.whole, over=self.found.over, lone=lone)
        left, right = cells.box_sides(here)
        left += cells.inner_mm(node)
        x = (box[0] + left + box[2] - right) / 2
        room = box[2] - box[0] - left - right - 1.0
        y = (box[1] + box[3]) / 2 - cells.LINE_MM * (len(lines) - 1) / 2
        if self.found.over:
            x, room = (box[0] + box[2]) / 2, box[2] - box[0]
            y = box[1] - 1.2 - parts.SMALL_MM / 2 - cells.LINE_MM * (len(lines) - 1)
        if node.target:
            at = (x, y + cells.LINE_MM * (len(lines) - 1) + parts.SMALL_MM / 2)
            want = Wanted(at=at, target=node.target, ref=node.ref, room_mm=room, align="center")
            self.sheet.wanted.append(want)
        for i, (line, bold) in enumerate(lines):
            self.sheet.text(
                x, y + cells.LINE_MM * i, line, middle=True, align="center", bold=bold,
                room_mm=room, ref=node.ref,
            )  # fmt: skip

    def _pin(self, what: tuple[str, str, str], ref: str, box: Box, y: float, *, left: bool) -> None:
        """A contact at a side of a box, and its signal beside it."""
        pin, signal, contact = what
        wide = cells.pin_mm(pin) if pin else 0.0
        edge = box[0] if left else box[2]
        inner = edge + wide if left else edge - wide
        if pin:
            cell = (min(edge, inner), y - cells.PIN_MM / 2, max(edge, inner), y + cells.PIN_MM / 2)
            self.sheet.rect(
                cell, width_mm=0.25, kind="rule", ref=contact or ref, role="pin", fill=PALE
            )
            middle = (edge + inner) / 2
            room = wide - 1.0
            self.sheet.text(
                middle, y, pin, middle=True, align="center", bold=True, room_mm=room, ref=ref
            )
        x = inner + (1.4 if left else -1.4)
        align: Align = "left" if left else "right"
        room = min(cells.SIGNAL_ROOM_MM, box[2] - box[0] - wide - 2.4)
        self.sheet.text(x, y, signal, middle=True, align=align, room_mm=room, ref=ref)

    def _connector(self, part: layout.TallBox, node: Node) -> None:
        x, half = self._x(part.key), self._connector_half(node)
        top = self._y(part.rows[0]) - cells.CONNECTOR_MM
        bottom = self._y(part.rows[-1]) + cells.CONNECTOR_MM
        self.sheet.rect((x - half, top, x + half, bottom), width_mm=0.35, ref=node.ref)
        self.sheet.line(
            ((x, top), (x, bottom)), width_mm=0.25, kind="rule", ref=node.ref, dash=(1.2, 0.8)
        )
        row, index = part.rows[0], self.found.keys[part.rows[0]].index(part.key)
        self._titles((x, top), node, part, 2 * self._half(row, index), foot=bottom)
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

    def _splice(self, part: layout.TallBox, node: Node) -> None:
        x = self._x(part.key)
        ys = [self._y(i) for i in part.rows]
        net = f"splice {node.ref}"
        if len(ys) > 1:
            thick = max(mm for i in part.rows for mm in self._thick(i, part.key))
            self.sheet.line(((x, ys[0]), (x, ys[-1])), width_mm=thick, ref=node.ref, net=net)
        for i, y in zip(part.rows, ys, strict=True):
            if not (len(ys) > 1 and i == part.rows[-1] and self._turns(i, part.key)):
                self.sheet.dot((x, y), net=net, ref=node.ref)
        row, index = part.rows[0], self.found.keys[part.rows[0]].index(part.key)
        self._titles((x, ys[0] - 0.6), node, part, self._width(row, index))

    def _turns(self, i: int, key: str) -> bool:
        """Whether a row begins or ends at a node: at the end of its upright line a corner."""
        return self.found.keys[i].index(key) in (0, len(self.found.keys[i]) - 1)

    def _bus(self, node: Node, row: int, index: int) -> None:
        x, y = self._middle(row, index) - self._half(row, index) + 0.8, self._y(row)
        thick = 0.9 if node.thin else 1.6
        self.sheet.line(((x, y - 3.2), (x, y + 3.2)), width_mm=thick, kind="bar", ref=node.ref)
        label, under = cells.title(node)
        self.sheet.text(
            x + 1.6, y - parts.OVER_LINE_MM, label, bold=True, room_mm=44.0, ref=node.ref
        )
        below = y + parts.OVER_LINE_MM + parts.SMALL_MM
        self.sheet.text(x + 1.6, below, under, room_mm=44.0, ref=node.ref)
        if node.target:
            at, room = (x + 1.6, below), cells.BAR_SPOT_MM
            self.sheet.wanted.append(Wanted(at=at, target=node.target, ref=node.ref, room_mm=room))

    def _source(self, node: Node, row: int, index: int) -> None:
        x, y = self._middle(row, index) - self._half(row, index), self._y(row)
        form = shape(node.kind)
        self.sheet.symbol(node.kind, (x, y), ref=node.ref, net=f"{row}.{index}")
        label, under = cells.title(node)
        room = cells.TITLE_ROOM_MM
        self.sheet.text(x, y - form.above_mm - 1.2, label, bold=True, room_mm=room, ref=node.ref)
        self.sheet.text(
            x, y + form.below_mm + 0.8 + parts.SMALL_MM, under, room_mm=room, ref=node.ref
        )

    def _ground(self, node: Node, row: int, index: int) -> None:
        x, y = self._terminal(row, index), self._y(row)
        name = "chassis" if node.kind == "chassis" else "ground"
        self.sheet.symbol(name, (x, y), ref=node.ref, net=f"{row}.{index}")
        form = shape(name)
        at_left = index == 0
        edge = x + form.left_mm - 1.0 if at_left else x + form.right_mm + 1.0
        align: Align = "right" if at_left else "left"
        lines = cells.ground_lines(node)
        y += cells.ground_line_mm(lines)
        for i, line in enumerate(lines):
            self.sheet.text(edge, y + cells.LINE_MM * i, line, align=align, ref=node.ref)
        if node.target:
            beside = parts.width(lines[-1]) + cells.SPOT_GAP_MM
            at = (edge - beside if at_left else edge + beside, y + cells.LINE_MM * (len(lines) - 1))
            self.sheet.wanted.append(
                Wanted(at=at, target=node.target, ref=node.ref, room_mm=cells.GROUND_SPOT_MM,
                       align=align, zone=False)
            )  # fmt: skip
