"""What would do where a change does not fit: each variant is really tried."""

from pathlib import Path

import pytest

from elec.attempt.asked import AskedChange
from elec.attempt.attempt import attempt
from elec.attempt.ways_out import WayOut, failing_things, stuck_circuits, ways_out
from elec.read.edit import Value
from elec.sizing.choices import choices
from tests.attempt.test_attempt import small

AUX = {
    "  main: {place: panel, warning: 13 V}": (
        "  main: {place: panel, warning: 13 V}\n  aux: {place: panel}"
    ),
    "  - {from: main, to: alternator, fuse: auto, gauge: AWG 6}": (
        "  - {from: main, to: alternator, fuse: auto, gauge: AWG 6}\n"
        "  - {name: aux feed, from: main, to: aux, breaker: 5 A, gauge: AWG 20}"
    ),
    "  beacon: {bus: main,": "  beacon: {bus: aux,",
    # thick enough for the larger limiter that a larger device behind it asks for
    "contactor: master, gauge: AWG 6": "contactor: master, gauge: AWG 4",
}


def tried(path: Path, asked: list[AskedChange]) -> dict[str, WayOut]:
    found = attempt(path, asked)
    assert found.fails
    return {way.title: way for way in ways_out(path, asked, found)}


def test_a_given_size_that_fails_is_left_to_elec_and_the_command_does_that(tmp_path: Path) -> None:
    given = {"beacon: {bus: main, breaker: auto": "beacon: {bus: main, breaker: 2 A"}
    path = small(tmp_path, **given, **{", peak: 30 W": ""})  # a peak is never below the draw
    asked = [AskedChange(kind="change", name="beacon", keys={"draw": "36 W"})]
    way = tried(path, asked)["With the sizes of beacon chosen anew"]
    assert way.command == "--set circuits.beacon.breaker=auto"
    # 36 W at 12 V are 3.0 A; over 80 % and 0.91 for the warmth 4.1 A: 5 A is the next rating
    assert way.chosen[0].startswith("beacon 5 A breaker, AWG ")
    assert way.fails == ()
    as_said = AskedChange(kind="set", name="circuits.beacon.breaker", keys={}, value="auto")
    assert not attempt(path, [*asked, as_said]).fails


def test_another_bus_and_the_sizes_of_the_feeder(tmp_path: Path) -> None:
    path = small(tmp_path, **AUX)
    keys: dict[str, Value] = {"place": "panel", "draw": "6 A", "bus": "aux", "shed": "at once"}
    ways = tried(path, [AskedChange(kind="add", name="heater", keys=keys)])
    assert ways["On main"].fails == ()
    assert ways["On main"].command == "--bus main"
    sizes = ways["With the sizes of aux feed chosen anew"]
    assert sizes.command == "--set feeders.3.breaker=auto --set feeders.3.gauge="
    (size,) = sizes.chosen
    name, rating = size.removesuffix(size[size.index(" A breaker") :]).rsplit(" ", 1)
    # 6 A and the beacon's 1 A, over 80 % and 0.91 for the warmth: 9.6 A or more
    assert name == "aux feed"
    assert float(rating) >= 10


def test_what_is_no_better_is_not_told_and_the_best_comes_first(tmp_path: Path) -> None:
    keys: dict[str, Value] = {"place": "belly", "draw": "25 A"}
    asked = [AskedChange(kind="add", name="heater", keys=keys)]
    path = small(tmp_path)
    found = attempt(path, asked)
    ways = ways_out(path, asked, found)
    counts = [failing_things(way.changes) for way in ways]
    assert counts == sorted(counts)
    assert all(count < failing_things(found.changes) for count in counts)
    shed = next(way for way in ways if way.command == '--shed "at once"')
    assert "battery-endurance" not in shed.fails
    assert "alternator-margin" in shed.fails, "shedding does not make the alternator greater"


@pytest.mark.parametrize(
    ("keys", "stuck", "way"),
    [
        ({"draw": "150 A"}, "no standard breaker of class thermal holds", ""),
        ({"draw": "20 A", "length": "500 ft"}, "no gauge passes: voltage drop", "Shorten the run"),
        ({"draw": "3 A"}, "", ""),
    ],
)
def test_where_nothing_that_is_made_passes_what_was_tried_is_told(
    tmp_path: Path, keys: dict[str, Value], stuck: str, way: str
) -> None:
    asked = [AskedChange(kind="add", name="heater", keys={"place": "belly", **keys})]
    found = attempt(small(tmp_path), asked)
    ways = stuck_circuits(found)
    assert [one.chain for one in ways] == (["heater"] if stuck else [])
    assert choices(found.after)["heater"].stuck.startswith(stuck)
    if stuck:
        assert ways[0].tried > 0
        assert any(one.text.startswith(way) for one in ways[0].ways) is bool(way)


def test_an_essential_load_is_not_proposed_to_be_shed(tmp_path: Path) -> None:
    keys: dict[str, Value] = {"place": "belly", "draw": "25 A", "essential": "yes"}
    asked = [AskedChange(kind="add", name="heater", keys=keys)]
    found = attempt(small(tmp_path), asked)
    assert not [w for w in ways_out(tmp_path / "tern.yaml", asked, found) if "shed" in w.title]
