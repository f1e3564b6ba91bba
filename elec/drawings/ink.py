"""The ink that every drawing is made of: lines, circles, arcs, lettering and symbols.

Lengths are millimetres, x runs right and y down. Sheets, charts and symbols put it down; `svg` and
`elec.write.pdf.pen` turn it into their forms. Nothing here knows a form or what is drawn.
"""

from typing import Literal

from msgspec import Struct

Point = tuple[float, float]
Segment = tuple[Point, Point]
Box = tuple[float, float, float, float]
"""Left, top, right and bottom."""
Align = Literal["left", "center", "right"]

BLACK, WHITE = "#000000", "#ffffff"
GREY = "#595959"
LINK = "#004f80"
PALE = "#eef2f6"


class InkPath(Struct, frozen=True, kw_only=True, cache_hash=True):
    """A line or area: `width_mm` of the pen (0: no line), `dash` in mm, `fill` a colour or None."""

    points: tuple[Point, ...]
    width_mm: float
    colour: str = BLACK
    dash: tuple[float, ...] = ()
    fill: str | None = None
    closed: bool = False
    corner_mm: float = 0.0


class Circle(Struct, frozen=True, kw_only=True, cache_hash=True):
    """A circle."""

    centre: Point
    radius_mm: float
    width_mm: float
    colour: str = BLACK
    fill: str | None = None
    dash: tuple[float, ...] = ()


class Arc(Struct, frozen=True, kw_only=True, cache_hash=True):
    """A part of an ellipse that lies along the axes, counter-clockwise from `start_deg`.

    Angles are those of the circle of which the ellipse is a stretched picture; 0 is right, 90 up.
    Less than half a turn.
    """

    centre: Point
    radii_mm: tuple[float, float]
    start_deg: float
    turn_deg: float
    width_mm: float
    colour: str = BLACK


class Lettering(Struct, frozen=True, kw_only=True, cache_hash=True):
    """A line of text with its base line at `at`; `turned`, it reads upwards."""

    text: str
    at: Point
    capital_mm: float
    bold: bool = False
    align: Align = "left"
    colour: str = BLACK
    turned: bool = False
    link: str = ""
    narrow: float = 1.0
    """Width of the letters over that of all others."""


class Placed(Struct, frozen=True, kw_only=True, cache_hash=True):
    """A symbol of the symbol table with its left terminal at `at`."""

    name: str
    at: Point
    scale: float = 1.0


Ink = InkPath | Circle | Arc | Lettering | Placed


class Picture(Struct, frozen=True, kw_only=True):
    """A finished chart: its size, and its ink from the lowest to the topmost."""

    width_mm: float
    height_mm: float
    ink: tuple[Ink, ...]
