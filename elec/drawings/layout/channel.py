"""Boxes in columns and nets between them: level and upright lines, each alone on its way.

`columns` says where boxes and lanes lie, `tracks` where in a gap a net goes up or down. Pure: boxes
and nets in, millimetres out.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import TypeVar

from msgspec import Struct, field
from msgspec.structs import replace

from elec.drawings.layout import columns as laid
from elec.drawings.layout.columns import ColumnItem, Net, NetBox, NetPiece
from elec.drawings.layout.tracks import Upright, assign, upright
from elec.kept import takes_over

TRACK_MM = 2.4
"""Distance of two tracks."""
BEFORE_MM, BEHIND_MM = 2.0, 4.0
"""Before the first track of a gap, and behind its last at least."""
CORNER_MM = 0.01
"""Lines that meet nearer to their ends than this do not cross."""
LONG_MM = 5.0
"""A net that goes further up or down than this has its text at both ends, as has one that passes a
column."""


Point = tuple[float, float]
_Thing = TypeVar("_Thing")


class Port(Struct, frozen=True, kw_only=True):
    """Where a net meets a box; `right` is the box's side."""

    net: str
    box: str
    at: Point
    right: bool


class Routed(Struct, frozen=True, kw_only=True):
    """Where everything lies; y from the top, x from the left."""

    boxes: Mapping[str, tuple[float, float, float, float]]
    ports: tuple[Port, ...]
    lines: Mapping[str, tuple[Point, ...]]
    width_mm: float
    height_mm: float
    labels: Mapping[str, Point] = field(default_factory=dict)
    """Net → where its text begins, on its line at its left end."""
    far: Mapping[str, tuple[Point, bool]] = field(default_factory=dict)
    """Long net → where its text stands at its other end, and whether it ends there."""
    bands: Mapping[str, tuple[tuple[str, float, float], ...]] = field(default_factory=dict)
    """Box → its connectors, each between two heights."""


_Laid = tuple[list[list[ColumnItem]], list[list[NetPiece]]]


@takes_over
def route(
    boxes: Sequence[NetBox], nets: Sequence[Net], *, columns: int = 5, starts: int = 1
) -> Routed:
    """Lay boxes and nets out.

    Args:
        boxes: the boxes, in the order that breaks ties.
        nets: lines between two different boxes.
        columns: how many columns there may be.
        starts: how many orders of boxes and nets are tried; what crosses least is kept.

    Raises:
        ValueError: a net joins a box to itself, or to one that is not there.
    """
    known = {box.id for box in boxes}
    for net in nets:
        if net.a == net.b or not {net.a, net.b} <= known:
            raise ValueError(f"net {net.id} does not join two of the boxes")
    tops = tuple(NetBox(id=box.id, width_mm=0.0) for box in boxes)
    ends = tuple(replace(net, label_mm=0.0) for net in nets)
    tried = [_swept(tops, ends, columns, start) for start in range(starts)]
    start = min(range(starts), key=lambda one: tried[one].crossings)
    turned = _from(boxes, start), _from(nets, start)
    found = laid.items(*turned, laid.columns(*turned, columns))
    laid.arrange(*found, tried[start].columns)
    return _placed(found, nets)


def least_mm(boxes: Sequence[NetBox], nets: Sequence[Net], *, columns: int = 5) -> Point:
    """Width and height that a layout from the first start has at least, whatever its order."""
    items, pieces = laid.items(boxes, nets, laid.columns(boxes, nets, columns))
    by_id = {item.id: item for column in items for item in column}
    labels = {net.id: net.label_mm for net in nets}
    gaps = (_room(gap, by_id, labels) + BEFORE_MM + BEHIND_MM for gap in pieces if gap)
    wide = sum(map(_wide, items)) + sum(gaps)
    return wide, laid.least_mm(items)


def _placed(found: _Laid, nets: Sequence[Net]) -> Routed:
    laid.place(*found)
    laid.straighten(*found)
    return _drawn(*found, nets)


@lru_cache(maxsize=1 << 8)
def _swept(
    boxes: tuple[NetBox, ...], nets: tuple[Net, ...], columns: int, start: int
) -> laid.SweptOrder:
    """Boxes and nets in columns, in good order; which one depends on where one starts.

    No size counts: of one drawing with more room, or more at its lines, it is the same.
    """
    turned = _from(boxes, start), _from(nets, start)
    return laid.sweep(*laid.items(*turned, laid.columns(*turned, columns)))


def _from(things: Sequence[_Thing], start: int) -> Sequence[_Thing]:
    """From another one on: every other start goes backwards, each next two a sixth further on."""
    ways = things[:: -1 if start % 2 else 1]
    at: int = len(ways) * (start // 2) // 6
    return [*ways[at:], *ways[:at]]


class _Drawing(Struct, kw_only=True):
    """Coordinates being filled, from the left column on."""

    items: Sequence[Sequence[ColumnItem]]
    pieces: Sequence[Sequence[NetPiece]]
    by_id: Mapping[str, ColumnItem]
    labels_mm: Mapping[str, float]
    boxes: dict[str, tuple[float, float, float, float]] = field(default_factory=dict)
    ports: list[Port] = field(default_factory=list)
    parts: dict[str, list[Point]] = field(default_factory=dict)
    labels: dict[str, Point] = field(default_factory=dict)
    far: dict[str, tuple[Point, bool]] = field(default_factory=dict)

    def column(self, k: int, x: float) -> float:
        """The boxes of a column from x on; gives the x where its gap begins."""
        wide = _wide(self.items[k])
        for item in self.items[k]:
            if item.box is not None:
                edge = x + (wide - item.box.width_mm) / 2
                bottom = item.y + item.high_mm - item.box.space_mm
                top = item.y + item.head_mm
                self.boxes[item.id] = (edge, top, edge + item.box.width_mm, bottom)
        return x + wide

    def gap(self, k: int, start: float) -> float:
        """The nets of the gap right of a column; gives the x where it ends."""
        gap = self.pieces[k]
        if not gap:
            return start
        found, count = self._tracks(gap)
        room = _room(gap, self.by_id, self.labels_mm)
        first = start + room + BEFORE_MM
        again = max((self.labels_mm[p.net] for p in gap if self._long(p) and not p.turns),
                    default=0.0)  # fmt: skip
        end = first + TRACK_MM * max(count - 1, 0) + max(BEHIND_MM, again + 1.5)
        for piece, runs in zip(gap, found, strict=True):
            self._piece(piece, runs, (start, first, end))
        return end

    def _long(self, piece: NetPiece) -> bool:
        """Whether a net that ends with this piece is so long that its text stands there again."""
        a, b = self.by_id[piece.left], self.by_id[piece.right]
        if b.box is None or not self.labels_mm[piece.net]:
            return False
        y, z = a.port_y(piece.id, right=True), b.port_y(piece.id, right=piece.turns)
        return a.box is None or piece.turns or abs(y - z) > LONG_MM

    def _tracks(self, gap: Sequence[NetPiece]) -> tuple[list[list[Upright]], int]:
        """The upright pieces of a gap on their tracks, and how many tracks there are."""
        found = upright(gap, self.by_id)
        taken = [
            self.by_id[end].port_y(piece.id, right=right)
            for piece in gap
            for end, right in ((piece.left, True), (piece.right, piece.turns))
        ]
        count = assign(found, taken)
        return found, count

    def _piece(
        self, piece: NetPiece, runs: Sequence[Upright], xs: tuple[float, float, float]
    ) -> None:
        """One net through a gap: `xs` are its begin, its first track and its end."""
        start, first, end = xs
        a, b = self.by_id[piece.left], self.by_id[piece.right]
        here, there = a.port_y(piece.id, right=True), b.port_y(piece.id, right=piece.turns)
        points = [(self.boxes[a.id][2] if a.box else start, here)]
        for run in runs:
            at = first + TRACK_MM * run.track
            points += [(at, run.start), (at, run.stop)]
        if piece.turns:
            points.append((self.boxes[b.id][2], there))
        else:
            points.append((_left_edge(b, self.items[b.column], end), there))
        if a.box is not None:
            self.labels.setdefault(piece.net, (start, here))
            self.ports.append(Port(net=piece.net, box=a.id, at=points[0], right=True))
        if self._long(piece):
            far = start if piece.turns else points[-1][0]
            self.far[piece.net] = ((far, there), not piece.turns)
        if b.box is not None:
            self.ports.append(Port(net=piece.net, box=b.id, at=points[-1], right=piece.turns))
        self.parts.setdefault(piece.net, []).extend(points)


def _drawn(
    items: Sequence[Sequence[ColumnItem]], pieces: Sequence[Sequence[NetPiece]], nets: Sequence[Net]
) -> Routed:
    drawing = _Drawing(
        items=items,
        pieces=pieces,
        by_id={item.id: item for column in items for item in column},
        labels_mm={net.id: net.label_mm for net in nets},
    )
    x = 0.0
    for k in range(len(items)):
        x = drawing.gap(k, drawing.column(k, x))
    return Routed(
        boxes=drawing.boxes,
        ports=tuple(drawing.ports),
        lines={name: _clean(points) for name, points in drawing.parts.items()},
        width_mm=x,
        height_mm=max((i.y + i.high_mm for column in items for i in column), default=0.0),
        labels=drawing.labels,
        far=drawing.far,
        bands={i.id: tuple(i.spans()) for column in items for i in column if i.box is not None},
    )


def _room(
    gap: Sequence[NetPiece], by_id: Mapping[str, ColumnItem], labels_mm: Mapping[str, float]
) -> float:
    """For the longest text at the left end of a net in a gap."""
    texts = (labels_mm[p.net] for p in gap if by_id[p.left].box is not None)
    return max(texts, default=0.0)


def _wide(column: Sequence[ColumnItem]) -> float:
    return max((i.box.width_mm for i in column if i.box), default=0.0)


def _left_edge(item: ColumnItem, column: Sequence[ColumnItem], x: float) -> float:
    return x + (_wide(column) - item.box.width_mm) / 2 if item.box else x


def _clean(points: Sequence[Point]) -> tuple[Point, ...]:
    """Without points between two on one line."""
    found: list[Point] = []
    for point in points:
        if found and abs(found[-1][0] - point[0]) < 1e-9 and abs(found[-1][1] - point[1]) < 1e-9:
            continue
        while len(found) > 1 and (
            (abs(found[-2][0] - found[-1][0]) < 1e-9 and abs(found[-1][0] - point[0]) < 1e-9)
            or (abs(found[-2][1] - found[-1][1]) < 1e-9 and abs(found[-1][1] - point[1]) < 1e-9)
        ):
            found.pop()
        found.append(point)
    return tuple(found)


def crossings(lines: Mapping[str, Sequence[Point]]) -> int:
    """How often lines of different nets cross: level pieces upright ones."""
    level: list[tuple[float, float, float, str]] = []
    upright: list[tuple[float, float, float, str]] = []
    for net, points in lines.items():
        for (x, y), (x2, y2) in pairwise(points):
            if abs(y - y2) <= 1e-9:
                level.append((y, min(x, x2), max(x, x2), net))
            if abs(x - x2) <= 1e-9:
                upright.append((x, min(y, y2), max(y, y2), net))
    level.sort()
    heights = [y for y, *_ in level]
    count = 0
    for x, top, bottom, net in upright:
        for y, left, right, other in level[bisect_left(heights, top) :]:
            if y >= bottom - CORNER_MM:
                break
            if left + CORNER_MM < x < right - CORNER_MM and top + CORNER_MM < y and net != other:
                count += 1
    return count


__all__ = ["Net", "NetBox", "Port", "Routed", "crossings", "least_mm", "route"]
