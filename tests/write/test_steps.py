"""A working reads as a hand calculation whose lines can be evaluated again."""

import math
import re

import pytest

from elec.working import Step, Term, Working
from elec.write.register import Options
from elec.write.steps import insert, lines, pretty, quantity
from elec.write.to_text import working_text
from tests.write.calculator import faults, sheets
from tests.write.sample import DROP


def evaluate(text: str) -> float:
    """What a pocket calculator makes of a printed line."""
    plain = text.replace("×", "*").replace("^", "**")
    allowed = {name: getattr(math, name) for name in ("sqrt", "exp")} | {
        "ln": math.log,
        "max": max,
        "min": min,
    }
    return float(eval(plain, {"__builtins__": {}}, allowed))  # noqa: S307 - our own text


@pytest.mark.parametrize("number", [0, 2])
def test_the_numbers_put_in_give_the_result(number: int) -> None:
    line = lines(DROP)[number]
    result = float(line.result.split()[1])
    assert evaluate(line.inserted.removeprefix("= ")) == pytest.approx(result, rel=2e-3)
    # each printed factor is rounded to four digits, up to 0.05 % off; four of them here


def test_a_value_that_was_looked_up_has_no_formula() -> None:
    line = lines(DROP)[1]
    assert (line.formula, line.inserted) == ("", "")
    assert line.result == "r = 0.0232 Ω/m"


def test_symbols_are_replaced_whole() -> None:
    terms = (
        Term(symbol="T", value=50.0, unit="degc"),
        Term(symbol="T_2", value=-20.0, unit="degc"),
        Term(symbol="ρ", value=1.7e-8, unit=""),
    )
    step = Step(
        result=Term(symbol="x", value=0, unit=""), formula="exp(T_2 - T) * ρ**2 + 1e3", terms=terms
    )
    assert insert(step) == "exp((-20) - 50) × (1.7e-8)^2 + 1e3"


def test_operators_print_as_signs() -> None:
    assert pretty("2*a**2/(b+c)") == "2 × a^2 / (b + c)"


def test_a_step_without_terms_repeats_nothing() -> None:
    step = Step(result=Term(symbol="x", value=4.0, unit="a"), formula="2 * 2")
    found = lines(Working(title="t", steps=(step,)))[0]
    assert (found.formula, found.inserted, found.result) == ("x = 2 × 2", "", "= 4 A")


def test_a_unit_prints_by_its_symbol() -> None:
    assert re.fullmatch(r"9 mΩ", quantity(Term(symbol="R", value=9.0, unit="mohm")))
    assert quantity(Term(symbol="k", value=0.63, unit="fraction")) == "0.63"


def _sum(count: int) -> Working:
    terms = tuple(
        Term(symbol=f"i{n}", value=0.1 * n, unit="A", origin="given") for n in range(1, count + 1)
    )
    total = Term(symbol="I", value=sum(t.value for t in terms), unit="A", meaning="all together")
    formula = " + ".join(t.symbol for t in terms)
    return Working(title="Sum", steps=(Step(result=total, formula=formula, terms=terms),))


@pytest.mark.parametrize(("count", "short"), [(8, False), (9, True), (53, True)])
def test_a_long_sum_is_a_column_that_adds_up(count: int, short: bool) -> None:
    (line,) = lines(_sum(count))
    assert ("…" in line.formula) == short
    assert bool(line.inserted) != short
    assert len(line.terms) == count
    (sheet,) = sheets(working_text(_sum(count), Options()))
    assert not faults(sheet)


def test_the_calculator_finds_a_column_that_does_not_add_up() -> None:
    printed = working_text(_sum(12), Options()).replace("i7 = 0.7", "i7 = 0.9")
    assert faults(sheets(printed)[0])
