"""The steps that lead to a number, so that a reader with a pocket calculator can follow.

In: numbers and where each came from. Out: frozen records that pages print and tests re-evaluate.
"""

import ast
import math
import operator
import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

Rule = Literal["at most", "at least"]

ROUNDING = 1e-9
"""A number counts as within its limit up to this share of it: the error of adding in floats."""


def within(value: float, limit: float, rule: Rule = "at most") -> bool:
    """Whether a number keeps to its limit: the one comparison, and the one tolerance, of all.

    >>> within(0.1 + 0.2, 0.3), within(0.31, 0.3), within(0.31, 0.3, "at least")
    (True, False, True)
    """
    slack = ROUNDING * abs(limit)
    return value <= limit + slack if rule == "at most" else value >= limit - slack


def unrounded(value: float) -> float:
    """A number to eight digits: so that what is equal but for rounding is put in the given order.

    >>> unrounded(0.1 + 0.2) == unrounded(0.3), unrounded(0.30000001) == unrounded(0.3)
    (True, False)
    """
    return float(f"{value:.8g}")


COMPUTED = "computed"
"""The origin of a result."""


class Ref(Struct, frozen=True):
    """Another hand calculation: what it works out, and of which thing by its identifier."""

    what: str
    of: str


class Term(Struct, frozen=True):
    """One number put into a formula.

    `symbol` is the letter used in the formula, `origin` says where the value came from:
    `lights.yaml:31`, `AC 43.13-1B table 11-9`, `default wire-slack`, `step 2`; `came` is the
    step that made it, or says which other hand calculation did.
    """

    symbol: str
    value: float
    unit: str
    meaning: str = ""
    origin: str = ""
    came: "Step | Ref | None" = None


class Step(Struct, frozen=True, kw_only=True, cache_hash=True):
    """One line of a hand calculation: result = formula with the terms put in.

    `formula` is arithmetic in the terms' symbols that a reader (and a test) can evaluate:
    `+ - * / **`, brackets, `pi sqrt ln exp min max`. An empty formula states a value that was
    looked up.
    """

    result: Term
    formula: str = ""
    terms: tuple[Term, ...] = ()
    source: str = ""
    note: str = ""

    @property
    def term(self) -> Term:
        """Its result, to be put into the next formula."""
        return replace(self.result, came=self)


def given(value: float, origin: str, meaning: str = "", came: Ref | None = None) -> Term:
    """A number for a formula, which knows its symbol and unit, and what it means."""
    return Term("", value, "", meaning, origin, came)


def computed(
    symbol: str,
    unit: str,
    meaning: str,
    formula: str,
    terms: "Iterable[Term | Step]",
    *,
    source: str = "",
    note: str = "",
) -> Step:
    """A step of arithmetic: its value is what its formula makes of the terms; empty is none.

    >>> amps = computed("I", "A", "current", "P / V", [Term("P", 45, "W"), Term("V", 12, "V")])
    >>> amps.result.value
    3.75
    """
    put = tuple(one.term if isinstance(one, Step) else one for one in terms)
    formula = formula or "0"
    value = evaluate(formula, {term.symbol: term.value for term in put})
    result = Term(symbol, value, unit, meaning, COMPUTED)
    return Step(result=result, formula=formula, terms=put, source=source, note=note)


def total(terms: "Iterable[Term | Step]") -> str:
    """The formula of a sum; 0 for no terms."""
    every = (one.result if isinstance(one, Step) else one for one in terms)
    return " + ".join(term.symbol for term in every) or "0"


def leading_to(*last: Step) -> tuple[Step, ...]:
    """The steps that these came from, each once and before it is used, then these.

    >>> half = computed("h", "", "", "x / 2", [Term("x", 3, "")])
    >>> [one.result.value for one in leading_to(computed("y", "", "", "h + 1", [half]))]
    [1.5, 2.5]
    """
    found: dict[Step, None] = {}
    for step in last:
        before = (term.came for term in step.terms)
        found |= dict.fromkeys(leading_to(*(one for one in before if isinstance(one, Step))))
        found[step] = None
    return tuple(found)


class Working(Struct, frozen=True, kw_only=True, cache_hash=True):
    """All steps of one number; `binds` names the step that decided, where one did.

    Where the last result has to keep to something, `limit` is that number with its origin, and
    `rule` says on which side of it the result has to be.
    """

    title: str
    steps: tuple[Step, ...]
    binds: str = ""
    limit: Term | None = None
    rule: Rule = "at most"

    @property
    def value(self) -> float | None:
        """The last result; None without steps."""
        return self.steps[-1].result.value if self.steps else None

    @property
    def passes(self) -> bool | None:
        """Whether the last result keeps to the limit; None where there is none."""
        if self.limit is None or self.value is None:
            return None
        return within(self.value, self.limit.value, self.rule)


FUNCTIONS: Mapping[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "ln": math.log,
    "exp": math.exp,
    "min": min,
    "max": max,
}
"""What a formula may use. There is no `log`: calculators mean the decimal one by it."""
CONSTANTS: Mapping[str, float] = {"pi": math.pi}
"""Names that a formula may use without a term."""

_Values = Mapping[str, Any]
_Code = Callable[[_Values], Any]


class _Kit(Struct, frozen=True, kw_only=True):
    """What the signs and names of a formula do: with numbers, or with whole arrays of them."""

    operations: Mapping[type, Callable[[Any, Any], Any]]
    functions: Mapping[str, Callable[..., Any]]


_OPERATIONS: Mapping[type, Callable[[Any, Any], Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
_NUMBERS = _Kit(operations={**_OPERATIONS, ast.Pow: lambda a, b: float(a**b)}, functions=FUNCTIONS)


@cache
def _arrays() -> _Kit:
    import numpy as np

    functions = {
        "sqrt": np.sqrt,
        "ln": np.log,
        "exp": np.exp,
        "min": np.minimum,
        "max": np.maximum,
    }
    return _Kit(operations=_OPERATIONS, functions=functions)


def evaluate(formula: str, values: Mapping[str, float]) -> float:
    """What a calculator makes of a formula with these values for its symbols.

    >>> evaluate("I * (R + 2 * j)", {"I": 2.0, "R": 0.25, "j": 0.5})
    2.5

    Raises:
        ValueError: something that a formula may not hold, or a symbol without a value.
        ZeroDivisionError: as it says.
    """
    return float(calculator(formula)(values))


@cache
def of_arrays(formula: str) -> Callable[[Mapping[str, Any]], Any]:
    """The same formula for numpy's arrays: symbol → array (or number) in, array out.

    >>> of_arrays("P / V")({"P": 140.0, "V": 14.0})
    10.0

    Raises:
        ValueError: as `evaluate`.
    """
    return _code(_parsed(formula), formula, _arrays())


@cache
def symbols(formula: str) -> frozenset[str]:
    """The symbols that a formula needs values for.

    >>> sorted(symbols("min(P, 2 * pi) / V"))
    ['P', 'V']
    """
    names = {node.id for node in ast.walk(_parsed(formula)) if isinstance(node, ast.Name)}
    return frozenset(names - FUNCTIONS.keys() - CONSTANTS.keys())


def renamed(formula: str, names: Mapping[str, str]) -> str:
    """The formula with other symbols, or with numbers in their place.

    >>> renamed("P / V", {"V": "Vl"})
    'P / Vl'
    """
    return re.sub(r"\b[A-Za-z_]\w*", lambda found: names.get(found[0], found[0]), formula)


@cache
def calculator(formula: str) -> _Code:
    """The formula for numbers: symbol → number in, number out.

    Raises:
        ValueError: something that a formula may not hold.
    """
    return _code(_parsed(formula), formula, _NUMBERS)


def _parsed(formula: str) -> ast.expr:
    try:
        return ast.parse(formula.strip(), mode="eval").body
    except SyntaxError as error:
        raise ValueError(f"no formula: {formula}") from error


def _code(node: ast.expr, formula: str, kit: _Kit) -> _Code:
    match node:
        case ast.Constant(value=int() | float() as number):
            value = float(number)
            return lambda _: value
        case ast.Name(id=name):
            return lambda values: _value(values, name)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            inner = _code(operand, formula, kit)
            return lambda values: -inner(values)
        case ast.BinOp(op=op) if type(op) in kit.operations:
            return _chain(node, formula, kit)
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in kit.functions:
            parts = [_code(arg, formula, kit) for arg in args]
            call = kit.functions[name]
            return lambda values: call(*(part(values) for part in parts))
        case _:
            raise ValueError(f"no formula: {formula}")


def _chain(node: ast.expr, formula: str, kit: _Kit) -> _Code:
    """Operations one after the other: a sum may have a thousand terms, a call in a call not."""
    later: list[tuple[Callable[[Any, Any], Any], _Code]] = []
    while isinstance(node, ast.BinOp) and type(node.op) in kit.operations:
        later.append((kit.operations[type(node.op)], _code(node.right, formula, kit)))
        node = node.left
    begin = _code(node, formula, kit)
    if len(later) == 1:
        ((do, other),) = later
        return lambda values: do(begin(values), other(values))
    later.reverse()

    def all_of_them(values: _Values) -> Any:
        found = begin(values)
        for do, other in later:
            found = do(found, other(values))
        return found

    return all_of_them


def _value(values: _Values, name: str) -> Any:
    found = values.get(name, CONSTANTS.get(name))
    if found is None:
        raise ValueError(f"no value for {name}")
    return found
