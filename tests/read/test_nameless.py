"""A lost line with an entry's name is few messages, and one says what is missing."""

import pytest

from elec.read import read_texts
from tests.systems import NAMES, SYSTEMS

MOST = 5
"""Messages for one mistake."""
LOST = [
    ("thistledown", "  audio:"),
    ("thistledown", "  transponder:"),
    ("thistledown", "      J1:"),
    ("thistledown", "  gear-warning:"),
    ("yarrow", "      J1:"),
]


@pytest.mark.parametrize(("name", "line"), LOST)
def test_a_lost_name_is_told_once(name: str, line: str) -> None:
    texts = {path: path.read_bytes() for path in sorted((SYSTEMS / name).glob("*.yaml"))}
    (file,) = [path for path in texts if path.name == "equipment.yaml"]
    lines = texts[file].decode().splitlines()
    lines.pop(lines.index(line))
    found = [str(m) for m in read_texts({**texts, file: "\n".join(lines).encode()}).mistakes]
    assert len(found) <= MOST, found
    assert any("missing above" in text for text in found), found


@pytest.mark.parametrize("name", NAMES)
def test_a_lost_heading_is_told_once(name: str) -> None:
    texts = {path: path.read_bytes() for path in sorted((SYSTEMS / name).glob("*.yaml"))}
    for file, text in texts.items():
        lines = text.decode().splitlines()
        for at, line in enumerate(lines):
            if line[:1].isalpha():
                left = "\n".join(lines[:at] + lines[at + 1 :]).encode()
                found = [str(m) for m in read_texts({**texts, file: left}).mistakes]
                # Rows of a list under another heading are one mistake each (Foxglove's stock: 4).
                assert 1 <= len(found) <= (4 if line == "stock:" else 1), (file.name, line, found)


def test_a_shared_changeover_without_a_place_is_one_mistake() -> None:
    texts = {path: path.read_bytes() for path in sorted((SYSTEMS / "thistledown").glob("*.yaml"))}
    (file,) = [path for path in texts if path.name == "sources.yaml"]
    head = "    kind: changeover\n"
    text = texts[file].decode()
    assert text.count(head + "    place: panel\n") == 1
    left = text.replace(head + "    place: panel\n", head).encode()
    (found,) = read_texts({**texts, file: left}).mistakes
    assert "where it is is missing (place:); feeders from battery-bay and fin share" in str(found)
