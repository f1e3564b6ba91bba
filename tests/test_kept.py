"""Taken over is what is made of the very same, and nothing else."""

from collections.abc import Callable

import pytest
from msgspec import Struct

from elec.kept import Kept, keeping, takes_over


class Wire(Struct, frozen=True):
    """A thing of one number."""

    size: float


class Device(Struct, frozen=True):
    """Another thing of one number by the same name."""

    size: float


def counted() -> tuple[Callable[[object], str], list[object]]:
    """A function, and what it was really asked for."""
    asked: list[object] = []

    @takes_over
    def said(value: object) -> str:
        asked.append(value)
        return f"{type(value).__name__} {value!r}"

    return said, asked


@pytest.mark.parametrize(
    ("first", "second"),
    [(1, 1.0), (1, True), (0.0, -0.0), ("1", 1), ((1, 2), [1, 2]), (Wire(1), Device(1)),
     (Wire(1), {"size": 1}), ({"a": 1, "b": 2}, {"b": 2, "a": 1}), (None, ""), (Wire(1), Wire(1.0)),
     (0.1 + 0.2, 0.3)],
)  # fmt: skip
def test_what_prints_otherwise_is_made_anew(first: object, second: object) -> None:
    """However alike the two are; and the first, asked again, is taken over."""
    said, asked = counted()
    with keeping(Kept()):
        found = [said(first), said(second), said(second)]
    assert found[1:] == [f"{type(second).__name__} {second!r}"] * 2
    assert asked == [first, second]
    assert [type(one) for one in asked] == [type(first), type(second)]


def test_the_same_is_made_once_and_forgotten_when_a_whole_page_did_not_ask_for_it() -> None:
    """It stays from page to page as long as it is asked for."""
    said, asked = counted()
    kept = Kept()
    for _ in range(3):
        with keeping(kept):
            said((Wire(2.5), "a"))
        kept.turn()
    assert (len(asked), kept.taken) == (1, 2)
    kept.turn()
    with keeping(kept):
        said((Wire(2.5), "a"))
    assert len(asked) == 2


def test_elsewhere_nothing_is_kept() -> None:
    """Whoever asks once pays nothing for it and holds nothing."""
    said, asked = counted()
    said(1)
    with keeping(Kept()):
        said(1)
    said(1)
    assert len(asked) == 3


def test_what_cannot_be_written_as_bytes_is_made_anew() -> None:
    """Such as a function, or a number that is none, which is equal to nothing."""
    said, asked = counted()
    kept = Kept()
    with keeping(kept):
        for value in (len, len, float("nan"), float("nan")):
            said(value)
    assert (len(asked), kept.taken) == (4, 0)
