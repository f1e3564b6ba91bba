"""`like: other-name` repeats an entry of the same section with changes.

What the entry writes itself takes the place of what it repeats, key by key. A print name and a
number are never repeated. Writing one protective device (or a reason for none) drops the one
repeated, and likewise for `draw`, `modes` and `passive`.
"""

from typing import Any

from elec.read.draft import Draft, Path, near
from elec.read.given import EITHER
from elec.read.shape import ENTRY_SECTIONS

NEVER_REPEATED = frozenset({"name", "number"})
_ONE_OF = (
    frozenset({"breaker", "fuse", "limiter", "link", "unprotected"}),
    frozenset({"draw", "modes", "passive"}),
    *(frozenset(pair) for pair in EITHER),
)


def repeat(draft: Draft) -> None:
    """Fill in every entry that is `like:` another."""
    for section in sorted(ENTRY_SECTIONS):
        entries = draft.data.get(section)
        if isinstance(entries, dict):
            done: set[str] = set()
            for name in entries:
                _fill(draft, section, entries, name, done=done)
            for entry in entries.values():
                if isinstance(entry, dict):
                    entry.pop("like", None)


def _fill(
    draft: Draft,
    section: str,
    entries: dict[str, Any],
    name: str,
    *,
    done: set[str],
    chain: tuple[str, ...] = (),
) -> None:
    entry = entries[name]
    if name in done or not isinstance(entry, dict) or "like" not in entry:
        return
    done.add(name)
    base, path = entry["like"], (section, name)
    if not isinstance(base, str):
        draft.wrong((*path, "like"), f"expected the name of another entry of {section}")
    elif base in (*chain, name):
        circle = " → ".join((*chain, name, base))
        draft.wrong((*path, "like"), f"the entries repeat each other in a circle: {circle}")
    elif base not in entries:
        hint = near(base, [other for other in entries if other != name])
        draft.wrong((*path, "like"), f'there is no "{base}" in {section}{hint}')
    else:
        _fill(draft, section, entries, base, done=done, chain=(*chain, name))
        if isinstance(entries[base], dict):
            _copy(draft, section, base, name, entries)
            if (section, base) in draft.spoiled:
                draft.spoiled.add(path)
            return
    draft.spoiled.add(path)


def _copy(draft: Draft, section: str, base: str, name: str, entries: dict[str, Any]) -> None:
    entry = entries[name]
    own = set(entry)
    dropped = set().union(*(group for group in _ONE_OF if group & own))
    for key, value in entries[base].items():
        if key in own or key in dropped or key in NEVER_REPEATED or key == "like":
            continue
        source, target = (section, base, key), (section, name, key)
        entry[key] = _copied(draft, source, target, value)
        if source in draft.spoiled:
            draft.spoiled.add(target)


def _copied(draft: Draft, source: Path, target: Path, value: Any) -> Any:
    """A copy of a value, its marks with it."""
    for marks in (draft.keys, draft.spots):
        if source in marks:
            marks[target] = marks[source]
    if isinstance(value, dict):
        return {
            key: _copied(draft, (*source, key), (*target, key), child)
            for key, child in value.items()
        }
    if isinstance(value, list):
        return [
            _copied(draft, (*source, index), (*target, index), child)
            for index, child in enumerate(value)
        ]
    return value
