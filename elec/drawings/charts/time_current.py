"""The time-current chart of one circuit: device, wire, load and short circuit, log by log.

In: `TimeCurrentChart`, plain numbers. Out: a `Picture`; a book has one for every circuit. Lines
differ by dash and width, never by colour alone; what they are stands in a key below, so that no
label lies on a curve.
"""

import math
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.charts.plot import LineLook, Plot, PlotPanel
from elec.drawings.ink import BLACK, Picture, Point

Points = Sequence[Point]

WIDTH_MM, PLOT_MM, LEFT_MM, RIGHT_MM, TOP_MM = 95.0, 48.0, 12.2, 2.6, 4.2
"""A phone's width, or half a printed page."""
KEY_LINE_MM, CAPITAL_MM = 3.7, 2.1
SHORTEST_S, LONGEST_S = 0.01, 7200.0
LANE_MM = 4.8
"""Height below the shortest time in which the short-circuit currents are drawn."""
TIMES = ((0.01, "10 ms"), (0.1, "0.1 s"), (1.0, "1 s"), (10.0, "10 s"), (60.0, "1 min"),
         (600.0, "10 min"), (3600.0, "1 h"))  # fmt: skip
WIRE, DEVICE, FAULT = "#9c3a00", "#0b4a7a", BLACK
BAND = "#d9e3ec"
LOOKS: Mapping[str, LineLook] = {
    "slowest": LineLook(colour=DEVICE, width_mm=0.6),
    "quickest": LineLook(colour=DEVICE, width_mm=0.3, dash=(0.5, 0.5)),
    "wire": LineLook(colour=WIRE, width_mm=0.64, dash=(2.1, 0.8)),
    "load": LineLook(colour=FAULT, width_mm=0.37, dash=(2.6, 0.8, 0.5, 0.8)),
    "beyond": LineLook(colour=DEVICE, width_mm=0.26, dash=(0.26, 1.1)),
    "fault": LineLook(colour=FAULT, width_mm=1.3),
}
_PALE = LineLook(colour="#d0d0d0", width_mm=0.13)
_CROSS = LineLook(colour=FAULT, width_mm=0.5)
_EDGE = LineLook(colour=FAULT, width_mm=0.26)


class TimeCurrentChart(Struct, frozen=True, kw_only=True):
    """What one chart shows; empty or None where nothing is known."""

    device: str
    """`5 A breaker, class thermal`."""
    wire: str
    """`AWG 20, damaged at 230 °C`."""
    slowest: Points = ()
    quickest: Points = ()
    beyond: tuple[Points, ...] = ()
    """What is counted beyond the ends of the published curves."""
    damage: Points = ()
    load_a: float | None = None
    inrush: tuple[float, float] | None = None
    """Current and time."""
    least_a: float | None = None
    greatest_a: float | None = None


def time_current_chart(data: TimeCurrentChart) -> Picture:
    """The chart, in a picture as high as its key asks for."""
    bottom = TOP_MM + PLOT_MM
    keys = [line for key in _keys(data) for line in _wrapped(*key)]
    plot = Plot(WIDTH_MM, bottom + 9.5 + KEY_LINE_MM * len(keys), CAPITAL_MM)
    panel = PlotPanel(
        plot,
        (LEFT_MM, TOP_MM, WIDTH_MM - RIGHT_MM, bottom - LANE_MM),
        _range(data),
        (SHORTEST_S, LONGEST_S),
        log=True,
    )
    _grid(panel, bottom)
    _band(panel, data)
    _curves(panel, data)
    _marks(panel, data)
    _key_lines(plot, keys, bottom + 11.1)
    return plot.picture()


def _range(data: TimeCurrentChart) -> tuple[float, float]:
    """The limits of the currents: all that is known, and a decade at least."""
    found = [a for curve in (data.slowest, data.quickest, data.damage) for a, _ in curve]
    given = (data.load_a, data.least_a, data.greatest_a, data.inrush[0] if data.inrush else None)
    known = [a for a in (*found, *given) if a is not None and a > 0]
    least = min(known, default=1.0) / 1.6
    return least, max(max(known, default=10.0) * 1.25, 10 * least)


# --- ink --------------------------------------------------------------------------------------


def _grid(panel: PlotPanel, bottom: float) -> None:
    plot, (least, greatest) = panel.plot, panel.x
    for decade in range(math.floor(math.log10(least)), math.ceil(math.log10(greatest))):
        for digit in (1, 2, 5):
            amps = digit * 10.0**decade
            if least < amps < greatest:
                x, _ = panel.at(amps, SHORTEST_S)
                plot.line(((x, panel.top), (x, bottom)), _PALE)
                room = panel.left + 2.1 < x < panel.right - 2.1
                if room and (digit == 1 or greatest / least < 300):
                    plot.text(x, bottom + 3.4, f"{amps:g}", align="center")
    for seconds, words in TIMES:
        panel.level(seconds, _PALE)
        _, y = panel.at(least, seconds)
        plot.text(panel.left - 1.1, y + CAPITAL_MM / 2, words, align="right")
    left, top, right = panel.left, panel.top, panel.right
    plot.line(((left, top), (right, top), (right, bottom), (left, bottom), (left, top)), _EDGE)
    plot.text(right, bottom + 6.9, "current, A", align="right")
    plot.text(left, top - 1.3, "time")


def _band(panel: PlotPanel, data: TimeCurrentChart) -> None:
    """Between the quickest and the slowest the device may open or not."""
    quick, slow = (
        [at for part in panel.cut(points) for at in part]
        for points in (data.quickest, data.slowest)
    )
    if len(quick) > 1 and len(slow) > 1:
        panel.plot.area([*quick, *reversed(slow)], BAND)


def _curves(panel: PlotPanel, data: TimeCurrentChart) -> None:
    for kind, points in (
        ("quickest", data.quickest),
        ("slowest", data.slowest),
        *(("beyond", points) for points in data.beyond),
        ("wire", data.damage),
    ):
        for part in panel.cut(points):
            panel.plot.line(part, LOOKS[kind])


def _marks(panel: PlotPanel, data: TimeCurrentChart) -> None:
    if data.load_a:
        panel.upright(data.load_a, LOOKS["load"])
    if data.inrush is not None:
        amps, seconds = data.inrush
        _cross(panel.plot, panel.at(amps, min(max(seconds, SHORTEST_S), LONGEST_S)))
    if data.least_a and data.greatest_a:
        _faults(panel, data.least_a, data.greatest_a)


def _cross(plot: Plot, at: Point) -> None:
    x, y = at
    plot.line(((x - 1.3, y - 1.3), (x + 1.3, y + 1.3)), _CROSS)
    plot.line(((x - 1.3, y + 1.3), (x + 1.3, y - 1.3)), _CROSS)


def _faults(panel: PlotPanel, least: float, greatest: float) -> None:
    """The currents that a short circuit may have, as a bar below the times."""
    y = panel.bottom + LANE_MM / 2
    left, right = sorted(panel.at(amps, SHORTEST_S)[0] for amps in (least, greatest))
    panel.plot.line(((left, y), (max(right, left + 0.3), y)), LOOKS["fault"])
    for x in (left, right):
        panel.plot.line(((x, y - 1.6), (x, y + 1.6)), LineLook(colour=FAULT, width_mm=0.37))


# --- key --------------------------------------------------------------------------------------


def _keys(data: TimeCurrentChart) -> Iterator[tuple[str, str]]:
    if data.slowest:
        yield "slowest", f"{data.device}: open by then"
    if data.quickest:
        yield "quickest", "before this it stays closed"
    if data.beyond:
        yield "beyond", "counted beyond its published curve"
    if not data.slowest and not data.quickest:
        yield "", f"{data.device}: no curve known"
    if data.damage:
        yield "wire", f"wire {data.wire}"
    if data.load_a:
        yield "load", f"load {_amps(data.load_a)}"
    if data.inrush is not None:
        amps, seconds = data.inrush
        yield "inrush", f"inrush {_amps(amps)} for {_time(seconds)}"
    if data.least_a and data.greatest_a:
        yield "fault", f"short circuit {_amps(data.least_a)} to {_amps(data.greatest_a)}"
    else:
        yield "", "short-circuit current not known"


def _wrapped(kind: str, words: str) -> Iterator[tuple[str, str]]:
    """A key in as many lines as the width asks for; the sample stands before the first."""
    lines = metrics.wrap(metrics.clean(words), CAPITAL_MM, WIDTH_MM - LEFT_MM - 0.5)
    for number, line in enumerate(lines):
        yield "" if number else kind, line


def _amps(value: float) -> str:
    return f"{value:.0f} A" if value >= 20 else f"{value:.2g} A" if value < 1 else f"{value:.3g} A"


def _time(seconds: float) -> str:
    return f"{1000 * seconds:.0f} ms" if seconds < 1 else f"{seconds:.3g} s"


def _key_lines(plot: Plot, keys: Sequence[tuple[str, str]], top: float) -> None:
    for row, (kind, words) in enumerate(keys):
        y = top + row * KEY_LINE_MM
        if kind in LOOKS:
            middle = y - CAPITAL_MM / 2
            plot.line(((LEFT_MM - 9.5, middle), (LEFT_MM - 1.6, middle)), LOOKS[kind])
        elif kind == "inrush":
            _cross(plot, (LEFT_MM - 5.6, y - CAPITAL_MM / 2))
        plot.text(LEFT_MM, y, words)
