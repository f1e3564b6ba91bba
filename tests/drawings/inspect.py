"""A look over a finished sheet: what lies on what, what leaves the frame, what cannot be read.

Each fault names its kind, the things and the zone. A sheet without faults gives an empty tuple.
"""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.ink import Box, Circle, InkPath, Segment
from elec.drawings.sheet import Item, Sheet

_TOUCH_MM = 0.05
"""Overlaps up to this are rounding."""
_INSIDE_MM = 0.3
"""How far a line must reach into a box or symbol to run through it: half the outline's pen and
the pen of the line."""


class Fault(Struct, frozen=True, kw_only=True):
    """Something wrong on a sheet."""

    kind: str
    what: str
    other: str = ""
    zone: str = ""

    def __str__(self) -> str:
        """Give the fault in one line."""
        both = f"{self.what!r} and {self.other!r}" if self.other else repr(self.what)
        return f"{self.kind}: {both} in {self.zone}"


def inspect(sheet: Sheet) -> tuple[Fault, ...]:
    """All faults of a sheet, in a fixed order."""
    found = [*_alone(sheet), *_pairs(sheet)]
    return tuple(sorted(set(found), key=lambda f: (f.kind, f.what, f.other, f.zone)))


def crossings(sheet: Sheet) -> int:
    """How often two lines of different nets cross."""
    return sum(fault.kind == "crossing" for fault in _pairs(sheet))


# --- one item ---------------------------------------------------------------------------------


def _alone(sheet: Sheet) -> Iterator[Fault]:
    x0, y0, x1, y1 = sheet.frame
    for item in sheet.items:
        left, top, right, bottom = item.box
        slack = _TOUCH_MM
        if left < x0 - slack or top < y0 - slack or right > x1 + slack or bottom > y1 + slack:
            yield _fault(sheet, "outside the frame", item)
        if _touches_block(item, sheet.block):
            yield _fault(sheet, "in the title block", item)
        if "…" in item.text:
            yield _fault(sheet, "cut text", item)
        if item.text and item.capital_mm < metrics.SMALLEST_MM - 0.005:
            yield _fault(sheet, "text too small", item)


def _touches_block(item: Item, block: Box) -> bool:
    if item.kind in ("wire", "bar", "rule"):
        return any(_cuts(s, block) for s in item.segments)
    return _overlap(item.box, block)


# --- pairs ------------------------------------------------------------------------------------


def _pairs(sheet: Sheet) -> Iterator[Fault]:
    for a, b in _near(sheet.items):
        kind = _relation(a, b) or _relation(b, a)
        if kind:
            yield _fault(sheet, kind, a, b)


def _near(items: Iterable[Item]) -> Iterator[tuple[Item, Item]]:
    """Pairs whose boxes come close, by a sweep down the sheet."""
    active: list[Item] = []
    for item in sorted(items, key=lambda i: i.box[1]):
        top = item.box[1] - 1.0
        active = [other for other in active if other.box[3] >= top]
        left, right = item.box[0] - 1.0, item.box[2] + 1.0
        for other in active:
            if other.box[2] >= left and other.box[0] <= right:
                yield other, item
        active.append(item)


_LINES = frozenset({"wire", "bar"})
_SOLID = frozenset({"box", "symbol", "flag"})


def _within_own(symbol: Item, box: Item) -> bool:
    """Whether a symbol lies wholly inside the box of the same thing: a coil in its contactor."""
    return (
        (symbol.kind, box.kind) == ("symbol", "box")
        and symbol.ref == box.ref
        and box.box[0] < symbol.box[0]
        and box.box[1] < symbol.box[1]
        and box.box[2] > symbol.box[2]
        and box.box[3] > symbol.box[3]
    )


def _relation(a: Item, b: Item) -> str:
    if a.kind == "text":
        return _text_on(a, b)
    if a.kind in _LINES:
        return _line_on(a, b)
    if _within_own(a, b) or _within_own(b, a):
        return ""
    if a.kind in _SOLID and b.kind in _SOLID and _overlap(a.box, b.box, _INSIDE_MM):
        return "box on box"
    return ""


def _text_on(a: Item, b: Item) -> str:
    if b.kind == "text":
        return "text on text" if _overlap(a.box, b.box) else ""
    if b.kind in ("symbol", "dot"):
        own = a.role == "letter" and a.group == b.group
        return "text on symbol" if not own and _overlap(a.box, b.box) else ""
    wide = _pen(b) / 2
    x0, y0, x1, y1 = a.box
    grown = (x0 - wide, y0 - wide, x1 + wide, y1 + wide)
    return "text on line" if any(_cuts(s, grown) for s in b.segments) else ""


def _line_on(a: Item, b: Item) -> str:
    if b.kind in ("box", "symbol", "flag"):
        if b.kind == "symbol" and b.net and b.net == a.net and b.box[2] - b.box[0] < 4:
            return ""
        x0, y0, x1, y1 = b.box
        inner = (x0 + _INSIDE_MM, y0 + _INSIDE_MM, x1 - _INSIDE_MM, y1 - _INSIDE_MM)
        name = "symbol" if b.kind == "symbol" else "box"
        return f"line through {name}" if any(_cuts(s, inner) for s in a.segments) else ""
    if b.kind in _LINES and a.net != b.net:
        return _lines(a, b)
    return ""


def _lines(a: Item, b: Item) -> str:
    for s in a.segments:
        for t in b.segments:
            if _collinear(s, t):
                return "lines on one another"
            if _cross(s, t) or _cross(t, s):
                return "crossing"
    return ""


# --- geometry ---------------------------------------------------------------------------------


def _pen(item: Item) -> float:
    return item.ink.width_mm if isinstance(item.ink, InkPath | Circle) else 0.0


def _overlap(a: Box, b: Box, slack: float = _TOUCH_MM) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > slack and min(a[3], b[3]) - max(a[1], b[1]) > slack


def _cuts(segment: Segment, box: Box) -> bool:
    """Whether a segment has a part inside a box (clipping after Liang and Barsky)."""
    (ax, ay), (bx, by) = segment
    near, far = 0.0, 1.0
    for start, change, low, high in (
        (ax, bx - ax, box[0] + _TOUCH_MM, box[2] - _TOUCH_MM),
        (ay, by - ay, box[1] + _TOUCH_MM, box[3] - _TOUCH_MM),
    ):
        if abs(change) < 1e-9:
            if not low < start < high:
                return False
            continue
        one, two = sorted(((low - start) / change, (high - start) / change))
        near, far = max(near, one), min(far, two)
    return near < far


def _span(segment: Segment, axis: int) -> tuple[float, float]:
    one, two = segment[0][axis], segment[1][axis]
    return (one, two) if one <= two else (two, one)


def _collinear(s: Segment, t: Segment) -> bool:
    for axis in (0, 1):
        a, b = _span(s, axis), _span(t, axis)
        flat = a[1] - a[0] < 0.01 and b[1] - b[0] < 0.01
        if flat and abs(a[0] - b[0]) < _INSIDE_MM:
            c, d = _span(s, 1 - axis), _span(t, 1 - axis)
            return min(c[1], d[1]) - max(c[0], d[0]) > _TOUCH_MM
    return False


def _cross(s: Segment, t: Segment) -> bool:
    """Whether a level `s` and an upright `t` cross, not only touch."""
    across, y = _span(s, 0), s[0][1]
    down, x = _span(t, 1), t[0][0]
    level = abs(s[0][1] - s[1][1]) < 0.01 and abs(t[0][0] - t[1][0]) < 0.01
    return level and across[0] + 0.1 < x < across[1] - 0.1 and down[0] + 0.1 < y < down[1] - 0.1


def _name(item: Item) -> str:
    return item.text or item.ref or item.net or item.group or item.kind


def _fault(sheet: Sheet, kind: str, a: Item, b: Item | None = None) -> Fault:
    x = (a.box[0] + a.box[2]) / 2
    y = (a.box[1] + a.box[3]) / 2
    other = _name(b) if b else ""
    return Fault(kind=kind, what=_name(a), other=other, zone=sheet.zone(x, y))
