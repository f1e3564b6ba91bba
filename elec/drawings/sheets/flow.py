"""Rows that flow over the sheets of one drawing: tiers, cuts with numbers, new sheets.

What is wider than a sheet is cut and goes on below, joined by numbers; what is higher goes on on
the next sheet.
"""

from collections.abc import Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from elec.drawings.inputs import DrawnRow, Node
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets import cells, paper
from elec.drawings.sheets.row_ink import RowInk


class Page(Struct, kw_only=True):
    """A sheet being filled: the next free y."""

    sheet: Sheet
    y: float


class SheetFlow(Struct, kw_only=True):
    """The sheets of one drawing so far."""

    title: TitleBlock
    document_type: str
    description: str
    size: Size
    kind: type[Sheet] = Sheet
    """What it is drawn on, or only laid out on."""
    pages: list[Page] = field(default_factory=list)
    cuts: int = 0
    at: int = -1
    """Which sheet is being filled; -1: the last."""

    def page(self) -> Page:
        """The sheet being filled."""
        return self.pages[self.at]


def new_page(work: SheetFlow) -> None:
    """Go on on a new sheet."""
    block = paper.continued(work.title, len(work.pages), work.document_type)
    sheet = paper.page(work.size, block, work.description, work.kind)
    work.pages.append(Page(sheet=sheet, y=sheet.frame[1] + 3.0))
    work.at = -1


def limit(sheet: Sheet) -> float:
    """How far down a sheet may be filled."""
    return sheet.block[1] - 3.0


# --- tiers and pages --------------------------------------------------------------------------


def draw_tiers(work: SheetFlow, rows: Sequence[DrawnRow]) -> None:
    """Rows that fit the width; what is wider is cut and goes on below, joined by numbers."""
    if not rows:
        return
    sheet = work.page().sheet
    room = across(sheet)
    found = cells.tier(rows)
    if found.width_mm > room:
        narrow = [_narrow(row) for row in rows]
        tried = ((narrow, False, False), (rows, True, False), (narrow, True, False),
                 (narrow, True, True))  # fmt: skip
        for given, over, tight in tried:
            slim = cells.tier(given, over=over, tight=tight)
            if slim.width_mm <= room:
                found, rows = slim, given
                break
        else:  # it is parted
            found, rows = cells.tier(narrow), narrow
    cuts = work.cuts
    best: tuple[float, int] | None = None
    for column in layout.cut_columns(found, room):
        work.cuts = cuts
        left, right = _split(work, found, rows, column)
        if not left or not right or max(map(_nodes, (left, right))) >= _nodes(rows):
            continue
        wide = max(cells.tier(left).width_mm, room)
        if best is None or wide < best[0]:
            best = (wide, column)
    work.cuts = cuts
    if best is not None:
        left, right = _split(work, found, rows, best[1])
        draw_tiers(work, left)
        draw_tiers(work, right)
        return
    layout.stretch(found, room)
    _draw_rows(work, found, rows)


def _narrow(row: DrawnRow) -> DrawnRow:
    """A row with the names of its ground points in short lines."""
    grounds = ("ground", "chassis")
    return replace(row, nodes=tuple(
        replace(node, narrow=True) if node.kind in grounds else node for node in row.nodes
    ))  # fmt: skip


def across(sheet: Sheet) -> float:
    """Width for the rows."""
    return sheet.frame[2] - sheet.frame[0] - 10.0


def _split(
    work: SheetFlow, found: layout.Tier, rows: Sequence[DrawnRow], column: int
) -> tuple[list[DrawnRow], list[DrawnRow]]:
    """The rows left and right of a column; a row over it is cut in a conductor."""
    left: list[DrawnRow] = []
    right: list[DrawnRow] = []
    for keys, row in zip(found.keys, rows, strict=True):
        count = sum(found.column[key] < column for key in keys)
        if count == len(row.nodes) - 1 and row.nodes[-1].kind == "flag":
            count = len(row.nodes)
        if count == 1 and row.nodes[0].kind == "flag":
            count = 0
        if count == len(row.nodes):
            left.append(row)
        elif count == 0:
            right.append(row)
        else:
            a, b = _cut(work, row, count)
            left.append(a)
            right.append(b)
    return left, right


def _nodes(rows: Sequence[DrawnRow]) -> int:
    """How many nodes there are, flags aside; it must fall with every cut."""
    return sum(node.kind != "flag" for row in rows for node in row.nodes)


def _cut(work: SheetFlow, row: DrawnRow, count: int) -> tuple[DrawnRow, DrawnRow]:
    """A row cut in the conductor before node `count`."""
    wire = row.conductors[count - 1]
    if wire.gap:
        return (
            DrawnRow(nodes=row.nodes[:count], conductors=row.conductors[: count - 1]),
            DrawnRow(nodes=row.nodes[count:], conductors=row.conductors[count:]),
        )
    name = _named(work.cuts)
    work.cuts += 1
    out = Node(kind="flag", ref=f"to {name}", label=name)
    back = Node(kind="flag", ref=f"from {name}", label=name)
    return (
        DrawnRow(nodes=(*row.nodes[:count], out), conductors=row.conductors[:count]),
        DrawnRow(
            nodes=(back, *row.nodes[count:]),
            conductors=(replace(wire, gauge="", colour="", length=""), *row.conductors[count:]),
        ),
    )


def _named(n: int) -> str:
    """What stands in both flags of a cut conductor: no contact beside it is called so."""
    return f"→{n + 1}"


def _draw_rows(work: SheetFlow, found: layout.Tier, rows: Sequence[DrawnRow]) -> None:
    """As many rows as fit on each page."""
    first = 0
    while first < len(rows):
        page = work.page()
        last = len(rows)
        while True:
            made = layout.parts(found, first, last)
            ys = layout.heights(found, made, first, last)
            fits = page.y + layout.bottom(made, ys, first) <= limit(page.sheet)
            if fits or last == first + 1:
                break
            last -= 1
            while last > first + 1 and layout.together(found, last):
                last -= 1
        if not fits and page.y > page.sheet.frame[1] + 4.0:
            new_page(work)
            continue
        RowInk(page.sheet, found, rows, made, [page.y + y for y in ys], first).draw()
        page.y += layout.bottom(made, ys, first) + 3.0
        first = last
        if first < len(rows):
            new_page(work)
