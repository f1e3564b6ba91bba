"""The time-current chart of one circuit: device, wire, load and short circuit, log by log.

In: `TimeCurrentChart`, plain numbers. Out: SVG text. Written by hand, a chart in a few
milliseconds: a book has one for every circuit. Lines differ by dash and width, never by colour
alone; what they are stands in a key below, so that no label lies on a curve.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from xml.sax.saxutils import escape

from elec.drawings.metrics import clean, width_em
from elec.drawings.svg import FONTS
from elec.record import dataclass

Points = Sequence[tuple[float, float]]

WIDTH, PLOT_HEIGHT, LEFT, RIGHT, TOP = 360.0, 182.0, 46.0, 10.0, 16.0
KEY_LINE = 14.0
TEXT = 11.0
SHORTEST_S, LONGEST_S = 0.01, 7200.0
LANE = 18.0
"""Height below the shortest time in which the short-circuit currents are drawn."""
TIMES = ((0.01, "10 ms"), (0.1, "0.1 s"), (1.0, "1 s"), (10.0, "10 s"), (60.0, "1 min"),
         (600.0, "10 min"), (3600.0, "1 h"))  # fmt: skip
WIRE, DEVICE, FAULT = "#9c3a00", "#0b4a7a", "#000000"
BAND = "#d9e3ec"


@dataclass(frozen=True, kw_only=True)
class TimeCurrentChart:
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
    description: str = ""


@dataclass(frozen=True, kw_only=True)
class _Axes:
    """Where amperes and seconds lie on the paper."""

    least: float
    greatest: float

    def x(self, amps: float) -> float:
        part = math.log(amps / self.least) / math.log(self.greatest / self.least)
        return LEFT + part * (WIDTH - LEFT - RIGHT)

    def y(self, seconds: float) -> float:
        part = math.log(LONGEST_S / seconds) / math.log(LONGEST_S / SHORTEST_S)
        return TOP + part * (PLOT_HEIGHT - LANE)

    @property
    def bottom(self) -> float:
        return TOP + PLOT_HEIGHT


def time_current_chart(data: TimeCurrentChart) -> str:
    """The chart as SVG, 360 units wide: a phone's width, or half a printed page."""
    axes = _Axes(least=_least(data), greatest=_greatest(data))
    keys = [line for key in _keys(data) for line in _wrapped(*key)]
    height = axes.bottom + 34 + KEY_LINE * len(keys) + 2
    ink = [
        *_grid(axes),
        *_band(axes, data),
        *_curves(axes, data),
        *_marks(axes, data),
        *_key_lines(keys, axes.bottom + 42),
    ]
    label = escape(clean(data.description or data.device), {'"': "&quot;"})
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH:g}" height="{height:g}" '
        f'viewBox="0 0 {WIDTH:g} {height:g}" role="img" aria-label="{label}" fill="none" '
        f'font-family="{escape(FONTS)}" font-size="{TEXT:g}">' + "".join(ink) + "</svg>"
    )


# --- range ------------------------------------------------------------------------------------


def _currents(data: TimeCurrentChart) -> list[float]:
    found = [a for curve in (data.slowest, data.quickest, data.damage) for a, _ in curve]
    given = (data.load_a, data.least_a, data.greatest_a, data.inrush[0] if data.inrush else None)
    return [a for a in (*found, *given) if a is not None and a > 0]


def _least(data: TimeCurrentChart) -> float:
    return min(_currents(data), default=1.0) / 1.6


def _greatest(data: TimeCurrentChart) -> float:
    return max(max(_currents(data), default=10.0) * 1.25, 10 * _least(data))


# --- ink --------------------------------------------------------------------------------------


def _n(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")


def _text(at: tuple[float, float], words: str, *, anchor: str = "start", bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{_n(at[0])}" y="{_n(at[1])}" text-anchor="{anchor}" fill="#000000"{weight}>'
        f"{escape(clean(words))}</text>"
    )


def _line(a: tuple[float, float], b: tuple[float, float], style: str) -> str:
    return f'<path d="M{_n(a[0])} {_n(a[1])}L{_n(b[0])} {_n(b[1])}" {style}/>'


def _style(colour: str, width: float, dash: str = "") -> str:
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return f'stroke="{colour}" stroke-width="{_n(width)}"{dashes}'


STYLES = {
    "slowest": _style(DEVICE, 2.2),
    "quickest": _style(DEVICE, 1.2, "2 2"),
    "wire": _style(WIRE, 2.4, "8 3"),
    "load": _style(FAULT, 1.4, "10 3 2 3"),
    "beyond": _style(DEVICE, 1, "1 4"),
}


def _grid(axes: _Axes) -> Iterator[str]:
    pale, right = 'stroke="#d0d0d0" stroke-width="0.5"', WIDTH - RIGHT
    for decade in range(math.floor(math.log10(axes.least)), math.ceil(math.log10(axes.greatest))):
        for digit in (1, 2, 5):
            amps = digit * 10.0**decade
            if axes.least < amps < axes.greatest:
                x = axes.x(amps)
                yield _line((x, TOP), (x, axes.bottom), pale)
                room = LEFT + 8 < x < right - 8
                if room and (digit == 1 or axes.greatest / axes.least < 300):
                    yield _text((x, axes.bottom + 13), f"{amps:g}", anchor="middle")
    for seconds, words in TIMES:
        y = axes.y(seconds)
        yield _line((LEFT, y), (right, y), pale)
        yield _text((LEFT - 4, y + 4), words, anchor="end")
    edge = f'stroke="{FAULT}" stroke-width="1"'
    yield (
        f'<path d="M{_n(LEFT)} {_n(TOP)}L{_n(right)} {_n(TOP)}L{_n(right)} {_n(axes.bottom)}'
        f'L{_n(LEFT)} {_n(axes.bottom)}Z" {edge}/>'
    )
    yield _text((right, axes.bottom + 26), "current, A", anchor="end")
    yield _text((LEFT, TOP - 5), "time", anchor="start")


def _placed(axes: _Axes, points: Points) -> list[tuple[float, float]]:
    """Points of a curve on the paper, cut off at the longest and the shortest time."""
    found: list[tuple[float, float]] = []
    for (a1, t1), (a2, t2) in pairwise(points):
        for amps, seconds in _cut(a1, t1, a2, t2):
            spot = (axes.x(amps), axes.y(seconds))
            if not found or spot != found[-1]:
                found.append(spot)
    return found


def _cut(a1: float, t1: float, a2: float, t2: float) -> list[tuple[float, float]]:
    """The part of a straight piece (on log-log paper) between the shortest and longest time."""
    low, high = math.log(SHORTEST_S), math.log(LONGEST_S)
    x1, y1, x2, y2 = (math.log(v) for v in (a1, t1, a2, t2))
    if max(y1, y2) < low or min(y1, y2) > high:
        return []
    ends = []
    for x, y in ((x1, y1), (x2, y2)):
        held = min(max(y, low), high)
        moved = (held - y) * (x2 - x1) / (y2 - y1) if held != y else 0.0
        ends.append((math.exp(x + moved), math.exp(held)))
    return ends


def _path(spots: Sequence[tuple[float, float]], style: str, *, closed: bool = False) -> str:
    data = "L".join(f"{_n(x)} {_n(y)}" for x, y in spots)
    return f'<path d="M{data}{"Z" if closed else ""}" {style}/>'


def _band(axes: _Axes, data: TimeCurrentChart) -> Iterator[str]:
    """Between the quickest and the slowest the device may open or not."""
    quick, slow = _placed(axes, data.quickest), _placed(axes, data.slowest)
    if len(quick) > 1 and len(slow) > 1:
        yield _path([*quick, *reversed(slow)], f'fill="{BAND}"', closed=True)


def _curves(axes: _Axes, data: TimeCurrentChart) -> Iterator[str]:
    for kind, points in (
        ("quickest", data.quickest),
        ("slowest", data.slowest),
        *(("beyond", points) for points in data.beyond),
        ("wire", data.damage),
    ):
        spots = _placed(axes, points)
        if len(spots) > 1:
            yield _path(spots, STYLES[kind])


def _marks(axes: _Axes, data: TimeCurrentChart) -> Iterator[str]:
    if data.load_a:
        x = axes.x(data.load_a)
        yield _line((x, TOP), (x, axes.bottom - LANE), STYLES["load"])
    if data.inrush is not None:
        amps, seconds = data.inrush
        spot = (axes.x(amps), axes.y(min(max(seconds, SHORTEST_S), LONGEST_S)))
        yield _cross(spot)
    if data.least_a and data.greatest_a:
        yield from _range(axes, data.least_a, data.greatest_a)


def _cross(at: tuple[float, float]) -> str:
    x, y = at
    return (
        f'<path d="M{_n(x - 5)} {_n(y - 5)}L{_n(x + 5)} {_n(y + 5)}M{_n(x - 5)} {_n(y + 5)}'
        f'L{_n(x + 5)} {_n(y - 5)}" {_style(FAULT, 2)}/>'
    )


def _range(axes: _Axes, least: float, greatest: float) -> Iterator[str]:
    """The currents that a short circuit may have, as a bar below the times."""
    y = axes.bottom - LANE / 2
    left, right = sorted((axes.x(least), axes.x(greatest)))
    yield _line((left, y), (max(right, left + 1), y), _style(FAULT, 5))
    for x in (left, right):
        yield _line((x, y - 6), (x, y + 6), _style(FAULT, 1.4))


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
    room = (WIDTH - LEFT - 2) / TEXT
    line = ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if line and width_em(longer) > room:
            yield kind, line
            kind, line = "", word
        else:
            line = longer
    yield kind, line


def _amps(value: float) -> str:
    return f"{value:.0f} A" if value >= 20 else f"{value:.2g} A" if value < 1 else f"{value:.3g} A"


def _time(seconds: float) -> str:
    return f"{1000 * seconds:.0f} ms" if seconds < 1 else f"{seconds:.3g} s"


def _key_lines(keys: Sequence[tuple[str, str]], top: float) -> Iterator[str]:
    for row, (kind, words) in enumerate(keys):
        y = top + row * KEY_LINE
        if kind in STYLES:
            yield _line((LEFT - 36, y - 4), (LEFT - 6, y - 4), STYLES[kind])
        elif kind == "inrush":
            yield _cross((LEFT - 21, y - 4))
        elif kind == "fault":
            yield _line((LEFT - 36, y - 4), (LEFT - 6, y - 4), _style(FAULT, 5))
        yield _text((LEFT, y), words)
