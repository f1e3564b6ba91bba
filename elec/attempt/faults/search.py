"""The smallest set of changes after which none of the faults is left.

In: moves, and what each set of them leaves. Out: the sets that leave nothing, of the smallest
number of changes. All sets of one, then of two, then of three are gone through in a fixed order;
left out are those that cannot cure, by what smaller sets left: a fault that no part of a set cured
can only be cured by two of its changes together that are both of a kind for it. Where none of these
does it, the smallest sets are tried in which each fault has a change that cures it alone.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, islice

from msgspec import Struct

from elec.attempt.faults.faults import SingleFault
from elec.attempt.faults.moves import Move

MOST_CHANGES = 3
MOST_TOGETHER = 8
"""So many changes are put together at most, of which each cures some fault alone (our choice)."""
MOST_COVERS = 12
"""So many sets of these are tried, beyond the bound (our choice)."""
Left = Callable[[tuple[int, ...]], tuple[SingleFault, ...] | None]
"""The faults that a set of moves leaves; None where it cannot be built."""
Known = dict[tuple[int, ...], frozenset[str] | None]
"""What sets that were tried leave, by the names of faults."""


class SearchResult(Struct, frozen=True, kw_only=True):
    """What the search found."""

    sets: tuple[tuple[int, ...], ...]
    """Sets of moves that leave no fault, all of the same number."""
    tried: int
    refused: int
    """Of those, how many could not be built."""
    whole: bool
    """Whether every set of up to `changes` that can cure was tried, or the bound ended it."""
    changes: int
    """The number of changes up to which all sets were gone through, or begun on."""
    best: tuple[int, ...]
    """The set that leaves fewest faults, where none leaves nothing."""
    best_left: tuple[SingleFault, ...]


class _Trials:
    """Sets that were tried, and what they left."""

    def __init__(self, now: Sequence[SingleFault], left: Left, tell: Callable[[int], None]) -> None:
        self.left, self.tell = left, tell
        self.known: Known = {(): frozenset(f.id for f in now)}
        self.by_id = {fault.id: fault for fault in now}
        self.best: tuple[tuple[int, ...], tuple[SingleFault, ...]] = ((), tuple(now))
        self.found: list[tuple[int, ...]] = []
        self.tried = self.refused = 0

    def run(self, chosen: tuple[int, ...]) -> None:
        """Try one set."""
        self.tried += 1
        self.tell(self.tried)
        rest = self.left(chosen)
        self.known[chosen] = None if rest is None else frozenset(f.id for f in rest)
        if rest is None:
            self.refused += 1
            return
        self.by_id.update({fault.id: fault for fault in rest})
        if not rest:
            self.found.append(chosen)
        if len(rest) < len(self.best[1]):
            self.best = (chosen, rest)


def search(
    moves: Sequence[Move],
    now: Sequence[SingleFault],
    left: Left,
    most: int,
    tell: Callable[[int], None],
) -> SearchResult:
    """Go through sets of moves by number until some of a number leave nothing.

    Args:
        moves: the changes.
        now: the faults without any.
        left: computes what a set leaves.
        most: so many sets are tried at most before changes are put together that cure alone.
        tell: hears of each number of sets tried.
    """
    trials = _Trials(now, left, tell)
    size, whole = 0, True
    while whole and not trials.found and now and size < MOST_CHANGES:
        size += 1
        hopeful = _hopeful(moves, trials.by_id, trials.known, size)
        for chosen in sorted(hopeful, key=lambda c: (_promise(trials.known, c), c)):
            whole = trials.tried < most
            if not whole:
                break
            trials.run(chosen)
    if not trials.found:
        covers = (c for c in _covers(moves, trials.known) if c not in trials.known)
        for chosen in islice(covers, MOST_COVERS):
            trials.run(chosen)
    return SearchResult(
        sets=tuple(sorted(trials.found)),
        tried=trials.tried,
        refused=trials.refused,
        whole=whole,
        changes=size,
        best=trials.best[0],
        best_left=trials.best[1],
    )


def _covers(moves: Sequence[Move], known: Known) -> Iterator[tuple[int, ...]]:
    """The smallest sets in which each fault has a change that cures it alone, without a new one."""
    start = known[()] or frozenset()
    cures: dict[str, list[int]] = {
        fault: [
            k for k in range(len(moves))
            if (rest := known.get((k,))) is not None and fault not in rest and rest <= start
        ]
        for fault in sorted(start)
    }  # fmt: skip

    def go_on(chosen: tuple[int, ...], more: int) -> Iterator[tuple[int, ...]]:
        open_ = [held for held in cures.values() if not set(held) & set(chosen)]
        if not open_:
            yield chosen
            return
        if more == 0:
            return
        taken = {path for k in chosen for path in moves[k].paths}
        for k in min(open_, key=len):
            if not taken & moves[k].paths:
                yield from go_on(tuple(sorted((*chosen, k))), more - 1)

    for size in range(1, MOST_TOGETHER + 1):
        found = dict.fromkeys(go_on((), size))
        if found:
            yield from found
            return


def _hopeful(
    moves: Sequence[Move],
    by_id: dict[str, SingleFault],
    known: Known,
    size: int,
) -> Iterator[tuple[int, ...]]:
    """Sets of a size that may cure everything, by what their parts left."""
    start = known[()] or frozenset()
    if size == 1:  # each alone first: what it leaves says which sets may cure
        yield from ((k,) for k in range(len(moves)))
        return
    alone = [k for k in range(len(moves)) if known.get((k,)) is not None]
    for chosen in combinations(alone, size):
        paths = [path for k in chosen for path in moves[k].paths]
        if len(set(paths)) < len(paths):
            continue
        parts = [known[p] for p in _parts(chosen) if p in known]
        if any(part is None for part in parts):
            continue
        for fault in start:
            cured = any(part is not None and fault not in part for part in parts)
            if not cured and sum(moves[k].helps(by_id[fault]) for k in chosen) < 2:
                break
        else:
            yield chosen


def _parts(chosen: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    for count in range(1, len(chosen)):
        yield from combinations(chosen, count)


def _promise(known: Known, chosen: tuple[int, ...]) -> int:
    """How many faults no part of a set cured: sets with fewer come first."""
    start = known[()] or frozenset()
    parts = [part for p in _parts(chosen) if (part := known.get(p)) is not None]
    return len(start.intersection(*parts)) if parts else len(start)
