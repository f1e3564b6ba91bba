"""Rows: every conductor is one level line; what it joins are cells in columns.

A cell's column is its longest path from the left over all rows. The same box or splice in several
rows is one upright thing stretched over them; where another row must pass between, it is drawn in
parts, so nothing ever crosses. What is wider than the sheet is cut into tiers, joined by numbers.
"""

from collections import Counter
from collections.abc import Hashable, Sequence
from functools import cached_property

from msgspec import Struct, field
from msgspec.structs import replace

PITCH_MM = 9.2
"""Least distance of two rows: two lines of text and room between."""
HALF_MM = 4.4
"""What a row's texts take over and under its line."""
AIR_MM = 2.4
"""From a box to the one under it."""
SHARED_KINDS = frozenset({"equipment", "connector", "splice", "shield", "twist", "bridge", "throw"})
THROUGH_KINDS = frozenset({"shield", "twist", "coax"})
"""What a conductor passes through without ending."""
LEFT_KINDS = frozenset({"bus", "battery", "alternator", "external"})


class NodeBox(Struct, frozen=True, kw_only=True):
    """A node as the layout sees it: what it is, its width, and its half heights on a row."""

    ref: str
    kind: str
    width_mm: float
    above_mm: float
    below_mm: float
    head_mm: float = 0.0
    """Room over the first row of a box for its title."""
    foot_mm: float = 0.0
    lone_mm: float = 0.0
    """Room over and under a box on a single row, for what is written in it."""


class Strip(Struct, frozen=True, kw_only=True):
    """A row: cells, and the length that each conductor between them needs for its texts."""

    id: Hashable
    cells: tuple[NodeBox, ...]
    lengths_mm: tuple[float, ...]


class TallBox(Struct, frozen=True, kw_only=True):
    """A cell stretched over rows: its column's middle and the y of its first and last row."""

    key: str
    cell: NodeBox
    column: int
    rows: tuple[int, ...]
    whole: bool


class Tier(Struct, kw_only=True, dict=True):
    """Rows under each other with common columns."""

    strips: list[Strip]
    keys: list[list[str]]
    column: dict[str, int]
    width_mm: float
    middle: list[float] = field(default_factory=list)
    """x of the middle of each column, from the left of the tier."""
    wide: list[float] = field(default_factory=list)
    over: bool = False
    """Whether the names of boxes stand over them."""

    @cached_property
    def shared(self) -> Counter[str]:
        """How many cells each thing has that rows share."""
        return Counter(
            c.ref for strip in self.strips for c in strip.cells if c.kind in SHARED_KINDS
        )


def order(strips: Sequence[Strip]) -> list[Strip]:
    """Rows that share a box or splice next to each other, else as given."""
    best = list(strips)
    if not 3 <= len(best) <= 40:
        return best
    cost = _breaks(best)
    for _ in range(4):
        start = cost
        for i in range(len(best)):
            for j in range(len(best)):
                trial = best[:i] + best[i + 1 :]
                trial.insert(j, best[i])
                if (c := _breaks(trial)) < cost:
                    best, cost = trial, c
        if cost == start:
            break
    return best


def _breaks(strips: Sequence[Strip]) -> int:
    """How often boxes begin anew; a splice's line may pass rows that lie right of it."""
    count, before = 0, set[str]()
    for strip in strips:
        now = {
            c.ref for c in strip.cells if c.kind in ("equipment", "connector", "shield", "twist")
        }
        count += len(now - before)
        before = now
    return count


# --- columns ----------------------------------------------------------------------------------


def tier(strips: Sequence[Strip]) -> Tier:
    """Columns and their x for some rows."""
    keys, edges = _keys(strips)
    column = _columns(strips, keys, edges)
    evened = _evened(strips, keys)
    found = Tier(strips=evened, keys=keys, column=column, width_mm=0.0)
    _set_x(found)
    return found


def _evened(strips: Sequence[Strip], keys: Sequence[Sequence[str]]) -> list[Strip]:
    """The rows with each shared cell as large as the largest of its rows asks."""
    largest: dict[str, NodeBox] = {}
    for strip, row in zip(strips, keys, strict=True):
        for key, cell in zip(row, strip.cells, strict=True):
            other = largest.get(key, cell)
            largest[key] = replace(
                cell,
                width_mm=max(cell.width_mm, other.width_mm),
                head_mm=max(cell.head_mm, other.head_mm),
                lone_mm=max(cell.lone_mm, other.lone_mm),
                foot_mm=max(cell.foot_mm, other.foot_mm),
            )
    return [
        replace(strip, cells=tuple(largest[key] for key in row))
        for strip, row in zip(strips, keys, strict=True)
    ]


def _keys(strips: Sequence[Strip]) -> tuple[list[list[str]], dict[str, set[str]]]:
    """A name for each cell of each row; shared cells share it unless that would make a ring."""
    after: dict[str, set[str]] = {}
    keys: list[list[str]] = []
    for i, strip in enumerate(strips):
        row: list[str] = []
        for k, cell in enumerate(strip.cells):
            key = cell.ref if cell.kind in SHARED_KINDS else f"{cell.ref}\0{i}.{k}"
            part = 1
            while row and (key in row or _reaches(after, key, row[-1])):
                part += 1
                key = f"{cell.ref}\0{part}"
            after.setdefault(key, set())
            if row:
                after[row[-1]].add(key)
            row.append(key)
        keys.append(row)
    return keys, after


def _reaches(after: dict[str, set[str]], start: str, goal: str) -> bool:
    seen, todo = {start}, [start]
    while todo:
        for following in after.get(todo.pop(), ()):
            if following not in seen:
                seen.add(following)
                todo.append(following)
    return goal in seen


def _columns(
    strips: Sequence[Strip], keys: list[list[str]], after: dict[str, set[str]]
) -> dict[str, int]:
    kind = {
        k: c.kind
        for strip, row in zip(strips, keys, strict=True)
        for k, c in zip(row, strip.cells, strict=True)
    }
    firsts = {row[0] for row in keys}
    later = {key: set(more) for key, more in after.items()}
    for splice in (k for k, what in kind.items() if what == "splice"):
        for end in (k for k in firsts if kind[k] in ("ground", "chassis", "stud", "flag")):
            if not _reaches(later, end, splice):
                later[splice].add(end)
    column = _longest(later)
    last = max(column.values())
    lasts = {row[-1] for row in keys}
    for key in lasts:
        if kind[key] in ("equipment", "flag", "note") and not later[key]:
            column[key] = last
    for key in sorted(column, key=lambda k: -column[k]):
        if key in firsts and kind[key] not in (*LEFT_KINDS, "flag", "note") and after[key]:
            before = [k for k, more in after.items() if key in more]
            if not before:
                column[key] = max(column[key], min(column[k] for k in after[key]) - 1)
    return column


def _longest(after: dict[str, set[str]]) -> dict[str, int]:
    column = dict.fromkeys(after, 0)
    for _ in after:
        changed = False
        for key, more in after.items():
            for following in more:
                if column[following] <= column[key]:
                    column[following] = column[key] + 1
                    changed = True
        if not changed:
            break
    return column


def _set_x(found: Tier) -> None:
    count = max(found.column.values()) + 1
    wide = [0.0] * count
    for strip, row in zip(found.strips, found.keys, strict=True):
        for key, cell in zip(row, strip.cells, strict=True):
            wide[found.column[key]] = max(wide[found.column[key]], cell.width_mm)
    gap = [2.0] * count
    needs = []
    for strip, row in zip(found.strips, found.keys, strict=True):
        for k, length in enumerate(strip.lengths_mm):
            a, b = found.column[row[k]], found.column[row[k + 1]]
            spare = _spare(strip.cells[k], wide[a]) + _spare(strip.cells[k + 1], wide[b])
            needs.append((b - a, a, b, length - spare))
    for _, a, b, length in sorted(needs):
        have = sum(gap[a:b]) + sum(wide[a + 1 : b])
        if have < length:
            gap[b - 1] += length - have
    found.wide = wide
    _spread(found, gap)


def _spare(cell: NodeBox, wide: float) -> float:
    """Room beside a cell in its column that its conductors may use; boxes are all as wide."""
    return 0.0 if cell.kind in ("equipment", "flag") else (wide - cell.width_mm) / 2


def _spread(found: Tier, gap: list[float]) -> None:
    x, found.middle = 0.0, []
    for w, g in zip(found.wide, gap, strict=True):
        found.middle.append(x + w / 2)
        x += w + g
    found.width_mm = x - gap[-1]


MOST_MM = 14.0
"""By so much a gap grows at most."""


def stretch(found: Tier, width_mm: float) -> None:
    """Use spare width: every gap grows alike."""
    count = len(found.middle)
    if count < 2 or width_mm <= found.width_mm:
        return
    extra = min(MOST_MM, (width_mm - found.width_mm) / (count - 1))
    found.middle = [x + extra * i for i, x in enumerate(found.middle)]
    found.width_mm += extra * (count - 1)


# --- rows -------------------------------------------------------------------------------------


def parts(found: Tier, first: int, last: int) -> list[TallBox]:
    """The cells of the rows from `first` to before `last`, shared ones joined where they may be."""
    made: list[TallBox] = []
    current: dict[str, list[int]] = {}
    cell_of: dict[str, NodeBox] = {}
    for i in range(first, last):
        row = found.keys[i]
        reach = (found.column[row[0]], found.column[row[-1]])
        for key in list(current):
            column = found.column[key]
            if key not in row and reach[0] <= column <= reach[1]:
                made.append(_part(found, key, cell_of[key], current.pop(key)))
        for key, cell in zip(row, found.strips[i].cells, strict=True):
            if key in current and _narrower(found, key, current[key][-1], i):
                made.append(_part(found, key, cell_of[key], current.pop(key)))
            current.setdefault(key, []).append(i)
            cell_of.setdefault(key, cell)
    made.extend(_part(found, key, cell_of[key], rows) for key, rows in current.items())
    return sorted(made, key=lambda p: (p.rows[0], p.column))


def _narrower(found: Tier, key: str, before: int, now: int) -> bool:
    """Whether a row between two rows of a cell has a cell in the same column."""
    column = found.column[key]
    return any(
        found.column[other] == column for i in range(before + 1, now) for other in found.keys[i]
    )


def _part(found: Tier, key: str, cell: NodeBox, rows: list[int]) -> TallBox:
    whole = cell.kind not in SHARED_KINDS or found.shared[cell.ref] == len(rows)
    return TallBox(key=key, cell=cell, column=found.column[key], rows=tuple(rows), whole=whole)


def heights(found: Tier, made: Sequence[TallBox], first: int, last: int) -> list[float]:
    """Y of each row from the top of the tier."""
    above, below = [HALF_MM] * (last - first), [HALF_MM] * (last - first)
    for i in range(first, last):
        for cell in found.strips[i].cells:
            above[i - first] = max(above[i - first], cell.above_mm)
            below[i - first] = max(below[i - first], cell.below_mm)
    for part in made:
        top, bottom = part.rows[0] - first, part.rows[-1] - first
        lone = part.cell.lone_mm if top == bottom else 0.0
        above[top] = max(above[top], part.cell.head_mm, lone)
        below[bottom] = max(below[bottom], part.cell.foot_mm, lone)
    boxes = [p for p in made if p.cell.kind == "equipment"]
    ends = {(p.rows[-1] + 1, p.column) for p in boxes}
    under = {row for row, _ in ends & {(p.rows[0], p.column) for p in boxes}}
    ys: list[float] = []
    for i, up in enumerate(above):
        air = AIR_MM if first + i in under else 1.0
        step = max(below[i - 1] + up + air, PITCH_MM) if i else up
        ys.append((ys[-1] if ys else 0.0) + step)
    return ys


def together(found: Tier, row: int) -> bool:
    """Whether a row and the one before it lie in one shield, twist or bridge."""
    around = {
        key
        for key, cell in zip(found.keys[row], found.strips[row].cells, strict=True)
        if cell.kind in ("shield", "twist", "bridge", "throw")
    }
    return bool(around & set(found.keys[row - 1]))


def bottom(made: Sequence[TallBox], ys: Sequence[float], first: int) -> float:
    """How far down the rows reach."""
    ends = [
        ys[p.rows[-1] - first]
        + max(p.cell.foot_mm, p.cell.below_mm, p.cell.lone_mm if len(p.rows) == 1 else 0.0)
        for p in made
    ]
    return max([*ends, ys[-1] + HALF_MM + 0.8])


# --- tiers ------------------------------------------------------------------------------------


def cut_columns(found: Tier, width_mm: float) -> list[int]:
    """Columns before which a tier that is too wide may be cut, the most promising first."""
    if found.width_mm <= width_mm:
        return []
    ends = [x + w / 2 for x, w in zip(found.middle, found.wide, strict=True)]
    return sorted(range(1, len(ends)), key=lambda k: (ends[k - 1] > width_mm, -k))
