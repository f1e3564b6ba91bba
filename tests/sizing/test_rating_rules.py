"""Which rating is taken and why: each branch and bound of the choice, asked by itself."""

import math

import pytest
from msgspec.structs import replace

from elec.sizing.choices import Choice, choices, refusal
from elec.sizing.devices import Device, rating_working, ratings_of
from elec.sizing.picking import (
    Picked,
    _least,
    asks,
    circuit_device,
    circuit_devices,
    floor,
    holds,
    least_for_stall,
    opens_stalls,
    pick,
    stalls,
    upper_a,
    with_twins,
)
from elec.study import Study
from elec.wiring.chains import Chain, chains
from tests.answers.helper import small
from tests.sizing.test_small_rules import SLOW, device

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
  - {name: cable, from: battery, to: main, limiter: auto}
  - {from: alternator, to: main, limiter: auto}
equipment:
  lamp: {place: panel, draw: 4 A, basis: estimate}
  radio: {place: panel, draw: 4 A, tolerance: 0 %, maker-asks: {breaker: 7.5 A, fuse: 5 A}}
  small: {place: panel, draw: 0.1 A, tolerance: 0 %, maker-asks: {fuse: 0.5 A}}
  pair: {place: panel, draw: 0.1 A, tolerance: 0 %, maker-asks: {breaker: 2 A}}
  other: {place: panel, draw: 0.1 A, tolerance: 0 %, maker-asks: {breaker: 3 A}}
  fused: {place: panel, draw: 0.1 A, maker-asks: {breaker: 4 A, fuse: 3 A}}
  broken: {place: panel, draw: 0.1 A, maker-asks: {breaker: 4 A}}
  plain: {place: panel, draw: 0.1 A, maker-asks: {gauge: AWG 18}}
  fan: {place: panel, draw: 1 A, tolerance: 0 %, character: motor, stall: 4 A,
    inrush: {factor: 2, lasts: 20 ms}}
  pump: {place: panel, draw: 1 A, tolerance: 0 %, character: motor, stall: 4 A, role: engine,
    inrush: {factor: 2, lasts: 20 ms}}
  trim: {place: panel, draw: 1 A, tolerance: 0 %, character: motor, stall: 3 A, bears-stall: yes,
    inrush: {factor: 2, lasts: 20 ms}}
  beacon: {place: panel, draw: 1 A, tolerance: 0 %}
  steady: {place: panel, draw: 0.2 A, duty: 100 %, tolerance: 0 %, character: pulsed}
  brief: {place: panel, draw: 4 A, on: {cruise: 10 s}, tolerance: 0 %}
  nobody: {place: panel}
  two: {place: panel, tolerance: 0 %, modes: {low: {draw: 1 A, on: taxi},
    high: {peak: 4 A, duty: 25 %, on: cruise}}}
circuits:
  lamp: {bus: main, breaker: auto, feeds: lamp}
  radio: {bus: main, breaker: auto, feeds: radio}
  small: {bus: main, breaker: auto, feeds: small}
  pair: {bus: main, breaker: auto, feeds: [pair, other]}
  fused: {bus: main, fuse: auto, feeds: fused}
  broken: {bus: main, fuse: auto, feeds: broken}
  plain: {bus: main, breaker: auto, feeds: plain}
  fan: {bus: main, breaker: auto, feeds: fan}
  pump: {bus: main, breaker: auto, feeds: pump}
  trim: {bus: main, breaker: auto, feeds: trim}
  beacon: {bus: main, breaker: auto, feeds: beacon}
  steady: {bus: main, breaker: auto, feeds: steady}
  brief: {bus: main, breaker: auto, feeds: [brief, lamp2]}
  nobody: {bus: main, breaker: auto, feeds: nobody}
  two: {bus: main, breaker: 10 A, feeds: two}
places: {panel: {ambient: 25 °C}}
"""


@pytest.fixture(scope="module")
def study() -> Study:
    text = SYSTEM.replace("  brief: {place", "  lamp2: {place: panel, draw: 1 A, on: {cruise: 9 s}"
                          ", tolerance: 0 %}\n  brief: {place")  # fmt: skip
    return small(text)


def chain(study: Study, name: str) -> Chain:
    return chains(study).by_name[name]


def picked(study: Study, name: str, most_a: float = math.inf, **more: object) -> Picked:
    one = replace(circuit_devices(study)[name], rating_a=None, **more)
    return pick(study, chain(study, name), one, most_a)


# -- how much it may be ---------------------------------------------------------------------------


def test_the_load_as_far_up_as_it_may_be(study: Study) -> None:
    """±30 % of an estimate, triangular: 4 A · (1 + 1.645 · 0.3 / √6) = 4.806 A."""
    found = circuit_devices(study)["lamp"]
    upper = 4 * (1 + 1.6448536 * 0.3 / math.sqrt(6))
    assert upper_a(study, chain(study, "lamp"), found) == pytest.approx(upper)
    assert upper_a(study, chain(study, "cable"), found) == 0.0
    assert upper_a(study, chain(study, "lamp"), replace(found, load_a=None)) == 0.0
    assert upper_a(study, chain(study, "lamp"), replace(found, load_a=0.0)) == 0.0
    peak = upper_a(study, chain(study, "lamp"), replace(found, peak_a=6.0))
    assert peak == pytest.approx(upper + 2)


def test_what_is_counted_and_what_is_solved(study: Study) -> None:
    """At 25 °C 80 % of the rating: 4 A needs 5 A, 4.1 A 5.125 A; short ones the current itself."""
    radio = chain(study, "radio")
    found = [circuit_device(study, radio, amps).needed_a for amps in (0.0, 3.9, 4.1)]
    assert found == [pytest.approx(5.0), pytest.approx(5.0), pytest.approx(5.125)]
    assert circuit_devices(study)["brief"].needed_a == pytest.approx(5.0)  # 4 A and 1 A together
    nobody = circuit_devices(study)["nobody"]
    assert (nobody.rating_a, nobody.chosen, nobody.needed_a) == (None, False, None)
    assert nobody.unknown == "the current of a load is not known"
    two = circuit_devices(study)["two"]
    assert (two.rating_a, two.chosen, two.decided) == (10.0, False, "")
    assert [two.load_a, two.peak_a] == [pytest.approx(2.0), pytest.approx(4.0)]
    assert circuit_devices(study)["radio"].peak_a is None
    assert circuit_devices(study)["beacon"].peak_unknown == ("beacon",)


def test_where_none_is_large_enough_it_says_so(study: Study) -> None:
    radio = chain(study, "radio")
    found = circuit_device(study, radio, 200.0)
    assert (found.rating_a, found.chosen) == (None, False)
    assert found.unknown.startswith("no standard breaker of class thermal holds 250.0 A")


def test_beyond_the_span_of_breakers_a_rating_that_is_given_or_chosen_says_so() -> None:
    hot = small(
        SYSTEM.replace("feeds: [brief, lamp2]", "feeds: brief").replace(
            "{panel: {ambient: 25 °C}}", "{panel: {ambient: 130 °C}}"
        )
    )
    for name in ("two", "radio"):  # 10 A that are given, and auto
        found = circuit_devices(hot)[name]
        assert found.rating_a is not None
        assert found.unknown.startswith("at 130 °C no factor is known")
    assert circuit_device(hot, chain(hot, "radio"), 200.0).unknown.startswith("no standard")


# -- makers ---------------------------------------------------------------------------------------


def test_what_makers_ask_for(study: Study) -> None:
    found = {n: asks(study, chain(study, n)) for n in circuit_devices(study)}
    amps = {n: (one.rating_a, one.alone) for n, one in found.items() if one is not None}
    assert amps == {
        "radio": (7.5, True), "small": (0.5, True), "pair": (3.0, False), "fused": (3.0, True),
        "broken": (4.0, True),
    }  # fmt: skip
    pair = found["pair"]
    assert pair is not None
    assert (pair.load, pair.title) == ("other", "other")
    assert asks(study, chain(study, "cable")) is None


def test_a_maker_is_followed_alone_and_a_least_among_others(study: Study) -> None:
    assert [picked(study, n).rating_a for n in ("radio", "small", "pair")] == [7.5, 0.5, 3.0]
    assert picked(study, "small").decided.startswith("what its maker asks for (")
    assert picked(study, "pair") == Picked(3.0, "what the maker of other asks for")
    # 8 A load: the 7.5 A of the maker do not hold it, but no smaller one is taken
    found = picked(study, "radio", load_a=8.0, needed_a=10.0)
    assert found == Picked(10.0, "")


def test_a_maker_who_asks_for_the_floor_itself_is_not_named(study: Study) -> None:
    text = SYSTEM.replace("feeds: [brief, lamp2]", "feeds: brief").replace("breaker: 3 A", "x")
    text = text.replace(", maker-asks: {x}", "")
    found = picked(small(text), "pair")
    assert (found.rating_a, found.by_floor) == (2.0, True)
    assert found.decided.startswith("the floor of 2 A")


# -- floors ---------------------------------------------------------------------------------------


def test_floors_by_what_hangs_on_a_circuit(study: Study) -> None:
    found = {n: floor(study, chain(study, n)) for n in ("lamp", "fan", "pump", "beacon", "steady",
                                                        "two", "cable")}  # fmt: skip
    amps = {n: one and one.si for n, one in found.items()}
    assert amps == {"lamp": 2.0, "fan": 5.0, "pump": 5.0, "beacon": 5.0, "steady": 2.0,
                    "two": 5.0, "cable": None}  # fmt: skip


def test_a_floor_is_named_only_where_it_decides(study: Study) -> None:
    assert picked(study, "steady").by_floor  # 0.2 A: 1 A would hold it and lose 0.17 V
    load = picked(study, "steady", load_a=1.9, needed_a=2.375)  # 2.5 A would lose 0.32 V
    assert load == Picked(3.0, "", by_floor=False)


def test_a_doubt_is_named_only_where_it_decides(study: Study) -> None:
    """An estimate of 4 A may be 4.8 A: 5 A hold both; one of 4.5 A, needed 5 A, may be 5.4 A."""
    assert picked(study, "lamp") == Picked(5.0, "")
    found = picked(study, "lamp", load_a=4.5, needed_a=5.0, steps=())
    assert (found.rating_a, found.by_floor) == (7.5, False)
    assert found.decided == "its load, which may be 5.3 A (estimate)"


# -- the least of several -------------------------------------------------------------------------


def test_the_least_that_holds_and_loses_its_share() -> None:
    """Breakers: 0.25 Ω at 2 A, 0.12 Ω at 3 A, 0.0691 Ω at 4 A (breaker_drop).

    The chart gives the least wire, AWG 22, a breaker of 5 A: up to there a loss asks for more.
    """
    ratings = ratings_of("breaker", "thermal")
    one = device("thermal", None, load_a=1.5, needed_a=1.875)
    assert _least(one, ratings, 0.0, None) == 2.0
    assert _least(one, ratings, 0.0, 1.5 * 0.25) == 2.0
    assert _least(one, ratings, 0.0, 1.5 * 0.25 - 1e-6) == 2.5
    assert _least(one, ratings, 0.0, 1.5 * 0.12) == 3.0
    assert _least(one, ratings, 0.0, 1.5 * 0.045) == 5.0
    assert _least(one, ratings, 0.0, 1.5 * 0.045 - 1e-6) == 2.0  # 7.5 A: more than the wire
    assert _least(one, ratings, 0.0, 0.0) == 2.0  # none loses so little
    assert _least(one, ratings, 3.0, None) == 3.0
    assert _least(one, ratings, 3.01, None) == 4.0
    assert _least(one, ratings, 0.0, None, upper=2.0) == 2.0
    assert _least(one, ratings, 0.0, None, upper=2.01) == 2.5
    assert _least(one, (1.0,), 0.0, None) is None
    many = device("thermal", None, load_a=20.0, needed_a=25.0)
    assert _least(many, ratings, 0.0, 20 * 0.0064) == 25.0
    assert _least(many, ratings, 0.0, 20 * 0.0051) == 25.0
    unknown = device("thermal", None, load_a=None, needed_a=None)
    assert _least(unknown, ratings, 0.0, 0.0) == 0.5


def test_an_inrush_that_opens_it_is_refused_and_one_without_a_curve_is_not() -> None:
    """SLOW opens 20 A on 10 A in 10 s at the least, 20 A on 5 A in 2.5 s."""
    one = device(SLOW, None, inrush_a=20.0, inrush_s=3.0)
    assert _least(one, (5.0, 10.0), 0.0, None) == 10.0
    assert _least(replace(one, inrush_s=2.0), (5.0, 10.0), 0.0, None) == 5.0
    assert _least(replace(one, family="nobody's"), (5.0, 10.0), 0.0, None) == 5.0


# -- held fast ------------------------------------------------------------------------------------


def test_motors_that_are_held_fast(study: Study) -> None:
    found = {n: dict(stalls(study, chain(study, n))) for n in ("fan", "pump", "trim", "lamp")}
    assert found == {"fan": {"fan": 4.0}, "pump": {"pump": 4.0}, "trim": {}, "lamp": {}}
    assert stalls(study, chain(study, "cable")) == {}
    assert least_for_stall(study, chain(study, "fan")) == 2.0
    assert least_for_stall(study, chain(study, "pump")) == math.inf


def test_what_opens_in_the_minute_that_a_motor_bears(study: Study) -> None:
    """Thermal: within 50 s at twice its rating, after up to an hour below (limit stall-opens)."""
    fan = circuit_devices(study)["fan"]
    here = chain(study, "fan")
    assert [opens_stalls(study, here, fan, r) for r in (1.0, 2.0, 2.5, 5.0)] == [
        True, True, False, False,
    ]  # fmt: skip
    assert not opens_stalls(study, here, replace(fan, family="nobody's"), 1.0)
    assert opens_stalls(study, chain(study, "trim"), replace(fan, family="nobody's"), 1.0)


def test_the_greatest_that_opens_is_taken_for_a_motor_and_none_where_the_engine_needs_it(
    study: Study,
) -> None:
    assert picked(study, "fan") == Picked(
        2.0, "the greatest that opens when fan, held fast, takes 4 A"
    )
    for name in ("pump", "trim"):
        found = picked(study, name)
        assert found.rating_a == 5.0, name
        assert found.decided.startswith("the floor of 5 A"), name
    # 1.7 A need 2.125 A, which 2 A do not hold, and 2.5 A open too late: it stays
    assert picked(study, "fan", load_a=1.7, needed_a=2.125).rating_a == 5.0


def test_what_surely_holds(study: Study) -> None:
    """1 A may lose a quarter of a volt, half of 0.5 V: 0.25 Ω of a 2 A breaker just do."""
    here, fan = chain(study, "fan"), circuit_devices(study)["fan"]
    assert [holds(study, here, fan, r) for r in (1.0, 2.0, 2.5)] == [False, True, True]
    assert not holds(study, here, replace(fan, family="nobody's"), 2.0)
    quiet = replace(fan, family="nobody's", inrush_a=None, inrush_s=None)
    assert holds(study, here, quiet, 2.0)
    assert holds(study, here, replace(quiet, load_a=None, needed_a=None), 1.0)
    assert not holds(study, here, replace(fan, inrush_a=100.0, inrush_s=1.0), 2.0)
    loss = replace(quiet, load_a=1.001, needed_a=1.0)
    assert [holds(study, here, loss, r) for r in (2.0, 2.5)] == [False, True]
    assert holds(study, chain(study, "cable"), replace(loss, load_a=50.0), 2.0)


# -- contacts, stock ------------------------------------------------------------------------------


def test_at_most_what_a_wire_bears(study: Study) -> None:
    most = "the most that the wire bears which its contacts take"
    found = [picked(study, "lamp", amps) for amps in (30.0, 29.9, 5.0, 4.9)]
    assert found == [Picked(30.0, most), Picked(25.0, most), Picked(5.0, most), Picked(None, most)]
    assert circuit_device(study, chain(study, "lamp"), 0.0, 8.0).rating_a == 7.5


FLOOR = "the floor of 2 A (default device-floor (our judgement))"


@pytest.mark.parametrize(
    ("stock", "name", "rating_a", "words", "by_floor"),
    [
        ("1 A, 2 A", "lamp", 5.0, "its load; nothing in your stock does", False),
        ("1 A", "steady", 2.0, f"{FLOOR}; nothing in your stock does", True),
        ("2 A, 3 A", "steady", 2.0, FLOOR, True),
        ("3 A, 4 A", "steady", 3.0, "the least of your stock that does", False),
        ("3 A, 2 A, 10 A", "fan", 2.0,
         "the greatest that opens when fan, held fast, takes 4 A", False),
        ("10 A", "fan", 10.0, "the least of your stock that does", False),
    ],
)  # fmt: skip
def test_the_stock(stock: str, name: str, rating_a: float, words: str, by_floor: bool) -> None:
    text = SYSTEM.replace("feeds: [brief, lamp2]", "feeds: brief")
    study = small(f"{text}stock: {{breakers: [{stock}]}}\n")
    assert picked(study, name) == Picked(rating_a, words, by_floor)


# -- twins ----------------------------------------------------------------------------------------

TWINS = """\
system: {name: Twins, nominal: 14 V, ambient: 25 °C, conditions: [day]}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  battery: {kind: lead-acid, place: panel, capacity: 18 Ah}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders: [{from: battery, to: main, limiter: 60 A}]
equipment:
  left: {place: panel, draw: 2 A, tolerance: 0 %, exclusive: pumps, backup: right}
  right: {place: panel, draw: 2 A, tolerance: 0 %, exclusive: pumps, on: {cruise: 1 min}}
circuits:
  left: {bus: main, breaker: 7.5 A, feeds: left}
  right: {bus: main, breaker: auto, feeds: right}
places: {panel: }
"""


def twinned(**mine: object) -> tuple[float | None, str]:
    study = small(TWINS)
    devices = circuit_devices(study)
    devices = {**devices, "right": replace(devices["right"], **mine)}
    if mine.get("chain") == "":
        del devices["left"]
    with_twins(study, devices)
    return devices["right"].rating_a, devices["right"].decided


def test_a_stand_by_takes_the_greater_rating_of_its_twin_of_the_same_class() -> None:
    ours = twinned(chosen=False)
    assert twinned() == (7.5, "its twin, left")
    assert twinned(rating_a=7.5) == (7.5, ours[1])
    assert twinned(rating_a=10.0) == (10.0, ours[1])
    assert twinned(family="fast") == ours
    assert twinned(kind="fuse") == ours
    assert twinned(rating_a=None) == (None, ours[1])
    assert twinned(chain="") == ours
    devices = dict(circuit_devices(small(TWINS)))
    devices["right"] = replace(devices["right"], by_floor=True)
    with_twins(small(TWINS), devices)
    assert not devices["right"].by_floor


# -- why not smaller ------------------------------------------------------------------------------


def test_why_a_smaller_rating_does_not_do(study: Study) -> None:
    here = chain(study, "lamp")

    def why(rating_a: float, **more: object) -> tuple[str, str]:
        plain = {"load_a": 2.0, "needed_a": 2.5, "chain": "lamp"}
        return refusal(study, here, device("thermal", 5.0, **{**plain, **more}), rating_a)

    assert why(2.0) == ("its load", "2.5 A or more holds the load of 2 A")
    assert why(2.0, peak_a=2.3) == (
        "its load", "2.5 A or more holds the load of 2 A with its peak of 2.3 A",
    )  # fmt: skip
    assert why(2.0, load_a=None) == ("its load", "2.5 A or more holds the load of 0 A")
    # thermal: at 12 A on 3 A, four times, it may open after 1.5 s
    rush = why(3.0, inrush_a=12.0, inrush_s=2.0)
    assert rush == ("the inrush", "it may open within the 2 s of 12 A at switch-on")
    assert why(3.0, inrush_a=12.0, inrush_s=1.0, decided="d") == ("", "d")
    # half of 0.5 V for itself: 3 A over 0.12 Ω are 0.36 V
    loss = why(3.0, load_a=3.0, needed_a=3.0)
    assert loss == ("what it loses itself", "it alone would lose 0.36 V; 0.25 V is its share")
    assert why(3.0, decided="d") == ("", "d")  # 2 A over 0.12 Ω are 0.24 V
    # ±30 %: 2.5 A may be 3.004 A
    assert why(3.0, load_a=2.08, needed_a=2.6, decided="d")[1] == "d"
    doubt = why(3.0, load_a=2.55, needed_a=3.0, by_floor=True)
    assert doubt[0] == "what it loses itself"
    assert why(5.0, load_a=4.5, needed_a=5.0) == ("", "its load, which may be 5.3 A (estimate)")
    assert why(4.0, by_floor=True) == ("", "below that floor")
    assert why(4.0, chosen=False) == ("", "")
    assert why(4.0, needed_a=None, load_a=None, decided="d") == ("", "d")
    tie = refusal(study, chain(study, "cable"), device("sf51", 80.0, chain="cable", kind="limiter",
                  load_a=50.0, needed_a=60.0, decided="to open after"), 60.0)  # fmt: skip
    assert tie == ("", "to open after")


def test_what_a_choice_says_of_a_device() -> None:
    text = SYSTEM.replace("feeds: [brief, lamp2]", "feeds: brief")
    found = choices(small(text))

    def told(name: str) -> tuple[float | None, str]:
        return found[name].smaller_a, found[name].device_why

    assert told("two") == (7.5, "given")
    assert told("nobody") == (None, "the current of a load is not known")
    assert told("small") == (None, found["small"].device.decided if found["small"].device else "")
    assert told("lamp") == (4.0, "its load")
    assert told("pair")[0] == 2.5
    assert found["nobody"].stuck == "the current of a load is not known"
    assert found["lamp"].stuck == ""
    assert (found["cable"].kind, found["lamp"].thin) == ("feeder", False)
    assert (found["cable"].far_device, found["lamp"].chosen) == (None, True)


def test_what_stays_open_is_said() -> None:
    found = choices(small(SYSTEM.replace("feeds: [brief, lamp2]", "feeds: brief")))["lamp"]
    stuck = replace(found, satisfied=False, gauge_why="heat")
    assert isinstance(stuck, Choice)
    assert stuck.stuck == "no gauge passes: heat"
    assert replace(stuck, device=None).stuck == "no gauge passes: heat"
    assert isinstance(found.device, Device)


def test_the_hand_calculation_ends_at_the_rating_and_what_decided_it(study: Study) -> None:
    fan = circuit_devices(study)["fan"]
    for decided, chosen, words in (("d", True, "d"), ("", True, "the next standard rating"),
                                   ("d", False, "small.yaml")):  # fmt: skip
        working = rating_working(study, replace(fan, decided=decided, chosen=chosen))
        assert working is not None
        assert working.limit is not None
        assert words in working.limit.origin
    open_ = rating_working(study, replace(fan, rating_a=None))
    assert open_ is not None
    assert open_.limit is None
    assert rating_working(study, replace(fan, steps=())) is None
