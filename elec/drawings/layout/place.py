"""Where bars and rows lie for an order of the blocks, and what would cross what."""

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from elec.drawings.layout.problem import (
    BLOCK_GAP_MM,
    CLEARANCE_MM,
    CROSSING_COST,
    Arranged,
    Key,
    LayoutProblem,
)

Piece = tuple[int, float, float, int, int]
"""Number of its key, above, below, first and last gap; gap n lies left of layer n."""
_Span = dict[str, tuple[float, float]]
Fed = tuple[str, Piece]
"""A row that comes from a bar."""


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


class _Block(Struct, kw_only=True):
    """A bar with its rows, as far as they are the same wherever it stands."""

    heading: bool
    heading_mm: float
    layer: int
    right: list[Piece]
    fed_above: list[Fed]
    """Rows of feeders in the order that they have where the bars that they come from lie above."""
    fed_below: list[Fed]
    ends: list[Piece]
    """Other rows on the left."""
    feeds: list[int]
    """The rows that it feeds, by number."""
    rows: list[int]
    """All rows left and right, by number."""

    def left(self, bar: str, place: dict[str, int]) -> list[Piece]:
        """The rows on the left, top down, where bars have these places."""
        at = place[bar]
        above = [piece for source, piece in self.fed_above if place[source] < at]
        below = [piece for source, piece in self.fed_below if place[source] >= at]
        return [*above, *self.ends, *below]


class Blocks:
    """Bars and rows of a problem, to be placed in one order after another."""

    def __init__(
        self, problem: LayoutProblem, cut: frozenset[str], layer: dict[str, int] | None = None
    ) -> None:
        """What is cut is drawn as two flags; `layer` is as `layers` gives it."""
        self._cut = cut
        self._layer = layer or layers(problem, cut)
        self._keys: list[Key] = []
        self._source: dict[int, tuple[str, str]] = {}
        self._blocks = {
            bar.id: _Block(
                heading=bool(bar.heading_mm),
                heading_mm=bar.heading_height_mm,
                layer=self._layer[bar.id],
                right=[],
                fed_above=[],
                fed_below=[],
                ends=[],
                feeds=[],
                rows=[],
            )
            for bar in problem.bars
        }
        self._fill(problem)
        self._standing: list[str] = []
        """The blocks that stand, top down."""
        self._lines = [[problem.top_mm] * (max(self._layer.values()) + 2)]
        """How far down each gap is taken before the first of them and after each."""
        self._y = [0.0] * len(self._keys)
        self._heading: dict[str, float] = {}
        self._home: dict[str, tuple[float, float]] = {}
        """How far each reaches without the rows that it feeds."""
        self._beside: dict[int, list[str]] = {}
        for bar, block in self._blocks.items():
            block.fed_above.sort(key=lambda fed: -self._layer[fed[0]])
            block.fed_below.sort(key=lambda fed: self._layer[fed[0]])
            left = [*block.ends, *(piece for _, piece in block.fed_above)]
            block.rows = [piece[0] for piece in (*left, *block.right)]
            self._beside.setdefault(block.layer, []).append(bar)
        self._passing = [
            (bar, piece)
            for bar, block in self._blocks.items()
            for piece in (*block.ends, *(p for _, p in block.fed_above), *block.right)
            if piece[3] != piece[4]
        ]

    def _fill(self, problem: LayoutProblem) -> None:
        """The rows of each bar."""
        edge = max(self._layer.values()) + 1
        for own in problem.owns:
            gap = self._layer[own.bar] + 1
            last = gap if own.length_mm is not None else edge
            row = (self._number(own.id), own.above_mm, own.below_mm, gap, last)
            self._blocks[own.bar].right.append(row)
        for side in problem.sides:
            gap = self._layer[side.bar]
            row = (self._number(side.id), side.above_mm, side.below_mm, gap, gap)
            self._blocks[side.bar].ends.append(row)
        for link in problem.links:
            source, target = self._blocks[link.source], self._blocks[link.target]
            up, down = link.above_mm, link.below_mm
            if link.id in self._cut:
                flag = link.flag_height_mm / 2 + 1.0
                out, back = self._number((link.id, "out")), self._number((link.id, "in"))
                gap = source.layer + 1
                source.right.append((out, max(up, flag), max(down, flag), gap, gap))
                target.ends.append((back, flag, flag, target.layer, target.layer))
            else:
                number = self._number(link.id)
                self._source[number] = (link.source, link.id)
                row = (number, up, down, source.layer + 1, target.layer)
                target.fed_above.append((link.source, row))
                target.fed_below.append((link.source, row))
                source.feeds.append(number)

    def _number(self, key: Key) -> int:
        self._keys.append(key)
        return len(self._keys) - 1

    def place(self, order: tuple[str, ...]) -> Arranged:
        """Where everything lies for one order of the blocks, and the clashes that leaves."""
        bottom = self._stand(order, 0, math.inf)
        span = {bar: self._span(bar) for bar in order}
        place = {bar: i for i, bar in enumerate(order)}
        rows = (
            piece[0]
            for bar, block in ((bar, self._blocks[bar]) for bar in order)
            for piece in (*block.right, *block.left(bar, place))
        )
        return Arranged(
            layer=self._layer,
            x={},
            y={self._keys[k]: self._y[k] for k in rows},
            span=span,
            heading={bar: self._heading[bar] for bar in order},
            cut=self._cut,
            bottom_mm=bottom,
            right_mm=0.0,
            order=order,
            conflicts=list(self._conflicts(span)),
        )

    def cost(self, order: tuple[str, ...], *, moved: int, most: float) -> float:
        """What is bad about an order: clashes, its height, how long bars are, what was moved.

        What is `most` or more is not looked at any further: it is given as that, or something
        above.
        """
        bottom = self._stand(order, moved, most)
        if bottom + moved >= most:
            return math.inf
        span = {bar: self._span(bar) for bar in order}
        bars = sum(b - a for a, b in span.values())
        if bottom + 0.2 * bars + moved >= most:
            return math.inf
        clashes = 0.0
        for _ in self._conflicts(span):
            clashes += CROSSING_COST
            if clashes + bottom + 0.2 * bars + moved >= most:
                return math.inf
        return clashes + bottom + 0.2 * bars + moved

    def _stand(self, order: tuple[str, ...], moved: int, most: float) -> float:
        """Each block under those before it, no further than to `most`; gives how far down.

        The first blocks stay where they stand if they are those of the order before: where a block
        stands, and in which order its rows, is a matter of those before it alone.
        """
        same = 0
        for before, bar in zip(self._standing, order, strict=False):
            if before != bar:
                break
            same += 1
        del self._standing[same:], self._lines[same + 1 :]
        place = {bar: i for i, bar in enumerate(order)}
        line = self._lines[same][:]
        for bar in order[same:]:
            if max(line) - BLOCK_GAP_MM + moved >= most:
                break  # it only gets lower
            self._put(bar, line, place)
            self._standing.append(bar)
            self._lines.append(line[:])
        return max(line) - BLOCK_GAP_MM

    def _put(self, bar: str, line: list[float], place: dict[str, int]) -> None:
        """One block with its rows under what is there."""
        block, y = self._blocks[bar], self._y
        n, right, left = block.layer, block.right, block.left(bar, place)
        start = max(line[n], line[n + 1])
        if block.heading:
            last = right[0][4] if right else n + 1
            start = max(start, *line[n + 1 : last + 1])
            line[n + 1] = heading = start + block.heading_mm
        else:
            line[n + 1] = start
            heading = start + 2 * CLEARANCE_MM
        line[n] = start
        _stack(left, line, y, _stack(right, line, y, None))
        if not block.rows:
            line[n] = line[n + 1] = heading + CLEARANCE_MM
        for g in (n, n + 1):
            line[g] += BLOCK_GAP_MM
        ys = [y[k] for k in block.rows] or [heading]
        self._heading[bar] = heading
        self._home[bar] = (min(ys) - CLEARANCE_MM, max(ys) + CLEARANCE_MM)

    def _span(self, bar: str) -> tuple[float, float]:
        """How far a bar reaches with the rows that it feeds."""
        top, bottom = self._home[bar]
        ys = [self._y[k] for k in self._blocks[bar].feeds]
        if not ys:
            return top, bottom
        return min(top, min(ys) - CLEARANCE_MM), max(bottom, max(ys) + CLEARANCE_MM)

    def _conflicts(self, span: _Span) -> Iterator[frozenset[str]]:
        """For each clash the links that could be cut to end it, where there are any."""
        for owner, (number, _, _, first, last) in self._passing:
            source, link = self._source.get(number, ("", ""))
            at = self._y[number]
            for layer in range(first, last):
                for bar in self._beside.get(layer, ()):
                    top, bottom = span[bar]
                    if not top - CLEARANCE_MM < at < bottom + CLEARANCE_MM:
                        continue
                    if bar not in (owner, source) and (blamed := self._blame(at, link, bar)):
                        yield blamed
        yield from filter(None, self._bar_on_bar(span))

    def _blame(self, at: float, link: str, bar: str) -> frozenset[str]:
        """The row itself, if it is a link, and the links that stretch the bar so far."""
        top, bottom = self._home[bar]
        below = at >= (top + bottom) / 2
        near = 2 * CLEARANCE_MM
        stretching = {
            self._source[k][1]
            for k in self._blocks[bar].feeds
            if (self._y[k] > at - near if below else self._y[k] < at + near)
        }
        return frozenset(stretching | ({link} if link else set()))

    def _bar_on_bar(self, span: _Span) -> Iterator[frozenset[str]]:
        """Bars of one layer that lie on one another."""
        for bars in self._beside.values():
            down = sorted((*span[bar], bar) for bar in bars)
            for i, (_, high_a, a) in enumerate(down):
                for low_b, high_b, b in down[i + 1 :]:
                    if high_a - low_b <= -1.0:
                        break
                    if min(high_a, high_b) - low_b > -1.0:
                        yield frozenset(
                            self._source[k][1]
                            for bar in (a, b)
                            for k in self._blocks[bar].feeds
                            if not self._home[bar][0] <= self._y[k] <= self._home[bar][1]
                        )


def _stack(
    rows: Sequence[Piece],
    line: list[float],
    y: list[float],
    beside: tuple[float, float] | None,
) -> tuple[float, float] | None:
    """Put rows under what is there; with `beside`, spread them over that height if it is free."""
    top = bottom = None
    for i, (number, above, below, first, last) in enumerate(rows):
        at = (line[first] if first == last else max(line[first : last + 1])) + above
        if beside:
            at = max(at, beside[0] + (beside[1] - beside[0]) * (i + 1) / (len(rows) + 1))
        y[number] = at
        for gap in range(first, last + 1):
            line[gap] = at + below
        top = at if top is None else top
        bottom = at
    return None if top is None or bottom is None else (top, bottom)


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
