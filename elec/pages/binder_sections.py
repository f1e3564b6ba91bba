"""The sections that only binders have: shorter than the book's, for one work at one place."""

from msgspec.structs import replace

from elec.answers.base.marks import letters
from elec.answers.build.care import general
from elec.cautions import ADVICE, LOCAL, MEASURES
from elec.check import checks
from elec.finding import Finding, Verdict
from elec.pages import reference
from elec.pages.circuits import feeder, ground, panel, protection, wire
from elec.pages.columns import count, place_title, text
from elec.pages.document import Block, FindingList, Items, Paragraph, Section, TableBlock
from elec.pages.figures import drawing_figures
from elec.pages.issues import Past, record_rows
from elec.pages.sections import counted
from elec.pages.table import Cell, Table, Value
from elec.study import Study

AIRCRAFT_SHEETS = ("one-line", "circuit", "grounds", "panel", "routes", "legend")
BENCH_SHEETS = ("interconnect", "connector")
FOUND_BY = ("mark", "from", "to", "colour")
"""The columns of the wire schedule by which somebody at the aircraft knows a wire again."""
HARD_SPACE = "\u00a0"
CHANGES = 24
"""Empty lines for changes: as many as leave room to write on a page."""


def open_findings(study: Study, found: tuple[Finding, ...]) -> Section:
    """What is not a plain pass, with its reason and what helps, for the aircraft's papers."""
    from elec.pages.answers import asked_words, headline

    shown = tuple(replace(f, made=None) for f in found if f.verdict is not Verdict.PASS)
    listed: Block = FindingList(findings=shown) if shown else Paragraph(text="Everything passes.")
    return Section(
        id="summary",
        title="What was found",
        blocks=(
            Paragraph(text=f"{headline(study)}.", kind="lead"),
            Paragraph(text=counted(found)),
            Paragraph(text=asked_words(), kind="note"),
            Paragraph(text=ADVICE, kind="caution"),
            listed,
        ),
    )


def breakers_and_feeders(study: Study) -> Section:
    """Every device, and the heavy wires."""
    tables = (
        protection.protection(study), protection.unprotected(study), feeder.feeders(study),
        ground.grounds(study),
    )  # fmt: skip
    return Section(
        id="breakers-and-feeders",
        title="Breakers and feeders",
        blocks=tuple(TableBlock(table=table) for table in tables if table.rows),
    )


def every_wire(study: Study) -> Section:
    """Every wire with what it is known by."""
    note = Paragraph(
        text=f"First letter of a mark: {letters(study)}. The number behind the last letter is the "
        "gauge, N at the end a ground. Lengths stand in the papers for the bench.",
        kind="note",
    )
    return Section(
        id="every-wire", title="Wires", blocks=(note, TableBlock(table=wire_list(study)))
    )


def wire_list(study: Study) -> Table:
    """The wire schedule without what is only asked while the aircraft is built."""
    whole = wire.conductors(study)
    kept = [k for k, column in enumerate(whole.columns) if column.key in FOUND_BY]
    return replace(
        whole,
        id="wire-list",
        title="Wires",
        columns=tuple(whole.columns[k] for k in kept),
        rows=tuple(tuple(row[k] for k in kept) for row in whole.rows),
        note="",
    )


def sheets(study: Study, kinds: tuple[str, ...], *, title: str, engraved: bool) -> Section:
    """Drawings of some kinds, with the engraving list of the panels where asked for."""
    figures = tuple(f for kind in kinds for f in drawing_figures(study, kind))
    labels = panel.labels(study) if engraved else None
    tables = (TableBlock(table=labels),) if labels is not None and labels.rows else ()
    lead = Paragraph(text="A wire's mark on a sheet is the mark on the wire and in every table.")
    found = where_connectors(study) if "connector" in kinds and "interconnect" in kinds else None
    listed = (TableBlock(table=found),) if found is not None and found.rows else ()
    return Section(id="drawings", title=title, blocks=(lead, *listed, *figures, *tables))


def where_connectors(study: Study) -> Table:
    """Every connector with the sheet of its contacts: what is looked for first at the bench."""
    from elec.answers.connect.pins import pins
    from elec.drawings.from_study import drawings
    from elec.drawings.index import index

    sheets = [sheet for one in drawings(study).of("connector") for sheet in one.sheets]
    order = [sheet.id for sheet in sheets]
    spots = {ref.partition(" ")[0]: spot for ref, (spot, *_) in reversed(index(sheets).items())}
    rows: list[tuple[Value, ...]] = []
    for one in pins(study).by_id.values():
        own = [s for ref, s in spots.items() if ref == one.id or ref.startswith(f"{one.id}.")]
        first = min(own, key=lambda spot: order.index(spot.sheet_id), default=None)
        rows.append(
            (
                one.title,
                place_title(study, one.place),
                one.type,
                sum(1 for pin in one.pins if pin.landings),
                "" if first is None else Cell(value=first.sheet, ref=first.sheet_id),
            )
        )
    return Table(
        id="where-connectors",
        title="Which connector is where",
        columns=(
            text("connector", "Connector"),
            text("place", "Place"),
            text("type", "Type"),
            count("wired_count", "Contacts wired"),
            text("sheet", "Begins on sheet"),
        ),
        rows=tuple(sorted(rows, key=lambda row: str(row[0]).casefold())),
    )


def care(study: Study) -> Section:
    """The cautions of this aircraft."""
    return Section(
        id="cautions",
        title="Cautions",
        blocks=(
            Paragraph(text=ADVICE, kind="caution"),
            Items(items=(*general(study), *MEASURES)),
        ),
    )


def change_record(study: Study, past: Past | None = None) -> Section:
    """Lines to write on, the first filled in with what was issued and with this binder."""
    about = study.system.about
    first: tuple[Value, ...] = (about.revision, about.date, "this binder", "", "", "")
    lines: tuple[Value, ...] = tuple(Cell(value="", text=HARD_SPACE) for _ in first)
    issued = tuple(record_rows(past))
    table = Table(
        id="change-record",
        title="Changes after this issue",
        columns=(
            text("revision", "Revision"),
            text("date", "Date"),
            text("what", "What changed, and why"),
            text("sheets", "Sheets and lists replaced"),
            text("tests", "Tests repeated"),
            text("signed", "Done by, looked at by"),
        ),
        to_write=True,
        rows=(*issued, first, *(lines for _ in range(max(0, CHANGES - len(issued))))),
        note=(
            "After a change: take out what it replaces, put in the new, repeat the tests of what "
            f"was touched, and write a line. {LOCAL}"
        ),
    )
    return Section(
        id="changes", title="Change record", blocks=(TableBlock(table=table),), form=True
    )


def nearest_passes(found: tuple[Finding, ...]) -> Section:
    """What passes, in a line a check."""
    table = reference.nearest(checks(), found)
    return Section(
        id="passes",
        title="What passes",
        blocks=(TableBlock(table=table),) if table.rows else (),
    )
