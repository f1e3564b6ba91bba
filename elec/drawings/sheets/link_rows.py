"""Boxes at the end of a line as rows: box, line with what it carries, box.

The box that several of them are joined to stands beside all their rows. Rows fill two parts side by
side of a sheet, from a height on, and go on on further sheets.
"""

from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.ink import PALE, Box
from elec.drawings.inputs import BoxLink
from elec.drawings.sheet import Sheet, Wanted
from elec.drawings.sheets import parts
from elec.drawings.sheets.table import GAP_MM

BOXES_MM = (54.0, 58.0, 62.0, 66.0, 70.0, 74.0)
"""Widths of boxes that are tried, so that all is low."""
SPOT_MM = 17.0
"""Of a box, what keeps room for its sheet and zone."""
ROW_MM = 5.8
APART_MM = 0.8
"""Between two boxes under each other."""
GROUP_MM = 1.8
"""Between two groups."""
HEAD_MM = 5.0
PLUG_MM = (1.3, 1.2)
"""Width and half height of one half of a plug."""
HEADING = "What no circuit feeds (sensors, jacks, grips), and boxes joined to one fed box alone"


class LinkRow(Struct, frozen=True, kw_only=True):
    """A line between two boxes, the first of which may have further ones."""

    link: BoxLink
    turned: bool
    """Whether `b` of the link is the box with further lines."""
    names: tuple[str, str]
    """What stands in both boxes."""
    text: str

    @property
    def hub(self) -> tuple[str, str]:
        """The box with further lines, and its connector."""
        one = self.link
        return (one.b, one.b_at) if self.turned else (one.a, one.a_at)

    @property
    def leaf(self) -> str:
        """The box that is joined to that alone."""
        return self.link.a if self.turned else self.link.b


Group = list[LinkRow]


class _Widths(Struct, frozen=True, kw_only=True):
    """Of one part of the sheet, and of each box in it."""

    part_mm: float
    box_mm: float


def grouped(rows: Sequence[LinkRow]) -> list[Group]:
    """The rows of each connector together, in the order in which they first come."""
    found: dict[tuple[str, str], Group] = {}
    for row in rows:
        found.setdefault(row.hub, []).append(row)
    return list(found.values())


def draw_rows(
    sheets: list[Sheet],
    y: float,
    groups: Sequence[Group],
    area: Callable[[Sheet], Box],
    fresh: Callable[[int], Sheet],
) -> float:
    """All groups from a height of the last sheet on; gives the y under them."""
    left = list(groups)
    x0, _, x1, _ = area(sheets[-1])
    part = (x1 - x0 - GAP_MM) / 2
    tried = [_Widths(part_mm=part, box_mm=box) for box in BOXES_MM]
    wide = min(tried, key=lambda w: sum(_group_mm(group, w) for group in groups))
    while left:
        x0, top, _, bottom = area(sheets[-1])
        room = bottom - y - HEAD_MM
        columns = _filled(left, room, wide)
        if not columns[0]:
            if y <= top + 0.01:  # higher than a sheet: it runs out of it, and that shows
                columns = [left[:1], []]
            else:
                sheets.append(fresh(len(sheets)))
                y = top
                continue
        sheets[-1].text(x0 + 1.0, y + parts.SMALL_MM, HEADING, bold=True, ref="head")
        ends = []
        for k, column in enumerate(columns):
            x, at = x0 + k * (part + GAP_MM), y + HEAD_MM
            for group in column:
                at = _draw_group(sheets[-1], group, (x, at), wide) + GROUP_MM
            ends.append(at - GROUP_MM)
        left = left[sum(map(len, columns)) :]
        y = max(ends) + 3.0
    return y


def _filled(groups: Sequence[Group], room: float, wide: _Widths) -> list[list[Group]]:
    """Two columns, as even as may be where everything has room."""
    high = [_group_mm(group, wide) + GROUP_MM for group in groups]
    whole = [n for n in range(len(groups) + 1) if sum(high[:n]) - GROUP_MM <= room]
    first = max(whole, default=0)
    second = max(
        (n for n in range(first, len(groups) + 1) if sum(high[first:n]) - GROUP_MM <= room),
        default=first,
    )
    if second == len(groups):
        first = min(
            (n for n in whole if n), key=lambda n: max(sum(high[:n]), sum(high[n:])), default=first
        )
    return [list(groups[:first]), list(groups[first:second])]


def _lines(text: str, wide: _Widths) -> tuple[str, ...]:
    room = wide.box_mm - SPOT_MM - 1.5
    return metrics.wrap(metrics.clean(text), parts.SMALL_MM, room, bold=True)


def _texts(row: LinkRow, wide: _Widths) -> tuple[str, ...]:
    plug = 2 * PLUG_MM[0] + 2.0 if row.link.plugs else 0.0
    room = wide.part_mm - 2 * wide.box_mm - 3.0 - plug
    return metrics.wrap(metrics.clean(row.text), parts.SMALL_MM, room)


def _row_mm(row: LinkRow, wide: _Widths) -> float:
    name = parts.LINE_MM * (len(_lines(row.names[1], wide)) - 1)
    said = parts.LINE_MM * len(_texts(row, wide)) + 1.0
    return APART_MM + max(ROW_MM - APART_MM + name, said)


def _group_mm(group: Group, wide: _Widths) -> float:
    hub = parts.LINE_MM * (len(_lines(group[0].names[0], wide)) - 1)
    return max(ROW_MM + hub, sum(_row_mm(row, wide) for row in group))


def _draw_group(sheet: Sheet, group: Group, at: tuple[float, float], wide: _Widths) -> float:
    x, y = at
    high = [_row_mm(row, wide) for row in group]
    more = (_group_mm(group, wide) - sum(high)) / len(group)
    bottom = y + sum(high) + more * len(group) - APART_MM
    first = group[0]
    target = first.link.targets[1 if first.turned else 0]
    right = x + wide.box_mm
    said = _lines(first.names[0], wide)
    _draw_box(sheet, (x, y, right, bottom), first.hub[0], said, target)
    for row, step in zip(group, high, strict=True):
        lower = y + step + more - APART_MM
        box = (x + wide.part_mm - wide.box_mm, y, x + wide.part_mm, lower)
        target = row.link.targets[0 if row.turned else 1]
        _draw_box(sheet, box, row.leaf, _lines(row.names[1], wide), target)
        texts = _texts(row, wide)
        level = (y + lower + parts.LINE_MM * len(texts) - 1.6) / 2
        ends = (row.hub[0], row.leaf)
        line = ((right, level), (box[0], level))
        sheet.line(line, width_mm=0.35, ref=row.link.id, ends=ends, role="link")
        for n, text in enumerate(reversed(texts)):
            base = level - parts.OVER_LINE_MM - parts.LINE_MM * n
            sheet.text(right + 1.5, base, text, ref=row.link.id)
        if row.link.plugs:
            draw_plug(sheet, (box[0] - 2 * PLUG_MM[0] - 2.0, level), row.link.id)
        y = lower + APART_MM
    return bottom


def _draw_box(sheet: Sheet, box: Box, ref: str, lines: Sequence[str], target: str) -> None:
    """A connector of a box, with the box's name and its sheet in it."""
    sheet.rect(box, width_mm=0.35, ref=ref, fill=PALE, role="connector")
    middle = (box[1] + box[3]) / 2
    for n, line in enumerate(lines):
        level = middle + parts.LINE_MM * (n - (len(lines) - 1) / 2)
        sheet.text(box[0] + 1.2, level, line, middle=True, bold=True, ref=ref)
    spot = (box[2] - 1.2, middle + parts.SMALL_MM / 2)
    sheet.wanted.append(
        Wanted(at=spot, target=target, ref=ref, align="right", room_mm=SPOT_MM - 1.5)
    )


def draw_plug(sheet: Sheet, at: tuple[float, float], ref: str) -> None:
    """The two halves of a plug in a line, from a point to the right."""
    x, y = at
    for left in (x, x + PLUG_MM[0]):
        half = (left, y - PLUG_MM[1], left + PLUG_MM[0], y + PLUG_MM[1])
        sheet.rect(half, width_mm=0.3, kind="rule", ref=ref, fill="#ffffff", role="plug")


def rows_of(
    links: Sequence[BoxLink],
    every: Sequence[BoxLink],
    names: Mapping[tuple[str, str], str],
    texts: Mapping[str, str],
) -> list[LinkRow]:
    """Links as rows, the busier of their two boxes first, counted by every link."""
    beside: dict[str, set[str]] = {}
    for link in every:
        beside.setdefault(link.a, set()).add(link.b)
        beside.setdefault(link.b, set()).add(link.a)
    found = []
    for link in links:
        turned = len(beside[link.b]) > len(beside[link.a])
        ends = (names[link.a, link.a_at], names[link.b, link.b_at])
        row = LinkRow(
            link=link, turned=turned, names=ends[::-1] if turned else ends, text=texts[link.id]
        )
        found.append(row)
    return found


__all__ = ["LinkRow", "draw_plug", "draw_rows", "grouped", "rows_of"]
