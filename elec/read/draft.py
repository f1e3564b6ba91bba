"""What is gathered while files are read: plain texts, where each stands, and the mistakes."""

from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from msgspec import Struct, field

from elec.finding import Mistake, Place

Path = tuple[str | int, ...]
Spot = tuple[str, int, int]
"""File, line and column."""


def dotted(path: Path) -> str:
    """A path for print; entries of a list count from 1."""
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in path)


def near(word: str, known: Iterable[str]) -> str:
    """The end of a sentence about an unknown word: what was probably meant, or what there is."""
    words = list(known)
    found = get_close_matches(word, words, 1, 0.6) or [
        other for other in words if other.casefold() == word.casefold()
    ]
    if found:
        return f'; did you mean "{found[0]}"?'
    if 0 < len(words) < 12:
        return f"; known: {', '.join(words)}"
    return ""


class Places(Mapping[Path, Place]):
    """Path → place, made when asked for."""

    def __init__(self, spots: Mapping[Path, Spot]) -> None:
        """Look places up in these spots."""
        self._spots = spots
        self._made: dict[Path, Place] = {}

    def __getitem__(self, path: Path) -> Place:
        """The place of a path that is written in the text."""
        found = self._made.get(path)
        if found is None:
            file, line, column = self._spots[path]
            found = Place(file=file, line=line, column=column, path=dotted(path))
            self._made[path] = found
        return found

    def __contains__(self, path: object) -> bool:
        """Whether something is written there."""
        return path in self._spots

    def __iter__(self) -> Iterator[Path]:
        """All paths in the order of the text."""
        return iter(self._spots)

    def __len__(self) -> int:
        """How many paths there are."""
        return len(self._spots)


class Again(Struct, frozen=True, kw_only=True):
    """A thing given for the second time: its mistake, its path, the first file, its keys."""

    mistake: Mistake
    path: Path
    first: str
    keys: frozenset[str]


class Draft(Struct, kw_only=True):
    """The builder's text as it is being read."""

    data: dict[str, Any] = field(default_factory=dict)
    """Mappings, lists and texts; nothing is converted yet."""
    keys: dict[Path, Spot] = field(default_factory=dict)
    """Where the key, or the begin of an item of a list, stands."""
    spots: dict[Path, Spot] = field(default_factory=dict)
    """Where the value stands; for a mapping or a list where its key stands."""
    mistakes: list[Mistake] = field(default_factory=list)
    again: list["Again"] = field(default_factory=list)
    """What is given twice."""
    spoiled: set[Path] = field(default_factory=set)
    """What is written but cannot be used and has been reported."""
    beyond: dict[Path, Mistake] = field(default_factory=dict)
    """What was said of quantities that no light aircraft has."""
    file: str = ""
    """Where a mistake about the whole is shown."""
    made: dict[Path, Path] = field(default_factory=dict)
    """What is made of an entry, such as the circuit of a coil → where that entry is written."""

    def written(self, path: Path) -> Path:
        """The path as the builder wrote it: of what is made of `sense: main`, that key alone."""
        for end in range(len(path), 0, -1):
            entry = self.made.get(path[:end])
            if entry is not None:
                found = (*entry, *path[end:])
                while len(found) > len(entry) and found not in self.keys:
                    found = found[:-1]
                return found
        return path

    def at(self, spot: Spot, message: str, path: Path = ()) -> None:
        """Note a mistake at a spot of the text."""
        file, line, column = spot
        place = Place(file=file, line=line, column=column, path=dotted(self.written(path)))
        self.mistakes.append(Mistake(place=place, message=message))

    def wrong(self, path: Path, message: str, *, key: bool = False, show: bool = True) -> None:
        """Note a mistake at a value, or at its key."""
        self.at(self.spot_of(path, key=key), message, path if show else ())

    def spot_of(self, path: Path, *, key: bool = False) -> Spot:
        """Where a value or its key stands; where it is not given, its nearest enclosing entry."""
        spots = self.keys if key else self.spots
        for end in range(len(path), 0, -1):
            found = spots.get(path[:end])
            if found is not None:
                return found
        return self.file, 1, 1

    def entries(self, section: str) -> Iterator[tuple[Path, dict[str, Any]]]:
        """The entries of a section that are mappings, each with its path."""
        found = self.data.get(section)
        if isinstance(found, dict):
            for name, entry in found.items():
                if isinstance(entry, dict):
                    yield (section, name), entry
        elif isinstance(found, list):
            for index, entry in enumerate(found):
                if isinstance(entry, dict):
                    yield (section, index), entry
