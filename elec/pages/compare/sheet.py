"""A change as a form for the aircraft's record: what, why, before and after, what to do again.

Numbers, verdicts and lists are those of the comparison. What nobody has entered is a line to write
on; who has to look at it is left to the rules of the place.
"""

from collections.abc import Iterator, Sequence
from math import isclose

from elec.answers.build.wire_changes import (
    WireChange,
    contact_changes,
    device_changes,
    wire_changes,
    work,
)
from elec.answers.build.written import written_changes
from elec.answers.fields.field import disturbed
from elec.attempt.compared import Compared
from elec.cautions import ADVICE, LOCAL
from elec.drawings.changed import changed_sheets
from elec.pages.attempt.differs import battery_words, margin_blocks, verdict_blocks
from elec.pages.book import digest_of
from elec.pages.columns import listed, text
from elec.pages.compare import table as tables
from elec.pages.compare.page import SAME, nothing_differs, verdict_counts, work_words, zone_title
from elec.pages.document import Block, Paragraph, Section, TableBlock
from elec.pages.loads.difference import load_words
from elec.pages.loads.sheet import BLANK, form_fields, placard_words, signatures
from elec.pages.table import Table
from elec.pages.things.sensor import SWING
from elec.study import Study

POWERED = ("add", "replace", "end anew")
"""Work after which a wire is rung out and its circuit powered anew."""


def change_sheet(found: Compared, *, reason: str, issue: str = "") -> Section:
    """The whole sheet.

    Args:
        found: both systems.
        reason: why it is changed; empty: a line to write on.
        issue: what the older text is called, where it is an issue.
    """
    before, after = found.before, found.after
    wires = wire_changes(before, after)
    made = (
        tables.loads_table(before, after), tables.devices_table(before, after),
        tables.wires_table(wires), tables.contacts_table(before, after),
        tables.verdicts_table(found.changes), tables.weight_table(before, after),
        tables.written_table(before, after),
    )  # fmt: skip
    margins = [block for block in margin_blocks(found) if isinstance(block, TableBlock)]
    lists = (*margins, *(TableBlock(table=one) for one in made if one.rows))
    blocks: tuple[Block, ...] = (
        TableBlock(table=_identity(found, issue)),
        TableBlock(table=_statements(found, wires, reason)),
        Paragraph(text=LOCAL),
        Paragraph(text=ADVICE),
        TableBlock(table=signatures("change-signed", "Done and looked at", ("Done", "Looked at"))),
    )
    told = verdict_blocks(found.changes)
    behind = [
        Section(id=id_, title=title, blocks=tuple(some), new_page=False)
        for id_, title, some in (
            ("change-verdicts", "What the checks say otherwise", told),
            ("change-lists", "Before and after", lists),
        )
        if some
    ]
    return Section(
        id="change-sheet",
        title=f"Change to the electrical system: {after.document.system.name}",
        blocks=blocks,
        sections=tuple(behind),
        new_page=False,
        form=True,
    )


def _identity(found: Compared, issue: str) -> Table:
    about = found.after.system.about
    rows = [
        ("Aircraft", about.name),
        ("Registration", about.registration),
        ("Serial number", about.serial),
        ("Before", ", ".join(filter(None, (issue, _issue(found.before))))),
        ("After", _issue(found.after)),
        ("Number of change", ""),
    ]
    return form_fields("change-aircraft", "Aircraft", rows)


def _issue(study: Study) -> str:
    """Revision and date as written, and the digest by which the text is known again."""
    about = study.system.about
    revision = f"revision {about.revision}" if about.revision else ""
    return ", ".join(filter(None, (revision, about.date, f"text {digest_of(study)[:12]}")))


def _statements(found: Compared, wires: Sequence[WireChange], reason: str) -> Table:
    before, after = found.before, found.after
    done = work(before, after, wires)
    zones = [zone_title(found, zone) for zone in done.zones]
    said = [("Reason", reason or BLANK)]
    if nothing_differs(found):
        said += [("Changed", SAME)]
    else:
        said += [
            ("Changed", " ".join(_changed(found))),
            ("Work", work_words(found, done)),
            ("Loads", load_words(before, after, "the text before")),
            ("Battery", battery_words(found)),
            ("Verdicts", _verdicts(found)),
            ("Placards", _placards(found)),
            ("Sheets to replace", _sheets(found)),
            ("Lists to replace", _lists(found, wires)),
            ("Tests to repeat", " ".join(_tests(found, wires))),
            ("Compass", _compass(found)),
            ("Before closing", f"elec close for {listed(zones)}." if zones else ""),
        ]
    return Table(
        id="change-statements",
        title="Statements",
        columns=(text("about", ""), text("statement", "")),
        rows=tuple(row for row in said if row[1]),
    )


def _verdicts(found: Compared) -> str:
    more = " Each stands below, with what to do." if found.changes else ""
    return f"{verdict_counts(found)}{more}"


def _changed(found: Compared) -> Iterator[str]:
    """Entries that are new, gone, renamed or have other values, by name."""
    every = written_changes(found.before, found.after)
    for what, lead in (
        ("new", "New"), ("gone", "Gone"), ("renamed", "Renamed"), ("changed", "Other values"),
    ):  # fmt: skip
        names = dict.fromkeys(
            f"{one.section} {one.entry}".strip() for one in every if one.what == what
        )
        if names:
            yield f"{lead}: {listed(list(names))}."


def _placards(found: Compared) -> str:
    was, now = (placard_words(study) for study in (found.before, found.after))
    return f"As before. {now}" if was == now else f"Now: {now} Before: {was}"


def _sheets(found: Compared) -> str:
    every = changed_sheets(found.before, found.after)
    parts = []
    for what, lead in (("changed", "Changed"), ("new", "New"), ("gone", "To take out")):
        some = [f"{one.label} {one.title}" for one in every if one.what == what]
        if some:
            parts.append(f"{lead}: {listed(some)}")
    return f"{'. '.join(parts)}." if parts else "None is drawn differently."


def _lists(found: Compared, wires: Sequence[WireChange]) -> str:
    before, after = found.before, found.after
    names = ["wire schedule"] if wires else []
    names += ["breakers and fuses"] if device_changes(before, after) else []
    pinned = dict.fromkeys(one.connector for one in contact_changes(before, after))
    names += [f"pin tables of {listed(list(pinned))}"] if pinned else []
    moved = tables.loads_table(before, after).rows or margin_blocks(found)[:1]
    names += ["load sheet (signed anew)"] if moved else []
    said = listed(names)
    return f"{said[:1].upper()}{said[1:]}." if said else "None."


def _tests(found: Compared, wires: Sequence[WireChange]) -> Iterator[str]:
    after = found.after
    powered = [one.after for one in wires if one.after and one.does in POWERED]
    laid = [one.after for one in wires if one.after and one.does == "lay anew"]
    if powered:
        marks = listed([one.mark for one in powered])
        circuits = listed(list(dict.fromkeys(one.title for one in powered)))
        yield f"Pull test of a sample crimp; ring-out of {marks}; first power-up of {circuits}."
    if powered or laid:
        yield f"Insulation of {listed([one.mark for one in (*powered, *laid)])}."
    gone = [one.before.mark for one in wires if one.before and one.does == "take out"]
    if gone:
        yield f"Ends of {listed(gone)}: taken out, or capped, tied back and marked."
    names = [
        after.system.title("equipment", entry)
        for entry in dict.fromkeys(
            one.entry
            for one in written_changes(found.before, after)
            if one.section == "equipment" and one.what != "gone"
        )
        if not after.document.equipment[entry].passive
    ]
    if names:
        yield f"Function, and current by an ammeter, of {listed(names)}."
    devices = [one.title for one in device_changes(found.before, after) if one.after and one.before]
    if devices:
        yield f"Rating of the fitted device of {listed(devices)} read off."
    sources = dict.fromkeys(
        one.entry for one in written_changes(found.before, after) if one.section == "sources"
    )
    if sources:
        yield f"Voltage and current of {listed(list(sources))} under load."
    if not wires and not names and not devices and not sources:
        yield "None follows from what is written; look at what was touched."


def _compass(found: Compared) -> str:
    """Whether what a load does to a sensor differs, and that a change asks for a swing."""
    after = found.after
    if not disturbed(after):
        return (
            "? No compass is written under sensors:. Where there is one, it is swung after a "
            f"change to the electrical system; {SWING}."
        )
    moved = []
    for name, sensor in disturbed(after).items():
        old = disturbed(found.before).get(name)
        was = {one.equipment: one.horizontal_t for one in old.disturbances} if old else {}
        now = {one.equipment: one.horizontal_t for one in sensor.disturbances}
        if was.keys() != now.keys() or not all(isclose(was[key], now[key]) for key in now):
            moved.append(sensor.title)
    what = (
        f"The computed field at {listed(moved)} is another"
        if moved
        else "The computed field is as before, but steel, magnets and how wires lie within a "
        "place are not in it"
    )
    return f"{what}. Swing it: the electrical system was changed; {SWING}."


__all__ = ["change_sheet"]
