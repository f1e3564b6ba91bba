"""A connector for the bench: its faces, its wires to be read at arm's length, what to measure.

The wiring side comes first, for it is what is in the hand. Where two wires claim a contact there is
no picture: that has to be settled before anything is crimped.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct, field

from elec.drawings import metrics
from elec.drawings.ink import PALE
from elec.drawings.inputs import TERMINALS, BenchPage, BenchRow
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets import face, paper, parts

CAPITAL_MM = 2.5
LINE_MM = 4.1
PAD_MM = 1.3
FACT_MM = 2.2
STRIP_LINES = 6
"""So many lines, with their heading, stand beside the title block."""
FACES_MM = 40.0
"""Height that the faces take at most where they stand side by side."""
HEADS = (
    "contact",
    "signal",
    "wire",
    "AWG",
    "colour",
    "goes to",
    "cut",
    "shield",
    "meter reads",
    "☐",
)
FIELDS = (
    "contact", "signal", "wire", "gauge", "colour", "goes_to", "length", "shield", "reads", "built",
)  # fmt: skip
WRAPPED = (1, 5, 7, 8, 9)
"""Columns whose texts may take several lines."""
VIEWS = (
    ("wiring side", "as you see it from where the wires go in"),
    ("mating face", "as you see it from where the other half plugs in"),
)


class _Columns(Struct, frozen=True, kw_only=True):
    """The columns that hold anything, with their widths."""

    used: tuple[int, ...]
    widths: tuple[float, ...]


COMMON = ("meter", "picture")
"""Facts that hold for every connector; where several share sheets, the legend has them."""
SHORTLY = (
    "Battery disconnected, this plug and every other apart.",
    "+ power, − ground; broken ring inside: shield; broken outline: spare.",
    "Ω: what a hand-held meter shows; mV: with 1 A. How to measure: sheet of symbols.",
)
SMALL_FACES_MM = 20.0
"""Height that the faces take where several connectors share sheets."""


class _Work(Struct, kw_only=True):
    """The sheets so far and the next free y."""

    title: TitleBlock
    size: Size
    shared: bool
    sheets: list[Sheet] = field(default_factory=list)
    y: float = 0.0
    said: dict[str, Sheet] = field(default_factory=dict)

    def fresh(self, text: str) -> bool:
        """Whether a fact has not been said on this sheet; then it is said now."""
        before, self.said[text] = self.said.get(text), self.sheets[-1]
        return before is not self.sheets[-1]

    def new(self) -> Sheet:
        """Go on on a new sheet."""
        block = paper.continued(self.title, len(self.sheets), "connectors, for the bench")
        about = f"{block.title}: faces, wires and what an ohmmeter reads at each contact."
        sheet = paper.page(self.size, block, about)
        self.sheets.append(sheet)
        if self.shared:
            parts.draw_notes(sheet, SHORTLY, paper.strip(sheet), heading="At the bench")
        self.y = sheet.frame[1]
        return sheet


def bench(*records: BenchPage, title: TitleBlock | None = None) -> list[Sheet]:
    """The sheets of one half of a connector, or of several that share sheets."""
    first = records[0].face
    work = _Work(title=title or first.title, size=first.size, shared=len(records) > 1)
    sheet = work.new()
    facts = {name: text for record in records for name, text in record.facts if name in COMMON}
    common = tuple(facts.items())
    for record in records:
        y, count, items = work.y, len(work.sheets), len(sheet.items)
        _block(work, record)
        if len(work.sheets) > count and y > sheet.frame[1]:
            del work.sheets[count:], sheet.items[items:]
            work.new()
            _block(work, record)
        sheet = work.sheets[-1]
    if not work.shared:
        _facts(work, common)
    return work.sheets


def _block(work: _Work, record: BenchPage) -> None:
    """One half of a connector under what is there already."""
    sheet = work.sheets[-1]
    faced = len(record.face.pins) > 1
    work.y = face.heading(sheet, record.face, work.y, faced=faced)
    work.y = (_claims if record.claims else _faces)(work, record, work.y)
    columns = _columns(record, sheet)
    rows = list(record.rows)
    while rows:
        taken = _rows(sheet, columns, rows, work.y, record.face.id)
        work.y += _height(columns, rows[:taken])
        rows = rows[taken:]
        if rows:
            sheet = work.new()
            work.y += 4.0
    work.y += 3.0
    own = tuple(fact for fact in record.facts if fact[0] not in COMMON and work.fresh(fact[1]))
    beside = () if work.shared else _beside(sheet, own[-1:])
    _facts(work, own[:-1] if beside else own)
    for n, (_, line) in enumerate(beside):
        last = work.sheets[-1]
        top = last.block[1] + 4.4 + 4.0 * n
        x = last.frame[0] + 5.0
        if not n:
            last.text(x, top, own[-1][0], capital_mm=FACT_MM, bold=True, ref="fact")
        last.text(x, top + 4.0, line, capital_mm=FACT_MM, ref="fact")


def _beside(sheet: Sheet, facts: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """The lines of a fact beside the title block; none where there is no room for them."""
    lines = list(_wrapped(facts, sheet.block[0] - sheet.frame[0] - 10.0))
    return lines if len(lines) < STRIP_LINES else []


# --- faces ------------------------------------------------------------------------------------


def _claims(work: _Work, record: BenchPage, y: float) -> float:
    """Words in place of a picture."""
    sheet = work.sheets[-1]
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
    sheet = work.sheets[-1]
    x0, _, x1, _ = sheet.frame
    half_width, half_height = face.extent(record.face)
    pitch = face.pitch(record.face)
    beside = min(face.MOST_SCALE, ((x1 - x0) / 2 - 8.0) / (2 * half_width))
    below = beside * pitch < face.LEAST_PITCH_MM
    least = face.LEAST_PITCH_MM / pitch
    lettered = max(len(pin.name) for pin in record.face.pins) > 2
    most_mm = SMALL_FACES_MM if work.shared and not lettered else FACES_MM
    scale = least if below else min(beside, max(most_mm / (2 * half_height), least))
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


# --- rows -------------------------------------------------------------------------------------


def _cells(row: BenchRow) -> list[str]:
    return [metrics.clean(getattr(row, name)) for name in FIELDS]


def _columns(record: BenchPage, sheet: Sheet) -> _Columns:
    """Widths by what stands in them; the wrapped ones share what the others leave."""
    room = sheet.frame[2] - sheet.frame[0] - 10.0
    body = [_cells(row) for row in record.rows]
    used = tuple(k for k in range(len(HEADS)) if k in (0, 9) or any(cells[k] for cells in body))
    natural = {
        k: max(
            metrics.width_mm(HEADS[k], CAPITAL_MM, bold=True),
            *(metrics.width_mm(cells[k], CAPITAL_MM, bold=k in (0, 2)) for cells in body),
        )
        + 2 * PAD_MM
        for k in used
    }
    words = {
        k: max(
            natural[k] if k not in WRAPPED else metrics.width_mm(word, CAPITAL_MM) + 2 * PAD_MM
            for word in (HEADS[k], *(w for cells in body for w in cells[k].split()))
        )
        for k in used
    }
    least = {k: min(words[k], 45.0) for k in used}
    like = {k: max(0.0, min(natural[k], 75.0) - least[k]) for k in used}
    left = room - sum(least.values())
    share = max(0.0, min(1.0, left / sum(like.values()))) if sum(like.values()) else 0.0
    widths = {k: least[k] + share * like[k] for k in used}
    over = sum(widths.values()) - room
    if over > 0.01:  # a name as long as the page is made smaller or cut, and the sheet shows it
        widest = max(widths, key=lambda k: widths[k])
        widths[widest] = max(14.0, widths[widest] - over)
    return _Columns(used=used, widths=tuple(widths[k] for k in used))


def _lines(columns: _Columns, cells: Sequence[str]) -> list[tuple[str, ...]]:
    found: list[tuple[str, ...]] = []
    for k, wide in zip(columns.used, columns.widths, strict=True):
        if k in WRAPPED:
            room = wide - 2 * PAD_MM + 0.05
            found.append(metrics.wrap(cells[k], CAPITAL_MM, room) or ("",))
        else:
            found.append((cells[k],))
    return found


def _row_mm(columns: _Columns, row: BenchRow) -> float:
    return max(len(lines) for lines in _lines(columns, _cells(row))) * LINE_MM + 1.7


def _height(columns: _Columns, rows: Sequence[BenchRow]) -> float:
    return LINE_MM + 1.7 + sum(_row_mm(columns, row) for row in rows)


def _rows(
    sheet: Sheet, columns: _Columns, rows: Sequence[BenchRow], y: float, connector: str
) -> int:
    """Draw as many rows as fit; gives their count, at least one."""
    x0, bottom = sheet.frame[0] + 5.0, sheet.block[1] - 2.0
    right = x0 + sum(columns.widths)
    top = y
    head = LINE_MM + 1.7
    sheet.rect((x0, y, right, y + head), kind="rule", width_mm=0.25, fill=PALE)
    _texts(sheet, columns, [(HEADS[k],) for k in columns.used], (x0, y), head=True, ref="head")
    y += head
    taken = 0
    for row in rows:
        high = _row_mm(columns, row)
        if taken and y + high > bottom:
            break
        cells = _lines(columns, _cells(row))
        _texts(sheet, columns, cells, (x0, y), head=False, ref=f"{connector}.{row.contact}")
        y += high
        taken += 1
        sheet.line(((x0, y), (right, y)), width_mm=0.2, kind="rule")
    x = x0
    for wide in (0.0, *columns.widths):
        x += wide
        sheet.line(((x, top), (x, y)), width_mm=0.2, kind="rule")
    return taken


def _texts(
    sheet: Sheet, columns: _Columns, cells: Sequence[tuple[str, ...]],
    at: tuple[float, float], *, head: bool, ref: str,
) -> None:  # fmt: skip
    x, y = at
    for k, wide, lines in zip(columns.used, columns.widths, cells, strict=True):
        for n, line in enumerate(lines):
            sheet.text(
                x + PAD_MM,
                y + 0.85 + LINE_MM / 2 + n * LINE_MM,
                line,
                capital_mm=CAPITAL_MM,
                middle=True,
                bold=head or k in (0, 2),
                room_mm=wide - 2 * PAD_MM + 0.1,
                ref=ref,
            )
        x += wide


# --- facts ------------------------------------------------------------------------------------


def _wrapped(facts: Sequence[tuple[str, str]], room: float) -> Iterator[tuple[str, str]]:
    """A line each: its name where it is the first of a fact, and the text."""
    for name, text in facts:
        for n, line in enumerate(metrics.wrap(metrics.clean(text), FACT_MM, room)):
            yield ("" if n else name), line


def _facts(work: _Work, facts: Sequence[tuple[str, str]]) -> None:
    """How to measure, contacts, crimp test, spares."""
    sheet = work.sheets[-1]
    for name, line in _wrapped(facts, sheet.frame[2] - sheet.frame[0] - 42.0):
        if work.y + 4.0 > sheet.block[1] - 1.0:
            sheet = work.new()
            work.y += 6.0
        x, y = sheet.frame[0] + 5.0, work.y + 2.4
        sheet.text(x, y, name, capital_mm=FACT_MM, bold=True, room_mm=30.0, ref="fact")
        sheet.text(x + 32.0, y, line, capital_mm=FACT_MM, ref="fact")
        work.y += 4.0
