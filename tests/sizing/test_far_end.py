"""A feeder with a device at both ends: laid out, counted, listed, written back and drawn."""

from pathlib import Path

import pytest

from elec.answers.base.points import points
from elec.answers.failures.failure_list import failures
from elec.attempt.write_sizes import put_sizes
from elec.drawings.records.distribution import one_line_record
from elec.pages.bench.shopping import devices_to_buy
from elec.pages.circuits.feeder import feeders
from elec.pages.circuits.protection import protection
from elec.pages.size.table import sizes
from elec.read import read
from elec.read.edit import Edits
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains

TWO = """\
system: {{name: Tie, nominal: 14 V, ambient: 25 °C, return: airframe}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources:
  left: {{kind: lead-acid, place: panel, capacity: 18 Ah}}
  right: {{kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {{first: {{place: panel}}, second: {{place: panel}}}}
grounds: {{block: {{place: panel}}}}
feeders:
  - {{from: left, to: first, limiter: 60 A, gauge: AWG 6}}
  - {{from: right, to: second, limiter: 60 A, gauge: AWG 6}}
  - {{name: tie, from: first, to: second, {tie}}}
equipment: {{pump: {{place: panel, draw: 8 A, on: always}}}}
circuits: {{pump: {{bus: second, breaker: 15 A, feeds: pump}}}}
places: {{panel: {{ambient: 25 °C}}}}
"""


def _study(folder: Path, tie: str) -> Study:
    file = folder / "tie.yaml"
    file.write_text(TWO.format(tie=tie), encoding="utf-8")
    found = read(file)
    assert found.system is not None, found.mistakes
    return Study(found.system)


def test_it_stands_last_and_counts_in_the_network(tmp_path: Path) -> None:
    study = _study(tmp_path, "breaker: 20 A, far-end: {breaker: {rating: 15 A, resistance: 1 Ω}}")
    tie = chains(study).by_name["tie"]
    assert [part.id for part in tie.parts()] == [
        "first", "tie/breaker", "tie/far-breaker", "second",
    ]  # fmt: skip
    solved = points(study)
    far = solved.current_a("tie/far-breaker")
    assert far == pytest.approx(solved.current_a("tie/1"))
    drop = solved.node_v("tie/far-breaker.in") - solved.node_v("second")
    assert drop == pytest.approx(far * 1.0)  # Ohm's law over the given 1 Ω


def test_it_is_chosen_listed_and_may_fail(tmp_path: Path) -> None:
    study = _study(tmp_path, "breaker: 20 A, far-end: {fuse: auto}")
    far = sizing(study).devices["tie far end"]
    assert (far.kind, far.chosen, far.chain) == ("fuse", True, "tie")
    assert "device:tie far end" in {failure.id for failure in failures(study)}
    label = f"20 A breaker, far end {far.label}"
    for table, words in (
        (feeders, label), (sizes, label), (protection, far.label), (devices_to_buy, "fuse"),
    ):  # fmt: skip
        shown = [str(getattr(cell, "value", cell)) for row in table(study).rows for cell in row]
        assert words in shown, table.__name__
    drawn = next(one for one in one_line_record(study, {}).feeders if one.id == "tie")
    assert [device.kind for device in drawn.devices] == ["breaker", "fuse"]


def test_the_chosen_rating_is_written_under_its_key(tmp_path: Path) -> None:
    study = _study(tmp_path, "breaker: auto, far-end: {breaker: auto}")
    edits = Edits.of(tmp_path / "tie.yaml")
    put_sizes(study, edits, ["tie"])
    amps = sizing(study).devices["tie far end"].rating_a
    assert edits.get(("feeders", 2, "far-end", "breaker")) == f"{amps:g} A"


def test_the_wire_bears_the_larger_of_the_two(tmp_path: Path) -> None:
    study = _study(tmp_path, "breaker: 10 A, far-end: {breaker: 40 A}")
    thin = _study(tmp_path, "breaker: 10 A")
    gauges = [int(sizing(one).gauges["tie/1"].awg) for one in (study, thin)]
    assert gauges[0] < gauges[1]


@pytest.mark.parametrize(
    ("tie", "words"),
    [
        ("breaker: 10 A, far-end: {}", "there is no protective device"),
        ("far-end: {breaker: 10 A}", "this is a second device, and there is no first"),
        ("breaker: 10 A, far-end: {breaker: 5 A, fuse: 5 A}", "there is also a breaker"),
        ("breaker: 10 A, far-end: {breaker: {rating: 5 A, class: none-such}}", "no class of"),
        ("breaker: 10 A, far-end: {unprotected: short}", "far-end"),
    ],
)
def test_mistakes_are_told_at_their_place(tmp_path: Path, tie: str, words: str) -> None:
    file = tmp_path / "tie.yaml"
    file.write_text(TWO.format(tie=tie), encoding="utf-8")
    found = read(file)
    assert len(found.mistakes) == 1
    assert words in str(found.mistakes[0])
