"""A sheet in millimetres: frame, zones, title block, and the items drawn on it.

x runs right and y down from the sheet's top left corner. Frame, borders and zones follow
ISO 5457 (filing border 20 mm, others 10 mm, zones of 50 mm counted from the centring marks,
letters without I and O; from memory). `frame` draws them and the title block.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Any, Literal

from msgspec import Struct, field

from elec.drawings import metrics
from elec.drawings.ink import (
    BLACK,
    Align,
    Box,
    Circle,
    Ink,
    InkPath,
    Lettering,
    Placed,
    Point,
    Segment,
)
from elec.drawings.symbols import shape

SIZES_MM: dict[str, tuple[float, float]] = {
    "A4": (297.0, 210.0),
    "A3": (420.0, 297.0),
    "Letter": (279.4, 215.9),
    "Tabloid": (431.8, 279.4),
}
"""Landscape width and height of each sheet size, mm (ISO 216; ANSI/ASME Y14.1 A and B)."""

Size = Literal["A4", "A3", "Letter", "Tabloid"]
Kind = Literal["text", "wire", "bar", "box", "symbol", "dot", "flag", "rule", "frame"]
"""What an item is to the finished-sheet check: rules and frame parts carry no meaning of the
circuit, but no text may cross a rule."""
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


class Item(Struct, frozen=True, kw_only=True, cache_hash=True):
    """One thing on the sheet: what it is, what it stands for, where it lies, and its ink."""

    kind: Kind
    ink: Ink
    box: Box
    ref: str = ""
    net: str = ""
    group: str = ""
    segments: tuple[Segment, ...] = ()
    capital_mm: float = 0.0
    text: str = ""
    role: str = ""
    ends: tuple[str, str] = ("", "")
    """Of a conductor: the ids of the contacts or points at its two ends."""


class TitleBlock(Struct, frozen=True, kw_only=True):
    """What the title block says; `sheet` and `sheets` may be set last, by `index.numbered`.

    `code` is the drawing's own, such as C12; `sheet` counts the sheets of that drawing.
    """

    owner: str = ""
    code: str = ""
    title: str = ""
    document_type: str = ""
    number: str = ""
    revision: str = ""
    date: str = ""
    change: str = ""
    sheet: int = 1
    sheets: int = 1
    place: int = 0
    total: int = 0
    """Which sheet it is of the set, and how many that has; 0 where one drawing is made alone."""
    note: str = ""

    @property
    def label(self) -> str:
        """The name of the sheet in the set."""
        return label(self.code, self.sheet)


def label(code: str, sheet: int) -> str:
    """The name of a sheet in the set: the code of its drawing, and its count where it goes on.

    >>> label("C12", 1), label("C12", 2), label("P", 1), label("P", 2), label("", 3)
    ('C12', 'C12.2', 'P1', 'P2', '3')
    >>> label("C1-flaps", 1), label("C1-flaps", 2)
    ('C1-flaps', 'C1-flaps.2')
    """
    if "-" in code:  # one circuit or connector by itself, out of a drawing
        return code if sheet == 1 else f"{code}.{sheet}"
    if not code[-1:].isdigit():
        return f"{code}{sheet}"
    return code if sheet == 1 else f"{code}.{sheet}"


class Wanted(Struct, frozen=True, kw_only=True):
    """Room kept for where something else is drawn (`C12/C4`), written in when that is known."""

    at: Point
    target: str
    ref: str
    room_mm: float
    align: Align = "left"
    zone: bool = True
    """Whether there is room for the zone as well as for the sheet."""
    own: bool = False
    """Whether it stands within a line, which is closed up behind it."""


class Sheet(Struct, kw_only=True):
    """A sheet being drawn. The primitives append items; nothing is drawn before `svg.to_svg`."""

    size: Size
    title: TitleBlock
    id: str = "sheet"
    description: str = ""
    items: list[Item] = field(default_factory=list)
    wanted: list[Wanted] = field(default_factory=list)

    @property
    def width_mm(self) -> float:
        """Width of the sheet."""
        return SIZES_MM[self.size][0]

    @property
    def height_mm(self) -> float:
        """Height of the sheet."""
        return SIZES_MM[self.size][1]

    @property
    def frame(self) -> Box:
        """The drawing frame."""
        return (20.0, 10.0, self.width_mm - 10.0, self.height_mm - 10.0)

    @property
    def block(self) -> Box:
        """The title block, in the lower right corner of the frame."""
        _, _, right, bottom = self.frame
        return (right - 180.0, bottom - 22.0, right, bottom)

    # --- primitives -------------------------------------------------------------------------

    def line(
        self,
        points: Sequence[Point],
        *,
        width_mm: float = 0.35,
        kind: Kind = "wire",
        ref: str = "",
        net: str = "",
        group: str = "",
        role: str = "",
        colour: str = BLACK,
        dash: tuple[float, ...] = (),
        ends: tuple[str, str] = ("", ""),
    ) -> None:
        """A line through the points."""
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        self.items.append(
            Item(
                kind=kind,
                ink=InkPath(points=tuple(points), width_mm=width_mm, colour=colour, dash=dash),
                box=(min(xs), min(ys), max(xs), max(ys)),
                segments=tuple(pairwise(points)),
                ref=ref,
                net=net or ref,
                group=group,
                role=role,
                ends=ends,
            )
        )

    def polygon(
        self,
        points: Sequence[Point],
        *,
        width_mm: float = 0.25,
        kind: Kind = "flag",
        ref: str = "",
        net: str = "",
        group: str = "",
        role: str = "",
        fill: str | None = None,
        colour: str = BLACK,
        dash: tuple[float, ...] = (),
        corner_mm: float = 0.0,
    ) -> None:
        """A closed outline."""
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        closed = (*points, points[0])
        self.items.append(
            Item(
                kind=kind,
                ink=InkPath(
                    points=tuple(points),
                    width_mm=width_mm,
                    fill=fill,
                    closed=True,
                    colour=colour,
                    dash=dash,
                    corner_mm=corner_mm,
                ),
                box=(min(xs), min(ys), max(xs), max(ys)),
                segments=tuple(pairwise(closed)),
                ref=ref,
                net=net,
                group=group,
                role=role,
            )
        )

    def rect(
        self,
        box: Box,
        *,
        width_mm: float = 0.35,
        kind: Kind = "box",
        ref: str = "",
        group: str = "",
        role: str = "",
        fill: str | None = None,
        dash: tuple[float, ...] = (),
        corner_mm: float = 0.0,
    ) -> None:
        """A rectangle."""
        x0, y0, x1, y1 = box
        self.polygon(
            ((x0, y0), (x1, y0), (x1, y1), (x0, y1)),
            width_mm=width_mm,
            kind=kind,
            ref=ref,
            group=group or ref,
            role=role,
            fill=fill,
            dash=dash,
            corner_mm=corner_mm,
        )

    def circle(
        self,
        centre: Point,
        radius_mm: float,
        *,
        width_mm: float = 0.25,
        kind: Kind = "dot",
        ref: str = "",
        net: str = "",
        group: str = "",
        role: str = "",
        fill: str | None = None,
        colour: str = BLACK,
        dash: tuple[float, ...] = (),
    ) -> None:
        """A circle."""
        x, y = centre
        self.items.append(
            Item(
                kind=kind,
                ink=Circle(
                    centre=centre,
                    radius_mm=radius_mm,
                    width_mm=width_mm,
                    fill=fill,
                    colour=colour,
                    dash=dash,
                ),
                box=(x - radius_mm, y - radius_mm, x + radius_mm, y + radius_mm),
                ref=ref,
                net=net,
                group=group or ref,
                role=role,
            )
        )

    def dot(self, at: Point, *, net: str, ref: str = "", radius_mm: float = 0.7) -> None:
        """A filled dot: what meets here is joined."""
        self.circle(at, radius_mm, width_mm=0.1, fill=BLACK, net=net, ref=ref)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        capital_mm: float = metrics.SMALLEST_MM,
        align: Align = "left",
        middle: bool = False,
        bold: bool = False,
        colour: str = BLACK,
        room_mm: float | None = None,
        kind: Kind = "text",
        ref: str = "",
        net: str = "",
        group: str = "",
        role: str = "",
        link: str = "",
        narrow: float = 1.0,
    ) -> float:
        """A line of text with its base line at y, or centred on y; gives the width in mm."""
        text = metrics.clean(text)
        if not text:
            return 0.0
        if room_mm is not None:
            text, capital_mm = metrics.fit(text, capital_mm, room_mm, bold)
        width = narrow * metrics.width_mm(text, capital_mm, bold)
        base = y + capital_mm / 2 if middle else y
        left = x - {"left": 0.0, "center": width / 2, "right": width}[align]
        self.items.append(
            Item(
                kind=kind,
                ink=Lettering(
                    text=text,
                    at=(x, base),
                    capital_mm=capital_mm,
                    bold=bold,
                    align=align,
                    colour=colour,
                    link=link,
                    narrow=narrow,
                ),
                box=(
                    left,
                    base - metrics.above_mm(text, capital_mm),
                    left + width,
                    base + metrics.below_mm(text, capital_mm),
                ),
                ref=ref,
                net=net,
                group=group,
                capital_mm=capital_mm,
                text=text,
                role=role,
            )
        )
        return width

    def symbol(
        self, name: str, at: Point, *, ref: str = "", net: str = "", group: str = ""
    ) -> float:
        """A symbol with its left terminal at `at`; gives the x of its right terminal."""
        form = shape(name)
        x, y = at
        self.items.append(
            Item(
                kind="symbol",
                ink=Placed(name=name, at=at),
                box=(
                    x + form.left_mm,
                    y - form.above_mm,
                    x + form.right_mm,
                    y + form.below_mm,
                ),
                ref=ref,
                net=net,
                group=group or ref,
            )
        )
        if form.letter:
            self.text(
                x + form.length_mm / 2,
                y,
                form.letter,
                capital_mm=2.5,
                align="center",
                middle=True,
                bold=True,
                group=group or ref,
                role="letter",
            )
        return x + form.length_mm

    @property
    def kept(self) -> bool:
        """Whether what is drawn on it is kept."""
        return True

    # --- places on the sheet ----------------------------------------------------------------

    def columns(self) -> list[tuple[float, float, str]]:
        """The zones across: left, right and number."""
        left, _, right, _ = self.frame
        return list(_zones(left, right, _NUMBERS))

    def rows(self) -> list[tuple[float, float, str]]:
        """The zones down: top, bottom and letter."""
        _, top, _, bottom = self.frame
        return list(_zones(top, bottom, LETTERS))

    def zone(self, x: float, y: float) -> str:
        """The zone of a point, as C4."""
        left, top, right, bottom = self.frame
        rows, columns = _zones(top, bottom, LETTERS), _zones(left, right, _NUMBERS)
        letter = next((n for _, end, n in rows if y <= end), rows[-1][2])
        number = next((n for _, end, n in columns if x <= end), columns[-1][2])
        return letter + number


class Trial(Sheet, kw_only=True):
    """A sheet on which things are laid out to see how they fit: nothing is drawn on it."""

    @property
    def kept(self) -> bool:
        """Whether what is drawn on it is kept."""
        return False

    def line(self, *_: Any, **__: Any) -> None:
        """No line."""

    def polygon(self, *_: Any, **__: Any) -> None:
        """No outline."""

    def circle(self, *_: Any, **__: Any) -> None:
        """No circle."""

    def text(self, *_: Any, **__: Any) -> float:
        """No text; nobody may ask a trial for its width."""
        return 0.0

    def symbol(self, *_: Any, **__: Any) -> float:
        """No symbol; nobody may ask a trial for its end."""
        return 0.0


_NUMBERS = tuple(str(n) for n in range(1, 24))


@lru_cache(maxsize=64)
def _zones(start: float, end: float, names: Sequence[str]) -> tuple[tuple[float, float, str], ...]:
    """Zones of 50 mm from the middle outwards; the outermost take what is left."""
    middle = (start + end) / 2
    half = max(1, round((end - start) / 100))
    cuts = [start, *(middle + 50.0 * k for k in range(1 - half, half)), end]
    return tuple((a, b, names[i]) for i, (a, b) in enumerate(pairwise(cuts)))
