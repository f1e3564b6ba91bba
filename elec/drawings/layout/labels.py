"""Where texts go on a map: near what they name, on no line, no mark and no other text.

In: labels with their anchors, what is in the way. Out: a box for each, and a leader where it stands
apart. Sixteen directions and some distances are tried around each anchor; what finds no place goes
first the next time.
"""

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from msgspec import Struct

from elec.drawings.ink import Box, Point, Segment
from elec.kept import takes_over

DIRECTIONS = 16
NEAR_MM = (0.9, 3.0, 6.0, 10.0, 15.0)
FAR_MM = (*NEAR_MM, 21.0, 28.0, 36.0)
CLEAR_MM = 0.6
"""Between a text and anything else."""
TRIES, LEAST_TRIES = 12, 2
MOST_STOOD = 320
"""So many texts are put somewhere in all tries together: where there are many, fewer tries."""
MOST_TEXTS = 150
"""No sheet has room for more; what is more has none."""
GOOD, FEW = 9.0, 1
"""A place that costs less is good; a label with no more than FEW has few."""
CROSSED, EDGED = 12.0, 3.0
"""What a leader across a line and a text on an edge cost, as mm farther away."""
_Boxes = np.ndarray[tuple[Any, ...], np.dtype[np.float64]]
_Flags = np.ndarray[tuple[Any, ...], np.dtype[np.bool_]]
_CLEAR = np.array([-CLEAR_MM, -CLEAR_MM, CLEAR_MM, CLEAR_MM])


class Label(Struct, frozen=True, kw_only=True):
    """A text block and the points it may stand at; `reach_mm` is the radius of their mark."""

    id: str
    wide_mm: float
    high_mm: float
    anchors: tuple[Point, ...]
    reach_mm: float = 0.0


class Thick(Struct, frozen=True, kw_only=True):
    """A line in the way with half its thickness."""

    ends: Segment
    half_mm: float = 0.0


def segments_mm(one: Segment, two: Segment) -> float:
    """How far apart two straight pieces are; 0 where they cross.

    >>> segments_mm(((0, 0), (4, 0)), ((2, 3), (2, 5)))
    3.0
    """
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = two
    first = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    second = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    third = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    fourth = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    if first * second < 0 and third * fourth < 0:
        return 0.0
    ends = ((one[0], two), (one[1], two), (two[0], one), (two[1], one))
    return min(_point_mm(at, line) for at, line in ends)


def _point_mm(at: Point, line: Segment) -> float:
    (ax, ay), (bx, by) = line
    x, y = bx - ax, by - ay
    long = x * x + y * y
    share = ((at[0] - ax) * x + (at[1] - ay) * y) / long if long else 0.0
    share = min(1.0, max(0.0, share))
    return math.hypot(ax + x * share - at[0], ay + y * share - at[1])


class Standing(Struct, frozen=True, kw_only=True):
    """Where a label stands."""

    box: Box
    leader: Segment | None = None


class _Tried(Struct, frozen=True, kw_only=True):
    """All candidates of one label, the cheapest first: boxes, leaders, what each costs."""

    boxes: _Boxes
    leaders: _Boxes
    led: _Flags
    cost: _Boxes
    reach: _Boxes
    """The box around all of them: what lies outside it is in the way of none."""


@takes_over
def stand(
    labels: Sequence[Label],
    room: Box,
    *,
    marks: Sequence[Box],
    lines: Sequence[Thick],
    edges: Sequence[Thick] = (),
) -> dict[str, Standing]:
    """A place for every label that finds one.

    Args:
        labels: the most important first.
        room: nothing stands outside it.
        marks: boxes that no text and no leader may touch.
        lines: lines that no text may touch; a leader may cross them where it must.
        edges: lines that texts should rather not touch.
    """
    thick, thin = _Lines(lines), _Lines(edges)
    some = labels[:MOST_TEXTS]
    tried = {label.id: _tried(label, room, marks, thick, thin) for label in some}
    # What has few good places near takes them before others that have more.
    order = sorted(tried, key=lambda name: int((tried[name].cost < GOOD).sum()) > FEW)
    best: dict[str, Standing] = {}
    for _ in range(max(LEAST_TRIES, min(TRIES, MOST_STOOD // max(1, len(some))))):
        found: dict[str, Standing] = {}
        taken = _Taken(len(labels))
        missing: list[str] = []
        for name in order:
            one = _choose(tried[name], taken)
            if one is None:
                missing.append(name)
            else:
                found[name] = one
                taken.add(one)
        if len(found) > len(best):
            best = found
        if not any(len(tried[name].boxes) for name in missing):
            break  # what has no place at all has none the next time either
        order = missing + [name for name in order if name not in missing]
    return best


def _tried(
    label: Label,
    room: Box,
    marks: Sequence[Box],
    lines: "_Lines",
    edges: "_Lines",
) -> _Tried:
    boxes, leaders, led, cost = _candidates(label)
    reach = _around(np.concatenate([boxes, leaders]))[None] + _CLEAR
    good = (boxes[:, 0] >= room[0]) & (boxes[:, 1] >= room[1])
    good &= (boxes[:, 2] <= room[2]) & (boxes[:, 3] <= room[3])
    left = np.flatnonzero(good)  # step by step fewer, each looked at as long as it is one
    there = _near(reach, np.array(marks).reshape(-1, 4))
    if len(there):
        left = left[~_overlap(boxes[left] + _CLEAR, there).any(axis=1)]
        anchors = np.array(label.anchors)
        inside = (
            (there[None, :, 0] <= anchors[:, None, 0])
            & (anchors[:, None, 0] <= there[None, :, 2])
            & (there[None, :, 1] <= anchors[:, None, 1])
            & (anchors[:, None, 1] <= there[None, :, 3])
        ).any(axis=0)
        left = left[~(led[left] & _cuts(leaders[left], there[~inside]).any(axis=1))]
    flat, halves = lines.near(reach)
    if len(flat):
        left = left[~_cuts(flat, boxes[left] + _CLEAR, halves).any(axis=0)]
        away = left[led[left]]
        crossed = _meet(leaders[away], flat).sum(axis=1).astype(float)
        cost[away] += CROSSED * (crossed + _hidden(leaders[away], flat, halves))
    flat, _ = edges.near(reach)
    if len(flat):
        cost[left] += EDGED * _cuts(flat, boxes[left] + _CLEAR).any(axis=0)
    left = left[np.argsort(cost[left], kind="stable")]
    return _Tried(
        boxes=boxes[left], leaders=leaders[left], led=led[left], cost=cost[left], reach=reach
    )


class _Lines:
    """Lines in the way, from which those near a label are picked."""

    def __init__(self, lines: Sequence[Thick]) -> None:
        self._flat = np.array([_flat(line.ends) for line in lines]).reshape(-1, 4)
        self._halves = np.array([line.half_mm for line in lines])
        ends = np.sort(self._flat.reshape(-1, 2, 2), axis=1).reshape(-1, 4)
        wide = self._halves[:, None] + CLEAR_MM
        self._boxes = ends + np.concatenate([-wide, -wide, wide, wide], axis=1)

    def near(self, reach: _Boxes) -> tuple[_Boxes, _Boxes]:
        """Those that come into a box, and half their thickness."""
        which = _overlap(self._boxes, reach)[:, 0]
        return self._flat[which], self._halves[which]


def _around(boxes: _Boxes) -> _Boxes:
    """The box around others, whichever way round their corners stand."""
    x, y = boxes[:, ::2], boxes[:, 1::2]
    return np.array([x.min(), y.min(), x.max(), y.max()])


def _near(reach: _Boxes, boxes: _Boxes) -> _Boxes:
    """The boxes that overlap another one."""
    return boxes[_overlap(boxes, reach)[:, 0]]


def _hidden(leaders: _Boxes, lines: _Boxes, halves: _Boxes) -> _Boxes:
    """How much of each leader, without its start, lies on lines and is not seen there."""
    total = np.zeros(len(leaders))
    along_x, along_y = lines[:, 2] - lines[:, 0], lines[:, 3] - lines[:, 1]
    long = np.maximum(along_x**2 + along_y**2, 1e-9)
    for part in (0.4, 0.7, 1.0):
        at = leaders[:, :2] + part * (leaders[:, 2:] - leaders[:, :2])
        away_x, away_y = at[:, :1] - lines[:, 0], at[:, 1:] - lines[:, 1]
        share = np.clip((away_x * along_x + away_y * along_y) / long, 0.0, 1.0)
        apart = np.sqrt((away_x - share * along_x) ** 2 + (away_y - share * along_y) ** 2)
        total += (apart < halves + CLEAR_MM / 2).any(axis=1)
    return total


_TURNED = [2 * math.pi * turn / DIRECTIONS for turn in range(DIRECTIONS)]
_ACROSS = np.array([math.cos(angle) for angle in _TURNED])
_DOWN = np.array([math.sin(angle) for angle in _TURNED])
_BESIDE = 0.05 * np.array([min(turn, DIRECTIONS - turn) for turn in range(DIRECTIONS)])
_FAR = np.array(FAR_MM)


def _candidates(label: Label) -> tuple[_Boxes, _Boxes, _Flags, _Boxes]:
    """Boxes around each anchor at each distance in each direction, their leaders and costs."""
    anchors = np.array(label.anchors)
    x, y = anchors[:, 0, None, None], anchors[:, 1, None, None]
    reach = (label.reach_mm + _FAR)[None, :, None]
    wide, high = label.wide_mm / 2, label.high_mm / 2
    middle_x = x + _ACROSS * reach + _side(_ACROSS) * wide
    middle_y = y + _DOWN * reach + _side(_DOWN) * high
    boxes = np.stack([middle_x - wide, middle_y - high, middle_x + wide, middle_y + high], axis=-1)
    to_x = np.clip(x, boxes[..., 0], boxes[..., 2]) - x
    to_y = np.clip(y, boxes[..., 1], boxes[..., 3]) - y
    apart = np.hypot(to_x, to_y)
    apart[apart == 0.0] = 1.0
    start = label.reach_mm / apart
    gap = np.maximum(start, 1 - CLEAR_MM / apart)
    leaders = np.stack(
        [x + to_x * start, y + to_y * start, x + to_x * gap, y + to_y * gap], axis=-1
    )
    ranks = 0.4 * np.arange(len(anchors))[:, None, None]
    cost = np.broadcast_to(_FAR[None, :, None] + ranks + _BESIDE, apart.shape)
    led = apart > label.reach_mm + 2.6
    return boxes.reshape(-1, 4), leaders.reshape(-1, 4), led.ravel(), cost.ravel().copy()


def _side(share: _Boxes) -> _Boxes:
    """How far a box moves to one side of its anchor: fully already at a slant."""
    return np.clip(1.6 * share, -1.0, 1.0)


class _Taken:
    """The texts and leaders that stand already."""

    def __init__(self, most: int) -> None:
        self._boxes, self._lines = np.empty((most, 4)), np.empty((most, 4))
        self._texts = self._leaders = 0

    def add(self, one: Standing) -> None:
        """One more."""
        self._boxes[self._texts] = one.box
        self._texts += 1
        if one.leader is not None:
            self._lines[self._leaders] = _flat(one.leader)
            self._leaders += 1

    def first_free(self, tried: _Tried) -> int | None:
        """The first place of a label that they leave free."""
        there = _near(tried.reach, self._boxes[: self._texts] + _CLEAR)
        lines = self._lines[: self._leaders]
        lines = lines[
            _overlap(np.sort(lines.reshape(-1, 2, 2), axis=1).reshape(-1, 4), tried.reach)[:, 0]
        ]
        first, count = 0, FIRST
        while first < len(tried.boxes):
            some = np.arange(first, min(first + count, len(tried.boxes)))
            some = some[~_overlap(tried.boxes[some], there).any(axis=1)]
            some = some[~_cuts(lines, tried.boxes[some] + _CLEAR / 2).any(axis=0)]
            led = some[tried.led[some]]
            hits = _cuts(tried.leaders[led], there).any(axis=1)
            hits |= _meet(tried.leaders[led], lines).any(axis=1)
            some = np.setdiff1d(some, led[hits], assume_unique=True)
            if len(some):
                return int(some[0])
            first, count = first + count, 4 * count
        return None


FIRST = 24
"""So many places are looked at first, then four times as many more."""


def _choose(tried: _Tried, taken: _Taken) -> Standing | None:
    at = taken.first_free(tried)
    if at is None:
        return None
    box, lead = tried.boxes[at], tried.leaders[at]
    leader = ((float(lead[0]), float(lead[1])), (float(lead[2]), float(lead[3])))
    return Standing(
        box=(float(box[0]), float(box[1]), float(box[2]), float(box[3])),
        leader=leader if tried.led[at] else None,
    )


def _flat(ends: Segment) -> tuple[float, float, float, float]:
    return (*ends[0], *ends[1])


def _overlap(a: _Boxes, b: _Boxes) -> _Flags:
    """Which boxes of a overlap which of b."""
    found: _Flags = (
        (a[:, None, 0] < b[None, :, 2])
        & (b[None, :, 0] < a[:, None, 2])
        & (a[:, None, 1] < b[None, :, 3])
        & (b[None, :, 1] < a[:, None, 3])
    )
    return found


def _cuts(lines: _Boxes, boxes: _Boxes, halves: _Boxes | None = None) -> _Flags:
    """Which lines, half so thick, have a part in which boxes (clipping after Liang and Barsky)."""
    grow = 0.0 if halves is None else halves[:, None]
    near = np.zeros((len(lines), len(boxes)))
    far = np.ones_like(near)
    apart = np.zeros(near.shape, dtype=bool)
    for axis in (0, 1):
        start = lines[:, None, axis]
        change = lines[:, None, axis + 2] - start
        low = boxes[None, :, axis] - grow - start
        high = boxes[None, :, axis + 2] + grow - start
        flat = np.abs(change) < 1e-9
        safe = np.where(flat, 1.0, change)
        one, two = low / safe, high / safe
        near = np.where(flat, near, np.maximum(near, np.minimum(one, two)))
        far = np.where(flat, far, np.minimum(far, np.maximum(one, two)))
        apart |= flat & ((low >= 0) | (high <= 0))
    found: _Flags = ~apart & (near < far)
    return found


def _meet(lines: _Boxes, others: _Boxes) -> _Flags:
    """Which lines cross which others."""
    cx, cy, dx, dy = others.T
    ax, ay, bx, by = lines.T[:, :, None]
    one = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    two = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    three = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    four = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    found: _Flags = (one * two < 0) & (three * four < 0)
    return found
