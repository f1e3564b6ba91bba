"""A flight over time: the worst minute, each flight's charge, the start, one flight in moments."""

import math

from elec.answers.time.cranking import LoadDip
from elec.answers.time.flight import Flight, flights
from elec.answers.time.loss import Loss, losses
from elec.answers.time.starts import Start, starts
from elec.pages.columns import amps, degc, listed, phase_title, share, text, volts
from elec.pages.table import Cell, Column, Table, Value
from elec.standards import default
from elec.study import Study
from elec.units import whole_minutes
from elec.wiring.sources import has_alternator

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
                        minutes(one.into_s),
                        minutes(one.time_s),
                        min(one.charge),
                        Cell(value=one.lasts_s / 60, text=whole_minutes(one.lasts_s / 60)),
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
        else f"By {found.condition}, at the worst moment of each phase that was tried. From the "
        f"loss on, with everything on for {default('recognition-time').value:g} min, or until the "
        f"warning if that is later; then shed, in {phase_title(study, found.cruise)}; the landing "
        "at the last moment.",
    )


def minutes(time_s: float) -> Cell:
    """A time in minutes, to a tenth in print however short it is."""
    return Cell(value=time_s / 60, text=f"{time_s / 60:.1f}")


def loss_ends(study: Study, one: Loss) -> str:
    """What ends it, for print."""
    if one.ends_with in study.document.equipment:
        return f"{study.system.title('equipment', one.ends_with)} below its minimum voltage"
    return ENDS[one.ends_with]


def flight_charge(study: Study) -> Table:
    """State of charge of every battery on every flight, and when the start is paid back."""
    found = flights(study)
    charged = has_alternator(study)
    rows: list[tuple[Value, ...]] = []
    for one in () if found is None else found.every:
        for name in one.start:
            least, time_s = one.least[name]
            back = one.back_s[name]
            again: Value = "not on this flight" if back is None else back / 60
            rows.append(
                (
                    one.day.title,
                    one.condition,
                    study.system.title("sources", name),
                    one.day.battery_degc[name],
                    one.start[name],
                    least,
                    minutes(time_s),
                    one.end[name],
                    *((again,) if charged else ()),
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
            Column(key="least_min", head="Least after", unit="min", digits=1, importance=2),
            share("end_fraction", "At the end"),
            *([Column(key="back_min", head="Back after", unit="min", digits=0)] * charged),
        ),
        rows=tuple(rows),
    )


def start_dips(study: Study) -> Table:
    """The voltage of every bus while the starter turns, by day: the lower of day and night."""
    days: dict[str, list[Start]] = {}
    for one in starts(study):
        days.setdefault(one.day.title, []).append(one)
    buses = starts(study)[0].bus_v if starts(study) else {}
    rows = [
        (
            study.system.title("buses", bus),
            *(_lowest_v([one.bus_v[bus] for one in of_day]) for of_day in days.values()),
        )
        for bus in buses
    ]
    return Table(
        id="start-dips",
        title="Buses while the starter turns",
        columns=(
            text("bus", "Bus"),
            *(volts(f"{day.replace(' ', '_')}_v", day.capitalize()) for day in days),
        ),
        rows=tuple(rows),
        note="The lower of day and night." if any(len(of) > 1 for of in days.values()) else "",
    )


def _lowest_v(volts_v: list[float]) -> Value:
    """The lowest; a bus that nothing reaches is dead."""
    if any(math.isnan(v) for v in volts_v):
        return Cell(value=None, text="dead")
    return min(volts_v)


def start_loads(study: Study) -> Table:
    """What is nearest to its minimum voltage while the starter turns, and what is below it."""
    rows: list[tuple[Value, ...]] = []
    for one in starts(study):
        near = nearest(one)
        low = [study.system.title("equipment", load.equipment) for load in one.brown_outs()]
        rows.append(
            (
                one.day.title,
                one.condition,
                sum(one.battery_a.values()),
                "" if near is None else study.system.title("equipment", near.equipment),
                "" if near is None else near.turning_v,
                "" if near is None else near.minimum_v,
                Cell(value=listed(low), verdict="fail") if low else "nothing",
            )
        )
    return Table(
        id="start-loads",
        title="Loads while the starter turns",
        columns=(
            text("day", "Day"),
            text("condition", "By"),
            amps("current_a", "Out of batteries", 2, digits=0),
            text("nearest", "Nearest to its minimum"),
            volts("voltage_v", "Keeps"),
            volts("minimum_v", "Needs"),
            text("low", "Below its minimum", 2),
        ),
        rows=tuple(rows),
    )


def nearest(one: Start) -> LoadDip | None:
    """The load with the least voltage over its minimum."""
    return min(one.loads, key=lambda load: load.turning_v - load.minimum_v, default=None)


def flight_over_time(study: Study, one: Flight) -> Table:
    """One flight in moments: voltage of the buses, currents, charge."""
    charged = has_alternator(study)
    rows: list[tuple[Value, ...]] = []
    last = ""
    for moment in one.moments:
        if moment.phase == last and moment is not one.moments[-1]:
            continue
        last = moment.phase
        known = [v for v in moment.bus_v.values() if not math.isnan(v)]
        rows.append(
            (
                minutes(moment.time_s),
                phase_title(study, moment.phase),
                min(known, default=None),
                max(known, default=None),
                *((moment.alternator_a,) if charged else ()),
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
            *([amps("alternator_a", "Alternators", digits=1)] * charged),
            amps("battery_a", "Out of batteries", digits=1),
            share("charge_fraction", "Least charge"),
        ),
        rows=tuple(rows),
        note="At the beginning of each phase, and at the end; negative: into the batteries."
        if charged
        else "At the beginning of each phase, and at the end.",
    )
