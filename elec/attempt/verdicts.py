"""Which answers of the checks a change makes others.

In: the findings before and after. Out: `VerdictChange` records, the worst first.
"""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from elec.check import ORDER
from elec.finding import Finding, Verdict

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

    @property
    def new_fail(self) -> bool:
        """Whether something fails that did not fail before."""
        return self.after is Verdict.FAIL and self.before is not Verdict.FAIL

    @property
    def worse(self) -> bool:
        """Whether it is worse than before; what was not asked before counts as passed."""
        return rank(self.after) < rank(self.before)


def rank(verdict: Verdict | None) -> int:
    """0 for the worst; what was not asked counts as passed."""
    return ORDER.index(Verdict.PASS if verdict is None else verdict)


def verdict_changes(
    before: Iterable[Finding], after: Iterable[Finding]
) -> tuple[VerdictChange, ...]:
    """Verdicts that differ, findings that are new and not passed, and fails whose number moved."""
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
                )
            )
    return tuple(sorted(changes, key=lambda c: (rank(c.after), not c.new_fail)))


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
    if was.verdict is not now.verdict:
        return True
    if now.verdict is not Verdict.FAIL or was.value is None or now.value is None:
        return False
    return abs(now.value - was.value) > SAME_SHARE * abs(now.limit or now.value)
