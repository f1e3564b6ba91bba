"""Commands that write, killed at any file operation, on a full or forbidden disk, two at once.

Each runs in a process of its own that begins with everything loaded; an audit hook counts what it
does to files below its folder and ends it, as the loss of power would, before one of these.
"""

import os
import random
import re
import resource
import shutil
import stat
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from elec.cli import main
from elec.read import read
from elec.read.starter import starter
from elec.write.folder import MARKER

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system has no fork")

KILLS = 10
"""Of each command; at each of its operations where it has no more."""
ACTS = ("open", "os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.chmod", "os.link",
        "os.truncate", "shutil.move", "shutil.rmtree", "shutil.copyfile", "os.utime")  # fmt: skip
ENDED = 9
NOBODY = 65534

TICK = ("done", "plane", "beacon", "--state", "pulled")
WRITERS: dict[str, tuple[str, ...]] = {
    "tick": TICK,
    "tick again": ("done", "plane", "radio", "--state", "tested", "--remark", "looked at"),
    "ticks of a list": ("done", "plane", "--from", "ticks.txt"),
    "everything as planned": ("done", "plane", "--fill"),
    "sizes": ("size", "plane", "--write"),
    "a try": ("try", "plane", "--set", "equipment.radio.draw=2 A", "--write"),
    "a load added": ("try", "plane", "--add", "lamp", "--draw", "6W", "--place", "belly",
                     "--bus", "main", "--write"),
    "readings": ("measured", "plane", "--from", "readings.csv", "--write"),
    "an issue": ("issue", "plane", "--reason", "first flight", "--date", "2031-05-04"),
    "a list": ("buy", "plane", "-o", "buy.csv"),
    "a sheet": ("draw", "plane", "one-line", "-o", "sheet.pdf"),
}  # fmt: skip
"""Commands that change the builder's own text, or write beside it."""


@pytest.fixture
def folder() -> Iterator[Path]:
    """A system in two files with all that the commands take, where nobody may look, too."""
    made = Path(tempfile.mkdtemp(prefix="elec-disk-"))
    made.chmod(0o755)
    fill(made)
    yield made
    shutil.rmtree(made, ignore_errors=True)


def fill(made: Path) -> None:
    (made / "plane").mkdir()
    text = starter("Tern")
    cut = text.index("equipment:")
    (made / "plane" / "power.yaml").write_text(text[:cut], encoding="utf-8")
    (made / "plane" / "loads.yaml").write_text(text[cut:], encoding="utf-8")
    (made / "ticks.txt").write_text("beacon pulled\nradio cut\n", encoding="utf-8")
    (made / "readings.csv").write_text("load,amps\nradio,1.4 A\nbeacon,0.9 A\n", encoding="utf-8")


def texts(made: Path) -> dict[str, bytes]:
    """Every file of the system and of its issues but those that only wait."""
    return {
        path.relative_to(made).as_posix(): path.read_bytes()
        for path in sorted(made.rglob("*"))
        if path.is_file() and not any(p.startswith(".") for p in path.relative_to(made).parts)
    }


def child(made: Path, do: Callable[[], int]) -> tuple[int, str]:
    """Do something in a process of its own, in that folder; exit status, and what it printed."""
    reading, writing = os.pipe()
    sys.stdout.flush()
    number = os.fork()
    if number == 0:
        status = 99
        try:
            os.chdir(made)
            os.dup2(writing, 1)
            os.dup2(writing, 2)
            sys.stdout = os.fdopen(1, "w", encoding="utf-8", closefd=False)
            sys.stderr = os.fdopen(2, "w", encoding="utf-8", closefd=False)
            status = do()
            sys.stdout.flush()
            sys.stderr.flush()
        except Exception:  # noqa: BLE001 - told by the exit status, and printed
            os.write(2, traceback.format_exc().encode())
        finally:
            os._exit(status)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as pipe:
        told = pipe.read()
    return os.waitstatus_to_exitcode(os.waitpid(number, 0)[1]), told


def ended_before(made: Path, command: tuple[str, ...], step: int) -> tuple[int, int]:
    """Run a command that ends before its n-th operation; its exit status, and how many it had."""
    home, count = str(made), [0]

    def watch(event: str, arguments: tuple[object, ...]) -> None:
        if event in ACTS and any(_below(home, one) for one in arguments[:2]):
            if event == "open" and not _writes(arguments):
                return
            count[0] += 1
            if count[0] == step:
                os._exit(ENDED)

    def run() -> int:
        sys.addaudithook(watch)
        status = main(list(command))
        Path(f"{home}.count").write_text(str(count[0]), encoding="utf-8")
        return status

    status, _ = child(made, run)
    counted = Path(f"{home}.count")
    operations = int(counted.read_text(encoding="utf-8")) if counted.exists() else 0
    counted.unlink(missing_ok=True)
    return status, operations


def _below(home: str, path: object) -> bool:
    if isinstance(path, os.PathLike):
        path = os.fspath(path)
    return isinstance(path, str) and (
        not Path(path).is_absolute() or path.startswith(home + os.sep)
    )


def _writes(arguments: tuple[object, ...]) -> bool:
    mode, flags = arguments[1], arguments[2]
    return (isinstance(mode, str) and bool(set(mode) & set("wxa+"))) or (
        isinstance(flags, int) and bool(flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT))
    )


@pytest.mark.parametrize("name", WRITERS)
def test_killed_at_any_operation_the_text_is_whole_before_or_whole_after(
    folder: Path, name: str
) -> None:
    command = WRITERS[name]
    before = texts(folder)
    status, operations = ended_before(folder, command, 0)
    assert status in (0, 1)
    assert operations > 0
    after = texts(folder)
    assert after != before
    dice = random.Random(name)  # noqa: S311 - chance that can be repeated
    steps = range(1, operations + 1)
    for turn, step in enumerate(sorted(dice.sample(steps, min(KILLS, operations)))):
        shutil.rmtree(folder)
        folder.mkdir(mode=0o755)
        fill(folder)
        assert ended_before(folder, command, step)[0] == ENDED
        assert read(folder / "plane").mistakes == ()  # finishes what was begun
        found = texts(folder)
        wrong = [k for k in found.keys() | before.keys() if found.get(k) not in (
            before.get(k), after.get(k))]  # fmt: skip
        assert wrong == [], f"before operation {step} of {operations}"
        system = {key: one for key, one in found.items() if key.startswith("plane/")}
        assert system in (_system(before), _system(after)), f"before operation {step}"
        if turn % 3 == 0:  # and it goes on from there
            assert ended_before(folder, command, 0)[0] in (0, 1, 2)
            assert read(folder / "plane").mistakes == ()


def _system(files: dict[str, bytes]) -> dict[str, bytes]:
    return {key: one for key, one in files.items() if key.startswith("plane/")}


@pytest.mark.parametrize("name", WRITERS)
def test_a_disk_that_is_full_is_told_and_nothing_is_lost(folder: Path, name: str) -> None:
    """No file may become longer than two hundred bytes, which is where a full disk stops it."""
    before = texts(folder)

    def run() -> int:
        resource.setrlimit(resource.RLIMIT_FSIZE, (200, 200))
        return main(list(WRITERS[name]))

    status, told = child(folder, run)
    assert "Traceback" not in told
    assert re.search("file too large|could not be (printed or )?written", told), told
    assert status == 2
    assert texts(folder) == before
    left = [p.name for p in folder.rglob("*") if p.name.startswith(".") or "elec-new" in p.name]
    assert left == []


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="this system has no users")
@pytest.mark.parametrize("name", WRITERS)
def test_a_folder_that_may_only_be_read_is_told(folder: Path, name: str) -> None:
    before = texts(folder)
    for path in (folder, *folder.rglob("*")):
        path.chmod(path.stat().st_mode & ~(stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH))

    def run() -> int:
        command = list(WRITERS[name])
        elsewhere = tempfile.mkdtemp()
        warm = [*command[:-1], f"{elsewhere}/{command[-1]}"] if "-o" in command else None
        main(warm or ["check", "plane"])  # loads what it needs, while it still may
        shutil.rmtree(elsewhere)
        if os.getuid() == 0:  # whom no mode stops
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        return main(list(WRITERS[name]))

    status, told = child(folder, run)
    for path in (folder, *folder.rglob("*")):
        path.chmod(path.stat().st_mode | stat.S_IWUSR)
    assert "Traceback" not in told
    assert status == 2, told
    assert texts(folder) == before


@pytest.mark.parametrize("round_", range(3))
def test_two_who_change_different_things_at_once_lose_nothing(folder: Path, round_: int) -> None:
    tried = WRITERS["a try"] if round_ % 2 else WRITERS["sizes"]
    numbers = []
    for command in (TICK, tried, WRITERS["tick again"]):
        number = os.fork()
        if number == 0:
            os.chdir(folder)
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            os._exit(main(list(command)))
        numbers.append(number)
    ended = [os.waitstatus_to_exitcode(os.waitpid(number, 0)[1]) for number in numbers]
    found = read(folder / "plane")
    assert found.mistakes == ()
    assert found.system is not None
    done = {name: one.state for name, one in found.system.document.build.items()}
    # who found the files changed under him says so and writes nothing
    assert set(ended) <= {0, 1, 2}
    assert done.get("beacon") == ("pulled" if ended[0] == 0 else None)
    assert done.get("radio") == ("tested" if ended[2] == 0 else None)
    assert 0 in ended


def test_two_books_at_once_into_one_folder_are_one_whole_book(folder: Path) -> None:
    numbers = []
    for _ in range(2):
        number = os.fork()
        if number == 0:
            os.chdir(folder)
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            os._exit(main(["book", "plane", "-o", "book"]))
        numbers.append(number)
    ended = [os.waitstatus_to_exitcode(os.waitpid(number, 0)[1]) for number in numbers]
    assert set(ended) <= {0, 1, 2}
    assert (folder / "book" / MARKER).is_file()
    status, told = child(folder, lambda: main(["book", "plane", "-o", "book"]))
    assert status in (0, 1), told  # nothing in it is a stranger's
    assert sorted(p.name for p in folder.iterdir() if "elec-" in p.name) == []


# -- the terminal and what is around it ------------------------------------------------------------


def program(folder: Path, *arguments: str, **environment: str) -> subprocess.Popen[bytes]:
    keep = {key: os.environ[key] for key in ("PATH", "PYTHONPATH") if key in os.environ}
    return subprocess.Popen(
        [sys.executable, "-m", "elec", *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=folder,
        env={**keep, "PYTHONPATH": str(Path(__file__).parents[2]), **environment},
    )


@pytest.mark.parametrize("command", [("check", "plane", "--all"), ("wires", "plane"), ("checks",)])
def test_a_reader_that_goes_after_a_line_is_no_fault(
    folder: Path, command: tuple[str, ...]
) -> None:
    with program(folder, *command) as run:
        assert run.stdout is not None
        assert run.stderr is not None
        run.stdout.readline()
        run.stdout.close()
        assert run.stderr.read() == b""
        assert run.wait() in (0, 1)


def test_no_environment_and_any_locale_print_the_same(folder: Path) -> None:
    """Turkish has no i in the plural of I, German has a comma; neither is asked."""
    around: tuple[dict[str, str], ...] = (
        {"HOME": str(folder), "LANG": "C.UTF-8"},
        {},  # no HOME, no LANG
        {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
        {"LC_ALL": "tr_TR.UTF-8"},
        {"LC_ALL": "de_DE.UTF-8"},
    )
    runs = [program(folder, "loads", "plane", **one) for one in around]
    made = [run.communicate() for run in runs]
    assert [run.returncode for run in runs] == [runs[0].returncode] * len(runs)
    assert [told for _, told in made] == [b""] * len(runs)
    plain = made[0][0].decode()
    assert "14 V" in plain
    for printed, _ in (made[1], made[3], made[4]):
        assert printed.decode() == plain
    assert made[2][0].decode("utf-8", "replace").count("\n") == plain.count("\n")


# -- links -----------------------------------------------------------------------------------------


def test_a_system_behind_a_link_is_changed_where_it_is(folder: Path) -> None:
    (folder / "real.yaml").write_text(starter("Tern"), encoding="utf-8")
    (folder / "link.yaml").symlink_to("real.yaml")
    status, told = child(
        folder,
        lambda: main(["try", "link.yaml", "--set", "equipment.radio.draw=2 A", "--write"]),
    )
    assert status in (0, 1), told
    assert (folder / "link.yaml").is_symlink()
    assert "draw: 2 A" in (folder / "real.yaml").read_text(encoding="utf-8")


def test_links_that_lead_nowhere_or_round_are_told(folder: Path) -> None:
    (folder / "gone.yaml").symlink_to("nothing.yaml")
    (folder / "round.yaml").symlink_to("round.yaml")
    (folder / "plane" / "round").symlink_to(".")
    for name, status in (("gone.yaml", 2), ("round.yaml", 2)):
        found, told = child(folder, lambda name=name: main(["check", name]))  # type: ignore[misc]
        assert found == status
        assert name in told
        assert "Traceback" not in told
    found, told = child(folder, lambda: main(["check", "plane"]))
    assert found in (0, 1), told
    found, told = child(folder, lambda: main(["buy", "plane", "-o", "gone.yaml/x.csv"]))
    assert (found, "Traceback" in told) == (2, False)
