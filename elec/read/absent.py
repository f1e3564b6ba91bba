"""Names that are used and do not exist: each told once, however many lines use it.

In: uses of unknown names, as they are met. Out: one mistake a name; where a name that nobody uses
is near, the entry that bears it was probably misspelt, and the mistake stands there.
"""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any

from msgspec import Struct

from elec.read.draft import Draft, Path, near


class _Use(Struct, frozen=True, kw_only=True):
    path: Path
    message: str
    key: bool


class Absent:
    """Unknown names of one draft."""

    def __init__(self, draft: Draft) -> None:
        """Gather for this draft."""
        self.draft = draft
        self._uses: dict[tuple[str, str], list[_Use]] = {}

    def note(
        self, path: Path, name: str, what: str, known: Iterable[str], *, key: bool = False
    ) -> None:
        """Note one use of a name that is none of the known ones.

        Args:
            path: where it is used.
            name: the name.
            what: what it should be, such as `bus` or `source or bus`.
            known: the names that exist.
            key: whether it is used as a key.
        """
        if any(path[1:] == (name,) for path in self.draft.spoiled):
            return
        words = list(known)
        hint = near(name, words)
        meant = next(iter(get_close_matches(name, words, 1, 0.6)), "")
        use = _Use(path=path, message=f'there is no {what} "{name}"{hint}', key=key)
        self._uses.setdefault((name, meant), []).append(use)

    def tell(self) -> None:
        """Note a mistake for every name."""
        for (name, meant), uses in self._uses.items():
            first = min(uses, key=lambda use: self.draft.spot_of(use.path, key=use.key))
            home = self._unused(meant) if len(uses) > 1 and meant else None
            if home is not None:
                file, line, _ = self.draft.spot_of(first.path, key=first.key)
                self.draft.wrong(
                    home,
                    f'nothing uses "{meant}", and {len(uses)} lines name "{name}", the first of '
                    f'them {file}:{line}; write "{name}" here, or "{meant}" in those lines',
                    key=True,
                )
                continue
            more = len(uses) - 1
            also = f" ({more} more line{'s' if more > 1 else ''} name{'' if more > 1 else 's'} it)"
            self.draft.wrong(first.path, first.message + (also if more else ""), key=first.key)

    def _unused(self, name: str) -> Path | None:
        """Where a name is given that nothing else in the text names; None where it is used."""
        homes = [
            (section, name)
            for section, entries in self.draft.data.items()
            if isinstance(entries, dict) and name in entries
        ]
        return homes[0] if len(homes) == 1 and not _named(self.draft.data, name) else None


def _named(value: Any, name: str, depth: int = 0) -> bool:
    """Whether a name stands anywhere but as the name of an entry."""
    if isinstance(value, str):
        return value.partition(".")[0] == name or name in value.split("..")
    if isinstance(value, list):
        return any(_named(item, name, depth + 1) for item in value)
    if isinstance(value, dict):
        keys = depth > 1 and name in value
        return keys or any(_named(item, name, depth + 1) for item in value.values())
    return False
