"""`like: other-name` repeats an entry of the same section with changes.

What the entry writes itself takes the place of what it repeats, key by key. A print name and a
number are never repeated. Writing one protective device (or a reason for none) drops the one
repeated, and likewise for `draw`, `modes` and `passive`; modes of its own drop what stands in each
mode (`on`, `peak`, `duty`).
"""

from typing import Any

from elec.read.draft import Draft, Path, near
from elec.read.given import EITHER, OF_EACH_MODE
from elec.read.shape import ENTRY_SECTIONS

LONGEST_CHAIN = 100
"""So many entries may repeat one another in a row."""
MOST_COPIED = 100_000
"""So many values may be repeated altogether; a whole system has a twentieth of that."""
NEVER_REPEATED = frozenset({"name", "number"})
_ONE_OF = (
    frozenset({"breaker", "fuse", "limiter", "link", "unprotected"}),
    frozenset({"draw", "modes", "passive"}),
    *(frozenset(pair) for pair in EITHER),
)


def repeat(draft: Draft) -> bool:
    """Fill in every entry that is `like:` another; False where that would be without end."""
    try:
        _repeat(draft)
    except _TooMuch as found:
        draft.wrong((*found.path, "like"), str(found))
        return False
    return True


class _TooMuch(Exception):  # noqa: N818 - it names what is so, not a fault of the program
    """Entries that repeat one another into a system that nobody can have meant."""

    def __init__(self, path: Path, message: str) -> None:
        super().__init__(message)
        self.path = path


def _repeat(draft: Draft) -> None:
    left = [MOST_COPIED]
    for section in sorted(ENTRY_SECTIONS):
        entries = draft.data.get(section)
        if isinstance(entries, dict):
            done: set[str] = set()
            for name in entries:
                _fill(draft, section, entries, name, done=done, left=left)
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
    left: list[int],
    chain: tuple[str, ...] = (),
) -> None:
    entry = entries[name]
    if name in done or not isinstance(entry, dict) or "like" not in entry:
        return
    done.add(name)
    if len(chain) >= LONGEST_CHAIN:
        raise _TooMuch(
            (section, name),
            f"this is the end of a chain of more than {LONGEST_CHAIN} entries that repeat each "
            "other; name the first of them here",
        )
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
        _fill(draft, section, entries, base, done=done, left=left, chain=(*chain, name))
        if isinstance(entries[base], dict):
            left[0] -= _count(entries[base])
            if left[0] < 0:
                raise _TooMuch(path, f"with this entry more than {MOST_COPIED} values are repeated")
            _copy(draft, section, base, name, entries)
            if (section, base) in draft.spoiled:
                draft.spoiled.add(path)
            return
    draft.spoiled.add(path)


def _count(value: Any) -> int:
    """How many keys and values there are in a value."""
    below = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return 1 + sum(_count(child) for child in below)


def _copy(draft: Draft, section: str, base: str, name: str, entries: dict[str, Any]) -> None:
    entry = entries[name]
    own = set(entry)
    dropped: set[str] = set().union(*(group for group in _ONE_OF if group & own))
    if "modes" in own:
        dropped |= set(OF_EACH_MODE)
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
