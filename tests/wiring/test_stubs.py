"""The wire between a post or bus and its device: in the chain, in the lists, before the device."""

from pathlib import Path

import pytest

from elec.answers.base.marks import marks
from elec.answers.short.shorts import shorts
from elec.pages.bench.table import cut_list
from elec.pages.circuits.wire import conductors
from elec.study import Study
from elec.wiring.chains import Conductor, chains
from elec.wiring.ends import end_text
from elec.wiring.runs import runs
from tests.answers.helper import NAMES, small, whole
from tests.read.helper import reading

TEXT = """
system: {name: Stubs, nominal: 14 V}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  alternator: {kind: alternator, place: nose, setpoint: 14.2 V, output: {1000 rpm: 60 A}}
  battery: {kind: lead-acid, place: nose, capacity: 18 Ah}
buses: {main: {place: nose}, stud: {place: nose}}
grounds: {block: {place: nose}}
feeders:
  - {name: cable, from: battery, to: main, limiter: {rating: auto, stub: 4 in}, gauge: AWG 8}
  - {name: bolted, from: battery, to: stud, limiter: {rating: auto, stub: 0 in}}
  - {name: output, from: alternator, to: main, limiter: {rating: 60 A, stub: 3 in}}
  - {name: ring, from: main, to: stud, breaker: 10 A, far-end: {fuse: {rating: 10 A, stub: 5 in}}}
equipment: {lamp: {place: nose, draw: 1 A}}
circuits: {lamp: {bus: stud, breaker: {rating: auto, stub: 2 in}, feeds: lamp}}
places: {nose: }
"""
IN = 0.0254


def _stubs(study: Study) -> list[Conductor]:
    return [wire for wire in chains(study).conductors() if wire.stub]


def test_a_stub_lies_between_the_post_and_its_device() -> None:
    study = small(TEXT)
    found = {wire.id: wire for wire in _stubs(study)}
    ends = {name: (wire.a.kind, wire.b.kind) for name, wire in found.items()}
    assert ends == {
        "cable/stub": ("source", "limiter"),
        "output/stub": ("limiter", "bus"),
        "ring/far-stub": ("fuse", "bus"),
        "lamp/stub": ("bus", "breaker"),
    }
    inches = [runs(study)[name].length_m for name in ends]
    assert inches == [pytest.approx(n * IN) for n in (4, 3, 5, 2)]
    assert found["cable/stub"].gauge == "8"
    assert str(runs(study)["cable/stub"].steps[0].result.origin).endswith(":10")


def test_what_lies_behind_the_device_keeps_its_name() -> None:
    study = small(TEXT)
    every = {wire.id for wire in chains(study).by_name["cable"].conductors()}
    assert every == {"cable/stub", "cable/1"}
    assert [w.id for w in chains(study).by_name["lamp"].conductors()][:2] == ["lamp/stub", "lamp/1"]


def test_shorts_are_looked_at_behind_the_device() -> None:
    """Before it nothing opens; how long it may be is the check's."""
    study = small(TEXT)
    nodes = {short.node for short in shorts(study).by_name["cable"].shorts}
    assert nodes
    assert not any(node.endswith("limiter.in") for node in nodes)


@pytest.mark.parametrize("name", NAMES)
def test_every_stub_is_listed_and_cut(name: str) -> None:
    study = whole(name)
    wires, cut = str(conductors(study).rows), str(cut_list(study).rows)
    found = _stubs(study)
    assert found
    for wire in found:
        assert marks(study)[wire.id] in wires
        assert marks(study)[wire.id] in cut
        assert end_text(study, wire.a) in wires


TIE = TEXT.replace(
    "  - {name: ring,",
    "  - {name: tie, from: main, to: stud, breaker: 10 A, gauge: AWG 10, length: 7 ft,\n"
    "     diode: DIODE, far-end: {fuse: {rating: 10 A, stub: 5 in}}}\n  - {name: ring,",
)


@pytest.mark.parametrize(
    ("diode", "ends"),
    [
        ("schottky", ["breaker-diode", "fuse-bus"]),
        ("{kind: schottky, tail: 0 in}", ["breaker-diode", "fuse-bus"]),
        ("{kind: schottky, tail: 6 in}", ["breaker-diode", "diode-fuse", "fuse-bus"]),
    ],
)
def test_a_wire_leads_on_from_a_diode(diode: str, ends: list[str]) -> None:
    study = small(TIE.replace("DIODE", diode))
    wires = chains(study).by_name["tie"].conductors()
    assert [f"{wire.a.kind}-{wire.b.kind}" for wire in wires] == ends
    lengths = [runs(study)[wire.id].length_m for wire in wires if not wire.stub]
    assert lengths == [pytest.approx(n * IN) for n in (84, 6)[: len(lengths)]]
    assert {wire.gauge for wire in wires} == {"10"}


@pytest.mark.parametrize(
    ("diode", "message"),
    [
        ("germanium", '"germanium" is none of schottky, silicon'),
        ("{tail: 6 in}", "kind"),
        ("{kind: schottky, place: tail}", 'there is no place "tail"'),
        ("{kind: schottky, tail: 6}", '"6" has no unit'),
        ("{kind: schottky, place: nose, tail: 0 in}", "leave out place"),
        ("{kind: schottky, tail: -6 in}", "-6 in"),
    ],
)
def test_one_message_about_a_diode(tmp_path: Path, diode: str, message: str) -> None:
    (mistake,) = reading(tmp_path, TIE.replace("DIODE", diode)).mistakes
    assert message in mistake.message
    assert mistake.place.line == 14
