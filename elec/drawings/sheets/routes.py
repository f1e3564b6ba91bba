"""The places and ways of an airframe to scale: from above, from the side, and from behind.

Every way is a line as thick as its bundle by a factor that is printed. What has no station, and
what a view shows end on, is listed under the drawings; the table of ways names all of them.
"""

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import product

from msgspec.structs import replace

from elec import units
from elec.drawings import metrics
from elec.drawings.ink import BLACK, GREY, Box, Point
from elec.drawings.layout.lanes import lane_of
from elec.drawings.layout.view import (
    BACK,
    INCH_M,
    SIDE,
    TOP_NOSE_UP,
    Axis,
    Scaled,
    View,
    bar,
    best_top,
    fitted,
    need_mm,
    ticks,
)
from elec.drawings.map_inputs import (
    Lane,
    MapPlace,
    MapSensor,
    MapWay,
    RouteMap,
    Spot3,
)
from elec.drawings.sheet import Item, Sheet
from elec.drawings.sheets import map_detail, map_ink, map_scene, map_texts, paper, parts, table
from elec.drawings.sheets.map_ink import Viewed, draw_view
from elec.drawings.sheets.map_scene import MapRemainder
from elec.kept import takes_over

MARGIN_MM = (15.0, 11.0)
FLAT_MM = (15.0, 5.0)
"""Of a view from the side, over and under which few texts stand."""
HEAD_MM = 6.0
TICKS_MM = (12.0, 6.5)
"""Room for the ticks left of a view and under it."""
FACTORS = (0.5, 0.4, 0.3, 0.25, 0.2, 0.15, 0.1, 0.05, 0.02, 0.01)
THICKEST_MM = 4.6
NEEDED = "needed ⌀, of ⌀"
"""A share of diameters, the grommet's counted: of areas it would be less."""
HEADS = (
    "no.",
    "way",
    "wires, bundles",
    "around all",
    "length",
    "passes",
    NEEDED,
    "zone",
    "wires, ⌀ mm by bundle",
)
PULL_HEADS = ("ways, bundles", "zone", "hole, T", "from", "to", "length", "wires")
PULL = (
    "To pull by, what closes first on top: each wire once, its ways, holes and tubes (⌀ in mm as "
    "drilled, before a grommet; T: of a tube, inside{inches})."
)
PULL_ON = "To pull by, continued"
MOST_MM: tuple[Mapping[str, float], ...] = tuple(
    {"way": way, "passes": passes, NEEDED: needed}
    for way in (120.0, 90.0, 66.0, 46.0)
    for passes in (60.0, 40.0)
    for needed in (60.0, 30.0)
)
"""Widths that are tried, so that the table is low."""
BARE = "The file gives no outline of the airframe, so none is drawn."
BESIDE = (
    "Places are where the file has them. Ways are drawn straight from place to place, and side by "
    "side where one would lie on another: left or right by their names, else on a side that the "
    "file does not tell; how far apart, neither. Holes and tubes are as wide, to one scale, as "
    "bundles are thick; where along their way holes are is not in the file. A zone is shaded over "
    "all ways that close with it."
)
"""What one has to know to read the map: it stands in it, where that leaves room."""
MOVED = "Ways drawn beside their straight line, on or near which others lie"
BESIDE_MM = (110.0, 90.0, 70.0, 55.0)
"""Widths that are tried for it."""
LENGTHS = (
    "Lengths of ways: {ways}. Those of wires have the share for the route and the slack at both "
    "ends; no strip-back."
)
GIVEN, STRAIGHT = "as the file gives them", "straight from place to place"


PULL_MM: tuple[Mapping[str, float], ...] = tuple(
    {"from": start, "to": stop, "ways, bundles": ways, "hole, T": holes}
    for start, stop in ((200.0, 200.0), (46.0, 46.0), (40.0, 37.0), (37.0, 37.0))
    for ways, holes in ((40.0, 14.0), (31.0, 18.0), (24.5, 14.0))
)


@takes_over
def routes(record: RouteMap) -> list[Sheet]:
    """The sheets of the map."""
    record = _clipped(record)
    factor = _factor(record)
    spots = _spots(record)
    sheets: list[Sheet] = []
    free = 0.0
    notes: list[str] = []
    scales: set[float] = set()
    beside: list[str] = []
    sides: dict[int, int] = {}
    whole = first = _room(_new_sheet(record, 0))
    views = list(_views(record, spots, whole))
    seen = {view.id: _seen(record, spots, view) for view in views}
    margins = {view.id: FLAT_MM if view.id == "side" else MARGIN_MM for view in views}
    scale = max(
        fitted(view, seen[view.id], _inner(whole), margins[view.id]).scale for view in views
    )
    for view in views:
        extent = seen[view.id]
        if sheets and (room := _beside(view, extent, sheets[-1], free, scale)) is not None:
            sheet = sheets[-1]
        else:
            sheet = _new_sheet(record, len(sheets))
            sheets.append(sheet)
            room = _taken(
                view, extent, _room(sheet), scale, margins[view.id], whole=view.id == "top"
            )
        elsewhere = frozenset(
            way.number
            for way in record.ways
            if any(map_scene.share(v, record, way) >= map_scene.NAMED for v in views if v != view)
        )
        before = len(sheet.items)
        scaled = fitted(view, extent, _inner(room), margins[view.id], scale)
        main = view == views[0]
        shown = replace(record, ways=_as_before(record, scaled, sides))
        viewed = Viewed(
            record=shown, scaled=scaled, room=_inner(room), factor=factor, elsewhere=elsewhere
        )
        drawn, free = _view(sheet, viewed, room, main=main, whole=before == 0)
        if drawn.unnamed and before == 0:  # texts that found no room have some in a larger view
            own = fitted(view, extent, _inner(_room(sheet)), MARGIN_MM).scale
            room = _taken(view, extent, _room(sheet), own, MARGIN_MM, whole=view.id == "top")
            scaled = fitted(view, extent, _inner(room), MARGIN_MM)
            viewed = replace(viewed, scaled=scaled, room=_inner(room))
            del sheet.items[before:]
            drawn, free = _view(sheet, viewed, room, main=main)
        sides |= _sides(shown, scaled, factor, elsewhere)
        if main:
            first = (room[0] + 4.0, room[1], room[2], free)
        scales.add(scaled.scale)
        notes += _said(record, view, drawn)
        if drawn.beside:
            title = view.title[0].lower() + view.title[1:]
            beside.append(f"{title} {', '.join(map(str, drawn.beside))}")
    same = ("All views have one scale.",) if len(scales) == 1 < len(views) else ()
    bare = () if record.outlines else (BARE,)
    said = [*_missing(record), *_far(record), *notes, *record.notes, *same, *bare]
    said += [f"{MOVED}: {'; '.join(beside)}."] if beside else []
    lengths = _lengths(record)
    said.append(lengths)
    if _draw_beside(sheets[0], first, [BESIDE, *said]):
        said = []
    elif not _draw_beside(sheets[0], first, [BESIDE]):
        said = [*said[:-1], BESIDE, lengths]
    views_end = len(sheets)
    _draw_lists(record, sheets, free, said)
    for sheet in sheets[:views_end]:
        _draw_strip(sheet, record, factor)
    for sheet in sheets[views_end:]:  # nothing on it has a scale
        sheet.title = replace(sheet.title, note=LISTS)
        parts.draw_notes(sheet, _in_strip(record, sheet)[0], paper.strip(sheet))
    return sheets


def _lengths(record: RouteMap) -> str:
    """What the lengths of the table and of the list to pull by are."""
    straight = [str(way.number) for way in record.ways if not way.given]
    said = STRAIGHT if len(straight) == len(record.ways) else GIVEN
    if straight and said == GIVEN:
        said += f", of {', '.join(straight)} {STRAIGHT}"
    return LENGTHS.format(ways=said)


def _sides(
    record: RouteMap, scaled: Scaled, factor: float, elsewhere: frozenset[int]
) -> dict[int, int]:
    """Way drawn beside where it is → 1: to the right of the airframe, −1: to its left."""
    right, found = map_scene.to_right(scaled), {}
    for number, line in map_scene.laid_out(record, scaled, factor, elsewhere).lines.items():
        side = lane_of(line).side * map_scene.right_side(right, line[0], line[-1])
        if side:
            found[number] = side
    return found


def _as_before(record: RouteMap, scaled: Scaled, sides: Mapping[int, int]) -> tuple[MapWay, ...]:
    """The ways, those beside where they are to that side on which a view before has them."""
    right, at = map_scene.to_right(scaled), record.spot
    found = []
    for way in record.ways:
        a, b = at.get(way.a), at.get(way.b)
        if way.number in sides and a is not None and b is not None:
            ends = (scaled.place(a), scaled.place(b))
            side = sides[way.number] * map_scene.right_side(right, *ends)
            if side:
                lane = Lane(side=side, long_mm=math.dist(*ends))
                way = replace(way, lane=lane)  # noqa: PLW2901
        found.append(way)
    return tuple(found)


LISTS = "lists"
TICKED = "☐: not pulled yet; ☑: lies in its way, by the file."
WITHIN = "Wires within one place: sheets C, G, K. Lengths: no strip-back."
TOLD = {
    ", as cut": "As cut: the file gives that length as cut.",
    ", as given": "As given: the file gives that length.",
}
"""What stands behind a length that is not counted along the ways, and what it means."""
TOGETHER = "{said}: in the bundle {bundle} of each of these ways."
_TOGETHER = re.compile(r"\d+(?: \+ \d+)+ [^,]+")


def _in_strip(record: RouteMap, sheet: Sheet) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """How lists are to be read: in place of the key of the map, and what has no room there."""
    first, *others = _list_notes(record)
    box = paper.strip(sheet)
    fits = parts.notes_mm((first, *others), box[2] - box[0]) <= box[3] - box[1]
    return ((first, *others), ()) if fits else ((first,), tuple(others))


def _list_notes(record: RouteMap) -> tuple[str, ...]:
    """How the texts of the lists are to be read."""
    ways = ", ".join(pull.ways for pull in record.pulls)
    found = _TOGETHER.search(ways)
    both = found[0] if found else ""
    closing = {number for pull in record.pulls for number in pull.closes.split(", ") if number}
    zones = "; ".join(
        f"{zone.number} {zone.label}" for zone in record.zones if zone.number in closing
    )
    said = TOGETHER.format(said=both, bundle=both.rpartition(" ")[2]) if both else ""
    told = " ".join(
        text for mark, text in TOLD.items() if any(mark in p.length for p in record.pulls)
    )
    within = " ".join(filter(None, (WITHIN, told)))
    return tuple(filter(None, (TICKED, f"Zones: {zones}." if zones else "", said, within)))


def _draw_beside(sheet: Sheet, room: Box, notes: Sequence[str]) -> bool:
    """Notes in the part of a view that it leaves free; False where there is none so large."""
    clear = map_detail.free_room(sheet, room)
    for wide in BESIDE_MM:
        wrapped = [metrics.wrap(metrics.clean(note), parts.SMALL_MM, wide - 3.0) for note in notes]
        high = parts.LINE_MM * sum(map(len, wrapped)) + 8.4
        box = clear.box((wide, high))
        if box is not None:
            _draw_notes(sheet, (box[0], box[1]), wrapped)
            return True
    return False


def _draw_notes(sheet: Sheet, at: Point, wrapped: Sequence[Sequence[str]]) -> None:
    """Wrapped notes under their heading."""
    x, y = at[0], at[1] + parts.SMALL_MM
    sheet.text(x, y, "Notes", bold=True)
    y += 6.4 - parts.SMALL_MM / 2
    for lines in wrapped:
        sheet.text(x, y, "–", ref="note")
        for line in lines:
            sheet.text(x + 3.0, y, line, ref="note")
            y += parts.LINE_MM


def _clipped(record: RouteMap) -> RouteMap:
    """Texts on one line, none longer than three lines of a label."""
    most = 3 * map_texts.WRAP_MM - 8.0

    def cut(text: str) -> str:
        return metrics.clip(text, most)

    return replace(
        record,
        places=tuple(replace(p, label=cut(p.label)) for p in record.places),
        ways=tuple(replace(w, title=metrics.clip(w.title, 60.0)) for w in record.ways),
        zones=tuple(
            replace(z, label=cut(z.label), closes=metrics.clip(z.closes, 2 * most))
            for z in record.zones
        ),
        sensors=tuple(replace(s, label=cut(s.label)) for s in record.sensors),
    )


def _new_sheet(record: RouteMap, before: int) -> Sheet:
    block = paper.continued(record.title, before, "map of the ways", note="scale as shown")
    lying = "; ".join(f"{w.number} {w.title}: {w.wires} wires" for w in record.ways)
    about = f"Places and ways of the airframe to scale. Ways: {lying}."
    return paper.page(record.size, block, about)


def _factor(record: RouteMap) -> float:
    """Paper over true thickness, so that the thickest line stays a line."""
    sizes = [w.diameter_m * 1000 for w in record.ways if w.diameter_m]
    sizes += [p.diameter_m * 1000 for w in record.ways for p in w.passed if p.kind == "tube"]
    most = max(sizes, default=1.0)
    return next((f for f in FACTORS if f * most <= THICKEST_MM), THICKEST_MM / most)


def _spots(record: RouteMap) -> list[Spot3]:
    things: list[MapPlace | MapSensor] = [*record.places, *record.sensors]
    return [one.at_m for one in things if one.at_m is not None]


def _seen(record: RouteMap, spots: Sequence[Spot3], view: View) -> list[Spot3]:
    """All that a view has to have room for: the spots, and the airframe as it is seen so."""
    lines = [one.points for one in record.outlines if one.view == view.id]
    return [*spots, *(spot for points in lines for spot in points)]


# --- views ------------------------------------------------------------------------------------


def _views(record: RouteMap, spots: Sequence[Spot3], room: Box) -> Iterator[View]:
    """From above and from the side; from behind where that shows a way clearly longer."""
    if _on_centre(spots):
        yield SIDE
        return
    top = best_top(_seen(record, spots, TOP_NOSE_UP), _inner(room), MARGIN_MM)
    yield top
    yield SIDE
    at = {p.id: p.at_m for p in record.places}
    for way in record.ways:
        a, b = at.get(way.a), at.get(way.b)
        if a is None or b is None:
            continue
        seen = [map_scene.seen_m(view, a, b) for view in (top, SIDE, BACK)]
        if seen[2] > 1.12 * max(seen[:2]):
            yield BACK
            return


def _on_centre(spots: Sequence[Spot3]) -> bool:
    """Whether no place lies beside another, so that a view from above shows no more."""
    sides = [spot[1] for spot in spots]
    return max(sides) - min(sides) < 0.01


def _room(sheet: Sheet) -> Box:
    x0, y0, x1, _ = sheet.frame
    return (x0 + 2.0, y0 + 2.0, x1 - 2.0, sheet.block[1] - 1.0)


def _listed(sheet: Sheet) -> Box:
    """The part of a sheet that lists may fill."""
    left, top, right, bottom = _room(sheet)
    return (left + 3.0, top + 3.0, right - 3.0, bottom - 2.0)


def _inner(room: Box) -> Box:
    """The part of a room that is left by the heading and the ticks."""
    return (room[0] + TICKS_MM[0], room[1] + HEAD_MM, room[2] - 2.0, room[3] - TICKS_MM[1])


def _taken(
    view: View, spots: Sequence[Spot3], room: Box, scale: float, margin: Point, *, whole: bool
) -> Box:
    """What a view needs of a room, across all of its width."""
    if whole:
        return room
    high = need_mm(view, spots, scale)[1] + 2 * margin[1] + HEAD_MM + TICKS_MM[1]
    least = 0.3 * (room[3] - room[1])
    return (room[0], room[1], room[2], min(room[3], room[1] + max(high, least)))


def _beside(
    view: View, spots: Sequence[Spot3], sheet: Sheet, free: float, scale: float
) -> Box | None:
    """Room under another view, where it has room there at the scale of all."""
    room = _room(sheet)
    left = (room[0], free + 2.0, room[2], room[3])
    if view.id == "side" or left[3] - left[1] < 45.0:
        return None
    here = fitted(view, spots, _inner(left), MARGIN_MM).scale
    return _taken(view, spots, left, scale, MARGIN_MM, whole=False) if here <= scale else None


def _view(
    sheet: Sheet, viewed: Viewed, room: Box, *, main: bool, whole: bool = False
) -> tuple[MapRemainder, float]:
    """One view, with its detail where it is the `main` one; and the y under both.

    `whole`: with all its texts, else it is not drawn.
    """
    scaled, metric = viewed.scaled, viewed.record.units == "metric"
    text = f"{scaled.view.title}, 1:{scaled.scale:.6g}"
    sheet.text(room[0] + 1.0, room[1] + 3.2, text, bold=True)
    _draw_bar(sheet, room, scaled, metric=metric)
    _draw_ticks(sheet, room, viewed.room, scaled, metric=metric)
    if main and (made := _with_detail(sheet, viewed, room)):
        return made
    drawn = draw_view(sheet, viewed, whole=len(map_texts.SHORT) if whole else 0)
    return drawn, room[3]


def _with_detail(sheet: Sheet, viewed: Viewed, room: Box) -> tuple[MapRemainder, float] | None:
    """The view and a detail of it, with all texts of both; None where none has them."""
    around: dict[map_detail.MapCrowd, tuple[MapRemainder, list[Item]]] = {}
    before = len(sheet.items)
    crowds = map_detail.crowds(viewed.record, viewed.scaled, viewed.factor)
    for whole, found in product((True, False), crowds):  # a smaller part with all its texts first
        if found not in around:
            part = replace(viewed, hidden=found.named, frame=found.frame)
            drawn = draw_view(sheet, part, whole=len(map_texts.SHORT))
            around[found] = drawn, sheet.items[before:]
        drawn, sheet.items[before:] = around[found]
        for where in (viewed.room, _under(sheet, room)) if not drawn.unnamed else ():
            low = map_detail.draw_detail(
                sheet, viewed, found, where, high=where != viewed.room, whole=whole
            )
            if low:
                return drawn, max(room[3], low)
        del sheet.items[before:]
    return None


DETAIL_MM = 66.0
"""So much of a sheet under a view may be taken by its detail."""


def _under(sheet: Sheet, room: Box) -> Box:
    """The part of a sheet under a view that its detail may take."""
    whole = _room(sheet)
    low = min(whole[3], room[3] + DETAIL_MM)
    return (room[0] + TICKS_MM[0], room[3] + 1.0, room[2] - 2.0, low)


def _draw_bar(sheet: Sheet, room: Box, scaled: Scaled, *, metric: bool) -> None:
    """A scale bar of two halves, right of the view's heading."""
    half, text = bar(scaled.scale, metric)
    y = room[1] + 2.2
    right = room[2] - 4.0 - parts.width(text)
    left = right - 2 * half
    sheet.rect((left, y - 0.7, left + half, y + 0.7), width_mm=0.25, kind="rule", fill=BLACK)
    sheet.rect((left + half, y - 0.7, right, y + 0.7), width_mm=0.25, kind="rule")
    sheet.text(left - 1.5, y, "0", middle=True, align="right")
    sheet.text(right + 1.5, y, text, middle=True)


def _draw_ticks(sheet: Sheet, room: Box, inner: Box, scaled: Scaled, *, metric: bool) -> None:
    """Round values along the lower and left edge of a view, in the unit of the coordinates."""
    unit_m, unit = (0.001, "mm") if metric else (INCH_M, "in")
    metre = 1000 / scaled.scale
    x0, y0, x1, y1 = scaled.box
    right, down = scaled.view.right, scaled.view.down
    origin = scaled.place((0.0, 0.0, 0.0))
    edge = inner[3] + 1.0
    for at, text in _along(
        right, (x0 - origin[0]) / metre, (x1 - origin[0]) / metre, unit_m, metre
    ):
        x = origin[0] + at * metre
        sheet.line(((x, edge), (x, edge + 1.4)), width_mm=0.25, kind="rule", colour=GREY)
        sheet.text(x, edge + 2.0 + parts.SMALL_MM, text, align="center", colour=GREY)
    name = f"{right.name}, {unit}"
    sheet.text(inner[2], edge - 1.2, name, align="right", colour=GREY, role="axis")
    side = inner[0] - 1.0
    for at, text in _along(down, (y0 - origin[1]) / metre, (y1 - origin[1]) / metre, unit_m, metre):
        y = origin[1] + at * metre
        sheet.line(((side - 1.4, y), (side, y)), width_mm=0.25, kind="rule", colour=GREY)
        sheet.text(side - 2.0, y, text, align="right", middle=True, colour=GREY)
    sheet.text(room[0] + 1.0, inner[1] + 1.0, f"{down.name}, {unit}", colour=GREY, role="axis")


def _along(
    axis: Axis, low: float, high: float, unit_m: float, metre: float
) -> list[tuple[float, str]]:
    """Ticks from low to high along an edge, as m from the datum on paper, and their texts."""
    ends = sorted((axis.sign * low, axis.sign * high))
    found = ticks(ends[0], ends[1], unit_m, 18.0 / metre)
    return [(axis.sign * at, text) for at, text in found]


# --- lists ------------------------------------------------------------------------------------


def _missing(record: RouteMap) -> Iterator[str]:
    """What has no station."""
    lost = [p for p in record.places if p.at_m is None]
    names = {p.id for p in lost}
    ways = [str(w.number) for w in record.ways if {w.a, w.b} & names]
    if lost:
        text = f"Without a station, so not drawn: {', '.join(p.label for p in lost)}"
        if ways:
            text += f"; nor way{'s' if len(ways) > 1 else ''} {', '.join(ways)}, which end there"
        yield f"{text}."
    if _on_centre(_spots(record)):
        yield "No place has a buttline of its own: a view from above would show no more."
    blind = [s.label for s in record.sensors if s.at_m is None]
    if blind:
        yield f"Without a station, so not drawn: {', '.join(blind)}."


FAR = 4.0
"""An outline that is so many times as large as all that lies in it has a point that is wrong."""


def _far(record: RouteMap) -> Iterator[str]:
    """An airframe far larger than what lies in it, which makes all else small."""
    spots = _spots(record)
    points = [point for line in record.outlines for point in line.points]
    for axis, name in enumerate(("station", "buttline", "waterline")):
        own = max(s[axis] for s in spots) - min(s[axis] for s in spots)
        far = max((p[axis] for p in points), key=abs, default=0.0)
        if own and abs(far - spots[0][axis]) > FAR * own + FAR:
            value = units.show(far, "m", record.units)
            yield f"The outline reaches {name} {value}, far from all places: see its points."


def _said(record: RouteMap, view: View, drawn: MapRemainder) -> Iterator[str]:
    """What a view does not show."""
    del record
    if drawn.end_on:
        many = len(drawn.end_on) > 1
        numbers = ", ".join(str(n) for n in drawn.end_on)
        yield (
            f"{view.title}: way{'s' if many else ''} {numbers} {'run' if many else 'runs'} away "
            "from the eye; not drawn in this view, nor places that no other way leads to."
        )
    if drawn.unnamed:
        yield f"{view.title}: no room to write at {', '.join(drawn.unnamed)}; see the table."
    if drawn.short:
        yield f"{view.title}: {drawn.short}"


MARKS = 60
"""No row of the list to pull by has more marks than these."""


def _pull_rows(record: RouteMap) -> Iterator[tuple[tuple[str, ...], str]]:
    """The list to pull by: rows, and what they are about."""
    states: dict[str, set[bool]] = {}
    for pull in record.pulls:
        for cable, lies in zip(pull.cables, pull.lie, strict=False):
            states.setdefault(cable, set()).add(lies)
    boxed_cables = {""}
    for pull in record.pulls:
        none = ("",) * len(pull.marks)
        boxed = []
        for mark, lies, said, cable in zip(
            pull.marks, pull.lie, pull.besides or none, pull.cables or none, strict=True
        ):
            has = cable in boxed_cables - {""} and len(states[cable]) == 1
            boxed_cables.add(cable)
            box = "" if has else "☑" if lies else "☐"
            boxed.append(f"{box}{mark} {said}".strip())
        for start in range(0, len(boxed), MARKS):
            marks = " ".join(boxed[start : start + MARKS])
            yield (
                (pull.ways, pull.closes, pull.passes, pull.start, pull.stop, pull.length, marks),
                pull.wires[start],
            )


ZONES = "Zones, and when they close"


def _zones(record: RouteMap) -> Iterator[str]:
    """Each zone with when it closes, and whether a way leads to it."""
    ends = {end for way in record.ways for end in (way.a, way.b)}
    for zone in record.zones:
        closes = f", {zone.closes}" if zone.closes else ", when is not in the file"
        none = "" if ends & set(zone.places) else "; no way leads to it"
        yield f"{zone.number} {zone.label}{closes}{none}."


def _row(record: RouteMap, way: MapWay) -> tuple[str, ...]:
    names = {p.id: p.label for p in record.places}
    ends = f"{names.get(way.a, way.a)} to {names.get(way.b, way.b)}"
    closes = [z.number for z in record.zones if {way.a, way.b} & set(z.places)]
    return (
        str(way.number),
        ends if way.title == ends else f"{way.title}: {ends}",
        f"{way.wires} in {way.bundles}" if way.bundles > 1 and way.wires else str(way.wires),
        way.diameter,
        way.length,
        "; ".join(p.told or p.text for p in way.passed),
        "; ".join(p.needs for p in way.passed if p.needs),
        ", ".join(closes),
        way.lying,
    )


def _draw_lists(record: RouteMap, sheets: list[Sheet], free: float, notes: Sequence[str]) -> None:
    """The table of ways, the zones and the notes, under the last view and on further sheets."""
    rows = [_row(record, way) for way in record.ways]
    refs = [f"way {way.number}" for way in record.ways]
    left, top, right, bottom = _listed(sheets[-1])
    heads, body = table.filled(HEADS, rows)
    sits = [f"{place}: {things}." for place, things in record.equipment]
    sits += [record.unlisted] if sits and record.unlisted else []
    sits = _side_by_side(sits, right - left - 6.0)
    most = table.lowest(heads, body, right - left, MOST_MM)
    high = table.height_mm(table.column_widths(heads, body, right - left, most), heads, body)
    y = free + 3.0
    if y + high > bottom >= top + high:  # the table is not parted
        if y + _items_mm(sits, right - left) < bottom:
            _draw_items(record, sheets, y, SITS, sits)
            sits = []
        sheets.append(_new_sheet(record, len(sheets)))
        y = top

    y = 4.0 + table.drawn(table.laid(
        sheets, y, HEADS, rows, refs=refs, area=_listed,
        fresh=lambda count: _new_sheet(record, count), most=most,
    ))  # fmt: skip
    zones = _side_by_side(list(_zones(record)), right - left - 6.0)
    if notes and zones:  # one heading for both
        notes, zones = [f"Zones: {' '.join(_zones(record))}", *notes], []
    y = _draw_items(record, sheets, y, ZONES, zones)
    y = _draw_items(record, sheets, y, SITS, sits)
    y = _draw_items(record, sheets, y, "Notes", _together(notes, right - left - 6.0))
    _draw_pulls(record, sheets, y)


SITS = "Equipment at its place"


def _items_mm(items: Sequence[str], room: float) -> float:
    """Height of a list with its heading."""
    lines = [metrics.wrap(metrics.clean(item), parts.SMALL_MM, room - 3.0) for item in items]
    return 6.4 + parts.LINE_MM * sum(map(len, lines))


def _side_by_side(items: Sequence[str], room: float) -> list[str]:
    """Items with those on one line that follow each other and fit there."""
    found: list[str] = []
    for item in items:
        both = f"{found[-1]} – {item}" if found else item
        if found and parts.width(metrics.clean(both)) <= room:
            found[-1] = both
        else:
            found.append(item)
    return found


def _together(items: Sequence[str], room: float) -> list[str]:
    """Items of any order, each in the first line that has room for it."""
    found: list[str] = []
    for item in items:
        for k, line in enumerate(found):
            both = f"{line} – {item}"
            if parts.width(metrics.clean(both)) <= room:
                found[k] = both
                break
        else:
            found.append(item)
    return found


def _draw_pulls(record: RouteMap, sheets: list[Sheet], y: float) -> None:
    """The list to pull by, two columns of it on double paper."""
    found = list(_pull_rows(record))
    if not found:
        return
    beside = 2 if record.size in ("A3", "Tabloid") else 1
    rows = [row for row, _ in found]
    left, top, right, bottom = _listed(sheets[-1])
    room = (right - left - table.GAP_MM * (beside - 1)) / beside

    if y + 40.0 > bottom:
        sheets.append(_new_sheet(record, len(sheets)))
        y = top
    said = PULL.format(inches=_inches(record))
    more = metrics.wrap(" ".join(_in_strip(record, sheets[-1])[1]), parts.SMALL_MM, right - left)
    head = metrics.wrap(said, parts.SMALL_MM, right - left, bold=True)
    for line in (*head, *(line for line in more if line)):
        sheets[-1].text(left, y + parts.SMALL_MM, line, bold=line in head, ref="note")
        y += parts.LINE_MM
    table.drawn(table.laid(
        sheets, y + 5.0 - parts.LINE_MM, PULL_HEADS, rows, refs=[ref for _, ref in found],
        area=_listed, fresh=lambda count: _pull_sheet(record, count), beside=beside,
        most=table.lowest(PULL_HEADS, rows, room, PULL_MM),
    ))  # fmt: skip


def _pull_sheet(record: RouteMap, before: int) -> Sheet:
    """A further sheet of the list to pull by; its heading stands over the room for the table."""
    sheet = _new_sheet(record, before)
    left, top, _, _ = _listed(sheet)
    sheet.text(left, top - 1.2, PULL_ON, bold=True, ref="note")
    return sheet


def _inches(record: RouteMap) -> str:
    """The sizes of holes and tubes in inches, for who measures in these; else empty."""
    sizes = {p.diameter_m: p.inches for way in record.ways for p in way.passed if p.inches}
    if not sizes:
        return ""
    said = (f"{size_m * 1000:.3g} mm is {inches} in" for size_m, inches in sorted(sizes.items()))
    return f"; {', '.join(said)}"


def _draw_items(
    record: RouteMap, sheets: list[Sheet], y: float, heading: str, items: Sequence[str]
) -> float:
    """Wrapped lines under a heading; on a further sheet where they do not fit."""
    if not items:
        return y
    room = _room(sheets[-1])
    x, right = room[0] + 3.0, room[2] - 3.0
    wrapped = [metrics.wrap(metrics.clean(item), parts.SMALL_MM, right - x - 3.0) for item in items]
    for i, lines in enumerate(wrapped):
        high = parts.LINE_MM * len(lines) + (0.0 if i else 6.4)
        if y + high > room[3] - 1.0:
            sheets.append(_new_sheet(record, len(sheets)))
            y = _room(sheets[-1])[1] + (3.0 if i else 1.0)
            if i:
                sheets[-1].text(x, y + 1.0, f"{heading}, continued", bold=True)
                y += 5.4
        if not i:
            sheets[-1].text(x, y + parts.SMALL_MM, heading, bold=True)
            y += 6.4
        for k, line in enumerate(lines):
            if k == 0:
                sheets[-1].text(x, y, "–", ref="note")
            sheets[-1].text(x + 3.0, y, line, ref="note")
            y += parts.LINE_MM
    return y + 2.0


# --- strip ------------------------------------------------------------------------------------


SAMPLES_MM = (5.0, 10.0, 20.0)
SAMPLE_MM = 3.2
"""The thickest sample of a bundle that the strip has room for."""


def _draw_strip(sheet: Sheet, record: RouteMap, factor: float) -> None:
    """What the lines and signs mean, left of the title block."""
    x, top, right, bottom = paper.strip(sheet)
    wide = right - x > WIDE_MM
    y = top + parts.SMALL_MM - 0.3
    said = "Bundles, holes, tubes: true thickness" if wide else "Thickness: true"
    left = x + sheet.text(x, y, f"{said} × {factor:.3g}", bold=True) + (6.0 if wide else 4.0)
    for size in SAMPLES_MM:
        half = size * factor / 2
        said = f"⌀ {size:.0f} mm"
        if half > SAMPLE_MM / 2 or left + 7.2 + half + parts.width(said) > right:
            continue
        level = y - parts.SMALL_MM / 2
        sheet.line(((left, level), (left + 6.0, level)), width_mm=2 * half, kind="frame",
                   colour=map_scene.WAY)  # fmt: skip
        sheet.text(left + 7.2 + half, level, said, middle=True)
        left += 13.0 + half + parts.width(said)
    y += 4.8 if wide else 3.9
    map_ink.draw_key(
        sheet,
        (x, y, right, bottom),
        factor,
        columns=3 if wide else 2,
        signs=map_ink.signs_of(record),
    )


WIDE_MM = 120.0
"""A strip of this width has room for long texts and three columns."""
