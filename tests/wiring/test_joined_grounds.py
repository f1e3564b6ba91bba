"""A ground that is joined by a known resistance has no wire, on no page; one of wood has one.

After: of a return through structure the resistance counts (FAA-H-8083, voltage drop), and there is
nothing to cut, label, size or buy.
"""

from pathlib import Path

import pytest

from elec.answers.base.points import points
from elec.answers.drop.drops import feeder_drops
from elec.pages.bench.proving import ring_out
from elec.pages.bench.shopping import shopping
from elec.pages.bench.table import cut_list
from elec.pages.circuits.wire import conductors
from elec.read import read
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.surroundings import surroundings

TEXT = """
system: {{name: Wren, nominal: 14 V, return: {back}, structure: steel-tube, conditions: [day]}}
phases: {{cruise: {{lasts: 1 h, engine: 2300 rpm}}}}
sources:
  battery: {{kind: lead-acid, place: nose, capacity: 20 Ah, rate: 20 h, resistance: 10 mΩ}}
buses: {{main: {{place: nose}}}}
feeders: [{{name: lead, from: battery, to: main, breaker: 20 A, contactor: master}}]
grounds:
  stud: {{place: nose, kind: block}}
  tail-bar: {{place: tail, kind: block, to: stud{joint}}}
equipment:
  pump: {{place: tail, draw: 6 A, on: always, basis: measured{ground}}}
circuits:
  pump: {{bus: main, breaker: auto, feeds: pump}}
places: {{nose: {{station: 0 in}}, tail: {{station: 200 in{wood}}}}}
ways: [{{name: spine, between: [nose, tail], length: 16 ft}}]
{more}
"""


def study_of(tmp_path: Path, **texts: str) -> Study:
    given = {"back": "wired", "joint": "", "ground": ", ground: tail-bar", "wood": "", "more": ""}
    file = tmp_path / "wren.yaml"
    file.write_text(TEXT.format(**given | texts), encoding="utf-8")
    reading = read(file)
    assert reading.system, [str(m) for m in reading.mistakes]
    return Study(reading.system)


def test_a_joint_is_on_no_page_of_wires(tmp_path: Path) -> None:
    wired = study_of(tmp_path)
    joined = study_of(tmp_path, joint=", resistance: 3 mΩ")
    for study, there in ((wired, 1), (joined, 0)):
        own = [c.id for c in chains(study).conductors() if c.chain == "tail-bar-ground"]
        assert len(own) == there
        assert ("tail-bar-ground/1" in sizing(study).gauges) == there
        assert ("tail-bar-ground" in feeder_drops(study)) == there
        assert ("tail-bar-ground/1" in surroundings(study).of) == there
    for table in (conductors, cut_list, ring_out):
        assert len(table(wired).rows) == len(table(joined).rows) + 1
    assert repr(shopping(wired)) != repr(shopping(joined))


def test_a_joint_carries_the_return_at_its_resistance(tmp_path: Path) -> None:
    joined = study_of(tmp_path, joint=", resistance: 3 mΩ")
    at = points(joined)
    rise = at.node_v("ground:tail-bar")
    assert rise == pytest.approx(0.003 * at.current_a("tail-bar-ground/1"), rel=1e-6)
    assert max(rise) == pytest.approx(0.018, rel=1e-3)  # 6 A over 3 mΩ


def test_a_wire_whose_resistance_was_measured_stays_a_wire(tmp_path: Path) -> None:
    study = study_of(tmp_path, more="measured: {tail-bar: {ohms: 9 mΩ}}")
    assert "tail-bar-ground/1" in sizing(study).gauges
    assert max(points(study).node_v("ground:tail-bar")) == pytest.approx(0.054, rel=1e-3)


def test_a_wire_and_a_joint_at_once_are_a_mistake(tmp_path: Path) -> None:
    file = tmp_path / "wren.yaml"
    given = {"back": "wired", "ground": "", "wood": "", "more": ""}
    file.write_text(TEXT.format(joint=", resistance: 3 mΩ, gauge: AWG 10", **given))
    (mistake,) = read(file).mistakes
    assert "resistance stands in place of a wire" in str(mistake)


def test_a_load_in_a_wooden_place_is_wired_to_the_nearest_ground(tmp_path: Path) -> None:
    through = {"back": "airframe", "ground": "", "joint": ", resistance: 3 mΩ"}
    metal = study_of(tmp_path, **through)
    wood = study_of(tmp_path, wood=", structure: wood", **through)
    zone = study_of(tmp_path, more="zones: {aft: {places: [tail], structure: glass}}", **through)
    ends = [
        [row.parts[-1].name for row in chains(s).by_name["pump"].rows if row.role == "return"]
        for s in (metal, wood, zone)
    ]
    assert ends == [["structure"], ["tail-bar"], ["tail-bar"]]
