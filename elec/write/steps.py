"""A working as the lines of a hand calculation, the same in every format."""

import math
import re

from elec.record import dataclass
from elec.units import UnitSystem, show
from elec.working import Step, Term, Working
from elec.write.values import clean, significant, symbol

_TOKEN = re.compile(r"\d+(?:\.\d*)?(?:[eE][+-]?\d+)?|[^\W\d]\w*")
_OPERATORS = {"**": "^", "*": " × ", "/": " / ", "+": " + "}
_SPLIT = re.compile(r"(\*\*|[*/+])")


@dataclass(frozen=True, kw_only=True)
class Line:
    """One step, ready for print."""

    number: int
    meaning: str
    formula: str
    """`I = P / V`, or empty for a value that was looked up."""
    inserted: str
    """`= 45 W / 14 V`, the formula with its numbers put in."""
    result: str
    """`= 3.214 A`."""
    origin: str
    terms: tuple[Term, ...]
    source: str
    note: str


def lines(working: Working) -> tuple[Line, ...]:
    """The steps of a working in order, numbered from 1."""
    return tuple(_line(number, step) for number, step in enumerate(working.steps, start=1))


def quantity(term: Term) -> str:
    """A term's number with its unit.

    >>> quantity(Term(symbol="V", value=14.0, unit="v"))
    '14 V'
    """
    return f"{significant(term.value)} {clean(symbol(term.unit))}".rstrip()


def with_feet(term: Term, system: UnitSystem) -> str:
    """A term's number with its unit, and a length also as the builder says it.

    >>> with_feet(Term(symbol="l", value=1.905, unit="m"), "feet")
    '1.905 m (6 ft 3 in)'
    """
    if term.unit == "m" and system == "feet" and math.isfinite(term.value):
        return f"{quantity(term)} ({show(term.value, 'm')})"
    return quantity(term)


def insert(step: Step) -> str:
    """The formula with its numbers put in for its symbols.

    >>> volts = Term(symbol="V", value=14.0, unit="v")
    >>> watts = Term(symbol="P", value=45.0, unit="w")
    >>> amps = Term(symbol="I", value=3.214, unit="a")
    >>> insert(Step(result=amps, formula="P / V", terms=(watts, volts)))
    '45 / 14'
    """
    known = {term.symbol: significant(term.value) for term in step.terms}

    def replace(match: re.Match[str]) -> str:
        text = known.get(match.group())
        if text is None:
            return match.group()
        return f"({text})" if text.startswith("-") or "e" in text else text

    return pretty(_TOKEN.sub(replace, step.formula))


def pretty(formula: str) -> str:
    """A formula with printed signs for the operators.

    >>> pretty("2*a**2/b")
    '2 × a^2 / b'
    """
    parts = _SPLIT.split(clean(formula))
    text = "".join(_OPERATORS.get(part, part) for part in parts)
    return re.sub(r" {2,}", " ", text).replace(" ^ ", "^").strip()


def _line(number: int, step: Step) -> Line:
    result = step.result
    formula = f"{clean(result.symbol)} = {pretty(step.formula)}" if step.formula else ""
    inserted = insert(step) if step.terms and step.formula else ""
    if inserted == quantity(result) or inserted == pretty(step.formula):
        inserted = ""
    return Line(
        number=number,
        meaning=clean(result.meaning or result.symbol),
        formula=formula,
        inserted=f"= {inserted}" if inserted else "",
        result=f"= {quantity(result)}"
        if formula
        else f"{clean(result.symbol)} = {quantity(result)}",
        origin="" if step.formula else clean(result.origin),
        terms=step.terms,
        source=clean(step.source),
        note=clean(step.note),
    )
