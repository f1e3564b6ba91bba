"""Where wires begin and end: posts of contactors, stubs of fuses in thin wires, ends of cables."""

import pytest

from elec.study import Study
from elec.wiring.chains import chains, unfed_lamp
from elec.wiring.ends import wire_ends
from elec.wiring.sources import output
from tests.answers.helper import small

TEXT = """\
system: {name: Ends, nominal: 14 V}
phases:
  taxi: {lasts: 5 min, engine: 1000 rpm}
  climb: {lasts: 5 min, engine: 2000 rpm}
  cruise: {lasts: 1 h, engine: 2500 rpm}
  slow: {lasts: 1 h, engine: 500 rpm}
sources:
  battery: {kind: lead-acid, place: panel, capacity: 18 Ah}
  alternator: {kind: alternator, place: panel, setpoint: 14.2 V,
               output: {1000 rpm: 16 A, 1500 rpm: 30 A, 2500 rpm: 41 A}, warning-lamp: warner}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders:
  - {name: first, from: battery, to: main, contactor: master, limiter: auto}
  - {from: alternator, to: main, limiter: auto}
switches: {master: {kind: contactor, coil: 0.8 A}, lamp-switch: {place: panel}}
equipment:
  lamp: {place: panel, draw: 1 A}
  radio: {place: panel, draw: 1 A, connectors: {J1: {type: dsub-9}}}
  box: {place: panel, draw: 1 A, connectors: {J1: {type: dsub-9}}}
  aerial: {place: panel, passive: yes}
  idle: {place: panel, passive: yes}
  warner: {place: panel, passive: yes}
circuits:
  lamp: {bus: main, breaker: auto, switch: lamp-switch, feeds: lamp}
  radio: {bus: main, breaker: auto, feeds: radio.J1.1}
  box: {bus: main, breaker: auto, feeds: box.J1.1}
wires:
  - {from: main, to: [radio.J1.5, box.J1.5], fuse: {rating: 1 A, stub: 2 in}, splice: panel}
  - {from: idle, to: box.J1.8, function: P}
  - {from: warner, to: box.J1.9, function: P}
coax:
  antenna: {type: RG-400, from: radio, to: aerial}
multicores:
  link: {type: 2-core AWG 22, cores: {red: {from: radio.J1.3, to: box.J1.4},
         blue: {from: radio.J1.6, to: box.J1.7}}}
places: {panel: }
"""


@pytest.fixture(scope="module")
def study() -> Study:
    return small(TEXT)


def test_a_wire_on_a_contactor_names_the_post_and_one_on_a_switch_does_not(study: Study) -> None:
    ends = [end for c in chains(study).by_name["first"].conductors() for end in wire_ends(study, c)]
    posts = [end.rpartition(", ")[2] for end in ends if end.endswith(" post")]
    assert posts == ["line post", "load post"]
    lamp = [end for c in chains(study).by_name["lamp"].conductors() for end in wire_ends(study, c)]
    assert any("switch" in end for end in lamp)
    assert not any(end.endswith(" post") for end in lamp)


def test_a_stub_of_a_thin_wire_has_a_name_and_the_others_are_counted_without_it(
    study: Study,
) -> None:
    wires = chains(study).by_name["wire-1"].conductors()
    assert [w.id for w in wires] == ["wire-1/stub", "wire-1/1", "wire-1/2", "wire-1/3"]
    assert [w.segment for w in wires] == ["A", "B", "C", "D"]
    assert [(w.b.kind, w.b.name) for w in wires[2:]] == [
        ("equipment", "radio"),
        ("equipment", "box"),
    ]


def test_a_cable_begins_and_ends_where_its_first_core_does(study: Study) -> None:
    link = chains(study).by_name["link"]
    assert (link.source_end, link.far_end) == ("radio.J1.3", "box.J1.4")
    assert [(c.a.contact, c.b.contact, c.core) for c in link.conductors()] == [
        ("J1.3", "J1.4", "red"), ("J1.6", "J1.7", "blue"),
    ]  # fmt: skip


def test_a_coaxial_line_has_one_core(study: Study) -> None:
    assert [c.role for c in chains(study).by_name["antenna"].conductors()] == ["coax"]


def test_an_unfed_power_wire_is_that_of_a_lamp_where_an_alternator_names_it(study: Study) -> None:
    wires = list(chains(study).of("wire"))
    unfed = [wire.title for wire in wires if unfed_lamp(study, wire)]
    assert unfed == [
        "warner to box J1-9",
        "warner to terminal L of alternator",
    ]  # the latter by itself
    assert [wire.hot for wire in wires] == [True, False, False, False]


def test_between_two_points_of_a_curve_the_hand_calculation_has_both(study: Study) -> None:
    source = study.document.sources["alternator"]
    found = {p: output(study, "alternator", source, p) for p in study.document.phases}  # type: ignore[arg-type]
    climb = found["climb"]
    assert climb is not None
    assert climb.result.value == 35.5
    assert sorted(t.value for t in climb.terms) == [30, 41, 1500, 2000, 2500]
    assert {p: (s.result.value, s.note) for p, s in found.items() if s and s is not climb} == {
        "taxi": (16, ""),
        "cruise": (41, "at or above the last point of the curve"),
        "slow": (0, "below the first point of the curve, 1000 rpm, nothing is counted"),
    }
