"""The smallest change against single faults: held against every set gone through."""

from collections.abc import Sequence
from itertools import combinations
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec import cli
from elec.answers.failures.failure_list import Failure, Kind, failures, ground_lost
from elec.attempt.asked import Unclear
from elec.attempt.attempt import begun
from elec.attempt.faults import search as searching
from elec.attempt.faults.faults import SingleFault, counted, essential_loads, faults
from elec.attempt.faults.moves import IntoBundle, Move, edits_of, moves
from elec.attempt.faults.search import MOST_CHANGES, search
from elec.attempt.faults.smallest import Search, leads_nowhere, smallest
from elec.attempt.options.options import changed_by
from elec.attempt.plan import Edit
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.laid import laid

TWO_BUSES = """\
system: {name: Two buses, nominal: 14 V, return: airframe, electrically-dependent: no}
phases:
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  alternator: {kind: alternator, place: engine, setpoint: 14.2 V, rating: 40 A, sense: inside,
               output: {1000 rpm: 40 A}}
  battery: {kind: lead-acid, place: tail, capacity: 18 Ah}
buses:
  main: {place: panel}
  essential: {place: panel, essential: yes}
feeders:
  - {name: battery cable, from: battery, to: main, fuse: auto}
  - {name: output, from: main, to: alternator, fuse: auto}
  - {name: essential feed, from: main, to: essential, fuse: auto}
equipment:
  radio: {place: panel, draw: 2 A, essential: yes, basis: measured}
  display: {place: panel, draw: 3 A, essential: yes, basis: measured}
  lamp: {place: tail, draw: 2 A, basis: measured}
circuits:
  radio: {bus: essential, breaker: auto, feeds: radio}
  display: {bus: essential, breaker: auto, feeds: display}
  lamp: {bus: main, breaker: auto, feeds: lamp}
places: {engine: , panel: , tail: , side: }
ways:
  - {name: floor, between: [panel, tail], length: 8 ft}
  - {name: rail, between: [panel, side], length: 5 ft}
  - {name: stern, between: [side, tail], length: 6 ft}
  - {name: nose, between: [engine, panel], length: 3 ft}
"""
WIRED = TWO_BUSES.replace("airframe", "wired") + (
    "grounds:\n"
    "  block: {place: panel, kind: block}\n"
    "  stern: {place: tail, to: block}\n"
    "  side: {place: side, to: block}\n"
)
ENGINE = (
    TWO_BUSES.replace("electrically-dependent: no", "electrically-dependent: yes")
    .replace("essential: yes, basis: measured}\n  display", "role: engine, backup: display, "
             "basis: measured}\n  display")
    .replace("draw: 3 A, essential: yes", "draw: 3 A, role: engine")
)  # fmt: skip


def system(tmp_path: Path, text: str) -> Path:
    file = tmp_path / "small.yaml"
    file.write_text(text, encoding="utf-8")
    return file


def asked(file: Path) -> Search:
    return smallest(file, lambda *_: None)


def brute_force(file: Path, most: int) -> tuple[tuple[tuple[str, ...], ...], int]:
    """Every set of every size, each read, sized and traced for itself; the smallest that do."""
    edits = begun(file)
    found = edits.reading().system
    assert found is not None
    study = Study(found)
    every = moves(study, faults(study))
    for size in range(1, most + 1):
        done = []
        for chosen in combinations(range(len(every)), size):
            paths = [path for k in chosen for path in every[k].paths]
            if len(set(paths)) < len(paths):
                continue
            try:
                after, _ = changed_by(edits, edits_of(study, [every[k] for k in chosen]))
            except Unclear:
                continue
            if leads_nowhere(study, after):
                continue
            if not faults(after):
                done.append(tuple(every[k].title for k in chosen))
        if done:
            return tuple(done), size
    return (), 0


def test_a_single_feeder_is_found_and_a_second_feed_cures_it(tmp_path: Path) -> None:
    file = system(tmp_path, TWO_BUSES)
    found = asked(file)
    assert {one.failure.kind for one in found.now} == {"device", "feeder", "bus"}
    assert {one.bus for one in found.now} == {"essential"}
    assert [one.titles for one in found.found] == [("a second feed of essential from battery",)]
    assert "used: emergency" in found.found[0].diff
    assert file.read_text(encoding="utf-8") == TWO_BUSES


def test_grams_and_feet_are_those_of_the_new_wire(tmp_path: Path) -> None:
    """By hand: one wire more along the floor, with what elec adds for ends and corners."""
    file = system(tmp_path, TWO_BUSES)
    one = asked(file).found[0]
    floor_m = 8 * 0.3048
    assert one.more_m is not None
    assert floor_m < one.more_m < 1.5 * floor_m  # its way, and stubs and slack on top
    assert 0.005 < one.more_kg < 0.5  # AWG 20 weighs 18 g on it, AWG 6 400 g


@pytest.mark.parametrize("text", [TWO_BUSES, WIRED, ENGINE], ids=["airframe", "wired", "engine"])
def test_the_search_finds_what_going_through_all_sets_finds(text: str, tmp_path: Path) -> None:
    file = system(tmp_path, text)
    found = asked(file)
    expected, size = brute_force(file, 2)
    sets = tuple(tuple(found.moves[k].title for k in chosen) for chosen in found.result.sets)
    if expected:
        assert sorted(sets) == sorted(expected)
        assert found.result.changes == size
    else:
        assert all(len(one) > 2 for one in sets)
    assert found.result.whole


def test_nothing_to_do_where_no_single_fault_does(tmp_path: Path) -> None:
    again = "  - {from: battery, to: essential, fuse: auto, switch: second, used: emergency}\n"
    text = TWO_BUSES.replace("equipment:\n", again + "equipment:\n")
    found = asked(system(tmp_path, text))
    assert found.now == ()
    assert found.result.tried == 0
    assert found.found == ()


def test_one_load_of_several_is_not_the_bus(tmp_path: Path) -> None:
    file = system(tmp_path, TWO_BUSES)
    study = asked(file).study
    assert essential_loads(study) == {"essential": ("radio", "display")}
    assert not [one for one in faults(study) if len(one.loads) < 2]


def test_a_ground_with_a_source_is_lost_with_all_that_hangs_on_it(tmp_path: Path) -> None:
    text = WIRED.replace("capacity: 18 Ah}", "capacity: 18 Ah, ground: stern}")
    study = asked(system(tmp_path, text)).study
    ids = [one.id for one in counted(study)]
    assert "ground-lost:stern" in ids
    assert "ground-lost:side" not in ids
    lost = ground_lost(study, "stern")
    loose = next(one for one in failures(study) if one.id == "ground:stern")
    assert loose.opens < lost.opens
    assert any(c.id in lost.opens for c in chains(study).by_name["battery-negative"].conductors())


def test_the_bound_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("elec.attempt.faults.smallest.WORK", 0)
    monkeypatch.setattr("elec.attempt.faults.smallest.LEAST_TRIED", 2)
    found = asked(system(tmp_path, WIRED))
    assert found.result.tried == 2
    assert not found.result.whole


@pytest.mark.parametrize("sizes", [(1, 2), (2, 3)])
def test_sets_that_cannot_cure_are_left_out_and_no_other(sizes: tuple[int, int]) -> None:
    """Two faults of two kinds; the third change helps only together with the fourth."""
    least, _ = sizes
    kinds: tuple[Kind, ...] = ("source", "ground")
    now = [
        SingleFault(
            failure=Failure(id=k, kind=k, about=k, title=k, path=(k,)), bus="b", loads=("x",)
        )
        for k in kinds
    ]
    every = [Move(title=str(k), kind=("feed", "feed", "ground", "ground")[k], edits=())
             for k in range(4)]  # fmt: skip

    def left(chosen: Sequence[int]) -> tuple[SingleFault, ...]:
        rest = []
        if 0 not in chosen:
            rest.append(now[0])
        if not ({2, 3} <= set(chosen) or (least == 1 and 2 in chosen)):
            rest.append(now[1])
        return tuple(rest)

    found = search(every, now, left, 1000, lambda _: None)
    expected = ((0, 2),) if least == 1 else ((0, 2, 3),)
    assert found.sets == expected
    assert found.changes == len(expected[0]) <= MOST_CHANGES == searching.MOST_CHANGES
    assert replace(found, sets=()).best_left == ()


def test_it_prints_what_was_searched_and_approves_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = system(tmp_path, TWO_BUSES)
    said = []
    for _ in range(2):
        assert cli.main(["options", str(file), "--single-faults"]) == 0
        said.append(" ".join(capsys.readouterr().out.split()))
    assert said[0] == said[1]
    assert "One change is enough by this search" in said[0]
    assert "approves nothing and proves nothing beyond them" in said[0]
    assert "ft" in said[0]
    assert " m)" in said[0]
    assert "sets of them were tried" in said[0]


def fault(k: int) -> SingleFault:
    name = f"ground:{k}"
    failure = Failure(id=name, kind="ground", about=name, title=name, path=(name,))
    return SingleFault(failure=failure, bus="b", loads=("x",))


@pytest.mark.parametrize("most", [1000, 12])
def test_changes_that_each_cure_some_faults_are_put_together(most: int) -> None:
    """Five faults; nine changes cure one each, and one more cures two but brings a new one."""
    now = [fault(k) for k in range(5)]
    every = [Move(title=str(k), kind="ground", edits=()) for k in range(10)]

    def left(chosen: Sequence[int]) -> tuple[SingleFault, ...]:
        cured = {k % 5 for k in chosen if k < 9} | ({0, 1} if 9 in chosen else set())
        new = (fault(9),) if 9 in chosen else ()
        return (*(one for k, one in enumerate(now) if k not in cured), *new)

    found = search(every, now, left, most, lambda _: None)
    assert found.sets
    assert {len(one) for one in found.sets} == {5}
    assert all({k % 5 for k in one} == {0, 1, 2, 3, 4} and 9 not in one for one in found.sets)
    assert found.whole is (most == 1000)
    assert len(found.sets) == searching.MOST_COVERS
    assert found.best_left == ()


def test_two_changes_of_the_same_line_are_not_put_together() -> None:
    """Each of two faults is cured by another gauge of the same wire: nothing does both."""
    now = [fault(0), fault(1)]
    edit = Edit(path=("grounds", "g", "to"), value="x")
    every = [Move(title=str(k), kind="ground", edits=(edit,)) for k in range(2)]
    found = search(every, now, lambda c: tuple(now[k] for k in (0, 1) if k not in c), 99,
                   lambda _: None)  # fmt: skip
    assert found.sets == ()
    assert found.tried == 2


BLOCKS = WIRED.replace(
    "  side: {place: side, to: block}\n",
    "  side: {place: side, kind: block, to: block}\n",
).replace("draw: 2 A, essential", "ground: side, draw: 2 A, essential").replace(
    "draw: 3 A, essential", "ground: side, draw: 3 A, essential"
)  # fmt: skip


def test_a_block_gets_a_second_wire(tmp_path: Path) -> None:
    """Both essential loads return to one block: loose, it takes the bus; with two wires not."""
    file = system(tmp_path, BLOCKS)
    edits = begun(file)
    found = edits.reading().system
    assert found is not None
    study = Study(found)
    now = faults(study)
    assert "ground:side essential" in [one.id for one in now]
    every = moves(study, now)
    seconds = [move for move in every if move.kind == "second"]
    assert "a second wire of side to block" in [move.title for move in seconds]
    for move in seconds:
        after, diff = changed_by(edits, edits_of(study, [move]))
        assert "second" in diff
        assert "ground:side essential" not in [one.id for one in faults(after)]
        assert not [one for one in faults(after) if one.id not in {was.id for was in now}]


def test_second_wires_lie_in_another_bundle_and_several_in_the_bundles_of_one_way(
    tmp_path: Path,
) -> None:
    text = (
        BLOCKS.replace("length: 5 ft}", "length: 5 ft, bundled: {left: [side], right: rest}}")
        .replace(
            "  side: {place: side,",
            "  other: {place: side, kind: block, to: block}\n  side: {place: side,",
        )
        .replace("ground: side, draw: 3 A", "ground: other, draw: 3 A")
    )
    file = system(tmp_path, text)
    found = begun(file).reading().system
    assert found is not None
    study = Study(found)
    one, two = (
        Move(title=name, kind="second", edits=(),
             laid=(IntoBundle(way=1, name=f"{name}-second", bundle=bundle),))
        for name, bundle in (("side", "right"), ("other", "left"))
    )  # fmt: skip
    (edit,) = edits_of(study, [one, two])
    assert edit.path == ("ways", 1, "bundled")
    assert edit.value == {"left": ["side", "other-second"], "right": "rest"}


def test_a_second_wire_lies_in_another_bundle_than_the_first(tmp_path: Path) -> None:
    text = BLOCKS.replace("length: 5 ft}", "length: 5 ft, bundled: {left: [side], right: rest}}")
    study = asked(system(tmp_path, text)).study
    title = "a second wire of side to block, in bundle right of rail"
    (beside,) = [move for move in moves(study, faults(study)) if move.title == title]
    assert beside.laid == (IntoBundle(way=1, name="side-second", bundle="right"),)
    after, _ = changed_by(begun(tmp_path / "small.yaml"), edits_of(study, [beside]))
    assert laid(after)[1].of["side-second"] == "right"


def test_a_wire_that_no_way_leads_to_is_no_change(tmp_path: Path) -> None:
    """Round the floor there is a way; without the side nothing joins panel and tail."""
    text = TWO_BUSES.replace("  - {name: stern, between: [side, tail], length: 6 ft}\n", "")
    line = (
        "  - {from: battery, to: essential, fuse: auto, switch: s, used: emergency, avoid: floor}\n"
    )
    studies = []
    for whole in (TWO_BUSES, text):
        for added in ("", line):
            file = system(tmp_path, whole.replace("equipment:\n", added + "equipment:\n"))
            found = begun(file).reading().system
            assert found is not None
            studies.append(Study(found))
    assert not leads_nowhere(studies[0], studies[1])
    assert leads_nowhere(studies[2], studies[3])
    assert not leads_nowhere(studies[3], studies[3])
