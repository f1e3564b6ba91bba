"""Two systems, or one before and after a change, with what every check says of either.

In: two studies. Out: `Compared`. `elec try` and `elec compare` begin here, and what differs in
numbers, wires and texts is found by `elec.answers.build`, so that they cannot disagree.
"""

from msgspec import Struct

from elec.attempt.beside import begin
from elec.attempt.verdicts import VerdictChange, verdict_changes
from elec.check import run
from elec.finding import Finding
from elec.study import Study


class Compared(Struct, frozen=True, kw_only=True):
    """The one and the other."""

    before: Study
    after: Study
    findings: tuple[Finding, ...]
    """Of the system after it."""
    findings_before: tuple[Finding, ...]
    """Of the system before it, without workings; of those that pass only the numbers."""
    changes: tuple[VerdictChange, ...]

    @property
    def fails(self) -> bool:
        """Whether something fails that did not fail before."""
        return any(change.new_fail for change in self.changes)


def compared(
    before: Study,
    after: Study,
    *,
    deep: bool = False,
    findings: tuple[Finding, ...] | None = None,
) -> Compared:
    """Ask all checks of both.

    Args:
        before: the older system.
        after: the newer one.
        deep: whether checks that follow whole flights through time are asked, too.
        findings: what the checks say of the newer one, where they were asked already.
    """
    waiting = begin(before, deep=deep)
    new = run(after, deep=deep) if findings is None else findings
    old = waiting()
    return Compared(
        before=before,
        after=after,
        findings=new,
        findings_before=old,
        changes=verdict_changes(old, new),
    )


__all__ = ["Compared", "compared"]
