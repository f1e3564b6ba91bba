"""What the readings of a list change, before or after they are written."""

from collections.abc import Sequence

from elec import units
from elec.model.system import Measured
from elec.pages.answers import headline
from elec.pages.columns import text
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.table import Table
from elec.read.lists.readings import Taken
from elec.study import Study


def readings_answer(
    study: Study, taken: Sequence[Taken], notes: Sequence[str], *, diff: str, written: Sequence[str]
) -> Section:
    """Each reading beside what stands in the file, and the lines that hold it.

    Args:
        study: the run, as it was before.
        taken: the readings.
        notes: what was read, and what was left out.
        diff: the lines that hold them; empty where they stand there already.
        written: names of the files that were written.
    """
    blocks: list[Block] = [Paragraph(text=note, kind="note") for note in notes]
    rows = tuple((one.name, *_before(study, one.name), *_now(one)) for one in taken)
    columns = (
        text("load", "Load"),
        text("was", "In the file"),
        text("basis", "Basis", 2),
        text("amps", "Measured, amps"),
        text("volts", "Measured, volts"),
    )
    title = "From the list"
    blocks.append(TableBlock(table=Table(id="readings", title=title, columns=columns, rows=rows)))
    if not diff:
        blocks.append(Paragraph(text="Nothing changes; it is so already."))
    else:
        said = (
            f"Written into {', '.join(written)}. elec measured compares it with what was expected."
            if written
            else "Nothing was written. Add --write to put these lines into the files."
        )
        blocks += [Paragraph(text=diff, kind="verbatim"), Paragraph(text=said)]
    return Section(id="measured", title=headline(study), blocks=tuple(blocks), new_page=False)


def _before(study: Study, name: str) -> tuple[str, str]:
    """What the file says so far, and where that comes from."""
    document = study.designed.document
    old = document.measured.get(name)
    if old is not None and (old.amps_a is not None or old.volts_v is not None):
        return _values(old), "measured"
    base, _, mode = name.partition(":")
    entry = document.equipment.get(base)
    if entry is None:
        return "?", ""
    found = entry.modes.get(mode, entry)
    return found.draw.said if found.draw is not None else "?", found.basis or "not said"


def _values(old: Measured) -> str:
    said = [
        *([units.show(old.amps_a, "a")] if old.amps_a is not None else ()),
        *([units.show(old.volts_v, "v")] if old.volts_v is not None else ()),
    ]
    return ", ".join(said)


def _now(one: Taken) -> tuple[str, str]:
    return one.keys.get("amps", ""), one.keys.get("volts", "")
