"""What single cells say: numbers with a comma, units of the head, names."""

import re
import unicodedata

from elec import units

_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?")
_COMMA = re.compile(r"([+-]?[0-9]*),([0-9]+)(\D.*)?")
DASHES = frozenset({"-", "–", "—", "--", "---", "−", "‐", "n/a", "na", "?"})
"""What a cell says in which nothing is known; it counts as empty."""
_LETTERS = {"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "æ": "ae", "ø": "oe", "å": "aa"}


def pointed(text: str) -> str:
    """A text whose number has a point.

    Raises:
        UnitError: the comma could part thousands.

    >>> pointed("3,5 A"), pointed("3.5"), pointed("12,25")
    ('3.5 A', '3.5', '12.25')
    """
    match = _COMMA.fullmatch(text)
    if match is None:
        return text
    whole, part, rest = match.group(1), match.group(2), match.group(3) or ""
    if len(part) == 3 and whole.lstrip("+-0"):
        raise units.UnitError(
            f'"{text}" may be {whole}.{part} or {whole}{part}; write it with a point, or no comma'
        )
    return f"{whole or '0'}.{part}{rest}"


def quantity(text: str, unit: str) -> str:
    """The text of a quantity as a system has it, with the unit of its head where it has none.

    Raises:
        UnitError: neither says a unit, or it is no number.

    >>> quantity("3,5", "A"), quantity("45 W", "A"), quantity(".5", "A")
    ('3.5 A', '45 W', '.5 A')
    """
    plain = pointed(text)
    if _NUMBER.fullmatch(plain):
        if not unit:
            raise NoUnit(text)
        return f"{plain} {unit}"
    return plain


class NoUnit(units.UnitError):
    """A bare number under a head that says no unit."""


def positive(text: str, dimensions: tuple[str, ...], wanted: str) -> str:
    """The text, once it is a quantity above zero of one of the dimensions.

    Raises:
        UnitError: it is not.
    """
    _, value = units.parse_any(text, dimensions, wanted)
    if value <= 0:
        raise units.UnitError(
            f'"{text}" is nothing; {wanted}, or leave the cell empty where it is not known'
        )
    return text


def named(text: str) -> str:
    """A valid name out of a text; empty where none can be made.

    >>> named("Landing Light (L)"), named("Höhenmesser"), named("№")
    ('landing-light-l', 'hoehenmesser', 'no')
    """
    lower = "".join(_LETTERS.get(c, c) for c in text.casefold())
    plain = unicodedata.normalize("NFKD", lower).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.casefold()).strip("-")
