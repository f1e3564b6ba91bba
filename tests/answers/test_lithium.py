"""A lithium iron phosphate battery beside an alternator: it rests below the set-point, and charges.

The settled rest voltage of a full cell, 3.33 to 3.40 V, is common practice of the trade (from
memory); what a cell has straight after charging, 3.6 V, is gone before the next start.
"""

import pytest

from elec.answers.base.points import points
from elec.model.source import Lithium
from elec.study import Study
from elec.wiring.sources import open_circuit_v
from tests.answers.helper import small

TEXT = """\
system: {name: Linnet, nominal: 14 V, conditions: [day], return: airframe, structure: aluminium}
phases:
  start: {lasts: 10 s, engine: cranking}
  taxi: {lasts: 8 min, engine: 1300 rpm}
  cruise: {lasts: 80 min, engine: 2300 rpm}
sources:
  pack: {kind: lithium-iron-phosphate, place: nose, capacity: 12 Ah, rate: 1 h, resistance: 8 mΩ}
  generator: {kind: alternator, place: nose, setpoint: 14.1 V, rating: 40 A,
              output: {1000 rpm: 15 A, 2300 rpm: 36 A}}
buses: {main: {place: panel, essential: yes, warning: 13.3 V}}
feeders:
  - {name: pack feed, from: pack, to: main, contactor: master, limiter: 100 A, gauge: AWG 4}
  - {name: output, from: main, to: generator, limiter: 60 A, gauge: AWG 8}
switches: {master: {kind: contactor, rating: 150 A}}
grounds: {post: {place: nose}}
equipment:
  radio: {place: panel, draw: 6 A, essential: yes}
  lamps: {place: panel, draw: 4 A, on: taxi..cruise, shed: at once}
circuits:
  radio: {bus: main, breaker: 10 A, feeds: radio}
  lamps: {bus: main, breaker: 7.5 A, feeds: lamps}
places: {nose: , panel: }
ways: [{between: [nose, panel], length: 1 m}]
"""


def pack(study: Study) -> Lithium:
    found = study.document.sources["pack"]
    assert isinstance(found, Lithium)
    return found


@pytest.mark.parametrize(("nominal", "cells"), [("14 V", 4), ("28 V", 8)])
def test_a_full_pack_rests_as_settled_cells_do(nominal: str, cells: int) -> None:
    study = small(TEXT.replace("nominal: 14 V", f"nominal: {nominal}"))
    full = open_circuit_v(study, pack(study), 1.0)
    assert 3.33 * cells <= full <= 3.40 * cells
    below = open_circuit_v(study, pack(study), 0.95)
    assert below == pytest.approx(3.316 * cells)


def test_the_alternator_carries_the_loads_and_the_pack_gives_nothing() -> None:
    found = points(small(TEXT))
    for phase in ("taxi", "cruise"):
        one = found.select(phase=phase, scenario="normal", count="steady")
        assert found.solution.battery_a[0, one] >= 0
        assert found.solution.alternator_a[0, one] > 10.0
