"""Sheets to prove the wiring with: ring-out, insulation, pull test of crimps."""

import math

from elec import units
from elec.answers.base.marks import marks
from elec.answers.connect.readings import CLOSED, all_open
from elec.answers.drop.end_to_end import (
    end_to_end,
    meter_mv,
    meter_ohm,
    most_ohm,
    of_small,
)
from elec.pages.bench.apart import tested
from elec.pages.built import since, state_cell, tick
from elec.pages.columns import by_hand, count, gauge, listed, text
from elec.pages.table import Cell, Column, Table, Value
from elec.sizing.devices import allowed_drop_v
from elec.sizing.sizing import sizing
from elec.standards import AWGS, default, least_sure, table
from elec.standards import PublishedTable as Published
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import wire_ends

BOX = ""
"""A cell to write in."""
OPEN = "more than 1 MΩ"
"""What counts as open on a ring-out (our own judgement)."""


def ring_out(study: Study) -> Table:
    """Every conductor with what to expect, the most that passes, and room to write."""
    share, lead = default("measured-resistance-share").si, default("measured-resistance-lead").si
    amperes = default("ring-out-current")
    resolution = default("meter-ohm-resolution")
    rows: list[tuple[Value, ...]] = []
    for c in tested(study):
        working = end_to_end(study, c)
        ohm = None if working is None else working.steps[-1].result.value
        most = None if ohm is None else most_ohm(study, (c.id,), ohm)
        rows.append(
            (
                marks(study)[c.id],
                *wire_ends(study, c),
                Cell(value=ohm, text=meter_ohm(ohm), working=working),
                Cell(value=_mv(ohm), text=meter_mv(ohm)),
                Cell(value=_mv(most), text=meter_mv(most)),
                BOX,
                BOX,
                state_cell(study, c),
            )
        )
    at = units.show(amperes.si, "a")
    return Table(
        id="ring-out",
        title="Ring-out",
        columns=(
            text("mark", "Mark"),
            text("from", "From"),
            text("to", "To"),
            text("expected_ohm", "Ohmmeter"),
            text("expected_mv", f"mV at {at}"),
            text("most_mv", "At most, mV"),
            by_hand("read", "Read, mV"),
            by_hand("open", "Open to all else"),
            text("state", "State"),
        ),
        rows=tuple(rows),
        note=(
            f"Each wire alone: {all_open(study)}. On the sheet of a connector {CLOSED}: it counts "
            "these, too, and reads more than the wire alone. "
            f"An ohmmeter tells whether the right wire is there, no more: its last digit is "
            f"{resolution.value:g} Ω ({resolution.why}). How good it is tell "
            f"the millivolts: {at} from a limited supply through the wire alone, the meter's own "
            "leads on the wire's ends inside the supply's clips. "
            f"{of_small()} At 20 °C from end to end; at "
            f"most: {100 * share:.0f} % and {units.show(lead, 'ohm')} more, in a thick wire "
            f"no more than what loses {units.show(allowed_drop_v(study, intermittent=True), 'v')} "
            "(allowed on the whole way for short use) at its greatest current, the start's too. "
            f"Open: {OPEN} "
            "to every other contact of both connectors and to the frame; of a wire to ground (its "
            "mark ends in N) before its ring is on; what meets it in a splice or on its terminal "
            f"rings with it.{_beside(study)}{since(study, tested(study))}"
        ),
    )


def _beside(study: Study) -> str:
    """What to do where a ground has two wires: through the one a broken other one reads good."""
    named = [
        study.system.title("grounds", name)
        for name, ground in study.document.grounds.items()
        if ground.second is not None
    ]
    if not named:
        return ""
    return (
        f" Either wire of {listed(named)} is rung with the ring of the other one off: a broken one "
        "reads good through it."
    )


def _mv(ohm: float | None) -> float | None:
    return None if ohm is None else ohm * default("ring-out-current").si * 1000


def insulation_test(study: Study) -> Table:
    """Single wires and cores to test for insulation, bundle by bundle, all unplugged."""
    least, laid = default("insulation-least"), default("insulation-installed")
    rows = tuple(
        (
            marks(study)[c.id],
            *wire_ends(study, c),
            BOX,
            tick(study, c, "tested"),
            state_cell(study, c),
        )
        for c in tested(study)
    )
    return Table(
        id="insulation-test",
        title="Insulation test",
        columns=(
            text("mark", "Mark"),
            text("from", "From"),
            text("to", "To"),
            by_hand("read", "Read, MΩ"),
            text("ok", "Done"),
            text("state", "State"),
        ),
        rows=rows,
        note=(
            "250 V for a 14 or 28 V system, at most a minute, each wire against all others, the "
            f"shields and the frame: {units.show(least.si, 'ohm')} or more when new "
            f"({least.cite}), 2 % less for each °F above 82 °F, 2 % more for each below 60 °F; "
            f"installed at least {units.show(laid.si, 'ohm')} ({laid.cite}). Never on antenna "
            "cables, never on electronics, never where fuel vapour may be."
            f"{since(study, tested(study))}"
        ),
    )


def pull_test(study: Study) -> Table:
    """What a crimp must hold, by the gauges of this system."""
    unit = force_unit(study)
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
                    force(study, row.number("military_lbf")) if row else None,
                    (
                        force(study, row.number("commercial_lbf"))
                        if row and row.has("commercial_lbf")
                        else None
                    ),
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
            Column(key=f"military_{unit.lower()}", head=f"Aircraft wire, {unit}", digits=0),
            Column(
                key=f"commercial_{unit.lower()}", head=f"Commercial, {unit}", digits=0, importance=2
            ),
            text("how", "These figures are", 2),
            count("nicked_count", "Nicked strands", 2),
            count("broken_count", "Broken", 2),
            *(by_hand(f"sample_{n}", f"Sample {n}") for n in range(1, 6)),
        ),
        rows=tuple(rows),
        note=(
            "Five samples of a terminal, gauge and die: same wire, same tool; pulled an inch "
            "(25 mm) a minute and held a minute; the lowest counts. Samples are thrown away: a "
            "crimp that flies is never pulled beyond 80 %. Ring terminals: "
            f"{least_sure(row.cite for row in published.values()).place}; for the machined contact "
            "of a connector its maker's figure counts. Nicked and broken strands: the most that a "
            f"stripped wire may have ({nicks.cite}; for other gauges it prints nothing)."
        ),
    )


POUND_FORCE_N = 4.4482216


def force_unit(study: Study) -> str:
    """The unit of a pull: pounds, in a metric system newtons."""
    return "N" if study.system.about.units == "metric" else "lbf"


def force(study: Study, pounds: float | None) -> float | None:
    """A least force of a published table in that unit, the next whole newton up."""
    if pounds is None or force_unit(study) == "lbf":
        return pounds
    return math.ceil(pounds * POUND_FORCE_N - 1e-6)


def _nicked(nicks: Published, awg: str) -> tuple[float | None, float | None]:
    """Nicked and broken strands that a stripped wire of a gauge may have."""
    at = AWGS.index(awg)
    for row in nicks:
        if AWGS.index(row.text("awg_thin")) <= at <= AWGS.index(row.text("awg_thick")):
            return row.number("nicked_count"), row.number("broken_count")
    return None, None
