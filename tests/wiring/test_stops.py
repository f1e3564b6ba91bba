"""A way that is given (`via`) is gone once: each wire lies on the part between its own ends."""

from itertools import pairwise

import pytest

from elec.answers.why.why_thing import bundle_working
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from elec.wiring.surroundings import surroundings
from tests.answers.helper import small

TEXT = """\
system: {{name: Ways, nominal: 14 V, return: wired}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources: {{battery: {{kind: lead-acid, place: firewall, capacity: 18 Ah}}}}
buses: {{main: {{place: panel}}}}
feeders:
  - {{name: supply, from: battery, to: main, limiter: 30 A, contactor: relay, diode: schottky,
     via: [{via}]}}
switches: {{relay: {{kind: relay, place: {relay}}}, lamp: {{place: panel}}}}
grounds: {{block: {{place: {ground}}}}}
equipment:
  lamp: {{place: tail, draw: 8 A, ground: block}}
  radio: {{place: panel, draw: 4 A, ground: block}}
circuits:
  lamp: {{bus: main, breaker: auto, switch: lamp, feeds: lamp{circuit}}}
  radio: {{bus: main, breaker: auto, feeds: radio}}
places: {{firewall: , panel: , belly: , roof: , seat: , tail: }}
ways:
  - {{name: front, between: [firewall, panel], length: 3 ft}}
  - {{name: low, between: [firewall, belly], length: 4 ft}}
  - {{name: up, between: [belly, panel], length: 4 ft}}
  - {{name: over, between: [panel, roof], length: 3 ft}}
  - {{name: back, between: [roof, tail], length: 9 ft}}
  - {{name: under, between: [panel, seat], length: 3 ft}}
  - {{name: aft, between: [seat, tail], length: 7 ft}}
"""


def made(
    *, via: str = "belly", relay: str = "firewall", ground: str = "firewall", circuit: str = ""
) -> Study:
    return small(TEXT.format(via=via, relay=relay, ground=ground, circuit=circuit))


def passed(study: Study, chain: str) -> list[tuple[str, ...]]:
    """The places of each wire of a chain, in order."""
    return [runs(study)[c.id].places for c in chains(study).by_name[chain].conductors()]


def test_a_stub_to_a_relay_at_the_same_place_stays_there() -> None:
    # limiter → relay within the firewall; relay → diode by the belly
    assert passed(made(), "supply") == [("firewall",), ("firewall", "belly", "panel")]


@pytest.mark.parametrize(
    ("relay", "expected"),
    [
        ("belly", [("firewall", "belly"), ("belly", "panel")]),
        ("panel", [("firewall", "belly", "panel"), ("panel",)]),
        # off the way: it has to be gone to, and the place is passed once all the same
        ("roof", [("firewall", "belly", "panel", "roof"), ("roof", "panel")]),
    ],
)
def test_each_wire_lies_between_its_own_ends(relay: str, expected: list[tuple[str, ...]]) -> None:
    assert passed(made(relay=relay), "supply") == expected


def test_a_way_given_by_several_places_is_gone_in_order() -> None:
    study = made(via="panel, belly", relay="belly")
    assert passed(study, "supply") == [("firewall", "panel", "belly"), ("belly", "panel")]


def test_the_printed_sum_has_a_term_for_each_wire_counted() -> None:
    study = made()
    found = surroundings(study).bundles["way:1"]
    working = bundle_working(study, "way:1")
    assert working is not None
    assert found.members == ("supply/2",)
    assert len(working.steps[0].terms) == len(found.members)


def test_a_wire_that_does_pass_twice_has_two_terms() -> None:
    study = made(via="belly, firewall, belly")
    found = surroundings(study).bundles["way:1"]
    working = bundle_working(study, "way:1")
    assert working is not None
    assert found.members == ("supply/2",) * 3
    assert len(working.steps[0].terms) == 3


@pytest.mark.parametrize(
    ("ground", "back"),
    [
        ("tail", ("tail",)),
        ("roof", ("tail", "roof")),
        ("panel", ("tail", "roof", "panel")),
        ("firewall", ("tail", "roof", "panel", "firewall")),
    ],
)
def test_the_return_of_a_circuit_lies_beside_its_feed(ground: str, back: tuple[str, ...]) -> None:
    study = made(ground=ground, circuit=", via: roof")
    assert passed(study, "lamp") == [("panel",), ("panel", "roof", "tail"), back]


def test_one_load_is_led_to_along_the_whole_way() -> None:
    study = made(circuit=", via: [roof, tail, seat]")
    assert passed(study, "lamp")[1] == ("panel", "roof", "tail", "seat", "tail")


def test_each_of_two_loads_is_led_to_along_the_way_as_far_as_it_lies() -> None:
    text = TEXT.replace("{{place: panel, draw: 4 A, ground: block}}", "{{place: roof, draw: 4 A}}")
    text = text.replace("  radio: {{bus: main, breaker: auto, feeds: radio}}\n", "")
    both = "feeds: [lamp, radio], via: [roof, tail, seat]"
    made_ = text.replace("feeds: lamp{circuit}", both)
    study = small(made_.format(via="belly", relay="firewall", ground="tail", circuit=""))
    feeds = [c for c in chains(study).by_name["lamp"].conductors() if c.role == "feed"]
    assert [(c.b.name, runs(study)[c.id].places) for c in feeds] == [
        ("lamp", ("panel",)),  # the switch
        ("lamp", ("panel", "roof", "tail")),
        ("radio", ("panel", "roof")),
    ]


def test_no_wire_of_a_given_way_goes_a_way_twice() -> None:
    study = made(ground="panel", circuit=", via: seat")
    for run in runs(study).values():
        legs = [leg.index for leg in run.legs]
        assert all(a != b for a, b in pairwise(legs)), run.conductor
