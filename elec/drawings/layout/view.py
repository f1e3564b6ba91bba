"""Views of an airframe on paper: which way it is turned, its scale, its bar and its ticks."""

import math
from collections.abc import Callable, Sequence

from msgspec import Struct

from elec.drawings.ink import Box, Point
from elec.drawings.map_inputs import Spot3

SCALES = (
    1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 22, 25, 28, 30, 32, 35, 40, 45, 50, 55, 60,
    70, 80, 90, 100, 120, 150, 200, 250, 300, 400, 500, 1000, 2000, 5000, 10000, 100000,
)  # fmt: skip
"""Denominators of a scale, the largest picture first."""
INCH_M = 0.0254
FOOT_M = 0.3048


class Axis(Struct, frozen=True, kw_only=True):
    """What runs along one edge of a view: its name, and its part of a spot."""

    name: str
    part: int
    sign: int = 1


class View(Struct, frozen=True, kw_only=True):
    """How an airframe is looked at: what runs to the right and what runs down."""

    id: str
    title: str
    right: Axis
    down: Axis

    def flat(self, spot: Spot3) -> Point:
        """A spot seen so, m."""
        return (
            self.right.sign * spot[self.right.part],
            self.down.sign * spot[self.down.part],
        )


STATION = Axis(name="station", part=0)
RIGHT = Axis(name="buttline", part=1)
LEFT = Axis(name="buttline", part=1, sign=-1)
UP = Axis(name="waterline", part=2, sign=-1)
TOP_NOSE_UP = View(id="top", title="From above, nose up", right=RIGHT, down=STATION)
TOP_NOSE_LEFT = View(id="top", title="From above, nose to the left", right=STATION, down=LEFT)
SIDE = View(id="side", title="From the left", right=STATION, down=UP)
BACK = View(id="back", title="From behind", right=RIGHT, down=UP)


class Scaled(Struct, frozen=True, kw_only=True):
    """A view on paper."""

    view: View
    scale: float
    """Its denominator."""
    box: Box
    """What the spots take up on the sheet, mm."""
    place: Callable[[Spot3], Point]


def fitted(
    view: View, spots: Sequence[Spot3], room: Box, margin: Point, least: float = 0.0
) -> Scaled:
    """A view at the largest scale that leaves a margin on both sides, in the middle of a room.

    No larger than 1 to `least`.
    """
    flat = [view.flat(spot) for spot in spots]
    (x0, x1), (y0, y1) = [(min(c), max(c)) for c in zip(*flat, strict=True)]
    wide = max(10.0, room[2] - room[0] - 2 * margin[0])
    high = max(10.0, room[3] - room[1] - 2 * margin[1])
    need = max((x1 - x0) * 1000 / wide, (y1 - y0) * 1000 / high, least)
    scale = next((s for s in SCALES if s >= need - 1e-9), need)
    factor = 1000 / scale
    left = (room[0] + room[2]) / 2 - (x0 + x1) / 2 * factor
    top = (room[1] + room[3]) / 2 - (y0 + y1) / 2 * factor

    def place(spot: Spot3) -> Point:
        x, y = view.flat(spot)
        return (left + x * factor, top + y * factor)

    box = (left + x0 * factor, top + y0 * factor, left + x1 * factor, top + y1 * factor)
    return Scaled(view=view, scale=scale, box=box, place=place)


def need_mm(view: View, spots: Sequence[Spot3], scale: float) -> Point:
    """Width and height of a view at a scale, without margins."""
    flat = [view.flat(spot) for spot in spots]
    xs, ys = zip(*flat, strict=True)
    return ((max(xs) - min(xs)) * 1000 / scale, (max(ys) - min(ys)) * 1000 / scale)


def best_top(spots: Sequence[Spot3], room: Box, margin: Point) -> View:
    """The view from above, turned so that it is larger."""
    found = [(fitted(v, spots, room, margin).scale, v) for v in (TOP_NOSE_LEFT, TOP_NOSE_UP)]
    return min(found, key=lambda pair: pair[0])[1]


def nice_step(least: float) -> float:
    """The next 1, 2 or 5 times a power of ten.

    >>> nice_step(13.0), nice_step(0.3)
    (20.0, 0.5)
    """
    power = 10.0 ** math.floor(math.log10(least))
    return next(k * power for k in (1.0, 2.0, 5.0, 10.0) if k * power >= least * (1 - 1e-9))


def ticks(low_m: float, high_m: float, unit_m: float, least_m: float) -> list[tuple[float, str]]:
    """Round values of an axis in a unit: where they are in m, and their text."""
    step = nice_step(least_m / unit_m)
    first = math.ceil(low_m / unit_m / step - 1e-6)
    last = math.floor(high_m / unit_m / step + 1e-6)
    return [(k * step * unit_m, f"{k * step:.6g}") for k in range(first, last + 1)]


def bar(scale: float, metric: bool) -> tuple[float, str]:
    """The half of a scale bar, about 20 mm: its length on paper in mm, and the text of the whole.

    >>> bar(30, True)[1], bar(30, False)[1]
    ('1 m', '4 ft')
    """
    unit_m, name = (1.0, "m") if metric else (FOOT_M, "ft")
    half = nice_step(14.0 * scale / 1000 / unit_m)
    return (half * unit_m * 1000 / scale, f"{2 * half:.6g} {name}")
