"""A short behind two feeders runs half through each where they are alike (Kirchhoff)."""

from pathlib import Path

import pytest

from elec.answers.short.selectivity import Selectivity, selectivity
from elec.read import read
from elec.study import Study

TEXT = """
system: {{name: Whimbrel, nominal: 14 V, conditions: [day], electrically-dependent: no}}
phases: {{cruise: {{lasts: 1 h, engine: 2300 rpm}}}}
sources:
  left: {{kind: lead-acid, place: nose, capacity: 20 Ah, rate: 20 h, resistance: 10 mΩ}}
  right: {{kind: lead-acid, place: nose, capacity: 20 Ah, rate: 20 h, resistance: 10 mΩ}}
  dynamo: {{kind: alternator, place: nose, setpoint: 14 V, output: {{2300 rpm: 30 A}}}}
buses: {{main: {{place: panel}}}}
feeders:
  - {{name: from left, from: left, to: main, breaker: 30 A, gauge: AWG 10, switch: first}}
  - {{name: from right, from: right, to: main, breaker: 30 A, gauge: AWG {gauge}, switch: second,
     used: {used}}}
  - {{name: output, from: main, to: dynamo, limiter: 40 A, gauge: AWG 8}}
grounds: {{stud: {{place: nose, kind: block}}}}
equipment: {{heater: {{place: panel, draw: 8 A, on: always, basis: measured}}}}
circuits: {{heater: {{bus: main, breaker: 15 A, feeds: heater}}}}
places: {{nose: {{}}, panel: {{}}}}
ways: [{{between: [nose, panel], length: 6 ft}}]
"""


def found(tmp_path: Path, *, gauge: str = "10", used: str = "always") -> dict[str, Selectivity]:
    file = tmp_path / "whimbrel.yaml"
    file.write_text(TEXT.format(gauge=gauge, used=used), encoding="utf-8")
    reading = read(file)
    assert reading.system, [str(m) for m in reading.mistakes]
    pairs = selectivity(Study(reading.system))
    return {name: hardest for name, (hardest, *_) in pairs.items()}


def test_two_alike_share_by_halves_and_the_alternator_is_not_counted(tmp_path: Path) -> None:
    pairs = found(tmp_path)
    for name in ("from left", "from right"):
        assert pairs[name].share == pytest.approx(0.5, rel=1e-3)
        assert pairs[name].ratio == pytest.approx(30 / 15 / 0.5, rel=1e-3)


def test_the_thinner_carries_less(tmp_path: Path) -> None:
    pairs = found(tmp_path, gauge="14")
    assert pairs["from left"].share > 0.55
    assert pairs["from left"].share + pairs["from right"].share == pytest.approx(1.0)


def test_what_is_closed_at_other_times_takes_nothing_off(tmp_path: Path) -> None:
    pairs = found(tmp_path, used="emergency")
    assert pairs["from left"].share == 1.0
    assert pairs["from right"].share == 1.0
    assert not pairs["from left"].sure
