"""What each source is, electrically, in each phase.

In: sources, phases. Out: voltages, resistances and limits, each with the step that it came from.
"""

from collections.abc import Mapping
from functools import cache, partial
from itertools import pairwise

from msgspec import Struct

from elec.model.source import Alternator, Battery, Lithium, Pairs
from elec.physics.alternator import between_outputs_a, curve_output_a
from elec.physics.battery import (
    cold_resistance_ohm,
    frozen_factor,
    one_hour_capacity_ah,
    rated_charge_ah,
    scaled_resistance_ohm,
    temperature_factor,
)
from elec.standards import default, least_sure, table
from elec.study import Study
from elec.wiring.demand import cells_factor
from elec.wiring.hand import looked_up, said
from elec.working import Step, Term, computed, given

ROOM_DEGC = 25.0
"""Where resistances and capacities are stated."""


def has_alternator(study: Study) -> bool:
    """Whether anything charges the batteries in flight."""
    return bool(alternators(study))


def alternators(study: Study) -> Mapping[str, Alternator]:
    """All of them, by name."""
    sources = study.document.sources.items()
    return {name: source for name, source in sources if isinstance(source, Alternator)}


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


def rest_source(study: Study, name: str, battery: Battery) -> str:
    """Where its rest voltages come from: the builder's file, or the published table's rows."""
    if battery.rest is not None:
        return str(study.system.where("sources", name, "rest"))
    kind = chemistry(battery).replace("gel", "agm")
    return str(least_sure(r.cite for r in table("elec/battery_voltage").select(chemistry=kind)))


class Window(Struct, frozen=True, kw_only=True):
    """The voltages between which a regulator charges a battery, at 20 °C."""

    least_v: float
    most_v: float
    origin: str


def charge_window(study: Study, battery: Battery) -> Window:
    """The usual charge window of a battery's kind, for its cells; its maker's comes first."""
    row = table("elec/charge_window").row(chemistry=chemistry(battery))
    scale = cells_in_series(study, battery) / row.number("cells_count")
    return Window(
        least_v=row.number("least_v") * scale,
        most_v=row.number("most_v") * scale,
        origin=str(row.cite),
    )


def rest_curve(study: Study, battery: Battery) -> Pairs:
    """Rest voltage of the whole battery over its charge (0 to 1): the builder's, else its kind's.

    Held below the lowest point and above the highest.
    """
    if battery.rest is not None:
        return battery.rest
    cells, points = _rest_voltages(chemistry(battery))
    scale = cells_in_series(study, battery) / cells
    return tuple((share, scale * volts) for share, volts in points)


def open_circuit_v(study: Study, battery: Battery, state_of_charge: float) -> float:
    """Rest voltage of a battery at a state of charge (0 to 1).

    Straight lines between the points of its curve.

    Below the lowest state that the curve covers its lowest value is given; whoever discharges that
    far looks at the state of charge itself.
    """
    return held(rest_curve(study, battery), state_of_charge)


def held(curve: Pairs, x: float) -> float:
    """Straight lines between points; the end values beyond them.

    >>> held(((0.0, 10.0), (1.0, 20.0)), 0.25), held(((0.0, 10.0), (1.0, 20.0)), 7.0)
    (12.5, 20.0)
    """
    if x <= curve[0][0]:
        return curve[0][1]
    for (x1, y1), (x2, y2) in pairwise(curve):
        if x <= x2:
            return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return curve[-1][1]


def battery_resistance(study: Study, name: str, battery: Battery) -> Step:
    """Internal resistance at 25 °C: given, else scaled from a typical battery by capacity."""
    where = partial(study.system.where, "sources", name)
    value, words, key = battery.resistance_ohm, "resistance of the battery", "resistance"
    if value is None and battery.resistance_by_temperature is not None:
        value = held(battery.resistance_by_temperature, ROOM_DEGC)
        words, key = f"{words} at {ROOM_DEGC:g} °C", "resistance-by-temperature"
    if value is not None:
        return looked_up(Term("R", value, "ohm", words, str(where(key))))
    if isinstance(battery, Lithium):
        key, count = "battery-resistance-lifepo4-cell", cells_in_series(study, battery)
    else:
        construction = "flooded" if battery.construction == "flooded" else "agm"
        key = f"battery-resistance-{construction}"
        count = int(cells_factor(study.system.about.nominal_v))
    typical, capacity = default(key), default(f"{key}-capacity")
    return scaled_resistance_ohm.step(
        cells_ratio=given(float(count), ""),
        known_resistance_ohm=said(typical, typical.si),
        known_capacity_ah=said(capacity, capacity.value),
        capacity_ah=given(battery.capacity_ah, str(where("capacity")), "capacity"),
        source=typical.source,
        note=f"typical, {typical.cite.remark}",
    )


def resistance_ohm(study: Study, name: str, battery: Battery, degc: float) -> float:
    """Internal resistance at a temperature: the builder's curve, else by the rise in the cold."""
    if battery.resistance_by_temperature is not None:
        return held(battery.resistance_by_temperature, degc)
    at_room = battery_resistance(study, name, battery).result.value
    lithium = isinstance(battery, Lithium)
    key = "battery-cold-coefficient-lifepo4" if lithium else "battery-cold-coefficient"
    return cold_resistance_ohm(
        resistance_25degc_ohm=at_room,
        temperature_degc=min(ROOM_DEGC if lithium else 60.0, max(-30.0, degc)),
        rise_share_per_k=default(key).value,
    )


def capacity_share(battery: Battery, degc: float) -> float:
    """Share of its 25 °C capacity that a battery gives at a temperature.

    Below what the tables cover their last slope goes on, never above their last value; above it,
    that is kept.
    """
    if isinstance(battery, Lithium):
        cold = table("elec/lithium_temperature").points("temperature_degc", "share")
        (t1, s1), (t2, s2) = cold[0], cold[1]
        if degc < t1:
            return max(0.0, s1 + (s2 - s1) * (degc - t1) / (t2 - t1))
        return held(tuple(cold), degc)
    above = temperature_factor(temperature_degc=min(40.0, max(0.0, degc)), discharge_min=60.0)
    if degc >= 0:
        return above
    share = default("battery-cold-share").si
    frozen = frozen_factor(temperature_degc=max(-40.0, degc), share_at_18_below=share)
    return min(above, frozen)  # the line begins with the table's class of longer discharges


def rated_s() -> float:
    """The discharge time that the capacity is rated for when the builder does not say.

    1 h lead-acid and lithium.
    """
    return default("battery-rate").si


def peukert(battery: Battery) -> float:
    """The Peukert exponent: given, else that of its kind."""
    if battery.peukert is not None:
        return battery.peukert
    return table("elec/peukert").row(chemistry=chemistry(battery)).number("exponent")


def peukert_cite(battery: Battery) -> str:
    """Where the Peukert exponent of its kind is from."""
    return str(table("elec/peukert").row(chemistry=chemistry(battery)).cite)


def ratings(battery: Battery) -> Pairs | None:
    """The builder's ratings in (hours, Ah); None where he gives none."""
    if battery.rates is None:
        return None
    return tuple((seconds / 3600, charge) for seconds, charge in battery.rates)


def one_hour_ah(battery: Battery) -> float:
    """The capacity at the one-hour rate: from the ratings, else by Peukert's law."""
    curve = ratings(battery)
    if curve is not None:
        return rated_charge_ah(curve=curve, discharge_h=1.0)
    hours = (battery.rate_s or rated_s()) / 3600
    return one_hour_capacity_ah(
        capacity_ah=battery.capacity_ah, rated_h=hours, peukert_exponent=peukert(battery)
    )


def five_minute_a(battery: Battery) -> float:
    """The current that empties it in five minutes: from the ratings, else by Peukert's law.

    A main feeder is judged at it (FAA-H-8083, voltage drop).
    """
    hours = 5 / 60
    curve = ratings(battery)
    if curve is not None:
        return rated_charge_ah(curve=curve, discharge_h=hours) / hours
    return float(one_hour_ah(battery) * hours ** (-1 / peukert(battery)))


def cutoff_v(study: Study, battery: Battery) -> float | None:
    """The voltage at which it counts as empty: given, or where the management system opens."""
    if battery.cutoff_v is not None or not isinstance(battery, Lithium):
        return battery.cutoff_v
    return default("cutoff-lifepo4-cell").value * cells_in_series(study, battery)


def accepts_a(battery: Battery) -> float:
    """The greatest current that it takes when charged: given, else by its kind and size."""
    if battery.accepts_a is not None:
        return battery.accepts_a
    kind = chemistry(battery).replace("gel", "agm")
    return default(f"charge-start-{kind}").si * battery.capacity_ah


def charge_hours(battery: Battery) -> float:
    """The hours over which the charge that is missing is what it takes."""
    lithium = isinstance(battery, Lithium)
    return default("charge-hours-lifepo4" if lithium else "charge-hours").value


def charge_efficiency(battery: Battery) -> float:
    """The part of the charge put in that it keeps."""
    lithium = isinstance(battery, Lithium)
    return default("charge-efficiency-lifepo4" if lithium else "charge-efficiency").si


def no_charge_below_degc(battery: Battery) -> float | None:
    """The temperature below which it must not be charged; None for lead-acid."""
    if not isinstance(battery, Lithium):
        return None
    given = battery.no_charge_below_degc
    return default("no-charge-below").value if given is None else given


def setpoint_v(alternator: Alternator, degc: float) -> float:
    """What its regulator holds at a temperature."""
    if alternator.setpoint_by_temperature is None:
        return alternator.setpoint_v
    return held(alternator.setpoint_by_temperature, degc)


def output_a(
    study: Study, name: str, alternator: Alternator, phase: str, degc: float
) -> float | None:
    """What an alternator can deliver in a phase in air of a temperature; None where not known.

    At the hot day's air and above by its hot output, at 23 °C and below by its cold one, in
    between by a straight line; never above its limit.
    """
    hot = output(study, name, alternator, phase)
    if hot is None:
        return None
    cold = _cold_a(study, alternator, phase)
    found = hot.result.value
    if cold is not None:
        low, high = default("alternator-test").value, default("hot-day").value
        found = held(((low, max(cold, found)), (high, found)), degc)
    return found if alternator.limit_a is None else min(found, alternator.limit_a)


def _cold_a(study: Study, alternator: Alternator, phase: str) -> float | None:
    engine = study.document.phases[phase].engine
    if engine is None or engine.rpm is None:
        return None
    rpm, starts, points = engine.rpm, alternator.starts_at_rpm, alternator.cold_output
    if starts is not None and rpm < starts:
        return 0.0
    if points is not None:
        return 0.0 if rpm < points[0][0] else held(points, rpm)
    return None if alternator.output else alternator.rating_a


def output(study: Study, name: str, alternator: Alternator, phase: str) -> Step | None:
    """What an alternator can deliver in a phase; None where that is not known.

    From its curve at the engine speed of the phase (straight lines between the points, the last
    value above the last point, 0 below the first one). Without a curve the hot share of its
    rating, at any running speed. 0 below the speed at which it starts.
    """
    engine = study.document.phases[phase].engine
    where = study.system.where
    meaning = f"what {study.system.title('sources', name)} can deliver in {phase}"
    if engine is None:
        return None
    if engine.state != "running":
        origin = f"the engine is {engine.state}: {where('phases', phase, 'engine')}"
        return looked_up(Term("I", 0.0, "A", meaning, origin))
    rpm, starts = engine.rpm, alternator.starts_at_rpm
    if rpm is not None and starts is not None and rpm < starts:
        return looked_up(
            Term("I", 0.0, "A", meaning, str(where("sources", name, "starts-at"))),
            note=f"at {rpm:.0f} rpm it gives nothing: it starts at {starts:.0f} rpm",
        )
    if alternator.output:
        speed = str(where("phases", phase, "engine"))
        assert rpm is not None  # noqa: S101 - an engine that runs has a speed
        return _from_curve(study, name, alternator, rpm, meaning, speed=speed)
    if alternator.rating_a is None:
        return None
    hot = default("alternator-hot-share")
    rated = Term("Ir", alternator.rating_a, "A", "rated output",
                 str(where("sources", name, "rating")))  # fmt: skip
    terms = (said(hot, hot.si, "h"), rated)
    note = "no output over engine speed is given: at low speed it is less"
    return computed("I", "A", meaning, "h * Ir", terms, source=hot.source, note=note)


def _from_curve(
    study: Study, name: str, alternator: Alternator, rpm: float, meaning: str, *, speed: str
) -> Step:
    points = alternator.output or ()
    origin = str(study.system.where("sources", name, "output"))
    value = 0.0 if rpm < points[0][0] else curve_output_a(curve=points, speed_rpm=rpm)
    note = "at or above the last point of the curve"
    if rpm < points[0][0]:
        note = f"below the first point of the curve, {points[0][0]:.0f} rpm, nothing is counted"
    elif rpm < points[-1][0]:
        for (n1, i1), (n2, i2) in pairwise(points):
            if n1 <= rpm <= n2:
                return between_outputs_a.step(
                    speed_rpm=given(rpm, speed),
                    before_rpm=given(n1, origin),
                    before_a=given(i1, origin),
                    after_rpm=given(n2, origin),
                    after_a=given(i2, origin),
                    meaning=meaning,
                )
    return Step(result=Term("I", value, "A", meaning, origin), note=note)
