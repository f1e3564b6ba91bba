"""Boxes in columns and nets between them: level and upright lines, each alone on its way.

Columns by breadth-first search from the busiest box, to both sides of it; a net over several
columns takes a lane through those between. Sweeps order boxes and lanes by the mean of what they
are joined to. In each gap between columns a net that does not go straight has one upright piece on
a track; which track lies left of which follows from ports at one height (a graph; a ring in it is
broken by a jog). Pure: boxes and nets in, millimetres out.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from itertools import combinations, pairwise

from elec.record import dataclass

PORT_MM = 6.0
"""Least distance of two ports on one side of a box."""
LANE_MM = 4.0
"""Height of the lane of a net that passes a column."""
SPACE_MM = 4.0
"""Room under a box."""
TRACK_MM = 2.4
CLEAR_MM = 1.6
"""Two level pieces nearer than this count as at one height."""
GRID_MM = 0.5
"""Heights are multiples of this, so that what is almost straight is straight."""
SWEEPS = 12


@dataclass(frozen=True, kw_only=True)
class NetBox:
    """A box: its width, and the room over it for its title."""

    id: str
    width_mm: float
    head_mm: float = 9.0


@dataclass(frozen=True, kw_only=True)
class Net:
    """A line between two boxes; `label_mm` is the room for its text at its left end."""

    id: str
    a: str
    b: str
    label_mm: float = 0.0


Point = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Port:
    """Where a net meets a box; `right` is the box's side."""

    net: str
    box: str
    at: Point
    right: bool


@dataclass(frozen=True, kw_only=True)
class Routed:
    """Where everything lies; y from the top, x from the left."""

    boxes: Mapping[str, tuple[float, float, float, float]]
    ports: tuple[Port, ...]
    lines: Mapping[str, tuple[Point, ...]]
    width_mm: float
    height_mm: float
    labels: Mapping[str, Point] = field(default_factory=dict)
    """Net → where its text begins, on its line at its left end."""


@dataclass(kw_only=True)
class _Item:
    """A box or lane in a column."""

    id: str
    column: int
    box: NetBox | None
    left: list[str] = field(default_factory=list)
    """Pieces of nets that leave to the left, in order from the top."""
    right: list[str] = field(default_factory=list)
    y: float = 0.0

    @property
    def head_mm(self) -> float:
        return self.box.head_mm if self.box else 0.0

    @property
    def high_mm(self) -> float:
        """Height with the title and the room under it."""
        if self.box is None:
            return LANE_MM
        return self.head_mm + PORT_MM * max(len(self.left), len(self.right), 1) + SPACE_MM

    def port_y(self, piece: str, *, right: bool) -> float:
        if self.box is None:
            return self.y + LANE_MM / 2
        ports = self.right if right else self.left
        most = max(len(self.left), len(self.right), 1)
        start = self.y + self.head_mm + PORT_MM / 2 + PORT_MM * (most - len(ports)) / 2
        return start + PORT_MM * ports.index(piece)


@dataclass(kw_only=True)
class _Piece:
    """A net within one gap. Both ends may lie on the gap's left side: the net turns back."""

    id: str
    net: str
    left: str
    right: str
    turns: bool = False


def route(boxes: Sequence[NetBox], nets: Sequence[Net], *, columns: int = 5) -> Routed:
    """Lay boxes and nets out.

    Args:
        boxes: the boxes, in the order that breaks ties.
        nets: lines between two different boxes.
        columns: how many columns there may be.

    Raises:
        ValueError: a net joins a box to itself, or to one that is not there.
    """
    known = {box.id for box in boxes}
    for net in nets:
        if net.a == net.b or not {net.a, net.b} <= known:
            raise ValueError(f"net {net.id} does not join two of the boxes")
    column = _columns(boxes, nets, columns)
    items, pieces = _items(boxes, nets, column)
    _sweep(items, pieces)
    _place(items, pieces)
    return _drawn(items, pieces, nets)


# --- columns ----------------------------------------------------------------------------------


def _columns(boxes: Sequence[NetBox], nets: Sequence[Net], most: int) -> dict[str, int]:
    """A column for each box, from 0; the busiest of each island in the middle one."""
    beside: dict[str, list[str]] = {box.id: [] for box in boxes}
    for net in nets:
        beside[net.a].append(net.b)
        beside[net.b].append(net.a)
    reach = max(0, (most - 1) // 2)
    found: dict[str, int] = {}
    filled: dict[int, int] = {}
    for hub in sorted(beside, key=lambda b: -len(beside[b])):
        if hub in found:
            continue
        found[hub] = 0
        filled[0] = filled.get(0, 0) + 1 + len(beside[hub])
        ring = [hub]
        while ring:
            ring = _next_ring(ring, beside, found, filled, reach)
    least = min(found.values(), default=0)
    return {box: c - least for box, c in found.items()}


def _next_ring(
    ring: Sequence[str],
    beside: Mapping[str, Sequence[str]],
    found: dict[str, int],
    filled: dict[int, int],
    reach: int,
) -> list[str]:
    """Give the neighbours of a ring their columns, each on the side that suits it best."""
    fresh = dict.fromkeys(b for box in ring for b in beside[box] if b not in found)
    for box in sorted(fresh, key=lambda b: -len(beside[b])):
        near = [found[b] for b in beside[box] if b in found]
        wanted = {c + step for c in near for step in (-1, 1) if abs(c + step) <= reach} or {0}

        def cost(c: int, near: Sequence[int] = tuple(near)) -> tuple[float, int]:
            far = sum(abs(c - other) if c != other else 1.5 for other in near)
            return (far + 0.25 * filled.get(c, 0), c)

        best = min(sorted(wanted), key=cost)
        found[box] = best
        filled[best] = filled.get(best, 0) + 2 + len(beside[box])
    return list(fresh)


def _items(
    boxes: Sequence[NetBox], nets: Sequence[Net], column: Mapping[str, int]
) -> tuple[list[list[_Item]], list[list[_Piece]]]:
    """Items by column, and pieces of nets by gap; gap k lies right of column k."""
    count = max(column.values(), default=0) + 1
    items: list[list[_Item]] = [[] for _ in range(count)]
    pieces: list[list[_Piece]] = [[] for _ in range(count)]
    by_id = {box.id: _Item(id=box.id, column=column[box.id], box=box) for box in boxes}
    for item in by_id.values():
        items[item.column].append(item)
    for net in nets:
        a, b = sorted((net.a, net.b), key=lambda box: column[box])
        first, last = column[a], column[b]
        if first == last:
            piece = _Piece(id=f"{net.id} {first}", net=net.id, left=a, right=b, turns=True)
            pieces[first].append(piece)
            by_id[a].right.append(piece.id)
            by_id[b].right.append(piece.id)
            continue
        before = by_id[a]
        for k in range(first, last):
            after = (
                by_id[b]
                if k + 1 == last
                else _Item(id=f"{net.id} lane {k + 1}", column=k + 1, box=None)
            )
            if after.box is None:
                items[k + 1].append(after)
                by_id[after.id] = after
            piece = _Piece(id=f"{net.id} {k}", net=net.id, left=before.id, right=after.id)
            pieces[k].append(piece)
            before.right.append(piece.id)
            after.left.append(piece.id)
            before = after
    return items, pieces


# --- order ------------------------------------------------------------------------------------


def _sweep(items: list[list[_Item]], pieces: Sequence[Sequence[_Piece]]) -> None:
    """Order columns and ports by what they are joined to; the order with fewest crossings stays."""
    best: tuple[int, list[list[str]]] | None = None
    for n in range(2 * SWEEPS):
        ends = _neighbours(items, pieces)
        order = range(len(items)) if n % 2 == 0 else range(len(items) - 1, -1, -1)
        place = {item.id: float(i) for column in items for i, item in enumerate(column)}
        for k in order:
            means = {
                item.id: _mean([place[o] for o in ends[item.id]], place[item.id])
                for item in items[k]
            }
            items[k].sort(key=lambda item, m=means: m[item.id])  # type: ignore[misc]
            place.update({item.id: float(i) for i, item in enumerate(items[k])})
        count = _inversions(items, pieces)
        if best is None or count < best[0]:
            best = (count, [[item.id for item in column] for column in items])
    if best is not None:
        for column, ids in zip(items, best[1], strict=True):
            column.sort(key=lambda item, ids=ids: ids.index(item.id))  # type: ignore[misc]
    _transpose(items, pieces)
    _order_ports(items, pieces)


def _transpose(items: Sequence[list[_Item]], pieces: Sequence[Sequence[_Piece]]) -> None:
    """Change neighbours in a column while that saves crossings."""
    count = _inversions(items, pieces)
    for _ in range(4):
        before = count
        for column in items:
            for i in range(len(column) - 1):
                column[i], column[i + 1] = column[i + 1], column[i]
                trial = _inversions(items, pieces)
                if trial < count:
                    count = trial
                else:
                    column[i], column[i + 1] = column[i + 1], column[i]
        if count == before:
            return


def _mean(values: Sequence[float], otherwise: float) -> float:
    return sum(values) / len(values) if values else otherwise


def _neighbours(
    items: Sequence[Sequence[_Item]], pieces: Sequence[Sequence[_Piece]]
) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {item.id: [] for column in items for item in column}
    for gap in pieces:
        for piece in gap:
            found[piece.left].append(piece.right)
            found[piece.right].append(piece.left)
    return found


def _inversions(items: Sequence[Sequence[_Item]], pieces: Sequence[Sequence[_Piece]]) -> int:
    """How many pairs of nets between neighbouring columns must cross."""
    place = {item.id: i for column in items for i, item in enumerate(column)}
    count = 0
    for gap in pieces:
        spans = [(place[p.left], place[p.right]) for p in gap if not p.turns]
        count += sum((a - c) * (b - d) < 0 for (a, b), (c, d) in combinations(spans, 2))
        turns = [sorted((place[p.left], place[p.right])) for p in gap if p.turns]
        count += sum(low < a < high for low, high in turns for a, _ in spans)
    return count


def _order_ports(items: Sequence[Sequence[_Item]], pieces: Sequence[Sequence[_Piece]]) -> None:
    place = {item.id: i for column in items for i, item in enumerate(column)}
    by_id = {piece.id: piece for gap in pieces for piece in gap}

    def key(item: _Item, name: str) -> tuple[float, float]:
        piece = by_id[name]
        other = piece.right if piece.left == item.id else piece.left
        if not piece.turns:
            return (place[other], 0.0)
        below = place[other] > place[item.id]
        return (1000.0 if below else -1000.0, -float(place[other]))

    for column in items:
        for item in column:
            item.left.sort(key=lambda name, item=item: key(item, name))  # type: ignore[misc]
            item.right.sort(key=lambda name, item=item: key(item, name))  # type: ignore[misc]


# --- heights ----------------------------------------------------------------------------------


def _place(items: Sequence[list[_Item]], pieces: Sequence[Sequence[_Piece]]) -> None:
    """Y of every item: close to where its nets go straight, in order, without overlap."""
    for column in items:
        _stack(column, {item.id: 0.0 for item in column})
    high = [sum(item.high_mm for item in column) for column in items]
    for column, h in zip(items, high, strict=True):
        for item in column:
            item.y += (max(high) - h) / 2
    for n in range(6):
        order = range(len(items)) if n % 2 == 0 else range(len(items) - 1, -1, -1)
        for k in order:
            _stack(items[k], {item.id: _wanted(item, items, pieces) for item in items[k]})
    top = min((item.y for column in items for item in column), default=0.0)
    for column in items:
        for item in column:
            item.y = round((item.y - top) / GRID_MM) * GRID_MM


def _wanted(
    item: _Item, items: Sequence[Sequence[_Item]], pieces: Sequence[Sequence[_Piece]]
) -> float:
    """The y at which most of an item's nets are straight; the middle one on a tie."""
    by_id = {i.id: i for column in items for i in column}
    offsets: list[float] = []
    for gap in (item.column - 1, item.column):
        for piece in pieces[gap] if gap >= 0 else ():
            if piece.turns or item.id not in (piece.left, piece.right):
                continue
            own = item.port_y(piece.id, right=piece.left == item.id)
            other = by_id[piece.right if piece.left == item.id else piece.left]
            there = other.port_y(piece.id, right=piece.left == other.id)
            offsets.append(round(there - own, 3))
    if not offsets:
        return item.y
    ranked = sorted(set(offsets), key=lambda o: (-offsets.count(o), abs(o)))
    return item.y + ranked[0]


def _stack(column: Sequence[_Item], wanted: Mapping[str, float]) -> None:
    """Items in order as near as may be to where they want to be (pooled, as in isotonic fits)."""
    pools: list[tuple[list[_Item], float]] = []
    for item in column:
        pools.append(([item], wanted[item.id]))
        while len(pools) > 1:
            (above, y), (below, z) = pools[-2], pools[-1]
            high = sum(i.high_mm for i in above)
            if y + high <= z + 1e-9:
                break
            count = len(above) + len(below)
            start = (y * len(above) + (z - high) * len(below)) / count
            pools[-2:] = [([*above, *below], start)]
    for group, start in pools:
        at = start
        for item in group:
            item.y = at
            at += item.high_mm


# --- tracks -----------------------------------------------------------------------------------


@dataclass(kw_only=True)
class _Run:
    """An upright piece on a track: from one height to another; `after` must lie left of it."""

    piece: str
    start: float
    stop: float
    turns: bool
    track: int = 0


def _runs(gap: Sequence[_Piece], by_id: Mapping[str, _Item]) -> list[list[_Run]]:
    """The upright pieces of each net of a gap, from left to right; none for a straight one."""
    found: list[list[_Run]] = []
    for piece in gap:
        a = by_id[piece.left].port_y(piece.id, right=True)
        b = by_id[piece.right].port_y(piece.id, right=piece.turns)
        straight = not piece.turns and abs(a - b) < 0.01
        found.append([] if straight else [_Run(piece=piece.id, start=a, stop=b, turns=piece.turns)])
    return found


def _lefts(run: _Run) -> tuple[float, ...]:
    """The heights at which a run's level pieces lie left of its track."""
    return (run.start, run.stop) if run.turns else (run.start,)


def _rights(run: _Run) -> tuple[float, ...]:
    return () if run.turns else (run.stop,)


def _before(runs: Sequence[_Run]) -> dict[int, set[int]]:
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


def _tracks(nets: list[list[_Run]], taken: Iterable[float]) -> int:
    """Give every run its track; rings are broken by a jog. Gives the count of tracks."""
    heights = list(taken)
    while True:
        runs = [run for net in nets for run in net]
        before = _before(runs)
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
        jog = _Run(piece=worst.piece, start=level, stop=worst.stop, turns=False)
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


def _fill(runs: Sequence[_Run], before: Mapping[int, set[int]]) -> int:
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


def _improve(runs: Sequence[_Run], before: Mapping[int, set[int]], count: int) -> None:
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


def _crossed(runs: Sequence[_Run]) -> int:
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


# --- coordinates ------------------------------------------------------------------------------


def _drawn(
    items: Sequence[Sequence[_Item]], pieces: Sequence[Sequence[_Piece]], nets: Sequence[Net]
) -> Routed:
    by_id = {item.id: item for column in items for item in column}
    by_net = {net.id: net for net in nets}
    x = 0.0
    boxes: dict[str, tuple[float, float, float, float]] = {}
    ports: list[Port] = []
    parts: dict[str, list[Point]] = {net.id: [] for net in nets}
    labels: dict[str, Point] = {}
    for k, column in enumerate(items):
        wide = max((i.box.width_mm for i in column if i.box), default=0.0)
        for item in column:
            if item.box is not None:
                edge = x + (wide - item.box.width_mm) / 2
                top = item.y + item.head_mm
                boxes[item.id] = (
                    edge,
                    top,
                    edge + item.box.width_mm,
                    item.y + item.high_mm - SPACE_MM,
                )
        found = _runs(pieces[k], by_id)
        taken = [
            y
            for piece in pieces[k]
            for y in (
                by_id[piece.left].port_y(piece.id, right=True),
                by_id[piece.right].port_y(piece.id, right=piece.turns),
            )
        ]
        count = _tracks(found, taken)
        flat = [run for net in found for run in net]
        before = _before(flat)
        for net in found:
            for one, two in pairwise(net):
                before[flat.index(two)].add(flat.index(one))
        _improve(flat, before, count)
        start = x + wide
        room = max(
            (by_net[p.net].label_mm for p in pieces[k] if by_id[p.left].box is not None),
            default=0.0,
        )
        first = start + room + 3.0
        end = first + TRACK_MM * max(count - 1, 0) + 4.0 if pieces[k] else start
        for piece, runs in zip(pieces[k], found, strict=True):
            a, b = by_id[piece.left], by_id[piece.right]
            here, there = a.port_y(piece.id, right=True), b.port_y(piece.id, right=piece.turns)
            left = boxes[a.id][2] if a.box else start
            points = [(left, here)]
            for run in runs:
                at = first + TRACK_MM * run.track
                points += [(at, run.start), (at, run.stop)]
            if piece.turns:
                points.append((boxes[b.id][2], there))
            else:
                points.append((_left_edge(b, items[k + 1], end), there))
            if a.box is not None:
                labels.setdefault(piece.net, (start, here))
                ports.append(Port(net=piece.net, box=a.id, at=points[0], right=True))
            if b.box is not None:
                ports.append(Port(net=piece.net, box=b.id, at=points[-1], right=piece.turns))
            parts[piece.net] += points
        x = end
    high = max((i.y + i.high_mm for column in items for i in column), default=0.0)
    return Routed(
        boxes=boxes,
        ports=tuple(ports),
        lines={name: _clean(points) for name, points in parts.items()},
        width_mm=x,
        height_mm=high,
        labels=labels,
    )


def _left_edge(item: _Item, column: Sequence[_Item], x: float) -> float:
    wide = max((i.box.width_mm for i in column if i.box), default=0.0)
    return x + (wide - item.box.width_mm) / 2 if item.box else x


def _clean(points: Sequence[Point]) -> tuple[Point, ...]:
    """Without points between two on one line."""
    found: list[Point] = []
    for point in points:
        if found and abs(found[-1][0] - point[0]) < 1e-9 and abs(found[-1][1] - point[1]) < 1e-9:
            continue
        while len(found) > 1 and (
            (abs(found[-2][0] - found[-1][0]) < 1e-9 and abs(found[-1][0] - point[0]) < 1e-9)
            or (abs(found[-2][1] - found[-1][1]) < 1e-9 and abs(found[-1][1] - point[1]) < 1e-9)
        ):
            found.pop()
        found.append(point)
    return tuple(found)


def crossings(lines: Mapping[str, Sequence[Point]]) -> int:
    """How often lines of different nets cross."""
    segments = [(net, one, two) for net, points in lines.items() for one, two in pairwise(points)]
    count = 0
    for (m, a, b), (n, c, d) in combinations(segments, 2):
        if m != n:
            count += _cross(a, b, c, d) or _cross(c, d, a, b)
    return count


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether a level and an upright piece cross."""
    if abs(a[1] - b[1]) > 1e-9 or abs(c[0] - d[0]) > 1e-9:
        return False
    across, down = sorted((a[0], b[0])), sorted((c[1], d[1]))
    return across[0] + 0.01 < c[0] < across[1] - 0.01 and down[0] + 0.01 < a[1] < down[1] - 0.01


__all__ = ["Net", "NetBox", "Port", "Routed", "crossings", "route"]
