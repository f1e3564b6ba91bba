"""How long the battery carries the load: every case, what is shed, and the state over time."""

import math

from elec.answers.base.bodies import batteries, start_of
from elec.answers.base.days import Day, days
from elec.answers.failures.failures import Effect
from elec.answers.failures.planned import Lasts, endurance_known, lasting_cases, plan_with, planned
from elec.answers.time.endurance import Endurance, endurance
from elec.answers.time.loss import Loss
from elec.pages.columns import amps, listed, phase_title, share, text, volts
from elec.pages.table import Cell, Column, Table, Value
from elec.study import Study
from elec.units import whole_minutes
from elec.wiring.circuit_model import field_loads

EVERY_S = 300.0
"""One row of the state over time in five minutes."""


def endurance_summary(study: Study) -> Table:
    """Every case that is looked at: what is lost, battery and loads, how long, by which rule."""
    chosen = planned(study)
    return Table(
        id="battery-alone",
        title="Battery alone",
        columns=(
            text("lost", "What is lost, and when"),
            text("battery", "Battery"),
            text("loads", "Loads", 2),
            Column(key="time_min", head="Lasts", unit="min", digits=0),
            text("assumption", "By", 2),
            text("remark", ""),
        ),
        rows=tuple(_case(study, one, chosen) for one in lasting_cases(study)),
        note=plan_with(study),
    )


def _case(study: Study, one: Lasts, chosen: Lasts | None) -> tuple[Value, ...]:
    found = one.of
    unknown = not endurance_known(study)
    value = None if one.minutes is None or math.isinf(one.minutes) else one.minutes
    cell = Cell(
        value=None if unknown else value,
        text=f"under {one.printed}" if unknown and value is not None else one.printed,
        working=found.hand if isinstance(found, Endurance) and one.kind == "sum" else None,
    )
    return (
        one.lost,
        _battery_of(study, one),
        _loads_of(study, one),
        cell,
        _rule_of(study, one),
        "plan with this" if one == chosen else "",
    )


def _battery_of(study: Study, one: Lasts) -> str:
    """Which batteries, how old, how full and how cold."""
    found = one.of
    if isinstance(found, Endurance):
        names = listed([study.system.title("sources", name) for name in found.batteries])
        if one.kind == "sum":
            return f"{names}: share of the one-hour capacity"
        return f"{names}: {_state(study, found.batteries, found.day)}"
    if isinstance(found, Loss):
        charges = listed([f"{100 * charge:.0f} %" for charge in found.charge])
        return f"charged to {charges}, aged, {_cold(found.day, tuple(batteries(study)))}"
    names = listed([study.system.title("sources", name) for name in found.drained])
    cold = next(day for day in days(study) if day.name == "cold")
    return f"{names}: {_state(study, found.drained, cold)}"


def _state(study: Study, names: tuple[str, ...], day: Day) -> str:
    charged = listed(
        list(
            dict.fromkeys(
                f"{100 * start_of(one):.0f} %"
                for name, one in batteries(study).items()
                if name in names
            )
        )
    )
    return f"charged to {charged}, aged, {_cold(day, names)}"


def _cold(day: Day, names: tuple[str, ...]) -> str:
    degrees = [day.battery_degc[name] for name in names if name in day.battery_degc]
    return f"{day.title} ({listed(list(dict.fromkeys(f'{t:.0f} °C' for t in degrees)))})"


def _loads_of(study: Study, one: Lasts) -> str:
    found = one.of
    if isinstance(found, Effect):
        return "changed over, and shed" if found.changed_over else "as they are"
    alone = endurance(study)
    if alone is None or not alone.alternator:
        return "as in flight"
    seen = alone.seen_s if isinstance(found, Loss) else found.seen_s
    warned = "until the warning, " if alone.warned else "for "
    shed = f"all {warned}{whole_minutes(seen / 60)} min, then shed"
    if alone.landing == alone.cruise:
        return shed
    return f"{shed}; landing as in {phase_title(study, alone.landing)}"


def _rule_of(study: Study, one: Lasts) -> str:
    if one.kind == "sum":
        return "ampere-minutes (published form)"
    if one.kind == "failure":
        return "Peukert's law, steady current"
    if isinstance(one.of, Endurance):
        return f"simulation, ends with {ends_with(study, one.of)}"
    return "simulation of the whole flight"


def endurance_over_time(study: Study) -> Table:
    """Voltage, current and charge from the failure on, every five minutes."""
    found = endurance(study)
    rows = []
    if found is not None:
        due = 0.0
        for sample in found.samples:
            last = sample is found.samples[-1]
            if sample.time_s + 1e-6 < due and not last:
                continue
            due += EVERY_S
            rows.append(
                (
                    sample.time_s / 60,
                    sample.current_a,
                    sample.voltage_v,
                    max(0.0, sample.state_of_charge),
                    sample.lowest_margin_v if sample.lowest_load else "",
                    study.system.title("equipment", sample.lowest_load)
                    if sample.lowest_load
                    else "",
                )
            )
    return Table(
        id="endurance-over-time",
        title="Battery alone over time",
        columns=(
            Column(key="time_min", head="After", unit="min", digits=0),
            amps("current_a", "Current", digits=1),
            volts("voltage_v", "Battery"),
            share("charge_fraction", "Charge left"),
            volts("margin_v", "Least above its minimum", 2),
            text("load", "There", 2),
        ),
        rows=tuple(rows),
    )


def sheds(study: Study) -> Table:
    """What is switched off and when, once the alternator is lost."""
    found = endurance(study)
    rows = []
    if found is not None and found.alternator:
        for name, entry in study.document.equipment.items():
            field = name in field_loads(study)
            if (entry.shed in (None, "never") and not field) or entry.essential:
                continue
            later = isinstance(entry.shed, float) and not field
            when = "after" if later else "when the failure is seen"
            time_min = float(entry.shed) / 60 if later and entry.shed else ""
            rows.append((study.system.title("equipment", name), when, time_min))
    return Table(
        id="sheds",
        title="Loads that the pilot switches off",
        columns=(
            text("load", "Load"),
            text("when", "When"),
            Column(key="time_min", head="After", unit="min", digits=0),
        ),
        rows=tuple(rows),
    )


def ends_with(study: Study, found: Endurance) -> str:
    """What ends the simulation, for print."""
    if found.longest:
        return "nothing in 24 h"
    if found.ends_with in study.document.equipment:
        return f"{study.system.title('equipment', found.ends_with)} below its minimum voltage"
    return found.ends_with
