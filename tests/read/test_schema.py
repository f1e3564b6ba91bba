"""The JSON Schema for editors: draft 07, and the stored one is the current one.

Its shape is checked against the meta rules of draft-07 that matter here (json-schema.org, 2018):
`definitions`, lists of fixed length as `items` with `additionalItems`, no `$defs` or `prefixItems`.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from elec import units
from elec.model.laws import LAWS
from elec.model.system import Document
from elec.read import read
from elec.read.schema import REFERS, schema
from elec.read.shape import ENTRY_SECTIONS, SECTIONS, keys_of
from tests.systems import SYSTEMS

STORED = Path(__file__).parents[2] / "docs" / "elec.schema.json"
MADE = schema()
LOADS = [law.example for law in LAWS.values()]
"""Read back in tests/model/test_load_laws.py."""


def parts(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        yield value
        for item in value.values():
            yield from parts(item)
    elif isinstance(value, list):
        for item in value:
            yield from parts(item)


def test_the_stored_schema_is_current() -> None:
    assert json.loads(STORED.read_text(encoding="utf-8")) == MADE


def test_it_is_of_draft_07() -> None:
    assert MADE["$schema"] == "http://json-schema.org/draft-07/schema#"
    later = {"$defs", "prefixItems", "discriminator", "unevaluatedProperties", "gt"}
    assert not [part for part in parts(MADE) if later & part.keys()]
    for part in parts(MADE):
        if isinstance(part.get("$ref"), str):
            name = part["$ref"].removeprefix("#/definitions/")
            assert name in MADE["definitions"]


def test_sections_and_keys_are_those_of_the_file() -> None:
    assert set(MADE["properties"]) == set(SECTIONS)
    assert MADE["additionalProperties"] is False
    circuit = MADE["definitions"]["Circuit"]
    assert circuit["additionalProperties"] is False
    assert {"ground-point", "feeds", "like", "length"} <= circuit["properties"].keys()
    assert not [key for key in circuit["properties"] if "_" in key]
    assert {"required": ["like"]} in circuit["anyOf"]
    assert {"required": ["bus", "feeds"]} in circuit["anyOf"]
    assert MADE["definitions"]["Feeder"]["required"] == ["from", "to"]


def test_words_are_offered() -> None:
    equipment = MADE["definitions"]["Equipment"]["properties"]
    assert equipment["essential"]["enum"] == ["yes", "no"]
    assert equipment["when"]["enum"] == ["day", "night", "always"]
    assert equipment["draw"]["examples"] == LOADS
    kinds = [
        MADE["definitions"][name]["properties"]["kind"]["const"]
        for name in ("Alternator", "LeadAcid", "Lithium", "ExternalPower")
    ]
    assert kinds == ["alternator", "lead-acid", "lithium-iron-phosphate", "external-power"]
    assert MADE["definitions"]["Way"]["properties"]["between"]["minItems"] == 2


def test_a_single_word_may_stand_for_a_mapping() -> None:
    done, contact = MADE["definitions"]["DoneText"], MADE["definitions"]["ConnectorPinText"]
    assert "tested" in done["anyOf"][0]["enum"]
    assert contact["anyOf"][1] == {"$ref": "#/definitions/ConnectorPin"}
    pins = MADE["definitions"]["Connector"]["properties"]["pins"]
    assert pins["additionalProperties"] == {"$ref": "#/definitions/ConnectorPinText"}


def test_nothing_but_an_entry_may_be_empty() -> None:
    nulls = [part for part in parts(MADE["definitions"]) if part.get("type") == "null"]
    assert nulls == []
    for section in ENTRY_SECTIONS:
        assert {"type": "null"} in MADE["properties"][section]["additionalProperties"]["anyOf"]


@pytest.mark.parametrize("section", sorted(SECTIONS))
def test_every_section_is_described(section: str) -> None:
    entry = MADE["properties"][section]
    named = MADE["definitions"].get(entry.get("$ref", "").rpartition("/")[2], {})
    assert entry.get("description") or named["description"]


def test_every_key_is_described() -> None:
    bare = [
        f"{name}.{key}"
        for name, definition in MADE["definitions"].items()
        for key, value in definition.get("properties", {}).items()
        if "$ref" not in value and not value.get("description")
    ]
    assert bare == []


def test_examples_in_the_schema_can_be_read() -> None:
    for part in parts(MADE):
        for text in part.get("examples", []) if isinstance(part.get("examples"), list) else []:
            assert text in {"auto", "cranking", "stopped", *LOADS} or any(
                readable(text, dimension) for dimension in (*units.DIMENSIONS, "date")
            )


def readable(text: str, dimension: str) -> bool:
    try:
        units.parse_day(text) if dimension == "date" else units.parse(text, dimension)
    except units.UnitError:
        return False
    return True


def test_keys_come_from_the_one_table_of_suffixes() -> None:
    for name, field in Document.model_fields.items():
        assert keys_of(Document)[units.yaml_key(name)] is field


def test_the_names_of_a_system_are_offered_where_they_are_asked_for() -> None:
    """An editor completes them; a name that is about to be written is not refused."""
    system = read(SYSTEMS / "foxglove").system
    assert system is not None
    made = schema(system.document)
    circuit = made["definitions"]["Circuit"]["properties"]
    assert circuit["bus"]["examples"] == list(system.document.buses)
    way = made["definitions"]["Way"]["properties"]
    assert way["between"]["examples"] == list(system.document.places)
    assert "enum" not in circuit["bus"]
    assert "examples" not in schema()["definitions"]["Circuit"]["properties"]["bus"]


def test_every_key_that_takes_a_name_is_a_key() -> None:
    """A key that was renamed would offer nothing any more."""
    keys = {key for one in MADE["definitions"].values() for key in one.get("properties", {})}
    assert REFERS.keys() <= keys
