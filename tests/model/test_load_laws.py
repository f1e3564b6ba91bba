"""The table of load laws: each keeps what the network and the sums need of it.

Ohm's law and P = U·I (any textbook); the rest holds of every law, also of one added tomorrow.
"""

import ast
from pathlib import Path

import numpy as np
import pytest

import elec
from elec import units
from elec.model import laws
from elec.model.load import Draw
from elec.working import evaluate, symbols
from tests.model.new_laws import KNEE, LAMP, TALLY

VOLTS = (6.0, 9.0, 12.6, 14.2, 28.4)
EXACT = 1e-12
"""A few roundings of 1e-16 each."""
EVERY = (*laws.LAWS.values(), LAMP, KNEE, TALLY)


@pytest.fixture(params=EVERY, ids=lambda law: law.name)
def law(request: pytest.FixtureRequest) -> laws.Law:
    found: laws.Law = request.param
    return found


def test_numbers_and_arrays_come_from_one_formula(law: laws.Law) -> None:
    one_by_one = [law.current_a(3.0, volts) for volts in VOLTS]
    found = np.broadcast_to(law.currents_a(3.0, np.array(VOLTS)), len(VOLTS))
    assert found == pytest.approx(one_by_one, rel=EXACT)
    assert symbols(law.current) <= {law.symbol, "V"}
    assert symbols(law.value) <= {"I", "V"}
    assert symbols(law.elasticity) <= {"V"}


@pytest.mark.parametrize("volts", VOLTS)
def test_the_current_is_in_proportion_to_the_amount(law: laws.Law, volts: float) -> None:
    # What sums over time, shares and root mean squares are made of.
    for factor in (0.1, 2.0):
        more = law.current_a(law.scaled(3.0, factor), volts)
        assert more == pytest.approx(factor * law.current_a(3.0, volts), rel=EXACT)
        by_amount = law.amount(law.amount(3.0) * factor)
        assert law.current_a(by_amount, volts) == pytest.approx(more, rel=EXACT)


@pytest.mark.parametrize("volts", VOLTS)
def test_elasticity_is_the_slope_and_at_most_one(law: laws.Law, volts: float) -> None:
    # d ln i / d ln v by a central difference of 1e-5: off by its square, and by rounding over it.
    step = 1e-5
    above, below = (law.current_a(3.0, volts * (1 + s)) for s in (step, -step))
    slope = (np.log(above) - np.log(below)) / (np.log1p(step) - np.log1p(-step))
    assert float(law.elasticities(volts)) == pytest.approx(slope, abs=1e-8)
    assert slope <= 1 + 1e-8  # or secants need not go downhill, see elec.network.devices
    assert law.linear == (abs(slope - 1) < 1e-8 and law.exponent is not None)


@pytest.mark.parametrize("volts", VOLTS)
def test_what_was_measured_gives_the_value_back(law: laws.Law, volts: float) -> None:
    assert law.measured(law.current_a(3.0, volts), volts) == pytest.approx(3.0, rel=EXACT)


def test_a_load_that_is_off_takes_nothing(law: laws.Law) -> None:
    assert law.currents_a(np.array([law.off]), np.array([14.0]))[0] == 0
    assert Draw.steady(2.0).shared(0) == 0


def test_no_two_laws_are_written_or_called_alike() -> None:
    assert len({(law.dimension, law.word) for law in EVERY}) == len(EVERY)
    assert len({law.name for law in EVERY}) == len(EVERY)
    for law in EVERY:
        assert law.suffix in units.SUFFIXES
        assert law.word not in units.UNITS


def test_a_load_has_its_law_from_its_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    assert laws.read("2.5 A") == (laws.CURRENT, 2.5)
    assert laws.read("35 W") == (laws.POWER, 35.0)
    assert laws.read("5 Ω") == (laws.RESISTANCE, 5.0)
    with pytest.raises(units.UnitError) as error:
        laws.read("14 V")
    assert str(error.value) == f'"14 V" is a voltage; a load is {laws.offered()}'
    with pytest.raises(units.UnitError, match='"5" has no unit; a load is a current'):
        laws.read("5")
    with pytest.raises(units.UnitError, match="nothing is written here; a load is a current"):
        laws.read(" ")
    with pytest.raises(units.UnitError, match='"W lamp" is no known unit'):
        laws.read("35 W lamp")
    monkeypatch.setitem(laws.LAWS, LAMP.name, LAMP)
    assert laws.read("35 W lamp") == (LAMP, 35.0)
    with pytest.raises(units.UnitError, match='"3 A" is a current; lamp stands behind a power'):
        laws.read("3 A lamp")


def test_a_law_that_is_not_there_is_refused() -> None:
    with pytest.raises(ValueError, match='no load law is called "lamp"; there are current, power'):
        Draw(law="lamp", value=35.0)


@pytest.mark.parametrize("text", [law.example for law in laws.LAWS.values()])
def test_an_example_is_read_and_said_as_it_stands(text: str) -> None:
    law, value = laws.read(text)
    assert law.said(value) == law.example == text


def test_the_printed_formula_is_the_computed_one() -> None:
    assert laws.POWER.formula("Vl") == "P / Vl"
    assert evaluate(laws.POWER.formula("Vl"), {"P": 140.0, "Vl": 10.0}) == 14.0
    assert laws.RESISTANCE.formula("V(n1)", "1.6") == "V(n1) / 1.6"


# -- where a law's name stands --------------------------------------------------------------------


def _lawful(tree: ast.AST, names: frozenset[str]) -> list[int]:
    """Lines that compare with, look up by, pass or import the name of a law."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            sides = (node.left, *node.comparators)
            law = any(isinstance(one, ast.Attribute) and one.attr == "law" for one in sides)
            text = any(isinstance(one, ast.Constant) and one.value in names for one in sides)
            if law and text:
                found.append(node.lineno)
        elif isinstance(node, ast.keyword) and node.arg == "law":
            if isinstance(node.value, ast.Constant):
                found.append(node.value.lineno)
        elif isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Attribute):
            if node.slice.attr == "law":
                found.append(node.lineno)
        elif isinstance(node, ast.Attribute) and node.attr in {law.upper() for law in names}:
            if isinstance(node.value, ast.Name) and node.value.id == "laws":
                found.append(node.lineno)
        elif isinstance(node, ast.ImportFrom) and node.module == "elec.model.laws":
            found += [node.lineno for alias in node.names if alias.name.lower() in names]
    return found


def test_a_laws_name_stands_in_the_table_alone() -> None:
    # and once where a steady current is a load: an alternator's field, a load that is tried
    root = Path(elec.__file__).parent
    names = frozenset(laws.LAWS)
    found = {
        str(path.relative_to(root)): lines
        for path in sorted(root.rglob("*.py"))
        if (lines := _lawful(ast.parse(path.read_text(encoding="utf-8")), names))
    }
    assert {name: len(lines) for name, lines in found.items()} == {"model/load.py": 1}, found


@pytest.mark.parametrize(
    "text",
    [
        'draw.law == "power"',
        'Draw(law="current", value=1.0)',
        "SUFFIX[draw.law]",
        "x is laws.POWER",
        "from elec.model.laws import POWER",
    ],
)
def test_a_name_elsewhere_would_be_found(text: str) -> None:
    assert _lawful(ast.parse(text), frozenset(laws.LAWS))
