"""What is asked for, in records: loads to add, change or take out, values to set.

In: words of the command line. Out: `AskedChange`, with texts as the file would have them.
Quantities are not read here: the reader reads them once they stand in the text.
"""

import re
from collections.abc import Mapping
from typing import Literal

import yaml
from msgspec import Struct

from elec.read.edit import Value
from elec.read.text import Loader

Kind = Literal["add", "change", "remove", "set"]

EQUIPMENT_KEYS = (
    "name", "place", "draw", "peak", "duty", "on", "when", "basis", "character", "inrush",
    "minimum", "essential", "shed",
)  # fmt: skip
"""Keys of `equipment:` that have an option of their own, in the order in which they are written."""
CIRCUIT_KEYS = (
    "bus", "breaker", "fuse", "gauge", "switch", "ground-point", "through", "via", "length",
)  # fmt: skip
"""Keys of `circuits:` that have an option of their own."""
OPTIONS: Mapping[str, str] = {"ground-point": "ground", "name": "title"}
"""Key → its option, where the two are called differently."""


class Unclear(ValueError):  # noqa: N818 - it names what is so, not a fault of the program
    """What is asked cannot be understood; the message says what to write."""


class AskedChange(Struct, frozen=True, kw_only=True):
    """One thing that is asked: a load by name with what is said of it, or a path with its value."""

    kind: Kind
    name: str
    """A load; for `set` a path; for `remove` either."""
    keys: Mapping[str, Value]
    """Key of `equipment:` or `circuits:` → its value; also `circuit`."""
    value: "Value | None" = None
    """What `set` writes; None takes the key out."""


def option_of(key: str) -> str:
    """The option that a key was given by.

    >>> option_of("draw"), option_of("ground-point")
    ('--draw', '--ground')
    """
    return f"--{OPTIONS.get(key, key)}"


_TIGHT = re.compile(r"([-+]?[0-9]+(?:\.[0-9]+)?)([A-Za-zµΩ°%][A-Za-zΩ°%]*)")


def spaced(text: str) -> str:
    """A quantity with the space between number and unit that the file usually has.

    >>> spaced("17W"), spaced("6 ft 3 in"), spaced("taxi..approach")
    ('17 W', '6 ft 3 in', 'taxi..approach')
    """
    found = _TIGHT.fullmatch(text.strip())
    return f"{found.group(1)} {found.group(2)}" if found else text.strip()


def value_of(text: str) -> Value:
    """The value that a text means: a text as it stands, or a list or mapping in brackets.

    Raises:
        Unclear: brackets that do not close.

    >>> value_of("AWG 20"), value_of("[taxi, climb]")
    ('AWG 20', ['taxi', 'climb'])
    """
    plain = text.strip()
    if not plain.startswith(("[", "{")):
        return spaced(plain)
    try:
        node = yaml.compose(plain, Loader=Loader)
    except yaml.YAMLError:
        raise Unclear(
            f'"{plain}" opens a bracket that does not close, or a comma is missing in it'
        ) from None
    return _plain(node)


def _plain(node: yaml.Node | None) -> Value:
    if isinstance(node, yaml.MappingNode):
        return {str(key.value): _plain(child) for key, child in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [_plain(child) for child in node.value]
    return str(node.value) if node is not None else ""


def on_of(text: str) -> Value:
    """When a load is on: a phase, a range, `a, b`, or shares and times `a: 10 %, b: 8 s`.

    >>> on_of("taxi..approach"), on_of("taxi, climb"), on_of("cruise: 10 %")
    ('taxi..approach', ['taxi', 'climb'], {'cruise': '10 %'})
    """
    if text.strip().startswith(("[", "{")):
        return value_of(text)
    if ":" in text:
        return value_of("{" + re.sub(r":(?=\S)", ": ", text) + "}")
    return names_of(text)


def names_of(text: str) -> Value:
    """One name, or several between commas.

    >>> names_of("belly"), names_of("belly, tail")
    ('belly', ['belly', 'tail'])
    """
    names = [name.strip() for name in text.split(",") if name.strip()]
    return names if len(names) > 1 else "".join(names)


_INRUSH = re.compile(r"(?P<much>.+?)\s+for\s+(?P<lasts>.+)")
_TIMES = re.compile(r"([0-9.]+)\s*(?:x|×|times)")


def inrush_of(text: str) -> Value:
    """An inrush: so many times the current, or a current, for a time.

    Raises:
        Unclear: there is no time in it.

    >>> inrush_of("8 x for 20 ms"), inrush_of("30A for 80ms")
    ({'factor': '8', 'lasts': '20 ms'}, {'current': '30 A', 'lasts': '80 ms'})
    """
    if text.strip().startswith("{"):
        return value_of(text)
    found = _INRUSH.fullmatch(text.strip())
    if found is None:
        raise Unclear(
            f'--inrush: "{text}" does not say how much for how long; '
            'write "8 x for 20 ms" or "30 A for 80 ms"'
        )
    much, lasts = found.group("much"), spaced(found.group("lasts"))
    times = _TIMES.fullmatch(much)
    if times:
        return {"factor": times.group(1), "lasts": lasts}
    return {"current": spaced(much), "lasts": lasts}
