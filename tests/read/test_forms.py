"""Where a text is wanted and something else stands, the form to write is shown."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from pydantic.fields import FieldInfo

from elec.model.system import Document
from elec.read import read_texts
from elec.read.shape import TEXTS, below, form, is_record, keys_of, records_in, wanted
from tests.hostile.systems import FINCH, changed


def said(text: str) -> list[str]:
    return [
        f"{one.place.path}: {one.message}"
        for one in read_texts({Path("finch.yaml"): text.encode()}).mistakes
    ]


def test_a_list_is_answered_with_the_line_to_write() -> None:
    text = changed(("rating: 75 A", "rating: 75 A, engaged-light: [lamp]"))
    assert said(text) == [
        (
            'switches.master.engaged-light: expected lines of "key: value" or a text such as '
            "engaged-light: annunciator.J1.9; found a list"
        )
    ]


@pytest.mark.parametrize("wrong", ["[main]", "[[main]]"])
def test_a_key_that_takes_either_shows_the_short_form(wrong: str) -> None:
    text = changed(("overvoltage-protection: yes", f"overvoltage-protection: yes, sense: {wrong}"))
    assert said(text) == [
        (
            'sources.alternator.sense: expected lines of "key: value" or a text such as '
            "sense: main; found a list"
        )
    ]


def test_a_mistake_in_a_short_form_names_the_key_that_is_written() -> None:
    text = changed(("overvoltage-protection: yes", "overvoltage-protection: yes, sense: mian"))
    (one,) = said(text)
    assert one.startswith("sources.alternator.sense: ")
    long = "overvoltage-protection: yes, sense: {from: mian}"
    (one,) = said(changed(("overvoltage-protection: yes", long)))
    assert one.startswith("sources.alternator.sense.from: ")


def _texts(kind: Any, seen: set[Any]) -> Iterator[tuple[str, FieldInfo]]:
    """Every key of the file that takes a free text."""
    for record in records_in(kind):
        if record not in seen:
            seen.add(record)
            for key, field in keys_of(record).items():
                yield key, field
                yield from _texts(field.annotation, seen)
    inner = None if records_in(kind) else below(kind)
    if inner is not None:
        yield from _texts(inner, seen)


def test_every_key_that_takes_a_text_has_a_form() -> None:
    assert is_record(Document)
    found: Mapping[str, FieldInfo] = dict(_texts(Document, set()))
    free = {
        key
        for key, field in found.items()
        if field.annotation in (str, str | None) and not wanted(field, key)[0]
    }
    assert len(free) > 50
    assert free - TEXTS.keys() == set()
    assert TEXTS.keys() <= found.keys()


def test_the_systems_own_text_keys_are_answered_with_their_form() -> None:
    for line in ("place: nose", "field-circuit: field"):
        key = line.split(":")[0]
        text = FINCH.replace(line, f"{key}: {{a: b}}", 1)
        (one, *_) = said(text)
        assert form(key) in one
