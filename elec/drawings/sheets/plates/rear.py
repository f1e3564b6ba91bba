"""Panels from behind: what is bolted to which bar, and the wires on each device.

Only what is known: a device without a wire before it stands on the bar of its bus, and a bar joins
neighbours of one bus in a row. A view stands on the sheets of its panel where they have room, those
of large panels on further sheets.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby, product
from operator import itemgetter

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.ink import GREY, PALE, Box, Point
from elec.drawings.inputs import PanelFace, PanelPosition
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets import paper, parts
from elec.drawings.sheets.plates import front, terminals
from elec.drawings.sheets.plates.front import Row
from elec.kept import takes_over

SEEN = "From behind: A is at the right."
BARS = "Bars: of buses."
PART = "Dashed edge: the rest of the plate."
TITLE = "Panels from behind"
KIND = "wires and bars of buses"
LINE_MM = parts.LINE_MM
HEAD_MM = 4.2
NAME_MM = 3.8
BODY_MM = 4.0
BUS_MM = 4.6
"""Over a row for the names of its bars, where a view has those of several buses."""
APART_MM = ((4.0, 5.0), (2.0, 3.0), (0.8, 1.6))
"""Between two rows, and from what stands on the sheet already: as much as there is room for."""
EDGE_MM = 1.2
STEP_MM = 1.0
STUB_MM = 2.0
"""How far a bar reaches beyond the middle of its outer devices."""
LIFT_MM = 0.4
"""From the names of the positions down to a bar."""
SAID_MM = 150.0
"""The widest that a line under a view gets, unless the view itself is wider."""
LARGER: dict[Size, Size] = {"A4": "A3", "Letter": "Tabloid"}


class Rear(Struct, frozen=True, kw_only=True):
    """Some rows of a panel to be drawn from behind."""

    record: PanelFace
    rows: Sequence[Row]
    narrow: float = 1.0
    """How narrow the wires at terminals are written."""
    named: bool = False
    """Whether the name of the panel stands over it: on another sheet than its own."""
    bus_names: bool = False
    """Whether the name of a bus stands over its bars also where it is the only one."""

    @property
    def barred(self) -> set[str]:
        """The buses that have a bar on the panel."""
        return {bus for bus, _ in self.record.bars}

    @property
    def titled(self) -> bool:
        """Whether the names of the buses stand over their bars."""
        return len(self.record.bars) > 1 or (self.bus_names and bool(self.record.bars))

    @property
    def head(self) -> str:
        """What stands over it."""
        name = self.record.title.title if self.named else ""
        said = f"{name} from{SEEN[4:]}" if name else SEEN
        if any(list(_bars(row, self.barred)) for row in self.rows):
            said += f" {BARS}"
        if len(self.rows) < len(self.record.rows):
            first = 1 + self.record.rows.index(tuple(self.rows[0]))
            last = first + len(self.rows) - 1
            shown = f"Row {first}" if first == last else f"Rows {first} to {last}"
            said += f" {shown} of {len(self.record.rows)}. {PART}"
        return said


def draw_rear(sheet: Sheet, view: Rear, within: Box | None = None) -> bool:
    """A view on a sheet, where that or a part of it has room; whether it had."""
    if not view.record.rear or not any(spot.kind for row in view.rows for spot in row):
        return False
    forms = [view, replace(view, narrow=NARROW), _shorter(view)]
    if _bus_names_fit(named := replace(view, bus_names=True)):
        forms.insert(0, named)
    return any(_draw(sheet, form, within=within) for form in forms)


def _bus_names_fit(view: Rear) -> bool:
    """Whether the name of each bus is no wider than the devices that its bar joins."""
    columns, names = _columns(view).wide, dict(view.record.bars)
    return all(
        parts.width(metrics.clean(names[bus].upper()), bold=True) + 1.0
        <= sum(columns[start - 1 : stop])
        for row in view.rows
        for bus, start, stop in _bars(row, view.barred)
    )


NARROW = 0.85
"""Of the wires at terminals, where a sheet has little room."""


def _shorter(view: Rear) -> Rear:
    """The same with the sheets that have them in place of the wires of many terminals."""
    rows = tuple(
        tuple(
            replace(spot, behind=spot.there, terminals=()) if spot.there else spot for spot in row
        )
        for row in view.rows
    )
    every = {id(old): new for old, new in zip(view.rows, rows, strict=True)}
    record = replace(view.record, rows=tuple(every.get(id(row), row) for row in view.record.rows))
    return replace(view, record=record, rows=rows)


class RearColumns(Struct, frozen=True, kw_only=True):
    """Width of each column of a view, the first at the right."""

    wide: tuple[float, ...]

    def middle(self, column: int) -> float:
        """From the right edge to the middle of a column, counted from 1."""
        return sum(self.wide[: column - 1]) + self.wide[column - 1] / 2


def _columns(view: Rear) -> RearColumns:
    """All alike where bars join their devices; as wide as its switches need each elsewhere."""
    if not any(spot.terminals for row in view.rows for spot in row):
        return RearColumns(wide=(_pitch(view.rows),) * view.record.columns)
    wide = [0.0] * view.record.columns
    for row in view.rows:
        for spot in row:
            need = terminals.wide(spot, view.narrow) if spot.terminals else _pitch([[spot]])
            wide[spot.column - 1] = max(wide[spot.column - 1], need, 1.8 + parts.width(spot.name))
    return RearColumns(wide=tuple(wide))


def _draw(
    sheet: Sheet,
    view: Rear,
    apart: Sequence[tuple[float, float]] = APART_MM,
    within: Box | None = None,
) -> bool:
    columns = _columns(view)
    plate = sum(columns.wide) + 2 * EDGE_MM
    least = max(plate, parts.width(view.head, bold=True))
    for gap, clear in apart:
        high = sum(_high(view, row) for row in view.rows) + gap * (len(view.rows) - 1)
        high += HEAD_MM + 2 * EDGE_MM
        for room in (max(least, SAID_MM), least):
            said = [
                line
                for text in view.record.behind
                for line in metrics.wrap(metrics.clean(text), parts.SMALL_MM, room)
            ]
            wide = max((least, *map(parts.width, said)))
            tall = high + LINE_MM * len(said) + 0.8 * bool(said)
            at = free_at(sheet, wide, tall, clear, within=within)
            if at is None:
                continue
            _ink(sheet, view, (*at, at[0] + plate, at[1] + high), columns, gap)
            for k, text in enumerate(said):
                sheet.text(at[0], at[1] + high + LINE_MM * (k + 1), text, ref="rear said")
            return True
    return False


def _ink(sheet: Sheet, view: Rear, box: Box, columns: RearColumns, gap: float) -> None:
    x, y, right, bottom = box
    sheet.text(x, y + 2.6, view.head, bold=True, ref="rear")
    y += HEAD_MM
    every = view.record.rows
    front.edge(
        sheet, (x, y, right, bottom), name="rear edge",
        head=tuple(view.rows[0]) != every[0], foot=tuple(view.rows[-1]) != every[-1],
    )  # fmt: skip
    y += EDGE_MM
    for row in view.rows:
        _row(sheet, view, row, (right - EDGE_MM, y), columns)
        y += _high(view, row) + gap


def _pitch(rows: Sequence[Row]) -> float:
    texts = [text for row in rows for spot in row for text in (spot.name, *spot.behind)]
    return 1.8 + max(map(parts.width, texts))


def _high(view: Rear, row: Row) -> float:
    tall = (
        terminals.high(spot) if spot.terminals else BODY_MM + parts.LINE_MM * len(spot.behind)
        for spot in row
    )
    return BUS_MM * view.titled + NAME_MM + max(tall, default=BODY_MM)


def plate_box(sheet: Sheet) -> list[Box]:
    """The room of the plate that stands on a sheet, if there is one."""
    edges = [item.box for item in sheet.items if item.ref in ("panel", "panel cut")]
    if not edges:
        return []
    return [(min(b[0] for b in edges), min(b[1] for b in edges),
             max(b[2] for b in edges), max(b[3] for b in edges))]  # fmt: skip


def free_at(
    sheet: Sheet,
    wide: float,
    high: float,
    clear: float,
    *,
    kept: Sequence[Box] = (),
    within: Box | None = None,
) -> Point | None:
    """The upper left corner of free room on a sheet or a part of it, the highest, then leftmost."""
    whole = (
        sheet.frame[0] + 5.0, sheet.frame[1] + 3.0, sheet.frame[2] - 5.0, sheet.block[1] - 2.0
    )  # fmt: skip
    left, top, right, bottom = within or whole
    taken = [*kept, *(item.box for item in sheet.items)]
    y = top
    while y + high <= bottom and left + wide <= right:
        x, near = left, [b for b in taken if b[1] < y + high + clear and b[3] > y - clear]
        ends = bottom
        while x + wide <= right:
            over = [b for b in near if b[0] < x + wide + clear and b[2] > x - clear]
            if not over:
                return x, y
            _, _, hit, low = max(over, key=itemgetter(2, 3))
            x, ends = hit + clear + 0.01, min(ends, low)
        y += STEP_MM
        while y - clear < ends and y + high <= bottom:  # all that was in the way still is
            y += STEP_MM
    return None


def _row(sheet: Sheet, view: Rear, row: Row, at: Point, columns: RearColumns) -> None:
    """One row: the first column at the right, its name over each, its wires under it."""
    right, y = at
    names = dict(view.record.bars)
    bars = list(_bars(row, view.barred))
    for bus, _, stop in bars if view.titled else ():
        x = right - sum(columns.wide[:stop])
        sheet.text(
            x + 1.0, y + 3.2, metrics.clean(names[bus].upper()), bold=True, ref=f"rear bus {bus}"
        )
    y += BUS_MM * view.titled
    middle = y + NAME_MM + BODY_MM / 2
    for _, start, stop in bars:
        a, b = (right - columns.middle(column) for column in (start, stop))
        level = middle - BODY_MM / 2 + LIFT_MM
        ends = ((b - STUB_MM, level), (a + STUB_MM, level))
        sheet.line(ends, width_mm=1.0, kind="rule", ref="rear bar")
    for spot in row:
        x = right - columns.middle(spot.column)
        linked = spot.bar not in view.barred and not spot.terminals
        if spot.kind and spot.bar and linked:  # a link that is not in the file
            level = middle - BODY_MM / 2 + LIFT_MM
            ends = ((x - STUB_MM, level), (x + STUB_MM, level))
            sheet.line(ends, width_mm=1.0, kind="rule", ref="rear stub")
        _spot(sheet, spot, (x, y), middle, view.narrow)


def _spot(sheet: Sheet, spot: PanelPosition, at: Point, middle: float, narrow: float) -> None:
    (x, y), half = at, BODY_MM / 2
    ref = f"rear {spot.name}"
    sheet.text(x, y + 2.7, spot.name, align="center", colour=GREY, ref=ref)
    if spot.terminals:
        terminals.draw(sheet, spot, (x, y + NAME_MM), narrow)
        return
    if spot.kind:
        body = (x - half, middle - half + 0.5 + LIFT_MM, x + half, middle + half)
        sheet.rect(body, kind="rule", width_mm=0.3, ref=ref, fill=PALE)
    else:
        sheet.circle((x, middle + 0.6), half - 0.8, kind="rule", ref=ref, dash=(1.0, 0.8))
    for k, text in enumerate(spot.behind):
        level = y + NAME_MM + BODY_MM + parts.LINE_MM * (k + 1) - 0.6
        sheet.text(x, level, metrics.clean(text), align="center", ref=ref)


def _bars(row: Row, barred: set[str]) -> Iterator[tuple[str, int, int]]:
    """Buses with the columns from where to where a bar joins their devices, over free places."""
    for bus, own in groupby((spot for spot in row if spot.kind), key=lambda spot: spot.bar):
        columns = [spot.column for spot in own]
        if bus in barred:
            yield bus, columns[0], columns[-1]


# --- sheets of their own ----------------------------------------------------------------------


@takes_over
def behind(records: Sequence[PanelFace], title: TitleBlock) -> list[Sheet]:
    """Further sheets with whole panels from behind: on one if that can be, else larger paper."""
    views = [Rear(record=record, rows=record.rows, named=True) for record in records]
    size = records[0].size
    for paper_size in (size, LARGER.get(size, size)):
        named = [v if not _bus_names_fit(n := replace(v, bus_names=True)) else n for v in views]
        for form in (named, views):
            if (one := _on_one(form, paper_size, title)) is not None:
                return [one]
    sheets: list[Sheet] = []
    while views:
        sheets.append(_new(LARGER.get(size, size), title, len(sheets)))
        left = [view for view in views if not draw_rear(sheets[-1], view)]
        if len(left) == len(views):  # higher than a sheet: nothing has room for it
            break
        views = left
    return sheets


def _on_one(views: Sequence[Rear], size: Size, title: TitleBlock) -> Sheet | None:
    """All on one sheet, as far apart as they can be, in their order or the widest first."""
    widest = sorted(views, key=lambda view: -sum(_columns(view).wide))
    for apart, order in product(APART_MM, (views, widest)):
        sheet = _new(size, title, 0)
        if all(_draw(sheet, view, (apart,)) for view in order):
            return sheet
    return None


def _new(size: Size, title: TitleBlock, count: int) -> Sheet:
    block = paper.continued(title, count, KIND)
    sheet = paper.page(size, block, f"{block.title}: devices, their wires and the bars of buses.")
    parts.draw_notes(sheet, (NOT_TO_SCALE, OURS), paper.strip(sheet))
    return sheet


OURS = "Numbers of terminals, (1) or ringed, are ours: the maker's drawing decides."
"""Wherever terminals are counted."""
NOT_TO_SCALE = "Seen from behind, not to scale: drill by the front views."


__all__ = ["KIND", "TITLE", "Rear", "behind", "draw_rear", "free_at", "plate_box"]
