"""What a simulated flight says: the sentences that answer first, the tables, the chart."""

from elec import units
from elec.analyses.endurance import endurance
from elec.analyses.endurance_limit import endurance_limit
from elec.analyses.flight import Flight, flights
from elec.analyses.loss import losses
from elec.analyses.starts import starts
from elec.drawings.charts import FlightChart, Line, PhaseMark, flight_chart
from elec.report.document import Block, Figure, Paragraph, Section, TableBlock
from elec.study import Study
from elec.tables.columns import listed, phase_title
from elec.tables.flight import (
    alternator_lost,
    flight_charge,
    flight_over_time,
    loss_ends,
    start_dips,
)
from elec.tables.table import Table


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
    lasts = "more than 24 h" if not worst.ends_with else f"{worst.lasts_s / 60:.0f} min"
    asked = endurance_limit(study, alone).minutes
    enough = "enough for" if worst.lasts_s / 60 >= asked else "less than"
    text = (
        f"The worst minute to lose the alternator is {worst.into_s / 60:.0f} min into "
        f"{phase_title(study, worst.phase)} on a {worst.day.title} by {found.condition}: the "
        f"battery then lasts {lasts} (ends with: {loss_ends(study, worst)}), {enough} the "
        f"{asked:.0f} min that are asked."
    )
    return [text]


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
    one = found.lowest()
    name = min(one.least, key=lambda battery: one.least[battery])
    least, time_s = one.least[name]
    title = study.system.title("sources", name)
    text = (
        f"{title[:1].upper()}{title[1:]} is lowest after {units.show(time_s, 's')} of a "
        f"{one.title}: {100 * least:.0f} % of its charge, from {100 * one.start[name]:.0f} % at "
        "first."
    )
    texts = [text]
    if not any(s.kind == "alternator" for s in study.document.sources.values()):
        return texts
    late = [(back, flight) for flight in found.every for back in flight.back_s.values()]
    never = [flight for back, flight in late if back is None]
    if never:
        days = listed(list(dict.fromkeys(flight.title for flight in never)))
        texts.append(f"What the start and the taxi took does not come back on this flight: {days}.")
    else:
        back, flight = max((b, i, f) for i, (b, f) in enumerate(late) if b is not None)[::2]
        texts.append(
            f"What the start and the taxi took is back after {units.show(back, 's')} at the latest "
            f"({flight.title})."
            if back > 0
            else "No battery is ever below the charge it had at first."
        )
    return texts


def _start(study: Study) -> list[str]:
    low = [(one, load) for one in starts(study) for load in one.brown_outs()]
    if not starts(study):
        return []
    if not low:
        return ["While the starter turns everything keeps the voltage that it needs."]
    names = list(dict.fromkeys(study.system.title("equipment", load.equipment) for _, load in low))
    days = list(dict.fromkeys(one.day.title for one, _ in low))
    return [f"While the starter turns, below what it needs: {listed(names)} ({listed(days)})."]


def flight_tables(study: Study) -> tuple[Table, ...]:
    """What there is to say, in the order of the questions."""
    found = flights(study)
    if found is None:
        return ()
    every = (
        alternator_lost(study),
        flight_charge(study),
        start_dips(study),
        flight_over_time(study, found.lowest()),
    )
    return tuple(table for table in every if table.rows)


def flight_section(study: Study, *, charts: bool = True) -> Section:
    """The flight over time, after the battery's endurance."""
    found = flights(study)
    blocks: list[Block] = []
    if found is not None:
        blocks = [
            Paragraph(text=text, kind="lead" if number == 0 else "text")
            for number, text in enumerate(flight_lead(study))
        ]
        if charts:
            blocks.append(flight_figure(study, found.lowest()))
        blocks += [TableBlock(table=table) for table in flight_tables(study)]
    return Section(id="flight", title="The flight over time", blocks=tuple(blocks))


def flight_figure(study: Study, one: Flight) -> Figure:
    """Voltage, current and charge of the flight that empties a battery most."""
    minutes = tuple(moment.time_s / 60 for moment in one.moments)
    buses = tuple(
        Line(
            name=study.system.title("buses", bus),
            values=tuple(moment.bus_v[bus] for moment in one.moments),
        )
        for bus in one.moments[0].bus_v
    )
    batteries = tuple(one.start)
    currents = [
        Line(
            name=f"into {study.system.title('sources', name)}",
            values=tuple(-moment.battery_a[name] for moment in one.moments),
        )
        for name in batteries
    ]
    if any(s.kind == "alternator" for s in study.document.sources.values()):
        given = tuple(moment.alternator_a for moment in one.moments)
        currents.insert(0, Line(name="out of the alternators", values=given))
    charge = tuple(
        Line(
            name=study.system.title("sources", name),
            values=tuple(100 * moment.charge[name] for moment in one.moments),
        )
        for name in batteries
    )
    marks: list[PhaseMark] = []
    for moment in one.moments:
        title = phase_title(study, moment.phase)
        if not marks or marks[-1].label != title:
            marks.append(PhaseMark(label=title, start_min=moment.time_s / 60))
    return Figure(
        id="chart-flight",
        title=f"The flight over time: {one.title}",
        svg=flight_chart(
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
