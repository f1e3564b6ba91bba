"""How warm the wires get, on the airframe seen from above: a way is as thick as it is warm.

In: places and ways with a temperature each. Out: a `Picture`, or None where nothing has a station.
"""

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from elec.drawings import metrics
from elec.drawings.charts.plot import CAPITAL_MM, DROP_MM, LINE_MM, WIDTH_MM, LineLook, Plot
from elec.drawings.ink import BLACK, GREY, Picture, Point
from elec.drawings.layout.labels import Label, Standing, Thick, stand
from elec.drawings.layout.lanes import Strand, lanes
from elec.drawings.layout.view import Scaled, best_top, fitted
from elec.drawings.map_inputs import Spot3

HIGHEST_MM = 190.0
"""Of the picture; a page holds that with its heading and a sentence."""
MARGIN_MM = (34.0, 14.0)
"""Around the airframe, for texts."""
KEY_MM = 8.0
MARK_MM = 1.0
THIN_MM, THICK_MM = 0.5, 4.0
WRAP_MM = 34.0
WARM = "#2f5f8a"
_STILL = LineLook(colour=GREY, width_mm=0.4, dash=(0.4, 0.8))
_UNKNOWN = LineLook(colour=BLACK, width_mm=0.4, dash=(2.0, 1.0))


class WarmPlace(Struct, frozen=True, kw_only=True):
    """A place of the airframe."""

    id: str
    name: str
    at_m: Spot3


class WarmWay(Struct, frozen=True, kw_only=True):
    """A way between two places, and the warmest conductor on it."""

    id: str
    name: str
    a: str
    b: str
    said: str
    """The temperature, for print."""
    warm_degc: float | None
    """None: no wire on it carries a lasting current, or it is not known which."""
    known: bool = True
    sign: str = ""
    """The sign of the verdict of the finding about it."""


class WarmthMap(Struct, frozen=True, kw_only=True):
    """The airframe with its ways; `cool_degc` to `rated_degc` is thin to thick."""

    places: tuple[WarmPlace, ...]
    ways: tuple[WarmWay, ...]
    cool_degc: float
    rated_degc: float


class WarmthDrawn(Struct, frozen=True, kw_only=True):
    """The picture, and what it could not show."""

    picture: Picture
    seen: str
    """How the airframe lies in it."""
    left_out: tuple[str, ...]
    """Ids of the ways seen end on, or with no room for their text."""


def warmth_map(data: WarmthMap) -> WarmthDrawn | None:
    """The airframe from above, each way as thick as its warmest conductor is warm."""
    if len(data.places) < 2:
        return None
    spots = [place.at_m for place in data.places]
    room = (0.0, KEY_MM, WIDTH_MM, HIGHEST_MM)
    view = best_top(spots, room, MARGIN_MM)
    scaled = fitted(view, spots, room, MARGIN_MM)
    up = max(0.0, scaled.box[1] - MARGIN_MM[1] - KEY_MM)
    marks = {place.id: _moved(scaled, place.at_m, up) for place in data.places}
    plot = Plot(WIDTH_MM, scaled.box[3] + MARGIN_MM[1] - up)
    lines = _lines(data, marks)
    _legend(plot, data)
    for way in data.ways:
        if way.id in lines:
            plot.line(lines[way.id], _look(data, way))
    dots = tuple(dict.fromkeys(marks.values()))
    for x, y in dots:
        plot.area([_around(x, y, k * math.pi / 4) for k in range(8)], BLACK)
    texts = _texts(data, marks, lines)
    clear = MARK_MM + 0.3
    found = stand(
        [text.label for text in texts],
        (0.5, KEY_MM, plot.width - 0.5, plot.height - 0.5),
        marks=[(x - clear, y - clear, x + clear, y + clear) for x, y in dots],
        lines=[
            Thick(ends=ends, half_mm=_look(data, way).width_mm / 2)
            for way in data.ways
            for ends in pairwise(lines.get(way.id, ()))
        ],
    )  # fmt: skip
    for text in texts:
        if text.label.id in found:
            _write(plot, text, found[text.label.id])
    gone = [w.id for w in data.ways if f"way {w.id}" not in found]
    return WarmthDrawn(picture=plot.picture(), seen=view.title, left_out=tuple(gone))


def _around(x: float, y: float, turn: float) -> Point:
    return (x + MARK_MM * math.cos(turn), y + MARK_MM * math.sin(turn))


def _moved(scaled: Scaled, at: Spot3, up: float) -> Point:
    x, y = scaled.place(at)
    return (x, y - up)


def _look(data: WarmthMap, way: WarmWay) -> LineLook:
    if not way.known:
        return _UNKNOWN
    if way.warm_degc is None:
        return _STILL
    return LineLook(colour=WARM, width_mm=_thick(data, way.warm_degc))


def _thick(data: WarmthMap, degc: float) -> float:
    part = (degc - data.cool_degc) / max(1.0, data.rated_degc - data.cool_degc)
    return THIN_MM + (THICK_MM - THIN_MM) * max(0.0, min(1.0, part))


def _lines(data: WarmthMap, marks: Mapping[str, Point]) -> dict[str, tuple[Point, ...]]:
    strands = [
        Strand(id=way.id, a=marks[way.a], b=marks[way.b], width_mm=_look(data, way).width_mm,
               core_mm=_look(data, way).width_mm)
        for way in data.ways
        if way.a in marks and way.b in marks and math.dist(marks[way.a], marks[way.b]) > 2 * MARK_MM
    ]  # fmt: skip
    return dict(lanes(tuple(strands), tuple(dict.fromkeys(marks.values())), MARK_MM))


# --- texts --------------------------------------------------------------------------------------


class _Text(Struct, frozen=True, kw_only=True):
    label: Label
    lines: tuple[str, ...]
    bold: bool


def _texts(
    data: WarmthMap, marks: Mapping[str, Point], lines: Mapping[str, tuple[Point, ...]]
) -> list[_Text]:
    found = []
    for way in data.ways:
        if way.id in lines:
            a, b = max(pairwise(lines[way.id]), key=lambda ends: math.dist(*ends))
            anchors = tuple(
                (a[0] + (b[0] - a[0]) * k, a[1] + (b[1] - a[1]) * k) for k in (0.5, 0.35, 0.65)
            )
            reach = _look(data, way).width_mm / 2
            name = f"{way.sign} {way.name}".strip()
            found.append(_text(f"way {way.id}", name, anchors, reach, last=way.said))
    for at in dict.fromkeys(marks.values()):
        here = [place for place in data.places if marks[place.id] == at]
        text = ", ".join(place.name for place in here)
        found.append(_text(f"place {here[0].id}", text, (at,), MARK_MM))
    return found


def _text(name: str, text: str, anchors: Sequence[Point], reach: float, *, last: str = "") -> _Text:
    """A label; the name of a place is bold, that of a way has a line more."""
    bold = not last
    lines = metrics.wrap(metrics.clean(text), CAPITAL_MM, WRAP_MM, bold) or ("?",)
    lines = (*lines, last) if last else lines
    wide = max(metrics.width_mm(line, CAPITAL_MM, bold) for line in lines)
    high = CAPITAL_MM + DROP_MM + (len(lines) - 1) * LINE_MM
    label = Label(id=name, wide_mm=wide, high_mm=high, anchors=tuple(anchors), reach_mm=reach)
    return _Text(label=label, lines=lines, bold=bold)


def _write(plot: Plot, text: _Text, at: Standing) -> None:
    left, top, _, _ = at.box
    if at.leader is not None:
        plot.line(at.leader, LineLook(colour=GREY, width_mm=0.2))
    for number, line in enumerate(text.lines):
        plot.text(left, top + CAPITAL_MM + number * LINE_MM, line, bold=text.bold)


def _legend(plot: Plot, data: WarmthMap) -> None:
    middle = (data.cool_degc + data.rated_degc) / 2
    known = [
        (f"{degc:.0f} °C", LineLook(colour=WARM, width_mm=_thick(data, degc)))
        for degc in (data.cool_degc, middle, data.rated_degc)
    ]
    x, y = 0.5, 3.2
    for word, look in (*known, ("no lasting current", _STILL), ("cannot tell", _UNKNOWN)):
        plot.line([(x, y), (x + 8.0, y)], look)
        plot.text(x + 9.5, y + CAPITAL_MM / 2, word)
        x += 9.5 + metrics.width_mm(word, CAPITAL_MM) + 6.0
