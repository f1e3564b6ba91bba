"""Every kind of value of a system written as something else: a list, a mapping, a text.

`python -m tests.hostile.kinds systems/foxglove` goes through all of them: each is refused at its
line or means something, and none is a fault.
"""

import sys
import traceback
from collections.abc import Iterable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

from elec.read.reading import read_texts
from tests import plain

Spot = tuple[str | int, ...]
INSTEAD: tuple[Any, ...] = ([], ["x"], {"a": "b"}, "x", [["x"]], {})
_NAMED = frozenset(
    {"sources", "buses", "grounds", "switches", "panels", "device-classes", "interconnects",
     "equipment", "circuits", "plugs", "connector-types", "wires", "wire-types", "multicores",
     "coax", "places", "zones", "build", "stock", "phases", "measured", "sensors", "poles",
     "modes", "connectors", "pins", "outline"}
)  # fmt: skip
"""Keys under which the builder's own names stand: one of them is as good as another."""


def whole(system: Path) -> dict[str, Any]:
    """The texts of a system as plain data."""
    made: dict[str, Any] = {}
    for file in sorted(system.glob("*.yaml")) if system.is_dir() else [system]:
        read = plain.texts(file.read_bytes()) or {}
        for section, entries in read.items():
            if isinstance(entries, list):
                made.setdefault(section, []).extend(entries)
            else:
                made.setdefault(section, {}).update(entries)
    return made


def spots(value: Any, path: Spot = ()) -> Iterator[Spot]:
    """Every value, with the keys that lead to it."""
    if path:
        yield path
    if isinstance(value, dict | list):
        for key in value if isinstance(value, dict) else range(len(value)):
            yield from spots(value[key], (*path, key))


def kind(path: Spot) -> Spot:
    """What is the same for every entry of a section or list."""
    return tuple(
        "*" if isinstance(key, int) or (at and path[at - 1] in _NAMED) else key
        for at, key in enumerate(path)
    )


def written_otherwise(
    systems: Iterable[Path], instead: Iterable[Any] = INSTEAD
) -> Iterator[tuple[str, bytes]]:
    """(what was changed, text), each kind of value once."""
    done: set[Spot] = set()
    for system in systems:
        data = whole(system)
        for path in spots(data):
            if kind(path) in done:
                continue
            done.add(kind(path))
            for new in instead:
                changed = deepcopy(data)
                inner: Any = changed
                for key in path[:-1]:
                    inner = inner[key]
                inner[path[-1]] = new
                text = plain.written(changed, width=1000)
                yield f"{system.name}: {'.'.join(map(str, path))}: {new!r}", text.encode()


def trouble_of_kind(text: bytes) -> str:
    """What goes wrong; "" for nothing."""
    try:
        found = read_texts({Path("other.yaml"): text})
    except Exception as error:  # noqa: BLE001 - that is what is looked for
        last = traceback.extract_tb(error.__traceback__)[-1]
        return f"{type(error).__name__} in {last.filename[-30:]}:{last.lineno}: {error}"
    return "" if found.system or found.mistakes else "refused without a word"


def main() -> None:
    """Go through the systems that are named, and print what goes wrong."""
    count = 0
    for count, (what, text) in enumerate(written_otherwise(map(Path, sys.argv[1:])), 1):  # noqa: B007
        said = trouble_of_kind(text)
        if said:
            print(f"{what} {said}", flush=True)
    print(f"{count} texts")


if __name__ == "__main__":
    main()
