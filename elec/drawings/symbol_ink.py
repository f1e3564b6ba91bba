"""What symbols are made of: pieces of our own, and whole ones of the symbol library, as ink.

y runs up here, as one thinks of a symbol; the ink that comes out runs down. The left terminal is
the origin.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from msgspec import Struct

from elec.drawings.ink import WHITE, Arc, Box, Circle, Ink, InkPath, Point

STROKE_MM = 0.35
Points = Sequence[Point]


class SymbolInk(Struct, frozen=True, kw_only=True):
    """The ink of a symbol around its left terminal, areas below lines, and where it reaches."""

    ink: tuple[Ink, ...]
    box: Box


# --- our own --------------------------------------------------------------------------------------


def path(points: Points, *, wide: float = STROKE_MM, dash: tuple[float, ...] = ()) -> InkPath:
    """A line through points."""
    return InkPath(points=tuple((x, -y) for x, y in points), width_mm=wide, dash=dash)


def area(points: Points, fill: str = WHITE) -> InkPath:
    """An outline that hides what lies below it."""
    ends = tuple((x, -y) for x, y in points)
    return InkPath(points=ends, width_mm=STROKE_MM, fill=fill, closed=True)


def ring(x: float, y: float, radius: float, fill: str = WHITE) -> Circle:
    """A circle that hides what lies below it."""
    return Circle(centre=(x, -y), radius_mm=radius, width_mm=STROKE_MM, fill=fill)


def own(*ink: InkPath | Circle) -> SymbolInk:
    """A symbol of lines, areas and rings."""
    xs, ys = [], []
    for one in ink:
        ends, reach = ((one.centre,), one.radius_mm) if isinstance(one, Circle) else (one.points, 0)
        xs += [x + side for x, _ in ends for side in (-reach, reach)]
        ys += [y + side for _, y in ends for side in (-reach, reach)]
    ordered = sorted(ink, key=lambda one: isinstance(one, InkPath) and not one.closed)
    return SymbolInk(ink=tuple(ordered), box=_framed(min(xs), min(ys), max(xs), max(ys)))


def _framed(left: float, top: float, right: float, bottom: float) -> Box:
    """The box of lines with half the pen around it."""
    half = STROKE_MM / 2
    return (left - half, top - half, right + half, bottom + half)


def box(x0: float, y0: float, x1: float, y1: float, fill: str = WHITE) -> InkPath:
    """A box between two corners."""
    return area(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), fill)


# --- schemdraw's -------------------------------------------------------------------------------


def stock(name: str, scale: float, units: float) -> SymbolInk:
    """A two-terminal symbol of schemdraw's own, without extra leads."""
    import schemdraw
    from schemdraw import elements

    element = getattr(elements, name)().scale(scale).length(scale * units)
    schemdraw.Drawing(show=False).add(element)
    reach = element.get_bbox(transform=True, includetext=False)
    placed = [segment.xform(element.transform) for segment in element.segments]
    ordered = sorted(placed, key=lambda s: s.zorder or 1 + isinstance(s, schemdraw.Segment))
    return SymbolInk(
        ink=tuple(ink for segment in ordered for ink in _taken(segment)),
        box=_framed(reach.xmin, -reach.ymax, reach.xmax, -reach.ymin),
    )


def _taken(segment: Any) -> Iterator[Ink]:
    """The ink of a segment of schemdraw's; one that we have no ink for is a fault."""
    import schemdraw

    match segment:
        case schemdraw.Segment():
            for known, part in groupby(segment.path, key=lambda at: math.isfinite(at[0])):
                points = [(x, y) for x, y in part]
                if known and len(points) > 1:
                    yield path(points)
        case schemdraw.SegmentPoly():
            points = [(x, y) for x, y in segment.verts]
            yield InkPath(points=path(points).points, width_mm=STROKE_MM, closed=True)
        case schemdraw.SegmentCircle():
            x, y = segment.center
            yield Circle(centre=(x, -y), radius_mm=segment.radius, width_mm=STROKE_MM)
        case schemdraw.SegmentArc(angle=0):
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
