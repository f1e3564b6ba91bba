"""Tracks in the gap between two columns: where the upright piece of each net lies.

Two level pieces at one height must not meet: the one that comes from the left ends on a track left
of the other's. A ring of such demands is broken by a jog.
"""

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from elec.drawings.layout.columns import ColumnItem, NetPiece

PASSES = 8
"""So often every run is moved; mostly the third changes nothing."""
CLEAR_MM = 1.6
"""Two level pieces nearer than this count as at one height."""
STACKED_MM = 30.0
"""Upright pieces on one track lie so far apart at least, else the eye takes them for one line."""


class Upright(Struct, kw_only=True):
    """An upright piece on a track: from one height to another; `after` must lie left of it."""

    piece: str
    start: float
    stop: float
    turns: bool
    track: int = 0


def upright(gap: Sequence[NetPiece], by_id: Mapping[str, ColumnItem]) -> list[list[Upright]]:
    """The upright pieces of each net of a gap, from left to right; none for a straight one."""
    found: list[list[Upright]] = []
    for piece in gap:
        a = by_id[piece.left].port_y(piece.id, right=True)
        b = by_id[piece.right].port_y(piece.id, right=piece.turns)
        straight = not piece.turns and abs(a - b) < 0.01
        found.append(
            [] if straight else [Upright(piece=piece.id, start=a, stop=b, turns=piece.turns)]
        )
    return found


def _lefts(run: Upright) -> tuple[float, ...]:
    """The heights at which a run's level pieces lie left of its track."""
    return (run.start, run.stop) if run.turns else (run.start,)


def _rights(run: Upright) -> tuple[float, ...]:
    return () if run.turns else (run.stop,)


def demands(nets: Sequence[Sequence[Upright]]) -> dict[int, set[int]]:
    """Run → runs that must lie left of it: what it meets at one height on its right side.

    Runs are counted through all nets; those of one net lie from left to right as they stand.
    """
    runs = [run for net in nets for run in net]
    found: dict[int, set[int]] = {i: set() for i in range(len(runs))}
    heights = sorted((y, i) for i, run in enumerate(runs) for y in _lefts(run))
    for k, other in enumerate(runs):
        for z in _rights(other):
            for at in range(bisect_left(heights, (z - CLEAR_MM, 0)), len(heights)):
                y, i = heights[at]
                if y - z >= CLEAR_MM:
                    break
                if abs(y - z) < CLEAR_MM and runs[i].piece != other.piece:
                    found[k].add(i)
    first = 0
    for net in nets:
        for i in range(first, first + len(net) - 1):
            found[i + 1].add(i)
        first += len(net)
    return found


def _ring(before: Mapping[int, set[int]]) -> set[int]:
    """The runs of which no order exists; empty where there is one."""
    left = {k: set(v) for k, v in before.items()}
    while True:
        free = [k for k, v in left.items() if not v & left.keys()]
        if not free:
            return set(left)
        for k in free:
            del left[k]


def assign(nets: list[list[Upright]], taken: Iterable[float]) -> int:
    """Give every run its track; rings are broken by a jog. Gives the count of tracks."""
    heights = list(taken)
    while True:
        runs = [run for net in nets for run in net]
        before = demands(nets)
        ring = _ring(before)
        if not ring:
            break
        candidates = [i for i in ring if not runs[i].turns]
        worst = runs[max(candidates, key=lambda i: abs(runs[i].start - runs[i].stop))]
        net = next(n for n in nets if any(run is worst for run in n))
        level = _free_level((worst.start + worst.stop) / 2, heights)
        heights.append(level)
        at = next(i for i, run in enumerate(net) if run is worst)
        jog = Upright(piece=worst.piece, start=level, stop=worst.stop, turns=False)
        worst.stop = level
        net.insert(at + 1, jog)
    return _fill(runs, before)


def _free_level(wanted: float, heights: Sequence[float]) -> float:
    """A height clear of all others, as near as may be."""
    step = 0
    while True:
        for sign in (1, -1):
            level = wanted + sign * step * 0.4
            if all(abs(level - y) >= CLEAR_MM for y in heights):
                return level
        step += 1


def _fill(runs: Sequence[Upright], before: Mapping[int, set[int]]) -> int:
    """Tracks from the left in an order with few crossings; gives their count.

    Runs share a track where they lie clear of each other and cross as little in either order.
    """
    costs = [[_crossed(one, two) for two in runs] for one in runs]
    order = _sifted(_sorted(runs, before), costs, before)
    for n, i in enumerate(order):
        low, high = sorted((runs[i].start, runs[i].stop))
        runs[i].track = 0
        for k in order[:n]:
            top, bottom = sorted((runs[k].start, runs[k].stop))
            clear = bottom + STACKED_MM <= low or high + STACKED_MM <= top
            if not clear or k in before[i] or costs[k][i] != costs[i][k]:
                runs[i].track = max(runs[i].track, runs[k].track + 1)
    return max((run.track for run in runs), default=-1) + 1


def _sorted(runs: Sequence[Upright], before: Mapping[int, set[int]]) -> list[int]:
    """An order that meets every demand, the upper ones first."""
    found: list[int] = []
    left = sorted(range(len(runs)), key=lambda i: (min(runs[i].start, runs[i].stop), i))
    while left:
        done = set(found)
        ready = next(i for i in left if before[i] <= done)
        found.append(ready)
        left.remove(ready)
    return found


def _sifted(
    order: list[int], costs: Sequence[Sequence[int]], before: Mapping[int, set[int]]
) -> list[int]:
    """Each run moved to where it crosses least, as far as the demands let it go."""
    for _ in range(PASSES):
        moved = False
        for i in list(order):
            at = order.index(i)
            best, change, saved = at, 0, 0
            for n in range(at - 1, -1, -1):  # to the left, past one after the other
                k = order[n]
                if k in before[i]:
                    break
                change += costs[i][k] - costs[k][i]
                if change < saved:
                    best, saved = n, change
            change = 0
            for n in range(at + 1, len(order)):
                k = order[n]
                if i in before[k]:
                    break
                change += costs[k][i] - costs[i][k]
                if change < saved:
                    best, saved = n, change
            if best != at:
                order.insert(best, order.pop(at))
                moved = True
        if not moved:
            break
    return order


def _crossed(left: Upright, right: Upright) -> int:
    """How often two uprights, the one left of the other, cross the level pieces of the other."""
    if left.piece == right.piece:
        return 0
    low, high = sorted((left.start, left.stop))
    count = sum(low < y < high for y in _lefts(right))
    low, high = sorted((right.start, right.stop))
    return count + sum(low < y < high for y in _rights(left))
