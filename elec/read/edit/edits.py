"""Changes of a system's files, each read again and compared with what was asked."""

from collections.abc import Mapping, Sequence
from difflib import unified_diff
from itertools import pairwise
from pathlib import Path as File
from typing import Any

import yaml

from elec.finding import Mistake
from elec.read.draft import Draft, Path, dotted
from elec.read.edit.index import Index, Slot
from elec.read.edit.save import save
from elec.read.edit.spans import (
    CannotEdit,
    TextSpan,
    entry,
    item,
    pair,
    put_in,
    removed,
    replaced,
    section,
)
from elec.read.edit.words import Value, inline
from elec.read.reading import Reading, files_of, read_texts
from elec.read.shape import ENTRY_SECTIONS, SECTIONS
from elec.read.text import TextFile, sheet
from elec.read.walk import gather

_MARK = b"\xef\xbb\xbf"

Named = str | Path
"""A path: ("circuits", "beacon", "breaker"), or `circuits.beacon.breaker`; items of a list count
from 0 in the first form and from 1 in the second, as in messages."""


class Edits:
    """The files of a system, and how they would read after some changes.

    Nothing is written before `write`. A change that fails leaves everything as it was before it.
    """

    def __init__(self, files: Mapping[File, bytes]) -> None:
        """Begin with the content of the files, in the order in which they are read.

        Raises:
            CannotEdit: one of them is no YAML that elec reads.
        """
        self._before = dict(files)
        self._files = dict(files)
        self._sheets = {file: _sheet(file, content) for file, content in files.items()}
        self._data = _gathered(self._sheets)
        self._made: Index | None = None
        self._fresh: set[File] = set()

    @classmethod
    def of(cls, system: str | File) -> "Edits":
        """Begin with the files of a system on the disk.

        Raises:
            CannotEdit: they cannot be read.
        """
        try:
            found = files_of(system)
            for file in found:
                if not file.is_file():
                    raise CannotEdit(f"{file} is no file; nothing can be written there")
            files = {file: file.read_bytes() for file in found}
        except OSError as error:
            raise CannotEdit(f"{system}: {error.strerror or error}") from error
        if not files:
            raise CannotEdit(f"{system}: there is no system here")
        return cls(files)

    def beginning(self, file: File, content: bytes) -> "Edits":
        """The same with a file that is not there yet, and is made only where it is changed."""
        made = Edits({**self._files, file: content})
        made._fresh = {*self._fresh, file}
        return made

    # -- asking ----------------------------------------------------------------------------------

    def get(self, path: Named) -> Any:
        """What is written at a path (text, list or mapping); None where nothing is.

        What an entry repeats by `like:` is not written in it.
        """
        found: Any = self._data
        for part in self._path(path):
            try:
                found = found[part]
            except (KeyError, IndexError, TypeError):
                return None
        return found

    def file_of(self, path: Named) -> File | None:
        """The file in which a path is written; None where it is not."""
        slot = self._index.find(self._path(path))
        return slot.file if slot else None

    def files(self) -> dict[File, bytes]:
        """The content of every file after the changes."""
        return dict(self._files)

    def changed(self) -> dict[File, bytes]:
        """The new content of the files that change."""
        return {f: content for f, content in self._files.items() if content != self._before[f]}

    def diff(self) -> str:
        """The changes as a unified diff; empty where there are none."""
        return "".join(
            _diff(file.name, self._before[file], content)
            for file, content in self.changed().items()
        )

    def reading(self) -> Reading:
        """The system after the changes, or the mistakes that they make."""
        return read_texts(self._files)

    # -- changing --------------------------------------------------------------------------------

    def set(self, path: Named, value: Value, *, after: Sequence[str] = ()) -> None:
        """Write a value at a path: it takes the place of the old one, or its key is put in.

        Args:
            path: what to set; keys on the way that are missing are made.
            value: a text, or a list or mapping of texts.
            after: a new key is put behind the first of these keys that is there, else at the end.

        Raises:
            CannotEdit: the path leads through a text, or the change cannot be made alone.
        """
        self.set_all({self._path(path): value}, after=after)

    def set_all(self, values: Mapping[Path, Value], *, after: Sequence[str] = ()) -> None:
        """Write several values at once; many are as quick as one. As `set` otherwise."""
        wanted = {p: v for p, v in values.items() if self.get(p) != _plain(v)}
        if not wanted:
            return
        try:
            spans = [s for path, value in wanted.items() for s in self._set(path, value, after)]
            self._apply(spans, wanted)
        except CannotEdit:
            if len(wanted) == 1:
                raise
            self._one_by_one(wanted, after)

    def add(
        self,
        name: str,
        value: Value,
        *,
        to: str,
        comment: str = "",
        lines: bool | None = None,
        behind: str = "",
        file: File | None = None,
    ) -> None:
        """Add an entry to a section, in the style of its neighbours.

        Args:
            name: the entry's name; for a list, such as `feeders`, an empty text.
            value: its content.
            to: the section; made where it is missing, in the file that fits best.
            comment: text for comment lines above it.
            lines: a line for each key; None: as most neighbours have it.
            behind: the entry behind which it goes, in whichever file that stands; else the last.
            file: the file to write into where a section stands in several; None: the one with most
                entries, for a list the last.

        Raises:
            CannotEdit: it is there already, or cannot be added alone.
        """
        if name and self.get((to, name)) is not None:
            raise CannotEdit(f"{to}.{name} is there already")
        slot = self._section(to, file or (self.file_of((to, behind)) if behind else None))
        key: str | int = name or self._position(to, slot)
        if slot is None:
            whole: Value = {name: value} if name else [value]
            spans = [self._new_section(to, whole, file, comment)]
        elif name:
            spans = entry(slot, name, value, comment=comment, lines=lines, behind=behind)
        elif isinstance(slot.node, yaml.SequenceNode):
            spans = item(slot, value)
        else:
            spans = replaced(slot, [value])
        self._apply(spans, {(to, key): value}, new_item=not name)

    def remove(self, path: Named) -> None:
        """Take an entry, a key or an item away, with the lines and comments that belong to it.

        What would be left with nothing in it goes, too (but not a section or an entry).

        Raises:
            CannotEdit: it is not there, or cannot be removed alone.
        """
        at = self._path(path)
        while len(at) > 3 and len(self.get(at[:-1]) or ()) == 1:
            at = at[:-1]
        slot = self._index.find(at)
        if slot is None:
            raise CannotEdit(f"{dotted(at)} is not there")
        if len(at) == 1 and len(self._index.sections[str(at[0])]) > 1:
            raise CannotEdit(f"{dotted(at)} stands in several files; remove its entries")
        self._apply(removed(slot), {at: None})

    # -- writing ---------------------------------------------------------------------------------

    def write(self) -> tuple[File, ...]:
        """Write the files that change, all of them or none; gives their paths.

        Raises:
            CannotEdit: the system would have mistakes.
            CannotSave: a file was changed by others meanwhile, or the disk refuses.
        """
        found = self.changed()
        mistakes = self.reading().mistakes if found else ()
        if mistakes:
            raise CannotEdit(_list(mistakes))
        save({f: None if f in self._fresh else self._before[f] for f in found}, found)
        self._before.update(found)
        self._fresh -= found.keys()
        return tuple(found)

    # -- inside ----------------------------------------------------------------------------------

    @property
    def _index(self) -> Index:
        if self._made is None:
            texts = {file: _text(content) for file, content in self._files.items()}
            roots = {file: found.root for file, found in self._sheets.items()}
            self._made = Index(texts, roots)
        return self._made

    def _path(self, path: Named) -> Path:
        if not isinstance(path, str):
            return path
        parts: list[str | int] = []
        found: Any = self._data
        for word in path.split("."):
            part = int(word) - 1 if isinstance(found, list) and word.isdigit() else word
            parts.append(part)
            try:
                found = found[part]
            except (KeyError, IndexError, TypeError):
                found = None
        return tuple(parts)

    def _set(self, path: Path, value: Value, after: Sequence[str]) -> list[TextSpan]:
        slot = self._index.find(path)
        if slot is not None:
            if len(path) == 1 and len(self._index.sections[str(path[0])]) > 1:
                raise CannotEdit(f"{dotted(path)} stands in several files; change its entries")
            return replaced(slot, value)
        depth = next((d for d in range(len(path) - 1, 0, -1) if self._index.find(path[:d])), 0)
        for part in reversed(path[depth + 1 :]):
            if isinstance(part, int) and part:
                raise CannotEdit(f"{dotted(path)}: there is no such item in the list")
            value = {part: value} if isinstance(part, str) else [value]
        name = path[depth]
        if depth == 0:
            return [self._new_section(str(name), value, None, "")]
        if depth == 1:
            place = self._section(str(path[0]), None)
            assert place is not None  # noqa: S101 - its slot was found
            if isinstance(name, int):
                if name != self._position(str(path[0]), place):
                    raise CannotEdit(f"{dotted(path)}: there is no such item in the list")
                return item(place, value) if isinstance(place.node, yaml.SequenceNode) else []
            if path[0] in ENTRY_SECTIONS or isinstance(value, str):
                return entry(place, name, value, comment="", lines=None)
        holder = self._index.find(path[:depth])
        assert holder is not None  # noqa: S101 - its depth was found
        return put_in(holder, path[:depth], name, value, after)

    def _position(self, name: str, slot: Slot | None) -> int:
        """The position in a list of several files behind what one of them holds of it."""
        count = 0
        for found in self._index.sections.get(name, ()) if slot is not None else ():
            count += len(found.node.value) if isinstance(found.node, yaml.SequenceNode) else 0
            if found is slot:
                break
        return count

    def _section(self, name: str, file: File | None) -> Slot | None:
        """The part of a section that an entry is added to."""
        slots = self._index.sections.get(name, ())
        if file is not None:
            return next((slot for slot in slots if slot.file == file), None)
        if not slots:
            return None
        if any(isinstance(slot.node, yaml.SequenceNode) for slot in slots):
            return [s for s in slots if isinstance(s.node, yaml.SequenceNode)][-1]
        return max(slots, key=lambda slot: (len(slot.node.value), slot is slots[0]))

    def _new_section(self, name: str, value: Value, file: File | None, comment: str) -> TextSpan:
        index = self._index
        home = file or self._fitting(name)
        root = index.roots[home]
        if isinstance(root, yaml.MappingNode) and root.flow_style:
            return pair(home, index.texts[home], root, (name, value))[0]
        return section(home, index.texts[home], name, value, comment=comment)

    def _fitting(self, name: str) -> File:
        """The file named like a section, else the one that holds the section nearest to it."""
        for file in self._files:
            if file.stem == name:
                return file
        order = {known: place for place, known in enumerate(SECTIONS)}
        here = order.get(name, 0)
        found = [
            (abs(order.get(other, 0) - here), order.get(other, 0) > here, slots[-1].file)
            for other, slots in self._index.sections.items()
        ]
        return min(found, default=(0, False, next(iter(self._files))), key=lambda f: f[:2])[2]

    def _apply(
        self, spans: Sequence[TextSpan], wanted: Mapping[Path, Any], *, new_item: bool = False
    ) -> None:
        """Replace the spans, read again, and keep the result only if it is what was wanted."""
        texts = dict(self._files)
        for file in dict.fromkeys(span.file for span in spans):
            mine = [span for span in spans if span.file == file]
            head = _MARK if self._files[file].startswith(_MARK) else b""
            texts[file] = head + _spliced(_text(self._files[file]), mine).encode()
        expected = dict(self._data)
        owned: set[int] = set()
        for path, value in wanted.items():
            if new_item:
                items = list(expected.get(str(path[0]), ()))
                items.insert(int(path[1]), _plain(value))
                expected[str(path[0])] = items
            else:
                _place(expected, path, _plain(value), owned)
        sheets = dict(self._sheets)
        for file, content in texts.items():
            if content != self._files[file]:
                sheets[file] = _sheet(file, content)
        data = _gathered(sheets)
        if _filled(data) != _filled(expected):
            raise CannotEdit(_by_hand(wanted))
        self._files, self._sheets, self._data, self._made = texts, sheets, data, None

    def _one_by_one(self, values: Mapping[Path, Value], after: Sequence[str]) -> None:
        kept = self._files, self._sheets, self._data, self._made
        try:
            for path, value in values.items():
                self.set(path, value, after=after)
        except CannotEdit:
            self._files, self._sheets, self._data, self._made = kept
            raise


def _spliced(text: str, spans: Sequence[TextSpan]) -> str:
    pieces, at = [], 0
    for span in sorted(spans, key=lambda s: (s.start, s.stop)):
        if span.start < at:
            raise CannotEdit("two changes touch the same spot; make them one after the other")
        pieces += [text[at : span.start], span.new]
        at = span.stop
    return "".join([*pieces, text[at:]])


def _sheet(file: File, content: bytes) -> TextFile:
    found = sheet(content, file.name)
    if isinstance(found, list):
        raise CannotEdit(_list(found))
    return found


def _gathered(sheets: Mapping[File, TextFile]) -> dict[str, Any]:
    draft = Draft()
    for found in sheets.values():
        gather(draft, found)
    if draft.mistakes:
        raise CannotEdit(_list(draft.mistakes))
    return draft.data


def _text(content: bytes) -> str:
    return content.decode("utf-8-sig")


def _list(mistakes: Sequence[Mistake]) -> str:
    return "\n".join(str(mistake) for mistake in mistakes)


def _plain(value: Any) -> Any:
    """A value as the reader gives it: dicts, lists and texts."""
    if isinstance(value, Mapping):
        return {key: _plain(child) for key, child in value.items()}
    if value is None or isinstance(value, str):
        return value
    return [_plain(child) for child in value]


def _place(data: dict[str, Any], path: Path, value: Any, owned: set[int]) -> None:
    """Put a value into plain data; None takes it away. What is not `owned` is copied first."""
    found: Any = data
    for part, below in pairwise(path):
        there = isinstance(found, dict) and part in found
        if there or (isinstance(found, list) and int(part) < len(found)):
            child = found[part]
            if id(child) not in owned:
                child = child.copy()
        else:
            child = [] if isinstance(below, int) else {}
        owned.add(id(child))
        _put(found, part, child)
        found = child
    if value is None:
        del found[path[-1]]
    else:
        _put(found, path[-1], value)


def _put(found: Any, part: str | int, value: Any) -> None:
    if isinstance(found, list) and part == len(found):
        found.append(value)
    else:
        found[part] = value


def _filled(data: Mapping[str, Any]) -> dict[str, Any]:
    """Without sections that hold nothing."""
    return {name: found for name, found in data.items() if found not in ({}, [])}


def _by_hand(wanted: Mapping[Path, Any]) -> str:
    lines = [
        f"{dotted(path)}: {inline(value, flow=False)}" if value is not None else dotted(path)
        for path, value in wanted.items()
    ]
    return "this cannot be changed without touching more than that; do it by hand: " + "; ".join(
        lines
    )


def _diff(name: str, before: bytes, after: bytes) -> str:
    old, new = (_text(content).split("\n") for content in (before, after))
    shown = unified_diff(_lines(old), _lines(new), name, name)
    return "".join(
        line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n" for line in shown
    )


def _lines(pieces: list[str]) -> list[str]:
    whole = [f"{piece}\n" for piece in pieces[:-1]]
    return [*whole, pieces[-1]] if pieces[-1] else whole
