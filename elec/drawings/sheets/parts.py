"""Parts that several kinds of sheet share: wire texts, devices on a row, flags, legend, notes."""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from elec.drawings import metrics
from elec.drawings.ink import BLACK, LINK, PALE, Box, Placed
from elec.drawings.inputs import DrawnDevice
from elec.drawings.sheet import Item, Sheet
from elec.drawings.symbols import EXPLAINED, NAMES, shape

SMALL_MM = metrics.SMALLEST_MM
"""Capital height of ordinary lettering."""
LINE_MM = 4.0
"""From one line of ordinary lettering to the next."""
HEAD_MM = 3.5
"""Capital height of headings."""
OVER_LINE_MM = 1.1
"""From a line to the base of the text on it."""
LINES_MM = ((6, 0.8), (12, 0.5))
"""Gauges up to these are drawn so thick; thinner wires, and what has no gauge, in `THIN_MM`."""
THIN_MM = 0.35
LABEL_ROOM_MM = 44.0
"""The widest a device label may be before it is made smaller or cut."""


def join(*parts: str) -> str:
    """The parts that say something, with a dot between."""
    return " · ".join(p for p in parts if p)


@lru_cache(maxsize=1 << 15)
def width(text: str, *, bold: bool = False, capital_mm: float = SMALL_MM) -> float:
    """Width of a text after cleaning, mm."""
    return metrics.width_mm(metrics.clean(text), capital_mm, bold)


def line_mm(*gauges: str) -> float:
    """How thick a wire is drawn on every sheet; of several gauges that of the heaviest.

    >>> line_mm("AWG 2/0"), line_mm("AWG 10", "AWG 20"), line_mm("AWG 20"), line_mm("RG-400")
    (0.8, 0.5, 0.35, 0.35)
    """
    found = [m for m in (re.fullmatch(r"AWG (\d+)(/0)?", gauge) for gauge in gauges) if m]
    least = min((0 if m[2] else int(m[1]) for m in found), default=99)
    return next((thick for most, thick in LINES_MM if least <= most), THIN_MM)


# --- devices ----------------------------------------------------------------------------------


def slot_mm(device: DrawnDevice) -> float:
    """Width that a device takes on a row, with its texts."""
    texts = (width(device.label, bold=True), width(device.rating))
    beside = max(map(width, device.throws), default=0.0)
    thrown = shape(device.kind).right_mm + 2 * (beside + 2.0) if device.throws else 0.0
    return max(
        shape(device.kind).right_mm + 3.0, thrown, *(min(t, LABEL_ROOM_MM) + 2.4 for t in texts)
    )


def device_above_mm(device: DrawnDevice) -> float:
    """Height over the row that a device takes, with its label."""
    return _over_mm(device) + (4.2 if device.label else 0.6)


def _over_mm(device: DrawnDevice) -> float:
    """From the row to the label of a device: over its symbol, and what stands at its throws."""
    return max(shape(device.kind).above_mm, 4.6 if device.throws else 0.0)


def device_below_mm(device: DrawnDevice) -> float:
    """Height under the row that a device takes, with its rating."""
    return shape(device.kind).below_mm + (4.1 if device.rating else 0.6)


def draw_device(
    sheet: Sheet, device: DrawnDevice, middle_x: float, y: float, *, net: str, ref: str = ""
) -> tuple[float, float]:
    """A device centred on a row, label over it and rating under it; gives both terminals' x."""
    form = shape(device.kind)
    start = middle_x - form.length_mm / 2
    end = sheet.symbol(device.kind, (start, y), ref=device.ref or ref, net=net)
    sheet.text(
        middle_x,
        y - _over_mm(device) - 1.1,
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
    if device.throws:
        _draw_throws(sheet, device, (start, end), y, ref)
    return start, end


APART_MM = 3.0
"""From one throw of a changeover to the other, as its symbol has them."""


def _draw_throws(
    sheet: Sheet, device: DrawnDevice, ends: tuple[float, float], y: float, ref: str
) -> None:
    """What stands at the throws of a changeover, the one in the row clear of its line."""
    upper, lower, common, *rest = device.throws
    over, under = y - OVER_LINE_MM, y + OVER_LINE_MM + SMALL_MM
    first = device.kind in ("changeover-upper", "changeover-off-upper")
    left = ends[0] - 0.6
    for text, own, base, other in (
        (upper, first, over, y - APART_MM), (lower, not first, under, y + APART_MM),
    ):  # fmt: skip
        sheet.text(left, base if own else other, text, align="right", middle=not own, ref=ref)
    sheet.text(ends[1] + 0.6, over, common, ref=ref)
    for word in rest:
        sheet.text(ends[1] + 0.6, under, word, ref=ref)


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
    half = FLAG_MM if target else 2.6
    sheet.polygon(
        ((x, y - half), (end, y - half), (end, y + half), (x, y + half)),
        ref=ref,
        fill=PALE,
        role=f"to {target}" if target else "",
    )
    edge = ((end - 0.8, y - half), (end - 0.8, y + half))
    sheet.line(edge, width_mm=0.25, kind="rule", ref=ref)
    if target:
        sheet.text(x + 1.6, y - 0.8, text, bold=bool(second), ref=ref)
        sheet.text(x + 1.6, y + SECOND_MM, second, ref=ref)
        return end
    sheet.text(x + 1.8, y, text, middle=True, ref=ref, colour=LINK if link else BLACK, link=link)
    return end


FLAG_MM = 4.2
"""Half the height of a flag with two lines."""
SECOND_MM = 3.2
"""How far under its middle the second line stands."""


# --- legend and notes -------------------------------------------------------------------------


def used_symbols(sheet: Sheet) -> tuple[str, ...]:
    """Names of the symbols on a sheet, in the order of the symbol table."""
    there = {
        EXPLAINED.get(item.ink.name, item.ink.name)
        for item in sheet.items
        if isinstance(item.ink, Placed)
    }
    return tuple(name for name in NAMES if name in there)


ROOMY_TOP_MM = 8.6
"""From the top of a box to its first symbol where there is much room."""


ROOMY_MOST_MM = 5.8
MOST_MM = 4.0
"""No symbol is higher, so that two stay apart: with much room, and with little."""


def legend_mm(names: Sequence[str], height_mm: float, *, roomy: bool = False) -> float:
    """Width that the symbols with their names take in a box of a height."""
    sizes = (7.0, ROOMY_TOP_MM, ROOMY_MOST_MM) if roomy else (5.2, 5.8, MOST_MM)
    rows = _legend_rows(height_mm, *sizes)
    columns = [names[i : i + rows] for i in range(0, len(names), rows)]
    return sum(11.0 + 3.0 + max(width(shape(n).title) for n in part) for part in columns)


def _legend_rows(height_mm: float, pitch: float, top: float, most: float) -> int:
    return max(1, int((height_mm - top - most / 2) // pitch) + 1)


def notes_mm(notes: Iterable[str], width_mm: float) -> float:
    """Height that notes under their heading take in a box of a width."""
    if width_mm < 30.0:
        return 1e9
    lines = sum(len(metrics.wrap(metrics.clean(n), SMALL_MM, width_mm - 3.0)) for n in notes)
    return SMALL_MM + LINE_MM * lines + 0.3


def draw_legend(sheet: Sheet, names: Sequence[str], box: Box, *, roomy: bool = False) -> float:
    """The symbols with their names in columns inside a box; gives the x where they end."""
    x, y0, right, bottom = box
    sheet.text(x, y0 + SMALL_MM, "Symbols", bold=True)
    pitch, top = (7.0, y0 + ROOMY_TOP_MM) if roomy else (5.2, y0 + 5.8)
    most = ROOMY_MOST_MM if roomy else MOST_MM
    rows = _legend_rows(bottom - y0, pitch, top - y0, most)
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
    spot = (x, y - 2.5, x + 9.0, y + 2.5)
    ink = Placed(name=name, at=at, scale=scale)
    sheet.items.append(Item(kind="frame", ink=ink, box=spot, ref="legend", role="legend"))
    if form.letter:
        letter_x = at[0] + scale * form.length_mm / 2
        sheet.text(
            letter_x, at[1], form.letter, align="center", middle=True, bold=True, ref="legend"
        )


def draw_notes(sheet: Sheet, notes: Iterable[str], box: Box, *, heading: str = "Notes") -> float:
    """Notes as wrapped lines inside a box; dots say that not all of them found room.

    Gives the y below the last line.
    """
    x, y, right, bottom = box
    sheet.text(x, y + SMALL_MM, heading, bold=True)
    y += SMALL_MM + (LINE_MM if heading else 0.0)
    for note in notes:
        for i, line in enumerate(metrics.wrap(metrics.clean(note), SMALL_MM, right - x - 3.0)):
            if y > bottom + 0.1:
                sheet.text(right - 2.0, y - LINE_MM, "…", ref="note")  # the sheet shows it
                return y
            step = i == 0 and line[:2] in STEPS  # its number stands in place of the dash
            if i == 0 and not step:
                sheet.text(x, y, "–", ref="note")
            sheet.text(x if step else x + 3.0, y, line, ref="note")
            y += LINE_MM
    return y


STEPS = tuple(f"{n}." for n in range(1, 10))
"""How notes begin that are done one after the other."""
