"""A run of contacts in one text: `radio.J1.3..7` means contacts 3, 4, 5, 6 and 7.

`root.A..D` means four contacts by their letters, `radio.J1.A1..A4` those of row A.
"""

import re

LONGEST = 200
"""No connector aboard has more contacts."""
LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"
"""Contacts by letter, as round connectors have them: without I, O and Q (MIL-DTL-26482)."""
_RUN = re.compile(r"(.+\.[A-Za-z]*?)([0-9]+)\.\.([A-Za-z]*)([0-9]+)")
_LETTERED = re.compile(r"(.+\.)([A-Za-z])\.\.([A-Za-z])")


class RunError(ValueError):
    """A run that cannot be meant."""


def contacts_of(text: str) -> tuple[str, ...]:
    """The ends that a text means: one, or those of a run.

    >>> contacts_of("radio.J1.9..11"), contacts_of("radio.J1.3"), contacts_of("probes")
    (('radio.J1.9', 'radio.J1.10', 'radio.J1.11'), ('radio.J1.3',), ('probes',))
    >>> contacts_of("root.G..K"), contacts_of("root.A1..A3")
    (('root.G', 'root.H', 'root.J', 'root.K'), ('root.A1', 'root.A2', 'root.A3'))

    Raises:
        RunError: it runs backwards, or has one contact, or too many.
    """
    lettered = _LETTERED.fullmatch(text)
    if lettered is not None:
        return tuple(f"{lettered[1]}{letter}" for letter in _letters(text, *lettered.groups()[1:]))
    found = _RUN.fullmatch(text)
    if found is None:
        return (text,)
    before, first, last = found[1], int(found[2]), int(found[4])
    row = before.rpartition(".")[2]
    if found[3] not in ("", row):
        raise RunError(
            f'"{text}" begins in row {row or "without a letter"} and ends in row {found[3]}; write '
            "one run for each"
        )
    if last <= first:
        raise RunError(
            f'"{text}" runs from the smaller number to the greater; where wires cross, write one '
            "line for each"
        )
    if last - first >= LONGEST:
        raise RunError(f'"{text}" means {last - first + 1} contacts; {LONGEST} are the most')
    return tuple(f"{before}{number}" for number in range(first, last + 1))


def _letters(text: str, first: str, last: str) -> str:
    """The letters of a run, both ends with it."""
    for letter in (first, last):
        if letter not in LETTERS:
            raise RunError(
                f'"{text}": a run of letters is of capitals without I, O and Q; write that contact '
                "in a line of its own"
            )
    start, stop = LETTERS.index(first), LETTERS.index(last)
    if stop <= start:
        raise RunError(
            f'"{text}" runs from the earlier letter to the later; where wires cross, write one '
            "line for each"
        )
    return LETTERS[start : stop + 1]


def left_out(text: str) -> tuple[str, ...]:
    """Contacts that a run of letters leaves out, for round connectors have none of that name.

    >>> left_out("root.G..K"), left_out("root.A..C"), left_out("root.3..7")
    (('root.I',), (), ())
    """
    found = _LETTERED.fullmatch(text)
    if found is None:
        return ()
    return tuple(f"{found[1]}{one}" for one in "IOQ" if found[2] < one < found[3])


def pairs_of(start: str, stop: str) -> tuple[tuple[str, str], ...]:
    """The two ends of every wire between two texts; a single end serves all wires of the other.

    >>> pairs_of("a.J1.3..4", "b.J2.1..2"), pairs_of("a.J1.3..4", "probes")
    ((('a.J1.3', 'b.J2.1'), ('a.J1.4', 'b.J2.2')), (('a.J1.3', 'probes'), ('a.J1.4', 'probes')))

    Raises:
        RunError: the runs at the two ends are not of one length, or one of them cannot be meant.
    """
    a, b = contacts_of(start), contacts_of(stop)
    if len(a) == 1 and "." not in start:
        a *= len(b)
    if len(b) == 1 and "." not in stop:
        b *= len(a)
    if len(a) != len(b):
        raise RunError(
            f'"{start}" means {_count(a)} and "{stop}" {_count(b)}; both ends of a run have as many'
        )
    return tuple(zip(a, b, strict=True))


def _count(contacts: tuple[str, ...]) -> str:
    return "1 contact" if len(contacts) == 1 else f"{len(contacts)} contacts"


_TYPE = re.compile(r"\bthermocouple ([KJET])\b")


def legs_of(cable_type: str) -> str | None:
    """The letter in a type such as `2-core AWG 20 thermocouple K`; None where there is none."""
    found = _TYPE.search(cable_type)
    return found[1] if found else None


def leg_wire(letter: str | None, ordinal: int) -> str | None:
    """The wire type of one leg: of a pair the even ones are positive, the odd ones negative.

    >>> leg_wire("K", 0), leg_wire("K", 1), leg_wire("J-", 0), leg_wire(None, 0)
    ('thermocouple-k-positive', 'thermocouple-k-negative', 'thermocouple-j-negative', None)
    """
    if letter is None:
        return None
    sign = letter[1:] or "+-"[ordinal % 2]
    return f"thermocouple-{letter[0].lower()}-{'positive' if sign == '+' else 'negative'}"
