"""What YAML would do by itself, and must not: the traps of YAML 1.1 and its types (yaml.org)."""

import time
from pathlib import Path

import pytest

from tests.read.helper import GOOD, changed, good, reading, said


def messages(folder: Path, text: str | bytes) -> list[str]:
    return [m.message for m in reading(folder, text).mistakes]


def test_the_small_system_is_good(tmp_path: Path) -> None:
    system = good(reading(tmp_path, GOOD))
    assert system.about.nominal_v == 14.0
    assert system.document.equipment["beacon"].on == "taxi..cruise"


def test_a_key_given_twice(tmp_path: Path) -> None:
    found = reading(tmp_path, changed("places: {engine: ,", "places: {engine: , engine: ,"))
    assert said(found) == ["tern.yaml:36:20: places.engine is given twice; first in tern.yaml:36"]


def test_on_is_a_key_and_words_stay_words(tmp_path: Path) -> None:
    text = changed("on: taxi..cruise}", "on: {taxi: 10 %}, essential: on, intermittent: Off}")
    beacon = good(reading(tmp_path, text)).document.equipment["beacon"]
    assert isinstance(beacon.on, dict)
    assert beacon.on["taxi"].share == 0.1
    assert beacon.essential is True
    assert beacon.intermittent is False


@pytest.mark.parametrize("word", ["1:30", "010", "1e3", "2026-02-11", "yes", "0x1F", "1_000", "~x"])
def test_texts_that_look_like_something_else_stay_texts(tmp_path: Path, word: str) -> None:
    system = good(reading(tmp_path, GOOD.replace("name: Tern", f"name: {word}, date: {word}")))
    assert system.about.name == word
    assert system.about.date == word


@pytest.mark.parametrize(
    ("number", "says"),
    [
        ("5", '"5" has no unit; write 5 A'),
        ("1:30", "is no single number with a unit"),
        (".inf", "is no number"),
        (".nan", "is no number"),
        ("1e999 A", "too large"),
        ("1,5 A", "write 1.5 A"),
    ],
)
def test_numbers_without_a_unit_or_a_value(tmp_path: Path, number: str, says: str) -> None:
    text = GOOD.replace("breaker: 5 A", f"breaker: '{number}'")
    found = messages(tmp_path, text)
    assert len(found) == 1
    assert says in found[0]


def test_plain_numbers_are_finite(tmp_path: Path) -> None:
    text = changed("resistance: 9 mohm}", "resistance: 9 mohm, peukert: .nan}")
    assert messages(tmp_path, text) == ['".nan" is no number']


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "---\n", "~\n", "\ufeff"])
def test_nothing_in_the_file(tmp_path: Path, text: str) -> None:
    assert messages(tmp_path, text) == ["nothing is written here; begin with: elec new FILE"]


@pytest.mark.parametrize(("text", "what"), [("- a\n", "a list"), ("just words\n", "a text")])
def test_a_file_that_is_no_mapping(tmp_path: Path, text: str, what: str) -> None:
    found = messages(tmp_path, text)
    assert found == [
        f"a file is made of sections such as system: and equipment:, but this is {what}"
    ]


def test_a_list_where_a_mapping_belongs_and_the_reverse(tmp_path: Path) -> None:
    text = changed("  main: {place: panel}", "  - main")
    assert messages(tmp_path, text) == ['expected lines of "key: value"; found a list']
    text = changed("ways:\n  - {between: [engine, panel], length: 3 ft}\n", "ways:\n  a: b\n")
    text = text.replace("  - {between: [panel, belly], length: 5 ft 6 in}\n", "")
    assert messages(tmp_path, text) == [
        'expected a list, each item after "- "; found lines of "key: value"'
    ]


def test_a_tab_in_the_indent(tmp_path: Path) -> None:
    found = said(reading(tmp_path, "system:\n\tname: x\n"))
    assert found == ["tern.yaml:2:1: there is a tab in the indent; YAML wants spaces"]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("name: Tern", "name: &n Tern", "anchors (&n) are not used here; to repeat an entry"),
        ("name: Tern", "name: !!str Tern", '"!!str" means nothing here'),
        ("name: Tern", "name: !x Tern", '"!x" means nothing here'),
        ("  main: {place: panel}", "  main: &m {place: panel}", "anchors (&m)"),
        ("  main: {place: panel}", "  main: !!map {place: panel}", '"!!map" means nothing here'),
        ("main: {place: panel}", "main: {<<: {essential: yes}, place: panel}", "merge keys (<<)"),
        ("name: Tern", "name: *tern", "aliases (*tern)"),
    ],
)
def test_yaml_that_is_refused(tmp_path: Path, old: str, new: str, says: str) -> None:
    found = reading(tmp_path, GOOD.replace(old, new, 1))
    assert len(found.mistakes) == 1
    assert says in found.mistakes[0].message
    assert found.mistakes[0].place.line == GOOD[: GOOD.index(old)].count("\n") + 1
    assert found.mistakes[0].place.column > 1


def test_signs_of_anchors_within_a_text_are_text(tmp_path: Path) -> None:
    system = good(
        reading(tmp_path, GOOD.replace("name: Tern", "name: Tern & Co*, description: hi!"))
    )
    assert system.about.name == "Tern & Co*"


def test_a_bomb_of_aliases_is_refused_at_once(tmp_path: Path) -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 10)]
    start = time.process_time()
    found = messages(tmp_path, "\n".join(lines))
    # Walking 9^10 leaves would take hours; a second is far more than the scan needs.
    assert time.process_time() - start < 1.0
    assert len(found) == 10 + 81
    assert "anchors (&a0)" in found[0]


def test_a_second_document(tmp_path: Path) -> None:
    found = said(reading(tmp_path, GOOD + "---\nsystem: {}\n"))
    line = GOOD.count("\n") + 1
    assert found == [f"tern.yaml:{line}:1: a second document begins here (---); a file holds one"]


def test_a_file_that_is_too_large(tmp_path: Path) -> None:
    found = messages(tmp_path, b"# " + b"x" * 10_000_000)
    assert found == ["the file has 10.0 MB; 2 MB is the most that is read"]


def test_a_byte_order_mark_moves_nothing(tmp_path: Path) -> None:
    good(reading(tmp_path, b"\xef\xbb\xbf" + GOOD.encode()))
    bad = b"\xef\xbb\xbfsystem: {name: x, nominal: 14}\n"
    assert said(reading(tmp_path, bad)) == [
        'tern.yaml:1:28: system.nominal: "14" has no unit; write 14 V'
    ]


def test_bytes_that_are_not_utf_8(tmp_path: Path) -> None:
    text = "system:\n  name: Möwe\n".encode("latin-1")
    assert said(reading(tmp_path, text)) == [
        "tern.yaml:2:10: this character is not UTF-8; save the file as UTF-8"
    ]
    assert messages(tmp_path, "system: {}".encode("utf-16")) == [
        "the file is written in UTF-16; save it as UTF-8"
    ]


def test_columns_count_characters(tmp_path: Path) -> None:
    text = "system: {name: Möwe Ω 🛩, nominal: 14}\n"
    assert said(reading(tmp_path, text)) == [
        'tern.yaml:1:35: system.nominal: "14" has no unit; write 14 V'
    ]


@pytest.mark.parametrize("depth", [50, 900, 5000])
@pytest.mark.parametrize("bracket", ["[", "{a: "])
def test_deep_nesting(tmp_path: Path, depth: int, bracket: str) -> None:
    close = "]" if bracket == "[" else "}"
    found = messages(tmp_path, "limits: {a: " + bracket * depth + "x" + close * depth + "}\n")
    assert "brackets and indents are nested too deeply here" in found


def test_a_comment_that_swallows_a_gauge(tmp_path: Path) -> None:
    text = GOOD + "build: {}\n"
    text = text.replace(
        "  radio: {bus: main, breaker: 5 A, feeds: radio}",
        ("  radio:\n    bus: main\n    breaker: 5 A\n    feeds: radio\n    gauge: #18"),
    )
    assert messages(tmp_path, text) == [
        'nothing is written after "gauge:"; a # begins a comment: write AWG 18'
    ]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            "{1: power, 8",
            "{1:power, 8",
            '"1:power" is read as one word; put a space after the colon',
        ),
        (
            "main: {place: panel}",
            "main: {place:panel}",
            "put a space after the colon: place: panel",
        ),
        ("main: {place: panel}", "main: place:panel", "put a space after the colon: place: panel"),
        ("name: Tern", "name: Tern, bay 5", '"bay 5" has no colon and no value'),
        ("name: Tern", "name: %5", 'a value cannot begin with "%"; put it in quotes'),
        ("name: Tern", "name: @x", 'a value cannot begin with "@"; put it in quotes'),
        ("name: Tern", 'name: "Tern', "the quotation mark that opens here is not closed"),
        ("name: Tern", "name: [Tern", "the bracket"),
        ("name: Tern", "name: 'a' b", "quotation mark"),
        ("name: Tern", "name: , owner: x", 'nothing is written after "name:"'),
        ("name: Tern", "name: ~", 'nothing is written after "name:"'),
        ("name: Tern", "name: null", 'nothing is written after "name:"'),
        ("name: Tern", "? [a]: b, name: Tern", "a key is a single word"),
    ],
)
def test_slips_of_the_notation(tmp_path: Path, old: str, new: str, says: str) -> None:
    found = messages(tmp_path, changed(old, new))
    assert len(found) == 1, found
    assert says in found[0]


def test_feet_and_inches_that_end_early(tmp_path: Path) -> None:
    text = 'ways:\n  - between: [a, b]\n    length: "6\' 3" "\n'
    found = said(reading(tmp_path, text))
    assert found == [
        (
            "tern.yaml:3:20: text goes on after a closing quotation mark; write feet and inches as "
            "6 ft 3 in, and put a text that holds quotation marks in quotes of the other kind"
        )
    ]


def test_two_colons_in_a_line(tmp_path: Path) -> None:
    found = messages(tmp_path, "system:\n  name: a: b\n")
    assert len(found) == 1
    assert "there is a second colon in this line" in found[0]


def test_a_line_that_is_indented_otherwise(tmp_path: Path) -> None:
    found = messages(tmp_path, "system:\n  name: a\n   nominal: 14 V\n")
    assert len(found) == 1
    assert "begins in column 4; the lines it could belong to begin in column 3 or 1" in found[0]


@pytest.mark.parametrize("junk", [b"\x00\x01\x02", b"PK\x03\x04abc", b"\x7fELF"])
def test_binary_junk(tmp_path: Path, junk: bytes) -> None:
    found = messages(tmp_path, junk)
    assert len(found) == 1
    assert "is this a text file?" in found[0]


def test_random_bytes_never_raise(tmp_path: Path) -> None:
    import random

    dice = random.Random(7)  # noqa: S311 - a fixed seed, nothing secret
    for _ in range(60):
        junk = bytes(dice.randrange(256) for _ in range(dice.randrange(1, 80)))
        assert reading(tmp_path, junk).mistakes


def test_every_cut_of_the_small_system_is_read_or_refused(tmp_path: Path) -> None:
    for end in range(0, len(GOOD), 37):
        found = reading(tmp_path, GOOD[:end])
        assert (found.system is None) == bool(found.mistakes)
        for mistake in found.mistakes:
            assert mistake.place.line >= 1
            assert mistake.place.column >= 1


def test_a_file_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_self: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    file = tmp_path / "tern.yaml"
    file.write_text(GOOD)
    monkeypatch.setattr(Path, "read_bytes", refuse)
    from elec.read import read

    assert said(read(file)) == ["tern.yaml:1:1: the file cannot be read: permission denied"]


def test_numbers_as_keys_are_contacts(tmp_path: Path) -> None:
    pins = good(reading(tmp_path, GOOD)).document.equipment["radio"].connectors["J1"].pins
    assert [(key, pin.signal) for key, pin in pins.items()] == [
        ("1", "power"), ("8", "ground"), ("3", "audio"),
    ]  # fmt: skip
