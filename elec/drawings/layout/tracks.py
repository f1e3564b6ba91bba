"""Tracks in the gap between two columns: where the upright piece of each net lies.

Two level pieces at one height must not meet: the one that comes from the left ends on a track left
of the other's. A ring of such demands is broken by a jog.
"""

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from itertools import product

from msgspec import Struct

from elec.drawings.layout.columns import ColumnItem, NetPiece

CLEAR_MM = 1.6
"""Two level pieces nearer than this count as at one height."""


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
    """Tracks from the left: on each as many runs as lie clear of each other."""
    done: set[int] = set()
    track = 0
    while len(done) < len(runs):
        ready = [i for i in range(len(runs)) if i not in done and before[i] <= done]
        ready.sort(key=lambda i: (min(runs[i].start, runs[i].stop), i))
        here: list[int] = []
        for i in ready:
            low = min(runs[i].start, runs[i].stop)
            if all(max(runs[k].start, runs[k].stop) + CLEAR_MM <= low for k in here):
                here.append(i)
                runs[i].track = track
        done |= set(here)
        track += 1
    return track


def improve(runs: Sequence[Upright], before: Mapping[int, set[int]], count: int) -> None:
    """Swap neighbouring tracks where that saves crossings."""
    tracks: list[list[int]] = [[] for _ in range(count)]
    for i, run in enumerate(runs):
        tracks[run.track].append(i)
    for _ in range(4):
        changed = False
        for t in range(count - 1):
            one, two = tracks[t], tracks[t + 1]
            if any(not before[k].isdisjoint(one) for k in two):
                continue
            # Beside all other tracks both stay on the side on which they were.
            if _crossed(runs, two, one) < _crossed(runs, one, two):
                tracks[t], tracks[t + 1] = two, one
                changed = True
        if not changed:
            break
    for t, here in enumerate(tracks):
        for i in here:
            runs[i].track = t


def _crossed(runs: Sequence[Upright], left: Sequence[int], right: Sequence[int]) -> int:
    """How often upright pieces of two tracks side by side cross level pieces of the other."""
    count = 0
    for one, two in product((runs[i] for i in left), (runs[i] for i in right)):
        if one.piece != two.piece:
            low, high = sorted((one.start, one.stop))
            count += sum(low < y < high for y in _lefts(two))
            low, high = sorted((two.start, two.stop))
            count += sum(low < y < high for y in _rights(one))
    return count
