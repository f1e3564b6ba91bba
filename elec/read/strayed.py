"""Entries that stand under the heading of another section, because theirs is missing.

In: a draft. Out: the entries moved to where they belong, and one mistake where the heading should
stand, instead of one for each of their keys.
"""

from collections.abc import Collection, Mapping, Set
from difflib import get_close_matches
from functools import cache
from typing import Any, get_args

from elec.model.system import Document
from elec.read.draft import Draft
from elec.read.shape import ENTRY_SECTIONS, SECTIONS, below, keys_of, records_in

_NEEDED = 2
"""An entry with so many keys can be told by them; so can two entries."""


def move_strayed(draft: Draft) -> None:
    """Find the headings that are missing, and act as if they were there."""
    _headless(draft)
    _phases(draft)
    for section in [name for name in draft.data if name in ENTRY_SECTIONS]:
        entries = draft.data[section]
        if isinstance(entries, dict):
            _look(draft, section, entries)


def _headless(draft: Draft) -> None:
    """Entries at the beginning of a file, indented as if a section stood above them."""
    files: dict[str, list[str]] = {}
    for name in draft.data:
        file, _, column = draft.keys.get((name,), ("", 0, 1))
        if name not in SECTIONS and column > 1:
            files.setdefault(file, []).append(name)
    for names in files.values():
        if len(names) < _NEEDED:
            continue
        entries = {name: draft.data.pop(name) for name in names}
        keys = {key for entry in entries.values() if isinstance(entry, dict) for key in entry}
        there = [name for name in draft.data if name in ENTRY_SECTIONS]
        target = next((name for name in _missing(draft) + there if _fits(keys, name)), None)
        draft.at(
            min(draft.keys[name,] for name in names),
            f"{len(names)} entries, {names[0]} to {names[-1]}, stand in no section; is the line "
            f"{target or 'with the name of the section'}: missing above?",
        )
        if target is not None:
            draft.data.setdefault(target, {}).update(entries)
            _rename(draft, names, (), target)


def _phases(draft: Draft) -> None:
    """Phases that stand in `system:`."""
    system = draft.data.get("system")
    if "phases" in draft.data or not isinstance(system, dict):
        return
    names = [name for name, entry in system.items() if isinstance(entry, dict) and "lasts" in entry]
    if len(names) < _NEEDED:
        return
    draft.at(
        draft.keys["system", names[0]],
        "from here on the entries look like phases (lasts), but they stand in system; is the line "
        "phases: missing above?",
    )
    draft.data["phases"] = {name: system.pop(name) for name in names}
    _rename(draft, names, ("system",), "phases")


def _rename(draft: Draft, names: Collection[str], old: tuple[str, ...], target: str) -> None:
    """Let the places of entries be found under another section."""
    size = len(old)
    for marks in (draft.keys, draft.spots):
        for path in [p for p in marks if p[:size] == old and len(p) > size and p[size] in names]:
            marks[(target, *path[size:])] = marks[path]


def _look(draft: Draft, section: str, entries: dict[str, Any]) -> None:
    for target in _missing(draft):
        strayed = _tail(entries, section, target)
        again = [a for a in draft.again if a.path[:-1] == (section,) and _fits(a.keys, target)]
        keys = {key for name in strayed for key in entries[name]} | {
            k for a in again for k in a.keys
        }
        strange = sorted(keys - _known(section))
        if not strange and target == "buses" and _hung_on(draft, strayed):
            strange = [f"without {key}" for key in sorted(_required(section) - keys)]
        count = len(strayed) + len(again)
        if not count or not strange:
            continue
        if count * len(strange) < _NEEDED and _near(strange[0], section):
            continue
        spots = [draft.keys[section, name] for name in strayed]
        spots += [
            (a.mistake.place.file, a.mistake.place.line, a.mistake.place.column) for a in again
        ]
        told = {id(a.mistake) for a in again}
        draft.mistakes = [m for m in draft.mistakes if id(m) not in told]
        draft.at(
            min(spots),
            f"from here on the entries look like {target} ({', '.join(strange[:3])}), but they "
            f"stand in {section}; is the line {target}: missing above?",
        )
        draft.data[target] = {name: entries.pop(name) for name in strayed}
        _rename(draft, strayed, (section,), target)
        return


def _hung_on(draft: Draft, names: list[str]) -> bool:
    """Whether a circuit calls one of the names its bus."""
    return any(entry.get("bus") in names for _, entry in draft.entries("circuits"))


def _near(key: str, section: str) -> bool:
    """Whether a strange key may be a misspelt one of the section."""
    return bool(get_close_matches(key, _known(section), 1, 0.6))


def _fits(keys: Set[str], target: str) -> bool:
    return bool(keys) and keys <= _known(target)


def _missing(draft: Draft) -> list[str]:
    """Sections that are not written, those with few keys first: they say more."""
    return sorted(
        (name for name in SECTIONS if name in ENTRY_SECTIONS and name not in draft.data),
        key=lambda name: len(_known(name)),
    )


def _tail(entries: Mapping[str, Any], section: str, target: str) -> list[str]:
    """The last entries of a section, as far up as they are none of it and fit another."""
    found: list[str] = []
    for name in reversed(list(entries)):
        entry = entries[name]
        if not isinstance(entry, dict) or not _fits(entry.keys(), target):
            break
        base = entry.get("like")
        if isinstance(base, str) and base in entries:  # what it repeats stands here, and so does it
            break
        own = set(entry) <= _known(section) and _required(section) <= set(entry)
        if own and entry.get("kind", "") in _kinds(section):
            break
        found.insert(0, name)
    return found


def _record(section: str) -> Any:
    """The type of a section's entries."""
    return below(keys_of(Document)[section].annotation)


@cache
def _known(section: str) -> frozenset[str]:
    """Every key that an entry of a section may have."""
    records = records_in(_record(section))
    return frozenset(key for record in records for key in keys_of(record)) | {"like"}


@cache
def _kinds(section: str) -> frozenset[str]:
    """What `kind:` may be in a section, and "" where it may be left out or is no word of a list."""
    fields = [keys_of(record).get("kind") for record in records_in(_record(section))]
    words = {word for field in fields if field is not None for word in get_args(field.annotation)}
    optional = any(field is None or not field.is_required() for field in fields)
    return frozenset(words | ({""} if optional else set()))


@cache
def _required(section: str) -> frozenset[str]:
    """Every key that each entry of a section must have."""
    records = records_in(_record(section))
    needed = [
        {key for key, field in keys_of(record).items() if field.is_required()} for record in records
    ]
    return frozenset(set.intersection(*needed)) if needed else frozenset()
