"""Files that change together: old or new, whoever ends the program when.

In: the new content of files. Out: the files changed, all or none. Each content is first written
beside its file and flushed; where there are several, a note then says so, and whoever comes to the
folder next finishes what the note tells. One program at a time writes into a folder.
"""

import hashlib
import json
import os
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # pragma: no cover - a system without locks of this kind
    fcntl = None  # type: ignore[assignment]

NOTE = ".elec-change.json"
"""In a folder while several of its files change."""
PATIENCE_S = 20.0
"""How long another program that writes here is waited for."""
_held: set[Path] = set()


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Be the only elec that writes into a folder.

    Raises:
        OSError: another one goes on writing there.
    """
    key = Path(os.path.realpath(folder))
    handle = None if key in _held else _locked(key)
    if handle is None:
        yield
        return
    _held.add(key)
    try:
        yield
    finally:
        _held.discard(key)
        os.close(handle)


def _locked(folder: Path) -> int | None:
    """A handle that holds the lock until it is closed; None where there are no locks."""
    if fcntl is None:
        return None
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return None
    until = time.monotonic() + PATIENCE_S
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > until:
                os.close(handle)
                said = "another elec writes into this folder; try again when it is done"
                raise OSError(0, said, str(folder)) from None
            time.sleep(0.02)
        except OSError:
            os.close(handle)
            return None
        else:
            return handle


def beside(target: Path) -> Path:
    """Where the new content of a file waits."""
    return target.with_name(f".{target.name[:200]}.elec-new")


def stage(target: Path, content: bytes, mode: int) -> Path:
    """The new content beside its file, with its permissions, flushed to the disk."""
    made = beside(target)
    try:
        made.unlink(missing_ok=True)
        with made.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        made.chmod(mode)
    except BaseException:
        with suppress(OSError):
            made.unlink(missing_ok=True)
        raise
    return made


def mode_of(target: Path) -> int:
    """The permissions that a file has, or that a new one would get."""
    if target.exists():
        return target.stat().st_mode & 0o7777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def exchange(after: Mapping[Path, bytes], before: Mapping[Path, bytes | None]) -> None:
    """Put new contents in the place of old ones, all or none.

    Args:
        after: file → its new content; links are followed by the caller.
        before: file → what it holds now; None where there is none.

    Raises:
        OSError: the disk refuses; everything is as it was then.
    """
    staged: dict[Path, Path] = {}
    note = None
    try:
        for target, content in after.items():
            staged[target] = stage(target, content, mode_of(target))
        note = _noted(after, before)
        _put(staged, before, note)
    finally:
        if note is not None:
            note.unlink(missing_ok=True)
        for left in staged.values():
            left.unlink(missing_ok=True)
    for folder in {target.parent for target in after}:
        _flush(folder)


def _put(
    staged: Mapping[Path, Path], before: Mapping[Path, bytes | None], note: Path | None
) -> None:
    done: list[Path] = []
    try:
        for target, made in staged.items():
            made.replace(target)
            done.append(target)
    except BaseException:
        if note is not None:
            note.unlink(missing_ok=True)  # from here on the way leads back
        for target in done:
            old = before[target]
            if old is None:
                target.unlink(missing_ok=True)
            else:
                stage(target, old, mode_of(target)).replace(target)
        raise


def _noted(after: Mapping[Path, bytes], before: Mapping[Path, bytes | None]) -> Path | None:
    """The note of what is under way; none where one step does it."""
    folders = {target.parent for target in after}
    if len(after) < 2 or len(folders) > 1:
        return None
    note = folders.pop() / NOTE
    files = {t.name: [_digest(before[t]), _digest(content)] for t, content in after.items()}
    stage(note, json.dumps({"elec": "change", "files": files}).encode(), 0o600).replace(note)
    _flush(note.parent)
    return note


def _digest(content: bytes | None) -> str:
    return "" if content is None else hashlib.sha256(content).hexdigest()


def finish(folder: Path) -> None:
    """Finish what a program that was ended in the middle left; does nothing as a rule.

    A file that somebody changed since stays as it is, and so do all others then.
    """
    note = folder / NOTE
    if not note.is_file():
        return
    with suppress(OSError, ValueError, KeyError, TypeError, AttributeError), alone(folder):
        files = json.loads(note.read_bytes())["files"]
        targets = {folder / name: tuple(known) for name, known in files.items() if _plain(name)}
        there = {t: _digest(t.read_bytes() if t.is_file() else None) for t in targets}
        if all(there[target] in known for target, known in targets.items()):
            for target in targets:
                if beside(target).is_file():
                    beside(target).replace(target)
        for target in targets:
            beside(target).unlink(missing_ok=True)
        note.unlink(missing_ok=True)


def _plain(name: str) -> bool:
    return Path(name).name == name


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
