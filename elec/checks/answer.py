"""How checks put their answers into words: findings, numbers, lists of names.

In: a study and what the check compared. Out: findings and texts. No check of its own.
"""

import math
from collections.abc import Callable, Iterable

from elec import units
from elec.finding import Consequence, Finding, Verdict
from elec.study import Study
from elec.wiring.limits import Limit
from elec.working import Working, unrounded

Path = tuple[str | int, ...]
UNKNOWN = "?"
"""A number that is not known, for print: never a nought."""


def answer(
    study: Study,
    about: str,
    verdict: Verdict,
    sentence: str,
    *,
    at: Path,
    remedy: str = "",
    value: float | None = None,
    limit: float | None = None,
    unit: str = "",
    working: Working | Callable[[], Working | None] | None = None,
    sources: tuple[str, ...] = (),
    consequence: Consequence = Consequence.OTHER,
) -> Finding:
    """A finding about one thing at one place of the builder's text; the register adds the rest.

    A remedy is dropped from a pass. A number that cannot be printed (infinite, not a number) is
    left out.
    """
    return Finding(
        check="",
        about=about,
        verdict=verdict,
        sentence=sentence,
        place=study.system.where(*at),
        value=_finite(value),
        limit=_finite(limit),
        unit=unit,
        remedy="" if verdict is Verdict.PASS else remedy,
        sources=sources,
        made=working,
        consequence=consequence,
    )


def _finite(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None


def passes(good: bool, otherwise: Verdict = Verdict.FAIL) -> Verdict:
    """Pass, or else the other verdict."""
    return Verdict.PASS if good else otherwise


def apart(value: float, limit: float, unit: str, digits: int = 2) -> tuple[str, str]:
    """A value and its limit for print, with as many decimals as it takes to tell them apart.

    >>> apart(0.503, 0.5, "V")
    ('0.503 V', '0.500 V')
    >>> apart(0.62, 0.5, "V")
    ('0.62 V', '0.50 V')
    >>> apart(0.1 + 0.2, 0.3, "V"), apart(0.3000012, 0.3, "V"), apart(0.3000004, 0.3, "V")
    (('0.30 V', '0.30 V'), ('0.300001 V', '0.300000 V'), ('0.300000 V', '0.300000 V'))
    """
    same = unrounded(value) == unrounded(limit)
    while digits < 6 and not same and f"{value:.{digits}f}" == f"{limit:.{digits}f}":
        digits += 1
    return f"{value:.{digits}f} {unit}".rstrip(), f"{limit:.{digits}f} {unit}".rstrip()


def lasts(minutes: float, asked: float) -> tuple[str, str]:
    """A time that lasts, in whole minutes down, and what is asked of it, up.

    >>> lasts(29.6, 30.0), lasts(95.9, 210.25)
    (('29 min', '30 min'), ('95 min', '211 min'))
    """
    return f"{units.whole_minutes(minutes)} min", f"{units.asked_minutes(asked)} min"


def amps(value: float | None) -> str:
    """A current for print.

    >>> amps(3.7512), amps(0.0804), amps(167.5), amps(None)
    ('3.8 A', '0.08 A', '168 A', '?')
    """
    if value is None:
        return UNKNOWN
    if value >= 100:
        return f"{value:.0f} A"
    return f"{value:.1f} A" if value >= 1 else f"{value:.2f} A"


def millis(seconds: float) -> str:
    """A short time for print.

    >>> millis(0.04), millis(1.5)
    ('40 ms', '1500 ms')
    """
    return f"{1000 * seconds:.0f} ms"


def percent(share: float | None) -> str:
    """A part of one for print.

    >>> percent(0.634), percent(None)
    ('63 %', '?')
    """
    return UNKNOWN if share is None else f"{share * 100:.0f} %"


def length(study: Study, value_m: float | None) -> str:
    """A length in the builder's units."""
    return UNKNOWN if value_m is None else units.show(value_m, "m", study.system.about.units)


def run_length(study: Study, value_m: float | None) -> str:
    """The length of a wire as it is laid: rounded up, as on sheets and in the cut list."""
    return UNKNOWN if value_m is None else units.cut_length(value_m, study.system.about.units)


def longest_run(study: Study, value_m: float | None) -> str:
    """The longest that a wire may be: rounded down."""
    return UNKNOWN if value_m is None else units.most_length(value_m, study.system.about.units)


def listed(names: Iterable[str], most: int = 6) -> str:
    """Names as a sentence has them, the rest counted.

    >>> listed(["a", "b", "c"]), listed("abcdefgh", most=3)
    ('a, b and c', 'a, b, c and 5 more')
    """
    found = list(names)
    if len(found) > most:
        return f"{', '.join(found[:most])} and {len(found) - most} more"
    if len(found) < 2:
        return "".join(found)
    return f"{', '.join(found[:-1])} and {found[-1]}"


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun.

    >>> count(1, "wire"), count(3, "wire"), count(2, "bus", "buses")
    ('1 wire', '3 wires', '2 buses')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def begun(text: str) -> str:
    """A text that begins with a capital.

    >>> begun("the way"), begun("")
    ('The way', '')
    """
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """A text that begins with a capital and ends with a full stop.

    >>> sentence("the way has no length")
    'The way has no length.'
    """
    text = begun(text)
    return text if text.endswith((".", "!", "?")) else f"{text}."


def tightened(one: Limit) -> str:
    """A remark for the end of a sentence where the builder tightened the limit; else empty."""
    return f" The limit is {one.origin}." if one.tightened else ""
