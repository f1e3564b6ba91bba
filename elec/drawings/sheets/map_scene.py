"""One view of the map laid out: where places, ways, holes, tubes and zones lie on paper."""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.drawings.ink import Box, Point, Segment
from elec.drawings.layout.labels import HAIR_MM, Thick, segments_mm
from elec.drawings.layout.lanes import Strand, lanes
from elec.drawings.layout.view import Scaled, View
from elec.drawings.map_inputs import MapWay, PassedHole, RouteMap, Spot3

WAY = "#2f5f8a"
EDGE = "#b9c7d6"
MARK_MM = 1.1
ONE_MM = 2.1
"""Places nearer than this on paper share a mark."""
ZONE_MM = 3.4
SENSOR_MM = 1.5
UNKNOWN_MM = 0.5
HOLE_MM = 2.0
"""Length of the bars beside a hole."""
GROMMET_MM = 0.55
END_ON, NAMED = 0.35, 0.5
"""Parts of its length below which a way is left to another view, and its text is."""


class MapRemainder(Struct, frozen=True, kw_only=True):
    """What a view leaves to the lists: ways seen end on, what found no room, shortened texts."""

    end_on: tuple[int, ...]
    unnamed: tuple[str, ...]
    short: str = ""


class Scene(Struct, frozen=True, kw_only=True):
    """Where everything of a view lies on the sheet."""

    record: RouteMap
    view: View
    marks: Mapping[str, Point]
    """Place → its mark, shared by places that are too near."""
    lines: Mapping[int, tuple[Point, ...]]
    """Way → its points."""
    wide: Mapping[int, float]
    """Way → thickness of its line."""
    sensors: Mapping[str, Point]
    end_on: tuple[int, ...]
    factor: float
    beyond: frozenset[str] = frozenset()
    """Places of a detail that its ways run on to."""
    hidden: frozenset[str] = frozenset()
    """What a detail of this view names: places, `way 3`, zones."""
    elsewhere: frozenset[int] = frozenset()
    """Ways that another view shows well."""
    brief: bool = False
    """Whether another view has the texts of those ways and of the zones in full."""
    frame: Box | None = None
    """What a detail shows of this view."""
    holes: Mapping[int, tuple["HoleSpot", ...]] = {}
    """Way → its holes where it has room for them."""


class HoleSpot(Struct, frozen=True, kw_only=True):
    """A hole where it is drawn on its way: its middle, along the way, and its half width."""

    hole: PassedHole
    at: Point
    along: Point
    half_mm: float

    def side(self, side: int, beyond_mm: float) -> Point:
        """A point beside the way, so far from the edge of the hole."""
        off = side * (self.half_mm + beyond_mm)
        return (self.at[0] - self.along[1] * off, self.at[1] + self.along[0] * off)


def seen_m(view: View, a: Spot3, b: Spot3) -> float:
    """How long a straight way looks in a view."""
    return math.dist(view.flat(a), view.flat(b))


def share(view: View, record: RouteMap, way: MapWay) -> float:
    """The part of a way's length that a view shows; 1 where it has none."""
    at = {p.id: p.at_m for p in record.places}
    a, b = at.get(way.a), at.get(way.b)
    if a is None or b is None or a == b:
        return 1.0
    return seen_m(view, a, b) / math.dist(a, b)


def laid_out(
    record: RouteMap,
    scaled: Scaled,
    factor: float,
    elsewhere: frozenset[int],
    frame: Box | None = None,
) -> Scene:
    """Everything of a view where it lies; ways `elsewhere` are drawn in another.

    `frame`: what a detail of it shows.
    """
    marks = _marks(record, scaled)
    strands, end_on = [], []
    wide = {way.number: _thick_mm(way, factor) for way in record.ways}
    for way in record.ways:
        a, b = marks.get(way.a), marks.get(way.b)
        if a is None or b is None:
            continue
        if a == b or (share(scaled.view, record, way) < END_ON and way.number in elsewhere):
            end_on.append(way.number)
            continue
        strands.append(
            Strand(
                id=str(way.number),
                a=a,
                b=b,
                width_mm=room_mm(way, factor),
                core_mm=wide[way.number],
                lane=way.lane,
            )
        )
    gone = _left_out(record, end_on)
    marks = {name: at for name, at in marks.items() if name not in gone}
    found = lanes(tuple(strands), tuple(dict.fromkeys(marks.values())), MARK_MM)
    scene = Scene(
        record=record,
        view=scaled.view,
        marks=marks,
        lines={int(name): points for name, points in found.items()},
        wide=wide,
        sensors={
            s.id: scaled.place(s.at_m)
            for s in record.sensors
            if s.at_m is not None and s.place not in gone
        },
        end_on=tuple(end_on),
        factor=factor,
        beyond=frozenset(p.id for p in record.places if p.beyond),
        elsewhere=elsewhere,
        frame=frame,
    )
    return replace(scene, holes=_holes(scene))


def _left_out(record: RouteMap, end_on: Sequence[int]) -> frozenset[str]:
    """Places of which a view shows no way, since all run away from the eye."""
    ways: dict[str, list[int]] = {}
    for way in record.ways:
        for end in (way.a, way.b):
            ways.setdefault(end, []).append(way.number)
    return frozenset(name for name, own in ways.items() if set(own) <= set(end_on))


def _marks(record: RouteMap, scaled: Scaled) -> dict[str, Point]:
    found: dict[str, Point] = {}
    for place in record.places:
        if place.at_m is None:
            continue
        at = scaled.place(place.at_m)
        near = (mark for mark in found.values() if math.dist(mark, at) < ONE_MM)
        found[place.id] = next(near, at)
    return found


def _thick_mm(way: MapWay, factor: float) -> float:
    known = way.diameter_m * 1000 * factor if way.diameter_m else UNKNOWN_MM
    return max(0.3, known)


def room_mm(way: MapWay, factor: float) -> float:
    """Thickness of a way with the tube around it."""
    tubes = [p.diameter_m * 1000 * factor for p in way.passed if p.kind == "tube"]
    return max(_thick_mm(way, factor), *tubes, 0.0)


def edges_of(scene: Scene) -> Iterator[Thick]:
    """The outlines of the zones, roughly, which texts should rather not cross."""
    for zone in scene.record.zones:
        for place in zone.places:
            if place in scene.marks:
                x, y = scene.marks[place]
                corners = [
                    (
                        x + ZONE_MM * math.cos(k * math.pi / 4),
                        y + ZONE_MM * math.sin(k * math.pi / 4),
                    )
                    for k in range(9)
                ]
                yield from (Thick(ends=ends) for ends in pairwise(corners))
        for way in scene.record.ways:
            if way.number in scene.lines and {way.a, way.b} <= set(zone.places):
                yield from (
                    Thick(ends=_shifted(ends, side))
                    for ends in pairwise(scene.lines[way.number])
                    for side in (-ZONE_MM, ZONE_MM)
                )


def _shifted(ends: Segment, side: float) -> Segment:
    """A piece of a line moved sideways."""
    (ax, ay), (bx, by) = ends
    long = math.dist(*ends) or 1.0
    x, y = -(by - ay) / long * side, (bx - ax) / long * side
    return ((ax + x, ay + y), (bx + x, by + y))


def half_of(scene: Scene, number: int, near: Point) -> tuple[Point, ...]:
    """The half of a way next to one of its ends: what closes with the zone of that end."""
    points = scene.lines[number]
    if math.dist(points[0], near) > math.dist(points[-1], near):
        points = points[::-1]
    left = sum(math.dist(*ends) for ends in pairwise(points)) / 2
    found = [points[0]]
    for a, b in pairwise(points):
        long = math.dist(a, b)
        if long >= left:
            part = left / long if long else 0.0
            return (*found, (a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part))
        found.append(b)
        left -= long
    return tuple(found)


def middle_of(points: Sequence[Point]) -> Segment:
    """The long piece of a line."""
    return max(pairwise(points), key=lambda ends: math.dist(*ends))


HOLE_CLEAR_MM = 0.5
"""Between a hole and all else: its rings and bars are seen apart."""
SHIFT_MM = 0.5


def _holes(scene: Scene) -> dict[int, tuple[HoleSpot, ...]]:
    """The holes of each way, each clear of other ways, places, sensors and holes, if it can be.

    The shortest way is first: it has the least room.
    """
    bored = [
        way
        for way in scene.record.ways
        if way.number in scene.lines and any(p.kind == "hole" for p in way.passed)
    ]
    found: dict[int, tuple[HoleSpot, ...]] = {}
    for way in sorted(bored, key=lambda way: math.dist(*middle_of(scene.lines[way.number]))):
        found[way.number] = tuple(_bored(scene, way, found))
    return found


def _bored(
    scene: Scene, way: MapWay, before: Mapping[int, Sequence[HoleSpot]]
) -> Iterator[HoleSpot]:
    """The holes of a way in turn: as evenly along the long piece of its line as is free."""
    a, b = middle_of(scene.lines[way.number])
    long = math.dist(a, b)
    holes = [p for p in way.passed if p.kind == "hole"]
    if long < 3.0 + 2.0 * len(holes):
        return
    along = ((b[0] - a[0]) / long, (b[1] - a[1]) / long)
    taken = _Taken(list(_beside(scene, way, before)))
    last = 0.0
    for i, hole in enumerate(holes, 1):
        half = hole.diameter_m * 1000 * scene.factor / 2
        even = long * i / (len(holes) + 1)
        most = long - 2.0 * (len(holes) - i) - 1.5
        steps = (k // 2 * SHIFT_MM * (-1) ** k for k in range(1, 2 * int(long / SHIFT_MM)))
        best: tuple[float, HoleSpot, float] | None = None
        for at in (even, *(even + step for step in steps if step)):
            if at != even and not last + 1.5 <= at <= most:
                continue
            middle = (a[0] + along[0] * at, a[1] + along[1] * at)
            spot = HoleSpot(hole=hole, at=middle, along=along, half_mm=half)
            enough = HOLE_CLEAR_MM if best is None else min(HOLE_CLEAR_MM, best[0] + 0.01)
            clear = taken.clear_mm(spot, None if best is None else enough)
            if best is None or clear > best[0] + 0.01:
                best = (clear, spot, at)
            if clear >= HOLE_CLEAR_MM:
                break
        if best is not None:
            last = best[2]
            yield best[1]


class _Taken:
    """Lines that could hide a hole."""

    def __init__(self, lines: Sequence[Thick]) -> None:
        self._lines = lines
        ends = np.array([line.ends for line in lines]).reshape(-1, 2, 2)
        self._middles = ends.mean(axis=1)
        long = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
        self._reach_mm = long / 2 + np.array([line.half_mm for line in lines])

    def clear_mm(self, spot: HoleSpot, enough: float | None) -> float:
        """Between a hole and what is nearest; of what is not enough, something less than that."""
        own = spot.half_mm + HOLE_MM + GROMMET_MM
        least = np.hypot(*(self._middles - spot.at).T) - self._reach_mm - own - HAIR_MM
        clear = math.inf
        for k in np.argsort(least).tolist():  # what may be nearest first
            if least[k] >= clear:
                break
            clear = min(clear, _apart_mm(spot, self._lines[k]))
            if enough is not None and clear < enough:
                break
        return clear if self._lines else HOLE_CLEAR_MM


def _beside(scene: Scene, way: MapWay, before: Mapping[int, Sequence[HoleSpot]]) -> Iterator[Thick]:
    """What could hide a hole of a way: all that is not the way itself."""
    for other in scene.record.ways:
        if other.number != way.number and other.number in scene.lines:
            half = scene.wide[other.number] / 2
            yield from (Thick(ends=e, half_mm=half) for e in pairwise(scene.lines[other.number]))
            yield from (Thick(ends=ends, half_mm=0.13) for ends in tube_of(scene, other))
    for at in dict.fromkeys(scene.marks.values()):
        yield Thick(ends=(at, at), half_mm=MARK_MM + 0.2)
    for x, y in scene.sensors.values():
        ends = ((x, y - SENSOR_MM * 0.6), (x, y + SENSOR_MM * 0.6))
        yield Thick(ends=ends, half_mm=SENSOR_MM * 0.7)
    for _, ends in ties_of(scene):
        yield Thick(ends=ends, half_mm=0.15)
    if scene.frame is not None:
        x0, y0, x1, y1 = scene.frame
        corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
        yield from (Thick(ends=ends, half_mm=0.15) for ends in pairwise(corners))
    for spots in before.values():
        for spot in spots:
            for side in (-1, 1):
                ends = (spot.side(side, 0.0), spot.side(side, HOLE_MM))
                yield Thick(ends=ends, half_mm=GROMMET_MM)


def _apart_mm(spot: HoleSpot, one: Thick) -> float:
    """Between the bars of a hole, as wide as its rings, and a line: below 0 one hides the other."""
    return min(
        segments_mm((spot.side(side, 0.0), spot.side(side, HOLE_MM)), one.ends)
        for side in (-1, 1)
    ) - GROMMET_MM - one.half_mm  # fmt: skip


def hole_spots(scene: Scene, way: MapWay) -> tuple[HoleSpot, ...]:
    """The holes of a way, where it has room for them."""
    return scene.holes.get(way.number, ())


def holes_of(scene: Scene, way: MapWay) -> Iterator[Segment]:
    """A bar on either side of the line, as far apart as the hole is wide."""
    for spot in hole_spots(scene, way):
        for side in (-1, 1):
            yield (spot.side(side, 0.0), spot.side(side, HOLE_MM))


def ties_of(scene: Scene) -> Iterator[tuple[str, Segment]]:
    """A sensor away from its place, and the line that joins them."""
    for sensor in scene.record.sensors:
        at, mark = scene.sensors.get(sensor.id), scene.marks.get(sensor.place)
        if at is None or mark is None or math.dist(at, mark) < 2 * SENSOR_MM + MARK_MM:
            continue
        far = math.dist(at, mark)
        part = MARK_MM / far
        start = (mark[0] + (at[0] - mark[0]) * part, mark[1] + (at[1] - mark[1]) * part)
        yield sensor.id, (start, at)


def tube_of(scene: Scene, way: MapWay) -> Iterator[Segment]:
    """The two walls of a tube along the long piece of the line."""
    tubes = [p for p in way.passed if p.kind == "tube"]
    a, b = middle_of(scene.lines[way.number])
    long = math.dist(a, b)
    gap = 2 * MARK_MM
    if not tubes or long < 3 * gap:
        return
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    half = tubes[0].diameter_m * 1000 * scene.factor / 2
    for side in (-half, half):
        yield (
            (a[0] + ux * gap - uy * side, a[1] + uy * gap + ux * side),
            (b[0] - ux * gap - uy * side, b[1] - uy * gap + ux * side),
        )
