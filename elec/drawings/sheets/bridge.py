"""The bridge that turns a motor: two poles with their crossing wires, the motor below.

As a builder knows it from the back of the switch: three terminals a pole, an X of two wires from
end to end, the leads of the motor on the middle ones.
"""

from elec.drawings.inputs import DrawnBridge
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import parts

HEIGHT_MM = 52.0
"""With its texts."""
LEFT_MM, RIGHT_MM, PITCH_MM = 42.0, 82.0, 12.0
"""From the left edge to the two poles, and from terminal to terminal."""
LINES_MM = 130.0
"""From the left edge to what stands beside it."""
LINE_MM = parts.LINE_MM


def draw_bridge(sheet: Sheet, record: DrawnBridge, x: float, y: float, right: float) -> None:
    """The bridge at a place of the sheet, what happens in each way beside it."""
    left, far, top = x + LEFT_MM, x + RIGHT_MM, y + 9.0
    mids = (top + PITCH_MM, top + 2 * PITCH_MM)
    ref = record.ref

    def wire(*points: tuple[float, float]) -> None:
        sheet.line(points, width_mm=0.35, kind="rule", ref=ref)

    def say(at: float, y: float, text: str, align: str = "center", *, bold: bool = False) -> None:
        sheet.text(at, y, text, align=align, bold=bold, room_mm=34.0, ref=ref)  # type: ignore[arg-type]

    for at, name in zip((left, far), record.names, strict=True):
        say(at if record.names[0] else (left + far) / 2, y + 3.0, name, bold=True)
    wire((x + 4.0, top), (left - 0.9, top))  # from the device
    wire((far + 0.9, top), (x + 121.0, top))  # to ground
    wire((left + 0.9, top + 0.4), (far - 0.9, mids[1] - 0.4))  # the two that cross over
    wire((left + 0.9, mids[1] - 0.4), (far - 0.9, top + 0.4))
    low, middle = mids[1] + 11.0, (left + far) / 2
    wire((left - 0.9, mids[0]), (left - 18.0, mids[0]), (left - 18.0, low), (middle - 4.0, low))
    wire((far + 0.9, mids[0]), (far + 18.0, mids[0]), (far + 18.0, low), (middle + 4.0, low))
    sheet.circle((middle, low), 4.0, width_mm=0.35, kind="rule", ref=ref)
    say(middle, low + 0.9, "M", bold=True)
    say(middle - 5.5, low - 1.2, "−", "right", bold=True)
    say(middle + 5.5, low - 1.2, "+", "left", bold=True)
    say(middle, low - 5.4, record.motor)
    _poles(sheet, record, (left, far), (top, *mids))
    say(x + 4.0, top - 1.0, record.wires[0], "left")
    say(x + 121.0, top - 1.0, record.wires[5], "right")
    sheet.text(x + 4.0, top + 3.8, record.source, room_mm=27.0, ref=ref)
    say(x + 121.0, top + 3.8, record.ground, "right")
    third = (far - left) / 4
    say(left + third, top + 2.4, record.wires[1], "left")
    say(left + third, mids[1] - 0.2, record.wires[4], "left")
    say(left - 19.0, low - 3.0, record.wires[3], "right")
    say(far + 19.0, low - 3.0, record.wires[2], "left")
    line_y = y + 3.0
    for line in record.lines:
        sheet.text(x + LINES_MM, line_y, line, room_mm=right - x - LINES_MM, ref=ref)
        line_y += LINE_MM


def _poles(
    sheet: Sheet, record: DrawnBridge, xs: tuple[float, float], ys: tuple[float, float, float]
) -> None:
    """Terminals with their numbers, and the blades: at rest, or in the middle."""
    ref = record.ref
    for pole, (x, side) in enumerate(zip(xs, (-1, 1), strict=True)):
        for row, y in enumerate(ys):
            sheet.circle((x, y), 0.9, kind="rule", ref=ref)
            number = record.marks[3 * pole + row]
            align = "right" if side < 0 else "left"
            sheet.text(x + side * 1.8, y + 3.6, number, align=align, ref=ref)  # type: ignore[arg-type]
        # a relay at rest lies on ground: below on the left, above on the right
        end = ys[1] if record.centred else ys[2] if pole == 0 else ys[0]
        tip = (x - side * (2.6 if record.centred else 0.6), end)
        sheet.line(((x, ys[1]), tip), width_mm=0.6, kind="rule", ref=ref)
    if record.centred:
        y = ys[1]
        sheet.line(
            ((xs[0] + 2.6, y), (xs[1] - 2.6, y)),
            width_mm=0.2,
            kind="rule",
            dash=(1.2, 0.8),
            ref=ref,
        )


__all__ = ["HEIGHT_MM", "draw_bridge"]
