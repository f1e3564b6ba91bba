"""Rows of parts and conductors: order, numbers, segment letters, and what branches share."""

from itertools import pairwise

import pytest

from elec.answers.base.marks import marks
from elec.wiring.chains import Conductor, chains
from tests.answers.helper import NAMES, small, whole

WINGS = """\
system: {name: Wings, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders: [{from: battery, to: main, contactor: master, diode: schottky, limiter: auto}]
equipment:
  left: {place: left-tip, draw: 1 A, ground: block}
  right: {place: right-tip, draw: 1 A, ground: block}
  tail: {place: panel, draw: 1 A, ground: block}
plugs:
  left-plug: {place: left-root, type: circular-38999-16, pins: {A: feed, B: low}}
  right-plug: {place: right-root, type: circular-38999-16, pins: {A: feed, B: low}}
circuits:
  nav:
    bus: main
    breaker: auto
    switch: nav
    splice: belly
    feeds: [left, right, tail]
    function: L
    number: 7
    through:
      left-plug: {feed: A, return: B, for: left}
      right-plug: {feed: A, return: B, for: right}
  both:
    bus: main
    breaker: auto
    feeds: [left]
    function: L
    through: {left-plug: {feed: A, return: B}, right-plug: {feed: A, return: B}}
places: {panel: , belly: , left-root: , right-root: , left-tip: , right-tip: }
ways:
  - {between: [panel, belly], length: 1 m}
  - {between: [belly, left-root], length: 2 m}
  - {between: [left-root, left-tip], length: 3 m}
  - {between: [belly, right-root], length: 2 m}
  - {between: [right-root, right-tip], length: 3 m}
"""


def names(conductor: Conductor) -> tuple[str, str]:
    return conductor.a.id, conductor.b.id


def test_a_branched_circuit_shares_its_trunk_and_nothing_else() -> None:
    nav = chains(small(WINGS)).by_name["nav"]
    found = [names(c) for c in nav.conductors() if c.role == "feed"]
    assert found == [
        ("nav/breaker", "nav/switch:nav"),
        ("nav/switch:nav", "nav/splice"),
        ("nav/splice", "left-plug.A"),
        ("left-plug.A", "left.+"),
        ("nav/splice", "right-plug.A"),
        ("right-plug.A", "right.+"),
        ("nav/splice", "tail.+"),
    ]


def test_every_load_has_its_own_way_back_in_order() -> None:
    nav = chains(small(WINGS)).by_name["nav"]
    back = {row.equipment: row for row in nav.rows if row.role == "return"}
    assert [part.id for part in back["left"].parts] == ["left.-", "left-plug.B", "ground:block"]
    assert [part.id for part in back["tail"].parts] == ["tail.-", "ground:block"]


def test_a_return_through_two_plugs_is_a_return_all_the_way() -> None:
    both = chains(small(WINGS)).by_name["both"]
    found = [c for c in both.conductors() if "plug" in c.a.id and "plug" in c.b.id]
    assert [(c.role, c.colour) for c in found] == [("feed", None), ("return", "black")]


def test_a_feeder_keeps_the_order_device_contactor_diode() -> None:
    (feeder,) = chains(small(WINGS)).of("feeder")
    kinds = [part.kind for part in feeder.parts()]
    assert kinds == ["source", "limiter", "contactor", "diode", "bus"]
    assert len(feeder.conductors()) == 2


def test_marks_follow_function_number_segment_gauge_and_ground() -> None:
    study = small(WINGS)
    found = marks(study)
    assert found["nav/1"].startswith("L7A")
    assert found["nav/2"].startswith("L7B")
    grounded = [c.id for c in chains(study).conductors() if c.b.kind == "ground"]
    assert all(found[name].endswith("N") for name in grounded)
    assert not found["nav/1"].endswith("N")
    # The number that is given is not handed out again.
    assert found["both/1"].startswith("L1A")


@pytest.mark.parametrize("name", NAMES)
def test_ids_and_marks_name_one_wire(name: str) -> None:
    study = whole(name)
    found = [c.id for c in chains(study).conductors()]
    assert len(set(found)) == len(found)
    every = list(marks(study).values())
    assert len(set(every)) == len(every)


@pytest.mark.parametrize("name", NAMES)
def test_rows_hang_together(name: str) -> None:
    for chain in chains(whole(name)).by_name.values():
        for row in chain.rows:
            assert len(row.conductors) == len(row.parts) - 1
            for (a, b), conductor in zip(pairwise(row.parts), row.conductors, strict=True):
                if conductor is None:
                    assert a.outlet == b.inlet
                else:
                    leaves = conductor.a  # a field wire leaves the box by a contact of its own
                    assert leaves.id == a.id or (leaves.contact, b.contact) == ("field", "F")
                    assert (leaves.name, conductor.b.id) == (a.name, b.id)


@pytest.mark.parametrize("name", NAMES)
def test_every_load_is_fed_and_returns(name: str) -> None:
    study = whole(name)
    for circuit in chains(study).of("circuit"):
        for load in circuit.loads:
            roles = {row.role for row in circuit.rows if row.equipment == load}
            assert roles == {"feed", "return"}
