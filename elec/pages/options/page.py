"""Options side by side, as an answer."""

from elec.attempt.options.options import Beside
from elec.check import checks
from elec.pages.answers import headline
from elec.pages.columns import listed
from elec.pages.document import Block, Items, Paragraph, Section, TableBlock
from elec.pages.options.table import option_lines, options_figure, options_table


def options_answer(found: Beside, *, picture: bool) -> Section:
    """The table first, then what stands behind it.

    Args:
        found: the options.
        picture: whether a chart goes along, for what is not read on a terminal.
    """
    blocks: list[Block] = [
        Paragraph(text=options_lead(found), kind="lead"),
        TableBlock(table=options_table(found)),
    ]
    if picture:
        blocks.append(options_figure(found))
    lines = option_lines(found)
    if lines:
        blocks.append(Paragraph(text="By number, beside what is built:"))
        blocks.append(Items(items=lines))
    deep = listed([one.id for one in checks() if one.deep])
    said = f"Not asked: {deep}, which follows whole flights through time (elec check --deep)."
    blocks.append(Paragraph(text=said, kind="note"))
    return Section(id="options", title=headline(found.study), blocks=tuple(blocks), new_page=False)


def options_lead(found: Beside) -> str:
    """How many there are, how many nothing dominates, and whether what is built is one of them."""
    made = [one for one in found.options if one.measures is not None]
    free = [str(n) for n, one in enumerate(found.options) if one.measures and not one.by]
    without = len(found.options) - len(made)
    built = found.options[0]
    said = (
        f"What is built is dominated by {listed([str(k) for k in built.by])}."
        if built.by
        else "Nothing here dominates what is built."
    )
    cannot = f" {without} cannot be built." if without else ""
    return (
        f"{len(found.options) - 1} alternatives beside what is built; not dominated: "
        f"{listed(free)}. {said}{cannot} None is recommended: weigh the columns yourself."
    )
