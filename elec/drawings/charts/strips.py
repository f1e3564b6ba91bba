"""Labels of panels at true size, each in an outline to be cut out along, and a rule to check by.

In: texts with the height of their capitals. Out: a `Picture` whose millimetres are those of paper.
"""

from collections.abc import Sequence

from msgspec import Struct

from elec.drawings import engraved, metrics
from elec.drawings.ink import GREY, Ink, InkPath, Lettering, Picture, Point

WIDTH_MM = 170.0
"""Of the picture: between binding edge and right edge of A4 and Letter, so that nothing shrinks."""
HEIGHT_MM = 200.0
"""The most that a picture is high, which a page holds with its heading."""
BESIDE_MM, OVER_MM = 2.5, 2.0
"""Room beside the letters and over and under them, up to the cut; beside a neighbour less."""
GAP_MM = 3.0
"""Between two strips."""
NAME_MM = 2.5
"""Capitals of the position's name under a strip, which is not cut out."""
UNDER_MM = NAME_MM + 3.5
RULE_MM = 100.0
LEADING = 1.8
"""From line to line over the height of capitals."""


class StripLabel(Struct, frozen=True, kw_only=True):
    """A text of a panel, where it belongs, and the height of its capitals."""

    text: str
    name: str
    capital_mm: float
    room_mm: float | None = None
    """From its neighbour on the one side to that on the other; None: the panel does not say."""
    narrow: float = 1.0
    """Width of the letters at the positions of its panel over that of all others."""
    over: bool = False
    """Whether it stands over a group of positions."""


def strips(labels: Sequence[StripLabel]) -> tuple[Picture, ...]:
    """The labels in rows, on as many pictures as they need, each with its rule."""
    found: list[Picture] = []
    ink: list[Ink] = _rule()
    x, y, high = 0.0, 12.0, 0.0
    for label in labels:
        lines = broken(label)
        wide, tall = size_mm(label)
        wide = max(wide, metrics.width_mm(label.name, NAME_MM))
        tall += UNDER_MM
        if x and x + wide > WIDTH_MM:
            x, y, high = 0.0, y + high, 0.0
        if y + tall > HEIGHT_MM:
            found.append(Picture(width_mm=WIDTH_MM, height_mm=y, ink=tuple(ink)))
            ink, y = _rule(), 12.0
        ink += _strip(label, lines, (x, y))
        x, high = x + wide + GAP_MM, max(high, tall)
    if labels:
        found.append(Picture(width_mm=WIDTH_MM, height_mm=y + high, ink=tuple(ink)))
    return tuple(found)


def broken(label: StripLabel) -> tuple[str, ...]:
    """The lines of a label: as its plate has it, else parted between words where it is too wide."""
    return _set(label)[0]


def _set(label: StripLabel) -> tuple[tuple[str, ...], float]:
    """Its lines, and how narrow the letters are."""
    if label.room_mm is None:
        room = WIDTH_MM - 2 * BESIDE_MM
        return metrics.wrap(label.text, label.capital_mm, room, bold=True), 1.0
    if label.over:
        lines, narrow = engraved.heading_lines(label.text, label.room_mm, label.capital_mm)
        return tuple(lines), narrow
    lines = engraved.lines(label.text, label.room_mm, label.narrow, label.capital_mm)
    return tuple(lines), label.narrow


def size_mm(label: StripLabel) -> tuple[float, float]:
    """Width and height of a strip; each line after the first lies 1.8 capitals lower."""
    lines, narrow = _set(label)
    widths = (narrow * metrics.width_mm(line, label.capital_mm, bold=True) for line in lines)
    high = label.capital_mm * (1.0 + LEADING * (len(lines) - 1))
    wide = max(widths, default=0.0)
    cut = wide + 2 * BESIDE_MM
    return (
        cut if label.room_mm is None else max(wide, min(cut, label.room_mm))
    ), high + 2 * OVER_MM


def _strip(label: StripLabel, lines: Sequence[str], at: Point) -> list[Ink]:
    """One strip from its top left corner on, and its name under it."""
    x, y = at
    wide, high = size_mm(label)
    corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    found: list[Ink] = [InkPath(points=corners, width_mm=0.15, colour=GREY, closed=True)]
    for n, line in enumerate(lines):
        base = y + OVER_MM + label.capital_mm * (1.0 + LEADING * n)
        found.append(
            Lettering(
                text=line, at=(x + wide / 2, base), capital_mm=label.capital_mm, bold=True,
                align="center", narrow=_set(label)[1],
            )
        )  # fmt: skip
    under = y + high + 1.0 + NAME_MM
    name = Lettering(text=label.name, at=(x, under), capital_mm=NAME_MM, colour=GREY)
    return [*found, name]


def _rule() -> list[Ink]:
    """A rule of 100 mm with a stroke each 10 mm: what the paper is measured by."""
    found: list[Ink] = [InkPath(points=((0.0, 4.0), (RULE_MM, 4.0)), width_mm=0.25)]
    for k in range(11):
        x = k * RULE_MM / 10
        low = 1.0 if k in (0, 10) else 2.5
        found.append(InkPath(points=((x, low), (x, 4.0)), width_mm=0.25))
    said = Lettering(text=f"{RULE_MM:.0f} mm", at=(RULE_MM + 2.0, 4.0), capital_mm=NAME_MM)
    return [*found, said]
