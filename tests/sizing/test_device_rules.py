"""What one device holds, stays closed on and interrupts: each branch and bound of it."""

import pytest

from elec.sizing.coordination import hardest
from elec.sizing.devices import (
    ambient_factor,
    band_of,
    drop_limit_v,
    holding,
    holds_inrush,
    inrush,
    interrupts,
    peak_ratio,
    ultimate_trip,
)
from elec.sizing.own_class import OwnFamily, family_of
from elec.sizing.picking import circuit_devices
from elec.standards import NotCovered
from elec.study import Study
from elec.wiring.chains import chains
from tests.answers.helper import loads_of, small
from tests.sizing.test_small_rules import SLOW, device, own, start

SYSTEM = """\
system: {name: Rules, nominal: 14 V, ambient: 25 °C, conditions: [day]}
phases:
  taxi: {lasts: 10 min, engine: 1200 rpm}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  alternator: {kind: alternator, place: panel, setpoint: 14.2 V, output: {1000 rpm: 60 A}}
  battery: {kind: lead-acid, place: panel, capacity: 18 Ah}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders:
  - {name: cable, from: battery, to: main, limiter: {rating: 60 A, interrupts: 3 kA}}
  - {name: output, from: main, to: alternator, breaker: 60 A, far-end: {limiter: 80 A}}
  - {name: tie, from: battery, to: main, breaker: {rating: 30 A, interrupts: 700 A},
     far-end: {breaker: {rating: 20 A, interrupts: 900 A}}}
equipment:
  lamp: {place: panel, draw: 3 A, drop: 0.3 V}
  fan: {place: panel, draw: 0.5 A, inrush: {factor: 4, lasts: 50 ms}}
  flasher: {place: panel, peak: 2 A, duty: 25 %}
  spark: {place: panel, peak: 2 A, duty: 81 %}
  brief: {place: panel, peak: 2 A, duty: 25 %, intermittent: yes}
  mode: {place: panel,
    modes: {low: {draw: 1 A, on: taxi}, high: {peak: 4 A, duty: 4 %, on: cruise}}}
  unknown: {place: panel, inrush: {factor: 4, lasts: 50 ms}}
circuits:
  lamp: {bus: main, breaker: {rating: 5 A, class: mine}, feeds: lamp}
  fan: {bus: main, fuse: 2 A, feeds: fan}
  flasher: {bus: main, breaker: {rating: 5 A, class: other, compensated: yes}, feeds: flasher}
  spark: {bus: main, breaker: auto, feeds: spark}
  brief: {bus: main, fuse: {rating: 5 A, class: glass-6x32}, feeds: brief}
  mode: {bus: main, breaker: {rating: 5 A, class: mine, curve: {200 %: {holds: 5 s, opens: 9 s},
         115 %: {holds: always}}}, feeds: mode}
  unknown: {bus: main, breaker: 5 A, feeds: unknown}
device-classes:
  mine: {source: sheet 7, interrupts: 2500 A, recloses: yes, compensated: yes, curve: {200 %: {
    holds: 5 s, opens: 9 s}, 115 %: {holds: always}}}
  other: {name: The other, curve: {200 %: {holds: 5 s, opens: 9 s}}}
places: {panel: {ambient: 25 °C}, hot: {ambient: 65 °C}, usual: }
"""


@pytest.fixture(scope="module")
def study() -> Study:
    return small(SYSTEM)


# -- temperature ----------------------------------------------------------------------------------


def at(degc: float) -> Study:
    return small(loads_of({"lamp": "1 A"}).replace("panel: }", f"panel: {{ambient: {degc} °C}}}}"))


@pytest.mark.parametrize(
    ("kind", "family", "degc", "factor"),
    [
        # 0.3 % per kelvin from 25 °C; the end of the span (-55 and 121 °C) beyond it
        ("breaker", "thermal", 55, 0.91),
        ("breaker", "thermal", 130, 1 - 0.003 * 96),
        ("breaker", "thermal", -60, 1 + 0.003 * 80),
        ("limiter", "sf51", 65, 1.0),
        # sheet of a blade fuse, and MIL-PRF-23419/9 for every other fuse: rows of fuse_ambient
        ("fuse", "blade-c", 65, 0.85),
        ("fuse", "glass-10a", 60, 0.95),
        # beyond the tables: the default fuse-slope, 0.3 % per kelvin from 25 °C, and never above 1
        ("fuse", "blade-c", 135, 1 - 0.003 * 110),
        ("fuse", "blade-c", -55, 1.0),
        # the builder's class says that it does not move
        ("breaker", OwnFamily("own", SLOW.band, compensated=True), 65, 1.0),
        ("breaker", SLOW, 65, 0.88),
    ],
)
def test_the_factor_for_the_temperature_at_the_device(
    kind: str, family: str, degc: float, factor: float
) -> None:
    step = ambient_factor(at(degc), "panel", kind, family)  # type: ignore[arg-type]
    assert step.result.value == pytest.approx(factor, rel=1e-12)
    beyond = kind == "breaker" and not -55 <= degc <= 121
    assert bool(step.note) == beyond
    if beyond:
        assert f"at {degc:.0f} °C no factor is known" in step.note


def test_around_a_device_counts_its_place_then_the_usual_temperature(study: Study) -> None:
    """Default panel-ambient 55 °C: 9 % less; 65 °C where it is given."""
    found = [
        ambient_factor(study, place, "breaker", "thermal").result.value
        for place in ("panel", "hot", "usual", "")
    ]
    assert found == [1.0, pytest.approx(0.88), pytest.approx(0.91), pytest.approx(0.91)]


def test_compensation_is_the_part_s_or_its_class_s(study: Study) -> None:
    families = {name: one.family for name, one in circuit_devices(study).items()}
    steady = {n: f.compensated for n, f in families.items() if isinstance(f, OwnFamily)}
    assert steady == {"lamp": True, "flasher": True, "mode": True}
    recloses = {n: f.recloses for n, f in families.items() if isinstance(f, OwnFamily)}
    assert recloses == {"lamp": True, "flasher": False, "mode": True}
    limits = {n: f.interrupts_a for n, f in families.items() if isinstance(f, OwnFamily)}
    assert limits == {"lamp": 2500.0, "flasher": None, "mode": 2500.0}
    part = chains(study).by_name["flasher"].device
    assert part is not None
    held = ambient_factor(study, "hot", "breaker", "thermal", part.protection)
    assert held.result.value == 1.0


# -- the least rating -----------------------------------------------------------------------------


def test_the_least_rating_by_share_factor_and_peak(study: Study) -> None:
    """At 25 °C the factor is 1, and 80 % of a breaker may be used for long."""
    chain = chains(study).by_name["spark"]

    def least(load_a: float, peak_a: float | None, *, lasting: bool) -> float:
        steps = holding(study, chain, "breaker", "thermal", load_a, peak_a=peak_a, lasting=lasting)
        return steps[-1].result.value

    assert least(4.0, None, lasting=True) == pytest.approx(5.0)
    assert least(4.0, None, lasting=False) == pytest.approx(4.0)
    assert least(4.0, 4.5, lasting=True) == pytest.approx(5.0)
    assert least(4.0, 6.0, lasting=True) == pytest.approx(6.0)


def test_where_the_load_comes_from(study: Study) -> None:
    chain = chains(study).by_name["lamp"]
    for load_a, words in ((3.0, "current of lamp"), (3.1, "solved network, where its bus is")):
        steps = holding(study, chain, "breaker", "thermal", load_a, peak_a=None, lasting=True)
        assert any(words in term.origin for term in steps[-1].terms)
    cable = chains(study).by_name["cable"]
    steps = holding(study, cable, "limiter", "sf51", 9.0, peak_a=None, lasting=True)
    assert any("or the limit of the alternator" in term.origin for term in steps[-1].terms)


# -- inrush ---------------------------------------------------------------------------------------


def test_an_inrush_of_what_nobody_knows_is_none(study: Study) -> None:
    found = {n: inrush(study, chains(study).by_name[n]) for n in ("fan", "unknown", "lamp")}
    assert found == {"fan": (2.0, 0.05), "unknown": (None, None), "lamp": (None, None)}


def test_a_device_stays_closed_where_the_least_time_is_longer_and_not_where_it_is_equal() -> None:
    """SLOW bears 20 A on 10 A for 10 s; half of its rating left: 10 A."""
    for lasts, held in ((9.99, True), (10.0, False), (10.01, False)):
        for amps, warmth in ((20.0, 1.0), (20.0, 1.5), (10.0, 0.5)):
            assert holds_inrush("breaker", SLOW, 10.0, amps, lasts, warmth=warmth) == (held, 10.0)
    assert holds_inrush("breaker", "nobody's", 10.0, 20.0, 1.0, warmth=1.0) is None


def test_a_class_without_points_has_no_curve() -> None:
    with pytest.raises(NotCovered):
        band_of("breaker", own("empty"), 5.0)
    assert band_of("breaker", SLOW, 5.0) is SLOW.band


def test_beyond_its_window_only_the_earliest_time_can_be_told() -> None:
    """Least times to 4 × 10 A only: at 80 A 2.5 s · (4/8)²; a point that says none ends nothing."""
    late = own("late", (1.0, float("inf"), None), (2.0, 10.0, 40.0), (4.0, None, 5.0))
    assert start(80, 0.0, 80).opens_s(device(SLOW), 10.0) == pytest.approx(2.5 / 4)
    assert start(15, 0.0, 15).opens_s(device(late), 10.0) is not None
    assert start(30, 0.0, 30, turns_s=60.0).opens_s(device(late), 10.0) == pytest.approx(
        10 * (2 / 3) ** 2
    )


def test_from_which_multiple_on_it_must_open() -> None:
    band = own("u", (1.15, float("inf"), None), (1.38, None, 3600.0), (2.0, 10.0, 40.0))
    assert ultimate_trip(device(band)) == 1.38
    assert ultimate_trip(device(band, None)) is None
    assert ultimate_trip(device("nobody's")) is None


# -- drop -----------------------------------------------------------------------------------------


def test_the_drop_that_is_allowed_to_a_load(study: Study) -> None:
    """AC 43.13-1B table 11-6 at 14 V: 0.5 V for long, 1 V for a short time (seen).

    At its peak a load that pulses may lose its peak over its root mean square as much, at most what
    a short one may: 1 / √0.25 = 2, 1 / √0.81 = 1.11.
    """
    found = {n: drop_limit_v(study, n) for n in ("lamp", "fan", "flasher", "spark", "brief")}
    volts = {name: limit.volts for name, limit in found.items()}
    assert volts == {
        "lamp": 0.3, "fan": 0.5, "flasher": 1.0, "spark": pytest.approx(0.5 / 0.9), "brief": 1.0,
    }  # fmt: skip
    at_peak = {name for name, limit in found.items() if limit.at_peak}
    assert at_peak == {"flasher", "spark"}
    assert "at its peak" in found["spark"].origin
    assert "at its peak" not in found["brief"].origin


def test_the_ratio_is_that_of_the_mode_that_takes_most(study: Study) -> None:
    """4 A for 4 % of the time: 1 / √0.04 = 5, not the 1 of the mode without pulses."""
    assert peak_ratio(study, "mode") == pytest.approx(5)
    assert [peak_ratio(study, name) for name in ("lamp", "unknown", "nothing")] == [1.0] * 3


# -- what it interrupts ---------------------------------------------------------------------------


def test_what_a_device_interrupts_is_given_or_of_its_class(study: Study) -> None:
    """The part's own word, the class's, the published row: ISO 8820 blade 1000 A at 32 V (seen)."""
    devices = circuit_devices(study)
    cable = device("sf51", 60.0, chain="cable", kind="limiter")
    given = interrupts(study, cable)
    assert given is not None
    assert (given.current_a, given.greatest_v) == (3000.0, None)
    assert "small.yaml" in given.origin
    mine = interrupts(study, devices["lamp"])
    assert mine is not None
    assert (mine.current_a, mine.greatest_v) == (2500.0, None)
    assert "sheet 7" in mine.origin
    blade = interrupts(study, devices["fan"])
    assert blade is not None
    assert (blade.current_a, blade.greatest_v) == (1000.0, 32.0)
    assert blade.source
    spark = interrupts(study, devices["spark"])  # breaker-thermal, MIL-PRF-5809 (from memory)
    assert spark is not None
    assert (spark.current_a, spark.greatest_v) == (6000.0, 30.0)
    assert interrupts(study, devices["flasher"]) is None


def test_of_two_devices_of_a_feeder_each_has_its_own(study: Study) -> None:
    for far, amps in ((False, 700.0), (True, 900.0)):
        one = device("thermal", 30.0, chain="tie", at_far_end=far)
        found = interrupts(study, one)
        assert found is not None
        assert found.current_a == amps
    near = interrupts(study, device("thermal", 30.0, chain="cable", at_far_end=True))
    assert near is not None
    assert near.current_a == 3000.0  # there is no second one


# -- classes of the builder's ---------------------------------------------------------------------


def test_a_curve_is_read_from_small_to_great_and_named_for_where_it_stands(study: Study) -> None:
    families = {name: one.family for name, one in circuit_devices(study).items()}
    for name in ("lamp", "mode"):
        family = families[name]
        assert isinstance(family, OwnFamily)
        points = [(p.multiple, p.least_s, p.most_s) for p in family.band.points]
        assert points == [(1.15, float("inf"), None), (2.0, 5.0, 9.0)]
    lamp, other, mode = (families[n] for n in ("lamp", "flasher", "mode"))
    assert isinstance(lamp, OwnFamily)
    assert isinstance(other, OwnFamily)
    assert isinstance(mode, OwnFamily)
    assert lamp.band.cite.where.endswith(", sheet 7")
    assert (lamp.band.name, other.band.name, mode.band.name) == ("mine", "The other", "mine")
    assert "," not in other.band.cite.where
    assert mode.band.cite.where != lamp.band.cite.where
    plain = chains(study).by_name["spark"].device
    assert plain is not None
    assert plain.protection is not None
    assert family_of(study, plain.protection, "usual", ()) == "usual"


@pytest.mark.parametrize("more", ["interrupts_a", "compensated", "recloses"])
def test_classes_that_differ_in_one_figure_are_two(more: str) -> None:
    plain, other = OwnFamily("c", SLOW.band), OwnFamily("c", SLOW.band, **{more: 1})  # type: ignore[arg-type]
    assert plain != other
    assert hash(plain) != hash(other)
    assert plain == OwnFamily("c", SLOW.band)
    assert not plain != OwnFamily("c", SLOW.band)  # noqa: SIM202 - the other operator is asked
    assert plain != "c"
    assert plain.__getnewargs__() == ("c", SLOW.band)


# -- the hardest of several -----------------------------------------------------------------------


def test_the_hardest_is_the_first_of_equals_and_none_that_has_no_rating() -> None:
    first, second = device(rating_a=5.0, chain="a"), device(rating_a=5.0, chain="b")
    assert [one.chain for one in hardest([first, second])] == ["a"]
    for order in ((device(rating_a=None), device(rating_a=0.5)),
                  (device(rating_a=0.5), device(rating_a=None))):  # fmt: skip
        assert [one.rating_a for one in hardest(order)] == [0.5]
