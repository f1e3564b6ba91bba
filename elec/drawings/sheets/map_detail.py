"""A detail of the map: where places crowd, drawn larger in room that the view leaves free.

Ways that leave it end at its border, where the place that they run on to is named.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.drawings.ink import Box, Circle, InkPath, Point
from elec.drawings.layout.clipped import inside
from elec.drawings.layout.lanes import around, lane_of
from elec.drawings.layout.view import SCALES, Scaled, fitted
from elec.drawings.map_inputs import MapPlace, MapWay, RouteMap, Spot3
from elec.drawings.sheet import Item, Sheet
from elec.drawings.sheets.map_ink import Viewed, draw_view
from elec.drawings.sheets.map_scene import HOLE_CLEAR_MM, HOLE_MM, Scene, across_mm, laid_out
from elec.drawings.sheets.map_texts import SHORT

WINDOWS_MM = ((54.0, 36.0), (36.0, 24.0), (24.0, 18.0))
"""No more of a view than this is drawn larger; less where that finds no room."""
CLOSE_MM = 12.0
"""Places nearer than this crowd."""
LEAST_PLACES = 3
AROUND_MM = 5.0
MARGINS_MM = (
    (42.0, 16.0),
    (36.0, 16.0),
    (32.0, 14.0),
    (42.0, 8.0),
    (36.0, 10.0),
    (32.0, 8.0),
    (22.0, 8.0),
)
"""Room for texts beside a detail, and over and under it: as much as there is."""
HEAD_MM = 5.0
CELL_MM = 4.0
LEAST_TIMES = 1.4
"""A detail that is not so many times larger is none."""


class MapCrowd(Struct, frozen=True, kw_only=True):
    """What a detail shows: its places, its ways that lie in it whole, and its part of the sheet."""

    places: tuple[str, ...]
    ways: tuple[int, ...]
    zones: tuple[str, ...]
    sensors: tuple[str, ...]
    frame: Box

    @property
    def named(self) -> frozenset[str]:
        """What the detail names in place of the view."""
        ways = (f"way {number}" for number in self.ways)
        return frozenset(
            (*self.places, *self.sensors, *ways, *(f"zone {name}" for name in self.zones))
        )


def crowds(record: RouteMap, scaled: Scaled, factor: float = 0.0) -> list[MapCrowd]:
    """The part of a view where most places lie close together, and a smaller one of them.

    `factor`: thickness on paper over true thickness, by which the frame stands clear of holes.
    """
    seen = laid_out(record, scaled, factor, frozenset())
    found = (_crowd(record, scaled, window, seen) for window in WINDOWS_MM)
    return list(dict.fromkeys(one for one in found if one is not None))


def _crowd(record: RouteMap, scaled: Scaled, window: Point, seen: Scene) -> MapCrowd | None:
    at = {p.id: scaled.place(p.at_m) for p in record.places if p.at_m is not None}
    places = max(_fullest(at, window), key=lambda here: _packed(at, here), default=())
    if not LEAST_PLACES <= len(places) < len(at):
        return None
    if not any(_close(at[a], at[b]) for a, b in combinations(places, 2)):
        return None
    x0, y0, x1, y1 = around([at[name] for name in places])
    ways = [w for w in record.ways if {w.a, w.b} <= set(places)]
    halves = [half for w in ways if (half := across_mm(w, seen.factor))]
    reach = max([AROUND_MM, *(half + HOLE_MM + HOLE_CLEAR_MM for half in halves)])
    frame = _beside_ways((x0 - reach, y0 - reach, x1 + reach, y1 + reach), seen)
    return MapCrowd(
        places=places,
        ways=tuple(w.number for w in ways),
        zones=tuple(z.id for z in record.zones if set(z.places) <= set(places)),
        sensors=tuple(
            s.id for s in record.sensors if s.at_m is not None and _in(scaled.place(s.at_m), frame)
        ),
        frame=frame,
    )


def _fullest(at: Mapping[str, Point], window: Point) -> Iterator[tuple[str, ...]]:
    """The places in windows halfway between two of them, as long as no window before had more."""
    names, most = list(at), 1
    spots = np.array(list(at.values())).reshape(-1, 2)
    for k, one in enumerate(spots):
        middles = (one + spots[k + 1 :]) / 2
        here = (abs(spots - middles[:, None]) <= np.array(window) / 2).all(axis=2)
        counts = here.sum(axis=1)
        most = max(most, int(counts.max(initial=0)))
        for row in here[counts == most]:
            yield tuple(names[i] for i in np.flatnonzero(row))


def _packed(at: Mapping[str, Point], here: Sequence[str]) -> tuple[int, float, Sequence[str]]:
    """By what some places crowd more than others: more of them, then nearer together."""
    x0, y0, x1, y1 = around([at[name] for name in here])
    return len(here), -(x1 - x0) - (y1 - y0), here


def _beside_ways(frame: Box, scene: Scene) -> Box:
    """The frame further out where its broken edge would run along a way."""
    edges = list(frame)
    for number, line in sorted(scene.lines.items(), key=lambda one: one[0]):
        clear = scene.wide[number] / 2 + EDGE_CLEAR_MM
        for a, b in pairwise(line):
            for k, sign in ((0, -1), (1, -1), (2, 1), (3, 1)):
                across, along = k % 2, 1 - k % 2
                low, high = sorted((a[along], b[along]))
                beside = min(high, edges[along + 2]) - max(low, edges[along]) > CELL_MM
                steep = abs(b[across] - a[across]) < 0.2 * (high - low)
                at = max(a[across] * sign, b[across] * sign)
                if beside and steep and abs(at - edges[k] * sign) < clear:
                    edges[k] = sign * (at + clear)
    return (edges[0], edges[1], edges[2], edges[3])


EDGE_CLEAR_MM = 2.0
"""Between the frame of a detail and a way along it."""


def _close(a: Point, b: Point) -> bool:
    return max(abs(a[0] - b[0]), abs(a[1] - b[1])) < CLOSE_MM


def draw_detail(
    sheet: Sheet,
    viewed: Viewed,
    found: MapCrowd,
    room: Box,
    *,
    high: bool = False,
    whole: bool = False,
) -> float:
    """Draw it where the sheet has most room for it, and give its lower edge; 0: not enough.

    `high`: as high as there is room, else as low. `whole`: only if no text has to be shortened.
    """
    record, scaled = viewed.record, viewed.scaled
    seen = laid_out(record, scaled, viewed.factor, viewed.elsewhere)
    part = detailed(record, scaled, found, seen)
    spots = [p.at_m for p in part.places if p.at_m is not None]
    most = scaled.scale / LEAST_TIMES
    clear = free_room(sheet, room)
    start = len(sheet.items)
    shortened: list[Item] = []
    low = 0.0
    for scale in (s for s in SCALES if s <= most):
        need = fitted(scaled.view, spots, (0.0, 0.0, 1e6, 1e6), (0.0, 0.0), scale).box
        sizes = (
            (need[2] - need[0] + 2 * across, need[3] - need[1] + 2 * along + HEAD_MM)
            for across, along in MARGINS_MM
        )
        box = next((b for size in sizes if (b := clear.box(size, high=high)) is not None), None)
        if box is None:
            continue
        inner = (box[0] + 1.0, box[1] + HEAD_MM, box[2] - 1.0, box[3] - 1.0)
        own = fitted(scaled.view, spots, inner, (0.0, 0.0), scale)
        sheet.rect(box, width_mm=0.3, kind="rule", dash=(2.4, 1.0), role="detail")
        sheet.text(box[0] + 2.0, box[1] + 3.6, f"Detail A, 1:{own.scale:.6g}", bold=True)
        shown = Viewed(record=part, scaled=own, room=inner, factor=viewed.factor)
        drawn = draw_view(sheet, shown, whole=1 if whole or shortened else len(SHORT))
        if not drawn.unnamed and not drawn.short:
            return box[3]
        if not drawn.unnamed:
            shortened, low = sheet.items[start:], box[3]
        del sheet.items[start:]
    sheet.items += shortened
    return low


def detailed(record: RouteMap, scaled: Scaled, found: MapCrowd, seen: Scene) -> RouteMap:
    """The map of the places of a detail, with ways that end at its border.

    Where ways run side by side they do so as in the view, of which `seen` is the layout.
    """
    known = {p.id: p for p in record.places}
    places = [known[name] for name in found.places]
    ways: list[MapWay] = []
    beyond: dict[str, MapPlace] = {}
    for way in record.ways:
        a, b = known.get(way.a), known.get(way.b)
        if a is None or b is None or a.at_m is None or b.at_m is None:
            continue
        within = [end.id in found.places for end in (a, b)]
        lane = lane_of(seen.lines[way.number]) if way.number in seen.lines else None
        if all(within):
            ways.append(replace(way, lane=lane))
        elif any(within):
            home, far = (a, b) if within[0] else (b, a)
            end = beyond.get(far.id) or _border(scaled, found, home, far)
            numbers = f"{end.label}, {way.number}".removeprefix(", ")
            beyond[far.id] = replace(end, label=numbers)
            tubes = tuple(p for p in way.passed if p.kind == "tube")
            if lane is not None and home is b:
                lane = replace(lane, side=-lane.side)
            ways.append(replace(way, a=home.id, b=end.id, passed=tubes, lane=lane))
    places += [replace(p, label=f"{p.label} to {known[far].label}") for far, p in beyond.items()]
    sensors = tuple(s for s in record.sensors if s.id in found.sensors)
    zones = tuple(z for z in record.zones if set(z.places) & set(found.places))
    return replace(record, places=tuple(places), ways=tuple(ways), sensors=sensors, zones=zones)


def _in(at: Point, box: Box) -> bool:
    return box[0] < at[0] < box[2] and box[1] < at[1] < box[3]


def _border(scaled: Scaled, found: MapCrowd, home: MapPlace, far: MapPlace) -> MapPlace:
    """Where a way leaves a detail."""
    start, stop = home.at_m or (0.0, 0.0, 0.0), far.at_m or (0.0, 0.0, 0.0)
    ends = (scaled.place(start), scaled.place(stop))
    share = (inside(ends, found.frame) or (0.0, 1.0))[1]
    at: Spot3 = (
        start[0] + (stop[0] - start[0]) * share,
        start[1] + (stop[1] - start[1]) * share,
        start[2] + (stop[2] - start[2]) * share,
    )
    return MapPlace(id=f"beyond to {far.id}", label="", at_m=at, beyond=True)


# --- room -------------------------------------------------------------------------------------


class FreeRoom(Struct, frozen=True, kw_only=True):
    """A room on a sheet as it was when looked at, to be asked for boxes of many sizes."""

    room: Box
    inked: np.ndarray[tuple[int, int], np.dtype[np.int_]]
    """How many cells with ink stand over and left of each corner of a cell."""

    def box(self, need: tuple[float, float], *, high: bool = False) -> Box | None:
        """A free box of a size, the lowest (or highest), and there that nearest to the left edge.

        None: the room is nowhere so free.
        """
        wide, tall = (int(-(-size // CELL_MM)) + 1 for size in need)
        summed = self.inked
        if tall >= summed.shape[0] or wide >= summed.shape[1]:
            return None
        inside = (
            summed[tall:, wide:] - summed[:-tall, wide:] - summed[tall:, :-wide]
            + summed[:-tall, :-wide]
        )  # fmt: skip
        rows, columns = np.nonzero(inside == 0)
        if not len(rows):
            return None
        k = int(np.lexsort((columns, rows if high else -rows))[0])
        x = self.room[0] + float(columns[k]) * CELL_MM + CELL_MM / 2
        y = self.room[1] + float(rows[k]) * CELL_MM + CELL_MM / 2
        return (x, y, x + need[0], y + need[1])


def free_room(sheet: Sheet, room: Box) -> FreeRoom:
    """Where a room has nothing; a line counts where it runs, not around it."""
    rows = int((room[3] - room[1]) / CELL_MM)
    columns = int((room[2] - room[0]) / CELL_MM)
    boxes: list[Box] = []
    for item in sheet.items:
        if isinstance(item.ink, InkPath) and item.ink.fill is None:
            half = item.ink.width_mm / 2
            for a, b in item.segments or pairwise(item.ink.points):
                count = int(max(abs(a[0] - b[0]), abs(a[1] - b[1])) / CELL_MM * 2) + 1
                for k in range(count + 1):
                    x = a[0] + (b[0] - a[0]) * k / count
                    y = a[1] + (b[1] - a[1]) * k / count
                    boxes.append((x - half, y - half, x + half, y + half))
        elif isinstance(item.ink, Circle) or item.text or item.kind != "frame":
            boxes.append(item.box)
    cells = ((np.array(boxes).reshape(-1, 4) - (*room[:2], *room[:2])) / CELL_MM).astype(int)
    cells[:, 2:] = np.maximum(cells[:, 2:] + 1, cells[:, :2])
    x0, y0, x1, y1 = np.clip(cells, 0, (columns, rows, columns, rows)).T
    # each box adds one at two of its corners and takes it away at the others: summed, its cells
    edges = np.zeros((rows + 1, columns + 1), dtype=int)
    for y, x, more in ((y0, x0, 1), (y1, x1, 1), (y0, x1, -1), (y1, x0, -1)):
        np.add.at(edges, (y, x), more)
    taken = edges.cumsum(axis=0).cumsum(axis=1)[:rows, :columns] > 0
    summed = np.zeros((rows + 1, columns + 1), dtype=int)
    summed[1:, 1:] = taken.cumsum(axis=0).cumsum(axis=1)
    return FreeRoom(room=room, inked=summed)
