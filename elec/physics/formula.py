"""A formula written once: the text that is printed is the one that is computed.

In: a function of keywords that returns the text of the formula, and what its symbols stand for.
Out: a function of the same keywords that gives the number, and the line of a hand calculation.
"""

from collections.abc import Callable, Mapping
from functools import update_wrapper
from typing import Any, Generic, ParamSpec

from elec.standards.cite import cited
from elec.working import CONSTANTS, FUNCTIONS, Step, Term, calculator, renamed, symbols

P = ParamSpec("P")
COMPUTED = "computed"


class Formula(Generic[P]):
    """What `@formula` makes: called with numbers it gives the number, `step` gives its line.

    A text without functions takes arrays as well as floats.
    """

    def __init__(
        self, text: Callable[P, str], result: Term, symbols: Mapping[str, str], note: str
    ) -> None:
        """Keep the function that returns the text, under its own name and documentation."""
        update_wrapper(self, text)
        self.text = text
        """The formula that holds for these numbers; `NotCovered` where none does."""
        self.result = result
        self.symbols = symbols
        self.note = note
        names = text.__code__.co_varnames[: text.__code__.co_kwonlyargcount]
        self._given: Callable[..., str] = text
        self._computes = _Compiled(names, symbols)

    def __call__(self, *args: P.args, **given: P.kwargs) -> float:
        """Give the number, by the text."""
        return self._computes[self.text(*args, **given)](**given)

    def step(
        self, *terms: Term, note: str = "", symbol: str = "", meaning: str = "", **numbers: Any
    ) -> Step:
        """Its line of a hand calculation: the terms under the symbols of the text.

        `note`, `symbol` and `meaning` may be others than the formula's own; `numbers` are the
        arguments that stand in the text as numbers.

        Raises:
            NotCovered: the formula does not hold for these terms.
        """
        given = {self.symbols[term.symbol]: term.value for term in terms} | numbers
        text = self._given(**given)
        result = Term(
            symbol=symbol or self.result.symbol,
            value=self._computes[text](**given),
            unit=self.result.unit,
            meaning=meaning or self.result.meaning,
            origin=COMPUTED,
        )
        return Step(
            result=result,
            formula=text,
            terms=terms,
            source=cited(self),
            note=note or self.note,
        )


def formula(
    symbol: str, unit: str, meaning: str, *, note: str = "", **keywords: str
) -> Callable[[Callable[P, str]], Formula[P]]:
    """Make a formula of a function that returns its text, or raises `NotCovered`.

    `symbol`, `unit`, `meaning` are those of the result; `keywords` says which keyword each
    symbol of the text stands for.

    >>> @formula("U", "V", "voltage lost", I="current_a", R="resistance_ohm")
    ... def lost_v(*, current_a: float, resistance_ohm: float) -> str:
    ...     return "I * R"
    >>> lost_v(current_a=2.0, resistance_ohm=0.25)
    0.5
    >>> amps = Term(symbol="I", value=2.0, unit="A")
    >>> line = lost_v.step(amps, Term(symbol="R", value=0.25, unit="ohm"))
    >>> line.formula, line.result.value, line.result.unit
    ('I * R', 0.5, 'V')
    """
    result = Term(symbol=symbol, value=0.0, unit=unit, meaning=meaning)
    return lambda text: Formula(text, result, keywords, note)


class _Compiled(dict[str, Callable[..., float]]):
    """Each text of a formula as a function of its keywords, compiled when it is first asked for."""

    def __init__(self, names: tuple[str, ...], symbols: Mapping[str, str]) -> None:
        super().__init__()
        self.names, self.symbols = names, symbols

    def __missing__(self, text: str) -> Callable[..., float]:
        calculator(text)  # nothing but arithmetic
        if unknown := symbols(text) - self.symbols.keys():
            raise ValueError(f"{text}: nothing is said of {', '.join(sorted(unknown))}")
        code = f"lambda *, {', '.join(self.names)}: {renamed(text, self.symbols)}"
        self[text] = eval(code, {**FUNCTIONS, **CONSTANTS, "__builtins__": {}})  # noqa: S307 - arithmetic alone
        return self[text]
