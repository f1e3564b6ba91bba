"""Every printed step, put into a calculator again, gives the printed number."""

import math
from collections.abc import Callable

import pytest

from elec.answers.short.damage import opens_in_time
from elec.pages.reference import workings
from elec.wiring.hand import height_step
from elec.wiring.runs import runs
from elec.working import Step, Term, leading_to
from tests.answers.helper import NAMES, whole

FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt, "log": math.log, "ln": math.log, "exp": math.exp, "min": min, "max": max,
}  # fmt: skip


def again(step: Step) -> float:
    """The formula of a step with its terms put in."""
    names = {term.symbol: term.value for term in step.terms}
    return float(eval(step.formula, {"__builtins__": {}}, {**FUNCTIONS, **names}))  # noqa: S307


@pytest.mark.parametrize("altitude_m", [3048.0, 12500.0, 15240.0, 18000.0])
def test_the_height_is_printed_as_it_is_computed_in_every_layer(altitude_m: float) -> None:
    factor = Term(symbol="z", value=0.0, unit="", meaning="factor for thin air")
    for step in leading_to(height_step(Term("h", altitude_m, "m"), factor)):
        assert again(step) == pytest.approx(step.result.value, rel=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_steps_give_their_result(name: str) -> None:
    study = whole(name)
    steps = [step for working in workings(study) for step in working.steps]
    steps += [step for run in runs(study).values() for step in run.steps]
    counted = 0
    for step in steps:
        if step.formula:
            # The same double arithmetic in another order: rounding only.
            assert again(step) == pytest.approx(step.result.value, rel=1e-9, abs=1e-12), step
            counted += 1
    assert counted > 50


@pytest.mark.parametrize("name", NAMES)
def test_the_wire_bears_in_its_hand_calculation_what_it_was_judged_by(name: str) -> None:
    printed = 0
    for one in opens_in_time(whole(name)).values():
        for step in one.working.steps:
            if step.result.symbol == "t":
                assert step.result.value == one.damaged_s, one.chain
                printed += bool(step.formula)
    assert printed > 0


@pytest.mark.parametrize("name", NAMES)
def test_every_term_says_where_it_comes_from(name: str) -> None:
    for working in workings(whole(name)):
        for step in working.steps:
            assert step.result.origin, (working.title, step.result.symbol)
            symbols = [term.symbol for term in step.terms]
            assert len(set(symbols)) == len(symbols), (working.title, symbols)
