"""Contacts of a connector from a list, into the builder's file."""

import re
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path

from elec.read.edit import Edits
from elec.read.lists.cells import DASHES
from elec.read.lists.grid import ListRefused, shown
from elec.read.lists.heads import Kind, listed

KINDS: Mapping[str, Kind] = {
    "contact": Kind(
        spellings=("contact", "pin", "pin no", "pin number", "no", "terminal", "position")
    ),
    "signal": Kind(spellings=("signal", "name", "function", "signal name", "carries", "wire")),
}
_CONTACT = re.compile(r"[A-Za-z0-9]+")


def connector_path(edits: Edits, name: str) -> tuple[str, ...]:
    """Where a connector's contacts stand: of radio.J1, or of a plug between harnesses.

    Raises:
        ListRefused: there is none of the name.
    """
    known: dict[str, tuple[str, ...]] = {}
    for box, entry in _entries(edits.get("equipment")).items():
        for one in _entries(_entries(entry).get("connectors")):
            known[f"{box}.{one}"] = ("equipment", str(box), "connectors", str(one))
    for plug in _entries(edits.get("plugs")):
        known[str(plug)] = ("plugs", str(plug))
    if name in known:
        return known[name]
    near = get_close_matches(name, known, 1, 0.6)
    more = f"; did you mean {near[0]}?" if near else f"; there are: {', '.join(known) or 'none'}"
    raise ListRefused([f'there is no connector "{name}" that is written out in the file{more}'])


def _entries(found: object) -> Mapping[str, object]:
    return found if isinstance(found, Mapping) else {}


def add_pins(
    edits: Edits, name: str, path: Path, *, asked: Sequence[str] = (), sheet: str | None = None
) -> tuple[str, ...]:
    """Put the contacts of a list into the files; what is there already stays.

    Returns:
        What the builder should know about it.

    Raises:
        ListRefused: a cell is unclear, or the file says otherwise.
        CannotEdit: the file cannot be changed so.
    """
    home = connector_path(edits, name)
    table = listed(path, KINDS, ("contact", "signal"), asked=asked, sheet=sheet)
    there = _entries(edits.get((*home, "pins")))
    mistakes: list[str] = []
    notes = [f"Read: {table.read_as()}."]
    if table.unread:
        notes.append(f"Not read: {', '.join(table.unread)}.")
    wanted: dict[str, tuple[str, int]] = {}
    empty: list[str] = []
    for row in table.rows():
        contact, signal = table.text(row, "contact"), table.text(row, "signal")
        signal = "" if signal.casefold() in DASHES else signal
        if not contact and not signal:
            continue
        if unfit := table.unfit(row):
            mistakes += unfit
        elif not contact:
            mistakes.append(f"{table.at(row, 'contact')}: {shown(signal)} is on no contact")
        elif not _CONTACT.fullmatch(contact):
            mistakes.append(
                f"{table.at(row, 'contact')}: {shown(contact)} is not one contact; "
                "write a row for each, such as 7 or B"
            )
        elif contact in wanted:
            first = wanted[contact][1] + 1
            mistakes.append(
                f"{table.at(row, 'contact')}: contact {contact} stands in row {first}, too"
            )
        elif not signal:
            empty.append(contact)
        else:
            wanted[contact] = (signal, row)
            mistakes += _other(table.at(row, "signal"), there, contact, signal)
    if empty:
        notes.append(f"Without a signal, left out: contact {', '.join(empty)}.")
    if not wanted and not mistakes:
        mistakes.append(f"{table.grid.at(table.first - 1)}: no contact stands below the heads")
    if mistakes:
        raise ListRefused(mistakes)
    fresh = {contact: signal for contact, (signal, _) in wanted.items() if contact not in there}
    if not {"power", "ground"} & {signal for signal, _ in wanted.values()}:
        notes.append("No contact carries power or ground; circuits find theirs by these words.")
    if "pins" not in _entries(edits.get(home)):
        edits.set((*home, "pins"), fresh, after=("contacts", "type"))
    else:
        edits.set_all({(*home, "pins", contact): signal for contact, signal in fresh.items()})
    return tuple(notes)


def _other(at: str, there: Mapping[str, object], contact: str, signal: str) -> list[str]:
    """Where the file says that a contact carries something else."""
    old = there.get(contact)
    said = _entries(old).get("signal", old)
    if contact not in there or said == signal:
        return []
    return [f"{at}: contact {contact} carries {said} in the file, and {signal} here; which is it?"]
