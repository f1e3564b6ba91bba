"""Relays that change feeders over: what has to be said."""

from pathlib import Path

import pytest

from tests.read.helper import good, reading

TEXT = (Path(__file__).parents[2] / "docs" / "shapes.yaml").read_text(encoding="utf-8")
RESTS = "rests: essential from standby,"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            RESTS,
            "",
            (
                "which feeder essential is on while the coil is not energised is not said; write "
                "rests: essential from main, or rests: essential from standby"
            ),
        ),
        (
            RESTS,
            "rests: essential from standy,",
            (
                'no feeder "essential from standy" has changeover: essential-relay; did you mean '
                '"essential from standby"?'
            ),
        ),
        (
            "master: {kind: contactor,",
            "master: {rests: main feed, kind: contactor,",
            (
                "this belongs to a relay (kind: relay, with its coil) that two feeders name as "
                "their changeover"
            ),
        ),
        (
            "from: standby, to: essential, breaker: 10 A,",
            "from: standby, to: essential, breaker: 10 A, diode: schottky,",
            (
                "behind the common terminal there is one wire, that of essential from main; write "
                "diode: there"
            ),
        ),
        (
            "  - {name: alternator lead,",
            (
                "  - {from: hot, to: essential, fuse: 5 A, changeover: essential-relay}\n"
                "  - {name: alternator lead,"
            ),
            "a relay changes over between two feeders to one bus; essential has 3",
        ),
    ],
)
def test_what_is_not_said_is_asked_once(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert TEXT.count(old) == 1
    found = reading(tmp_path, TEXT.replace(old, new))
    assert [mistake.message for mistake in found.mistakes] == [message]


def test_terminals_may_be_given(tmp_path: Path) -> None:
    poles = (
        "poles: {essential from main: {line: 4, load: 5}, "
        "essential from standby: {line: 6, load: 5, closed: rest}}, "
    )
    system = good(reading(tmp_path, TEXT.replace(RESTS, RESTS + poles)))
    found = system.document.switches["essential-relay"].poles
    assert {name: (pole.line, *pole.load) for name, pole in found.items()} == {
        "essential from main": ("4", "5"),
        "essential from standby": ("6", "5"),
    }
