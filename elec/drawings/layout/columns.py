"""Boxes and the lanes of nets in columns: which column, in which order, at which height.

Columns by breadth-first search from the busiest box, to both sides of it; sweeps order each column
by the mean of what its items are joined to; heights are fitted so that most nets go straight.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence

from msgspec import Struct, field

PORT_MM = 5.4
"""Least distance of two ports on one side of a box."""
LANE_MM = 4.0
"""Height of the lane of a net that passes a column."""
SPACE_MM = 3.0
"""Room under a box."""
GRID_MM = 0.5
"""Heights are multiples of this, so that what is almost straight is straight."""
SWEEPS = 6
NEAR_MM = 3.4
"""A net whose ends differ by less goes straight where its ports have room: a step of a hair looks
like a fault of the drawing."""
EDGE_MM = 1.0
"""From a port to the edge of its connector at least."""
LANE_ROOM_MM = 0.6
"""By so much a lane moves."""
APART_MM = 4.0
"""From one port to the next at least: a line of text stands between."""


class NetBox(Struct, frozen=True, kw_only=True):
    """A box: its width, and the room over it for its title."""

    id: str
    width_mm: float
    head_mm: float = 9.0
    port_mm: float = PORT_MM
    """Distance of two ports on one side of it."""
    space_mm: float = SPACE_MM
    """Room under it."""


class Net(Struct, frozen=True, kw_only=True):
    """A line between two boxes; `label_mm` is the room for its text at its left end.

    `a_at` and `b_at` name the connectors that it leaves them at.
    """

    id: str
    a: str
    b: str
    label_mm: float = 0.0
    a_at: str = ""
    b_at: str = ""


_Band = tuple[str, list[str], list[str]]
"""A connector with its pieces to the left and to the right."""


class ColumnItem(Struct, kw_only=True):
    """A box or lane in a column."""

    id: str
    column: int
    box: NetBox | None
    left: list[str] = field(default_factory=list)
    """Pieces of nets that leave to the left, in order from the top."""
    right: list[str] = field(default_factory=list)
    at: dict[str, str] = field(default_factory=dict)
    """Piece → the connector of the box that it leaves at."""
    several: bool = False
    """Whether these are more than one."""
    bands: list[_Band] = field(default_factory=list)
    """The connectors from the top, as `banded` found them."""
    y: float = 0.0
    moved: dict[tuple[str, bool], float] = field(default_factory=dict)
    """Piece and side → by how much its port lies lower than evenly spaced."""

    @property
    def head_mm(self) -> float:
        """Room over it for its title."""
        return self.box.head_mm if self.box else 0.0

    @property
    def high_mm(self) -> float:
        """Height with the title and the room under it."""
        if self.box is None:
            return LANE_MM
        rows = sum(max(len(left), len(right)) for _, left, right in self.bands)
        return self.head_mm + self.box.port_mm * max(rows, 1) + self.box.space_mm

    def port_y(self, piece: str, *, right: bool) -> float:
        """The height at which a piece leaves on one side."""
        if self.box is None:
            return self.y + LANE_MM / 2
        start, pitch = self.y + self.head_mm, self.box.port_mm
        for _, *sides in self.bands:
            ports, most = sides[right], max(map(len, sides))
            if piece in ports:
                first = start + pitch / 2 + pitch * (most - len(ports)) / 2
                moved = self.moved.get((piece, right), 0.0)
                return first + pitch * ports.index(piece) + moved
            start += pitch * most
        raise ValueError(f"{piece} does not leave {self.id} on that side")

    def move(self, piece: str, by_mm: float, *, right: bool) -> None:
        """Move a port; a lane moves whole."""
        if self.box is None:
            self.y += by_mm
        else:
            self.moved[piece, right] = self.moved.get((piece, right), 0.0) + by_mm

    def port_room(self, piece: str, *, right: bool) -> tuple[float, float]:
        """By how much a port may move up and down in its connector."""
        for (_, top, bottom), (_, *sides) in zip(self.spans(), self.bands, strict=True):
            ports = sides[right]
            if piece not in ports:
                continue
            y, at = self.port_y(piece, right=right), ports.index(piece)
            low, high = top + EDGE_MM, bottom - EDGE_MM
            if at:
                low = self.port_y(ports[at - 1], right=right) + APART_MM
            if at + 1 < len(ports):
                high = self.port_y(ports[at + 1], right=right) - APART_MM
            return min(0.0, low - y), max(0.0, high - y)
        return -LANE_ROOM_MM, LANE_ROOM_MM  # a lane

    def spans(self) -> list[tuple[str, float, float]]:
        """The connectors of a box with the heights between which each stands."""
        found, y = [], self.y + self.head_mm
        pitch = self.box.port_mm if self.box else PORT_MM
        for name, left, right in self.bands:
            high = pitch * max(len(left), len(right))
            found.append((name, y, y + high))
            y += high
        return found


def banded(item: ColumnItem) -> list[_Band]:
    """The connectors of a box from the top.

    One connector is one band across the box: the pieces of a side stand together by it.
    """
    found: dict[str, tuple[list[str], list[str]]] = {}
    ranks: dict[str, list[float]] = {}
    for side, pieces in enumerate((item.left, item.right)):
        for rank, piece in enumerate(pieces):
            at = item.at.get(piece, "")
            found.setdefault(at, ([], []))[side].append(piece)
            ranks.setdefault(at, []).append((rank + 0.5) / len(pieces))
    return [(at, *found[at]) for at in sorted(found, key=lambda at: _mean(ranks[at], 0.0))]


class NetPiece(Struct, kw_only=True):
    """A net within one gap. Both ends may lie on the gap's left side: the net turns back."""

    id: str
    net: str
    left: str
    right: str
    turns: bool = False


# --- columns ----------------------------------------------------------------------------------


def columns(boxes: Sequence[NetBox], nets: Sequence[Net], most: int) -> dict[str, int]:
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


def items(
    boxes: Sequence[NetBox], nets: Sequence[Net], column: Mapping[str, int]
) -> tuple[list[list[ColumnItem]], list[list[NetPiece]]]:
    """Items by column, and pieces of nets by gap; gap k lies right of column k."""
    count = max(column.values(), default=0) + 1
    items: list[list[ColumnItem]] = [[] for _ in range(count)]
    pieces: list[list[NetPiece]] = [[] for _ in range(count)]
    by_id = {box.id: ColumnItem(id=box.id, column=column[box.id], box=box) for box in boxes}
    for item in by_id.values():
        items[item.column].append(item)
    for net in nets:
        a, b = sorted((net.a, net.b), key=lambda box: column[box])
        first, last = column[a], column[b]
        if first == last:
            piece = NetPiece(id=f"{net.id} {first}", net=net.id, left=a, right=b, turns=True)
            pieces[first].append(piece)
            for end in (a, b):
                by_id[end].right.append(piece.id)
                by_id[end].at[piece.id] = net.a_at if end == net.a else net.b_at
            continue
        before = by_id[a]
        for k in range(first, last):
            after = (
                by_id[b]
                if k + 1 == last
                else ColumnItem(id=f"{net.id} lane {k + 1}", column=k + 1, box=None)
            )
            if after.box is None:
                items[k + 1].append(after)
                by_id[after.id] = after
            piece = NetPiece(id=f"{net.id} {k}", net=net.id, left=before.id, right=after.id)
            pieces[k].append(piece)
            before.right.append(piece.id)
            after.left.append(piece.id)
            for item in (before, after):
                if item.box is not None:
                    item.at[piece.id] = net.a_at if item.id == net.a else net.b_at
            before = after
    for item in by_id.values():
        item.several = len(set(item.at.values())) > 1
    return items, pieces


# --- order ------------------------------------------------------------------------------------


class SweptOrder(Struct, frozen=True, kw_only=True):
    """In which order items stand in their columns."""

    columns: tuple[tuple[str, ...], ...]
    crossings: int
    """So many pairs of nets must cross in it."""


def sweep(items: list[list[ColumnItem]], pieces: Sequence[Sequence[NetPiece]]) -> SweptOrder:
    """Order columns by what they are joined to; the order with fewest crossings."""
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
        count = inversions(items, pieces)
        if best is None or count < best[0]:
            best = (count, [[item.id for item in column] for column in items])
    if best is not None:
        _sort(items, best[1])
    count = _transpose(items, pieces)
    return SweptOrder(
        columns=tuple(tuple(item.id for item in column) for column in items), crossings=count
    )


def arrange(
    items: Sequence[list[ColumnItem]],
    pieces: Sequence[Sequence[NetPiece]],
    order: Sequence[Sequence[str]],
) -> None:
    """Put columns in an order, and ports in that which it asks for."""
    _sort(items, order)
    _order_ports(items, pieces)


def _sort(items: Sequence[list[ColumnItem]], order: Sequence[Sequence[str]]) -> None:
    for column, ids in zip(items, order, strict=True):
        column.sort(key=lambda item, ids=ids: ids.index(item.id))  # type: ignore[misc]


def _transpose(items: Sequence[list[ColumnItem]], pieces: Sequence[Sequence[NetPiece]]) -> int:
    """Change neighbours in a column while that saves crossings; gives how many there are."""
    count = inversions(items, pieces)
    for _ in range(4):
        before = count
        for column in items:
            for i in range(len(column) - 1):
                column[i], column[i + 1] = column[i + 1], column[i]
                trial = inversions(items, pieces)
                if trial < count:
                    count = trial
                else:
                    column[i], column[i + 1] = column[i + 1], column[i]
        if count == before:
            break
    return count


def _mean(values: Sequence[float], otherwise: float) -> float:
    return sum(values) / len(values) if values else otherwise


def _neighbours(
    items: Sequence[Sequence[ColumnItem]], pieces: Sequence[Sequence[NetPiece]]
) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {item.id: [] for column in items for item in column}
    for gap in pieces:
        for piece in gap:
            found[piece.left].append(piece.right)
            found[piece.right].append(piece.left)
    return found


def inversions(items: Sequence[Sequence[ColumnItem]], pieces: Sequence[Sequence[NetPiece]]) -> int:
    """How many pairs of nets between neighbouring columns must cross."""
    place = {item.id: i for column in items for i, item in enumerate(column)}
    ranks = _ranks(items, pieces, place)
    count = 0
    for gap in pieces:
        spans = sorted(
            (
                place[p.left] + ranks.get((p.left, p.id), 0.0),
                place[p.right] + ranks.get((p.right, p.id), 0.0),
            )
            for p in gap
            if not p.turns
        )
        above: list[float] = []
        for _, b in spans:
            at = bisect_right(above, b)
            count += len(above) - at
            above.insert(at, b)
        turns = [sorted((place[p.left], place[p.right])) for p in gap if p.turns]
        count += sum(low < a < high for low, high in turns for a, _ in spans)
    return count


def _ranks(
    items: Sequence[Sequence[ColumnItem]],
    pieces: Sequence[Sequence[NetPiece]],
    place: Mapping[str, int],
) -> dict[tuple[str, str], float]:
    """(Box, piece) → where its connector stands among those of the box, as parts of a place."""
    several = {i.id: i for column in items for i in column if i.several}
    if not several:
        return {}
    there: dict[str, dict[str, list[int]]] = {}
    for gap in pieces:
        for piece in gap:
            for end, other in ((piece.left, piece.right), (piece.right, piece.left)):
                if end in several:
                    at = several[end].at[piece.id]
                    there.setdefault(end, {}).setdefault(at, []).append(place[other])
    found: dict[tuple[str, str], float] = {}
    for name, ends in there.items():
        order = sorted(ends, key=lambda at, ends=ends: _mean(ends[at], 0.0))  # type: ignore[misc]
        for piece_id, at in several[name].at.items():
            found[name, piece_id] = order.index(at) / (len(order) + 1)
    return found


def _order_ports(
    items: Sequence[Sequence[ColumnItem]], pieces: Sequence[Sequence[NetPiece]]
) -> None:
    place = {item.id: i for column in items for i, item in enumerate(column)}
    by_id = {piece.id: piece for gap in pieces for piece in gap}

    def key(item: ColumnItem, name: str) -> tuple[float, float]:
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
            item.bands = banded(item)


# --- heights ----------------------------------------------------------------------------------


def place(items: Sequence[list[ColumnItem]], pieces: Sequence[Sequence[NetPiece]]) -> None:
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


def least_mm(items: Sequence[Sequence[ColumnItem]]) -> float:
    """The height that columns have at least, whatever the order in them and of their ports."""
    for item in (item for column in items for item in column):
        item.bands = banded(item)
    return max((sum(i.high_mm for i in column) for column in items), default=0.0) - GRID_MM


def straighten(items: Sequence[Sequence[ColumnItem]], pieces: Sequence[Sequence[NetPiece]]) -> None:
    """Move the ports of nets that are almost straight, as far as their connectors have room."""
    by_id = {item.id: item for column in items for item in column}
    for piece in (piece for gap in pieces for piece in gap if not piece.turns):
        a, b = by_id[piece.left], by_id[piece.right]
        step = b.port_y(piece.id, right=False) - a.port_y(piece.id, right=True)
        if not 1e-6 < abs(step) <= NEAR_MM:
            continue
        up, down = b.port_room(piece.id, right=False)
        here = max(up, min(down, -step))
        up, down = a.port_room(piece.id, right=True)
        there = step + here
        if up - 1e-9 <= there <= down + 1e-9:
            b.move(piece.id, here, right=False)
            a.move(piece.id, there, right=True)


def _wanted(
    item: ColumnItem, items: Sequence[Sequence[ColumnItem]], pieces: Sequence[Sequence[NetPiece]]
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


def _stack(column: Sequence[ColumnItem], wanted: Mapping[str, float]) -> None:
    """Items in order as near as may be to where they want to be (pooled, as in isotonic fits)."""
    pools: list[tuple[list[ColumnItem], float]] = []
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
