"""One view of the map in ink: zones, ways, holes, tubes, places, sensors and the key."""

from collections.abc import Sequence

from elec.drawings.ink import BLACK, PALE, Box, Circle, InkPath, Point
from elec.drawings.layout.view import Scaled
from elec.drawings.map_inputs import RouteMap
from elec.drawings.sheet import Item, Sheet
from elec.drawings.sheets.map_scene import (
    EDGE,
    MARK_MM,
    SENSOR_MM,
    UNKNOWN_MM,
    WAY,
    ZONE_MM,
    MapRemainder,
    Scene,
    half_of,
    holes_of,
    laid_out,
    tube_of,
)
from elec.drawings.sheets.map_texts import draw_texts


def draw_view(
    sheet: Sheet,
    record: RouteMap,
    scaled: Scaled,
    room: Box,
    *,
    factor: float,
    elsewhere: frozenset[int] = frozenset(),
) -> MapRemainder:
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
    scene = laid_out(record, scaled, factor, elsewhere)
    _draw_zones(sheet, scene)
    _draw_ways(sheet, scene)
    for at in dict.fromkeys(scene.marks.values()):
        names = [name for name, mark in scene.marks.items() if mark == at]
        sheet.circle(at, MARK_MM, width_mm=0.4, fill="#ffffff", ref=names[0], role="place")
    for name, at in scene.sensors.items():
        _draw_sensor(sheet, at, name)
    return draw_texts(sheet, scene, room, first=1 if scaled.view.id != "top" and elsewhere else 0)


def _draw_zones(sheet: Sheet, scene: Scene) -> None:
    """Pale areas round the places of each zone and along the ways inside it."""
    for zone in scene.record.zones:
        spots = [scene.marks[p] for p in zone.places if p in scene.marks]
        inside = [
            scene.lines[w.number]
            for w in scene.record.ways
            if w.number in scene.lines and {w.a, w.b} <= set(zone.places)
        ]
        inside += [
            half
            for w in scene.record.ways
            if w.number in scene.lines and len({w.a, w.b} & set(zone.places)) == 1
            for half in [half_of(scene, w.number, scene.marks[w.a if w.a in zone.places else w.b])]
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
    ink = InkPath(points=tuple(points), width_mm=wide, colour=colour)
    box = (min(xs), min(ys), max(xs), max(ys))
    sheet.items.append(Item(kind="frame", ink=ink, box=box, role="zone"))


def _draw_ways(sheet: Sheet, scene: Scene) -> None:
    for way in scene.record.ways:
        if way.number not in scene.lines:
            continue
        points = scene.lines[way.number]
        known = way.diameter_m is not None
        for ends in tube_of(scene, way):
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
        for ends in holes_of(scene, way):
            sheet.line(ends, width_mm=0.5, kind="rule", ref=f"way {way.number}", role="hole")


def _draw_sensor(sheet: Sheet, at: Point, ref: str) -> None:
    """A needle: a narrow upright diamond, its upper half filled."""
    x, y = at
    high, half = SENSOR_MM * 1.2, SENSOR_MM * 0.62
    whole = ((x, y - high), (x + half, y), (x, y + high), (x - half, y))
    sheet.polygon(whole, width_mm=0.3, kind="dot", ref=ref, fill="#ffffff", role="sensor")
    upper = ((x, y - high), (x + half, y), (x - half, y))
    sheet.polygon(upper, width_mm=0.3, kind="dot", ref=ref, fill=BLACK, role="sensor")


def draw_key(
    sheet: Sheet, box: Box, factor: float, *, columns: int, sensors: bool, zones: bool
) -> None:
    """The signs of the map, in columns."""
    x0, y0, x1, _ = box
    signs = ["place", "hole", "tube", "thickness ?"]
    signs += ["field sensor"] * sensors + ["zone"] * zones
    column = (x1 - x0) / columns
    for i, sign in enumerate(signs):
        x, y = x0 + (i % columns) * column, y0 + (i // columns) * 4.8
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
        elif sign == "field sensor":
            _draw_sensor(sheet, at, "legend")
        else:
            _disc(sheet, at, 1.9, EDGE, "legend")
            _disc(sheet, at, 1.55, PALE, "legend")
        sheet.text(x + 10.2, y, sign, middle=True, ref="legend", room_mm=column - 10.3)
