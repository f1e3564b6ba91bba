"""The network solution against closed forms, and its answers where there is none."""

import math

import numpy as np
import pytest
from networks import Sketch

from elec.network.netlist import Law, Solution, State
from elec.network.solve import solve


def solution(sketch: Sketch) -> Solution:
    return solve(*sketch.build())


def volts(answer: Solution, node: str) -> float:
    return float(answer.voltage_v[answer.nodes.index(node), 0])


def power_source(emf_v: float, ohm: float, power_w: float, minimum_v: float = 1.0) -> Sketch:
    sketch = Sketch()
    sketch.battery("bus", "0", emf_v, ohm)
    sketch.load("bus", "0", Law.POWER, power_w, minimum_v)
    return sketch


def test_worked_example_of_constant_power() -> None:
    # 12.6 V behind 10 mΩ, 1000 W: V = (E + √(E² - 4RP))/2. Printed to 4 and 3 decimals (computed).
    answer = solution(power_source(12.6, 0.010, 1000.0))
    assert volts(answer, "bus") == pytest.approx(11.7489, abs=0.5e-4)
    assert answer.load_a[0, 0] == pytest.approx(85.115, abs=0.5e-3)
