"""The symbol table: each symbol by its name, as ink in millimetres.

The look follows IEEE 315 (arc breaker, rectangular fuse, chassis ground) and IEC 60617 where both
agree (resistor, lamp, machine circles); from memory. Breaker, fuse and diode are schemdraw's own;
the others lie on its raster. A symbol lies on a row: its left terminal is its origin, its right
terminal `length_mm` further right. Every sheet prints a legend.
"""

import math
from collections.abc import Callable
from functools import cache, partial

from msgspec import Struct

from elec.drawings.ink import BLACK, InkPath
from elec.drawings.symbol_ink import SymbolInk, area, box, own, path, ring, stock

THIN_MM = 0.25


class Shape(Struct, frozen=True, kw_only=True):
    """Where a symbol reaches from its left terminal, mm, and what the legend calls it."""

    name: str
    title: str
    length_mm: float
    left_mm: float
    right_mm: float
    above_mm: float
    below_mm: float
    letter: str = ""


def _breaker() -> SymbolInk:
    return stock("Breaker", 6.0, 1.0)


def _fuse() -> SymbolInk:
    return stock("FuseIEEE", 6.0, 1.0)


def _limiter() -> SymbolInk:
    return own(
        box(0, -1.4, 6.5, 1.4),
        box(0, -1.4, 1.3, 1.4, BLACK),
        box(5.2, -1.4, 6.5, 1.4, BLACK),
        path(((0, 0), (6.5, 0))),
    )


def _link() -> SymbolInk:
    wave = [(0.9 + 4.7 * k / 24, 1.3 * math.sin(2 * math.pi * k / 24)) for k in range(25)]
    return own(path(wave), ring(0.45, 0, 0.45), ring(6.05, 0, 0.45))


def _switch() -> SymbolInk:
    return own(path(((0.9, 0.2), (5.3, 2.4))), ring(0.5, 0, 0.5), ring(5.5, 0, 0.5))


def _closed_contact() -> SymbolInk:
    """The blade lies against the stop of the other terminal: what moves it takes it off."""
    return own(
        path(((0.9, 0.1), (5.9, 1.5))),
        path(((5.5, 0.5), (5.5, 2.3))),
        ring(0.5, 0, 0.5),
        ring(5.5, 0, 0.5),
    )


def _limit_diode() -> SymbolInk:
    """A contact that opens at the end of a travel; across it a diode, its band at the left."""
    return own(
        path(((0, 0), (1.1, 0))),
        path(((7.1, 0), (8.2, 0))),
        path(((2.0, 0.1), (7.0, 1.5))),
        path(((6.6, 0.5), (6.6, 2.3))),
        path(((0.5, 0), (0.5, 4.2), (3.0, 4.2)), wide=THIN_MM),
        path(((7.7, 0), (7.7, 4.2), (5.0, 4.2)), wide=THIN_MM),
        area(((5.0, 5.2), (5.0, 3.2), (3.1, 4.2))),
        path(((3.1, 5.2), (3.1, 3.2))),
        ring(1.6, 0, 0.5),
        ring(6.6, 0, 0.5),
    )


def _button() -> SymbolInk:
    return own(
        path(((0.2, 1.2), (5.8, 1.2))),
        path(((3, 1.2), (3, 2.8))),
        path(((2, 2.8), (4, 2.8))),
        ring(0.5, 0, 0.5),
        ring(5.5, 0, 0.5),
    )


def _coil(x: float, foot: float, *, crossed: bool) -> list[InkPath]:
    parts = [
        path(((x, foot), (x, 3.4)), dash=(0.6, 0.5), wide=THIN_MM),
        box(x - 1.9, 3.4, x + 1.9, 5.6),
    ]
    return [*parts, path(((x - 1.9, 3.4), (x + 1.9, 5.6)), wide=THIN_MM)] if crossed else parts


def _relay() -> SymbolInk:
    return own(
        path(((0.9, 0.2), (5.3, 2.4))),
        *_coil(3.4, 1.5, crossed=False),
        ring(0.5, 0, 0.5),
        ring(5.5, 0, 0.5),
    )


def _contactor() -> SymbolInk:
    return own(
        ring(0.6, 0, 0.6),
        ring(6.2, 0, 0.6),
        path(((0.2, 1.5), (6.6, 1.5)), wide=0.7),
        *_coil(3.4, 1.5, crossed=True),
    )


def _reversing() -> SymbolInk:
    """A bridge that turns a motor: the two wires that cross over, between its terminals."""
    return own(
        box(0, -1.5, 7.0, 1.5),
        path(((1.3, 0.8), (5.7, -0.8)), wide=THIN_MM),
        path(((1.3, -0.8), (2.6, -0.33)), wide=THIN_MM),  # broken: the two do not join
        path(((4.4, 0.33), (5.7, 0.8)), wide=THIN_MM),
        *(ring(x, y, 0.4) for x in (1.3, 5.7) for y in (0.8, -0.8)),
    )


def _thrown(side: float, *, off: bool = False) -> SymbolInk:
    """A changeover; `side` says whether its row comes to the lower of the two, 1, or the other, -1.

    Where it has a position that is off, its lever stands at a stop between the two.
    """
    stop = (path(((1.2, side * 1.6 - 0.6), (1.2, side * 1.6 + 0.6))),) if off else ()
    return own(
        path(((6.1, side * 0.2), (1.6, side * 1.5))),
        *stop,
        ring(0.5, 0, 0.5),
        ring(0.5, side * 3.0, 0.5),
        ring(6.5, 0, 0.5),
    )


def _centre_off() -> SymbolInk:
    """Off in the middle: two throws, of which a one-line diagram draws one way on."""
    return own(
        path(((1.0, 0), (4.8, 0))),
        path(((5.9, 1.3), (7.4, 1.3), (7.4, -1.3), (5.9, -1.3)), wide=THIN_MM),
        path(((7.4, 0), (8.0, 0))),
        ring(0.5, 0, 0.5),
        ring(5.4, 1.3, 0.5),
        ring(5.4, -1.3, 0.5),
    )


def _across() -> list[InkPath]:
    """The coil of a contactor standing upright, its feed above."""
    return [
        path(((1.2, 1.2), (1.2, 2.2))),
        path(((1.2, -1.2), (1.2, -2.2))),
        box(0, -1.2, 2.4, 1.2),
    ]


def _coil_bare() -> SymbolInk:
    return own(*_across())


def _coil_diode() -> SymbolInk:
    return own(
        *_across(),
        path(((1.2, 2.2), (5.5, 2.2), (5.5, 0.9)), wide=THIN_MM),
        path(((1.2, -2.2), (5.5, -2.2), (5.5, -0.8)), wide=THIN_MM),
        area(((4.4, -0.8), (6.6, -0.8), (5.5, 0.9))),
        path(((4.4, 0.9), (6.6, 0.9))),
    )


def _dimmer() -> SymbolInk:
    return own(
        box(0, -1.1, 6.5, 1.1),
        path(((1.2, -2.2), (5.0, 2.2)), wide=THIN_MM),
        path(((3.9, 2.0), (5.0, 2.2), (4.9, 1.1)), wide=THIN_MM),
    )


def _diode() -> SymbolInk:
    return stock("Diode", 9.0, 0.35)


def _schottky() -> SymbolInk:
    hooks = ((3.7, 1.6), (3.7, 2.25), (2.95, 2.25), (2.95, -2.25), (2.2, -2.25), (2.2, -1.6))
    return own(
        path(((2.95, 0), (4.0, 0))),
        path(((0, 0), (0.3, 0))),
        area(((0.3, 2.0), (2.95, 0), (0.3, -2.0))),
        path(hooks),
    )


def _shunt() -> SymbolInk:
    taps = [path(((x, 0), (x, 2.4)), wide=THIN_MM) for x in (1.5, 5.0)]
    dots = [ring(x, 0, 0.4, BLACK) for x in (1.5, 5.0)]
    ends = [ring(x, 2.4, 0.35) for x in (1.5, 5.0)]
    return own(box(0, -1.1, 6.5, 1.1), *taps, *dots, *ends)


def _earth(x: float, top: float) -> list[InkPath]:
    bars = [(2.2, 0.0), (1.4, -0.9), (0.6, -1.8)]
    return [path(((x - w, top + y), (x + w, top + y))) for w, y in bars]


def _battery() -> SymbolInk:
    plates = ((4.0, 1.4), (5.0, 2.6), (6.6, 1.4), (7.6, 2.6))
    return own(
        path(((2.4, -3.4), (2.4, 0), (4.0, 0))),
        *_earth(2.4, -3.4),
        *(path(((x, -h), (x, h))) for x, h in plates),
        path(((5.0, 0), (6.6, 0)), dash=(0.4, 0.3)),
        path(((7.6, 0), (10, 0))),
        path(((1.0, 1.6), (2.4, 1.6)), wide=THIN_MM),
        path(((8.4, 1.6), (9.8, 1.6)), wide=THIN_MM),
        path(((9.1, 0.9), (9.1, 2.3)), wide=THIN_MM),
    )


def _machine() -> SymbolInk:
    return own(ring(4, 0, 4))


def _alternator() -> SymbolInk:
    return own(
        ring(4, 0, 4),
        path(((2.8, -2.2), (5.2, -2.2)), wide=THIN_MM),
        path(((2.8, -2.8), (5.2, -2.8)), wide=THIN_MM, dash=(0.6, 0.3)),
    )


def _lamp() -> SymbolInk:
    k = 2.6 * math.sqrt(0.5)
    return own(
        ring(2.6, 0, 2.6),
        path(((2.6 - k, -k), (2.6 + k, k))),
        path(((2.6 - k, k), (2.6 + k, -k))),
    )


def _heater() -> SymbolInk:
    bars = [path(((x, -1.4), (x, 1.4)), wide=THIN_MM) for x in (1.75, 3.5, 5.25)]
    return own(box(0, -1.4, 7, 1.4), *bars)


def _load() -> SymbolInk:
    return own(box(0, -1.8, 7, 1.8))


def _ground() -> SymbolInk:
    return own(path(((0, 0), (0, -2))), *_earth(0, -2))


def _chassis() -> SymbolInk:
    feet = [path(((x, -2), (x - 1.1, -3.8))) for x in (-2, 0, 2)]
    return own(path(((0, 0), (0, -2))), path(((-2, -2), (2, -2))), *feet)


def _splice() -> SymbolInk:
    return own(ring(0, 0, 0.8, BLACK))


def _stud() -> SymbolInk:
    return own(ring(0, 0, 1.3), ring(0, 0, 0.5, BLACK))


def _connector() -> SymbolInk:
    return own(
        path(((0, 0), (2, 0))),
        path(((0.9, 1.2), (2, 0), (0.9, -1.2))),
        path(((2.1, 1.2), (3.2, 0), (2.1, -1.2))),
        path(((3.2, 0), (5, 0))),
    )


def _external() -> SymbolInk:
    return own(
        box(0, -3.4, 8, 3.4),
        ring(4, 1.9, 0.8, BLACK),
        ring(4, -0.3, 0.8, BLACK),
        ring(4, -2.2, 0.5),
        path(((4.8, 0), (8, 0)), wide=THIN_MM),
    )


def _terminal() -> SymbolInk:
    return own(ring(0.6, 0, 0.6))


OFF_TITLE = "changeover with OFF"
_BUILD: dict[str, tuple[Callable[[], SymbolInk], float, str, str]] = {
    "breaker": (_breaker, 6.0, "circuit breaker", ""),
    "fuse": (_fuse, 6.0, "fuse", ""),
    "limiter": (_limiter, 6.5, "current limiter", ""),
    "link": (_link, 6.5, "fusible link", ""),
    "switch": (_switch, 6.0, "switch", ""),
    "closed-contact": (_closed_contact, 6.0, "contact closed at rest", ""),
    "limit-diode": (_limit_diode, 8.2, "limit switch with a diode across it", ""),
    "button": (_button, 6.0, "push button", ""),
    "contactor": (_contactor, 6.8, "contactor", ""),
    "relay": (_relay, 6.0, "relay", ""),
    "changeover": (partial(_thrown, 1.0), 7.0, "changeover switch", ""),
    "changeover-upper": (partial(_thrown, -1.0), 7.0, "changeover switch", ""),
    "changeover-off": (partial(_thrown, 1.0, off=True), 7.0, OFF_TITLE, ""),
    "changeover-off-upper": (partial(_thrown, -1.0, off=True), 7.0, OFF_TITLE, ""),
    "reversing": (_reversing, 7.0, "reversing switch or relays", ""),
    "centre-off": (_centre_off, 8.0, "centre-off switch", ""),
    "dimmer": (_dimmer, 6.5, "dimmer", ""),
    "diode": (_diode, 3.15, "diode", ""),
    "schottky": (_schottky, 4.0, "Schottky diode", ""),
    "coil": (_coil_bare, 2.4, "coil of a contactor or relay", ""),
    "coil-diode": (_coil_diode, 6.6, "coil with a diode across it, band to +", ""),
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
EXPLAINED = {"changeover-upper": "changeover", "changeover-off-upper": "changeover-off"}
"""What another symbol in a legend explains."""


@cache
def drawn(name: str) -> SymbolInk:
    """The symbol around its left terminal."""
    return _BUILD[name][0]()


@cache
def shape(name: str) -> Shape:
    """Where the symbol reaches and what it is called."""
    _, length, title, letter = _BUILD[name]
    x0, y0, x1, y1 = drawn(name).box
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
