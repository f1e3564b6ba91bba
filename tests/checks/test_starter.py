"""What `elec new` writes passes its own check."""

from pathlib import Path

from elec.check import run
from elec.finding import Verdict
from elec.read import read
from elec.read.starter import starter
from elec.study import Study


def test_the_starter_fails_nothing_and_leaves_nothing_open(tmp_path: Path) -> None:
    path = tmp_path / "plane.yaml"
    path.write_text(starter("Plane"), encoding="utf-8")
    system = read(str(path)).system
    assert system is not None
    found = run(Study(system))
    assert not [f for f in found if f.verdict in (Verdict.FAIL, Verdict.CANNOT_TELL)]
    assert len([f for f in found if f.verdict is Verdict.ADVISE]) <= 3


def test_a_device_at_the_shorted_end_is_to_be_quicker_and_none_is_added(tmp_path: Path) -> None:
    """A slow breaker there lets the battery's limiter open; a 15 A fuse would not hold 30 A."""
    path = tmp_path / "plane.yaml"
    given, slow = "to: alternator, fuse: auto", "to: alternator, breaker: auto"
    assert given in starter("Plane")
    text = starter("Plane").replace("2400 rpm: 16 A", "2400 rpm: 30 A")
    path.write_text(text.replace(given, slow), encoding="utf-8")
    system = read(str(path)).system
    assert system is not None
    (fail,) = (f for f in run(Study(system), deep=False) if f.verdict is Verdict.FAIL)
    assert (fail.check, fail.about) == ("short-essential", "main-to-alternator")
    assert "Its own device must open first" in fail.remedy
    assert "far-end" not in fail.remedy


def test_an_alternator_with_more_is_not_left_out_of_the_order_of_devices(tmp_path: Path) -> None:
    """Its 40 A fuse is not a third of the battery's limiter, and no curve goes to the short."""
    path = tmp_path / "plane.yaml"
    text = starter("Plane").replace("2400 rpm: 16 A", "2400 rpm: 30 A")
    path.write_text(text, encoding="utf-8")
    system = read(str(path)).system
    assert system is not None
    (one,) = (f for f in run(Study(system), deep=False) if f.check == "device-selective")
    assert one.verdict is Verdict.CANNOT_TELL
    assert "fuse of main to alternator, 1.5 times" in one.sentence
