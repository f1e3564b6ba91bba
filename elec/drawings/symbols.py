"""The symbol table: each symbol by its name, as ink in millimetres.

The look follows IEEE 315 (arc breaker, rectangular fuse, chassis ground) and IEC 60617 where both
agree (resistor, lamp, machine circles); from memory. Breaker, fuse and diode are schemdraw's own;
the others lie on its raster. A symbol lies on a row: its left terminal is its origin, its right
terminal `length_mm` further right. Every sheet prints a legend.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import groupby
from typing import Any

from elec.drawings.ink import BLACK, WHITE, Arc, Box, Circle, Ink, Path, Point
from elec.record import dataclass

STROKE_MM, THIN_MM = 0.35, 0.25
Points = Sequence[Point]


@dataclass(frozen=True, kw_only=True)
class Shape:
    """Where a symbol reaches from its left terminal, mm, and what the legend calls it."""

    name: str
    title: str
    length_mm: float
    left_mm: float
    right_mm: float
    above_mm: float
    below_mm: float
    letter: str = ""


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """The ink of a symbol around its left terminal, areas below lines, and where it reaches."""

    ink: tuple[Ink, ...]
    box: Box


# --- our own, y up: as one thinks of a symbol ---------------------------------------------------


def _path(points: Points, *, wide: float = STROKE_MM, dash: tuple[float, ...] = ()) -> Path:
    return Path(points=tuple((x, -y) for x, y in points), width_mm=wide, dash=dash)


def _area(points: Points, fill: str = WHITE) -> Path:
    ends = tuple((x, -y) for x, y in points)
    return Path(points=ends, width_mm=STROKE_MM, fill=fill, closed=True)


def _ring(x: float, y: float, radius: float, fill: str = WHITE) -> Circle:
    return Circle(centre=(x, -y), radius_mm=radius, width_mm=STROKE_MM, fill=fill)


def _own(*ink: Path | Circle) -> Drawn:
    """A symbol of lines, areas and rings."""
    xs, ys = [], []
    for one in ink:
        ends, reach = ((one.centre,), one.radius_mm) if isinstance(one, Circle) else (one.points, 0)
        xs += [x + side for x, _ in ends for side in (-reach, reach)]
        ys += [y + side for _, y in ends for side in (-reach, reach)]
    ordered = sorted(ink, key=lambda one: isinstance(one, Path) and not one.closed)
    return Drawn(ink=tuple(ordered), box=_framed(min(xs), min(ys), max(xs), max(ys)))


def _framed(left: float, top: float, right: float, bottom: float) -> Box:
    """The box of lines with half the pen around it."""
    half = STROKE_MM / 2
    return (left - half, top - half, right + half, bottom + half)


# --- schemdraw's -------------------------------------------------------------------------------


def _stock(name: str, scale: float, units: float) -> Drawn:
    """A two-terminal symbol of schemdraw's own, without extra leads."""
    import schemdraw
    from schemdraw import elements

    element = getattr(elements, name)().scale(scale).length(scale * units)
    schemdraw.Drawing(show=False).add(element)
    box = element.get_bbox(transform=True, includetext=False)
    placed = [segment.xform(element.transform) for segment in element.segments]
    ordered = sorted(placed, key=lambda s: s.zorder or 1 + isinstance(s, schemdraw.Segment))
    return Drawn(
        ink=tuple(ink for segment in ordered for ink in _taken(segment)),
        box=_framed(box.xmin, -box.ymax, box.xmax, -box.ymin),
    )


def _taken(segment: Any) -> Iterator[Ink]:
    """The ink of a segment of schemdraw's; one that we have no ink for is a fault."""
    import schemdraw

    match segment:
        case schemdraw.Segment():
            for known, part in groupby(segment.path, key=lambda at: math.isfinite(at[0])):
                points = [(x, y) for x, y in part]
                if known and len(points) > 1:
                    yield _path(points)
        case schemdraw.SegmentPoly():
            points = [(x, y) for x, y in segment.verts]
            yield Path(points=_path(points).points, width_mm=STROKE_MM, closed=True)
        case schemdraw.SegmentCircle():
            x, y = segment.center
            yield Circle(centre=(x, -y), radius_mm=segment.radius, width_mm=STROKE_MM)
        case schemdraw.SegmentArc():
            (x, y), wide, high = segment.center, segment.width, segment.height
            first, last = (_stretched(a, wide, high) for a in (segment.theta1, segment.theta2))
            yield Arc(
                centre=(x, -y), radii_mm=(wide / 2, high / 2), start_deg=first,
                turn_deg=(last - first) % 360, width_mm=STROKE_MM,
            )  # fmt: skip
        case _:
            raise TypeError(f"no ink for {segment!r}")


def _stretched(turn_deg: float, wide: float, high: float) -> float:
    """The angle on the circle of which the ellipse is a stretched picture."""
    turn = math.radians(turn_deg)
    return math.degrees(math.atan2(wide * math.sin(turn), high * math.cos(turn)))


# --- the symbols -------------------------------------------------------------------------------


def _box(x0: float, y0: float, x1: float, y1: float, fill: str = WHITE) -> Path:
    return _area(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), fill)


def _breaker() -> Drawn:
    return _stock("Breaker", 6.0, 1.0)


def _fuse() -> Drawn:
    return _stock("FuseIEEE", 6.0, 1.0)


def _limiter() -> Drawn:
    return _own(
        _box(0, -1.4, 6.5, 1.4),
        _box(0, -1.4, 1.3, 1.4, BLACK),
        _box(5.2, -1.4, 6.5, 1.4, BLACK),
        _path(((0, 0), (6.5, 0))),
    )


def _link() -> Drawn:
    wave = [(0.9 + 4.7 * k / 24, 1.3 * math.sin(2 * math.pi * k / 24)) for k in range(25)]
    return _own(_path(wave), _ring(0.45, 0, 0.45), _ring(6.05, 0, 0.45))


def _switch() -> Drawn:
    return _own(_path(((0.9, 0.2), (5.3, 2.4))), _ring(0.5, 0, 0.5), _ring(5.5, 0, 0.5))


def _button() -> Drawn:
    return _own(
        _path(((0.2, 1.2), (5.8, 1.2))),
        _path(((3, 1.2), (3, 2.8))),
        _path(((2, 2.8), (4, 2.8))),
        _ring(0.5, 0, 0.5),
        _ring(5.5, 0, 0.5),
    )


def _coil(x: float, foot: float, *, crossed: bool) -> list[Path]:
    parts = [
        _path(((x, foot), (x, 3.4)), dash=(0.6, 0.5), wide=THIN_MM),
        _box(x - 1.9, 3.4, x + 1.9, 5.6),
    ]
    return [*parts, _path(((x - 1.9, 3.4), (x + 1.9, 5.6)), wide=THIN_MM)] if crossed else parts


def _relay() -> Drawn:
    return _own(
        _path(((0.9, 0.2), (5.3, 2.4))),
        *_coil(3.4, 1.5, crossed=False),
        _ring(0.5, 0, 0.5),
        _ring(5.5, 0, 0.5),
    )


def _contactor() -> Drawn:
    return _own(
        _path(((0, 0), (2.4, 0))),
        _path(((4.4, 0), (6.8, 0))),
        _path(((2.4, -1.8), (2.4, 1.8)), wide=0.6),
        _path(((4.4, -1.8), (4.4, 1.8)), wide=0.6),
        *_coil(3.4, 0.6, crossed=True),
    )


def _changeover() -> Drawn:
    return _own(
        _path(((6.1, 0.1), (1.3, 0.9))),
        _ring(0.5, 0, 0.5),
        _ring(0.5, 2.2, 0.5),
        _ring(6.5, 0, 0.5),
    )


def _diode() -> Drawn:
    return _stock("Diode", 9.0, 0.35)


def _schottky() -> Drawn:
    hooks = ((3.7, 1.6), (3.7, 2.25), (2.95, 2.25), (2.95, -2.25), (2.2, -2.25), (2.2, -1.6))
    return _own(
        _path(((2.95, 0), (4.0, 0))),
        _path(((0, 0), (0.3, 0))),
        _area(((0.3, 2.0), (2.95, 0), (0.3, -2.0))),
        _path(hooks),
    )


def _shunt() -> Drawn:
    taps = [_path(((x, 0), (x, 2.4)), wide=THIN_MM) for x in (1.5, 5.0)]
    dots = [_ring(x, 0, 0.4, BLACK) for x in (1.5, 5.0)]
    ends = [_ring(x, 2.4, 0.35) for x in (1.5, 5.0)]
    return _own(_box(0, -1.1, 6.5, 1.1), *taps, *dots, *ends)


def _earth(x: float, top: float) -> list[Path]:
    bars = [(2.2, 0.0), (1.4, -0.9), (0.6, -1.8)]
    return [_path(((x - w, top + y), (x + w, top + y))) for w, y in bars]


def _battery() -> Drawn:
    plates = ((4.0, 1.4), (5.0, 2.6), (6.6, 1.4), (7.6, 2.6))
    return _own(
        _path(((2.4, -3.4), (2.4, 0), (4.0, 0))),
        *_earth(2.4, -3.4),
        *(_path(((x, -h), (x, h))) for x, h in plates),
        _path(((5.0, 0), (6.6, 0)), dash=(0.4, 0.3)),
        _path(((7.6, 0), (10, 0))),
        _path(((8.4, 1.6), (9.8, 1.6)), wide=THIN_MM),
        _path(((9.1, 0.9), (9.1, 2.3)), wide=THIN_MM),
    )


def _machine() -> Drawn:
    return _own(_ring(4, 0, 4))


def _alternator() -> Drawn:
    return _own(
        _ring(4, 0, 4),
        _path(((2.8, -2.2), (5.2, -2.2)), wide=THIN_MM),
        _path(((2.8, -2.8), (5.2, -2.8)), wide=THIN_MM, dash=(0.6, 0.3)),
    )


def _lamp() -> Drawn:
    k = 2.6 * math.sqrt(0.5)
    return _own(
        _ring(2.6, 0, 2.6),
        _path(((2.6 - k, -k), (2.6 + k, k))),
        _path(((2.6 - k, k), (2.6 + k, -k))),
    )


def _heater() -> Drawn:
    bars = [_path(((x, -1.4), (x, 1.4)), wide=THIN_MM) for x in (1.75, 3.5, 5.25)]
    return _own(_box(0, -1.4, 7, 1.4), *bars)


def _load() -> Drawn:
    return _own(_box(0, -1.8, 7, 1.8))


def _ground() -> Drawn:
    return _own(_path(((0, 0), (0, -2))), *_earth(0, -2))


def _chassis() -> Drawn:
    feet = [_path(((x, -2), (x - 1.1, -3.8))) for x in (-2, 0, 2)]
    return _own(_path(((0, 0), (0, -2))), _path(((-2, -2), (2, -2))), *feet)


def _splice() -> Drawn:
    return _own(_ring(0, 0, 0.8, BLACK))


def _stud() -> Drawn:
    return _own(_ring(0, 0, 1.3), _ring(0, 0, 0.5, BLACK))


def _connector() -> Drawn:
    return _own(
        _path(((0, 0), (2, 0))),
        _path(((0.9, 1.2), (2, 0), (0.9, -1.2))),
        _path(((2.1, 1.2), (3.2, 0), (2.1, -1.2))),
        _path(((3.2, 0), (5, 0))),
    )


def _external() -> Drawn:
    return _own(
        _box(0, -3.4, 8, 3.4),
        _ring(4, 1.9, 0.8, BLACK),
        _ring(4, -0.3, 0.8, BLACK),
        _ring(4, -2.2, 0.5),
        _path(((4.8, 0), (8, 0)), wide=THIN_MM),
    )


def _terminal() -> Drawn:
    return _own(_ring(0.6, 0, 0.6))


_BUILD: dict[str, tuple[Callable[[], Drawn], float, str, str]] = {
    "breaker": (_breaker, 6.0, "circuit breaker", ""),
    "fuse": (_fuse, 6.0, "fuse", ""),
    "limiter": (_limiter, 6.5, "current limiter", ""),
    "link": (_link, 6.5, "fusible link", ""),
    "switch": (_switch, 6.0, "switch", ""),
    "button": (_button, 6.0, "push button", ""),
    "contactor": (_contactor, 6.8, "contactor", ""),
    "relay": (_relay, 6.0, "relay", ""),
    "changeover": (_changeover, 7.0, "changeover switch", ""),
    "diode": (_diode, 3.15, "diode", ""),
    "schottky": (_schottky, 4.0, "Schottky diode", ""),
    "shunt": (_shunt, 6.5, "shunt", ""),
    "battery": (_battery, 10.0, "battery", ""),
    "alternator": (_alternator, 8.0, "alternator", "G"),
    "starter": (_machine, 8.0, "starter motor", "M"),
    "motor": (_machine, 8.0, "motor", "M"),
    "lamp": (_lamp, 5.2, "lamp", ""),
    "heater": (_heater, 7.0, "heater", ""),
    "load": (_load, 7.0, "load", ""),
    "ground": (_ground, 0.0, "ground", ""),
    "chassis": (_chassis, 0.0, "structure as return", ""),
    "splice": (_splice, 0.0, "splice or joint", ""),
    "stud": (_stud, 0.0, "stud", ""),
    "connector": (_connector, 5.0, "connector", ""),
    "external": (_external, 8.0, "external power", ""),
    "terminal": (_terminal, 1.2, "load terminal", ""),
}
NAMES = tuple(_BUILD)


@cache
def drawn(name: str) -> Drawn:
    """The symbol around its left terminal."""
    return _BUILD[name][0]()


@cache
def shape(name: str) -> Shape:
    """Where the symbol reaches and what it is called."""
    _, length, title, letter = _BUILD[name]
    x0, y0, x1, y1 = drawn(name).box
    return Shape(
        name=name,
        title=title,
        length_mm=length,
        left_mm=x0,
        right_mm=x1,
        above_mm=-y0,
        below_mm=y1,
        letter=letter,
    )
