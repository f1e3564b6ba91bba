"""Which options are dominated: another one is nowhere worse, and somewhere better.

In: measures. Out: for each option those that dominate it. Numbers count as they are printed, so
that nobody has to look for a difference that he cannot see. What is not known on either side, and a
check that answers worse about anything, leaves both standing.
"""

from collections.abc import Mapping, Sequence

from elec.attempt.options.measures import Key, Measure, Measures
from elec.finding import Verdict

SHOWN: Mapping[str, tuple[float, int]] = {
    # measure → what a step of its last printed digit is, and whether more is better (1) or less
    "mass_kg": (0.001, -1),
    "drop_part": (0.01, -1),
    "margin_a": (0.1, 1),
    "device_part": (0.01, -1),
    "endurance_min": (1.0, 1),
}
_WEIGHT: Mapping[Verdict, int] = {Verdict.FAIL: 2, Verdict.ADVISE: 1, Verdict.CANNOT_TELL: 1}


def dominating(every: Sequence[Measures | None]) -> tuple[tuple[int, ...], ...]:
    """For each option the others that dominate it; None: one that cannot be built."""
    return tuple(
        tuple(
            k
            for k, other in enumerate(every)
            if one is not None and other is not None and k != n and dominates(other, one)
        )
        for n, one in enumerate(every)
    )


def dominates(one: Measures, other: Measures) -> bool:
    """Whether the one is nowhere worse than the other, and somewhere better."""
    if one.unweighed != other.unweighed:
        return False
    better = False
    for name, (step, sign) in SHOWN.items():
        a, b = getattr(one, name), getattr(other, name)
        found = _more(a, b, step)
        if found is None or found * sign < 0:
            return False
        better = better or found * sign > 0
    answers = _answers(one.verdicts, other.verdicts)
    if answers is None or answers < 0:
        return False
    return better or answers > 0


def _more(a: Measure, b: Measure, step: float) -> int | None:
    """Whether the first is the larger (1), the smaller (-1) or the same; None: cannot be told."""
    if not a.applies and not b.applies:
        return 0
    if a.value is None or b.value is None:
        return None
    first, second = (printed(value, step) for value in (a.value, b.value))
    return (first > second) - (first < second)


def printed(value: float, step: float) -> int:
    """A number in steps of its last printed digit.

    >>> printed(0.12349, 0.001), printed(-0.04, 0.1)
    (123, 0)
    """
    return round(value / step)


def _answers(one: Mapping[Key, Verdict], other: Mapping[Key, Verdict]) -> int | None:
    """1: some check answers better and none worse; 0: all alike; -1: worse; None: both ways.

    Advice and "cannot tell" are not held against each other: neither is the better answer.
    """
    signs = set()
    for key in one.keys() | other.keys():
        a, b = one.get(key), other.get(key)
        if a is b:
            continue
        less = _WEIGHT.get(b, 0) - _WEIGHT.get(a, 0) if a and b else (1 if b else -1)
        if less == 0:
            return None
        signs.add(less > 0)
    if len(signs) == 2:
        return None
    return 0 if not signs else (1 if True in signs else -1)


__all__ = ["SHOWN", "dominates", "dominating", "printed"]
