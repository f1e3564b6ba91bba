"""Quantities in text: what is read, what is refused and in which words, and what is printed.

Factors are compared with pint, a general library of units; lengths and masses also with the exact
definitions of the international yard and pound agreement of 1959 (foot 0.3048 m, pound
0.45359237 kg).
"""

import math
import subprocess
import sys

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from elec import units

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
BASE = {
    "voltage": "volt", "current": "ampere", "power": "watt", "resistance": "ohm",
    "length": "metre",
    "temperature": "degC", "time": "second", "charge": "ampere * hour", "fraction": "",
    "speed": "revolution / minute", "frequency": "hertz", "mass": "kilogram",
    "energy": "watt * hour",
    "area": "millimetre ** 2", "inductance": "henry", "magnetic flux density": "tesla",
    "resistance per length": "ohm / metre", "mass per length": "kilogram / metre",
    "torque": "newton * metre",
}  # fmt: skip
SPELLED = {
    "'": "foot", '"': "inch", "VDC": "volt", "Vdc": "volt", "°C": "degC", "°F": "degF",
    "degc": "degC",
    "degf": "degF", "celsius": "degC", "fahrenheit": "degF", "K": "kelvin", "%": "percent",
    "amps": "ampere", "amp": "ampere", "milliamp": "milliampere", "milliamps": "milliampere",
    "microamp": "microampere", "microamps": "microampere", "mohm": "milliohm", "mohms": "milliohm",
    "uohm": "microohm", "kohm": "kiloohm", "kohms": "kiloohm", "kilohm": "kiloohm",
    "kilohms": "kiloohm", "megohm": "megaohm", "megohms": "megaohm", "s": "second",
    "sec": "second", "secs": "second", "min": "minute", "mins": "minute", "hr": "hour",
    "hrs": "hour",
    "Ah": "ampere * hour", "amp-hour": "ampere * hour", "amp-hours": "ampere * hour",
    "mAh": "milliampere * hour", "rpm": "revolution / minute", "RPM": "revolution / minute",
    "r/min": "revolution / minute", "lbs": "pound", "hp": "horsepower", "Wh": "watt * hour",
    "kWh": "kilowatt * hour", "mm²": "millimetre ** 2", "mm2": "millimetre ** 2", "in": "inch",
    "h": "hour", "°": "degree", "mG": "milligauss",
    **{f"{o}/{m}": f"{ohm} / {metre}" for o, ohm in
       (("Ω", "ohm"), ("ohm", "ohm"), ("mΩ", "milliohm"), ("mohm", "milliohm"))
       for m, metre in (("m", "metre"), ("km", "kilometre"), ("ft", "foot"), ("kft", "kilofoot"))},
    "Ω/1000 ft": "ohm / kilofoot", "ohm/1000 ft": "ohm / kilofoot", "lb/kft": "pound / kilofoot",
    "lb/1000 ft": "pound / kilofoot",
    **dict.fromkeys(("N·m", "Nm", "N m"), "newton * metre"),
    **dict.fromkeys(("lbf·in", "in·lbf", "lbf in", "in lbf"), "force_pound * inch"),
    **dict.fromkeys(("lbf·ft", "ft·lbf", "lbf ft", "ft lbf"), "force_pound * foot"),
}  # fmt: skip


@pytest.mark.parametrize("name", [n for n, u in units.UNITS.items() if u.dimension != "level"])
def test_every_factor_is_that_of_pint(name: str) -> None:
    unit = units.UNITS[name]
    read = REGISTRY.Quantity(7.0, SPELLED.get(name, name))
    base = BASE[unit.dimension] or ""
    # The gauss is of another system of units, which the library converts when told to.
    outside = read.to(base, "Gaussian") if "gauss" in str(read.units) else read.to(base)
    # 1e-12: both sides are a product of a few exact factors in double precision.
    assert 7.0 * unit.factor + unit.offset == pytest.approx(outside.magnitude, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("2.5 A", "current", 2.5),
        ("2.5A", "current", 2.5),
        ("400 mA", "current", 0.4),
        ("5 amps", "current", 5.0),
        (".5 A", "current", 0.5),
        ("1e3 W", "power", 1000.0),
        ("9 mΩ", "resistance", 0.009),
        ("9 m\u2126", "resistance", 0.009),  # the ohm sign, not the Greek letter
        ("9 mohm", "resistance", 0.009),
        ("3 \u03bcA", "current", 3e-6),  # Greek mu, not the micro sign
        ("14 ft", "length", 14 * 0.3048),
        ("6 ft 3 in", "length", 75 * 0.0254),
        ("6'3\"", "length", 75 * 0.0254),
        ("6′ 3″", "length", 75 * 0.0254),
        ("6 ft 3 1/2 in", "length", 75.5 * 0.0254),
        ("75 1/2 in", "length", 75.5 * 0.0254),
        ("6½ in", "length", 6.5 * 0.0254),
        ("3/8 in", "length", 0.375 * 0.0254),
        ("16\u00a0mm", "length", 0.016),
        ("-30 in", "coordinate", -30 * 0.0254),
        ("−30 in", "coordinate", -30 * 0.0254),  # a printed minus
        ("-20 °C", "temperature", -20.0),
        ("-20 ºC", "temperature", -20.0),  # the ordinal sign for the degree
        ("85 °F", "temperature", 265 / 9),
        ("300 K", "temperature", 26.85),
        ("0 K", "temperature", -273.15),
        ("10 min", "time", 600.0),
        ("1 h 30 min", "time", 5400.0),
        ("1 min 30 s", "time", 90.0),
        ("18 Ah", "charge", 18.0),
        ("018 Ah", "charge", 18.0),
        ("80 %", "fraction", 0.8),
        ("35%", "fraction", 0.35),
        ("1200 rpm", "speed", 1200.0),
        ("121.5 MHz", "frequency", 121.5e6),
        ("13 lb", "mass", 13 * 0.45359237),
        ("1.5 dB", "level", 1.5),
        ("2 days", "time", 172800.0),  # a unit that only the general library has
    ],
)
def test_reads(text: str, dimension: str, value: float) -> None:
    # 1e-12 relative: texts of a few digits, so that only rounding of doubles is forgiven.
    assert units.parse(text, dimension) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("AWG 20", "20"), ("20 AWG", "20"), ("20 ga", "20"), ("awg20", "20"), ("#18", "18"),
        ("AWG 8", "8"), ("AWG 08", "8"), ("4/0", "0000"), ("AWG 2/0", "00"), ("AWG 00", "00"),
        ("AWG 0", "0"), ("1/0", "0"),
    ],
)  # fmt: skip
def test_reads_gauges(text: str, size: str) -> None:
    assert units.parse(text, "gauge") == size


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [
        ("5", "current", '"5" has no unit; write 5 A'),
        ("15", "inductance", '"15" has no unit; write 15 mH'),
        ("0.1", "fraction", '"0.1" has no unit; write 10 %'),
        ("80", "fraction", '"80" has no unit; write 80 %'),
        ("20", "gauge", '"20" has no unit; write AWG 20'),
        ("17 V", "current", '"17 V" is a voltage; expected a current such as "2.5 A"'),
        ("5 mm", "gauge", '"5 mm" is a length; expected a wire gauge such as "AWG 20"'),
        ("1,5 A", "current", '"1,5 A" has a decimal comma; write 1.5 A'),
        ("0,125 A", "current", '"0,125 A" has a decimal comma; write 0.125 A'),
        (
            "12,500 ft",
            "length",
            '"12,500 ft" has a comma that can be read two ways; write 12500 ft or 12.500 ft',
        ),
        ("5 a", "current", '"5 a": "a" is no known unit; did you mean "A"?'),
        ("5 xyzzy", "current", '"5 xyzzy": "xyzzy" is no known unit; expected a current'),
        ("880 mn", "coordinate", '"880 mn": "mn" is no known unit; did you mean "mm"?'),
        ("5 mimutes", "time", '"mimutes" is no known unit; did you mean "minutes"?'),
        ("5 mines", "time", '"5 mines": "mines" is no known unit'),
        ("−5 A", "current", '"−5 A" is negative; a current here is not'),
        ("-5 ft", "length", "is negative; a length here is not"),
        ("0 Ω", "resistance", '"0 Ω" is nothing; a resistance here is more than zero'),
        ("0 ft", "length", '"0 ft" is nothing; a length here is more than zero'),
        ("0 s", "time", '"0 s" is nothing; a time here is more than zero'),
        ("-1e-12 A", "current", "is negative"),
        ("110 %", "fraction", '"110 %" is more than 100 %'),
        ("-300 °C", "temperature", '"-300 °C" is below absolute zero'),
        ("nan A", "current", '"nan A" is no number'),
        (".inf", "current", '".inf" is no number'),
        ("1e999 A", "current", "is too large a number"),
        ("1:30", "time", '"1:30" is no single number with a unit'),
        ("6' 3", "length", "is no single number with a unit"),
        ("9**9**9**9 A", "current", "is no single number with a unit"),
        ("1_000 ft", "length", "is no"),
        ("3/0 in", "length", "divides by zero"),
        ("", "current", 'nothing is written here; expected a current such as "2.5 A"'),
        ("abc", "current", '"abc" is no number with a unit; expected a current'),
        ("AWG 99", "gauge", '"AWG 99" is no wire gauge'),
    ],
)
def test_refuses(text: str, dimension: str, says: str) -> None:
    with pytest.raises(units.UnitError) as error:
        units.parse(text, dimension)
    assert says in str(error.value)


def test_use_and_flag() -> None:
    assert units.parse_use("10 %") == ("share", 0.1)
    assert units.parse_use("8 s") == ("time_s", 8.0)
    with pytest.raises(units.UnitError, match='"8 V" is a voltage; expected a share of the phase'):
        units.parse_use("8 V")
    assert [units.parse_flag(word) for word in ("yes", "On", "TRUE")] == [True] * 3
    assert [units.parse_flag(word) for word in ("no", "off", "false")] == [False] * 3
    with pytest.raises(units.UnitError, match='"maybe" is neither yes nor no'):
        units.parse_flag("maybe")


@given(st.floats(min_value=1e-9, max_value=1e9), st.sampled_from(["A", "mA", "kA", "amps"]))
def test_what_is_written_is_read(number: float, unit: str) -> None:
    value = units.parse(f"{number!r} {unit}", "current")
    # 15 digits are kept, so half a unit of the 15th may be lost.
    assert value == pytest.approx(number * units.UNITS[unit].factor, rel=1e-14)


@given(st.integers(min_value=0, max_value=2000), st.integers(min_value=0, max_value=11))
def test_feet_and_inches_come_back_exactly(feet: int, inches: int) -> None:
    assume(feet + inches > 0)
    text = f"{feet} ft {inches} in"
    value = units.parse(text, "length")
    shown = units.show(value, "m")
    assert units.parse(shown, "length") == value
    assert units.parse(units.cut_length(value), "length") == value


@given(st.floats(min_value=0.001, max_value=1000))
def test_a_cut_length_is_enough_and_not_an_inch_too_long(length_m: float) -> None:
    for system, step in (("feet", 0.0254), ("metric", 0.01)):
        cut = units.parse(units.cut_length(length_m, system), "length")  # type: ignore[arg-type]
        # 1e-8 m: a length that is a whole step but for rounding is not raised by a step.
        assert length_m - 1e-8 <= cut < length_m + step + 1e-8


@given(
    st.sampled_from(["v", "a", "w", "ohm", "ah", "fraction", "rpm", "hz", "kg"]),
    st.floats(min_value=1e-5, max_value=1e5),
)
def test_what_is_printed_can_be_read(suffix: str, value: float) -> None:
    if suffix == "fraction":
        value /= 1e5
    dimension = units.SUFFIXES[suffix].dimension
    again = units.parse(units.show(value, suffix), dimension)
    # Three significant digits are printed: half a unit of the third is 0.5 % at most.
    assert again == pytest.approx(value, rel=0.0051)


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    for dimension in units.DIMENSIONS:
        try:
            value = units.parse(text, dimension)
        except units.UnitError:
            continue
        assert isinstance(value, str) or math.isfinite(value)


@pytest.mark.parametrize(
    ("value", "suffix", "system", "digits", "text"),
    [
        (1.905, "m", "feet", None, "6 ft 3 in"),
        (0.016, "m", "feet", None, "0.63 in"),
        (1.905, "m", "feet", 1, "6.2 ft"),
        (1.905, "m", "metric", None, "1.91 m"),
        (0.016, "m", "metric", None, "16 mm"),
        (48.04, "degc", "feet", None, "48 °C"),
        (2.5, "a", "feet", 1, "2.5 A"),
        (0.0002, "a", "feet", None, "200 µA"),
        (0.503, "v", "feet", 3, "0.503 V"),
        (-0.00001, "v", "feet", 2, "0.00 V"),
        (0.009, "ohm", "feet", None, "9 mΩ"),
        (0.8, "fraction", "feet", None, "80 %"),
        (5400.0, "s", "feet", None, "1 h 30 min"),
        (90.0, "s", "feet", None, "1 min 30 s"),
        (121.5e6, "hz", "feet", None, "121.5 MHz"),
        (5.896701, "kg", "feet", None, "13 lb"),
        (5.896701, "kg", "metric", None, "5.9 kg"),
        (1234.5, "w", "feet", None, "1234 W"),
    ],
)
def test_shows(
    value: float, suffix: str, system: units.UnitSystem, digits: int | None, text: str
) -> None:
    assert units.show(value, suffix, system, digits) == text


def test_no_number_is_no_text() -> None:
    for value in (math.nan, math.inf):
        with pytest.raises(ValueError, match="cannot be shown"):
            units.show(value, "a")


def test_keys_lose_unit_and_underscore() -> None:
    assert units.yaml_key("on_time_s") == "on-time"
    assert units.yaml_key("class_") == "class"
    assert units.yaml_key("overvoltage_protection") == "overvoltage-protection"
    assert units.yaml_key("rpm") == "rpm"


@pytest.mark.parametrize("dimension", list(units.DIMENSIONS))
def test_examples_can_be_read(dimension: str) -> None:
    for text in units.examples(dimension):
        assert units.parse(text, dimension) is not None


def test_pint_is_not_loaded_for_the_units_of_the_table() -> None:
    code = "import sys; from elec.units import parse; parse('5 ft', 'length'); "
    code += "print('pint' in sys.modules)"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "False"
