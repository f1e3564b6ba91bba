"""A scripted build of foxglove: zone by zone, one wire forgotten, one spare used, one value off."""

import shutil
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from elec import cli
from elec.answers.base.marks import marks
from elec.answers.base.ticked import state_of, unheld
from elec.answers.build.closing import closing
from elec.check import run
from elec.finding import Verdict
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from tests.hostile.systems import FINCH

ROOT = Path(__file__).parents[2]


@pytest.fixture
def plane(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "systems" / "foxglove", tmp_path / "foxglove")
    (tmp_path / "foxglove" / "build.yaml").unlink()
    return tmp_path / "foxglove"


def elec(*arguments: str | Path) -> int:
    return cli.main([str(argument) for argument in arguments])


def study_of(path: Path) -> Study:
    found = read(path)
    assert found.system is not None, "\n".join(map(str, found.mistakes))
    return Study(found.system)


def test_nothing_is_done_before_it_is_ticked(plane: Path) -> None:
    study = study_of(plane)
    assert {state_of(study, c) for c in chains(study).conductors()} == {"planned"}
    for zone in study.document.zones:
        assert elec("close", plane, zone) == 1


def test_a_build_zone_by_zone(plane: Path, capsys: pytest.CaptureFixture[str]) -> None:
    zone = "under-floor"
    inside = closing(study_of(plane), zone).inside
    design = {f.name: f.read_bytes() for f in plane.iterdir()}
    ending = [one.name for one in inside if one.what == "ends there"]
    passing = [one.name for one in inside if one.what != "ends there"]
    forgotten = passing.pop()
    assert elec("done", plane, *passing, "--state", "pulled") == 0
    assert elec("done", plane, *ending, "--state", "rung-out", "--date", "2026-05-02") == 0
    capsys.readouterr()

    # one forgotten
    assert elec("close", plane, zone) == 1
    said = capsys.readouterr().out
    assert "not yet; 1 thing hold" in said
    held = closing(study_of(plane), zone).holding
    assert len(held) == 1
    assert elec("done", plane, forgotten, "--state", "pulled") == 0
    assert elec("close", plane, zone) == 0

    # one measured value off: 2 Ω in a wire of some feet
    off = next(name for name in ending if name.startswith("L31B"))
    assert elec("done", plane, off, "--ohms", "2 ohm") == 0
    capsys.readouterr()
    assert elec("close", plane, zone) == 1
    assert "too much: a poor crimp" in capsys.readouterr().out
    assert elec("done", plane, off, "--ohms", "100 mohm") == 0
    assert elec("close", plane, zone) == 0

    # the design was never touched
    assert {f.name: f.read_bytes() for f in plane.iterdir() if f.name in design} == design


def test_a_tick_does_not_move_to_another_wire(tmp_path: Path) -> None:
    """A circuit put before another takes its number; the gauge may well be the same."""
    file = tmp_path / "p.yaml"
    assert elec("new", file) == 0
    assert elec("done", file, "M2A20", "M2B20", "M2C20N", "--state", "tested") == 0
    assert elec("done", file, "beacon", "--state", "pulled") == 0
    text = file.read_text(encoding="utf-8")
    file.write_text(
        text.replace(
            "  beacon: {bus: main",
            "  lamp: {bus: main, breaker: auto, gauge: AWG 20, switch: lamp, feeds: lamp}\n"
            "  beacon: {bus: main",
        ).replace(
            "  beacon: {place",
            "  lamp: {place: belly, draw: 20 W, on: taxi..cruise}\n  beacon: {place",
        ),
        encoding="utf-8",
    )
    study = study_of(file)
    marks_of = {mark: name for name, mark in marks(study).items()}
    assert marks_of["M2A20"].startswith("lamp")
    states = {c.chain: state_of(study, c) for c in chains(study).conductors()}
    assert (states["lamp"], states["beacon"]) == ("planned", "pulled")
    said = [h.text for h in closing(study, "under-floor").holding if h.about.startswith("M2B20")]
    assert "tested for something else: ends beacon switch to beacon.+, now lamp switch" in said[0]
    known = [f for f in run(study, deep=False) if f.check == "built-known"]
    assert {f.about for f in known if f.verdict is Verdict.FAIL} == {"M2A20", "M2B20", "M2C20N"}


@pytest.mark.parametrize(
    ("change", "state"),
    [
        (("AWG 20", "AWG 20"), "tested"),
        (("AWG 20", "AWG 18"), "planned"),
        (("9 ft", "9 ft 1 in"), "planned"),
        (("9 ft", "8 ft"), "tested"),
    ],
)
def test_a_tick_holds_gauge_and_length(tmp_path: Path, change: tuple[str, str], state: str) -> None:
    file = tmp_path / "p.yaml"
    circuit = "strobe: {bus: main, breaker: auto"
    text = FINCH.replace(circuit, circuit + ", gauge: AWG 20, length: 9 ft")
    assert text != FINCH
    file.write_text(text, encoding="utf-8")
    assert elec("done", file, "strobe", "--state", "tested") == 0
    file.write_text(text.replace(*change), encoding="utf-8")
    study = study_of(file)
    assert {state_of(study, c) for c in chains(study).by_name["strobe"].conductors()} == {state}


def test_a_remark_is_no_new_look_at_the_wire(tmp_path: Path) -> None:
    file = tmp_path / "p.yaml"
    assert elec("new", file) == 0
    (tmp_path / "p-build.yaml").write_text("build:\n  beacon: tested\n", encoding="utf-8")
    assert elec("done", file, "beacon", "--remark", "dusty") == 0
    assert unheld(study_of(file)) == ("beacon",)
    assert elec("done", file, "beacon", "--state", "tested") == 0
    assert unheld(study_of(file)) == ()


def test_a_spare_that_is_used_is_a_spare_no_longer(plane: Path) -> None:
    zone = "under-floor"
    before = closing(study_of(plane), zone).spares
    assert any("float spare" in text for text in before)
    wiring = plane / "wiring.yaml"
    lines = wiring.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if not line.lstrip().startswith("float-spare:")]
    assert len(kept) < len(lines)
    wiring.write_text("".join(kept), encoding="utf-8")
    assert not any("float spare" in text for text in closing(study_of(plane), zone).spares)


def test_a_failure_in_the_zone_holds_it_open(plane: Path) -> None:
    """A wire far too thin behind the floor: its check fails, and the floor stays open."""
    study = study_of(plane)
    found = run(study, deep=False)
    assert not [one for one in closing(study, "under-floor", found).holding if "fails" in one.text]
    circuits = plane / "circuits.yaml"
    text = circuits.read_text(encoding="utf-8")
    assert "beacon:           {bus: main, breaker: 5 A" in text
    text = text.replace(
        "beacon:           {bus: main, breaker: 5 A",
        "beacon: {bus: main, gauge: AWG 26, breaker: 5 A",
    )
    circuits.write_text(text, encoding="utf-8")
    study = study_of(plane)
    failing = closing(study, "under-floor", run(study, deep=False)).holding
    assert any("fails" in one.text for one in failing)


def test_a_single_file_has_its_state_beside_it(tmp_path: Path) -> None:
    file = tmp_path / "my-plane.yaml"
    assert elec("new", file) == 0
    before = file.read_bytes()
    study = study_of(file)
    circuit = next(iter(study.document.circuits))
    assert elec("done", file, circuit, "--state", "cut") == 0
    assert file.read_bytes() == before
    assert (tmp_path / "my-plane-build.yaml").exists()
    again = study_of(file)
    assert {state_of(again, c) for c in chains(again).by_name[circuit].conductors()} == {"cut"}


def test_everything_can_be_listed_to_be_ticked_by_hand(plane: Path) -> None:
    assert elec("done", plane, "beacon", "--state", "pulled") == 0
    assert elec("done", plane, "--fill") == 0
    study = study_of(plane)
    assert study.document.build["beacon"].state == "pulled"
    names = {chain.name for chain in chains(study).by_name.values() if chain.conductors()}
    assert set(study.document.build) == names
    assert elec("done", plane, "--fill") == 0  # nothing left to list


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("beacn", "--state", "cut"), "did you mean"),
        (("L31B14", "--state", "cut"), "is marked L31B22"),
        (("beacon",), "Say how far"),
        (("--state", "cut"), "Say what is done"),
        (("L31B22", "--cut", "9"), "has no unit"),
        (("beacon", "--cut", "9 ft"), "are one wire's; beacon has: L31A22"),
    ],
)
def test_what_cannot_be_meant(
    plane: Path, arguments: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert elec("done", plane, "beacon", "--state", "pulled") == 0
    before = {f.name: f.read_bytes() for f in plane.iterdir()}
    capsys.readouterr()
    assert elec("done", plane, *arguments) == 2
    assert said in capsys.readouterr().err
    assert {f.name: f.read_bytes() for f in plane.iterdir()} == before


@pytest.mark.parametrize("moment", ["fsync", "replace", "half"])
def test_losing_power_while_writing_loses_nothing(plane: Path, moment: str) -> None:
    """The process is killed in the middle of writing; the state file is the old or the new one."""
    assert elec("done", plane, "beacon", "--state", "pulled") == 0
    state = plane / "build.yaml"
    before = state.read_bytes()
    script = textwrap.dedent(
        f"""
        import os, signal, sys
        from pathlib import Path
        def die(*_, **__):
            os.kill(os.getpid(), signal.SIGKILL)
        if {moment!r} == "fsync":
            os.fsync = die
        elif {moment!r} == "replace":
            Path.replace = die
        else:
            real = Path.open
            def half(self, mode="r", *a, **k):
                file = real(self, mode, *a, **k)
                if mode == "xb":
                    file.write(b"half of it")
                    file.flush()
                    die()
                return file
            Path.open = half
        from elec import cli
        sys.exit(cli.main(["done", {str(plane)!r}, "beacon", "--state", "tested"]))
        """
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, check=False)
    assert done.returncode == -signal.SIGKILL
    assert state.read_bytes() == before
    assert study_of(plane).document.build["beacon"].state == "pulled"
    # and it goes on from there
    assert elec("done", plane, "beacon", "--state", "tested") == 0
    assert study_of(plane).document.build["beacon"].state == "tested"


def test_ticks_of_a_telephone_are_carried_over(plane: Path, tmp_path: Path) -> None:
    """Lines as the page gives them; each wire is as far afterwards as its line says."""
    lines = tmp_path / "ticks.txt"
    lines.write_text("L31A22 pulled\n\nL31B22 rung-out\nL31C22N rung out\n", encoding="utf-8")
    assert elec("done", plane, "--from", lines) == 0
    study = study_of(plane)
    far = {marks(study)[c.id]: state_of(study, c) for c in chains(study).conductors()}
    assert (far["L31A22"], far["L31B22"], far["R1A22"]) == ("pulled", "rung out", "planned")
    assert far["L31C22N"] == "rung out"
    assert unheld(study) == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("L31A22 pulled\nL31B22 soldered\n", ':2: "L31B22 soldered" is no name with a state'),
        ("L31A22 pulled\nL99Z22 cut\n", ":2: "),
        ("\n\n", "has no line"),
        ("pulled\n", ':1: "pulled" is no name'),
    ],
)
def test_a_wrong_line_writes_nothing(
    plane: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, said: str
) -> None:
    """One message with the line; none of the others is written either."""
    lines = tmp_path / "ticks.txt"
    lines.write_text(text, encoding="utf-8")
    assert elec("done", plane, "--from", lines) == 2
    assert said in capsys.readouterr().err
    assert not (plane / "build.yaml").exists()
