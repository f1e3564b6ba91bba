"""Where bars and rows lie for an order of the blocks, and what would cross what."""

import math
from collections.abc import Sequence
from itertools import combinations

from msgspec import Struct

from elec.drawings.layout.problem import (
    BLOCK_GAP_MM,
    CLEARANCE_MM,
    CROSSING_COST,
    Arranged,
    FeederLink,
    Key,
    LayoutProblem,
)

Piece = tuple[Key, float, float, int, int]
"""Key, above, below, first and last gap; gap n lies left of layer n."""


def layers(problem: LayoutProblem, cut: frozenset[str]) -> dict[str, int]:
    """The longest path to each bar over the links that are not cut."""
    whole = [k for k in problem.links if k.id not in cut]
    layer = {bar.id: 0 for bar in problem.bars}
    for _ in problem.bars:
        changed = False
        for link in whole:
            if layer[link.target] < layer[link.source] + 1:
                layer[link.target] = layer[link.source] + 1
                changed = True
        if not changed:
            break
    return layer


def _rows(
    problem: LayoutProblem, order: tuple[str, ...], cut: frozenset[str], layer: dict[str, int]
) -> tuple[dict[str, list[Piece]], dict[str, list[Piece]]]:
    """The rows left and right of each bar, top down."""
    edge = max(layer.values()) + 1
    place = {bar: i for i, bar in enumerate(order)}
    left: dict[str, list[tuple[float, Piece]]] = {bar: [] for bar in order}
    right: dict[str, list[Piece]] = {bar: [] for bar in order}
    for own in problem.owns:
        gap = layer[own.bar] + 1
        last = gap if own.length_mm is not None else edge
        right[own.bar].append((own.id, own.above_mm, own.below_mm, gap, last))
    for side in problem.sides:
        gap = layer[side.bar]
        left[side.bar].append((0.0, (side.id, side.above_mm, side.below_mm, gap, gap)))
    for link in problem.links:
        a, b, up, down = layer[link.source], layer[link.target], link.above_mm, link.below_mm
        if link.id in cut:
            flag = link.flag_height_mm / 2 + 1.0
            ends = (link.id, "out"), (link.id, "in")
            right[link.source].append((ends[0], max(up, flag), max(down, flag), a + 1, a + 1))
            left[link.target].append((0.5, (ends[1], flag, flag, b, b)))
        else:
            above = place[link.source] < place[link.target]
            rank = -100.0 - a if above else 100.0 + a
            left[link.target].append((rank, (link.id, up, down, a + 1, b)))
    return (
        {
            bar: [piece for _, piece in sorted(rows, key=lambda r: r[0])]
            for bar, rows in left.items()
        },
        right,
    )


def place(
    problem: LayoutProblem,
    order: tuple[str, ...],
    cut: frozenset[str],
    layer: dict[str, int] | None = None,
) -> Arranged:
    """Where everything lies for one order of the blocks, and the clashes that leaves."""
    layer = layer or layers(problem, cut)
    stacked = _stacked(problem, order, cut, layer)
    spans = _spans(problem, stacked)
    return Arranged(
        layer=layer,
        x={},
        y=stacked.y,
        span=spans.span,
        heading=stacked.heading,
        cut=cut,
        bottom_mm=stacked.bottom_mm,
        right_mm=0.0,
        order=order,
        conflicts=_conflicts(stacked, spans),
    )


def cost(
    problem: LayoutProblem,
    order: tuple[str, ...],
    cut: frozenset[str],
    layer: dict[str, int],
    *,
    moved: int,
    most: float,
) -> float:
    """What is bad about an order: clashes, its height, how long bars are, what was moved.

    What is `most` or more is not looked at any further: it is given as that, or something above.
    """
    stacked = _stacked(problem, order, cut, layer)
    if stacked.bottom_mm + moved >= most:
        return math.inf
    spans = _spans(problem, stacked)
    bars = sum(b - a for a, b in spans.span.values())
    if stacked.bottom_mm + 0.2 * bars + moved >= most:
        return math.inf
    clashes = CROSSING_COST * len(_conflicts(stacked, spans))
    return clashes + stacked.bottom_mm + 0.2 * bars + moved


def _stacked(
    problem: LayoutProblem, order: tuple[str, ...], cut: frozenset[str], layer: dict[str, int]
) -> "_Stacked":
    """The rows of each bar under those of the bars before it."""
    left, right = _rows(problem, order, cut, layer)
    boxes = {bar.id: bar for bar in problem.bars}
    line = [problem.top_mm] * (max(layer.values()) + 2)
    y: dict[Key, float] = {}
    heading: dict[str, float] = {}
    for bar in order:
        n = layer[bar]
        start = max(line[n], line[n + 1])
        if boxes[bar].heading_mm:
            first = right[bar][0] if right[bar] else None
            gaps = range(n + 1, (first[4] if first else n + 1) + 1)
            start = max(start, *(line[g] for g in gaps))
            heading[bar] = start + boxes[bar].heading_height_mm
            line[n + 1] = heading[bar]
        else:
            heading[bar] = start + 2 * CLEARANCE_MM
            line[n + 1] = start
        line[n] = start
        rights = _stack(right[bar], line, y, None)
        _stack(left[bar], line, y, rights)
        if not (left[bar] or right[bar]):
            line[n] = line[n + 1] = heading[bar] + CLEARANCE_MM
        for g in (n, n + 1):
            line[g] += BLOCK_GAP_MM
    return _Stacked(
        cut=cut,
        layer=layer,
        left=left,
        right=right,
        y=y,
        heading=heading,
        bottom_mm=max(line) - BLOCK_GAP_MM,
    )


def _stack(
    rows: Sequence[Piece],
    line: list[float],
    y: dict[Key, float],
    beside: tuple[float, float] | None,
) -> tuple[float, float] | None:
    """Put rows under what is there; with `beside`, spread them over that height if it is free."""
    top = bottom = None
    for i, (key, above, below, first, last) in enumerate(rows):
        at = max(line[first : last + 1]) + above
        if beside:
            at = max(at, beside[0] + (beside[1] - beside[0]) * (i + 1) / (len(rows) + 1))
        y[key] = at
        for gap in range(first, last + 1):
            line[gap] = at + below
        top = at if top is None else top
        bottom = at
    return None if top is None or bottom is None else (top, bottom)


class _Stacked(Struct, frozen=True, kw_only=True):
    """Rows at their heights, before it is known what they clash with."""

    cut: frozenset[str]
    layer: dict[str, int]
    left: dict[str, list[Piece]]
    right: dict[str, list[Piece]]
    y: dict[Key, float]
    heading: dict[str, float]
    bottom_mm: float

    def home(self, bar: str) -> tuple[float, float]:
        """How far a bar's own rows reach."""
        rows = (*self.left[bar], *self.right[bar])
        return _ends([self.y[row[0]] for row in rows] or [self.heading.get(bar, 0.0)])


def _ends(ys: list[float]) -> tuple[float, float]:
    return (min(ys) - CLEARANCE_MM, max(ys) + CLEARANCE_MM)


class _Spans(Struct, frozen=True, kw_only=True):
    """How far each bar reaches with and without the rows it feeds, and what it feeds."""

    span: dict[str, tuple[float, float]]
    home: dict[str, tuple[float, float]]
    whole: dict[str, FeederLink]
    feeds: dict[str, list[str]]


def _spans(problem: LayoutProblem, stacked: _Stacked) -> _Spans:
    whole = {k.id: k for k in problem.links if k.id not in stacked.cut}
    feeds: dict[str, list[str]] = {bar: [] for bar in stacked.left}
    for link in whole.values():
        feeds[link.source].append(link.id)
    home = {bar: stacked.home(bar) for bar in stacked.left}
    span = {}
    for bar, (top, bottom) in home.items():
        ys = [stacked.y[k] for k in feeds[bar]]
        low = min([top, *(y - CLEARANCE_MM for y in ys)])
        span[bar] = (low, max([bottom, *(y + CLEARANCE_MM for y in ys)]))
    return _Spans(span=span, home=home, whole=whole, feeds=feeds)


def _conflicts(stacked: _Stacked, spans: _Spans) -> list[frozenset[str]]:
    """For each clash the links that could be cut to end it."""
    found: list[frozenset[str]] = []
    by_layer = [(stacked.layer[bar], bar, *ends) for bar, ends in spans.span.items()]
    for side in (stacked.left, stacked.right):
        for owner, rows in side.items():
            for key, _, _, first, last in rows:
                if first == last:
                    continue
                mine = spans.whole.get(key) if isinstance(key, str) else None
                at = stacked.y[key]
                for layer, bar, top, bottom in by_layer:
                    if not first <= layer < last or bar == owner or (mine and mine.source == bar):
                        continue
                    if top - CLEARANCE_MM < at < bottom + CLEARANCE_MM:
                        found.append(_blame(at, mine, bar, stacked, spans))
    found.extend(_bar_on_bar(stacked, spans))
    return [blamed for blamed in found if blamed]


def _blame(
    at: float, mine: FeederLink | None, bar: str, stacked: _Stacked, spans: _Spans
) -> frozenset[str]:
    """The row itself, if it is a link, and the links that stretch the bar so far."""
    top, bottom = spans.home[bar]
    below = at >= (top + bottom) / 2
    near = 2 * CLEARANCE_MM
    stretching = {
        k
        for k in spans.feeds[bar]
        if (stacked.y[k] > at - near if below else stacked.y[k] < at + near)
    }
    return frozenset(stretching | ({mine.id} if mine else set()))


def _bar_on_bar(stacked: _Stacked, spans: _Spans) -> list[frozenset[str]]:
    """Bars of one layer that lie on one another."""
    found = []
    side_by_side: dict[int, list[str]] = {}
    for bar in spans.span:
        side_by_side.setdefault(stacked.layer[bar], []).append(bar)
    for a, b in (pair for bars in side_by_side.values() for pair in combinations(bars, 2)):
        (low_a, high_a), (low_b, high_b) = spans.span[a], spans.span[b]
        if min(high_a, high_b) - max(low_a, low_b) > -1.0:
            outside = [
                k
                for bar in (a, b)
                for k in spans.feeds[bar]
                if not spans.home[bar][0] <= stacked.y[k] <= spans.home[bar][1]
            ]
            found.append(frozenset(outside))
    return found


def set_x(problem: LayoutProblem, found: Arranged) -> None:
    """X of each layer from the lengths of what lies in the gaps before it."""
    depth = max(found.layer.values()) + 1
    needs: list[tuple[int, int, float]] = [
        (found.layer[side.bar] - 1, found.layer[side.bar], side.length_mm) for side in problem.sides
    ]
    for bar in problem.bars:
        n = found.layer[bar.id]
        needs.append((n, n + 1, bar.heading_mm + 4.0 if bar.heading_mm else 0.0))
    for own in problem.owns:
        n = found.layer[own.bar]
        if own.length_mm is None:
            needs.append((n, depth, problem.open_mm))
        else:
            needs.append((n, n + 1, own.length_mm + 3.0))
    for link in problem.links:
        a, b = found.layer[link.source], found.layer[link.target]
        if link.id in found.cut:
            needs.extend(((a, a + 1, link.out_mm + 3.0), (b - 1, b, link.in_mm)))
        else:
            needs.append((a, b, link.length_mm))
    xs = [problem.left_mm]
    for n in range(depth + 1):
        base = xs[-1]
        for a, b, length in needs:
            if b == n:
                base = max(base, xs[a + 1] + length)
        xs.append(base)
    found.x = {bar: xs[n + 1] for bar, n in found.layer.items()}
    found.right_mm = xs[depth + 1] - problem.left_mm
