"""A system's files change together: all are written or none, and nothing of others is lost."""

import os
from collections.abc import Mapping
from contextlib import ExitStack
from pathlib import Path

from elec.read.exchange import alone, exchange


class CannotSave(Exception):  # noqa: N818 - it names what is so, not a fault of the program
    """Files that were not written; the message says why."""


def save(before: Mapping[Path, bytes | None], after: Mapping[Path, bytes]) -> None:
    """Write files in place of what they held.

    Args:
        before: what each file is expected to hold still; None: it is not there.
        after: what it shall hold; its permissions stay.

    Raises:
        CannotSave: a file holds something else meanwhile, or the disk refuses.
    """
    targets = {file: Path(os.path.realpath(file)) for file in after}
    try:
        with ExitStack() as held:
            for folder in sorted({target.parent for target in targets.values()}):
                held.enter_context(alone(folder))
            for file, target in targets.items():
                held_now = target.read_bytes() if target.exists() else None
                if held_now != before[file]:
                    raise CannotSave(
                        f"{file} was changed meanwhile; nothing was written. Try again"
                    )
            exchange(
                {targets[file]: content for file, content in after.items()},
                {targets[file]: before[file] for file in after},
            )
    except OSError as error:
        raise CannotSave(refusal(error)) from error


def refusal(error: OSError) -> str:
    """That the disk refused, and why."""
    said = (error.strerror or str(error)).lower()
    return f"nothing was written: {said}: {error.filename or ''}"
