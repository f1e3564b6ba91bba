# ruff: noqa: E501 - the rows below read as tables
"""A rich book made by hand: every verdict, workings, gaps, hostile text. All numbers are invented."""

from elec.drawings.sheet import Sheet, TitleBlock
from elec.finding import Finding, Place, Verdict
from elec.pages.document import (
    Book,
    Figure,
    FindingList,
    Items,
    Paragraph,
    Section,
    TableBlock,
    WorkingBlock,
)
from elec.pages.table import Cell, Column, Table
from elec.working import Step, Term, Working

HOSTILE = "<script>alert(1)</script> & \"quotes\" 'too'"

DROP = Working(
    title="Voltage lost on the way to landing-light",
    steps=(
        Step(
            result=Term(symbol="I", value=3.2143, unit="a", meaning="current"),
            formula="P / V",
            terms=(
                Term(symbol="P", value=45.0, unit="w", meaning="power of the lamp", origin="lights.yaml:31"),
                Term(symbol="V", value=14.0, unit="v", meaning="nominal voltage", origin="system.yaml:3"),
            ),
        ),
        Step(
            result=Term(
                symbol="r", value=0.0232, unit="ohm_per_m", meaning="resistance per metre, AWG 18, 48 °C",
                origin="wire_copper.csv",
            ),
            source="MIL-W-22759/16",
        ),
        Step(
            result=Term(symbol="U", value=0.6364, unit="v", meaning="drop, out and back"),
            formula="2 * r * l * I",
            terms=(
                Term(symbol="r", value=0.0232, unit="ohm_per_m", meaning="resistance per metre", origin="step 2"),
                Term(symbol="l", value=4.2672, unit="m", meaning="length one way", origin="places.yaml:12"),
                Term(symbol="I", value=3.2143, unit="a", meaning="current", origin="step 1"),
            ),
            source="Ohm's law",
            note="The return wire is as long as the feed.",
        ),
    ),
    binds="step 3",
)  # fmt: skip

FINDINGS = (
    Finding(
        check="wire-drop",
        about="landing-light",
        verdict=Verdict.FAIL,
        place=Place(file="lights.yaml", line=31, column=5, path="circuits.landing-light"),
        sentence="0.64 V lost on the way; 0.50 V is allowed for a load that stays on.\n"
        "AWG 18, 14 ft out and 14 ft back, 3.2 A, wire at 48 °C in the strut.",
        remedy="AWG 16 would lose 0.40 V. Or shorten the run to 11 ft.",
        value=0.6364,
        limit=0.5,
        unit="v",
        sources=("AC 43.13-1B table 11-6",),
        made=DROP,
    ),
    Finding(
        check="bundle-heat",
        about="panel to belly",
        verdict=Verdict.ADVISE,
        place=Place(file="places.yaml", line=18, column=3, path="ways.1"),
        sentence="9 wires share this way; packed together they may carry 63 % of what each may carry alone.",
        remedy="Nobody adds a load here without asking again.",
        sources=("AC 43.13-1B figure 11-5",),
        made=DROP,
    ),
    Finding(
        check="alternator-margin",
        about="bilge-pump",
        verdict=Verdict.CANNOT_TELL,
        place=Place(file="equipment.yaml", line=77, column=3, path="equipment.bilge-pump"),
        sentence="No current is given, so no total that contains it is certain.",
        remedy="Read it off the label, or measure it.",
    ),
    Finding(
        check="ground-return",
        about=HOSTILE,
        verdict=Verdict.ACCEPTED,
        place=Place(file="system.yaml", line=90, column=1, path="accept.0"),
        sentence="Two returns share one stud.",
        reason="Stud B2 is free only after the panel is wired.",
    ),
    *(
        Finding(
            check="wire-heat",
            about=f"circuit-{number}",
            verdict=Verdict.PASS,
            place=Place(
                file="circuits.yaml", line=10 + number, column=3, path=f"circuits.circuit-{number}"
            ),
            sentence=f"{40 + number} °C; 150 °C is allowed.",
            value=40.0 + number,
            limit=150.0,
            unit="degc",
            sources=("AC 43.13-1B par. 11-69",),
            made=DROP if number == 1 else None,
        )
        for number in range(1, 13)
    ),
)

WIRES = Table(
    id="wires",
    title="Wires",
    columns=(
        Column(key="mark", head="Mark"),
        Column(key="circuit", head="Circuit"),
        Column(key="gauge_awg", head="Gauge", unit="awg"),
        Column(key="current_a", head="Current", unit="a"),
        Column(key="drop_v", head="Drop", unit="v"),
        Column(key="length_m", head="Length", unit="m", importance=2),
        Column(key="temperature_degc", head="Hottest", unit="degc", importance=2),
        Column(key="from", head="From", importance=2),
        Column(key="to", head="To", importance=2),
        Column(key="colour", head="Colour", importance=3),
        Column(key="mass_kg", head="Mass", unit="kg", digits=3, importance=3),
        Column(key="remark", head="Remark", importance=3),
    ),
    rows=(
        ("L31A18", "landing-light", "18", 3.2143, Cell(value=0.6364, working=DROP, verdict="fail"), 4.2672, 48.0,
         "breaker 4", "landing light +", "white", 0.0412, ""),
        ("L32A22", Cell(value="nav-lights", ref="circuit-nav"), "22", 1.1, 0.213, 6.05, 51.0, "breaker 5",
         "left nav light +", "white", 0.031, "=2+3 is no formula"),
        ("P4A4", "starter-feeder", "4", 185.0, 0.31, 1.9, 61.2, "battery +", "starter contactor", "red", 0.4,
         "short and heavy"),
        ("B7A20", "bilge-pump", "20", None, None, 3.35, None, "breaker 9", "bilge pump +", "white", 0.018,
         HOSTILE),
        ("W1A24", "stall-warner", "24", 0.004, 0.0006, 5.2, 40.0, "breaker 11", "stall warner +", "white", 0.02,
         "-"),
    ),
    note="Lengths are to be measured on the airframe before cutting.",
)  # fmt: skip

LOADS = Table(
    id="loads",
    title="Current of each load by phase, night",
    columns=(
        Column(key="equipment", head="Equipment"),
        Column(key="taxi_a", head="Taxi", unit="a", digits=1),
        Column(key="climb_a", head="Climb", unit="a", digits=1),
        Column(key="cruise_a", head="Cruise", unit="a", digits=1),
    ),
    rows=(
        ("landing light", 3.2, 3.2, ""),
        ("radio", 0.8, 0.6, 0.55),
        ("bilge pump", None, None, None),
        ("sum", Cell(value=None, text="4.0 + ?"), Cell(value=None, text="3.8 + ?"), None),
    ),
)


def power_sheet(sheet_id: str = "sheet-P1") -> Sheet:
    """A sheet with one wire from edge to edge."""
    title = TitleBlock(title="Power distribution", owner="Foxglove", code="P")
    sheet = Sheet(size="A4", title=title, id=sheet_id)
    sheet.line(((40.0, 60.0), (240.0, 60.0)), ref="P1A4")
    sheet.text(42.0, 58.0, "P1A4 · 6 ft 3 in", ref="P1A4")
    return sheet


CHECKING = Section(
    id="check",
    title="Foxglove, 14 V: 26 circuits, 41 pieces of equipment, 3 coaxial cables",
    blocks=(FindingList(findings=FINDINGS),),
)


def book() -> Book:
    """The sample book."""
    return Book(
        title="Foxglove",
        subtitle="two-seat floatplane, tube and fabric, day and night VFR",
        owner="invented for the tests",
        revision="C",
        date="2025-01-15",
        digest="5a1f0c2e",
        paper="A4",
        units="feet",
        sections=(
            Section(
                id="summary",
                title="Summary and findings",
                blocks=(
                    Paragraph(kind="lead", text="14 V, 26 circuits, 41 pieces of equipment."),
                    Paragraph(
                        kind="caution",
                        text="This book is advice. The makers' data come first; local rules and licensed "
                        "practice decide; measured values beat computed ones.",
                    ),
                    FindingList(findings=FINDINGS),
                ),
            ),
            Section(
                id="loads",
                title="Load analysis",
                blocks=(
                    Paragraph(text="What each phase of flight draws at night."),
                    TableBlock(table=LOADS),
                    WorkingBlock(working=DROP),
                ),
            ),
            Section(
                id="wiring",
                title="Wiring",
                blocks=(Paragraph(text=HOSTILE, kind="note"),),
                sections=(
                    Section(
                        id="wire-list",
                        title="Wires",
                        blocks=(TableBlock(table=WIRES),),
                        new_page=False,
                    ),
                    Section(
                        id="circuit-nav",
                        title="Circuit nav-lights",
                        blocks=(
                            Figure(
                                id="sheet-power",
                                title="Power distribution",
                                drawing=power_sheet(),
                                description="One wire, P1A4, from the left to the right edge of the sheet.",
                            ),
                        ),
                    ),
                ),
            ),
            Section(
                id="closing",
                title="Before the floor goes in",
                blocks=(
                    Items(
                        items=("com-antenna is in, tested", "belly-beacon: pulled", HOSTILE),
                        boxes=True,
                    ),
                    Items(items=("Spares: two cores in float-spare",)),
                ),
            ),
        ),
    )
