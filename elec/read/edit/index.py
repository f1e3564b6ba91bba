"""Where every value stands in the files of a system.

In: the files' texts and nodes. Out: `Index`: path → slot. Paths are those of the reader: sections
of several files merge, the items of a list are counted over all files in order.
"""

import re
from collections.abc import Mapping
from pathlib import Path as File

import yaml
from msgspec import Struct

from elec.read.draft import Path

_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*\n)*")


class Slot(Struct, frozen=True, kw_only=True):
    """One value of one file: its key (None for an item of a list), and what it stands in."""

    file: File
    text: str
    """The whole text of the file."""
    key: yaml.Node | None
    node: yaml.Node
    parent: yaml.MappingNode | yaml.SequenceNode
    order: int
    """Its position in the parent."""

    @property
    def start(self) -> int:
        """Where the key, or the item behind its dash, begins."""
        return begin(self.key or self.node)

    @property
    def end(self) -> int:
        """Where the last character of the value has been."""
        return max(end_of(self.node, self.text), self.colon)

    @property
    def colon(self) -> int:
        """Just behind the colon of the key; behind the key where there is none."""
        if self.key is None:
            return 0
        return colon_after(self.key, self.text)

    @property
    def in_flow(self) -> bool:
        """Whether it stands in braces or brackets."""
        return bool(self.parent.flow_style)


Child = tuple[int, yaml.Node | None, yaml.Node]
"""Position in the parent, key (None for an item of a list), value."""


class Index:
    """Finds the slot of a path; what is asked of once is kept."""

    def __init__(self, texts: Mapping[File, str], roots: Mapping[File, yaml.Node | None]) -> None:
        """Begin with the text and the root node of every file."""
        self.texts = texts
        self.roots = roots
        self.sections: dict[str, list[Slot]] = {}
        """The slots of each section in the order of the files."""
        self._children: dict[int, dict[str | int, Child]] = {}
        for file, root in roots.items():
            if isinstance(root, yaml.MappingNode):
                for name in self._below(root):
                    found = self._slot(file, root, name)
                    if found is not None:
                        self.sections.setdefault(str(name), []).append(found)

    def find(self, path: Path) -> Slot | None:
        """Where a path is written; None where it is not."""
        slots = self.sections.get(str(path[0]), ())
        if len(path) == 1:
            return slots[0] if slots else None
        first, entry = 0, path[1]
        for section in slots:
            name = entry - first if isinstance(entry, int) else entry
            found = self._slot(section.file, section.node, name)
            for part in path[2:]:
                found = None if found is None else self._slot(found.file, found.node, part)
            if found is not None:
                return found
            first += len(section.node.value) if isinstance(section.node, yaml.SequenceNode) else 0
        return None

    def _slot(self, file: File, node: yaml.Node, name: str | int) -> Slot | None:
        found = self._below(node).get(name)
        if found is None or not isinstance(node, yaml.MappingNode | yaml.SequenceNode):
            return None
        order, key, child = found
        return Slot(file=file, text=self.texts[file], key=key, node=child, parent=node, order=order)

    def _below(self, node: yaml.Node) -> Mapping[str | int, Child]:
        made = self._children.get(id(node))
        if made is None:
            made = {}
            if isinstance(node, yaml.MappingNode):
                for order, (key, child) in enumerate(node.value):
                    made.setdefault(str(key.value).strip(), (order, key, child))
            elif isinstance(node, yaml.SequenceNode):
                made = {order: (order, None, child) for order, child in enumerate(node.value)}
            self._children[id(node)] = made
        return made


def is_nothing(node: yaml.Node) -> bool:
    """Whether nothing is written where a value could stand."""
    return isinstance(node, yaml.ScalarNode) and not node.style and not node.value


def begin(node: yaml.Node) -> int:
    """The index of a node's first character."""
    return int(node.start_mark.index)


def colon_after(key: yaml.Node, text: str) -> int:
    """Just behind the colon of a key; behind the key where there is none."""
    end = int(key.end_mark.index)
    gap = _GAP.match(text, end)
    after = gap.end() if gap else end
    return after + 1 if text[after : after + 1] == ":" else end


def end_of(node: yaml.Node, text: str) -> int:
    """Behind the last character of a value: comments and lines after it are not part of it."""
    start, stop = begin(node), int(node.end_mark.index)
    if isinstance(node, yaml.ScalarNode):
        if node.style in ("|", ">"):
            return start + len(text[start:stop].rstrip(" \t\r\n"))
        return stop
    if not isinstance(node, yaml.CollectionNode) or node.flow_style or not node.value:
        return stop
    last = node.value[-1]
    if isinstance(last, tuple):
        return max(end_of(last[1], text), colon_after(last[0], text))
    return max(end_of(last, text), _dash(last, text) + 1)


def dash_of(slot: Slot) -> int:
    """The index of the dash before an item of a list that is written line by line."""
    return _dash(slot.node, slot.text)


def _dash(node: yaml.Node, text: str) -> int:
    start = begin(node)
    while True:
        found = text.rfind("-", 0, start)
        if found < 0:
            return begin(node)
        gap = _GAP.match(text, found + 1)
        if gap is not None and gap.end() >= begin(node):
            return found
        start = found


def line_start(text: str, at: int) -> int:
    """The index at which the line of a character begins."""
    return text.rfind("\n", 0, at) + 1


def line_end(text: str, at: int) -> int:
    """The index at which the line of a character ends, before its line break."""
    found = text.find("\n", at)
    found = len(text) if found < 0 else found
    return found - 1 if found > at and text[found - 1] == "\r" else found


def next_line(text: str, at: int) -> int:
    """The index at which the next line begins, or the end of the text."""
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1
