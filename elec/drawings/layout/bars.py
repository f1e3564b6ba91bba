"""Bars and rows: feeders as level rows between upright bars, without crossings.

A bar's layer is its longest path from a source. Bars are stacked as blocks: a block's incoming
rows lie left of its bar, its own rows right of it. A bar is stretched to every row it feeds. The
order of the blocks is found by local search from fixed starts; a feeder that would still cross
something is cut and drawn as two flags, so the result never has a crossing.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

CLEARANCE_MM = 2.5
"""Least distance between a row and the end of a bar it must not touch."""
BLOCK_GAP_MM = 3.0
CROSSING_COST = 1000.0
Key = str | tuple[str, str]
"""A row's name: a text, or (link, "out") and (link, "in") for the two ends of a cut link."""


@dataclass(frozen=True, kw_only=True)
class BarBox:
    """A bar: room for its heading (right of the bar's top), mm."""

    id: str
    heading_mm: float = 0.0
    heading_height_mm: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Link:
    """A feeder between two bars, its lengths when whole and when cut, and its half heights."""

    id: str
    source: str
    target: str
    length_mm: float
    above_mm: float
    below_mm: float
    out_mm: float
    in_mm: float
    flag_height_mm: float = 5.0


@dataclass(frozen=True, kw_only=True)
class Side:
    """A row that ends at a bar from the left (a source with its feeder)."""

    id: Key
    bar: str
    length_mm: float
    above_mm: float
    below_mm: float


@dataclass(frozen=True, kw_only=True)
class Own:
    """A row from a bar to the right; `length_mm` None runs to the right edge."""

    id: Key
    bar: str
    above_mm: float
    below_mm: float
    length_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Problem:
    """What is to be arranged, and the room for it; `open_mm` is what a row to the edge needs."""

    bars: tuple[BarBox, ...]
    links: tuple[Link, ...] = ()
    sides: tuple[Side, ...] = ()
    owns: tuple[Own, ...] = ()
    top_mm: float = 0.0
    left_mm: float = 0.0
    open_mm: float = 0.0


@dataclass(kw_only=True)
class Arranged:
    """Where everything lies; rows are keyed by id, a cut link by (id, "out") and (id, "in")."""

    layer: dict[str, int]
    x: dict[str, float]
    y: dict[Key, float]
    span: dict[str, tuple[float, float]]
    heading: dict[str, float]
    cut: frozenset[str]
    bottom_mm: float
    right_mm: float
    order: tuple[str, ...] = ()
    conflicts: list[frozenset[str]] = field(default_factory=list)


def arrange(problem: Problem, *, width_mm: float, order: tuple[str, ...] | None = None) -> Arranged:
    """Arrange without crossings in the width given; see the module's text.

    With an `order` of the blocks (from an earlier arrangement) none is sought.
    """
    cut = _cycle_closers(problem)
    given = tuple(b for b in order if b in {bar.id for bar in problem.bars}) if order else None
    while True:
        order = given or _best_order(problem, cut)
        found = _place(problem, order, cut)
        while found.conflicts:
            cut = cut | {_most_blamed(found.conflicts, problem)}
            found = _place(problem, order, cut)
        _set_x(problem, found)
        if found.right_mm <= width_mm or not any(found.layer.values()):
            return found
        last = max(found.layer.values())
        deepest = {bar for bar, n in found.layer.items() if n == last}
        cut = cut | {k.id for k in problem.links if k.target in deepest}


def _most_blamed(conflicts: Sequence[frozenset[str]], problem: Problem) -> str:
    count = {link.id: 0 for link in problem.links}
    for blamed in conflicts:
        for link in blamed:
            count[link] += 1
    return max(count, key=lambda link: count[link])


def _cycle_closers(problem: Problem) -> frozenset[str]:
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


def layers(problem: Problem, cut: frozenset[str]) -> dict[str, int]:
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


# --- order ------------------------------------------------------------------------------------


def _best_order(problem: Problem, cut: frozenset[str]) -> tuple[str, ...]:
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


def _depth_first(problem: Problem, cut: frozenset[str]) -> tuple[str, ...]:
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
    problem: Problem, cut: frozenset[str], order: tuple[str, ...], given: tuple[str, ...]
) -> tuple[float, tuple[str, ...]]:
    """Move single blocks as long as it gets better."""
    layer = layers(problem, cut)

    def cost(candidate: tuple[str, ...]) -> float:
        found = _place(problem, candidate, cut, layer)
        moved = sum(abs(i - given.index(bar)) for i, bar in enumerate(candidate))
        bars = sum(b - a for a, b in found.span.values())
        return CROSSING_COST * len(found.conflicts) + found.bottom_mm + 0.2 * bars + moved

    best = cost(order)
    for _ in range(6):
        start = best
        for bar in given:
            rest = tuple(b for b in order if b != bar)
            for i in range(len(order)):
                candidate = (*rest[:i], bar, *rest[i:])
                if candidate != order and (c := cost(candidate)) < best - 1e-6:
                    best, order = c, candidate
        if best > start - 1e-6:
            break
    return best, order


# --- places -----------------------------------------------------------------------------------

Piece = tuple[Key, float, float, int, int]
"""Key, above, below, first and last gap; gap n lies left of layer n."""


def _rows(
    problem: Problem, order: tuple[str, ...], cut: frozenset[str], layer: dict[str, int]
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


def _place(
    problem: Problem,
    order: tuple[str, ...],
    cut: frozenset[str],
    layer: dict[str, int] | None = None,
) -> Arranged:
    layer = layer or layers(problem, cut)
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
            line[n + 1] = start
        line[n] = start
        rights = _stack(right[bar], line, y, None)
        _stack(left[bar], line, y, rights)
        if not (left[bar] or right[bar]):
            line[n] = line[n + 1]
        for g in (n, n + 1):
            line[g] += BLOCK_GAP_MM
    span, home = _spans(problem, cut, left, right, y, heading)
    return Arranged(
        layer=layer,
        x={},
        y=y,
        span=span,
        heading=heading,
        cut=cut,
        bottom_mm=max(line) - BLOCK_GAP_MM,
        right_mm=0.0,
        order=order,
        conflicts=_conflicts(problem, cut, layer, left, right, y, span, home),
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


def _spans(
    problem: Problem,
    cut: frozenset[str],
    left: dict[str, list[Piece]],
    right: dict[str, list[Piece]],
    y: dict[Key, float],
    heading: dict[str, float],
) -> tuple[dict[str, tuple[float, float]], dict[str, tuple[float, float]]]:
    """How far each bar reaches, with and without the rows it feeds in other blocks."""
    home: dict[str, list[float]] = {}
    for bar in left:
        home[bar] = [y[row[0]] for row in (*left[bar], *right[bar])] or [heading.get(bar, 0.0)]
    reach = {bar: list(ys) for bar, ys in home.items()}
    for link in problem.links:
        if link.id not in cut:
            reach[link.source].append(y[link.id])

    def ends(ys: list[float]) -> tuple[float, float]:
        return (min(ys) - CLEARANCE_MM, max(ys) + CLEARANCE_MM)

    return {b: ends(v) for b, v in reach.items()}, {b: ends(v) for b, v in home.items()}


def _conflicts(
    problem: Problem,
    cut: frozenset[str],
    layer: dict[str, int],
    left: dict[str, list[Piece]],
    right: dict[str, list[Piece]],
    y: dict[Key, float],
    span: dict[str, tuple[float, float]],
    home: dict[str, tuple[float, float]],
) -> list[frozenset[str]]:
    """For each clash the links that could be cut to end it."""
    whole = {k.id: k for k in problem.links if k.id not in cut}
    feeds: dict[str, list[str]] = {bar: [] for bar in span}
    for link in whole.values():
        feeds[link.source].append(link.id)
    found: list[frozenset[str]] = []
    for side in (left, right):
        for owner, rows in side.items():
            for key, _, _, first, last in rows:
                mine = whole.get(key) if isinstance(key, str) else None
                for bar, (top, bottom) in span.items():
                    if not first <= layer[bar] < last or bar == owner:
                        continue
                    if mine and mine.source == bar:
                        continue
                    if top - CLEARANCE_MM < y[key] < bottom + CLEARANCE_MM:
                        found.append(_blame(y[key], mine, feeds[bar], home[bar], y))
    found.extend(_bar_on_bar(layer, span, home, feeds, y))
    return [blamed for blamed in found if blamed]


def _blame(
    at: float, mine: Link | None, feeds: list[str], home: tuple[float, float], y: dict[Key, float]
) -> frozenset[str]:
    below = at >= (home[0] + home[1]) / 2
    stretching = {
        k
        for k in feeds
        if (y[k] > at - 2 * CLEARANCE_MM if below else y[k] < at + 2 * CLEARANCE_MM)
    }
    return frozenset(stretching | ({mine.id} if mine else set()))


def _bar_on_bar(
    layer: dict[str, int],
    span: dict[str, tuple[float, float]],
    home: dict[str, tuple[float, float]],
    feeds: dict[str, list[str]],
    y: dict[Key, float],
) -> list[frozenset[str]]:
    found = []
    bars = list(span)
    for i, a in enumerate(bars):
        for b in bars[i + 1 :]:
            low, high = max(span[a][0], span[b][0]), min(span[a][1], span[b][1])
            if layer[a] == layer[b] and high - low > -1.0:
                outside = {
                    k
                    for bar in (a, b)
                    for k in feeds[bar]
                    if not home[bar][0] <= y[k] <= home[bar][1]
                }
                found.append(frozenset(outside))
    return found


def _set_x(problem: Problem, found: Arranged) -> None:
    """X of each layer from the lengths of what lies in the gaps before it."""
    depth = max(found.layer.values()) + 1
    needs: list[tuple[int, int, float]] = []
    for side in problem.sides:
        needs.append((found.layer[side.bar] - 1, found.layer[side.bar], side.length_mm))
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
