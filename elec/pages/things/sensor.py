"""What each load does to each compass and magnetometer."""

from elec.answers.fields.field import Disturbance, Disturbed, disturbed
from elec.answers.fields.field_working import field_working
from elec.pages.columns import amps, phase_title, place_title, text
from elec.pages.table import Cell, Column, Table, Value
from elec.physics.magnetics import worst_deviation_deg
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limit

SWING = Cite("ac4313", "12-37", "memory")
"""When a compass is swung again."""
MOST = 12
"""So many loads are listed for a sensor; the rest do less."""


def sensors(study: Study) -> tuple[Table, ...]:
    """One table a sensor: the loads that disturb it most, worst first."""
    return tuple(_table(study, found) for found in disturbed(study).values())


def _table(study: Study, found: Disturbed) -> Table:
    left = len(found.disturbances) - MOST
    more = f" {left} more loads do less." if left > 0 else ""
    return Table(
        id=f"sensor-{found.sensor}",
        title=f"What disturbs {found.title}",
        columns=(
            text("load", "Load"),
            text("phase", "Phase", 3),
            amps("change_a", "Switched"),
            Column(key="aft_ut", head="Lengthwise", unit="ut", digits=3, importance=2),
            Column(key="right_ut", head="Sideways", unit="ut", digits=3, importance=2),
            Column(key="up_ut", head="Up and down", unit="ut", digits=3, importance=2),
            Column(key="horizontal_ut", head="Horizontal", unit="ut", digits=3),
            Column(key="turn_deg", head="Compass turns, °", digits=1),
            text("where", "Most of it from", 2),
        ),
        rows=tuple(_row(study, found, one) for one in found.disturbances[:MOST]),
        note=(
            "The change of the field when the load is switched, by straight wires from place to "
            "place, at the most; magnets in motors and speakers, and steel, are not counted. "
            f"Earth's horizontal field {found.earth_field_t * 1e6:g} µT ({found.earth_origin}), "
            f"worst heading.{more}"
        ),
    )


def _row(study: Study, found: Disturbed, one: Disturbance) -> tuple[Value, ...]:
    aft, right, up = (value * 1e6 for value in one.most_t)
    ratio = one.horizontal_t / found.earth_field_t
    where = " to ".join(place_title(study, place) for place in one.worst) if one.worst else ""
    return (
        study.system.title("equipment", one.equipment),
        f"{phase_title(study, one.phase)}, {one.condition}",
        one.change_a,
        aft,
        right,
        up,
        Cell(value=one.horizontal_t * 1e6, working=field_working(study, found, one)),
        worst_deviation_deg(field_t=one.horizontal_t, horizontal_field_t=found.earth_field_t)
        if ratio < 1
        else None,
        where,
    )


def interference_test(study: Study) -> Table | None:
    """The test that decides: each load on and off with the sensor's readings written down."""
    found = next(iter(disturbed(study).values()), None)
    if found is None:
        return None
    names = [study.system.title("equipment", one.equipment) for one in found.disturbances]
    most = limit(study, "compass-deviation")
    names += ["controls, through their full travel", "flaps and gear where they are electric"]
    return Table(
        id="interference-test",
        title="Interference test",
        columns=(
            text("load", "Switch on and off"),
            text("before", "Before, heading or µT"),
            text("after", "After, heading or µT"),
            text("ok", "Done"),
        ),
        rows=tuple((name, "", "", "☐") for name in names),
        note=(
            "In flight attitude, away from metal; each load for half a minute on and off. Swing "
            f"the compass afterwards: the electrical system was changed ({SWING}). "
            f"On no heading may it then be off by more than {most.value:g}° ({most.source})."
        ),
    )
