"""A hand calculation as markup: a large book has two thousand of them, too many for a template."""

import re
from functools import lru_cache

from markupsafe import escape

from elec.kept import takes_over
from elec.units import UnitSystem
from elec.working import Working
from elec.write.steps import ShownNumber, StepLine, hand
from elec.write.values import clean

_POWER = re.compile(r"\^(\d+(?:\.\d+)?)")


@takes_over
def steps_html(working: Working, units: UnitSystem) -> str:
    """A hand calculation, line by line, and what it comes to."""
    lines, judged = hand(working, units)
    fails = " fails" if working.passes is False else ""
    verdict = f'<p class="judged{fails}">{escaped(judged)}</p>' if judged else ""
    binds = f"What decided: {escaped(clean(working.binds))}." if working.binds else ""
    return f'<ol class="steps">{"".join(map(_line, lines))}</ol>\n{verdict}' + (
        f'<p class="binds">{binds}</p>' if binds else ""
    )


@lru_cache(maxsize=1 << 14)
def escaped(text: str) -> str:
    """Text for markup; words and numbers of a book come again and again."""
    return str(escape(text))


def _line(line: StepLine) -> str:
    formula = f"<span>{_powers(line.formula)}</span> " if line.formula else ""
    inserted = f"<span>{_powers(line.inserted)}</span> " if line.inserted else ""
    terms = f"<ul>{''.join(map(_term, line.terms))}</ul>" if line.terms else ""
    return (
        f'<li><p>{escaped(line.meaning)}</p><p class="sum">{formula}{inserted}'
        f"<b>{escaped(line.result)}</b></p>\n{terms}"
        f"{_source('from ', line.origin)}{_source('after ', line.source)}"
        f"{_source('', line.note)}</li>"
    )


def _term(term: ShownNumber) -> str:
    origin = f" <i>{escaped(term.origin)}</i>" if term.origin else ""
    number = f"<b>{escaped(term.symbol)} = {escaped(term.value)}</b>"
    return f"<li>{number} {escaped(term.meaning)}{origin}</li>"


def _source(how: str, text: str) -> str:
    return f'<p class="source">{how}{escaped(text)}</p>' if text else ""


def _powers(text: str) -> str:
    """`a^2` with a raised 2; everything else escaped."""
    markup = escaped(text)
    return _POWER.sub(r"<sup>\1</sup>", markup) if "^" in markup else markup
