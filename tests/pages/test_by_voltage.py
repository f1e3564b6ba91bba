"""What the loads take at 12.5 V stands in one table, each by its law."""

import pytest

from elec.pages.loads.by_voltage import loads_by_voltage
from elec.pages.loads.load import loads_by_phase
from elec.pages.table import Cell, Value
from tests.answers.helper import NAMES, loads_of, small, whole

DRAWS = {"lamp": "50 W", "heater": "4 Ω", "radio": "1.5 A"}


def bare(value: Value) -> float:
    """The number of a cell."""
    assert isinstance(value, Cell)
    assert isinstance(value.value, float)
    return value.value


@pytest.mark.parametrize(("nominal", "factor"), [("14 V", 1.0), ("28 V", 2.0)])
def test_each_load_is_counted_by_its_law(nominal: str, factor: float) -> None:
    """50 W are 4 A at 12.5 V, 4 Ω take 3.125 A, 1.5 A stay 1.5 A; of 28 V at twice the voltage."""
    found = loads_by_voltage(small(loads_of(DRAWS, nominal=nominal)))
    row = found.rows[0]
    by = {column.head: value for column, value in zip(found.columns, row, strict=True)}
    for volts in (11.0, 12.5, 14.5):
        u = factor * volts
        assert bare(by[f"At {u:g} V"]) == pytest.approx(50 / u + u / 4 + 1.5)


def test_what_is_not_known_is_not_left_out() -> None:
    """The sum of the others, and a question mark."""
    found = loads_by_voltage(small(loads_of(DRAWS | {"radio": ""})))
    value = found.rows[0][2 + 3]
    assert isinstance(value, Cell)
    assert (value.value, value.text) == (None, "7.12 + ?")


@pytest.mark.parametrize("name", NAMES)
def test_it_agrees_with_loads_by_phase(name: str) -> None:
    """Row by row: what is counted at one voltage lies between its neighbours here."""
    found, known = loads_by_voltage(whole(name)), loads_by_phase(whole(name))
    place = {column.key: k for k, column in enumerate(known.columns)}
    assert [row[:2] for row in found.rows] == [row[:2] for row in known.rows]
    for row, one in zip(found.rows, known.rows, strict=True):
        values = [v.value for v in row[2:] if isinstance(v, Cell)]
        sum_ = one[place["continuous_a"]]
        assert isinstance(sum_, Cell)
        if sum_.value is None:
            assert set(values) == {None}
        else:
            assert min(map(bare, row[2:])) <= bare(sum_) <= max(map(bare, row[2:]))
