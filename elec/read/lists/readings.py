"""Measured values from a list, into the builder's file under `measured:`."""

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path

from msgspec import Struct

from elec import units
from elec.read.edit import Edits
from elec.read.lists.cells import DASHES, NoUnit, named, positive, quantity
from elec.read.lists.grid import ListRefused, shown
from elec.read.lists.heads import Kind, Listed, listed

KINDS: Mapping[str, Kind] = {
    "load": Kind(spellings=("load", "name", "item", "equipment", "what", "device")),
    "amps": Kind(
        spellings=("amps", "a", "amp", "ampere", "amperes", "current", "measured", "i", "ma"),
        unit="A",
    ),
    "volts": Kind(spellings=("volts", "v", "volt", "voltage", "u"), unit="V"),
    "date": Kind(spellings=("date", "when")),
    "remark": Kind(spellings=("remark", "remarks", "note", "notes")),
}
_OF = {"amps": "current", "volts": "voltage"}


class Taken(Struct, frozen=True, kw_only=True):
    """What the list says of one load: keys of its entry under `measured:`."""

    name: str
    keys: Mapping[str, str]


def take_readings(
    edits: Edits, path: Path, *, asked: Sequence[str] = (), sheet: str | None = None
) -> tuple[tuple[Taken, ...], tuple[str, ...]]:
    """Put the readings of a list under `measured:`.

    Returns:
        What was taken, in the order of the list, and what the builder should know about it.

    Raises:
        ListRefused: a cell is unclear, or a load is none of the file's.
        CannotEdit: the file cannot be changed so.
    """
    table = listed(path, KINDS, ("load", "amps|volts"), asked=asked, sheet=sheet)
    known = _known(edits)
    mistakes: list[str] = []
    found: dict[str, tuple[Taken, int]] = {}
    empty: list[str] = []
    bare: set[str] = set()
    for row in table.rows():
        texts = {kind: table.text(row, kind) for kind in table.columns}
        if not any(texts.values()):
            continue
        if unfit := table.unfit(row):
            mistakes += unfit
            continue
        name = _meant(texts["load"], known)
        if not texts["load"] or name is None:
            mistakes.append(f"{table.at(row, 'load')}: {_nothing(texts['load'], known)}")
            continue
        keys = _keys(table, row, mistakes, bare)
        if "amps" in keys and (why := _no_load(edits, name)):
            mistakes.append(f"{table.at(row, 'load')}: {why}")
            continue
        if name in found:
            first = found[name][1] + 1
            mistakes.append(f"{table.at(row, 'load')}: {name} was read in row {first}, too")
        elif not {"amps", "volts"} & keys.keys():
            empty.append(name)
        else:
            found[name] = (Taken(name=name, keys=keys), row)
    if not found and not mistakes:
        mistakes.append(f"{table.grid.at(table.first - 1)}: no reading stands below the heads")
    if mistakes:
        raise ListRefused(mistakes)
    notes = [f"Read: {table.read_as()}."]
    if table.unread:
        notes.append(f"Not read: {', '.join(table.unread)}.")
    if empty:
        notes.append(f"Without a reading, left out: {', '.join(empty)}.")
    taken = tuple(one for one, _ in found.values())
    _put(edits, taken)
    return taken, tuple(notes)


def _keys(table: Listed, row: int, mistakes: list[str], bare: set[str]) -> dict[str, str]:
    keys = {}
    for kind, dimension in _OF.items():
        text = table.text(row, kind)
        if not text or text.casefold() in DASHES:
            continue
        try:
            said = quantity(text, table.columns[kind].unit)
            keys[kind] = positive(said, (dimension,), f"expected {units.expects(dimension)}")
        except NoUnit:
            if kind not in bare:
                mistakes.append(
                    f"{table.at(row, kind)}: {table.no_unit(row, kind, KINDS[kind].unit)}"
                )
            bare.add(kind)
        except units.UnitError as error:
            mistakes.append(f"{table.at(row, kind)}: {error}")
    for kind in ("date", "remark"):
        if text := table.text(row, kind):
            keys[kind] = text
    return keys


def _known(edits: Edits) -> dict[str, str]:
    """What can be measured: names, modes and texts for print, as they may stand in a list."""
    found: dict[str, str] = {}
    printed: dict[str, list[str]] = {}
    for section in ("equipment", "sources", "buses", "grounds", "switches"):
        entries = edits.get(section)
        for name, entry in entries.items() if isinstance(entries, Mapping) else ():
            found[str(name)] = str(name)
            if not isinstance(entry, Mapping):
                continue
            modes = entry.get("modes")
            for mode in modes if isinstance(modes, Mapping) else ():
                found[f"{name}:{mode}"] = f"{name}:{mode}"
            if isinstance(entry.get("name"), str):
                printed.setdefault(named(entry["name"]), []).append(str(name))
    for text, names in printed.items():
        if len(names) == 1:
            found.setdefault(text, names[0])
    return found


def _meant(text: str, known: Mapping[str, str]) -> str | None:
    return known.get(text) or known.get(named(text))


def _nothing(text: str, known: Mapping[str, str]) -> str:
    if not text:
        return "no load is named beside these readings"
    near = get_close_matches(named(text), known, 1, 0.6)
    return f"{shown(text)} is nothing in the file" + (
        f"; did you mean {known[near[0]]}?" if near else ""
    )


def _no_load(edits: Edits, name: str) -> str:
    """Why a current of this would count for nothing; empty where it counts."""
    base, _, mode = name.partition(":")
    equipment = edits.get("equipment")
    equipment = equipment if isinstance(equipment, Mapping) else {}
    if base not in equipment:
        near = [one for one in equipment if base in one.split("-")]
        meant = f"; did you mean {' or '.join(near[:3])}?" if near else ""
        return f"{base} is no equipment, and amperes count for equipment alone{meant}"
    modes = edits.get(("equipment", base, "modes"))
    if isinstance(modes, Mapping) and not mode:
        return f"{base} draws in several ways; write {' or '.join(f'{base}:{m}' for m in modes)}"
    return ""


def _put(edits: Edits, taken: Sequence[Taken]) -> None:
    there = edits.get("measured")
    there = there if isinstance(there, Mapping) else {}
    for one in taken:
        if one.name in there:
            edits.set_all({("measured", one.name, key): text for key, text in one.keys.items()})
        else:
            edits.add(one.name, dict(one.keys), to="measured")
