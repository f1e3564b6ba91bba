"""Signal wires: runs of contacts, splices, thermocouple wire."""

from pathlib import Path

import pytest

from elec.study import Study
from elec.wiring.chains import Conductor, chains
from elec.wiring.wires import bare_ohm, size_of
from tests.read.helper import Wrong, changed, good, reading

LINE = "{from: radio.J1.3, to: root.A}"
PINS = "{1: power, 8: ground, 3: audio}"
MORE = "{1: power, 8: ground, 3: audio, 4: audio low, 5: mic, 6: mic low}"


def _wires(tmp_path: Path, line: str) -> list[Conductor]:
    text = changed(LINE, line).replace(PINS, MORE)
    study = Study(good(reading(tmp_path, text)))
    return [c for chain in chains(study).of("wire") for c in chain.conductors()]


def test_a_run_is_one_wire_for_each_contact(tmp_path: Path) -> None:
    wires = _wires(tmp_path, "{from: radio.J1.3..6, to: antenna, number: 7}")
    assert [(w.a.contact, w.b.name, w.signal) for w in wires] == [
        ("J1.3", "antenna", "audio"),
        ("J1.4", "antenna", "audio low"),
        ("J1.5", "antenna", "mic"),
        ("J1.6", "antenna", "mic low"),
    ]


def test_a_run_counts_its_numbers_on(tmp_path: Path) -> None:
    text = changed(LINE, "{from: radio.J1.3..4, to: antenna, number: 2}").replace(PINS, MORE)
    text = text.replace("number: 2}", "number: 2}\n  - {from: radio.J1.5..6, to: antenna}")
    study = Study(good(reading(tmp_path, text)))
    assert [chain.number for chain in chains(study).of("wire")] == [2, 3, 1, 4]


def test_a_run_between_two_plugs_keeps_their_order(tmp_path: Path) -> None:
    text = changed(LINE, "{from: radio.J1.3..5, to: fin.7..9}").replace(PINS, MORE)
    pins = "{7: a, 8: b, 9: c}"
    text = text.replace(
        "plugs:\n", f"plugs:\n  fin: {{type: dsub-9, place: belly, pins: {pins}}}\n"
    )
    study = Study(good(reading(tmp_path, text)))
    wires = [c for chain in chains(study).of("wire") for c in chain.conductors()]
    assert [(w.a.contact, w.b.contact) for w in wires] == [
        ("J1.3", "7"),
        ("J1.4", "8"),
        ("J1.5", "9"),
    ]


@pytest.mark.parametrize(
    ("stop", "names"),
    [("fin.G..K", ["G", "H", "J", "K"]), ("fin.A1..A4", ["A1", "A2", "A3", "A4"]),
     ("fin.B7..10", ["B7", "B8", "B9", "B10"])],
)  # fmt: skip
def test_a_run_by_letters_or_in_a_row(tmp_path: Path, stop: str, names: list[str]) -> None:
    text = changed(LINE, f"{{from: radio.J1.3..6, to: {stop}}}").replace(PINS, MORE)
    pins = ", ".join(f"{name}: s{name}" for name in names)
    text = text.replace(
        "plugs:\n", f"plugs:\n  fin: {{type: round-20, place: belly, pins: {{{pins}}}}}\n"
    )
    study = Study(good(reading(tmp_path, text)))
    wires = [c for chain in chains(study).of("wire") for c in chain.conductors()]
    assert [(w.a.contact, w.b.contact) for w in wires] == [
        (f"J1.{n}", name) for n, name in enumerate(names, 3)
    ]


def test_a_run_by_letters_that_passes_a_contact_says_so(tmp_path: Path) -> None:
    text = changed(LINE, "{from: radio.J1.3..4, to: fin.H..J}").replace(PINS, MORE)
    text = text.replace(
        "plugs:\n", "plugs:\n  fin: {type: strip, place: belly, pins: {H: a, I: b, J: c}}\n"
    )
    (told,) = reading(tmp_path, text).mistakes
    assert told.message == (
        "a run of letters leaves out I, O and Q, but there is a contact fin.I; write one run "
        "before it and one behind it"
    )


def test_a_splice_joins_one_wire_to_several(tmp_path: Path) -> None:
    wires = _wires(tmp_path, "{from: radio.J1.3, to: [antenna, root.A, root.B], splice: panel}")
    assert [(w.a.kind, w.b.kind) for w in wires] == [
        ("equipment", "splice"),
        ("splice", "equipment"),
        ("splice", "connector"),
        ("splice", "connector"),
    ]
    assert {w.chain for w in wires} == {"wire-1"}
    assert [w.segment for w in wires] == ["A", "B", "C", "D"]


@pytest.mark.parametrize(
    ("letter", "ohm_per_double_foot"),
    [("K", 0.586), ("J", 0.357), ("E", 0.709), ("T", 0.298)],
)
def test_thermocouple_pairs_have_the_resistance_of_makers_tables(
    tmp_path: Path, letter: str, ohm_per_double_foot: float
) -> None:
    """Tables of thermocouple wire give ohm for a foot of both legs at 20 °C, AWG 20 (memory)."""
    text = changed(LINE, f"{{from: radio.J1.3..4, to: antenna, thermocouple: {letter}}}")
    study = Study(good(reading(tmp_path, text.replace(PINS, MORE))))
    legs = [c for chain in chains(study).of("wire") for c in chain.conductors()]
    foot = sum(bare_ohm(size_of(study, leg, "20"), 0.3048) for leg in legs)
    assert foot == pytest.approx(ohm_per_double_foot, rel=0.05)  # lots differ by some 5 %


def test_cores_of_thermocouple_cable_take_turns(tmp_path: Path) -> None:
    text = changed(
        "spare: {type: 2-core AWG 20, from: panel, to: belly, spare: yes}",
        "cht: {type: 2-core AWG 24 thermocouple K, "
        "cores: {a: {from: radio.J1.4, to: antenna}, b: {from: radio.J1.5, to: antenna}}}",
    ).replace(PINS, MORE)
    study = Study(good(reading(tmp_path, text)))
    cores = chains(study).by_name["cht"].conductors()
    assert [core.wire for core in cores] == ["thermocouple-k-positive", "thermocouple-k-negative"]


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("{from: radio.J1.6..3, to: antenna}", (
            'wires.1.from: "radio.J1.6..3" runs from the smaller number to the greater; where '
            "wires cross, write one line for each"
        )),
        ("{from: root.B..A, to: antenna}", (
            'wires.1.from: "root.B..A" runs from the earlier letter to the later; where wires '
            "cross, write one line for each"
        )),
        ("{from: root.H..I, to: antenna}", (
            'wires.1.from: "root.H..I": a run of letters is of capitals without I, O and Q; write '
            "that contact in a line of its own"
        )),
        ("{from: root.A-B, to: antenna}", (
            "wires.1.from: a run of contacts is written root.A..B"
        )),
        ("{from: radio.J1.A3..B6, to: antenna}", (
            'wires.1.from: "radio.J1.A3..B6" begins in row A and ends in row B; write one run for '
            "each"
        )),
        ("{from: radio.J1.3-6, to: antenna}", (
            "wires.1.from: a run of contacts is written radio.J1.3..6"
        )),
        ("{from: radio.J1.3...6, to: antenna}", (
            "wires.1.from: a run of contacts is written radio.J1.3..6"
        )),
        ("{from: radio.J1.3..6, to: root.A}", (
            'wires.1.to: "radio.J1.3..6" means 4 contacts and "root.A" 1 contact; both ends of a '
            "run have as many"
        )),
        ("{from: radio.J1.3..999, to: antenna}", (
            'wires.1.from: "radio.J1.3..999" means 997 contacts; 200 are the most'
        )),
        ("{from: radio.J1.3, to: [antenna, root.A]}", (
            "wires.1.to: one wire to several ends needs splice: and the place where it branches"
        )),
        ("{from: radio.J1.3, to: antenna, splice: panel}", (
            "wires.1.splice: a splice joins several ends; list them under to: [a, b]"
        )),
        ("{from: radio.J1.3, to: [antenna, radio.J1.3], splice: panel}", (
            "wires.1.to: each end is named once"
        )),
        ("{from: radio.J1.3..4, to: [antenna, root.A], splice: panel}", (
            "wires.1.from: a splice joins single contacts, not a run; write one line for each"
        )),
        ("{from: radio.J1.3, to: [antenna, root.A], splice: panl}", (
            'wires.1.splice: there is no place "panl"; did you mean "panel"?'
        )),
        ("{from: radio.J1.3, to: antenna, thermocouple: K}", (
            "wires.1.thermocouple: one wire is one leg; write K+ or K-, or a run of contacts in "
            "pairs, the positive first"
        )),
        ("{from: radio.J1.3, to: antenna, thermocouple: K+, wire: pvc}", (
            "wires.1.wire: thermocouple: says which wire it is; leave out wire:"
        )),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_told(wrong: Wrong, line: str, message: str) -> None:
    assert message in wrong(LINE, line)


def test_a_contact_of_a_run_that_does_not_exist_is_told_once(wrong: Wrong) -> None:
    (message,) = wrong(LINE, "{from: radio.J1.3..6, to: antenna}")
    assert message.startswith("wires.1.from: contact 4 of radio.J1 is not under its pins:")
