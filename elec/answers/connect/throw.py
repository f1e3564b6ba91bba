"""What a switch on a panel does in each position of its lever, in words."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from elec.answers.connect.panel import Positioned
from elec.study import Study
from elec.wiring.chains import Chain, chains

HOW = "as it is fitted"
"""Of a switch of several positions whose lever the file does not describe (`lever`)."""
OF_THREE = 3
"""Positions of a lever that is up, in the middle or down."""


class Throw(Struct, frozen=True, kw_only=True):
    """What a switch does in each of its positions, in words."""

    up: str
    down: str
    middle: str = ""
    """Of a switch of three positions."""
    lever: tuple[str, ...] = ()
    """The words of three positions from the top, for the panel; empty strings: not known which."""


def throw(study: Study, subject: Positioned) -> Throw:
    """What a switch does up (on, pressed) and down."""
    found = [chains(study).named(name) for name in subject.chains]
    titles = list(dict.fromkeys(chain.title for chain in found))
    entry = study.document.switches.get(subject.name)
    if entry is not None and len(entry.lever) == OF_THREE:
        at = {word: _at(study, subject, found, word) for word in entry.lever}
        up, middle, down = (_told(word, at) for word in entry.lever)
        return Throw(up=up, middle=middle, down=down, lever=entry.lever)
    if subject.kind == "changeover" and len(titles) > 1:
        return Throw(up=titles[0], down=", ".join(titles[1:]))
    if entry is not None and len(entry.positions) > 2:
        said = f"{len(entry.positions)} positions: {', '.join(entry.positions)}"
        three = len(entry.positions) == OF_THREE
        return Throw(up=said, down=HOW, lever=("", "", "") if three else ())
    on = ", ".join(titles)
    beside = _in_series(study, subject, found)
    if beside and subject.kind != "button":
        return Throw(up=f"arms {', '.join(beside)}", down="off")
    if beside:
        return Throw(up=f"pressed: {on}, with {', '.join(beside)} up", down="off")
    return Throw(up=f"pressed: {on}" if subject.kind == "button" else f"on: {on}", down="off")


def _in_series(study: Study, subject: Positioned, found: Sequence[Chain]) -> list[str]:
    """The switches that must be closed beside this one: a lever's buttons, a button's levers.

    Two levers in one line do not arm each other.
    """
    own = study.document.switches.get(subject.name)
    names: dict[str, None] = {}
    for row in (row for chain in found for row in chain.rows):
        here = {part.name for part in row.parts if part.kind == "switch"}
        for name in sorted(here - {subject.name}) if subject.name in here else ():
            other = study.document.switches.get(name)
            if own is None or other is None or own.coil is not None or other.coil is not None:
                continue
            if (own.kind == "button") != (other.kind == "button") and not other.poles:
                names[study.system.title("switches", name)] = None
    return list(names)


def _told(word: str, at: Mapping[str, str]) -> str:
    """What a position does, with its word as it is engraved.

    A motor that runs both ways is the same circuit in two positions: the word says which way.

    >>> _told("nose up", {"nose up": "trim", "off": "", "nose down": "trim"})
    'trim NOSE UP'
    >>> _told("nav", {"nav": "nav light", "off": "", "both": "nav light, strobe"})
    'NAV: nav light'
    """
    closed = at[word]
    if not closed:
        return word
    both = sum(other == closed for other in at.values()) > 1
    return f"{closed} {word.upper()}" if both else f"{word.upper()}: {closed}"


def _at(study: Study, subject: Positioned, found: Sequence[Chain], word: str) -> str:
    """What is closed in one position; empty where nothing is."""
    entry = study.document.switches[subject.name]
    if subject.kind == "changeover" and word != entry.positions[0]:
        way = entry.positions.index(word) - 1
        closed = [found[way].title] if way < len(found) else []
    else:
        closed = [
            chain.title for chain in found if word in _closed(study, subject.name, chain.name)
        ]
    return ", ".join(dict.fromkeys(closed))


def _closed(study: Study, switch: str, chain: str) -> tuple[str, ...]:
    """The positions in which the pole of a circuit is closed."""
    entry = study.document.switches[switch]
    pole = entry.poles.get(chain)
    return (pole.closed if pole is not None else ()) or entry.positions[1:]


__all__ = ["HOW", "OF_THREE", "Throw", "throw"]
