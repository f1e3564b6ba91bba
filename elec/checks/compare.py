"""A number against its limit: the one place where a check's numbers become a verdict.

In: what was found, and what it has to keep to. Out: a finding with its verdict, with digits enough
to tell the two numbers apart, and with a remark where the builder tightened the limit.
"""

from collections.abc import Callable, Collection, Iterable

from elec.checks.answer import Path, answer, apart, tightened
from elec.finding import Finding, Verdict
from elec.study import Study
from elec.wiring.limits import Limit
from elec.working import Rule, Working, within

Says = str | Callable[[str, str], str]
"""A sentence, or one in which the number and its limit are put as they print."""


def compare(
    study: Study,
    about: str,
    *,
    at: Path,
    value: float | None,
    limit: float | Limit | None,
    says: Says,
    fault: Says = "",
    remedy: str | Callable[[], str] = "",
    rule: Rule = "at most",
    unit: str = "",
    digits: int = 2,
    otherwise: Verdict | None = None,
    fails: float | None = None,
    unknown: str = "",
    besides: bool | None = True,
    unsure: Collection[Verdict] = (),
    ask: str = "",
    named: Iterable[Limit] = (),
    working: Callable[[], Working | None] | None = None,
    sources: tuple[str, ...] = (),
) -> Finding:
    """The finding of a check that holds a number against a limit.

    Args:
        study: the run.
        about: the thing, as `accept` names it.
        at: its place in the builder's text.
        value: what was found, in `unit`; None where it is not known: cannot-tell, never a pass.
        limit: what it has to keep to, in `unit`; a `Limit` brings its bound and its wording.
        says: what is so.
        fault: what is so where the limit is not kept, if that is said in other words.
        remedy: what helps where it is not kept.
        rule: on which side of a limit that is a number the value has to be.
        unit: as the finding prints it.
        digits: of both numbers after the point; more where they would look alike.
        otherwise: the verdict where the limit is not kept: fail, or advise where `fails` is given.
        fails: a second limit, beyond which it fails in any case.
        unknown: what cannot be told and why: said where the number or its limit is None.
        besides: whether all else that is asked is so; None where it is not known.
        unsure: verdicts that would not be certain, since something is not counted.
        ask: what helps where it cannot be told.
        named: limits that `limit` was made from, for the remark where they are tightened.
        working: leads to the number.
        sources: in the place of those of the check.
    """
    known = (limit, *named) if isinstance(limit, Limit) else tuple(named)
    bound = limit.bound if isinstance(limit, Limit) else rule
    most = limit.value if isinstance(limit, Limit) else limit
    if value is None or most is None:
        verdict, said = Verdict.CANNOT_TELL, unknown
    else:
        verdict = judged(value, most, bound, otherwise=otherwise, fails=fails)
        if verdict is Verdict.PASS and not besides:
            verdict = Verdict.CANNOT_TELL if besides is None else otherwise or Verdict.FAIL
        kept = verdict is Verdict.PASS and within(value, most, bound)
        words = says if kept else fault or says
        text = words if isinstance(words, str) else words(*apart(value, most, unit, digits))
        said = text + "".join(map(tightened, known))
        verdict = Verdict.CANNOT_TELL if verdict in unsure else verdict
    helps = ask if ask and verdict is Verdict.CANNOT_TELL else remedy
    if verdict is Verdict.PASS:
        helps = ""
    return answer(
        study,
        about,
        verdict,
        said,
        at=at,
        remedy=helps if isinstance(helps, str) else helps(),
        value=value,
        limit=most,
        unit="" if value is None and most is None else unit,
        working=working,
        sources=sources,
    )


def judged(
    value: float,
    limit: float,
    rule: Rule = "at most",
    *,
    otherwise: Verdict | None = None,
    fails: float | None = None,
) -> Verdict:
    """The verdict on a number.

    >>> judged(3.0, 2.0).value, judged(3.0, 2.0, fails=4.0).value, judged(5.0, 2.0, fails=4.0).value
    ('fail', 'advise', 'fail')
    """
    if fails is not None and not within(value, fails, rule):
        return Verdict.FAIL
    if within(value, limit, rule):
        return Verdict.PASS
    return otherwise or (Verdict.FAIL if fails is None else Verdict.ADVISE)
