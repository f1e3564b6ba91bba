"""Changes of meaning: a valid system with one plausible slip in it, still well written or not.

A fixed seed gives the same changes on every machine. Texts for print (names, notes, dates, reasons)
are left alone: nobody can tell that they are wrong.
"""

import random
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import yaml
from msgspec import Struct

from elec import units
from elec.read.text import Loader

PRINTED = frozenset(
    {
        "name", "note", "description", "owner", "builder", "reason", "remark", "engraving", "date",
        "revision", "closes", "colour", "label", "units", "paper", "accept", "build", "unprotected",
        "panels", "outline",
    }
)  # fmt: skip
"""Keys whose values are only printed, or are marks of what is done."""
UNIT_SLIPS = (
    ("mA", "A"), ("mm", "in"), ("ft", "in"), ("ft", "m"), ("min", "h"), ("s", "min"), ("W", "A"),
    ("mΩ", "Ω"), ("°C", "°F"), ("ms", "s"), ("kg", "lb"), ("m", "ft"), ("%", "s"),
)  # fmt: skip
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


class Scalar(Struct, frozen=True, kw_only=True):
    """One value in a text: where it is, the keys that lead to it, its text."""

    file: str
    begin: int
    end: int
    path: tuple[str, ...]
    text: str

    @property
    def key(self) -> str:
        """The nearest key that is no number of a list."""
        return next((part for part in reversed(self.path) if not part.isdigit()), "")


class Change(Struct, frozen=True, kw_only=True):
    """One slip: its kind, the keys it touches, words for print, the files with it."""

    kind: str
    about: str
    words: str
    texts: Mapping[Path, bytes]


def files(system: Path) -> dict[str, str]:
    """File name → text."""
    return {file.name: file.read_text(encoding="utf-8") for file in sorted(system.glob("*.yaml"))}


def scalars(texts: Mapping[str, str]) -> list[Scalar]:
    """Every value that is more than a text for print, in the order of the files."""
    found: list[Scalar] = []
    for name, text in texts.items():
        found += _below(yaml.compose(text, Loader=Loader), name, text, ())
    return [s for s in found if not PRINTED & set(s.path)]


def _below(node: yaml.Node | None, file: str, text: str, path: tuple[str, ...]) -> Iterator[Scalar]:
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from _below(value, file, text, (*path, str(key.value)))
    elif isinstance(node, yaml.SequenceNode):
        for index, value in enumerate(node.value):
            yield from _below(value, file, text, (*path, str(index)))
    elif isinstance(node, yaml.ScalarNode) and node.value and not node.style:
        begin, end = node.start_mark.index, node.end_mark.index
        if text[begin:end].strip() == node.value:
            yield Scalar(
                file=file, begin=begin, end=begin + len(node.value), path=path, text=node.value
            )


def dimension(text: str) -> str:
    """What kind of quantity a text is; "" for a word."""
    for name in units.DIMENSIONS:
        if name == "coordinate":
            continue
        try:
            units.parse(text, name)
        except units.UnitError:
            continue
        return name
    return ""


class Slips:
    """Draws changes of one system."""

    def __init__(self, system: Path, seed: int) -> None:
        """Read the system."""
        self.system = system
        self.texts = files(system)
        self.values = scalars(self.texts)
        self.dice = random.Random(f"{seed} {system.name}")  # noqa: S311 - a fixed seed
        self.quantities: dict[str, list[Scalar]] = {}
        for value in self.values:
            self.quantities.setdefault(dimension(value.text), []).append(value)
        self.words = self.quantities.pop("", [])
        entries = {
            key.value
            for text in self.texts.values()
            for _, section in _sections(text)
            for key, _ in section
        }
        self.names = [w for w in self.words if w.text in entries]

    def draw(self) -> Change:
        """One change."""
        while True:
            kind = self.dice.choice(list(_KINDS))
            change = _KINDS[kind](self)
            if change is not None:
                return change

    def replaced(self, kind: str, words: str, *pairs: tuple[Scalar, str]) -> Change:
        """The system with some values replaced."""
        texts = dict(self.texts)
        for value, text in sorted(pairs, key=lambda pair: -pair[0].begin):
            whole = texts[value.file]
            texts[value.file] = whole[: value.begin] + text + whole[value.end :]
        about = " / ".join(dict.fromkeys(_about(value) for value, _ in pairs))
        return self.made(kind, about, words, texts)

    def made(self, kind: str, about: str, words: str, texts: Mapping[str, str]) -> Change:
        """A change with its files."""
        paths = {self.system / name: text.encode() for name, text in texts.items()}
        return Change(kind=kind, about=about, words=words, texts=paths)

    def swap_values(self) -> Change | None:
        """Two quantities of one kind exchanged."""
        kinds = [found for found in self.quantities.values() if len(found) > 1]
        first = self.dice.choice(self.dice.choice(kinds))
        second = self.dice.choice(self.quantities[dimension(first.text)])
        return self.exchanged("two values swapped", first, second)

    def swap_near(self) -> Change | None:
        """Two quantities of one kind in one entry, or of one key in two entries."""
        first = self.dice.choice([v for found in self.quantities.values() for v in found])
        near = [
            v
            for v in self.quantities[dimension(first.text)]
            if v.path[:2] == first.path[:2] or (v.path[0], v.key) == (first.path[0], first.key)
        ]
        return self.exchanged("two values swapped", first, self.dice.choice(near))

    def swap_names(self) -> Change | None:
        """Two names exchanged that stand under one key."""
        first = self.dice.choice(self.names)
        alike = [n for n in self.names if (n.path[0], n.key) == (first.path[0], first.key)]
        return self.exchanged("two names swapped", first, self.dice.choice(alike))

    def other_name(self) -> Change | None:
        """Another name of the same kind."""
        value = self.dice.choice(self.names)
        alike = sorted({n.text for n in self.names if n.key == value.key} - {value.text})
        if not alike:
            return None
        text = self.dice.choice(alike)
        return self.replaced("another name", f"{value.text} → {text}", (value, text))

    def exchanged(self, kind: str, first: Scalar, second: Scalar) -> Change | None:
        """Two values in each other's place; None where nothing would change."""
        if first.text == second.text or first == second:
            return None
        words = f"{_about(first)} {first.text} ↔ {_about(second)} {second.text}"
        return self.replaced(kind, words, (first, second.text), (second, first.text))

    def decimal(self) -> Change | None:
        """The decimal point moved by one digit."""
        value = self.dice.choice([v for found in self.quantities.values() for v in found])
        match = _NUMBER.search(value.text)
        if match is None or float(match.group()) == 0:
            return None
        factor = self.dice.choice((10.0, 0.1))
        number = f"{float(match.group()) * factor:.10g}"
        text = value.text[: match.start()] + number + value.text[match.end() :]
        kind = f"decimal point moved {'right' if factor > 1 else 'left'}"
        return self.replaced(kind, f"{value.text} → {text}", (value, text))

    def unit(self) -> Change | None:
        """Another unit at the same number."""
        value = self.dice.choice([v for found in self.quantities.values() for v in found])
        number, _, unit = value.text.rpartition(" ")
        others = [b if a == unit else a for a, b in UNIT_SLIPS if unit in (a, b)]
        if not number or not others:
            return None
        text = f"{number} {self.dice.choice(others)}"
        return self.replaced("another unit", f"{value.text} → {text}", (value, text))

    def letter(self) -> Change | None:
        """A letter of a word left out, doubled or exchanged with the next."""
        value = self.dice.choice([w for w in self.words if len(w.text) > 3])
        at = self.dice.randrange(1, len(value.text) - 1)
        text = self.dice.choice(
            (
                value.text[:at] + value.text[at + 1 :],
                value.text[:at] + value.text[at] + value.text[at:],
                value.text[: at - 1] + value.text[at] + value.text[at - 1] + value.text[at + 1 :],
            )
        )
        if text == value.text:
            return None
        return self.replaced("a letter", f"{value.text} → {text}", (value, text))

    def line(self) -> Change | None:
        """A line left out."""
        name = self.dice.choice([n for n in self.texts if n != "build.yaml"])
        lines = self.texts[name].splitlines(keepends=True)
        number = self.dice.randrange(len(lines))
        gone = lines[number].strip()
        key = gone.lstrip("- {").split(":")[0]
        if not gone or gone.startswith("#") or key in PRINTED or _in_text(lines, number):
            return None
        texts = {**self.texts, name: "".join(lines[:number] + lines[number + 1 :])}
        at = sum(len(line) for line in lines[:number])
        inside = [
            v for v in self.values if v.file == name and at <= v.begin < at + len(lines[number])
        ]
        about = _about(inside[0]) if inside else key
        return self.made("a line left out", about, f"{name}:{number + 1} {gone}", texts)

    def again(self) -> Change | None:
        """An item of a list written twice."""
        name = self.dice.choice(list(self.texts))
        lines = self.texts[name].splitlines(keepends=True)
        number = self.dice.randrange(len(lines))
        line = lines[number]
        if not line.lstrip().startswith("- {") or not line.rstrip().endswith("}"):
            return None
        texts = {**self.texts, name: "".join([*lines[:number], line, *lines[number:]])}
        return self.made("a line twice", "item", f"{name}:{number + 1} {line.strip()}", texts)


_KINDS = {
    "swap": Slips.swap_values,
    "near": Slips.swap_near,
    "names": Slips.swap_names,
    "other": Slips.other_name,
    "decimal": Slips.decimal,
    "unit": Slips.unit,
    "letter": Slips.letter,
    "line": Slips.line,
    "again": Slips.again,
}


def _sections(text: str) -> Iterator[tuple[str, list[tuple[yaml.Node, yaml.Node]]]]:
    root = yaml.compose(text, Loader=Loader)
    for key, value in root.value if isinstance(root, yaml.MappingNode) else ():
        if isinstance(value, yaml.MappingNode):
            yield key.value, value.value


def _about(value: Scalar) -> str:
    """Section and key: `circuits.breaker`."""
    key = value.key
    for part in ("connectors", "pins", "on", "output", "bundled", "through"):
        if part in value.path[1:-1]:
            key = part
    return f"{value.path[0]}.{key}"


def _in_text(lines: list[str], number: int) -> bool:
    """Whether a line belongs to a text of several lines."""
    for line in reversed(lines[:number]):
        if line.rstrip().endswith((">-", ">", "|")):
            return True
        if line.strip() and len(line) - len(line.lstrip()) < len(lines[number]) - len(
            lines[number].lstrip()
        ):
            return line.rstrip().endswith((">-", ">", "|"))
    return False
