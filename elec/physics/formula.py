"""A formula written once: the text that is printed is the one that is computed.

In: a function of keywords that returns the text of the formula, and what its symbols stand for.
Out: a function of the same keywords that gives the number, and the line of a hand calculation.
"""

import re
from collections.abc import Callable, Mapping
from functools import cache, update_wrapper
from typing import Generic, ParamSpec

from msgspec.structs import replace

from elec.standards.cite import cited
from elec.units import SUFFIXES, split_suffix
from elec.working import (
    COMPUTED,
    CONSTANTS,
    FUNCTIONS,
    Step,
    Term,
    calculator,
    renamed,
    symbols,
)

P = ParamSpec("P")
Number = Callable[..., float]
SPELLED = {
    "degc": "degC", "ohm": "ohm", "ohm_per_m": "ohm/m", "w_per_k_m": "W/(K m)", "mhz": "MHz",
    "j_per_k_m": "J/(K m)", "ampere_minutes": "A min", "free_air_m": "",
}  # fmt: skip
"""Units that a hand calculation spells otherwise than a table does, by suffix; an exponent."""


class Formula(Generic[P]):
    """What `@formula` makes: called with numbers it gives the number, `step` gives its line.

    A text without functions takes arrays as well as floats.
    """

    def __init__(
        self, text: Callable[P, str], result: Term, keywords: Mapping[str, str], note: str
    ) -> None:
        """Keep the function that returns the text, under its own name and documentation."""
        update_wrapper(self, text)
        self.text = text
        """The formula that holds for these numbers; `NotCovered` where none does."""
        self.result = result
        told = {symbol: words.partition(": ") for symbol, words in keywords.items()}
        self.symbols = {symbol: keyword for symbol, (keyword, _, _) in told.items()}
        """Symbol → keyword."""
        self.terms = {
            keyword: Term(symbol, 0.0, _unit(keyword), meaning)
            for symbol, (keyword, _, meaning) in told.items()
        }
        """Keyword → its symbol, unit and meaning."""
        self.note = note
        names = text.__code__.co_varnames[: text.__code__.co_kwonlyargcount]
        self._given: Callable[..., str] = text
        self._computes = _Compiled(names, self.symbols)

    def __call__(self, *args: P.args, **given: P.kwargs) -> float:
        """Give the number, by the text."""
        return self._computes[self.text(*args, **given)](**given)

    def plain(self, *args: P.args, **given: P.kwargs) -> Number:
        """The number alone, for a loop: by the text that holds for these numbers.

        Whoever calls it sees to it that the same text holds for all of his.
        """
        return self._computes[self.text(*args, **given)]

    def step(
        self,
        *,
        note: str = "",
        symbol: str = "",
        meaning: str = "",
        source: str = "",
        **given: Term | Step | float | None,
    ) -> Step:
        """Its line of a hand calculation: the same keywords, each with what is known of its number.

        A term has its value and origin, and its meaning where it is not the formula's; the
        keywords that stand in the text as numbers are numbers. `note`, `symbol`, `meaning` and
        `source` may be others than the formula's own.

        Raises:
            NotCovered: the formula does not hold for these terms.
        """
        terms = {word: self._term(word, one) for word, one in given.items() if word in self.terms}
        numbers = given | {word: term.value for word, term in terms.items()}
        text = self._given(**numbers)
        used = _words(text)
        in_order = sorted(terms.values(), key=lambda term: used.index(term.symbol)
                          if term.symbol in used else -1)  # fmt: skip
        result = replace(
            self.result,
            symbol=symbol or self.result.symbol,
            value=self._computes[text](**numbers),
            meaning=meaning or self.result.meaning,
            origin=COMPUTED,
        )
        return Step(
            result=result,
            formula=text,
            terms=tuple(term for term in in_order if term.symbol in used),
            source=source or cited(self),
            note=note or self.note,
        )

    def _term(self, keyword: str, given: Term | Step | float | None) -> Term:
        own = self.terms[keyword]
        if isinstance(given, Step):
            given = given.term
        elif not isinstance(given, Term):
            return replace(own, value=given)  # a number alone; None where there is none
        return replace(
            given,
            symbol=own.symbol,
            unit=given.unit or own.unit,
            meaning=given.meaning or own.meaning,
        )


@cache
def _words(text: str) -> tuple[str, ...]:
    """Symbols and functions of a formula in the order of its text."""
    return tuple(re.findall(r"[A-Za-z_]\w*", text))


def formula(
    symbol: str, unit: str, meaning: str, *, note: str = "", **keywords: str
) -> Callable[[Callable[P, str]], Formula[P]]:
    """Make a formula of a function that returns its text, or raises `NotCovered`.

    `symbol`, `unit`, `meaning` are those of the result; `keywords` says of each symbol of the text
    which keyword it stands for, whose suffix is its unit, and what that is.

    >>> @formula("U", "V", "voltage lost", I="current_a: current", R="resistance_ohm: resistance")
    ... def lost_v(*, current_a: float, resistance_ohm: float) -> str:
    ...     return "I * R"
    >>> from elec.working import given
    >>> lost_v(current_a=2.0, resistance_ohm=0.25)
    0.5
    >>> line = lost_v.step(current_a=given(2.0, "measured"), resistance_ohm=given(0.25, "label"))
    >>> line.formula, line.result.value, line.result.unit
    ('I * R', 0.5, 'V')
    >>> line.terms[0]
    Term(symbol='I', value=2.0, unit='A', meaning='current', origin='measured', came=None)
    """
    result = Term(symbol, 0.0, unit, meaning)
    return lambda text: Formula(text, result, keywords, note)


def _unit(keyword: str) -> str:
    """The unit that a keyword's suffix says, as a hand calculation spells it.

    >>> _unit("current_a"), _unit("heat_loss_w_per_k_m"), _unit("loading")
    ('A', 'W/(K m)', '')
    """
    for suffix in sorted(SPELLED, key=len, reverse=True):
        if keyword == suffix or keyword.endswith(f"_{suffix}"):
            return SPELLED[suffix]
    suffix = split_suffix(keyword)[1]
    return SUFFIXES[suffix].unit if suffix else ""


class _Compiled(dict[str, Number]):
    """Each text of a formula as a function of its keywords, compiled when it is first asked for."""

    def __init__(self, names: tuple[str, ...], symbols: Mapping[str, str]) -> None:
        super().__init__()
        self.names, self.symbols = names, symbols

    def __missing__(self, text: str) -> Number:
        calculator(text)  # nothing but arithmetic
        if unknown := symbols(text) - self.symbols.keys():
            raise ValueError(f"{text}: nothing is said of {', '.join(sorted(unknown))}")
        keywords = ", ".join(f"{name}=None" for name in self.names)
        code = f"lambda *, {keywords}: {renamed(text, self.symbols)}"
        self[text] = eval(code, {**FUNCTIONS, **CONSTANTS, "__builtins__": {}})  # noqa: S307 - arithmetic alone
        return self[text]
