"""Rules of sizing, most without a system: opening times, two in series, links, the chart."""

import math
import re

import pytest

from elec.sizing.chart import chart_allows, chart_awg, chart_most_a
from elec.sizing.coordination import compared, hardest
from elec.sizing.devices import (
    Device,
    StartCurrent,
    curve_is_assumed,
    longest_s,
    none_listed,
    ratings_of,
    share,
)
from elec.sizing.links import gauge_number, thinner
from elec.sizing.own_class import OwnFamily
from elec.sizing.sizing import sizing
from elec.standards import AWGS, Cite, CurveBand
from elec.standards.device import BandPoint
from elec.working import Term, computed
from tests.answers.helper import loads_of, small

MINE = Cite("builder", "here", "seen")


def own(name: str, *points: tuple[float, float | None, float | None]) -> OwnFamily:
    """A class of (multiple, least s, most s)."""
    made = tuple(BandPoint(multiple=m, least_s=least, most_s=most) for m, least, most in points)
    return OwnFamily(name, CurveBand(name=name, points=made, cite=MINE))


SLOW = own("slow", (1.0, math.inf, None), (2.0, 10.0, 40.0), (4.0, 2.5, 10.0))


def device(family: str = SLOW, rating_a: float | None = 10.0, **more: object) -> Device:
    said = {"chain": "x", "kind": "breaker", "chosen": True, "load_a": 4.0, "needed_a": 5.0}
    return Device(family=family, rating_a=rating_a, **{**said, **more})  # type: ignore[arg-type]


# -- one device -----------------------------------------------------------------------------------


def test_what_a_device_is_called_and_how_much_of_it_is_used() -> None:
    assert [device(rating_a=r).label for r in (7.5, None)] == ["7.5 A breaker", "? A breaker"]
    link = device(rating_a=None, kind="link", link_awg="22")
    assert link.label == "AWG 22 link"
    assert device(rating_a=5.0, kind="link", link_awg="22").label == "5 A link"
    assert (device().share, device().warmth) == (None, 1.0)
    assert device().holds_inrush(10.0) is None
    assert [device().holds_load(r) for r in (4.9, 5.0, 7.5)] == [False, True, True]


def test_the_longest_time_is_that_of_the_rating_asked_for() -> None:
    assert longest_s(device(), 10.0, 20.0) == 40.0
    assert longest_s(device(), 5.0, 20.0) == 10.0
    assert longest_s(device(), 10.0, 19.0) == math.inf
    assert longest_s(device(own("none", (1.0, math.inf, None))), 10.0, 50.0) is None
    assert longest_s(device(own("empty")), 10.0, 50.0) is None
    assert longest_s(device("nobody's"), 10.0, 50.0) is None


def test_a_curve_of_the_builder_is_not_assumed_and_one_from_memory_is() -> None:
    assert not curve_is_assumed(device())
    assert not curve_is_assumed(device("nobody's"))
    guess = OwnFamily("guess", CurveBand(name="g", points=SLOW.band.points,
                                         cite=Cite("trade", "x", "memory")))  # fmt: skip
    assert curve_is_assumed(device(guess))


def test_ratings_and_what_is_said_where_none_holds() -> None:
    assert ratings_of("fuse", SLOW) == ratings_of("fuse", "blade-c") != ()
    assert ratings_of("breaker", "thermal") == ratings_of("breaker", SLOW) != ()
    assert ratings_of("fuse", "nobody's") == ()
    greatest = max(ratings_of("breaker", "thermal"))
    assert none_listed("breaker", "thermal", 333.04) == (
        f"no standard breaker of class thermal holds 333.0 A; the largest listed is {greatest:g} A"
    )
    assert none_listed("fuse", "nobody's", 1.0).startswith("no ratings of a fuse of class nobody's")


# -- while the starter turns ----------------------------------------------------------------------


def start(first_a: float, first_s: float, turning_a: float, turns_s: float = 5.0) -> StartCurrent:
    return StartCurrent(first_a=first_a, first_s=first_s, turning_a=turning_a, turns_s=turns_s)


def test_the_first_turn_uses_up_its_part_of_what_the_device_bears() -> None:
    """At 4 × 10 A it bears 2.5 s, at 2 × 10 A 10 s: after 1 s of the first three fifths of 10 s."""
    assert start(40, 1.0, 20).opens_s(device(), 10.0) == pytest.approx(1.0 + 0.6 * 10)
    assert start(40, 2.5, 20).opens_s(device(), 10.0) == 2.5
    assert start(40, 3.0, 20).opens_s(device(), 10.0) == 2.5
    assert start(40, 1.0, 10).opens_s(device(), 10.0) == math.inf
    assert start(10, 1.0, 20).opens_s(device(), 10.0) == pytest.approx(1.0 + 10)
    assert start(20, 0.0, 20).opens_s(device(), 10.0) == pytest.approx(10)


def test_without_a_curve_only_what_is_below_the_rating_is_sure() -> None:
    bare = device("nobody's")
    assert start(10, 1.0, 10).opens_s(bare, 10.0) == math.inf
    assert start(10.1, 1.0, 10).opens_s(bare, 10.0) is None
    assert start(10, 1.0, 10.1).opens_s(bare, 10.0) is None


def test_warm_it_bears_less_and_cold_no_more_than_its_rating() -> None:
    """A factor of 0.5: 10 A are 2 × what is left of it, and open as 20 A do at 25 °C."""
    for factor, opens_s in ((0.5, 10.0), (1.0, math.inf), (1.2, math.inf)):
        terms = (Term("f", factor, "", "factor", "here"),)
        one = device(steps=(computed("In", "A", "rating", "5 / f", terms, source="here"),))
        assert one.warmth == factor
        assert start(10, 0.0, 10).opens_s(one, 10.0) == opens_s
        assert one.share == pytest.approx(0.4 / factor)
    assert start(11, 0.0, 11).opens_s(one, 10.0) != math.inf


# -- two in series --------------------------------------------------------------------------------


def rated(family: OwnFamily, rating_a: float) -> tuple[str, OwnFamily, float]:
    return "breaker", family, rating_a


def test_the_largest_of_each_kind_and_family_is_the_hardest() -> None:
    quick = own("quick", (1.0, math.inf, None), (2.0, 0.1, 1.0))
    devices = [device(rating_a=r) for r in (5.0, 10.0, 7.5, None)] + [device(quick, 2.0)]
    assert [(d.family, d.rating_a) for d in hardest(devices)] == [(SLOW, 10.0), (quick, 2.0)]
    assert hardest([]) == []


def test_up_to_which_current_the_lower_one_surely_opens_first() -> None:
    quick = own("quick", (1.0, math.inf, None), (2.0, 0.1, 1.0), (8.0, 0.1, 1.0))
    # ten times as large: nothing that the lower one is told for comes near what the upper one has
    assert compared(rated(SLOW, 100), rated(quick, 10), 500.0) == (80.0, 80.0)
    assert compared(rated(SLOW, 100), rated(quick, 10), 50.0) == (50.0, 50.0)
    # the upper one may open in 10 s at 2 × 10 A, the lower one takes up to 40 s there: never sure
    assert compared(rated(SLOW, 10), rated(SLOW, 10), 40.0) == (10, 40.0)
    # half of the current only flows through the upper one: it is as one of 20 A
    assert compared(rated(SLOW, 10), rated(quick, 10), 60.0, 0.5) == compared(
        rated(SLOW, 20), rated(quick, 10), 60.0
    )
    assert compared(rated(own("empty"), 10), rated(quick, 10), 60.0) == (None, 0.0)


def test_below_its_window_the_upper_one_needs_the_heat_of_its_first_point() -> None:
    """t ≥ t1·(m1/m)²: at 2 × 10 A 0.5 s (4/2)² = 2 s are left, at 3 × 10 A 0.5 (4/3)² < 1 s."""
    upper = own("late", (4.0, 0.5, 3.0), (8.0, 0.5, 3.0))
    lower = own("quick", (1.0, math.inf, None), (2.0, 0.1, 1.0), (3.0, 0.1, 1.0), (8.0, 0.1, 1.0))
    assert compared(rated(upper, 10), rated(lower, 10), 80.0) == (20.0, 80.0)


# -- gauges ---------------------------------------------------------------------------------------


def test_links_are_so_many_numbers_thinner_and_never_less() -> None:
    for awg in AWGS:
        found = thinner(awg, 4)
        if found is None:
            assert gauge_number(awg) + 4 > gauge_number(AWGS[0])
            continue
        assert gauge_number(found) - gauge_number(awg) >= 4
        thicker = AWGS[AWGS.index(found) + 1]
        assert gauge_number(thicker) - gauge_number(awg) < 4
    assert [gauge_number(awg) for awg in ("1", "0", "00", "0000")] == [1, 0, -1, -3]


def test_the_chart_both_ways() -> None:
    for awg in AWGS:
        most = chart_most_a(awg, "breaker")
        if most is not None:
            assert AWGS.index(chart_awg(most, "breaker") or "") <= AWGS.index(awg)
            assert chart_allows(awg, device(rating_a=most))
            assert not chart_allows(awg, device(rating_a=most + 0.1))
    assert not chart_allows("20", device(rating_a=None))
    assert (chart_most_a("20", "fuse") or 0) != (chart_most_a("20", "breaker") or 0)


# -- inrush ---------------------------------------------------------------------------------------


def test_inrushes_of_one_circuit_add_up_and_last_as_long_as_the_longest() -> None:
    text = loads_of({
        "lamp": "0.2 A, inrush: {factor: 3, lasts: 50 ms}",
        "other": "0.1 A, inrush: {current: 0.3 A, lasts: 80 ms}",
        "plain": "0.4 A",
    })  # fmt: skip
    apart = sizing(small(text)).devices
    amps = [apart[name].inrush_a for name in ("lamp", "other", "plain")]
    assert amps == [pytest.approx(0.6), 0.3, None]
    assert [apart[name].inrush_s for name in ("lamp", "other", "plain")] == [0.05, 0.08, None]
    joined = text.replace("feeds: lamp}", "feeds: [lamp, other, plain]}")
    joined = re.sub(r"\n  (other|plain): {bus.*", "", joined)
    one = sizing(small(joined)).devices["lamp"]
    assert one.inrush_a == pytest.approx(0.9)
    assert one.inrush_s == 0.08


def test_a_tightened_share_is_that_of_its_own_kind_of_device() -> None:
    study = small(loads_of({"lamp": "1 A"}) + "limits: {fuse-share: 60 %}\n")
    assert (share(study, "fuse").value, share(study, "limiter").value) == (0.6, 0.6)
    assert (
        share(study, "breaker").value
        == share(small(loads_of({"a": "1 A"})), "breaker").value
        != 0.6
    )
