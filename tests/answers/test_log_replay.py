"""The log of an engine monitor: what is known goes into made logs and has to come out again."""

import json
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from elec import cli
from elec.answers.doubt.log_fits import groups, sign_of, starts, steps
from elec.answers.doubt.log_replay import LogColumns, LogRow, LogSubjects, Replay, replay
from elec.read.lists.grid import ListRefused
from elec.read.lists.log import EngineLog, read_log
from elec.study import Study
from tests.answers.helper import small

Array = npt.NDArray[np.float64]

SYSTEM = """\
system: {name: Logged, nominal: 14 V, return: airframe, electrically-dependent: no}
phases:
  start: {lasts: 15 s, engine: cranking}
  cruise: {lasts: 1 h, engine: 2400 rpm}
sources:
  alternator:
    {kind: alternator, place: engine, setpoint: 14.0 V, rating: 40 A, sense: main, basis: typical,
     output: {800 rpm: 5 A, 1200 rpm: 15 A, 2600 rpm: 40 A}}
  battery: {kind: lead-acid, place: engine, capacity: 18 Ah, resistance: 8 mΩ, basis: typical}
buses: {main: {place: panel}}
feeders:
  - {from: battery, to: main, fuse: auto}
  - {from: main, to: alternator, fuse: auto}
equipment:
  heater: {place: panel, draw: 65 W, on: cruise, basis: typical}
  radio: {place: panel, draw: 2 A, basis: measured}
  lights: {place: panel, draw: 10 A, on: cruise, basis: measured}
circuits:
  heater: {bus: main, breaker: auto, feeds: heater}
  radio: {bus: main, breaker: auto, feeds: radio}
  lights: {bus: main, breaker: auto, feeds: lights}
places: {engine: , panel: }
ways: [{between: [engine, panel], length: 3 ft}]
"""
REST_V, OHMS, HELD_V, HEATER_W = 12.72, 0.011, 14.25, 60.0
OUTPUT = {800.0: 12.0, 1200.0: 22.0, 1800.0: 31.0, 2400.0: 36.0}
NOISE_V, NOISE_A = 0.01, 0.15
SEED = 20311


def made(*, heater_w: float = HEATER_W, crank_a: float = 180.0) -> Mapping[str, Array]:
    """An hour at a reading a second, each solved by itself: a battery, a regulator, loads.

    Solved by a root search of scipy over the one node; nothing of elec is in it.
    """
    time = np.arange(3600.0)
    rpm, volts, given_a, out_a = (np.zeros(len(time)) for _ in range(4))
    rpm[126:900] = rpm[1200:1500] = 1200
    rpm[900:1200], rpm[1500:2000], rpm[2000:] = 800, 1800, 2400
    rpm[120:126] = 120
    steady = np.where(time < 126, 0.05, 14.0)
    for first, last, amps in (
        (300, 420, 6.0), (500, 700, 2.5), (950, 1150, 12.0), (1250, 1450, 14.0),
        (1600, 1900, 24.0), (2050, 2200, 30.0),
    ):  # fmt: skip
        steady[first:last] += amps
    steady[120:126] += crank_a
    lit = (time >= 2400) & (time < 3500) & (time % 100 < 30)
    for i in range(len(time)):
        watts = heater_w * lit[i]
        most = float(np.interp(rpm[i], [*OUTPUT], [*OUTPUT.values()])) if rpm[i] >= 500 else 0.0

        def missing(v: float, i: int = i, watts: float = watts, most: float = most) -> float:
            return float((REST_V - v) / OHMS + most - steady[i] - watts / v)

        asked = steady[i] + watts / HELD_V + 1.0  # and an ampere into the battery
        if most >= asked:
            volts[i], given_a[i], out_a[i] = HELD_V, asked, -1.0
        else:
            volts[i] = brentq(missing, 5.0, REST_V + OHMS * most)
            given_a[i], out_a[i] = most, (REST_V - volts[i]) / OHMS
    noise = np.random.default_rng(SEED)
    turning = rpm >= 500
    return {
        "time": time,
        "rpm": rpm,
        "volts": volts + noise.normal(0, NOISE_V, len(time)),
        "alternator": given_a + noise.normal(0, NOISE_A, len(time)) * turning,
        "battery": out_a + noise.normal(0, NOISE_A, len(time)),
    }


MADE = made()


def columns(log: Mapping[str, Array], **other: object) -> LogColumns:
    every = {
        "time_s": log["time"], "volts": log["volts"], "rpm": log["rpm"],
        "alternator_a": log["alternator"], "battery_a": log["battery"],
        "battery_head": "Battery amps (A)",
    }  # fmt: skip
    return LogColumns(**{**every, **other})  # type: ignore[arg-type] # of these types


AT_BATTERY = LogSubjects(at="battery", alternator="alternator", battery="battery")
AT_BUS = LogSubjects(at="main", alternator="alternator", battery="battery")


@pytest.fixture(scope="module")
def study() -> Study:
    return small(SYSTEM)


@pytest.fixture(scope="module")
def found(study: Study) -> Replay:
    return replay(study, columns(MADE), AT_BATTERY)


def row(found: Replay, start: str) -> LogRow:
    return next(one for one in found.rows if one.what.startswith(start))


def test_the_battery_comes_out(found: Replay) -> None:
    """Noise of 10 mV over 6 readings of 180 A: a slope to about 30 µΩ; four times that."""
    one = row(found, "battery, start 1")
    assert one.read == pytest.approx(OHMS * 1000, abs=0.15)
    assert one.spread < 0.1
    assert one.expected == pytest.approx(8.0)
    assert one.residual == pytest.approx((one.read or 0) - 8.0)
    assert one.when == (120.0, 120.0)
    rest = row(found, "battery at rest")
    assert rest.read == pytest.approx(REST_V, abs=0.005)  # the median of 60 readings of 10 mV
    assert not rest.writes


def test_the_alternator_comes_out(found: Replay) -> None:
    """Medians of hundreds of readings of 0.15 A: to 0.05 A."""
    for rpm, amps in OUTPUT.items():
        one = row(found, f"alternator, most it gives hot at {rpm:.0f} rpm")
        assert one.read == pytest.approx(amps, abs=0.05)
    held = row(found, "alternator: its regulator holds")
    assert held.read == pytest.approx(HELD_V, abs=0.005)
    assert held.expected == 14.0
    at_800 = row(found, "alternator, most it gives hot at 800 rpm")
    assert at_800.expected == pytest.approx(5.0)  # the first point of the file's curve
    assert row(found, "alternator, most it gives hot at 1800 rpm").expected == pytest.approx(
        15 + 25 * 600 / 1400
    )


def test_the_load_that_steps_comes_out(found: Replay) -> None:
    """60 W at 14.25 V, 30 s of every 100 s: medians of 28 readings of 0.2 A, to 0.06 A."""
    one = row(found, "heater")
    assert one.read == pytest.approx(HEATER_W / HELD_V, abs=0.06)
    assert one.expected == pytest.approx(65 / HELD_V, abs=0.02)
    assert "on 30 % of the time" in one.why
    assert {path for path, _ in one.writes} == {
        ("measured", "heater", "amps"), ("measured", "heater", "volts"),
    }  # fmt: skip


def test_what_would_be_written(found: Replay) -> None:
    puts = dict(write for one in found.rows for write in one.writes)
    assert puts["measured", "battery", "ohms"] == "11 mΩ"
    assert puts["sources", "alternator", "output"] == {
        "800 rpm": "12 A", "1200 rpm": "22 A", "1800 rpm": "31 A", "2400 rpm": "36 A",
        "2600 rpm": "40 A",
    }  # fmt: skip
    assert ("sources", "alternator", "setpoint") not in puts  # it senses main, not the battery


def test_at_a_bus_the_way_is_in_it_and_is_not_written(study: Study) -> None:
    found = replay(study, columns(MADE), AT_BUS)
    one = row(found, "battery and its way to main")
    assert not any(
        path[0] == "measured" and "ohms" in path for r in found.rows for path, _ in r.writes
    )
    assert one.expected is None or one.expected > 8.0
    assert row(found, "alternator: its regulator holds").writes


@pytest.mark.parametrize(
    ("gone", "what", "why"),
    [
        ({"battery_a": None}, "battery", "no column has the amperes of the battery"),
        ({"battery_a": None}, "loads that step", "no column has the amperes of the battery"),
        ({"alternator_a": None}, "loads that step", "no column has the amperes of the alternator"),
        ({"rpm": None}, "alternator, most it gives hot", "no column of rpm"),
    ],
)
def test_without_a_column_it_cannot_be_told(
    gone: dict[str, None], what: str, why: str, study: Study
) -> None:
    one = row(replay(study, columns(MADE, **gone), AT_BATTERY), what)
    assert one.read is None
    assert why in one.why
    assert not one.writes


def test_two_loads_that_may_be_it_are_none() -> None:
    text = SYSTEM.replace("radio: {place: panel, draw: 2 A", "radio: {place: panel, draw: 4.5 A")
    found = replay(small(text), columns(MADE), AT_BATTERY)
    one = row(found, "a load of 4.")
    assert one.read is None
    assert "may be any of heater, radio" in one.why
    assert not [1 for r in found.rows for path, _ in r.writes if path[1] in ("heater", "radio")]


def test_a_load_of_unknown_current_may_be_it() -> None:
    text = SYSTEM.replace("draw: 2 A, basis: measured", "on: always")
    one = row(replay(small(text), columns(MADE), AT_BATTERY), "a load of 4.")
    assert "what some of them draw is not known" in one.why


def test_a_load_far_from_every_one_is_nobody(study: Study) -> None:
    log = made(heater_w=90.0)
    one = row(replay(study, columns(log), AT_BATTERY), "a load of 6.")
    assert one.read is None
    assert "nothing in the file takes that much" in one.why or "too far" in one.why


def test_a_cold_alternator_is_not_taken_for_a_hot_one(study: Study) -> None:
    log = {name: values[:700] for name, values in MADE.items()}
    found = replay(study, columns(log), AT_BATTERY)
    assert row(found, "alternator, most it gives hot").read is None


def test_a_log_without_a_start_has_no_resistance(study: Study) -> None:
    log = {name: values[200:] for name, values in MADE.items()}
    found = replay(study, columns(log), AT_BATTERY)
    one = row(found, "battery")
    assert not any("ohms" in path for r in found.rows for path, _ in r.writes)
    assert one.read is None
    assert "whether + is charge or discharge" in row(found, "loads that step").why


@given(st.sampled_from([1, -1]), st.floats(0.004, 0.03), st.floats(80, 300))
def test_the_sign_is_that_of_the_sag(sign: int, ohms: float, crank: float) -> None:
    out = np.array([0.0] * 8 + [crank] * 5 + [2.0] * 5)
    volts = 12.7 - ohms * out
    assert sign_of(volts, sign * out, "Battery amps (A)")[0] == sign
    fit = starts(np.arange(18.0), volts, out, None)[0]
    assert fit.ohms == pytest.approx(ohms, rel=1e-6)  # no noise: the line itself


def test_without_a_start_the_head_says_the_sign() -> None:
    quiet = np.zeros(20)
    assert sign_of(quiet + 12.7, quiet, "Battery discharge (A)")[0] == 1
    assert sign_of(quiet + 12.7, quiet, "Battery charge (A)")[0] == -1
    assert sign_of(quiet + 12.7, quiet, "Battery amps (A)")[0] == 0


def test_readings_off_a_line_are_no_resistance() -> None:
    out = np.array([0.0] * 8 + [150.0, 160.0, 155.0, 150.0])
    volts = np.array([12.7] * 8 + [11.9, 10.2, 12.4, 9.8])
    fit = starts(np.arange(12.0), volts, out, None)[0]
    assert fit.ohms is None
    assert "off a line" in fit.why
    alone = starts(np.arange(9.0), volts[:9], out[:9], None)[0]
    assert alone.why == "one reading of it alone"


def test_two_cycles_are_not_enough() -> None:
    load = np.full(100, 5.0)
    for first in (10, 40):
        load[first : first + 10] += 4.0
    assert steps(np.arange(100.0), np.full(100, 14.0), load) == ()
    assert groups(load > 6) == [(10, 19), (40, 49)]


# -- reading ---------------------------------------------------------------------------------------

HEADS = "Time (s),RPM,Main bus volts (V),Alternator amps (A),Battery amps (A)"


def written(tmp_path: Path, text: str | bytes) -> Path:
    file = tmp_path / "log.csv"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


def rows(count: int = 12, form: str = "{t},1200,14.2,20.0,-1.0") -> str:
    return "\n".join(form.format(t=t) for t in range(count)) + "\n"


def read(tmp_path: Path, text: str | bytes, *asked: str) -> EngineLog:
    return read_log(written(tmp_path, text), asked)


def refused(tmp_path: Path, text: str | bytes, *asked: str) -> str:
    with pytest.raises(ListRefused) as error:
        read(tmp_path, text, *asked)
    return "\n".join(error.value.messages)


def test_columns_are_known_by_their_heads_in_any_order(tmp_path: Path) -> None:
    """Lines of the monitor first, semicolons, millivolts, a clock over midnight, empty cells."""
    text = "Monitor 3\nserial;17\n\n"
    text += "ALT AMPS [A];Bus Voltage (mV);Oil;Engine speed (rpm);Clock;BATT AMPS [A]\n"
    for k in range(12):
        second = (86_390 + k) % 86_400
        clock = f"{second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}"
        text += f"20.5;14200;88;{'' if k == 3 else 1200};{clock};-1.5\n"
    log = read(tmp_path, text)
    assert log.time_s.tolist() == [float(k) for k in range(12)]
    assert log.columns["volts"].tolist() == pytest.approx([14.2] * 12)
    assert np.isnan(log.columns["rpm"][3])
    assert log.missing == {"rpm": 1}
    assert log.columns["battery-amps"][0] == -1.5
    assert 'B "Bus Voltage (mV)" as volts' in log.read_as


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEADS.replace("Alternator amps", "Amps") + "\n" + rows(),
         ('column D: whose amperes "Amps (A)" are is not said; say --column alternator-amps=D, or '
          'to leave it out --column alternator-amps=none')),
        (HEADS.replace("Alternator amps", "Amps").replace("Battery amps (A)", "Oil (psi)") + "\n"
         + rows(),
         "say --column alternator-amps=D or --column battery-amps=D, or to leave it out"),
        (HEADS.replace("Battery amps (A)", "Essential volts (V)") + "\n" + rows(),
         'may be any of C "Main bus volts (V)", E "Essential volts (V)"; say --column volts=C'),
        (HEADS.replace("Time (s)", "Time") + "\n" + rows(), '"Time" says no unit'),
        (HEADS.replace("(V)", "") + "\n" + rows(),
         None),
        (HEADS + "\n" + rows().replace("5,1200,14.2", "5,1200,fourteen"),
         'log.csv, row 7, column C: "fourteen" is no number'),
        (HEADS.replace(",", ";") + "\n" + rows(form="{t};1200;14,2;20;-1"),
         'row 2, column C: "14,2" has a decimal comma; write a point'),
        (HEADS + "\n" + rows() + "12,1200,14,2,20.0,-1.0\n", "row 14: 6 cells under 5 heads"),
        (HEADS + "\n" + rows().replace("7,1200", "3,1200"),
         'log.csv, row 9, column A: "3" is not later than the row before'),
        (HEADS + "\n" + rows().replace("4,1200,14.2", "4,1200,1e400"), '"1e400" is no number'),
        (HEADS + "\n" + rows().replace("4,1200,14.2", "4,1200,inf"), '"inf" is no number'),
        (HEADS + "\n" + rows().replace("4,1200,14.2", "4,1200,14200"),
         '"14200" is not a voltage of 0 to 1000 V'),
        (HEADS + "\n" + rows().replace("4,1200,14.2", "4,1200,=1+1"), '"=1+1" is no number'),
        (HEADS + "\n" + rows(3), "3 rows of readings; at least 10 are needed"),
        (HEADS + "\n", "no readings stand below the heads"),
        ("", "no line of heads"),
        ("a,b,c\n1,2,3\n", "no line of heads"),
        (b"\xff\xfe\x00T", "no text in UTF-8"),
        (b"Time (s),volts (V)\n0,1\x00\n", "holds bytes that are no text"),
    ],
)  # fmt: skip
def test_what_is_unclear_is_asked_about(
    text: str | bytes, said: str | None, tmp_path: Path
) -> None:
    if said is None:
        assert read(tmp_path, text).has("volts")  # "volts" is its unit
    else:
        assert said in refused(tmp_path, text)


def test_the_builder_says_which_column_is_which(tmp_path: Path) -> None:
    text = HEADS.replace("Alternator amps", "Amps") + "\n" + rows()
    assert read(tmp_path, text, "alternator-amps=D").columns["alternator-amps"][0] == 20.0
    log = read(tmp_path, text, "alternator-amps=none")
    assert not log.has("alternator-amps")
    assert "write KIND=C" in refused(tmp_path, text, "amps=D")
    assert "there is no such column" in refused(tmp_path, text, "alternator-amps=Z")
    assert "name the column by its letter" in refused(tmp_path, text, "alternator-amps=4")


def test_many_unclear_cells_are_counted(tmp_path: Path) -> None:
    said = refused(tmp_path, HEADS + "\n" + rows(30, "{t},1200,x,20,-1"))
    assert said.count("is no number") == 8
    assert "and 22 more like these" in said


def test_a_log_that_is_no_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(ListRefused, match="no such file"):
        read_log(tmp_path / "none.csv")
    with pytest.raises(ListRefused, match=r"a log is a \.csv"):
        read_log(tmp_path / "log.xlsx")


# -- the command -----------------------------------------------------------------------------------


def as_csv(tmp_path: Path, heads: str = HEADS) -> Path:
    lines = [heads]
    for k in range(len(MADE["time"])):
        t, n, v, a, b = (MADE[c][k] for c in ("time", "rpm", "volts", "alternator", "battery"))
        lines.append(f"{t:.0f},{n:.0f},{v:.2f},{a:.1f},{-b:.1f}")
    return written(tmp_path, "\n".join(lines))


def test_it_is_shown_and_written_only_when_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    system = tmp_path / "plane.yaml"
    system.write_text(SYSTEM, encoding="utf-8")
    asked = ["measured", str(system), "--log", str(as_csv(tmp_path))]
    assert cli.main(asked) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "+ is into the battery, by the sag of the start" in said
    assert "Nothing was written. Add --write" in said
    assert "it approves nothing" in said
    assert system.read_text(encoding="utf-8") == SYSTEM
    assert cli.main([*asked, "--at", "battery", "--write"]) == 0
    text = system.read_text(encoding="utf-8")
    assert "800 rpm: 12 A, 1200 rpm: 22 A, 1800 rpm: 31 A, 2400 rpm: 36 A, 2600 rpm: 40 A" in text
    assert "battery: {ohms: 11 mΩ}" in text
    assert cli.main(["measured", str(system)]) == 0  # it is read again, and compared


def test_it_is_the_same_in_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    system = tmp_path / "plane.yaml"
    system.write_text(SYSTEM, encoding="utf-8")
    asked = ["measured", str(system), "--log", str(as_csv(tmp_path)), "--format", "json"]
    assert cli.main(asked) == 0
    assert "log" in json.dumps(json.loads(capsys.readouterr().out))


def test_wrong_use_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    system = tmp_path / "plane.yaml"
    system.write_text(SYSTEM, encoding="utf-8")
    log = str(as_csv(tmp_path))
    for asked, said in (
        (["--at", "main"], "go with a log"),
        (["--log", log, "--at", "mian"], 'did you mean "main"'),
        (["--log", log, "--from", log], "ask for one of them"),
        (["--log", str(tmp_path / "no.csv")], "no such file"),
    ):
        assert cli.main(["measured", str(system), *asked]) == 2
        assert said in capsys.readouterr().err
