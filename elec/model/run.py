"""A run of contacts in one text: `radio.J1.3..7` means contacts 3, 4, 5, 6 and 7."""

import re

LONGEST = 200
"""No connector aboard has more contacts."""
_RUN = re.compile(r"(.+\.)([0-9]+)\.\.([0-9]+)")


class RunError(ValueError):
    """A run that cannot be meant."""


def contacts_of(text: str) -> tuple[str, ...]:
    """The ends that a text means: one, or those of a run.

    >>> contacts_of("radio.J1.9..11"), contacts_of("radio.J1.3"), contacts_of("probes")
    (('radio.J1.9', 'radio.J1.10', 'radio.J1.11'), ('radio.J1.3',), ('probes',))

    Raises:
        RunError: it runs backwards, or has one contact, or too many.
    """
    found = _RUN.fullmatch(text)
    if found is None:
        return (text,)
    before, first, last = found[1], int(found[2]), int(found[3])
    if last <= first:
        raise RunError(
            f'"{text}" runs from the smaller number to the greater; where wires cross, write one '
            "line for each"
        )
    if last - first >= LONGEST:
        raise RunError(f'"{text}" means {last - first + 1} contacts; {LONGEST} are the most')
    return tuple(f"{before}{number}" for number in range(first, last + 1))


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
