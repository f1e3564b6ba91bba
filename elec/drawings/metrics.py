"""Widths and heights of text, from the advance widths of the bundled fonts.

All sizes are capital heights in millimetres, as ISO 3098 gives them; the font size (em) follows.
"""

import base64
import unicodedata
from functools import lru_cache
from importlib.resources import files

FAMILY = "DejaVu Sans"
UNITS_PER_EM = 2048
CAPITAL_EM = 1493 / UNITS_PER_EM
"""Height of H over the font size, from the glyph outlines of both fonts."""
ASCENDER_EM = 1556 / UNITS_PER_EM
ACCENTED_EM = 1901 / UNITS_PER_EM
DESCENDER_EM = 442 / UNITS_PER_EM
SMALLEST_MM = 2.5
"""Nothing on a sheet is smaller: read at arm's length on A4, and still 1.8 mm, the smallest
lettering of ISO 3098, where A3 is printed on A4."""
NARROW = 0.85
"""Width of the letters as drawn over that of the font, which is a broad one: so they are as wide
as those of most others, and more of them stand in a line."""
_ASCENDING = frozenset("bdfhkl()[]{}|/ß")
MOST_KEPT = 1 << 16
"""So many texts are measured once: more than a large system has, for what is asked for in turn and
was let go is measured anew each time."""
_DESCENDING = frozenset("gjpqyQ,;()[]{}|/@_$ç§µ¶")
_UNKNOWN_EM = 0.75
_WIDE_EM = 1.1


@lru_cache(maxsize=1)
def _advances() -> dict[bool, dict[str, int]]:
    text = files("elec.drawings.fonts").joinpath("advances.csv").read_text(encoding="utf-8")
    widths: dict[bool, dict[str, int]] = {False: {}, True: {}}
    for line in text.splitlines():
        if line.startswith(("#", "code_point")):
            continue
        code, regular, bold = line.split(",")
        widths[False][chr(int(code, 16))] = int(regular)
        widths[True][chr(int(code, 16))] = int(bold)
    return widths


def _unknown(character: str) -> float:
    wide = unicodedata.east_asian_width(character) in "WF"
    return (_WIDE_EM if wide else _UNKNOWN_EM) * UNITS_PER_EM


@lru_cache(maxsize=MOST_KEPT)
def width_em(text: str, bold: bool = False) -> float:
    """Width of a line of text over its font size; a character not in the font counts wide.

    >>> round(width_em("Hm"), 3)
    1.726
    """
    widths = _advances()[bold]
    try:
        return sum(map(widths.__getitem__, text)) / UNITS_PER_EM
    except KeyError:
        return sum(widths.get(c) or _unknown(c) for c in text) / UNITS_PER_EM


def font_size_mm(capital_mm: float) -> float:
    """Font size (em) that gives this capital height."""
    return capital_mm / CAPITAL_EM


def width_mm(text: str, capital_mm: float, bold: bool = False) -> float:
    """Width of a line of text as drawn, in mm."""
    return NARROW * width_em(text, bold) * (capital_mm / CAPITAL_EM)


def above_mm(text: str, capital_mm: float) -> float:
    """How far the text rises over its base line, in mm."""
    return _above_em(text) * font_size_mm(capital_mm)


@lru_cache(maxsize=MOST_KEPT)
def _above_em(text: str) -> float:
    accented = not text.isascii() and any(c.isupper() and ord(c) > 0xBF for c in text)
    ascending = not _ASCENDING.isdisjoint(text)
    return ACCENTED_EM if accented else ASCENDER_EM if ascending else CAPITAL_EM


def below_mm(text: str, capital_mm: float) -> float:
    """How far the text reaches under its base line, in mm."""
    return 0.0 if _DESCENDING.isdisjoint(text) else DESCENDER_EM * font_size_mm(capital_mm)


@lru_cache(maxsize=MOST_KEPT)
def clean(text: str) -> str:
    """The text on one line, without characters that XML forbids."""
    if not text.isprintable():
        text = "".join(c if c.isprintable() else " " for c in text)
    return " ".join(text.split())


def fit(text: str, capital_mm: float, room_mm: float, bold: bool = False) -> tuple[str, float]:
    """Text and capital height that fit in `room_mm`: first smaller, then cut with an ellipsis."""
    full = width_mm(text, 1.0, bold)
    if full * capital_mm <= room_mm + 1e-6 or not text:
        return text, capital_mm
    smaller = int(100 * room_mm / full) / 100
    if smaller >= SMALLEST_MM:
        return text, smaller
    size = min(capital_mm, SMALLEST_MM)
    short = text
    while len(short) > 1 and width_mm(short + "…", size, bold) > room_mm:
        short = short[:-1].rstrip()
    return short + "…", size


def clip(text: str, room_mm: float, capital_mm: float = SMALLEST_MM, bold: bool = False) -> str:
    """The text, cleaned, and cut with an ellipsis where it is wider than any drawing has room."""
    text = clean(text)
    if width_mm(text, capital_mm, bold) <= room_mm + 1e-6:
        return text
    while len(text) > 1 and width_mm(text + "…", capital_mm, bold) > room_mm:
        text = text[:-1].rstrip()
    return text + "…"


COUNTED = frozenset({"contact", "pole", "terminal", "terminals", "zone", "⌀", "☐"})
"""Words and signs that what stands behind them is not parted from."""


def _tied(text: str, capital_mm: float, room_mm: float, bold: bool) -> list[str]:
    """The words of a text, a number with the word that says what it counts."""
    found: list[str] = []
    for word in text.split():
        if found and found[-1] in COUNTED:
            both = f"{found[-1]} {word}"
            if width_mm(both, capital_mm, bold) <= room_mm:
                found[-1] = both
                continue
        found.append(word)
    return found


@lru_cache(maxsize=MOST_KEPT)
def wrap(text: str, capital_mm: float, room_mm: float, bold: bool = False) -> tuple[str, ...]:
    """The text in lines no wider than `room_mm`; a word that is wider is broken."""
    whole = " ".join(text.split())
    if whole and width_mm(whole, capital_mm, bold) <= room_mm:
        return (whole,)
    lines: list[str] = []
    line = ""
    for word in _tied(text, capital_mm, room_mm, bold):
        longer = f"{line} {word}".strip()
        if width_mm(longer, capital_mm, bold) <= room_mm:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while width_mm(line, capital_mm, bold) > room_mm and len(line) > 1:
            cut = len(line) - 1
            while cut > 1 and width_mm(line[:cut], capital_mm, bold) > room_mm:
                cut -= 1
            lines.append(line[:cut])
            line = line[cut:]
    return (*lines, line) if line else tuple(lines)


def lines(
    text: str, capital_mm: float, room_mm: float, most: int, bold: bool = False
) -> tuple[str, ...]:
    """The text in so many lines at most; dots say that there is more."""
    found = wrap(text, capital_mm, room_mm, bold)
    if len(found) <= most:
        return found
    rest = " ".join(found[most - 1 :])
    return (*found[: most - 1], clip(rest, room_mm, capital_mm, bold))


def font_data(*, bold: bool) -> str:
    """The font file as base64, for a style sheet."""
    name = f"DejaVuSans{'-Bold' if bold else ''}-subset.woff2"
    return base64.b64encode(files("elec.drawings.fonts").joinpath(name).read_bytes()).decode()


def font_face() -> str:
    """The `@font-face` rules that put both fonts into a page."""
    rule = (
        "@font-face{{font-family:'{0}';font-weight:{1};"
        "src:url(data:font/woff2;base64,{2}) format('woff2')}}"
    )
    return "".join(
        rule.format(FAMILY, weight, font_data(bold=bold))
        for weight, bold in (("400", False), ("700", True))
    )
