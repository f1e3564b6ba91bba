"""A panel as one stands before it: breakers with ratings, fuses or switches, and what is engraved.

Under rows of positions stands the table of what each of them does, on the same sheet; where there
are many they go on on further sheets, each with its table.
"""

import re
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.ink import PALE
from elec.drawings.inputs import A_RIGHT, PanelFace
from elec.drawings.sheet import Sheet, Size
from elec.drawings.sheets import paper, parts, table
from elec.drawings.sheets.plates import front, said
from elec.drawings.sheets.plates.front import Row
from elec.drawings.sheets.plates.rear import OURS, Rear, draw_rear
from elec.drawings.sheets.plates.said import ARROW
from elec.kept import takes_over

LINE_MM = parts.LINE_MM
Rows = list[list[str]]
BELOW_MM = 2.0
"""From a plate and its measures to the table."""
WARNING_MM = 5.4
"""From one line of a warning to the next."""
PARTS = 3
"""A table stands in so many parts side by side at most."""


class _Group(Struct, frozen=True, kw_only=True):
    """Panels that share a drawing, lists of what is on none among them, and its title."""

    records: tuple[PanelFace, ...]
    title: str


@takes_over
def panel(records: Sequence[PanelFace], title: str = "") -> list[Sheet]:
    """The sheets of one panel, or of several small ones together, and lists of what is on none.

    A plate that has room at 1:1 on larger paper alone stands there: it is to be drilled by.
    """
    sheets = _sheets(records, title)
    sizes = {record.larger for record in records if record.plate and len(record.rows)}
    larger = sizes.pop() if len(sizes) == 1 else None
    if larger is None or _true(sheets):
        return sheets
    of = [replace(one, size=larger, times=1.0) if one.plate else one for one in records]
    large = _sheets(of, title)
    return large if _true(large) and len(large) <= len(sheets) else sheets


def _true(sheets: Sequence[Sheet]) -> bool:
    """Whether every plate of some sheets is as large as it is."""
    drawn = [one for one in sheets if any(item.ref in ("panel", "panel cut") for item in one.items)]
    return all(sheet.title.note == TRUE for sheet in drawn)


def _sheets(records: Sequence[PanelFace], title: str) -> list[Sheet]:
    group = _Group(records=tuple(records), title=title or records[0].title.title)
    sheets = [_new_sheet(group, 0)]
    shown: list[_Shown] = []
    seen: set[str] = set()
    faces = [record for record in records if record.rows]
    if len(faces) > 1:
        y = _draw_small(group, faces, sheets, shown, seen)
    else:
        y = 4.0 + _draw_panel(group, faces[0], sheets, shown) if faces else _top(sheets[0])
    for record in records:
        if not record.rows:
            y = _draw_table(group, record, record.table, record.refs, sheets=sheets, y=y)
    told: dict[int, list[str]] = {}
    shown_on: dict[int, list[tuple[PanelFace, Sequence[Row], front.Look]]] = {}
    for n, record, rows in shown:
        view = Rear(record=record, rows=rows)
        where = "" if record.id in seen else _rear(sheets, n, view, several=len(faces) > 1)
        told.setdefault(n, []).extend([where] if where else [])
        shown_on.setdefault(n, []).append((record, rows, front.look_of(sheets[0], record)))
    for n, sheet in enumerate(sheets):
        if _list_alone(sheet):
            listed = records[-1].title.title
            sheet.title = replace(sheet.title, document_type=LIST, title=listed)
        elif faces and not any(item.ref.startswith("off ") for item in sheet.items):
            name = sheet.title.title.removesuffix(f"; {records[-1].title.title}")
            sheet.title = replace(sheet.title, title=name)
        listed_here = any(item.ref.startswith("off ") for item in sheet.items)
        of = [r for r in records if (not _list_alone(sheet) if r.rows else listed_here)]
        plates = shown_on.get(n, [])
        scales = {look.times if look.plate else 0.0 for _, _, look in plates} - {0.0}
        if plates and len(scales) == 1:
            sheet.title = replace(sheet.title, note=_scale(scales.pop()))
        broken = any(item.ref == "panel cut" for item in sheet.items)
        parted = front.cuts(*plates[0]) if len(plates) == 1 else ()
        cut = (_cut(sheets, n, parted),) if broken else ()
        drawn = {form.id for form, _, _ in plates}
        notes = dict.fromkeys(note for r in of for note in r.notes
                              if r.id in drawn or note not in r.of_plate)  # fmt: skip
        where = ", ".join(dict.fromkeys(told.get(n, ())))
        close = dict.fromkeys(word for plate in plates for word in front.close(*plate))
        said.say(
            sheet,
            (
                *(note.replace(A_RIGHT, where or A_RIGHT) for note in notes),
                *_read(sheet),
                *_rest(sheets, n, plates),
            ),
            (
                *(front.measures(*plate) for plate in plates if plate[0].aside),
                *cut,
                *([f"{CLOSE}: {', '.join(close)}."] if close else ()),
                *dict.fromkeys(filter(None, (front.smaller(r, look) for r, _, look in plates))),
            ),
            check=sheet.title.note == TRUE,
            inches=any("(in)" in r.measures for r, _, _ in plates),
        )
    return sheets


CLOSE = f"Nearer than {front.SCREW_MM:g} mm to the edge, screws or a frame would cover"
"""What is engraved close to the edge of a plate."""


def _scale(times: float) -> str:
    """What the title block says of the scale of a plate."""
    return TRUE if times == 1.0 else PROPORTION.format(times=times)


def _rear(sheets: Sequence[Sheet], n: int, view: Rear, *, several: bool) -> str:
    """Draw rows of a panel from behind where there is room; what its own sheet says of that."""
    if view.record.rear_at or not view.record.rear:
        return ""
    if draw_rear(sheets[n], replace(view, named=several)):
        return ""
    for sheet in sheets:
        if sheet is not sheets[n] and draw_rear(sheet, replace(view, named=True)):
            return f"from behind: {sheet.title.label}"
    return NO_ROOM


NO_ROOM = "from behind: no room"


_Shown = tuple[int, PanelFace, Sequence[Row]]
"""Which rows of a panel stand on which sheet, counted from 0."""
TRUE = "plate 1:1 at 100 %"
"""The scale of a sheet with a plate as large as it is."""
PROPORTION = "plate at {times:g}; use the mm"
"""The same of one that is drawn plainly smaller or larger."""


def _read(sheet: Sheet) -> tuple[str, ...]:
    """How signs in the texts of a sheet are read that has them."""
    texts = [item.text for item in sheet.items]
    ours = any(NUMBERED.search(text) for text in texts)
    ours = ours or any(item.ref.startswith("terminal ") for item in sheet.items)
    return (*((ARROW,) if any("→" in text for text in texts) else ()), *((OURS,) if ours else ()))


NUMBERED = re.compile(r"\(\d\)")
"""A terminal that is counted, as its maker does not."""


def _rest(
    sheets: Sequence[Sheet], n: int, plates: Sequence[tuple[PanelFace, Sequence[Row], front.Look]]
) -> Iterator[str]:
    """On which sheets the table of the plates of one goes on."""
    rows = {f"position {row[0]}" for form, shown, _ in plates for row in form.table
            if row[0] in _names(shown)}  # fmt: skip
    there = [one.title.label for k, one in enumerate(sheets)
             if k != n and any(item.ref in rows for item in one.items)]  # fmt: skip
    if there:
        yield f"Rest of the table: {', '.join(there)}."


def _cut(sheets: Sequence[Sheet], n: int, at: Sequence[float]) -> str:
    """Of a panel that stands on several sheets, where it is cut and where it goes on."""
    beside = [k for k in (n - 1, n + 1) if 0 <= k < len(sheets)
              and any(item.ref == "panel cut" for item in sheets[k].items)]  # fmt: skip
    where = f", {' and '.join(f'{mm:g}' for mm in at)} mm from the top" if at else ""
    if not sheets[n].title.code or not beside:
        return f"{CUT}{where}: no edge of it, continues."
    return f"{CUT}{where}: no edge of it, joins {', '.join(sheets[k].title.label for k in beside)}."


LIST = "list of devices and where they sit"
"""What a sheet with no plate on it is."""


def _list_alone(sheet: Sheet) -> bool:
    """Whether nothing stands on a sheet but what is on no panel: there is no plate to read."""
    refs = {item.ref for item in sheet.items}
    return any(ref.startswith("off ") for ref in refs) and not any(
        ref.startswith("position ") or ref in ("panel", "panel cut") for ref in refs
    )


def _draw_panel(
    group: _Group, record: PanelFace, sheets: list[Sheet], shown: list[_Shown]
) -> float:
    """One panel, rows with their table sheet by sheet; gives the y under it."""
    y = _draw_warning(sheets[0], record.warning, _top(sheets[0]))
    shares = _best(sheets[0], record, y)
    look = front.look_of(sheets[0], shares[0][0])
    for n, (form, rows) in enumerate(shares):
        if n:
            sheets.append(_new_sheet(group, len(sheets)))
            _draw_warning(sheets[-1], record.warning, _top(sheets[-1]))
        left = sheets[-1].frame[0] + 5.0
        low = front.draw(sheets[-1], form, rows, (left, y), look)
        shown.append((len(sheets) - 1, form, rows))
        heads, body, refs = _under(form, rows)
        low = table.drawn(table.laid(
            sheets, low + BELOW_MM, heads, body, refs=refs, area=table.usual_area,
            fresh=lambda count: _new_sheet(group, count),
            beside=(beside := _parts(sheets[-1], form, rows, y) or (1 if form.times else PARTS)),
            most=_most(heads, body, _part_mm(sheets[-1], beside)), row_high=_row_high(form),
            packed=True,
        ))  # fmt: skip
    x, right = sheets[-1].frame[0] + 5.0, sheets[-1].frame[2] - 5.0
    for line in metrics.wrap(metrics.clean(record.missing), parts.SMALL_MM, right - x, bold=True):
        if low + LINE_MM + 1.0 > _limit(sheets[-1]):
            sheets.append(_new_sheet(group, len(sheets)))
            low = sheets[-1].frame[1] + 2.0
        low += LINE_MM
        sheets[-1].text(x, low, line, bold=True, ref="missing")
    return low


def _best(sheet: Sheet, record: PanelFace, y: float) -> list[tuple[PanelFace, Sequence[Row]]]:
    """As large as it is, where that takes no sheet more and leaves nothing out of its table.

    Else in its proportions, as large as takes none; else as its words need it. A record that says
    how large is whole, and its table goes on on another sheet.
    """
    if record.times and y + front.high(record, record.rows, front.look_of(sheet, record)) < _limit(
        sheet
    ):
        return [(record, record.rows)]
    scaled = [replace(form, aside=aside) for times in front.TIMES if record.plate
              if front.look_of(sheet, form := replace(record, times=times)).plate
              for aside in (False, True)]  # fmt: skip
    found = [_shared(sheet, form, y) for form in (*scaled, replace(record, plate=()))]

    def cost(shares: list[tuple[PanelFace, Sequence[Row]]]) -> tuple[float, ...]:
        short = sum(
            row[-2] != whole[-2] for form, rows in shares
            for row, whole in zip(form.table, record.table, strict=True)
            if len(form.heads) == len(record.heads) and row[0] in _names(rows)
        ) if record.shorter else 0  # fmt: skip
        bare = sum(len(form.heads) < len(record.heads) for form, _ in shares)
        form = shares[0][0]
        return len(shares), bare, not form.plate, form.times != 1.0, form.aside, short

    return [
        (under if _parts(sheet, under := replace(form, aside=False), rows, y) else form, rows)
        for form, rows in min(found, key=cost)
    ]


def _shared(sheet: Sheet, record: PanelFace, y: float) -> list[tuple[PanelFace, Sequence[Row]]]:
    """The rows of each sheet, with a table that has all about their wires that there is room for.

    Wires take no sheet more: where all of them would, those of several terminals are left to the
    sheet of their circuit, else the column.
    """
    forms = _forms(record)
    made = [_shares(sheet, form, y) for form in forms]
    least = min(map(len, made))
    first = next(k for k, shares in enumerate(made) if len(shares) == least)
    return [
        (
            _restored(
                sheet,
                record,
                next((f for f in forms[:first] if _parts(sheet, f, rows, y)), forms[first]),
                (rows, y),
            ),
            rows,
        )
        for rows in made[first]
    ]


def _restored(
    sheet: Sheet, record: PanelFace, form: PanelFace, shown: tuple[Sequence[Row], float]
) -> PanelFace:
    """A shorter table with the wires of as many rows as there is room for, row by row."""
    if form.table != record.shorter or form.table == record.table or record.rear_at:
        return form
    at = form.heads.index(WIRES)
    for k, whole in enumerate(record.table):
        short = form.table[k]
        for row in (whole, (*short[:at], whole[at], *short[at + 1 :])):
            longer = replace(form, table=(*form.table[:k], row, *form.table[k + 1 :]))
            if row != form.table[k] and _parts(sheet, longer, *shown):
                form = longer
                break
    return form


def _forms(record: PanelFace) -> list[PanelFace]:
    """A panel with its whole table, with the shorter one, and without the column of wires."""
    if WIRES not in record.heads:
        return [record]
    k = record.heads.index(WIRES)
    bare = replace(
        record,
        heads=(*record.heads[:k], *record.heads[k + 1 :]),
        table=tuple((*row[:k], *row[k + 1 :]) for row in record.table),
    )
    return [record, *([replace(record, table=record.shorter)] if record.shorter else []), bare]


DOWN = "down"
MIDDLE = "middle"
CUT = "Dashed edge"
"""Of a panel that stands on several sheets; a dashed ring is a hole that is not drilled yet."""
WIRES = "wires"
"""Head of the column that says what is wired behind a switch; its circuit's sheet says it, too."""
TRIED: Sequence[Mapping[str, float]] = tuple({WIRES: wide} for wide in (38.0, 52.0, 64.0, 80.0))
"""How wide the wires may be in a table as wide as its sheet: as it gets the lowest."""


def _most(heads: Sequence[str], body: Rows, room: float) -> Mapping[str, float]:
    return table.lowest(heads, body, room, TRIED) if WIRES in heads else TRIED[0]


def _part_mm(sheet: Sheet, count: int) -> float:
    """Width of each of so many parts of a table side by side."""
    left, _, right, _ = table.usual_area(sheet)
    return (right - left - table.GAP_MM * (count - 1)) / count


def _shares(sheet: Sheet, record: PanelFace, y: float) -> list[Sequence[Row]]:
    """The rows of each sheet: as many as have room with their table under them."""
    found: list[Sequence[Row]] = []
    left = list(record.rows)
    while left:
        count = next((n for n in range(len(left), 1, -1) if _parts(sheet, record, left[:n], y)), 1)
        found.append(left[:count])
        left = left[count:]
    return found


def _top(sheet: Sheet) -> float:
    return sheet.frame[1] + 4.0


def _draw_warning(sheet: Sheet, text: str, y: float) -> float:
    """What nobody may miss, large and framed; gives the y of what comes under it."""
    if not text:
        return y
    x, right = sheet.frame[0] + 5.0, sheet.frame[2] - 5.0
    lines = metrics.wrap(metrics.clean(text), parts.HEAD_MM, right - x - 4.0, bold=True)
    box = (x, y - 2.0, right, y + WARNING_MM * len(lines) + 0.6)
    sheet.rect(box, width_mm=0.5, kind="rule", ref="warning", fill=PALE)
    for line in lines:
        y += WARNING_MM
        sheet.text(
            x + 2.0, y - 1.4, line, capital_mm=parts.HEAD_MM, bold=True, ref="warning"
        )  # fmt: skip
    return y + 4.6


# --- the table under its rows -----------------------------------------------------------------


def _names(rows: Sequence[Row]) -> set[str]:
    return {spot.name for row in rows for spot in row}


def _under(record: PanelFace, rows: Sequence[Row]) -> tuple[list[str], Rows, list[str]]:
    """Heads, rows and references of the table of some rows of positions."""
    shown = [row for row in record.table if row[0] in _names(rows)]
    if MIDDLE in record.heads:  # a lever of two positions has none
        k = record.heads.index(MIDDLE)
        if any(row[k] for row in record.table):
            shown = [(*row[:k], row[k] or "–", *row[k + 1 :]) for row in shown]
    if DOWN in record.heads:  # a column with nothing but off says nothing
        k = record.heads.index(DOWN)
        plain = {row[k] for row in record.table} <= {"", "off"}
        shown = [(*row[:k], "" if plain else row[k] or "–", *row[k + 1 :]) for row in shown]
    heads, body = table.filled(record.heads, shown)
    return heads, body, [f"position {row[0]}" for row in shown]


def _parts(sheet: Sheet, record: PanelFace, rows: Sequence[Row], y: float) -> int:
    """In how few parts side by side the table of some rows has room under them; 0: in none."""
    y += front.high(record, rows, front.look_of(sheet, record)) + BELOW_MM
    heads, body, _ = _under(record, rows)
    left, _, right, bottom = table.usual_area(sheet)
    return _parts_in(heads, body, right - left, bottom - y, _row_high(record))


def _row_high(record: PanelFace) -> float:
    return table.CLOSE_MM if record.aside else table.ROW_MM


def _parts_in(
    heads: Sequence[str], body: Rows, wide: float, high: float, row_high: float = table.ROW_MM
) -> int:
    """In how few parts a table fits a room, none much narrower than it would like to be."""
    if not body:
        return 1
    like = sum(table.column_widths(heads, body, 4 * wide, TRIED[0]))
    for count in range(1, PARTS + 1):
        room = (wide - table.GAP_MM * (count - 1)) / count
        if count > 1 and like > WRAPPED * room:
            return 0
        widths = table.column_widths(heads, body, room, _most(heads, body, room))
        start = 0
        for _ in range(count):  # each part as full as it gets, as the table is set
            start += table.rows_that_fit(high, widths, heads, body[start:], row_high)
        if start >= len(body):
            return count
    return 0


WRAPPED = 1.5
"""A table stands in several parts as long as no more of its width than this is wrapped away."""


# --- small panels, and what is on none --------------------------------------------------------


def _draw_table(
    group: _Group,
    record: PanelFace,
    rows: Sequence[Sequence[str]],
    refs: Sequence[str],
    *,
    sheets: list[Sheet],
    y: float,
) -> float:
    """A table under the title of its record, whole on one sheet if that can be."""
    heads, body = table.filled(record.heads, rows)
    left, top, right, bottom = table.usual_area(sheets[-1])
    count = _parts_in(heads, body, right - left, bottom - y - 6.0)
    if not count and y > top + 20.0:
        sheets.append(_new_sheet(group, len(sheets), record.size))
        left, top, right, bottom = table.usual_area(sheets[-1])
        y = top
        count = _parts_in(heads, body, right - left, bottom - y - 6.0)
    sheets[-1].text(left, y + 1.6, record.title.title, bold=True)
    return 4.0 + table.drawn(table.laid(
        sheets, y + 3.4, heads, body, refs=refs, area=table.usual_area,
        fresh=lambda count: _new_sheet(group, count, record.size), beside=count or 1,
        most=_most(heads, body, _part_mm(sheets[-1], count or 1)),
    ))  # fmt: skip


BETWEEN_MM = 8.0
"""Between two small panels side by side."""


def _warning(faces: Sequence[PanelFace]) -> str:
    """What nobody laid out; by name where somebody laid out others of the sheet."""
    made = [face for face in faces if face.warning]
    if len(made) in (0, len(faces)):
        return made[0].warning if made else ""
    return f"{', '.join(face.title.title for face in made)}: {made[0].warning}"


def _draw_small(
    group: _Group,
    faces: Sequence[PanelFace],
    sheets: list[Sheet],
    shown: list[_Shown],
    seen: set[str],
) -> float:
    """Small panels, each under its name and from behind beside it, one table of all alike.

    `seen` gets those that are drawn from behind.
    """
    warning = _warning(faces)
    y = _draw_warning(sheets[0], warning, _top(sheets[0]))
    left, right = sheets[0].frame[0] + 5.0, sheets[0].frame[2] - 5.0
    x, under = left, y
    for face in faces:
        look = front.look_of(sheets[0], face)
        wide = max(
            front.wide(face, look),
            parts.width(_named(face), bold=True),
            parts.width(face.measures),
        )
        high = front.high(face, face.rows, look)
        if x > left and x + wide > right:
            x, y = left, under
        if y + 6.0 + high > _limit(sheets[-1]):
            sheets.append(_new_sheet(group, len(sheets)))
            x, y = left, _draw_warning(sheets[-1], warning, _top(sheets[-1]))
            under = y
        sheets[-1].text(x, y + 0.6, _named(face), bold=True)
        low = front.draw(sheets[-1], face, face.rows, (x, y + 4.5), look)
        shown.append((len(sheets) - 1, face, face.rows))
        beside = (x + front.wide(face, look) + BETWEEN_MM, y, right, y + 6.0 + high)
        x += wide + BETWEEN_MM
        if draw_rear(sheets[-1], Rear(record=face, rows=face.rows, named=True), beside):
            seen.add(face.id)
            x = right
        under = max(under, low + 6.0)
    for heads in dict.fromkeys(face.heads for face in faces):
        alike = [face for face in faces if face.heads == heads]
        rows = [(face.title.title, *row) for face in alike for row in face.table]
        refs = [f"position {row[0]} {face.id}" for face in alike for row in face.table]
        under = _draw_table(
            group,
            replace(alike[0], heads=("panel", *heads), title=replace(alike[0].title, title="")),
            rows,
            refs,
            sheets=sheets,
            y=under - 3.4,
        )
    return under


def _named(face: PanelFace) -> str:
    """The title of one of several panels, and where it sits."""
    return f"{face.title.title}, in {face.sits}" if face.sits else face.title.title


def _new_sheet(group: _Group, before: int, size: Size | None = None) -> Sheet:
    first = group.records[0]
    places = {record.sits for record in group.records if record.rows}
    kind = f"panel, in {places.pop()}" if len(places) == 1 else "panel"
    block = paper.continued(first.title, before, kind, name=group.title)
    said = "; ".join(
        f"{spot.name}: {parts.join(spot.text, spot.rating) or 'free'}"
        for record in group.records
        for row in record.rows
        for spot in row
    )
    about = f"{group.title}, positions by row from the top: {said}."
    return paper.page(size or first.size, block, about)


def _limit(sheet: Sheet) -> float:
    return sheet.block[1] - 3.0
