"""A circuit as rows: from the bus through each device, splice and connector to the load, and back.

Every conductor carries its mark over the line and gauge, colour and length under it. Below stand
the table of the wires on the sheet, facts and cautions. What finds no room goes on the next sheet.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from elec.drawings import metrics
from elec.drawings.inputs import CircuitSheet, Node, Row
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import cells, parts, table
from elec.drawings.sheets.row_ink import RowInk
from elec.drawings.sheets.star import star

FACT_MM = 3.6


@dataclass(kw_only=True)
class _Page:
    """A sheet being filled: the next free y."""

    sheet: Sheet
    y: float


@dataclass(kw_only=True)
class _Work:
    record: CircuitSheet
    pages: list[_Page] = field(default_factory=list)
    letters: int = 0

    def page(self) -> _Page:
        return self.pages[-1]


def circuit(record: CircuitSheet) -> list[Sheet]:
    """The sheets of one circuit, numbered on from the record's title block."""
    record = cells.clipped(record)
    work = _Work(record=record)
    _new_page(work)
    starred = star(record.rows, record.focus) if record.focus else ()
    if starred and cells.tier(starred).width_mm <= _across(work.page().sheet):
        _draw_tiers(work, starred)
    else:
        by_id = dict(enumerate(record.rows))
        ordered = layout.order([cells.strip(i, row) for i, row in by_id.items()])
        _draw_tiers(work, [by_id[int(str(strip.id))] for strip in ordered])
    _draw_below(work)
    for page in work.pages:
        _draw_strip(page.sheet, record)
    return [page.sheet for page in work.pages]


def _new_page(work: _Work) -> None:
    block = work.record.title
    n = len(work.pages)
    title = block.title + (f", continued ({n + 1})" if n else "")
    block = replace(block, sheet=block.sheet + n, title=title, document_type="circuit diagram")
    sheet = Sheet(
        size=work.record.size,
        title=block,
        id=f"sheet-{block.label}",
        description=_described(work.record),
    )
    work.pages.append(_Page(sheet=sheet, y=sheet.frame[1] + 3.0))


def _described(record: CircuitSheet) -> str:
    chains = (" to ".join(dict.fromkeys(map(cells.end_text, row.nodes))) for row in record.rows)
    return f"{record.title.title}: " + "; ".join(chains) + "."


def _limit(sheet: Sheet) -> float:
    return sheet.block[1] - 3.0


# --- tiers and pages --------------------------------------------------------------------------


def _draw_tiers(work: _Work, rows: Sequence[Row]) -> None:
    """Rows that fit the width; what is wider is cut and goes on below, joined by letters."""
    if not rows:
        return
    sheet = work.page().sheet
    room = _across(sheet)
    found = cells.tier(rows)
    letters = work.letters
    best: tuple[float, int] | None = None
    for column in layout.cut_columns(found, room):
        work.letters = letters
        left, right = _split(work, found, rows, column)
        if not left or not right or max(map(_nodes, (left, right))) >= _nodes(rows):
            continue
        wide = max(cells.tier(left).width_mm, room)
        if best is None or wide < best[0]:
            best = (wide, column)
    work.letters = letters
    if best is not None:
        left, right = _split(work, found, rows, best[1])
        _draw_tiers(work, left)
        _draw_tiers(work, right)
        return
    layout.stretch(found, room)
    _draw_rows(work, found, rows)


def _across(sheet: Sheet) -> float:
    """Width for the rows."""
    return sheet.frame[2] - sheet.frame[0] - 10.0


def _split(
    work: _Work, found: layout.Tier, rows: Sequence[Row], column: int
) -> tuple[list[Row], list[Row]]:
    """The rows left and right of a column; a row over it is cut in a conductor."""
    left: list[Row] = []
    right: list[Row] = []
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


def _nodes(rows: Sequence[Row]) -> int:
    """How many nodes there are, flags aside; it must fall with every cut."""
    return sum(node.kind != "flag" for row in rows for node in row.nodes)


def _cut(work: _Work, row: Row, count: int) -> tuple[Row, Row]:
    """A row cut in the conductor before node `count`."""
    letter = _letter(work.letters)
    work.letters += 1
    wire = row.conductors[count - 1]
    out = Node(kind="flag", ref=f"to {letter}", label=letter)
    back = Node(kind="flag", ref=f"from {letter}", label=letter)
    return (
        Row(nodes=(*row.nodes[:count], out), conductors=row.conductors[:count]),
        Row(
            nodes=(back, *row.nodes[count:]),
            conductors=(replace(wire, gauge="", colour="", length=""), *row.conductors[count:]),
        ),
    )


def _letter(n: int) -> str:
    return chr(ord("A") + n % 26) + ("" if n < 26 else str(n // 26))


def _draw_rows(work: _Work, found: layout.Tier, rows: Sequence[Row]) -> None:
    """As many rows as fit on each page."""
    first = 0
    while first < len(rows):
        page = work.page()
        last = len(rows)
        while True:
            made = layout.parts(found, first, last)
            ys = layout.heights(found, made, first, last)
            fits = page.y + layout.bottom(made, ys, first) <= _limit(page.sheet)
            if fits or last == first + 1:
                break
            last -= 1
        if not fits and page.y > page.sheet.frame[1] + 4.0:
            _new_page(work)
            continue
        RowInk(page.sheet, found, rows, made, [page.y + y for y in ys], first).draw()
        page.y += layout.bottom(made, ys, first) + 3.0
        first = last
        if first < len(rows):
            _new_page(work)


# --- below the rows ---------------------------------------------------------------------------

HEADS = ("wire", "gauge", "colour", "length", "from", "to", "cable")


def wire_rows(record: CircuitSheet) -> list[tuple[tuple[str, ...], str]]:
    """The wires on the sheet as rows of the table, each once, with their reference."""
    found: dict[str, tuple[str, ...]] = {}
    for row in record.rows:
        for k, wire in enumerate(row.conductors):
            if not (wire.mark or wire.ref):
                continue
            ends = (cells.end_text(row.nodes[k]), cells.end_text(row.nodes[k + 1]))
            texts = (wire.mark or wire.ref, wire.gauge, wire.colour, wire.length, *ends, wire.cable)
            found.setdefault(wire.ref or wire.mark, texts)
    return [(texts, ref) for ref, texts in found.items()]


def _draw_below(work: _Work) -> None:
    """The table of wires, and the facts beside or under it."""
    rows = wire_rows(work.record)
    used = [i for i in range(len(HEADS)) if any(texts[i] for texts, _ in rows)]
    heads = [HEADS[i] for i in used]
    body = [[texts[i] for i in used] for texts, _ in rows]
    refs = [ref for _, ref in rows]
    start, beside = 0, None
    while start < len(body):
        page = work.page()
        count = table.rows_that_fit(_limit(page.sheet) - page.y - 6.0)
        if count < min(3, len(body) - start):
            _new_page(work)
            continue
        x, top = page.sheet.frame[0] + 5.0, page.y
        widths = table.column_widths(heads, body, page.sheet.frame[2] - x - 5.0)
        page.sheet.text(x, top + 3.0, "Wires on this drawing", bold=True, ref="head")
        part = slice(start, start + count)
        page.y = 4.0 + table.draw_table(
            page.sheet, (x, top + 4.6), heads, body[part], widths=widths, refs=refs[part]
        )
        start += count
        beside = (x + sum(widths) + 8.0, top)
    if work.record.facts:
        _draw_facts(work, beside)


def _draw_facts(work: _Work, beside: tuple[float, float] | None) -> None:
    facts = work.record.facts
    page = work.page()
    name_mm = 4.0 + max(cells.bounded(name, bold=True, room=44.0) for name, _ in facts)
    right = page.sheet.frame[2] - 5.0
    x = page.sheet.frame[0] + 5.0
    lines = _fact_lines(facts, right - x - name_mm)
    if beside and right - beside[0] - name_mm > 50.0:
        slim = _fact_lines(facts, right - beside[0] - name_mm)
        if beside[1] + 6.0 + FACT_MM * len(slim) < _limit(page.sheet):
            (x, page.y), lines = beside, slim
    for name, line in lines:
        if page.y + FACT_MM + 2.0 > _limit(page.sheet):
            _new_page(work)
            page, x = work.page(), page.sheet.frame[0] + 5.0
        page.y += FACT_MM
        page.sheet.text(x, page.y, name, bold=True, room_mm=44.0, ref="fact")
        page.sheet.text(x + name_mm, page.y, line, ref="fact")


def _fact_lines(facts: Sequence[tuple[str, str]], room: float) -> list[tuple[str, str]]:
    lines: list[tuple[str, str]] = []
    for name, value in facts:
        for i, line in enumerate(metrics.wrap(metrics.clean(value), parts.SMALL_MM, room)):
            lines.append((name if i == 0 else "", line))
    return lines


def _draw_strip(sheet: Sheet, record: CircuitSheet) -> None:
    x0, _, _, y1 = sheet.frame
    right, top, _, _ = sheet.block
    sheet.line(((x0, top), (right, top)), width_mm=0.25, kind="rule")
    box = (x0 + 3.0, top + 1.5, right - 3.0, y1 - 1.5)
    if record.cautions:
        parts.draw_notes(sheet, record.cautions, box, heading="Cautions")
    else:
        parts.draw_legend(sheet, parts.used_symbols(sheet), box)


__all__ = ["circuit", "star", "wire_rows"]
