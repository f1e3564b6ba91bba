"""The current of thin wires counts in the solved network where the builder gives it."""

from pathlib import Path

import numpy as np
import pytest

from elec.answers.base.points import points
from elec.answers.doubt.tolerances import inputs
from elec.answers.failures.failures import effects
from elec.answers.time.endurance import endurance
from elec.check import run
from elec.network.netlist import Array
from elec.pages.loads.thin import thin_currents
from elec.study import Study
from tests.read.helper import good, reading

PLAIN = """\
system: {name: Tern, nominal: 14 V, return: wired, electrically-dependent: no}
phases:
  start: {lasts: 20 s, engine: cranking}
  cruise: {lasts: 2 h, engine: 2300 rpm}
  landing: {lasts: 10 min, engine: 1500 rpm}
sources:
  battery: {kind: lead-acid, place: firewall, capacity: 18 Ah, rate: 1 h, resistance: 9 mΩ}
  alternator:
    kind: alternator
    place: firewall
    setpoint: 14.2 V
    output: {1000 rpm: 40 A}
    field-circuit: field
    field-wire: regulator
    sense: SENSE
    warning-lamp: LAMP
buses: {main: {place: panel, warning: 13 V}}
feeders:
  - {from: battery, to: main, contactor: master, limiter: 60 A}
  - {from: main, to: alternator, limiter: 60 A}
switches:
  starter-contactor: {kind: contactor, place: firewall, rating: 300 A, engaged-light: LIGHT}
grounds: {block: {place: firewall, kind: block}}
equipment:
  regulator: {place: firewall, draw: 2 A, on: cruise..landing, shed: at once, basis: measured}
  radio: {place: panel, draw: 2 A, essential: yes, basis: measured}
  warning-unit: {place: panel, draw: 0.1 A, essential: yes, basis: measured}
  starter: {place: firewall, draw: 120 A, on: {start: 5 s}, character: motor}
circuits:
  starter: {bus: main, contactor: starter-contactor, feeds: starter, unprotected: starter}
  field: {bus: main, breaker: 5 A, switch: field, feeds: regulator}
  radio: {bus: main, breaker: 5 A, feeds: radio}
  warning-unit: {bus: main, breaker: 2 A, feeds: warning-unit}
places: {firewall: , panel: }
ways: [{between: [firewall, panel], length: 4 ft}]
"""


def _study(
    folder: Path,
    *,
    sense: str = "main",
    lamp: str = "warning-unit.lamp",
    light: str = "warning-unit.starter",
) -> Study:
    text = PLAIN.replace("SENSE", sense).replace("LAMP", lamp).replace("LIGHT", light)
    return Study(good(reading(folder, text)))


def _given(study: Study) -> dict[tuple[str, str, str], float]:
    """Phase, scenario, count → what all sources give together."""
    found = points(study)
    amps: Array = found.solution.alternator_a.sum(axis=0) - found.solution.battery_a.sum(axis=0)
    return {
        (c.phase, c.scenario.name, c.count): float(a)
        for c, a in zip(found.cases, amps, strict=True)
        if c.condition == "day"
    }


def _more(folder: Path, **keys: str) -> dict[tuple[str, str, str], float]:
    (folder / "a").mkdir()
    (folder / "b").mkdir()
    before, after = _given(_study(folder / "a")), _given(_study(folder / "b", **keys))
    return {key: after[key] - before[key] for key in before}


def test_a_sense_wire_draws_while_its_bus_is_live(tmp_path: Path) -> None:
    more = _more(tmp_path, sense="{from: main, amps: 50 mA}")
    assert list(more.values()) == pytest.approx([0.05] * len(more), abs=2e-3)


def test_a_warning_lamp_is_lit_while_its_alternator_gives_nothing(tmp_path: Path) -> None:
    more = _more(tmp_path, lamp="{from: warning-unit.lamp, amps: 0.2 A}")
    lit = {key for key, amps in more.items() if amps > 0.1}
    assert lit == {
        key for key in more
        if key[0] == "start" or key[1] in ("alternator-failed", "emergency")
    }  # fmt: skip
    assert [more[key] for key in more if key in lit] == pytest.approx([0.2] * len(lit), abs=2e-3)
    assert [more[key] for key in more if key not in lit] == pytest.approx(
        [0.0] * (len(more) - len(lit)), abs=1e-9
    )


def test_an_engaged_light_is_lit_while_the_starter_turns(tmp_path: Path) -> None:
    more = _more(tmp_path, light="{to: warning-unit.starter, amps: 0.2 A}")
    assert {key[0] for key, amps in more.items() if amps > 1e-6} == {"start"}
    assert more["start", "normal", "momentary"] == pytest.approx(0.2, abs=2e-3)
    # as the starter itself, which is not on throughout: docs/method.md, Loads
    assert more["start", "normal", "steady"] == pytest.approx(0.0, abs=1e-6)


def test_the_battery_lasts_shorter_after_the_alternator_is_lost(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    before = endurance(_study(tmp_path / "a"))
    after = endurance(
        _study(
            tmp_path / "b",
            sense="{from: main, amps: 50 mA}",
            lamp="{from: warning-unit.lamp, amps: 0.25 A}",
        )
    )
    assert before is not None
    assert after is not None
    assert before.hand_min is not None
    assert after.hand_min is not None
    assert before.simulated_min is not None
    assert after.simulated_min is not None
    # 2.1 A before, 2.4 A now, but for the five minutes before shedding
    assert after.hand_min / before.hand_min == pytest.approx(2.1 / 2.4, rel=0.03)
    assert after.simulated_min < 0.95 * before.simulated_min


def test_what_is_not_given_is_not_counted_and_said(tmp_path: Path) -> None:
    study = _study(tmp_path)
    assert not [port for port in points(study).model.ports if port.mode == "tap"]
    rows = {row[0]: row[1] for row in thin_currents(study).rows}
    assert len(rows) == 3
    assert set(rows.values()) == {None}
    assert "amps:" in thin_currents(study).note
    (tmp_path / "b").mkdir()
    given = _study(tmp_path / "b", sense="{from: main, amps: 50 mA}")
    amps = [row[1] for row in thin_currents(given).rows]
    assert sorted(a for a in amps if isinstance(a, float)) == [0.05]


def test_a_dead_bus_asks_nothing_of_its_sense_wire(tmp_path: Path) -> None:
    study = _study(tmp_path, sense="{from: main, amps: 50 mA}")
    lost = next(e for e in effects(study, "cruise") if e.failure.id == "bus:main")
    assert lost.low == ()
    assert all("tap" not in name for e in effects(study, "cruise") for name in (*e.lost, *e.low))
    assert [one for one in inputs(study).every if one.name.startswith("tap:")]
    run(study)
    assert np.isfinite(points(study).solution.load_v).all()
