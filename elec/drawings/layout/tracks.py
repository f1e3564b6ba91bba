"""Tracks in the gap between two columns: where the upright piece of each net lies.

Two level pieces at one height must not meet: the one that comes from the left ends on a track left
of the other's. A ring of such demands is broken by a jog.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from elec.drawings.layout.columns import Item, Piece
from elec.record import dataclass

CLEAR_MM = 1.6
"""Two level pieces nearer than this count as at one height."""


@dataclass(kw_only=True)
class Run:
    """An upright piece on a track: from one height to another; `after` must lie left of it."""

    piece: str
    start: float
    stop: float
    turns: bool
    track: int = 0


def upright(gap: Sequence[Piece], by_id: Mapping[str, Item]) -> list[list[Run]]:
    """The upright pieces of each net of a gap, from left to right; none for a straight one."""
    found: list[list[Run]] = []
    for piece in gap:
        a = by_id[piece.left].port_y(piece.id, right=True)
        b = by_id[piece.right].port_y(piece.id, right=piece.turns)
        straight = not piece.turns and abs(a - b) < 0.01
        found.append([] if straight else [Run(piece=piece.id, start=a, stop=b, turns=piece.turns)])
    return found


def _lefts(run: Run) -> tuple[float, ...]:
    """The heights at which a run's level pieces lie left of its track."""
    return (run.start, run.stop) if run.turns else (run.start,)


def _rights(run: Run) -> tuple[float, ...]:
    return () if run.turns else (run.stop,)


def demands(runs: Sequence[Run]) -> dict[int, set[int]]:
    """Run → runs that must lie left of it: what it meets at one height on its right side."""
    found: dict[int, set[int]] = {i: set() for i in range(len(runs))}
    for i, run in enumerate(runs):
        for k, other in enumerate(runs):
            if run.piece == other.piece:
                continue
            touch = any(abs(y - z) < CLEAR_MM for y in _lefts(run) for z in _rights(other))
            if touch:
                found[k].add(i)
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


def assign(nets: list[list[Run]], taken: Iterable[float]) -> int:
    """Give every run its track; rings are broken by a jog. Gives the count of tracks."""
    heights = list(taken)
    while True:
        runs = [run for net in nets for run in net]
        before = demands(runs)
        for net in nets:
            for one, two in pairwise(net):
                before[runs.index(two)].add(runs.index(one))
        ring = _ring(before)
        if not ring:
            break
        candidates = [i for i in ring if not runs[i].turns]
        worst = runs[max(candidates, key=lambda i: abs(runs[i].start - runs[i].stop))]
        net = next(n for n in nets if any(run is worst for run in n))
        level = _free_level((worst.start + worst.stop) / 2, heights)
        heights.append(level)
        at = next(i for i, run in enumerate(net) if run is worst)
        jog = Run(piece=worst.piece, start=level, stop=worst.stop, turns=False)
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


def _fill(runs: Sequence[Run], before: Mapping[int, set[int]]) -> int:
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


def improve(runs: Sequence[Run], before: Mapping[int, set[int]], count: int) -> None:
    """Swap neighbouring tracks where that saves crossings."""
    for _ in range(4):
        changed = False
        for t in range(count - 1):
            one = [i for i, run in enumerate(runs) if run.track == t]
            two = [i for i, run in enumerate(runs) if run.track == t + 1]
            if any(before[k] & set(one) for k in two):
                continue
            old = _crossed(runs)
            for i in one:
                runs[i].track = t + 1
            for i in two:
                runs[i].track = t
            if _crossed(runs) >= old:
                for i in one:
                    runs[i].track = t
                for i in two:
                    runs[i].track = t + 1
            else:
                changed = True
        if not changed:
            return


def _crossed(runs: Sequence[Run]) -> int:
    """How often upright pieces cross level pieces of others in a gap."""
    count = 0
    for run in runs:
        low, high = sorted((run.start, run.stop))
        for other in runs:
            if other.piece == run.piece:
                continue
            if other.track > run.track:
                count += sum(low < y < high for y in _lefts(other))
            elif other.track < run.track:
                count += sum(low < y < high for y in _rights(other))
    return count
