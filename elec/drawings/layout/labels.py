"""Where texts go on a map: near what they name, on no line, no mark and no other text.

In: labels with their anchors, what is in the way. Out: a box for each, and a leader where it stands
apart. Sixteen directions and some distances are tried around each anchor; what finds no place goes
first the next time.
"""

import math
from collections.abc import Iterable, Sequence
from functools import cached_property
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
HAIR_MM = 1e-6
"""Beyond all rounding: what lies further apart than this does not touch."""
TRIES, LEAST_TRIES = 12, 2
MOST_STOOD = 320
"""So many texts are put somewhere in all tries together: where there are many, fewer tries."""
MOST_TEXTS = 150
"""No sheet has room for more; what is more has none."""
GOOD, FEW = 9.0, 1
"""A place that costs less is good; a label with no more than FEW has few."""
CROSSED, EDGED = 30.0, 3.0
"""What a leader across a line and a text on an edge cost, as mm farther away."""
MOVES, ROUNDS = 30, 4
"""So many places are tried for a text of which a leader crosses a line, and so often."""
_Boxes = np.ndarray[tuple[Any, ...], np.dtype[np.float64]]
_Flags = np.ndarray[tuple[Any, ...], np.dtype[np.bool_]]
_Numbers = np.ndarray[tuple[Any, ...], np.dtype[np.intp]]
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
    return _moved(_Ground(room, marks, lines, edges).placed(labels)).standing()


@takes_over
def stand_shortened(
    lengths: Sequence[Sequence[Label]],
    room: Box,
    *,
    marks: Sequence[Box],
    lines: Sequence[Thick],
    edges: Sequence[Thick] = (),
    whole: bool = False,
) -> tuple[int, dict[str, Standing]]:
    """The first of several sets of labels, longest texts first, of which all find a place.

    Else the one of which fewest find none; `whole`: else no places, which is found sooner. Gives
    which it is, and the places.
    """
    ground = _Ground(room, marks, lines, edges)
    best: tuple[int, int, _Stood] | None = None
    for which, labels in enumerate(lengths):
        if whole and not ground.may_hold(labels):
            continue
        found = ground.placed(labels)
        missing = len(labels) - len(found.at)
        if best is None or missing < best[0]:
            best = (missing, which, found)
        if not missing:
            break
    if best is None or (whole and best[0]):
        return 0, {}
    # what moves is never lost, so the others need not be moved
    return best[1], _moved(best[2]).standing()


class _Ground:
    """What is in the way of texts, and where each label can stand by that."""

    def __init__(
        self, room: Box, marks: Sequence[Box], lines: Sequence[Thick], edges: Sequence[Thick]
    ) -> None:
        self._room, self._marks = room, np.array(marks).reshape(-1, 4)
        self._lines, self._edges = _Lines(lines), _Lines(edges)
        self._tried: dict[Label, _Tried] = {}

    def may_hold(self, labels: Sequence[Label]) -> bool:
        """Whether all labels could stand: none is too many, and each has a place of its own."""
        return len(labels) <= MOST_TEXTS and all(len(self._of(label).boxes) for label in labels)

    def placed(self, labels: Sequence[Label]) -> "_Stood":
        """A place for every label that finds one beside the others."""
        return _placed({label.id: self._of(label) for label in labels[:MOST_TEXTS]})

    def _of(self, label: Label) -> _Tried:
        """Where a label can stand, found once."""
        if label not in self._tried:
            self._tried[label] = _tried(label, self._room, self._marks, self._lines, self._edges)
        return self._tried[label]


def _placed(tried: dict[str, _Tried]) -> "_Stood":
    """A place for every label that finds one; what finds none goes first the next time."""
    # What has few good places near takes them before others that have more.
    order = sorted(tried, key=lambda name: int((tried[name].cost < GOOD).sum()) > FEW)
    spots = _Spots(tried)
    best: dict[str, int] = {}
    for _ in range(max(LEAST_TRIES, min(TRIES, MOST_STOOD // max(1, len(tried))))):
        found: dict[str, int] = {}
        missing: list[str] = []
        blocks = spots.counted(())
        for name in order:
            spot = spots.first_free(name, blocks)
            if spot is None:
                missing.append(name)
            else:
                found[name] = spot
                blocks[spots.blocked_by(spot)] += 1
        if len(found) > len(best):
            best = found
        if not any(len(tried[name].boxes) for name in missing):
            break  # what has no place at all has none the next time either
        order = missing + [name for name in order if name not in missing]
    return _Stood(best, spots)


def _moved(stood: "_Stood") -> "_Stood":
    """Texts of which a leader crosses a line at places of less cost, where others give way to them.

    Only where those find another place, and all together cost less than before.
    """
    spots = stood.spots
    for _ in range(ROUNDS):
        before = stood
        for name in sorted(before.at, key=lambda name: -spots.cost(before.at[name])):
            tries = spots.uncrossed(name) if spots.crosses(stood.at[name]) else []
            while tries:
                stood, tries = stood.bettered(name, tries)
        if stood is before:
            break
    return stood


class _Stood:
    """Texts that stand, what they cost together, how many of them are in the way of each place."""

    def __init__(self, at: dict[str, int], spots: "_Spots") -> None:
        self.at, self.spots = at, spots
        self.cost = sum(map(spots.cost, at.values()))

    def standing(self) -> dict[str, Standing]:
        """The texts as the drawing has them."""
        return {name: self.spots.standing(spot) for name, spot in self.at.items()}

    @cached_property
    def _blocks(self) -> _Numbers:
        return self.spots.counted(self.at.values())

    def bettered(self, name: str, tries: list[int]) -> tuple["_Stood", list[int]]:
        """With a text at the first place of some where all cost less, and the places behind it.

        Where there is none, it is as it was, with no place behind.
        """
        names = list(self.at)
        goes = self.spots.blocked(np.array(tries), np.array(list(self.at.values())))
        goes[:, names.index(name)] = False
        moving = [names[column] for column in np.flatnonzero(goes.any(axis=0))]
        left = self.spots.left_free(tries, moving)
        for row, spot in enumerate(tries):
            away = [names[column] for column in np.flatnonzero(goes[row])]
            moved = self._with(name, spot, {n: left[n][row] for n in away})
            if moved is not None and moved.cost < self.cost - HAIR_MM:
                return moved, tries[row + 1 :]
        return self, []

    def _with(self, name: str, spot: int, away: dict[str, _Flags]) -> "_Stood | None":
        """A text at another place; what goes for it goes to places that it leaves free, in turn.

        None where one finds no place, or all cost no less: at first as if what goes were not in the
        way of one another, which few come through.
        """
        spots = self.spots
        blocks = self._blocks.copy()
        for other in (name, *away):
            blocks[spots.blocked_by(self.at[other])] -= 1
        least = self.cost - spots.cost(self.at[name]) + spots.cost(spot)
        for other, left in away.items():
            free = spots.first_free(other, blocks, left)
            if free is None:
                return None
            least += spots.cost(free) - spots.cost(self.at[other])
        if least >= self.cost:
            return None
        moved = {name: spot}
        for other in sorted(away, key=lambda n: -spots.cost(self.at[n])):
            free = spots.first_free(other, blocks, away[other])
            if free is None:
                return None
            moved[other] = free
            for more in away.keys() - moved.keys():
                away[more] = away[more] & spots.left_free([free], [more])[more][0]
        return _Stood({n: moved.get(n, at) for n, at in self.at.items()}, spots)


def _tried(label: Label, room: Box, marks: _Boxes, lines: "_Lines", edges: "_Lines") -> _Tried:
    boxes, leaders, led, cost = _candidates(label)
    reach = _around(np.concatenate([boxes, leaders]))[None] + _CLEAR
    good = (boxes[:, 0] >= room[0]) & (boxes[:, 1] >= room[1])
    good &= (boxes[:, 2] <= room[2]) & (boxes[:, 3] <= room[3])
    left = np.flatnonzero(good)  # step by step fewer, each looked at as long as it is one
    there = _near(reach, marks)
    if len(there):
        left = left[~_overlap(boxes[left] + _CLEAR, there).any(axis=1)]
        anchors = np.array(label.anchors)
        inside = (
            (there[None, :, 0] <= anchors[:, None, 0])
            & (anchors[:, None, 0] <= there[None, :, 2])
            & (there[None, :, 1] <= anchors[:, None, 1])
            & (anchors[:, None, 1] <= there[None, :, 3])
        ).any(axis=0)
        away = left[led[left]]
        cut, _ = _cuts(leaders[away], there[~inside])
        left = np.setdiff1d(left, away[cut])
    flat, halves = lines.near(reach)
    if len(flat):
        _, touched = _cuts(flat, boxes[left] + _CLEAR, halves)
        left = np.delete(left, touched)
        away = left[led[left]]
        cost[away] += CROSSED * _crossed(leaders[away], flat, halves)
    flat, _ = edges.near(reach)
    if len(flat):
        _, touched = _cuts(flat, boxes[left] + _CLEAR)
        cost[left[np.unique(touched)]] += EDGED
    left = left[np.argsort(cost[left], kind="stable")]
    return _Tried(boxes=boxes[left], leaders=leaders[left], led=led[left], cost=cost[left])


class _Lines:
    """Lines in the way, from which those near a label are picked."""

    def __init__(self, lines: Sequence[Thick]) -> None:
        self._flat = np.array([_flat(line.ends) for line in lines]).reshape(-1, 4)
        self._halves = np.array([line.half_mm for line in lines])
        self._boxes = _boxed(self._flat, self._halves[:, None] + CLEAR_MM)

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


def _boxed(lines: _Boxes, beside: _Boxes | float = HAIR_MM) -> _Boxes:
    """The boxes around lines, and so much beside them: one number, or one for each in a column."""
    a, b = lines[:, :2], lines[:, 2:]
    return np.concatenate([np.minimum(a, b) - beside, np.maximum(a, b) + beside], axis=1)


def _crossed(leaders: _Boxes, lines: _Boxes, halves: _Boxes) -> _Boxes:
    """How many lines each leader crosses, and how much of it, without its start, lies on lines."""
    which, other = np.nonzero(
        _overlap(_boxed(leaders), _boxed(lines, halves[:, None] + CLEAR_MM / 2))
    )
    lead, line = leaders[which], lines[other]
    total = np.bincount(which[_meets(lead, line)], minlength=len(leaders)).astype(float)
    hidden = np.zeros(len(leaders))
    along_x, along_y = line[:, 2] - line[:, 0], line[:, 3] - line[:, 1]
    long = np.maximum(along_x**2 + along_y**2, 1e-9)
    for part in (0.4, 0.7, 1.0):
        at = lead[:, :2] + part * (lead[:, 2:] - lead[:, :2])
        away_x, away_y = at[:, 0] - line[:, 0], at[:, 1] - line[:, 1]
        share = np.clip((away_x * along_x + away_y * along_y) / long, 0.0, 1.0)
        apart = np.sqrt((away_x - share * along_x) ** 2 + (away_y - share * along_y) ** 2)
        hidden[np.unique(which[apart < halves[other] + CLEAR_MM / 2])] += 1.0
    return total + hidden


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


class _Spots:
    """The places of all labels, numbered through, and which of them a text leaves no room for."""

    def __init__(self, tried: dict[str, _Tried]) -> None:
        nothing = np.empty((0, 4))
        self._boxes = np.concatenate([nothing, *(one.boxes for one in tried.values())])
        self._leaders = np.concatenate([nothing, *(one.leaders for one in tried.values())])
        self._led = np.concatenate([np.empty(0, bool), *(one.led for one in tried.values())])
        self._edges = self._boxes.T.copy()
        self._ways = np.where(self._led, _boxed(self._leaders).T, math.nan)
        """The edges of boxes around leaders; what has none is over nothing."""
        low, high = np.fmin(self._edges, self._ways)[:2], np.fmax(self._edges, self._ways)[2:]
        self._whole = np.concatenate([low, high])
        """The edges of boxes around texts with their leaders."""
        self._numbers = np.arange(len(self._boxes))
        self._cost = np.concatenate([np.empty(0), *(one.cost for one in tried.values())])
        self._of: dict[str, slice] = {}
        self._blocked: dict[int, _Numbers] = {}
        first = 0
        for name, one in tried.items():
            self._of[name] = slice(first, first + len(one.boxes))
            first += len(one.boxes)

    def cost(self, spot: int) -> float:
        """What a place costs."""
        return float(self._cost[spot])

    def crosses(self, spot: int) -> bool:
        """Whether a place has a leader across a line."""
        return self.cost(spot) >= CROSSED

    def uncrossed(self, name: str) -> list[int]:
        """The first places of a label with no such leader."""
        own = self._of[name]
        return list(range(own.start, min(own.stop, own.start + MOVES)))

    def counted(self, standing: Iterable[int]) -> _Numbers:
        """How many of the texts that stand at some places are in the way of each place."""
        blocks = np.zeros(len(self._boxes), dtype=np.intp)
        for spot in standing:
            blocks[self.blocked_by(spot)] += 1
        return blocks

    def first_free(self, name: str, blocks: _Numbers, left: _Flags | bool = True) -> int | None:
        """The first place of a label that no text blocks, of those that are left free besides."""
        own = self._of[name]
        free = (blocks[own] == 0) & left
        at = int(free.argmax()) if len(free) else 0
        return own.start + at if len(free) and free[at] else None

    def left_free(self, spots: list[int], names: Sequence[str]) -> dict[str, _Flags]:
        """For each label which of its places, a column each, texts at some, a row each, leave."""
        owns = [self._numbers[self._of[name]] for name in names]
        free = ~self.blocked(np.array(spots), np.concatenate([self._numbers[:0], *owns]))
        ends = np.cumsum([len(own) for own in owns])[:-1]
        return dict(zip(names, np.split(free, ends, axis=1), strict=False))

    def blocked_by(self, spot: int) -> _Numbers:
        """The places that a text at one leaves no room for."""
        if spot not in self._blocked:
            near = np.flatnonzero(_over(self._whole[:, [spot]] + _CLEAR[:, None], self._whole)[0])
            self._blocked[spot] = near[self.blocked(np.array([spot]), near)[0]]
        return self._blocked[spot]

    def blocked(self, spots: _Numbers, others: _Numbers) -> _Flags:
        """Whether a text at some places, a row each, leaves no room for others, a column each."""
        boxes, ways = self._edges[:, others], self._ways[:, others]
        clear, along = self._edges[:, spots] + _CLEAR[:, None], self._ways[:, spots]
        found = _over(clear, boxes)
        row, column = np.nonzero(_over(clear, ways) & ~found)
        found[row, column] = _clip(self._leaders[others[column]], clear.T[row])
        row, column = np.nonzero(_over(along + _CLEAR[:, None] / 2, boxes) & ~found)
        found[row, column] = _clip(
            self._leaders[spots[row]], self._boxes[others[column]] + _CLEAR / 2
        )
        row, column = np.nonzero(_over(along, ways) & ~found)
        found[row, column] = _meets(self._leaders[others[column]], self._leaders[spots[row]])
        return found

    def standing(self, spot: int) -> Standing:
        """A place as the drawing has it."""
        x0, y0, x1, y1 = self._boxes[spot].tolist()
        a, b, c, d = self._leaders[spot].tolist()
        return Standing(box=(x0, y0, x1, y1), leader=((a, b), (c, d)) if self._led[spot] else None)


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


def _over(a: _Boxes, b: _Boxes) -> _Flags:
    """Which boxes of a overlap which of b, given by their left, upper, right and lower edges."""
    left, upper, right, lower = a[:, :, None]
    over: _Flags = (left < b[2]) & (b[0] < right) & (upper < b[3]) & (b[1] < lower)
    return over


def _cuts(lines: _Boxes, boxes: _Boxes, halves: _Boxes | None = None) -> tuple[_Numbers, _Numbers]:
    """Which lines, half so thick, have a part in which boxes: pairs of their numbers.

    Only where the box around a line overlaps the other is it clipped.
    """
    around = _boxed(lines, HAIR_MM if halves is None else halves[:, None] + HAIR_MM)
    which, other = np.nonzero(_overlap(around, boxes))
    found = _clip(lines[which], boxes[other], 0.0 if halves is None else halves[which])
    return which[found], other[found]


def _clip(lines: _Boxes, boxes: _Boxes, grow: _Boxes | float = 0.0) -> _Flags:
    """Of pairs, whether the line has a part in the box, grown by so much; either may be one alone.

    After Liang and Barsky.
    """
    near: _Boxes | float = 0.0
    far: _Boxes | float = 1.0
    apart: _Flags | bool = False
    for axis in (0, 1):
        start = lines[..., axis]
        change = lines[..., axis + 2] - start
        low = boxes[..., axis] - grow - start
        high = boxes[..., axis + 2] + grow - start
        flat = np.abs(change) < 1e-9
        safe = np.where(flat, 1.0, change)
        one, two = low / safe, high / safe
        near = np.where(flat, near, np.maximum(near, np.minimum(one, two)))
        far = np.where(flat, far, np.minimum(far, np.maximum(one, two)))
        apart = apart | flat & ((low >= 0) | (high <= 0))
    found: _Flags = ~np.asarray(apart) & (near < far)
    return found


def _meets(lines: _Boxes, others: _Boxes) -> _Flags:
    """Of pairs of lines, which cross."""
    cx, cy, dx, dy = others.T
    ax, ay, bx, by = lines.T
    one = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    two = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    three = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    four = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    found: _Flags = (one * two < 0) & (three * four < 0)
    return found
