"""What an alternator says of its wires, and what is said about mistakes in it."""

from pathlib import Path

import pytest

from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import end_id
from elec.wiring.runs import runs
from tests.read.helper import good, reading

TEXT = """
system: {name: Tern, nominal: 14 V, return: wired}
phases: {start: {lasts: 10 s, engine: cranking}, cruise: {lasts: 1 h, engine: 2000 rpm}}
sources:
  battery: {kind: lead-acid, place: nose, capacity: 18 Ah, rate: 20 h}
  alternator: {kind: alternator, place: nose, setpoint: 14.2 V, output: {1000 rpm: 20 A}, SAID}
buses: {main: {place: panel}}
grounds: {block: {place: nose}}
feeders: [{name: cable, from: battery, to: main, used: normal, fuse: 40 A}]
equipment:
  regulator:
    {place: panel, draw: 2 A, connectors: {J1: {type: dsub-9, pins: {1: power, 2: ground, 3: f}}}}
  lamp: {place: panel, draw: 1 A}
circuits:
  field: {bus: main, breaker: 5 A, feeds: regulator, gauge: AWG 20}
  lamp: {bus: main, breaker: auto, feeds: lamp}
places: {nose: {}, panel: {}}
ways: [{between: [nose, panel], length: 3 ft}]
"""


def _ends(tmp_path: Path, said: str) -> dict[tuple[str, str], str | None]:
    study = Study(good(reading(tmp_path, TEXT.replace("SAID", said))))
    chain = chains(study).by_name["field"]
    return {(end_id(c.a), end_id(c.b)): c.gauge for c in chain.conductors()}


def test_a_field_wire_leads_on_from_the_regulator(tmp_path: Path) -> None:
    ends = _ends(tmp_path, "field-circuit: field, field-wire: regulator.J1.3")
    assert ends["regulator.J1.3", "alternator.F"] == "20"
    assert len(ends) == 3
    ends = _ends(tmp_path, "field-circuit: field, field-wire: {from: regulator, gauge: AWG 18}")
    assert ends["regulator.field", "alternator.F"] == "18"


def test_its_length_is_its_own(tmp_path: Path) -> None:
    said = "field-circuit: field, field-wire: {from: regulator, length: 7 ft}"
    study = Study(good(reading(tmp_path, TEXT.replace("SAID", said))))
    (wire,) = [c for c in chains(study).conductors() if end_id(c.b) == "alternator.F"]
    run = runs(study)[wire.id]
    assert run.length_m == pytest.approx(7 * 0.3048)
    (origin,) = [step.result.origin for step in run.steps]
    assert origin.endswith(":6")


@pytest.mark.parametrize(
    "said", ["field-circuit: field", "field-circuit: field, field-wire: inside"]
)
def test_without_one_the_field_circuit_ends_at_the_regulator(tmp_path: Path, said: str) -> None:
    assert len(_ends(tmp_path, said)) == 2


@pytest.mark.parametrize(
    ("said", "message"),
    [
        (
            "field-circuit: field, field-wire: lamp",
            'field, its field circuit, does not feed "lamp"; it feeds regulator',
        ),
        (
            "field-wire: regulator",
            "a field wire leads on from what the field circuit feeds; name that as field-circuit:",
        ),
        (
            "field-circuit: field, field-wire: regulater",
            'there is no equipment "regulater"; did you mean "regulator"?',
        ),
        (
            "field-circuit: field, field-wire: regulator.J1.8",
            "contact 8 of regulator.J1 is not under its pins:",
        ),
        ("field-circuit: field, field-wire: {gauge: AWG 20}", "from"),
        ("field-circuit: field, field-wire: {from: regulator, lenght: 2 ft}", "length"),
    ],
)
def test_one_message_a_mistake(tmp_path: Path, said: str, message: str) -> None:
    found = reading(tmp_path, TEXT.replace("SAID", said))
    assert found.system is None
    (mistake,) = found.mistakes
    assert message in mistake.message
    assert mistake.place.line == 6
