"""Sheets to SVG; the only file that touches the inside of schemdraw.

One unit of the view box is one millimetre. schemdraw's own SVG figure draws each symbol once (two
of its private calls, `_place` and `_draw`, are used here and nowhere else, and are covered by
tests); lines, areas and text are written as plain SVG. The same sheet gives the same bytes.
"""

import re
import sys
from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from itertools import groupby
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from elec.drawings import metrics
from elec.drawings.frame import furniture
from elec.drawings.sheet import (
    BLACK,
    Box,
    Circle,
    Item,
    Lettering,
    Path,
    Placed,
    Sheet,
    Size,
    TitleBlock,
)

_LAYERS = {"box": 0, "flag": 0, "rule": 1, "frame": 2, "wire": 3, "bar": 4, "symbol": 5, "dot": 6}
_TEXT_LAYER = 7
_STROKE_MM = 0.35
_SYMBOL_STYLE = f'stroke-width="{_STROKE_MM}" stroke-linecap="round" stroke-linejoin="round"'
FONTS = f"'{metrics.FAMILY}',Verdana,sans-serif"


@lru_cache(maxsize=1 << 16)
def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


# --- schemdraw --------------------------------------------------------------------------------


def _schemdraw() -> Any:
    """Schemdraw with its SVG backend; its other backend would load a plotting library."""
    sys.modules.setdefault("schemdraw.backends.mpl", None)  # type: ignore[arg-type]
    import schemdraw

    schemdraw.use("svg")
    return schemdraw


@cache
def _placed_element(name: str) -> Any:
    _schemdraw()
    from elec.drawings.symbols import build

    element = build(name)
    element._place((0, 0), 0, unit=1, color="black", lw=_STROKE_MM, bgcolor="white")  # noqa: SLF001  # no public call places an element alone
    return element


@cache
def extent(name: str) -> Box:
    """Left, top, right and bottom of a symbol from its left terminal, mm, y down."""
    found = _placed_element(name).get_bbox(transform=True, includetext=False)
    half = _STROKE_MM / 2
    return (found.xmin - half, -found.ymax - half, found.xmax + half, -found.ymin + half)


@cache
def symbol_svg(name: str) -> str:
    """The SVG of a symbol with its left terminal at the origin."""
    from xml.etree import ElementTree as ET

    element = _placed_element(name)
    from schemdraw.backends.svg import Figure
    from schemdraw.types import BBox

    figure = Figure(bbox=BBox(-20, -20, 20, 20), inches_per_unit=1 / 72)
    element._draw(figure)  # noqa: SLF001  # as above
    ordered = [ink for _, ink in sorted(figure.svgelements, key=lambda pair: pair[0])]
    return _tidy("".join(ET.tostring(ink, encoding="unicode") for ink in ordered))


def _tidy(ink: str) -> str:
    """Equal bytes on every run: rounded numbers, no namespace, no empty dashes."""
    ink = re.sub(r' xmlns(:\w+)?="[^"]*"', "", ink)
    for usual in (
        "stroke-dasharray:-;",
        "stroke:black;",
        "stroke-linecap:round;",
        "stroke-linejoin:round;",
    ):
        ink = ink.replace(usual, "")
    ink = ink.replace("fill:none;", "").replace(f"stroke-width:{_STROKE_MM};", "")
    ink = ink.replace(' style=""', "")
    ink = re.sub(r"-?\d+\.\d{3,}", lambda m: _number(float(m.group())), ink)
    return re.sub(r"(?<![\d.])-0(?![\d.])", "0", ink).replace(" />", "/>")


# --- plain ink --------------------------------------------------------------------------------


def _stroke(width_mm: float, colour: str, dash: Sequence[float], fill: str | None) -> str:
    """Attributes that differ from those of the group: black lines, not filled."""
    parts = [f'stroke-width="{_number(width_mm)}"']
    if fill:
        parts.append(f'fill="{fill}"')
    if colour != BLACK:
        parts.append(f'stroke="{colour}"')
    if dash:
        parts.append(f'stroke-dasharray="{",".join(_number(d) for d in dash)}"')
    return " ".join(parts)


def _path_data(ink: Path) -> str:
    data = "M" + "L".join(f"{_number(x)} {_number(y)}" for x, y in ink.points)
    return data + ("Z" if ink.closed else "")


def _path_style(ink: Path) -> str:
    return _stroke(ink.width_mm, ink.colour, ink.dash, ink.fill)


def _path_ink(ink: Path) -> str:
    if ink.corner_mm:
        (x0, y0), (x1, y1) = ink.points[0], ink.points[2]
        return (
            f'<rect x="{_number(x0)}" y="{_number(y0)}" width="{_number(x1 - x0)}" '
            f'height="{_number(y1 - y0)}" rx="{_number(ink.corner_mm)}" {_path_style(ink)}/>'
        )
    return f'<path d="{_path_data(ink)}" {_path_style(ink)}/>'


def _inks(items: Sequence[Item], links: bool = False) -> str:
    """The ink of several items; neighbouring lines of one style become one path."""
    parts: list[str] = []
    for style, run in groupby(items, key=_line_style):
        if style:
            data = "".join(_path_data(i.ink) for i in run if isinstance(i.ink, Path))
            parts.append(f'<path d="{data}" {style}/>')
        else:
            parts.extend(_ink(item, links) for item in run)
    return "".join(parts)


def _line_style(item: Item) -> str:
    """The style of a plain line; empty for everything else."""
    ink = item.ink
    plain = isinstance(ink, Path) and not ink.corner_mm and not ink.fill
    return _path_style(ink) if plain and isinstance(ink, Path) else ""


def _circle_ink(ink: Circle) -> str:
    x, y = ink.centre
    return (
        f'<circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(ink.radius_mm)}" '
        f"{_stroke(ink.width_mm, ink.colour, ink.dash, ink.fill)}/>"
    )


def _text_ink(ink: Lettering, links: bool) -> str:
    x, y = ink.at
    anchor = {"left": "", "center": ' text-anchor="middle"', "right": ' text-anchor="end"'}
    weight = ' font-weight="700"' if ink.bold else ""
    colour = "" if ink.colour == BLACK else f' fill="{ink.colour}"'
    size = _number(metrics.font_size_mm(ink.capital_mm))
    text = (
        f'<text x="{_number(x)}" y="{_number(y)}" font-size="{size}"'
        f"{anchor[ink.align]}{weight}{colour}>{escape(ink.text)}</text>"
    )
    return f'<a href="#{escape(ink.link)}">{text}</a>' if links and ink.link else text


def _ink(item: Item, links: bool = False) -> str:
    ink = item.ink
    if isinstance(ink, Lettering):
        return _text_ink(ink, links)
    if isinstance(ink, Path):
        return _path_ink(ink)
    if isinstance(ink, Circle):
        return _circle_ink(ink)
    x, y = ink.at
    scale = f" scale({_number(ink.scale)})" if ink.scale != 1.0 else ""
    place = f"translate({_number(x)} {_number(y)}){scale}"
    return f'<g transform="{place}" {_SYMBOL_STYLE}>{symbol_svg(ink.name)}</g>'


# --- the sheet --------------------------------------------------------------------------------


def layer(item: Item) -> int:
    """The order in which items are drawn: areas, lines, bars, symbols, dots, texts."""
    return _TEXT_LAYER if isinstance(item.ink, Lettering) else _LAYERS[item.kind]


def identifier(sheet: Sheet, ref: str) -> str:
    """The id of the first item of a reference on a sheet."""
    return f"{sheet.id}-{_word(ref)}"


@lru_cache(maxsize=1 << 14)
def _word(ref: str) -> str:
    """A reference as part of an id."""
    return re.sub(r"[^A-Za-z0-9_.-]", "_", ref)


def _group(sheet: Sheet, items: Sequence[Item], links: bool, seen: set[str]) -> str:
    """Items of one kind and reference as a group; the first of a reference carries its id."""
    kind, ref = items[0].kind, items[0].ref
    inside = _inks(items, links)
    if not ref:
        return f'<g class="{kind}"{_data(items[0])}>{inside}</g>'
    name = identifier(sheet, ref)
    own = "" if name in seen else f' id="{name}"'
    seen.add(name)
    return f'<g class="{kind}" data-ref={quoteattr(ref)}{_data(items[0])}{own}>{inside}</g>'


_NETTED = ("wire", "bar")


def _data(item: Item) -> str:
    """What a line or contact stands for: its net, what it is, and where a conductor ends."""
    found = ""
    if item.kind in _NETTED and item.net != item.ref:
        found += f" data-net={quoteattr(item.net)}"
    if item.role and (item.kind in _NETTED or item.role in ROLES):
        found += f" data-role={quoteattr(item.role)}"
    if any(item.ends):
        found += f" data-ends={quoteattr('|'.join(item.ends))}"
    return found


ROLES = frozenset({"pin", "shield", "twist"})
"""Roles of other items than lines that are written out."""


def _alike(item: Item) -> tuple[object, ...]:
    return (layer(item), item.kind, item.ref, _data(item))


def _groups(sheet: Sheet, items: Iterable[Item], links: bool) -> str:
    """The items, lines below and texts above."""
    seen: set[str] = set()
    ordered = sorted(items, key=layer)
    inks: list[str] = []
    texts: list[str] = []
    for (level, *_), part in groupby(ordered, key=_alike):
        group = _group(sheet, list(part), links, seen)
        (texts if level == _TEXT_LAYER else inks).append(group)
    return _lines_and_texts("\n".join(inks), "\n".join(texts))


def _lines_and_texts(inks: str, texts: str) -> str:
    return f'<g fill="none" stroke="{BLACK}">\n{inks}\n</g>\n<g fill="{BLACK}">\n{texts}\n</g>'


@lru_cache(maxsize=8)
def _frame(size: Size, title: TitleBlock) -> str:
    items = furniture(Sheet(size=size, title=title))
    lines = sorted((i for i in items if layer(i) < _TEXT_LAYER), key=_line_style)
    inks = _inks(lines)
    texts = _inks([i for i in items if layer(i) == _TEXT_LAYER])
    return _lines_and_texts(inks, texts)


def to_svg(sheet: Sheet, *, embed_font: bool = False, links: bool = False) -> str:
    """The sheet as SVG, in true millimetres.

    `embed_font` puts the bundled fonts into the file, for a file that stands alone; a page that
    holds many sheets gives the rules of `metrics.font_face` once. `links` turns cross references
    into links to the ids of other sheets. All ids start with the sheet's id.
    """
    width, height = _number(sheet.width_mm), _number(sheet.height_mm)
    title = f"{sheet.title.title} (sheet {sheet.title.label})"
    style = f"<style>{metrics.font_face()}</style>\n" if embed_font else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{sheet.id}" class="sheet" role="img" '
        f'aria-labelledby="{sheet.id}-title {sheet.id}-desc" width="{width}mm" '
        f'height="{height}mm" viewBox="0 0 {width} {height}" '
        f'font-family="{FONTS}" text-rendering="geometricPrecision">\n'
        f'<title id="{sheet.id}-title">{escape(title)}</title>\n'
        f'<desc id="{sheet.id}-desc">{escape(sheet.description)}</desc>\n'
        f'{style}<rect width="{width}" height="{height}" fill="#ffffff"/>\n'
        f'<g class="frame">{_frame(sheet.size, sheet.title)}</g>\n'
        f"{_groups(sheet, sheet.items, links)}\n</svg>\n"
    )


__all__ = ["FONTS", "Placed", "extent", "identifier", "layer", "symbol_svg", "to_svg"]
