"""A second wire of a ground block: it shares the current, and holds when the first comes loose."""

from pathlib import Path

import numpy as np
import pytest

from elec.answers.base.marks import marks
from elec.answers.base.points import points
from elec.answers.drop.drops import feeder_drops
from elec.answers.failures.failure_list import failures
from elec.answers.failures.failures import worst_effects
from elec.attempt.attempt import begun
from elec.attempt.spot import frozen
from elec.attempt.write_sizes import put_sizes
from elec.drawings.records.grounds import ground_record
from elec.pages.bench.proving import ring_out
from elec.pages.bench.table import cut_list
from elec.pages.circuits.ground import grounds
from elec.read import read
from elec.read.reading import Reading
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs

TEXT = """
system: {{name: Wren, nominal: 14 V, return: wired, structure: wood, conditions: [day]}}
phases: {{cruise: {{lasts: 1 h, engine: 2300 rpm}}}}
sources:
  battery: {{kind: lead-acid, place: nose, capacity: 20 Ah, rate: 20 h, resistance: 10 mΩ}}
buses: {{main: {{place: nose, essential: yes}}}}
feeders: [{{name: lead, from: battery, to: main, breaker: 20 A, contactor: master}}]
grounds:
  stud: {{place: nose, kind: block}}
  side: {{place: side, kind: block}}
  tail-bar: {{place: tail, kind: {kind}, gauge: AWG 12{second}}}
equipment:
  pump: {{place: tail, draw: 6 A, on: always, basis: measured, essential: yes}}
  light: {{place: tail, draw: 4 A, on: always, basis: measured, essential: yes}}
circuits:
  pump: {{bus: main, breaker: auto, feeds: pump}}
  light: {{bus: main, breaker: auto, feeds: light}}
places: {{nose: , tail: , side: }}
ways:
  - {{name: spine, between: [nose, tail], length: 16 ft}}
  - {{name: rail, between: [side, tail], length: 9 ft}}
  - {{name: rib, between: [side, nose], length: 9 ft}}
"""


def reading(tmp_path: Path, second: str = "", kind: str = "block", text: str = TEXT) -> Reading:
    file = tmp_path / "wren.yaml"
    file.write_text(text.format(second=second, kind=kind), encoding="utf-8")
    return read(file)


def study_of(tmp_path: Path, second: str = "", kind: str = "block", text: str = TEXT) -> Study:
    found = reading(tmp_path, second, kind, text)
    assert found.system, [str(m) for m in found.mistakes]
    return Study(found.system)


def test_two_wires_share_the_current_as_their_conductance(tmp_path: Path) -> None:
    """By hand: side by side the longer one of a gauge carries less, in the ratio of resistances."""
    study = study_of(tmp_path, ", second: {to: stud, gauge: AWG 12, length: 40 ft}")
    at = points(study)
    names = ("ground", "second")
    first, second = (at.current_a(f"tail-bar-{name}/1").max() for name in names)
    assert first + second == pytest.approx(10.0, rel=1e-3)  # two constant loads, 6 A and 4 A
    lost = [feeder_drops(study)[f"tail-bar-{name}"].lost_v for name in names]
    assert lost[0] == pytest.approx(lost[1], rel=0.05)  # the same two points; warmth makes 4 %
    lengths = [runs(study)[f"tail-bar-{name}/1"].length_m for name in names]
    short, long = (length or 0.0 for length in lengths)
    assert first / second == pytest.approx(long / short, rel=0.05)  # crimps and warmth: 5 %


@pytest.mark.parametrize(
    ("kind", "taken"), [("block", []), ("stud", ["ground:tail-bar"])], ids=["block", "stud"]
)
def test_one_loose_terminal_does_not_lift_a_block_but_one_nut_a_stud(
    kind: str, taken: list[str], tmp_path: Path
) -> None:
    study = study_of(tmp_path, ", second: side", kind)
    names = [one.id for one in failures(study) if one.kind == "ground"]
    second = ["ground:tail-bar:second"] if kind == "block" else []
    assert names == ["ground:stud", "ground:side", "ground:tail-bar", *second]
    lost = [e.failure.id for e in worst_effects(study) if e.failure.kind == "ground" and e.taken]
    assert [name for name in lost if name != "ground:stud"] == taken
    alone = worst_effects(study_of(tmp_path))
    assert "ground:tail-bar" in [e.failure.id for e in alone if e.taken]


def test_either_is_thick_enough_to_carry_everything(tmp_path: Path) -> None:
    """The most that is asked of the second is what both carry together."""
    free = study_of(tmp_path, ", second: {to: stud, length: 16 ft}")
    chosen = sizing(free).gauges["tail-bar-second/1"]
    one = TEXT.replace("gauge: AWG 12{second}", "length: 16 ft{second}")
    alone = sizing(study_of(tmp_path, text=one)).gauges["tail-bar-ground/1"]
    assert chosen.satisfied
    assert chosen.awg == alone.awg
    carried = sizing(free).currents_a["tail-bar-second/1"].values()
    assert max(carried) == sizing(free).peaks_a["tail-bar-second/1"]
    assert max(carried) < 7  # printed is what it carries beside the first, not all 10 A


def test_it_stands_in_the_lists_and_on_the_drawing_of_grounds(tmp_path: Path) -> None:
    study = study_of(tmp_path, ", second: {to: side, gauge: AWG 10}")
    mark = next(c.id for c in chains(study).conductors() if c.chain == "tail-bar-second")
    assert mark == "tail-bar-second/1"
    cut = [row for row in cut_list(study).rows if marks(study)[mark] in row]
    assert len(cut) == 1
    assert "AWG 10" in str(cut[0][0]) or cut[0][0] == ""  # a heading stands once for its gauge
    row = next(row for row in grounds(study).rows if row[0] == "tail bar, second wire")
    assert "side" in row
    record = ground_record(study)
    assert record is not None
    ends = [wire.id for box in record.boxes for one in box.terminals for wire in one.wires]
    assert ends.count(mark) == 2


def test_the_ring_out_takes_the_other_wire_off(tmp_path: Path) -> None:
    """Side by side a broken wire reads the other's milliohms, which are within its limit."""
    said = ring_out(study_of(tmp_path, ", second: stud")).note
    assert "Either wire of tail bar is rung with the ring of the other one off" in said
    assert "Either wire" not in ring_out(study_of(tmp_path)).note


def test_it_keeps_out_of_a_way(tmp_path: Path) -> None:
    study = study_of(tmp_path, ", second: {to: stud, avoid: spine}")
    found = runs(study)["tail-bar-second/1"]
    assert [leg.index for leg in found.legs] == [1, 2]
    assert [leg.index for leg in runs(study)["tail-bar-ground/1"].legs] == [0]


@pytest.mark.parametrize(
    ("second", "said"),
    [
        (", second: tail-bar", "a second wire leads to another ground"),
        (", second: studd", 'there is no ground "studd"; did you mean "stud"?'),
        (", second: {to: stud, avoid: spyne}", 'there is no place, zone or way "spyne"'),
        (", second: {gauge: AWG 12}", "to"),
        (
            ", second: [stud, side]",
            'lines of "key: value" or a text such as second: firewall-block',
        ),
    ],
)
def test_what_is_wrong_with_it_is_told(second: str, said: str, tmp_path: Path) -> None:
    found = reading(tmp_path, second)
    (mistake,) = found.mistakes
    assert said in mistake.message
    assert mistake.place.line == 11


def test_the_main_ground_has_none(tmp_path: Path) -> None:
    file = tmp_path / "wren.yaml"
    text = TEXT.format(second="", kind="block")
    file.write_text(text.replace("stud: {place: nose,", "stud: {second: side, place: nose,"))
    (mistake,) = read(file).mistakes
    assert "the main ground leads no further" in mistake.message


def test_its_gauge_is_written_beside_it(tmp_path: Path) -> None:
    file = tmp_path / "wren.yaml"
    study = study_of(tmp_path, ", second: side")
    edits = begun(file)
    put_sizes(study, edits)
    edits.write()
    written = read(file).system
    assert written is not None
    second = written.document.grounds["tail-bar"].second
    assert second is not None
    assert second.to == "side"
    assert second.gauge == sizing(study).gauges["tail-bar-second/1"].awg
    kept = frozen(study).document.grounds["tail-bar"].second
    assert kept is not None
    assert kept.gauge == second.gauge


def test_nothing_of_its_current_is_lost(tmp_path: Path) -> None:
    """What comes back through both is what goes out of the battery, in every case."""
    study = study_of(tmp_path, ", second: side")
    at = points(study)
    both = at.current_a("tail-bar-ground/1") + at.current_a("tail-bar-second/1")
    out = at.current_a("lead/1")
    assert np.allclose(np.abs(both), np.abs(out), rtol=0.03)  # master's coil is not given
