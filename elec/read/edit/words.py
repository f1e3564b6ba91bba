"""How a value is written in YAML: plain where that reads as the same text, quoted where not.

In: texts, lists and mappings. Out: the text to put into a file.
"""

import json
import re
from collections.abc import Mapping, Sequence
from typing import TypeAlias

import yaml

from elec.read.text import Loader

Value: TypeAlias = "str | Sequence[Value] | Mapping[str, Value]"
"""What may stand after a key: a text, a list or a mapping of these."""

WIDTH = 120
"""Longer lines are broken where that is possible."""

_ORDINARY = re.compile(r"[A-Za-z0-9](?:[\w ./%°Ω+()=;-]*[\w./%°Ω+()=;-])?")
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff]")
_NOTHING = frozenset({"", "~", "null", "Null", "NULL"})


def scalar(text: str, *, flow: bool, style: str | None = None) -> str:
    """A text as a value; in the quotes that stood there before, where there were any.

    >>> scalar("3 A", flow=True), scalar("3 A", flow=True, style="'"), scalar("1: a", flow=False)
    ('3 A', "'3 A'", "'1: a'")
    """
    if _CONTROL.search(text) or style == '"':
        return json.dumps(text, ensure_ascii=bool(_CONTROL.search(text)))
    if style != "'" and _reads_plain(text, flow=flow):
        return text
    return "'" + text.replace("'", "''") + "'"


def key(text: str, *, flow: bool) -> str:
    """A text as a key."""
    return scalar(text, flow=flow)


def inline(value: Value, *, flow: bool) -> str:
    """A value on one line.

    >>> inline({"bus": "main", "feeds": ["a", "b, c"]}, flow=False)
    "{bus: main, feeds: [a, 'b, c']}"
    """
    if isinstance(value, str):
        return scalar(value, flow=flow)
    if isinstance(value, Mapping):
        return "{" + ", ".join(pairs(value)) + "}"
    return "[" + ", ".join(inline(item, flow=True) for item in value) + "]"


def pairs(value: Mapping[str, Value]) -> list[str]:
    """The pairs of a mapping as they stand between braces."""
    return [f"{key(name, flow=True)}: {inline(child, flow=True)}" for name, child in value.items()]


def braced(value: Mapping[str, Value], column: int) -> list[str]:
    """A mapping in braces that begins at a column, broken into lines where it is too long."""
    lines, line = [], "{"
    for number, pair in enumerate(pairs(value)):
        comma = ", " if number else ""
        if number and column + len(line) + len(comma) + len(pair) + 1 > WIDTH:
            lines.append(line + ",")
            line, comma = " " * (column + 1), ""
        line += comma + pair
    return [*lines, line + "}"]


def _reads_plain(text: str, *, flow: bool) -> bool:
    """Whether a text without quotes is read as itself."""
    if text in _NOTHING or text == "<<":
        return False
    if _ORDINARY.fullmatch(text):
        return True
    try:
        root = yaml.compose(f"{{k: {text}}}" if flow else f"k: {text}\n", Loader=Loader)
        node = root.value[0][1] if isinstance(root, yaml.MappingNode) else None
        alone = isinstance(root, yaml.MappingNode) and len(root.value) == 1
        if not (alone and isinstance(node, yaml.ScalarNode)):
            return False
        if node.style or node.value != text:
            return False
        root = yaml.compose(f"{{{text}: v}}" if flow else f"{text}: v\n", Loader=Loader)
    except yaml.YAMLError:
        return False
    if not isinstance(root, yaml.MappingNode) or len(root.value) != 1:
        return False
    name, child = root.value[0]
    return isinstance(name, yaml.ScalarNode) and name.value == text and child.value == "v"
