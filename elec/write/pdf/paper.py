"""A PDF being written: fonts, metadata, and the same bytes for the same content."""

import io
from functools import cache, partial
from importlib.resources import files
from typing import Any
from weakref import WeakKeyDictionary

from elec import __version__
from elec.cautions import SHORT

MM = 72 / 25.4
"""Points in a millimetre."""
REGULAR, BOLD = "elec", "elec-bold"
MARK = f"\n% written by elec {__version__}\n".encode()
"""Stands behind the end of the file, where every reader passes over it; by it a file is ours."""


@cache
def load_fonts() -> None:
    """Register the bundled fonts; only the letters used go into a file."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    class Font(TTFont):  # type: ignore[misc] # reportlab has no types
        """A font that looks up the letters of a text once a file: most texts come again."""

        def splitString(self, text: str, doc: Any, encoding: str = "utf-8") -> Any:  # noqa: N802
            kept = split.setdefault(doc, {})
            key = self.fontName, text
            if key not in kept:
                kept[key] = super().splitString(text, doc, encoding)
            return kept[key]

    split: WeakKeyDictionary[Any, dict[tuple[str, str], Any]] = WeakKeyDictionary()
    for name, file in ((REGULAR, "DejaVuSans-subset.ttf"), (BOLD, "DejaVuSans-Bold-subset.ttf")):
        content = files("elec.drawings.fonts").joinpath(file).read_bytes()
        pdfmetrics.registerFont(Font(name, io.BytesIO(content)))


def font(*, bold: bool) -> str:
    """The name of the registered font."""
    return BOLD if bold else REGULAR


def new_canvas(held: io.BytesIO, title: str, *, author: str = "") -> Any:
    """A canvas whose bytes depend on nothing but what is drawn: no date, no random mark."""
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    load_fonts()
    rl_config.useA85 = 0  # text around compressed bytes: a quarter more of them, and time
    canvas = Canvas(held, pageCompression=1, invariant=1, lang="en", initialFontName=REGULAR)
    describe(canvas, title, author=author)
    return canvas


def new_canvas_class() -> Any:
    """The canvas for a document that reportlab fills; its first font is one of ours."""
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0
    return partial(Canvas, initialFontName=REGULAR, lang="en")


def describe(canvas: Any, title: str, *, author: str = "") -> None:
    """Put title and origin into the file."""
    canvas.setTitle(title)
    canvas.setAuthor(author or "not given")
    canvas.setSubject(f"written by elec; {SHORT}")
    canvas.setCreator(f"elec {__version__}")


@cache
def colour(text: str) -> Any:
    """A colour by its hexadecimal or its name; a reading is dear, so it is kept."""
    from reportlab.lib import colors

    known: Any = colors
    return known.HexColor(text) if text.startswith("#") else known.toColor(text)


def finished(held: io.BytesIO) -> bytes:
    """The bytes of a saved file with our mark behind them."""
    return held.getvalue() + MARK
