"""What is chosen passes what is asked of it: on the three systems from nothing, on random ones."""

import random
from pathlib import Path

import pytest

from elec.answers.base.nothing_given import from_nothing
from elec.answers.drop.drops import load_drops
from elec.attempt.stuck import failing
from elec.check import run
from elec.finding import Verdict
from elec.pages.why.words import gauge_reason
from elec.read import read_texts
from elec.sizing.candidates import candidates
from elec.sizing.choices import choices
from elec.sizing.feeder_devices import before
from elec.sizing.search.rounds import SizeSearch
from elec.sizing.sizing import sizing
from elec.standards import AWGS
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from elec.wiring.wires import size_of
from tests.answers.helper import NAMES, small, whole
from tests.network.family import family_text

RANDOM = [(1, 0), (7, 1), (20, 2), (33, 3)]


def family(circuits: int, seed: int) -> Study:
    system = read_texts({Path("family.yaml"): family_text(circuits, seed).encode()}).system
    assert system is not None
    return Study(system)


FOLLOWS = ("battery-worst-minute", "device-interrupts")
"""What no size is chosen for: on the battery alone the voltage falls until a load no longer works,
the sooner the thinner its wires are. The check says so, and the builder takes a thicker one. And
the kind of a device is the builder's: behind thicker cables a short drives more than a blade fuse
breaks."""


@pytest.mark.parametrize("name", NAMES)
def test_chosen_from_nothing_nothing_fails(name: str) -> None:
    bare = from_nothing(whole(name)).study
    assert [d.chain for d in sizing(bare).devices.values() if not d.chosen] == []
    assert all(gauge.satisfied for gauge in sizing(bare).gauges.values())
    fails = [f for f in run(bare, deep=False) if f.verdict is Verdict.FAIL]
    assert [f.sentence for f in fails if f.check not in FOLLOWS] == []


@pytest.mark.parametrize("name", NAMES)
def test_the_gauge_that_is_taken_loses_what_the_drop_says(name: str) -> None:
    study = whole(name)
    for chain in chains(study).of("circuit"):
        found = candidates(study, chain)
        for one in found.tried if found else ():
            if one.taken and one.lost_v is not None:
                judged = load_drops(study)[chain.name, one.about]
                assert one.lost_v == pytest.approx(judged.lost_v, rel=1e-9), chain.name  # rounding


@pytest.mark.parametrize(("circuits", "seed"), RANDOM)
def test_on_random_systems_nothing_chosen_fails(circuits: int, seed: int) -> None:
    study = family(circuits, seed)
    open_ = {name for name, choice in choices(study).items() if choice.stuck}
    assert not open_
    # what a limiter interrupts is a matter of its kind and class, which the builder gives
    fails = [f.check for found in failing(study).values() for f in found]
    assert set(fails) <= {"device-interrupts"}


def shuffled(text: str, seed: int) -> str:
    """The same system with the entries of equipment, circuits, feeders and switches in any order.

    The first ground point is the main one, and the nearer of two equally near ones is the first
    written: their order means something, and stays.
    """
    rng, out, block = random.Random(seed), [], list[str]()  # noqa: S311 - no secret
    mixed = False
    for line in [*text.splitlines(), "end:"]:
        if line.startswith(" ") and mixed:
            block.append(line)
            continue
        rng.shuffle(block)
        out += [*block, line]
        block = []
        mixed = line.split(":")[0] in ("equipment", "circuits", "feeders", "switches")
    return "\n".join(out[:-1]) + "\n"


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_order_of_the_text_changes_nothing(seed: int) -> None:
    text = family_text(24, seed)
    other = read_texts({Path("other.yaml"): shuffled(text, seed).encode()}).system
    assert other is not None
    assert shuffled(text, seed) != text
    first, second = sizing(family(24, seed)), sizing(Study(other))
    for name, device in first.devices.items():
        assert second.devices[name].rating_a == device.rating_a, name
    for name, gauge in first.gauges.items():
        assert (second.gauges[name].awg, second.gauges[name].decided) == (gauge.awg, gauge.decided)


@pytest.mark.parametrize("name", NAMES)
def test_a_thinner_gauge_or_a_smaller_rating_has_a_reason_against_it(name: str) -> None:
    bare = from_nothing(whole(name)).study
    for choice in choices(bare).values():
        if choice.thinner:
            assert choice.thinner_why, choice.chain
        if choice.smaller_a is not None:
            assert choice.smaller_why, choice.chain


PLUG = """\
system: {name: Plug, nominal: 14 V, conditions: [day]}
phases: {start: {lasts: 10 s, engine: cranking}, cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  alternator: {kind: alternator, place: panel, setpoint: 14.2 V, output: {1000 rpm: 60 A}}
  battery: {kind: lead-acid, place: panel, capacity: 18 Ah}
  spare: {kind: lead-acid, place: panel, capacity: 18 Ah}
buses: {main: {place: panel}, essential: {place: panel}}
grounds: {block: {place: panel}, far: {place: tail}}
feeders:
  - {from: battery, to: main, limiter: auto}
  - {from: alternator, to: main, limiter: auto}
  - {from: main, to: essential, breaker: auto, diode: schottky}
  - {name: stand-by, from: spare, to: essential, breaker: auto, switch: spare, diode: schottky}
equipment:
  lamp: {place: tail, draw: 0.5 A, ground: block}
  radio: {place: panel, draw: 3 A, ground: block}
  starter: {place: panel, draw: 150 A, on: start, ground: block, intermittent: yes}
circuits:
  lamp: {bus: main, breaker: auto, feeds: lamp, through: {plug: {feed: A, return: B}}}
  radio: {bus: essential, breaker: auto, feeds: radio}
  starter: {bus: main, feeds: starter, unprotected: starter}
plugs:
  plug: {place: panel, type: circular-38999-16, contacts: socket, pins: {A: feed, B: return}}
places: {panel: {ambient: 20 °C}, tail: }
ways: [{between: [panel, tail], length: 4 ft}]
"""


def gauge(study: Study, name: str) -> tuple[str, str]:
    found = sizing(study).gauges[name]
    return found.awg, found.decided


def test_a_wire_is_as_thick_as_its_contacts_need() -> None:
    # MIL-DTL-38999 contacts of size 16 take AWG 20 to 16 (from memory); AWG 22 would do for 0.5 A
    assert gauge(small(PLUG), "lamp/2") == ("20", "contacts of plug")
    bare = small(PLUG.replace("circular-38999-16", "round-2"))
    assert gauge(bare, "lamp/2") == ("22", "least gauge for strength")


def test_a_wire_too_thick_for_its_contacts_is_said_and_stays_thick() -> None:
    study = small(PLUG.replace("draw: 0.5 A", "draw: 20 A"))
    found = sizing(study).gauges["lamp/2"]
    assert not found.satisfied
    assert AWGS.index(found.awg) > AWGS.index("16")
    assert found.decided.endswith("contacts of plug take AWG 16 at most")
    assert choices(study)["lamp"].stuck


def test_no_copper_against_contacts_that_lose_too_much() -> None:
    study = small(PLUG + "limits: {drop-continuous: 20 mV}\n")
    found = sizing(study).gauges["lamp/2"]
    assert (found.awg, found.satisfied) == ("20", False)
    assert found.decided == "voltage drop, which no gauge makes up for"


def test_a_stand_by_feeder_is_made_for_what_hangs_behind_it() -> None:
    # the diode keeps it without current while all is well: by that alone 0.5 A would do for 3 A
    device = sizing(small(PLUG)).devices["stand-by"]
    assert device.rating_a is not None
    assert device.rating_a >= 3.0 / 0.8
    assert device.chosen


def test_a_feeder_opens_after_what_hangs_behind_it() -> None:
    # the load of 3 A alone would do with the 5 A of the radio's own breaker; 4 A would hold it too,
    # if its current were known: where it comes from is not said, so that it may be 3.7 A
    study = small(PLUG)
    found = sizing(study).devices
    feeder, radio = found["main-to-essential"], found["radio"]
    assert (radio.rating_a, feeder.decided) == (5.0, "to open after the 5 A breaker of radio")
    assert before(study, feeder, 5.0, [radio]) == "5 A breaker of radio"
    assert before(study, feeder, feeder.rating_a or 0.0, [radio]) == ""


def test_three_starts_heat_no_wire_to_its_rating() -> None:
    # IEC 60949, adiabatic: 150 A for 3 times 10 s from 20 °C to 150 °C needs S = I·√t/K,
    # K = 226·√ln((150 + 234.5)/(20 + 234.5)) = 145.1 → 5.66 mm²; AWG 10 has 5.3 to 5.6 mm²
    study = small(PLUG)
    gauges = [g for name, g in sizing(study).gauges.items() if name.startswith("starter/")]
    assert min(AWGS.index(g.awg) for g in gauges) >= AWGS.index("8")


def test_what_grew_past_the_least_is_taken_back() -> None:
    # in a bundle thin wires load each other more: the alternator's cable once grew to AWG 1
    bare = from_nothing(whole("larkspur")).study
    grown = SizeSearch(bare)
    grown.run(trim=False)
    chosen = {name: gauge.awg for name, gauge in sizing(bare).gauges.items()}
    mass = [
        sum(size_of(bare, c, gauges[c.id]).mass_kg_per_m * (runs(bare)[c.id].length_m or 0.0)
            for c in chains(bare).conductors() if c.id in gauges)
        for gauges in (chosen, grown.work.gauges)
    ]  # fmt: skip
    assert mass[0] < mass[1] - 0.1


def test_a_ground_wire_is_chosen_by_its_drop_and_not_by_ohms() -> None:
    # the 5 mΩ of FAA-H-8083 hold for a return through structure
    awg, decided = gauge(small(PLUG), "far-ground/1")
    assert "mΩ" not in decided
    assert awg == "22"


def test_what_starts_without_a_device_bears_a_short_until_it_is_switched_off() -> None:
    # 12.9 V over 8 mΩ drive less than 1613 A; IEC 60949 from 50 °C to the 230 °C of ETFE:
    # K = 226·√ln((230 + 234.5)/(50 + 234.5)) = 158.2, S = I·√3 s/K = 17.7 mm²: AWG 4 has 21 mm²,
    # AWG 6 has 13. With a device, or with 80 mΩ, the cable is as thick as its load needs.
    text = PLUG.replace("from: battery, to: main, limiter: auto", "CABLE")
    text = text.replace("battery: {", "battery: {resistance: 8 mΩ, ")
    cable = "name: cable, from: battery, to: main"
    bare_ = small(text.replace("CABLE", f"{cable}, unprotected: starting"))
    assert gauge(bare_, "cable/1") == ("4", "heat of a short until it is switched off")
    # no lasting current asks for it: "may carry so much, and more is needed" would be untrue
    reason = gauge_reason(bare_, chains(bare_).by_name["cable"])
    assert "because AWG 6 does not do: heat of a short until it is switched off." in reason
    held = small(text.replace("CABLE", f"{cable}, limiter: auto"))
    assert "short" not in gauge(held, "cable/1")[1]
    weak = small(text.replace("8 mΩ", "80 mΩ").replace("CABLE", f"{cable}, unprotected: starting"))
    assert "short" not in gauge(weak, "cable/1")[1]
