"""The symbol table: each symbol by its name, drawn by schemdraw in millimetres.

The look follows IEEE 315 (arc breaker, rectangular fuse, chassis ground) and IEC 60617 where both
agree (resistor, lamp, machine circles); from memory. A symbol lies on a row: its left terminal is
its origin, its right terminal `length_mm` further right. Every sheet prints a legend.
"""

import math
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

from elec.drawings import svg
from elec.record import dataclass

THIN_MM = 0.25
Build = Callable[[], Any]
Points = Sequence[tuple[float, float]]


@dataclass(frozen=True, kw_only=True)
class Shape:
    """Where a symbol reaches from its left terminal, mm, and what the legend calls it."""

    name: str
    title: str
    length_mm: float
    left_mm: float
    right_mm: float
    above_mm: float
    below_mm: float
    letter: str = ""


# --- ink, y up as schemdraw has it -----------------------------------------------------------


def _path(points: Points, **style: Any) -> Any:
    from schemdraw.segments import Segment

    return Segment(list(points), **style)


def _area(points: Points, **style: Any) -> Any:
    from schemdraw.segments import SegmentPoly

    return SegmentPoly(list(points), **{"fill": "white", **style})


def _ring(x: float, y: float, radius: float, **style: Any) -> Any:
    from schemdraw.segments import SegmentCircle

    return SegmentCircle((x, y), radius, **{"fill": "white", **style})


def _element(*segments: Any) -> Any:
    from schemdraw.elements import Element

    element = Element()
    element.segments.extend(segments)
    return element


def _stock(name: str, scale: float, units: float) -> Any:
    """A two-terminal symbol of schemdraw's own, without extra leads."""
    import schemdraw.elements as stock

    return getattr(stock, name)().scale(scale).length(scale * units)


def _box(x0: float, y0: float, x1: float, y1: float, **style: Any) -> Any:
    return _area(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), **style)


def _breaker() -> Any:
    return _stock("Breaker", 6.0, 1.0)


def _fuse() -> Any:
    return _stock("FuseIEEE", 6.0, 1.0)


def _limiter() -> Any:
    return _element(
        _box(0, -1.4, 6.5, 1.4),
        _box(0, -1.4, 1.3, 1.4, fill="black"),
        _box(5.2, -1.4, 6.5, 1.4, fill="black"),
        _path(((0, 0), (6.5, 0))),
    )


def _link() -> Any:
    wave = [(0.9 + 4.7 * k / 24, 1.3 * math.sin(2 * math.pi * k / 24)) for k in range(25)]
    return _element(_path(wave), _ring(0.45, 0, 0.45), _ring(6.05, 0, 0.45))


def _switch() -> Any:
    return _element(_path(((0.9, 0.2), (5.3, 2.4))), _ring(0.5, 0, 0.5), _ring(5.5, 0, 0.5))


def _button() -> Any:
    return _element(
        _path(((0.2, 1.2), (5.8, 1.2))),
        _path(((3, 1.2), (3, 2.8))),
        _path(((2, 2.8), (4, 2.8))),
        _ring(0.5, 0, 0.5),
        _ring(5.5, 0, 0.5),
    )


def _coil(x: float, foot: float, *, crossed: bool) -> list[Any]:
    parts = [
        _path(((x, foot), (x, 3.4)), ls="0.6,0.5", lw=THIN_MM),
        _box(x - 1.9, 3.4, x + 1.9, 5.6),
    ]
    return [*parts, _path(((x - 1.9, 3.4), (x + 1.9, 5.6)), lw=THIN_MM)] if crossed else parts


def _relay() -> Any:
    return _element(
        _path(((0.9, 0.2), (5.3, 2.4))),
        *_coil(3.4, 1.5, crossed=False),
        _ring(0.5, 0, 0.5),
        _ring(5.5, 0, 0.5),
    )


def _contactor() -> Any:
    return _element(
        _path(((0, 0), (2.4, 0))),
        _path(((4.4, 0), (6.8, 0))),
        _path(((2.4, -1.8), (2.4, 1.8)), lw=0.6),
        _path(((4.4, -1.8), (4.4, 1.8)), lw=0.6),
        *_coil(3.4, 0.6, crossed=True),
    )


def _changeover() -> Any:
    return _element(
        _path(((6.1, 0.1), (1.3, 0.9))),
        _ring(0.5, 0, 0.5),
        _ring(0.5, 2.2, 0.5),
        _ring(6.5, 0, 0.5),
    )


def _diode() -> Any:
    return _stock("Diode", 9.0, 0.35)


def _schottky() -> Any:
    hooks = ((3.7, 1.6), (3.7, 2.25), (2.95, 2.25), (2.95, -2.25), (2.2, -2.25), (2.2, -1.6))
    return _element(
        _path(((2.95, 0), (4.0, 0))),
        _path(((0, 0), (0.3, 0))),
        _area(((0.3, 2.0), (2.95, 0), (0.3, -2.0))),
        _path(hooks),
    )


def _shunt() -> Any:
    taps = [_path(((x, 0), (x, 2.4)), lw=THIN_MM) for x in (1.5, 5.0)]
    dots = [_ring(x, 0, 0.4, fill="black") for x in (1.5, 5.0)]
    ends = [_ring(x, 2.4, 0.35) for x in (1.5, 5.0)]
    return _element(_box(0, -1.1, 6.5, 1.1), *taps, *dots, *ends)


def _earth(x: float, top: float) -> list[Any]:
    bars = [(2.2, 0.0), (1.4, -0.9), (0.6, -1.8)]
    return [_path(((x - w, top + y), (x + w, top + y))) for w, y in bars]


def _battery() -> Any:
    plates = ((4.0, 1.4), (5.0, 2.6), (6.6, 1.4), (7.6, 2.6))
    return _element(
        _path(((2.4, -3.4), (2.4, 0), (4.0, 0))),
        *_earth(2.4, -3.4),
        *(_path(((x, -h), (x, h))) for x, h in plates),
        _path(((5.0, 0), (6.6, 0)), ls="0.4,0.3"),
        _path(((7.6, 0), (10, 0))),
        _path(((8.4, 1.6), (9.8, 1.6)), lw=THIN_MM),
        _path(((9.1, 0.9), (9.1, 2.3)), lw=THIN_MM),
    )


def _machine() -> Any:
    return _element(_ring(4, 0, 4))


def _alternator() -> Any:
    return _element(
        _ring(4, 0, 4),
        _path(((2.8, -2.2), (5.2, -2.2)), lw=THIN_MM),
        _path(((2.8, -2.8), (5.2, -2.8)), lw=THIN_MM, ls="0.6,0.3"),
    )


def _lamp() -> Any:
    k = 2.6 * math.sqrt(0.5)
    return _element(
        _ring(2.6, 0, 2.6),
        _path(((2.6 - k, -k), (2.6 + k, k))),
        _path(((2.6 - k, k), (2.6 + k, -k))),
    )


def _heater() -> Any:
    bars = [_path(((x, -1.4), (x, 1.4)), lw=THIN_MM) for x in (1.75, 3.5, 5.25)]
    return _element(_box(0, -1.4, 7, 1.4), *bars)


def _load() -> Any:
    return _element(_box(0, -1.8, 7, 1.8))


def _ground() -> Any:
    return _element(_path(((0, 0), (0, -2))), *_earth(0, -2))


def _chassis() -> Any:
    feet = [_path(((x, -2), (x - 1.1, -3.8))) for x in (-2, 0, 2)]
    return _element(_path(((0, 0), (0, -2))), _path(((-2, -2), (2, -2))), *feet)


def _splice() -> Any:
    return _element(_ring(0, 0, 0.8, fill="black"))


def _stud() -> Any:
    return _element(_ring(0, 0, 1.3), _ring(0, 0, 0.5, fill="black"))


def _connector() -> Any:
    return _element(
        _path(((0, 0), (2, 0))),
        _path(((0.9, 1.2), (2, 0), (0.9, -1.2))),
        _path(((2.1, 1.2), (3.2, 0), (2.1, -1.2))),
        _path(((3.2, 0), (5, 0))),
    )


def _external() -> Any:
    return _element(
        _box(0, -3.4, 8, 3.4),
        _ring(4, 1.9, 0.8, fill="black"),
        _ring(4, -0.3, 0.8, fill="black"),
        _ring(4, -2.2, 0.5),
        _path(((4.8, 0), (8, 0)), lw=THIN_MM),
    )


def _terminal() -> Any:
    return _element(_ring(0.6, 0, 0.6))


_BUILD: dict[str, tuple[Build, float, str, str]] = {
    "breaker": (_breaker, 6.0, "circuit breaker", ""),
    "fuse": (_fuse, 6.0, "fuse", ""),
    "limiter": (_limiter, 6.5, "current limiter", ""),
    "link": (_link, 6.5, "fusible link", ""),
    "switch": (_switch, 6.0, "switch", ""),
    "button": (_button, 6.0, "push button", ""),
    "contactor": (_contactor, 6.8, "contactor", ""),
    "relay": (_relay, 6.0, "relay", ""),
    "changeover": (_changeover, 7.0, "changeover switch", ""),
    "diode": (_diode, 3.15, "diode", ""),
    "schottky": (_schottky, 4.0, "Schottky diode", ""),
    "shunt": (_shunt, 6.5, "shunt", ""),
    "battery": (_battery, 10.0, "battery", ""),
    "alternator": (_alternator, 8.0, "alternator", "G"),
    "starter": (_machine, 8.0, "starter motor", "M"),
    "motor": (_machine, 8.0, "motor", "M"),
    "lamp": (_lamp, 5.2, "lamp", ""),
    "heater": (_heater, 7.0, "heater", ""),
    "load": (_load, 7.0, "load", ""),
    "ground": (_ground, 0.0, "ground", ""),
    "chassis": (_chassis, 0.0, "structure as return", ""),
    "splice": (_splice, 0.0, "splice or joint", ""),
    "stud": (_stud, 0.0, "stud", ""),
    "connector": (_connector, 5.0, "connector", ""),
    "external": (_external, 8.0, "external power", ""),
    "terminal": (_terminal, 1.2, "load terminal", ""),
}
NAMES = tuple(_BUILD)


def build(name: str) -> Any:
    """A new schemdraw element of this symbol, in millimetres."""
    return _BUILD[name][0]()


@cache
def shape(name: str) -> Shape:
    """Where the symbol reaches and what it is called."""
    _, length, title, letter = _BUILD[name]
    x0, y0, x1, y1 = svg.extent(name)
    return Shape(
        name=name,
        title=title,
        length_mm=length,
        left_mm=x0,
        right_mm=x1,
        above_mm=-y0,
        below_mm=y1,
        letter=letter,
    )
