"""Which answers of the checks a change makes others.

In: the findings before and after. Out: `VerdictChange` records, the worst first.
"""

from collections.abc import Iterable, Mapping
from typing import Literal

from msgspec import Struct

from elec.check import ORDER
from elec.finding import AGAINST, Finding, Verdict

SAME_SHARE = 0.005
"""A number that moves by less of its limit than this is the same number."""


class VerdictChange(Struct, frozen=True, kw_only=True):
    """One check's answer about one thing; None where it was not asked or is not asked any more."""

    check: str
    about: str
    before: Verdict | None
    after: Verdict | None
    finding: Finding
    """As it is after; where nothing is asked any more, as it was."""
    number: Literal["", "worse", "better", "other"] = ""
    """Of one verdict before and after: which way its number moved, where the limit tells."""

    @property
    def new_fail(self) -> bool:
        """Whether something fails that did not fail before."""
        return self.after is Verdict.FAIL and self.before is not Verdict.FAIL

    @property
    def worse(self) -> bool:
        """Whether it is worse than before; what was not asked before counts as passed."""
        return rank(self.after) < rank(self.before)

    @property
    def further(self) -> bool:
        """Whether the verdict is the same and its number is worse."""
        return self.number == "worse"


def rank(verdict: Verdict | None) -> int:
    """0 for the worst; what was not asked counts as passed."""
    return ORDER.index(Verdict.PASS if verdict is None else verdict)


def verdict_changes(
    before: Iterable[Finding], after: Iterable[Finding]
) -> tuple[VerdictChange, ...]:
    """Verdicts that differ, new findings that do not pass, and open ones whose number moved."""
    old, new = _worst(before), _worst(after)
    changes = []
    for key in dict.fromkeys([*new, *old]):
        was, now = old.get(key), new.get(key)
        found = now or was
        if found is not None and _differs(was, now):
            changes.append(
                VerdictChange(
                    check=found.check,
                    about=found.about,
                    before=was.verdict if was else None,
                    after=now.verdict if now else None,
                    finding=found,
                    number=_moved(was, now),
                )
            )
    return tuple(sorted(changes, key=weight))


def weight(change: VerdictChange) -> tuple[int, bool]:
    """By which changes are told: the worst first, of those what fails anew."""
    return rank(change.after), not change.new_fail


def _worst(findings: Iterable[Finding]) -> Mapping[tuple[str, str], Finding]:
    """The worst finding of each check about each thing."""
    found: dict[tuple[str, str], Finding] = {}
    for one in findings:
        key = (one.check, one.about)
        if key not in found or rank(one.verdict) < rank(found[key].verdict):
            found[key] = one
    return found


def _differs(was: Finding | None, now: Finding | None) -> bool:
    if was is None or now is None:
        only = was or now
        return only is not None and only.verdict is not Verdict.PASS
    return was.verdict is not now.verdict or bool(_moved(was, now))


def _moved(was: Finding | None, now: Finding | None) -> Literal["", "worse", "better", "other"]:
    """Which way the number of a finding moved that speaks against a thing before and after."""
    if was is None or now is None or was.verdict is not now.verdict or now.verdict not in AGAINST:
        return ""
    if was.value is None or now.value is None:
        return ""
    if abs(now.value - was.value) <= SAME_SHARE * abs(now.limit or now.value):
        return ""
    if was.limit is None or now.limit is None:
        return "other"
    beyond, beyond_now = was.value - was.limit, now.value - now.limit
    if beyond * beyond_now <= 0:  # a limit that changed its side says nothing
        return "other"
    return "worse" if abs(beyond_now) > abs(beyond) else "better"
