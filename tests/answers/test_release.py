"""How soon a coil lets go: against ngspice's own integration, and what the papers say."""

import subprocess
import tempfile
from pathlib import Path

import pytest

from elec.answers.connect.coils import coil_paths
from elec.answers.time.release import releases
from elec.answers.why.why_names import find
from elec.check import run
from elec.drawings.records.circuits import circuit_record
from elec.finding import Verdict
from elec.pages.failures.coils import coils_table
from elec.pages.why.page import why_answer
from elec.physics.coil import held_release_s, resistor_release_s
from elec.read import read
from elec.study import Study
from elec.write.register import Options
from elec.write.to_text import text_of
from tests.network.spice import needs_ngspice
from tests.read.helper import good, reading

SHAPES = Path(__file__).parents[2] / "docs" / "shapes.yaml"
COIL = "coil: {draw: 0.15 A, bus: main, breaker: 1 A, switch: essential-normal, "
TOLERANCE = 2e-4
"""Steps of a ten-thousandth of the time: a trapezoid's error is far below, the crossing is
interpolated within a step."""


def _spiced_s(across: str, henry: float, ohm: float, amps: float, lets_go: float) -> float:
    """What ngspice measures: the coil's current at its start, then through the part across it."""
    longest = 8 * henry / ohm
    deck = f"""coil switched off
L1 top mid {henry:.12g} IC={amps:.12g}
R1 mid low {ohm:.12g}
{across}
Rleak top 0 1e9
.tran {longest / 4e4:.6g} {longest:.6g} 0 {longest / 4e4:.6g} uic
.meas tran t when i(L1)={lets_go:.12g} fall=1
.end
"""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "coil.cir"
        file.write_text(deck, encoding="utf-8")
        done = subprocess.run(
            ["ngspice", "-b", str(file)],
            capture_output=True, text=True, check=False, timeout=60,
        )  # fmt: skip
    line = next(x for x in done.stdout.splitlines() if x.strip().startswith("t  "))
    return float(line.split("=")[1].split()[0])


@needs_ngspice
@pytest.mark.parametrize(
    ("henry", "ohm", "amps", "lets_go", "held"),
    [
        (0.06, 18.0, 0.79, 0.14, 0.8),  # a master contactor and a diode
        (0.06, 18.0, 0.79, 0.14, 27.0),
        (0.015, 3.5, 4.0, 0.6, 0.8),  # a starter contactor
        (0.015, 3.5, 4.0, 0.6, 47.0),
        (0.4, 90.0, 0.155, 0.02, 0.8),  # a relay
        (1.2, 330.0, 0.09, 0.005, 62.0),
    ],
)
def test_held_at_a_voltage_ngspice_measures_the_same(
    henry: float, ohm: float, amps: float, lets_go: float, held: float
) -> None:
    across = f"V1 0 top {held:.12g}\nV2 low 0 0"
    spiced = _spiced_s(across, henry, ohm, amps, lets_go)
    ours = held_release_s(
        inductance_henry=henry, coil_ohm=ohm, current_a=amps, lets_go_a=lets_go, held_v=held
    )
    assert ours == pytest.approx(spiced, rel=TOLERANCE)


@needs_ngspice
@pytest.mark.parametrize(
    ("henry", "ohm", "amps", "lets_go", "across"),
    [(0.06, 18.0, 0.79, 0.14, 100.0), (0.015, 3.5, 4.0, 0.6, 22.0), (1.2, 330.0, 0.09, 0.005, 1e3)],
)
def test_with_a_resistor_ngspice_measures_the_same(
    henry: float, ohm: float, amps: float, lets_go: float, across: float
) -> None:
    spiced = _spiced_s(f"R2 top 0 {across:.12g}\nV2 low 0 0", henry, ohm, amps, lets_go)
    ours = resistor_release_s(
        inductance_henry=henry, coil_ohm=ohm, current_a=amps, lets_go_a=lets_go, across_ohm=across
    )
    assert ours == pytest.approx(spiced, rel=TOLERANCE)


@needs_ngspice
def test_a_real_diode_is_near_its_constant_voltage() -> None:
    """A junction that has 0.8 V at the first current has less later: ours is a little early."""
    henry, ohm, amps, lets_go = 0.06, 18.0, 0.79, 0.14
    # forward drop n·Vt·ln(I/Is) = 0.8 V at 0.79 A with n = 1.8 at 27 °C
    across = "D1 0 top DX\nV2 low 0 0\n.model DX D(IS=2.73e-8 N=1.8)"
    spiced = _spiced_s(across, henry, ohm, amps, lets_go)
    ours = held_release_s(
        inductance_henry=henry, coil_ohm=ohm, current_a=amps, lets_go_a=lets_go, held_v=0.8
    )
    assert ours == pytest.approx(spiced, rel=0.02)


def _study(folder: Path, coil: str) -> Study:
    text = SHAPES.read_text(encoding="utf-8")
    start = text.index("coil: {draw: 0.15 A, bus: main")
    end = text.index("}}", start)
    return Study(good(reading(folder, f"{text[:start]}{COIL}{coil}{text[end:]}")))


def _finding(study: Study) -> tuple[Verdict, str]:
    found = next(
        f for f in run(study) if (f.check, f.about) == ("coil-suppressor", "essential-relay")
    )
    return found.verdict, found.sentence


def test_a_diode_slows_and_a_suppressor_is_quick(tmp_path: Path) -> None:
    study = _study(tmp_path, "suppressor: diode, inductance: 400 mH, drops-out: 2 V")
    found = releases(study)["essential-relay"]
    assert found.fitted is not None
    # R = 14 V / 0.15 A = 93.3 Ω, I = 14.2 V / R = 0.1521 A, i = 2 V / R = 0.02143 A, U = 0.8 V
    assert found.fitted.time_s == pytest.approx(400e-3 / 93.333 * 1.6783, rel=1e-3)
    (quick,) = found.others
    assert quick.part == "a suppressor of 27 V"
    assert quick.time_s < found.fitted.time_s / 4
    assert quick.surge_v == pytest.approx(41.2)
    verdict, said = _finding(study)
    assert verdict is Verdict.PASS
    assert "7.19 ms" in said
    assert "for 1.5 ms with a suppressor of 27 V (essential normal bears 41.2 V)" in said


def test_a_suppressor_or_resistor_is_written_by_its_unit(tmp_path: Path) -> None:
    rest = "inductance: 400 mH, drops-out: 30 mA"
    clamp = releases(_study(tmp_path, f"suppressor: 47 V, {rest}"))["essential-relay"]
    ohms = releases(_study(tmp_path, f"suppressor: 220 Ω, {rest}"))["essential-relay"]
    assert clamp.fitted is not None
    assert ohms.fitted is not None
    assert clamp.fitted.part == "a suppressor of 47 V"
    assert ohms.fitted.part == "a resistor of 220 Ω"
    assert clamp.fitted.time_s < ohms.fitted.time_s < clamp.others[0].time_s
    assert clamp.others[0].part == "a diode"
    assert ohms.fitted.surge_v == pytest.approx(14.2 + 14.2 / (14 / 0.15) * 220)


@pytest.mark.parametrize(
    ("coil", "why"),
    [
        ("suppressor: diode", "the inductance of its coil and the voltage or current"),
        ("suppressor: diode, inductance: 60 mH", "the voltage or current at which it drops out is"),
        ("suppressor: diode, drops-out: 2 V", "the inductance of its coil is not given"),
        ("suppressor: inside, inductance: 60 mH, drops-out: 2 V", "fitted inside is not said"),
        ("suppressor: none, inductance: 60 mH, drops-out: 2 V", "the arc at its switch decides"),
        ("inductance: 60 mH, drops-out: 2 V", "what takes up its surge is not said"),
        ("suppressor: diode, inductance: 60 mH, drops-out: 15 V", "no more than what it is said"),
    ],
)
def test_what_is_not_given_is_not_guessed(tmp_path: Path, coil: str, why: str) -> None:
    found = releases(_study(tmp_path, coil))["essential-relay"]
    assert found.fitted is None
    assert why in found.unknown


def test_it_stands_in_why_table_and_sheet(tmp_path: Path) -> None:
    study = _study(tmp_path, "suppressor: diode, inductance: 400 mH, drops-out: 2 V")
    told = text_of(why_answer(study, find(study, "essential-relay")), Options(width=110))
    assert "lets go 7.19 ms after its switch has opened, with a diode across it" in told
    assert "With a suppressor of 27 V it is 1.5 ms." in told
    assert "L / R × ln((I + U / R) / (i + U / R))" in told
    (row,) = [row for row in coils_table(study).rows if row[0] == "essential relay"]
    assert "7.19 ms with a diode; 1.5 ms with a suppressor of 27 V" in str(row)
    assert "7.19 ms" in str(circuit_record(study, "essential-relay-coil"))


def test_the_starter_stays_engaged_that_long() -> None:
    found = read(Path(__file__).parents[2] / "systems" / "foxglove").system
    assert found is not None
    study = Study(found)
    path = coil_paths(study)["starter-contactor"]
    assert path.coil is not None
    assert releases(study)["starter-contactor"].starts


ROW = """\
system: {name: Row, nominal: 14 V, return: wired}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  battery: {kind: lead-acid, place: panel, capacity: 18 Ah, resistance: 9 mΩ}
  alternator: {kind: alternator, place: panel, setpoint: 14 V, output: {1000 rpm: 40 A}}
buses: {main: {place: panel}}
grounds: {block: {place: panel}}
feeders:
  - {from: battery, to: main, limiter: 60 A}
  - {from: alternator, to: main, limiter: 60 A}
switches:
  hand: {name: HAND, place: panel}
  first: {kind: relay, place: panel, coil: {draw: 0.2 A, bus: main, breaker: 1 A, switch: hand,
          suppressor: diode, inductance: 350 mH, drops-out: 2 V}}
  second: {kind: relay, place: panel, coil: {draw: 0.5 A, bus: main, breaker: 1 A, switch: first,
          suppressor: 27 V, inductance: 112 mH, drops-out: 2 V}}
  third: {kind: relay, place: panel, coil: {draw: 0.5 A, bus: main, breaker: 1 A, switch: second,
          suppressor: diode, inductance: 112 mH, drops-out: 2 V}}
equipment: {lamp: {place: panel, draw: 2 A}}
circuits: {lamp: {bus: main, breaker: 5 A, switch: third, feeds: lamp}}
places: {panel: {}}
"""


def _row(folder: Path, *changes: tuple[str, str]) -> Study:
    text = ROW
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return Study(good(reading(folder, text)))


def test_relays_in_a_row_let_go_one_after_the_other(tmp_path: Path) -> None:
    """By hand: first 70 Ω, 0.2 A, 28.6 mA; the others 28 Ω, 0.5 A, 71.4 mA; U 0.8 V and 27 V.

    t1 = 5 ms ln(0.211429 / 0.04), t2 = 4 ms ln(1.464286 / 1.035714), t3 = 4 ms ln(0.528571 / 0.1).
    """
    study = _row(tmp_path)
    assert releases(study)["first"].before == ()
    t1, t2, t3 = 0.0083248, 0.0013851, 0.0066598
    (second,) = releases(study)["second"].before
    (third,) = releases(study)["third"].before
    for one, title, times in (
        (second, "first", (t1, t2)),
        (third, "first and second", (t1, t2, t3)),
    ):
        assert (one.title, one.hand) == (title, "HAND")
        assert [term.value for term in one.times] == pytest.approx(times, rel=1e-4)
        assert one.working is not None
        assert one.working.steps[-1].result.value == pytest.approx(sum(times), rel=1e-4)
    said = next(f for f in run(study) if (f.check, f.about) == ("coil-suppressor", "third"))
    assert "First and second let go before it: 16.4 ms in all from HAND on." in said.sentence
    told = text_of(why_answer(study, find(study, "third")), Options(width=110))
    assert "From HAND on, through first and second, it is 16.4 ms." in " ".join(told.split())
    (row,) = [row for row in coils_table(study).rows if row[0] == "third"]
    assert "16.4 ms from HAND on, through first and second" in str(row)
    assert "16.4 ms from HAND on" in str(circuit_record(study, "third-coil"))


def test_one_of_them_that_is_not_known_leaves_the_row_untold(tmp_path: Path) -> None:
    study = _row(tmp_path, ("inductance: 350 mH, ", ""))
    (second,) = releases(study)["second"].before
    assert second.soon == "?"
    assert second.unknown == "first: the inductance of its coil is not given"
    said = next(f for f in run(study) if (f.check, f.about) == ("coil-suppressor", "second"))
    assert "cannot be told: first: the inductance of its coil is not given" in said.sentence
    (row,) = [row for row in coils_table(study).rows if row[0] == "second"]
    assert "? from HAND on, through first" in str(row)


def test_two_relays_that_open_each_other_cannot_be_told(tmp_path: Path) -> None:
    study = _row(tmp_path, ("switch: hand", "switch: second"))
    for name in ("first", "second"):
        found = releases(study)[name].before
        assert [one.soon for one in found] == ["?"]
        assert "hangs on a coil that it opens" in found[0].unknown
