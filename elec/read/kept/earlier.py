"""An older text of a system: in a file or folder, in a revision of git, or kept by a book or issue.

In: what was asked for, such as `HEAD~3:systems/foxglove`. Out: a `Reading`. Git is only asked for
what stands in it; nothing is checked out, and nothing on the disk changes.
"""

import os
import subprocess
from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from elec.finding import Mistake, Place
from elec.read.reading import ENDINGS, Reading, built_beside, read, read_texts

TEXT = "text"
"""The folder in a book that holds the builder's own files, as they were read for it."""
MARKER = "elec-book.json"
"""Lies in every folder that elec wrote; by it a book is known, and what was written into it."""


def read_earlier(asked: str) -> Reading:
    """Read a system by any of the names that an older text has.

    Args:
        asked: a file, a folder, a book's folder, or REVISION:PATH as git has it; a path that is
            there on the disk is never taken for a revision.
    """
    path = Path(asked)
    if path.exists() or ":" not in asked:
        return read(text_in(path))
    revision, _, inside = asked.partition(":")
    return _in_git(asked, revision, inside, Path())


def read_revision(path: Path, revision: str) -> Reading:
    """Read the system of a path as it stood in a revision of git."""
    folder = path.parent if path.parent != path else path
    name = path.name or "."
    if path.is_dir() and path.name in ("", ".."):
        folder, name = path, "."
    return _in_git(f"{revision}:{path}", revision, f"./{name}", folder)


def text_in(path: Path) -> Path:
    """Where the text lies: of a book's folder in its own copy, else at the path itself."""
    if path.is_dir() and (path / MARKER).is_file() and (path / TEXT).is_dir():
        return path / TEXT
    return path


def _in_git(asked: str, revision: str, inside: str, folder: Path) -> Reading:
    if not revision or revision.startswith("-"):
        return _none(asked, "there is no such file or folder, nor a revision of git before the :")
    if not folder.is_dir():
        return _none(asked, "there is no such folder")
    try:
        commit = _git(folder, "rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}")
        for place in (inside, f"./{inside}"):
            found = _texts(folder, commit.decode().strip(), place)
            if found:
                return read_texts(found)
    except FileNotFoundError:
        return _none(asked, "git is not installed here; name a file or a folder")
    except subprocess.CalledProcessError:
        said = f'there is no such file or folder, and git knows no revision "{revision}" here'
        return _none(asked, said)
    return _none(asked, f'revision "{revision}" has no system of that name')


def _texts(folder: Path, commit: str, inside: str) -> Mapping[Path, bytes]:
    """The files that a system has in a commit: one with the state of building, or a folder's."""
    plain = inside.rstrip("/")
    found = _object(folder, f"{commit}:{'./' if plain in ('.', './.') else plain}")
    if not found:
        return {}
    if _git(folder, "cat-file", "-t", found).strip() == b"blob":
        beside = str(built_beside(Path(inside)))
        there = {inside: found, beside: _object(folder, f"{commit}:{beside}")}
        return {
            Path(PurePosixPath(name).name): _git(folder, "cat-file", "blob", one)
            for name, one in there.items()
            if one
        }
    listed = _git(folder, "ls-tree", "--full-tree", "-z", found).decode(errors="replace")
    entries = (line.partition("\t") for line in listed.split("\0") if " blob " in line)
    names = {name: head.split()[-1] for head, _, name in entries if name.endswith(ENDINGS)}
    return {
        Path(name): _git(folder, "cat-file", "blob", one)
        for name, one in sorted(names.items())
        if not name.startswith(".")
    }


def _object(folder: Path, name: str) -> str:
    """The id of a file or folder in a commit; empty where there is none."""
    try:
        return _git(folder, "rev-parse", "--verify", "--quiet", name).decode().strip()
    except subprocess.CalledProcessError:
        return ""


def _git(folder: Path, *arguments: str) -> bytes:
    """What git answers; nothing of the user's own settings changes it."""
    done = subprocess.run(  # noqa: S603 - no shell reads what the user wrote
        ["git", "-C", str(folder), *arguments],  # noqa: S607 - the one that the user has
        capture_output=True,
        check=True,
        env={**os.environ, "GIT_OPTIONAL_LOCKS": "0", "LC_ALL": "C"},
    )
    return done.stdout


def _none(asked: str, message: str) -> Reading:
    mistake = Mistake(place=Place(file=asked, line=1, column=1), message=message)
    return Reading(system=None, mistakes=(mistake,), files=())


__all__ = ["MARKER", "TEXT", "read_earlier", "read_revision", "text_in"]
