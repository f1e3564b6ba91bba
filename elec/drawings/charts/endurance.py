"""The battery alone over time: voltage above, charge below."""

from collections.abc import Sequence

from msgspec import Struct

from elec.drawings.charts.plot import (
    BLUE,
    LINE_MM,
    VERMILLION,
    WIDTH_MM,
    Axes,
    LineLook,
    PlotPanel,
    around,
    panels,
    ticks,
)
from elec.drawings.ink import Picture


class Shed(Struct, frozen=True, kw_only=True):
    """A moment at which loads are switched off."""

    time_s: float
    label: str


class Minimum(Struct, frozen=True, kw_only=True):
    """A voltage that something still needs."""

    voltage_v: float
    label: str


class EnduranceChart(Struct, frozen=True, kw_only=True):
    """A battery alone over time: its bus voltage and how much charge is left (parts of one)."""

    time_s: tuple[float, ...]
    voltage_v: tuple[float, ...]
    charge_fraction: tuple[float, ...]
    sheds: tuple[Shed, ...] = ()
    minimums: tuple[Minimum, ...] = ()
    ends_s: float | None = None
    """When the battery is counted as empty; None: it outlasts the chart."""


def endurance_chart(data: EnduranceChart) -> Picture:
    """Voltage over time above, charge left below, with the moments of shedding numbered."""
    minutes = [time / 60.0 for time in data.time_s]
    notes = [f"{n}   {s.time_s / 60:.0f} min: {s.label}" for n, s in enumerate(data.sheds, start=1)]
    known = [*data.voltage_v, *(minimum.voltage_v for minimum in data.minimums)]
    middle = around(known, 0.12)
    if max(known, default=0.0) - min(known, default=0.0) < 0.5:
        middle = min(known, default=0.0) - 0.06, max(known, default=0.0) + 0.06
    x = 0.0, max([*minutes, 1e-9])
    plot, every = panels(
        WIDTH_MM,
        105.0 + 5.0 * len(data.sheds),
        every=(
            Axes(y=middle, y_label="voltage, V", share=3, head_mm=LINE_MM + 0.7),
            Axes(y=(0.0, 105.0), y_label="charge left, %", share=2),
        ),
        x=x,
        foot_mm=2 * LINE_MM + 2.8,
        notes=notes,
    )
    volts, charge = every
    marks = ticks(x, 9)
    thick = LineLook(colour=BLUE, width_mm=0.63)
    for panel in every:
        panel.frame(marks, grid=True, named=panel is charge)
    volts.curve(minutes, data.voltage_v, thick)
    charge.curve(minutes, [100 * part for part in data.charge_fraction], thick)
    charge.name_x("minutes on the battery alone")
    for number, shed in enumerate(data.sheds, start=1):
        _upright(every, shed.time_s / 60, str(number), dash=(1.3, 0.6))
    if data.ends_s is not None:
        _upright(every, data.ends_s / 60, "empty", dash=(0.3, 0.3))
    _volt_limits(volts, data)
    return plot.picture()


def _volt_limits(volts: PlotPanel, data: EnduranceChart) -> None:
    look = LineLook(colour=VERMILLION, width_mm=0.42, dash=(2.5, 0.85))
    for minimum in data.minimums:
        volts.level(minimum.voltage_v, look)
    for minimum in data.minimums:
        _, here = volts.at(volts.x[0], minimum.voltage_v)
        text = f"{minimum.label}, {minimum.voltage_v:g} V"
        volts.plot.text(volts.left + 1.4, here - 1.4, text, paper=True)


def _upright(every: Sequence[PlotPanel], x: float, label: str, dash: tuple[float, ...]) -> None:
    """A line through all panels, its name above the first."""
    for panel in every:
        panel.upright(x, LineLook(width_mm=0.32, dash=dash))
    here = every[0].at(x, 0)[0]
    every[0].plot.text(here, every[0].top - 1.1, label, align="center", bold=True)
