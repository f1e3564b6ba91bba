"""What the records say about the file: keys of an entry, what stands at a path, in which words."""

from collections.abc import Mapping
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, WithJsonSchema
from pydantic.fields import FieldInfo

from elec.model.system import Document
from elec.units import yaml_key

Record = type[BaseModel]


@cache
def keys_of(record: Record) -> Mapping[str, FieldInfo]:
    """Key in the file → field."""
    return {yaml_key(name): field for name, field in record.model_fields.items()}


def _bare(kind: Any) -> Any:
    """A type without its annotations and without None."""
    while True:
        if get_origin(kind) is Annotated:
            kind = get_args(kind)[0]
        elif get_origin(kind) in (Union, UnionType):
            rest = [part for part in get_args(kind) if part is not NoneType]
            if len(rest) != 1:
                return kind
            kind = rest[0]
        else:
            return kind


def is_record(kind: Any) -> bool:
    """Whether a type is one of the model's records."""
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def records_in(kind: Any) -> list[Record]:
    """The records that a value of a type may be: several where `kind:` decides."""
    kind = _bare(kind)
    if is_record(kind):
        return [kind]
    if get_origin(kind) in (Union, UnionType):
        return [record for part in get_args(kind) for record in records_in(part)]
    return []


def below(kind: Any) -> Any:
    """The type of what a mapping of names or a list holds; None for anything else."""
    kind = _bare(kind)
    arguments = get_args(kind)
    if get_origin(kind) in (Mapping, dict) or (
        isinstance(get_origin(kind), type) and issubclass(get_origin(kind), Mapping)
    ):
        return arguments[1]
    if get_origin(kind) in (tuple, list):
        return arguments[0]
    return None


def tag_of(record: Record) -> str:
    """What `kind:` says for a record that is chosen by it; "" for others."""
    field = record.model_fields.get("kind")
    words = get_args(field.annotation) if field and get_origin(field.annotation) is Literal else ()
    return str(words[0]) if len(words) == 1 else ""


def record_at(data: Any, path: tuple[str | int, ...]) -> Record | None:
    """The record that describes the mapping at a path of the builder's data."""
    kind: Any = Document
    for part in path:
        records = records_in(kind)
        if not records:
            kind = below(kind)
        else:
            field = keys_of(_chosen(records, data)).get(str(part))
            if field is None:
                return None
            kind = field.annotation
        data = _child(data, part)
        if kind is None:
            return None
    records = records_in(kind)
    return _chosen(records, data) if records else None


def _chosen(records: list[Record], data: Any) -> Record:
    if len(records) > 1 and isinstance(data, dict):
        for record in records:
            if tag_of(record) == data.get("kind"):
                return record
    return records[0]


def _child(data: Any, part: str | int) -> Any:
    if isinstance(data, dict):
        return data.get(part)
    if isinstance(data, list) and isinstance(part, int) and part < len(data):
        return data[part]
    return None


EXAMPLES: Mapping[str, str] = {
    "nominal": "14 V",
    "ceiling": "12500 ft",
    "rate": "20 h",
    "cutoff": "10.5 V",
    "minimum": "10.5 V",
    "warning": "12.5 V",
    "drop": "0.5 V",
    "coldest": "-10 °C",
    "no-charge-below": "0 °C",
    "accepts": "9 A",
    "limit": "60 A",
    "diameter": "16 mm",
    "conduit": "16 mm",
    "within": "2 ft",
    "field": "3 A",
    "rating": "40 A",
    "cut": "9 ft 4 in",
    "tolerance": "10 %",
}
"""Key → an example that fits it better than that of its quantity in general."""

TEXTS: Mapping[str, str] = {
    "about": "beacon", "backup": "radio-2", "builder": "Ada", "bundle": "main", "bus": "main",
    "change": "second radio", "changeover": "battery-select", "check": "feeder-hot",
    "circuit": "master-coil", "class": "blade-c", "closes": "before the wings are covered",
    "colour": "white", "contact-size": "20", "contactor": "master", "date": "2031-05-04",
    "description": "two-seat low-wing tourer, day and night", "dimmer": "panel-dimmer",
    "drain": "panel-block", "engaged-light": "annunciator.J1.9", "engraving": "STROBE",
    "exclusive": "winches", "feed": "A", "field-circuit": "field", "field-wire": "regulator",
    "for": "beacon switch to beacon.+; AWG 20; 9 ft 4 in; panel tail", "from": "radio.J1.3",
    "function": "L", "fuse": "1 A", "ground": "panel-block", "ground-point": "panel-block",
    "label": "STROBE", "law": "current", "line": "2", "load": "3", "make": "MAKER, TYPE",
    "name": "instrument panel", "note": "bought in May", "owner": "Ada", "phase": "cruise",
    "place": "panel", "post": "master", "reason": "why it stays so", "registration": "AB-CDE",
    "remark": "grommet still missing", "return": "B", "revision": "B", "sense": "main",
    "second": "firewall-block", "serial": "12", "service": "com", "sheet": "lights",
    "shunt": "panel-shunt",
    "signal": "audio-high", "source": "maker's drawing, sheet 3", "splice": "cabin",
    "switch": "beacon", "to": "intercom.J1.1", "type": "dsub-15", "unprotected": "why it has none",
    "warning-lamp": "annunciator.J1.7", "wire": "etfe-tin",
}  # fmt: skip
"""Key that takes a text → an example of one: it shows the form to write."""


def form(key: str) -> str:
    """The line to write where a text is wanted; "" for a key that no example is known of.

    >>> form("engaged-light")
    'engaged-light: annunciator.J1.9'
    """
    return f"{key}: {TEXTS[key]}" if key in TEXTS else ""


def wanted(field: FieldInfo, key: str = "") -> tuple[str, str]:
    """What a key takes, in words, and an example; "" where its type alone says it."""
    for item in _annotations(field):
        schema = item.json_schema if isinstance(item, WithJsonSchema) else None
        if schema and "description" in schema:
            shown = schema.get("examples") or schema.get("enum") or [""]
            words, example = str(schema["description"]), str(shown[0])
            better = EXAMPLES.get(key, example) if " such as " in words else example
            return words.replace(f'"{example}"', f'"{better}"'), better
    return "", ""


def _annotations(field: FieldInfo) -> list[Any]:
    found = list(field.metadata)
    for part in (field.annotation, *get_args(field.annotation)):
        if get_origin(part) is Annotated:
            found += get_args(part)[1:]
    return found


def words_of(kind: Any) -> list[str]:
    """The words that a type allows, where it is a choice of words."""
    kind = _bare(kind)
    if get_origin(kind) is Literal:
        return [str(word) for word in get_args(kind)]
    if get_origin(kind) in (Union, UnionType):
        return [word for part in get_args(kind) for word in words_of(part)]
    return []


CABLES = ("multicores", "coax")
"""Sections of cables."""
SECTIONS: tuple[str, ...] = tuple(keys_of(Document))
RENAMED = {
    "connectors": "plugs: here (what joins two harnesses)",
    "cables": "multicores: where it has cores, coax: where it is a coaxial line",
}
"""Sections by the name that they had."""
ENTRY_SECTIONS: frozenset[str] = frozenset(
    key
    for key, field in keys_of(Document).items()
    if get_args(field.annotation) and records_in(below(field.annotation))
    if get_origin(_bare(field.annotation)) is not tuple
)
"""Sections that map names to entries; in these an entry may be `like:` another."""
