"""Charts of loads, endurance and flights as SVG text, equal bytes for equal numbers.

In: the small records of this module. Out: SVG 180 mm wide, which is the text width of A4 less its
binding edge; its lettering is 9 pt and black. Areas differ by hatch and lines by dash as well as
by colour, so that a grey print says the same. Colours are those of Okabe and Ito (2008).

matplotlib is slow to load, so it is imported where a chart is drawn and nowhere else.
"""

import io
import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from elec.record import dataclass

WIDTH_MM = 180.0
_MM_PER_INCH = 25.4
_TEXT_PT = 9.0

BLUE, VERMILLION, GREEN = "#0072B2", "#D55E00", "#009E73"
ORANGE, SKY, PURPLE, GREY = "#E69F00", "#56B4E9", "#CC79A7", "#999999"
_AREAS = (
    (BLUE, ""),
    (ORANGE, "//"),
    (GREEN, "||"),
    (SKY, "\\\\"),
    (PURPLE, "xx"),
    (GREY, "--"),
    (VERMILLION, "++"),
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

    A phase that has no entry in `capacities` has no source but the battery. `share` is the part of
    the capacity that may be used all the time; None draws no line.
    """

    bars: tuple[PhaseBar, ...]
    capacities: tuple[Capacity, ...] = ()
    share: float | None = None


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
    return _drawn(_phases, data)


def _phases(data: PhaseChart) -> Any:
    phases = list(dict.fromkeys(bar.phase for bar in data.bars))
    figure, (axes,) = _figure(height_mm=85.0, rows=(1,))
    top = _top(data)
    axes.set_ylim(0, top)
    names = list(dict.fromkeys(part.name for bar in data.bars for part in bar.parts))
    looks = {name: _AREAS[k % len(_AREAS)] for k, name in enumerate(names)}
    conditions = list(dict.fromkeys(bar.condition for bar in data.bars))
    width = 0.8 / max(1, len(conditions))
    ticks = []
    for bar in data.bars:
        shift = (conditions.index(bar.condition) - (len(conditions) - 1) / 2) * width
        x = phases.index(bar.phase) + shift
        ticks.append((x, bar.condition))
        _bar(axes, bar, x=x, width=width * 0.86, looks=looks, top=top)
    _capacities(axes, data, phases)
    _phase_axis(axes, phases, ticks)
    axes.set_ylabel("current, A")
    _legend(axes, columns=3)
    return figure


def endurance_chart(data: EnduranceChart) -> str:
    """Voltage over time above, charge left below, with the moments of shedding numbered."""
    return _drawn(_endurance, data)


def _endurance(data: EnduranceChart) -> Any:
    figure, (volts, charge) = _figure(height_mm=105.0 + 5.0 * len(data.sheds), rows=(3, 2))
    minutes = [time / 60.0 for time in data.time_s]
    volts.plot(minutes, data.voltage_v, color=BLUE, linewidth=1.8, label="bus voltage")
    charge.plot(minutes, [100 * part for part in data.charge_fraction], color=BLUE, linewidth=1.8)
    _volt_limits(volts, data)
    volts.set_ylabel("voltage, V")
    charge.set_ylabel("charge left, %")
    charge.set_ylim(0, 105)
    charge.set_xlabel("minutes on the battery alone")
    volts.tick_params(labelbottom=False)
    last = max([*minutes, 1e-9])
    for axes in (volts, charge):
        axes.set_xlim(0, last)
        axes.grid(color="#CCCCCC", linewidth=0.5)
        for number, shed in enumerate(data.sheds, start=1):
            _upright(axes, shed.time_s / 60, str(number) if axes is volts else "", dash=(4, 2))
        if data.ends_s is not None:
            _upright(axes, data.ends_s / 60, "empty" if axes is volts else "", dash=(1, 1))
    notes = [f"{n}   {s.time_s / 60:.0f} min: {s.label}" for n, s in enumerate(data.sheds, start=1)]
    if notes:
        figure.supxlabel("\n".join(notes), x=0.08, ha="left", fontsize=_TEXT_PT)
    return figure


def flight_chart(data: FlightChart) -> str:
    """Voltage, current and charge below one another; phases are numbered above and named below.

    A current of the start that would dwarf all others runs out of the picture; its number stands
    where it does.
    """
    return _drawn(_flight, data)


_DASHES: tuple[Any, ...] = ("-", (0, (5, 2)), (0, (1, 1)), (0, (7, 2, 1, 2)), (0, (3, 1, 1, 1)))
_COLOURS = (BLUE, VERMILLION, GREEN, PURPLE, ORANGE, SKY, GREY)


def _flight(data: FlightChart) -> Any:
    legend_rows = sum(-(-len(lines) // 4) for lines in (data.voltage_v, data.current_a))
    notes = -(-len(data.phases) // 3)
    figure, every = _figure(height_mm=150.0 + 5.0 * (legend_rows + notes), rows=(3, 3, 2))
    lines = (data.voltage_v, data.current_a, data.charge_percent)
    for axes, some in zip(every, lines, strict=True):
        for order, line in enumerate(some):
            number = order if line.look is None else line.look
            axes.plot(
                data.time_min,
                line.values,
                color=_COLOURS[number % len(_COLOURS)],
                linestyle=_DASHES[number % len(_DASHES)],
                linewidth=1.6,
                label=line.name,
            )
        axes.grid(color="#CCCCCC", linewidth=0.5)
        if len(some) > 1:
            _legend(axes, columns=4)
    volts, amps, charge = every
    _cut_currents(amps, data)
    volts.set_ylabel("voltage, V")
    amps.set_ylabel("current, A")
    charge.set_ylabel("charge, %")
    charge.set_ylim(0, 105)
    charge.set_xlabel("minutes of flight")
    charge.set_xlim(data.time_min[0], data.time_min[-1])
    for axes in (volts, amps):
        axes.tick_params(labelbottom=False)
    for number, phase in enumerate(data.phases, start=1):
        for axes in every:
            axes.axvline(phase.start_min, color="black", linewidth=0.6, linestyle=(0, (4, 2)))
        charge.annotate(
            str(number),
            (phase.start_min, 2),
            xytext=(2 + 7 * (number > 1 and _near(data, number)), 0),
            textcoords="offset points",
            bbox=_PAPER,
        )
    texts = [
        f"{n}  {phase.label} from {phase.start_min:.0f} min"
        for n, phase in enumerate(data.phases, 1)
    ]
    rows = [" · ".join(texts[k : k + 3]) for k in range(0, len(texts), 3)]
    figure.supxlabel("\n".join(rows), x=0.08, ha="left", fontsize=_TEXT_PT)
    return figure


def _near(data: FlightChart, number: int) -> bool:
    """Whether a phase begins so soon after the one before that their numbers would touch."""
    whole = data.time_min[-1] - data.time_min[0]
    gap = data.phases[number - 1].start_min - data.phases[number - 2].start_min
    return gap < 0.02 * whole


def _cut_currents(axes: Any, data: FlightChart) -> None:
    """Let the start's current run out of the picture where it would dwarf the rest."""
    known = sorted(v for line in data.current_a for v in line.values if math.isfinite(v))
    if len(known) < 20:
        return
    usual = known[len(known) // 8]
    if known[0] > 3 * min(usual, -1.0):
        return
    bottom = 1.3 * min(usual, -1.0)
    axes.set_ylim(bottom, None)
    least = min(data.current_a, key=lambda line: min(line.values))
    at = data.time_min[least.values.index(known[0])]
    axes.annotate(
        f"{known[0]:.0f} A ↓".replace("-", "−"),
        (at, bottom),
        xytext=(6, 3),
        textcoords="offset points",
        bbox=_PAPER,
        zorder=5,
    )


def _figure(*, height_mm: float, rows: Sequence[int]) -> tuple[Any, list[Any]]:
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    size = (WIDTH_MM / _MM_PER_INCH, height_mm / _MM_PER_INCH)
    figure = Figure(figsize=size, layout="constrained")
    FigureCanvasSVG(figure)
    grid = figure.add_gridspec(len(rows), 1, height_ratios=rows)
    axes = [figure.add_subplot(grid[0])]
    axes += [figure.add_subplot(grid[k], sharex=axes[0]) for k in range(1, len(rows))]
    for one in axes:
        one.tick_params(labelsize=_TEXT_PT, direction="out")
        one.xaxis.label.set_fontsize(_TEXT_PT)
        one.yaxis.label.set_fontsize(_TEXT_PT)
        one.spines[["top", "right"]].set_visible(False)
    return figure, axes


def _top(data: PhaseChart) -> float:
    """The upper end of the current axis."""
    supplied = {capacity.phase for capacity in data.capacities}
    sizes = [c.current_a for c in data.capacities if c.current_a is not None]
    sizes += [bar.total_a for bar in data.bars if bar.phase in supplied or not supplied]
    return 1.18 * max([*sizes, 1.0])


def _bar(
    axes: Any,
    bar: PhaseBar,
    *,
    x: float,
    width: float,
    looks: Mapping[str, tuple[str, str]],
    top: float,
) -> None:
    bottom = 0.0
    for part in bar.parts:
        colour, hatch = looks[part.name]
        known = part.name in axes.get_legend_handles_labels()[1]
        axes.bar(
            x,
            part.current_a,
            width,
            bottom=bottom,
            color=colour,
            hatch=hatch,
            edgecolor="black",
            linewidth=0.6,
            label=None if known else part.name,
        )
        bottom += part.current_a
    over = bottom > top * 0.95
    text = f"{bottom:.0f}" if bottom >= 100 else f"{bottom:.1f}"
    lines = ["↑"] * over + [text] + ["+ ?"] * bool(bar.unknown)
    axes.annotate(
        "\n".join(lines),
        (x, top * 0.97 if over else bottom),
        xytext=(0, 2),
        textcoords="offset points",
        ha="center",
        va="top" if over else "bottom",
        bbox=_PAPER,
        zorder=5,
    )


def _capacities(axes: Any, data: PhaseChart, phases: list[str]) -> None:
    named = False
    for capacity in data.capacities:
        if capacity.phase not in phases:
            continue
        left, right = phases.index(capacity.phase) - 0.46, phases.index(capacity.phase) + 0.46
        if capacity.current_a is None:
            axes.annotate("source: ?", (left, 0.97), xycoords=("data", "axes fraction"), va="top")
            continue
        for value in (1.0, data.share):
            if value is not None:
                axes.hlines(capacity.current_a * value, left, right, color="white", linewidth=4.0)
        axes.hlines(
            capacity.current_a,
            left,
            right,
            color="black",
            linewidth=2.2,
            label=None if named else "what the source delivers",
        )
        if data.share is not None:
            axes.hlines(
                capacity.current_a * data.share,
                left,
                right,
                color="black",
                linewidth=1.3,
                linestyle=(0, (4, 2)),
                label=None if named else f"{data.share:.0%} of it".replace("%", " %"),
            )
        named = True


def _phase_axis(axes: Any, phases: list[str], ticks: list[tuple[float, str]]) -> None:
    """The phases in a row, and under each bar its condition."""
    axes.set_xlim(-0.55, len(phases) - 0.45)
    axes.set_xticks(range(len(phases)), phases)
    axes.tick_params(axis="x", which="major", length=0, pad=16)
    axes.set_xticks([x for x, _ in ticks], [text for _, text in ticks], minor=True)
    axes.tick_params(axis="x", which="minor", length=2, labelsize=_TEXT_PT)


def _volt_limits(axes: Any, data: EnduranceChart) -> None:
    for minimum in data.minimums:
        axes.axhline(minimum.voltage_v, color=VERMILLION, linewidth=1.2, linestyle=(0, (6, 2)))
        axes.annotate(
            f"{minimum.label}, {minimum.voltage_v:g} V",
            (0.01, minimum.voltage_v),
            xycoords=("axes fraction", "data"),
            xytext=(0, 2),
            textcoords="offset points",
            va="bottom",
            bbox=_PAPER,
            zorder=5,
        )
    known = [*data.voltage_v, *(minimum.voltage_v for minimum in data.minimums)]
    if known:
        margin = 0.12 * max(max(known) - min(known), 0.5)
        axes.set_ylim(min(known) - margin, max(known) + margin)


def _upright(axes: Any, x: float, label: str, dash: tuple[int, int]) -> None:
    axes.axvline(x, color="black", linewidth=0.9, linestyle=(0, dash))
    if label:
        axes.annotate(
            label,
            (x, 1.0),
            xycoords=("data", "axes fraction"),
            xytext=(0, 2),
            textcoords="offset points",
            ha="center",
            va="bottom",
            fontweight="bold",
        )


def _legend(axes: Any, columns: int) -> None:
    handles, labels = axes.get_legend_handles_labels()
    if handles:
        axes.legend(
            handles,
            labels,
            ncols=columns,
            loc="lower left",
            bbox_to_anchor=(0, 1.01),
            frameon=False,
            fontsize=_TEXT_PT,
            handlelength=2.6,
            borderaxespad=0.2,
        )


_STYLE: Any = {
    "svg.fonttype": "none",
    "svg.hashsalt": "elec",
    "font.family": "DejaVu Sans",
    "font.size": _TEXT_PT,
    "hatch.linewidth": 0.6,
    "axes.labelcolor": "black",
    "text.parse_math": False,
    "path.simplify_threshold": 0.2,
}


_PAPER: Any = {"facecolor": "white", "edgecolor": "none", "pad": 0.6}
"""White behind a text, so that no line runs through it."""

Data = TypeVar("Data")


def _drawn(draw: Callable[[Data], Any], data: Data) -> str:
    """Draw, then take out what would leak into the page around it or tell versions apart."""
    from matplotlib import rc_context

    held = io.StringIO()
    with rc_context(_STYLE):
        draw(data).savefig(
            held, format="svg", metadata=dict.fromkeys(("Date", "Creator", "Format", "Type"))
        )
    text = held.getvalue()
    text = text[text.index("<svg") :]
    text = re.sub(r"<metadata>.*?</metadata>\s*", "", text, flags=re.DOTALL)
    text = re.sub(r"<!--.*?-->\s*", "", text, flags=re.DOTALL)
    text = re.sub(r"<style[^>]*>.*?</style>\s*", "", text, flags=re.DOTALL)
    text = re.sub(r'<g id="[^"]*"', "<g", text)
    return text.replace("<svg ", '<svg stroke-linejoin="round" stroke-linecap="butt" ', 1)
