"""Shorts with every source feeding, against sums by hand."""

import math

import pytest

from elec.answers.short import shorts as traced_in
from elec.answers.short.bare import bare
from elec.answers.short.shorts import shorts
from elec.cli import main as command
from elec.pages.failures.shorts import shorts_table
from elec.sizing.sizing import sizing
from elec.study import Study
from tests.answers.helper import NAMES, small, whole

ONE = """\
system: {{name: One, nominal: 14 V, ambient: 25 °C, conditions: [day], return: airframe}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources:
  first: {{kind: lead-acid, place: panel, capacity: 18 Ah, resistance: 50 mΩ}}
{more}
buses: {{main: {{place: panel, essential: yes}}}}
grounds: {{block: {{place: panel}}}}
feeders:
  - {{name: feed, from: first, to: main, fuse: {{rating: 30 A, resistance: 100 mΩ}}, gauge: AWG 4}}
{feeders}
equipment: {{radio: {{place: panel, draw: 1 A, on: always, essential: yes}}}}
circuits:
  radio: {{bus: main, breaker: {{rating: 5 A, resistance: 50 mΩ}}, feeds: radio, gauge: AWG 20}}
places: {{panel: {{ambient: 25 °C}}}}
"""


def _one(more: str = "", feeders: str = "") -> Study:
    return small(ONE.format(more=more, feeders=feeders))


def test_current_and_times_by_hand() -> None:
    study = _one()
    bus = shorts(study).by_name["bus main"].shorts[0].normal
    # 12.8 to 13.1 V of a full battery over 50 mΩ, 100 mΩ, 1 mΩ of the short, and 1 to 4 mΩ of
    # 2 × 20 in of AWG 4 (0.8 mΩ/m) with its terminals
    assert 12.8 / 0.156 < bus.drives_a < 13.1 / 0.151
    # blade-c: 0.25 s at 3.5 ×, 0.5 s... straight on log-log paper from (2, 5 s) to (3.5, 0.25 s)
    times = bus.drives_a / 30
    slope = math.log(0.25 / 5) / math.log(3.5 / 2)
    expected = 5 * (times / 2) ** slope
    assert [one.device for one in bus.opened] == ["feed"]
    assert bus.opened[0].at_s == pytest.approx(expected, rel=1e-6)  # the same law, written anew
    assert bus.left_a == 0.0


def test_so_few_shorts_traced_at_a_time_make_no_difference(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    study = whole("foxglove")
    monkeypatch.setattr(traced_in, "MOST_TRACED", 7)
    assert shorts(Study(study.system)) == shorts(study)


def test_the_branch_opens_before_the_feeder_and_takes_nothing_else() -> None:
    study = _one()
    radio = shorts(study).by_name["radio"]
    course = radio.shorts[-1].normal
    assert [one.device for one in course.opened] == ["radio"]
    assert radio.beyond == ()
    assert course.heated["radio/1"][0] < course.heated["radio/1"][1]


def test_beyond_its_curve_a_device_needs_the_same_heat() -> None:
    course = shorts(_one()).by_name["radio"].shorts[0].normal
    # thermal class: 1.3 s at 10 ×; from there on I²t stays
    amps = course.opened[0].amps
    assert amps > 50
    assert course.opened[0].at_s == pytest.approx(1.3 * (50 / amps) ** 2, rel=1e-6)


SECOND = "  second: {kind: lead-acid, place: panel, capacity: 18 Ah, resistance: 50 mΩ}"


def test_a_second_battery_feeds_from_the_other_end_until_a_device_stands_there() -> None:
    tie = "  - {{name: tie, from: second, to: main, fuse: 10 A, gauge: AWG 14{far}}}"
    open_end = shorts(_one(SECOND, tie.format(far=""))).by_name["tie"]
    far = next(short for short in open_end.shorts if short.at == "far end").normal
    assert {one.device for one in far.opened} == {"tie", "feed"}
    assert open_end.beyond == ("radio",)
    both = shorts(_one(SECOND, tie.format(far=", far-end: {fuse: 10 A}"))).by_name["tie"]
    near = next(short for short in both.shorts if short.at == "beginning").normal
    assert {one.device for one in near.opened} == {"tie", "tie far end"}
    assert both.beyond == ()


def test_a_limiter_at_the_wrong_end_of_a_battery_cable_clears_nothing() -> None:
    bad = "  - {name: link, from: main, to: second, breaker: 30 A, gauge: AWG 8}"
    course = next(
        short for short in shorts(_one(SECOND, bad)).by_name["link"].shorts
        if short.at == "far end"
    ).normal  # fmt: skip
    assert course.left_from == ("second",)
    assert math.isinf(course.cleared_s)


def test_what_may_go_bare() -> None:
    long_ = (
        "  - {name: bars, from: second, to: main, unprotected: short, length: 3 ft, gauge: AWG 8}"
    )
    assert bare(_one(SECOND, long_))["bars"].kind == ""
    stub = long_.replace("3 ft", "4 in")
    found = bare(_one(SECOND, stub))["bars"]
    assert (found.kind, found.unknown) == ("stub", "")


@pytest.mark.parametrize("name", NAMES)
def test_the_systems_lose_no_bus_by_one_wire(name: str) -> None:
    study = whole(name)
    for shorted in shorts(study).by_name.values():
        if shorted.name not in bare(study):
            assert shorted.beyond == (), shorted.name
    table = shorts_table(study)
    assert len({row[0] for row in table.rows}) > 10
    assert {one.device for s in shorts(study).by_name.values() for short in s.shorts
            for one in short.normal.opened} <= set(sizing(study).devices)  # fmt: skip


def test_the_command_prints_them(capsys: pytest.CaptureFixture[str]) -> None:
    assert command(["failures", "systems/thistledown", "--shorts"]) == 0
    out = capsys.readouterr().out
    assert "What a short does" in out
    assert "None in a wire takes an essential load" in out
    assert command(["failures", "systems/thistledown", "--shorts", "--phase", "soaring"]) == 2
