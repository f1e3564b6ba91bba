"""What differs between two texts of a system: what matters first, then every wire and value."""

from collections import Counter
from collections.abc import Iterable

from msgspec.structs import replace

from elec import units
from elec.answers.build.wire_changes import DOES, WorkToDo, wire_changes, work
from elec.answers.build.written import ticks, written_changes
from elec.attempt.compared import Compared
from elec.pages.answers import headline
from elec.pages.attempt.differs import battery_words, margin_blocks, verdict_blocks
from elec.pages.columns import listed
from elec.pages.compare import table as tables
from elec.pages.document import Block, Items, Paragraph, Section, TableBlock
from elec.pages.loads.difference import load_words
from elec.pages.table import Table

FIRST = 12
"""So many rows of a table stand on a terminal; the others are counted."""
SAME = "Nothing differs: every value of the text, every wire, every verdict is the same."


def compare_answer(found: Compared, old: str, *, whole: bool) -> Section:
    """The whole answer.

    Args:
        found: both systems.
        old: what the older one is called.
        whole: every row of every table; else the first of each.
    """
    return Section(
        id="compare",
        title=headline(found.after),
        blocks=(
            Paragraph(text=compare_lead(found, old), kind="lead"),
            *compare_blocks(found, old, whole=whole),
        ),
        new_page=False,
    )


def compare_lead(found: Compared, old: str) -> str:
    """What matters most, in a sentence."""
    if nothing_differs(found):
        return SAME
    failing = [one for one in found.changes if one.new_fail]
    if failing:
        names = listed(list(dict.fromkeys(one.check for one in failing)))
        count = "1 thing fails that does" if len(failing) == 1 else (
            f"{len(failing)} things fail that do")  # fmt: skip
        return f"{count} not fail in {old} ({names})."
    worse = [one for one in found.changes if one.worse or one.further]
    if worse:
        names = listed(list(dict.fromkeys(one.check for one in worse)))
        return f"Nothing fails that does not fail in {old}. Worse: {names}."
    return f"No check answers worse than in {old}; what moved stands below."


def nothing_differs(found: Compared) -> bool:
    """Whether nothing of the text is another but its words and remarks."""
    before, after = found.before, found.after
    return not (
        written_changes(before, after)
        or ticks(before, after)
        or found.changes
        or wire_changes(before, after)
    )


def compare_blocks(found: Compared, old: str, *, whole: bool) -> list[Block]:
    """All that differs; none where nothing does."""
    if nothing_differs(found):
        return []
    before, after = found.before, found.after
    wires = wire_changes(before, after)
    blocks: list[Block] = [Items(items=tuple(summary_lines(found, old)))]
    blocks += verdict_blocks(found.changes)
    if whole and found.changes:
        blocks.append(TableBlock(table=tables.verdicts_table(found.changes)))
    blocks += margin_blocks(found)
    every = (
        tables.loads_table(before, after),
        tables.devices_table(before, after),
        tables.wires_table(wires),
        tables.contacts_table(before, after),
        tables.weight_table(before, after),
        tables.written_table(before, after),
    )
    blocks += [TableBlock(table=one if whole else _short(one)) for one in every if one.rows]
    if not whole:
        said = "With --all, or written with -o to a file, every row is there."
        blocks.append(Paragraph(text=said, kind="note"))
    return blocks


def _short(table: Table) -> Table:
    more = len(table.rows) - FIRST
    if more <= 0:
        return table
    note = f"{more} rows more: --all."
    return replace(table, rows=table.rows[:FIRST], note=f"{table.note} {note}".strip())


# -- in lines -------------------------------------------------------------------------------------


def summary_lines(found: Compared, old: str) -> list[str]:
    """Text, loads, battery, verdicts, wires and work, each in a line."""
    before, after = found.before, found.after
    wires = wire_changes(before, after)
    lines = [
        _written(found),
        load_words(before, after, old),
        battery_words(found),
        verdict_counts(found),
        work_words(found, work(before, after, wires)),
    ]
    return [line for line in lines if line]


def _written(found: Compared) -> str:
    every = written_changes(found.before, found.after)
    entries = Counter(one.what for one in every if one.what != "changed")
    changed = len({(one.section, one.entry) for one in every if one.what == "changed"})
    words = [f"{entries[what]} {what}" for what in ("new", "gone", "renamed") if entries[what]]
    words += [f"{changed} with other values"] if changed else []
    parts = [f"Entries of the text: {', '.join(words)}."] if words else []
    ticked = ticks(found.before, found.after)
    parts += [f"Work ticked: {ticked} entr{'y differs' if ticked == 1 else 'ies differ'}."] * (
        ticked > 0
    )
    return " ".join(parts)


def verdict_counts(found: Compared) -> str:
    """How many verdicts are new, gone, worse and better."""
    counts = Counter(tables.change_word(one) for one in found.changes)
    words = (
        "worse", "new", "better", "gone", "worse by its number", "better by its number",
        "another number",
    )  # fmt: skip
    said = ", ".join(f"{counts[word]} {word}" for word in words if counts[word])
    return f"Verdicts: {said}." if said else "No verdict changes."


def work_words(found: Compared, done: WorkToDo) -> str:
    """Wires to add, to take out, to replace; zones to open."""
    said = [
        f"{done.counts[does]} to {does}"
        + (f" ({done.built[does]} of them cut or further)" if done.built[does] else "")
        + (f" ({done.done[does]} of them ticked so in the newer text)" if done.done[does] else "")
        for does in DOES
        if does != "nothing" and done.counts[does]
    ]
    if not said:
        asked = listed(
            list(dict.fromkeys(one.check for one in found.changes if one.worse or one.further))
        )
        more = f" What {asked} says may ask for it all the same." if asked else ""
        none = "No wire is added, taken out, replaced, laid or ended anew."
        return f"{none}{more}{_zones(found, done.zones)}"
    system = found.after.system.about.units
    more = f" and {done.unknown} of unknown length" if done.unknown else ""
    put_in, taken_out = (units.show(one, "m", system) for one in (done.in_m, done.out_m))
    lengths = f" {put_in} in, {taken_out} out{more}."
    return f"Wires: {', '.join(said)}.{lengths}{_zones(found, done.zones)}"


def _zones(found: Compared, zones: Iterable[str]) -> str:
    named = [zone_title(found, zone) for zone in zones]
    return f" Zones to open: {listed(named)}." if named else ""


def zone_title(found: Compared, zone: str) -> str:
    """A zone for print, also where only the older text has it."""
    study = found.after if zone in found.after.document.zones else found.before
    return study.system.title("zones", zone)


__all__ = [
    "SAME", "compare_answer", "compare_blocks", "compare_lead", "nothing_differs",
    "summary_lines", "verdict_counts", "work_words", "zone_title",
]  # fmt: skip
