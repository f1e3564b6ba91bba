"""How long the battery carries the load: the two answers, what is shed, and the state over time."""

from elec import units
from elec.analyses.circuit_model import field_loads
from elec.analyses.endurance import Endurance, endurance
from elec.study import Study
from elec.tables.columns import amps, phase_title, share, text, volts
from elec.tables.table import Cell, Column, Table

EVERY_S = 300.0
"""One row of the state over time in five minutes."""


def endurance_summary(study: Study) -> Table:
    """The published sum and the simulation side by side, and which one counts."""
    found = endurance(study)
    rows: list[tuple[str, Cell, str]] = []
    if found is not None:
        unknown = bool(found.unknown)
        rows = [
            ("ampere-minutes by hand", Cell(value=found.hand_min, working=found.hand), ""),
            ("simulation", _simulated(found), f"ends with: {ends_with(study, found)}"),
            (
                "counts",
                Cell(value=None if unknown else found.minutes),
                "a current is not known" if unknown else "the shorter of the two",
            ),
        ]
    return Table(
        id="battery-alone",
        title="Battery alone",
        columns=(
            text("method", "Answer"),
            Column(key="time_min", head="Time", unit="min", digits=0),
            text("remark", "Remark", 2),
        ),
        rows=tuple(rows),
        note="" if found is None else _setting(study, found),
    )


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


def _simulated(found: Endurance) -> Cell:
    if found.longest:
        return Cell(value=found.simulated_min, text="more than 1440")
    return Cell(value=found.simulated_min)


def _setting(study: Study, found: Endurance) -> str:
    batteries = ", ".join(study.system.title("sources", name) for name in found.batteries)
    lost = "alternator lost" if found.alternator else "no alternator"
    steps = "; ".join(
        f"{what} at {units.show(time_s, 's')}" for time_s, what in found.sheds if time_s > 0
    )
    steps = f" Then: {steps}." if steps else ""
    return (
        f"{lost.capitalize()} in {phase_title(study, found.cruise)} by {found.condition}, landing "
        "as "
        f"{phase_title(study, found.landing)}; counted on: {batteries}.{steps}"
    )
