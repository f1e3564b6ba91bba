"""A flight over time: voltages, currents and charge below one another."""

import math

from msgspec import Struct

from elec.drawings.charts.plot import (
    BLUE,
    GREEN,
    GREY,
    LINE_MM,
    ORANGE,
    PURPLE,
    SKY,
    VERMILLION,
    WIDTH_MM,
    Axes,
    Key,
    LineLook,
    PlotPanel,
    Range,
    around,
    panels,
    ticks,
)
from elec.drawings.ink import Picture


class Curve(Struct, frozen=True, kw_only=True):
    """One curve of a flight, a value for each of its moments; NaN leaves a gap."""

    name: str
    values: tuple[float, ...]
    look: int | None = None
    """Colour and dash, by number, so that a thing looks alike in every part; None: by its order."""


class PhaseMark(Struct, frozen=True, kw_only=True):
    """Where a phase begins."""

    label: str
    start_min: float


class FlightChart(Struct, frozen=True, kw_only=True):
    """A flight over time: voltages, currents and the charge of batteries."""

    time_min: tuple[float, ...]
    voltage_v: tuple[Curve, ...]
    current_a: tuple[Curve, ...]
    charge_percent: tuple[Curve, ...]
    phases: tuple[PhaseMark, ...] = ()


def flight_chart(data: FlightChart) -> Picture:
    """Voltage, current and charge below one another; phases are numbered above and named below.

    A current of the start that would dwarf all others runs out of the picture; its number stands
    where it does.
    """
    legend_rows = sum(-(-len(lines) // 4) for lines in (data.voltage_v, data.current_a))
    texts = [
        f"{n}  {phase.label} from {phase.start_min:.0f} min"
        for n, phase in enumerate(data.phases, 1)
    ]
    notes = [" · ".join(texts[k : k + 3]) for k in range(0, len(texts), 3)]
    cut = _cut_a(data)
    amps_y = around(v for line in data.current_a for v in line.values)
    x = data.time_min[0], data.time_min[-1]
    plot, every = panels(
        WIDTH_MM,
        150.0 + 5.0 * (legend_rows + len(notes)),
        every=(
            _flight_axes("voltage, V", data.voltage_v, 3),
            _flight_axes(
                "current, A", data.current_a, 3, amps_y if cut is None else (cut, amps_y[1])
            ),
            _flight_axes("charge, %", data.charge_percent, 2, (0.0, 105.0)),
        ),
        x=x,
        foot_mm=2 * LINE_MM + 2.8,
        notes=notes,
    )
    _, amps, charge = every
    marks = ticks(x, 9)
    lines = (data.voltage_v, data.current_a, data.charge_percent)
    for panel, some in zip(every, lines, strict=True):
        panel.frame(marks, grid=True, named=panel is charge)
        for order, line in enumerate(some):
            panel.curve(data.time_min, line.values, _flight_look(order, line))
        for phase in data.phases:
            panel.upright(phase.start_min, LineLook(width_mm=0.2, dash=(0.8, 0.4)))
    for number, phase in enumerate(data.phases, start=1):
        here, foot = charge.at(phase.start_min, 2.0)
        beside = 0.7 + 2.5 * (number > 1 and _near(data, number))
        plot.text(here + beside, foot, str(number), paper=True)
    if cut is not None:
        _say_cut(amps, data)
    charge.name_x("minutes of flight")
    return plot.picture()


_DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (2.8, 1.1),
    (0.6, 0.6),
    (3.9, 1.1, 0.6, 1.1),
    (1.7, 0.6, 0.6, 0.6),
)
_COLOURS = (BLUE, VERMILLION, GREEN, PURPLE, ORANGE, SKY, GREY)


def _flight_look(order: int, line: Curve) -> LineLook:
    number = order if line.look is None else line.look
    return LineLook(
        colour=_COLOURS[number % len(_COLOURS)], dash=_DASHES[number % len(_DASHES)], width_mm=0.56
    )


def _flight_axes(
    label: str, lines: tuple[Curve, ...], share: float, y: Range | None = None
) -> Axes:
    keys = tuple(Key(name=ln.name, look=_flight_look(k, ln)) for k, ln in enumerate(lines))
    return Axes(
        y=around(v for line in lines for v in line.values) if y is None else y,
        y_label=label,
        share=share,
        keys=keys if len(keys) > 1 else (),
        columns=4,
    )


def _near(data: FlightChart, number: int) -> bool:
    """Whether a phase begins so soon after the one before that their numbers would touch."""
    whole = data.time_min[-1] - data.time_min[0]
    gap = data.phases[number - 1].start_min - data.phases[number - 2].start_min
    return gap < 0.02 * whole


def _cut_a(data: FlightChart) -> float | None:
    """Where the start's current is let run out of the picture, if it would dwarf the rest."""
    known = sorted(v for line in data.current_a for v in line.values if math.isfinite(v))
    if len(known) < 20:
        return None
    usual = min(known[len(known) // 8], -1.0)
    return None if known[0] > 3 * usual else 1.3 * usual


def _say_cut(amps: PlotPanel, data: FlightChart) -> None:
    """The number of the current that runs out of the picture, where it does."""
    least = min(
        (v, k) for line in data.current_a for k, v in enumerate(line.values) if math.isfinite(v)
    )
    here = amps.at(data.time_min[least[1]], amps.y[0])[0]
    amps.plot.text(
        here + 2.1, amps.bottom - 1.4, f"{least[0]:.0f} A ↓".replace("-", "−"), paper=True
    )
