"""A circuit as rows: from the bus through each device, splice and connector to the load, and back.

Every conductor carries its mark and length over the line and gauge and colour under it. Below stand
facts and cautions. What finds no room goes on the next sheet.
"""

from collections.abc import Sequence

from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.ink import Point
from elec.drawings.inputs import SPOT, CircuitSheet
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import Sheet, Wanted
from elec.drawings.sheets import cells, paper, parts
from elec.drawings.sheets.flow import SheetFlow, draw_tiers, limit, new_page
from elec.kept import takes_over

FACT_MM = parts.LINE_MM
SPACE_MM = parts.width("a a") - parts.width("aa")
"""A space beside a sheet and zone that are written in last."""


@takes_over
def circuit(record: CircuitSheet) -> list[Sheet]:
    """The sheets of one circuit, numbered on from the record's title block."""
    for one in record.also:
        said = ", ".join(f"{what} {value}" for what, value in one.facts)
        facts = (*record.facts, (one.title.title, said))
        record = replace(record, rows=(*record.rows, *one.rows), facts=facts, also=())
    record = cells.clipped(record)
    work = SheetFlow(
        title=record.title,
        document_type=record.document_type,
        description=_described(record),
        size=record.size,
    )
    new_page(work)
    by_id = dict(enumerate(record.rows))
    ordered = layout.order([cells.strip(i, row) for i, row in by_id.items()])
    draw_tiers(work, [by_id[int(str(strip.id))] for strip in ordered])
    facts = (*record.facts, *(("caution", care) for care in record.cautions[:-1]))
    if facts:
        draw_facts(work, facts, record.spots)
    for page in work.pages:
        draw_strip(page.sheet, record.cautions[-1:])
    return [page.sheet for page in work.pages]


def _described(record: CircuitSheet) -> str:
    chains = (" to ".join(dict.fromkeys(map(cells.end_text, row.nodes))) for row in record.rows)
    return f"{record.title.title}: " + "; ".join(chains) + "."


def draw_facts(
    work: SheetFlow, facts: Sequence[tuple[str, str]], spots: Sequence[str] = ()
) -> None:
    """Facts under what is drawn."""
    left = list(spots)
    page = work.page()
    name_mm = 4.0 + max(cells.bounded(name, bold=True, room=44.0) for name, _ in facts)
    x, right = page.sheet.frame[0] + 5.0, page.sheet.frame[2] - 5.0
    for name, line in _fact_lines(facts, right - x - name_mm):
        if page.y + FACT_MM + 2.0 > limit(page.sheet):
            new_page(work)
            page = work.page()
        page.y += FACT_MM
        page.sheet.text(x, page.y, name, bold=True, room_mm=44.0, ref="fact")
        draw_said(page.sheet, (x + name_mm, page.y), line, left, "fact")


def draw_said(sheet: Sheet, at: Point, line: str, spots: list[str], ref: str) -> None:
    """A line of facts, with room for each sheet and zone that is written into it last."""
    x, y = at
    first, *others = line.split(SPOT)
    x += sheet.text(x, y, first, ref=ref) + (SPACE_MM if first.endswith(" ") else 0.0)
    for said in others:
        room = parts.width(SPOT)
        want = Wanted(at=(x, y), target=spots.pop(0), ref=ref, room_mm=room, own=True)
        sheet.wanted.append(want)
        x += room + (SPACE_MM if said.startswith(" ") else 0.0)
        x += sheet.text(x, y, said, ref=ref) + (SPACE_MM if said.endswith(" ") else 0.0)


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


__all__ = ["circuit", "draw_said", "draw_strip"]
