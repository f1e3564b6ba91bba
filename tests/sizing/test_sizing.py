"""Gauges: AC 43.13-1B 11-67 example 1 as a whole system, and what must always hold."""

import pytest

from elec.answers.heat.heat import heat
from elec.read import read
from elec.sizing.sizing import sizing
from elec.standards import AWGS
from elec.study import Study
from tests.answers.helper import NAMES, SYSTEMS, small, whole

EXAMPLE = """\
system: {{name: Example, nominal: 28 V, ambient: 20 °C, conditions: [day]}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources:
  alternator: {{kind: alternator, place: panel, setpoint: 28 V, output: {{1000 rpm: 60 A}}}}
  battery: {{kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {{main: {{place: panel}}}}
grounds: {{block: {{place: panel}}}}
feeders:
  - {{from: battery, to: main, limiter: auto}}
  - {{from: alternator, to: main, limiter: auto}}
equipment: {{load: {{place: panel, draw: 20 A}}}}
circuits:
  load: {{bus: main, breaker: auto, feeds: load, length: {length}}}
places: {{panel: {{ambient: 20 °C}}}}
"""


def awg(length: str) -> str:
    return sizing(small(EXAMPLE.format(length=length))).gauges["load/1"].awg


def test_example_1_of_the_circular() -> None:
    # AC 43.13-1B 11-67 example 1 (seen): 28 V, 50 ft including the ground wire, 20 A continuous,
    # 20 °C or less: the chart falls between 8 and 10, take 8. Here 25 ft out and 25 ft back. The
    # example has the wire at 20 °C (0.70 V); we count it as warm as 11-67 estimates it, 81 °C
    # (0.87 V), and 0.11 V of breaker and terminals: 0.98 V of 1.00 V, so that 8 is the answer of
    # both. The drop hangs on the breaker: one of 25 A, with more ohms, would take it over the volt.
    study = small(EXAMPLE.format(length="25 ft"))
    found = sizing(study).gauges["load/1"]
    assert (found.awg, found.decided, found.chosen) == ("8", "voltage drop", True)
    assert sizing(study).devices["load"].rating_a == 30.0
    assert sizing(study).careful_degc["load/1"] == pytest.approx(
        20 + (150 - 20) * (20 / heat(study)["load/1"].allowed_a) ** 0.5
    )


def test_a_longer_run_never_gives_a_thinner_wire() -> None:
    found = [AWGS.index(awg(f"{feet} ft")) for feet in (1, 3, 6, 10, 15, 25, 40, 60, 90)]
    assert found == sorted(found)
    assert found[0] < found[-1]


FLAT = """\
system: {{name: Bundle, nominal: 14 V, conditions: [day]}}
phases: {{cruise: {{lasts: 1 h, engine: 2400 rpm}}}}
sources:
  alternator: {{kind: alternator, place: panel, setpoint: 14.2 V, output: {{1000 rpm: 60 A}}}}
  battery: {{kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {{main: {{place: panel}}}}
grounds: {{block: {{place: panel}}}}
feeders: [{{from: battery, to: main, limiter: auto}}, {{from: alternator, to: main, limiter: auto}}]
equipment:
{equipment}
circuits:
{circuits}
places: {{panel: , tail: }}
ways:
  - {{between: [panel, tail], length: 4 ft}}
"""


def bundle(count: int, gauge: str) -> Study:
    """Some circuits of 3 A side by side on one way, all with the same gauge."""
    names = [f"load-{k}" for k in range(count)]
    return small(
        FLAT.format(
            equipment="\n".join(f"  {n}: {{place: tail, draw: 3 A, ground: block}}" for n in names),
            circuits="\n".join(
                f"  {n}: {{bus: main, breaker: 5 A, feeds: {n}, gauge: AWG {gauge}}}" for n in names
            ),
        )
    )


def temperature_degc(study: Study) -> float:
    found = heat(study)["load-0/1"].expected_degc
    assert found is not None
    return found


def test_thicker_is_never_hotter() -> None:
    found = [temperature_degc(bundle(4, g)) for g in ("22", "20", "18", "16", "14", "12", "10")]
    assert found == sorted(found, reverse=True)
    assert found[0] > found[-1] + 1  # and the difference can be felt


def test_a_bigger_bundle_is_never_cooler() -> None:
    found = [temperature_degc(bundle(count, "22")) for count in (1, 2, 4, 8, 12, 16)]
    assert found == sorted(found)
    assert found[-1] > found[0] + 1


@pytest.mark.parametrize("name", NAMES)
def test_the_same_text_gives_the_same_answer(name: str) -> None:
    again = read(SYSTEMS / name).system
    assert again is not None
    first, second = sizing(whole(name)), sizing(Study(again))
    assert first.gauges == second.gauges
    assert first.devices == second.devices
    assert first.currents_a == second.currents_a


@pytest.mark.parametrize("name", NAMES)
def test_what_is_given_stays(name: str) -> None:
    study = whole(name)
    for circuit, entry in study.document.circuits.items():
        if entry.gauge is not None:
            found = sizing(study).gauges[f"{circuit}/1"]
            assert (found.awg, found.chosen, found.decided) == (entry.gauge, False, "given")


@pytest.mark.parametrize("name", NAMES)
def test_chosen_gauges_carry_their_device(name: str) -> None:
    study = whole(name)
    found = sizing(study)
    for conductor, hot in heat(study).items():
        gauge = found.gauges[conductor]
        device = found.devices.get(conductor.split("/")[0])
        if gauge.chosen and gauge.satisfied and device is not None and device.rating_a is not None:
            assert hot.allowed_a >= device.rating_a * (1 - 1e-6)
