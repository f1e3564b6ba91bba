"""Boxes at the end of a line as rows: box, line with what it carries, box.

The box that several of them are joined to stands beside all their rows. Rows fill two parts side by
side of a sheet, from a height on, and go on on further sheets.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.ink import BLACK, LINK, PALE, Box, Lettering, Point
from elec.drawings.inputs import BoxLink
from elec.drawings.sheet import Sheet, Wanted
from elec.drawings.sheets import parts
from elec.drawings.sheets.table import GAP_MM

BOXES_MM = (54.0, 58.0, 62.0, 66.0, 70.0, 74.0)
"""Widths of boxes that are tried, so that all is low."""
SPOT_MM = 16.5
"""Of a box, what keeps room for its sheet and zone."""
ROW_MM = 5.8
APART_MM = 0.8
"""Between two boxes under each other."""
GROUP_MM = 1.8
"""Between two groups."""
HEAD_MM = 5.0
PLUG_MM = (1.3, 1.2)
"""Width and half height of one half of a plug."""
HEADING = "Sensors, jacks, grips, and boxes with one partner"
PLUG_SPOT = "K2.13/A1"
"""Keeps room for sheet and zone of a plug within a text."""
ALSO = "also"
"""Role of the text that leads to the other places of a box, and its first word."""
MOST_PLACES = 2
"""For so many other places of a box there is room."""
WIDEST_PLACE = "N2/D5"
PLACE = "place"
"""Group of the frames of boxes, each of which is a place."""


class LinkRow(Struct, frozen=True, kw_only=True, cache_hash=True):
    """A line between two boxes, the first of which may have further ones."""

    link: BoxLink
    turned: bool
    """Whether `b` of the link is the box with further lines."""
    names: tuple[str, str]
    """What stands in both boxes."""
    text: str
    others: tuple[int, int] = (0, 0)
    """In how many further places each of both boxes stands."""

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


Lined = Literal["all", "hubs", "none"]
LINED: tuple[Lined, ...] = ("all", "hubs", "none")
"""Which boxes may have a line more for their other places, where these have no room in theirs: all,
those with further rows, or none."""


class _Widths(Struct, frozen=True, kw_only=True):
    """Of one part of the sheet, and of each box in it."""

    part_mm: float
    box_mm: float
    lines_for: Lined = "all"
    """Which boxes may have a line more for their other places."""


def grouped(rows: Sequence[LinkRow]) -> list[Group]:
    """The rows of each connector together, in the order in which they first come."""
    found: dict[tuple[str, str], Group] = {}
    for row in rows:
        found.setdefault(row.hub, []).append(row)
    return list(found.values())


class Rows(Struct, frozen=True, kw_only=True):
    """Groups in two columns, and from where on they are to stand on a sheet."""

    sheet: Sheet
    at: Point
    columns: Sequence[Sequence[Group]]
    wide: _Widths

    def draw(self) -> None:
        """Draw them there."""
        x, y = self.at
        self.sheet.text(x + 1.0, y + parts.SMALL_MM, HEADING, bold=True, ref="head")
        for group, at in _places(self):
            _draw_group(self.sheet, group, at, self.wide)


def _places(rows: Rows) -> Iterator[tuple[Group, Point]]:
    """Each group with its upper left corner."""
    x, y = rows.at
    for k, column in enumerate(rows.columns):
        at = y + HEAD_MM
        for group in column:
            yield group, (x + k * (rows.wide.part_mm + GAP_MM), at)
            at = _under(group, at, rows.wide) + GROUP_MM


def laid(
    sheets: list[Sheet],
    y: float,
    groups: Sequence[Group],
    area: Callable[[Sheet], Box],
    fresh: Callable[[int], Sheet],
    *,
    lines_for: Lined = "all",
    box_mm: float = 0.0,
) -> tuple[list[Rows], float]:
    """Where all groups stand from a height of the last sheet on, and the y under them.

    `box_mm` is how wide each box is, in mm; 0: so wide that all is lowest. Further sheets are put
    behind.
    """
    left = list(groups)
    found: list[Rows] = []
    x0, _, x1, _ = area(sheets[-1])
    part = (x1 - x0 - GAP_MM) / 2
    tried = [
        _Widths(part_mm=part, box_mm=box, lines_for=lines_for)
        for box in ((box_mm,) if box_mm else BOXES_MM)
    ]
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
        found.append(Rows(sheet=sheets[-1], at=(x0, y), columns=columns, wide=wide))
        ends = [y + HEAD_MM - GROUP_MM]
        ends += [_under(group, at, wide) for group, (_, at) in _places(found[-1])]
        left = left[sum(map(len, columns)) :]
        y = max(ends) + 3.0
    return found, y


def _filled(groups: Sequence[Group], room: float, wide: _Widths) -> list[list[Group]]:
    """Two columns, as even as may be where everything has room."""
    high: list[float] = []
    for group in groups:
        if sum(high) > 2 * (room + GROUP_MM):
            break  # both columns are full without it
        high.append(_group_mm(group, wide) + GROUP_MM)
    whole = [n for n in range(len(high) + 1) if sum(high[:n]) - GROUP_MM <= room]
    first = max(whole, default=0)
    second = max(
        (n for n in range(first, len(high) + 1) if sum(high[first:n]) - GROUP_MM <= room),
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


def _count(text: str, others: int, wide: _Widths, among: Sequence[Lined]) -> int:
    """The lines of a box's name, and one more where its other places have no room behind it."""
    lines = _lines(text, wide)
    more = others and wide.lines_for in among and _zones_mm(others) > _behind_mm(lines, wide)
    return len(lines) + bool(more)


def _behind_mm(lines: Sequence[str], wide: _Widths) -> float:
    """What is free behind the last line of a name."""
    return wide.box_mm - SPOT_MM - 3.0 - parts.width(lines[-1], bold=True)


def also_mm(others: int) -> float:
    """Room for what leads to so many other places of a box."""
    return parts.width(_alsos(others)[0]) if others else 0.0


def _zones_mm(others: int) -> float:
    """Room for the zones alone of so many other places of a box."""
    return parts.width(", ".join([WIDEST_PLACE] * min(others, MOST_PLACES)))


def _alsos(others: int) -> list[str]:
    """What leads to so many other places of a box, on other sheets or here, the widest first."""
    count = min(others, MOST_PLACES)
    here = WIDEST_PLACE.rpartition("/")[2]
    found = [one for zone in (WIDEST_PLACE, here) for one in _shorter([zone] * count)]
    return sorted(found, key=parts.width, reverse=True) if others else []


def _shorter(named: Sequence[str]) -> Iterator[str]:
    """Other places of a box, always with their zone: all of them, else the first and `+`."""
    every = ", ".join(named)
    yield f"{ALSO} {every}"
    yield every
    if len(named) > 1:
        yield f"{named[0]} +"
        yield named[0]


def _texts(row: LinkRow, wide: _Widths) -> tuple[str, ...]:
    plug = 2 * PLUG_MM[0] + 2.0 if row.link.plugs else 0.0
    room = wide.part_mm - 2 * wide.box_mm - 3.0 - plug
    text = row.text
    for name in row.link.plugs if row.link.plug_targets else ():
        text = text.replace(name, f"{name} {PLUG_SPOT}")
    return metrics.wrap(metrics.clean(text), parts.SMALL_MM, room)


@lru_cache(maxsize=1 << 13)
def _row_mm(row: LinkRow, wide: _Widths) -> float:
    name = parts.LINE_MM * (_count(row.names[1], row.others[1], wide, LINED[:1]) - 1)
    said = parts.LINE_MM * len(_texts(row, wide)) + 1.0
    return APART_MM + max(ROW_MM - APART_MM + name, said)


def _group_mm(group: Group, wide: _Widths) -> float:
    hub = parts.LINE_MM * (_count(group[0].names[0], group[0].others[0], wide, LINED[:2]) - 1)
    return max(ROW_MM + hub, sum(_row_mm(row, wide) for row in group))


def _steps(group: Group, wide: _Widths) -> tuple[list[float], float]:
    """Height of each row of a group, and what its name asks of each besides."""
    high = [_row_mm(row, wide) for row in group]
    return high, (_group_mm(group, wide) - sum(high)) / len(group)


def _under(group: Group, y: float, wide: _Widths) -> float:
    """The y under a group that begins at this one."""
    high, more = _steps(group, wide)
    return y + sum(high) + more * len(group) - APART_MM


def _draw_group(sheet: Sheet, group: Group, at: Point, wide: _Widths) -> None:
    x, y = at
    high, more = _steps(group, wide)
    bottom = _under(group, y, wide)
    first = group[0]
    target = first.link.targets[1 if first.turned else 0]
    right = x + wide.box_mm
    named = (first.names[0], first.others[0])
    _draw_box(sheet, (x, y, right, bottom), (first.hub[0], target), named, wide)
    for row, step in zip(group, high, strict=True):
        lower = y + step + more - APART_MM
        box = (x + wide.part_mm - wide.box_mm, y, x + wide.part_mm, lower)
        target = row.link.targets[0 if row.turned else 1]
        _draw_box(sheet, box, (row.leaf, target), (row.names[1], row.others[1]), wide)
        texts = _texts(row, wide)
        level = (y + lower + parts.LINE_MM * len(texts) - 1.6) / 2
        ends = (row.hub[0], row.leaf)
        line = ((right, level), (box[0], level))
        sheet.line(line, width_mm=0.35, ref=row.link.id, ends=ends, role="link")
        left = iter(row.link.plug_targets)
        for n, text in reversed(list(enumerate(reversed(texts)))):
            base = level - parts.OVER_LINE_MM - parts.LINE_MM * n
            _draw_text(sheet, (right + 1.5, base), text, row.link.id, left)
        if row.link.plugs:
            draw_plug(sheet, (box[0] - 2 * PLUG_MM[0] - 2.0, level), row.link.id)
        y = lower + APART_MM


def _draw_text(sheet: Sheet, at: Point, text: str, ref: str, targets: Iterator[str]) -> None:
    """A line over a link, with sheet and zone of each plug that it names."""
    x, y = at
    pieces = text.split(PLUG_SPOT)
    for k, piece in enumerate(pieces):
        x += sheet.text(x, y, piece.strip(), ref=ref) + (1.0 if piece.strip() else 0.0)
        if k < len(pieces) - 1:
            room = parts.width(PLUG_SPOT)
            sheet.wanted.append(Wanted(at=(x, y), target=next(targets), ref=ref, room_mm=room))
            x += room


def _draw_box(
    sheet: Sheet, box: Box, end: tuple[str, str], named: tuple[str, int], wide: _Widths
) -> None:
    """A connector of a box, with the box's name and its sheet in it, and its other places."""
    ref, target = end
    lines, left = _lines(named[0], wide), box[3] - box[1] - 1.0
    alsos, behind = _alsos(named[1]), _behind_mm(_lines(named[0], wide), wide)
    if alsos and also_mm(named[1]) > behind and left >= parts.LINE_MM * (len(lines) + 1):
        lines, behind = (*lines, ""), wide.box_mm - SPOT_MM - 1.5
    also = next((one for one in alsos if parts.width(one) <= behind), "")
    sheet.rect(box, width_mm=0.35, ref=ref, group=PLACE, fill=PALE, role="connector")
    middle = (box[1] + box[3]) / 2
    for n, line in enumerate(lines):
        level = middle + parts.LINE_MM * (n - (len(lines) - 1) / 2)
        long = sheet.text(box[0] + 1.2, level, line, middle=True, bold=True, ref=ref)
        if also and n == len(lines) - 1:
            at = (box[0] + 1.2 + (long + 1.5 if long else 0.0), level)
            sheet.text(*at, also, middle=True, ref=ref, role=ALSO)
    spot = (box[2] - 1.2, middle + parts.SMALL_MM / 2)
    sheet.wanted.append(
        Wanted(at=spot, target=target, ref=ref, align="right", room_mm=SPOT_MM - 1.5)
    )


def draw_also(sheet: Sheet, at: Point, ref: str, others: int) -> None:
    """Room for the other places of a box around a point; `lead_to_others` writes into it."""
    sheet.text(*at, _alsos(others)[0], middle=True, align="center", ref=ref, role=ALSO)


def lead_to_others(sheets: Sequence[Sheet]) -> None:
    """At each box of several the zones, and other sheets, where it stands again."""
    places: dict[str, list[tuple[str, str, Box]]] = {}
    for sheet in sheets:
        for item in sheet.items:
            if item.group == PLACE:
                x0, y0, x1, y1 = item.box
                zone = sheet.zone((x0 + x1) / 2, (y0 + y1) / 2)
                places.setdefault(item.ref, []).append((sheet.title.label, zone, item.box))
    ids = {sheet.title.label: sheet.id for sheet in sheets}
    for sheet in sheets:
        asked = [i for i in sheet.items if i.role == ALSO]
        sheet.items[:] = [i for i in sheet.items if i.role != ALSO]
        for item in asked:
            if not isinstance(item.ink, Lettering):
                continue
            here = sheet.title.label
            own = next(z for s, z, b in places[item.ref] if s == here and _within(item.box, b))
            spots = dict.fromkeys((s, z) for s, z, _ in places[item.ref] if (s, z) != (here, own))
            text = _others(here, list(spots), item.box[2] - item.box[0])
            ink = item.ink
            link = next((ids[s] for s, _ in spots if s != here and f"{s}/" in text), "")
            sheet.text(
                *ink.at, text, align=ink.align, ref=item.ref, role=ALSO,
                link=link, colour=LINK if link else BLACK,
            )  # fmt: skip


def _within(inner: Box, outer: Box) -> bool:
    x, y = (inner[0] + inner[2]) / 2, (inner[1] + inner[3]) / 2
    return outer[0] <= x <= outer[2] and outer[1] <= y <= outer[3]


def _others(here: str, spots: Sequence[tuple[str, str]], room_mm: float) -> str:
    """The other places of a box in the room for them; the zones of one sheet behind its name."""
    if not spots:
        return ""
    own = [zone for sheet, zone in spots if sheet == here]
    away: dict[str, list[str]] = {}
    for sheet, zone in spots:
        if sheet != here:
            away.setdefault(sheet, []).append(zone)
    named = [*own, *(f"{sheet}/{'/'.join(zones)}" for sheet, zones in away.items())]
    return next((text for text in _shorter(named) if parts.width(text) <= room_mm + 0.01), "")


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
    others: Mapping[str, int],
) -> list[LinkRow]:
    """Links as rows, the busier of their two boxes first, counted by every link.

    `others` says in how many places besides the rows a box stands.
    """
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
    count = Counter(others)
    count.update(group[0].hub[0] for group in grouped(found))
    count.update(leaf for group in grouped(found) for leaf in {row.leaf for row in group})
    return [replace(r, others=(count[r.hub[0]] - 1, count[r.leaf] - 1)) for r in found]


__all__ = [
    "PLACE",
    "LinkRow",
    "Rows",
    "also_mm",
    "draw_also",
    "draw_plug",
    "grouped",
    "laid",
    "lead_to_others",
    "rows_of",
]
