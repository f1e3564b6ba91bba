"""A circuit as rows: from the bus through each device, splice and connector to the load, and back.

Every conductor carries its mark over the line and gauge, colour and length under it. Below stand
the table of the wires on the sheet, facts and cautions. What finds no room goes on the next sheet.
"""

from collections.abc import Sequence

from elec.drawings import metrics
from elec.drawings.inputs import CircuitSheet
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import cells, paper, parts, table
from elec.drawings.sheets.flow import SheetFlow, across, draw_tiers, draw_turned, limit, new_page
from elec.drawings.sheets.star import star

FACT_MM = 3.6


def circuit(record: CircuitSheet) -> list[Sheet]:
    """The sheets of one circuit, numbered on from the record's title block."""
    record = cells.clipped(record)
    work = SheetFlow(
        title=record.title,
        document_type=record.document_type,
        description=_described(record),
        size=record.size,
    )
    new_page(work)
    starred = star(record.rows, record.focus) if record.focus else ()
    if starred and cells.tier(starred).width_mm <= across(work.page().sheet):
        draw_tiers(work, starred)
    else:
        by_id = dict(enumerate(record.rows))
        ordered = layout.order([cells.strip(i, row) for i, row in by_id.items()])
        draw_tiers(work, [by_id[int(str(strip.id))] for strip in ordered])
    draw_turned(work, record.bridge)
    _draw_below(work, record)
    for page in work.pages:
        draw_strip(page.sheet, record.cautions)
    return [page.sheet for page in work.pages]


def _described(record: CircuitSheet) -> str:
    chains = (" to ".join(dict.fromkeys(map(cells.end_text, row.nodes))) for row in record.rows)
    return f"{record.title.title}: " + "; ".join(chains) + "."


# --- below the rows ---------------------------------------------------------------------------

HEADS = ("wire", "gauge", "colour", "length", "from", "to", "cable")


def wire_rows(record: CircuitSheet) -> list[tuple[tuple[str, ...], str]]:
    """The wires on the sheet as rows of the table, each once, with their reference."""
    found: dict[str, tuple[str, ...]] = {}
    for row in record.rows:
        for span in cells.spans(row):
            wire = span.wire
            if not (wire.mark or wire.ref):
                continue
            ends = (
                cells.end_text(row.nodes[span.first], right=True),
                cells.end_text(row.nodes[span.last]),
            )
            texts = (wire.mark or wire.ref, wire.gauge, wire.colour, wire.length, *ends, wire.cable)
            found.setdefault(wire.ref or wire.mark, texts)
    return [(texts, ref) for ref, texts in found.items()]


def _draw_below(work: SheetFlow, record: CircuitSheet) -> None:
    """The table of wires, and the facts beside or under it."""
    rows = wire_rows(record) if record.table else []
    heads, body = table.filled(HEADS, [texts for texts, _ in rows])
    refs = [ref for _, ref in rows]
    start, beside = 0, None
    while start < len(body):
        page = work.page()
        count = table.rows_that_fit(limit(page.sheet) - page.y - 6.0)
        if count < min(3, len(body) - start):
            new_page(work)
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
    if record.facts:
        draw_facts(work, record.facts, beside)


def draw_facts(
    work: SheetFlow, facts: Sequence[tuple[str, str]], beside: tuple[float, float] | None = None
) -> None:
    """Facts under what is drawn, or beside the table of wires."""
    page = work.page()
    name_mm = 4.0 + max(cells.bounded(name, bold=True, room=44.0) for name, _ in facts)
    right = page.sheet.frame[2] - 5.0
    x = page.sheet.frame[0] + 5.0
    lines = _fact_lines(facts, right - x - name_mm)
    if beside and right - beside[0] - name_mm > 50.0:
        slim = _fact_lines(facts, right - beside[0] - name_mm)
        if beside[1] + 6.0 + FACT_MM * len(slim) < limit(page.sheet):
            (x, page.y), lines = beside, slim
    for name, line in lines:
        if page.y + FACT_MM + 2.0 > limit(page.sheet):
            new_page(work)
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


def draw_strip(sheet: Sheet, cautions: Sequence[str]) -> None:
    """Cautions, or the symbols used, beside the title block."""
    box = paper.strip(sheet)
    if cautions:
        parts.draw_notes(sheet, cautions, box, heading="Cautions")
    else:
        parts.draw_legend(sheet, parts.used_symbols(sheet), box)


__all__ = ["circuit", "draw_facts", "draw_strip", "star", "wire_rows"]
