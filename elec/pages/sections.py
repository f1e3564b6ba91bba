"""The sections of the book, one function a subject; the command line prints some of them alone."""

from collections.abc import Iterable

from msgspec.structs import replace

from elec.answers.base.marks import letters
from elec.answers.build.care import general
from elec.answers.connect.pins import ConnectorPins, pins
from elec.cautions import ADVICE, LIMITS, MEASURES
from elec.check import Check, silent
from elec.finding import Finding, Verdict
from elec.pages import reference
from elec.pages.answers import not_given_words
from elec.pages.bench import fastenings, pulling, shopping
from elec.pages.circuits import (
    bundle,
    cable,
    equipment,
    feeder,
    ground,
    panel,
    pin,
    protection,
    switch,
    wire,
)
from elec.pages.document import (
    Block,
    Figure,
    FindingList,
    Items,
    Paragraph,
    Section,
    TableBlock,
    WorkingBlock,
)
from elec.pages.loads import by_voltage, case, endurance, leads, load, thin, voltage
from elec.pages.table import Table
from elec.study import Study
from elec.wiring.demand import conditions

WORST = 5
"""So many findings stand in the summary."""


def summary(study: Study, findings: tuple[Finding, ...]) -> Section:
    """What the aircraft is, how many findings of each kind, the worst ones, then all of them."""
    from elec.pages.answers import asked_words, headline

    about = study.system.about
    worst = [f for f in findings if f.verdict in (Verdict.FAIL, Verdict.ADVISE)][:WORST]
    blocks: list[Block] = [
        Paragraph(text=f"{headline(study)}.", kind="lead"),
        *([Paragraph(text=about.description)] if about.description else []),
        Paragraph(text=counted(findings)),
        Paragraph(text=asked_words(), kind="note"),
        Paragraph(text=ADVICE, kind="caution"),
    ]
    if worst:
        blocks += [Paragraph(text="What to look at first:"), FindingList(findings=tuple(worst))]
    for text in (
        *leads.loads_lead(study),
        *leads.endurance_lead(study),
        *leads.wires_lead(study)[:1],
        *leads.voltage_lead(study),
        *leads.pins_lead(study)[:1],
    ):
        blocks.append(Paragraph(text=text))
    open_ = tuple(f for f in findings if f.verdict is not Verdict.PASS)
    listed = (FindingList(findings=open_),) if open_ else (Paragraph(text="Everything passes."),)
    whole = Section(
        id="findings",
        title="Findings",
        blocks=(*listed, *_silent(findings)),
    )
    return Section(id="summary", title="Summary", blocks=tuple(blocks), sections=(whole,))


def checked_section(findings: tuple[Finding, ...], checks: Iterable[Check]) -> Section:
    """Every check with what it asks, and how many of its findings are what."""
    return Section(
        id="checked",
        title="What was checked",
        blocks=(*_figure(_nearest(findings)), *_tables(reference.proof(checks, findings))),
    )


def _silent(findings: tuple[Finding, ...]) -> tuple[Paragraph, ...]:
    """Which checks found nothing to judge, so that silence is not taken for a pass."""
    text = not_given_words([one for one in silent(findings, deep=True) if one[1]])
    return (Paragraph(text=text, kind="note"),) if text else ()


def counted(findings: tuple[Finding, ...]) -> str:
    """How many findings of each kind."""
    words = {
        Verdict.FAIL: "fail",
        Verdict.ADVISE: "advise",
        Verdict.CANNOT_TELL: "cannot be told",
        Verdict.ACCEPTED: "are accepted",
        Verdict.PASS: "pass",
    }
    counts = [(sum(f.verdict is v for f in findings), word) for v, word in words.items()]
    return "Findings: " + ", ".join(f"{n} {word}" for n, word in counts if n) + "."


def passes_section(findings: tuple[Finding, ...]) -> Section:
    """What passes, for whoever wants to see that it was asked; workings stand elsewhere."""
    passed = tuple(replace(f, made=None) for f in findings if f.verdict is Verdict.PASS)
    blocks = (FindingList(findings=passed),) if passed else ()
    return Section(id="passes", title="What passes", blocks=blocks)


def loads_section(study: Study) -> Section:
    """Do the sources carry the loads? The answer, then the chart and the tables."""
    return Section(
        id="loads",
        title="Loads and sources",
        blocks=(
            *_leads(leads.loads_lead(study)),
            *_figure(_loads_figure(study)),
            *_tables(load.source_margin(study), load.source_alone(study)),
            *_tables(load.loads_by_phase(study), by_voltage.loads_by_voltage(study)),
            *_tables(*(load.load_lines(study, condition) for condition in conditions(study))),
            *_tables(load.loads_by_bus(study), thin.thin_currents(study)),
        ),
    )


def endurance_section(study: Study) -> Section:
    """How long the battery lasts: the answer, the curve, both calculations."""
    from elec.answers.time.endurance import endurance as found_of

    found = found_of(study)
    return Section(
        id="endurance",
        title="Battery endurance",
        blocks=(
            *_leads(leads.endurance_lead(study)),
            *_figure(_endurance_figure(study)),
            *_tables(endurance.endurance_summary(study), endurance.sheds(study)),
            *_tables(endurance.endurance_over_time(study)),
            *((WorkingBlock(working=found.hand),) if found is not None else ()),
        ),
    )


def protection_section(study: Study) -> Section:
    """Protective devices, and the wires that have none."""
    return Section(
        id="protection-section",
        title="Protection",
        blocks=(
            *_leads(leads.protection_lead(study)),
            *_tables(protection.protection(study), protection.unprotected(study)),
        ),
        sections=_time_currents(study),
    )


def _time_currents(study: Study) -> tuple[Section, ...]:
    """A chart for every device: how it and its wire share the time."""
    from elec.pages.circuits.time_current import time_current_figures

    figures = time_current_figures(study)
    if not figures:
        return ()
    lead = Paragraph(
        text="One chart for each device, both scales by decades. The load and the inrush must lie "
        "left of and below the shaded band, in which the device may open or not; the wire's line "
        "must lie right of and above it wherever an overload or a short circuit can be."
    )
    return (Section(id="time-current", title="Time and current", blocks=(lead, *figures)),)


def wires_section(study: Study) -> Section:
    """Circuits, feeders, grounds and the schedule of every conductor."""
    return Section(
        id="wires-section",
        title="Wires",
        blocks=(
            *_leads(leads.wires_lead(study)),
            *_tables(wire.circuits(study), feeder.feeders(study), ground.grounds(study)),
        ),
        sections=(
            Section(
                id="schedule",
                title="Wire schedule",
                blocks=_tables(
                    wire.conductors(study),
                    cable.cables(study),
                    switch.poles(study),
                ),
            ),
        ),
    )


def drawings_section(study: Study) -> Section:
    """One-line diagram, interconnect, circuits, grounds, map, panels, symbols; labels."""
    from elec.pages.figures import drawing_figures

    kinds = (
        "one-line", "interconnect", "circuit", "grounds", "routes", "panel", "legend",
    )  # fmt: skip
    figures = tuple(f for kind in kinds for f in drawing_figures(study, kind))
    lead = Paragraph(
        text="A wire's mark on a sheet is the mark on the wire and in every table. "
        f"Its first letter: {letters(study)}."
    )
    engraved = _tables(panel.labels(study))
    return Section(id="drawings", title="Drawings", blocks=(lead, *figures, *engraved))


def pins_section(study: Study, *, on_paper: bool = False) -> Section:
    """All connectors, then one subsection each with its face and its contacts.

    On paper the connectors of one place share the pages for the bench, which say all that the
    tables say.
    """
    from elec.pages.figures import drawing_figures

    shared = drawing_figures(study, "connector") if on_paper else ()
    return Section(
        id="pins",
        title="Connectors and pins",
        blocks=(*_leads(leads.pins_lead(study)), *_tables(pin.connectors(study)), *shared),
        sections=()
        if on_paper
        else tuple(connector_section(study, one) for one in pins(study).by_id.values()),
    )


def connector_section(study: Study, one: ConnectorPins) -> Section:
    """One connector: what claims two wires, its contacts. Its face is on the page for the bench."""
    doubled = [p for p in one.pins if p.state == "double"]
    blocks: list[Block] = []
    if doubled:
        claims = "; ".join(
            f"contact {p.contact}: {', '.join(ln.mark for ln in p.landings)}" for p in doubled
        )
        blocks.append(Paragraph(text=f"More than one wire claims {claims}.", kind="caution"))
    table = pin.pin_tables_by_id(study)[one.id]
    plugged = one.arrangement is not None or one.type.startswith("circular")
    blocks.append(TableBlock(table=table))
    return Section(id=f"pins-{one.id}", title=one.title, blocks=tuple(blocks), new_page=plugged)


def equipment_section(study: Study) -> Section:
    """The equipment list."""
    return Section(
        id="equipment-section",
        title="Equipment",
        blocks=_tables(equipment.equipment(study)),
    )


def voltages_section(study: Study) -> Section:
    """The least voltage at every load, and the cases behind it."""
    return Section(
        id="voltages-section",
        title="Voltages",
        blocks=(
            *_leads(leads.voltage_lead(study)),
            *_tables(voltage.voltages(study), case.cases(study)),
        ),
    )


def bundles_section(study: Study) -> Section:
    """What lies together on every way."""
    tables = (bundle.bundles(study), pulling.pulling(study))
    return Section(
        id="bundles-section",
        title="Bundles",
        blocks=(*_figure(_warmth(study)), *_tables(*tables)),
    )


def shopping_section(study: Study) -> Section:
    """What to buy."""
    return Section(
        id="shopping",
        title="What to buy",
        blocks=_tables(*shopping.shopping(study), fastenings.fastenings_to_buy(study)),
    )


def cautions_section(study: Study, findings: tuple[Finding, ...]) -> Section:
    """Cautions, then the documents that the numbers come from."""
    return Section(
        id="cautions",
        title="Cautions and sources",
        blocks=(
            Paragraph(text=ADVICE, kind="caution"),
            Items(items=(*general(study), *MEASURES)),
            *_tables(reference.sources(study, findings)),
        ),
    )


def defaults_section(study: Study) -> Section:
    """What was assumed."""
    return Section(
        id="defaults-section",
        title="Values that were assumed",
        blocks=_tables(reference.assumed(study)),
    )


AGAIN = (
    "To compute it again: the same text and the same elec (both are named at the foot of the "
    "pages; the digest is the SHA-256 of the system as it was read) give the same bytes, whatever "
    "the day, folder or language; another Python or numpy may change a last digit. The folder of a "
    "book keeps the text: elec book BOOK/text -o again."
)
"""How a print is traced to its text."""


def limits_section() -> Section:
    """What the method does not cover, and how all of it is computed again."""
    return Section(
        id="limits",
        title="Limits of the method",
        blocks=(Items(items=LIMITS), Paragraph(text=AGAIN, kind="note")),
    )


def _leads(texts: Iterable[str]) -> tuple[Paragraph, ...]:
    return tuple(
        Paragraph(text=text, kind="lead" if number == 0 else "text")
        for number, text in enumerate(texts)
    )


def _tables(*tables: Table | None) -> tuple[TableBlock, ...]:
    return tuple(TableBlock(table=table) for table in tables if table is not None and table.rows)


def _figure(figure: Figure | None) -> tuple[Figure, ...]:
    return () if figure is None else (figure,)


def _loads_figure(study: Study) -> Figure | None:
    from elec.pages.figures import loads_figure

    return loads_figure(study)


def _nearest(findings: tuple[Finding, ...]) -> Figure | None:
    from elec.pages.nearest import nearest_figure

    return nearest_figure(findings)


def _warmth(study: Study) -> Figure | None:
    from elec.pages.circuits.warmth import warmth_figure

    return warmth_figure(study)


def _endurance_figure(study: Study) -> Figure | None:
    from elec.pages.figures import endurance_figure

    return endurance_figure(study)
