"""Chains of a form that few have: meeting on a relay, from load to load, on through a plug."""

import pytest

from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.built import Built, built
from elec.wiring.cases import cases
from elec.wiring.chains import Chain, chains
from elec.wiring.circuit_model import Model, build
from elec.wiring.coils import behind_common, feeding, wires_behind
from elec.wiring.kinds import kind_of
from elec.wiring.runs import runs
from elec.wiring.surroundings import surroundings, system_ambient
from elec.wiring.taps import ThinDraw, taps
from tests.answers.helper import small
from tests.answers.test_behind_common import TEXT as COMMON

TEXT = """\
system: {name: On, nominal: 14 V, conditions: [day], return: wired, structure: wood}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  battery: {kind: lead-acid, place: bay, capacity: 18 Ah, resistance: 9 mΩ}
  first: {kind: alternator, place: bay, setpoint: 14.2 V, rating: 30 A, field: 2 A,
    field-circuit: field, field-wire: regulator}
  second: {kind: alternator, place: bay, setpoint: 14.2 V, rating: 30 A, field: 1 A}
buses: {main: {place: bay}}
feeders:
  - {name: cable, from: battery, to: main, limiter: 60 A, gauge: AWG 8, contactor: master}
  - {name: output, from: main, to: first, limiter: 60 A, gauge: AWG 8}
  - {name: other, from: main, to: second, limiter: 60 A, gauge: AWG 8}
  - {name: round, from: main, to: battery, limiter: 30 A, gauge: AWG 10, avoid: [tail],
     via: [far], switch: round}
switches:
  master: {kind: contactor, rating: 80 A, coil: 0.8 A}
  round: {kind: relay, place: bay, rating: 40 A, coil: 0.1 A}
  lamp: {place: bay}
plugs: {plug: {type: dsub-9, place: tail}}
grounds: {block: {place: bay, kind: block}}
equipment:
  stray: {place: bay, draw: 2 A}
  regulator: {place: bay, draw: 3 A}
  meter: {place: tail, passive: yes}
  near: {place: bay, draw: 0.1 A}
  gauge: {place: tail, draw: 0.1 A}
  lamp: {place: tail, draw: 1 A}
  left: {place: tail, draw: 1 A}
  right: {place: tip, draw: 1 A}
  bell: {place: bay, passive: yes}
  radio: {place: bay, draw: 1 A, connectors: {J1: {type: dsub-9, pins: {1: power, 2: ground}},
    antenna: {type: bnc}, aux: {type: bnc}}}
  whip: {place: tail, passive: yes}
circuits:
  field: {bus: main, breaker: 5 A, feeds: regulator}
  lamp: {bus: main, breaker: 5 A, feeds: [near, gauge, lamp], daisy-chain: both, switch: lamp}
  tail: {bus: main, breaker: 5 A, feeds: [left, right], splice: {tail: [left, right]},
    return-splice: {tail: [left, right]}, through: {plug: {feed: 7, return: 8}}}
  radio: {bus: main, breaker: 5 A, feeds: radio.J1.1, ground: radio.J1.2, diode: schottky}
wires:
  - {from: main, to: plug.1, fuse: 1 A}
  - {from: plug.1, to: meter.1, amps: 50 mA}
  - {from: meter.2, to: bell.1, function: P}
coax:
  com: {type: RG-400, from: radio.antenna, to: whip, service: com}
  listen: {type: RG-400, from: radio.aux, to: whip, service: gps}
  plain: {type: RG-400, from: radio.aux, to: whip}
places: {bay: {within: 2 ft}, tail: , tip: , far: }
ways:
  - {between: [bay, tail], length: 3 m}
  - {between: [tail, tip], length: 2 m}
  - {between: [tail, far], length: 2 m}
"""


@pytest.fixture(scope="module")
def study() -> Study:
    return small(TEXT)


def lines(chain: Chain) -> list[list[str]]:
    """The parts of each row by their ids."""
    return [[part.id for part in row.parts] for row in chain.rows]


def test_two_feeders_meet_on_the_common_terminal_of_a_relay() -> None:
    common = small(COMMON.format(gauge="", reserve="30 A", engine="no"))
    every = chains(common).by_name
    normal, reserve = every["normal"], every["reserve"]
    assert lines(normal) == [["main", "normal/breaker", "normal/changeover:relay", "essential"]]
    assert lines(reserve) == [["battery", "reserve/fuse", "reserve/changeover:relay", "relay.(30)"]]
    *_, contact, end = reserve.rows[0].parts
    here = normal.rows[0].parts[2]
    assert here.outlet == contact.outlet == end.inlet == end.outlet == "relay.(30)"
    assert (here.terminals, contact.terminals) == (("(87)", "(30)"), ("(87a)", "(30)"))
    assert (here.resting, contact.resting, end.resting) == (False, True, False)
    assert (end.kind, end.contact, end.terminals) == ("post", "(30)", ("", ""))
    first, last = normal.conductors()
    assert behind_common(common) == {"reserve": (normal, (last,))}
    assert wires_behind(common, reserve) == (*reserve.conductors(), last)
    assert wires_behind(common, normal) == (first, last)
    assert [feeding(common, one) for one in (normal, reserve)] == [("reserve",), ()]


def test_a_wire_from_load_to_load_goes_back_the_same_way(study: Study) -> None:
    trunk = ["main", "lamp/breaker", "lamp/switch:lamp"]
    assert lines(chains(study).by_name["lamp"]) == [
        [*trunk, "near.+"],
        ["near.-", "ground:block"],
        [*trunk, "near.+", "gauge.+"],
        ["gauge.-", "near.-", "ground:block"],
        [*trunk, "near.+", "gauge.+", "lamp.+"],
        ["lamp.-", "gauge.-", "near.-", "ground:block"],
    ]


def test_plugs_and_splices_stand_in_order_of_their_distance(study: Study) -> None:
    found = lines(chains(study).by_name["tail"])
    feed = ["main", "tail/breaker", "plug.7", "tail/splice:tail"]
    back = ["tail/return-splice:tail", "plug.8", "ground:block"]
    assert found == [
        [*feed, "left.+"], ["left.-", *back], [*feed, "right.+"], ["right.-", *back],
    ]  # fmt: skip
    farther = small(
        TEXT.replace("splice: {tail: [left, right]},\n", "splice: {bay: [left, right]},\n")
    )
    (first, *_) = lines(chains(farther).by_name["tail"])
    assert first == ["main", "tail/breaker", "tail/splice:bay", "plug.7", "left.+"]


def test_the_diode_of_a_circuit_sits_at_its_load(study: Study) -> None:
    diode = next(p for p in chains(study).by_name["radio"].parts() if p.kind == "diode")
    assert (diode.name, diode.place, diode.id) == ("schottky", "bay", "radio/diode")
    away = small(TEXT.replace("radio: {place: bay, draw: 1 A", "radio: {place: tip, draw: 1 A"))
    diode = next(p for p in chains(away).by_name["radio"].parts() if p.kind == "diode")
    assert diode.place == "tip"


def test_a_thin_wire_goes_on_through_a_plug_and_out_of_what_it_ends_on(study: Study) -> None:
    found = [(c.name, c.hot, c.guards, c.after, c.output) for c in chains(study).of("wire")]
    assert found == [
        ("wire-1", True, ("wire-1",), "", ""),
        ("wire-2", True, ("wire-1",), "wire-1", ""),
        ("wire-3", True, ("wire-2",), "wire-2", "meter"),
    ]
    assert taps(study) == {"wire-3": ThinDraw(amps_a=0.05)}


def model(study: Study, *, outputs: bool = False) -> Model:
    return build(study, cases(study), sizing(study).sizes(), outputs=outputs)


def test_what_comes_out_of_a_meter_is_there_where_its_shorts_are_asked(study: Study) -> None:
    short = {one.name: (one.a, one.b) for one in model(study, outputs=True).netlist.resistors}
    plain = {one.name: (one.a, one.b) for one in model(study).netlist.resistors}
    assert short["wire-3/inside"] == ("meter.1", "meter.2")
    assert short["wire-3/1"] == ("meter.2", "bell.1")
    assert set(short) - set(plain) == {"wire-3/inside", "wire-3/1"}
    assert set(plain) <= set(short)
    assert {"wire-1/1", "wire-1/fuse", "wire-2/1"} <= set(plain)
    # a plug that two of them pass is there once
    names = [one.name for one in model(study).netlist.resistors]
    assert names.count("plug.1") == 1
    assert len(names) == len(set(names))


def test_what_hangs_on_no_circuit_hides_no_other_load(study: Study) -> None:
    names = [one.name for one in model(study).netlist.loads]
    assert names == [
        "regulator", "near", "gauge", "lamp", "left", "right", "radio",
        "coil:master", "coil:round", "field:second", "tap:wire-3",
    ]  # fmt: skip


def test_a_coil_of_a_feeder_is_on_while_that_is_closed(study: Study) -> None:
    made = model(study)
    row = [one.name for one in made.netlist.loads].index("coil:master")
    assert set(made.values.load_value[row]) == {0.8}
    used = small(TEXT.replace("contactor: master}", "contactor: master, used: normal}"))
    made = model(used)
    for case, amps in zip(cases(used), made.values.load_value[row], strict=True):
        assert amps == (0.0 if case.scenario.emergency else 0.8)


def test_what_is_said_of_one_wire_counts_before_its_circuit() -> None:
    lamp = chains(small(TEXT)).by_name["lamp"]
    mark = f"{lamp.function}{lamp.number}A"
    text = f"build: {{lamp: {{state: pulled}}, {mark}: {{state: tested, ohms: 9 mΩMORE}}}}\n"
    study = small(TEXT + text.replace("MORE", ""))
    found = built(study)
    by_wire = {name: (one.name, one.own) for name, one in found.by_conductor.items()}
    first, *others = (one.id for one in lamp.conductors())
    assert by_wire == {first: (mark, True), **dict.fromkeys(others, ("lamp", False))}
    assert (found.unmatched, found.moved, found.several) == ((), {}, {})
    done = found.by_conductor[first].done
    elsewhere = built(small(TEXT + text.replace("MORE", ', for: "main to lamp.+; AWG 20"')))
    moved = elsewhere.moved[first]
    assert (moved.name, moved.own, moved.done.state) == (mark, True, done.state)
    assert set(elsewhere.by_conductor) == set(others)
    assert isinstance(moved, Built)


def test_a_length_that_was_cut_counts_where_it_is_one_wire_s() -> None:
    lamp = chains(small(TEXT)).by_name["lamp"]
    mark = f"{lamp.function}{lamp.number}A"
    plain = {name: run.length_m for name, run in runs(small(TEXT)).items()}
    one = small(f"{TEXT}build: {{{mark}: {{state: cut, cut: 37 in}}}}\n")
    cut = {name: run.length_m for name, run in runs(one).items()}
    assert cut == {**plain, "lamp/1": pytest.approx(37 * 0.0254)}
    whole = small(f"{TEXT}build: {{lamp: {{state: cut, cut: 37 in}}}}\n")
    assert {name: run.length_m for name, run in runs(whole).items()} == plain
    assert list(built(whole).several) == ["lamp"]
    pulled = small(f"{TEXT}build: {{{mark}: {{state: pulled}}}}\n")
    assert {name: run.length_m for name, run in runs(pulled).items()} == plain


def test_which_coaxial_line_disturbs(study: Study) -> None:
    every = chains(study).by_name
    found = {n: kind_of(study, every[n], every[n].conductors()[0])
             for n in ("com", "listen", "plain")}  # fmt: skip
    assert found == {"com": "antenna", "listen": "signal", "plain": "signal"}


def test_a_wire_for_which_there_is_no_way_lies_alone(study: Study) -> None:
    (last,) = [c for c in chains(study).by_name["round"].conductors() if c.b.place == "bay"][-1:]
    found = [one for one in surroundings(study).bundles.values() if not one.known]
    assert [one.id for one in found] == [f"alone:{last.id}"]
    (one,) = found
    assert (one.title, one.leg, one.place, one.bundles) == (
        "a run that is not known",
        None,
        None,
        1,
    )
    assert one.members == (last.id,)
    assert one.ambient == system_ambient(study)
    assert all(b.known for b in surroundings(study).bundles.values() if b is not one)
