"""From YAML nodes to plain data of texts, keeping where each key and value stands.

The sections of several files merge into one draft; what is given twice is a mistake that names
both places.
"""

import re
from typing import Any

import yaml

from elec.read.draft import Again, Draft, Path, Spot, dotted
from elec.read.shape import ENTRY_SECTIONS, SECTIONS
from elec.read.text import TextFile

DEEPEST = 12
_WHOLE = re.compile(r"[+-]?[0-9]+")
_PARTED = re.compile(r"[\w.+-]+(?:\s*;\s*[\w.+-]+)+")
"""Names of a list that semicolons part."""
_STUCK = re.compile(r"([^\s:]+):([{\[].*)", re.DOTALL)
_REST = re.compile(r"[0-9]+(?:\s*[^\s0-9].*)?")
_ORDERED = {
    "phases": "phases are in the order of the flight",
    "grounds": "the first ground is the battery's",
}
"""Sections whose order says something: over two files it would go by the names of the files."""
_NOTHING = frozenset({"", "~", "null", "Null", "NULL"})


def gather(draft: Draft, sheet: TextFile) -> None:
    """Add one file to the draft."""
    walker = _Walker(draft, sheet)
    if sheet.root is None or (
        isinstance(sheet.root, yaml.ScalarNode) and walker.nothing(sheet.root)
    ):
        return
    if not isinstance(sheet.root, yaml.MappingNode):
        what = "a list" if isinstance(sheet.root, yaml.SequenceNode) else "a text"
        message = f"a file is made of sections such as system: and equipment:, but this is {what}"
        draft.at((sheet.name, 1, 1), message)
        return
    walker.sections(sheet.root)


class _Walker:
    """Walks the nodes of one file."""

    def __init__(self, draft: Draft, sheet: TextFile) -> None:
        self.draft = draft
        self.file = sheet.name
        self.lines = sheet.lines

    def sections(self, root: yaml.MappingNode) -> None:
        here: set[str] = set()
        data = self.draft.data
        for key, node in root.value:
            name = self.key(key, node, ())
            if name is None:
                continue
            path: Path = (name,)
            if name in here:
                self.twice(path, key, node)
                continue
            here.add(name)
            first = path not in self.draft.keys
            if first:
                self.mark(path, key, node)
            if isinstance(node, yaml.ScalarNode) and self.nothing(node):
                continue
            if not first and name in _ORDERED:
                file, line, _ = self.draft.keys[path]
                why = f"{_ORDERED[name]}, so all of it has to stand in one file"
                self.again(path, key, node, f"{name} stands in {file}:{line}, too: {why}")
            if first or name not in data:
                data[name] = self.value(node, path)
            elif isinstance(node, yaml.MappingNode) and isinstance(data[name], dict):
                self.mapping(node, path, data[name])
            elif isinstance(node, yaml.SequenceNode) and isinstance(data[name], list):
                self.sequence(node, path, data[name])
            else:
                file, line, _ = self.draft.keys[path]
                spot = (self.file, key.start_mark.line + 1, key.start_mark.column + 1)
                self.draft.at(
                    spot, f"{name} is written in another way in {file}:{line}; they cannot merge"
                )

    def value(self, node: yaml.Node, path: Path) -> Any:
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, path, {})
        if isinstance(node, yaml.SequenceNode):
            return self.sequence(node, path, [])
        return node.value

    def mapping(self, node: yaml.MappingNode, path: Path, into: dict[str, Any]) -> dict[str, Any]:
        if len(path) > DEEPEST:
            self.draft.at(self.spot(node), "brackets and indents are nested too deeply here")
            return into
        before: tuple[str, yaml.Node] | None = None
        for key, child in node.value:
            if before is not None and self.comma(before, key, child, path, into):
                continue
            name = self.key(key, child, path)
            before = None if name is None else (name, child)
            if name is None:
                continue
            below = (*path, name)
            if below in self.draft.keys:
                self.twice(below, key, child)
                continue
            self.mark(below, key, child)
            if isinstance(child, yaml.ScalarNode) and self.nothing(child):
                self.empty(below, key, into)
            else:
                into[name] = self.value(child, below)
        return into

    def sequence(self, node: yaml.SequenceNode, path: Path, into: list[Any]) -> list[Any]:
        if len(path) > DEEPEST:
            self.draft.at(self.spot(node), "brackets and indents are nested too deeply here")
            return into
        for child in node.value:
            below = (*path, len(into))
            self.mark(below, child, child)
            if isinstance(child, yaml.ScalarNode) and self.nothing(child):
                self.draft.wrong(below, "nothing is written in this item of the list")
                self.draft.spoiled.add(path)
            elif isinstance(child, yaml.ScalarNode) and _PARTED.fullmatch(child.value):
                parts = [part.strip() for part in child.value.split(";")]
                self.draft.wrong(
                    below,
                    f'"{child.value}" is read as one: a comma parts what is listed, '
                    f"{', '.join(parts)}",
                )
                for part in parts:
                    self.mark((*path, len(into)), child, child)
                    into.append(part)
            else:
                into.append(self.value(child, below))
        return into

    def key(self, key: yaml.Node, value: yaml.Node, path: Path) -> str | None:
        """The key as text, or None after a mistake."""
        spot = self.spot(key)
        if not isinstance(key, yaml.ScalarNode):
            self.draft.at(
                spot, "a key is a single word; brackets cannot stand before a colon", path
            )
            return None
        text: str = key.value.strip()
        plain = not key.style
        if plain and text == "<<":
            self.draft.at(
                spot,
                "merge keys (<<) are not used here; "
                "to repeat an entry with changes, write like: and its name",
                path,
            )
            self.draft.spoiled.add(path)
            return None
        if not text:
            self.draft.at(spot, "a key is missing before this colon", path)
            return None
        stuck = _STUCK.match(text) if plain else None
        if stuck:
            first, rest = stuck.groups()
            self.draft.at(spot, f"put a space after the colon: {first}: {rest}...", path)
            self.draft.spoiled.add((*path, first))
            return None
        if plain and ":" in text and isinstance(value, yaml.ScalarNode) and self.nothing(value):
            first, rest = text.split(":", 1)
            self.draft.at(
                spot,
                f'"{text}" is read as one word; put a space after the colon: {first}: {rest}',
                path,
            )
            self.draft.spoiled.add((*path, first))
            return None
        return text

    def comma(
        self,
        before: tuple[str, yaml.Node],
        key: yaml.Node,
        child: yaml.Node,
        path: Path,
        into: dict[str, Any],
    ) -> bool:
        """Whether a key in { } is what stands behind the decimal comma of the value before it."""
        name, value = before
        split = (
            isinstance(value, yaml.ScalarNode)
            and isinstance(key, yaml.ScalarNode)
            and isinstance(child, yaml.ScalarNode)
            and self.nothing(child)
            and value.end_mark.index + 1 == key.start_mark.index
            and _WHOLE.fullmatch(value.value)
            and _REST.fullmatch(key.value)
        )
        if split:
            meant = f"{value.value}.{key.value}"
            self.draft.wrong(
                (*path, name),
                f'"{value.value},{key.value}" has a decimal comma; write {meant}',
            )
            into[name] = meant
        return bool(split)

    def empty(self, path: Path, key: yaml.Node, into: dict[str, Any]) -> None:
        if path[0] not in SECTIONS or (len(path) == 2 and path[0] in ENTRY_SECTIONS):
            into[str(path[1])] = {}
            return
        message = f'nothing is written after "{path[-1]}:"'
        line = key.end_mark.line
        rest = self.lines[line][key.end_mark.column :].lstrip() if line < len(self.lines) else ""
        if not rest.startswith((":", "?")):
            message = (
                f'"{path[-1]}" has no colon and no value; in {{ }} a comma ends a text, '
                "so a text that holds one needs quotes"
            )
        elif rest[1:].lstrip().startswith("#"):
            message += "; a # begins a comment"
            word = (rest.split("#", 1)[1].split() or [""])[0]
            if path[-1] == "gauge" and word:
                message += f": write AWG {word}"
        self.draft.wrong(path, message, key=True)
        self.draft.spoiled.add(path)

    def nothing(self, node: yaml.ScalarNode) -> bool:
        return not node.style and node.value in _NOTHING

    def mark(self, path: Path, key: yaml.Node, node: yaml.Node) -> None:
        spot = self.spot(key)
        self.draft.keys[path] = spot
        scalar = node is not key and isinstance(node, yaml.ScalarNode)
        self.draft.spots[path] = self.spot(node) if scalar else spot

    def spot(self, node: yaml.Node) -> Spot:
        mark = node.start_mark
        return self.file, mark.line + 1, mark.column + 1

    def twice(self, path: Path, key: yaml.Node, node: yaml.Node) -> None:
        file, line, _ = self.draft.keys[path]
        self.again(path, key, node, f"{dotted(path)} is given twice; first in {file}:{line}")

    def again(self, path: Path, key: yaml.Node, node: yaml.Node, message: str) -> None:
        """Note what stands here for the second time."""
        self.draft.at(self.spot(key), message)
        inside = node.value if isinstance(node, yaml.MappingNode) else ()
        again = Again(
            mistake=self.draft.mistakes[-1],
            path=path,
            first=self.draft.keys[path][0],
            keys=frozenset(str(inner.value) for inner, _ in inside),
        )
        self.draft.again.append(again)
