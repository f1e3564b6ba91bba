"""Lines cut to a box, and hatches made of such lines."""

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from elec.drawings.ink import Box, Point, Segment

HATCH_MM = 2.0
"""From line to line of a hatch."""
HATCHES: Mapping[str, tuple[tuple[int, int], ...]] = {
    "": (),
    "/": ((1, 1),),
    "\\": ((-1, 1),),
    "x": ((1, 1), (-1, 1)),
    "|": ((1, 0),),
    "-": ((0, 1),),
    "+": ((1, 0), (0, 1)),
}
"""The families of parallel lines of a hatch, by the sign that looks like it: a·x + b·y = k·step."""


def hatching(box: Box, sign: str) -> Iterator[tuple[Point, ...]]:
    """The lines of a hatch in a box; those of neighbouring boxes meet.

    >>> list(hatching((0, 0, 3, 1), "|"))
    [((0.0, 1.0), (0.0, 0.0)), ((2.0, 1.0), (2.0, 0.0))]
    """
    left, top, right, bottom = box
    reach = right - left + bottom - top
    for a, b in HATCHES[sign]:
        step = HATCH_MM * math.hypot(a, b)
        ends = [a * x + b * y for x in (left, right) for y in (top, bottom)]
        for k in range(math.ceil(min(ends) / step), math.floor(max(ends) / step) + 1):
            x, y = (left + right) / 2, (top + bottom) / 2
            off = (k * step - a * x - b * y) / (a * a + b * b)
            x, y = x + a * off, y + b * off
            line = ((x - b * reach, y + a * reach), (x + b * reach, y - a * reach))
            yield from clipped(line, box)


def clipped(points: Iterable[Point], box: Box) -> Iterator[tuple[Point, ...]]:
    """The parts of a line through points that lie in a box; no number, no line.

    >>> list(clipped([(0, 0), (2, 2), (4, 0)], (1, 0, 3, 1.5)))
    [((1.0, 1.0), (1.5, 1.5)), ((2.5, 1.5), (3.0, 1.0))]
    """
    part: list[Point] = []
    for start, end in pairwise(points):
        inside = _inside(start, end, box)
        if inside is None:
            continue
        if not part or part[-1] != inside[0]:
            if part:
                yield tuple(part)
            part = [inside[0]]
        part.append(inside[1])
    if part:
        yield tuple(part)


def _inside(start: Point, end: Point, box: Box) -> Segment | None:
    """The part of a straight line that lies in a box, after Liang and Barsky (1984)."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        begin, far = start[axis], end[axis] - start[axis]
        low, high = box[axis] - begin, box[axis + 2] - begin
        if not math.isfinite(far) or (far == 0 and not low <= 0 <= high):
            return None
        if far:
            near, off = sorted((low / far, high / far))
            first, last = max(first, near), min(last, off)
    if first >= last:
        return None
    (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
    return (
        (float(x), float(y)) if first == 0 else (x + first * dx, y + first * dy),
        (float(x + dx), float(y + dy)) if last == 1 else (x + last * dx, y + last * dy),
    )
