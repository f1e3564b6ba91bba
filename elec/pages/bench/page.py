"""The papers for the bench, and the command line's answer with them."""

from collections.abc import Callable, Mapping

from msgspec.structs import replace

from elec.cautions import CARE
from elec.pages.bench import apart, power, proving, terminations
from elec.pages.bench import table as bench
from elec.pages.bench.engraving import engraving
from elec.pages.circuits.reversing import bridges
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.loads.sheet import signed
from elec.pages.table import Table
from elec.study import Study

NOT_YET = (
    "The rows of this test are printed when everything above is off and somebody says so: "
    "elec bench SYSTEM insulation-test --unplugged"
)
BAR = "Stop. Only when everything above is off and unplugged, and ticked: the rows of this test."
"""Between what must be off and the rows, in a binder, where no command can ask."""


def bench_section(study: Study) -> Section:
    """All papers, each on a page of its own."""
    papers = tuple(
        paper(study, name, unplugged=True, new_page=n > 0) for n, name in enumerate(PAPERS)
    )
    return Section(
        id="bench",
        title="Papers for the bench",
        blocks=(Paragraph(text=power.caution(study, "battery"), kind="caution"),),
        sections=tuple(one for one in papers if one.blocks),
    )


def paper(study: Study, name: str, *, unplugged: bool = False, new_page: bool = False) -> Section:
    """One paper; of the insulation test the rows only where all is `unplugged`."""
    title, blocks = PAPERS[name]
    made = blocks(study)
    if name == "insulation-test":
        rows = (
            Paragraph(text=BAR, kind="caution"),
            *_told_first(proving.insulation_test(study)),
            *_signed(name),
        )
        made += rows if unplugged else (Paragraph(text=NOT_YET, kind="lead"),)
    return Section(id=f"bench-{name}", title=title, blocks=made, new_page=new_page)


def _tables(*tables: Table) -> tuple[Block, ...]:
    return tuple(TableBlock(table=table) for table in tables if table.rows)


def _told_first(table: Table) -> tuple[Block, ...]:
    """A table over many pages behind its note: how it is done is read before the first row."""
    if not table.rows:
        return ()
    return Paragraph(text=table.note), TableBlock(table=replace(table, note=""))


def _cut_list(study: Study) -> tuple[Block, ...]:
    return (*_told_first(bench.cut_list(study)), *_tables(bench.cables_to_cut(study)))


def _labels(study: Study) -> tuple[Block, ...]:
    return _told_first(bench.labels(study))


def _terminations(study: Study) -> tuple[Block, ...]:
    return (
        Paragraph(text=CARE["crimp"], kind="caution"),
        *_tables(*terminations.terminations(study)),
    )


def _pull_test(study: Study) -> tuple[Block, ...]:
    return _tables(proving.pull_test(study))


def _ring_out(study: Study) -> tuple[Block, ...]:
    return (
        *apart.before_ringing(study),
        *_told_first(proving.ring_out(study)),
        *_tables(bridges(study)),
        *_signed("ring-out"),
    )


def _signed(name: str) -> tuple[Block, ...]:
    """Who did it and who looked at it, with the date."""
    return _tables(signed(f"{name}-signed", f"Signed: {PAPERS[name][0].lower()}", power.WHO))


PAPERS: Mapping[str, tuple[str, Callable[[Study], tuple[Block, ...]]]] = {
    "cut-list": ("Cut list", _cut_list),
    "labels": ("Labels", _labels),
    "engraving": ("Labels of the panels at true size", engraving),
    "pull-test": ("Pull test of crimps", _pull_test),
    "terminations": ("Terminations", _terminations),
    "ring-out": ("Ring-out", _ring_out),
    "insulation-test": ("Insulation test", apart.before_insulation),
    "first-power": ("First power-up", power.first_power),
}
"""All papers in the order of the work: name → title, blocks."""
