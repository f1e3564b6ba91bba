"""Files and folders are written whole or not at all, and never over another's work."""

import json
import os
import subprocess
import sys
import textwrap
import zipfile
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.pages.document import Book
from elec.write import folder as folder_room
from elec.write.files import CannotWrite, write_file
from elec.write.folder import MARKER, contents, write_book
from elec.write.register import Options, named
from tests.write.sample import CHECKING, book

PLAIN = Options()


@pytest.fixture(scope="module")
def ready() -> dict[str, bytes]:
    return dict(contents(book(), PLAIN))


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch, ready: dict[str, bytes]) -> None:
    """The contents are made once; these tests are about the disk."""

    def made(document: Book, options: Options) -> list[tuple[str, bytes]]:
        return [
            (name, data.replace(b"Foxglove", document.title.encode()))
            for name, data in ready.items()
        ]

    monkeypatch.setattr(folder_room, "contents", made)


def snapshot(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def other() -> Book:

    return replace(book(), title="Larkspur")


def test_a_book_is_a_page_drawings_tables_and_a_marker(tmp_path: Path) -> None:
    written = write_book(book(), tmp_path / "book", PLAIN)
    assert set(snapshot(tmp_path / "book")) == {*written.files, MARKER}
    assert set(written.files) == {
        "book.html", "book.json", "drawings/sheet-power.svg", "tables.xlsx", "tables/loads.csv",
        "tables/wires.csv",
    }  # fmt: skip
    assert [path.name for path in tmp_path.iterdir()] == ["book"]


def test_a_book_replaces_a_book(tmp_path: Path) -> None:
    write_book(book(), tmp_path / "book", PLAIN)
    write_book(other(), tmp_path / "book", PLAIN)
    assert b"Larkspur" in (tmp_path / "book/book.html").read_bytes()
    assert [path.name for path in tmp_path.iterdir()] == ["book"]


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir()
    write_book(book(), tmp_path / "book", PLAIN)
    assert (tmp_path / "book/book.html").exists()


def test_extra_files_go_into_the_folder(tmp_path: Path) -> None:
    write_book(book(), tmp_path / "book", PLAIN, extra={"network.cir": b"* net\n"})
    assert (tmp_path / "book/network.cir").read_bytes() == b"* net\n"


@pytest.mark.parametrize("force", [False, True])
def test_a_folder_that_is_no_book_is_never_touched(tmp_path: Path, force: bool) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos/wing.jpg").write_bytes(b"jpg")
    with pytest.raises(CannotWrite, match="elec did not write"):
        write_book(book(), tmp_path / "photos", PLAIN, force=force)
    assert snapshot(tmp_path) == {"photos/wing.jpg": b"jpg"}


def test_a_marker_that_is_none_does_not_count(tmp_path: Path) -> None:
    (tmp_path / "x").mkdir()
    (tmp_path / "x" / MARKER).write_text("[]")
    with pytest.raises(CannotWrite, match="elec did not write"):
        write_book(book(), tmp_path / "x", PLAIN)


def test_a_file_that_was_added_by_hand_is_not_lost(tmp_path: Path) -> None:
    write_book(book(), tmp_path / "book", PLAIN)
    (tmp_path / "book/notes.txt").write_text("stud B2 is loose")
    with pytest.raises(CannotWrite, match=r"notes\.txt is not part of the book"):
        write_book(other(), tmp_path / "book", PLAIN)
    assert (tmp_path / "book/notes.txt").exists()
    write_book(other(), tmp_path / "book", PLAIN, force=True)
    assert not (tmp_path / "book/notes.txt").exists()


def test_a_file_that_was_changed_by_hand_is_not_lost(tmp_path: Path) -> None:
    write_book(book(), tmp_path / "book", PLAIN)
    (tmp_path / "book/tables/wires.csv").write_text("my own lengths")
    with pytest.raises(CannotWrite, match=r"wires\.csv was changed"):
        write_book(other(), tmp_path / "book", PLAIN)
    assert (tmp_path / "book/tables/wires.csv").read_text() == "my own lengths"


def test_links_and_files_in_its_place_are_refused(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    (tmp_path / "file").write_text("x")
    (tmp_path / "dangling").symlink_to(tmp_path / "nowhere")
    for name, said in (("link", "is a link"), ("file", "is a file"), ("dangling", "is a link")):
        with pytest.raises(CannotWrite, match=said):
            write_book(book(), tmp_path / name, PLAIN)
    with pytest.raises(CannotWrite, match="there is no folder"):
        write_book(book(), tmp_path / "no/such/book", PLAIN)
    with pytest.raises(CannotWrite, match="no name for a new folder"):
        write_book(book(), Path(), PLAIN)
    assert list((tmp_path / "real").iterdir()) == []


def test_a_disk_that_refuses_gives_one_clear_message(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Path, *args: object, **rest: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(CannotWrite, match="book cannot be written: permission denied"):
        write_book(book(), tmp_path / "book", PLAIN)


@pytest.mark.parametrize("fault", [RuntimeError, KeyboardInterrupt, OSError])
@pytest.mark.parametrize("after", [0, 3])
def test_a_fault_while_filling_leaves_the_old_book_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: type[BaseException], after: int
) -> None:
    write_book(book(), tmp_path / "book", PLAIN)
    before = snapshot(tmp_path)
    really, count = Path.write_bytes, iter(range(100))

    def sometimes(self: Path, data: bytes) -> int:
        if next(count) >= after:
            raise fault("in the middle")
        return really(self, data)

    monkeypatch.setattr(Path, "write_bytes", sometimes)
    with pytest.raises((fault, CannotWrite)):
        write_book(other(), tmp_path / "book", PLAIN)
    assert snapshot(tmp_path) == before


@pytest.mark.parametrize("fault", [RuntimeError, KeyboardInterrupt, OSError])
def test_a_fault_while_swapping_puts_the_old_book_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: type[BaseException]
) -> None:
    write_book(book(), tmp_path / "book", PLAIN)
    before = snapshot(tmp_path)
    really = Path.rename

    def sometimes(self: Path, target: Path) -> Path:
        if self.name.endswith("elec-new"):
            raise fault("in the middle")
        return really(self, target)

    monkeypatch.setattr(Path, "rename", sometimes)
    with pytest.raises((fault, CannotWrite)):
        write_book(other(), tmp_path / "book", PLAIN)
    assert snapshot(tmp_path) == before


KILLED = """
import os, sys
from pathlib import Path
from elec.write.folder import write_book
from elec.write.register import Options
from tests.write.sample import book

really = getattr(Path, "{call}")
def stop(self, *args, **rest):
    if "{word}" in self.name:
        os._exit(9)
    return really(self, *args, **rest)
setattr(Path, "{call}", stop)
write_book(book(), Path(sys.argv[1]), Options())
"""


@pytest.mark.parametrize(("call", "word"), [("write_bytes", "wires.csv"), ("rename", "elec-new")])
def test_a_killed_run_leaves_the_old_book_and_the_next_run_cleans_up(
    tmp_path: Path, call: str, word: str
) -> None:
    write_book(book(), tmp_path / "book", PLAIN)
    before = snapshot(tmp_path / "book")
    program = textwrap.dedent(KILLED).format(call=call, word=word)
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path / "book")],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True,
        check=False,
    )
    assert done.returncode == 9, done.stderr.decode()
    aside = tmp_path / ".book.elec-old"
    whole = tmp_path / "book" if (tmp_path / "book").exists() else aside
    assert snapshot(whole) == before
    write_book(book(), tmp_path / "book", PLAIN)
    assert [path.name for path in tmp_path.iterdir()] == ["book"]


# single files


def test_a_file_is_written_and_written_again(tmp_path: Path) -> None:
    for name in ("csv", "html", "json", "markdown", "text", "xlsx"):
        path = tmp_path / f"x.{name}"
        content = named(name).write(CHECKING, PLAIN)
        write_file(path, content)
        write_file(path, content)
        assert path.read_bytes() == content


@pytest.mark.parametrize("there", [b"my notes\n", b"PK\x03\x04 no archive", b"\xff\xfe\x00"])
def test_anothers_file_is_not_replaced_without_force(tmp_path: Path, there: bytes) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(there)
    with pytest.raises(CannotWrite, match="was not written by elec"):
        write_file(path, b"Foxglove, 14 V\n")
    assert path.read_bytes() == there
    write_file(path, b"Foxglove, 14 V\n", force=True)
    assert path.read_bytes() == b"Foxglove, 14 V\n"


def test_anothers_workbook_is_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "sums.xlsx"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("docProps/core.xml", "<dc:creator>me</dc:creator>")
    with pytest.raises(CannotWrite, match="was not written by elec"):
        write_file(path, named("xlsx").write(CHECKING, PLAIN))


def test_a_link_is_followed_and_permissions_stay(tmp_path: Path) -> None:
    real = tmp_path / "real.json"
    real.write_bytes(b'{"elec": "0"}')
    real.chmod(0o600)
    (tmp_path / "link.json").symlink_to(real)
    write_file(tmp_path / "link.json", b'{"elec": "1"}')
    assert real.read_bytes() == b'{"elec": "1"}'
    assert real.stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "link.json").is_symlink()


def test_a_folder_or_a_missing_parent_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match="is a folder"):
        write_file(tmp_path, b"x")
    with pytest.raises(CannotWrite, match="no such file or directory"):
        write_file(tmp_path / "no" / "x.csv", b"x")


def test_a_fault_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "x.json"
    path.write_bytes(b'{"elec": "0"}')

    def refuse(self: Path, target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(CannotWrite, match="no space left on device"):
        write_file(path, b'{"elec": "1"}')
    assert [p.name for p in tmp_path.iterdir()] == ["x.json"]
    assert json.loads(path.read_bytes()) == {"elec": "0"}
