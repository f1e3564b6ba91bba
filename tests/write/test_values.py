"""How numbers print: `?` for the unknown, never a zero that is none."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.pages.table import Cell, Column, Value
from elec.units import UnitSystem
from elec.write.values import clean, fixed, is_numeric, printed, scale, significant

CURRENT = Column(key="current_a", head="Current", unit="a")
LENGTH = Column(key="length_m", head="Length", unit="m")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "?"),
        (Cell(value=None), "?"),
        (Cell(value=None, text="4.0 + ?"), "4.0 + ?"),
        (math.nan, "?"),
        ("", ""),
        (0.0, "0.00"),
        (-0.0, "0.00"),
        (3.2143, "3.21"),
        (0.004, "0.004"),
        (math.inf, "∞"),
        ("\x1b[31mred\x07", "\ufffd[31mred\ufffd"),
        ("abc\u202edef", "abc\ufffddef"),
    ],
)
def test_a_value_prints(value: Value, text: str) -> None:
    assert printed(value, CURRENT, "feet") == text


@pytest.mark.parametrize(
    ("unit", "system", "printed_unit", "one"),
    [
        ("m", "feet", "ft", 1 / 0.3048),  # international foot, 1959, exact
        ("m", "metric", "m", 1.0),
        ("kg", "feet", "lb", 1 / 0.45359237),  # international pound, 1959, exact
        ("kg_m", "feet", "lb·in", 1 / (0.45359237 * 0.0254)),
        ("fraction", "feet", "%", 100.0),
        ("mm2", "feet", "mm²", 1.0),
        ("degc", "feet", "°C", 1.0),
    ],
)
def test_a_column_prints_in_the_builders_unit(
    unit: str, system: UnitSystem, printed_unit: str, one: float
) -> None:
    column = Column(key="x", head="X", unit=unit)
    assert scale(column, system).unit == printed_unit
    assert scale(column, system).factor == pytest.approx(one, rel=1e-12)  # rounding of one product


def test_a_length_prints_as_decimal_feet() -> None:
    assert printed(4.2672, LENGTH, "feet") == "14.0"
    assert printed(4.2672, LENGTH, "metric") == "4.27"


@given(st.floats(allow_nan=False, allow_infinity=False), st.integers(0, 6))
def test_only_zero_prints_as_zero(value: float, digits: int) -> None:
    shown = float(fixed(value, digits))
    assert (shown == 0) == (value == 0)


@given(st.floats(min_value=1e-8, max_value=1e8))
def test_a_hand_calculation_shows_four_digits(value: float) -> None:
    assert float(significant(value)) == pytest.approx(
        value, rel=5.01e-4
    )  # half of the fourth digit


def test_a_column_of_numbers_is_known_by_its_unit_or_its_cells() -> None:
    plain = Column(key="x", head="X")
    assert is_numeric(CURRENT, [None])
    assert is_numeric(plain, [1, 2.5, None, ""])
    assert not is_numeric(plain, [1, "two"])
    assert not is_numeric(plain, [None])
    assert not is_numeric(Column(key="gauge_awg", head="Gauge", unit="awg"), ["22"])


def test_line_ends_and_tabs_are_kept_and_control_is_not() -> None:
    assert clean("a\nb\tc\x00") == "a\nb\tc\ufffd"
    assert clean("fin\udcffch") == "fin\ufffdch"  # a file name that is no text
