"""A picture made safe to stand inside a page: no scripts, no leaking styles, unique ids."""

import re
from collections.abc import Mapping, Set
from dataclasses import replace
from xml.etree import ElementTree as ET

from elec.record import dataclass
from elec.report.document import Figure

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_URL = re.compile(r"url\(\s*['\"]?#([^)'\"]+)['\"]?\s*\)")
_LINK = re.compile(r'(<\w+\b[^<>]*?) (?:xlink:)?href="#([^"]*)"')
_SIZE = re.compile(r"([\d.]+)\s*(mm|cm|in|pt|px)?")
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "px": 25.4 / 96, None: 25.4 / 96}
_BANNED = {"script", "foreignObject", "iframe", "image", "animate", "set", "handler"}

ET.register_namespace("", _SVG)
ET.register_namespace("xlink", _XLINK)


@dataclass(frozen=True, kw_only=True)
class Picture:
    """SVG text for a page, and its size as drawn."""

    svg: str
    width_mm: float | None
    height_mm: float | None
    root_id: str
    ids: frozenset[str]
    renamed: Mapping[str, str]
    """Id in the drawing → id in the page, so that one drawing can lead to another."""


def picture(figure: Figure) -> Picture:
    """Make a figure's SVG safe for a page and name it for those who cannot see it.

    Raises:
        ValueError: the SVG holds what a drawing of ours never holds; a fault of the program.
    """
    root = ET.fromstring(figure.svg.encode())  # noqa: S314 - our own drawing, refused if it holds more
    for parent in list(root.iter()):
        for child in list(parent):
            if _local(child.tag) == "style":
                parent.remove(child)
    ids = {}
    for element in root.iter():
        if _local(element.tag) in _BANNED:
            raise ValueError(f"a picture may not hold <{_local(element.tag)}>")
        if "id" in element.attrib:
            ids[element.attrib["id"]] = _own(element.attrib["id"], figure.id)
    for element in root.iter():
        _rename(element, ids)
    _name(root, figure)
    width, height = (_length_mm(root.get(side, "")) for side in ("width", "height"))
    return Picture(
        svg=ET.tostring(root, encoding="unicode"),
        width_mm=width,
        height_mm=height,
        root_id=root.get("id", ""),
        ids=frozenset(ids.values()),
        renamed=ids,
    )


def joined(found: Picture, elsewhere: Mapping[str, str], known: Set[str]) -> Picture:
    """The picture with its links to other drawings led to their ids in the page.

    A link that leads nowhere in this page is no link.
    """

    def lead(match: re.Match[str]) -> str:
        name = match.group(2)
        name = name if name in known else elsewhere.get(name, "")
        return match.group(1) + (f' href="#{name}"' if name in known else "")

    return replace(found, svg=_LINK.sub(lead, found.svg))


def _local(tag: object) -> str:
    return str(tag).rpartition("}")[2]


def _own(identifier: str, figure_id: str) -> str:
    """An id that no other picture has; it stays where it begins with the figure's own."""
    if identifier == figure_id or identifier.startswith(f"{figure_id}-"):
        return identifier
    return f"{figure_id}-{identifier}"


def _rename(element: ET.Element, ids: dict[str, str]) -> None:
    for key, value in list(element.attrib.items()):
        name = _local(key)
        if name.startswith("on"):
            raise ValueError(f"a picture may not hold {name}=")
        if name == "id":
            element.attrib[key] = ids[value]
        elif name == "href":
            if not value.startswith("#"):
                raise ValueError(f"a picture may not refer to {value}")
            element.attrib[key] = "#" + ids.get(value[1:], value[1:])
        elif name.startswith("aria-"):
            element.attrib[key] = " ".join(ids.get(word, word) for word in value.split())
        elif "url(" in value:
            inside = _URL.sub(lambda m: f"url(#{ids.get(m.group(1), m.group(1))})", value)
            if "url(" in _URL.sub("", value):
                raise ValueError("a picture may not refer to anything outside itself")
            element.attrib[key] = inside


def _name(root: ET.Element, figure: Figure) -> None:
    """Give the picture its role, its title and its description."""
    for child in list(root):
        if _local(child.tag) in {"title", "desc"}:
            root.remove(child)
    names = []
    for place, (tag, text) in enumerate((("title", figure.title), ("desc", figure.description))):
        element = ET.Element(f"{{{_SVG}}}{tag}", {"id": f"{figure.id}-{tag}"})
        element.text = text
        element.tail = "\n"
        root.insert(place, element)
        names.append(element.attrib["id"])
    root.set("role", "img")
    root.set("aria-labelledby", " ".join(names))


def _length_mm(text: str) -> float | None:
    match = _SIZE.fullmatch(text.strip())
    return float(match.group(1)) * _MM[match.group(2)] if match else None
