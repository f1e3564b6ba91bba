"""Thin wires of regulators and contactors: what they become, and what is said about mistakes."""

from pathlib import Path

import pytest

from elec.answers.why.why_names import find
from elec.model.system import System
from elec.read import read
from elec.read.reading import read_texts
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.ends import end_id
from tests.read.helper import good, reading
from tests.read.test_alternators import TEXT
from tests.systems import SYSTEMS

MORE = TEXT.replace(
    "  lamp: {place: panel, draw: 1 A}",
    "  lamp: {place: panel, draw: 1 A}\n  light: {place: panel, passive: yes}\n"
    "  motor: {place: nose, draw: 100 A, on: {start: 5 s}}",
).replace(
    "  lamp: {bus: main,",
    "  motor: {bus: main, contactor: starter, feeds: motor, unprotected: starter}\n"
    "  lamp: {bus: main,",
)
MORE += (
    "switches: {starter: {kind: contactor, place: nose, ENGAGED coil: {draw: 1 A, switch: key}}}\n"
)


def _read(tmp_path: Path, said: str, engaged: str = "") -> System:
    return good(reading(tmp_path, MORE.replace("SAID", said).replace("ENGAGED", engaged)))


def _taps(system: System) -> list[Chain]:
    return [c for c in chains(Study(system)).of("wire") if c.function == "P"]


def test_a_sense_wire_begins_at_its_bus_through_a_fuse(tmp_path: Path) -> None:
    system = _read(tmp_path, "field-circuit: field, field-wire: regulator, sense: main")
    (chain,) = _taps(system)
    (wire,) = chain.conductors()
    assert (wire.a.kind, wire.a.inlet, end_id(wire.b)) == ("fuse", "main", "regulator.sense")
    device = sizing(Study(system)).devices[chain.name]
    assert (device.label, device.load_a) == ("1 A fuse", 0.25)


@pytest.mark.parametrize(
    ("said", "ends"),
    [
        ("field-wire: regulator, warning-lamp: light", ["light.1", "regulator.lamp"]),
        ("field-wire: inside, warning-lamp: light", ["light.1", "alternator.L"]),
        (
            "field-wire: regulator, warning-lamp: {from: light, to: regulator.J1.3}",
            ["light.1", "regulator.J1.3"],
        ),
    ],
)
def test_a_lamp_wire_ends_on_the_regulator_or_the_machine(
    tmp_path: Path, said: str, ends: list[str]
) -> None:
    (chain,) = _taps(_read(tmp_path, f"field-circuit: field, {said}"))
    (wire,) = chain.conductors()
    assert [end_id(wire.a), end_id(wire.b)] == ends
    assert chain.device is None


def test_a_light_says_more_of_its_wire_and_its_fuse(tmp_path: Path) -> None:
    said = "engaged-light: {to: light, fuse: {rating: 2 A, class: blade-e}, gauge: AWG 20},"
    system = _read(tmp_path, "field-circuit: field", said)
    (chain,) = _taps(system)
    (wire,) = chain.conductors()
    device = sizing(Study(system)).devices[chain.name]
    assert (end_id(wire.b), wire.gauge) == ("light.1", "20")
    assert (device.label, device.family) == ("2 A fuse", "blade-e")


def test_the_fuse_of_a_sense_wire_has_a_class_and_a_place(tmp_path: Path) -> None:
    said = "sense: {from: main, fuse: {rating: 3 A, class: blade-e, stub: 4 in}}"
    system = _read(tmp_path, f"field-circuit: field, field-wire: regulator, {said}")
    (chain,) = _taps(system)
    device = sizing(Study(system)).devices[chain.name]
    assert (device.label, device.family) == ("3 A fuse", "blade-e")
    assert [wire.stub for wire in chain.conductors()] == [True, False]


def test_nothing_is_made_of_what_is_inside(tmp_path: Path) -> None:
    said = "field-circuit: field, field-wire: inside, sense: inside, warning-lamp: inside"
    assert _taps(_read(tmp_path, said, "engaged-light: none,")) == []


def test_a_light_hangs_behind_the_contact_of_a_starter(tmp_path: Path) -> None:
    (chain,) = _taps(_read(tmp_path, "field-circuit: field", "engaged-light: light,"))
    (wire,) = chain.conductors()
    assert wire.a.inlet == "motor/contactor:starter.out"
    assert end_id(wire.b) == "light.1"
    assert chain.source_end == "main"


@pytest.mark.parametrize(
    ("said", "path", "message"),
    [
        ("sense: mian", "sources.alternator.sense", "mian"),
        ("sense: {from: main, fuse: 1 W}", "sources.alternator.sense.fuse", "W"),
        ("sense: {from: main, to: lmap}", "sources.alternator.sense.to", "lmap"),
        (
            "sense: {from: main, fuse: {rating: 1 A, class: blade}}",
            "sources.alternator.sense.fuse.class",
            "did you mean",
        ),
        (
            "sense: {from: main, fuse: {rating: 1 A, place: noes}}",
            "sources.alternator.sense.fuse.place",
            "nose",
        ),
        (
            "sense: {from: main, fuse: {ratng: 1 A}}",
            "sources.alternator.sense.fuse.ratng",
            "did you mean",
        ),
        (
            "sense: {from: main, fuse: {rating: 1 A, interrupts: 20 V}}",
            "sources.alternator.sense.fuse.interrupts",
            "is a voltage",
        ),
        ("sense: {from: inside, if-open: off}", "sources.alternator.sense.if-open", "no wire that"),
        ("sense: {form: main}", "sources.alternator.sense.form", "from"),
        ("warning-lamp: ligth", "sources.alternator.warning-lamp", "ligth"),
    ],
)
def test_one_message_where_it_is_written(
    tmp_path: Path, said: str, path: str, message: str
) -> None:
    text = MORE.replace("SAID", f"field-circuit: field, field-wire: regulator, {said}")
    (mistake,) = reading(tmp_path, text.replace("ENGAGED", "")).mistakes
    assert message in mistake.message
    assert mistake.place.line == 6
    assert mistake.place.path == path


def test_a_bus_that_a_sense_wire_misspells_is_offered() -> None:
    """It begins at what is live, so a bus is meant, not a box."""
    folder = SYSTEMS / "foxglove"
    texts = {path: path.read_bytes() for path in sorted(folder.glob("*.yaml"))}
    file = folder / "sources.yaml"
    texts[file] = texts[file].replace(b"sense: {from: main", b"sense: {from: mian")
    (said,) = [str(mistake) for mistake in read_texts(texts).mistakes]
    assert 'there is no bus, source, equipment, connector or ground "mian"' in said
    assert 'did you mean "main"?' in said


@pytest.mark.parametrize(
    ("asked", "word"),
    [
        ("regulator.sense", "terminal sense of voltage regulator"),
        ("starter-contactor.load", "load side of starter contactor"),
        ("belly-beacon.+", "beacon"),
    ],
)
def test_a_terminal_is_found_as_tables_print_it(asked: str, word: str) -> None:
    system = read(SYSTEMS / "foxglove").system
    assert system is not None
    study = Study(system)
    found = find(study, asked)
    titles = {c.id: chains(study).by_name[c.chain].title for c in chains(study).conductors()}
    assert found
    assert {one.kind for one in found} == {"wire"}
    assert all(word in titles[one.name] for one in found)


def test_a_wire_is_called_by_the_names_of_its_ends() -> None:
    system = read(SYSTEMS / "foxglove").system
    assert system is not None
    titles = {chain.title for chain in chains(Study(system)).of("wire")}
    assert {
        "main bus to terminal sense of voltage regulator",
        "load side of starter contactor to starter engaged light",
        "radio J1-3 to intercom J1-3",
        "engine monitor J2-1 to engine sensor plug A",
    } <= titles
