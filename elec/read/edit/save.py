"""Files that change together: all are written or none, and nothing that others wrote is lost."""

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path


class CannotSave(Exception):  # noqa: N818 - it names what is so, not a fault of the program
    """Files that were not written; the message says why."""


def save(before: Mapping[Path, bytes], after: Mapping[Path, bytes]) -> None:
    """Write files in place of what they held.

    Each new content is first written beside its file and flushed to the disk; only when all are
    there do they take the places of the old ones. If one of these steps fails, those already made
    are taken back.

    Args:
        before: what each file is expected to hold still.
        after: what it shall hold; its permissions stay.

    Raises:
        CannotSave: a file holds something else meanwhile, or the disk refuses.
    """
    beside: dict[Path, Path] = {}
    try:
        for file, content in after.items():
            target = Path(os.path.realpath(file))
            if target.read_bytes() != before[file]:
                raise CannotSave(f"{file} was changed meanwhile; nothing was written. Try again")
            beside[target] = _written(target, content)
        _exchange(beside, {Path(os.path.realpath(file)): old for file, old in before.items()})
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        raise CannotSave(f"nothing was written: {said}: {error.filename or ''}") from error
    finally:
        for left in beside.values():
            left.unlink(missing_ok=True)


def _exchange(beside: Mapping[Path, Path], before: Mapping[Path, bytes]) -> None:
    done: list[Path] = []
    try:
        for target, made in beside.items():
            made.replace(target)
            done.append(target)
    except BaseException:
        for target in done:
            _written(target, before[target]).replace(target)
        raise
    for folder in {target.parent for target in done}:
        _flush(folder)


def _written(target: Path, content: bytes) -> Path:
    """A new file beside another, with its permissions, flushed to the disk."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    made = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        made.chmod(target.stat().st_mode & 0o7777)
    except BaseException:
        made.unlink(missing_ok=True)
        raise
    return made


def _flush(folder: Path) -> None:
    """Make sure that the names, too, are on the disk; where folders cannot be opened, go on."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
