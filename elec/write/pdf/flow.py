"""Text on a page: wrapped lines that may be split over pages, headings with bookmarks, pictures.

Text is measured with the widths of the bundled fonts; the page itself is filled by reportlab.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from msgspec import Struct, field
from reportlab.platypus import Flowable

from elec.drawings.ink import Picture
from elec.drawings.metrics import width_em
from elec.write.pdf.paper import MM, colour, font
from elec.write.pdf.pen import draw_picture

INK, QUIET, LINK, PALE, RULE = "#000000", "#505050", "#004f80", "#eef2f6", "#9aa4ad"
VERDICTS: Mapping[str, str] = {
    "fail": "#a40000",
    "advise": "#7a4b00",
    "cannot-tell": "#55308d",
    "accepted": "#004f80",
    "pass": "#1b5e20",
}
"""The colour of a verdict, which its sign and its word say, too."""
_BREAKS = "-/.,:_·"


class TextLook(Struct, frozen=True, kw_only=True):
    """How a text looks, in points."""

    size: float = 9.0
    leading: float = 12.0
    bold: bool = False
    colour: str = INK
    before: float = 0.0
    after: float = 3.0
    indent: float = 0.0
    """Where the text begins; what leads it stands before."""
    box: str = ""
    """The colour of a frame around it; empty for none."""


class Marks(Struct, kw_only=True):
    """What the pages of one file tell each other: where things are, and what may be led to."""

    known: set[str] = field(default_factory=set)
    pages: dict[str, int] = field(default_factory=dict)
    named: set[str] = field(default_factory=set)
    led: set[str] = field(default_factory=set)
    """What links lead to."""

    def lead(self, canvas: Any, key: str, box: tuple[float, float, float, float]) -> None:
        """Make a part of the flowable being drawn a link."""
        self.led.add(key)
        canvas.linkRect("", key, box, relative=1, thickness=0)

    def settle(self, canvas: Any) -> None:
        """Let links that lead to nothing lead to this page: no file is lost for a link."""
        for key in sorted(self.led - self.named):
            self.name(canvas, key)

    def name(self, canvas: Any, key: str, top: float | None = None) -> None:
        """Name this page, or the spot at a height of the flowable being drawn, once."""
        if not key or key in self.named:
            return
        self.named.add(key)
        self.pages[key] = canvas.getPageNumber()
        if top is None:
            canvas.bookmarkPage(key, fit="Fit")
        else:
            canvas.bookmarkHorizontal(key, 0, top)


def wrap_pt(text: str, size: float, room: float, bold: bool = False) -> list[str]:
    """The lines of a text that are no wider than `room` points; line ends in it are kept."""
    return [
        line for part in text.split("\n") for line in _wrapped(part, room / size, bold) or ("",)
    ]


@lru_cache(maxsize=4096)
def _wrapped(text: str, room_em: float, bold: bool) -> tuple[str, ...]:
    gap = width_em(" ", bold)
    lines: list[str] = []
    line, wide = "", 0.0
    for word in text.split(" "):
        own = width_em(word, bold)
        if line and wide + gap + own <= room_em:
            line, wide = f"{line} {word}", wide + gap + own
            continue
        if line:
            lines.append(line)
        while own > room_em and len(word) > 1:
            cut = _cut(word, room_em, bold)
            lines.append(word[:cut])
            word = word[cut:]  # noqa: PLW2901 - what is left of it
            own = width_em(word, bold)
        line, wide = word, own
    return (*lines, line) if line else tuple(lines)


def _cut(word: str, room_em: float, bold: bool) -> int:
    """How much of a word fits: up to a hyphen or the like where there is one."""
    fits = 1
    while fits < len(word) and width_em(word[: fits + 1], bold) <= room_em:
        fits += 1
    soft = max((word.rfind(mark, 1, fits) + 1 for mark in _BREAKS), default=0)
    return soft if soft > fits // 3 else fits


class Text(Flowable):  # type: ignore[misc] # reportlab has no types
    """A text in one look, with a short bold lead before it; it may go on on the next page."""

    def __init__(self, text: str, look: TextLook, lead: str = "", lead_colour: str = "") -> None:
        """Keep what is to be set."""
        super().__init__()
        self.text, self.look, self.lead = text, look, lead
        self.lead_colour = lead_colour or look.colour
        self.spaceBefore, self.spaceAfter = look.before, look.after
        lead_wide = width_em(lead, bold=True) * look.size + 6 if lead else 0.0
        self.indent = max(look.indent, lead_wide)
        self.lines: Sequence[str] | None = None

    @property
    def pad(self) -> float:
        """Room between a frame and the text."""
        return 5.0 if self.look.box else 0.0

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """Size on a page of this width."""
        del high
        self.width = wide
        if self.lines is None:
            room = max(20.0, wide - self.indent - 2 * self.pad)
            self.lines = wrap_pt(self.text, self.look.size, room, self.look.bold)
        return wide, len(self.lines) * self.look.leading + 2 * self.pad

    def split(self, wide: float, high: float) -> list["Text"]:
        """Two texts, of which the first fits; none where fewer than two lines would."""
        self.wrap(wide, high)
        lines = self.lines or ()
        fits = int((high - 2 * self.pad) // self.look.leading)
        if fits >= len(lines):
            return [self]
        fits = min(fits, len(lines) - 2)
        if fits < 2:
            return []
        first, rest = Text("", self.look, self.lead, self.lead_colour), Text("", self.look)
        rest.indent = self.indent
        first.lines, rest.lines = lines[:fits], lines[fits:]
        return [first, rest]

    def draw(self) -> None:
        """Set the lines."""
        look, canvas = self.look, self.canv
        lines = self.lines or ()
        high = len(lines) * look.leading + 2 * self.pad
        if look.box:
            canvas.setStrokeColor(colour(look.box))
            canvas.setLineWidth(0.8)
            canvas.rect(0, 0, self.width, high, stroke=1, fill=0)
            canvas.setFillColor(colour(look.box))
            canvas.rect(0, 0, 2, high, stroke=0, fill=1)
        out = canvas.beginText()
        base = high - self.pad - look.leading + 0.28 * look.leading
        if self.lead:
            out.setFont(font(bold=True), look.size)
            out.setFillColor(colour(self.lead_colour))
            out.setTextOrigin(self.pad + (3 if look.box else 0), base)
            out.textOut(self.lead)
        out.setFont(font(bold=look.bold), look.size)
        out.setFillColor(colour(look.colour))
        left = self.indent + self.pad + (3 if look.box else 0)
        for k, line in enumerate(lines):
            out.setTextOrigin(left, base - k * look.leading)
            out.textOut(line)
        canvas.drawText(out)


class Heading(Text):
    """A heading that is named for links, listed among the bookmarks, and never left alone."""

    def __init__(
        self, text: str, look: TextLook, key: str, marks: Marks, level: int | None
    ) -> None:
        """Keep what is to be set; level None: no bookmark."""
        super().__init__(text, look)
        self.key, self.marks, self.level = key, marks, level

    def split(self, wide: float, high: float) -> list[Text]:
        """A heading is never split."""
        del wide, high
        return []

    def draw(self) -> None:
        """Set it and name the spot."""
        super().draw()
        top = len(self.lines or ()) * self.look.leading + 6
        fresh = self.key not in self.marks.named
        self.marks.name(self.canv, self.key, top)
        if self.level is not None and fresh:
            self.canv.addOutlineEntry(self.text, self.key, self.level, closed=True)


class Named(Flowable):  # type: ignore[misc]
    """Nothing but a spot that links lead to, with a bookmark where it has a title."""

    def __init__(self, key: str, marks: Marks, title: str = "", level: int = 0) -> None:
        """Keep the name."""
        super().__init__()
        self.key, self.marks, self.title, self.level = key, marks, title, level

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """It takes no room."""
        del wide, high
        return 0.0, 0.0

    def draw(self) -> None:
        """Name the spot."""
        fresh = self.key not in self.marks.named
        self.marks.name(self.canv, self.key, 10)
        if self.title and fresh:
            self.canv.addOutlineEntry(self.title, self.key, self.level, closed=True)


class Chart(Flowable):  # type: ignore[misc]
    """A chart, as large as it was drawn or as the page is wide."""

    def __init__(self, picture: Picture) -> None:
        """Keep the picture."""
        super().__init__()
        self.picture = picture
        self.spaceAfter = 4

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """Size on a page of this width."""
        natural = (self.picture.width_mm * MM, self.picture.height_mm * MM)
        self.scale = min(1.0, wide / natural[0], max(0.3, high / natural[1]))
        return (natural[0] * self.scale, natural[1] * self.scale)

    def draw(self) -> None:
        """Draw it as vectors."""
        draw_picture(self.canv, self.picture, self.scale)
