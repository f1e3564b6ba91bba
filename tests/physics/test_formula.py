"""The text of every formula gives its number, and says what all its symbols mean."""

import inspect
import random
import re
from typing import Any

import pytest

from elec.physics.formula import Formula, formula
from elec.standards import NotCovered
from elec.working import CONSTANTS, FUNCTIONS, evaluate
from elec.working import given as said
from tests.physics.test_every_formula import FORMULAS, unit_of

PRINTED = {name: one for name, one in FORMULAS.items() if isinstance(one, Formula)}

RANGES = {
    "altitude_m": (-300, 33000), "rise_k": (0, 260), "ambient_degc": (-60, 210),
    "rated_degc": (60, 260), "loading": (0, 1.1), "use_ratio": (0, 2), "wires": (0.5, 120),
    "free_air_m": (0.4, 0.6), "bundle_factor": (0.1, 1), "altitude_factor": (0.7, 1),
    "zero_degc": (-240, -220),
    "duty": (0, 1.5),
    "conductor_degc": (20, 200),
    "pressure_ratio": (0.05, 1.05),
}  # fmt: skip
"""Where a keyword is drawn from, a little beyond what is covered; all others from 0.1 to 60."""

UNITS = {"V": "v", "A": "a", "ohm": "ohm", "degC": "degc", "s": "s", "J/(K m)": "j_per_k_m",
         "W/(K m)": "w_per_k_m", "K": "k", "µT": "ut", "dB": "db", "dB/m": "db_per_m",
         "Ah": "ah", "min": "min", "W": "w", "mm": "mm", "": ""}  # fmt: skip
"""Unit of a result → how the name of the formula ends."""


def drawn(one: Formula[Any]) -> list[dict[str, Any]]:
    """Two hundred random calls that the formula covers."""
    dice, found = random.Random(one.result.meaning), []  # noqa: S311 - a dice, no secret
    for _ in range(20000):
        given = {
            n: dice.uniform(*RANGES.get(n, (0.1, 60))) for n in inspect.signature(one).parameters
        }
        try:
            one.text(**given)
        except NotCovered:
            continue
        found.append(given)
        if len(found) == 200:
            break
    return found


@pytest.mark.parametrize("name", PRINTED)
def test_its_text_evaluates_to_its_number(name: str) -> None:
    one = PRINTED[name]
    found = drawn(one)
    assert len(found) == 200
    for given in found:
        text = one.text(**given)
        values = {symbol: given[word] for symbol, word in one.symbols.items()}
        # The same double arithmetic, by the calculator that steps through the text.
        assert evaluate(text, values) == pytest.approx(one(**given), rel=1e-12), (text, given)


@pytest.mark.parametrize("name", PRINTED)
def test_its_line_of_a_hand_calculation_says_the_same(name: str) -> None:
    one = PRINTED[name]
    given = drawn(one)[0]
    terms: dict[str, Any] = {
        k: said(v, "measured") if k in one.terms else v for k, v in given.items()
    }
    line = one.step(**terms)
    assert (line.result.value, line.formula) == (one(**given), one.text(**given))
    assert line.source
    assert one.plain(**given)(**given) == one(**given)


@pytest.mark.parametrize("name", PRINTED)
def test_every_symbol_is_a_keyword_and_stands_in_a_text(name: str) -> None:
    one = PRINTED[name]
    words = set().union(*(re.findall(r"[A-Za-z_]\w*", one.text(**given)) for given in drawn(one)))
    assert words - set(FUNCTIONS) - set(CONSTANTS) <= set(one.symbols)
    assert set(one.symbols) <= words
    assert set(one.symbols.values()) <= set(inspect.signature(one).parameters)


@pytest.mark.parametrize("name", PRINTED)
def test_its_result_has_a_symbol_a_meaning_and_the_unit_of_its_name(name: str) -> None:
    result = PRINTED[name].result
    assert result.symbol
    assert result.symbol not in PRINTED[name].symbols  # R = R * L tells a reader nothing
    assert result.meaning
    if result.unit:
        assert name.endswith(f"_{UNITS[result.unit]}")
    else:
        assert unit_of(name.split(".")[1]) == ""


def test_a_text_with_an_unknown_symbol_or_more_than_arithmetic_is_refused() -> None:
    @formula("y", "", "wrong", x="x_ratio")
    def unknown(*, x_ratio: float) -> str:
        return "x * w"

    @formula("y", "", "wrong", x="x_ratio")
    def more(*, x_ratio: float) -> str:
        return "x.real"

    for one in (unknown, more):
        with pytest.raises(ValueError, match=r"w|formula"):
            one(x_ratio=1.0)


def test_a_text_without_functions_takes_arrays() -> None:
    import numpy as np

    @formula("U", "V", "lost", I="current_a", R="resistance_ohm")
    def lost_v(*, current_a: float, resistance_ohm: float) -> str:
        return "I * R"

    many: Any = np.array([1.0, 2.0])
    assert np.array_equal(lost_v(current_a=many, resistance_ohm=0.5), [0.5, 1.0])


def test_a_sum_may_have_thousands_of_terms() -> None:
    """As of a large system's loads; Python's calls in calls end before."""
    names = [f"I{k}" for k in range(2500)]
    assert evaluate(" + ".join(names), dict.fromkeys(names, 0.5)) == 1250.0
    assert evaluate("8 - 2 - 3 * 2 / 4", {}) == 4.5
