"""The steps that lead to a number, so that a reader with a pocket calculator can follow.

In: numbers and where each came from. Out: frozen records that pages print and tests re-evaluate.
"""

from elec.record import dataclass


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
    `+ - * / **`, brackets, `sqrt log ln exp min max`. An empty formula states a value that was
    looked up.
    """

    result: Term
    formula: str = ""
    terms: tuple[Term, ...] = ()
    source: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Working:
    """All steps of one number; `binds` names the step that decided, where one did."""

    title: str
    steps: tuple[Step, ...]
    binds: str = ""
