"""Where wires lie, how warm it is there, what beside what, where they end: each rule by itself."""

import pytest
from msgspec.structs import replace

from elec.model.load import Connector
from elec.standards import copper, default
from elec.study import Study
from elec.wiring.built import at_least, built, ends_of, find
from elec.wiring.chains import (
    Part,
    bond_ohm,
    bonded_grounds,
    chains,
    known_ohm,
    main_ground,
    nearest_ground,
)
from elec.wiring.chains import joined as joined_ground
from elec.wiring.ends import end_text, post_of, spoken, wire_ends
from elec.wiring.feeder_shapes import feeder_shapes, titles
from elec.wiring.graph import graph
from elec.wiring.joined.pieces import pins_with, terminal_title
from elec.wiring.kinds import kind_of, together
from elec.wiring.laid import Laid, laid
from elec.wiring.landings import landings
from elec.wiring.limits import limit, limits, published, shown
from elec.wiring.material import bears, material
from elec.wiring.runs import is_known, runs, twisted_pairs, way_text
from elec.wiring.structure import on_structure, structure_current_a
from elec.wiring.surroundings import engine_ambient, place_ambient, surroundings, system_ambient
from elec.wiring.taps import taps
from elec.wiring.ways import apart_m, distances, ties_between
from elec.wiring.wires import kind_of as wire_kind_of
from elec.wiring.wires import kinds, tap_current
from tests.answers.helper import small

TEXT = """\
system: {name: Lie, nominal: 14 V, ambient: 30 °C, return: airframe, structure: aluminium,
  conditions: [day, night]}
phases:
  taxi: {lasts: 10 min, engine: 1200 rpm}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  alternator: {kind: alternator, place: nose, setpoint: 14.2 V, rating: 40 A,
    output: {1000 rpm: 20 A}}
  battery: {kind: lead-acid, place: nose, capacity: 18 Ah}
buses: {main: {place: panel}, side: {place: panel}, far: {place: panel}}
zones: {wing: {places: [tip, root], structure: glass}}
feeders:
  - {name: cable, from: battery, to: main, unprotected: short, gauge: AWG 4}
  - {name: output, from: main, to: alternator, limiter: 60 A, gauge: AWG 8}
  - {name: one, from: main, to: side, breaker: 20 A, gauge: AWG 10}
  - {name: two, from: main, to: side, breaker: 20 A, gauge: AWG 10}
  - {name: third, from: side, to: far, breaker: 20 A, gauge: AWG 10}
  - {name: fourth, from: main, to: far, breaker: 20 A, gauge: AWG 10}
  - {name: fifth, from: side, to: far, breaker: 15 A, gauge: AWG 10}
  - {name: valve, from: main, to: far, breaker: 15 A, gauge: AWG 10, diode: schottky}
grounds:
  firewall: {place: nose, kind: structure}
  block: {place: panel, kind: block, to: firewall, resistance: 3 mΩ}
  wing-block: {place: root, kind: block, to: block}
equipment:
  lamp: {place: tip, draw: 2 A}
  radio: {place: panel, draw: 3 A,
    connectors: {J1: {type: dsub-9, pins: {"1": power, "5": mic-hi}}}}
  heater: {place: tail, draw: 4 A, when: night}
  box: {place: panel, draw: 1 A, connectors: {J1: {type: dsub-9,
    pins: {"1": power, "5": mic-hi, "7": light, "8": sense, "9": tach}}}}
  mag: {place: nose, passive: yes}
circuits:
  lamp: {bus: main, breaker: 5 A, feeds: lamp, twisted: yes, switch: lights}
  radio: {bus: main, breaker: 5 A, feeds: radio.J1.1, ground-point: block}
  heater: {bus: main, breaker: 10 A, feeds: heater}
  box: {bus: main, breaker: 5 A, feeds: box.J1.1}
wires:
  - {from: radio.J1.5, to: box.J1.5}
  - {from: main, to: box.J1.7, fuse: 1 A, amps: 0.1 A}
  - {from: main, to: box.J1.8, fuse: 1 A}
  - {from: mag, to: box.J1.9, function: J}
places:
  nose: {station: 0 m, ambient: 60 °C}
  panel: {station: 1 m, buttline: 1 m, waterline: -2 m, within: 20 in}
  tail: {station: 5 m}
  root: {ambient: 20 °C}
  tip:
  loft: {structure: steel-tube}
  hut: {structure: wood}
ways:
  - {between: [nose, panel], length: 3 ft, bundles: 2}
  - {between: [nose, panel], length: 4 ft, name: high}
  - {between: [panel, tail], ambient: 45 °C}
  - {between: [panel, root], length: 2 m}
  - {between: [root, tip], length: 3 m}
"""


@pytest.fixture(scope="module")
def study() -> Study:
    return small(TEXT)


# -- lengths --------------------------------------------------------------------------------------


def test_how_far_two_places_are_apart(study: Study) -> None:
    """From (0, 0, 0) to (1, 1, -2): √6; what has no station is not known."""
    spots = study.document.places
    assert apart_m(spots["nose"], spots["panel"]) == pytest.approx(6**0.5)
    assert apart_m(spots["panel"], spots["tail"]) == pytest.approx(21**0.5)  # (4, -1, 2)
    nose, root = spots["nose"], spots["root"]
    unknown = [(root, nose), (None, nose), (nose, None), (nose, root)]
    assert [apart_m(a, b) for a, b in unknown] == [None] * 4
    assert distances(study, "tip")["panel"] == pytest.approx(5.0)


def test_which_length_is_known(study: Study) -> None:
    wires = {c.id: c for c in chains(study).conductors()}
    assert [is_known(study, wires[n]) for n in ("cable/1", "heater/1", "radio/1")] == [
        True, True, False,
    ]  # fmt: skip
    assert runs(study)["radio/1"].length_m == pytest.approx(20 * 0.0254)
    usual = default("within-place-length").si
    given = small(TEXT.replace("feeds: radio.J1.1", "\n    length: 9 in, feeds: radio.J1.1"))
    wire = {c.id: c for c in chains(given).conductors()}["radio/1"]
    assert is_known(given, wire)
    assert runs(given)["radio/1"].length_m == pytest.approx(9 * 0.0254)
    (step,) = runs(given)["radio/1"].steps
    assert step.result.origin == str(given.system.where("circuits", "radio", "length"))
    assert step.result.origin != str(given.system.where("circuits", "radio"))
    assert usual != 20 * 0.0254


def test_the_way_of_a_wire_in_words(study: Study) -> None:
    found = runs(study)
    assert way_text(study, found["cable/1"]) == "nose (way 1) panel"
    assert way_text(study, found["heater/1"]) == "panel tail"
    assert way_text(study, found["radio/1"]) == "panel"
    around = small(TEXT.replace("length: 3 ft", "length: 5 ft"))
    assert way_text(around, runs(around)["cable/1"]) == "nose (high) panel"


def test_feed_and_return_are_twisted_where_they_lie_together(study: Study) -> None:
    """The jumper from breaker to switch lies within the panel; to the wing lie feed and return."""
    found = twisted_pairs(study)
    feeds = [c for c in chains(study).by_name["lamp"].conductors() if c.role == "feed"]
    assert found == {feeds[-1].id: "return", "lamp/3": "feed"}
    assert len(feeds) == 2


def test_ties_are_asked_for_beyond_their_limit(study: Study) -> None:
    most = limit(study, "ties-beyond").value
    assert [ties_between(study, x) for x in (most * 0.99, most, most * 1.01)] == [
        False, False, True,
    ]  # fmt: skip


# -- heat around ----------------------------------------------------------------------------------


def test_how_warm_it_is_around_a_wire(study: Study) -> None:
    """Given for place and way; on a way the hotter end; the system's 30 °C where nothing is."""
    found = [place_ambient(study, p).value for p in ("nose", "panel", "root", "tip", "nowhere")]
    assert found == [60.0, 30.0, 20.0, 30.0, 30.0]
    bundles = surroundings(study).bundles
    ways = {key: bundle.ambient.value for key, bundle in bundles.items() if bundle.leg is not None}
    assert ways == {"way:0": 60.0, "way:2": 45.0, "way:3": 30.0, "way:4": 30.0}
    assert bundles["way:2"].ambient.meaning == "temperature on the way panel to tail"
    bare = small(TEXT.replace(" ambient: 30 °C,", "").replace(
        "station: 0 m, ambient: 60 °C", "station: 0 m"))  # fmt: skip
    engine = default("engine-ambient").value
    assert place_ambient(bare, "nose").value == engine > default("ambient").value
    assert system_ambient(bare).value == default("ambient").value
    assert engine_ambient(bare, "panel") is None
    hot = small(TEXT.replace("ambient: 30 °C", "ambient: 130 °C").replace(
        "station: 0 m, ambient: 60 °C", "station: 0 m"))  # fmt: skip
    assert place_ambient(hot, "nose").value == 130.0


def test_what_lies_in_a_bundle(study: Study) -> None:
    found = surroundings(study)
    first = found.bundles["way:0"]
    assert (first.title, first.where) == ("nose to panel", "on the way nose to panel")
    # two bundles share the wires out, the larger half in one
    assert first.wires == -(-len(first.members) // 2)
    inside = found.bundles["place:panel"]
    assert (inside.title, inside.where) == ("within panel", "within panel")
    assert inside.bundles == -(-len(inside.members) // 10)
    assert found.of["lamp/2"] == ("way:3", "way:4")
    listed = found.listed()
    assert [b.leg is None for b in listed] == sorted(b.leg is None for b in listed)
    assert found.altitude.value == default("ceiling").si
    assert replace(first, members=()).wires == 1.0
    assert replace(first, fullest=99).wires == 99.0


# -- kinds beside each other ----------------------------------------------------------------------


def test_what_had_better_lie_apart(study: Study) -> None:
    every = chains(study).by_name
    found = {
        name: kind_of(study, every[name], every[name].conductors()[0])
        for name in ("cable", "output", "lamp", "wire-1", "wire-2", "wire-4", "wing-block-ground")
    }
    assert found == {
        "cable": "unprotected", "output": "power", "lamp": "power", "wire-1": "audio",
        "wire-2": "signal", "wire-4": "ignition", "wing-block-ground": "power",
    }  # fmt: skip
    beside = {(one.way, one.first, one.second, one.names, one.unsaid) for one in together(study)}
    assert beside == {(0, "a power wire without a device", "2 others", ("cable",), True)}
    ignition = [one for one in together(study) if one.first == "ignition wires"]
    assert ignition == []  # the radio's microphone stays within the panel


def test_the_fullest_of_named_bundles() -> None:
    named = Laid(
        way=0, names=("a", "b"), of={"x": "a", "y": "b", "z": "b"}, unsaid=(), strangers=()
    )
    assert named.fullest(["x", "y", "z", "other"]) == 2
    assert named.fullest(["other"]) == 0
    bundled = TEXT.replace(
        "length: 3 ft, bundles: 2", "length: 3 ft, bundled: {left: [cable, heater], right: rest}"
    )
    found = laid(small(bundled))[0]
    assert found.strangers == (("left", "heater"),)
    assert found.of["cable"] == "left"
    assert set(found.of.values()) == {"left", "right"}
    assert found.names == ("left", "right")


def test_feeders_beside_each_other_and_rings(study: Study) -> None:
    """one and two are alike; third and fifth are not; valve has a diode and counts for nothing."""
    found = feeder_shapes(study)
    assert found.same == ((2, 3),)
    assert found.parallel == ((4, 6),)
    assert found.rings == ((3, 5, 6),)  # of two beside each other the later one
    assert titles(study, (2, 7)) == ["one", "valve"]
    tree = small(TEXT.replace(
        "  - {name: fourth, from: main, to: far, breaker: 20 A, gauge: AWG 10}\n", ""))  # fmt: skip
    assert feeder_shapes(tree).rings == ()


# -- structure, grounds ---------------------------------------------------------------------------


def test_what_carries_returns(study: Study) -> None:
    assert [material(study, p) for p in ("panel", "tip", "root", "loft", "hut", "none")] == [
        "aluminium", "glass", "glass", "steel-tube", "wood", "aluminium",
    ]  # fmt: skip
    assert [bears(study, p) for p in ("panel", "tip", "loft", "hut")] == [True, False, True, False]
    wired = small(TEXT.replace("return: airframe", "return: wired"))
    assert not bears(wired, "panel")


def test_what_returns_through_the_airframe(study: Study) -> None:
    """lamp ends on the block of its wing, radio on that of the panel: heater and box are left."""
    assert on_structure(study) == {"tail": ("heater",), "panel": ("box",)}
    assert structure_current_a(study) == pytest.approx(5.0)  # 4 A by night, 1 A


def test_grounds(study: Study) -> None:
    assert main_ground(study) == "firewall"
    assert bonded_grounds(study) == ("firewall",)
    assert bond_ohm(study, "firewall") == default("structure-joint-resistance").si
    assert bond_ohm(study, "block") == 0.003
    assert [joined_ground(study, g) for g in ("firewall", "block", "wing-block")] == [
        False, True, False,
    ]  # fmt: skip
    every = chains(study).by_name
    assert known_ohm(study, every["block-ground"]) == 0.003
    assert known_ohm(study, every["wing-block-ground"]) is None
    assert known_ohm(study, every["lamp"]) is None
    assert [nearest_ground(study, p) for p in ("tip", "tail", "nose")] == [
        "wing-block", "block", "firewall",
    ]  # fmt: skip
    assert nearest_ground(study, "hut") == "firewall"


# -- ends -----------------------------------------------------------------------------------------


def part(kind: str, name: str = "x", contact: str = "", **more: object) -> Part:
    said = {"id": f"{name}.{contact}", "place": "panel", "inlet": "a", "outlet": "b", "label": name}
    return Part(kind=kind, name=name, contact=contact, **{**said, **more})  # type: ignore[arg-type]


def test_ends_in_words(study: Study) -> None:
    told = {
        "radio, J1 contact 5": part("equipment", "radio", "J1.5"),
        "radio, J1": part("equipment", "radio", "J1"),
        "lamp, feed": part("equipment", "lamp", "+"),
        "lamp, return": part("equipment", "lamp", "-"),
        "lamp": part("equipment", "lamp", "1"),
        "lamp, X": part("equipment", "lamp", "X"),
        "battery, positive": part("source", "battery", "+"),
        "alternator, F": part("source", "alternator", "F"),
        "breaker of lamp": part("breaker", "lamp", rated="lamp"),
        "breaker of lamp, far end": part("breaker", "lamp", rated="lamp far end"),
        "x diode": part("diode", label="x diode"),
        "panel": part("place"),
        "main": part("bus", "main"),
        "lights switch": part("switch", "lights"),
        "lights switch, terminal 2": part("switch", "lights", "2"),
        "lights contactor, terminal A1": part("contactor", "lights", "A1"),
        "x post": part("post", label="x post"),
        "x switch, terminal B": part("post", contact="B"),
    }
    for words, one in told.items():
        assert end_text(study, one) == words
    assert spoken(study, "tail") == "tail"
    assert [post_of(part("contactor", terminals=("1", "2")), comes=c) for c in (True, False)] == [
        "1", "2",
    ]  # fmt: skip
    assert [post_of(part("contactor"), comes=c) for c in (True, False)] == ["line", "load"]
    assert [post_of(part("post", contact=c), comes=False) for c in ("", "B")] == ["line", "B"]
    lamp = chains(study).by_name["lamp"]
    assert [one.id for one in lamp.ends()] == [row.parts[-1].id for row in lamp.rows]
    assert lamp.ends()[0].id == "lamp.+"
    (wire, *_) = lamp.conductors()
    assert wire_ends(study, wire) == ("breaker of lamp", "lights switch")


def test_a_signal_s_end_as_a_person_says_it(study: Study) -> None:
    told = [
        terminal_title(part(kind, "x", contact))
        for kind, contact in (
            ("connector", "A"), ("switch", "load"), ("equipment", "J1.3"), ("equipment", "7"),
            ("equipment", "1"), ("equipment", "sense"), ("bus", ""),
        )
    ]  # fmt: skip
    assert told == ["x A", "load side of x", "x J1-3", "x 7", "x", "terminal sense of x", "x"]
    radio = study.document.equipment["radio"]
    assert isinstance(radio.connectors["J1"], Connector)
    assert pins_with(radio, "mic-hi") == ("J1.5",)
    assert pins_with(radio, "none") == ()


def test_how_many_wires_end_on_a_terminal(study: Study) -> None:
    found = {
        name: (crowd.wires, crowd.stud, crowd.terminal) for name, crowd in landings(study).items()
    }
    assert found["battery.+"] == (1, True, "+")
    assert found["lamp.+"] == (1, False, "+")
    assert "radio.J1.5" not in found  # a crimp contact
    assert "main" not in found  # its thread is not given
    studs = landings(small(TEXT.replace(
        "main: {place: panel}", "main: {place: panel, stud: M5}")))  # fmt: skip
    assert studs["main"].stud
    assert studs["main"].wires == 1  # the breakers of all others sit on it


# -- shields --------------------------------------------------------------------------------------

LINES = """\
coax:
  antenna: {type: RG-400, from: radio, to: aerial}
  other: {type: RG-400, from: box, to: whip}
multicores:
  one: {type: 2-core AWG 22 shielded, shield: from, drain: block,
    cores: {red: {from: radio.J1.2, to: box.J1.2}}}
  both: {type: 2-core AWG 22 shielded, shield: both, drain: box.J1.4,
    cores: {red: {from: radio.J1.3, to: box.J1.3}}}
"""


def test_shields_and_antennas_end_where_they_sit() -> None:
    """The aerial sits on the metal of the panel's place; the whip on the glass of the wing."""
    text = TEXT.replace("  mag: {", "  aerial: {place: panel, passive: yes}\n"
                        "  whip: {place: tip, passive: yes}\n  mag: {")  # fmt: skip
    text = text.replace('"5": mic-hi', '"2": a, "3": b, "4": shield, "5": mic-hi')
    links = {link.id: link for link in graph(small(text + LINES)).links}
    seats = {link.a: link.b for link in links.values() if link.kind == "seat"}
    assert seats == {"box:aerial": "structure"}
    coax = {link.id: (link.a, link.b) for link in links.values() if link.kind == "coax"}
    assert coax == {
        "shield:antenna": ("box:radio", "box:aerial"), "shield:other": ("box:box", "box:whip"),
    }  # fmt: skip
    drains = {link.id: link.b for link in links.values() if link.kind == "shield"}
    assert drains == {
        "shield:one/from": "ground:block", "shield:both/from": "box:radio",
        "shield:both/to": "box:box",
    }  # fmt: skip


# -- thin wires -----------------------------------------------------------------------------------


def test_what_thin_wires_draw(study: Study) -> None:
    assert {n: t.amps_a for n, t in taps(study).items()} == {"wire-2": 0.1, "wire-3": None}
    every = chains(study).by_name
    usual = default("tap-current").si
    assert [tap_current(study, every[f"wire-{k}"]) for k in (1, 2, 3)] == [None, 0.1, usual]


def test_wire_types(study: Study) -> None:
    own = small(TEXT.replace(
        "feeds: radio.J1.1,", "feeds: radio.J1.1, wire: mine,") + "wire-types:\n"
        "  mine: {rated: 100 °C, damaged: 160 °C, source: sheet,\n"
        "    gauges: {AWG 20: {diameter: 1 mm, conductor-diameter: 0.9 mm}}}\n"
        "  bar: {rated: 90 °C, conductor: aluminium}\n")  # fmt: skip
    found = kinds(own)
    assert (found["mine"].rated_degc, found["mine"].damaged_degc) == (100.0, 160.0)
    assert found["bar"].damaged_degc == 90.0 + default("damage-above-rating").value
    assert (found["mine"].thinnest, found["bar"].thinnest) == ("26", "8")
    assert found["mine"].origin.endswith(", sheet")
    (size,) = found["mine"].own
    assert (size.awg, size.diameter_mm, size.conductor_diameter_mm) == ("20", 1.0, 0.9)
    like = copper("20")
    assert size.resistance_20degc_ohm_per_m == like.resistance_20degc_ohm_per_m
    # it gives off less heat as its surface is smaller: the root of the diameters
    assert like.diameter_mm > 1.0
    assert size.free_air_b == pytest.approx(like.free_air_b * like.diameter_mm**-0.5)
    (wire, *_) = chains(own).by_name["radio"].conductors()
    assert wire_kind_of(own, wire) == found["mine"]


# -- limits ---------------------------------------------------------------------------------------


def test_limits_as_they_are_shown() -> None:
    assert shown(published("minimum-signal-gauge")) == "AWG 24"
    assert shown(published("coordination-ratio")) == "3"
    assert published("drop-continuous").value == 0.5
    assert published("drop-intermittent", nominal_v=28).value == 2.0
    tight = small(f"{TEXT}limits: {{coordination-ratio: 4, endurance: 31 min, "
                  "minimum-power-gauge: AWG 20}\n")  # fmt: skip
    found = limits(tight)
    assert found.refused == ()
    assert limit(tight, "coordination-ratio").value == 4.0
    assert limit(tight, "minimum-power-gauge").awg == "20"
    assert limit(tight, "endurance").source.startswith("tightened in small.yaml")
    assert [limit(tight, "endurance").allows(s) for s in (1859.0, 1860.0)] == [False, True]


# -- ticks ----------------------------------------------------------------------------------------


def test_ticks_of_circuits_and_wires(study: Study) -> None:
    lamp = chains(study).by_name["lamp"]
    assert ends_of(lamp.conductors()[:2]) == "lamp breaker to lights switch to lamp.+"
    assert find(study, "lamp") == lamp
    assert find(study, "nothing") is None
    fed, switched = lamp.conductors()[:2]
    mark = f"{lamp.function}{lamp.number}{switched.segment}"
    assert fed.segment != switched.segment
    assert find(study, mark) == find(study, f"{mark}20") == find(study, f"{mark}22N") == switched
    assert find(study, f"{mark}20 tail") is None
    assert [at_least("pulled", s) for s in ("cut", "pulled", "rung out")] == [True, True, False]
    assert built(study).by_conductor == {}
