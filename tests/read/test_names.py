"""Names that must exist, with near names, and entries that cannot be meant."""

from pathlib import Path

import pytest

from tests.read.helper import GOOD, Wrong, changed, good, reading

ONE_CHANGE = [
    ("main: {place: panel}", "main: {place: pannel}", [
        'buses.main.place: there is no place "pannel"; did you mean "panel"?'
    ]),
    ("capacity: 18 Ah", "capacity: 18 Ah, ground: blok", [
        'sources.battery.ground: there is no ground "blok"; did you mean "block"?'
    ]),
    ("output: {", "field-circuit: feild, output: {", [
        'sources.alternator.field-circuit: there is no circuit "feild"; known: radio, beacon'
    ]),
    ("nominal: 14 V", "nominal: 14 V, ground: x", [
        'system.ground: there is no ground "x"; known: block, far-block'
    ]),
    ("to: block}", "to: blcok}", [
        'grounds.far-block.to: there is no ground "blcok"; did you mean "block"?'
    ]),
    ("to: block}", "to: far-block}", [
        "grounds.far-block.to: the grounds lead in a circle: far-block → far-block"
    ]),
    ("from: alternator", "from: alternater", [
        'feeders.2.from: there is no source or bus "alternater"; did you mean "alternator"?'
    ]),
    ("{from: alternator, to: main", "{from: main, to: main", [
        'feeders.2.to: both ends are "main"; a feeder leads from a source or bus to another one'
    ]),
    ("limiter: 40 A", "limiter: 40 A, via: [belly, nose]", [
        'feeders.2.via.2: there is no place "nose"; known: engine, panel, belly'
    ]),
    ("limiter: 40 A", "limiter: 40 A, fuse: 40 A", [
        "feeders.2.limiter: there is also a fuse; one protective device is meant"
    ]),
    ("limiter: 40 A", "limiter: 40 A, unprotected: short", [
        "feeders.2.unprotected: there is a limiter, so the wire is protected"
    ]),
    ("on: taxi..cruise", "on: [taxi, cruse]", [
        'equipment.beacon.on.2: there is no phase "cruse"; did you mean "cruise"?'
    ]),
    ("on: taxi..cruise", "on: taxi..cruse", [
        'equipment.beacon.on: there is no phase "cruse"; did you mean "cruise"?'
    ]),
    ("on: taxi..cruise", "on: {tax: 10 %}", [
        'equipment.beacon.on.tax: there is no phase "tax"; did you mean "taxi"?'
    ]),
    ("on: taxi..cruise", "on: cruise..taxi", [
        'equipment.beacon.on: "cruise..taxi" runs backwards; taxi comes before cruise'
    ]),
    ("draw: 12 W, on: taxi..cruise", "modes: {low: {draw: 1 A}, high: {draw: 2 A, on: takeoff}}", [
        'equipment.beacon.modes.high.on: there is no phase "takeoff"; known: taxi, cruise'
    ]),
    ("on: taxi..cruise", "modes: {low: {draw: 1 A}}", [
        "equipment.beacon.draw: with modes: the draw stands in each mode, not here"
    ]),
    ("draw: 12 W, on: taxi..cruise", "modes: {low: {draw: 1 A}}, on: taxi, peak: 3 A, duty: 5 %", [
        "equipment.beacon.on: with modes: when it is on stands in each mode, not here",
        "equipment.beacon.peak: with modes: the peak stands in each mode, not here",
        "equipment.beacon.duty: with modes: the share of the peak stands in each mode, not here",
    ]),
    ("draw: 12 W, on: taxi..cruise", "passive: yes, peak: 3 A", [
        "equipment.beacon.passive: a thing that draws current is not passive"
    ]),
    ("on: taxi..cruise", "passive: yes", [
        "equipment.beacon.passive: a thing that draws current is not passive"
    ]),
    ("on: taxi..cruise", "essential: yes, shed: at once", [
        "equipment.beacon.shed: an essential load is never shed"
    ]),
    ("on: taxi..cruise", "ground: blok", [
        'equipment.beacon.ground: there is no ground "blok"; did you mean "block"?'
    ]),
    ("bus: main, breaker: 5 A", "bus: mian, breaker: 5 A", [
        'circuits.radio.bus: there is no bus "mian"; did you mean "main"?'
    ]),
    ("bus: main, breaker: 5 A", "bus: battery, breaker: 5 A", [
        ('circuits.radio.bus: "battery" is a source; put a bus beside it and a feeder '
        "between the two")
    ]),
    ("bus: main, breaker: 5 A", "bus: main, switched: ground, breaker: 5 A", [
        ("circuits.radio.switched: it says where its switch stands, and no switch: is given; "
        "write its name")
    ]),
    ("breaker: 5 A, ", "", [
        ("circuits.radio: there is no protective device; write breaker: auto, or fuse: auto, "
        "or unprotected: and the reason")
    ]),
    ("breaker: 5 A", "breker: 5 A", [
        'circuits.radio.breker: unknown key "breker"; did you mean "breaker"?'
    ]),
    ("breaker: 5 A", "breaker: 5 A, fuse: 5 A", [
        "circuits.radio.fuse: there is also a breaker; one protective device is meant"
    ]),
    ("feeds: radio}", "feeds: radoi}", [
        'circuits.radio.feeds: there is no equipment "radoi"; did you mean "radio"?'
    ]),
    ("feeds: radio}", "feeds: []}", [
        "circuits.radio.feeds: a circuit feeds something; name its equipment"
    ]),
    ("feeds: radio}", "feeds: battery}", [
        'circuits.radio.feeds: "battery" is no equipment; a circuit feeds equipment'
    ]),
    ("feeds: radio}", "feeds: radio.J2.1}", [
        'circuits.radio.feeds: radio has no connector "J2"; known: J1'
    ]),
    ("feeds: radio}", "feeds: radio.J1.2}", [
        ("circuits.radio.feeds: contact 2 of radio.J1 is not under its pins:; add it there, such "
        "as 2: power, or correct the number")
    ]),
    ("feeds: radio}", "feeds: radio.J1.16}", [
        'circuits.radio.feeds: radio.J1 has no contact "16"; known: 1, 8, 3'
    ]),
    ("feeds: radio}", "feeds: radio.J1}", [
        "circuits.radio.feeds: which contact of radio.J1? known: 1, 8, 3"
    ]),
    ("feeds: radio}", "feeds: radio, ground: radio.J1.9}", [
        ("circuits.radio.ground: contact 9 of radio.J1 is not under its pins:; add it there, such "
        "as 9: ground, or correct the number")
    ]),
    ("feeds: radio}", "feeds: radio, ground: block}", [
        ('circuits.radio.ground: "block" is a ground point; write ground-point: block. '
        "ground: names the contact of the load")
    ]),
    ("feeds: radio}", "feeds: radio, ground: beacon}", [
        "circuits.radio.ground: this circuit does not feed beacon"
    ]),
    ("feeds: radio}", "feeds: radio, ground-point: blok}", [
        'circuits.radio.ground-point: there is no ground "blok"; did you mean "block"?'
    ]),
    ("feeds: radio}", "feeds: radio, splice: bely}", [
        'circuits.radio.splice: there is no place "bely"; did you mean "belly"?'
    ]),
    ("3: audio", "3: power", [
        ("circuits.radio.feeds: radio has 2 contacts with power; "
        "write feeds: [radio.J1.1, radio.J1.3] or those that are meant")
    ]),
    ("1: power", "1: supply", [
        ("circuits.radio.feeds: radio has contacts, but none with power; write feeds: radio.J1.1 "
        "with the contact that is meant")
    ]),
    ("3: audio", "3: ground", [
        ("circuits.radio.feeds: radio has 2 contacts with ground; "
        "write ground: [radio.J1.8, radio.J1.3] or those that are meant")
    ]),
    ("through: {root:", "through: {rot:", [
        ('circuits.beacon.through.rot: there is no plug between harnesses "rot"; '
        'did you mean "root"?')
    ]),
    ("{feed: A, return: B}", "{feed: A, return: C}", [
        'circuits.beacon.through.root.return: root has no contact "C"; known: A, B'
    ]),
    ("{feed: A, return: B}", "{feed: A, return: B, for: [becon]}", [
        ('circuits.beacon.through.root.for.1: this circuit does not feed "becon"; '
        'did you mean "beacon"?')
    ]),
    ("to: root.A}", "to: root.C}", ['wires.1.to: root has no contact "C"; known: A, B']),
    ("to: root.A}", "to: root}", ["wires.1.to: which contact of root? known: A, B"]),
    ("to: root.A}", "to: rooot.A}", [
        'wires.1.to: there is no equipment, connector or ground "rooot"; did you mean "root"?'
    ]),
    ("to: root.A}", "to: main}", [
        ('wires.1.to: "main" is live; a conductor from there is a circuit or a feeder, '
        "with its protective device, or a wire with fuse: 1 A")
    ]),
    ("to: root.A}", "to: block.1}", ['wires.1.to: "block" has no contacts; write it alone']),
    ("on: taxi..cruise", "on: Always", [
        'equipment.beacon.on: "Always" is no phase; write always'
    ]),
    ("to: root.A}", "to: radio.J1.3}", [
        'wires.1.to: both ends are "radio.J1.3"; a wire leads to another one'
    ]),
    ("to: antenna", "to: anntena", [
        ('coax.com.to: there is no equipment, connector, ground or place "anntena"; '
        'did you mean "antenna"?')
    ]),
    ("from: panel, to: belly, spare", "to: belly, spare", [
        "multicores.spare: a cable has from: and to:, or cores: with the ends of each"
    ]),
    ("service: com", "drain: blok", [
        ('coax.com.drain: there is no equipment, connector or ground "blok"; '
        'did you mean "block"?')
    ]),
    ("[panel, belly], length", "[panel, bely], length", [
        'ways.2.between.2: there is no place "bely"; did you mean "belly"?'
    ]),
    ("[panel, belly], length", "[panel, panel], length", [
        "ways.2.between: a way joins two different places"
    ]),
    ("places: [belly]", "places: [bely]", [
        'zones.floor.places.1: there is no place "bely"; did you mean "belly"?'
    ]),
    ("floor: {", "Floor A: {", [
        ("zones.Floor A: a name is made of small letters, digits and hyphens; "
        "write floor-a, and name: Floor A for print")
    ]),
    ("  main: {place: panel}", "  main: {place: panel}\n  battery: {place: panel}", [
        ('buses.battery: "battery" is also the name of one of sources (tern.yaml:7); '
        "a name here means one thing")
    ]),
    ("J1: {type", "J.1: {type", [
        "equipment.radio.connectors.J.1: a connector's name is made of letters, digits and hyphens",
        'wires.1.from: radio has no connector "J1"; did you mean "J.1"?',
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "says"), ONE_CHANGE)
def test_one_sentence(wrong: Wrong, old: str, new: str, says: list[str]) -> None:
    assert wrong(old, new) == says


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("breaker: 5 A", "unprotected: it never leaves the panel"),
        ("breaker: 5 A", "fuse: {rating: auto}"),
        ("feeds: radio}", "feeds: [radio.J1.1, radio.J1.8], ground: radio.J1.8}"),
        ("feeds: radio}", "feeds: radio, switch: master, contactor: any-name}"),
        ("from: radio.J1.3", "from: radio"),
        ("from: radio.J1.3", "from: antenna.tip"),
        ("from: radio.J1.3", "from: block"),
        ("type: dsub-15", "type: a-type-that-nobody-knows"),
        ("on: taxi..cruise", "on: never"),
        ("on: taxi..cruise", "on: {taxi..cruise: 50 %}"),
        ("on: taxi..cruise", "essential: yes, shed: never"),
        ("{type: RG-400, from: radio.antenna, to: antenna, service: com}",
         "{type: RG-400, from: radio.antenna, to: antenna, loss: 1 dB}"),
        ("{type: 2-core AWG 20, from: panel, to: belly, spare: yes}",
         "{type: 2-core AWG 22, cores: {white: {from: radio.J1.3, to: root.A}}}"),
    ],
)  # fmt: skip
def test_what_is_allowed(tmp_path: Path, old: str, new: str) -> None:
    good(reading(tmp_path, changed(old, new)))


def test_a_section_that_is_not_written_is_missed_once(tmp_path: Path) -> None:
    text = changed("places: {engine: , panel: , belly: }\n", "")
    messages = [m.message for m in reading(tmp_path, text).mistakes]
    assert messages == ['there is no place "engine"; the section places: is missing']


def test_a_misspelled_section_says_so_alone(tmp_path: Path) -> None:
    text = GOOD.replace("\nplaces:", "\nplacs:")
    messages = [m.message for m in reading(tmp_path, text).mistakes]
    assert messages == ['unknown section "placs"; did you mean "places"?']


def test_a_bad_value_does_not_make_its_key_missing(wrong: Wrong) -> None:
    assert wrong("main: {place: panel}", "main: {place: , essential: no}") == [
        'buses.main.place: nothing is written after "place:"'
    ]
    assert wrong("breaker: 5 A", "breaker: ") == [
        'circuits.radio.breaker: nothing is written after "breaker:"'
    ]
