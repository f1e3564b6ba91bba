"""Which bytes change: the spans of a file's text that a change replaces.

In: the index, a path, a value. Out: spans. Nothing is looked up in what other spans write.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path as File

import yaml
from msgspec import Struct

from elec.read.draft import Path, dotted
from elec.read.edit.index import (
    Slot,
    begin,
    colon_after,
    dash_of,
    end_of,
    is_nothing,
    line_end,
    line_start,
    next_line,
)
from elec.read.edit.words import WIDTH, Value, braced, inline, key, scalar


class CannotEdit(Exception):  # noqa: N818 - it names what is so, not a fault of the program
    """A change that cannot be made without touching more than was asked; the message says why."""


class TextSpan(Struct, frozen=True, kw_only=True):
    """Characters of a file from `start` up to `stop`, and what takes their place."""

    file: File
    start: int
    stop: int
    new: str


def newline_of(text: str) -> str:
    """How the lines of a text end."""
    return "\r\n" if text.count("\r\n") * 2 > text.count("\n") else "\n"


def replaced(slot: Slot, value: Value) -> list[TextSpan]:
    """A value that takes the place of another."""
    file, text, node = slot.file, slot.text, slot.node
    words = inline(value, flow=slot.in_flow)
    if is_nothing(node):
        at = begin(node) if slot.key is None else slot.colon
        if slot.key is not None and not text[:at].endswith(":"):
            return [TextSpan(file=file, start=at, stop=at, new=f": {words}")]
        after = text[at : at + 1] == " " and text[at + 1 : at + 2] in (",", "}", "]")
        return [TextSpan(file=file, start=at, stop=at + after, new=f" {words}")]
    if (
        isinstance(node, yaml.ScalarNode)
        and isinstance(value, str)
        and node.style in (None, "'", '"')
    ):
        words = scalar(value, flow=slot.in_flow, style=node.style)
    in_lines = isinstance(node, yaml.CollectionNode) and not node.flow_style
    if in_lines and slot.key is not None and begin(node) > line_end(text, slot.colon):
        first = line_end(text, slot.colon)  # a comment behind the colon stays
        return [
            TextSpan(file=file, start=slot.colon, stop=slot.colon, new=f" {words}"),
            TextSpan(file=file, start=first, stop=line_end(text, slot.end), new=""),
        ]
    return [TextSpan(file=file, start=begin(node), stop=end_of(node, text), new=words)]


def put_in(
    slot: Slot, path: Path, name: str | int, value: Value, after: Sequence[str]
) -> list[TextSpan]:
    """A value that is put into a mapping, a list, or where nothing is written yet."""
    node = slot.node
    if isinstance(name, int):
        if isinstance(node, yaml.SequenceNode) and name == len(node.value):
            return item(slot, value)
        raise CannotEdit(f"{dotted((*path, name))}: there is no such item in the list")
    if is_nothing(node):
        return replaced(slot, {name: value})
    if not isinstance(node, yaml.MappingNode):
        what = "a text" if isinstance(node, yaml.ScalarNode) else "a list"
        raise CannotEdit(f"{dotted(path)} is {what}; nothing can be put under it")
    return pair(slot.file, slot.text, node, (name, value), after)


def pair(
    file: File, text: str, node: yaml.MappingNode, new: tuple[str, Value], after: Sequence[str] = ()
) -> list[TextSpan]:
    """A pair of key and value in a mapping, behind the first of the keys `after` that is there."""
    last = _behind(node, after)
    flow = bool(node.flow_style)
    words = f"{key(new[0], flow=flow)}: {inline(new[1], flow=flow)}"
    if last is None:
        at = begin(node) + 1
        return [TextSpan(file=file, start=at, stop=at, new=words)]
    if flow:
        ends = [_pair_end(found, text) for found in (last, node.value[-1])]
        return [_between_commas(file, text, ends, words, _column(node.value[0][0], text))]
    at = line_end(text, _pair_end(last, text))
    indent = " " * _column(node.value[0][0], text)
    return [TextSpan(file=file, start=at, stop=at, new=f"{newline_of(text)}{indent}{words}")]


def item(slot: Slot, value: Value) -> list[TextSpan]:
    """An item at the end of a list."""
    file, text, node = slot.file, slot.text, slot.node
    assert isinstance(node, yaml.SequenceNode)  # noqa: S101 - asked for by the callers
    words = inline(value, flow=bool(node.flow_style))
    if not node.value:
        at = begin(node) + 1
        return [TextSpan(file=file, start=at, stop=at, new=words)]
    last = node.value[-1]
    if node.flow_style:
        return [
            _between_commas(file, text, [end_of(last, text)], words, _column(node.value[0], text))
        ]
    lines = [words]
    dash = dash_of(Slot(file=file, text=text, key=None, node=last, parent=node, order=0))
    indent = dash - line_start(text, dash)
    if isinstance(value, Mapping) and value:
        lines = braced(value, indent + 2)
    at = line_end(text, max(end_of(last, text), dash + 1))
    new = newline_of(text)
    return [TextSpan(file=file, start=at, stop=at, new=f"{new}{' ' * indent}- {new.join(lines)}")]


def _between_commas(
    file: File, text: str, ends: Sequence[int], words: str, column: int
) -> TextSpan:
    """Behind the first of these ends where the line does not become too long."""
    for at in ends:
        if line_end(text, at) - line_start(text, at) + len(words) + 2 <= WIDTH:
            return TextSpan(file=file, start=at, stop=at, new=_comma(text, at) + words)
    at = ends[-1]
    if not text[line_start(text, at) : at].strip():
        return TextSpan(file=file, start=at, stop=at, new=_comma(text, at) + words)
    gap = f",{newline_of(text)}{' ' * column}"
    return TextSpan(file=file, start=at, stop=at, new=gap + words)


def _comma(text: str, at: int) -> str:
    return " , " if text[at - 1 : at] == ":" else ", "


def _behind(node: yaml.MappingNode, after: Sequence[str]) -> tuple[yaml.Node, yaml.Node] | None:
    pairs: dict[str, tuple[yaml.Node, yaml.Node]] = {
        str(found[0].value).strip(): found for found in node.value
    }
    for name in after:
        if name in pairs:
            return pairs[name]
    return node.value[-1] if node.value else None


def _pair_end(found: tuple[yaml.Node, yaml.Node], text: str) -> int:
    return max(end_of(found[1], text), colon_after(found[0], text))


def _column(node: yaml.Node, text: str) -> int:
    return begin(node) - line_start(text, begin(node))


# -- entries of sections --------------------------------------------------------------------------


def entry(
    slot: Slot,
    name: str,
    value: Value,
    *,
    comment: str = "",
    lines: bool | None = None,
    behind: str = "",
) -> list[TextSpan]:
    """An entry in a section that maps names to entries, in the style of its neighbours.

    `lines` says whether each key gets a line of its own; None: as most neighbours have it.
    """
    file, text, node = slot.file, slot.text, slot.node
    new = newline_of(text)
    if isinstance(node, yaml.MappingNode) and (node.flow_style or not node.value):
        return pair(file, text, node, (name, value), (behind,))
    if is_nothing(node):
        if slot.in_flow:
            return replaced(slot, {name: value})
        at = line_end(text, slot.colon)
        written = _entry_lines("  ", name, value, comment=comment, lines=bool(lines), width=0)
        return [TextSpan(file=file, start=at, stop=at, new=new + new.join(written))]
    if not isinstance(node, yaml.MappingNode):
        raise CannotEdit(f"{slot.file.name}: the section is no mapping of names to entries")
    last = _behind(node, (behind,)) or node.value[-1]
    indent = " " * _column(node.value[0][0], text)
    in_lines = _in_lines(node) if lines is None else lines
    written = _entry_lines(
        indent, name, value, comment=comment, lines=in_lines, width=_name_width(node, text)
    )
    at = line_end(text, _pair_end(last, text))
    blank = new if last is node.value[-1] and _spaced(node, text) else ""
    return [TextSpan(file=file, start=at, stop=at, new=new + blank + new.join(written))]


def section(file: File, text: str, name: str, value: Value, *, comment: str = "") -> TextSpan:
    """A section at the end of a file."""
    new = newline_of(text)
    whole = text.endswith("\n") or not text
    before = "" if not text else new if whole else new + new
    lines = [f"{key(name, flow=False)}:"]
    if isinstance(value, Mapping):
        for child, what in value.items():
            lines += _entry_lines("  ", child, what, comment=comment, lines=False, width=0)
    elif isinstance(value, str):
        lines = [f"{lines[0]} {scalar(value, flow=False)}"]
    else:
        for what in value:
            shown = braced(what, 4) if isinstance(what, Mapping) else [inline(what, flow=False)]
            lines += [*_comments("  ", comment), f"  - {shown[0]}", *shown[1:]]
    after = new if whole else ""
    return TextSpan(
        file=file, start=len(text), stop=len(text), new=before + new.join(lines) + after
    )


def _comments(indent: str, comment: str) -> list[str]:
    return [f"{indent}# {line}".rstrip() for line in comment.splitlines()]


def _entry_lines(
    indent: str, name: str, value: Value, *, comment: str, lines: bool, width: int
) -> list[str]:
    written = _comments(indent, comment)
    head = f"{indent}{key(name, flow=False)}:"
    if not isinstance(value, Mapping):
        return [*written, f"{head} {inline(value, flow=False)}"]
    if lines and value:
        step = indent or "  "
        children = [f"{key(k, flow=False)}: {inline(v, flow=False)}" for k, v in value.items()]
        return [*written, head, *(f"{indent}{step}{child}" for child in children)]
    head = f"{head} ".ljust(width)
    shown = braced(value, len(head))
    return [*written, head + shown[0], *shown[1:]]


def _in_lines(node: yaml.MappingNode) -> bool:
    """Whether most entries of a section have a line for each key."""
    kinds = [bool(v.flow_style) for _, v in node.value if isinstance(v, yaml.MappingNode)]
    return bool(kinds) and sum(kinds) * 2 < len(kinds)


def _name_width(node: yaml.MappingNode, text: str) -> int:
    """The column at which the values of the last entries begin, where they stand in a column."""
    columns = [
        _column(value, text)
        for name, value in node.value[-3:]
        if value.start_mark.line == name.start_mark.line and not is_nothing(value)
    ]
    return columns[-1] if len(columns) > 1 and len(set(columns)) == 1 else 0


def _spaced(node: yaml.MappingNode, text: str) -> bool:
    """Whether a blank line stands between the last two entries."""
    if len(node.value) < 2:
        return False
    gap = text[_pair_end(node.value[-2], text) : begin(node.value[-1][0])]
    return any(not line.strip() for line in gap.split("\n")[1:-1])


# -- taking away ----------------------------------------------------------------------------------


def removed(slot: Slot) -> list[TextSpan]:
    """An entry, a key or an item with the lines and the comments that belong to it.

    A comment on its lines goes with it. Comment lines directly above it go with it, too, unless the
    next entry follows directly: then they are taken for the heading of both.
    """
    if slot.in_flow:
        return _from_braces(slot)
    text, file = slot.text, slot.file
    first = slot.start if slot.key is not None else dash_of(slot)
    stop = next_line(text, line_end(text, slot.end))
    if text[line_start(text, first) : first].strip():
        return _from_dash(slot)
    start = line_start(text, first)
    if not _follows(slot, stop):
        start = _above(text, start)
        if start and _blank(text, line_start(text, start - 1)) and _blank(text, stop):
            start = line_start(text, start - 1)  # no two blank lines are left
    if stop == len(text) and not text.endswith("\n") and start > 0:
        start = line_end(text, start - 1) if text[start - 1] == "\n" else start
        start -= text[:start].endswith("\r")
    return [TextSpan(file=file, start=start, stop=stop, new="")]


def _follows(slot: Slot, stop: int) -> bool:
    """Whether the next entry begins in the very next line."""
    siblings = slot.parent.value
    if slot.order + 1 >= len(siblings):
        return False
    after = siblings[slot.order + 1]
    start = begin(after[0] if isinstance(after, tuple) else after)
    return line_start(slot.text, start) == stop


def _above(text: str, start: int) -> int:
    """The begin of the comment lines directly above a line."""
    while start > 0:
        before = line_start(text, start - 1)
        if not text[before:start].lstrip().startswith("#"):
            break
        start = before
    return start


def _blank(text: str, at: int) -> bool:
    """Whether a line holds nothing, or the text has ended."""
    return not text[at : next_line(text, at)].strip()


def _from_dash(slot: Slot) -> list[TextSpan]:
    """The key that stands behind the dash of an item: the next one takes its place."""
    siblings = slot.parent.value
    if slot.order or len(siblings) < 2 or not isinstance(siblings[1], tuple):
        raise CannotEdit(f"{slot.file.name}: nothing would be left of this item; remove all of it")
    return [TextSpan(file=slot.file, start=slot.start, stop=begin(siblings[1][0]), new="")]


def _from_braces(slot: Slot) -> list[TextSpan]:
    siblings, text, file = slot.parent.value, slot.text, slot.file

    def edges(order: int) -> tuple[int, int]:
        found = siblings[order]
        if isinstance(found, tuple):
            return begin(found[0]), _pair_end(found, text)
        return begin(found), end_of(found, text)

    start, stop = edges(slot.order)
    if slot.order + 1 < len(siblings):
        after = edges(slot.order + 1)[0]
        return [TextSpan(file=file, start=start, stop=after, new="")]
    if slot.order:
        before = edges(slot.order - 1)[1]
        if "#" not in text[before:start]:
            return [TextSpan(file=file, start=before, stop=stop, new="")]
    return [TextSpan(file=file, start=start, stop=stop, new="")]
