"""A panel in one screen: what stands in each position, as its sheet has it."""

from elec.answers.connect.panel import panels
from elec.drawings.records.panel import panel_record, panel_title
from elec.pages.columns import text
from elec.pages.document import Paragraph, Section, TableBlock
from elec.pages.table import Table
from elec.study import Study


def panel_answer(study: Study, name: str) -> Section | None:
    """The positions of a panel by its name or title; None where none is called so."""
    found = [
        one
        for one, layout in panels(study).by_name.items()
        if name.casefold() in (one.casefold(), layout.title.casefold())
    ]
    if not found:
        return None
    layout, record = panels(study).by_name[found[0]], panel_record(study, found[0], {})
    taken = {row[0]: row[:-1] for row in record.table}  # without the sheet: none is drawn
    heads = record.heads[:-1]
    rows = [
        taken.get(one.name, (one.name, "free", *("" for _ in heads[2:])))
        for one in layout.positions
    ]
    used = [k for k in range(len(heads)) if any(row[k] for row in rows)]
    table = Table(
        id="positions",
        title="Positions, row by row",
        columns=tuple(
            text(heads[k].partition(" ")[0], heads[k][:1].upper() + heads[k][1:]) for k in used
        ),
        rows=tuple(tuple(row[k] for k in used) for row in rows),
        note=" ".join(filter(None, (record.measures, record.missing))),
    )
    said = f"{record.warning}" if record.warning else ""
    return Section(
        id="show",
        title=f"{panel_title(study, found[0])}, panel in {record.sits}",
        blocks=(*((Paragraph(text=said),) if said else ()), TableBlock(table=table)),
        new_page=False,
    )
