"""Old or new, always: programs ended in the middle, that meet, or that the disk refuses."""

import errno
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from elec.cli import main
from elec.read import exchange, read
from elec.read.edit import CannotSave, Edits
from elec.read.exchange import NOTE
from elec.read.ticks import tick
from elec.write.files import CannotWrite, write_file, write_files
from tests.hostile.systems import FINCH

needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system has no fork")


def folder_of(tmp_path: Path) -> Path:
    """The small system in two files."""
    folder = tmp_path / "finch"
    folder.mkdir()
    cut = FINCH.index("equipment:")
    (folder / "power.yaml").write_text(FINCH[:cut], encoding="utf-8")
    (folder / "loads.yaml").write_text(FINCH[cut:], encoding="utf-8")
    return folder


def snapshot(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def renamed(folder: Path) -> Edits:
    """A change that reads only as a whole: the bus gets another name in both files."""
    edits = Edits.of(folder)
    texts = {f: c.replace(b"main", b"bar") for f, c in edits.files().items()}
    edits._files = texts
    return edits


def ended_at(step: int, do: Callable[[], object]) -> bool:
    """Do something in a process that ends before its n-th move; whether it came to its end."""
    child = os.fork()
    if child == 0:
        plain, left = Path.replace, [step]

        def replace(self: Path, target: Path) -> Path:
            left[0] -= 1
            if left[0] < 0:
                os._exit(9)
            return plain(self, target)

        Path.replace = replace  # type: ignore[method-assign,assignment]
        do()
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


@needs_fork
@pytest.mark.parametrize("step", range(4))
def test_a_system_ended_while_it_is_written_is_old_or_new(tmp_path: Path, step: int) -> None:
    folder = folder_of(tmp_path)
    old = snapshot(folder)
    new = {name: content.replace(b"main", b"bar") for name, content in old.items()}
    whole = ended_at(step, lambda: renamed(folder).write())
    assert whole == (step == 3)
    assert read(folder).mistakes == ()
    found = snapshot(folder)
    texts = {name: content for name, content in found.items() if not name.startswith(".")}
    assert texts == (new if step else old)
    assert NOTE not in found
    if not step:
        renamed(folder).write()
    assert snapshot(folder) == new


@needs_fork
def test_a_file_changed_by_hand_after_the_end_stays_so(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    assert not ended_at(2, lambda: renamed(folder).write())
    mine = next(f for f in folder.glob("*.yaml") if b"bar" not in f.read_bytes())
    mine.write_bytes(mine.read_bytes() + b"# mine\n")
    read(folder)
    assert mine.read_bytes().endswith(b"# mine\n")
    assert [name for name in snapshot(folder) if name.startswith(".")] == []


@needs_fork
def test_sheets_ended_while_they_are_written_are_finished_by_the_next(tmp_path: Path) -> None:
    folder = tmp_path / "sheets"
    old = {f"{n}.svg": b"<!-- written by elec -->old" for n in range(3)}
    new = {name: content.replace(b"old", b"new") for name, content in old.items()}
    write_files(folder, old)
    assert not ended_at(2, lambda: write_files(folder, new))
    write_files(folder, {"9.svg": b"<!-- written by elec -->"})
    assert {**new, "9.svg": b"<!-- written by elec -->"} == snapshot(folder)


def test_sheets_of_which_one_is_anothers_are_not_written(tmp_path: Path) -> None:
    (tmp_path / "b.svg").write_bytes(b"<svg>mine</svg>")
    before = snapshot(tmp_path)
    with pytest.raises(CannotWrite, match="was not written by elec"):
        write_files(tmp_path, {"a.svg": b"<!-- written by elec -->", "b.svg": b"<?xml"})
    assert snapshot(tmp_path) == before


@needs_fork
def test_two_who_tick_at_once_lose_nothing(tmp_path: Path) -> None:
    system = tmp_path / "finch.yaml"
    system.write_text(FINCH, encoding="utf-8")
    names = ("com", "strobe", "field", "post", "block")
    children = []
    for name in names:
        child = os.fork()
        if child == 0:
            tick(system, {name: {"state": "pulled"}})
            os._exit(0)
        children.append(child)
    assert [os.waitpid(child, 0)[1] for child in children] == [0] * len(names)
    assert set(Edits.of(system).get("build")) == set(names)


def test_a_full_disk_is_told_by_who_ticks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    system = tmp_path / "finch.yaml"
    system.write_text(FINCH, encoding="utf-8")

    def full(*_: object) -> Path:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(exchange, "stage", full)
    with pytest.raises(CannotSave, match="no space left on device"):
        tick(system, {"com": {"state": "pulled"}})
    assert main(["done", str(system), "com", "--state", "pulled"]) == 2
    assert "nothing was written: no space left on device" in capsys.readouterr().err
    assert list(snapshot(tmp_path)) == ["finch.yaml"]


def test_a_disk_that_refuses_the_second_of_two_takes_the_first_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = folder_of(tmp_path)
    old, plain, calls = snapshot(folder), Path.replace, [0]

    def refuse(self: Path, target: Path) -> Path:
        calls[0] += 1
        if calls[0] == 3:  # the note, the first file, the second
            raise OSError(errno.EIO, "Input/output error")
        return plain(self, target)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(CannotSave, match="input/output error"):
        renamed(folder).write()
    assert snapshot(folder) == old


def test_drawings_do_not_go_among_the_system(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = folder_of(tmp_path)
    assert main(["draw", str(folder), "-o", str(folder)]) == 2
    assert "holds the system itself" in capsys.readouterr().err
    assert list(snapshot(folder)) == ["loads.yaml", "power.yaml"]


def test_no_trace_of_the_way_is_left(tmp_path: Path) -> None:
    write_file(tmp_path / "x.json", b'{"elec": "1"}')
    assert list(snapshot(tmp_path)) == ["x.json"]


# -- the terminal ----------------------------------------------------------------------------------


def elec(*arguments: str | bytes, out: str = "", **environment: str) -> tuple[int, str]:
    """Run the command as a program; its exit status and what it said of errors."""
    with Path(out or os.devnull).open("wb") as file:
        done = subprocess.run(
            [sys.executable, "-m", "elec", *arguments],
            stdout=file,
            stderr=subprocess.PIPE,
            env={**os.environ, **environment},
            check=False,
        )
    return done.returncode, done.stderr.decode(errors="replace")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_full_disk_behind_the_output_is_told() -> None:
    status, said = elec("checks", out="/dev/full")
    assert status == 2
    assert said == "this could not be printed or written: no space left on device\n"


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="this system has no /dev/stdout")
def test_standard_output_by_its_name(tmp_path: Path) -> None:
    page = tmp_path / "page"
    assert elec("checks", "-o", "/dev/stdout", out=str(page))[0] == 0
    assert "wire-heat" in page.read_text(encoding="utf-8")


def test_a_name_that_is_no_text(tmp_path: Path) -> None:
    name = os.fsencode(tmp_path) + b"/fin\xffch.yaml"
    try:
        Path(os.fsdecode(name)).write_text("system: {name: Wren, nominal: 14 V}\n")
    except OSError:
        pytest.skip("this disk takes only names that are text")
    status, said = elec("check", name)
    assert (status in (0, 1), said) == (True, "")
    status, said = elec("check", name + b"x")
    assert status == 2
    assert "Traceback" not in said


def test_an_interrupt_while_it_is_loaded_is_quiet(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import elec.__main__
    import elec.cli

    def interrupted() -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(elec.cli, "run", interrupted)
    with pytest.raises(SystemExit) as ended:
        elec.__main__.run()
    assert ended.value.code == 130
    assert capsys.readouterr().err == "interrupted\n"


@pytest.mark.skipif(os.name != "posix", reason="HOME means nothing here")
def test_a_home_that_is_no_folder(tmp_path: Path) -> None:
    system = tmp_path / "finch.yaml"
    system.write_text(FINCH, encoding="utf-8")
    sheet = tmp_path / "sheet.pdf"
    status, said = elec("draw", str(system), "legend", "-o", str(sheet), HOME=os.devnull)
    assert (status, said) == (0, "")
    assert sheet.read_bytes().startswith(b"%PDF")


def test_no_standard_output_at_all(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert main(["checks"]) == 2
    assert "nowhere to print to" in capsys.readouterr().err


def test_a_class_of_the_builder_travels_between_processes() -> None:
    import pickle

    from elec.sizing.own_class import OwnFamily
    from elec.standards import breaker_band

    made = OwnFamily("mine", breaker_band("fast"), interrupts_a=900.0, recloses=True)
    again = pickle.loads(pickle.dumps(made, 5))  # noqa: S301 - our own
    assert again == made
    assert (again.interrupts_a, again.recloses, again.compensated) == (900.0, True, False)
