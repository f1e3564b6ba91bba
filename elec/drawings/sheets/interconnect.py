"""Boxes and what joins each two of them: one line a pair, with its marks and how many wires.

What does not fit one sheet is shared among several: each line is drawn once, a box wherever it has
lines. Under or behind the drawing stands the table of the lines.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.ink import PALE, Align, Box, Lettering
from elec.drawings.inputs import BoxLink, InterconnectBox, InterconnectDrawing
from elec.drawings.layout.channel import Net, NetBox, Routed, crossings, least_mm, route
from elec.drawings.layout.columns import SPACE_MM
from elec.drawings.sheet import Item, Sheet, Wanted
from elec.drawings.sheets import link_rows, paper, parts, table
from elec.kept import takes_over

NARROW = ("A4", "Letter")
BAND_MM = 0.45
"""Half of what is left free between two connectors of a box."""
STARTS = 6
"""From so many orders a sheet is laid out where the first one leaves crossings."""
LABEL_ROOM_MM = 40.0
AT_ROOM_MM = 22.0
TITLE_ROOM_MM = 60.0
HEADS = ("between", "sheet", "and", "sheet", "wires: what they carry; cable; plug")
HEAD_MM = 5.0
"""Name of a box over its connectors, within it."""
LEAF_MM = 5.4
"""Height of a box with a single line that has its name alone in it."""
LEAF_SPACE_MM = 1.6
SPOT_MM = 17.0
"""Room for sheet and zone in a box."""
PLUG_MM = 5.0
"""Room for the two halves of a plug in a line, behind its text."""
NAMES_MM: tuple[Mapping[str, float], ...] = tuple(
    {"between": one, "and": two}
    for one in (38.0, 41.0, 47.0)
    for two in (42.0, 47.0, 50.0, 53.0, 56.0)
)
"""Widths of the names of boxes that are tried, so that the table is low."""
WIDEST = "K2.13/A1"
"""Keeps room for sheet and zone of an end."""
LEAST_MM = 20.0
"""What is free under everything is spread between the boxes where it is more than this."""
MOST_MM = 16.0
"""By so much boxes lie further apart at most."""
WORDS_MM = (70.0, 55.0, 42.0, 34.0, 26.0, 22.0, 18.0)
"""So long texts at lines are tried: marks and what is carried."""
CLEAR_MM = 0.6
"""Free at both ends of what a line carries."""
SMALL_SET = 16
"""Of more boxes the smaller paper is not tried."""


class _Form(Struct, frozen=True, kw_only=True):
    """How boxes and nets are laid out."""

    columns: int
    starts: int = 1
    more_mm: float = 0.0
    """Under each box."""
    words_mm: float = 0.0
    """So long a text at a line keeps room for what that carries."""


RowForm = tuple[link_rows.Lined, float]
"""Which boxes in rows may have a line more, and how wide each is, in mm; 0: as is lowest."""


@takes_over
def interconnect(record: InterconnectDrawing) -> list[Sheet]:
    """The sheets of one interconnect drawing."""
    record = _sized(_clipped(record))
    sheets, most = _sheets(record, 0.0)
    room = _left_mm(sheets[0]) if len(sheets) == 1 else 0.0
    if room > LEAST_MM and most:
        spread, _ = _sheets(record, min(MOST_MM, room / most))
        sheets = spread if len(spread) == 1 else sheets
    there = next((s for s in sheets if any(i.text == HEADS[0] for i in s.items)), None)
    for sheet in sheets:
        away = there.title.label if there is not None and there is not sheet else ""
        _draw_strip(sheet, record, away)
    link_rows.lead_to_others(sheets)
    return sheets


def _left_mm(sheet: Sheet) -> float:
    """What is free under everything on a sheet."""
    low = max((i.box[3] for i in sheet.items if i.ref), default=0.0)
    return _listed(sheet)[3] - 2.0 - low


def _sheets(record: InterconnectDrawing, more_mm: float) -> tuple[list[Sheet], int]:
    """The sheets with so much more under each box, and how many boxes stand over one another."""
    sheets: list[Sheet] = []
    most = 0
    left = list(record.links)
    free = 0.0
    while left:
        sheet = _new_sheet(record, len(sheets))
        chosen, form, found = _fitting(record, left, sheet)
        form, found = _worded(record, chosen, form, found)
        if more_mm:
            # further apart more lines are long and have their text twice
            apart = _route(record, chosen, replace(form, more_mm=more_mm))
            found = apart if apart.width_mm <= _room(sheet)[0] else found
        most = max(most, *Counter(round(x0 + x1) for x0, _, x1, _ in found.boxes.values()).values())
        left = [link for link in left if link not in chosen]
        free = _draw(sheet, record, chosen, found)
        sheets.append(sheet)
    if not sheets:
        sheets.append(_new_sheet(record, 0))
        free = sheets[0].frame[1] + 5.0
    below = _below(record, sheets[0])
    lined = link_rows.LINED if record.beside else link_rows.LINED[:1]
    whole = min((below.laid(sheets, free, (one, 0.0)) for one in lined), key=_count)
    if len(whole.sheets) > 1 and record.beside:
        wide = [(one, box) for one in lined for box in link_rows.BOXES_MM]
        whole = min((whole, *(below.laid(sheets, free, one) for one in wide)), key=_count)
    whole.draw()
    return whole.sheets, most


def _sized(record: InterconnectDrawing) -> InterconnectDrawing:
    """The record on the smaller paper where lines and table fit on one sheet of that."""
    if record.smaller is None or record.beside or len(record.units) > SMALL_SET:
        return record
    small = replace(record, size=record.smaller)
    sheet = _new_sheet(small, 0)
    found = _routed(small, record.links, sheet) if record.links else None
    if found is None:
        return record
    sheets = [sheet]
    _below(small, sheet).table(sheets, sheet.frame[1] + found[1].height_mm + 5.5)
    return small if len(sheets) == 1 else record


def _clipped(record: InterconnectDrawing) -> InterconnectDrawing:
    return replace(
        record,
        units=tuple(
            replace(u, label=metrics.clip(u.label, TITLE_ROOM_MM, bold=True)) for u in record.units
        ),
    )


def _new_sheet(record: InterconnectDrawing, before: int) -> Sheet:
    block = paper.continued(record.title, before, "interconnect diagram")
    joined = "; ".join(f"{link.a} to {link.b}: {link.wires}" for link in record.links)
    about = f"{record.title.title}, wires between boxes: {joined}."
    return paper.page(record.size, block, about)


# --- what fits --------------------------------------------------------------------------------


def _room(sheet: Sheet) -> tuple[float, float]:
    x0, y0, x1, _ = sheet.frame
    return x1 - x0 - 8.0, sheet.block[1] - y0 - 6.0


def _fitting(
    record: InterconnectDrawing, links: Sequence[BoxLink], sheet: Sheet
) -> tuple[tuple[BoxLink, ...], _Form, Routed]:
    """As many links as fit one sheet: those among the boxes nearest to the busiest one."""
    order = _near(links)
    high = len(order)
    low = 2
    best: tuple[tuple[BoxLink, ...], _Form, Routed] | None = None
    while low <= high:
        middle = high if best is None and high == len(order) else (low + high) // 2
        boxes = set(order[:middle])
        chosen = tuple(link for link in links if {link.a, link.b} <= boxes)
        found = _routed(record, chosen, sheet) if chosen else None
        if found is not None:
            best = (chosen, *found)
            low = middle + 1
        else:
            high = middle - 1
    if best is None:
        chosen = (links[0],)
        form = _Form(columns=3)
        best = (chosen, form, _route(record, chosen, form))
    return best


def _near(links: Sequence[BoxLink]) -> list[str]:
    """The boxes from the busiest outwards, each ring's busiest first."""
    beside: dict[str, list[str]] = {}
    for link in links:
        beside.setdefault(link.a, []).append(link.b)
        beside.setdefault(link.b, []).append(link.a)
    found: dict[str, None] = {}
    for hub in sorted(beside, key=lambda b: -len(beside[b])):
        ring = [hub] if hub not in found else []
        while ring:
            found.update(dict.fromkeys(ring))
            fresh = dict.fromkeys(b for box in ring for b in beside[box] if b not in found)
            ring = sorted(fresh, key=lambda b: -len(beside[b]))
    return list(found)


def _routed(
    record: InterconnectDrawing, links: Sequence[BoxLink], sheet: Sheet
) -> tuple[_Form, Routed] | None:
    """The links in the columns with the fewest crossings; None where they do not fit the sheet."""
    wide, high = _room(sheet)
    best: tuple[int, _Form, Routed] | None = None
    boxes, nets = _drawn(record, links)
    for columns in (9, 7, 5, 3):
        least = least_mm(boxes, nets, columns=columns)
        if least[0] > wide or least[1] > high:
            continue
        for starts in (1, STARTS):
            found = route(boxes, nets, columns=columns, starts=starts)
            fits = found.width_mm <= wide and found.height_mm <= high
            count = crossings(found.lines)
            if fits and (best is None or count < best[0]):
                best = (count, _Form(columns=columns, starts=starts), found)
            if not fits or count == 0:
                break
        if best is not None and best[0] == 0:
            break
    return best[1:] if best is not None else None


def _route(record: InterconnectDrawing, links: Sequence[BoxLink], form: _Form) -> Routed:
    boxes, nets = _drawn(record, links, form)
    return route(boxes, nets, columns=form.columns, starts=form.starts)


def _worded(
    record: InterconnectDrawing, links: Sequence[BoxLink], form: _Form, found: Routed
) -> tuple[_Form, Routed]:
    """With room for what the lines carry, as far as the sheet has that."""
    wide, _ = _room(_new_sheet(record, 0))
    for words_mm in WORDS_MM:
        tried = replace(form, words_mm=words_mm)
        made = _route(record, links, tried)
        same = made.height_mm <= found.height_mm and len(made.far) <= len(found.far)
        if same and made.width_mm <= wide and crossings(made.lines) <= crossings(found.lines):
            return tried, made
    return form, found


def _drawn(
    record: InterconnectDrawing, links: Sequence[BoxLink], form: _Form | None = None
) -> tuple[list[NetBox], list[Net]]:
    """Boxes and nets as they are laid out."""
    units = {unit.id: unit for unit in record.units}
    ends: dict[str, list[str]] = {}
    for link in links:
        for name, at in ((link.a, link.a_at), (link.b, link.b_at)):
            ends.setdefault(name, []).append(at)
    alone, again = _alone(links), _again(record)
    form = form or _Form(columns=0)
    more_mm = form.more_mm
    boxes = [
        NetBox(id=name, width_mm=_width(units[name], at, again[name]), head_mm=0.0,
               port_mm=_leaf_mm(alone[name]) + (parts.LINE_MM if again[name] else 0.0),
               space_mm=LEAF_SPACE_MM + more_mm)
        if name in alone
        else NetBox(id=name, width_mm=_width(units[name], at, again[name]),
                    head_mm=_head_mm(again[name]), space_mm=SPACE_MM + more_mm)
        for name, at in ends.items()
    ]  # fmt: skip
    nets = [
        Net(id=link.id, a=link.a, b=link.b, label_mm=_label_mm(link, form.words_mm) + 2.5,
            a_at=link.a_at, b_at=link.b_at)
        for link in links
    ]  # fmt: skip
    return boxes, nets


def _alone(links: Sequence[BoxLink]) -> dict[str, str]:
    """Boxes with a single line, and where that leaves them: their names stand in them."""
    ends = [(box, _at(link, box)) for link in links for box in (link.a, link.b)]
    count = Counter(box for box, _ in ends)
    return {box: at for box, at in ends if count[box] == 1}


@lru_cache(maxsize=4)
def _again(record: InterconnectDrawing) -> Counter[str]:
    """In how many places each box of the drawing stands in rows."""
    groups = link_rows.grouped(_rows(record))
    return Counter([*(g[0].hub[0] for g in groups), *(row.leaf for g in groups for row in g)])


def _head_mm(again: int) -> float:
    return HEAD_MM + (parts.LINE_MM if again else 0.0)


def _leaf_mm(at: str) -> float:
    return LEAF_MM if _numbered(at) else LEAF_MM + parts.LINE_MM


def _numbered(at: str) -> bool:
    """Whether a terminal has but a number, which needs not be said."""
    return at == "1"


def _width(unit: InterconnectBox, at: Sequence[str], again: int) -> float:
    """Its name, its connectors, each with its sheet, and its other places."""
    wide = [parts.width(_said(one), bold=True) + SPOT_MM + 3.0 for one in at if not _numbered(one)]
    label = parts.width(unit.label, bold=True)
    return max(26.0, label + 2.0, max(wide, default=0.0), link_rows.also_mm(again) + 1.5)


def _at(link: BoxLink, box: str) -> str:
    return link.a_at if box == link.a else link.b_at


def _said(at: str) -> str:
    """What stands in a box at the end of a line: its connector; of many terminals how many."""
    return at if parts.width(at, bold=True) <= AT_ROOM_MM else f"{at.count(',') + 1}"


def _label_mm(link: BoxLink, words_mm: float) -> float:
    """The text at a line, with what it carries where that is no longer than that."""
    worded = parts.width(_text(link)) + 2 * CLEAR_MM
    if worded <= words_mm and not link.plugs:
        return worded
    return parts.width(short(link)) + (PLUG_MM if link.plugs else 0.0)


def _text(link: BoxLink) -> str:
    """The marks of a link, and what it carries."""
    return f"{short(link)}: {link.carries}" if link.carries else short(link)


def short(link: BoxLink) -> str:
    """The marks of a link; of one that has too many for its line the first."""
    if parts.width(link.marks) <= LABEL_ROOM_MM:
        return link.marks
    kept: list[str] = []
    for mark in link.marks.split(", "):
        if parts.width(", ".join([*kept, mark, "and more"])) > LABEL_ROOM_MM:
            break
        kept.append(mark)
    return ", ".join([*kept, "and more"]) if kept else "see table"


# --- ink --------------------------------------------------------------------------------------


def _draw(
    sheet: Sheet, record: InterconnectDrawing, links: Sequence[BoxLink], found: Routed
) -> float:
    """Boxes and lines; gives the y under them."""
    wide, _ = _room(sheet)
    dx = sheet.frame[0] + 5.0 + min(40.0, (wide - found.width_mm) / 2)
    dy = sheet.frame[1] + 4.0
    units = {unit.id: unit for unit in record.units}
    alone, again = _alone(links), _again(record)
    led: dict[str, dict[str, str]] = {}
    for name, at, target in (end for link in links for end in _ends(link)):
        led.setdefault(name, {})[at] = target
    for name, (x0, y0, x1, y1) in found.boxes.items():
        unit = units[name]
        box = (x0 + dx, y0 + dy, x1 + dx, y1 + dy)
        head = 0.0 if name in alone else _head_mm(again[name])
        outer = (box[0], box[1] - head, box[2], box[3])
        sheet.rect(outer, width_mm=0.5, ref=name, group=link_rows.PLACE, fill="#ffffff")
        targets = led[name]
        if name in alone:
            end = (alone[name], targets[alone[name]])
            _draw_alone(sheet, unit, box, end, again[name])
            continue
        middle = (box[0] + box[2]) / 2
        level = outer[1] + HEAD_MM / 2 + 0.2
        sheet.text(middle, level, unit.label, bold=True, middle=True, align="center", ref=name)
        if again[name]:
            level += parts.LINE_MM
            link_rows.draw_also(sheet, (middle, level), name, again[name])
        for at, top, bottom in found.bands[name]:
            band = (box[0], top + dy + BAND_MM, box[2], bottom + dy - BAND_MM)
            sheet.rect(band, width_mm=0.25, kind="rule", ref=name, fill=PALE, role="connector")
            _draw_end(sheet, name, (middle, (top + bottom) / 2 + dy), (at, targets[at]))
    for link in links:
        points = [(x + dx, y + dy) for x, y in found.lines[link.id]]
        sheet.line(points, width_mm=0.35, ref=link.id, ends=(link.a, link.b), role="link")
        x, y = found.labels[link.id]
        sheet.text(x + dx + 1.5, y + dy - parts.OVER_LINE_MM, short(link), ref=link.id)
        if link.id in found.far:
            (x, y), ends = found.far[link.id]
            align: Align = "right" if ends else "left"
            x += dx + (-1.5 if ends else 1.5)
            sheet.text(x, y + dy - parts.OVER_LINE_MM, short(link), align=align, ref=link.id)
        x, y = found.labels[link.id]
        if link.plugs:
            link_rows.draw_plug(sheet, (x + dx + 3.0 + parts.width(short(link)), y + dy), link.id)
    for link in links:
        _draw_words(sheet, link)
    return dy + found.height_mm + 1.5


def _draw_words(sheet: Sheet, link: BoxLink) -> None:
    """What a line carries, behind its marks where that is clear of everything."""
    if not link.carries or link.plugs:
        return
    text = _text(link).removeprefix(short(link))
    for item in [i for i in sheet.items if i.ref == link.id and i.text == short(link)]:
        if not isinstance(item.ink, Lettering):
            continue
        left, wide = item.ink.align == "left", parts.width(text)
        x0, y0, x1, y1 = item.box
        box = (x1, y0, x1 + wide, y1) if left else (x0 - wide, y0, x0, y1)
        if _clear(sheet, link, (box[0] - CLEAR_MM, y0, box[2] + CLEAR_MM, y1 + 0.3), item):
            sheet.items.remove(item)
            sheet.text(*item.ink.at, item.text + text, align=item.ink.align, ref=link.id)
            return
    _draw_under(sheet, link)


UNDER_MM = 0.9
"""From a line to the words under it."""


def _draw_under(sheet: Sheet, link: BoxLink) -> None:
    """What a line carries, under its longest level piece where nothing else is."""
    (line,) = [i for i in sheet.items if i.ref == link.id and i.role == "link"]
    level = [(a, b) for a, b in line.segments if a[1] == b[1]]
    wide = parts.width(link.carries)
    for (ax, y), (bx, _) in sorted(level, key=lambda one: -abs(one[0][0] - one[1][0])):
        x0, x1 = min(ax, bx), max(ax, bx)
        at, top = x0 + 1.5, y + UNDER_MM
        box = (at - CLEAR_MM, y + 0.1, at + wide + CLEAR_MM, top + parts.SMALL_MM + 0.6)
        if box[2] <= x1 and _free(sheet, box):
            sheet.text(at, top + parts.SMALL_MM / 2, link.carries, middle=True, ref=link.id)
            return


def _free(sheet: Sheet, box: Box) -> bool:
    """Whether nothing lies in a box beneath the line of a link."""
    x0, y0, x1, y1 = box
    for item in sheet.items:
        if item.role == "link":
            for (ax, ay), (bx, by) in item.segments:
                low, high, left, right = min(ay, by), max(ay, by), min(ax, bx), max(ax, bx)
                if left < x1 and right > x0 and low < y1 and high > y0:
                    return False
        elif item.box[0] < x1 and item.box[2] > x0 and item.box[1] < y1 and item.box[3] > y0:
            return False
    return True


def _clear(sheet: Sheet, link: BoxLink, box: Box, text: Item) -> bool:
    """Whether nothing lies in a box, and the line of a link under all of it."""
    x0, y0, x1, y1 = box
    base = y1
    under = False
    for item in sheet.items:
        if item is text:
            continue
        if item.role == "link":
            for (ax, ay), (bx, by) in item.segments:
                low, high, left, right = min(ay, by), max(ay, by), min(ax, bx), max(ax, bx)
                if item.ref == link.id and ay == by and left <= x0 and right >= x1:
                    under = under or 0.0 <= ay - base < parts.LINE_MM
                elif left < x1 and right > x0 and low < y1 and high > y0:
                    return False
        elif item.box[0] < x1 and item.box[2] > x0 and item.box[1] < y1 and item.box[3] > y0:
            return False
    return under


def _ends(link: BoxLink) -> tuple[tuple[str, str, str], ...]:
    """Of both ends the box, its connector, and what its sheet is looked up by."""
    return (link.a, link.a_at, link.targets[0]), (link.b, link.b_at, link.targets[1])


def _draw_end(sheet: Sheet, ref: str, at: tuple[float, float], end: tuple[str, str]) -> None:
    """A connector, or how many terminals there are, with its sheet and zone."""
    said = _said(end[0])
    wide = parts.width(said, bold=True) + 1.5
    x, y = at[0] - (wide + SPOT_MM - 2.0) / 2, at[1]
    sheet.text(x, y, said, middle=True, bold=True, ref=ref)
    base = (x + wide, y + parts.SMALL_MM / 2)
    sheet.wanted.append(Wanted(at=base, target=end[1], ref=ref, room_mm=SPOT_MM))


def _draw_alone(
    sheet: Sheet, unit: InterconnectBox, box: Box, end: tuple[str, str], again: int
) -> None:
    """A box with a single line: its name in it, under that its connector and its sheet."""
    gap = BAND_MM / 2
    band = (box[0], box[1] + gap, box[2], box[3] - gap)
    sheet.rect(band, width_mm=0.25, kind="rule", ref=unit.id, fill=PALE, role="connector")
    lines = 1 + (not _numbered(end[0])) + bool(again)
    middle, level = (box[0] + box[2]) / 2, (box[1] + box[3] - parts.LINE_MM * (lines - 1)) / 2
    name = {"middle": True, "align": "center", "bold": True, "ref": unit.id}
    sheet.text(middle, level, unit.label, **name)  # type: ignore[arg-type]
    if not _numbered(end[0]):
        level += parts.LINE_MM
        _draw_end(sheet, unit.id, (middle, level), end)
    if again:
        at = (middle, level + parts.LINE_MM)
        link_rows.draw_also(sheet, at, unit.id, again)


def _rows(record: InterconnectDrawing) -> list[link_rows.LinkRow]:
    """The lines that stand in rows."""
    labels = _labels(record)
    names = {
        end: _named(labels[end[0]], end[1])
        for link in record.beside for end in ((link.a, link.a_at), (link.b, link.b_at))
    }  # fmt: skip
    every = (*record.links, *record.beside)
    said = {one.id: _wires(one) for one in record.beside}
    drawn = {box: 1 for link in record.links for box in (link.a, link.b)}
    return link_rows.rows_of(record.beside, every, names, said, drawn)


def _labels(record: InterconnectDrawing) -> dict[str, str]:
    return {unit.id: unit.label for unit in (*record.units, *record.beside_units)}


class _Laid(Struct, frozen=True, kw_only=True):
    """What is to stand where, under and behind the drawing."""

    sheets: list[Sheet]
    rows: Sequence[link_rows.Rows]
    parts: Sequence[table.TablePart]
    targets: Sequence[str]
    """What the ends in the table are looked up by."""

    def draw(self) -> None:
        """Draw all of it."""
        for rows in self.rows:
            rows.draw()
        for part in self.parts:
            part.draw()
        table.lead(self.sheets, WIDEST, self.targets)


def _count(one: _Laid) -> int:
    return len(one.sheets)


class _Below(Struct, frozen=True, kw_only=True):
    """Boxes in rows and the table of all lines: what is laid out in many ways and drawn in one."""

    record: InterconnectDrawing
    groups: Sequence[link_rows.Group]
    rows: Sequence[Sequence[str]]
    """Of the table."""
    room: float
    """Width of one part of the table."""
    beside: int
    """In how many parts it stands."""
    most: Mapping[str, float]
    """How wide its names may be."""

    def laid(self, sheets: Sequence[Sheet], free: float, form: RowForm) -> _Laid:
        """Rows of this form and the table, from a height under the last drawing on."""
        every = list(sheets)
        rows, free = link_rows.laid(
            every, free, self.groups, _listed, self._fresh, lines_for=form[0], box_mm=form[1]
        )
        found = self.table(every, free)
        targets = [target for link in self.record.links for target in link.targets]
        return _Laid(sheets=every, rows=rows, parts=found, targets=targets)

    def table(self, sheets: list[Sheet], free: float) -> list[table.TablePart]:
        """The table, under the last drawing and on further sheets, which are put behind."""
        if _goes_on(self.rows, (self.room, self.most, self.beside), sheets[-1], free):
            sheets.append(self._fresh(len(sheets)))
            free = _listed(sheets[-1])[1]
        found, _ = table.laid(
            sheets, free, HEADS, self.rows, refs=[link.id for link in self.record.links],
            area=_listed, fresh=self._fresh, beside=self.beside, most=self.most,
        )  # fmt: skip
        return found

    def _fresh(self, before: int) -> Sheet:
        return _new_sheet(self.record, before)


def _below(record: InterconnectDrawing, sheet: Sheet) -> _Below:
    """What stands under the drawing on such a sheet, and on further ones."""
    labels = _labels(record)
    rows = [
        (
            _named(labels[link.a], link.a_at),
            WIDEST,
            _named(labels[link.b], link.b_at),
            WIDEST,
            _wires(link),
        )
        for link in record.links
    ]
    beside = 1 if record.size in NARROW else 2
    left, _, right, _ = _listed(sheet)
    room = (right - left - table.GAP_MM * (beside - 1)) / beside
    return _Below(
        record=record,
        groups=link_rows.grouped(_rows(record)),
        rows=rows,
        room=room,
        beside=beside,
        most=table.lowest(HEADS, rows, room, NAMES_MM),
    )


def _goes_on(
    rows: Sequence[Sequence[str]],
    form: tuple[float, Mapping[str, float], int],
    sheet: Sheet,
    free: float,
) -> bool:
    """Whether a table that would be parted under a drawing stands whole on the next sheet."""
    room, most, beside = form
    widths = table.column_widths(HEADS, rows, room, most)
    each = -(-len(rows) // beside)
    high = max((table.height_mm(widths, HEADS, rows[k * each : (k + 1) * each])
                for k in range(beside)), default=0.0)  # fmt: skip
    _, top, _, bottom = _listed(sheet)
    return bottom - free < high <= bottom - top


def _listed(sheet: Sheet) -> Box:
    """What the table may fill of a sheet."""
    left, top, right, bottom = table.usual_area(sheet)
    return (left, top - 1.0, right, bottom + 1.5)


def _wires(link: BoxLink) -> str:
    """Marks, what they carry, their kind of cable, the plugs that they pass."""
    carried = f"{link.all_marks}: {link.carries}" if link.carries else link.all_marks
    return "; ".join(filter(None, (carried, link.shields, ", ".join(link.plugs))))


def _named(label: str, at: str) -> str:
    """A box with its connector; a single terminal that has only a number needs none."""
    return label if at == "1" else f"{label}, {at}"


def _draw_strip(sheet: Sheet, record: InterconnectDrawing, table_at: str) -> None:
    """The notes, with the sheet on which the table stands where it is another."""
    room = paper.strip(sheet)
    if room[2] - room[0] > 34.0:
        named = f"Table (sheet {table_at}):" if table_at else "Table:"
        notes = [note.replace("Table:", named) for note in record.notes]
        # the first say what is left out; the last, where else to look
        while len(notes) > 1 and parts.notes_mm(notes, room[2] - room[0]) > room[3] - room[1]:
            notes.pop()
        parts.draw_notes(sheet, notes, room)
