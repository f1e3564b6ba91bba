"""The time-current chart of every circuit and feeder, as figures of the book."""

import math

from elec import units
from elec.answers.short.time_current import TimeCurrent, time_currents
from elec.drawings.charts.time_current import TimeCurrentChart, time_current_chart
from elec.pages.document import Figure
from elec.sizing.devices import Device
from elec.study import Study
from elec.units import show


def time_current_figures(study: Study) -> tuple[Figure, ...]:
    """Every device with a rating: its band, its wire, its load and its short-circuit currents."""
    return tuple(_figure(found) for found in time_currents(study).values())


def _figure(found: TimeCurrent) -> Figure:
    device = found.device
    mark = f" ({found.damaged_mark})" if found.damaged_mark else ""
    inrush = None
    if device.inrush_a is not None and device.inrush_s is not None:
        inrush = (device.inrush_a, device.inrush_s)
    chart = TimeCurrentChart(
        device=_device(found),
        wire=f"{units.show_gauge(found.awg)}, damaged at {found.damaged_degc:.0f} °C{mark}",
        slowest=found.slowest,
        quickest=found.quickest,
        beyond=tuple(p for p in (found.slowest_beyond, found.quickest_beyond) if p),
        damage=found.damage,
        load_a=device.load_a,
        inrush=inrush,
        least_a=found.least_a,
        greatest_a=found.greatest_a,
    )
    return Figure(
        id=f"time-current-{found.chain}",
        title=found.title[:1].upper() + found.title[1:],
        drawing=time_current_chart(chart),
        description=_says(found),
        small=True,
    )


def _device(found: TimeCurrent) -> str:
    device = found.device
    return f"{device.label}, {device.family}{_rests_on(found)}"


def _rests_on(found: TimeCurrent) -> str:
    if found.band is None:
        return ""
    if found.band.cite.document == "builder":
        return ", your curve"
    remark = found.band.cite.remark
    return f" (curve {remark})" if remark else ""


def _says(found: TimeCurrent) -> str:
    """One sentence: the currents at which device and wire are nearest to each other."""
    race, device = found.race, found.device
    if race is None or race.opens_s is None:
        why = race.unknown if race is not None else ""
        return f"Device and wire cannot be compared: {why or 'no curve is known'}."
    if not math.isfinite(race.damaged_s):
        return f"The wire bears {race.current_a:.3g} A and all below for ever."
    opens = show(race.opens_s, "s") if math.isfinite(race.opens_s) else "no time that is sure"
    lead = "ahead of" if race.in_time else "behind"
    return (
        f"Nearest at {race.current_a:.3g} A: the {_kind(device)} opens within {opens}, {lead} the "
        f"wire's {show(race.damaged_s, 's')}."
    )


def _kind(device: Device) -> str:
    return device.kind
