"""Sheets and charts to SVG, one unit a millimetre; the same drawing gives the same bytes."""

import math
from collections.abc import Iterable, Iterator, Mapping
from functools import cache, lru_cache
from html import escape
from itertools import groupby
from types import MappingProxyType

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings import metrics, symbols
from elec.drawings.frame import blank, filled
from elec.drawings.index import identifier
from elec.drawings.ink import BLACK, WHITE, Arc, Circle, Ink, InkPath, Lettering, Picture, Placed
from elec.drawings.sheet import Item, Sheet, Size
from elec.kept import takes_over

_LAYERS = {"box": 0, "flag": 0, "rule": 1, "frame": 2, "wire": 3, "bar": 4, "symbol": 5, "dot": 6}
_TEXT_LAYER = 7
_ROUND = 'stroke-linecap="round" stroke-linejoin="round"'
_FONTS = f"'{metrics.FAMILY}',Verdana,sans-serif"
_LETTERS = f'fill="{BLACK}" transform="scale({metrics.NARROW} 1)"'
_USUAL_SIZE = metrics.font_size_mm(metrics.SMALLEST_MM)
"""Said once for the whole drawing: nearly all letters have it."""
"""A group of texts: all of them are drawn narrower, so their x is that much larger."""
_WIDER = f"{1 / metrics.NARROW:.5f}"
Leads = Mapping[str, str]
"""Link → the id in the page that it leads to; a link that is not here is plain text."""
_NOWHERE: Leads = MappingProxyType({})


@lru_cache(maxsize=1 << 16)
def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@lru_cache(maxsize=1 << 14)
def _escaped(text: str) -> str:
    """A text for markup; names of things come again and again."""
    return escape(text, quote=False)


@lru_cache(maxsize=1 << 14)
def _quoted(text: str) -> str:
    """A text as an attribute."""
    return '"' + _escaped(text).replace('"', "&quot;") + '"'


# --- ink --------------------------------------------------------------------------------------


@lru_cache(maxsize=1 << 10)
def _stroke(width_mm: float, colour: str, dash: tuple[float, ...], fill: str | None) -> str:
    """Attributes that differ from those of the group: black lines, not filled."""
    parts = [f'stroke-width="{_number(width_mm)}"' if width_mm else 'stroke="none"']
    if fill:
        parts.append(f'fill="{fill}"')
    if colour != BLACK and width_mm:
        parts.append(f'stroke="{colour}"')
    if dash:
        parts.append(f'stroke-dasharray="{",".join(_number(d) for d in dash)}"')
    return " ".join(parts)


def _path_data(ink: InkPath) -> str:
    data = "M" + "L".join(f"{_number(x)} {_number(y)}" for x, y in ink.points)
    return data + ("Z" if ink.closed else "")


def _path_style(ink: InkPath) -> str:
    return _stroke(ink.width_mm, ink.colour, ink.dash, ink.fill)


def _path_ink(ink: InkPath) -> str:
    if ink.corner_mm:
        (x0, y0), (x1, y1) = ink.points[0], ink.points[2]
        return (
            f'<rect x="{_number(x0)}" y="{_number(y0)}" width="{_number(x1 - x0)}" '
            f'height="{_number(y1 - y0)}" rx="{_number(ink.corner_mm)}" {_path_style(ink)}/>'
        )
    return f'<path d="{_path_data(ink)}" {_path_style(ink)}/>'


def _inks(inks: Iterable[Ink], leads: Leads = _NOWHERE) -> str:
    """Ink in its order; neighbouring lines of one style become one path."""
    parts: list[str] = []
    for style, run in groupby(inks, key=_line_style):
        if style:
            data = "".join(_path_data(ink) for ink in run if isinstance(ink, InkPath))
            parts.append(f'<path d="{data}" {style}/>')
        else:
            parts.extend(_ink(ink, leads) for ink in run)
    return "".join(parts)


@lru_cache(maxsize=1 << 10)
def _unlinked(inks: tuple[Ink, ...]) -> str:
    """Ink without links: it is the same in the page and in a file of its own."""
    return _inks(inks)


def _links(inks: Iterable[Ink]) -> bool:
    """Whether any of it may be a link."""
    return any(isinstance(ink, Lettering) and ink.link for ink in inks)


def _line_style(ink: Ink) -> str:
    """The style of a plain line; empty for everything else."""
    if isinstance(ink, InkPath) and not ink.corner_mm and not ink.fill:
        return _path_style(ink)
    return ""


def _circle_ink(ink: Circle) -> str:
    x, y = ink.centre
    return (
        f'<circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(ink.radius_mm)}" '
        f"{_stroke(ink.width_mm, ink.colour, ink.dash, ink.fill)}/>"
    )


def _arc_ink(ink: Arc) -> str:
    (x, y), (rx, ry) = ink.centre, ink.radii_mm
    turns = [math.radians(turn) for turn in (ink.start_deg, ink.start_deg + ink.turn_deg)]
    ends = [(x + rx * math.cos(turn), y - ry * math.sin(turn)) for turn in turns]
    first, last = (f"{_number(a)} {_number(b)}" for a, b in ends)
    style = _stroke(ink.width_mm, ink.colour, (), None)
    return f'<path d="M{first}A{_number(rx)} {_number(ry)} 0 0 0 {last}" {style}/>'


_ANCHORS = {"left": "", "center": ' text-anchor="middle"', "right": ' text-anchor="end"'}


def _text_ink(ink: Lettering, leads: Leads) -> str:
    x, y = _number(ink.at[0] / metrics.NARROW / ink.narrow), _number(ink.at[1])
    weight = ' font-weight="700"' if ink.bold else ""
    colour = "" if ink.colour == BLACK else f' fill="{ink.colour}"'
    turn = f' transform="scale({_number(ink.narrow)} 1)"' if ink.narrow != 1.0 else ""
    if ink.turned:  # upright, it is narrow the other way
        place = f"translate({_number(ink.at[0])} {y})"
        turn = f' transform="scale({_WIDER} 1) {place} rotate(-90) scale({metrics.NARROW} 1)"'
        x = y = "0"
    size = metrics.font_size_mm(ink.capital_mm)
    own = "" if size == _USUAL_SIZE else f' font-size="{_number(size)}"'
    text = (
        f'<text x="{x}" y="{y}"{own}'
        f"{_ANCHORS[ink.align]}{weight}{colour}{turn}>{_escaped(ink.text)}</text>"
    )
    return f"<a href={_quoted('#' + leads[ink.link])}>{text}</a>" if ink.link in leads else text


def _ink(ink: Ink, leads: Leads) -> str:
    match ink:
        case Lettering():
            return _text_ink(ink, leads)
        case InkPath():
            return _path_ink(ink)
        case Circle():
            return _circle_ink(ink)
        case Arc():
            return _arc_ink(ink)
        case Placed():
            (x, y), scale = ink.at, f" scale({_number(ink.scale)})" if ink.scale != 1.0 else ""
            place = f"translate({_number(x)} {_number(y)}){scale}"
            return f'<g transform="{place}" {_ROUND}>{_symbol(ink.name)}</g>'


@cache
def _symbol(name: str) -> str:
    """The ink of a symbol with its left terminal at the origin."""
    return _inks(symbols.drawn(name).ink)


# --- the sheet --------------------------------------------------------------------------------


_Alike = tuple[str, str, str]
"""What items of a group have in common: kind, reference, and what else is said of them."""


def layer(item: Item) -> int:
    """The order in which items are drawn: areas, lines, bars, symbols, dots, texts."""
    if isinstance(item.ink, Lettering):
        return _TEXT_LAYER
    return 0 if item.role == "zone" else _LAYERS[item.kind]


class _Part(Struct, frozen=True, kw_only=True):
    """Items of one kind and reference as a group, but for its id and links."""

    head: str
    ref: str
    """The reference of which it is the first, so that it carries its id; empty otherwise."""
    inside: str
    inks: tuple[Ink, ...]
    """Its ink where that may have links; it is written for each page then."""

    def written(self, name: str, leads: Leads) -> str:
        """The group in a drawing of this name."""
        mark = f" id={_quoted(identifier(name, self.ref))}" if self.ref else ""
        inside = _inks(self.inks, leads) if self.inks else self.inside
        return f"{self.head}{mark}>{inside}</g>"


def _part(alike: _Alike, inks: tuple[Ink, ...], seen: set[str]) -> _Part:
    kind, ref, data = alike
    own = identifier("", ref)
    first = bool(ref) and own not in seen
    seen.add(own)
    linked = _links(inks)
    return _Part(
        head=f'<g class="{kind}" data-ref={_quoted(ref)}{data}'
        if ref
        else f'<g class="{kind}"{data}',
        ref=ref if first else "",
        inside="" if linked else _inks(inks),
        inks=inks if linked else (),
    )


_NETTED = ("wire", "bar")


def _data(item: Item) -> str:
    """What a line or contact stands for: its net, what it is, and where a conductor ends."""
    found = ""
    if item.kind in _NETTED and item.net != item.ref:
        found += f" data-net={_quoted(item.net)}"
    if item.role and (item.kind in _NETTED or item.role in ROLES):
        found += f" data-role={_quoted(item.role)}"
    if any(item.ends):
        found += f" data-ends={_quoted('|'.join(item.ends))}"
    return found


ROLES = frozenset({"pin", "shield", "twist"})
"""Roles of other items than lines that are written out."""


def _alike(item: Item) -> _Alike:
    return item.kind, item.ref, _data(item)


def _groups(name: str, items: Iterable[Item], leads: Leads) -> str:
    """The items, lines below and texts above."""
    inks, texts = (
        "\n".join(part.written(name, leads) for part in parts) for parts in _parts(tuple(items))
    )
    return _lines_and_texts(inks, texts)


@lru_cache(maxsize=1 << 8)
def _parts(items: tuple[Item, ...]) -> tuple[list[_Part], list[_Part]]:
    """What lies below, layer by layer, and the texts; made once for all pages and files."""
    seen: set[str] = set()

    def parts(some: Iterable[Item]) -> list[_Part]:
        return [
            _part(alike, tuple(item.ink for item in run), seen)
            for _, level in groupby(sorted(some, key=layer), key=layer)
            for alike, run in groupby(level, key=_alike)
        ]

    below = parts(item for item in items if not isinstance(item.ink, Lettering))
    return below, parts(item for item in items if isinstance(item.ink, Lettering))


def _lines_and_texts(inks: str, texts: str) -> str:
    return f'<g fill="none" stroke="{BLACK}">\n{inks}\n</g>\n<g {_LETTERS}>\n{texts}\n</g>'


def _frame(sheet: Sheet) -> str:
    lines, texts = _blank(sheet.size)
    return _lines_and_texts(lines, texts + _inks(item.ink for item in filled(sheet)))


@cache
def _blank(size: Size) -> tuple[str, str]:
    """Lines and texts that all sheets of a size have in common."""
    inks = [item.ink for item in blank(size)]
    lines = sorted((ink for ink in inks if not isinstance(ink, Lettering)), key=_line_style)
    texts = [ink for ink in inks if isinstance(ink, Lettering)]
    zones = "".join(_text_ink(replace(ink, align="left"), _NOWHERE) for ink in texts if _zone(ink))
    others = _inks(ink for ink in texts if not _zone(ink))
    return _inks(lines), f'<g text-anchor="middle">{zones}</g>{others}'


def _zone(ink: Lettering) -> bool:
    """Whether it is the letter or number of a zone: the only texts in the middle of their place."""
    return ink.align == "center"


# --- charts -----------------------------------------------------------------------------------


def _chart(picture: Picture, leads: Leads) -> Iterator[str]:
    """The ink in its order: a group of lines, a group of texts, and so on."""
    for texts, run in groupby(picture.ink, key=lambda ink: isinstance(ink, Lettering)):
        look = _LETTERS if texts else f'fill="none" stroke="{BLACK}"'
        inks = tuple(run)
        yield f"<g {look}>{_inks(inks, leads) if _links(inks) else _unlinked(inks)}</g>"


@takes_over
def to_svg(
    drawing: Sheet | Picture,
    *,
    name: str = "",
    title: str = "",
    description: str = "",
    leads: Leads = _NOWHERE,
    embed_font: bool = False,
) -> str:
    """A sheet or a chart as SVG, in true millimetres.

    Args:
        drawing: what to write.
        name: its id, with which all ids in it begin; left out, the sheet's own.
        title: what it is called; left out, the sheet's title.
        description: what it shows; left out, the sheet's own.
        leads: where its links lead to.
        embed_font: put the bundled fonts into the file, for one that stands alone; a page that
            holds many drawings gives the rules of `metrics.font_face` once.
    """
    width, height = _number(drawing.width_mm), _number(drawing.height_mm)
    if isinstance(drawing, Sheet):
        kind, name = "sheet", name or drawing.id
        title = title or f"{drawing.title.title} (sheet {drawing.title.label})"
        description = description or drawing.description
        frame = f'<g class="frame">{_frame(drawing)}</g>'
        body = f"{frame}\n{_groups(name, drawing.items, leads)}"
    else:
        kind, name = "chart", name or "chart"
        body = "\n".join(_chart(drawing, leads))
    name = _quoted(name)[1:-1]
    style = f"<style>{metrics.font_face()}</style>\n" if embed_font else ""
    joins = "" if kind == "sheet" else ' stroke-linejoin="round"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{name}" class="{kind}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc" width="{width}mm" '
        f'height="{height}mm" viewBox="0 0 {width} {height}" '
        f'font-family="{_FONTS}" font-size="{_number(_USUAL_SIZE)}" '
        f'text-rendering="geometricPrecision"{joins}>\n'
        f'<title id="{name}-title">{_escaped(title)}</title>\n'
        f'<desc id="{name}-desc">{_escaped(description)}</desc>\n'
        f'{style}<rect width="{width}" height="{height}" fill="{WHITE}"/>\n'
        f"{body}\n</svg>\n"
    )
