"""A number against its limit: the one place where a check's numbers become a verdict.

In: what was found, and what it has to keep to. Out: a finding with its verdict, with digits enough
to tell the two numbers apart, and with a remark where the builder tightened the limit.
"""

from collections.abc import Callable, Iterable

from elec.analyses.limits import Limit
from elec.checks.answer import Path, answer, apart, sentence, tightened
from elec.finding import Finding, Verdict
from elec.study import Study
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
    remedy: str | Callable[[], str],
    rule: Rule = "at most",
    unit: str = "",
    digits: int = 2,
    otherwise: Verdict = Verdict.FAIL,
    fails: float | None = None,
    unknown: str = "",
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
        value: what was found, in `unit`; None where it is not known.
        limit: what it has to keep to, in `unit`; a `Limit` brings its bound and its wording.
        says: what is so.
        remedy: what helps where it is not kept.
        rule: on which side of a limit that is a number the value has to be.
        unit: as the finding prints it.
        digits: of both numbers after the point; more where they would look alike.
        otherwise: the verdict where the limit is not kept.
        fails: a second limit, beyond which it fails where the first asks for advice only.
        unknown: what cannot be told and why; cannot-tell is then the verdict.
        ask: what helps against that.
        named: limits that `limit` was made from, for the remark where they are tightened.
        working: leads to the number.
        sources: in the place of those of the check.
    """
    known = (limit,) if isinstance(limit, Limit) else tuple(named)
    bound = limit.bound if isinstance(limit, Limit) else rule
    most = limit.value if isinstance(limit, Limit) else limit
    if unknown or value is None or most is None:
        return answer(
            study,
            about,
            Verdict.CANNOT_TELL,
            sentence(unknown),
            at=at,
            remedy=ask,
            limit=most,
            unit=unit,
            working=working,
            sources=sources,
        )
    verdict = judged(value, most, bound, otherwise=otherwise, fails=fails)
    text = says if isinstance(says, str) else says(*apart(value, most, unit, digits))
    good = verdict is Verdict.PASS
    return answer(
        study,
        about,
        verdict,
        text + "".join(map(tightened, known)),
        at=at,
        remedy="" if good else remedy if isinstance(remedy, str) else remedy(),
        value=value,
        limit=most,
        unit=unit,
        working=working,
        sources=sources,
    )


def judged(
    value: float,
    limit: float,
    rule: Rule = "at most",
    *,
    otherwise: Verdict = Verdict.FAIL,
    fails: float | None = None,
) -> Verdict:
    """The verdict on a number.

    >>> judged(3.0, 2.0).value, judged(3.0, 2.0, fails=4.0).value, judged(5.0, 2.0, fails=4.0).value
    ('fail', 'advise', 'fail')
    """
    if within(value, limit, rule):
        return Verdict.PASS
    if fails is None:
        return otherwise
    return Verdict.ADVISE if within(value, fails, rule) else Verdict.FAIL
