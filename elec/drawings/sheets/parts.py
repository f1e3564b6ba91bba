"""Parts that several kinds of sheet share: wire texts, devices on a row, flags, legend, notes."""

from collections.abc import Iterable, Sequence

from elec.drawings import metrics
from elec.drawings.ink import BLACK, LINK, PALE, Box, Placed
from elec.drawings.inputs import DrawnDevice
from elec.drawings.sheet import Item, Sheet
from elec.drawings.symbols import NAMES, shape

SMALL_MM = 1.8
"""Capital height of ordinary lettering."""
HEAD_MM = 2.5
"""Capital height of headings."""
OVER_LINE_MM = 0.9
"""From a line to the base of the text on it."""
LABEL_ROOM_MM = 34.0
"""The widest a device label may be before it is made smaller or cut."""


def join(*parts: str) -> str:
    """The parts that say something, with a dot between."""
    return " · ".join(p for p in parts if p)


def width(text: str, *, bold: bool = False, capital_mm: float = SMALL_MM) -> float:
    """Width of a text after cleaning, mm."""
    return metrics.width_mm(metrics.clean(text), capital_mm, bold)


# --- devices ----------------------------------------------------------------------------------


def slot_mm(device: DrawnDevice) -> float:
    """Width that a device takes on a row, with its texts."""
    texts = (width(device.label, bold=True), width(device.rating))
    return max(shape(device.kind).right_mm + 3.0, *(min(t, LABEL_ROOM_MM) + 2.4 for t in texts))


def device_above_mm(device: DrawnDevice) -> float:
    """Height over the row that a device takes, with its label."""
    return shape(device.kind).above_mm + (3.6 if device.label else 0.6)


def device_below_mm(device: DrawnDevice) -> float:
    """Height under the row that a device takes, with its rating."""
    return shape(device.kind).below_mm + (3.4 if device.rating else 0.6)


def draw_device(
    sheet: Sheet, device: DrawnDevice, middle_x: float, y: float, *, net: str, ref: str = ""
) -> tuple[float, float]:
    """A device centred on a row, label over it and rating under it; gives both terminals' x."""
    form = shape(device.kind)
    start = middle_x - form.length_mm / 2
    end = sheet.symbol(device.kind, (start, y), ref=ref, net=net)
    sheet.text(
        middle_x,
        y - form.above_mm - 1.1,
        device.label,
        align="center",
        bold=True,
        room_mm=LABEL_ROOM_MM,
        ref=ref,
    )
    sheet.text(
        middle_x,
        y + form.below_mm + 0.8 + SMALL_MM,
        device.rating,
        align="center",
        room_mm=LABEL_ROOM_MM,
        ref=ref,
    )
    return start, end


# --- flags ------------------------------------------------------------------------------------


def flag_mm(text: str) -> float:
    """Length of a flag with this text."""
    return width(text) + 6.0


def draw_flag(
    sheet: Sheet,
    x: float,
    y: float,
    text: str,
    *,
    ref: str,
    link: str = "",
    width_mm: float | None = None,
    target: str = "",
    second: str = "",
) -> float:
    """A flag with a double edge where it goes on, which begins at x; gives the x of its end.

    With a `target` it has two lines, the second with room for the sheet and zone that are written
    in later.
    """
    end = x + (width_mm or flag_mm(text))
    half = FLAG_MM if target else 2.4
    sheet.polygon(
        ((x, y - half), (end, y - half), (end, y + half), (x, y + half)),
        ref=ref,
        fill=PALE,
        role=f"to {target}" if target else "",
    )
    edge = ((end - 0.8, y - half), (end - 0.8, y + half))
    sheet.line(edge, width_mm=0.25, kind="rule", ref=ref)
    if target:
        sheet.text(x + 1.6, y - 0.7, text, bold=bool(second), ref=ref)
        sheet.text(x + 1.6, y + 2.3, second, ref=ref)
        return end
    sheet.text(x + 1.8, y, text, middle=True, ref=ref, colour=LINK if link else BLACK, link=link)
    return end


FLAG_MM = 3.3
"""Half the height of a flag with two lines."""


# --- legend and notes -------------------------------------------------------------------------


def used_symbols(sheet: Sheet) -> tuple[str, ...]:
    """Names of the symbols on a sheet, in the order of the symbol table."""
    there = {item.ink.name for item in sheet.items if isinstance(item.ink, Placed)}
    return tuple(name for name in NAMES if name in there)


def draw_legend(sheet: Sheet, names: Sequence[str], box: Box, *, roomy: bool = False) -> float:
    """The symbols with their names in columns inside a box; gives the x where they end."""
    x, y0, right, bottom = box
    sheet.text(x, y0 + SMALL_MM, "Symbols", bold=True)
    pitch, top = (10.4, y0 + 9.0) if roomy else (5.2, y0 + 5.8)
    most = 8.4 if roomy else 4.6
    rows = max(1, int((bottom - top - most / 2) // pitch) + 1)
    column = 0.0
    for i, name in enumerate(names):
        if i % rows == 0:
            x += column + (3.0 if i else 0.0)
            part = names[i : i + rows]
            column = 11.0 + max(width(shape(n).title) for n in part)
            if x + column > right:
                return x
        y = top + (i % rows) * pitch
        _small_symbol(sheet, name, x, y, most)
        sheet.text(x + 11.0, y, shape(name).title, middle=True, ref="legend")
    return x + column


def _small_symbol(sheet: Sheet, name: str, x: float, y: float, most: float) -> None:
    """A symbol made to fit into 9 mm by a height."""
    form = shape(name)
    wide, high = form.right_mm - form.left_mm, form.above_mm + form.below_mm
    scale = min(1.0, 9.0 / wide, most / high)
    at = (
        x + 4.5 - scale * (form.left_mm + form.right_mm) / 2,
        y + scale * (form.above_mm - form.below_mm) / 2,
    )
    spot = (x, y - 2.3, x + 9.0, y + 2.3)
    ink = Placed(name=name, at=at, scale=scale)
    sheet.items.append(Item(kind="frame", ink=ink, box=spot, ref="legend", role="legend"))
    if form.letter:
        letter_x = at[0] + scale * form.length_mm / 2
        sheet.text(
            letter_x, at[1], form.letter, align="center", middle=True, bold=True, ref="legend"
        )


def draw_notes(sheet: Sheet, notes: Iterable[str], box: Box, *, heading: str = "Notes") -> float:
    """Notes as wrapped lines inside a box; what finds no room is left to the caller's next sheet.

    Gives the y below the last line.
    """
    x, y, right, bottom = box
    sheet.text(x, y + SMALL_MM, heading, bold=True)
    y += SMALL_MM + 3.6
    for note in notes:
        for i, line in enumerate(metrics.wrap(metrics.clean(note), SMALL_MM, right - x - 3.0)):
            if y > bottom:
                return y
            if i == 0:
                sheet.text(x, y, "–", ref="note")
            sheet.text(x + 3.0, y, line, ref="note")
            y += 3.2
    return y
