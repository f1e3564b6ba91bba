"""Equipment with its contacts: what lands on each, and where that goes.

Power, ground and discretes stand left of the box, data, audio and antennas right of it; where the
sheet is too narrow for that all stand right. Small boxes share a sheet.
"""

from msgspec.structs import replace

from elec.drawings.inputs import DrawnRow, EquipmentBox, EquipmentSheet
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import cells
from elec.drawings.sheets.circuit import FACT_MM, draw_facts, draw_strip
from elec.drawings.sheets.flow import SheetFlow, across, draw_tiers, limit, new_page
from elec.drawings.sheets.star import sides


def equipment(record: EquipmentSheet) -> list[Sheet]:
    """The sheets of one drawing of equipment."""
    work = SheetFlow(
        title=record.title,
        document_type="equipment wiring",
        description=_described(record),
        size=record.size,
    )
    new_page(work)
    for box in record.boxes:
        _draw_box(work, box)
    for page in work.pages:
        draw_strip(page.sheet, record.cautions)
    return [page.sheet for page in work.pages]


def _described(record: EquipmentSheet) -> str:
    said = (
        f"{_title(box)}: "
        + "; ".join(
            " to ".join(dict.fromkeys(cells.end_text(n) for n in row.nodes if n.label))
            for row in (*box.left, *box.right)
        )
        for box in record.boxes
    )
    return ". ".join(said) + "."


def _title(box: EquipmentBox) -> str:
    rows = (*box.left, *box.right)
    return rows[0].nodes[0].label if rows else box.name


def _draw_box(work: SheetFlow, box: EquipmentBox) -> None:
    rows = _rows(work, box)
    page = work.page()
    fresh = page.y <= page.sheet.frame[1] + 4.0
    if rows:
        found = cells.tier(rows)
        made = layout.parts(found, 0, len(rows))
        high = layout.bottom(made, layout.heights(found, made, 0, len(rows)), 0)
        high += 4.0 + FACT_MM * len(box.facts)
        if not fresh and page.y + high > limit(page.sheet):
            new_page(work)
        draw_tiers(work, rows)
    if box.facts:
        facts = box.facts if len(rows) else ((box.name, "no contact is used"), *box.facts)
        draw_facts(work, facts)
        work.page().y += 6.0


def _rows(work: SheetFlow, box: EquipmentBox) -> list[DrawnRow]:
    """Rows on both sides of the box, or all to its right where the sheet is too narrow.

    Where that would take another sheet, the lengths are left to the wire schedule.
    """
    left, right = (cells.clipped_rows(rows) for rows in (box.left, box.right))
    both, alone = sides(left, right), [_alone(row) for row in (*left, *right)]
    room = across(work.page().sheet)
    short = sides(*(tuple(map(_without_length, rows)) for rows in (left, right)))
    choices = [both] if len(alone) <= ALONE_ROWS else [both, short]
    fitting = (rows for rows in choices if rows and cells.tier(rows).width_mm <= room)
    return next(fitting, alone)


ALONE_ROWS = 16
"""So many rows find room on one sheet when all stand right of the box."""


def _without_length(row: DrawnRow) -> DrawnRow:
    return replace(row, conductors=tuple(replace(c, length="") for c in row.conductors))


def _alone(row: DrawnRow) -> DrawnRow:
    """A row right of the box."""
    return sides((), (row,))[0]
