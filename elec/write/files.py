"""Files on the builder's disk: written whole or not at all, and never over another's work."""

import os
import re
import tempfile
from pathlib import Path


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
    target = Path(os.path.realpath(path))
    if target.is_dir():
        raise CannotWrite(f"{path} is a folder; name a file in it")
    try:
        if target.exists() and not force and not _ours(target, content):
            raise CannotWrite(
                f"{path} was not written by elec; choose another name, or add --force to replace it"
            )
        _replace(target, content)
    except OSError as error:
        raise CannotWrite(f"{path} cannot be written: {reason(error)}") from error


def reason(error: OSError) -> str:
    """What the disk said, in lower case and without the path."""
    said = error.strerror or str(error)
    return said[:1].lower() + said[1:]


def _replace(target: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        beside.chmod(_mode(target))
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def _mode(target: Path) -> int:
    """The permissions that the file has, or that a new one would get."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


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
