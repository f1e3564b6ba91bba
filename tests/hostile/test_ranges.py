"""Values that no light aircraft has are told at their line, one message each."""

from pathlib import Path

import pytest

from elec import units
from elec.read import read_texts
from elec.read.ranges import ranges
from tests.hostile.systems import ABSURD, FINCH, changed


def said(text: str) -> list[tuple[int, str]]:
    """Line and message of every mistake."""
    found = read_texts({Path("finch.yaml"): text.encode()})
    return [(m.place.line, m.message) for m in found.mistakes]


@pytest.mark.parametrize(("old", "new", "says"), ABSURD, ids=[new for _, new, _ in ABSURD])
def test_an_absurd_value_is_one_mistake_at_its_line(old: str, new: str, says: str) -> None:
    text = changed((old, new))
    line = next(n for n, one in enumerate(text.splitlines(), 1) if new in one)
    found = said(text)
    assert [at for at, _ in found] == [line], found
    assert says in found[0][1]


def test_the_system_itself_is_within_all_ranges() -> None:
    assert said(FINCH) == []


def test_a_note_may_say_what_it_likes() -> None:
    assert said(changed(("capacity: 17 Ah", "capacity: 17 Ah, note: 9000 V"))) == []


def test_zero_is_no_slip() -> None:
    assert said(changed(("draw: 0.4 A", "draw: 0 A"))) == []


@pytest.mark.parametrize("key", ranges(), ids=str)
def test_every_range_is_written_so_that_it_can_be_read(key: tuple[str, str]) -> None:
    one = ranges()[key]
    assert one.why
    for text, value in ((one.least, one.least_si), (one.most, one.most_si)):
        if text and key[1] != "number":
            assert units.parse(text, key[1]) == value
    assert one.most_si is not None
    assert one.least_si is None or one.least_si < one.most_si


def test_what_repeats_an_absurd_value_is_not_told_again() -> None:
    text = changed(
        ("draw: 28 W", "draw: 28e9 W"),
        ("  regulator:", "  lamp: {like: strobe, place: desk}\n  regulator:"),
        ("  field: {bus", "  lamp: {bus: main, breaker: auto, feeds: lamp}\n  field: {bus"),
    )
    assert len(said(text)) == 1


def test_neither_day_nor_night_is_a_mistake() -> None:
    found = said(changed(("ceiling: 11000 ft", "conditions: []")))
    assert found == [
        (1, "nothing stands in this list; write one or more of day, night, or leave it out")
    ]


def test_a_way_named_by_a_list_is_told_and_nothing_breaks() -> None:
    found = said(changed(("length: 4 ft}", "length: 4 ft, name: [a, b]}")))
    assert [line for line, _ in found] == [1 + FINCH[: FINCH.index("length: 4 ft}")].count("\n")]


def test_of_another_kind_is_told_and_not_how_large_it_is_besides() -> None:
    (only,) = said(changed(("capacity: 17 Ah", "capacity: 2000 V")))
    assert "is a voltage" in only[1]
