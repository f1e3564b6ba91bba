"""Charging from low: each battery takes what it accepts, less where that cannot flow."""

from pathlib import Path

import pytest

from elec.answers.loads.recharging import ChargeAsked, Recharging, recharging
from elec.check import ask
from elec.model.system import System
from elec.read import read
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study
from elec.wiring.sources import open_circuit_v
from tests.systems import SYSTEMS

ONE = """
system: {{name: One, nominal: 14 V, ambient: 40 °C, conditions: [day], return: airframe, structure: aluminium}}
phases:
  taxi: {{lasts: 10 min, engine: 1000 rpm}}
  cruise: {{lasts: 60 min, engine: 2400 rpm}}
sources:
  battery: {{kind: lithium-iron-phosphate, place: p, capacity: 20 Ah, rate: 1 h, resistance: 8 mΩ{accepts}}}
  alternator: {{kind: alternator, place: p, setpoint: 14.4 V, output: {{1000 rpm: 12 A, 2400 rpm: 60 A}}, rating: 60 A}}
buses: {{main: {{place: p}}}}
feeders:
  - {{name: battery feed, from: battery, to: main, fuse: auto}}
  - {{name: alternator feed, from: main, to: alternator, limiter: 80 A, gauge: AWG 2}}
grounds: {{g: {{place: p}}}}
equipment: {{radio: {{place: p, draw: 5 A, on: always, basis: measured}}}}
circuits: {{r: {{bus: main, breaker: 10 A, feeds: radio}}}}
places: {{p: {{ambient: 40 °C}}}}
"""  # noqa: E501


def _system(path: Path) -> System:
    got = read(path)
    assert got.system is not None, got.mistakes
    return got.system


def _one(tmp_path: Path, accepts: str) -> tuple[Study, Recharging]:
    path = tmp_path / "one.yaml"
    path.write_text(ONE.format(accepts=accepts))
    study = Study(_system(path))
    found = recharging(study)
    assert found is not None
    return study, found


def _at(found: Recharging, phase: str) -> ChargeAsked:
    return next(one for one in found.asked if one.phase == phase)


def test_a_battery_takes_what_it_accepts(tmp_path: Path) -> None:
    _, found = _one(tmp_path, ", accepts: 20 A")
    assert found.takes_a["battery"] == pytest.approx(20.0, rel=1e-8)  # it is held to it
    cruise = _at(found, "cruise")
    # Kirchhoff: the alternator carries the radio and the charge.
    assert cruise.loads_a == pytest.approx(5.0, rel=1e-3)
    assert cruise.charge_a == pytest.approx(20.0, rel=2e-3)
    assert cruise.gives_a == pytest.approx(25.0, rel=2e-3)
    assert not cruise.short


def test_each_of_two_batteries_takes_what_it_accepts(tmp_path: Path) -> None:
    """Held one after the other: while the first takes all that it can, the second is held down."""
    second = (
        "  second: {kind: lithium-iron-phosphate, place: p, capacity: 20 Ah, rate: 1 h,"
        " resistance: 100 mΩ, accepts: 2 A}\n  alternator:"
    )
    feed = "feeders:\n  - {name: second feed, from: second, to: main, fuse: 10 A, gauge: AWG 14}"
    text = ONE.format(accepts=", accepts: 20 A").replace("  alternator:", second, 1)
    path = tmp_path / "two.yaml"
    path.write_text(text.replace("feeders:", feed, 1))
    found = recharging(Study(_system(path)))
    assert found is not None
    assert found.takes_a == pytest.approx({"battery": 20.0, "second": 2.0}, rel=1e-8)
    cruise = _at(found, "cruise")
    assert cruise.gives_a == pytest.approx(5.0 + 20.0 + 2.0, rel=1e-3)  # contacts draw nothing
    taxi = _at(found, "taxi")
    assert taxi.gives_a == pytest.approx(12.0, rel=1e-6)


def test_an_alternator_at_its_limit_gives_no_more(tmp_path: Path) -> None:
    _, found = _one(tmp_path, ", accepts: 20 A")
    taxi = _at(found, "taxi")
    assert taxi.short
    assert taxi.asked_a == pytest.approx(25.0, rel=2e-3)
    assert taxi.gives_a == pytest.approx(12.0, rel=1e-6)


def test_what_nobody_gives_is_bounded_by_resistance_and_alternator(tmp_path: Path) -> None:
    """Ohm's law: set-point less rest over all resistances would be more than 55 A."""
    study, found = _one(tmp_path, "")
    assert found.unknown == ("battery",)
    source = study.document.sources["battery"]
    assert source.kind == "lithium-iron-phosphate"
    rest_v = open_circuit_v(study, source, default("recharging-charge").si)
    assert found.takes_a["battery"] < (14.4 - rest_v) / 0.008
    assert found.takes_a["battery"] <= 60.0 - 5.0 + 1e-3
    (line,) = [one for one in found.lines if one.chain == "battery feed"]
    assert line.bounded


def test_a_fuse_left_to_elec_holds_the_charge(tmp_path: Path) -> None:
    study, _ = _one(tmp_path, ", accepts: 24 A")
    device = sizing(study).devices["battery feed"]
    assert device.rating_a is not None
    # 75 % of a fuse may be used by what lasts.
    assert device.rating_a >= 24.0 / 0.75
    assert "charged" in device.decided
    assert [f.verdict for f in ask(study, "battery-charge")] == ["pass", "pass"]


def test_where_no_fuse_holds_the_charge_none_is_chosen(tmp_path: Path) -> None:
    study, _ = _one(tmp_path, ", accepts: 45 A")
    (found,) = [f for f in ask(study, "device-holds-load") if f.about == "battery feed"]
    assert found.verdict == "fail"
    assert "no standard fuse" in found.sentence.lower()


def test_the_lithium_system_takes_what_its_management_system_lets_in() -> None:
    """Its head says 20 A and what the loads take: 35 A in the approach by night, of 40 A rated."""
    found = recharging(Study(_system(SYSTEMS / "yarrow")))
    assert found is not None
    assert found.takes_a["battery"] == pytest.approx(20.0, rel=1e-8)
    approach = max(one.asked_a for one in found.asked if one.phase == "approach")
    assert approach == pytest.approx(35.0, abs=0.5)
