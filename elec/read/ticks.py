"""Tick off what is built, in a file of its own that the design never needs to be touched for.

In: a system's path and what was done. Out: the changed state file, written whole or not at all.
"""

from collections.abc import Mapping
from pathlib import Path

from elec.read.edit import CannotSave, Edits, Value
from elec.read.edit.save import refusal
from elec.read.exchange import alone
from elec.read.reading import built_beside

HEAD = (
    "# How far the work is: planned, cut, pulled, terminated, rung out, tested.\n"
    "# A wire by its mark, or a whole circuit, feeder, ground or cable by its name.\n"
)


def tick(system: Path, done: Mapping[str, Mapping[str, str]]) -> tuple[Edits, tuple[Path, ...]]:
    """Write states into the system's state file; it is made where there is none.

    Args:
        system: the system's file or folder.
        done: name → keys of the entry (`state`, `cut`, `ohms`, `insulation`, `date`, `remark`,
            `for`); keys that are not named stay as they are. `for` goes with a state.

    Raises:
        CannotEdit: the file holds something that cannot be changed, or would have mistakes.
        CannotSave: the disk refuses, or others changed the file meanwhile.
    """
    try:
        with alone(system if system.is_dir() else system.parent):
            return _tick(system, done)
    except OSError as error:
        raise CannotSave(refusal(error)) from error


def _tick(system: Path, done: Mapping[str, Mapping[str, str]]) -> tuple[Edits, tuple[Path, ...]]:
    edits = Edits.of(system)
    home = edits.file_of("build")
    if home is None:
        home = built_beside(system)
        if not home.exists():
            edits = edits.beginning(home, HEAD.encode())
    for name, keys in done.items():
        _put(edits, name, keys, home)
    return edits, edits.write()


def fill(system: Path, names: Mapping[str, str]) -> tuple[Edits, tuple[Path, ...]]:
    """Write `planned` for everything that has no entry yet, so that it can be ticked by hand.

    Args:
        system: the system's file or folder.
        names: name → what a tick of it is given for.
    """
    known = Edits.of(system).get("build") or {}
    fresh = {name: text for name, text in names.items() if name not in known}
    return tick(system, {n: {"state": "planned", "for": text} for n, text in fresh.items()})


def _put(edits: Edits, name: str, keys: Mapping[str, str], home: Path) -> None:
    old = edits.get(("build", name))
    if old is not None and "state" not in keys:  # a reading or remark is no new look at the wire
        keys = {key: value for key, value in keys.items() if key != "for"}
    if old is None:
        value: Value = keys["state"] if set(keys) == {"state"} else dict(keys)
        edits.add(name, value, to="build", file=home)
    elif isinstance(old, str):
        merged = {"state": old, **keys}
        edits.set(("build", name), merged["state"] if set(merged) == {"state"} else merged)
    else:
        edits.set_all({("build", name, key): value for key, value in keys.items()})
