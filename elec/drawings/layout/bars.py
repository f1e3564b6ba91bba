"""Bars and rows: feeders as level rows between upright bars, without crossings.

A bar's layer is its longest path from a source. Bars are stacked as blocks: a block's incoming
rows lie left of its bar, its own rows right of it. A bar is stretched to every row it feeds. The
order of the blocks is found by local search from fixed starts; a feeder that would still cross
something is cut and drawn as two flags, so the result never has a crossing.
"""

import math
from collections.abc import Sequence
from functools import lru_cache

from msgspec.structs import replace

from elec.drawings.layout.place import Blocks, set_x
from elec.drawings.layout.problem import (
    CROSSING_COST,
    Arranged,
    BarBox,
    FeederLink,
    LayoutProblem,
    Own,
    Side,
)


def arrange(
    problem: LayoutProblem, *, width_mm: float, order: tuple[str, ...] | None = None
) -> Arranged:
    """Arrange without crossings in the width given; see the module's text.

    With an `order` of the blocks (from an earlier arrangement) none is sought.
    """
    cut = _cycle_closers(problem)
    given = tuple(b for b in order if b in {bar.id for bar in problem.bars}) if order else None
    while True:
        order = given or _best_order(problem, cut)
        found = Blocks(problem, cut).place(order)
        while found.conflicts:
            cut = cut | {_most_blamed(found.conflicts, problem)}
            found = Blocks(problem, cut).place(order)
        set_x(problem, found)
        if found.right_mm <= width_mm or not any(found.layer.values()):
            return found
        last = max(found.layer.values())
        deepest = {bar for bar, n in found.layer.items() if n == last}
        cut = cut | {k.id for k in problem.links if k.target in deepest}


def _most_blamed(conflicts: Sequence[frozenset[str]], problem: LayoutProblem) -> str:
    count = {link.id: 0 for link in problem.links}
    for blamed in conflicts:
        for link in blamed:
            count[link] += 1
    return max(count, key=lambda link: count[link])


def _cycle_closers(problem: LayoutProblem) -> frozenset[str]:
    """Links that would close a ring, taken in the order given."""
    after: dict[str, set[str]] = {bar.id: set() for bar in problem.bars}
    closers: set[str] = set()
    for link in problem.links:
        if link.source == link.target or _reaches(after, link.target, link.source):
            closers.add(link.id)
        else:
            after[link.source].add(link.target)
    return frozenset(closers)


def _reaches(after: dict[str, set[str]], start: str, goal: str) -> bool:
    seen, todo = {start}, [start]
    while todo:
        for following in after[todo.pop()]:
            if following not in seen:
                seen.add(following)
                todo.append(following)
    return goal in seen


# --- order ------------------------------------------------------------------------------------


REACH = 7
"""How far a block is moved in one step of the search."""
MOST_PLACED = 5_000
"""Blocks placed in one search: of 10 bars all steps together place 3 000, of 20 some 13 000."""


def _best_order(problem: LayoutProblem, cut: frozenset[str]) -> tuple[str, ...]:
    """The order of blocks with the least cost: of those that feeders join, group after group."""
    return tuple(bar for part in _parted(problem) for bar in _best_of_group(part, cut))


def _parted(problem: LayoutProblem) -> list[LayoutProblem]:
    """A problem for each group of bars that links join, in the order of their first bars."""
    group = {bar.id: {bar.id} for bar in problem.bars}
    for link in problem.links:
        one, two = group[link.source], group[link.target]
        if one is not two:
            one |= two
            group.update(dict.fromkeys(two, one))
    groups = list({id(one): one for one in group.values()}.values())
    if len(groups) == 1:
        return [problem]
    return [
        replace(
            problem,
            bars=tuple(bar for bar in problem.bars if bar.id in one),
            links=tuple(link for link in problem.links if link.source in one),
            sides=tuple(side for side in problem.sides if side.bar in one),
            owns=tuple(own for own in problem.owns if own.bar in one),
        )
        for one in groups
    ]


@lru_cache(maxsize=256)
def _best_of_group(problem: LayoutProblem, cut: frozenset[str]) -> tuple[str, ...]:
    """The best order of one group; kept, since sheets are drawn twice for numbers."""
    given = tuple(bar.id for bar in problem.bars)
    starts = list(dict.fromkeys((_depth_first(problem, cut), given, tuple(reversed(given)))))
    best: tuple[float, tuple[str, ...]] | None = None
    for start in starts:
        found = _improve(problem, cut, start, given)
        if best is None or found[0] < best[0] - 1e-6:
            best = found
        if best[0] < CROSSING_COST:
            break
    assert best is not None  # noqa: S101  # there is always a first start
    return best[1]


def _depth_first(problem: LayoutProblem, cut: frozenset[str]) -> tuple[str, ...]:
    after: dict[str, list[str]] = {bar.id: [] for bar in problem.bars}
    fed: set[str] = set()
    for link in problem.links:
        if link.id not in cut:
            after[link.source].append(link.target)
            fed.add(link.target)
    order: list[str] = []

    def visit(bar: str) -> None:
        if bar not in order:
            order.append(bar)
            for target in after[bar]:
                visit(target)

    for bar in (*(b.id for b in problem.bars if b.id not in fed), *after):
        visit(bar)
    return tuple(order)


def _improve(
    problem: LayoutProblem, cut: frozenset[str], order: tuple[str, ...], given: tuple[str, ...]
) -> tuple[float, tuple[str, ...]]:
    """Move single blocks as long as it gets better, of very many only so long.

    What was no better once is none later, when the best is better still.
    """
    blocks = Blocks(problem, cut)
    tried = {order}
    asked = {bar: i for i, bar in enumerate(given)}

    def rated(candidate: tuple[str, ...], most: float) -> float:
        moved = sum(abs(i - asked[bar]) for i, bar in enumerate(candidate))
        return blocks.cost(candidate, moved=moved, most=most)

    best = rated(order, math.inf)
    left = MOST_PLACED // len(given)
    for _ in range(6):
        start = best
        for bar in given:
            rest = tuple(b for b in order if b != bar)
            here = order.index(bar)
            for i in range(max(0, here - REACH), min(len(order), here + REACH + 1)):
                candidate = (*rest[:i], bar, *rest[i:])
                if candidate in tried:
                    continue
                if not left:
                    return best, order
                left -= 1
                tried.add(candidate)
                if (c := rated(candidate, best - 1e-6)) < best - 1e-6:
                    best, order = c, candidate
        if best > start - 1e-6:
            break
    return best, order


__all__ = ["Arranged", "BarBox", "FeederLink", "LayoutProblem", "Own", "Side", "arrange"]
