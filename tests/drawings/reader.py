"""A finished sheet read back from its SVG alone: lines, texts, boxes, and what they stand for.

Nothing here knows how a sheet is made: texts are measured with the font's own outlines (Pillow),
lines and boxes come from the path data, and the meaning from the attributes of the groups.
"""

import re
from collections.abc import Iterator
from functools import cache, lru_cache
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
from fontTools.ttLib import TTFont
from msgspec import Struct, field
from PIL import ImageFont

from elec.drawings import fonts

SVG = "{http://www.w3.org/2000/svg}"
FONTS = Path(fonts.__file__).parent
EM = 1000
TOUCH_MM = 0.06
"""Coordinates are written to 0.01 mm; two of them, and the rounding of a text's middle."""
SMALLEST_MM = 2.5
LINES = ("wire", "bar")
AREAS = frozenset({"#b9c7d6", "#eef2f6"})
"""Pale colours of broad strokes that make an area, such as a zone; texts may stand on these."""
BROAD_MM = 2.0
Box = tuple[float, float, float, float]
Segment = tuple[float, float, float, float]


class Text(Struct, frozen=True):
    words: str
    box: Box
    capital_mm: float
    ref: str
    framed: bool


class Line(Struct, frozen=True):
    """A piece of a line: its net and reference, and the ids of the two ends of its conductor."""

    at: Segment
    kind: str
    net: str
    ref: str
    role: str
    ends: tuple[str, ...]
    pen_mm: float


class Drawn(Struct):
    """Everything on a sheet."""

    width_mm: float
    height_mm: float
    texts: list[Text] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    """Straight pieces of every kind, edges of boxes and tables too."""
    symbols: list[Box] = field(default_factory=list)
    conductors: list[tuple[str, str, tuple[str, ...]]] = field(default_factory=list)
    """Reference, role and ends of each wire group."""
    pins: list[str] = field(default_factory=list)

    @property
    def frame(self) -> Box:
        return (20.0, 10.0, self.width_mm - 10.0, self.height_mm - 10.0)


@cache
def _font(bold: bool) -> ImageFont.FreeTypeFont:
    name = "DejaVuSans-Bold-subset.ttf" if bold else "DejaVuSans-subset.ttf"
    return ImageFont.truetype(str(FONTS / name), EM)


@cache
def capital_em() -> float:
    """Height of a capital over the font size, from the outline of H in the font file."""
    font = TTFont(FONTS / "DejaVuSans-subset.ttf")
    names = font.getBestCmap()
    assert names is not None
    high = font["glyf"][names[ord("H")]].yMax
    return float(high) / float(font["head"].unitsPerEm)  # type: ignore[attr-defined]


@lru_cache(maxsize=50_000)
def _extent(words: str, bold: bool) -> tuple[float, float, float, float]:
    """Advance width, and left, top and bottom of the ink, over the font size."""
    font = _font(bold)
    _, top, _, bottom = font.getbbox(words, anchor="ls")
    return font.getlength(words) / EM, 0.0, top / EM, bottom / EM


def read_sheet(svg: str) -> Drawn:
    """A sheet from its SVG."""
    root = ET.fromstring(svg)  # noqa: S314  # our own drawing
    _hand_down(root)
    width, height = (float(v) for v in root.get("viewBox", "").split()[2:])
    drawn = Drawn(width_mm=width, height_mm=height)
    for child in root:
        if child.tag == f"{SVG}g":
            _group(child, drawn, 1.0, framed=child.get("class") == "frame")
    return drawn


def _hand_down(parent: ET.Element) -> None:
    """Size and anchor of letters, from an element to those in it that say nothing else."""
    for child in parent:
        for key in ("font-size", "text-anchor"):
            if key in parent.attrib:
                child.attrib.setdefault(key, parent.attrib[key])
        _hand_down(child)


_NARROWED = re.compile(r"scale\((0\.\d+) 1\)")
"""A group whose letters are drawn narrower than those of the font."""


def _group(group: ET.Element, drawn: Drawn, narrow: float, *, framed: bool) -> None:
    kind = group.get("class", "")
    if found := _NARROWED.fullmatch(group.get("transform", "")):
        narrow *= float(found[1])
    elif kind == "symbol" or group.get("transform"):
        if kind != "symbol":  # the small symbols of a legend
            return
        for child in group:
            if child.get("transform"):
                drawn.symbols.append(_symbol(child))
        return
    ref, role = group.get("data-ref", ""), group.get("data-role", "")
    ends = tuple(group.get("data-ends", "").split("|")) if group.get("data-ends") else ()
    if kind == "wire" and ref and any(c.tag == f"{SVG}path" for c in group):
        drawn.conductors.append((ref, role, ends))
    if role == "pin":
        drawn.pins.extend(ref for c in group if c.tag == f"{SVG}path")
    for child in group:
        if child.tag == f"{SVG}g":
            _group(child, drawn, narrow, framed=framed)
        elif child.tag == f"{SVG}a":
            for text in child:
                drawn.texts.append(_text(text, ref, narrow, framed=framed))
        elif child.tag == f"{SVG}text":
            drawn.texts.append(_text(child, ref, narrow, framed=framed))
        elif child.tag in (f"{SVG}path", f"{SVG}rect") and not framed:
            net = group.get("data-net", ref)
            pen = float(child.get("stroke-width", "0"))
            if pen >= BROAD_MM and child.get("stroke") in AREAS:
                continue
            for at in _pieces(child):
                drawn.lines.append(Line(at, kind, net, ref, role, ends, pen))


def _text(text: ET.Element, ref: str, narrow: float, *, framed: bool) -> Text:
    words = "".join(text.itertext())
    if found := _NARROWED.fullmatch(text.get("transform", "")):
        narrow *= float(found[1])
    size = float(text.get("font-size", "0"))
    advance, _, top, bottom = _extent(words, text.get("font-weight") == "700")
    x, y = narrow * float(text.get("x", "0")), float(text.get("y", "0"))
    wide = narrow * advance * size
    left = x - {"middle": wide / 2, "end": wide}.get(text.get("text-anchor", ""), 0.0)
    box = (left, y + top * size, left + wide, y + bottom * size)
    return Text(words, box, size * capital_em(), ref, framed)


_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def _pieces(shape: ET.Element) -> Iterator[Segment]:
    if shape.tag == f"{SVG}rect":
        x, y, w, h = (float(shape.get(k, "0")) for k in ("x", "y", "width", "height"))
        yield from ((x, y, x + w, y), (x, y + h, x + w, y + h))
        yield from ((x, y, x, y + h), (x + w, y, x + w, y + h))
        return
    for part in shape.get("d", "").split("M")[1:]:
        numbers = [float(n) for n in _NUMBER.findall(part)]
        points = list(zip(numbers[::2], numbers[1::2], strict=True))
        if "Z" in part:
            points.append(points[0])
        for (ax, ay), (bx, by) in pairwise(points):
            yield (ax, ay, bx, by)


def _arcs(data: str) -> Iterator[tuple[float, float, float, float, float]]:
    """Start, radii and advance of the arcs that bend upwards, as the breaker's does."""
    for x, y, rest in re.findall(r"M(\S+) (\S+?)A([^A-Za-z]+)", data):
        numbers = [float(n) for n in _NUMBER.findall(rest)]
        yield float(x), float(y), numbers[0], numbers[1], numbers[5] - float(x)


def _symbol(group: ET.Element) -> Box:
    """The box of a symbol's ink."""
    numbers = [float(n) for n in _NUMBER.findall(group.get("transform", ""))]
    dx, dy = numbers[0], numbers[1]
    xs: list[float] = []
    ys: list[float] = []
    for shape in group.iter():
        if shape.tag == f"{SVG}circle":
            x, y, r = (float(shape.get(k, "0")) for k in ("cx", "cy", "r"))
            xs += [x - r, x + r]
            ys += [y - r, y + r]
        elif shape.tag == f"{SVG}path":
            for x, y, rx, ry, dx_arc in _arcs(shape.get("d", "")):
                mid = x + dx_arc / 2
                xs += [mid - rx, mid + rx]
                ys += [y - ry, y]
            for part in re.findall(r"[ML]\s*([^A-Za-z]+)", shape.get("d", "")):
                found = [float(n) for n in _NUMBER.findall(part)]
                xs += found[::2]
                ys += found[1::2]
    if not xs:
        return (dx, dy, dx, dy)
    return (min(xs) + dx, min(ys) + dy, max(xs) + dx, max(ys) + dy)


# --- faults -----------------------------------------------------------------------------------


def faults(drawn: Drawn) -> list[str]:
    """What no finished sheet may have; crossings are counted apart."""
    return [
        *_alone(drawn), *_texts(drawn), *_texts_on_lines(drawn), *_texts_on_symbols(drawn),
        *_shared(drawn),
    ]  # fmt: skip


def _alone(drawn: Drawn) -> Iterator[str]:
    _, _, x1, y1 = drawn.frame
    block = (x1 - 180.0, y1 - 22.0, x1, y1)
    for text in drawn.texts:
        if text.capital_mm < SMALLEST_MM - 0.01:
            yield f"too small: {text.words}"
        if text.framed:
            continue
        if not _inside(text.box, drawn.frame):
            yield f"outside the frame: {text.words}"
        if _overlap(text.box, block):
            yield f"in the title block: {text.words}"
    for line in drawn.lines:
        ax, ay, bx, by = line.at
        if not _inside((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)), drawn.frame):
            yield f"outside the frame: a {line.kind} of {line.ref}"


def _inside(box: Box, frame: Box) -> bool:
    slack = TOUCH_MM
    return (
        box[0] >= frame[0] - slack and box[1] >= frame[1] - slack
        and box[2] <= frame[2] + slack and box[3] <= frame[3] + slack
    )  # fmt: skip


def _overlap(a: Box, b: Box) -> bool:
    wide = min(a[2], b[2]) - max(a[0], b[0])
    return wide > TOUCH_MM and min(a[3], b[3]) - max(a[1], b[1]) > TOUCH_MM


def _array(boxes: list[Box]) -> np.ndarray:
    return np.array(boxes, dtype=float).reshape(-1, 4)


def _hits(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Which boxes of one list overlap which of another."""
    wide = np.minimum(a[:, None, 2], b[None, :, 2]) - np.maximum(a[:, None, 0], b[None, :, 0])
    high = np.minimum(a[:, None, 3], b[None, :, 3]) - np.maximum(a[:, None, 1], b[None, :, 1])
    found: np.ndarray = (wide > TOUCH_MM) & (high > TOUCH_MM)
    return found


def _texts(drawn: Drawn) -> Iterator[str]:
    texts = [t for t in drawn.texts if not t.framed]
    boxes = _array([t.box for t in texts])
    for i, k in zip(*np.nonzero(np.triu(_hits(boxes, boxes), 1)), strict=True):
        yield f"text on text: {texts[i].words} and {texts[k].words}"


def _texts_on_lines(drawn: Drawn) -> Iterator[str]:
    """A label keeps off every line: so it is on none that it does not belong to."""
    texts = [t for t in drawn.texts if not t.framed]
    lines = drawn.lines
    if not texts or not lines:
        return
    boxes = _array([t.box for t in texts])
    spans = _array(
        [
            (
                min(n.at[0], n.at[2]) - n.pen_mm / 2,
                min(n.at[1], n.at[3]) - n.pen_mm / 2,
                max(n.at[0], n.at[2]) + n.pen_mm / 2,
                max(n.at[1], n.at[3]) + n.pen_mm / 2,
            )
            for n in lines
        ]
    )
    for i, k in zip(*np.nonzero(_hits(boxes, spans)), strict=True):
        if _cut(lines[k].at, texts[i].box):
            yield f"text on line: {texts[i].words} and {lines[k].kind} {lines[k].ref}"


def _cut(at: Segment, box: Box) -> bool:
    """Whether a slanting piece enters a box; a level or upright one does if its span does."""
    ax, ay, bx, by = at
    if abs(ax - bx) < 0.01 or abs(ay - by) < 0.01:
        return True
    steps = np.linspace(0.0, 1.0, 40)
    xs, ys = ax + (bx - ax) * steps, ay + (by - ay) * steps
    inside = (xs > box[0]) & (xs < box[2]) & (ys > box[1]) & (ys < box[3])
    return bool(inside.any())


def _texts_on_symbols(drawn: Drawn) -> Iterator[str]:
    texts = [t for t in drawn.texts if not t.framed and len(t.words) > 1]
    for i, k in zip(
        *np.nonzero(_hits(_array([t.box for t in texts]), _array(drawn.symbols))), strict=True
    ):
        yield f"text on symbol: {texts[i].words} at {drawn.symbols[k]}"


def _netted(drawn: Drawn) -> list[Line]:
    return [line for line in drawn.lines if line.kind in LINES]


def _shared(drawn: Drawn) -> Iterator[str]:
    """Two nets on one piece of line."""
    for axis in (0, 1):
        rows: dict[int, list[tuple[float, float, Line]]] = {}
        for line in _netted(drawn):
            at = line.at
            if abs(at[axis] - at[axis + 2]) < 0.01:
                low, high = sorted((at[1 - axis], at[3 - axis]))
                rows.setdefault(round(at[axis] * 5), []).append((low, high, line))
        for key, here in rows.items():
            near = [*here, *rows.get(key + 1, ())]
            for one, two in combinations(near, 2):
                if one[2].net == two[2].net or abs(one[2].at[axis] - two[2].at[axis]) > 0.25:
                    continue
                if min(one[1], two[1]) - max(one[0], two[0]) > TOUCH_MM:
                    yield f"one piece for two: {one[2].net} and {two[2].net}"


def crossings(drawn: Drawn) -> int:
    """How often lines of different nets cross."""
    lines = _netted(drawn)
    level = [n for n in lines if abs(n.at[1] - n.at[3]) < 0.01]
    upright = [n for n in lines if abs(n.at[0] - n.at[2]) < 0.01]
    count = 0
    for a in level:
        left, right = sorted((a.at[0], a.at[2]))
        for b in upright:
            if a.net != b.net and left + 0.1 < b.at[0] < right - 0.1:
                top, bottom = sorted((b.at[1], b.at[3]))
                count += top + 0.1 < a.at[1] < bottom - 0.1
    return count
