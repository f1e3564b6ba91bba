"""Connector types of the builder's: contacts that can be where they are said to be.

Works on the plain data beside `elec.read.names`.
"""

import math
import re
from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any

from elec import units
from elec.read.draft import Draft, Path, near
from elec.standards import table
from elec.standards.contact import contact_meant

NEAREST_MM = 0.8
"""Two contacts are never so near: high-density arrangements have 2 mm."""
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]*")
_MM = 1000


def check_connector_types(draft: Draft) -> None:
    """Note every connector type that cannot be."""
    _spelled(draft)
    _on_the_shelf(draft)
    for path, entry in draft.entries("connector-types"):
        name = str(path[-1])
        if not _NAME.fullmatch(name):
            draft.wrong(path, "a name is made of letters, digits and hyphens", key=True)
        if table("elec/dsub_shells").select(arrangement=name):
            message = f"{name} is published and known here; give yours another name"
            draft.wrong(path, message, key=True)
        contacts = entry.get("contacts")
        if isinstance(contacts, dict):
            _contacts(draft, (*path, "contacts"), contacts)
            _outline(draft, path, entry, contacts)


def _on_the_shelf(draft: Draft) -> None:
    """Crimp contacts in stock are of a known class."""
    stock, own = draft.data.get("stock"), draft.data.get("connector-types")
    held = stock.get("crimp-contacts") if isinstance(stock, dict) else None
    for key in held if isinstance(held, dict) else ():
        kind, _, gender = str(key).strip().rpartition(" ")
        if gender in ("pin", "socket") and not (isinstance(own, dict) and kind in own):
            kind = " ".join(kind.split())
            if kind and contact_meant(kind) is None:
                rows = table("elec/contact_ratings").rows
                known = [f"{row.text('family')} {row.text('contact_size')}" for row in rows]
                hint = near(kind, known) or f"; known: a connector type, or {', '.join(known)}"
                path = ("stock", "crimp-contacts", key)
                draft.wrong(path, f'there is no crimp contact "{kind}"{hint}', key=True)


def _spelled(draft: Draft) -> None:
    """A type that is a published one but for hyphens, spaces and capitals."""
    published = {row.text("arrangement") for row in table("elec/dsub_shells")}
    plain = {_plain(name): name for name in published}
    own = draft.data.get("connector-types")
    places = [*draft.entries("plugs")]
    for path, entry in draft.entries("equipment"):
        held = entry.get("connectors")
        for name, connector in held.items() if isinstance(held, dict) else ():
            if isinstance(connector, dict):
                places.append(((*path, "connectors", name), connector))
    for path, entry in places:
        kind = entry.get("type")
        if (
            not isinstance(kind, str)
            or kind in published
            or (isinstance(own, dict) and kind in own)
        ):
            continue
        meant = plain.get(_plain(kind))
        if meant:
            draft.wrong((*path, "type"), f'there is no type "{kind}"; did you mean "{meant}"?')


def _plain(name: str) -> str:
    letters = re.sub(r"[^a-z0-9]", "", name.casefold())
    return re.sub(r"^(?:hd|highdensity)dsub|^dsubhighdensity", "dsubhd", letters)


def _contacts(draft: Draft, path: Path, contacts: Mapping[str, Any]) -> None:
    if not contacts:
        draft.wrong(path, "a connector has contacts; name each with its x and y")
    for (one, a), (two, b) in combinations(_spots(contacts), 2):
        if math.dist(a, b) < NEAREST_MM:
            message = (
                f"contact {two} lies on contact {one}; two contacts are {NEAREST_MM:g} mm apart"
            )
            draft.wrong((*path, two), f"{message} at least", key=True)


def _spots(contacts: Mapping[str, Any]) -> Iterator[tuple[str, tuple[float, float]]]:
    """Contacts whose places can be read, in millimetres."""
    for name, spot in contacts.items():
        x, y = (_mm(spot.get(axis)) if isinstance(spot, dict) else None for axis in ("x", "y"))
        if x is not None and y is not None:
            yield name, (x, y)


def _mm(text: Any) -> float | None:
    """A length with its sign; None where it cannot be read, which is said elsewhere."""
    if not isinstance(text, str):
        return None
    try:
        return float(units.parse(text, "coordinate")) * _MM
    except units.UnitError:
        return None


def _outline(
    draft: Draft, path: Path, entry: Mapping[str, Any], contacts: Mapping[str, Any]
) -> None:
    """The outline is of the shape, and the contacts are inside."""
    shape = entry.get("shape")
    strange = {"circular": ("width", "height"), "rectangular": ("diameter",)}.get(str(shape), ())
    for key in strange:
        if key in entry:
            own = "diameter" if shape == "circular" else "width and height"
            draft.wrong((*path, key), f"a {shape} face has {own}, no {key}", key=True)
    across, wide, high = (_mm(entry.get(key)) for key in ("diameter", "width", "height"))
    for name, (x, y) in _spots(contacts):
        outside = (
            (across is not None and shape == "circular" and math.hypot(x, y) > across / 2)
            or (shape == "rectangular" and wide is not None and abs(x) > wide / 2)
            or (shape == "rectangular" and high is not None and abs(y) > high / 2)
        )
        if outside:
            message = f"contact {name} lies outside the face"
            draft.wrong((*path, "contacts", name), message, key=True)
