"""One view of the map laid out: where places, ways, holes, tubes and zones lie on paper."""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct

from elec.drawings.ink import Box, Point, Segment
from elec.drawings.layout.labels import HAIR_MM, Thick, segments_mm
from elec.drawings.layout.lanes import Strand, lanes
from elec.drawings.layout.view import Scaled, View
from elec.drawings.map_inputs import Lane, MapWay, PassedHole, RouteMap, Spot3

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
    beside: tuple[int, ...] = ()
    """Ways drawn beside their straight line."""


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
    right: Point = (0.0, 0.0)
    """Where the right of the airframe lies on paper; nowhere as it is seen from a side."""
    holes: Mapping[int, tuple["HoleSpot", ...]] = {}
    """Way → its holes where it has room for them."""


class HoleSpot(Struct, frozen=True, kw_only=True):
    """A hole where it is drawn on its way: its middle, along the way, and its half width."""

    hole: PassedHole
    at: Point
    along: Point
    half_mm: float
    base: Point = (0.0, 0.0)
    """The point of its way that it lies at, or beside others of other bundles."""
    off_mm: float = 0.0
    """So far beside that point."""
    bars: tuple[tuple[int, float], ...] = ((-1, HOLE_MM), (1, HOLE_MM))
    """Side and length of the bars beside it; two holes abreast share the one between them."""
    behind: tuple[PassedHole, ...] = ()
    """Holes that lie behind it as the view sees them."""
    reach_mm: float = 0.0
    """Along the way from that point to where its bundle leaves the others; 0: it does not."""

    def side(self, side: int, beyond_mm: float) -> Point:
        """A point beside the way, so far from the edge of the hole."""
        off = side * (self.half_mm + beyond_mm)
        return (self.at[0] - self.along[1] * off, self.at[1] + self.along[0] * off)


def seen_m(view: View, a: Spot3, b: Spot3) -> float:
    """How long a straight way looks in a view."""
    return math.dist(view.flat(a), view.flat(b))


def share(view: View, record: RouteMap, way: MapWay) -> float:
    """The part of a way's length that a view shows; 1 where it has none."""
    a, b = record.spot.get(way.a), record.spot.get(way.b)
    if a is None or b is None or a == b:
        return 1.0
    return seen_m(view, a, b) / math.dist(a, b)


def to_right(scaled: Scaled) -> Point:
    """Where the right of the airframe lies on paper."""
    here, beside = scaled.place((0.0, 0.0, 0.0)), scaled.place((0.0, 1.0, 0.0))
    return (beside[0] - here[0], beside[1] - here[1])


SIDEWAYS = 0.3
"""The least sine between a way and the right of the airframe at which it can lie to a side."""


def right_side(right: Point, a: Point, b: Point) -> int:
    """The side of a line from a to b that the right of the airframe is at: 1, −1; 0: neither."""
    off = (b[0] - a[0]) * right[1] - (b[1] - a[1]) * right[0]
    if abs(off) <= SIDEWAYS * math.dist(a, b) * math.hypot(*right):
        return 0
    return 1 if off > 0 else -1


def laid_out(
    record: RouteMap,
    scaled: Scaled,
    factor: float,
    elsewhere: frozenset[int],
    frame: Box | None = None,
) -> Scene:
    """Everything of a view where it lies, but for holes; ways `elsewhere` are drawn in another.

    `frame`: what a detail of it shows.
    """
    marks = _marks(record, scaled)
    strands, end_on = [], []
    right = to_right(scaled)
    rather = -_one_side(record, marks, right)
    wide = {way.number: _thick_mm(way, factor) for way in record.ways}
    for way in record.ways:
        a, b = marks.get(way.a), marks.get(way.b)
        if a is None or b is None:
            continue
        if a == b or (share(scaled.view, record, way) < END_ON and way.number in elsewhere):
            end_on.append(way.number)
            continue
        named = way.side * right_side(right, a, b)
        own = Lane(side=named, long_mm=math.dist(a, b)) if named else None
        strands.append(
            Strand(
                id=str(way.number),
                a=a,
                b=b,
                width_mm=room_mm(way, factor),
                core_mm=wide[way.number],
                lane=way.lane or own,
                late=bool(named),
                rather=0 if named else rather * right_side(right, a, b),
            )
        )
    gone = _left_out(record, end_on)
    marks = {name: at for name, at in marks.items() if name not in gone}
    found = lanes(tuple(strands), tuple(dict.fromkeys(marks.values())), MARK_MM)
    return Scene(
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
        right=right,
    )


def _one_side(record: RouteMap, marks: Mapping[str, Point], right: Point) -> int:
    """The side that ways along the airframe tell by their names; 0: none, or both."""
    found = {
        way.side
        for way in record.ways
        if way.a in marks and way.b in marks and right_side(right, marks[way.a], marks[way.b])
    } - {0}
    return found.pop() if len(found) == 1 else 0


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
            if way.number in scene.lines and {way.a, way.b} & set(zone.places):
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


def middle_of(points: Sequence[Point]) -> Segment:
    """The long piece of a line."""
    return max(pairwise(points), key=lambda ends: math.dist(*ends))


HOLE_CLEAR_MM = 0.5
"""Between a hole and all else: its rings and bars are seen apart."""
SHIFT_MM = 0.5


def all_holes(scene: Scene) -> dict[int, tuple[HoleSpot, ...]]:
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
    holes = abreast(way)
    if long < 3.0 + 2.0 * len(holes):
        return
    along = ((b[0] - a[0]) / long, (b[1] - a[1]) / long)
    taken = _Taken(list(_beside(scene, way, before)))
    last = 0.0
    for i, group in enumerate(holes, 1):
        even = long * i / (len(holes) + 1)
        most = long - 2.0 * (len(holes) - i) - 1.5
        steps = (k // 2 * SHIFT_MM * (-1) ** k for k in range(1, 2 * int(long / SHIFT_MM)))
        best: tuple[float, tuple[HoleSpot, ...], float] | None = None
        for at in (even, *(even + step for step in steps if step)):
            if at != even and not last + 1.5 <= at <= most:
                continue
            middle = (a[0] + along[0] * at, a[1] + along[1] * at)
            spots = _group(scene, group, middle, along, min(at, long - at) - ENDS_MM)
            enough = APART_MM if best is None else min(APART_MM, best[0] + 0.01)
            clear = min(taken.clear_mm(s, None if best is None else enough) for s in spots)
            if best is None or clear > best[0] + 0.01:
                best = (clear, spots, at)
            if clear >= APART_MM:
                break
        if best is not None:
            last = best[2]
            yield from best[1]


APART_MM = 2.2
"""So far from all else a hole is on its way alone, where there is room for that."""
WEB_MM = 2.7
"""Between two holes abreast."""
ENDS_MM = 1.2
STRAIGHT_MM = 1.0
"""Half of what a bundle runs straight through a hole of its own."""


def abreast(way: MapWay) -> list[tuple[PassedHole, ...]]:
    """The holes of a way in turn, those together that different bundles pass side by side."""
    found: list[tuple[PassedHole, ...]] = []
    for hole in (p for p in way.passed if p.kind == "hole"):
        last = [one.bundle for one in found[-1]] if found else [""]
        if hole.bundle and "" not in last and hole.bundle not in last:
            found[-1] = (*found[-1], hole)
        else:
            found.append((hole,))
    return found


def across_mm(way: MapWay, factor: float) -> float:
    """Half of what the holes of a way take across it, those abreast together; 0: it has none."""
    wide = [
        sum(p.diameter_m * 1000 * factor for p in group) + WEB_MM * (len(group) - 1)
        for group in abreast(way)
    ]
    return max(wide, default=0.0) / 2


def _side_of(hole: PassedHole) -> str:
    """`left` or `right` by the name of the bundle that passes; else empty."""
    side = hole.bundle.partition(" ")[0]
    return side if side in ("left", "right") else ""


def _group(
    scene: Scene, group: Sequence[PassedHole], base: Point, along: Point, reach: float
) -> tuple[HoleSpot, ...]:
    """Holes abreast at a point of their way: one alone on it, several beside one another.

    What is left or right by the name of its bundle lies there; as seen from a side those lie behind
    one another, as one.
    """
    if not any(scene.right) and all(_side_of(hole) for hole in group):
        widest = max(group, key=lambda hole: hole.diameter_m)
        half = widest.diameter_m * 1000 * scene.factor / 2
        behind = tuple(hole for hole in group if hole != widest)
        return (HoleSpot(hole=widest, at=base, along=along, half_mm=half, behind=behind),)
    normal = (-along[1], along[0])
    right = scene.right[0] * normal[0] + scene.right[1] * normal[1]
    sides = {"left": -right, "right": right}
    ordered = sorted(group, key=lambda hole: sides.get(hole.bundle.partition(" ")[0], 0.0))
    sizes = [hole.diameter_m * 1000 * scene.factor for hole in ordered]
    edge = -(sum(sizes) + WEB_MM * (len(sizes) - 1)) / 2
    found = []
    for k, (hole, size) in enumerate(zip(ordered, sizes, strict=True)):
        off = edge + size / 2
        edge += size + WEB_MM
        first = ((-1, HOLE_MM),) if k == 0 else ()
        bars = (*first, (1, HOLE_MM if k == len(sizes) - 1 else WEB_MM))
        found.append(
            HoleSpot(
                hole=hole,
                at=(base[0] + normal[0] * off, base[1] + normal[1] * off),
                along=along,
                half_mm=size / 2,
                base=base,
                off_mm=off,
                bars=bars,
                reach_mm=min(STRAIGHT_MM + abs(off), reach) if len(group) > 1 else 0.0,
            )
        )
    return tuple(found)


def strand_of(scene: Scene, number: int, spot: HoleSpot) -> tuple[float, tuple[Point, ...]]:
    """How thick a bundle is drawn that passes a hole beside others, and its line through it."""
    hole, whole = spot.hole, scene.wide[number]
    wide = whole / 2 if hole.passing_m is None else hole.passing_m * 1000 * scene.factor
    wide = max(0.3, min(wide, whole))
    leave = math.copysign((whole - wide) / 2, spot.off_mm)
    straight = min(STRAIGHT_MM, spot.reach_mm / 3)
    (x, y), (ux, uy) = spot.base, spot.along
    steps = ((-spot.reach_mm, leave), (-straight, spot.off_mm), (straight, spot.off_mm),
             (spot.reach_mm, leave))  # fmt: skip
    return wide, tuple((x + ux * go - uy * off, y + uy * go + ux * off) for go, off in steps)


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
        for side, long in spot.bars:
            yield (spot.side(side, 0.0), spot.side(side, long))


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
