"""Devices of feeders, the starter's own wires, and what rests on what: each rule by itself."""

import math

import pytest
from msgspec.structs import replace

from elec.physics.protection import least_opening_time_s
from elec.sizing.after_failure import left_to_elec
from elec.sizing.coordination import compared
from elec.sizing.devices import Device
from elec.sizing.feeder_current import rated
from elec.sizing.feeder_devices import _after, _through, before, feeder_device
from elec.sizing.order import behind, cranking, in_order, loads_on, returns_through
from elec.sizing.starter_cables import (
    drivers,
    feeds_starter,
    first_turn,
    named_starter,
    starter_of,
    starts_only,
)
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.sources import battery_resistance, five_minute_a
from tests.answers.helper import small
from tests.sizing.test_small_rules import SLOW, device, own, start
from tests.sizing.test_small_rules import rated as of

SYSTEM = """\
system: {name: Feeders, nominal: 14 V, ambient: 25 °C, conditions: [day]}
phases:
  start: {lasts: 10 s, engine: cranking}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  alternator: {kind: alternator, place: panel, setpoint: 14.2 V, rating: 50 A,
    output: {1000 rpm: 60 A}, limit: 70 A}
  second: {kind: alternator, place: panel, setpoint: 14.2 V, rating: 50 A,
    output: {1000 rpm: 60 A}}
  battery: {kind: lead-acid, place: panel, capacity: 18 Ah}
  spare: {kind: lead-acid, place: panel, capacity: 18 Ah}
  cart: {kind: external-power, place: panel, voltage: 14 V}
buses: {main: {place: panel}, side: {place: panel}, far: {place: panel}}
grounds:
  block: {place: panel, kind: block}
  tail: {place: tail, kind: block}
  measured: {place: tail, kind: block, resistance: 2 mΩ}
feeders:
  - {name: cable, from: battery, to: main, limiter: auto, gauge: AWG 4}
  - {name: output, from: main, to: alternator, limiter: auto, gauge: AWG 4}
  - {name: more, from: second, to: main, limiter: 60 A, gauge: AWG 4}
  - {name: tie, from: main, to: side, breaker: auto, gauge: AWG 8}
  - {name: held, from: main, to: far, breaker: 20 A, gauge: AWG 8}
  - {name: wire, from: main, to: far, breaker: 20 A}
  - {name: ends, from: main, to: far, breaker: 20 A, gauge: AWG 8, far-end: {breaker: auto}}
  - {name: rescue, from: spare, to: side, breaker: 20 A, gauge: AWG 8, used: emergency}
  - {name: linked, from: spare, to: far, link: auto, gauge: AWG 12}
  - {name: small, from: spare, to: far, breaker: 30 A, gauge: AWG 8, far-end: {breaker: 25 A}}
  - {name: cart, from: cart, to: main, limiter: 80 A, gauge: AWG 4}
  - {name: bare, from: battery, to: side, unprotected: short, gauge: AWG 4}
equipment:
  radio: {place: panel, draw: 20 A, ground: block}
  lamp: {place: tail, draw: 1 A, ground: tail}
  other: {place: tail, draw: 2 A, ground: tail}
circuits:
  radio: {bus: side, breaker: 25 A, feeds: radio}
  lamp: {bus: main, breaker: 5 A, feeds: [lamp, other]}
places: {panel: {ambient: 25 °C}, tail: {ambient: 25 °C}}
ways: [{between: [panel, tail], length: 10 ft}]
"""


@pytest.fixture(scope="module")
def study() -> Study:
    return small(SYSTEM)


def chain(study: Study, name: str) -> Chain:
    return chains(study).by_name[name]


# -- the current at which main wires are judged ---------------------------------------------------


def test_at_which_current_a_main_wire_is_judged(study: Study) -> None:
    battery = study.document.sources["battery"]
    five = five_minute_a(battery)  # type: ignore[arg-type]
    assert five > 100

    def amps(name: str, **devices: Device) -> float | None:
        found = rated(study, chain(study, name), devices)
        return None if found is None else found.current_a

    assert amps("output") == 50.0  # its rating, not the 60 A of its curve
    assert amps("more") == 50.0
    assert amps("cable") == five
    limiter = device("sf51", 60.0, kind="limiter")
    assert amps("cable", cable=limiter) == 60.0
    assert amps("cable", cable=replace(limiter, rating_a=five)) == five
    assert amps("cable", cable=replace(limiter, rating_a=None)) == five
    assert amps("cable", tie=limiter) == five
    assert [amps(name) for name in ("tie", "rescue", "cart", "lamp", "tail-ground")] == [None] * 5
    near, far = device("thermal", 30.0), device("thermal", 25.0)
    names = [chain(study, "small").name, chain(study, "small").far.name]  # type: ignore[union-attr]
    assert amps("small", **{names[0]: near, names[1]: far}) == 25.0
    assert amps("small", **{names[0]: far, names[1]: near}) == 25.0
    link = device("link", None, kind="link")
    assert amps("linked", linked=link) is None
    assert amps("linked", linked=replace(link, rating_a=40.0)) == 40.0
    assert amps("linked", linked=replace(limiter, rating_a=None)) == five


def test_what_that_current_is_called(study: Study) -> None:
    limiter = device("sf51", 60.0, kind="limiter")
    found = [rated(study, chain(study, "output"), {}), rated(study, chain(study, "cable"), {}),
             rated(study, chain(study, "cable"), {"cable": limiter})]  # fmt: skip
    words = [one.meaning for one in found if one is not None]
    assert words == [
        "the rated current of alternator", "the five-minute rate of battery",
        "its device's rating, below the five-minute rate of battery",
    ]  # fmt: skip
    assert found[2] is not None
    assert found[2].origin == "device of battery to main"


def test_without_an_alternator_what_it_carries_counts() -> None:
    text = SYSTEM.replace("  - {name: output, from: main, to: alternator, limiter: auto, "
                          "gauge: AWG 4}\n", "")  # fmt: skip
    text = text.replace("  - {name: more, from: second, to: main, limiter: 60 A, gauge: AWG 4}\n",
                        "")  # fmt: skip
    begin, end = text.index("  alternator: {"), text.index("  battery: {")
    glider = small(text[:begin] + text[end:])
    assert rated(glider, chain(glider, "cable"), {}) is None


def test_what_is_left_to_elec(study: Study) -> None:
    """A device or a gauge without a figure, at either end; a bare cable of a given gauge is not."""
    assert left_to_elec(study) == {"cable", "output", "tie", "wire", "ends", "linked"}


# -- which device ---------------------------------------------------------------------------------


def test_the_device_of_an_alternator_is_for_its_limit(study: Study) -> None:
    """Its limit of 70 A; without one 108 % of its rating of 50 A (default); its load where more."""
    found = feeder_device(study, chain(study, "output"), 5.0, ())
    assert [found.needed_a, found.rating_a] == [pytest.approx(70.0), 80.0]
    more = feeder_device(study, chain(study, "more"), 5.0, ())
    assert [more.needed_a, more.rating_a] == [pytest.approx(54.0), 60.0]
    assert feeder_device(study, chain(study, "more"), 55.0, ()).needed_a == pytest.approx(55.0)


def test_a_feeder_holds_its_load_what_hangs_behind_it_and_what_may_come(study: Study) -> None:
    """A breaker uses 80 % of its rating: behind the tie 20 A of the radio need 25 A."""
    tie = chain(study, "tie")
    alone = feeder_device(study, tie, 5.0, ())
    assert [alone.rating_a, alone.needed_a] == [25.0, pytest.approx(25.0)]
    assert alone.decided == "20.0 A behind it, should it stand alone"
    loaded = feeder_device(study, tie, 30.0, ())
    assert (loaded.rating_a, loaded.load_a) == (40.0, 30.0)
    assert loaded.needed_a == pytest.approx(30 * 1.002 / 0.8)
    assert loaded.decided == ""
    # 28 A · 1.002 / 0.8 is 35.07 A, so that 40 A are taken and not 35 A
    assert feeder_device(study, tie, 28.0, ()).rating_a == 40.0
    later = feeder_device(study, tie, 5.0, (), [(30.0, "later"), (33.0, "last"), (19.0, "never")])
    assert (later.rating_a, later.decided) == (50.0, "33.0 A last")
    same = feeder_device(study, tie, 5.0, (), [(19.9, "later")])
    assert same.decided == alone.decided
    # 20 A are the 25 A that it has already, but for the reserve
    reserve = feeder_device(study, tie, 5.0, (), [(20.01, "later")])
    assert (reserve.rating_a, reserve.decided) == (30.0, "20.0 A later")
    small_more = feeder_device(study, tie, 5.0, (), [(23.0, "a"), (23.5, "b")])
    assert small_more.decided == "23.0 A a"
    none = feeder_device(study, tie, 5.0, (), [(300.0, "once")])
    assert (none.rating_a, none.decided) == (None, "300.0 A once")


def test_a_rating_that_is_given_stays(study: Study) -> None:
    held = feeder_device(study, chain(study, "held"), 90.0, [device("thermal", 20.0)])
    assert (held.rating_a, held.chosen, held.decided) == (20.0, False, "")


def test_it_opens_after_those_behind_it(study: Study) -> None:
    """By the thermal curve 40 A may open before 20 A do, 50 A do not; three times is proven."""
    tie, behind_it = chain(study, "tie"), [device("thermal", 20.0, chain="left-light")]
    found = feeder_device(study, tie, 5.0, behind_it)
    assert found.decided == "to open after the 20 A breaker of left light"
    assert found.rating_a == 50.0
    plain = feeder_device(study, tie, 5.0, ())
    assert before(study, plain, 40.0, behind_it) == "20 A breaker of left light"
    assert before(study, plain, 50.0, behind_it) == ""
    assert before(study, plain, 5.0, [device("thermal", None)]) == ""
    # of several the largest of a class tells
    more = [device("thermal", 2.0, chain="a"), device("thermal", 20.0, chain="b")]
    assert before(study, plain, 25.0, more) == "20 A breaker of b"
    # one that is proven says nothing of the next one
    more = [device("fast", 2.0, chain="a"), device("thermal", 20.0, chain="b")]
    assert before(study, plain, 25.0, more) == "20 A breaker of b"
    blind = replace(plain, family="nobody's")
    assert [before(study, blind, r, behind_it) == "" for r in (59.0, 60.0)] == [False, True]
    one = [device("thermal", 1.0)]
    assert [before(study, blind, r, one) for r in (2.9, 3.0)] == ["1 A breaker of x", ""]
    # nothing is large enough: what holds the load stays
    large = [device("thermal", 90.0)]
    assert _after(study, plain, large) is plain
    assert _after(study, plain, ()) is plain


def test_the_smallest_that_stays_closed_through_the_start() -> None:
    """SLOW bears 40 A on 20 A for 10 s, on 15 A (2.67 times) 10 · 4^-(ln 1.33/ln 2) = 5.6 s."""
    ten = device(SLOW, 10.0)
    through = _through(ten, start(40, 0.0, 40, turns_s=8.0))
    assert (through.rating_a, through.decided) == (20.0, "40 A for 8 s while the starter turns")
    assert _through(ten, start(40, 0.0, 40, turns_s=5.0)).rating_a == 15.0
    assert _through(ten, start(40, 0.0, 40, turns_s=10.0)).rating_a == 25.0  # at 10 s 20 A may open
    assert _through(ten, start(9, 0.0, 9)) is ten
    blind = device("nobody's", 10.0)
    assert _through(blind, start(1e6, 0.0, 1e6)) is blind
    assert _through(replace(ten, rating_a=None), start(0.1, 0.0, 0.1)).rating_a == 0.5


# -- two in series --------------------------------------------------------------------------------


def test_two_in_series_between_their_corners() -> None:
    """The upper one, 12 A, has its points at 12, 24 and 48 A; the lower one is told up to 80 A."""
    quick = own("quick", (1.0, math.inf, None), (2.0, 0.1, 1.0), (8.0, 0.1, 1.0))
    # at 24 A it may open in 10 s, at 48 A in 2.5 s, beyond as 1/I²: at 80 A 2.5 · 0.36 = 0.9 s
    assert compared(of(SLOW, 12), of(quick, 10), 1e9) == (48.0, 80.0)
    assert compared(of(SLOW, 12), of(quick, 10), 48.0) == (48.0, 48.0)
    assert compared(of(SLOW, 12), of(quick, 10), 75.0) == (75.0, 75.0)  # 2.5 · 0.41 = 1.02 s
    # the longest of the lower one is the shortest of the upper one: not surely first
    equal = own("equal", (1.0, math.inf, None), (2.0, 0.5, 2.5), (4.8, 0.5, 2.5))
    assert compared(of(SLOW, 12), of(equal, 10), 1e9) == (24.0, 48.0)
    # below the rating of the lower one nothing is compared; at it, it holds for ever
    assert compared(of(quick, 20), of(SLOW, 10), 1e9) == (20.0, 40.0)
    late = own("late", (4.0, None, 3.0))
    assert compared(of(late, 10), of(quick, 10), 30.0) == (None, 30.0)
    assert compared(of(late, 10), of(quick, 10), 1e9) == (None, 80.0)
    assert least_opening_time_s(band=SLOW.band, multiple=80 / 12) == pytest.approx(0.9)


# -- what rests on what ---------------------------------------------------------------------------


def test_what_lies_behind_a_feeder(study: Study) -> None:
    found = behind(study, in_order(study))
    assert set(found["cable"]) == {"tie", "held", "wire", "ends", "lamp"}  # no output, no itself
    assert set(found["tie"]) == {"radio"}
    assert found["held"] == ()
    assert "lamp" not in found


def test_grounds_come_last_from_the_main_one_outwards() -> None:
    text = SYSTEM.replace(
        "  measured: {place: tail, kind: block, resistance: 2 mΩ}\n",
        "  aft: {place: tail, kind: block, to: zone}\n"
        "  zone: {place: tail, kind: block, to: tail}\n",
    )
    order = [one.name for one in in_order(small(text))]
    assert order[-3:] == ["tail-ground", "zone-ground", "aft-ground"]
    assert order.index("lamp") < order.index("tail-ground")
    assert [order.index(n) for n in ("cable", "output", "radio")] == sorted(
        order.index(n) for n in ("cable", "output", "radio")
    )


def test_what_comes_back_through_a_ground_wire(study: Study) -> None:
    lands = returns_through(study, chain(study, "tail-ground"))
    assert {title for _, title in lands} == {chain(study, "lamp").title}
    returns = {c.id for c in chain(study, "lamp").conductors() if c.role == "return"}
    assert {name for name, _ in lands} <= returns
    assert lands
    assert returns_through(study, chain(study, "lamp")) == ()
    measured = [n for n in chains(study).by_name if n.startswith("measured")]
    assert [returns_through(study, chain(study, n)) for n in measured] == [()] * len(measured)
    negative = next(
        c for c in in_order(study)
        if c.kind == "ground" and not c.ground and c.source_end == "battery"
    )  # fmt: skip
    back = {name.partition("/")[0] for name, _ in returns_through(study, negative)}
    assert back == {"cable", "bare"}


def test_the_loads_on_a_wire(study: Study) -> None:
    lamp = chain(study, "lamp")
    found = {c.id: loads_on(lamp, c.id) for c in lamp.conductors()}
    assert list(found.values()) == [("lamp",), ("lamp",), ("other",), ("other",)]
    assert loads_on(lamp, "nothing") == ()
    assert cranking(study) == {"start"}


# -- the starter ----------------------------------------------------------------------------------

STARTER = """\
system: {name: Starter, nominal: 14 V, ambient: 25 °C, conditions: [day, night]}
phases:
  start: {lasts: 10 s, engine: cranking}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  battery: {kind: lead-acid, place: panel, capacity: 18 Ah, resistance: 8 mΩ}
  second: {kind: lead-acid, place: panel, capacity: 30 Ah, resistance: 24 mΩ}
  third: {kind: lead-acid, place: panel, capacity: 30 Ah, resistance: 24 mΩ}
buses: {stud: {place: panel}, avionics: {place: panel}}
grounds: {block: {place: panel}}
feeders:
  - {name: cable, from: battery, to: stud, unprotected: starting}
  - {name: beside, from: second, to: stud, unprotected: starting}
  - {name: fused, from: third, to: stud, limiter: 60 A}
  - {name: tie, from: stud, to: avionics, unprotected: short}
  - {name: aside, from: third, to: avionics, unprotected: short}
equipment:
  starter: {place: panel, draw: 110 A, on: {start: 4 s}}
  booster: {place: panel, draw: 2 A, on: {start: 6 s}}
  radio: {place: panel, draw: 2 A, on: cruise}
  unknown: {place: panel, on: start}
circuits:
  starter: {bus: stud, feeds: starter, unprotected: starting}
  booster: {bus: stud, breaker: 5 A, feeds: booster}
  radio: {bus: avionics, feeds: radio, unprotected: short}
  unknown: {bus: avionics, breaker: 5 A, feeds: unknown}
places: {panel: {ambient: 25 °C}}
"""
TURNS = frozenset({"start"})


def test_what_is_on_while_the_engine_is_cranked_and_only_then() -> None:
    study = small(STARTER)
    found = {
        name for name in chains(study).by_name if starts_only(study, chain(study, name), TURNS)
    }
    assert {"starter", "booster"} <= found <= {"starter", "booster", "unknown"}
    assert not starts_only(study, chain(study, "starter"), frozenset())
    fed = {
        name for name in chains(study).by_name if feeds_starter(study, chain(study, name), TURNS)
    }
    assert fed == {"cable", "beside", "fused"}


def test_what_drives_a_short_without_a_device_on_the_way() -> None:
    """Two batteries side by side: 1 / (1/r1 + 1/r2); what comes through a device is left out."""
    study = small(STARTER)
    sources = study.document.sources
    ohms = {n: battery_resistance(study, n, s).result.value  # type: ignore[arg-type]
            for n, s in sources.items()}  # fmt: skip
    both = 1 / (1 / ohms["battery"] + 1 / ohms["second"])
    found = {n: drivers(study, chain(study, n), TURNS) for n in chains(study).by_name}
    told = {n: one for n, one in found.items() if one is not None}
    assert set(told) == {"starter", "cable", "beside"}
    assert told["starter"][1] == pytest.approx(both)
    assert told["cable"][1] == pytest.approx(ohms["battery"])
    assert told["beside"][1] == pytest.approx(ohms["second"])
    assert 12.5 < told["starter"][0] < 13.2  # a full lead-acid battery at rest
    lithium = STARTER.replace(
        "second: {kind: lead-acid, place: panel, capacity: 30 Ah",
        "second: {kind: lithium-iron-phosphate, place: panel, capacity: 30 Ah",
    )
    mixed = small(lithium)
    volts = [
        one and one[0]
        for one in (drivers(mixed, chain(mixed, n), TURNS) for n in ("starter", "cable", "beside"))
    ]
    assert volts[0] == volts[2] > (volts[1] or 0.0)  # type: ignore[operator]


def test_behind_devices_nothing_drives_a_short_for_long() -> None:
    fused = small(STARTER.replace("to: stud, unprotected: starting}", "to: stud, limiter: 60 A}"))
    assert drivers(fused, chain(fused, "starter"), TURNS) is None
    assert drivers(fused, chain(fused, "cable"), TURNS) is None


def test_the_first_turn_is_given_or_usual() -> None:
    usual = first_turn(small(STARTER), "starter", "start", "day")
    assert (usual.running_a, usual.factor, usual.lasts_s) == (110.0, 3.0, 0.04)
    assert (usual.turns_s, usual.assumed) == (4.0, True)
    for given, factor in (("factor: 2.5", 2.5), ("current: 385 A", 3.5), ("current: 55 A", 0.5)):
        text = STARTER.replace("on: {start: 4 s}", f"on: {{start: 4 s}}, inrush: {{{given}, "
                               "lasts: 60 ms}")  # fmt: skip
        found = first_turn(small(text), "starter", "start", "night")
        assert [found.factor, found.lasts_s, found.assumed] == [pytest.approx(factor), 0.06, False]
    none = STARTER.replace("draw: 110 A, on: {start: 4 s}", "on: {start: 4 s}, "
                           "inrush: {current: 385 A, lasts: 60 ms}")  # fmt: skip
    found = first_turn(small(none), "starter", "start", "day")
    assert (found.running_a, found.factor, found.turns_s) == (0.0, 1.0, 4.0)


def test_which_load_is_the_starter() -> None:
    study = small(STARTER)
    assert starter_of(study, "start") == "starter"
    assert starter_of(study, "cruise") is None
    assert starter_of(study, "nothing") is None
    assert [named_starter(n) for n in ("left-starter", "starter-contactor", "cranking-motor")] == [
        True, False, True,
    ]  # fmt: skip
    two = STARTER.replace("booster", "small-starter")
    assert starter_of(small(two), "start") == "starter"
    greater = two.replace("draw: 2 A, on: {start", "draw: 120 A, on: {start")
    assert starter_of(small(greater), "start") == "small-starter"
    nobody = STARTER.replace("draw: 110 A, ", "")
    assert starter_of(small(nobody), "start") is None
