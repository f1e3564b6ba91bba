"""What would be without end is told plainly: size, count, depth, repetition, what is no file."""

import os
from pathlib import Path

import pytest

from elec.cli import main
from elec.read import read, read_texts
from elec.read.like import LONGEST_CHAIN, MOST_COPIED
from elec.read.reading import MOST_ENTRIES
from elec.read.text import LARGEST_BYTES

HEAD = "system: {name: Wren, nominal: 14 V}\nequipment:\n"


def messages(text: str) -> list[str]:
    return [m.message for m in read_texts({Path("wren.yaml"): text.encode()}).mistakes]


def chain(length: int) -> str:
    return HEAD + "".join(f"  e{n}: {{like: e{n + 1}}}\n" for n in range(length))


def test_a_short_chain_of_like_is_followed_to_its_end() -> None:
    text = chain(LONGEST_CHAIN - 1) + f"  e{LONGEST_CHAIN - 1}: {{place: hull, draw: 1 A}}\n"
    assert messages(text + "places: {hull: }\n") == []


def test_a_long_chain_of_like_is_told_once() -> None:
    found = messages(chain(LONGEST_CHAIN + 90) + f"  e{LONGEST_CHAIN + 90}: {{draw: 1 A}}\n")
    assert len(found) == 1
    assert f"a chain of more than {LONGEST_CHAIN} entries that repeat each other" in found[0]


def test_repeating_large_entries_many_times_is_told_once() -> None:
    pins = ", ".join(f"{n}: power" for n in range(1, 300))
    first = f"  e0: {{place: hull, draw: 1 A, connectors: {{J1: {{pins: {{{pins}}}}}}}}}\n"
    rest = "".join(f"  e{n}: {{like: e0}}\n" for n in range(1, 900))
    assert messages(HEAD + first + rest) == [
        f"with this entry more than {MOST_COPIED} values are repeated"
    ]


def test_more_entries_than_an_aircraft_has() -> None:
    lines = "".join(f"  e{n}: {{place: hull, draw: 1 A}}\n" for n in range(MOST_ENTRIES + 1))
    assert messages(HEAD + lines) == [
        f"{MOST_ENTRIES + 1} entries; {MOST_ENTRIES} are the most that are read"
    ]


def test_many_large_files(tmp_path: Path) -> None:
    for n in range(3):
        (tmp_path / f"{n}.yaml").write_text("# " + "x" * (LARGEST_BYTES // 2) + "\n")
    found = [m.message for m in read(tmp_path).mistakes]
    assert found == ["with this file the system has more than 2 MB, the most that is read"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_no_system_and_no_place_to_write(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pipe = tmp_path / "wren.yaml"
    os.mkfifo(pipe)
    assert main(["check", str(pipe)]) == 2
    assert main(["check", str(tmp_path)]) == 2
    assert main(["new", str(pipe)]) == 2
    assert main(["try", str(tmp_path), "--remove", "radio"]) == 2
    capsys.readouterr()
    page = tmp_path / "page.html"
    os.mkfifo(page)
    assert main(["checks", "-o", str(page)]) == 2
    assert "is no file" in capsys.readouterr().err
    assert page.is_fifo()


def test_a_device_is_never_replaced(capsys: pytest.CaptureFixture[str]) -> None:
    before = Path(os.devnull).stat().st_mode
    assert main(["checks", "-o", os.devnull, "--format", "text"]) == 0
    assert Path(os.devnull).stat().st_mode == before
    capsys.readouterr()
    if Path("/dev/full").exists():
        assert main(["checks", "-o", "/dev/full", "--format", "text", "--force"]) == 2


def test_an_empty_name_is_not_this_folder(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", ""]) == 2
    assert "names no system" in capsys.readouterr().err
