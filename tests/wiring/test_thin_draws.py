"""What thin wires, fields and batteries that are charged put into the network, case by case."""

import pytest

from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.cases import cases, scenarios
from elec.wiring.chains import chains
from elec.wiring.charging import accepted, charged, low_model
from elec.wiring.circuit_model import Model, build
from elec.wiring.taps import ThinDraw, taps
from tests.answers.helper import small

TEXT = """\
system: {name: Thin, nominal: 14 V, conditions: [day], electrically-dependent: no}
phases:
  start: {lasts: 20 s, engine: cranking}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  battery: {kind: lead-acid, place: bay, capacity: 18 Ah, resistance: 9 mΩ}
  alternator: {kind: alternator, place: bay, setpoint: 14.2 V, rating: 30 A, field: 2 A,
    field-circuit: field, field-wire: regulator, sense: {from: main, amps: 50 mA},
    warning-lamp: {from: box.J1.3, amps: 200 mA}}
buses: {main: {place: bay}}
feeders:
  - {name: cable, from: battery, to: main, limiter: 60 A, gauge: AWG 8}
  - {name: output, from: main, to: alternator, limiter: 60 A, gauge: AWG 8}
switches:
  starter-contactor: {kind: contactor, place: bay, rating: 300 A,
    engaged-light: {to: light, amps: 100 mA}}
grounds: {block: {place: bay, kind: block}}
equipment:
  regulator: {place: bay, REGULATOR, shed: never,
    connectors: {J1: {type: dsub-9, pins: {1: power, 2: ground}}}}
  box: {place: bay, draw: 0.5 A, shed: SHED,
    connectors: {J1: {type: dsub-9, pins: {1: power, 2: ground, 3: lamp, 4: volts}}}}
  light: {place: bay, passive: yes}
  starter: {place: bay, draw: 120 A, on: {start: 5 s}, character: motor}
circuits:
  field: {bus: main, breaker: 5 A, feeds: regulator.J1.1, ground: regulator.J1.2, gauge: AWG 20}
  box: {bus: main, breaker: 2 A, feeds: box.J1.1, ground: box.J1.2, gauge: AWG 22}
  starter: {bus: main, contactor: starter-contactor, feeds: starter, unprotected: starter,
    gauge: AWG 4}
wires: [{from: main, to: box.J1.4, fuse: 1 A, amps: 10 mA}]
places: {bay: {within: 2 ft}}
"""


def made(*, regulator: str = "draw: 3 A", shed: str = "never") -> Study:
    return small(TEXT.replace("REGULATOR", regulator).replace("SHED", shed))


@pytest.fixture(scope="module")
def study() -> Study:
    return made()


def network(study: Study) -> Model:
    return build(study, cases(study), sizing(study).sizes())


def amounts(study: Study, port: str) -> dict[tuple[str, str], float]:
    """Phase, scenario → what a load of the network draws at one moment."""
    model = network(study)
    row = [branch.name for branch in model.netlist.loads].index(port)
    return {
        (case.phase, case.scenario.name): float(value)
        for case, value in zip(cases(study), model.values.load_value[row], strict=True)
        if case.count == "momentary"
    }


def thin(study: Study) -> dict[str, str]:
    """Which is which: `sense`, `lamp`, `light`, `volts` by what they carry."""
    words = {0.05: "sense", 0.2: "lamp", 0.1: "light", 0.01: "volts"}
    return {words[one.amps_a]: name for name, one in taps(study).items() if one.amps_a is not None}


def test_what_each_thin_wire_tells_of(study: Study) -> None:
    found = {word: taps(study)[name] for word, name in thin(study).items()}
    assert found == {
        "sense": ThinDraw(amps_a=0.05),
        "lamp": ThinDraw(amps_a=0.2, alternator="alternator"),
        "light": ThinDraw(amps_a=0.1, behind="starter"),
        "volts": ThinDraw(amps_a=0.01),
    }


def _lit(found: dict[tuple[str, str], float]) -> set[tuple[str, str]]:
    return {case for case, amps in found.items() if amps}


def test_when_each_thin_wire_draws(study: Study) -> None:
    every = set(amounts(study, "box"))
    lost = {scene.name for scene in scenarios(study) if "alternator" in scene.lost}
    assert len(every) > len(lost) > 0
    when = {
        "sense": every,
        "volts": every,
        "lamp": {case for case in every if case[0] == "start" or case[1] in lost},
        "light": {case for case in every if case[0] == "start"},
    }
    carried = {"sense": 0.05, "lamp": 0.2, "light": 0.1, "volts": 0.01}
    for word, name in thin(study).items():
        found = amounts(study, f"tap:{name}")
        assert _lit(found) == when[word], word
        assert set(found.values()) <= {0.0, carried[word]}


def test_a_thin_wire_draws_where_it_ends_and_one_that_comes_out_of_a_box_at_its_feed(
    study: Study,
) -> None:
    loads = {branch.name: branch for branch in network(study).netlist.loads}
    for word, name in thin(study).items():
        end = chains(study).by_name[name].rows[0].parts[-1].inlet
        assert loads[f"tap:{name}"].a == ("box#feed" if word == "lamp" else end)
        assert loads[f"tap:{name}"].b == "ground:block"


def test_what_comes_out_of_a_box_is_off_with_it() -> None:
    study = made(shed="at once")
    found = amounts(study, f"tap:{thin(study)['lamp']}")
    emergency = {scene.name for scene in scenarios(study) if scene.emergency}
    assert emergency
    assert not {scene for _, scene in _lit(found)} & emergency
    assert ("cruise", "alternator-failed") in _lit(found)


@pytest.mark.parametrize(("regulator", "drawn"), [("draw: 3 A", False), ("passive: yes", True)])
def test_the_field_is_drawn_where_no_load_of_its_circuit_is(regulator: str, drawn: bool) -> None:
    study = made(regulator=regulator)
    branches = [one for one in network(study).netlist.loads if one.name == "field:alternator"]
    assert [(one.a, one.b) for one in branches] == [("main", "alternator.-")] * drawn


def _takes(study: Study, most_a: float) -> list[float]:
    model = low_model(study, sizing(study).sizes())
    assert model is not None
    found = charged(model, model.values, {"battery": most_a})
    row = [branch.name for branch in model.netlist.batteries].index("battery")
    return [float(amps) for amps in found.battery_a[row]]


def test_a_low_battery_takes_what_it_accepts_and_no_more_than_is_there(study: Study) -> None:
    assert set(accepted(study)) == {"battery"}
    assert _takes(study, 5.0) == pytest.approx([5.0])
    free, held = _takes(study, float("inf")), _takes(study, 1000.0)
    assert held == free
    assert 15.0 < free[0] < 30.0  # the alternator's 30 A, less what is on
