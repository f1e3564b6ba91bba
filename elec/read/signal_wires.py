"""What a signal wire says of itself: its ends, runs of contacts, a splice, thermocouple wire.

Works on the plain data beside `elec.read.names`.
"""

import re
from collections.abc import Mapping
from typing import Any

from elec.model.run import RunError, contacts_of, left_out, pairs_of
from elec.read.draft import Draft, Path
from elec.read.ends import Ends

DEVICES = ("fuse", "link", "breaker", "limiter")
"""What a wire from a bus may be written with; of these it takes a fuse."""
_MEANT = re.compile(r"(.+\.)([0-9]+|[A-Z])\s*(?:-+|–|—|\.{3,}|…|\bto\b|/)\s*([0-9]+|[A-Z])")
"""A run in another notation than `3..7`."""


def check_wire(draft: Draft, ends: Ends, path: Path, entry: Mapping[str, Any]) -> None:
    """Note every end that does not exist, and what cannot be meant together."""
    start, stop = entry.get("from"), entry.get("to")
    if _swapped(draft, ends, path, entry):
        return
    if not _ends(draft, ends, path, start, stop, fused=any(key in entry for key in DEVICES)):
        return
    several = stop if isinstance(stop, list) else []
    if len(several) > 1 and "splice" not in entry:
        draft.wrong(
            (*path, "to"),
            "one wire to several ends needs splice: and the place where it branches",
            key=True,
        )
    elif len(several) < 2 and "splice" in entry:
        draft.wrong(
            (*path, "splice"), "a splice joins several ends; list them under to: [a, b]", key=True
        )
    if isinstance(start, str) and start == stop:
        draft.wrong((*path, "to"), f'both ends are "{stop}"; a wire leads to another one')
    elif several and len({str(start), *map(str, several)}) <= len(several):
        draft.wrong((*path, "to"), "each end is named once")
    _thermocouple(draft, path, entry, start, stop)


def _swapped(draft: Draft, ends: Ends, path: Path, entry: Mapping[str, Any]) -> bool:
    """Whether a wire with a device was written from its load to what is live; said once."""
    key = next((key for key in DEVICES if key in entry), "")
    start, stop = (end if isinstance(end, str) else "" for end in map(entry.get, ("from", "to")))
    behind = start.partition(".")[0]
    if not key or stop.partition(".")[0] not in ends.live or behind not in ends.dead:
        return False
    draft.wrong(
        (*path, "to"),
        f'"{stop}" is live, and the {"fusible link" if key == "link" else key} sits at the end '
        f"that is: turn it round, from: {stop}, to: {start}",
    )
    return True


def _ends(
    draft: Draft, ends: Ends, path: Path, start: Any, stop: Any, *, fused: bool = False
) -> bool:
    """Whether every end can be read; each contact of a run is looked up."""
    listed = isinstance(stop, list)
    texts = [((*path, "from"), start)]
    texts += (
        [((*path, "to", k), end) for k, end in enumerate(stop)]
        if listed
        else [((*path, "to"), stop)]
    )
    good = True
    for below, text in texts:
        if not isinstance(text, str):
            continue
        meant = _MEANT.fullmatch(text)
        if meant is not None:
            draft.wrong(below, f"a run of contacts is written {meant[1]}{meant[2]}..{meant[3]}")
            good = False
            continue
        try:
            contacts = contacts_of(text)
        except RunError as error:
            draft.wrong(below, str(error))
            good = False
            continue
        if listed and len(contacts) > 1:
            draft.wrong(below, "a splice joins single contacts, not a run; write one line for each")
            good = False
            continue
        there = next((one for one in left_out(text) if _known(draft, one)), None)
        if there is not None:
            draft.wrong(
                below,
                f"a run of letters leaves out I, O and Q, but there is a contact {there}; write "
                "one run before it and one behind it",
            )
            good = False
            continue
        before = len(draft.mistakes)
        for contact in contacts:
            if len(draft.mistakes) == before:  # one message a run
                ends.any_end(below, contact, fused=fused and below[-1] == "from")
    if good and isinstance(start, str) and isinstance(stop, str):
        try:
            pairs_of(start, stop)
        except RunError as error:
            draft.wrong((*path, "to"), str(error))
            return False
    return good


def _known(draft: Draft, contact: str) -> bool:
    """Whether a connector lists a contact among its pins."""
    owner, _, rest = contact.partition(".")
    section = "equipment" if "." in rest else "plugs"
    found: Any = draft.data.get(section)
    path = (owner, "connectors", *rest.split(".")) if "." in rest else (owner, rest)
    for key in (*path[:-1], "pins", path[-1]):
        if not isinstance(found, dict) or key not in found:
            return False
        found = found[key]
    return True


def _thermocouple(
    draft: Draft, path: Path, entry: Mapping[str, Any], start: Any, stop: Any
) -> None:
    """The letter alone means pairs; a letter with a sign one leg."""
    letter = entry.get("thermocouple")
    if not isinstance(letter, str) or not isinstance(start, str) or not isinstance(stop, str):
        return
    if "wire" in entry:
        draft.wrong(
            (*path, "wire"), "thermocouple: says which wire it is; leave out wire:", key=True
        )
    legs = len(pairs_of(start, stop))
    if len(letter) == 1 and legs % 2:
        one = "one wire is one leg" if legs == 1 else f"{legs} wires are no whole pairs"
        draft.wrong(
            (*path, "thermocouple"),
            f"{one}; write {letter}+ or {letter}-, or a run of "
            "contacts in pairs, the positive first",
        )
