"""A flight over time: the worst minute, each flight's charge, the start, one flight in moments."""

import math

from elec.analyses.flight import Flight, flights
from elec.analyses.loss import Loss, losses
from elec.analyses.starts import starts
from elec.study import Study
from elec.tables.columns import amps, degc, phase_title, share, text, volts
from elec.tables.table import Cell, Column, Table

ENDS = {
    "": "nothing in 24 h",
    "battery empty": "battery empty",
    "battery cut-off": "battery cut-off",
    "battery over its limit": "battery over its limit",
}


def alternator_lost(study: Study) -> Table:
    """How long the battery lasts when the alternator is lost at the worst moment of each phase."""
    found = losses(study)
    rows = []
    if found is not None:
        for day in ("cold", "usual", "hot"):
            worst_of: dict[str, Loss] = {}
            for one in found.by_day(day):
                before = worst_of.get(one.phase)
                if before is None or one.lasts_s < before.lasts_s:
                    worst_of[one.phase] = one
            for one in worst_of.values():
                worst = one == found.worst
                rows.append(
                    (
                        f"{day} day",
                        phase_title(study, one.phase),
                        one.into_s / 60,
                        one.time_s / 60,
                        min(one.charge),
                        one.lasts_s / 60,
                        loss_ends(study, one),
                        "worst" if worst else "",
                    )
                )
    return Table(
        id="alternator-lost",
        title="Alternator lost",
        columns=(
            text("day", "Day"),
            text("phase", "Lost in"),
            Column(key="into_min", head="After", unit="min", digits=1),
            Column(key="time_min", head="In the flight", unit="min", digits=1, importance=2),
            share("charge_fraction", "Charge then", 2),
            Column(key="lasts_min", head="Lasts", unit="min", digits=0),
            text("ends", "Ends with", 2),
            text("remark", ""),
        ),
        rows=tuple(rows),
        note=""
        if found is None
        else f"By {found.condition}. From the loss on, with everything on until it is seen; then "
        f"shed, in {phase_title(study, found.cruise)}.",
    )


def loss_ends(study: Study, one: Loss) -> str:
    """What ends it, for print."""
    if one.ends_with in study.document.equipment:
        return f"{study.system.title('equipment', one.ends_with)} below its minimum voltage"
    return ENDS[one.ends_with]


def flight_charge(study: Study) -> Table:
    """State of charge of every battery on every flight, and when the start is paid back."""
    found = flights(study)
    rows = []
    for one in () if found is None else found.every:
        for name in one.start:
            least, time_s = one.least[name]
            back = one.back_s[name]
            rows.append(
                (
                    one.day.title,
                    one.condition,
                    study.system.title("sources", name),
                    one.day.battery_degc[name],
                    one.start[name],
                    least,
                    time_s / 60,
                    one.end[name],
                    "not on this flight" if back is None else back / 60,
                )
            )
    return Table(
        id="flight-charge",
        title="Charge through the flight",
        columns=(
            text("day", "Day"),
            text("condition", "By"),
            text("battery", "Battery"),
            degc("battery_degc", "At", 2),
            share("start_fraction", "At first"),
            share("least_fraction", "Least"),
            Column(key="least_min", head="At minute", unit="min", digits=0, importance=2),
            share("end_fraction", "At the end"),
            Column(key="back_min", head="Back after", unit="min", digits=0),
        ),
        rows=tuple(rows),
    )


def start_dips(study: Study) -> Table:
    """The voltage of every bus while the starter turns, and what gets too little."""
    rows = []
    for one in starts(study):
        low = {load.equipment for load in one.brown_outs()}
        names = ", ".join(study.system.title("equipment", name) for name in sorted(low))
        for bus, voltage in one.bus_v.items():
            first = bus == next(iter(one.bus_v))
            rows.append(
                (
                    one.day.title,
                    one.condition,
                    study.system.title("buses", bus),
                    Cell(value=None, text="dead") if math.isnan(voltage) else voltage,
                    sum(one.battery_a.values()) if first else "",
                    (names or "nothing") if first else "",
                )
            )
    return Table(
        id="start-dips",
        title="While the starter turns",
        columns=(
            text("day", "Day"),
            text("condition", "By"),
            text("bus", "Bus"),
            volts("voltage_v", "Voltage"),
            amps("current_a", "Battery", digits=0),
            text("low", "Below its minimum"),
        ),
        rows=tuple(rows),
    )


def flight_over_time(study: Study, one: Flight) -> Table:
    """One flight in moments: voltage of the buses, currents, charge."""
    rows = []
    last = ""
    for moment in one.moments:
        if moment.phase == last and moment is not one.moments[-1]:
            continue
        last = moment.phase
        known = [v for v in moment.bus_v.values() if not math.isnan(v)]
        rows.append(
            (
                moment.time_s / 60,
                phase_title(study, moment.phase),
                min(known, default=None),
                max(known, default=None),
                moment.alternator_a,
                sum(moment.battery_a.values()),
                min(moment.charge.values()),
            )
        )
    return Table(
        id="flight-over-time",
        title=f"Flight over time: {one.title}",
        columns=(
            Column(key="time_min", head="After", unit="min", digits=1),
            text("phase", "Phase"),
            volts("least_v", "Lowest bus"),
            volts("most_v", "Highest bus", 2),
            amps("alternator_a", "Alternators", digits=1),
            amps("battery_a", "Out of batteries", digits=1),
            share("charge_fraction", "Least charge"),
        ),
        rows=tuple(rows),
        note="At the beginning of each phase; negative: into the batteries.",
    )
