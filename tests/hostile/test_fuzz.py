"""Mutated systems are refused in words or answered: no fault, no warning, no nan or inf.

A few hundred of them; many more by `python -m tests.hostile.fuzz`. What was once found stays here.
"""

import pytest

from tests.hostile.fuzz import KINDS, mutant, trouble
from tests.hostile.systems import changed

BATCH = 25

FOUND = {
    "a curve that is a list": changed(
        ("output: {1000 rpm: 9 A, 2500 rpm: 34 A}", "output: []")
    ),
    "a curve of bare numbers": changed(
        ("output: {1000 rpm: 9 A, 2500 rpm: 34 A}", "output: [[1000, 9], [2500, 34]]")
    ),
    "like: that is a list": changed(("  strobe:\n", "  strobe: {like: [com]}\n  other:\n")),
    "a way named by a list": changed(("length: 4 ft}", "length: 4 ft, name: [a, b]}")),
    "nothing draws anything": changed(
        ("draw: 0.4 A", "draw: 0 A"), ("draw: 2.5 A", "draw: 0 A"),
        ("draw: 28 W", "draw: 0 W"), ("draw: 2 A", "draw: 0 A"),
    ),
    "all is at the edge of what is read": changed(
        ("ambient: 45 °C", "ambient: 140 °C"), ("ceiling: 11000 ft", "ceiling: 60000 ft"),
        ("draw: 28 W", "draw: 50 kW"), ("length: 13 ft", "length: 200 m"),
        ("lasts: 90 min", "lasts: 72 h"), ("resistance: 10 mΩ", "resistance: 0.1 µΩ"),
    ),
    "all is as small as is read": changed(
        ("ambient: 45 °C", "ambient: -60 °C"), ("draw: 28 W", "draw: 0.001 mW"),
        ("length: 13 ft", "length: 0.01 mm"), ("lasts: 90 min", "lasts: 1 ms"),
        ("capacity: 17 Ah", "capacity: 0.1 Ah"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("text", FOUND.values(), ids=FOUND)
def test_what_was_found_once_is_mended(text: str) -> None:
    assert trouble(text.encode(), deep=True) == ""


@pytest.mark.parametrize("first", range(0, 300, BATCH))
def test_mutated_systems_are_refused_or_answered(first: int) -> None:
    for number in range(first, first + BATCH):
        said = trouble(mutant(number))
        assert said == "", f"{KINDS[number % len(KINDS)].__name__} {number}: {said}"


def test_the_same_number_is_the_same_system() -> None:
    assert [mutant(n) for n in range(10)] == [mutant(n) for n in range(10)]
