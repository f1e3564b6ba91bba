"""Files on the builder's disk: written whole or not at all, and never over another's work."""

import csv
import hashlib
import io
import os
import re
from collections.abc import Mapping
from contextlib import ExitStack, suppress
from pathlib import Path

from elec.read.exchange import alone, exchange, finish


class CannotWrite(Exception):  # noqa: N818 - it names what is so, not a fault of the program
    """A file or folder that cannot or may not be written; the message says why and what to do."""


_MARKS = (b"written by elec", b'"elec":', b'content="elec ', b"<dc:creator>elec<")
_SAID_BY_ALL = (b"%PDF", b"<?xml")
"""First lines that any program writes."""
_HEAD_BYTES = 4096


def write_file(path: Path, content: bytes, *, force: bool = False) -> None:
    """Write a file as a whole: a fault in the middle leaves what was there.

    Args:
        path: where to; a link is followed.
        content: the bytes.
        force: also replace a file that elec did not write.

    Raises:
        CannotWrite: it is a folder, another's file, or the disk refuses.
    """
    if Path(os.path.realpath(path)) == Path(os.devnull):
        return
    _write_all({path: content}, force=force)


def write_files(folder: Path, files: Mapping[str, bytes], *, force: bool = False) -> None:
    """Write files into a folder, all or none; it is made where there is none.

    Args:
        folder: where to.
        files: name → bytes.
        force: also replace files that elec did not write.

    Raises:
        CannotWrite: one of them is another's, or the disk refuses; nothing has changed then.
    """
    fresh = not folder.exists()
    try:
        folder.mkdir(exist_ok=True)
        finish(folder)
        _write_all({folder / name: content for name, content in files.items()}, force=force)
    except BaseException as error:
        if fresh:
            with suppress(OSError):
                folder.rmdir()
        if isinstance(error, OSError):
            raise CannotWrite(f"{folder} cannot be written: {reason(error)}") from error
        raise


def _write_all(files: Mapping[Path, bytes], *, force: bool) -> None:
    path = next(iter(files), Path())
    targets = {Path(os.path.realpath(path)): content for path, content in files.items()}
    try:
        with ExitStack() as held:
            for folder in sorted({target.parent for target in targets}):
                held.enter_context(alone(folder))
            for path, content in files.items():
                _check(path, content, force=force)
            exchange(targets, {t: t.read_bytes() if t.exists() else None for t in targets})
    except OSError as error:
        raise CannotWrite(f"{path} cannot be written: {reason(error)}") from error


def _check(path: Path, content: bytes, *, force: bool) -> None:
    """Refuse a place where no file can be, and what others wrote, or wrote into."""
    target = Path(os.path.realpath(path))
    if target.is_dir():
        raise CannotWrite(f"{path} is a folder; name a file in it")
    if target.exists() and not target.is_file():
        raise CannotWrite(f"{path} is no file, so nothing can be written in its place")
    if target.exists() and not force:
        _spare(path, target, content)


def _spare(path: Path, target: Path, content: bytes) -> None:
    """Refuse to replace what others wrote, or wrote into."""
    if not _ours(target, content):
        raise CannotWrite(
            f"{path} was not written by elec; choose another name, or add --force to replace it"
        )
    if target.read_bytes() != content and _filled_in(target, content):
        raise CannotWrite(
            f"{path} was filled in or changed since elec wrote it; choose another name, or add "
            "--force to lose what stands in it"
        )


def signed(workbook: bytes) -> bytes:
    """A workbook with its digest in it: a program that saves it again leaves that away."""
    mark = hashlib.sha256(workbook).hexdigest().encode()
    return workbook[:-2] + len(mark).to_bytes(2, "little") + mark


_BLANK = frozenset({"", "☐"})
"""What stands in a cell that is left for a pencil."""
_FOR_PENCIL = re.compile(r"read(_[a-z]+)?|open|before|after|ok|label|left_m|sample_[0-9]+")
"""Columns of papers for the bench that are left to be filled in."""


def _filled_in(target: Path, content: bytes) -> bool:
    """Whether somebody wrote into a workbook, or into empty columns of a list."""
    there = target.read_bytes()
    if there[:2] == b"PK":
        mark = there[-64:]
        return signed(there[: -64 - 2] + b"\0\0") != there if mark.isalnum() else True
    if target.suffix.lower() != ".csv":
        return False
    fresh = {tuple(rows[0]): rows for rows in _lists(content)}
    for rows in _lists(there):
        same = fresh.get(tuple(rows[0]))
        if same is None:
            continue
        for k in range(len(rows[0])):
            if _FOR_PENCIL.fullmatch(rows[0][k]) and _written(same, rows, k):
                return True
    return False


def _written(fresh: list[list[str]], there: list[list[str]], column: int) -> bool:
    """Whether a cell of a column says what neither is left blank nor printed in its row."""
    pencil = {k for k, head in enumerate(fresh[0]) if _FOR_PENCIL.fullmatch(head)}

    def rest(row: list[str]) -> tuple[str, ...]:
        return tuple(text for k, text in enumerate(row) if k not in pencil)

    printed = {(rest(row), row[column]) for row in fresh[1:] if column < len(row)}
    return any(
        row[column] not in _BLANK and (rest(row), row[column]) not in printed
        for row in there[1:]
        if column < len(row)
    )


def _lists(content: bytes) -> list[list[list[str]]]:
    """The lists in a CSV file, each with its heads; an empty row parts them."""
    text = content.decode("utf-8-sig", errors="replace")
    found: list[list[list[str]]] = [[]]
    for row in csv.reader(io.StringIO(text, newline="")):
        if row:
            found[-1].append(row)
        elif found[-1]:
            found.append([])
    return [rows for rows in found if rows]


def reason(error: OSError) -> str:
    """What the disk said, in lower case and without the path."""
    said = error.strerror or str(error)
    return said[:1].lower() + said[1:]


def _ours(target: Path, content: bytes) -> bool:
    """Whether elec wrote the file that is there: it says so, or begins with the very same line."""
    there = target.read_bytes()
    if not there.strip():
        return True
    if there[:2] == b"PK":
        return _our_workbook(target)
    edges = there[:_HEAD_BYTES] + there[-_HEAD_BYTES:]
    if any(mark in edges for mark in _MARKS):
        return True
    first = _first_line(content)
    if first.startswith(_SAID_BY_ALL):
        return False
    return len(first) > 3 and _first_line(there) == first


def _first_line(content: bytes) -> bytes:
    return re.split(rb"[\r\n]", content.removeprefix(b"\xef\xbb\xbf"), maxsplit=1)[0]


def _our_workbook(target: Path) -> bool:
    import zipfile

    try:
        with zipfile.ZipFile(target) as packed:
            return b"<dc:creator>elec<" in packed.read("docProps/core.xml")
    except (zipfile.BadZipFile, KeyError):
        return False
