"""The current of each phase as bars, day beside night, against what the sources deliver."""

from collections.abc import Mapping, Sequence

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
    Fill,
    Key,
    LineLook,
    PlotPanel,
    panels,
)
from elec.drawings.ink import WHITE, Picture

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


class Layer(Struct, frozen=True, kw_only=True):
    """One layer of a bar: what a bus or a group of loads draws."""

    name: str
    current_a: float


class PhaseBar(Struct, frozen=True, kw_only=True):
    """What is drawn in one phase under one condition."""

    phase: str
    condition: str
    parts: tuple[Layer, ...]
    unknown: int = 0
    """How many loads that are on have no known current; the total then prints as `12.3 + ?`."""

    @property
    def total_a(self) -> float:
        """The sum of what is known."""
        return sum(part.current_a for part in self.parts)


class CapacityLine(Struct, frozen=True, kw_only=True):
    """What the sources other than the battery deliver in one phase; None: not known."""

    phase: str
    current_a: float | None


class PhaseChart(Struct, frozen=True, kw_only=True):
    """Current by phase against what the source delivers.

    A phase that has no entry in `capacities` has no source but the battery.
    """

    bars: tuple[PhaseBar, ...]
    capacities: tuple[CapacityLine, ...] = ()


def phase_chart(data: PhaseChart) -> Picture:
    """Bars of the current in each phase, day beside night, against the capacity.

    A bar of a phase without a capacity (cranking) that would dwarf the others is cut short at the
    top, where an arrow and its number say so.
    """
    phases = list(dict.fromkeys(bar.phase for bar in data.bars))
    names = list(dict.fromkeys(part.name for bar in data.bars for part in bar.parts))
    looks = {name: _AREAS[k % len(_AREAS)] for k, name in enumerate(names)}
    top = _top(data)
    plot, (panel,) = panels(
        WIDTH_MM,
        85.0,
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
        foot_mm=2 * LINE_MM + 2.1,
    )
    panel.frame((), grid=False, named=False)
    conditions = list(dict.fromkeys(bar.condition for bar in data.bars))
    width = 0.8 / max(1, len(conditions))
    totals = []
    for bar in data.bars:
        shift = (conditions.index(bar.condition) - (len(conditions) - 1) / 2) * width
        x = phases.index(bar.phase) + shift
        here = panel.at(x, 0)[0]
        plot.line([(here, panel.bottom), (here, panel.bottom + 0.7)], LineLook())
        plot.text(here, panel.bottom + 0.4 + LINE_MM, bar.condition, align="center")
        _bar(panel, bar, x=x, width=width * 0.86, looks=looks)
        totals.append((x, bar))
    _capacities(panel, data, phases)
    for x, bar in totals:
        _total(panel, bar, x=x)
    for k, phase in enumerate(phases):
        below = panel.bottom + 2 * LINE_MM
        plot.text(panel.at(k, 0)[0], below, phase, align="center")
    return plot.picture()


def _top(data: PhaseChart) -> float:
    """The upper end of the current axis."""
    supplied = {capacity.phase for capacity in data.capacities}
    sizes = [c.current_a for c in data.capacities if c.current_a is not None]
    sizes += [bar.total_a for bar in data.bars if bar.phase in supplied or not supplied]
    return 1.18 * max([*sizes, 1.0])


def _bar(
    panel: PlotPanel, bar: PhaseBar, *, x: float, width: float, looks: Mapping[str, Fill]
) -> None:
    bottom = 0.0
    for part in bar.parts:
        left, high = panel.at(x - width / 2, min(bottom + part.current_a, panel.y[1]))
        right, low = panel.at(x + width / 2, min(bottom, panel.y[1]))
        if low - high > 0.002:
            panel.plot.box((left, high, right, low), looks[part.name])
        bottom += part.current_a


def _total(panel: PlotPanel, bar: PhaseBar, *, x: float) -> None:
    """The sum above a bar; below its upper end where it is cut short."""
    over = bar.total_a > panel.y[1] * 0.95
    text = f"{bar.total_a:.0f}" if bar.total_a >= 100 else f"{bar.total_a:.1f}"
    lines = ["↑"] * over + [text] + ["+ ?"] * bool(bar.unknown)
    here, above = panel.at(x, panel.y[1] * 0.97 if over else bar.total_a)
    first = above + LINE_MM if over else above - 1.2 - LINE_MM * (len(lines) - 1)
    for number, line in enumerate(lines):
        panel.plot.text(here, first + number * LINE_MM, line, align="center", paper=True)


_DELIVERED = LineLook(width_mm=0.78)


def _area_keys(looks: Mapping[str, Fill]) -> tuple[Key, ...]:
    return tuple(Key(name=name, look=look) for name, look in looks.items())


def _capacity_keys(data: PhaseChart, phases: Sequence[str]) -> tuple[Key, ...]:
    if not any(c.phase in phases and c.current_a is not None for c in data.capacities):
        return ()
    return (Key(name="what the source delivers", look=_DELIVERED),)


def _capacities(panel: PlotPanel, data: PhaseChart, phases: Sequence[str]) -> None:
    for capacity in data.capacities:
        if capacity.phase not in phases:
            continue
        middle = phases.index(capacity.phase)
        ends = middle - 0.46, middle + 0.46
        if capacity.current_a is None:
            here = panel.at(ends[0], 0)[0]
            panel.plot.text(here, panel.top + LINE_MM, "source: ?", paper=True)
            continue
        panel.level(capacity.current_a, LineLook(colour=WHITE, width_mm=1.4), ends)
        panel.level(capacity.current_a, _DELIVERED, ends)
