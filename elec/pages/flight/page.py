"""What a simulated flight says: the sentences that answer first, the tables, the chart."""

from elec import units
from elec.answers.failures.planned import lasting_cases, plan_with
from elec.answers.time.endurance import endurance
from elec.answers.time.endurance_limit import endurance_limit
from elec.answers.time.flight import Flight, flights
from elec.answers.time.loss import UNTIL, losses
from elec.answers.time.starts import starts
from elec.drawings.charts.flight import Curve, FlightChart, PhaseMark, flight_chart
from elec.pages.columns import listed, phase_title
from elec.pages.document import Block, Figure, Paragraph, Section, TableBlock
from elec.pages.flight.table import (
    alternator_lost,
    flight_charge,
    flight_over_time,
    loss_ends,
    nearest,
    start_dips,
    start_loads,
)
from elec.pages.table import Table
from elec.study import Study
from elec.wiring.sources import has_alternator


def flight_lead(study: Study) -> tuple[str, ...]:
    """The worst minute and how long then; the charge; the start; what is not known."""
    found = flights(study)
    if found is None:
        return ("There is no battery, or no phases are given: there is no flight to follow.",)
    texts = [*_not_known(study)]
    texts += _worst(study)
    texts += _given_out(study)
    texts += _charge(study)
    texts += _start(study)
    return tuple(texts)


def _not_known(study: Study) -> list[str]:
    found = flights(study)
    if found is None:
        return []
    texts = []
    if found.unknown:
        names = listed([study.system.title("equipment", name) for name in found.unknown])
        texts.append(f"Not certain: the current of {names} is not known, and nothing is counted.")
    if found.unknown_output:
        phases = listed([phase_title(study, name) for name in found.unknown_output])
        texts.append(f"What the alternator gives is not known in {phases}; nothing is counted.")
    return texts


def _worst(study: Study) -> list[str]:
    found, alone = losses(study), endurance(study)
    if found is None or alone is None:
        return []
    worst = found.worst
    asked = endurance_limit(study, alone)
    wanted = units.asked_minutes(asked.minutes)
    until = UNTIL.get(worst.ends_with) or f"until {loss_ends(study, worst)}"
    case = next(one for one in lasting_cases(study) if one.kind == "worst minute")
    text = f"The worst minute: {case.lost} on a {worst.day.title}. The battery then lasts "
    if not worst.ends_with:
        return [f"{text}more than 24 h; {wanted} min are asked."]
    text += f"{case.printed} min, a landing included, {until}; {wanted} min are asked"
    if asked.met(worst.lasts_s / 60):
        return [f"{text}.", plan_with(study)]
    return [
        (
            f"{text}. That is too little: keep the engine faster on the ground, switch heavy loads "
            "on later, shed more (shed: at once), or fit a larger battery."
        ),
        plan_with(study),
    ]


def _given_out(study: Study) -> list[str]:
    """Batteries that are empty, or that their management system opens, while all else is well."""
    found = flights(study)
    first: dict[tuple[str, str], tuple[float, str]] = {}
    for one in () if found is None else found.every:
        for time_s, name, why in one.emptied:
            first.setdefault((name, why), (time_s, one.title))
    return [
        f"{study.system.title('sources', name)}: {why} after {units.show(time_s, 's')} of a "
        f"{title}, all else being well."
        for (name, why), (time_s, title) in first.items()
    ]


def _charge(study: Study) -> list[str]:
    found = flights(study)
    if found is None:
        return []
    if not has_alternator(study):
        return _carried(study)
    one = found.lowest()
    name = min(one.least, key=lambda battery: one.least[battery])
    least, time_s = one.least[name]
    texts = [
        (
            f"{_capital(study.system.title('sources', name))} is lowest "
            f"{units.show(round(time_s), 's')} after the beginning of the flight ({one.title}): "
            f"{_charges(least, one.start[name])} at first."
        )
    ]
    late = [(back, flight) for flight in found.every for back in flight.back_s.values()]
    never = [flight for back, flight in late if back is None]
    if never:
        days = listed(list(dict.fromkeys(flight.title for flight in never)))
        texts.append(f"What the start and the taxi took does not come back on this flight: {days}.")
    else:
        back, flight = max((b, i, f) for i, (b, f) in enumerate(late) if b is not None)[::2]
        texts.append(
            f"What the start and the taxi took is back {units.show(round(back), 's')} after the "
            f"beginning at the latest ({flight.title})."
            if back > 0
            else "No battery is ever below the charge it had at first."
        )
    return texts


def _carried(study: Study) -> list[str]:
    """Without an alternator: what is left at the end of the flight that leaves least."""
    found = flights(study)
    if found is None or any(one.emptied for one in found.every):
        return []
    one = found.lowest()
    name = min(one.end, key=lambda battery: one.end[battery])
    lasts = units.show(round(one.moments[-1].time_s), "s")
    return [
        (
            f"The charge carries the whole flight of {lasts} also on the worst day ({one.title}): "
            f"{study.system.title('sources', name)} then has "
            f"{_charges(one.end[name], one.start[name])} "
            "at first."
        )
    ]


def _charges(now: float, first: float) -> str:
    """Two charges in % that print apart where they are."""
    digits = 0 if round(100 * now) != round(100 * first) else 2
    return f"{100 * now:.{digits}f} % of its charge, from {100 * first:.{digits}f} %"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _start(study: Study) -> list[str]:
    every = starts(study)
    low = [(one, load) for one in every for load in one.brown_outs()]
    near = [(one, load) for one in every if (load := nearest(one)) is not None]
    if not near:
        return []
    pairs = low or [min(near, key=lambda pair: pair[1].turning_v - pair[1].minimum_v)]
    one, load = min(pairs, key=lambda pair: pair[1].turning_v - pair[1].minimum_v)
    title = study.system.title("equipment", load.equipment)
    worst = (
        f"{title} with {load.turning_v:.1f} V ({one.title}), which works down to "
        f"{load.minimum_v:.1f} V"
    )
    if not low:
        return [
            (
                "While the starter turns everything keeps the voltage that it needs; the nearest "
                f"to its minimum is {worst}."
            )
        ]
    names = list(dict.fromkeys(study.system.title("equipment", load.equipment) for _, load in low))
    days = list(dict.fromkeys(one.day.title for one, _ in low))
    return [
        (
            f"While the starter turns, below what it needs: {listed(names)} ({listed(days)}); the "
            f"worst is {worst}. Switch these on after the start, or start with a fuller or larger "
            "battery."
        )
    ]


def flight_tables(study: Study) -> tuple[Table, ...]:
    """What there is to say, in the order of the questions."""
    found = flights(study)
    if found is None:
        return ()
    every = (
        alternator_lost(study),
        flight_charge(study),
        start_loads(study),
        start_dips(study),
        flight_over_time(study, found.lowest()),
    )
    return tuple(table for table in every if table.rows)


def flight_section(study: Study) -> Section:
    """The flight over time, after the battery's endurance."""
    found = flights(study)
    blocks: list[Block] = []
    if found is not None:
        blocks = [
            Paragraph(text=text, kind="lead" if number == 0 else "text")
            for number, text in enumerate(flight_lead(study))
        ]
        blocks.append(flight_figure(study, found.lowest()))
        blocks += [TableBlock(table=table) for table in flight_tables(study)]
    return Section(id="flight", title="The flight over time", blocks=tuple(blocks))


def flight_figure(study: Study, one: Flight) -> Figure:
    """Voltage, current and charge of the flight that empties a battery most."""
    minutes = tuple(moment.time_s / 60 for moment in one.moments)
    buses = tuple(
        Curve(
            name=study.system.title("buses", bus),
            values=tuple(moment.bus_v[bus] for moment in one.moments),
        )
        for bus in one.moments[0].bus_v
    )
    batteries = tuple(one.start)
    currents = [
        Curve(
            name=f"into {study.system.title('sources', name)}",
            values=tuple(-moment.battery_a[name] for moment in one.moments),
            look=look,
        )
        for look, name in enumerate(batteries, start=1)
    ]
    if has_alternator(study):
        given = tuple(moment.alternator_a for moment in one.moments)
        currents.insert(0, Curve(name="out of the alternators", values=given, look=0))
    charge = tuple(
        Curve(
            name=study.system.title("sources", name),
            values=tuple(100 * moment.charge[name] for moment in one.moments),
            look=look,
        )
        for look, name in enumerate(batteries, start=1)
    )
    marks: list[PhaseMark] = []
    for moment in one.moments:
        title = phase_title(study, moment.phase)
        if not marks or marks[-1].label != title:
            marks.append(PhaseMark(label=title, start_min=moment.time_s / 60))
    return Figure(
        id="chart-flight",
        title=f"The flight over time: {one.title}",
        drawing=flight_chart(
            FlightChart(
                time_min=minutes,
                voltage_v=buses,
                current_a=tuple(currents),
                charge_percent=charge,
                phases=tuple(marks),
            )
        ),
        description=(
            "From top to bottom: voltage of every bus, current of alternators and batteries, and "
            "the charge of every battery."
        ),
    )
