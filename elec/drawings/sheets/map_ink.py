"""One view of the map in ink: zones, ways, holes, tubes, places, sensors and the key."""

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings.ink import BLACK, PALE, Box, Circle, InkPath, Point
from elec.drawings.layout.clipped import grown, pieces
from elec.drawings.layout.view import Scaled
from elec.drawings.map_inputs import MapWay, RouteMap
from elec.drawings.sheet import Item, Kind, Sheet
from elec.drawings.sheets import parts
from elec.drawings.sheets.map_scene import (
    EDGE,
    GROMMET_MM,
    MARK_MM,
    SENSOR_MM,
    UNKNOWN_MM,
    WAY,
    ZONE_MM,
    HoleSpot,
    MapRemainder,
    Scene,
    all_holes,
    hole_spots,
    laid_out,
    strand_of,
    ties_of,
    tube_of,
)
from elec.drawings.sheets.map_texts import axis_names, placed_texts, write_texts

AIRFRAME = "#8a949e"
KEY_MM, WIDE_KEY_MM = 4.0, 4.9
TIED = (1.2, 0.8)
"""The broken line from a place to a sensor that sits away from it."""


class Viewed(Struct, frozen=True, kw_only=True):
    """What a view of a map shows, and the room of the sheet that it may fill."""

    record: RouteMap
    scaled: Scaled
    """The view, and where a spot lies on the sheet."""
    room: Box
    factor: float
    """Thickness on paper over true thickness."""
    elsewhere: frozenset[int] = frozenset()
    """Ways that another view shows well; this one leaves out those that run away from the eye."""
    hidden: frozenset[str] = frozenset()
    """What a detail names: places, `way 3`, zones."""
    frame: Box | None = None
    """What that detail shows, on this sheet."""

    def scene(self) -> Scene:
        """Where everything lies."""
        scene = laid_out(self.record, self.scaled, self.factor, self.elsewhere, self.frame)
        beyond = any(p.beyond for p in self.record.places)
        return replace(
            scene,
            holes=all_holes(scene),
            hidden=self.hidden,
            brief=beyond or (self.scaled.view.id != "top" and bool(self.elsewhere)),
        )

    def outlines(self) -> list[tuple[Point, ...]]:
        """The lines of the airframe as this view shows them."""
        return [
            tuple(self.scaled.place(spot) for spot in one.points)
            for one in self.record.outlines
            if one.view == self.scaled.view.id
        ]


def draw_view(sheet: Sheet, viewed: Viewed, *, whole: int = 0) -> MapRemainder:
    """Draw one view.

    `whole`: with all its texts, in so many lengths at most, else nothing is drawn.
    """
    scene, lines = viewed.scene(), viewed.outlines()
    outline = [ends for line in lines for ends in pairwise(line)]
    placed = placed_texts(scene, viewed.room, outline, whole=whole)
    if whole and placed.left.unnamed:
        return placed.left
    start = len(sheet.items)
    _draw_zones(sheet, scene)
    _draw_ways(sheet, scene)
    for at in dict.fromkeys(scene.marks.values()):
        names = [name for name, mark in scene.marks.items() if mark == at]
        if not scene.beyond & set(names):
            sheet.circle(at, MARK_MM, width_mm=0.4, fill="#ffffff", ref=names[0], role="place")
    for name, ends in ties_of(scene):
        sheet.line(ends, width_mm=0.3, kind="rule", ref=name, dash=TIED, role="tie")
    for name, at in scene.sensors.items():
        _draw_sensor(sheet, at, name)
    if viewed.frame is not None:
        sheet.rect(viewed.frame, width_mm=0.3, kind="rule", dash=(2.4, 1.0), role="detail")
    before = len(sheet.items)
    write_texts(sheet, placed)
    boxes = [item.box for item in sheet.items[before:] if item.kind == "text"]
    clear = [*(grown(box, 0.5) for box in boxes), *axis_names(viewed.room)]
    end = len(sheet.items)
    for line in lines:
        for points in pieces(line, viewed.room, clear):
            sheet.line(points, width_mm=0.25, kind="rule", colour=AIRFRAME, role="outline")
    under = sheet.items[end:]
    del sheet.items[end:]
    sheet.items[start:start] = under
    return placed.left


def _draw_zones(sheet: Sheet, scene: Scene) -> None:
    """Pale areas round the places of each zone and along the ways that close with it."""
    for zone in scene.record.zones:
        spots = [scene.marks[p] for p in zone.places if p in scene.marks]
        inside = [
            scene.lines[w.number]
            for w in scene.record.ways
            if w.number in scene.lines and {w.a, w.b} & set(zone.places)
        ]
        for grow, colour in ((0.35, EDGE), (0.0, PALE)):
            for points in inside:
                _area(sheet, points, 2 * (ZONE_MM + grow), colour)
                for corner in points[1:-1]:
                    if _within(corner, sheet.frame, ZONE_MM + grow):
                        _disc(sheet, corner, ZONE_MM + grow, colour, zone.id)
            for at in spots:
                _disc(sheet, at, ZONE_MM + grow, colour, zone.id)


def _within(at: Point, box: Box, by_mm: float) -> bool:
    return box[0] + by_mm < at[0] < box[2] - by_mm and box[1] + by_mm < at[1] < box[3] - by_mm


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
    for way in scene.record.ways:  # over all ways: a hole that another one hides is not drilled
        _draw_strands(sheet, scene, way)
        for spot in hole_spots(scene, way):
            _draw_hole(sheet, spot, f"way {way.number}")


def _draw_strands(sheet: Sheet, scene: Scene, way: MapWay) -> None:
    """The bundles of a way apart where each passes a hole of its own beside the others."""
    spots = [spot for spot in hole_spots(scene, way) if spot.reach_mm > 0]
    shaded = any({way.a, way.b} & set(zone.places) for zone in scene.record.zones)
    half = scene.wide[way.number] / 2 + 0.05
    for base in dict.fromkeys(spot.base for spot in spots):
        here = [spot for spot in spots if spot.base == base]
        (x, y), (ux, uy) = base, here[0].along
        far = min(spot.reach_mm for spot in here)
        corners = ((-far, -half), (far, -half), (far, half), (-far, half))
        points = [(x + ux * go - uy * off, y + uy * go + ux * off) for go, off in corners]
        fill = PALE if shaded else WHITE
        sheet.polygon(points, width_mm=0.01, kind="dot", ref=f"way {way.number}", fill=fill,
                      colour=fill, role="split")  # fmt: skip
        for spot in here:
            wide, line = strand_of(scene, way.number, spot)
            sheet.line(line, width_mm=wide, kind="dot", ref=f"way {way.number}", colour=WAY,
                       role="strand")  # fmt: skip


WHITE = "#ffffff"


def _draw_hole(sheet: Sheet, spot: HoleSpot, ref: str) -> None:
    """The structure on both sides of a hole; a grommet is a ring at its edge."""
    over: Kind | None = "dot" if spot.reach_mm > 0 else None  # on the bundles drawn apart
    for side, long in spot.bars:
        ends = (spot.side(side, 0.0), spot.side(side, long))
        sheet.line(ends, width_mm=0.5, kind=over or "rule", ref=ref, role="hole")
    if spot.hole.grommet:
        for side in (-1, 1):
            at = spot.side(side, GROMMET_MM)
            sheet.circle(at, GROMMET_MM, width_mm=0.25, kind=over or "frame", ref=ref, fill=WHITE,
                         role="grommet")  # fmt: skip


def _draw_sensor(sheet: Sheet, at: Point, ref: str) -> None:
    """A needle: a narrow upright diamond, its upper half filled."""
    x, y = at
    high, half = SENSOR_MM * 1.2, SENSOR_MM * 0.62
    whole = ((x, y - high), (x + half, y), (x, y + high), (x - half, y))
    sheet.polygon(whole, width_mm=0.3, kind="dot", ref=ref, fill="#ffffff", role="sensor")
    upper = ((x, y - high), (x + half, y), (x - half, y))
    sheet.polygon(upper, width_mm=0.3, kind="dot", ref=ref, fill=BLACK, role="sensor")


def draw_key(sheet: Sheet, box: Box, factor: float, *, columns: int, signs: Sequence[str]) -> None:
    """The signs of the map, in columns."""
    x0, y0, x1, _ = box
    pitch = WIDE_KEY_MM if columns > 2 else KEY_MM
    column = (x1 - x0) / columns
    for i, sign in enumerate(signs):
        x, y = x0 + (i % columns) * column, y0 + (i // columns) * pitch
        _draw_sign(sheet, sign, (x, y), factor)
        told = (*SAID.get(sign, ()), sign)
        said = next((one for one in told if parts.width(one) <= column - 10.3), sign)
        sheet.text(x + 10.2, y, said, middle=True, ref="legend", room_mm=column - 10.3)


SAID = {
    "grommet": ("grommet, its spot not given", "grommet, spot not given", "grommet, spot: ?"),
    "bare hole": ("bare hole, its spot not given", "bare hole, spot not given"),
    "sensor": ("sensor away from its place", "sensor off its place"),
}
"""What the key says of a sign that would mislead by its name alone, the fullest first."""


UNKNOWN, EMPTY = "⌀ ?", "empty"
"""Ways without a thickness, drawn alike: it is not known, or nothing lies there."""


def signs_of(record: RouteMap) -> tuple[str, ...]:
    """The signs that a map has, in the order of the key."""
    passed = [p for way in record.ways for p in way.passed]
    there = {
        "place": True,
        "grommet": any(p.kind == "hole" and p.grommet for p in passed),
        "bare hole": any(p.kind == "hole" and not p.grommet for p in passed),
        "tube": any(p.kind == "tube" for p in passed),
        UNKNOWN: any(way.diameter_m is None and way.wires for way in record.ways),
        EMPTY: any(way.diameter_m is None and not way.wires for way in record.ways),
        "sensor": bool(record.sensors),
        "zone": bool(record.zones),
        "airframe": bool(record.outlines),
    }
    return tuple(sign for sign, shown in there.items() if shown)


def _draw_sign(sheet: Sheet, sign: str, at: Point, factor: float) -> None:
    """A sign of the key in 9 mm from a point to the right."""
    x, y = at
    middle = (x + 4.5, y)
    half = min(10.0 * factor / 2, 0.8)
    if sign == "place":
        sheet.circle(middle, MARK_MM, width_mm=0.4, fill="#ffffff", kind="frame")
    elif sign in ("grommet", "bare hole"):
        sheet.line(((x + 1.0, y), (x + 8.0, y)), width_mm=half, kind="frame", colour=WAY)
        for side in (-1, 1):
            ends = ((x + 4.5, y + side * half), (x + 4.5, y + side * (half + 1.4)))
            sheet.line(ends, width_mm=0.5, kind="frame")
            if sign == "grommet":
                ring = (x + 4.5, y + side * (half + GROMMET_MM))
                sheet.circle(ring, GROMMET_MM, width_mm=0.25, kind="frame", fill="#ffffff")
    elif sign == "tube":
        sheet.line(((x, y), (x + 9.0, y)), width_mm=half, kind="frame", colour=WAY)
        for side in (-1, 1):
            ends = ((x + 1.0, y + side * half), (x + 8.0, y + side * half))
            sheet.line(ends, width_mm=0.25, kind="frame")
    elif sign in (UNKNOWN, EMPTY):
        sheet.line(((x, y), (x + 9.0, y)), width_mm=UNKNOWN_MM, kind="frame", colour=WAY,
                   dash=(2.0, 1.0))  # fmt: skip
    elif sign == "sensor":
        sheet.line(((x, y), middle), width_mm=0.3, kind="frame", dash=TIED)
        _draw_sensor(sheet, middle, "legend")
    elif sign == "airframe":
        sheet.line(((x, y), (x + 9.0, y)), width_mm=0.25, kind="frame", colour=AIRFRAME)
    else:
        _disc(sheet, middle, 1.9, EDGE, "legend")
        _disc(sheet, middle, 1.55, PALE, "legend")
