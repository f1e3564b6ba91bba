"""The bridge that turns a motor, between its two rows: a changeover contact a pole, crossed over.

The pole on the − of the motor lies on the upper row, that on its + on the lower one. At the left of
both come plus and ground; two wires cross from terminal to terminal; from the common terminals,
outside, the leads of the motor go on to the right.
"""

import math
from collections.abc import Sequence

from elec.drawings.ink import Point
from elec.drawings.inputs import DrawnWire, Node
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import cells, parts

CROSS_MM = 10.0
"""From the middle to the terminals that the wires cross between."""
STEP_MM = 1.5
"""From the right edge to where a lead comes back to its row."""
RING_MM = 0.7
BLADE_MM = 4.6
"""Of a switch that is off in the middle, from the common terminal to the tip of the blade."""
TEXT_MM = 44.0
LEAD = "lead"
"""What a piece of a wire is that belongs to the picture of a contact."""
HOP_MM = 1.6
"""Radius of the half circle in which one of the wires that cross leads over the other."""
HOP_STEPS = 8
LEVER_GAP_MM = 2.6
"""From where they cross to the broken line of the lever: nothing else may meet them there."""


Thick = tuple[float, float]
"""How thick the wires of a row are that come to a contact and that lead on from it."""


def draw_bridge(
    sheet: Sheet, node: Node, x: float, rows: Sequence[tuple[float, Thick]], half: float
) -> None:
    """The bridge about a middle, of half its width to both sides, between two rows.

    Each row has its height and how thick its wires are: they keep that up to their terminals.
    """
    ys = [y for y, _ in rows]
    bridge = node.bridge
    if bridge is None or len(ys) != 2:
        return
    poles = ((*rows[0], -1, bridge.marks[:3]), (*rows[1], 1, bridge.marks[3:]))
    for (y, thick, side, marks), name, pole in zip(poles, bridge.names, bridge.poles, strict=True):
        _pole(sheet, node, (x, y), (side, half, thick), (*marks, pole))
        over = 3.4 if side < 0 else 3.4 + parts.SMALL_MM
        sheet.text(
            x, y + side * (cells.COMMON_MM + over), name, align="center", bold=True,
            room_mm=2 * half - 4.0, ref=node.ref,
        )  # fmt: skip
    left, right, slip = x - CROSS_MM, x + CROSS_MM, 0.6
    for wire, ends, (a, b) in zip(
        bridge.wires, bridge.ends, ((ys[0], ys[1]), (ys[1], ys[0])), strict=True
    ):
        toward = slip if b > a else -slip
        across = ((left + slip, a + toward), (right - slip, b - toward))
        if b > a:  # this one goes through, the other one over it
            points: tuple[Point, ...] = across
        else:
            points = (across[0], *_hop(*across), across[1])
        sheet.line(points, width_mm=parts.line_mm(wire.gauge), ref=wire.ref, ends=ends)
    middle = (ys[0] + ys[1]) / 2
    between = ((bridge.marks[0], bridge.marks[5]), (bridge.marks[3], bridge.marks[2]))
    _texts(sheet, bridge.wires[0], between[0], (left - 2.4, middle), "right")
    _texts(sheet, bridge.wires[1], between[1], (right + 2.4, middle), "left")
    if bridge.centred:  # both blades move as one
        reach = cells.COMMON_MM - BLADE_MM
        for y, end in ((ys[0], -reach), (ys[1], reach)):  # broken where the wires cross
            piece = ((x, y + end), (x, middle + math.copysign(LEVER_GAP_MM, end)))
            sheet.line(
                piece, width_mm=0.2, kind="rule", dash=(1.2, 0.8), ref=node.ref, role="one lever"
            )


def _hop(a: Point, b: Point) -> tuple[Point, ...]:
    """A half circle in the middle of a line that rises to the right: it leads over another one."""
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    along = math.atan2(b[1] - a[1], b[0] - a[0])
    steps = (math.pi * (1 - k / HOP_STEPS) for k in range(HOP_STEPS + 1))
    return tuple(
        (x + HOP_MM * math.cos(along - turn), y + HOP_MM * math.sin(along - turn)) for turn in steps
    )


def _pole(
    sheet: Sheet,
    node: Node,
    at: Point,
    sides: tuple[int, float, Thick],
    marks: Sequence[str],
) -> None:
    """Three terminals with their numbers, the blade, and the lead from the common one.

    Where other sheets lead to the pole, it is the number of its common terminal that they name.
    """
    (x, y), (side, half, thick), ref = at, sides, node.ref
    common = y + side * cells.COMMON_MM
    back = x + half - STEP_MM

    def rule(*points: Point, width_mm: float = 0.35, role: str = "") -> None:
        sheet.line(points, width_mm=width_mm, kind="rule", ref=ref, role=role)

    for terminal in ((x - CROSS_MM, y), (x, common), (x + CROSS_MM, y)):
        sheet.circle(terminal, RING_MM, kind="rule", ref=ref)
    rule((x - half, y), (x - CROSS_MM - RING_MM, y), width_mm=thick[0], role=LEAD)
    lead = ((x + RING_MM, common), (back, common), (back, y), (x + half, y))
    rule(*lead, width_mm=thick[1], role=LEAD)
    resting = x if node.bridge is not None and node.bridge.centred else x - side * CROSS_MM
    tip = (x, common - side * BLADE_MM) if resting == x else (resting + side * 0.9, y + side * 0.5)
    rule((x, common - side * RING_MM), tip, width_mm=0.6, role="changeover")
    base = -1.3 if side < 0 else 1.3 + parts.SMALL_MM
    for at_x, at_y, mark, align, net in (
        (x - CROSS_MM - 1.2, y, marks[0], "right", ""),
        (x - 1.2, common - side * 1.4, marks[1], "right", marks[3]),
        (x + CROSS_MM + 1.2, y, marks[2], "left", ""),
    ):
        sheet.text(at_x, at_y + base, mark, align=align, room_mm=20.0, ref=ref, net=net)  # type: ignore[arg-type]


def _texts(sheet: Sheet, wire: DrawnWire, between: tuple[str, str], at: Point, align: str) -> None:
    """From which terminal to which a wire crosses over, its mark and length, gauge and colour."""
    over, under = cells.wire_texts(wire)
    over, room = parts.join("–".join(between), over), TEXT_MM
    for text, y, bold in ((over, at[1] - 0.7, True), (under, at[1] + 3.3, False)):
        sheet.text(at[0], y, text, align=align, bold=bold, room_mm=room, ref=wire.ref)  # type: ignore[arg-type]


def draw_throw(
    sheet: Sheet, levels: Sequence[tuple[float, Node, bool, Thick]], x: float, half: float
) -> None:
    """A contact that is off in the middle about a middle: each throw at a height.

    With each comes whether its row leads to the common terminal, from the left, and how thick its
    wires are.
    """
    node, ref = levels[0][1], levels[0][1].ref
    middle = sum(y for y, *_ in levels) / len(levels)
    if len(levels) == 1:
        middle += cells.THROW_PITCH_MM / 2
    left, right = x - cells.THROW_MM, x + cells.THROW_MM

    def rule(*points: Point, width_mm: float = 0.35, role: str = "") -> None:
        sheet.line(points, width_mm=width_mm, kind="rule", ref=ref, role=role)

    for k, (y, one, fed, thick) in enumerate(levels):
        sheet.circle((right, y), RING_MM, kind="rule", ref=ref)
        rule((right + RING_MM, y), (x + half, y), width_mm=thick[1], role=LEAD)
        text = cells.throw_text(one)
        base = y - parts.OVER_LINE_MM if k == 0 else y + parts.OVER_LINE_MM + parts.SMALL_MM
        sheet.text(right + 0.6, base, text, room_mm=30.0, ref=ref, net=one.contact_out)
        if fed:
            turn = left - 3.0
            come = ((x - half, y), (turn, y), (turn, middle), (left - RING_MM, middle))
            rule(*come, width_mm=thick[0], role=LEAD)
    sheet.circle((left, middle), RING_MM, kind="rule", ref=ref)
    rule((left + RING_MM, middle), (right - 0.6, middle), width_mm=0.6, role="changeover")
    low = middle + parts.OVER_LINE_MM + parts.SMALL_MM
    sheet.text(left - 0.4, low, node.pin, align="center", room_mm=8.0, ref=ref)
    sheet.text(right + 1.4, middle, node.sublabel, middle=True, room_mm=28.0, ref=ref)
    over = levels[0][0] - parts.OVER_LINE_MM - parts.SMALL_MM - 1.6
    sheet.text(x, over, node.label, align="center", bold=True, room_mm=44.0, ref=ref)


__all__ = ["LEAD", "draw_bridge", "draw_throw"]
