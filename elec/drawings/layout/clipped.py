"""Lines cut at boxes: what lies in one and clear of others.

>>> pieces(((0.0, 0.0), (10.0, 0.0)), (1.0, -1.0, 9.0, 1.0), [(4.0, -1.0, 5.0, 1.0)])
[((1.0, 0.0), (4.0, 0.0)), ((5.0, 0.0), (9.0, 0.0))]
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from elec.drawings.ink import Box, Point, Segment

LEAST_MM = 0.4
"""What is left shorter than this is not drawn."""
_Share = tuple[float, float]


def grown(box: Box, by_mm: float) -> Box:
    """A box with room around it."""
    return (box[0] - by_mm, box[1] - by_mm, box[2] + by_mm, box[3] + by_mm)


def inside(ends: Segment, box: Box) -> _Share | None:
    """The part of a line in a box, as shares of its length (after Liang and Barsky).

    >>> inside(((0.0, 0.0), (10.0, 0.0)), (5.0, -1.0, 20.0, 1.0))
    (0.5, 1.0)
    """
    low, high = 0.0, 1.0
    for axis in (0, 1):
        start, change = ends[0][axis], ends[1][axis] - ends[0][axis]
        if abs(change) < 1e-9:
            if not box[axis] < start < box[axis + 2]:
                return None
            continue
        one, two = sorted(((box[axis] - start) / change, (box[axis + 2] - start) / change))
        low, high = max(low, one), min(high, two)
    return (low, high) if low < high else None


def pieces(
    points: Sequence[Point], room: Box, clear: Sequence[Box] = ()
) -> list[tuple[Point, ...]]:
    """The parts of a line of several points that lie in a room and in no box to keep clear."""
    found: list[list[Point]] = []
    for ends in pairwise(points):
        for low, high in _kept(ends, room, clear):
            a, b = _at(ends, low), _at(ends, high)
            if found and found[-1][-1] == a:
                found[-1].append(b)
            else:
                found.append([a, b])
    return [tuple(line) for line in found if _long(line) > LEAST_MM]


def _kept(ends: Segment, room: Box, clear: Sequence[Box]) -> Iterator[_Share]:
    within = inside(ends, room)
    if within is None:
        return
    low, end = within
    cuts = sorted(cut for box in clear if (cut := inside(ends, box)) is not None)
    for start, stop in cuts:
        if low < start < end:
            yield (low, start)
        low = max(low, stop)
    if low < end:
        yield (low, end)


def _at(ends: Segment, share: float) -> Point:
    (ax, ay), (bx, by) = ends
    if share in (0.0, 1.0):
        return ends[int(share)]
    return (ax + (bx - ax) * share, ay + (by - ay) * share)


def _long(line: Sequence[Point]) -> float:
    return sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(line))
