"""One view of the map in ink: zones, ways, holes, tubes, places, sensors and their texts."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from elec.drawings import metrics
from elec.drawings.ink import BLACK, GREY, PALE, Box, Circle, Path, Point, Segment
from elec.drawings.layout.labels import Label, Standing, Thick, stand
from elec.drawings.layout.lanes import Strand, lanes
from elec.drawings.layout.view import Scaled, View
from elec.drawings.map_inputs import MapWay, RouteMap, Spot3
from elec.drawings.sheet import Item, Sheet
from elec.drawings.sheets import parts
from elec.record import dataclass

WAY = "#2f5f8a"
EDGE = "#b9c7d6"
MARK_MM = 1.1
ONE_MM = 2.2
"""Places nearer than this on paper share a mark."""
ZONE_MM = 3.4
SENSOR_MM = 1.5
WRAP_MM = 34.0
LINE_MM = 3.1
ABOVE_MM, BELOW_MM = 2.3, 0.6
UNKNOWN_MM = 0.5
END_ON, NAMED = 0.35, 0.5
"""Parts of its length below which a way is left to another view, and its text is."""
SHORT = (
    "",
    "by the ways stand number, wires and thickness; holes and tubes are in the table.",
    "by the ways stand their numbers; wires and thickness are in the table.",
)


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """What a view leaves to the lists: ways seen end on, what found no room, shortened texts."""

    end_on: tuple[int, ...]
    unnamed: tuple[str, ...]
    short: str = ""


@dataclass(frozen=True, kw_only=True)
class _Text:
    """A label's lines."""

    label: Label
    lines: tuple[str, ...]
    bold: bool = False
    colour: str = BLACK
    ref: str = ""


@dataclass(frozen=True, kw_only=True)
class _Scene:
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


def draw_view(
    sheet: Sheet,
    record: RouteMap,
    scaled: Scaled,
    room: Box,
    *,
    factor: float,
    elsewhere: frozenset[int] = frozenset(),
) -> Drawn:
    """Draw one view into a room of the sheet.

    Args:
        sheet: where to.
        record: the map.
        scaled: the view, and where a spot lies on the sheet.
        room: what it may fill.
        factor: thickness on paper over true thickness.
        elsewhere: ways that another view shows well; this one leaves them out where they run away
            from the eye.
    """
    scene = _scene(record, scaled, factor, elsewhere)
    _draw_zones(sheet, scene)
    _draw_ways(sheet, scene)
    for at in dict.fromkeys(scene.marks.values()):
        names = [name for name, mark in scene.marks.items() if mark == at]
        sheet.circle(at, MARK_MM, width_mm=0.4, fill="#ffffff", ref=names[0], role="place")
    for name, at in scene.sensors.items():
        _draw_sensor(sheet, at, name)
    return _draw_texts(sheet, scene, room)


def _scene(record: RouteMap, scaled: Scaled, factor: float, elsewhere: frozenset[int]) -> _Scene:
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
                width_mm=_room_mm(way, factor),
                core_mm=wide[way.number],
            )
        )
    found = lanes(strands, list(dict.fromkeys(marks.values())), MARK_MM)
    return _Scene(
        record=record,
        view=scaled.view,
        marks=marks,
        lines={int(name): points for name, points in found.items()},
        wide=wide,
        sensors={s.id: scaled.place(s.at_m) for s in record.sensors if s.at_m is not None},
        end_on=tuple(end_on),
        factor=factor,
    )


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


def _room_mm(way: MapWay, factor: float) -> float:
    """Thickness of a way with the tube around it."""
    tubes = [p.diameter_m * 1000 * factor for p in way.passed if p.kind == "tube"]
    return max(_thick_mm(way, factor), *tubes, 0.0)


# --- zones ------------------------------------------------------------------------------------


def _draw_zones(sheet: Sheet, scene: _Scene) -> None:
    """Pale areas round the places of each zone and along the ways inside it."""
    for zone in scene.record.zones:
        spots = [scene.marks[p] for p in zone.places if p in scene.marks]
        inside = [
            scene.lines[w.number]
            for w in scene.record.ways
            if w.number in scene.lines and {w.a, w.b} <= set(zone.places)
        ]
        for grow, colour in ((0.35, EDGE), (0.0, PALE)):
            for points in inside:
                _area(sheet, points, 2 * (ZONE_MM + grow), colour)
                for corner in points:
                    _disc(sheet, corner, ZONE_MM + grow, colour, zone.id)
            for at in spots:
                _disc(sheet, at, ZONE_MM + grow, colour, zone.id)


def _disc(sheet: Sheet, at: Point, radius: float, colour: str, ref: str) -> None:
    ink = Circle(centre=at, radius_mm=radius, width_mm=0.01, colour=colour, fill=colour)
    box = (at[0] - radius, at[1] - radius, at[0] + radius, at[1] + radius)
    sheet.items.append(Item(kind="frame", ink=ink, box=box, ref=ref, role="zone"))


def _area(sheet: Sheet, points: Sequence[Point], wide: float, colour: str) -> None:
    """A broad pale line that texts may stand on."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    ink = Path(points=tuple(points), width_mm=wide, colour=colour)
    box = (min(xs), min(ys), max(xs), max(ys))
    sheet.items.append(Item(kind="frame", ink=ink, box=box, role="zone"))


def _edges(scene: _Scene) -> Iterator[Thick]:
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


# --- ways -------------------------------------------------------------------------------------


def _draw_ways(sheet: Sheet, scene: _Scene) -> None:
    for way in scene.record.ways:
        if way.number not in scene.lines:
            continue
        points = scene.lines[way.number]
        known = way.diameter_m is not None
        for ends in _tube(scene, way):
            sheet.line(ends, width_mm=0.25, kind="rule", ref=f"way {way.number}", role="tube")
        sheet.line(
            points,
            width_mm=scene.wide[way.number],
            ref=f"way {way.number}",
            colour=WAY,
            dash=() if known else (2.0, 1.0),
            ends=(way.a, way.b),
            role="way",
        )
        for ends in _holes(scene, way):
            sheet.line(ends, width_mm=0.5, kind="rule", ref=f"way {way.number}", role="hole")


def _middle(points: Sequence[Point]) -> Segment:
    """The long piece of a line."""
    return max(pairwise(points), key=lambda ends: math.dist(*ends))


def _holes(scene: _Scene, way: MapWay) -> Iterator[Segment]:
    """A bar on either side of the line, as far apart as the hole is wide."""
    a, b = _middle(scene.lines[way.number])
    long = math.dist(a, b)
    holes = [p for p in way.passed if p.kind == "hole"]
    if long < 3.0 + 2.0 * len(holes):
        return
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    for i, hole in enumerate(holes, 1):
        at = i / (len(holes) + 1)
        x, y = a[0] + (b[0] - a[0]) * at, a[1] + (b[1] - a[1]) * at
        half = hole.diameter_m * 1000 * scene.factor / 2
        for side in (-1, 1):
            near, far = side * half, side * (half + 1.6)
            yield ((x - uy * near, y + ux * near), (x - uy * far, y + ux * far))


def _tube(scene: _Scene, way: MapWay) -> Iterator[Segment]:
    """The two walls of a tube along the long piece of the line."""
    tubes = [p for p in way.passed if p.kind == "tube"]
    a, b = _middle(scene.lines[way.number])
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


def _draw_sensor(sheet: Sheet, at: Point, ref: str) -> None:
    """A needle: a narrow upright diamond, its upper half filled."""
    x, y = at
    high, half = SENSOR_MM * 1.2, SENSOR_MM * 0.62
    whole = ((x, y - high), (x + half, y), (x, y + high), (x - half, y))
    sheet.polygon(whole, width_mm=0.3, kind="dot", ref=ref, fill="#ffffff", role="sensor")
    upper = ((x, y - high), (x + half, y), (x - half, y))
    sheet.polygon(upper, width_mm=0.3, kind="dot", ref=ref, fill=BLACK, role="sensor")


# --- texts ------------------------------------------------------------------------------------


def _draw_texts(sheet: Sheet, scene: _Scene, room: Box) -> Drawn:
    """All texts of a view; they are shortened where not all find a place."""
    reach = MARK_MM + 0.3
    marks = [(x - reach, y - reach, x + reach, y + reach) for x, y in scene.marks.values()]
    marks += [
        (x - SENSOR_MM, y - 1.3 * SENSOR_MM, x + SENSOR_MM, y + 1.3 * SENSOR_MM)
        for x, y in scene.sensors.values()
    ]
    marks = list(dict.fromkeys(marks))
    # The names of the axes stand in the lower right and the upper left corner.
    marks += [(room[2] - 30.0, room[3] - 3.0, room[2], room[3] + 1.0)]
    marks += [(room[0], room[1] - 2.0, room[0] + 14.0, room[1] + 2.0)]
    lines = list(_thick_lines(scene))
    best: tuple[int, list[_Text], dict[str, Standing]] | None = None
    for level in range(len(SHORT)):
        texts = list(_texts(scene, level))
        labels = [text.label for text in texts]
        found = stand(labels, room, marks=marks, lines=lines, edges=list(_edges(scene)))
        if best is None or len(texts) - len(found) < len(best[1]) - len(best[2]):
            best = (level, texts, found)
        if len(found) == len(texts):
            break
    if best is None:
        return Drawn(end_on=scene.end_on, unnamed=())
    level, texts, found = best
    for text in texts:
        if text.label.id in found:
            _write(sheet, text, found[text.label.id])
    return Drawn(
        end_on=scene.end_on,
        unnamed=tuple(" ".join(t.lines) for t in texts if t.label.id not in found),
        short=SHORT[level],
    )


def _thick_lines(scene: _Scene) -> Iterator[Thick]:
    for way in scene.record.ways:
        if way.number not in scene.lines:
            continue
        half = scene.wide[way.number] / 2
        for ends in pairwise(scene.lines[way.number]):
            yield Thick(ends=ends, half_mm=half)
        for ends in (*_holes(scene, way), *_tube(scene, way)):
            yield Thick(ends=ends, half_mm=0.25)


def _texts(scene: _Scene, level: int) -> Iterator[_Text]:
    for at in dict.fromkeys(scene.marks.values()):
        here = [p for p in scene.record.places if scene.marks.get(p.id) == at]
        lines = tuple(line for p in here for line in _wrapped(p.label, bold=True))
        yield _text(f"place {here[0].id}", lines, (at,), MARK_MM, ref=here[0].id, bold=True)
    for sensor in scene.record.sensors:
        if sensor.id in scene.sensors:
            at, lines = scene.sensors[sensor.id], _wrapped(sensor.label)
            yield _text(f"sensor {sensor.id}", lines, (at,), SENSOR_MM * 1.2, ref=sensor.id)
    for way in scene.record.ways:
        if way.number in scene.lines and share(scene.view, scene.record, way) >= NAMED:
            a, b = _middle(scene.lines[way.number])
            anchors = tuple(
                (a[0] + (b[0] - a[0]) * k, a[1] + (b[1] - a[1]) * k)
                for k in (0.5, 0.38, 0.62, 0.25, 0.75)
            )
            one = _text(
                f"way {way.number}",
                _way_lines(way, level),
                anchors,
                _room_mm(way, scene.factor) / 2,
                ref=f"way {way.number}",
            )
            yield replace(one, colour=WAY)
    for zone in scene.record.zones:
        spots = tuple(dict.fromkeys(scene.marks[p] for p in zone.places if p in scene.marks))
        if spots:
            lines = _wrapped(f"zone: {zone.label}")
            if zone.closes and not level:
                lines += _wrapped(f"closes {zone.closes}")
            one = _text(f"zone {zone.id}", lines, spots, ZONE_MM, ref=zone.id)
            yield replace(one, colour=GREY)


def _text(
    name: str,
    lines: tuple[str, ...],
    anchors: tuple[Point, ...],
    reach: float,
    *,
    ref: str,
    bold: bool = False,
) -> _Text:
    wide = max(parts.width(line, bold=bold) for line in lines)
    high = ABOVE_MM + BELOW_MM + LINE_MM * (len(lines) - 1)
    label = Label(id=name, wide_mm=wide, high_mm=high, anchors=anchors, reach_mm=reach)
    return _Text(label=label, lines=lines, bold=bold, ref=ref)


def _wrapped(text: str, *, bold: bool = False) -> tuple[str, ...]:
    return metrics.wrap(metrics.clean(text), parts.SMALL_MM, WRAP_MM, bold) or ("?",)


def _way_lines(way: MapWay, level: int) -> tuple[str, ...]:
    if level == 2:
        return (str(way.number),)
    if not way.wires:
        return (f"{way.number}: no wires",)
    count = f"{way.wires} wire{'' if way.wires == 1 else 's'}"
    first = f"{way.number}: {count} {way.diameter}"
    if level:
        return (first,)
    more = [f"together, in {way.bundles} bundles"] if way.bundles > 1 else []
    return (first, *more, *(p.text for p in way.passed))


def _write(sheet: Sheet, text: _Text, standing: Standing) -> None:
    x0, y0, x1, _ = standing.box
    anchor = min(
        text.label.anchors,
        key=lambda p: math.dist(p, (min(max(p[0], x0), x1), min(max(p[1], y0), standing.box[3]))),
    )
    if standing.leader is not None:
        sheet.line(standing.leader, width_mm=0.18, kind="rule", colour=GREY, role="leader")
        anchor = standing.leader[0]
    x, align = (x0 + x1) / 2, "center"
    if anchor[0] <= x0:
        x, align = x0, "left"
    elif anchor[0] >= x1:
        x, align = x1, "right"
    y = y0 + ABOVE_MM
    for line in text.lines:
        sheet.text(
            x,
            y,
            line,
            align=align,  # type: ignore[arg-type]
            bold=text.bold,
            colour=text.colour,
            ref=text.ref,
        )
        y += LINE_MM


# --- key --------------------------------------------------------------------------------------


def draw_key(sheet: Sheet, box: Box, factor: float, *, sensors: bool, zones: bool) -> None:
    """The signs of the map, in two columns."""
    x0, y0, x1, _ = box
    signs = ["place", "hole", "tube", "thickness ?"]
    signs += ["magnetic sensor"] * sensors + ["zone"] * zones
    column = (x1 - x0) / 2
    for i, sign in enumerate(signs):
        x, y = x0 + (i % 2) * column, y0 + (i // 2) * 4.6
        at = (x + 4.5, y)
        if sign == "place":
            sheet.circle(at, MARK_MM, width_mm=0.4, fill="#ffffff", kind="frame")
        elif sign == "hole":
            half = min(10.0 * factor / 2, 0.8)
            sheet.line(((x + 1.0, y), (x + 8.0, y)), width_mm=half, kind="frame", colour=WAY)
            for side in (-1, 1):
                ends = ((x + 4.5, y + side * half), (x + 4.5, y + side * (half + 1.0)))
                sheet.line(ends, width_mm=0.5, kind="frame")
        elif sign == "tube":
            half = min(10.0 * factor / 2, 0.8)
            sheet.line(((x, y), (x + 9.0, y)), width_mm=half, kind="frame", colour=WAY)
            for side in (-1, 1):
                ends = ((x + 1.0, y + side * half), (x + 8.0, y + side * half))
                sheet.line(ends, width_mm=0.25, kind="frame")
        elif sign.startswith("thickness"):
            sheet.line(((x, y), (x + 9.0, y)), width_mm=UNKNOWN_MM, kind="frame", colour=WAY,
                       dash=(2.0, 1.0))  # fmt: skip
        elif sign == "magnetic sensor":
            _draw_sensor(sheet, at, "legend")
        else:
            _disc(sheet, at, 1.9, EDGE, "legend")
            _disc(sheet, at, 1.55, PALE, "legend")
        sheet.text(x + 10.5, y, sign, middle=True, ref="legend", room_mm=column - 11.0)
