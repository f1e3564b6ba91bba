"""What each source is, electrically, in each phase.

In: sources, phases. Out: voltages, resistances and limits, each with the step that it came from.
"""

from functools import cache
from itertools import pairwise

from elec.analyses.demand import cells_factor
from elec.model.source import Alternator, Battery, Lithium
from elec.standards import default, table
from elec.study import Study
from elec.working import Step, Term


def cells_in_series(study: Study, battery: Battery) -> int:
    """Cells of a battery: 6 or 12 for lead-acid, 4 or 8 for lithium iron phosphate unless given."""
    factor = int(cells_factor(study.system.about.nominal_v))
    if isinstance(battery, Lithium):
        return battery.cells or 4 * factor
    return 6 * factor


def chemistry(battery: Battery) -> str:
    """The battery's row in the published tables: flooded, agm, gel or lifepo4."""
    return "lifepo4" if isinstance(battery, Lithium) else battery.construction


@cache
def _rest_voltages(kind: str) -> tuple[float, tuple[tuple[float, float], ...]]:
    """Cells that the table is stated for, and its points (state of charge 0 to 1, V)."""
    kind = "agm" if kind == "gel" else kind
    rows = [
        row for row in table("elec/battery_voltage").select(chemistry=kind) if row.has("voltage_v")
    ]
    points = sorted(
        (row.number("state_of_charge_percent") / 100, row.number("voltage_v")) for row in rows
    )
    return rows[0].number("cells_count"), tuple(points)


def open_circuit_v(study: Study, battery: Battery, state_of_charge: float) -> float:
    """Rest voltage of a battery at a state of charge (0 to 1).

    Straight lines between published points.

    Below the lowest state that the table covers its lowest value is given; whoever discharges that
    far looks at the state of charge itself.
    """
    cells, points = _rest_voltages(chemistry(battery))
    count = cells_in_series(study, battery)
    if state_of_charge <= points[0][0]:
        return count / cells * points[0][1]
    for (s1, v1), (s2, v2) in pairwise(points):
        if state_of_charge <= s2:
            return count / cells * (v1 + (v2 - v1) * (state_of_charge - s1) / (s2 - s1))
    return count / cells * points[-1][1]


def battery_resistance(study: Study, name: str, battery: Battery) -> Step:
    """Internal resistance at 25 °C: given, else scaled from a typical battery by capacity."""
    if battery.resistance_ohm is not None:
        return Step(
            result=Term(
                symbol="R",
                value=battery.resistance_ohm,
                unit="ohm",
                meaning="resistance of the battery",
                origin=str(study.system.where("sources", name, "resistance")),
            )
        )
    if isinstance(battery, Lithium):
        key, count = "battery-resistance-lifepo4-cell", cells_in_series(study, battery)
    else:
        construction = "flooded" if battery.construction == "flooded" else "agm"
        key = f"battery-resistance-{construction}"
        count = int(cells_factor(study.system.about.nominal_v))
    typical, capacity = default(key), default(f"{key}-capacity")
    value = count * typical.si * capacity.value / battery.capacity_ah
    return Step(
        result=Term(
            symbol="R",
            value=value,
            unit="ohm",
            meaning="resistance of the battery",
            origin="computed",
        ),
        formula="n * R0 * C0 / C",
        terms=(
            Term(symbol="n", value=float(count), unit="", meaning="such units in series"),
            Term(
                symbol="R0",
                value=typical.si,
                unit="ohm",
                meaning=typical.meaning,
                origin=typical.origin,
            ),
            Term(
                symbol="C0",
                value=capacity.value,
                unit="Ah",
                meaning=capacity.meaning,
                origin=capacity.origin,
            ),
            Term(
                symbol="C",
                value=battery.capacity_ah,
                unit="Ah",
                meaning="capacity",
                origin=str(study.system.where("sources", name, "capacity")),
            ),
        ),
        source=typical.source,
        note=f"typical, {typical.cite.remark}",
    )


def output(study: Study, name: str, alternator: Alternator, phase: str) -> Step | None:
    """What an alternator can deliver in a phase; None where that is not known.

    From its curve at the engine speed of the phase (straight lines between the points, the last
    value above the last point, 0 below the first one). Without a curve the hot share of its
    rating, at any running speed.
    """
    engine = study.document.phases[phase].engine
    where = study.system.where
    meaning = f"what {study.system.title('sources', name)} can deliver in {phase}"
    if engine is None:
        return None
    if engine.state != "running":
        return Step(
            result=Term(
                symbol="I",
                value=0.0,
                unit="A",
                meaning=meaning,
                origin=f"the engine is {engine.state}: {where('phases', phase, 'engine')}",
            )
        )
    if alternator.output:
        return _from_curve(study, name, alternator, engine.rpm or 0.0, meaning)
    if alternator.rating_a is None:
        return None
    hot = default("alternator-hot-share")
    return Step(
        result=Term(
            symbol="I",
            value=hot.si * alternator.rating_a,
            unit="A",
            meaning=meaning,
            origin="computed",
        ),
        formula="h * Ir",
        terms=(
            Term(symbol="h", value=hot.si, unit="", meaning=hot.meaning, origin=hot.origin),
            Term(
                symbol="Ir",
                value=alternator.rating_a,
                unit="A",
                meaning="rated output",
                origin=str(where("sources", name, "rating")),
            ),
        ),
        source=hot.source,
        note="no output over engine speed is given: at low speed it is less",
    )


def _from_curve(study: Study, name: str, alternator: Alternator, rpm: float, meaning: str) -> Step:
    points = alternator.output or ()
    origin = str(study.system.where("sources", name, "output"))
    if rpm < points[0][0]:
        value, note = (
            0.0,
            f"below the first point of the curve, {points[0][0]:.0f} rpm, nothing is counted",
        )
    elif rpm >= points[-1][0]:
        value, note = points[-1][1], "at or above the last point of the curve"
    else:
        for (n1, i1), (n2, i2) in pairwise(points):
            if n1 <= rpm <= n2:
                terms = (
                    Term(symbol="n", value=rpm, unit="rpm", meaning="engine speed"),
                    Term(symbol="n1", value=n1, unit="rpm", meaning="curve", origin=origin),
                    Term(symbol="i1", value=i1, unit="A", meaning="curve", origin=origin),
                    Term(symbol="n2", value=n2, unit="rpm", meaning="curve", origin=origin),
                    Term(symbol="i2", value=i2, unit="A", meaning="curve", origin=origin),
                )
                return Step(
                    result=Term(
                        symbol="I",
                        value=i1 + (i2 - i1) * (rpm - n1) / (n2 - n1),
                        unit="A",
                        meaning=meaning,
                        origin="computed",
                    ),
                    formula="i1 + (i2 - i1) * (n - n1) / (n2 - n1)",
                    terms=terms,
                )
    return Step(
        result=Term(symbol="I", value=value, unit="A", meaning=meaning, origin=origin), note=note
    )
