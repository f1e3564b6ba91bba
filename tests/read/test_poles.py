"""Poles, terminals and positions of switches; dimmers; a load that two circuits feed."""

from pathlib import Path

import pytest

from elec.answers.base.points import points
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import end_text
from tests.read.helper import Wrong, changed, good, reading

SWITCHES = "circuits:\n"
BEACON = "switch: beacon, feeds: beacon"


def test_wires_end_on_the_terminals_of_their_pole(tmp_path: Path) -> None:
    poles = "switches:\n  beacon: {poles: {beacon: {line: 2, load: 3}}}\n"
    study = Study(good(reading(tmp_path, changed(SWITCHES, poles + SWITCHES))))
    feed, on, *_ = chains(study).by_name["beacon"].conductors()
    assert end_text(study, feed.b) == "beacon switch, terminal 2"
    assert end_text(study, on.a) == "beacon switch, terminal 3"
    assert feed.b.id == on.a.id


def test_two_feeds_of_a_load_count_the_diodes_that_are_named_and_no_other(tmp_path: Path) -> None:
    twin = "  other: {bus: main, breaker: auto, feeds: beacon}\n"
    study = Study(good(reading(tmp_path, changed(SWITCHES, SWITCHES + twin))))
    assert sum("inside" in d.name for d in points(study).model.netlist.diodes) >= 1
    both = changed(SWITCHES, SWITCHES + twin.replace("feeds", "diode: schottky, feeds"))
    both = both.replace(BEACON, f"diode: schottky, {BEACON}")
    study = Study(good(reading(tmp_path, both)))
    diodes = (d.name for d in points(study).model.netlist.diodes)
    assert {n for n in diodes if "battery" not in n} == {"beacon/diode", "other/diode"}


@pytest.mark.parametrize(
    ("poles", "message"),
    [
        ("poles: {beacon: {line: 2, load: 2}}", (
            "poles.beacon.load: terminal 2 is in use: line of beacon"
        )),
        ("poles: {becon: {line: 2, load: 3}}", (
            "poles.becon: no circuit or feeder of this name goes through beacon; did you mean "
            '"beacon"?'
        )),
        ("positions: [off, on], poles: {beacon: {line: 2, load: 3, closed: both}}", (
            'poles.beacon.closed: "both" is none of positions: off, on'
        )),
        ("poles: {beacon: {line: 2}}", 'poles.beacon: "load" is missing'),
    ],
)  # fmt: skip
def test_poles_that_cannot_be_are_told(wrong: Wrong, poles: str, message: str) -> None:
    found = wrong(SWITCHES, f"switches:\n  beacon: {{{poles}}}\n{SWITCHES}")
    assert [m.partition("switches.beacon.")[2] for m in found] == [message]


def test_a_dimmer_says_what_is_left_in_it(wrong: Wrong) -> None:
    (message,) = wrong(BEACON, f"dimmer: glow, {BEACON}")
    assert message == (
        "circuits.beacon.dimmer: what is left in a dimmer at its brightest is not said; write "
        "under switches: glow: {kind: dimmer, resistance: 0.3 Ω}"
    )
