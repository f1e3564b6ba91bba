"""A working as the lines of a hand calculation, the same in every format.

Numbers print with four significant digits, and with more where a calculator that is fed the printed
numbers would otherwise show another result than the printed one.
"""

import math
import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from msgspec import Struct

from elec.units import UnitSystem, show
from elec.working import Step, Term, Working, evaluate
from elec.write.values import USUAL_DIGITS, clean, significant, symbol

_TOKEN = re.compile(r"\d+(?:\.\d*)?(?:[eE][+-]?\d+)?|[^\W\d]\w*")
_OPERATORS = {"**": "^", "*": " × ", "/": " / ", "+": " + "}
_SPLIT = re.compile(r"(\*\*|[*/+])")
_SPACES = re.compile(r" {2,}")
_PI = re.compile(r"\bpi\b")
_MOST_DIGITS = 15
"""A float has no more."""
_SPARE_DIGITS = 3
"""So many more digits in the terms than in the result are enough but at half-way values, unless
terms nearly cancel."""
_MOST_PASSES = 8
LONG_SUM = 9
"""A sum of so many numbers and more is added up in a column."""
COMPUTED = "computed"
"""The origin of a result; where it is used, the number of its step stands instead."""


class ShownNumber(Struct, frozen=True, kw_only=True):
    """One number put into a formula, ready for print."""

    symbol: str
    value: str
    """With its unit; a length also as the builder says it."""
    meaning: str
    origin: str


class StepLine(Struct, frozen=True, kw_only=True):
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
    terms: tuple[ShownNumber, ...]
    source: str
    note: str


def hand(working: Working, system: UnitSystem = "metric") -> tuple[tuple[StepLine, ...], str]:
    """The lines of a working, and whether it keeps to its limit."""
    digits = _Digits(working)
    return _lines(working, digits, system), _verdict(working, digits)


def lines(working: Working, system: UnitSystem = "metric") -> tuple[StepLine, ...]:
    """The steps of a working in order, numbered from 1."""
    return _lines(working, _Digits(working), system)


def verdict(working: Working) -> str:
    """Whether the last result keeps to its limit, in words; empty where there is no limit.

    >>> lost = Term(symbol="V", value=0.62, unit="V")
    >>> most = Term(symbol="", value=0.5, unit="V", meaning="allowed", origin="lights.yaml:31")
    >>> verdict(Working(title="t", steps=(Step(result=lost),), limit=most))
    'V = 0.62 V; allowed: at most 0.5 V (lights.yaml:31). It fails.'
    """
    return _verdict(working, _Digits(working))


def _lines(working: Working, digits: "_Digits", system: UnitSystem) -> tuple[StepLine, ...]:
    found = []
    steps_of: dict[_Key, int] = {}
    for number, step in enumerate(working.steps, start=1):
        found.append(_line(number, step, digits, steps_of, system))
        steps_of.setdefault(_key(step.result), number)
    return tuple(found)


def _verdict(working: Working, every: "_Digits") -> str:
    limit = working.limit
    if limit is None or not working.steps:
        return ""
    result = working.steps[-1].result
    digits = every.of(result)
    limit_digits = USUAL_DIGITS
    apart = result.value != limit.value and not math.isclose(result.value, limit.value)
    while (
        apart
        and digits < _MOST_DIGITS
        and significant(result.value, digits) == significant(limit.value, limit_digits)
    ):  # what is just over the limit must not print like it
        digits, limit_digits = digits + 1, limit_digits + 1
    where = f" ({clean(limit.origin)})" if limit.origin else ""
    return (
        f"{clean(result.symbol)} = {quantity(result, digits)}; {clean(limit.meaning)}: "
        f"{working.rule} {quantity(limit, limit_digits)}{where}. "
        f"{'It passes' if working.passes else 'It fails'}."
    )


def quantity(term: Term, digits: int = USUAL_DIGITS) -> str:
    """A term's number with its unit.

    >>> quantity(Term(symbol="V", value=14.0, unit="v"))
    '14 V'
    """
    return f"{significant(term.value, digits)} {clean(symbol(term.unit))}".rstrip()


def with_feet(term: Term, system: UnitSystem, digits: int = USUAL_DIGITS) -> str:
    """A term's number with its unit, and a length also as the builder says it.

    >>> with_feet(Term(symbol="l", value=1.905, unit="m"), "feet")
    '1.905 m (6 ft 3 in)'
    """
    if term.unit == "m" and system == "feet" and math.isfinite(term.value):
        return f"{quantity(term, digits)} ({show(term.value, 'm')})"
    return quantity(term, digits)


def insert(step: Step, digits: Sequence[int] = ()) -> str:
    """The formula with its numbers put in for its symbols, each with its digits or the usual ones.

    >>> volts = Term(symbol="V", value=14.0, unit="v")
    >>> watts = Term(symbol="P", value=45.0, unit="w")
    >>> amps = Term(symbol="I", value=3.214, unit="a")
    >>> insert(Step(result=amps, formula="P / V", terms=(watts, volts)))
    '45 / 14'
    """
    each = digits or [USUAL_DIGITS] * len(step.terms)
    known = {
        term.symbol: significant(term.value, count)
        for term, count in zip(step.terms, each, strict=True)
    }

    def replace(match: re.Match[str]) -> str:
        text = known.get(match.group())
        if text is None:
            return match.group()
        return f"({text})" if text.startswith("-") or "e" in text else text

    return pretty(_TOKEN.sub(replace, step.formula))


@lru_cache(maxsize=1 << 12)
def pretty(formula: str) -> str:
    """A formula with printed signs for the operators.

    >>> pretty("2*a**2/b"), pretty("pi / 4 * d")
    ('2 × a^2 / b', 'π / 4 × d')
    """
    parts = _SPLIT.split(clean(formula))
    text = "".join(_OPERATORS.get(part, part) for part in parts)
    return _PI.sub("π", _SPACES.sub(" ", text).replace(" ^ ", "^").strip())


def column(step: Step) -> str:
    """A long sum in short, its numbers standing in the column below; empty for all else.

    >>> many = tuple(Term(symbol=f"i{n}", value=1.0, unit="A") for n in range(1, 54))
    >>> total = Term(symbol="I", value=53.0, unit="A")
    >>> column(Step(result=total, formula=" + ".join(t.symbol for t in many), terms=many))
    'i1 + i2 + … + i53'
    """
    names = [term.symbol for term in step.terms]
    if len(names) < LONG_SUM or step.formula != " + ".join(names):
        return ""
    return f"{names[0]} + {names[1]} + … + {names[-1]}"


def _line(
    number: int,
    step: Step,
    digits: "_Digits",
    steps_of: "dict[_Key, int]",
    system: UnitSystem,
) -> StepLine:
    result = step.result
    formula, inserted, shown = _said(step, digits.of_step(step))
    return StepLine(
        number=number,
        meaning=clean(result.meaning or result.symbol),
        formula=formula,
        inserted=f"= {inserted}" if inserted else "",
        result=f"= {shown}" if formula else f"{clean(result.symbol)} = {shown}",
        origin="" if step.formula else clean(result.origin),
        terms=tuple(
            ShownNumber(
                symbol=clean(term.symbol),
                value=with_feet(term, system, digits.of(term)),
                meaning=clean(term.meaning),
                origin=_origin(term, steps_of),
            )
            for term in step.terms
        ),
        source=clean(step.source),
        note=clean(step.note),
    )


@lru_cache(maxsize=1 << 12)
def _said(step: Step, digits: tuple[int, ...]) -> tuple[str, str, str]:
    """Formula, the same with its numbers, and result; `digits` as `of_step` gives them.

    Many workings go through the same steps.
    """
    result, count = step.result, digits[0]
    shown = quantity(result, count)
    added = column(step)
    text = added or pretty(step.formula)
    formula = f"{clean(result.symbol)} = {text}" if step.formula else ""
    inserted = insert(step, digits[1:]) if step.terms and step.formula and not added else ""
    if inserted in (shown, pretty(step.formula), significant(result.value, count)):
        inserted = ""
    return formula, inserted, shown


@lru_cache(maxsize=1 << 12)
def _reproduced(step: Step, digits: tuple[int, ...]) -> bool:
    """Whether the printed formula gives the printed result; `digits` as `of_step` gives them."""
    values = {t.symbol: float(significant(t.value, count))
              for t, count in zip(step.terms, digits[1:], strict=True)
              if math.isfinite(t.value)}  # fmt: skip
    try:
        found = evaluate(step.formula, values)
    except (ArithmeticError, TypeError, ValueError):
        return False
    return significant(found, digits[0]) == significant(step.result.value, digits[0])


def _origin(term: Term, steps_of: "dict[_Key, int]") -> str:
    """Where a term comes from: of an earlier result the number of its step."""
    number = steps_of.get(_key(term))
    if number is not None and term.origin in ("", COMPUTED):
        return f"step {number}"
    return clean(term.origin)


_Key = tuple[str, float, str]
"""What is one number throughout a working: symbol, value and unit."""


def _key(term: Term) -> _Key:
    return (term.symbol, term.value, term.unit)


class _Digits:
    """How many digits each number of a working prints with.

    A number prints alike wherever it stands in the working. From the last step back to the first,
    the terms of each get as many digits as it takes for the printed formula to give the printed
    result.
    """

    def __init__(self, working: Working) -> None:
        self._digits: dict[_Key, int] = {}
        steps = [step for step in reversed(working.steps) if step.formula and step.terms]
        for _ in range(_MOST_PASSES):
            # A number with more digits may stand in a later step as well: look again.
            changed = [self._refine(step) for step in steps]
            if not any(changed):
                return

    def of(self, term: Term) -> int:
        """Significant digits of a term."""
        return self._digits.get(_key(term), USUAL_DIGITS) if self._digits else USUAL_DIGITS

    def of_step(self, step: Step) -> tuple[int, ...]:
        """Those of its result, and of each of its terms."""
        if not self._digits:
            return (USUAL_DIGITS,) * (1 + len(step.terms))
        return self.of(step.result), *map(self.of, step.terms)

    def _refine(self, step: Step) -> bool:
        if _reproduced(step, self.of_step(step)):
            return False
        before = dict(self._digits)
        while not _reproduced(step, self.of_step(step)):
            coarse = [term for term in self._coarse(step) if self.of(term) < self._enough(step)]
            if coarse:
                for term in coarse:
                    self._digits[_key(term)] = self.of(term) + 1
                continue
            # The result lies half-way between two roundings, or next to it: show more of it.
            more = self.of(step.result) + 1
            if more > _MOST_DIGITS:
                break
            self._digits = {**before, _key(step.result): more}
        return self._digits != before

    def _enough(self, step: Step) -> int:
        """Digits of the terms beyond which a result that is still missed is half-way."""
        return self.of(step.result) + _SPARE_DIGITS

    def _coarse(self, step: Step) -> Iterator[Term]:
        """The terms of which more can be shown."""
        for term in step.terms:
            digits = self.of(term)
            if digits == _MOST_DIGITS or not math.isfinite(term.value):
                continue
            if float(significant(term.value, digits)) != term.value:
                yield term
