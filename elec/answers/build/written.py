"""What two texts of a system say differently: entries that are new or gone, values that differ.

In: two studies. Out: `Otherwise` records, in the order of the sections of the file. What was left
out and what was written with the value that elec takes then are the same; so is a change of
wording, order or remarks of the file. `build:` is counted apart: a tick changes no design.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal

from msgspec import Struct

from elec import units
from elec.model.laws import LAWS
from elec.model.system import Document
from elec.study import Study

What = Literal["new", "gone", "changed", "renamed"]
MOST = 8
"""So many values tell what a new entry is; how many more there are is said."""
LISTS = ("feeders", "wires", "ways", "accept")
"""Sections without names: an entry is known by its ends."""


class Leaf(Struct, frozen=True, kw_only=True):
    """One value: as it is held, and as it is printed."""

    held: Any
    shown: str
    exact: str
    """With all its digits, for two values that print alike."""


Flat = dict[str, Leaf]


class Otherwise(Struct, frozen=True, kw_only=True):
    """One entry or value; the text before or after is empty where there was none."""

    section: str
    """As in the file: `equipment`, `device-classes`."""
    entry: str
    """Its name; of a feeder, wire or way its ends."""
    key: str
    """Which value of it; empty where the whole entry is new, gone or renamed."""
    what: What
    before: str
    after: str

    @property
    def path(self) -> str:
        """`equipment.radio.draw`."""
        return ".".join(part for part in (self.section, self.entry, self.key) if part)


def written_changes(before: Study, after: Study) -> tuple[Otherwise, ...]:
    """All that is written differently, but for the state of building."""
    old, new = _sections(before), _sections(after)
    system = after.system.about.units
    names = [name for name in Document.model_fields if name != "build"]
    return tuple(
        one
        for name in names
        for one in _section(name.replace("_", "-"), old.get(name), new.get(name), system)
    )


def ticks(before: Study, after: Study) -> int:
    """How many entries of `build:` are new, gone or another."""
    old, new = (study.designed.document.build for study in (before, after))
    return sum(old.get(name) != new.get(name) for name in {*old, *new})


def _sections(study: Study) -> Mapping[str, Any]:
    found: dict[str, Any] = study.designed.document.model_dump(
        mode="json", by_alias=False, exclude_defaults=True
    )
    return found


def _section(section: str, old: Any, new: Any, system: units.UnitSystem) -> Iterator[Otherwise]:
    if section in LISTS:
        was, now = _named(old or []), _named(new or [])
    elif section in ("system", "stock", "limits"):
        was, now = ({"": entry} if entry else {} for entry in (old, new))
    else:
        was, now = old or {}, new or {}
    moved = _renamed(was, now)
    for entry in dict.fromkeys([*now, *was]):
        if entry in moved:
            yield Otherwise(section=section, entry=entry, key="", what="renamed",
                            before=moved[entry], after=entry)  # fmt: skip
        elif entry in moved.values() and entry not in now:
            continue
        else:
            had, has = (_flat(found.get(entry), system) for found in (was, now))
            yield from _entry(section, entry, had, has)


def _entry(section: str, entry: str, had: Flat | None, has: Flat | None) -> Iterator[Otherwise]:
    if has is None or had is None:
        what: What = "gone" if has is None else "new"
        yield Otherwise(section=section, entry=entry, key="", what=what,
                        before=_said(had), after=_said(has))  # fmt: skip
        return
    for key in dict.fromkeys([*has, *had]):
        old, new = had.get(key), has.get(key)
        if (old and old.held) != (new and new.held):
            alike = old is not None and new is not None and old.shown == new.shown
            before, after = (
                "" if one is None else one.exact if alike else one.shown for one in (old, new)
            )
            yield Otherwise(section=section, entry=entry, key=key, what="changed",
                            before=before, after=after)  # fmt: skip


def _renamed(was: Mapping[str, Any], now: Mapping[str, Any]) -> dict[str, str]:
    """New name → old name of entries that say the same, where only one has each content."""
    gone = {_json(entry): name for name, entry in was.items() if name not in now and entry}
    counts = [_json(entry) for name, entry in was.items() if name not in now]
    found = {}
    for name, entry in now.items():
        old = gone.get(_json(entry))
        if name not in was and old is not None and counts.count(_json(entry)) == 1:
            found[name] = old
            del gone[_json(entry)]
    return found


def _json(value: Any) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False)


def _named(entries: Sequence[Mapping[str, Any]]) -> dict[str, Mapping[str, Any]]:
    """Entries without a name by their ends; several between the same ends are counted."""
    found: dict[str, Mapping[str, Any]] = {}
    for entry in entries:
        name = _ends(entry)
        count = 1
        while (key := f"{name} ({count})" if count > 1 else name) in found:
            count += 1
        found[key] = entry
    return found


def _ends(entry: Mapping[str, Any]) -> str:
    if "between" in entry:
        return " to ".join(entry["between"])
    if "check" in entry:
        return f"{entry['check']} {entry['about']}"
    to = entry.get("to", "")
    return f"{entry.get('from_', '')} to {to if isinstance(to, str) else ', '.join(to)}"


def _flat(entry: Any, system: units.UnitSystem) -> Flat | None:
    """Every value of an entry by its key; None where there is no entry."""
    if entry is None:
        return None
    found: Flat = {}
    _walk(found, "", entry, "", system)
    return found


def _walk(found: Flat, path: str, value: Any, suffix: str, system: units.UnitSystem) -> None:
    if isinstance(value, dict) and value.keys() == {"law", "value"}:
        law = LAWS[value["law"]]
        leaf = _leaf([value["value"]], law.suffix, system)
        shown, exact = (f"{text} {law.word}".rstrip() for text in (leaf.shown, leaf.exact))
        found[path] = Leaf(held=value, shown=shown, exact=exact)
    elif isinstance(value, dict) and value:
        for name, inner in value.items():
            plain, unit = units.split_suffix(name)
            key = units.yaml_key(name) if unit else plain.rstrip("_").replace("_", "-")
            size = units.show_gauge(inner) if key == "gauge" and isinstance(inner, str) else inner
            _walk(found, f"{path}.{key}" if path else key, size, unit or suffix, system)
    elif isinstance(value, list) and any(isinstance(one, dict | list) for one in value):
        for number, inner in enumerate(value, 1):
            _walk(found, f"{path}.{number}", inner, suffix, system)
    elif isinstance(value, dict):
        found[path] = Leaf(held=value, shown="auto", exact="auto")
    else:
        found[path] = _leaf(value if isinstance(value, list) else [value], suffix, system)


def _leaf(values: list[Any], suffix: str, system: units.UnitSystem) -> Leaf:
    """A value, or several in a row."""
    unit = f" {units.SUFFIXES[suffix].unit}" if suffix else ""
    exact = ", ".join(f"{one:.12g}{unit}" if _number(one) else str(one) for one in values)
    shown = ", ".join(_shown(one, suffix, system) for one in values)
    return Leaf(held=values, shown=shown, exact=exact)


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _shown(value: Any, suffix: str, system: units.UnitSystem) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if _number(value):
        return units.show(float(value), suffix, system) if suffix else f"{value:.7g}"
    return "none" if value is None else str(value)


def _said(values: Flat | None) -> str:
    """What a new or gone entry is, in a line."""
    if values is None:
        return ""
    words = [f"{key}: {one.shown}" if key else one.shown for key, one in values.items()]
    more = len(words) - MOST
    return "; ".join([*words[:MOST], *([f"and {more} values more"] if more > 0 else [])])


__all__ = ["Otherwise", "ticks", "written_changes"]
