"""Mutated systems are refused in words or answered: no fault, no warning, no nan or inf.

Two hundred of them and ten valid systems of any shape; twenty thousand by `python -m
tests.hostile.fuzz`, in `.ci/run`. What was once found stays here.
"""

from pathlib import Path

import pytest

from elec.cli import main
from elec.read import read_texts
from elec.study import Study
from tests.hostile.fuzz import KINDS, kind_of, mutant, trouble, trouble_of_shape
from tests.hostile.shapes import blinded, numbers, shape, silent_zeros, thrown
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
    "a contactor whose kind is a list": changed(("kind: contactor", "kind: []")),
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


@pytest.mark.parametrize("first", range(20000, 20200, BATCH))
def test_mutated_systems_are_refused_or_answered(first: int) -> None:
    for number in range(first, first + BATCH):
        said = trouble(mutant(number))
        assert said == "", f"{kind_of(number).__name__} {number}: {said}"


def test_each_kind_has_its_share() -> None:
    """Of any twenty numbers in a row."""
    for first in (0, 7, 20000):
        kinds = [kind_of(number) for number in range(first, first + 20)]
        assert all(kinds.count(kind) == share for kind, share in KINDS)


def test_the_same_number_is_the_same_system() -> None:
    assert [mutant(n) for n in range(10)] == [mutant(n) for n in range(10)]
    assert [shape(n) for n in range(5)] == [shape(n) for n in range(5)]


@pytest.mark.parametrize("first", range(1000, 1010, 5))
def test_valid_systems_of_any_shape_are_answered_and_the_unknown_is_never_zero(first: int) -> None:
    for number in range(first, first + 5):
        said = trouble_of_shape(number)
        assert said == "", f"shape {number}: {said}"


def test_systems_of_any_shape_differ_in_what_they_have() -> None:
    """Else a hundred of them were one."""
    data = [thrown(number) for number in range(100)]
    for section, least in (("feeders", 90), ("equipment", 80), ("switches", 40), ("wires", 20)):
        having = sum(section in one for one in data)
        assert having >= least, section
        assert section == "feeders" or having < 100
    assert len({len(one.get("sources", ())) for one in data}) >= 4
    taken = {blinded(n, one)[1].rpartition(".")[2] for n, one in enumerate(data)}
    assert taken >= {"draw", "length", "gauge", "resistance"}


def test_a_silent_zero_would_be_noticed() -> None:
    """A load that draws nothing in place of one that draws something: just what is looked for."""
    text = changed(("draw: 2 A, on: taxi..cruise", "draw: 0 A, on: taxi..cruise"))
    one, other = (
        read_texts({Path("finch.yaml"): each.encode()}).system for each in (changed(), text)
    )
    assert one is not None
    assert other is not None
    assert len(numbers(Study(one))) > 100
    assert silent_zeros(Study(one), Study(other))


@pytest.mark.parametrize("number", range(20000, 20030))
def test_the_command_ends_with_a_status_that_says_which(
    number: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """2 where the text was refused, with the mistakes; 1 where something fails; 0 otherwise."""
    content = mutant(number)
    file = tmp_path / "finch.yaml"
    file.write_bytes(content)
    refused = read_texts({file: content}).system is None
    status = main(["check", str(file)])
    out, err = capsys.readouterr()
    assert (status == 2) == refused
    assert status in (0, 1, 2)
    assert bool(out) != refused
    assert "Traceback" not in err
    if refused:
        assert err.startswith("finch.yaml:")
