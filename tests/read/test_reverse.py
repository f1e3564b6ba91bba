"""Motors that run both ways: what may be left out, what may not."""

from pathlib import Path

import pytest

from elec.answers.connect.coils import coil_paths
from elec.answers.connect.pins import colour_of
from elec.answers.connect.reversing import reversing
from elec.answers.drop.drops import load_drops
from elec.answers.drop.end_to_end import end_to_end_ohm
from elec.attempt.write_sizes import put_sizes
from elec.pages.bench.shopping import devices_to_buy
from elec.read.edit import Edits
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import end_id
from tests.read.helper import changed, good, reading

PLAIN = "switch: beacon, feeds: beacon"
RELAYS = (
    "switches:\n  beacon-up: {kind: relay, coil: 0.2 A}\n"
    "  beacon-down: {kind: relay, coil: 0.2 A}\ncircuits:\n"
)


PLUG = ", through: {root: {feed: A, return: B}}"


def _changed(old: str, new: str) -> str:
    """The small system with the beacon on wires without a plug."""
    return changed(old, new).replace(PLUG, "")


def _with_positions(positions: str) -> str:
    text = _changed(PLAIN, f"{PLAIN}, reverse: switch")
    return text.replace(
        "circuits:\n", f"switches: {{beacon: {{positions: {positions}}}}}\ncircuits:\n"
    )


def _by_relays(more: str = "") -> str:
    how = f"reverse: {{by: relays{more}}}" if more else "reverse: relays"
    return _changed(PLAIN, f"{PLAIN}, {how}").replace("circuits:\n", RELAYS)


def _ends(study: Study, circuit: str) -> list[tuple[str, str]]:
    return [(end_id(w.a), end_id(w.b)) for w in chains(study).by_name[circuit].conductors()]


def test_a_switch_of_two_poles_crosses_the_leads(tmp_path: Path) -> None:
    study = Study(good(reading(tmp_path, _changed(PLAIN, f"{PLAIN}, reverse: switch"))))
    assert _ends(study, "beacon")[:-1] == [
        ("beacon", "beacon.(1)"),
        ("beacon.(1)", "beacon.(6)"),
        ("beacon.(5)", "beacon.+"),
        ("beacon.-", "beacon.(2)"),
        ("beacon.(3)", "beacon.(4)"),
    ]
    one, other = reversing(study)["beacon"].ways
    assert (one.name, one.plus, one.joined) == ("up", "+", ("(6) and (5)", "(2) and (3)"))
    assert (other.name, other.plus, other.joined) == ("down", "−", ("(1) and (2)", "(5) and (4)"))


@pytest.mark.parametrize(
    ("lever", "joined"),
    [("up, off, down", ["(2) and (3)", "(6) and (5)"]),
     ("down, off, up", ["(2) and (1)", "(4) and (5)"])],
)  # fmt: skip
def test_counted_terminals_follow_the_lever(lever: str, joined: list[str], tmp_path: Path) -> None:
    """Two switches of one kind: whatever their ways are called, the lever up joins the same two."""
    text = _with_positions(f"[off, up, down], lever: [{lever}]")
    ways = reversing(Study(good(reading(tmp_path, text))))["beacon"].ways
    assert (ways[0].name, sorted(ways[0].joined)) == ("up", joined)


def test_a_builder_s_own_terminals_and_names(tmp_path: Path) -> None:
    how = "reverse: {by: switch, terminals: [11, 12, 13, 21, 22, 23], ways: [in, out]}"
    study = Study(good(reading(tmp_path, _changed(PLAIN, f"{PLAIN}, {how}"))))
    found = reversing(study)["beacon"]
    assert found.marks == ("11", "12", "13", "21", "22", "23")
    assert [way.name for way in found.ways] == ["in", "out"]


def test_the_switch_of_relays_moves_into_a_circuit_of_their_coils(tmp_path: Path) -> None:
    study = Study(good(reading(tmp_path, _by_relays())))
    assert _ends(study, "beacon")[:-1] == [
        ("beacon", "beacon-down.(87)"),
        ("beacon-down.(87)", "beacon-up.(87)"),
        ("beacon-up.(30)", "beacon.+"),
        ("beacon.-", "beacon-down.(30)"),
        ("beacon-down.(87a)", "beacon-up.(87a)"),
    ]
    control = _ends(study, "beacon-control")
    assert ("beacon.(3)", "beacon-up-coil.+") in control
    assert ("beacon.(1)", "beacon-down-coil.+") in control
    both = [path.starts for name, path in coil_paths(study).items() if name.startswith("beacon-")]
    assert both == [True, True]


def test_limits_and_interlock_stand_before_the_coil_that_they_stop(tmp_path: Path) -> None:
    text = _by_relays(", limits: [top, bottom], interlock: yes")
    study = Study(good(reading(tmp_path, text)))
    control = _ends(study, "beacon-control")
    assert control[1:4] == [
        ("beacon.(3)", "top"),
        ("top", "beacon-down.(21)"),
        ("beacon-down.(22)", "beacon-up-coil.+"),
    ]
    both = [path.starts for name, path in coil_paths(study).items() if name.startswith("beacon-")]
    assert both == [True, True]


def test_with_a_switch_limits_stand_in_the_leads(tmp_path: Path) -> None:
    how = "reverse: {by: switch, limits: [top, bottom]}"
    study = Study(good(reading(tmp_path, _changed(PLAIN, f"{PLAIN}, {how}"))))
    assert _ends(study, "beacon")[2:6] == [
        ("beacon.(5)", "top"),
        ("top", "beacon.+"),
        ("beacon.-", "bottom"),
        ("bottom", "beacon.(2)"),
    ]


def test_every_wire_of_a_motor_that_is_turned_is_white_but_that_to_ground(tmp_path: Path) -> None:
    """Each lead is plus in one of the two ways: a black one would be taken for its ground."""
    how = "reverse: {by: switch, limits: [top, bottom]}"
    study = Study(good(reading(tmp_path, _changed(PLAIN, f"{PLAIN}, {how}"))))
    wires = chains(study).by_name["beacon"].conductors()
    assert len(wires) > 6
    black = [wire for wire in wires if colour_of(wire) == "black"]
    assert [end_id(wire.b) for wire in black] == [end_id(wires[-1].b)]


def test_the_way_that_is_computed_passes_every_wire_of_the_bridge(tmp_path: Path) -> None:
    """By Ohm's law: what it loses is at least its current times all wires at 20 °C."""
    study = Study(good(reading(tmp_path, _changed(PLAIN, f"{PLAIN}, reverse: switch"))))
    wires = chains(study).by_name["beacon"].conductors()
    drop = load_drops(study)["beacon", "beacon"]
    ohms = [end_to_end_ohm(study)[wire.id] for wire in wires]
    assert None not in ohms
    cold = drop.current_a * sum(ohm for ohm in ohms if ohm is not None)
    assert drop.lost_v is not None
    assert cold < drop.lost_v
    assert drop.wires_v == pytest.approx(cold, rel=0.35)  # 0.39 %/K, up to 90 K warmer


def test_through_a_plug_the_limits_stay_at_the_motor(tmp_path: Path) -> None:
    how = "reverse: {by: switch, limits: [top, bottom]}"
    study = Study(good(reading(tmp_path, changed(PLAIN, f"{PLAIN}, {how}"))))
    assert _ends(study, "beacon")[2:8] == [
        ("beacon.(5)", "root.A"),
        ("root.A", "top"),
        ("top", "beacon.+"),
        ("beacon.-", "bottom"),
        ("bottom", "root.B"),
        ("root.B", "beacon.(2)"),
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            _changed(PLAIN, "feeds: beacon, reverse: switch"),
            "reverse: switch needs that switch of two poles, as switch: NAME",
        ),
        (
            _changed(PLAIN, f"{PLAIN}, reverse: relais"),
            '"relais" is none of switch, relays; did you mean "relays"?',
        ),
        (
            _changed(PLAIN, f"{PLAIN}, reverse: relays"),
            (
                "this motor is reversed by two relays, beacon-up and beacon-down; write under "
                "switches: beacon-up: {kind: relay, rating: 30 A, coil: 0.15 A}, with what yours "
                "carries and draws"
            ),
        ),
        (
            _by_relays().replace("switch: beacon, ", ""),
            (
                "what pulls the two relays is not said; name the switch with three positions as "
                "switch: beacon"
            ),
        ),
        (
            _changed(PLAIN, f"{PLAIN}, reverse: {{by: switch, interlock: yes}}"),
            "interlock belongs to reverse: relays",
        ),
        (
            _changed(PLAIN, f"{PLAIN}, reverse: {{by: switch, terminals: [1, 2]}}"),
            "6 different names are asked for, as in terminals: [1, 2, 3, 4, 5, 6]",
        ),
        (
            _changed(PLAIN, f"{PLAIN}, reverse: {{by: switch, limits: [only-one]}}"),
            "2 different names are asked for, as in limits: [flap-up-limit, flap-down-limit]",
        ),
        (
            _with_positions("[nose up, nose down]"),
            (
                "none of the two stops the motor that it reverses; write three, off first: "
                "[off, up, down], or limit switches at both ends (limits: under reverse:)"
            ),
        ),
        (
            _with_positions("[nose up, off, nose down]"),
            "off stands first, wherever it lies on the lever: [off, nose up, nose down]",
        ),
        (
            _changed(PLAIN, f"{PLAIN}, reverse: switch, switched: ground"),
            "reverse: crosses both leads; leave switched: out",
        ),
        (
            _changed(PLAIN, f"{PLAIN}, reverse: switch, diode: schottky"),
            "no splice, daisy-chain or diode stands in the circuit of a reversed motor",
        ),
        (
            _changed(PLAIN, f"{PLAIN}, contacts: {{becon: top}}"),
            'this circuit does not feed "becon"; did you mean "beacon"?',
        ),
        (
            _by_relays().replace(
                "  radio: {bus",
                "  beacon-control: {bus: main, fuse: 2 A, feeds: radio}\n  radio: {bus",
            ),
            "reverse: relays in beacon makes a circuit of this name; call this one otherwise",
        ),
    ],
)
def test_what_cannot_be_is_told_once(tmp_path: Path, text: str, message: str) -> None:
    found = reading(tmp_path, text)
    assert [mistake.message for mistake in found.mistakes] == [message]


def test_what_was_chosen_for_the_relays_is_written_at_the_motor(tmp_path: Path) -> None:
    before = reading(tmp_path, _by_relays())
    study = Study(good(before))
    edits = Edits.of(tmp_path / "tern.yaml")
    put_sizes(study, edits, ("beacon-control",))
    (text,) = [content.decode() for content in edits.changed().values()]
    assert "reverse: {by: relays, breaker: 2 A, gauge: AWG 22}" in " ".join(text.split())
    again = Study(good(edits.reading()))
    control = again.document.circuits["beacon-control"]
    assert (control.breaker is not None and control.breaker.rating_a) == pytest.approx(2.0)
    assert control.gauge == "22"


def test_the_diodes_across_limit_switches_are_on_the_list_of_what_to_buy(tmp_path: Path) -> None:
    limits = (
        "switches:\n  up-end: {place: belly, rating: 10 A}\n  down-end: {like: up-end}\ncircuits:\n"
    )
    how = "reverse: {by: switch, limits: [up-end, down-end]}"
    text = _changed(PLAIN, f"{PLAIN}, {how}").replace("circuits:\n", limits)
    table = devices_to_buy(Study(good(reading(tmp_path, text))))
    assert ("diode across a limit switch", 2) in {(str(row[0]), row[-2]) for row in table.rows}
    plain = _changed(PLAIN, f"{PLAIN}, reverse: switch")
    (tmp_path / "plain").mkdir()
    table = devices_to_buy(Study(good(reading(tmp_path / "plain", plain))))
    assert not [row for row in table.rows if "limit switch" in str(row[0])]
