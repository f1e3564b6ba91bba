"""The papers for the bench, and the command line's answer with them."""

from elec.pages.bench import proving
from elec.pages.bench import table as bench
from elec.pages.circuits import power
from elec.pages.document import Block, Items, Paragraph, Section, TableBlock
from elec.pages.table import Table
from elec.study import Study

CAUTION = (
    "Batteries and fuel vapour can hurt people: disconnect the battery before you work, ventilate, "
    "and keep an extinguisher near when power is on for the first time."
)


def bench_section(study: Study) -> Section:
    """All papers, each on a page of its own."""
    return Section(
        id="bench",
        title="Papers for the bench",
        blocks=(Paragraph(text=CAUTION, kind="caution"),),
        sections=tuple(
            Section(id=f"bench-{table.id}", title=table.title, blocks=_blocks(table), new_page=True)
            for table in sheets(study)
            if table.rows
        ),
    )


def sheets(study: Study) -> tuple[Table, ...]:
    """All papers in the order of the work."""
    first = power.first_power(study)
    return (
        bench.cut_list(study),
        bench.labels(study),
        proving.pull_test(study),
        proving.ring_out(study),
        proving.insulation_test(study),
        *((first,) if first is not None else ()),
    )


def paper(study: Study, name: str) -> Section:
    """One paper alone, for the command line."""
    table = next(table for table in sheets(study) if table.id == name)
    return Section(id=f"bench-{name}", title=table.title, blocks=_blocks(table), new_page=False)


def _blocks(table: Table) -> tuple[Block, ...]:
    if table.id != "first-power":
        return (TableBlock(table=table),)
    steps = Items(items=power.POWER_STEPS, boxes=True)
    return (Paragraph(text=CAUTION, kind="caution"), steps, TableBlock(table=table))
