"""The steps that lead to a number, so that a reader with a pocket calculator can follow.

In: numbers and where each came from. Out: frozen records that pages print and tests re-evaluate.
"""

import ast
import math
from collections.abc import Callable, Mapping
from functools import cache
from typing import Literal

from elec.record import dataclass

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


@dataclass(frozen=True, kw_only=True)
class Term:
    """One number put into a formula.

    `symbol` is the letter used in the formula, `origin` says where the value came from:
    `lights.yaml:31`, `AC 43.13-1B table 11-9`, `default wire-slack`, `step 2`.
    """

    symbol: str
    value: float
    unit: str
    meaning: str = ""
    origin: str = ""


@dataclass(frozen=True, kw_only=True)
class Step:
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


@dataclass(frozen=True, kw_only=True)
class Working:
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

_Values = Mapping[str, float]
_Code = Callable[[_Values], float]
_OPERATIONS: Mapping[type, Callable[[float, float], float]] = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b,
    ast.Pow: lambda a, b: float(a**b),
}


def evaluate(formula: str, values: Mapping[str, float]) -> float:
    """What a calculator makes of a formula with these values for its symbols.

    >>> evaluate("I * (R + 2 * j)", {"I": 2.0, "R": 0.25, "j": 0.5})
    2.5

    Raises:
        ValueError: something that a formula may not hold, or a symbol without a value.
        ZeroDivisionError: as it says.
    """
    return _compiled(formula)(values)


@cache
def _compiled(formula: str) -> _Code:
    try:
        tree = ast.parse(formula.strip(), mode="eval")
    except SyntaxError as error:
        raise ValueError(f"no formula: {formula}") from error
    return _code(tree.body, formula)


def _code(node: ast.expr, formula: str) -> _Code:
    match node:
        case ast.Constant(value=int() | float() as number):
            return lambda _: float(number)
        case ast.Name(id=name):
            return lambda values: _value(values, name)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            inner = _code(operand, formula)
            return lambda values: -inner(values)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _OPERATIONS:
            do, a, b = _OPERATIONS[type(op)], _code(left, formula), _code(right, formula)
            return lambda values: do(a(values), b(values))
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in FUNCTIONS:
            parts = [_code(arg, formula) for arg in args]
            call = FUNCTIONS[name]
            return lambda values: float(call(*(part(values) for part in parts)))
        case _:
            raise ValueError(f"no formula: {formula}")


def _value(values: _Values, name: str) -> float:
    found = values.get(name, CONSTANTS.get(name))
    if found is None:
        raise ValueError(f"no value for {name}")
    return found
