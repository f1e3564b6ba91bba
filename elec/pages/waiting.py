"""One cause told once: answers that wait for a current that nobody gave.

In: findings. Out: those to list, and one sentence for all that wait.
"""

import re
from collections import Counter
from collections.abc import Sequence

from msgspec.structs import replace

from elec.answers.build.concerns import concerns
from elec.finding import Finding, Verdict
from elec.study import Study

CAUSE = "load-known"
FOR_ITSELF = frozenset({"battery-endurance", "device-reach"})
"""Checks whose cannot-tell says more than that a current is missing."""
FOR_A_CURRENT = re.compile(
    r"current|what it draws is not given|the rating of its (breaker|fuse|limiter) is not known"
    r"|not counted"
)
SUMS = "oads of unknown current are not counted"
"""Said of a sum in which no load is named: any of them may be the cause."""


def folded(study: Study, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings without those that wait for the current of a load which `load-known` names.

    The finding about that current names the checks that wait for it, so that one line left out is
    one message; `--all`, `--about` and files list every one.
    """
    listed, waiting = list(findings), dict[int, list[Finding]]()
    for cause in [f for f in findings if f.check == CAUSE and f.verdict is Verdict.CANNOT_TELL]:
        about = concerns(study, cause.about)
        if about is None:
            continue
        title = study.system.title("equipment", cause.about)
        here = [
            f
            for f in listed
            if _waits(f) and (about(f) or title in f.sentence or SUMS in f.sentence)
        ]
        listed = [f for f in listed if f not in here]
        waiting[id(cause)] = here
    return tuple(_with(f, waiting.get(id(f), [])) for f in listed)


def _waits(finding: Finding) -> bool:
    open_ = finding.verdict is Verdict.CANNOT_TELL
    own = finding.check == CAUSE or finding.check in FOR_ITSELF
    return open_ and not own and bool(FOR_A_CURRENT.search(finding.sentence))


def _with(cause: Finding, waiting: Sequence[Finding]) -> Finding:
    if not waiting:
        return cause
    counted = Counter(f.check for f in waiting)
    names = ", ".join(f"{name} ({n})" if n > 1 else name for name, n in sorted(counted.items()))
    text = f"{cause.sentence} {len(waiting)} more answers wait for it: {names}."
    if len(waiting) == 1:
        text = f"{cause.sentence} One more answer waits for it: {names}."
    return replace(cause, sentence=text)
