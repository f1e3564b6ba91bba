"""Lines that lie over one another on a map, moved beside one another.

In: the ends and widths of lines, the marks on the map. Out: the points of each line. A line is
straight from mark to mark unless it would lie on another one or run over a mark that is not its
own; then it takes the nearest free lane beside.
"""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
from msgspec import Struct

from elec.drawings.ink import Box, Point
from elec.drawings.map_inputs import Lane
from elec.kept import takes_over

LANE_MM = 0.8
LANES = 16
APART_MM = 0.6
SAMPLE_MM = 0.8
BEND = 0.3
"""What a line costs for each mm that it runs beside the straight one."""
HAIR = 1e-9
"""Costs that differ by less are the same but for rounding."""
OTHER = 12.0
"""What a line costs on the other side than it would rather lie on."""
_Array = np.ndarray[tuple[Any, ...], np.dtype[np.float64]]


class Strand(Struct, frozen=True, kw_only=True):
    """A line between two marks."""

    id: str
    a: Point
    b: Point
    width_mm: float
    """With all that is drawn beside it."""
    core_mm: float
    """The line alone, which no foreign mark may lie on."""
    lane: Lane | None = None
    """How another drawing has the line; None: it is free."""
    late: bool = False
    """Whether it gives way to the others: it has one side that it may lie on."""
    rather: int = 0
    """The side that it lies on where it has the choice; 0: either."""


@takes_over
def lanes(
    strands: tuple[Strand, ...], marks: tuple[Point, ...], radius_mm: float
) -> Mapping[str, tuple[Point, ...]]:
    """The points of every line; the short ones are placed first, before those that are late."""
    return _placed(strands, marks, radius_mm)


@lru_cache(maxsize=8)
def _placed(
    strands: tuple[Strand, ...], marks: tuple[Point, ...], radius_mm: float
) -> Mapping[str, tuple[Point, ...]]:
    """Kept, since a view is laid out for each detail that it may have, and for none."""
    found: dict[str, tuple[Point, ...]] = {}
    done = _Done(len(strands))
    for one in sorted(strands, key=lambda one: (one.late, _long_mm(one))):
        others = [m for m in marks if min(math.dist(m, one.a), math.dist(m, one.b)) > 0.01]
        best = _best(one, done, np.array(others).reshape(-1, 2), radius_mm)
        done.add(best, one.width_mm)
        found[one.id] = best
    return {one.id: found[one.id] for one in strands}


PIECES, PORTION = 3, 8
"""A line has so many pieces at most; so many lines at a time are looked at."""


class _Done:
    """The lines that are placed, and the boxes around them."""

    def __init__(self, most: int) -> None:
        self._count = 0
        self._boxes, self._wide = np.empty((most, 4)), np.empty(most)
        self._ends = np.empty((most, PIECES, 4))
        """The pieces of each, the last one again where it has fewer."""

    def add(self, points: tuple[Point, ...], width_mm: float) -> None:
        """One line more."""
        ends = [(*a, *b) for a, b in pairwise(points)]
        self._boxes[self._count] = around(points)
        self._wide[self._count] = width_mm
        self._ends[self._count] = (ends + [ends[-1]] * PIECES)[:PIECES]
        self._count += 1

    def over_mm(self, at: _Array, width_mm: float, most: float) -> float:
        """How much of a line through some points lies on others, a few at a time until `most`."""
        low, high, boxes = at.min(axis=0), at.max(axis=0), self._boxes[: self._count]
        least = (width_mm + self._wide[: self._count]) / 2 + APART_MM
        beside = np.concatenate([boxes[:, :2] - high, low - boxes[:, 2:]], axis=1).max(axis=1)
        near = np.flatnonzero(beside <= least)
        cost = 0.0
        for first in range(0, len(near), PORTION):
            which = near[first : first + PORTION]
            apart = _apart(at, self._ends[which]).min(axis=1)
            over = np.maximum(0.0, least[which, None] - apart).sum() * SAMPLE_MM
            cost += float(over)
            if cost >= most:
                break
        return cost


def around(points: Sequence[Point]) -> Box:
    """The box around points."""
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def _long_mm(one: Strand) -> float:
    return math.dist(one.a, one.b) if one.lane is None else one.lane.long_mm


def lane_of(line: Sequence[Point]) -> Lane:
    """Where a line lies.

    >>> lane_of(((0.0, 0.0), (4.0, 2.0), (6.0, 2.0), (10.0, 0.0))).side
    1
    """
    (ax, ay), (bx, by) = line[0], line[-1]
    over = (bx - ax) * (line[1][1] - ay) - (by - ay) * (line[1][0] - ax)
    side = 0 if len(line) == 2 else 1 if over > 0 else -1
    return Lane(side=side, long_mm=math.dist(line[0], line[-1]))


def _best(
    one: Strand,
    done: _Done,
    marks: _Array,
    radius_mm: float,
) -> tuple[Point, ...]:
    """The line that costs least; none further out is tried where its bend alone costs more."""
    found: tuple[Point, ...] = (one.a, one.b)
    least = math.inf
    for offset in _offsets(one.lane):
        if least <= BEND * abs(offset) - HAIR:
            break
        line = _bent(one, offset)
        cost = OTHER if offset * one.rather < 0 else 0.0
        cost += _cost(one, line, done, marks, radius_mm, most=least - cost)
        if cost < least - HAIR:  # of two sides that cost the same the first
            found, least = line, cost
    return found


def _offsets(lane: Lane | None) -> list[float]:
    """How far beside the straight line it may run; on a side that is known on no other."""
    sides = (1, -1) if lane is None else (lane.side,) if lane.side else ()
    return [0.0, *(side * LANE_MM * k for k in range(2, LANES) for side in sides)]


def _bent(one: Strand, offset: float) -> tuple[Point, ...]:
    if not offset:
        return (one.a, one.b)
    long = math.dist(one.a, one.b)
    ux, uy = (one.b[0] - one.a[0]) / long, (one.b[1] - one.a[1]) / long
    knee = min(abs(offset) + 1.0, long / 3)
    return (
        one.a,
        (one.a[0] + ux * knee - uy * offset, one.a[1] + uy * knee + ux * offset),
        (one.b[0] - ux * knee - uy * offset, one.b[1] - uy * knee + ux * offset),
        one.b,
    )


def _cost(
    one: Strand,
    line: tuple[Point, ...],
    done: _Done,
    marks: _Array,
    radius_mm: float,
    *,
    most: float,
) -> float:
    """How much of the line lies on others or on marks, and how far out it runs.

    What comes to `most` is not looked at any further.
    """
    at = _samples(line)
    cost = 0.0
    own = np.array([one.a, one.b])
    away = np.sqrt(((at[:, None] - own[None]) ** 2).sum(axis=2)).min(axis=1)
    free = at[away > radius_mm + one.width_mm / 2 + 1.0]
    if len(free):
        cost = done.over_mm(free, one.width_mm, most)
        if cost >= most:
            return cost
        reach = radius_mm + one.core_mm / 2 + 0.2
        within = (marks >= free.min(axis=0) - reach) & (marks <= free.max(axis=0) + reach)
        near = marks[within.all(axis=1)]
        gaps = np.sqrt(((free[:, None] - near[None]) ** 2).sum(axis=2)).min(axis=0)
        cost += 12.0 * float((gaps < reach).sum())
    straight = np.array([(*one.a, *one.b)])
    bend = float(_apart(np.array(line[1:-1]), straight).max()) if len(line) > 2 else 0.0
    return cost + BEND * float(bend)


def _samples(line: tuple[Point, ...]) -> _Array:
    parts = [
        np.linspace(a, b, max(2, int(math.dist(a, b) / SAMPLE_MM) + 1)) for a, b in pairwise(line)
    ]
    return np.concatenate(parts)


def _apart(at: _Array, lines: _Array) -> _Array:
    """Distances of points, along the last axis, from straight lines."""
    ax, ay, bx, by = np.moveaxis(lines[..., None], -2, 0)
    x, y, along_x, along_y = at[:, 0] - ax, at[:, 1] - ay, bx - ax, by - ay
    long = np.maximum(along_x**2 + along_y**2, 1e-12)
    share = np.minimum(np.maximum((x * along_x + y * along_y) / long, 0.0), 1.0)
    found: _Array = np.sqrt((x - share * along_x) ** 2 + (y - share * along_y) ** 2)
    return found
