"""The issues of a system: its text frozen, with the reason, in a folder beside it.

In: where the system is. Out: `Issue` records in order. Each is a folder of its own with the files
as they stood and a note about them, so that it reads as a system by itself. The date is what the
builder says; no clock is asked. Nothing that was issued is written again.
"""

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct

from elec.read.reading import Reading, files_of, read

NOTE = "issue.json"
"""In the folder of an issue: number, date, reason, digests."""


class Issue(Struct, frozen=True, kw_only=True):
    """One issue."""

    number: int
    date: str
    """As the builder gave it."""
    reason: str
    revision: str
    """As it stood in the text."""
    digest: str
    """Of the text as the elec of that day read it."""
    elec: str
    """Which elec froze it."""
    folder: Path
    files: Mapping[str, str]
    """File → sha256 of its bytes."""

    @property
    def name(self) -> str:
        """`issue 3`."""
        return f"issue {self.number}"

    @property
    def changed(self) -> tuple[str, ...]:
        """Files that are not there any more as they were issued."""
        return tuple(
            name for name, digest in self.files.items() if _digest(self.folder / name) != digest
        )

    def read(self) -> Reading:
        """The system as it was issued."""
        return read(self.folder)


class BrokenIssue(ValueError):  # noqa: N818 - it names what is so, not a fault of the program
    """A note of an issue that cannot be read."""


def issues_beside(start: Path) -> Path:
    """Where the issues lie: in a folder `issues`, beside a file `NAME-issues`.

    >>> str(issues_beside(Path("my-plane.yaml")))
    'my-plane-issues'
    """
    return start / "issues" if start.is_dir() else start.with_name(f"{start.stem}-issues")


def issues_of(start: Path) -> tuple[Issue, ...]:
    """Every issue of a system in order.

    Raises:
        BrokenIssue: a note cannot be read; then none is taken for the last one.
    """
    notes = sorted(issues_beside(start).glob(f"*/{NOTE}"))
    return tuple(sorted((_issue(note) for note in notes), key=lambda one: one.number))


def frozen(start: Path, number: int, about: Mapping[str, str]) -> dict[str, bytes]:
    """The files of a new issue: name → bytes, the note the last.

    Args:
        start: where the system is.
        number: of the issue.
        about: date, reason, revision, digest, elec.
    """
    texts = {file.name: file.read_bytes() for file in files_of(start)}
    digests = {name: hashlib.sha256(content).hexdigest() for name, content in texts.items()}
    note = {"issue": number, **about, "files": digests}
    return {**texts, NOTE: (json.dumps(note, ensure_ascii=False, indent=1) + "\n").encode()}


def folder_of(start: Path, number: int) -> Path:
    """Where an issue of that number lies."""
    return issues_beside(start) / f"{number:03d}"


def _issue(note: Path) -> Issue:
    try:
        found: dict[str, Any] = json.loads(note.read_text(encoding="utf-8"))
        words = {key: str(found[key]) for key in ("date", "reason", "revision", "digest", "elec")}
        files = {str(name): str(digest) for name, digest in found["files"].items()}
        return Issue(number=int(found["issue"]), folder=note.parent, files=files, **words)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        raise BrokenIssue(
            f"{note} cannot be read as the note of an issue; put it back as it was, or move the "
            "folder away"
        ) from None


def _digest(path: Path) -> str:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


__all__ = ["BrokenIssue", "Issue", "folder_of", "frozen", "issues_beside", "issues_of"]
