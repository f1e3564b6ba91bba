"""Connectors for the bench: their faces, their wires to be read at arm's length, what to measure.

The wiring side comes first, for it is what is in the hand. Where two wires claim a contact there is
no picture: that has to be settled before anything is crimped. Connectors of one place share sheets:
those with a picture one under the other, all others in one list behind them.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from itertools import product

from msgspec import Struct, field
from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.inputs import TERMINALS, BenchPage, BenchRow, ConnectorFace
from elec.drawings.sheet import Sheet, Size, TitleBlock, Trial, label
from elec.drawings.sheets import face, paper, parts
from elec.drawings.sheets.bench_table import (
    ROW_MM,
    BenchTable,
    Columns,
    columns,
    head_mm,
    name_lines,
    row_mm,
)
from elec.kept import takes_over

CAPITAL_MM = metrics.SMALLEST_MM
LINE_MM = parts.LINE_MM
STRIP_LINES = 5
"""So many lines, with their heading, stand beside the title block."""
MOST_FACE_MM = 55.0
FACES_MM = 40.0
"""Height that the faces take at most where they stand side by side."""
VIEWS = (
    ("wiring side", "as you see it from where the wires go in"),
    ("mating face", "as you see it from where the other half plugs in"),
)
SHORTLY = (
    "Disconnect battery, plugs; mV: at 1 A.",
    (
        "Over a number two strokes, red: power; under it one, green: ground; none, blue: signal; "
        "ring inside: shield; broken: spare."
    ),
)
NO_PICTURE = "No picture: go by the maker's drawing."
"""On a sheet with something of several contacts of which there is none."""
NO_FACE = "Its insert and spare contacts are not in the file: go by the maker's drawing."
"""In place of a picture whose places would be invented."""
HEADING_MM = 48.0
"""Least width of the heading beside the faces."""
LEAST_ROWS = 4
"""A table begins on a sheet only where so many rows, or all, have room."""
REST_ROWS = 3
"""And goes on on the next with no fewer than these."""
WHOLE_ROWS = 8
"""The contacts of a connector in a list with others are not parted up to so many."""


class _Work(Struct, kw_only=True):
    """The sheets so far and the next free y."""

    title: TitleBlock
    size: Size
    shared: bool
    kind: type[Sheet] = Sheet
    """What it is drawn on, or only laid out on."""
    listed: Sequence[BenchPage] = ()
    """Those that stand in one list."""
    again: bool = False
    """Whether what goes on has its wiring side beside its name, where it has a face."""
    parted: int = 0
    """So often a connector goes on on a new sheet."""
    sheets: list[Sheet] = field(default_factory=list)
    y: float = 0.0
    noted: int = 0
    """The first item of the notes of this sheet."""
    told: bool = False
    """Whether this sheet says that something on it has no picture."""
    owed: ConnectorFace | None = None
    """What went on on this sheet, without its face yet."""
    headed: int = 0
    """The item that names what went on."""
    faced: int = 0
    """The sheet, counted from 1, with the picture of what goes on; 0: it has none."""

    @property
    def sheet(self) -> Sheet:
        """The sheet being filled."""
        return self.sheets[-1]

    @property
    def bottom(self) -> float:
        """How far down it may be filled."""
        return self.sheet.block[1] - 2.0

    @property
    def room(self) -> float:
        """Width of a table."""
        return self.sheet.frame[2] - self.sheet.frame[0] - 10.0

    @property
    def untouched(self) -> bool:
        """Whether nothing stands on the sheet yet."""
        return self.y <= self.sheet.frame[1] + 0.01

    def new(self) -> Sheet:
        """Go on on a new sheet."""
        if self.sheets:
            _face_again(self)
        block = paper.continued(self.title, len(self.sheets), "connectors, for the bench")
        about = f"{block.title}: faces, wires and what an ohmmeter reads at each contact."
        sheet = paper.page(self.size, block, about, self.kind)
        self.sheets.append(sheet)
        self.noted, self.told = len(sheet.items), False
        if self.shared and sheet.kept:
            parts.draw_notes(sheet, SHORTLY, paper.strip(sheet), heading="")
        self.y = sheet.frame[1]
        return sheet

    def tell(self) -> None:
        """Say on this sheet, once, that something on it has no picture."""
        if self.told or not self.sheet.kept:
            return
        self.told = True
        sheet = self.sheet
        later = [item for item in sheet.items[self.noted :] if item.ref != "note"]
        del sheet.items[self.noted :]
        parts.draw_notes(sheet, (*SHORTLY, NO_PICTURE), paper.strip(sheet), heading="")
        sheet.items += later


def pictured(record: BenchPage) -> bool:
    """Whether it stands by itself: places are known, or it is a round one of many contacts."""
    shape = record.face.arrangement
    known = not shape.schematic and shape.name != TERMINALS
    ring = shape.shape == "circular" and len(record.rows) > WHOLE_ROWS
    return bool(record.claims) or ((known or ring) and len(record.face.pins) > 1)


def _blind(record: BenchPage) -> bool:
    """Whether it stands in a list although where its contacts are matters."""
    return len(record.face.pins) > 1 and not pictured(record)


@takes_over
def bench(
    *records: BenchPage, title: TitleBlock | None = None, shared: bool = False
) -> list[Sheet]:
    """The sheets of a connector, or of several that share sheets."""
    title = title or records[0].face.title
    parts_ = _Parts(
        alone=tuple(record for record in records if not shared or pictured(record)),
        listed=tuple(record for record in records if shared and not pictured(record)),
    )
    if not shared:
        work = _laid(_Work(title=title, size=records[0].face.size, shared=False), parts_.steps())
        common = {n: text for r in records for n, text in r.facts if n in ("meter", "picture")}
        _facts(work, tuple(common.items()))
        return work.sheets
    return _whole(title, records[0].face.size, parts_)


# --- which goes on which sheet ----------------------------------------------------------------


Step = tuple[BenchPage, ...]
"""A connector, or those that share a list."""


class _Parts(Struct, frozen=True, kw_only=True):
    """Connectors with a picture, and those that share a list."""

    alone: tuple[BenchPage, ...]
    listed: tuple[BenchPage, ...]

    def steps(self) -> tuple[Step, ...]:
        """One by one, the list behind them."""
        return (*((record,) for record in self.alone), *((self.listed,) * bool(self.listed)))


def _laid(work: _Work, steps: Sequence[Step], high: Mapping[Step, float] | None = None) -> _Work:
    """Lay them out in turn; those of which a height is given are not parted."""
    work.new()
    for step in steps:
        if high and not work.untouched and work.y + high.get(step, 0.0) > work.bottom:
            work.new()
        if step[0] in work.listed:
            _list(work, step)
        else:
            _block(work, step[0])
    _face_again(work)
    return work


def _whole(title: TitleBlock, size: Size, given: _Parts) -> list[Sheet]:
    """Connectors that share sheets, each whole on one where that takes no sheet more.

    Of some ways to lay them the one with few sheets and few that are parted, then with the face
    again beside what goes on, then in the order of the builder; and the first that takes no more
    sheets than when they are parted wherever a sheet ends, with none parted that fits.
    """

    def on(
        kind: type[Sheet],
        steps: Sequence[Step],
        high: Mapping[Step, float] | None = None,
        *,
        again: bool = False,
    ) -> _Work:
        work = _Work(
            title=title, size=size, shared=True, kind=kind, listed=given.listed, again=again
        )
        return _laid(work, steps, high)

    steps = given.steps()
    first = on(Trial, steps)
    if not first.parted:
        return on(Sheet, steps).sheets
    high: dict[Step, float] = {}
    rest: dict[Step, float] = {}
    parted = 0
    for step in steps:
        alone = on(Trial, [step], again=True)
        parted += alone.parted
        if len(alone.sheets) == 1:
            high[step] = alone.y - alone.sheet.frame[1]
        else:
            rest[step] = alone.y - alone.sheet.frame[1]
    filled = _filled(steps, high, rest, first.bottom - first.sheet.frame[1])
    wanted = len(first.sheets) + parted, parted
    best: Callable[[], _Work] | None = None
    least = _cost(first)
    for again, whole, order in product((True, False), (high, None), (steps, filled)):
        cost = _cost(on(Trial, order, whole, again=again))
        if cost < least or (best is None and cost == least):
            best, least = partial(on, Sheet, order, whole, again=again), cost
        if cost <= wanted:
            break
    return (best() if best else on(Sheet, steps)).sheets


def _cost(work: _Work) -> tuple[int, int]:
    """Of two ways to lay connectors out the one with less is the better.

    A connector that is cut in two is as bad as a sheet more.
    """
    return len(work.sheets) + work.parted, work.parted


def _filled(
    steps: Sequence[Step], high: Mapping[Step, float], rest: Mapping[Step, float], room: float
) -> list[Step]:
    """In another order: each on the first sheet with room for all of it.

    No half of a plug stands before its other one. What is higher than a sheet begins on one, and
    others follow where it ends. A list in several parts begins on the sheet with the most room.
    """
    sheets: list[list[Step]] = []
    left: list[float] = []
    at: dict[str, int] = {}
    for step in steps:
        if step not in high:
            sheets.append([step])
            left.append(room - rest[step])
            continue
        start = at.get(step[0].face.id, 0)
        found = next((k for k in range(start, len(sheets)) if left[k] >= high[step]), len(sheets))
        if found == len(sheets):
            sheets.append([])
            left.append(room)
        sheets[found].append(step)
        left[found] -= high[step]
        at[step[0].face.id] = found
    if len(steps[-1]) > 1 and steps[-1] not in high and len(sheets) > 1:
        counts = Counter(step[0].face.id for step in steps)
        movable = [
            k for k, sheet in enumerate(sheets[:-1])
            if all(step in high and counts[step[0].face.id] == 1 for step in sheet)
        ]  # fmt: skip
        if movable:
            sheets.insert(-1, sheets.pop(max(movable, key=lambda k: left[k])))
    return [step for sheet in sheets for step in sheet]


# --- one connector ----------------------------------------------------------------------------


def _block(work: _Work, record: BenchPage) -> None:
    """One half of a connector under what is there already."""
    at = columns(record.rows, work.room, spots=work.shared)
    sheet, y = work.sheet, work.y
    items = len(sheet.items)
    _head(work, record)
    rows = list(record.rows)
    if not work.untouched and y > sheet.frame[1] + 0.01:
        free = _fitting(at, rows, work.bottom - work.y)
        if free < min(LEAST_ROWS, len(rows)):
            del sheet.items[items:]
            work.new()
            _head(work, record)
    parted = work.parted
    begun = False
    while rows:
        free = _fitting(at, rows, work.bottom - work.y)
        if free < len(rows):  # under it stands where the table goes on
            free = _fitting(at, rows, work.bottom - work.y - LINE_MM)
        rest = len(rows) - free
        if not begun and free < min(LEAST_ROWS, len(rows)):  # a picture fills this sheet
            _again(work, record)
            begun = True
            continue
        begun = True
        if 0 < rest < REST_ROWS and free > REST_ROWS:
            free = max(REST_ROWS, len(rows) - REST_ROWS)
        table = BenchTable(sheet=work.sheet, at=at, top=work.y, y=work.y)
        table.head()
        for row in rows[: max(1, free)]:
            table.row(row, record.face.id)
        table.close()
        work.y = table.y
        rows = rows[max(1, free) :]
        if rows:
            _goes_on(work, record)
            _again(work, record)
    work.y += 3.0
    if work.shared and work.faced and work.parted > parted and not work.again:
        work.owed = record.face
    if not work.shared:
        own = tuple(fact for fact in record.facts if fact[0] not in ("meter", "picture"))
        beside = _beside(work.sheet, own[-1:])
        _facts(work, own[:-1] if beside else own)
        _draw_beside(work.sheet, own[-1][0] if own else "", beside)


def _goes_on(work: _Work, record: BenchPage) -> None:
    """Say under a table on which sheet it goes on."""
    sheet, coded = work.sheet, work.title.code and "-" not in work.title.code
    there = label(work.title.code, len(work.sheets) + 1) if coded else "the next sheet"
    if work.y + LINE_MM <= sheet.block[1]:
        at = (sheet.frame[0] + 5.0, work.y + LINE_MM - 0.6)
        sheet.text(*at, f"continues on {there}", bold=True, ref=record.face.id)


def _again(work: _Work, record: BenchPage) -> None:
    """Go on with a connector on a new sheet."""
    sheet = work.new()
    work.parted += 1
    name = metrics.clip(parts.join(record.face.equipment, record.face.name), 180.0, bold=True)
    text = f"{name}, continued"
    if work.faced:
        both = "mating face" if work.again else "its faces"
        text += f"; {both}: {_sheet_of(work, work.faced)}"
    top = work.y
    sheet.text(sheet.frame[0] + 5.0, top + 5.5, text, bold=True, ref=record.face.id)
    work.headed = len(sheet.items) - 1
    work.y += 7.0
    if not (work.again and work.faced):
        return
    wide, high = face.shell_mm(record.face)
    scale = min(face.least_scale(record.face), (work.room - 4.0) / (2 * wide))
    view, right = VIEWS[0][0], sheet.frame[2] - 5.0
    beside = right - wide * scale > sheet.frame[0] + 9.0 + parts.width(text, bold=True)
    middle = (top + 3.0 if beside else work.y + 1.0) + high * scale / 2
    at = (right - wide * scale / 2, middle)
    face.draw_face(sheet, record.face, at, scale, view, flange=False)
    base = middle + high * scale / 2 + 3.6
    sheet.text(at[0], base, view, align="center", bold=True, ref=view)
    work.y = base + 2.0


def _face_again(work: _Work) -> None:
    """The wiring side of what went on on this sheet, under all of it, where there is room."""
    if work.owed is None:
        return
    record, y = work.owed, work.y
    work.owed = None
    if not work.sheet.kept:
        return
    view = VIEWS[0][0]
    wide, high = face.shell_mm(record)
    scale = min(face.least_scale(record), (work.room - 4.0) / (2 * wide))
    if y + high * scale + 8.0 > work.bottom:
        return
    sheet = work.sheet
    said = sheet.items[work.headed]
    sheet.text(
        sheet.frame[0] + 5.0, sheet.frame[1] + 5.5, said.text.replace("its faces", "mating face"),
        bold=True, ref=record.id,
    )  # fmt: skip
    sheet.items[work.headed] = sheet.items.pop()
    x = sheet.frame[0] + 7.0 + wide * scale / 2
    face.draw_face(sheet, record, (x, y + 3.0 + high * scale / 2), scale, view, flange=False)
    name = metrics.clip(f"{parts.join(record.equipment, record.name)}: {view}", work.room)
    sheet.text(sheet.frame[0] + 7.0, y + 6.6 + high * scale, name, bold=True, ref=view)


def _sheet_of(work: _Work, count: int) -> str:
    """Which sheet of these that is, by name where they have one in the set."""
    if work.title.code and "-" not in work.title.code:
        return f"sheet {label(work.title.code, count)}"
    before = len(work.sheets) - count
    return "the sheet before" if before == 1 else f"{before} sheets before"


def _fitting(at: Columns, rows: Sequence[BenchRow], room: float) -> int:
    """How many rows under their heads have room."""
    left = room - head_mm(at)
    for count, row in enumerate(rows):
        left -= row_mm(at, row)
        if left < 0.0:
            return count
    return len(rows)


def _head(work: _Work, record: BenchPage) -> None:
    """Name and faces, side by side where there is room."""
    sheet = work.sheet
    x0, _, x1, _ = sheet.frame
    bare = record.face.arrangement.name == TERMINALS or len(record.face.pins) < 2
    placeless = work.shared and record.face.arrangement.schematic and not bare
    faced = not (record.claims or bare or placeless)
    work.faced = len(work.sheets) if faced else 0
    joined = [text for name, text in record.facts if name == "joined contacts"]
    spare = "; ".join(text for name, text in record.facts if name == "spare")
    more = (spare.partition(" contacts")[0] + " contacts spare",) if work.shared and spare else ()
    if work.shared and faced:
        views = [view for view, _ in VIEWS]
        wide, high = face.shell_mm(record.face)
        scale = min(face.least_scale(record.face), (x1 - x0 - 24.0) / (2 * wide))
        left = x1 - 5.0 - len(views) * (wide * scale + 8.0)
        beside = left - x0 - 9.0 >= HEADING_MM
        y = face.heading(
            sheet, record.face, work.y, right=left if beside else x1, faced=True,
            more=(*more, *joined),
        )  # fmt: skip
        top = work.y + 3.0 if beside else y
        for k, view in enumerate(views):
            x = x1 - 5.0 - (len(views) - 1 - k) * (wide * scale + 8.0) - wide * scale / 2
            middle = top + high * scale / 2
            face.draw_face(sheet, record.face, (x, middle), scale, view, flange=False)
            base = top + high * scale + 3.6
            sheet.text(x, base, view, align="center", bold=not k, ref=view)
        work.y = max(y, top + high * scale + 5.6)
        return
    shown = (*joined, *((NO_FACE,) if placeless else ())) if work.shared else ()
    y = face.heading(sheet, record.face, work.y, right=x1, faced=faced, more=(*more, *shown))
    if record.claims:
        work.y = _claims(work, record, y)
    else:
        work.y = y if placeless else _faces(work, record, y)


# --- faces ------------------------------------------------------------------------------------


def _claims(work: _Work, record: BenchPage, y: float) -> float:
    """Words in place of a picture."""
    sheet = work.sheet
    x0, _, x1, _ = sheet.frame
    lines = [
        line
        for text in (
            "No picture: settle this in the file before anything is crimped.",
            *record.claims,
        )
        for line in metrics.wrap(metrics.clean(text), 3.0, x1 - x0 - 24.0, bold=True)
    ]
    high = 6.0 * len(lines) + 4.0
    box = (x0 + 5.0, y, x1 - 5.0, y + high)
    sheet.rect(box, kind="rule", width_mm=0.9, ref=record.face.id)
    for k, line in enumerate(lines):
        sheet.text(
            x0 + 10.0, y + 6.0 + 6.0 * k, line, capital_mm=3.0, bold=True, ref=record.face.id
        )
    return y + high + 3.0


def _faces(work: _Work, record: BenchPage, y: float) -> float:
    """The wiring side, and beside it (or, where it is wide, under it) the mating face."""
    if len(record.face.pins) < 2 or record.face.arrangement.name == TERMINALS:
        return y
    sheet = work.sheet
    x0, _, x1, _ = sheet.frame
    half_width, half_height = face.extent(record.face)
    beside = min(face.MOST_SCALE, ((x1 - x0) / 2 - 8.0) / (2 * half_width))
    least = face.least_scale(record.face)
    below = beside < least
    most = min((x1 - x0 - 16.0) / (2 * half_width), MOST_FACE_MM / (2 * half_height))
    scale = min(least if below else max(FACES_MM / (2 * half_height), least), most)
    scale = scale if below else min(beside, scale)
    height = 2 * half_height * scale
    for k, (view, words) in enumerate(VIEWS):
        x = (x0 + x1) / 2 if below else x0 + (x1 - x0) * (0.25 + 0.5 * k)
        top = y + (k * (height + 12.0) if below else 0.0)
        face.draw_face(sheet, record.face, (x, top + height / 2), scale, view)
        text = f"{view.upper()}: {words}"
        sheet.text(
            x, top + height + 4.6, text, capital_mm=CAPITAL_MM, align="center", bold=not k, ref=view
        )
    return y + (2 if below else 1) * (height + 8.5) + (3.5 if below else 0.0)


# --- the list of those without a picture ------------------------------------------------------


def _list(work: _Work, records: Sequence[BenchPage]) -> None:
    """Terminals, single contacts and others whose places are not known, in one table."""
    named = [(r, [_named(r, row) for row in r.rows]) for r in records if r.rows]
    at = columns(tuple(row for _, rows in named for row in rows), work.room, spots=True)
    table: BenchTable | None = None
    ended: dict[str, int] = {}
    joined: list[tuple[BenchPage, str]] = []
    for record, rows in named:
        lines = name_lines(at, rows[0])
        high = max(sum(row_mm(at, row) for row in rows), len(lines) * LINE_MM + ROW_MM)
        begun = 0.0 if table else head_mm(at) + 4.0
        parted = len(rows) > WHOLE_ROWS
        least = sum(row_mm(at, row) for row in rows[:LEAST_ROWS]) if parted else high
        if work.y + begun + least > work.bottom and not work.untouched:
            joined = _told_here(work, joined)
            _closed(work, table)
            table = None
        left = rows
        while left:
            if table is None:
                table = _opened(work, at)
            free = work.bottom - work.y
            count = _some(at, left, free) if parted else len(left)
            if _blind(record):
                work.tell()
            table.name(lines, record.face.id)
            least_mm = 0.0
            for n, row in enumerate(left[:count]):
                last = n == count - 1
                if last and count == len(left):
                    least_mm = len(lines) * LINE_MM + ROW_MM - (table.y - work.y)
                table.row(row, record.face.id, least_mm=least_mm, last=last)
            work.y = table.y
            left = left[count:]
            if left:
                work.parted += 1
                joined = _told_here(work, joined)
                _closed(work, table)
                table = None
        ended[record.face.id] = len(work.sheets)
        joined += [(record, text) for name, text in record.facts if name == "joined contacts"]
    if table is not None:
        table.close()
    work.y += 1.5
    _facts(work, [(_where(work, r.face.equipment, ended[r.face.id]), text) for r, text in joined])


def _told_here(work: _Work, joined: Sequence[tuple[BenchPage, str]]) -> list[tuple[BenchPage, str]]:
    """Say under a table which contacts of its connectors meet; gives back what has no room."""
    facts = [(record.face.equipment, text) for record, text in joined]
    room = work.sheet.frame[2] - work.sheet.frame[0] - 10.0 - FACT_MM
    if not facts or work.y + 1.5 + LINE_MM * len(list(_wrapped(facts, room))) > work.bottom:
        return list(joined)
    work.y += 1.5
    _facts(work, facts)
    return []


def _where(work: _Work, name: str, sheet: int) -> str:
    """A connector that is spoken of under the table, and its sheet where that is not this one."""
    before = len(work.sheets) - sheet
    if not before:
        return name
    return f"{name}, {'sheet before' if before == 1 else f'{before} sheets before'}"


def _named(record: BenchPage, row: BenchRow) -> BenchRow:
    half = record.face.half if record.face.half.startswith("half on the") else ""
    kind = record.face.arrangement.name
    said = parts.join(record.face.equipment, half, face.gender_of(record.face))
    type_said = face.type_said(kind)
    return replace(row, connector=said if kind == TERMINALS else f"{said} ({type_said})")


def _some(at: Columns, rows: Sequence[BenchRow], room: float) -> int:
    count = 0
    for row in rows:
        room -= row_mm(at, row)
        if room < 0.0:
            break
        count += 1
    if 0 < len(rows) - count < REST_ROWS and count > REST_ROWS:
        count = max(REST_ROWS, len(rows) - REST_ROWS)
    return max(1, count)


def _opened(work: _Work, at: Columns) -> BenchTable:
    work.y += 4.0
    table = BenchTable(sheet=work.sheet, at=at, top=work.y, y=work.y)
    table.head()
    work.y = table.y
    return table


def _closed(work: _Work, table: BenchTable | None) -> None:
    """End the table, and go on on a new sheet."""
    if table is not None:
        table.close()
    work.new()


# --- facts ------------------------------------------------------------------------------------


def _beside(sheet: Sheet, facts: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """The lines of a fact beside the title block; none where there is no room for them."""
    lines = list(_wrapped(facts, sheet.block[0] - sheet.frame[0] - 10.0))
    return lines if len(lines) < STRIP_LINES else []


def _draw_beside(sheet: Sheet, name: str, lines: Sequence[tuple[str, str]]) -> None:
    x, top = sheet.frame[0] + 5.0, sheet.block[1] + 4.2
    if lines:
        sheet.text(x, top, name, bold=True, ref="fact")
    for n, (_, line) in enumerate(lines):
        sheet.text(x, top + LINE_MM * (n + 1), line, ref="fact")


def _wrapped(facts: Sequence[tuple[str, str]], room: float) -> Iterator[tuple[str, str]]:
    """A line each: its name where it is the first of a fact, and the text."""
    for name, text in facts:
        for n, line in enumerate(metrics.wrap(metrics.clean(text), CAPITAL_MM, room)):
            yield ("" if n else name), line


FACT_MM = 64.0
"""The widest that the names of facts get before their texts."""


def _facts(work: _Work, facts: Sequence[tuple[str, str]]) -> None:
    """How to measure, contacts, crimp test, spares."""
    if not facts:
        return
    sheet = work.sheet
    most = max(metrics.width_mm(name, CAPITAL_MM, bold=True) for name, _ in facts)
    wide = 4.0 + min(most, FACT_MM - 4.0)
    for name, line in _wrapped(facts, sheet.frame[2] - sheet.frame[0] - 10.0 - wide):
        if work.y + 4.0 > sheet.block[1] - 1.0:
            sheet = work.new()
            work.y += 6.0
        x, y = sheet.frame[0] + 5.0, work.y + 2.8
        sheet.text(x, y, name, bold=True, room_mm=wide - 2.0, ref="fact")
        sheet.text(x + wide, y, line, ref="fact")
        work.y += LINE_MM
