"""Wire types and gauges that the file names: there are such types, made in such gauges.

Works on the plain data beside `elec.read.names`.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from elec import units
from elec.read.draft import Draft, Path, near
from elec.standards import AWGS, wire_kind, wire_kind_names

SECTIONS = ("feeders", "circuits", "grounds", "wires")
"""Sections whose entries may name a wire type and a gauge."""
DEFAULT = "etfe-tin"
_NAME = re.compile(r"[a-z0-9][a-z0-9-]*")


def check_wire_types(draft: Draft) -> None:
    """Note every wire type that does not exist, and every gauge that a type is not made in."""
    own = draft.data.get("wire-types")
    types: Mapping[str, Any] = own if isinstance(own, dict) else {}
    for name in types:
        if not _NAME.fullmatch(name):
            draft.wrong(
                ("wire-types", name),
                "a name is made of small letters, digits and hyphens",
                key=True,
            )
    for path, entry in draft.entries("wire-types"):
        _own_gauges(draft, path, entry)
    known = [*wire_kind_names(), *types]
    about = draft.data.get("system")
    usual = about.get("wire") if isinstance(about, dict) else None
    for path, given in _named(draft, about):
        if isinstance(given, str) and given not in known:
            usual_types = [name for name in known if not name.startswith("thermocouple-")]
            draft.wrong(path, f'there is no wire type "{given}"{near(given, usual_types)}')
    for section in SECTIONS:
        for path, entry in draft.entries(section):
            kind = entry.get("wire", usual) or DEFAULT
            if isinstance(kind, str) and kind in known:
                _made(draft, (*path, "gauge"), entry.get("gauge"), kind, types)


def _named(draft: Draft, about: Any) -> Iterator[tuple[Path, Any]]:
    if isinstance(about, dict) and "wire" in about:
        yield ("system", "wire"), about["wire"]
    for section in SECTIONS:
        for path, entry in draft.entries(section):
            if "wire" in entry:
                yield (*path, "wire"), entry["wire"]


def _own_gauges(draft: Draft, path: Path, entry: Mapping[str, Any]) -> None:
    """Gauges of a type of the builder's: standard ones, thick enough for aluminium."""
    gauges = entry.get("gauges")
    if not isinstance(gauges, dict):
        return
    thinnest = _thinnest(entry)
    for key in gauges:
        below = (*path, "gauges", key)
        try:
            awg = units.parse(key, "gauge") if isinstance(key, str) else ""
        except units.UnitError as error:
            draft.wrong(below, str(error), key=True)
            continue
        if awg not in AWGS or AWGS.index(awg) < AWGS.index(thinnest):
            draft.wrong(below, _not_made(awg, thinnest, AWGS[-1]), key=True)


def _made(draft: Draft, path: Path, text: Any, name: str, types: Mapping[str, Any]) -> None:
    """A given gauge is one that the wire type is made in."""
    try:
        awg = units.parse(text, "gauge") if isinstance(text, str) else None
    except units.UnitError:
        return
    if awg is None:
        return
    if name in types:
        own = types[name] if isinstance(types[name], dict) else {}
        thinnest, thickest = _thinnest(own), AWGS[-1]
    else:
        kind = wire_kind(name)
        thinnest, thickest = kind.thinnest, kind.thickest
    inside = awg in AWGS and AWGS.index(thinnest) <= AWGS.index(awg) <= AWGS.index(thickest)
    if not inside:
        draft.wrong(path, f"{name}: {_not_made(awg, thinnest, thickest)}")


def _thinnest(entry: Mapping[str, Any]) -> str:
    aluminium = entry.get("conductor") == "aluminium"
    return wire_kind("aluminium").thinnest if aluminium else AWGS[0]


def _not_made(awg: str, thinnest: str, thickest: str) -> str:
    return (
        f"{units.show_gauge(awg)} is no gauge of it; there are {units.show_gauge(thinnest)} to "
        f"{units.show_gauge(thickest)} in even numbers"
    )
