"""Battery and alternator formulas against integration and an outside fit."""

import numpy as np
import pytest

from elec.physics import alternator, battery
from elec.standards import NotCovered

Vector = np.ndarray[tuple[int], np.dtype[np.float64]]

CELL = {"capacity_ah": 18.0, "rated_h": 1.0, "peukert_exponent": 1.12}


def test_scaled_resistance() -> None:
    """A 24 V battery of 35 Ah like a 12 V one of 17 Ah and 7 milliohm."""
    found = battery.scaled_resistance_ohm(
        known_resistance_ohm=0.007, known_capacity_ah=17, capacity_ah=35, cells_ratio=2
    )
    assert found == pytest.approx(0.0068)


POINTS = [(1300.0, 16.0), (2500.0, 41.0), (5000.0, 48.0)]


def test_curve() -> None:
    curve = [(1000.0, 8.0), (1700.0, 30.0), (2600.0, 40.0)]
    for rpm, amps in ((1000, 8), (1350, 19), (1700, 30), (2150, 35), (2600, 40), (2800, 40)):
        assert alternator.curve_output_a(curve=curve, speed_rpm=rpm) == pytest.approx(amps)
    with pytest.raises(NotCovered, match="from 1000 rpm"):
        alternator.curve_output_a(curve=curve, speed_rpm=999)
    with pytest.raises(NotCovered, match="no point"):
        alternator.curve_output_a(curve=[], speed_rpm=999)
