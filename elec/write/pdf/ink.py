"""SVG of our own drawing onto a page: paths, circles, texts, hatches, as vectors.

It covers what the symbols and the charts are made of, no more; anything else is a fault that is
raised, so that no picture is ever silently incomplete. Geometry of arcs after SVG 1.1, appendix
F.6 (from endpoints to centre).
"""

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from xml.etree import ElementTree as ET

from elec.write.pdf.paper import colour, font

_TOKEN = re.compile(r"[A-Za-z]|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_TRANSFORM = re.compile(r"(\w+)\s*\(([^)]*)\)")
_HREF = "{http://www.w3.org/1999/xlink}href"
_PASSED_OVER = {"title", "desc", "defs", "style", "metadata", "clipPath", "pattern"}
_OWN = {"clip-path", "opacity"}
"""Properties that an element does not hand down."""
_CAPS = {"butt": 0, "round": 1, "square": 2}
_JOINS = {"miter": 0, "round": 1, "bevel": 2}
Style = Mapping[str, str]
Point = tuple[float, float]
Drawn = list[tuple[str, tuple[float, ...]]]
"""A path as absolute moves (`M`), lines (`L`), Bézier curves (`C`) and closings (`Z`)."""


def size_pt(svg: str) -> tuple[float, float]:
    """Width and height of a picture in points; without a unit a length is in pixels of 1/96 in."""
    root = ET.fromstring(svg.encode())  # noqa: S314 - our own drawing
    return _length_pt(root.get("width", "")), _length_pt(root.get("height", ""))


def _length_pt(text: str) -> float:
    units = {"pt": 1.0, "mm": 72 / 25.4, "in": 72.0, "px": 0.75, "": 0.75}
    match = re.fullmatch(r"([\d.]+)(\w*)", text.strip())
    if match is None:
        raise ValueError(f"a picture needs its size, not {text!r}")
    return float(match.group(1)) * units[match.group(2)]


def draw_svg(canvas: Any, svg: str, box: tuple[float, float, float, float]) -> None:
    """Draw a picture into a box of the page: left, bottom, width and height in points."""
    root = ET.fromstring(svg.encode())  # noqa: S314 - our own drawing
    x0, y0, wide, high = (float(n) for n in _NUMBER.findall(root.get("viewBox", "")))
    left, bottom, width, height = box
    scale = min(width / wide, height / high)
    canvas.saveState()
    canvas.translate(left, bottom + height)
    canvas.scale(scale, -scale)
    canvas.translate(-x0, -y0)
    Ink(canvas, root).draw(root, {})
    canvas.restoreState()


def draw_fragment(canvas: Any, fragment: str, style: Style) -> None:
    """Draw elements without a root, in the units of the canvas but with y down."""
    root = ET.fromstring(f"<g>{fragment}</g>")  # noqa: S314 - our own drawing
    canvas.saveState()
    canvas.scale(1, -1)
    Ink(canvas, root).draw(root, style)
    canvas.restoreState()


class Ink:
    """Draws the elements of one picture."""

    def __init__(self, canvas: Any, root: ET.Element) -> None:
        """Begin with the things of the picture that others refer to."""
        self.canvas = canvas
        self.known = {e.get("id", ""): e for e in root.iter() if e.get("id")}

    def draw(self, element: ET.Element, style: Style) -> None:
        """Draw an element and what it holds."""
        tag = element.tag.rpartition("}")[2]
        if tag in _PASSED_OVER:
            return
        own = _style(element, style)
        self.canvas.saveState()
        for operation, numbers in _transforms(element.get("transform", "")):
            self._transform(operation, numbers)
        self._clip(own.get("clip-path", ""))
        if tag in {"svg", "g", "a"}:
            for child in element:
                self.draw(child, own)
        elif tag == "use":
            self.canvas.translate(_at(element, "x"), _at(element, "y"))
            self.draw(self.known[_href(element)], own)
        elif tag == "text":
            self._text(element, own)
        else:
            self._shape(outline(element), own)
        self.canvas.restoreState()

    def _transform(self, operation: str, numbers: Sequence[float]) -> None:
        if operation == "translate":
            self.canvas.translate(numbers[0], numbers[1] if len(numbers) > 1 else 0.0)
        elif operation == "scale":
            self.canvas.scale(numbers[0], numbers[-1])
        elif operation == "rotate":
            x, y = numbers[1:] if len(numbers) == 3 else (0.0, 0.0)
            self.canvas.translate(x, y)
            self.canvas.rotate(numbers[0])
            self.canvas.translate(-x, -y)
        elif operation == "matrix":
            self.canvas.transform(*numbers)
        else:
            raise ValueError(f"no drawing of ours is moved by {operation}")

    def _clip(self, reference: str) -> None:
        if reference in ("", "none"):
            return
        for child in self.known[reference[5:-1]]:
            self.canvas.clipPath(self._path(outline(child)), stroke=0, fill=0)

    def _shape(self, drawn: Drawn, style: Style) -> None:
        fill, stroke = style.get("fill", "#000000"), style.get("stroke", "none")
        if fill.startswith("url("):
            self._hatch(drawn, self.known[fill[5:-1]])
            fill = "none"
        if fill == stroke == "none":
            return
        if fill != "none":
            self.canvas.setFillColor(colour(fill))
            self.canvas.setFillAlpha(_opacity(style, "fill"))
        if stroke != "none":
            self._pen(stroke, style)
        self.canvas.drawPath(self._path(drawn), stroke=stroke != "none", fill=fill != "none")

    def _pen(self, stroke: str, style: Style) -> None:
        self.canvas.setStrokeColor(colour(stroke))
        self.canvas.setStrokeAlpha(_opacity(style, "stroke"))
        self.canvas.setLineWidth(_first(style.get("stroke-width", "1")))
        self.canvas.setLineCap(_CAPS[style.get("stroke-linecap", "butt")])
        self.canvas.setLineJoin(_JOINS[style.get("stroke-linejoin", "miter")])
        dash = [float(n) for n in _NUMBER.findall(style.get("stroke-dasharray", ""))]
        if dash:
            self.canvas.setDash(dash, _first(style.get("stroke-dashoffset", "0")))

    def _hatch(self, drawn: Drawn, pattern: ET.Element) -> None:
        """Fill an area with the tiles of a pattern."""
        wide, high = _at(pattern, "width"), _at(pattern, "height")
        x0, y0 = _at(pattern, "x"), _at(pattern, "y")
        xs = [x for _, numbers in drawn for x in numbers[::2]]
        ys = [y for _, numbers in drawn for y in numbers[1::2]]
        self.canvas.saveState()
        self.canvas.clipPath(self._path(drawn), stroke=0, fill=0)
        for i in range(math.floor((min(xs) - x0) / wide), math.ceil((max(xs) - x0) / wide)):
            for j in range(math.floor((min(ys) - y0) / high), math.ceil((max(ys) - y0) / high)):
                self._tile(pattern, (x0 + i * wide, y0 + j * high, wide, high))
        self.canvas.restoreState()

    def _tile(self, pattern: ET.Element, at: tuple[float, float, float, float]) -> None:
        x, y, wide, high = at
        self.canvas.saveState()
        self.canvas.translate(x, y)
        edge = _rectangle(0.0, 0.0, wide, high)
        self.canvas.clipPath(self._path(edge), stroke=0, fill=0)
        for child in pattern:
            self.draw(child, {})
        self.canvas.restoreState()

    def _text(self, element: ET.Element, style: Style) -> None:
        size = _first(style.get("font-size", "10"))
        bold = style.get("font-weight", "400") in {"700", "bold"}
        self.canvas.translate(_at(element, "x"), _at(element, "y"))
        self.canvas.scale(1, -1)
        self.canvas.setFont(font(bold=bold), size)
        self.canvas.setFillColor(colour(style.get("fill", "#000000")))
        self.canvas.setFillAlpha(_opacity(style, "fill"))
        draw = {
            "start": self.canvas.drawString,
            "middle": self.canvas.drawCentredString,
            "end": self.canvas.drawRightString,
        }[style.get("text-anchor", "start")]
        draw(0, 0, "".join(element.itertext()).strip())

    def _path(self, drawn: Drawn) -> Any:
        path = self.canvas.beginPath()
        for operation, numbers in drawn:
            if operation == "M":
                path.moveTo(*numbers)
            elif operation == "L":
                path.lineTo(*numbers)
            elif operation == "C":
                path.curveTo(*numbers)
            else:
                path.close()
        return path


# --- reading an element -----------------------------------------------------------------------


def _style(element: ET.Element, above: Style) -> dict[str, str]:
    found = {key: value for key, value in above.items() if key not in _OWN}
    found |= {k: v for k, v in element.attrib.items() if "{" not in k and k != "style"}
    for part in element.get("style", "").split(";"):
        key, _, value = part.partition(":")
        if value:
            found[key.strip()] = value.strip()
    return found


def _transforms(text: str) -> Iterator[tuple[str, list[float]]]:
    for operation, numbers in _TRANSFORM.findall(text):
        yield operation, [float(n) for n in _NUMBER.findall(numbers)]


def _href(element: ET.Element) -> str:
    return str(element.get(_HREF, element.get("href", "")))[1:]


def _at(element: ET.Element, name: str) -> float:
    return _first(element.get(name, "0"))


def _first(text: str) -> float:
    match = _NUMBER.search(text)
    return float(match.group()) if match else 0.0


def _opacity(style: Style, of: str) -> float:
    return float(style.get("opacity", "1")) * float(style.get(f"{of}-opacity", "1"))


# --- outlines ---------------------------------------------------------------------------------


def outline(element: ET.Element) -> Drawn:
    """The outline of an element.

    Raises:
        ValueError: no drawing of ours holds such an element.
    """
    tag = element.tag.rpartition("}")[2]
    if tag == "path":
        return path_of(element.get("d", ""))
    if tag in {"polygon", "polyline"}:
        numbers = [float(n) for n in _NUMBER.findall(element.get("points", ""))]
        points: Drawn = [
            ("L" if i else "M", (numbers[i], numbers[i + 1])) for i in range(0, len(numbers), 2)
        ]
        return [*points, ("Z", ())] if tag == "polygon" else points
    if tag == "line":
        ends = [(_at(element, f"x{n}"), _at(element, f"y{n}")) for n in (1, 2)]
        return [("M", ends[0]), ("L", ends[1])]
    if tag == "rect":
        return _rectangle(*(_at(element, name) for name in ("x", "y", "width", "height")))
    if tag in {"circle", "ellipse"}:
        rx, ry = (
            (_at(element, "r"),) * 2
            if tag == "circle"
            else (_at(element, "rx"), _at(element, "ry"))
        )
        return _ellipse(_at(element, "cx"), _at(element, "cy"), rx, ry)
    raise ValueError(f"no drawing of ours holds <{tag}>")


def _rectangle(x: float, y: float, wide: float, high: float) -> Drawn:
    corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return [*(("L" if i else "M", at) for i, at in enumerate(corners)), ("Z", ())]


def _ellipse(x: float, y: float, rx: float, ry: float) -> Drawn:
    drawn: Drawn = [("M", (x + rx, y))]
    drawn += _arc((x + rx, y), (rx, ry, 0.0, 0.0, 1.0), (x - rx, y))
    drawn += _arc((x - rx, y), (rx, ry, 0.0, 0.0, 1.0), (x + rx, y))
    return [*drawn, ("Z", ())]


_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Q": 4, "A": 7, "Z": 0}


def path_of(data: str) -> Drawn:
    """A path of SVG as absolute moves, lines and curves; no picture of ours has others.

    >>> path_of("M 1 2 h 3 z")
    [('M', (1.0, 2.0)), ('L', (4.0, 2.0)), ('Z', ())]
    """
    tokens = _TOKEN.findall(data)
    drawn: Drawn = []
    at = start = (0.0, 0.0)
    command, k = "", 0
    while k < len(tokens):
        if tokens[k].isalpha():
            command, k = tokens[k], k + 1
        count = _COUNTS[command.upper()]
        numbers = [float(n) for n in tokens[k : k + count]]
        k += count
        part, at = _piece(command, numbers, at)
        if command in "Mm":
            start = at
            command = "L" if command == "M" else "l"
        elif command in "Zz":
            at = start
        drawn += part
    return drawn


def _piece(command: str, n: list[float], at: Point) -> tuple[Drawn, Point]:
    """One command with its numbers, and where the pen is after it."""
    upper = command.upper()
    if upper == "Z":
        return [("Z", ())], at
    x, y = at if command.islower() else (0.0, 0.0)
    if upper == "H":
        end = (x + n[0], at[1])
    elif upper == "V":
        end = (at[0], y + n[0])
    else:
        end = (x + n[-2], y + n[-1])
    if upper in "MLHV":
        return [("M" if upper == "M" else "L", end)], end
    if upper == "A":
        return _arc(at, (n[0], n[1], n[2], n[3], n[4]), end), end
    points = [(x + n[i], y + n[i + 1]) for i in range(0, len(n), 2)]
    if upper == "Q":
        (qx, qy), (ex, ey) = points
        points = [
            (at[0] + 2 / 3 * (qx - at[0]), at[1] + 2 / 3 * (qy - at[1])),
            (ex + 2 / 3 * (qx - ex), ey + 2 / 3 * (qy - ey)),
            end,
        ]
    return [("C", tuple(v for point in points for v in point))], end


def _arc(start: Point, shape: tuple[float, float, float, float, float], end: Point) -> Drawn:
    """An elliptical arc as curves of a quarter turn at most."""
    rx, ry, turn_deg, large, sweep = shape
    rx, ry = abs(rx), abs(ry)
    if start == end:
        return []
    if not rx or not ry:
        return [("L", end)]
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    dx, dy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = cos * dx + sin * dy, -sin * dx + cos * dy
    over = (x / rx) ** 2 + (y / ry) ** 2
    if over > 1:
        rx, ry = rx * math.sqrt(over), ry * math.sqrt(over)
    square = (rx * ry) ** 2 / ((rx * y) ** 2 + (ry * x) ** 2) - 1
    root = math.sqrt(max(0.0, square)) * (1 if large != sweep else -1)
    cx, cy = root * rx * y / ry, -root * ry * x / rx
    first = math.atan2((y - cy) / ry, (x - cx) / rx)
    last = math.atan2((-y - cy) / ry, (-x - cx) / rx)
    sweep_rad = (last - first) % (2 * math.pi)
    if not sweep:
        sweep_rad -= 2 * math.pi
    middle = (
        cos * cx - sin * cy + (start[0] + end[0]) / 2,
        sin * cx + cos * cy + (start[1] + end[1]) / 2,
    )
    pieces = max(1, math.ceil(abs(sweep_rad) / (math.pi / 2) - 1e-9))
    step = sweep_rad / pieces
    reach = 4 / 3 * math.tan(step / 4)

    def place(u: float, v: float) -> Point:
        return (
            middle[0] + cos * rx * u - sin * ry * v,
            middle[1] + sin * rx * u + cos * ry * v,
        )

    drawn: Drawn = []
    for k in range(pieces):
        a, b = first + k * step, first + (k + 1) * step
        one = place(math.cos(a) - reach * math.sin(a), math.sin(a) + reach * math.cos(a))
        two = place(math.cos(b) + reach * math.sin(b), math.sin(b) - reach * math.cos(b))
        to = place(math.cos(b), math.sin(b))
        drawn.append(("C", (*one, *two, *to)))
    return drawn
