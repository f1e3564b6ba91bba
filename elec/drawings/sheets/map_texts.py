"""The texts of one view of the map: where each finds room, and how short it has to be."""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.ink import BLACK, GREY, Box, Point, Segment
from elec.drawings.layout.labels import Label, Standing, Thick, stand_shortened
from elec.drawings.map_inputs import MapWay
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import parts
from elec.drawings.sheets.map_scene import (
    HOLE_MM,
    MARK_MM,
    NAMED,
    SENSOR_MM,
    WAY,
    ZONE_MM,
    MapRemainder,
    Scene,
    edges_of,
    hole_spots,
    holes_of,
    middle_of,
    room_mm,
    share,
    strand_of,
    ties_of,
    tube_of,
)

DETAIL = "detail A"
WRAP_MM = 38.0
LINE_MM = 3.8
ABOVE_MM, BELOW_MM = 2.8, 0.8
SHORT = (
    "",
    "by the ways stand number, wires and thickness; holes and tubes are in the table.",
    "by the ways stand their numbers; wires and thickness are in the table.",
)


class _Text(Struct, frozen=True, kw_only=True):
    """A label's lines."""

    label: Label
    lines: tuple[str, ...]
    bold: bool = False
    colour: str = BLACK
    ref: str = ""


class PlacedTexts(Struct, frozen=True, kw_only=True):
    """The texts of a view in one length, where each stands that found a place, what is left out."""

    texts: Sequence[_Text]
    found: Mapping[str, Standing]
    left: MapRemainder


def placed_texts(
    scene: Scene, room: Box, outline: Sequence[Segment] = (), *, whole: int = 0
) -> PlacedTexts:
    """All texts of a view; they are shortened where not all find a place.

    `whole`: in so many lengths at most, and none has a place where not all find one.
    """
    reach = MARK_MM + 0.3
    marks = [(x - reach, y - reach, x + reach, y + reach) for x, y in scene.marks.values()]
    marks += [
        (x - SENSOR_MM, y - 1.3 * SENSOR_MM, x + SENSOR_MM, y + 1.3 * SENSOR_MM)
        for x, y in scene.sensors.values()
    ]
    marks = list(dict.fromkeys(marks))
    marks += axis_names(room)
    lines = list(_thick_lines(scene))
    edges = [*edges_of(scene), *(Thick(ends=ends) for ends in outline)]
    if scene.frame is not None:
        marks.append(scene.frame)
    lengths = [list(_texts(scene, level)) for level in range(whole or len(SHORT))]
    labels = [[text.label for text in texts] for texts in lengths]
    level, found = stand_shortened(
        labels, room, marks=marks, lines=lines, edges=edges, whole=whole > 0
    )
    texts = lengths[level]
    left = MapRemainder(
        end_on=scene.end_on,
        unnamed=tuple(" ".join(t.lines) for t in texts if t.label.id not in found),
        short=SHORT[level],
        beside=tuple(n for n, line in sorted(scene.lines.items()) if len(line) > 2),
    )
    return PlacedTexts(texts=texts, found=found, left=left)


def write_texts(sheet: Sheet, placed: PlacedTexts) -> None:
    """Each text that has a place, with its leader."""
    for text in placed.texts:
        if text.label.id in placed.found:
            _write(sheet, text, placed.found[text.label.id])


def axis_names(room: Box) -> tuple[Box, Box]:
    """Where the names of the axes stand: in the lower right and the upper left corner."""
    return (
        (room[2] - 30.0, room[3] - 3.0, room[2], room[3] + 1.0),
        (room[0], room[1] - 2.0, room[0] + 14.0, room[1] + 2.0),
    )


def _thick_lines(scene: Scene) -> Iterator[Thick]:
    for way in scene.record.ways:
        if way.number not in scene.lines:
            continue
        half = scene.wide[way.number] / 2
        for ends in pairwise(scene.lines[way.number]):
            yield Thick(ends=ends, half_mm=half)
        for ends in (*holes_of(scene, way), *tube_of(scene, way)):
            yield Thick(ends=ends, half_mm=0.25)
        for spot in hole_spots(scene, way):
            if spot.reach_mm > 0:
                wide, line = strand_of(scene, way.number, spot)
                yield from (Thick(ends=ends, half_mm=wide / 2) for ends in pairwise(line))
    for _, ends in ties_of(scene):
        yield Thick(ends=ends, half_mm=0.15)


def _texts(scene: Scene, level: int) -> Iterator[_Text]:
    for make in (_place_texts, _sensor_texts, _way_texts, _zone_texts, _hole_texts):
        yield from (one for one in make(scene, level) if one.ref not in scene.hidden)
    if scene.frame is not None:
        x0, y0, x1, y1 = scene.frame
        anchors = ((x0, y1), (x1, y1), (x0, y0), (x1, y0))
        yield _text("detail", (DETAIL,), anchors, 0.2, ref=DETAIL)


def _place_texts(scene: Scene, level: int) -> Iterator[_Text]:
    del level
    for at in dict.fromkeys(scene.marks.values()):
        here = [p for p in scene.record.places if scene.marks.get(p.id) == at]
        bold = not scene.beyond & {p.id for p in here}
        shown = [p for p in here if p.id not in scene.hidden]
        lines = tuple(
            line
            for k, p in enumerate(shown, 1)
            for line in _wrapped(f"{p.label}, and" if k < len(shown) else p.label, bold=bold)
        )
        if not lines:
            continue
        ends = [
            scene.wide[way.number] / 2
            for way in scene.record.ways
            if way.number in scene.lines and at in (scene.marks[way.a], scene.marks[way.b])
        ]
        reach = max(MARK_MM, *ends) if ends else MARK_MM
        name = shown[0].id
        yield _text(f"place {name}", lines, (at,), reach, ref=name, bold=bold)


def _sensor_texts(scene: Scene, level: int) -> Iterator[_Text]:
    del level
    tied = {name for name, _ in ties_of(scene)}
    for sensor in scene.record.sensors:
        if sensor.id in scene.sensors:
            at, lines = scene.sensors[sensor.id], _wrapped(sensor.label)
            if sensor.off and sensor.id in tied and not scene.brief:
                lines += (f"{sensor.off} from its place",)
            yield _text(f"sensor {sensor.id}", lines, (at,), SENSOR_MM * 1.2, ref=sensor.id)


def _way_texts(scene: Scene, level: int) -> Iterator[_Text]:
    for way in scene.record.ways:
        leaves = scene.beyond & {way.a, way.b}  # its end has its number
        if way.number not in scene.lines or leaves:
            continue
        if share(scene.view, scene.record, way) < NAMED:
            continue
        a, b = middle_of(scene.lines[way.number])
        anchors = tuple(
            (a[0] + (b[0] - a[0]) * k, a[1] + (b[1] - a[1]) * k)
            for k in (0.5, 0.38, 0.62, 0.25, 0.75)
        )
        one = _text(
            f"way {way.number}",
            _way_lines(scene, way, 2 if _brief(scene, way) else level),
            anchors,
            room_mm(way, scene.factor) / 2,
            ref=f"way {way.number}",
        )
        yield replace(one, colour=WAY)


def _brief(scene: Scene, way: MapWay) -> bool:
    """Whether a way has its number alone, since another view has the rest."""
    return scene.brief and way.number in scene.elsewhere


def _zone_texts(scene: Scene, level: int) -> Iterator[_Text]:
    named = {p.label for p in scene.record.places if p.id in scene.marks}
    ends = {end for way in scene.record.ways
            if way.number in scene.lines and way.number not in scene.end_on
            and share(scene.view, scene.record, way) >= NAMED
            for end in (way.a, way.b)}  # fmt: skip
    for zone in scene.record.zones:
        spots = tuple(dict.fromkeys(scene.marks[p] for p in zone.places if p in scene.marks))
        # a zone whose ways are not drawn here would be read as that of another way
        if spots and ends.intersection(zone.places):
            said = scene.brief and zone.label in named  # its place says the same
            lines = (zone.number,) if said else _wrapped(f"{zone.number}: {zone.label}")
            if zone.closes and not level and not scene.brief:
                lines += _wrapped(f"closes {zone.closes}")
            one = _text(f"zone {zone.id}", lines, spots, ZONE_MM, ref=f"zone {zone.id}")
            yield replace(one, colour=GREY)


def _hole_texts(scene: Scene, level: int) -> Iterator[_Text]:
    if level:
        return
    for way in scene.record.ways:
        if way.number not in scene.lines or _brief(scene, way):
            continue
        for n, spot in enumerate(hole_spots(scene, way)):
            outer = [side for side, long in spot.bars if long == HOLE_MM] or [
                side for side, _ in spot.bars
            ]
            anchors = tuple(spot.side(side, HOLE_MM) for side in sorted(outer, reverse=True))
            ref = f"way {way.number}"
            holes = sorted((spot.hole, *spot.behind), key=lambda hole: hole.bundle)
            lines = tuple(line for hole in holes for line in _wrapped(hole.text))
            yield _text(f"hole {way.number}.{n}", lines, anchors, 0.4, ref=ref)


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


def _way_lines(scene: Scene, way: MapWay, level: int) -> tuple[str, ...]:
    if level == 2:
        return (str(way.number),)
    if not way.wires:
        return (f"{way.number}: no wires",)
    count = f"{way.wires} wire{'' if way.wires == 1 else 's'}"
    first = f"{way.number}: {count} {way.diameter}"
    more = [f"together, in {way.bundles} bundles"] if way.bundles > 1 else []
    drawn = {hole for spot in hole_spots(scene, way) for hole in (spot.hole, *spot.behind)}
    passed = () if level else (p.text for p in way.passed if p not in drawn)
    return (first, *more, *passed)


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
