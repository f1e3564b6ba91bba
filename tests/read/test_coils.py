"""A coil that says how it is fed: what it becomes, and what is said about mistakes in it."""

from pathlib import Path

import pytest

from elec.model.system import System
from tests.read.helper import good, reading

TEXT = """
system: {name: Tern, nominal: 14 V}
phases: {start: {lasts: 10 s, engine: cranking}, cruise: {lasts: 1 h}}
sources: {battery: {kind: lead-acid, place: nose, capacity: 18 Ah, rate: 20 h}}
buses: {main: {place: panel}}
grounds: {block: {place: nose}}
feeders: [{name: cable, from: battery, to: main, contactor: master, used: normal, fuse: 40 A}]
switches:
  master: {name: master contactor, kind: contactor, coil: COIL}
equipment: {lamp: {place: panel, draw: 1 A}, motor: {place: nose, draw: 100 A, on: {start: 5 s}}}
circuits: {lamp: {bus: main, breaker: auto, feeds: lamp}}
places: {nose: {}, panel: {}}
ways: [{between: [nose, panel], length: 3 ft}]
"""


def made(tmp_path: Path, coil: str, text: str = TEXT) -> System:
    return good(reading(tmp_path, text.replace("COIL", coil)))


def wrong(tmp_path: Path, coil: str, text: str = TEXT) -> list[str]:
    found = reading(tmp_path, text.replace("COIL", coil))
    assert found.system is None
    return [m.message for m in found.mistakes]


def test_a_switch_is_enough(tmp_path: Path) -> None:
    system = made(tmp_path, "{draw: 0.8 A, switch: key}")
    load = system.document.equipment["master-coil"]
    circuit = system.document.circuits["master-coil"]
    assert (load.name, load.place, load.on) == ("master contactor coil", "nose", "always")
    assert load.draw is not None
    assert load.draw.current_a(12.0) == 0.8
    assert (circuit.bus, circuit.post, circuit.switch) == ("battery", "master", "key")
    assert circuit.switched == "ground"
    assert circuit.device() is None
    assert circuit.unprotected


def test_each_value_keeps_its_place_in_the_text(tmp_path: Path) -> None:
    system = made(tmp_path, "{draw: 0.8 A, switch: key}")
    line = TEXT.splitlines().index(
        "  master: {name: master contactor, kind: contactor, coil: COIL}"
    )
    assert system.where("equipment", "master-coil", "draw").line == line + 1
    assert system.where("circuits", "master-coil", "gauge").line == line + 1


@pytest.mark.parametrize(
    ("coil", "device"),
    [
        ("{draw: 1 A, bus: main, switch: key}", "breaker"),
        ("{draw: 1 A, bus: battery, switch: key}", "fuse"),
        ("{draw: 1 A, switch: key, switched: feed}", "fuse"),
        ("{draw: 1 A, bus: main, switch: key, fuse: 3 A}", "fuse"),
    ],
)
def test_a_feed_that_is_live_has_a_device(tmp_path: Path, coil: str, device: str) -> None:
    circuit = made(tmp_path, coil).document.circuits["master-coil"]
    found = circuit.device()
    assert found is not None
    assert found[0] == device
    assert circuit.switched == "feed"


def test_a_coil_of_a_circuit_is_on_with_its_loads(tmp_path: Path) -> None:
    text = TEXT.replace(
        "feeds: lamp}}", "feeds: lamp}, m: {bus: main, fuse: 200 A, contactor: run, feeds: motor}}"
    ).replace("coil: COIL}", "coil: 0.8 A}\n  run: {kind: contactor, coil: COIL}")
    system = made(tmp_path, "{draw: 3 A, bus: main, switch: start}", text)
    use = system.document.equipment["run-coil"].on
    assert isinstance(use, dict)
    assert use["start"].time_s == 5
    assert [*use] == ["start"]


def test_another_circuit_may_feed_it(tmp_path: Path) -> None:
    document = made(tmp_path, "{draw: 0.8 A, circuit: lamp}").document
    assert document.circuits["lamp"].feeds == ("lamp", "master-coil")
    assert "master-coil" not in document.circuits


def test_a_circuit_written_by_hand_may_feed_it(tmp_path: Path) -> None:
    text = TEXT.replace(
        "feeds: lamp}}", "feeds: lamp}, control: {bus: main, fuse: 3 A, feeds: master-coil}}"
    )
    document = made(tmp_path, "{draw: 0.8 A}", text).document
    assert "master-coil" in document.equipment
    assert "master-coil" not in document.circuits
    coil = document.switches["master"].coil
    assert coil is not None
    assert coil.load == "master-coil"


@pytest.mark.parametrize("coil", ["0.8 A", "{draw: 0.8 A}"])
def test_its_current_alone_makes_no_wire(tmp_path: Path, coil: str) -> None:
    document = made(tmp_path, coil).document
    assert [*document.circuits] == ["lamp"]
    assert [*document.equipment] == ["lamp", "motor"]


@pytest.mark.parametrize(
    ("coil", "says"),
    [
        ("{draw: 0.8 A, switch: master}", '"master" is the contactor itself'),
        ("{draw: 0.8 A, load: lamp}", "leave out draw"),
        ("{load: lump}", 'there is no equipment "lump"; did you mean "lamp"?'),
        ("{draw: 0.8 A, circuit: lump}", 'there is no circuit "lump"; did you mean "lamp"?'),
        ("{draw: 0.8 A, circuit: lamp, fuse: 3 A}", "the circuit that feeds it says that"),
        ("{draw: 0.8 A, bus: mian, switch: key}", 'there is no bus "mian"; did you mean "main"?'),
        ("{draw: 0.8 A, switch: key, fuse: 3 A, breaker: 3 A}", "one protective device is meant"),
        ("{draw: 0.8 V, switch: key}", "V"),
        ("{draw: 0.8 A, swich: key}", 'did you mean "switch"?'),
    ],
)
def test_one_mistake_is_one_sentence(tmp_path: Path, coil: str, says: str) -> None:
    found = wrong(tmp_path, coil)
    assert len(found) == 1, found
    assert says in found[0]


def test_a_name_that_is_taken_is_told(tmp_path: Path) -> None:
    text = TEXT.replace("equipment: {", "equipment: {master-coil: {place: nose, draw: 1 A}, ")
    assert "coil: {load: NAME}" in wrong(tmp_path, "{draw: 0.8 A, switch: key}", text)[0]


def test_a_post_needs_its_contactor(tmp_path: Path) -> None:
    text = TEXT.replace("breaker: auto, feeds", "post: mastre, breaker: auto, feeds")
    assert wrong(tmp_path, "0.8 A", text) == ['no feeder or circuit has a contactor "mastre" in it']


BUNDLED = TEXT.replace(
    "ways: [{between: [nose, panel], length: 3 ft}]",
    "ways: [{between: [nose, panel], length: 3 ft, bundled: {left: [master-coil], right: rest}}]",
)


@pytest.mark.parametrize(
    ("coil", "path"),
    [
        ("{draw: 0.8 A, swtch: key}", "switches.master.coil.swtch"),
        ("{draw: 0.8 A, switch: key, gauge: fat}", "switches.master.coil.gauge"),
        ("{draw: 0.8 A, switch: key, ground-point: blok}", "switches.master.coil.ground-point"),
        ("{draw: 0.8 A, switch: master}", "switches.master.coil.switch"),
        ("{draw: 0.8 A, bus: mian, switch: key}", "switches.master.coil.bus"),
    ],
)
def test_one_message_with_the_path_that_was_written(tmp_path: Path, coil: str, path: str) -> None:
    found = reading(tmp_path, BUNDLED.replace("COIL", coil))
    assert [mistake.place.path for mistake in found.mistakes] == [path]


def test_a_coil_that_nobody_feeds_is_in_no_bundle(tmp_path: Path) -> None:
    (message,) = wrong(tmp_path, "0.8 A", BUNDLED)
    assert 'there is no circuit, feeder, cable or ground "master-coil"' in message


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("lamp", "lamp is a piece of equipment; a contactor stands under switches: with its coil"),
        ("key", "key is the switch of the coil of master; name that: contactor: master"),
        ("push", "push is a button that a hand moves; write switch: push"),
    ],
)
def test_what_is_no_contactor_is_told(tmp_path: Path, name: str, says: str) -> None:
    """The current of the start would flow through a switch of the panel, and nobody said so."""
    text = TEXT.replace("contactor: master,", f"contactor: {name},")
    text = text.replace(
        "  master: {", "  key: {place: panel}\n  push: {kind: button, place: panel}\n  master: {"
    )
    assert wrong(tmp_path, "{draw: 0.8 A, switch: key}", text) == [says]


@pytest.mark.parametrize(
    ("goes", "says"),
    [
        ("9 V", "it cannot let go at 9 V, above the 8 V that it pulls in with (minimum:)"),
        ("0.9 A", "it cannot let go at 0.9 A, above the 0.8 A that it draws (draw:)"),
    ],
)
def test_it_lets_go_at_no_more_than_it_pulls_in_with(tmp_path: Path, goes: str, says: str) -> None:
    coil = "{draw: 0.8 A, switch: key, minimum: 8 V, inductance: 1 H, drops-out: GOES}"
    (told,) = wrong(tmp_path, coil.replace("GOES", goes))
    assert told.startswith(says)
    for sound in ("2 V", "8 V", "0.2 A"):
        made(tmp_path, coil.replace("GOES", sound))


def test_nor_where_a_load_of_its_own_says_what_it_pulls_in_with(tmp_path: Path) -> None:
    text = TEXT.replace("motor: {", "hold: {place: nose, draw: 1 A, minimum: 8 V}, motor: {")
    text = text.replace("circuits: {", "circuits: {hold: {bus: main, fuse: 2 A, feeds: hold}, ")
    (told,) = wrong(tmp_path, "{load: hold, drops-out: 8.5 V}", text)
    assert told.startswith("it cannot let go at 8.5 V, above the 8 V")
    made(tmp_path, "{load: hold, drops-out: 3 V}", text)
