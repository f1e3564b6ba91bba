"""A hand that changes over: when it is advised, what it moves, and what a check says of waiting."""

from functools import cache

from elec.answers.failures.changing_over import drawing_on, hands
from elec.answers.failures.failure_reach import halted
from elec.answers.failures.failures import Effect, effects, flight_phases, worst_effects
from elec.pages.failures.page import failures_lead
from elec.pages.failures.table import failure_tables
from elec.study import Study
from tests.answers.helper import NAMES, small, whole

TEXT = """\
system: {name: Coil, nominal: 14 V, conditions: [day], return: wired, electrically-dependent: yes}
phases:
  taxi: {lasts: 10 min, engine: 1200 rpm}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  battery: {kind: lead-acid, place: nose, capacity: 18 Ah, rate: 1 h, resistance: 10 mΩ,
            ground: post, coldest: 25 °C}
  alternator: {kind: alternator, place: nose, setpoint: 14.2 V, rating: 40 A, ground: post,
               output: {1000 rpm: 8 A, 2400 rpm: 40 A}}
buses:
  main: {place: nose}
  essential: {place: panel, essential: yes}
grounds:
  post: {place: nose}
feeders:
  - {name: battery feed, from: battery, to: main, contactor: master, used: normal, gauge: AWG 6,
     unprotected: test}
  - {name: output, from: main, to: alternator, limiter: 60 A, gauge: AWG 6}
  - {name: usual feed, from: main, to: essential, breaker: 15 A, diode: schottky, switch: tie,
     used: normal, gauge: AWG 12}
  - {name: spare feed, from: battery, to: essential, breaker: 15 A, switch: spare, used: emergency,
     gauge: AWG 12}
switches:
  master: {kind: contactor, place: nose, coil: {draw: 0.8 A, switch: master-switch}}
  master-switch: {name: MASTER, place: panel}
  spare: {name: SPARE, place: panel}
  tie: {name: TIE, place: panel}
equipment:
  lamp: {place: nose, draw: 2 A, shed: at once}
  pump: {place: panel, draw: 5 A, role: engine, minimum: 10 V}
circuits:
  lamp: {bus: main, breaker: 5 A, feeds: lamp, gauge: AWG 18}
  pump: {bus: essential, breaker: 10 A, feeds: pump, gauge: AWG 16}
places: {nose: {}, panel: {reach: yes}}
ways:
  - {between: [nose, panel], length: 1 m}
"""
PARTED = ("switch:master", "coil:master", "feeder:battery feed")


@cache
def _study() -> Study:
    return small(TEXT)


def _worst(name: str, study: Study | None = None) -> Effect:
    return next(e for e in worst_effects(study or _study()) if e.failure.id == name)


def test_a_battery_cut_off_lasts_longer_left_alone() -> None:
    """Its coil draws 0.8 A: 18 Ah, 80 % of it as aged, hold some 18 h; on the spare feed 2 h."""
    open_ = _worst("switch:master")
    assert not open_.changed_over
    assert open_.holds_min is not None
    assert open_.holds_min > 600
    over = next(e for e in effects(_study(), "cruise") if e.failure.id == "source:alternator")
    assert over.changed_over
    assert over.holds_min is not None
    assert over.holds_min < 200


def test_what_parts_the_battery_says_the_same_but_for_its_coil() -> None:
    found = [_worst(name) for name in PARTED]
    assert [one.drained for one in found] == [("battery",), (), ()]
    assert [one.holds_min is None for one in found] == [False, True, True]
    assert {one.changed_over for one in found} == {False}
    table = failure_tables(_study())[0]
    remark = [column.key for column in table.columns].index("remark")
    said = {row[0].text or row[0].value: row[remark] for row in table.rows}  # type: ignore[union-attr]
    assert said["contactor master open"] == "battery discharges; the coil of master draws on"
    assert "draws on" not in str(said["coil of master open, or a wire of it"])


def test_without_a_coil_three_ways_to_part_it_are_one() -> None:
    plain = small(TEXT.replace(", coil: {draw: 0.8 A, switch: master-switch}", ""))
    first, second = (_worst(name, plain) for name in ("switch:master", "feeder:battery feed"))
    assert (first.drained, first.holds_min) == (second.drained, second.holds_min) == ((), None)
    assert first.changed_over is second.changed_over is False


def test_nobody_is_told_to_change_over_to_something_worse() -> None:
    """Neither more essential loads gone, nor a battery that is empty sooner."""
    for name in NAMES:
        study = whole(name)
        for phase in flight_phases(study):
            for one in effects(study, phase):
                if one.changed_over:
                    assert len(one.taken) <= len(one.at_once), one.failure.id


def test_what_the_engine_waits_for() -> None:
    feed = _worst("feeder:usual feed")
    assert feed.taken == ()
    assert feed.at_once == ("pump",)
    assert halted(_study(), feed) == ("pump",)
    assert hands(_study()).words == "closes SPARE and opens MASTER and TIE"
    assert feed.changed_in == ("taxi", "cruise")
    text = " ".join(failures_lead(_study()))
    assert "stop the engine until the pilot closes SPARE and opens MASTER and TIE" in text


def test_an_engine_that_does_not_need_electricity_waits_for_nothing() -> None:
    study = small(TEXT.replace("electrically-dependent: yes", "electrically-dependent: no"))
    assert halted(study, _worst("feeder:usual feed", study)) == ()
    assert "stop the engine" not in " ".join(failures_lead(study))


def test_a_feeder_without_a_switch_is_named() -> None:
    study = small(TEXT.replace(" switch: spare,", ""))
    assert hands(study).unsaid == ("battery to essential",)


def test_a_coil_draws_on_only_while_it_is_fed() -> None:
    by_id = {e.failure.id: e for e in worst_effects(_study())}
    drawing = {n: drawing_on(_study(), by_id[n].failure, by_id[n].lost) for n in PARTED}
    assert drawing == {"switch:master": ("master",), "coil:master": (), "feeder:battery feed": ()}
