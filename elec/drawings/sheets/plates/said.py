"""What is said on a sheet of a panel besides its table: notes, and the bar that checks a print."""

from collections.abc import Sequence

from elec.drawings import metrics
from elec.drawings.inputs import NO_HOLE, ONE_POLE
from elec.drawings.layout.view import INCH_M
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import paper, parts
from elec.drawings.sheets.plates.rear import free_at, plate_box

ARROW = "→: wires on both sides."
BAR_MM = 50.0
"""Length of the bar by which a print is checked, for who has no inches."""
INCHES = 2
"""The same in inches, for who has these."""
TICK_MM = 1.2
BESIDE_MM = 2.5
"""From the notes and the bar to what stands beside them."""
WIDE_MM = (110.0, 86.0, 70.0, 55.0, 42.0, 38.0, 35.5, 33.0, 30.5)
"""How wide notes beside a plate may be: as wide as there is room for."""
CHECK = "This bar is {long} on paper; else print at 100 %."


def say(
    sheet: Sheet, notes: Sequence[str], plate: Sequence[str], *, check: bool, inches: bool
) -> None:
    """Notes in one block, in the strip or where the sheet has room; the bar of a plate at 1:1.

    Where one block has no room, what is said of the `plate` stands in one of its own.
    """
    box = paper.strip(sheet)
    wide, high = box[2] - box[0], box[3] - box[1]
    every = (*notes, *plate)
    if not check and parts.notes_mm(every, wide) <= high:
        if every:
            parts.draw_notes(sheet, every, box)
        return
    if _beside(sheet, every):
        if check:
            _bar(sheet, (box[0], box[1] + 4.0), wide, inches=inches)
        return
    left = list(notes)
    if plate and not _beside(sheet, plate, PLATE):
        left += plate
    elif plate and _beside(sheet, notes):
        if check:
            _bar(sheet, (box[0], box[1] + 4.0), wide, inches=inches)
        return
    if check:
        _bar_beside(sheet, inches=inches)
    for note in (NO_HOLE, ARROW, ONE_POLE):
        if note in left and parts.notes_mm((" ".join(left),), wide) > high:
            left.remove(note)
    whole = parts.notes_mm(left, wide) <= high
    parts.draw_notes(sheet, left if whole else (" ".join(left),), box)


PLATE = "Plate"
"""Over notes of a plate alone."""


def _beside(sheet: Sheet, notes: Sequence[str], heading: str = "Notes") -> bool:
    """Notes in one block where a sheet has room; whether it had."""
    left, top, right, _ = sheet.frame
    room = (left + 5.0, top + 3.0, right - 2.0, sheet.block[1] - 2.0)
    for wide in WIDE_MM:
        high = parts.notes_mm(notes, wide)
        at = free_at(sheet, wide, high, BESIDE_MM, kept=plate_box(sheet), within=room)
        if at is not None:
            box = (*at, at[0] + wide, at[1] + high)
            parts.draw_notes(sheet, notes, box, heading=heading)
            return True
    return False


def _said(*, inches: bool) -> tuple[float, str]:
    """Length of the bar on paper, mm, and what is said of it."""
    if not inches:
        return BAR_MM, CHECK.format(long=f"{BAR_MM:g} mm")
    long = 1000 * INCHES * INCH_M
    return long, CHECK.format(long=f"{INCHES} in ({long:g} mm)")


def _bar(sheet: Sheet, at: tuple[float, float], wide: float, *, inches: bool) -> None:
    """A bar along the paper from a point, what it is under it."""
    x, y = at
    long, said = _said(inches=inches)
    _ink(sheet, (x, y), (x + long, y), (0.0, TICK_MM))
    for k, line in enumerate(metrics.wrap(said, parts.SMALL_MM, 0.75 * wide)):  # no lone last word
        sheet.text(x, y + 5.0 + parts.LINE_MM * k, line, ref="check bar")


def _bar_beside(sheet: Sheet, *, inches: bool) -> None:
    """A bar where a sheet has room, along the paper or down it."""
    long, said = _said(inches=inches)
    plate = plate_box(sheet)
    line = long + TICK_MM + 1.0 + parts.width(said)
    if (at := free_at(sheet, line, 2 * TICK_MM + 0.4, TICK_MM, kept=plate)) is not None:
        y = at[1] + TICK_MM
        _ink(sheet, (at[0], y), (at[0] + long, y), (0.0, TICK_MM))
        sheet.text(at[0] + long + TICK_MM + 1.0, y, said, middle=True, ref="check bar")
        return
    for room in (110.0, 80.0, 60.0):
        lines = metrics.wrap(said, parts.SMALL_MM, room)
        high = 2 * TICK_MM + 2.4 + parts.LINE_MM * len(lines)
        wide = max(long, *map(parts.width, lines))
        if (at := free_at(sheet, wide, high, BESIDE_MM, kept=plate)) is not None:
            _bar(sheet, (at[0], at[1] + TICK_MM), room, inches=inches)
            return
    for narrow in (60.0, 40.0, 25.0, 18.0):
        lines = metrics.wrap(said, parts.SMALL_MM, narrow)
        wide = 2 * TICK_MM + 2.0 + max(map(parts.width, lines))
        at = free_at(sheet, wide, max(long, parts.LINE_MM * len(lines)), BESIDE_MM, kept=plate)
        if at is not None:
            x, y = at[0] + TICK_MM, at[1]
            _ink(sheet, (x, y), (x, y + long), (TICK_MM, 0.0))
            for k, text in enumerate(lines):
                level = y + parts.LINE_MM * (k + 1) - 1.0
                sheet.text(x + TICK_MM + 1.0, level, text, ref="check bar")
            return


def _ink(
    sheet: Sheet, a: tuple[float, float], b: tuple[float, float], tick: tuple[float, float]
) -> None:
    dx, dy = tick
    for end in (a, b):
        ends = ((end[0] - dx, end[1] - dy), (end[0] + dx, end[1] + dy))
        sheet.line(ends, width_mm=0.25, kind="rule", ref="check bar")
    sheet.line((a, b), width_mm=0.5, kind="rule", ref="check bar")


__all__ = ["ARROW", "say"]
