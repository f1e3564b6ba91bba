"""A value of the wrong kind is refused in words, whatever stands there and whoever asks for it."""

import pytest

from tests.hostile.kinds import kind, spots, trouble_of_kind, whole, written_otherwise
from tests.systems import SYSTEMS

SHAPES = SYSTEMS.parent / "docs" / "shapes.yaml"


def test_every_kind_of_value_written_as_something_else() -> None:
    """All of it, of all systems, is gone through by hand: `python -m tests.hostile.kinds`."""
    wrong = [
        f"{what} {said}"
        for what, text in written_otherwise((SHAPES,), ([["x"]], {"a": "b"}))
        if (said := trouble_of_kind(text))
    ]
    assert wrong == []


def test_each_kind_is_tried_once() -> None:
    kinds = [kind(path) for path in spots(whole(SHAPES))]
    assert len(set(kinds)) > 150
    assert kind(("circuits", "radio", "feeds", 1)) == ("circuits", "*", "feeds", "*")
    assert kind(("ways", 0, "length")) == ("ways", "*", "length")


def test_a_fault_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(_: object) -> None:
        raise TypeError("unhashable")

    monkeypatch.setattr("tests.hostile.kinds.read_texts", broken)
    assert "unhashable" in trouble_of_kind(b"")
