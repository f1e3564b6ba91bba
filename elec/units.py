"""The door for quantities: text with a unit in, plain floats out, and back again for print.

In: what the builder wrote, such as `2.5 A`, `6 ft 3 1/2 in`, `AWG 20`. Out: floats in V, A, W, Ω,
m, °C, s, Ah, parts of one, rpm, Hz, kg, dB. The grammar is our own: a general parser of
expressions reads `1,5 A` as 15 A and `5 a` as five years. A unit name is looked up whole and
never guessed at.
"""

import math
import re
from collections.abc import Collection, Mapping
from datetime import date
from difflib import get_close_matches
from typing import Any, Literal

from msgspec import Struct

UnitSystem = Literal["feet", "metric"]


class UnitError(ValueError):
    """A text that is no quantity of the expected dimension; the message says what to write."""


class Suffix(Struct, frozen=True, kw_only=True):
    """What the last part of a name means: `drop_v` is in volts."""

    unit: str
    dimension: str


class Unit(Struct, frozen=True, kw_only=True):
    """One accepted spelling: value in base unit = number × factor + offset."""

    dimension: str
    factor: float = 1.0
    offset: float = 0.0


class Dimension(Struct, frozen=True, kw_only=True):
    """How a dimension is spoken of, and which values make sense."""

    noun: str
    base: str
    examples: tuple[str, ...]
    least: float | None = 0.0
    above: bool = False
    """True where the least value itself is impossible too."""
    most: float | None = None


_ZERO_K_DEGC = -273.15

DIMENSIONS: Mapping[str, Dimension] = {
    "voltage": Dimension(noun="a voltage", base="V", examples=("14.2 V", "80 mV"), above=True),
    "current": Dimension(noun="a current", base="A", examples=("2.5 A", "400 mA")),
    "power": Dimension(noun="a power", base="W", examples=("35 W", "0.5 hp")),
    "resistance": Dimension(
        noun="a resistance", base="Ω", examples=("9 mΩ", "9 mohm", "5 ohm"), above=True
    ),
    "length": Dimension(
        noun="a length",
        base="m",
        examples=("14 ft", "6 ft 3 in", "1.8 m", "16 mm"),
        above=True,
    ),
    "stub": Dimension(
        noun="a length, 0 in where there is none", base="m", examples=("4 in", "10 cm", "0 in")
    ),
    "coordinate": Dimension(
        noun="a distance from the datum",
        base="m",
        examples=("62 in", "-30 in", "1.8 m"),
        least=None,
    ),
    "temperature": Dimension(
        noun="a temperature", base="°C", examples=("50 °C", "50 degC", "-20 °C"), least=_ZERO_K_DEGC
    ),
    "time": Dimension(
        noun="a time", base="s", examples=("15 s", "10 min", "2 h", "1 h 30 min"), above=True
    ),
    "charge": Dimension(noun="a charge", base="Ah", examples=("18 Ah",), above=True),
    "fraction": Dimension(noun="a share", base="%", examples=("80 %",), most=1.0),
    "speed": Dimension(noun="an engine speed", base="rpm", examples=("1200 rpm",)),
    "frequency": Dimension(
        noun="a frequency", base="Hz", examples=("121.5 MHz", "400 Hz"), above=True
    ),
    "mass": Dimension(noun="a mass", base="kg", examples=("6.2 kg", "13 lb"), above=True),
    "level": Dimension(noun="a level", base="dB", examples=("1.5 dB",), least=None),
    "torque": Dimension(noun="a torque", base="N m", examples=("4 N m", "35 in lbf"), above=True),
    "gauge": Dimension(noun="a wire gauge", base="AWG", examples=("AWG 20", "AWG 2/0")),
    "energy": Dimension(noun="an energy", base="Wh", examples=("220 Wh",)),
    "area": Dimension(noun="an area", base="mm²", examples=("0.6 mm²",)),
    "inductance": Dimension(
        noun="an inductance", base="H", examples=("60 mH", "0.2 H"), above=True
    ),
    "magnetic flux density": Dimension(
        noun="a magnetic field", base="T", examples=("19 µT", "19 uT", "190 mG"), above=True
    ),
    "resistance per length": Dimension(
        noun="a resistance per length",
        base="Ω/m",
        examples=("1.66 mΩ/m", "1.66 ohm/km", "0.505 ohm/1000 ft"),
        above=True,
    ),
    "mass per length": Dimension(
        noun="a mass per length", base="kg/m", examples=("95 g/m", "64 lb/1000 ft"), above=True
    ),
}

SUFFIXES: Mapping[str, Suffix] = {
    "v": Suffix(unit="V", dimension="voltage"),
    "mv": Suffix(unit="mV", dimension="voltage"),
    "a": Suffix(unit="A", dimension="current"),
    "w": Suffix(unit="W", dimension="power"),
    "ohm": Suffix(unit="Ω", dimension="resistance"),
    "mohm": Suffix(unit="mΩ", dimension="resistance"),
    "ohm_per_m": Suffix(unit="Ω/m", dimension="resistance per length"),
    "ohm_per_km": Suffix(unit="Ω/km", dimension="resistance per length"),
    "m": Suffix(unit="m", dimension="length"),
    "mm": Suffix(unit="mm", dimension="length"),
    "mm2": Suffix(unit="mm²", dimension="area"),
    "degc": Suffix(unit="°C", dimension="temperature"),
    "k": Suffix(unit="K", dimension="temperature difference"),
    "s": Suffix(unit="s", dimension="time"),
    "min": Suffix(unit="min", dimension="time"),
    "h": Suffix(unit="h", dimension="time"),
    "ah": Suffix(unit="Ah", dimension="charge"),
    "wh": Suffix(unit="Wh", dimension="energy"),
    "j": Suffix(unit="J", dimension="energy"),
    "a2s": Suffix(unit="A²s", dimension="let-through"),
    "fraction": Suffix(unit="", dimension="fraction"),
    "percent": Suffix(unit="%", dimension="fraction"),
    "rpm": Suffix(unit="rpm", dimension="speed"),
    "hz": Suffix(unit="Hz", dimension="frequency"),
    "kg": Suffix(unit="kg", dimension="mass"),
    "g": Suffix(unit="g", dimension="mass"),
    "kg_per_m": Suffix(unit="kg/m", dimension="mass per length"),
    "g_per_m": Suffix(unit="g/m", dimension="mass per length"),
    "kg_m": Suffix(unit="kg·m", dimension="moment"),
    "db": Suffix(unit="dB", dimension="level"),
    "db_per_m": Suffix(unit="dB/m", dimension="level per length"),
    "t": Suffix(unit="T", dimension="magnetic flux density"),
    "ut": Suffix(unit="µT", dimension="magnetic flux density"),
    "henry": Suffix(unit="H", dimension="inductance"),
    "n": Suffix(unit="N", dimension="force"),
    "n_m": Suffix(unit="N m", dimension="torque"),
    "awg": Suffix(unit="AWG", dimension="gauge"),
}
"""Last part of a name → its unit. The one table for fields, columns and report heads."""

_FOOT_M = 0.3048  # exact, international foot of 1959
_INCH_M = 0.0254
_POUND_KG = 0.45359237  # exact, international pound of 1959
_POUND_N = _POUND_KG * 9.80665  # exact, pound-force
_HORSEPOWER_W = 550 * _FOOT_M * _POUND_KG * 9.80665  # 550 ft·lbf/s


def _spellings() -> dict[str, Unit]:
    table: dict[str, Unit] = {}

    def add(dimension: str, factor: float, names: str, offset: float = 0.0) -> None:
        for name in names.split():
            table[name] = Unit(dimension=dimension, factor=factor, offset=offset)

    add("voltage", 1.0, "V volt volts VDC Vdc")
    add("voltage", 1e-3, "mV millivolt millivolts")
    add("voltage", 1e3, "kV")
    add("current", 1.0, "A amp amps ampere amperes")
    add("current", 1e-3, "mA milliamp milliamps")
    add("current", 1e-6, "µA uA microamp microamps")
    add("current", 1e3, "kA")
    add("power", 1.0, "W watt watts")
    add("power", 1e-3, "mW milliwatt milliwatts")
    add("power", 1e3, "kW kilowatt kilowatts")
    add("power", _HORSEPOWER_W, "hp horsepower")
    add("resistance", 1.0, "Ω ohm ohms")
    add("resistance", 1e-3, "mΩ mohm mohms milliohm milliohms")
    add("resistance", 1e-6, "µΩ uohm microohm microohms")
    add("resistance", 1e3, "kΩ kohm kohms kilohm kilohms")
    add("resistance", 1e6, "MΩ megohm megohms")
    add("length", 1.0, "m metre metres meter meters")
    add("length", 1e-2, "cm centimetre centimetres centimeter centimeters")
    add("length", 1e-3, "mm millimetre millimetres millimeter millimeters")
    add("length", _FOOT_M, "ft foot feet '")
    add("length", _INCH_M, 'in inch inches "')
    add("length", 3 * _FOOT_M, "yd yard yards")
    add("temperature", 1.0, "°C degC degc celsius")
    add("temperature", 5 / 9, "°F degF degf fahrenheit", offset=-32 * 5 / 9)
    add("temperature", 1.0, "K kelvin", offset=_ZERO_K_DEGC)
    add("time", 1.0, "s sec secs second seconds")
    add("time", 1e-3, "ms millisecond milliseconds")
    add("time", 60.0, "min mins minute minutes")
    add("time", 3600.0, "h hr hrs hour hours")
    add("charge", 1.0, "Ah amp-hour amp-hours")
    add("charge", 1e-3, "mAh")
    add("fraction", 0.01, "% percent")
    add("speed", 1.0, "rpm RPM r/min")
    add("frequency", 1.0, "Hz hertz")
    add("frequency", 1e3, "kHz")
    add("frequency", 1e6, "MHz")
    add("frequency", 1e9, "GHz")
    add("mass", 1.0, "kg kilogram kilograms")
    add("mass", 1e-3, "g gram grams")
    add("mass", _POUND_KG, "lb lbs pound pounds")
    add("mass", _POUND_KG / 16, "oz ounce ounces")
    add("level", 1.0, "dB")
    add("torque", 1.0, "N·m Nm")
    add("torque", _POUND_N * _INCH_M, "lbf·in in·lbf")
    add("torque", _POUND_N * _FOOT_M, "lbf·ft ft·lbf")
    add("energy", 1.0, "Wh")
    add("energy", 1e3, "kWh")
    add("area", 1.0, "mm² mm2")
    add("inductance", 1.0, "H henry")
    add("inductance", 1e-3, "mH millihenry")
    add("inductance", 1e-6, "µH uH microhenry")
    add("magnetic flux density", 1.0, "T tesla")
    add("magnetic flux density", 1e-6, "µT uT microtesla")
    add("magnetic flux density", 1e-9, "nT nanotesla")
    add("magnetic flux density", 1e-7, "mG milligauss")
    add("resistance per length", 1.0, "Ω/m ohm/m")
    add("resistance per length", 1e-3, "mΩ/m mohm/m Ω/km ohm/km")
    add("resistance per length", 1 / (1000 * _FOOT_M), "Ω/kft ohm/kft mΩ/ft mohm/ft")
    add("mass per length", 1.0, "kg/m")
    add("mass per length", 1e-3, "g/m kg/km")
    add("mass per length", _POUND_KG / (1000 * _FOOT_M), "lb/kft")
    for spaced, plain in (
        ("Ω/1000 ft", "Ω/kft"), ("ohm/1000 ft", "Ω/kft"), ("lb/1000 ft", "lb/kft"),
        ("N m", "Nm"), ("lbf in", "lbf·in"), ("in lbf", "lbf·in"), ("lbf ft", "lbf·ft"),
        ("ft lbf", "lbf·ft"),
    ):  # fmt: skip
        table[spaced] = table[plain]
    return table


UNITS: Mapping[str, Unit] = _spellings()
"""Accepted spelling of a unit → dimension, factor and offset to the base unit."""

# What a keyboard, a phone or a word processor puts in place of the plain character.
_LOOK_ALIKES = str.maketrans(
    {
        "\u2126": "Ω",  # ohm sign → Greek capital omega
        "\u03bc": "µ",  # Greek mu → micro sign
        "\u2032": "'",
        "\u2019": "'",
        "\u2018": "'",
        "\u2033": '"',
        "\u201d": '"',
        "\u201c": '"',
        "\u00a0": " ",
        "\u2007": " ",
        "\u2009": " ",
        "\u202f": " ",
        "\u2212": "-",  # minus sign
        "\u2010": "-",
        "\u2011": "-",
        "\u00ba": "°",  # ordinal indicator
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
        "\u2103": "°C",
        "\u2109": "°F",
        "％": "%",
    }
)

_NUMBER = (
    r"(?:[0-9]+\s+[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]*)?(?:[eE][+-]?[0-9]+(?![A-Za-z]))?"
    r"|\.[0-9]+(?:[eE][+-]?[0-9]+(?![A-Za-z]))?)"
)
_QUANTITY = re.compile(rf"([+-]?)\s*({_NUMBER})\s*(\D.*)?", re.DOTALL)
_FEET_AND_INCHES = re.compile(
    rf"([+-]?)\s*([0-9]+)\s*(?:ft|foot|feet|')[\s,-]*({_NUMBER})\s*(?:in|inch|inches|\"|'')"
)
_HOURS_AND_MINUTES = re.compile(
    rf"(?:({_NUMBER})\s*(?:h|hr|hrs|hours?)\s*)?(?:({_NUMBER})\s*(?:min|mins|minutes?))?"
    rf"(?:\s*({_NUMBER})\s*(?:s|sec|secs|seconds?))?"
)
_DECIMAL_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]+)(.*)", re.DOTALL)
_NOT_FINITE = re.compile(r"[+-]?\.?(?:nan|inf|infinity)\b", re.IGNORECASE)


def fold(text: str) -> str:
    """Replace look-alike characters by the plain ones and single spaces for runs of space."""
    return " ".join(text.translate(_LOOK_ALIKES).split())


def parse(text: str, dimension: str) -> Any:
    """Read a quantity.

    Args:
        text: what the builder wrote.
        dimension: voltage, current, power, resistance, length, coordinate (a length that may be
            negative), temperature, time, charge, fraction, speed, frequency, mass, level or gauge.

    Returns:
        A float in V, A, W, Ω, m, °C, s, Ah, parts of one, rpm, Hz, kg or dB; for a gauge its number
        as text ("22", "00").

    Raises:
        UnitError: the text is no such quantity, or an impossible one.

    >>> parse("6 ft 3 in", "length")
    1.905
    >>> parse("2/0", "gauge")
    '00'
    """
    if dimension == "gauge":
        return _gauge(text)
    wanted = f"expected {expects(dimension)}"
    found, value = _quantity(text, wanted=wanted, write=DIMENSIONS[dimension].base)
    if found != _kin(dimension):
        raise UnitError(f"{_quoted(text)} is {_noun(found)}; {wanted}")
    return _possible(text, dimension, value)


def parse_any(text: str, dimensions: Collection[str], wanted: str) -> tuple[str, float]:
    """Read a quantity that may be of several dimensions.

    Args:
        text: what the builder wrote.
        dimensions: which it may have.
        wanted: what to write instead, for the message.

    Returns:
        Which of them it has, and its value in the base unit.

    Raises:
        UnitError: the text is no such quantity, or an impossible one.

    >>> parse_any("35 W", ("current", "power"), "expected a load")
    ('power', 35.0)
    """
    found, value = _quantity(text, wanted=wanted, write="")
    if found not in dimensions:
        raise UnitError(f"{_quoted(text)} is {_noun(found)}; {wanted}")
    return found, _possible(text, found, value)


def parse_use(text: str) -> tuple[Literal["share", "time_s"], float]:
    """Read how much of a phase a load is on: a share of it, or a time in it.

    >>> parse_use("10 %")
    ('share', 0.1)
    """
    wanted = 'expected a share of the phase such as "10 %" or a time in it such as "8 s"'
    found, value = _quantity(text, wanted=wanted, write="%")
    if found == "fraction":
        return "share", _possible(text, found, value)
    if found == "time":
        return "time_s", _possible(text, found, value)
    raise UnitError(f"{_quoted(text)} is {_noun(found)}; {wanted}")


def measure(text: str) -> tuple[str, float] | None:
    """What quantity a text is by its own unit, and its value; None for anything else.

    >>> measure("6 ft"), measure("radio")
    (('length', 1.8288), None)
    """
    try:
        return _quantity(text, wanted="", write="")
    except UnitError:
        return None


_FLAGS = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}


def parse_flag(text: str) -> bool:
    """Read `yes` or `no`; `true`, `on`, `false` and `off` are understood too.

    >>> parse_flag("no")
    False
    """
    found = _FLAGS.get(text.strip().casefold())
    if found is None:
        raise UnitError(f"{_quoted(text)} is neither yes nor no")
    return found


_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_NEARLY = re.compile(r"([0-9]{4})[-/. ]?([0-9]{1,2})[-/. ]?([0-9]{1,2})")
_DAY_FIRST = re.compile(r"([0-9]{1,2})[-/. ]+([0-9]{1,2})[-/. ]+([0-9]{4})")


def parse_day(text: str) -> str:
    """Read a date, year-month-day, of a day that there is; no clock is asked.

    >>> parse_day(" 2031-05-04 ")
    '2031-05-04'
    """
    said = text.strip()
    written = _DAY.fullmatch(said)
    if written is None:
        raise UnitError(f"{_quoted(text)} is no date; {_day_meant(said)}")
    if not _is_day(said):
        raise UnitError(f"{_quoted(text)}: there is no such day; write year-month-day")
    return said


def _day_meant(said: str) -> str:
    """What to write: the dates that a text may mean, day or month first."""
    meant = []
    if found := _NEARLY.fullmatch(said):
        meant = [found.groups()]
    elif found := _DAY_FIRST.fullmatch(said):
        a, b, year = found.groups()
        meant = [(year, b, a), (year, a, b)]
    days = dict.fromkeys(f"{y}-{int(m):02d}-{int(d):02d}" for y, m, d in meant)
    possible = [day for day in days if _is_day(day)]
    if possible:
        return f"did you mean {' or '.join(possible)} (year-month-day)?"
    return "write year-month-day, such as 2031-05-04"


def _is_day(day: str) -> bool:
    try:
        date.fromisoformat(day)
    except ValueError:
        return False
    return True


def expects(dimension: str) -> str:
    """What to write, as a part of a sentence.

    >>> expects("current")
    'a current such as "2.5 A"'
    """
    spoken = DIMENSIONS[dimension]
    return f'{spoken.noun} such as "{spoken.examples[0]}"'


def examples(dimension: str) -> list[str]:
    """Texts that `parse` reads in this dimension."""
    return list(DIMENSIONS[dimension].examples)


def split_suffix(name: str) -> tuple[str, str]:
    """Split a name into its stem and its unit suffix ("" where it has none).

    >>> split_suffix("resistance_ohm_per_m")
    ('resistance', 'ohm_per_m')
    """
    parts = name.split("_")
    for start in range(1, len(parts)):
        suffix = "_".join(parts[start:])
        if suffix in SUFFIXES:
            return "_".join(parts[:start]), suffix
    return name, ""


def yaml_key(field_name: str) -> str:
    """The key in the builder's file for a field: without its unit, with hyphens.

    >>> yaml_key("on_time_s"), yaml_key("from_")
    ('on-time', 'from')
    """
    return split_suffix(field_name)[0].rstrip("_").replace("_", "-")


def show(value: float, suffix: str, system: UnitSystem = "feet", digits: int | None = None) -> str:
    """A value for print, with its unit.

    Args:
        value: in the unit of the suffix.
        suffix: a key of `SUFFIXES`.
        system: `feet` prints feet, inches and pounds; `metric` prints m, mm and kg.
        digits: decimals after the point; None: three significant digits (or the nearest inch).

    >>> show(0.009, "ohm"), show(1.905, "m"), show(0.8, "fraction")
    ('9 mΩ', '6 ft 3 in', '80 %')
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be shown in {SUFFIXES[suffix].unit}")
    if suffix == "m":
        return _show_length(value, system, digits)
    if suffix == "kg":
        in_pounds = system == "feet"
        number = _number(value / _POUND_KG if in_pounds else value, digits)
        return f"{number} {'lb' if in_pounds else 'kg'}"
    if suffix == "s":
        return _show_time(value, digits)
    if suffix == "fraction":
        return f"{_number(value * 100, digits)} %"
    scaled, unit = _scaled(value, suffix)
    number = f"{scaled:.7g}" if suffix == "hz" and digits is None else _number(scaled, digits)
    return f"{number} {unit}".rstrip()


def whole_minutes(minutes: float) -> str:
    """A time that lasts, in whole minutes: never more than there is.

    A millionth is forgiven, so that a computed 30 prints as 30.

    >>> whole_minutes(25.52), whole_minutes(29.99999999)
    ('25', '30')
    """
    return f"{math.floor(minutes + 1e-6):d}"


def asked_minutes(minutes: float) -> str:
    """A time that is asked, in whole minutes: never less than is asked.

    >>> asked_minutes(30.0), asked_minutes(210.25)
    ('30', '211')
    """
    return f"{math.ceil(minutes - 1e-6):d}"


def cut_length(value_m: float, system: UnitSystem = "feet") -> str:
    """A length to cut: the next whole inch up, or the next whole centimetre up.

    >>> cut_length(2.83), cut_length(2.831, "metric")
    ('9 ft 4 in', '2.84 m')
    """
    # A nanometre is forgiven, so that 0.3048 m is 12 in and not 13.
    if system == "metric":
        return f"{math.ceil(value_m * 100 - 1e-7) / 100:.2f} m"
    return _feet_and_inches(math.ceil(value_m / _INCH_M - 1e-7))


def most_length(value_m: float, system: UnitSystem = "feet") -> str:
    """The greatest length that is allowed: the whole inch, or the whole centimetre, below it.

    >>> most_length(2.83), most_length(2.831, "metric")
    ('9 ft 3 in', '2.83 m')
    """
    if system == "metric":
        return f"{math.floor(value_m * 100 + 1e-7) / 100:.2f} m"
    return _feet_and_inches(math.floor(value_m / _INCH_M + 1e-7))


def _quoted(text: str) -> str:
    shown = " ".join(text.split())
    return f'"{shown if len(shown) <= 40 else shown[:37] + "..."}"'


def _kin(dimension: str) -> str:
    return "length" if dimension in ("coordinate", "stub") else dimension


def _noun(dimension: str) -> str:
    return DIMENSIONS[dimension].noun


def _of_number(text: str) -> float:
    total = 0.0
    for part in text.split():
        upper, _, lower = part.partition("/")
        if lower and float(lower) == 0:
            raise UnitError(f'"{text}" divides by zero')
        total += float(upper) / float(lower) if lower else float(upper)
    return total


_READ: dict[str, tuple[str, float]] = {}
"""Quantities read so far: each is looked at twice, and many stand more than once."""
_MOST_READ = 20_000


def _quantity(text: str, *, wanted: str, write: str) -> tuple[str, float]:
    """Dimension and value in its base unit; `write` is the unit proposed for a bare number.

    `wanted` is what to write instead, as a part of a sentence: `expected a current …`.
    """
    found = _READ.get(text)
    if found is None:
        found = _read(text, wanted=wanted, write=write)
        if len(_READ) >= _MOST_READ:
            _READ.clear()
        _READ[text] = found
    return found


def _read(text: str, *, wanted: str, write: str) -> tuple[str, float]:
    plain = fold(text)
    if not plain:
        raise UnitError(f"nothing is written here; {wanted}")
    if _NOT_FINITE.match(plain):
        raise UnitError(f"{_quoted(text)} is no number; {wanted}")
    compound = _compound(plain)
    if compound is not None:
        return compound
    _refuse_comma(text, plain)
    match = _QUANTITY.fullmatch(plain)
    if match is None:
        raise UnitError(f"{_quoted(text)} is no number with a unit; {wanted}")
    sign, digits, name = match.group(1), match.group(2), (match.group(3) or "").strip()
    if not name:
        raise UnitError(_bare(text, f"{sign}{digits}", write, wanted))
    unit = _unit(name, text, wanted, write)
    number = _of_number(digits) * (-1.0 if sign == "-" else 1.0)
    value = _tidy(number * unit.factor + unit.offset)
    if not math.isfinite(value):
        raise UnitError(f"{_quoted(text)} is too large a number")
    return unit.dimension, value


def _tidy(value: float) -> float:
    """Without the last digit of binary arithmetic: 35 % is 0.35."""
    return float(f"{value:.15g}")


def _bare(text: str, number: str, write: str, wanted: str) -> str:
    if write == "%":
        value = float(_of_number(number.lstrip("+-")))
        meant = f"{value * 100:g} %" if 0 < value <= 1 and "." in number else f"{number} %"
        return f"{_quoted(text)} has no unit; write {meant}"
    if write == "m":
        write = f"{number} ft, {number} in, {number} m or {number} mm"
        return f"{_quoted(text)} has no unit; write {write}"
    if write == "H":  # of coils of contactors and relays some thousandths are meant
        return f"{_quoted(text)} has no unit; write {number} mH"
    if write:
        return f"{_quoted(text)} has no unit; write {number} {write}"
    return f"{_quoted(text)} has no unit; {wanted}"


def _compound(plain: str) -> tuple[str, float] | None:
    match = _FEET_AND_INCHES.fullmatch(plain)
    if match:
        sign, feet, inches = match.groups()
        total_m = _tidy((_of_number(feet) * 12 + _of_number(inches)) * _INCH_M)
        return "length", -total_m if sign == "-" else total_m
    match = _HOURS_AND_MINUTES.fullmatch(plain)
    if match and sum(part is not None for part in match.groups()) > 1:
        parts = zip(match.groups(), (3600.0, 60.0, 1.0), strict=True)
        return "time", sum(_of_number(part) * factor for part, factor in parts if part)
    return None


def _refuse_comma(text: str, plain: str) -> None:
    match = _DECIMAL_COMMA.fullmatch(plain)
    if match is None:
        return
    whole, part, rest = match.group(1), match.group(2), match.group(3).strip()
    unit = f" {rest}" if rest and "," not in rest else ""
    if len(part) == 3 and len(whole.lstrip("+-")) <= 3 and whole.lstrip("+-") != "0":
        raise UnitError(
            f"{_quoted(text)} has a comma that can be read two ways; "
            f"write {whole}{part}{unit} or {whole}.{part}{unit}"
        )
    raise UnitError(f"{_quoted(text)} has a decimal comma; write {whole}.{part}{unit}")


_CASE_FREE = {name.casefold(): name for name in UNITS if len(name) > 3 and name.isalpha()}


def _unit(name: str, text: str, wanted: str, write: str) -> Unit:
    found = UNITS.get(name) or UNITS.get(_CASE_FREE.get(name.casefold(), ""))
    if found is None:
        found = _rare_unit(name)
    if found is not None:
        return found
    if re.search(r"[0-9]", name):
        raise UnitError(f"{_quoted(text)} is no single number with a unit; {wanted}")
    if name in ("F", "C"):
        raise UnitError(_degrees(text, name))
    near = [known for known in UNITS if known.casefold() == name.casefold()]
    asked = UNITS[write].dimension if write in UNITS else ""
    alike = [known for known, unit in UNITS.items() if asked in ("", unit.dimension)]
    near = near or get_close_matches(name, alike, 1, 0.7) or _one_letter_off(name, alike)
    hint = f'; did you mean "{near[0]}"?' if near else f"; {wanted}"
    raise UnitError(f'{_quoted(text)}: "{name}" is no known unit{hint}')


def _one_letter_off(name: str, known: Collection[str]) -> list[str]:
    """Names of two letters that differ in the second alone: `mn` and mm."""
    return [one for one in known if len(name) == len(one) == 2 and name[0] == one[0]]


def _degrees(text: str, letter: str) -> str:
    """A temperature whose degree sign is missing."""
    number = fold(text)[:-1].strip()
    value = _number(_of_number(number.lstrip("+-")) * (-1 if number[:1] == "-" else 1), None)
    unit = UNITS[f"°{letter}"]
    in_celsius = _number(_tidy(float(value) * unit.factor + unit.offset), None)
    also = f", which is {in_celsius} °C" if letter == "F" else ""
    return f"{_quoted(text)} has no degree sign; write {number} °{letter}{also}"


_RARE = {
    "[length]": "length",
    "[time]": "time",
    "[mass]": "mass",
    "[current]": "current",
    "[length] ** 2 * [mass] / [time] ** 3": "power",
    "[length] ** 2 * [mass] / [current] / [time] ** 3": "voltage",
    "[length] ** 2 * [mass] / [current] ** 2 / [time] ** 3": "resistance",
}
_RARE_BASE = {
    "length": "m",
    "time": "s",
    "mass": "kg",
    "current": "A",
    "power": "W",
    "voltage": "V",
    "resistance": "ohm",
}  # fmt: skip


def _rare_unit(name: str) -> Unit | None:
    """A unit that the table lacks, from the general library; only names that are spelled in full.

    An abbreviation is never looked up there: it would read `mins` as thousandths of an inch.
    """
    if not (re.fullmatch(r"[a-z]{4,}", name)):
        return None
    import pint

    registry: Any = pint.application_registry
    spelled = {f"{prefix}{unit}" for prefix, unit, _ in registry.parse_unit_name(name)}
    if name not in spelled and name.removesuffix("s") not in spelled:
        return None
    quantity: Any = registry.Quantity(1.0, name)
    dimension = _RARE.get(str(quantity.dimensionality))
    if dimension is None:
        return None
    return Unit(dimension=dimension, factor=float(quantity.to(_RARE_BASE[dimension]).magnitude))


def _possible(text: str, dimension: str, value: float) -> float:
    spoken = DIMENSIONS[dimension]
    if spoken.least is not None and value < spoken.least:
        if dimension == "temperature":
            raise UnitError(f"{_quoted(text)} is below absolute zero")
        raise UnitError(f"{_quoted(text)} is negative; {spoken.noun} here is not")
    if spoken.above and value <= 0:
        raise UnitError(f"{_quoted(text)} is nothing; {spoken.noun} here is more than zero")
    if spoken.most is not None and value > spoken.most + 1e-12:
        raise UnitError(f"{_quoted(text)} is more than 100 %")
    return value


_GAUGE = re.compile(
    r"(?:AWG\s*|#\s*)?([0-9]{1,2}|0{2,4}|[1-4]/0)(?:\s*(?:AWG|ga|gauge))?", re.IGNORECASE
)


def _gauge(text: str) -> str:
    plain = fold(text)
    wanted = expects("gauge")
    if not plain:
        raise UnitError(f"nothing is written here; expected {wanted} (a # begins a comment)")
    match = _GAUGE.fullmatch(plain)
    if match is None:
        try:
            found, _ = _quantity(text, wanted=f"expected {wanted}", write="AWG")
        except UnitError:
            raise UnitError(f"{_quoted(text)} is no wire gauge; expected {wanted}") from None
        raise UnitError(f"{_quoted(text)} is {_noun(found)}; expected {wanted}")
    size = match.group(1)
    if size == plain and "/" not in size and not re.fullmatch("0{2,4}", size):
        raise UnitError(f"{_quoted(text)} has no unit; write AWG {size}")
    if "/" in size:
        size = "0" * int(size[0])
    elif size.strip("0"):
        size = str(int(size))
    if size.strip("0") and int(size) > 40:
        raise UnitError(f"{_quoted(text)} is no wire gauge; expected {wanted}")
    return size


def show_gauge(size: str) -> str:
    """A gauge for print.

    >>> show_gauge("00"), show_gauge("22")
    ('AWG 2/0', 'AWG 22')
    """
    return f"AWG {len(size)}/0" if len(size) > 1 and not size.strip("0") else f"AWG {size}"


def _number(value: float, digits: int | None) -> str:
    """Three significant digits, or fixed decimals; never an exponent, never a negative zero."""
    if digits is None:
        places = 2 if value == 0 else max(0, 2 - math.floor(math.log10(abs(value))))
        text = f"{value:.{places}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
    else:
        text = f"{value:.{digits}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


def _scaled(value: float, suffix: str) -> tuple[float, str]:
    size = abs(value)
    if suffix == "ohm" and 0 < size < 0.9995:
        return (value * 1e6, "µΩ") if size < 0.9995e-3 else (value * 1e3, "mΩ")
    if suffix == "ohm" and size >= 0.9995e6:
        return value / 1e6, "MΩ"
    if suffix == "a" and 0 < size < 0.09995:
        return (value * 1e6, "µA") if size < 0.9995e-3 else (value * 1e3, "mA")
    if suffix == "hz":
        for factor, unit in ((1e9, "GHz"), (1e6, "MHz"), (1e3, "kHz")):
            if size >= factor:
                return value / factor, unit
        return value, "Hz"
    return value, SUFFIXES[suffix].unit


def _feet_and_inches(inches: int) -> str:
    sign = "-" if inches < 0 else ""
    feet, rest = divmod(abs(inches), 12)
    if not feet:
        return f"{sign}{rest} in"
    return f"{sign}{feet} ft {rest} in" if rest else f"{sign}{feet} ft"


def _show_length(value_m: float, system: UnitSystem, digits: int | None) -> str:
    if system == "metric":
        if abs(value_m) < 1 and digits is None:
            return f"{_number(value_m * 1000, None)} mm"
        return f"{_number(value_m, digits)} m"
    if digits is not None:
        return f"{_number(value_m / _FOOT_M, digits)} ft"
    inches = value_m / _INCH_M
    if abs(inches) < 12 and abs(inches - round(inches)) > 0.005:
        return f"{_number(inches, None)} in"
    return _feet_and_inches(round(inches))


def _show_time(value_s: float, digits: int | None) -> str:
    size = abs(value_s)
    if digits is not None or size < 59.5:
        return f"{_number(value_s, digits)} s"
    sign = "-" if value_s < 0 else ""
    if size < 600 and round(size) % 60:
        minutes, seconds = divmod(round(size), 60)
        return f"{sign}{minutes} min {seconds} s"
    minutes = round(size / 60)
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{sign}{minutes} min"
    return f"{sign}{hours} h {rest} min" if rest else f"{sign}{hours} h"
