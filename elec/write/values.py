"""How one value of a table prints: its unit, its digits, and `?` for what is not known."""

import math
import re
from collections.abc import Sequence
from functools import cache, lru_cache

from msgspec import Struct

from elec.pages.table import Cell, Column, Value
from elec.units import SUFFIXES, UNITS, UnitSystem

UNKNOWN = "?"
"""Stands wherever a number is not known; never 0, never blank."""


_CONTROL = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)

HARD_SPACE = "\u00a0"
_UNIT_NAMES = sorted({*UNITS, *(suffix.unit for suffix in SUFFIXES.values())} - {""}, key=len)


@cache
def _before_unit() -> re.Pattern[str]:
    """The space between a number and a unit; made when a page is written, not for every answer."""
    names = "|".join(map(re.escape, reversed(_UNIT_NAMES)))
    return re.compile(rf" (?<=\d )(?=(?:{names})(?!\w))")  # spaces are found at once


# Digits after the point in a column of that unit, where the table does not say. Our choice: fine
# enough to tell two standard sizes apart, coarse enough not to promise what was not measured.
_DIGITS = {
    "V": 2, "mV": 0, "A": 2, "W": 1, "Ω": 3, "mΩ": 1, "m": 2, "ft": 1, "mm": 1, "mm²": 2, "°C": 0,
    "K": 0, "s": 1, "min": 0, "h": 1, "Ah": 1, "Wh": 0, "%": 0, "rpm": 0, "kg": 2, "lb": 2, "dB": 2,
    "kg·m": 2, "lb·in": 0, "µT": 1, "N": 0, "Ω/km": 2, "g/m": 1,
}  # fmt: skip
_OTHER_DIGITS = 3
_MOST_DIGITS = 9


class Scale(Struct, frozen=True, kw_only=True):
    """The printed unit of a column, and what its values are multiplied by."""

    unit: str
    factor: float = 1.0


@cache
def symbol(unit: str) -> str:
    """The printed symbol of a unit that may be given by its suffix or on a plain keyboard.

    >>> symbol("mohm"), symbol("Ω"), symbol("ohm/m"), symbol("degC")
    ('mΩ', 'Ω', 'Ω/m', '°C')
    """
    known = SUFFIXES.get(unit)
    if known:
        return known.unit
    for plain, sign in (("ohm", "Ω"), ("degC", "°C"), ("mm2", "mm²"), ("uT", "µT")):
        unit = re.sub(rf"(?<![A-Za-z]){plain}\b|(?<=m){plain}\b", sign, unit)
    return unit


def scale(column: Column, system: UnitSystem) -> Scale:
    """The unit that a column prints in.

    >>> scale(Column(key="length_m", head="Length", unit="m"), "feet").unit
    'ft'
    """
    found = _IN_FEET.get(column.unit) if system == "feet" else None
    return found or _plain(column.unit)


@cache
def _plain(unit: str) -> Scale:
    if unit in {"fraction", "%"}:
        return Scale(unit="%", factor=100.0 if unit == "fraction" else 1.0)
    return Scale(unit=symbol(unit))


_FOOT_M, _INCH_M, _POUND_KG = UNITS["ft"].factor, UNITS["in"].factor, UNITS["lb"].factor
_IN_FEET = {
    "m": Scale(unit="ft", factor=1 / _FOOT_M),
    "kg": Scale(unit="lb", factor=1 / _POUND_KG),
    "kg_m": Scale(unit="lb·in", factor=1 / (_POUND_KG * _INCH_M)),
}
"""What prints otherwise for a builder who counts in feet."""


def bare(value: Value) -> str | float | int | None:
    """The value itself, without what a cell adds to it."""
    return value.value if isinstance(value, Cell) else value


def clean(text: str) -> str:
    """Text without what steers a terminal, reverses reading or is no character at all."""
    return text if text.isprintable() else _CONTROL.sub("\ufffd", text)


def one_line(text: str) -> str:
    """Clean text on one line."""
    return clean(" ".join(text.split()))


def printed(value: Value, column: Column, system: UnitSystem) -> str:
    """A value as it prints, without its unit.

    >>> current = Column(key="current_a", head="Current", unit="a")
    >>> printed(3.2, current, "feet"), printed(None, current, "feet"), printed("", current, "feet")
    ('3.20', '?', '')
    >>> printed(0.0004, current, "feet")
    '0.0004'
    """
    return all_printed([value], column, system)[0]


def all_printed(values: Sequence[Value], column: Column, system: UnitSystem) -> tuple[str, ...]:
    """The values of a column as they print, its unit and digits looked up once.

    >>> all_printed([3.2, None, "", 4], Column(key="current_a", head="Current", unit="a"), "feet")
    ('3.20', '?', '', '4.00')
    """
    how = scale(column, system)
    digits = column.digits if column.digits is not None else _digits(how.unit, column)
    counts = not column.unit
    return tuple([
        clean(value)
        if isinstance(value, str)
        else _printed(value, how.factor, digits, counts=counts)
        for value in values
    ])  # fmt: skip


def _printed(value: Value, factor: float, digits: int, *, counts: bool) -> str:
    """A value as it prints; `counts` says that whole numbers are."""
    if isinstance(value, Cell):
        if value.text is not None:
            return clean(value.text)
        value = value.value
    if isinstance(value, str):
        return clean(value)
    if value is None:
        return UNKNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int) and counts:
        return str(value)
    return fixed(value * factor, digits)


def glued(text: str) -> str:
    """Text whose numbers keep their units on the same line, by a hard space.

    >>> glued("it opens within 1 h at 14 V").count(HARD_SPACE)
    2
    """
    return _before_unit().sub(HARD_SPACE, text)


def fixed(value: float, digits: int) -> str:
    """A number with that many decimals, and more where it would otherwise print as nothing.

    >>> fixed(12.345, 1), fixed(0.0312, 1), fixed(-0.0, 2), fixed(1e-17, 2), fixed(math.nan, 2)
    ('12.3', '0.03', '0.00', '1e-17', '?')
    """
    if math.isnan(value):
        return UNKNOWN
    if math.isinf(value):
        return "∞" if value > 0 else "-∞"
    if value and float(f"{value:.{digits}f}") == 0:
        digits = -math.floor(math.log10(abs(value)))
        if digits > _MOST_DIGITS:
            return f"{value:.0e}"
    text = f"{value:.{digits}f}"
    return text if text.strip("-0.") else text.removeprefix("-")


DATA_DIGITS = 9
"""Of numbers in JSON, CSV and XLSX: more than anybody measures, and so few that the order in which
a release of Python or numpy adds up, some parts in 10^16, does not change the last of them."""
USUAL_DIGITS = 4
"""Significant digits of a number in a hand calculation, where no more are needed to follow it."""


@lru_cache(maxsize=1 << 16)
def significant(value: float, digits: int = USUAL_DIGITS) -> str:
    """A number of a hand calculation: significant digits, no integer digit ever rounded away.

    >>> significant(3.21428), significant(12345.6), significant(0.02), significant(14.0)
    ('3.214', '12346', '0.02', '14')
    >>> significant(6.626e-9), significant(3.21428, 6)
    ('6.626e-9', '3.21428')
    """
    if not math.isfinite(value):
        return fixed(value, 0)
    if value == 0:
        return "0"
    power = math.floor(math.log10(abs(value)))
    if power < -5 or power > 8:
        mantissa, _, exponent = f"{value:.{digits - 1}e}".partition("e")
        return f"{mantissa.rstrip('0').rstrip('.')}e{int(exponent)}"
    text = f"{value:.{max(0, digits - 1 - power)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def is_numeric(column: Column, values: Sequence[Value]) -> bool:
    """Whether a column holds numbers, so that they are aligned at the point."""
    if column.unit and column.unit != "awg":
        return True
    known = False
    for plain in map(bare, values):
        if plain is None or plain == "":
            continue
        if not isinstance(plain, int | float):
            return False
        known = True
    return known


def _digits(unit: str, column: Column) -> int:
    if not column.unit:
        return _OTHER_DIGITS
    return _DIGITS.get(unit, _OTHER_DIGITS)
