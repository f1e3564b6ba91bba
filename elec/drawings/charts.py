"""Charts of loads, endurance and flights as SVG text, equal bytes for equal numbers.

In: the small records of this module. Out: SVG 180 mm wide, which is the text width of A4 less its
binding edge; its lettering is 9 pt and black. Areas differ by hatch and lines by dash as well as
by colour, so that a grey print says the same. Colours are those of Okabe and Ito (2008).

Panels, axes and legends are those of `elec.drawings.plot`.
"""

import math
from collections.abc import Mapping, Sequence

from elec.drawings.plot import (
    LINE_PT,
    Axes,
    Fill,
    Key,
    Look,
    Panel,
    Range,
    around,
    panels,
    ticks,
)
from elec.record import dataclass

WIDTH_MM = 180.0
_MM_PER_INCH = 25.4
PT_PER_MM = 72.0 / _MM_PER_INCH
WIDTH_PT = WIDTH_MM * PT_PER_MM
BLUE, VERMILLION, GREEN = "#0072B2", "#D55E00", "#009E73"
ORANGE, SKY, PURPLE, GREY = "#E69F00", "#56B4E9", "#CC79A7", "#999999"
_AREAS = tuple(
    Fill(colour=colour, hatch=hatch)
    for colour, hatch in (
        (BLUE, ""),
        (ORANGE, "/"),
        (GREEN, "|"),
        (SKY, "\\"),
        (PURPLE, "x"),
        (GREY, "-"),
        (VERMILLION, "+"),
    )
)
"""Colour and hatch of the parts of a bar, in order."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """One layer of a bar: what a bus or a group of loads draws."""

    name: str
    current_a: float


@dataclass(frozen=True, kw_only=True)
class PhaseBar:
    """What is drawn in one phase under one condition."""

    phase: str
    condition: str
    parts: tuple[Part, ...]
    unknown: int = 0
    """How many loads that are on have no known current; the total then prints as `12.3 + ?`."""

    @property
    def total_a(self) -> float:
        """The sum of what is known."""
        return sum(part.current_a for part in self.parts)


@dataclass(frozen=True, kw_only=True)
class Capacity:
    """What the sources other than the battery deliver in one phase; None: not known."""

    phase: str
    current_a: float | None


@dataclass(frozen=True, kw_only=True)
class PhaseChart:
    """Current by phase against what the source delivers.

    A phase that has no entry in `capacities` has no source but the battery.
    """

    bars: tuple[PhaseBar, ...]
    capacities: tuple[Capacity, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Shed:
    """A moment at which loads are switched off."""

    time_s: float
    label: str


@dataclass(frozen=True, kw_only=True)
class Minimum:
    """A voltage that something still needs."""

    voltage_v: float
    label: str


@dataclass(frozen=True, kw_only=True)
class EnduranceChart:
    """A battery alone over time: its bus voltage and how much charge is left (parts of one)."""

    time_s: tuple[float, ...]
    voltage_v: tuple[float, ...]
    charge_fraction: tuple[float, ...]
    sheds: tuple[Shed, ...] = ()
    minimums: tuple[Minimum, ...] = ()
    ends_s: float | None = None
    """When the battery is counted as empty; None: it outlasts the chart."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """One curve of a flight, a value for each of its moments; NaN leaves a gap."""

    name: str
    values: tuple[float, ...]
    look: int | None = None
    """Colour and dash, by number, so that a thing looks alike in every part; None: by its order."""


@dataclass(frozen=True, kw_only=True)
class PhaseMark:
    """Where a phase begins."""

    label: str
    start_min: float


@dataclass(frozen=True, kw_only=True)
class FlightChart:
    """A flight over time: voltages, currents and the charge of batteries."""

    time_min: tuple[float, ...]
    voltage_v: tuple[Line, ...]
    current_a: tuple[Line, ...]
    charge_percent: tuple[Line, ...]
    phases: tuple[PhaseMark, ...] = ()


def phase_chart(data: PhaseChart) -> str:
    """Bars of the current in each phase, day beside night, against the capacity.

    A bar of a phase without a capacity (cranking) that would dwarf the others is cut short at the
    top, where an arrow and its number say so.
    """
    phases = list(dict.fromkeys(bar.phase for bar in data.bars))
    names = list(dict.fromkeys(part.name for bar in data.bars for part in bar.parts))
    looks = {name: _AREAS[k % len(_AREAS)] for k, name in enumerate(names)}
    top = _top(data)
    paper, (panel,) = panels(
        WIDTH_PT,
        85.0 * PT_PER_MM,
        every=(
            Axes(
                y=(0.0, top),
                y_label="current, A",
                share=1,
                keys=(*_capacity_keys(data, phases), *_area_keys(looks)),
                columns=3,
            ),
        ),
        x=(-0.55, len(phases) - 0.45),
        foot_pt=2 * LINE_PT + 6.0,
    )
    panel.frame((), grid=False, named=False)
    conditions = list(dict.fromkeys(bar.condition for bar in data.bars))
    width = 0.8 / max(1, len(conditions))
    totals = []
    for bar in data.bars:
        shift = (conditions.index(bar.condition) - (len(conditions) - 1) / 2) * width
        x = phases.index(bar.phase) + shift
        here = panel.at(x, 0)[0]
        paper.line([(here, panel.bottom), (here, panel.bottom + 2)], Look())
        paper.text(here, panel.bottom + 1.0 + LINE_PT, bar.condition, anchor="middle")
        _bar(panel, bar, x=x, width=width * 0.86, looks=looks)
        totals.append((x, bar))
    _capacities(panel, data, phases)
    for x, bar in totals:
        _total(panel, bar, x=x)
    for k, phase in enumerate(phases):
        below = panel.bottom + 2 * LINE_PT
        paper.text(panel.at(k, 0)[0], below, phase, anchor="middle")
    return paper.svg()


def endurance_chart(data: EnduranceChart) -> str:
    """Voltage over time above, charge left below, with the moments of shedding numbered."""
    minutes = [time / 60.0 for time in data.time_s]
    notes = [f"{n}   {s.time_s / 60:.0f} min: {s.label}" for n, s in enumerate(data.sheds, start=1)]
    known = [*data.voltage_v, *(minimum.voltage_v for minimum in data.minimums)]
    middle = around(known, 0.12)
    if max(known, default=0.0) - min(known, default=0.0) < 0.5:
        middle = min(known, default=0.0) - 0.06, max(known, default=0.0) + 0.06
    x = 0.0, max([*minutes, 1e-9])
    paper, every = panels(
        WIDTH_PT,
        (105.0 + 5.0 * len(data.sheds)) * PT_PER_MM,
        every=(
            Axes(y=middle, y_label="voltage, V", share=3, head_pt=LINE_PT + 2.0),
            Axes(y=(0.0, 105.0), y_label="charge left, %", share=2),
        ),
        x=x,
        foot_pt=2 * LINE_PT + 8.0,
        notes=notes,
    )
    volts, charge = every
    marks = ticks(x, 9)
    thick = Look(colour=BLUE, width_pt=1.8)
    for panel in every:
        panel.frame(marks, grid=True, named=panel is charge)
    volts.curve(minutes, data.voltage_v, thick)
    charge.curve(minutes, [100 * part for part in data.charge_fraction], thick)
    _name_x(charge, "minutes on the battery alone")
    for number, shed in enumerate(data.sheds, start=1):
        _upright(every, shed.time_s / 60, str(number), dash=(4, 2))
    if data.ends_s is not None:
        _upright(every, data.ends_s / 60, "empty", dash=(1, 1))
    _volt_limits(volts, data)
    return paper.svg()


def flight_chart(data: FlightChart) -> str:
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
    paper, every = panels(
        WIDTH_PT,
        (150.0 + 5.0 * (legend_rows + len(notes))) * PT_PER_MM,
        every=(
            _flight_axes("voltage, V", data.voltage_v, 3),
            _flight_axes(
                "current, A", data.current_a, 3, amps_y if cut is None else (cut, amps_y[1])
            ),
            _flight_axes("charge, %", data.charge_percent, 2, (0.0, 105.0)),
        ),
        x=x,
        foot_pt=2 * LINE_PT + 8.0,
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
            panel.upright(phase.start_min, Look(width_pt=0.6, dash=(4, 2)))
    for number, phase in enumerate(data.phases, start=1):
        here, foot = charge.at(phase.start_min, 2.0)
        beside = 2 + 7 * (number > 1 and _near(data, number))
        paper.text(here + beside, foot, str(number), paper=True)
    if cut is not None:
        _say_cut(amps, data)
    _name_x(charge, "minutes of flight")
    return paper.svg()


_DASHES: tuple[tuple[float, ...], ...] = ((), (5, 2), (1, 1), (7, 2, 1, 2), (3, 1, 1, 1))
_COLOURS = (BLUE, VERMILLION, GREEN, PURPLE, ORANGE, SKY, GREY)


def _flight_look(order: int, line: Line) -> Look:
    number = order if line.look is None else line.look
    return Look(
        colour=_COLOURS[number % len(_COLOURS)], dash=_DASHES[number % len(_DASHES)], width_pt=1.6
    )


def _flight_axes(label: str, lines: tuple[Line, ...], share: float, y: Range | None = None) -> Axes:
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


def _say_cut(amps: Panel, data: FlightChart) -> None:
    """The number of the current that runs out of the picture, where it does."""
    least = min(
        (v, k) for line in data.current_a for k, v in enumerate(line.values) if math.isfinite(v)
    )
    here = amps.at(data.time_min[least[1]], amps.y[0])[0]
    amps.paper.text(here + 6, amps.bottom - 4, f"{least[0]:.0f} A ↓".replace("-", "−"), paper=True)


def _top(data: PhaseChart) -> float:
    """The upper end of the current axis."""
    supplied = {capacity.phase for capacity in data.capacities}
    sizes = [c.current_a for c in data.capacities if c.current_a is not None]
    sizes += [bar.total_a for bar in data.bars if bar.phase in supplied or not supplied]
    return 1.18 * max([*sizes, 1.0])


def _bar(panel: Panel, bar: PhaseBar, *, x: float, width: float, looks: Mapping[str, Fill]) -> None:
    bottom = 0.0
    for part in bar.parts:
        left, high = panel.at(x - width / 2, min(bottom + part.current_a, panel.y[1]))
        right, low = panel.at(x + width / 2, min(bottom, panel.y[1]))
        if low - high > 0.005:
            panel.paper.box(left, high, right - left, low - high, looks[part.name])
        bottom += part.current_a


def _total(panel: Panel, bar: PhaseBar, *, x: float) -> None:
    """The sum above a bar; below its upper end where it is cut short."""
    over = bar.total_a > panel.y[1] * 0.95
    text = f"{bar.total_a:.0f}" if bar.total_a >= 100 else f"{bar.total_a:.1f}"
    lines = ["↑"] * over + [text] + ["+ ?"] * bool(bar.unknown)
    here, above = panel.at(x, panel.y[1] * 0.97 if over else bar.total_a)
    first = above + LINE_PT if over else above - 3.5 - LINE_PT * (len(lines) - 1)
    for number, line in enumerate(lines):
        panel.paper.text(here, first + number * LINE_PT, line, anchor="middle", paper=True)


_DELIVERED = Look(width_pt=2.2)


def _area_keys(looks: Mapping[str, Fill]) -> tuple[Key, ...]:
    return tuple(Key(name=name, look=look) for name, look in looks.items())


def _capacity_keys(data: PhaseChart, phases: Sequence[str]) -> tuple[Key, ...]:
    if not any(c.phase in phases and c.current_a is not None for c in data.capacities):
        return ()
    return (Key(name="what the source delivers", look=_DELIVERED),)


def _capacities(panel: Panel, data: PhaseChart, phases: Sequence[str]) -> None:
    for capacity in data.capacities:
        if capacity.phase not in phases:
            continue
        middle = phases.index(capacity.phase)
        ends = middle - 0.46, middle + 0.46
        if capacity.current_a is None:
            here = panel.at(ends[0], 0)[0]
            panel.paper.text(here, panel.top + LINE_PT, "source: ?", paper=True)
            continue
        panel.level(capacity.current_a, Look(colour="#FFFFFF", width_pt=4.0), ends)
        panel.level(capacity.current_a, _DELIVERED, ends)


def _volt_limits(volts: Panel, data: EnduranceChart) -> None:
    look = Look(colour=VERMILLION, width_pt=1.2, dash=(6, 2))
    for minimum in data.minimums:
        volts.level(minimum.voltage_v, look)
    for minimum in data.minimums:
        _, here = volts.at(volts.x[0], minimum.voltage_v)
        text = f"{minimum.label}, {minimum.voltage_v:g} V"
        volts.paper.text(volts.left + 4, here - 4, text, paper=True)


def _upright(every: Sequence[Panel], x: float, label: str, dash: tuple[float, ...]) -> None:
    """A line through all panels, its name above the first."""
    for panel in every:
        panel.upright(x, Look(width_pt=0.9, dash=dash))
    here = every[0].at(x, 0)[0]
    every[0].paper.text(here, every[0].top - 3, label, anchor="middle", bold=True)


def _name_x(panel: Panel, text: str) -> None:
    """The name of the axis that all panels share, below the last."""
    middle = (panel.left + panel.right) / 2
    panel.paper.text(middle, panel.bottom + 2 * LINE_PT + 4.0, text, anchor="middle")
