"""From a file to YAML nodes, with everything refused that YAML allows and a builder does not need.

Nodes are composed and never loaded: loading reads `on` as true, `1:30` as 90, `010` as 8, and
keeps the last of two equal keys in silence. Anchors, aliases, tags and second documents are
refused with their place.
"""

import re
from pathlib import Path
from typing import Any, ClassVar

import yaml
from msgspec import Struct

from elec.finding import Mistake, Place
from elec.kept import takes_over
from elec.read.slips import slip

try:
    from yaml import CSafeLoader as _Base
except ImportError:  # pragma: no cover - only where the C library is missing
    from yaml import SafeLoader as _Base  # type: ignore[assignment]


class Loader(_Base):
    """Every scalar stays text, so that nothing has to be guessed from its looks."""

    yaml_implicit_resolvers: ClassVar[dict[str, Any]] = {}  # type: ignore[misc]

    def resolve(self, kind: type[yaml.Node], value: Any, implicit: Any) -> str:
        """No tag: nobody asks for it, and looking for it takes a third of the time."""
        del kind, value, implicit
        return ""


LARGEST_BYTES = 2_000_000
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")


class TextFile(Struct, frozen=True, kw_only=True):
    """One file: its name for print, its lines, its root node (None when it holds nothing)."""

    name: str
    lines: tuple[str, ...]
    root: yaml.Node | None


def sheet(source: Path | bytes, name: str) -> TextFile | list[Mistake]:
    """Compose one file, or what stands in it, or say what is wrong with it."""
    raw = source if isinstance(source, bytes) else _raw(source, name)
    return [raw] if isinstance(raw, Mistake) else _composed(raw, name)


@takes_over
def _composed(raw: bytes, name: str) -> TextFile | list[Mistake]:
    content = _content(raw, name)
    if isinstance(content, Mistake):
        return [content]
    refused = _refused(content, name)
    if refused:
        return refused
    lines = tuple(content.splitlines())
    try:
        root = yaml.compose(content, Loader=Loader)
    except RecursionError:
        return [_too_deep(name)]
    except yaml.YAMLError as error:
        return [_not_yaml(error, name, lines)]
    return TextFile(name=name, lines=lines, root=root)


def _at(name: str, line: int, column: int, message: str) -> Mistake:
    return Mistake(place=Place(file=name, line=line, column=column), message=message)


def _too_deep(name: str, line: int = 1, column: int = 1) -> Mistake:
    return _at(name, line, column, "brackets and indents are nested too deeply here")


def _raw(path: Path, name: str) -> bytes | Mistake:
    try:
        if path.exists() and not path.is_file():
            return _at(name, 1, 1, "this is no file; save it as a file")
        size = path.stat().st_size
        return _too_large(size, name) if size > LARGEST_BYTES else path.read_bytes()
    except OSError as error:
        return _at(name, 1, 1, f"the file cannot be read: {(error.strerror or str(error)).lower()}")


def size_of(source: Path | bytes) -> int:
    """How many bytes there are to read; 0 where that cannot be told."""
    if isinstance(source, bytes):
        return len(source)
    try:
        return source.stat().st_size
    except OSError:
        return 0


def _too_large(size: int, name: str) -> Mistake:
    return _at(name, 1, 1, f"the file has {size / 1e6:.1f} MB; 2 MB is the most that is read")


def _content(raw: bytes, name: str) -> str | Mistake:
    if len(raw) > LARGEST_BYTES:
        return _too_large(len(raw), name)
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _at(name, 1, 1, "the file is written in UTF-16; save it as UTF-8")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8", errors="replace").removeprefix("\ufeff")
        line, column = _position(before, len(before))
        return _at(name, line, column, "this character is not UTF-8; save the file as UTF-8")
    control = _CONTROL.search(text)
    if control:
        line, column = _position(text, control.start())
        code = f"U+{ord(control.group()):04X}"
        return _at(name, line, column, f"control character {code}; is this a text file?")
    return text


def _position(text: str, index: int) -> tuple[int, int]:
    before = text[:index]
    return before.count("\n") + 1, index - before.rfind("\n")


def _refused(text: str, name: str) -> list[Mistake]:
    """Anchors, aliases and tags; they can only be there when one of three characters is."""
    if not any(sign in text for sign in "&*!"):
        return []
    found = []
    try:
        for event in yaml.parse(text, Loader=Loader):
            message = _refusal(event)
            mark = event.start_mark
            if message and mark is not None:
                found.append(_at(name, mark.line + 1, mark.column + 1, message))
    except (yaml.YAMLError, RecursionError):
        return found
    return found


_INSTEAD = "to repeat an entry with changes, write like: and its name"


def _refusal(event: yaml.Event) -> str:
    if isinstance(event, yaml.AliasEvent):
        return f"aliases (*{event.anchor}) are not used here; {_INSTEAD}"
    if not isinstance(event, yaml.NodeEvent):
        return ""
    if event.anchor is not None:
        return f"anchors (&{event.anchor}) are not used here; {_INSTEAD}"
    implicit = getattr(event, "implicit", True)
    given = getattr(event, "tag", None)
    if given is not None and not (any(implicit) if isinstance(implicit, tuple) else implicit):
        shown = given.replace("tag:yaml.org,2002:", "!!")
        return f'"{shown}" means nothing here; write the value alone, in quotes if it begins with !'
    return ""


def _not_yaml(error: yaml.YAMLError, name: str, lines: tuple[str, ...]) -> Mistake:
    if not isinstance(error, yaml.MarkedYAMLError) or error.problem_mark is None:
        return _at(
            name, 1, 1, "this cannot be read; is a colon, a space or a bracket missing near here?"
        )
    mark = error.problem_mark
    line = lines[mark.line] if mark.line < len(lines) else ""
    context = f"{error.context or ''} {error.problem or ''}"
    if isinstance(error, yaml.composer.ComposerError):
        message = "a second document begins here (---); a file holds one"
        return _at(name, mark.line + 1, mark.column + 1, message)
    if "nesting" in context:
        return _too_deep(name, mark.line + 1, mark.column + 1)
    start = error.context_mark
    spot = start if "quoted scalar" in context and start is not None else mark
    before = lines[spot.line][: spot.column].rstrip() if spot.line < len(lines) else ""
    if before.endswith(("'", '"')):
        return _at(name, spot.line + 1, spot.column + 1, _AFTER_QUOTE)
    begin = start if start is not None else mark
    meant = slip(lines, begin.line, begin.column, mark.line, context)
    if meant is not None and "quoted scalar" not in context:
        return _at(name, meant[0] + 1, meant[1] + 1, meant[2])
    if "quoted scalar" in context and start is not None:
        mark, message = start, "the quotation mark that opens here is not closed"
    elif "flow" in context and start is not None:
        sign = "[" if "sequence" in context else "{"
        mark = start
        message = f'the bracket "{sign}" that opens here is not closed, or a comma is missing in it'
    else:
        message = _hint(line, mark.column, context)
    return _at(name, mark.line + 1, mark.column + 1, message)


_AFTER_QUOTE = (
    "text goes on after a closing quotation mark; write feet and inches as 6 ft 3 in, "
    "and put a text that holds quotation marks in quotes of the other kind"
)


def _hint(line: str, column: int, context: str) -> str:
    indent = line[: len(line) - len(line.lstrip())]
    sign = line[column : column + 1]
    if "\t" in indent or sign == "\t":
        return "there is a tab in the indent; YAML wants spaces"
    if sign and sign in "%@`":
        return f'a value cannot begin with "{sign}"; put it in quotes'
    if "mapping values" in context:
        return (
            "there is a second colon in this line; "
            "a text with a colon and a space in it needs quotes"
        )
    if "'" in line or '"' in line:
        return _AFTER_QUOTE
    if line.lstrip().startswith("-") or "block" in context:
        return "this line does not fit the lines above; is it indented as they are?"
    return "this cannot be read; is a colon, a space or a bracket missing near here?"
