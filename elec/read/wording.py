"""The validator's errors in the builder's words, each at its place and each only once."""

import re
from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from pydantic_core import ErrorDetails

from elec.read.draft import Draft, Path, near
from elec.read.shape import (
    ENTRY_SECTIONS,
    RENAMED,
    Record,
    below,
    form,
    keys_of,
    record_at,
    records_in,
    tag_of,
    wanted,
    words_of,
)

_ON = (
    "expected always, never, a phase, a range such as taxi..approach, a list of those, "
    'or phases each with a share or a time ("{taxi: 10 %, climb: 8 s}")'
)
_WRONG_KIND = frozenset(
    {
        "string_type", "list_type", "dict_type", "tuple_type", "mapping_type", "model_type",
        "model_attributes_type", "literal_error", "float_type", "int_type", "bool_type",
    }
)  # fmt: skip


def report(draft: Draft, errors: Sequence[ErrorDetails]) -> None:
    """Note one mistake for each error that is not the echo of another."""
    unknown = {
        _located(draft.data, error["loc"][:-1]): set[str]()
        for error in errors
        if error["type"] == "extra_forbidden"
    }
    for error in errors:
        if error["type"] == "extra_forbidden":
            unknown[_located(draft.data, error["loc"][:-1])].add(str(error["loc"][-1]))
    groups: dict[Path, list[ErrorDetails]] = {}
    for error in errors:
        kind = error["type"]
        if kind == "extra_forbidden":
            _unknown_key(draft, _located(draft.data, error["loc"][:-1]), str(error["loc"][-1]))
        elif kind == "missing":
            path = _located(draft.data, error["loc"][:-1])
            _missing(draft, path, error["loc"][-1], unknown.get(path, ()))
        else:
            groups.setdefault(_located(draft.data, error["loc"]), []).append(error)
    for path, found in groups.items():
        if not _is_echo(path, found, groups):
            _bad_value(draft, path, found)


def _located(data: Any, loc: Iterable[str | int]) -> Path:
    """The path in the builder's data: without the names of a union's branches."""
    path: list[str | int] = []
    for part in loc:
        in_list = isinstance(data, list) and isinstance(part, int) and part < len(data)
        if in_list or (isinstance(data, dict) and part in data):
            data = data[part]
            path.append(part)
    return tuple(path)


def _value(data: Any, path: Path) -> Any:
    for part in path:
        data = data[part]
    return data


def _in_rows(path: Path) -> bool:
    """Whether it is an item of the rows of a panel, which are lists."""
    return len(path) == 4 and (path[0], path[2]) == ("panels", "rows")


def _is_echo(path: Path, found: list[ErrorDetails], groups: Mapping[Path, Any]) -> bool:
    """Whether another branch of a union got further into the same value."""
    if not all(error["type"] in _WRONG_KIND for error in found):
        return False
    if _in_rows(path) and isinstance(path[3], int) and path[3]:
        return True  # what stands in a row that is none is told at the first of it
    return any(len(other) > len(path) and other[: len(path)] == path for other in groups)


LEADS = ("leads", "lead-colours", "lead-colors", "colours", "colors", "colour", "color", "wires")
"""What somebody writes who wants to say which lead of a motor is which."""


def _unknown_key(draft: Draft, path: Path, key: str) -> None:
    record = record_at(draft.data, path)
    known = list(keys_of(record)) if record else []
    if len(path) == 2 and path[0] in ENTRY_SECTIONS:
        known.append("like")
    if not path and key in RENAMED:
        draft.wrong((key,), f'"{key}" is called {RENAMED[key]}', key=True)
        return
    if len(path) == 2 and path[0] == "wires" and key in ("link", "breaker", "limiter"):
        device = {"link": "fusible link"}.get(key, key)
        message = f"a wire from a bus or a post has a fuse, no {device} (fuse: 1 A)"
        draft.wrong((*path, key), f"{message}; with a {device} it is a circuit", key=True)
        return
    if len(path) == 2 and path[0] == "equipment" and key in LEADS:
        draft.wrong(
            (*path, key),
            "colours of its own leads are contacts of a connector: connectors: {leads: {type: "
            "terminals, pins: {red: power, black: ground}}}",
            key=True,
        )
        return
    what = "section" if not path else "key"
    hint = near(key, known)
    if not path and not hint:
        hint = f"; known: {', '.join(known)}"
    if len(path) == 1 and isinstance(path[0], str):
        hint = hint or f"; known: {', '.join(known)}"
    draft.wrong((*path, key), f'unknown {what} "{key}"{hint}', key=True)


def _missing(draft: Draft, path: Path, key: str | int, unknown: Iterable[str]) -> None:
    below = (*path, key)
    if isinstance(key, int):
        if path not in draft.spoiled:
            draft.wrong(path, _pair(path))
        return
    if below in draft.spoiled or path in draft.spoiled:
        return
    if any(get_close_matches(word, [key], 1, 0.6) for word in unknown):
        return
    record = record_at(draft.data, path)
    field = keys_of(record).get(key) if record else None
    words, example = wanted(field, str(key)) if field else ("", "")
    choice = words_of(field.annotation) if field else []
    hint = ""
    if path[-1:] == ("engaged-light",) and key == "to":
        hint = ": the light, or the contact that its wire ends on: {to: annunciator.J1.9}"
    elif example:
        hint = f": write {words.split(' such as ')[0]}, {key}: {example}"
    elif choice:
        hint = f": write one of {', '.join(choice)}"
    what = "the section " if not path else ""
    draft.wrong(path, f'{what}"{key}" is missing{hint}', key=True)


def _pair(path: Path) -> str:
    if path and path[-1] == "between":
        return "expected the two places that this way joins: [panel, belly]"
    return "expected a list with another number of items"


def _bad_value(draft: Draft, path: Path, found: list[ErrorDetails]) -> None:
    value = _value(draft.data, path)
    error = next((e for e in found if e["type"] not in _WRONG_KIND), found[0])
    kind, context = error["type"], error.get("ctx", {})
    if path in draft.beyond:  # of another kind: how large it is says nothing
        draft.mistakes.remove(draft.beyond.pop(path))
    if kind == "union_tag_invalid":
        draft.wrong((*path, "kind"), _no_word(str(context["tag"]), _tags()))
        return
    if kind == "union_tag_not_found" and isinstance(value, dict):
        _no_kind(draft, path, value)
        return
    if kind == "value_error":
        draft.wrong(path, f"{context['error']}{_or_words(found)}")
        return
    if kind in _TEXTS and isinstance(value, str):
        draft.wrong(path, _TEXTS[kind].format(value=_shown(value), **context))
        return
    words = [word for e in found if e["type"] == "literal_error" for word in _words(e)]
    if kind == "literal_error" and isinstance(value, str) and len(found) == 1:
        draft.wrong(path, _no_word(value, words))
        return
    if kind == "too_short" and not isinstance(path[-1], int) and path[-1] != "between":
        words = words_of(below(keys_of(record_at(draft.data, path[:-1]))[path[-1]].annotation))
        such = f"; write one or more of {', '.join(words)}, or leave it out" if words else ""
        draft.wrong(path, f"nothing stands in this list{such}")
        return
    if kind == "too_long":
        draft.wrong(path, _pair(path))
        return
    draft.wrong(path, _wrong_kind(draft, path, value, kind))


_TEXTS = {
    "greater_than": "{value} is too small; more than {gt:g} is needed",
    "greater_than_equal": "{value} is too small; {ge:g} or more is needed",
    "less_than_equal": "{value} is too large; {le:g} or less is needed",
    "less_than": "{value} is too large; less than {lt:g} is needed",
    "finite_number": "{value} is no number",
    "float_parsing": "{value} is no number",
    "int_parsing": "{value} is no whole number",
    "int_from_float": "{value} is no whole number",
    "int_parsing_size": "{value} is too large a number",
    "string_pattern_mismatch": "{value} does not fit; expected one or two capital letters",
}


def _shown(value: str) -> str:
    return f'"{value if len(value) <= 40 else value[:37] + "..."}"'


def _words(error: ErrorDetails) -> list[str]:
    expected = str(error.get("ctx", {}).get("expected", ""))
    return [word.strip("' ") for word in expected.replace(" or ", ", ").split(",") if word.strip()]


def _or_words(found: list[ErrorDetails]) -> str:
    words = [word for error in found if error["type"] == "literal_error" for word in _words(error)]
    return f"; or write {' or '.join(words)}" if words else ""


def _no_word(value: str, words: list[str]) -> str:
    close = get_close_matches(value.casefold(), words, 1, 0.6)
    meant = f'; did you mean "{close[0]}"?' if close else ""
    return f"{_shown(value)} is none of {', '.join(words)}{meant}"


def _tags() -> list[str]:
    from elec.model.source import Source

    return [tag_of(record) for record in records_in(Source)]


def _no_kind(draft: Draft, path: Path, entry: Mapping[str, Any]) -> None:
    if (*path, "kind") in draft.spoiled or path in draft.spoiled:
        return
    close = get_close_matches("kind", list(entry), 1, 0.6)
    if close:
        draft.wrong((*path, close[0]), f'unknown key "{close[0]}"; did you mean "kind"?', key=True)
    else:
        hint = f": write one of {', '.join(_tags())}"
        draft.wrong(path, f'"kind" is missing{hint}', key=True)


def _wrong_kind(draft: Draft, path: Path, value: Any, kind: str) -> str:
    found = _what(value)
    if path and path[-1] == "on":
        return f"{_ON}; found {found}"
    if _in_rows(path):
        row = _value(draft.data, path[:-1])
        meant = ", ".join(item for item in row if isinstance(item, str)) or "radio, free"
        return f"expected rows of positions, each a list: [[{meant}]]; found {found}"
    if path and path[-1] == "far-end" and isinstance(value, str):
        return f"{_shown(value)} is not all of it; write far-end: {{{_device_meant(value)}}}"
    words = _field_words(draft, path)
    if words:
        return f"expected {words}; found {found}"
    if kind in ("float_type", "int_type", "bool_type"):
        return f"expected a quantity as one text, such as draw: 35 W; found {found}"
    if isinstance(value, str) and ":" in value and " " not in value:
        first, rest = value.split(":", 1)
        return f"{_shown(value)} is read as one word; put a space after the colon: {first}: {rest}"
    if kind in ("list_type", "tuple_type"):
        return f'expected a list, each item after "- "; found {found}'
    if kind == "string_type":
        return f"expected a text{_such_as(path)}; found {found}"
    if kind == "literal_error":
        return f"expected a single word; found {found}"
    short = f" or a text{_such_as(path)}" if path and path[-1] in _SHORT else ""
    return f'expected lines of "key: value"{short}; found {found}'


_SHORT = ("sense", "warning-lamp", "field-wire", "engaged-light", "second")
"""Keys that take a text or, where more is told, lines of their own."""


def _such_as(path: Path) -> str:
    """The form to write; of an item of a list, or of an entry's own name, there is none."""
    shown = form(str(path[-1])) if path and isinstance(path[-1], str) else ""
    return f" such as {shown}" if shown else ""


def _device_meant(value: str) -> str:
    """A second device as it was probably meant: `15 A` is a fuse of it, the quickest of its kind.

    >>> _device_meant("15 A"), _device_meant("breaker"), _device_meant("limiter 40")
    ('fuse: 15 A', 'breaker: auto', 'limiter: 40 A')
    """
    kind = re.search(r"breaker|fuse|limiter|link", value.casefold())
    rating = re.search(r"\d+(?:\.\d+)?", value)
    return f"{kind[0] if kind else 'fuse'}: {f'{rating[0]} A' if rating else 'auto'}"


def _field_words(draft: Draft, path: Path) -> str:
    record: Record | None = record_at(draft.data, path[:-1]) if path else None
    field = keys_of(record).get(str(path[-1])) if record else None
    return wanted(field, str(path[-1]))[0] if field else ""


def _what(value: Any) -> str:
    if isinstance(value, dict):
        return 'lines of "key: value"'
    if isinstance(value, list):
        return "a list"
    return f"the text {_shown(value)}"
