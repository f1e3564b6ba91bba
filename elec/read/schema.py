"""The JSON Schema of the builder's file, so that an editor completes and checks while typing.

Draft 07, which editors' language servers know. Generated from the records; the texts under their
fields become the hints. Names that the file itself defines cannot be checked by a schema: `read`
does that.
"""

import ast
import inspect
from collections.abc import Mapping
from functools import cache
from typing import Any

from elec.model.system import Document
from elec.read.shape import ENTRY_SECTIONS, Record, records_in
from elec.units import yaml_key

DRAFT = "http://json-schema.org/draft-07/schema#"
_ANY_TEXT = frozenset({"feed", "return", "signal", "type", "number", "revision", "date", "name"})
"""Keys whose text may look like a number, which an editor would take for one."""


_SHORT = {
    "Done": "state", "ConnectorPin": "signal", "FieldWire": "from", "Tap": "from",
    "SenseTap": "from", "Light": "to", "SecondGroundWire": "to",
    "Diode": "kind", "Reverse": "by",
}  # fmt: skip
"""Records that may be written as the value of one key alone."""


REFERS: Mapping[str, tuple[str, ...]] = {
    "place": ("places",), "places": ("places",), "between": ("places",), "via": ("places",),
    "avoid": ("places",), "bus": ("buses",), "feeds": ("equipment",), "switch": ("switches",),
    "contactor": ("switches",), "changeover": ("switches",), "ground-point": ("grounds",),
}  # fmt: skip
"""Key → the sections whose names it takes; an editor offers them."""


def schema(document: Document | None = None) -> dict[str, Any]:
    """The schema as plain data, ready for `json.dumps`.

    With a system the names of its places, buses, switches, grounds and equipment stand as examples
    where they are asked for, and an editor offers them. Others are allowed: they may be about to be
    written.
    """
    made = _schema()
    if document is not None:
        _offer(made, document)
    return made


def _offer(part: Any, document: Document) -> None:
    """Put the names of a system wherever a key takes them."""
    if isinstance(part, list):
        for one in part:
            _offer(one, document)
    if not isinstance(part, dict):
        return
    for key, value in part.get("properties", {}).items():
        names = [name for section in REFERS.get(key, ()) for name in getattr(document, section)]
        if names and isinstance(value, dict):
            value["examples"] = names
            if isinstance(value.get("items"), dict):
                value["items"]["examples"] = names
    for value in part.values():
        _offer(value, document)


def _schema() -> dict[str, Any]:
    made = _without_null(Document.model_json_schema(by_alias=True))
    definitions = made.pop("$defs")
    records = {record.__name__: record for record in _records(Document)}
    for name, definition in definitions.items():
        if name in records:
            _describe(definition, records[name])
    _describe(made, Document)
    for section in sorted(ENTRY_SECTIONS):
        _allow_like(made["properties"][section], definitions)
    for name, key in _SHORT.items():
        definitions[f"{name}Text"] = {
            "anyOf": [definitions[name]["properties"][key], {"$ref": f"#/$defs/{name}"}]
        }
    _short(made, definitions)
    made["definitions"] = definitions
    plain: dict[str, Any] = _plain(made)
    return {"$schema": DRAFT, **plain, "title": "System file of elec"}


def _records(record: Record, seen: set[Record] | None = None) -> set[Record]:
    seen = set() if seen is None else seen
    if record not in seen:
        seen.add(record)
        for field in record.model_fields.values():
            for other in _within(field.annotation):
                _records(other, seen)
    return seen


def _within(kind: Any) -> list[Record]:
    from typing import get_args

    found = records_in(kind)
    for part in get_args(kind):
        found += _within(part)
    return found


@cache
def field_texts(record: Record) -> Mapping[str, str]:
    """Key → the text that stands under the field, those of its base records included."""
    texts: dict[str, str] = {}
    for base in reversed(record.__mro__):
        if base.__module__.startswith("elec.model"):
            texts |= _texts_of(base)
    return texts


def _texts_of(record: type) -> Mapping[str, str]:
    body = ast.parse(inspect.getsource(record)).body[0]
    texts: dict[str, str] = {}
    last = ""
    for line in getattr(body, "body", []):
        if isinstance(line, ast.AnnAssign) and isinstance(line.target, ast.Name):
            last = yaml_key(line.target.id)
        elif isinstance(line, ast.Expr) and isinstance(line.value, ast.Constant) and last:
            texts[last] = " ".join(str(line.value.value).split())
            last = ""
        else:
            last = ""
    return texts


def _describe(definition: dict[str, Any], record: Record) -> None:
    for key, text in field_texts(record).items():
        if key in definition.get("properties", {}):
            definition["properties"][key]["description"] = _with(
                text, _own_words(definition["properties"][key])
            )
    if record.__doc__:
        definition["description"] = " ".join(record.__doc__.split("\n\n")[0].split())
    for key in _ANY_TEXT & definition.get("properties", {}).keys():
        _also_number(definition["properties"][key])


def _with(text: str, words: str) -> str:
    return f"{text} Written as {words}." if words else text


def _own_words(value: Mapping[str, Any]) -> str:
    """What the quantity's own annotation says: `a current such as "2.5 A"`."""
    for part in (value, *value.get("anyOf", ())):
        if "description" in part:
            return str(part["description"])
    return ""


def _also_number(value: dict[str, Any]) -> None:
    for part in (value, *value.get("anyOf", ())):
        if part.get("type") == "string" and "enum" not in part:
            part["type"] = ["string", "number"]


def _allow_like(section: dict[str, Any], definitions: dict[str, Any]) -> None:
    """An entry may repeat another one: then nothing in it is required."""
    text = "Repeats another entry of this section; what is written here takes its place."
    entries = section["additionalProperties"]
    for reference in entries.get("oneOf", entries.get("anyOf", [entries])):
        definition = definitions.get(str(reference.get("$ref", "")).rsplit("/", 1)[-1])
        if definition is None or "like" in definition.get("properties", {}):
            continue
        definition.setdefault("properties", {})["like"] = {"type": "string", "description": text}
        required = definition.pop("required", None)
        if required:
            definition["anyOf"] = [{"required": ["like"]}, {"required": required}]
    choices = entries.pop("oneOf", None)
    if choices:
        entries["anyOf"] = choices
    section["additionalProperties"] = {"anyOf": [entries, {"type": "null"}]}


def _short(made: dict[str, Any], definitions: dict[str, Any]) -> None:
    """Point to the form that may be a single word."""
    references = {f"#/$defs/{name}": f"#/$defs/{name}Text" for name in _SHORT}
    stack: list[Any] = [made, *(item for key, item in definitions.items() if key[-4:] != "Text")]
    while stack:
        item = stack.pop()
        if isinstance(item, dict):
            if item.get("$ref") in references:
                item["$ref"] = references[item["$ref"]]
            stack += item.values()
        elif isinstance(item, list):
            stack += item


def _without_null(value: Any) -> Any:
    """Without the choice of null: a key is left out, never written as nothing."""
    if isinstance(value, list):
        return [_without_null(item) for item in value]
    if not isinstance(value, dict):
        return value
    made = {key: _without_null(item) for key, item in value.items()}
    choices = made.get("anyOf")
    if isinstance(choices, list) and {"type": "null"} in choices:
        rest = [item for item in choices if item != {"type": "null"}]
        if len(rest) > 1:
            made["anyOf"] = rest
        else:
            del made["anyOf"]
            made = {**rest[0], **made}
    return made


def _plain(value: Any) -> Any:
    """Draft 07: its names for lists of fixed length and references; no key of other standards."""
    if isinstance(value, list):
        return [_plain(item) for item in value]
    if not isinstance(value, dict):
        return value
    made = {
        key: _plain(item)
        for key, item in value.items()
        if key not in ("discriminator", "default")
        and not (key == "title" and isinstance(item, str))
    }
    if "prefixItems" in made:
        made["items"] = made.pop("prefixItems")
        made["additionalItems"] = False
    if made.get("type") == "string":
        for bound in ("exclusiveMinimum", "minimum", "maximum", "gt"):
            made.pop(bound, None)
    if "$ref" in made:
        return {"$ref": str(made["$ref"]).replace("#/$defs/", "#/definitions/")}
    return made
