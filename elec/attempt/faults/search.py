"""The smallest set of changes after which none of the faults is left.

In: moves, and what each set of them leaves. Out: the sets that leave nothing, of the smallest
number of changes. All sets of one, then of two, then of three are gone through in a fixed order;
left out are those that cannot cure, by what smaller sets left: a fault that no part of a set cured
can only be cured by two of its changes together that are both of a kind for it.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

from msgspec import Struct

from elec.attempt.faults.faults import SingleFault
from elec.attempt.faults.moves import Move

MOST_CHANGES = 3
Left = Callable[[tuple[int, ...]], tuple[SingleFault, ...] | None]
"""The faults that a set of moves leaves; None where it cannot be built."""


class SearchResult(Struct, frozen=True, kw_only=True):
    """What the search found."""

    sets: tuple[tuple[int, ...], ...]
    """Sets of moves that leave no fault, all of the same number."""
    tried: int
    refused: int
    """Of those, how many could not be built."""
    whole: bool
    """Whether every set of that number that can cure was tried, or the bound ended it before."""
    changes: int
    """The number of changes up to which it went."""
    best: tuple[int, ...]
    """The set that leaves fewest faults, where none leaves nothing."""
    best_left: tuple[SingleFault, ...]


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
        most: so many sets are tried at most.
        tell: hears of each number of sets tried.
    """
    found: list[tuple[int, ...]] = []
    known: dict[tuple[int, ...], frozenset[str] | None] = {(): frozenset(f.id for f in now)}
    by_id = {fault.id: fault for fault in now}
    best: tuple[tuple[int, ...], tuple[SingleFault, ...]] = ((), tuple(now))
    tried = refused = size = 0
    whole = True
    for size in range(1, MOST_CHANGES + 1):
        for chosen in sorted(
            _hopeful(moves, by_id, known, size), key=lambda c: (_promise(known, c), c)
        ):
            if tried >= most:
                whole = False
                break
            tried += 1
            tell(tried)
            rest = left(chosen)
            known[chosen] = None if rest is None else frozenset(f.id for f in rest)
            if rest is None:
                refused += 1
                continue
            by_id.update({fault.id: fault for fault in rest})
            if not rest:
                found.append(chosen)
            if len(rest) < len(best[1]):
                best = (chosen, rest)
        if found or not whole:
            break
    return SearchResult(
        sets=tuple(sorted(found)),
        tried=tried,
        refused=refused,
        whole=whole,
        changes=size,
        best=best[0],
        best_left=best[1],
    )


def _hopeful(
    moves: Sequence[Move],
    by_id: dict[str, SingleFault],
    known: dict[tuple[int, ...], frozenset[str] | None],
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


def _promise(known: dict[tuple[int, ...], frozenset[str] | None], chosen: tuple[int, ...]) -> int:
    """How many faults no part of a set cured: sets with fewer come first."""
    start = known[()] or frozenset()
    parts = [part for p in _parts(chosen) if (part := known.get(p)) is not None]
    return len(start.intersection(*parts)) if parts else len(start)
