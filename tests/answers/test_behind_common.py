"""A relay that changes over: the wire behind it, and what it leaves alive with all switches off."""

from pathlib import Path

import pytest

from elec.answers.base.marks import marks
from elec.answers.time.power_up import power_up
from elec.check import run
from elec.finding import Finding, Verdict
from elec.pages.cards.card import cards
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.coils import behind_common, feeding, wires_behind
from tests.read.helper import good, reading

TEXT = """\
system:
  {{name: Mini, nominal: 14 V, return: wired, structure: wood, electrically-dependent: {engine}}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources:
  alternator: {{kind: alternator, place: nose, setpoint: 14.2 V, output: {{1000 rpm: 20 A}}}}
  battery: {{kind: lead-acid, place: nose, capacity: 18 Ah, rate: 20 h, resistance: 9 mΩ}}
buses: {{main: {{place: panel}}, essential: {{place: panel, essential: yes}}}}
feeders:
  - {{from: battery, to: main, contactor: master, limiter: {{rating: 30 A, stub: 4 in}}}}
  - {{from: main, to: alternator, limiter: 60 A}}
  - {{name: normal, from: main, to: essential, breaker: 5 A, changeover: relay,
     used: normal{gauge}}}
  - {{name: reserve, from: battery, to: essential, fuse: {{rating: {reserve}, stub: 4 in}},
     changeover: relay, used: emergency}}
switches:
  master: {{kind: contactor, rating: 80 A, coil: {{draw: 0.8 A, switch: battery-on}}}}
  battery-on: {{rating: 5 A}}
  relay: {{kind: relay, place: panel, rating: 40 A, rests: reserve,
          coil: {{draw: 0.15 A, bus: main, breaker: 2 A, switch: ess-normal}}}}
  ess-normal: {{rating: 5 A}}
grounds: {{block: {{place: panel, kind: block}}}}
equipment:
  radio: {{place: panel, draw: 1.5 A, essential: yes, basis: data sheet}}
  pump: {{place: nose, draw: 1 A, role: engine, essential: yes, basis: data sheet}}
circuits:
  radio: {{bus: essential, breaker: 3 A, feeds: radio}}
  pump: {{bus: essential, breaker: 3 A, feeds: pump, switch: pump}}
places: {{panel: {{reach: yes}}, nose: }}
ways: [{{name: cowl, between: [panel, nose], length: 3 ft}}]
"""


def study_of(tmp_path: Path, gauge: str = "", reserve: str = "30 A", engine: str = "no") -> Study:
    text = TEXT.format(gauge=gauge, reserve=reserve, engine=engine)
    return Study(good(reading(tmp_path, text)))


def asked(study: Study, check: str, about: str) -> Finding:
    return next(f for f in run(study) if (f.check, f.about) == (check, about))


def test_the_wire_behind_the_common_terminal_belongs_to_both_feeders(tmp_path: Path) -> None:
    study = study_of(tmp_path)
    first, shared = behind_common(study)["reserve"]
    assert first.name == "normal"
    assert [(wire.a.kind, wire.b.name) for wire in shared] == [("changeover", "essential")]
    assert feeding(study, first) == ("reserve",)
    assert feeding(study, chains(study).by_name["reserve"]) == ()
    assert shared[0] in wires_behind(study, chains(study).by_name["reserve"])


@pytest.mark.parametrize(("reserve", "least"), [("30 A", 10), ("5 A", 22)])
def test_it_is_sized_for_the_larger_of_their_devices(
    reserve: str, least: int, tmp_path: Path
) -> None:
    """30 A ask for AWG 10 (AC 43.13-1B table 11-3), whichever feeder the wire is written with."""
    study = study_of(tmp_path, reserve=reserve)
    shared = behind_common(study)["reserve"][1][0]
    chosen = int(sizing(study).gauges[shared.id].awg)
    assert chosen == least or (least == 22 and chosen >= 16)
    assert asked(study, "device-protects-wire", "reserve").verdict is Verdict.PASS


def test_its_card_names_both_devices(tmp_path: Path) -> None:
    study = study_of(tmp_path)
    shared = marks(study)[behind_common(study)["reserve"][1][0].id]
    card = next(one for one in cards(study) if (one.kind, one.name) == ("wire", shared))
    said = {column.key: str(value) for column, value in card.facts}
    assert said["devices"] == "30 A fuse of battery to essential"
    other = next(one for one in cards(study) if one.kind == "wire" and one.name != shared)
    assert "devices" not in {column.key for column, _ in other.facts}


def test_a_wire_too_thin_for_the_other_fuse_fails(tmp_path: Path) -> None:
    study = study_of(tmp_path, gauge=", gauge: AWG 22")
    assert asked(study, "device-protects-wire", "normal").verdict is Verdict.PASS
    found = asked(study, "device-protects-wire", "reserve")
    assert found.verdict is Verdict.FAIL
    assert "30 A fuse; AWG 22" in found.sentence
    small = study_of(tmp_path, gauge=", gauge: AWG 22", reserve="5 A")
    assert asked(small, "device-protects-wire", "reserve").verdict is Verdict.PASS


def test_with_every_switch_off_the_resting_contact_feeds_its_bus(tmp_path: Path) -> None:
    """By hand: the battery through the fuse and the relay at rest; the radio has no switch."""
    found = power_up(study_of(tmp_path))
    assert found is not None
    off, on, pulled = found.paths[:3]
    assert off.closed == ()
    assert off.bus_v["essential"] == pytest.approx(found.supplies_v["battery"], abs=0.01)
    assert off.dead == ("main",)
    assert on.bus_v["essential"] == pytest.approx(on.bus_v["main"], abs=0.05)
    assert pulled.bus_v["essential"] > 12
    standing = found.standing["battery"]
    assert standing.total_a == pytest.approx(1.5, rel=0.01)
    radio = next(step for step in found.steps if step.circuit == "radio")
    assert radio.total_a == pytest.approx(1.5, rel=0.01)


def test_what_stops_the_engine_is_not_said_to_leave_it_running(tmp_path: Path) -> None:
    """All wires lie in one way: its cut takes the pump, and the engine with it."""
    findings = [f for f in run(study_of(tmp_path, engine="yes")) if f.check == "failure-single"]
    rest = [f.sentence for f in findings if "runs on without them" in f.sentence]
    assert all("cowl" not in sentence for sentence in rest)
    assert any(f.verdict is Verdict.FAIL and "The engine stops" in f.sentence for f in findings)


def test_without_an_alternator_the_reserve_counts_what_it_takes_over(tmp_path: Path) -> None:
    """Main is lost, the relay rests: 1.5 A and 1 A flow through the reserve; 0 A passed before."""
    lines = TEXT.format(gauge="", reserve="2 A", engine="no").splitlines(keepends=True)
    text = "".join(line for line in lines if "alternator" not in line)
    study = Study(good(reading(tmp_path, text)))
    found = asked(study, "device-holds-load", "reserve")
    assert found.verdict is Verdict.FAIL
    assert "the load is 2.5 A" in found.sentence
    assert asked(study, "device-clears-fault", "reserve").verdict is not Verdict.CANNOT_TELL
