"""Sheets to prove the wiring with: ring-out, insulation, pull test of crimps."""

from elec import units
from elec.answers.base.marks import marks
from elec.answers.drop.end_to_end import end_to_end
from elec.pages.columns import count, gauge, text
from elec.pages.table import Cell, Column, Table, Value
from elec.sizing.sizing import sizing
from elec.standards import AWGS, default, least_sure, table
from elec.standards import PublishedTable as Published
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import end_text

BOX = ""
"""A cell to write in."""


def ring_out(study: Study) -> Table:
    """Every conductor with the resistance to expect, the most that passes, and room to write."""
    share, lead = default("measured-resistance-share").si, default("measured-resistance-lead").si
    rows: list[tuple[Value, ...]] = []
    for c in chains(study).conductors():
        if c.role == "coax":
            continue
        expected: Cell | None = None
        most: Cell | None = None
        working = end_to_end(study, c)
        if working is not None:
            ohm = working.steps[-1].result.value
            expected = Cell(value=ohm, text=units.show(ohm, "ohm"), working=working)
            limit = ohm * (1 + share) + lead
            most = Cell(value=limit, text=units.show(limit, "ohm"))
        ends = (end_text(study, c.a), end_text(study, c.b))
        rows.append((marks(study)[c.id], *ends, expected, most, BOX, BOX))
    return Table(
        id="ring-out",
        title="Ring-out",
        columns=(
            text("mark", "Mark"),
            text("from", "From"),
            text("to", "To"),
            text("expected", "Expected"),
            text("most", "At most"),
            text("read", "Read"),
            text("open", "Open to all else"),
        ),
        rows=tuple(rows),
        note=(
            "Power off, battery out, boxes unplugged, switches on, breakers closed one by one. "
            f"Expected at 20 °C from end to end; at most: {100 * share:.0f} % and "
            f"{units.show(lead, 'ohm')} more, the leads subtracted. Open: more than 1 MΩ to every "
            "other contact of both connectors and to the frame. Below 1 Ω an ohmmeter with two "
            "leads tells little: send 1 to 5 A through it and read the millivolts."
        ),
    )


def insulation_test(study: Study) -> Table:
    """Single wires and cores to test for insulation, bundle by bundle, boxes unplugged."""
    least, laid = default("insulation-least"), default("insulation-installed")
    rows = tuple(
        (marks(study)[c.id], end_text(study, c.a), end_text(study, c.b), BOX, "☐")
        for c in chains(study).conductors()
        if c.role != "coax"
    )
    return Table(
        id="insulation-test",
        title="Insulation test",
        columns=(
            text("mark", "Mark"),
            text("from", "From"),
            text("to", "To"),
            text("read", "Read, MΩ"),
            text("ok", "Done"),
        ),
        rows=rows,
        note=(
            "250 V for a 14 or 28 V system, at most a minute, each wire against all others, the "
            f"shields and the frame: {units.show(least.si, 'ohm')} or more when new "
            f"({least.cite}), 2 % less for each °F above 82 °F, 2 % more for each below 60 °F; "
            f"installed at least {units.show(laid.si, 'ohm')} ({laid.cite}). Every box, lamp, "
            "filter and surge part unplugged. Never on antenna cables, never on avionics, never "
            "where fuel vapour may be."
        ),
    )


def pull_test(study: Study) -> Table:
    """What a crimp must hold, by the gauges of this system."""
    used = {
        sizing(study).gauges[c.id].awg
        for c in chains(study).conductors()
        if c.id in sizing(study).gauges
    }
    published = {row.text("awg"): row for row in table("elec/crimp_pull")}
    nicks = table("ac4313/nicked_strands")
    rows: list[tuple[Value, ...]] = []
    for awg in AWGS:
        if awg in used:
            row = published.get(awg)
            rows.append(
                (
                    gauge(awg),
                    row.number("military_lbf") if row else None,
                    row.number("commercial_lbf") if row and row.has("commercial_lbf") else None,
                    row.cite.remark if row else "not published",
                    *_nicked(nicks, awg),
                    *(BOX,) * 5,
                )
            )
    return Table(
        id="pull-test",
        title="Pull test of crimps",
        columns=(
            text("gauge_awg", "AWG"),
            Column(key="military_lbf", head="Aircraft wire, lbf", digits=0),
            Column(key="commercial_lbf", head="Commercial, lbf", digits=0, importance=2),
            text("how", "These figures are", 2),
            count("nicked_count", "Nicked strands", 2),
            count("broken_count", "Broken", 2),
            *(text(f"sample_{n}", f"Sample {n}") for n in range(1, 6)),
        ),
        rows=tuple(rows),
        note=(
            "Five samples of a terminal, gauge and die: same wire, same tool; pulled an inch a "
            "minute and held a minute; the lowest counts. Samples are thrown away: a crimp that "
            "flies is never pulled beyond 80 %. Ring terminals: "
            f"{least_sure(row.cite for row in published.values()).place}; for the machined contact "
            "of a connector its maker's figure counts. Nicked and broken strands: the most that a "
            f"stripped wire may have ({nicks.cite}; for other gauges it prints nothing)."
        ),
    )


def _nicked(nicks: Published, awg: str) -> tuple[float | None, float | None]:
    """Nicked and broken strands that a stripped wire of a gauge may have."""
    at = AWGS.index(awg)
    for row in nicks:
        if AWGS.index(row.text("awg_thin")) <= at <= AWGS.index(row.text("awg_thick")):
            return row.number("nicked_count"), row.number("broken_count")
    return None, None
