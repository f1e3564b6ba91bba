"""Findings as they are told: those of one check and verdict once, with a list.

In: findings in order. Out: `Told`, in the order of the first of each. Tables for machines (JSON,
CSV) keep every finding.
"""

from collections.abc import Iterable

from msgspec import Struct

from elec.finding import Finding, Verdict


class Told(Struct, frozen=True, kw_only=True):
    """One check's findings of one verdict."""

    findings: tuple[Finding, ...]

    @property
    def check(self) -> str:
        """The id of the check."""
        return self.findings[0].check

    @property
    def verdict(self) -> Verdict:
        """Their verdict."""
        return self.findings[0].verdict

    @property
    def alone(self) -> bool:
        """Whether it is a single finding."""
        return len(self.findings) == 1

    @property
    def remedies(self) -> tuple[str, ...]:
        """What to do, where it is the same for all."""
        found = {f.remedy for f in self.findings}
        return tuple(found - {""}) if len(found) == 1 else ()

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why they were accepted, where the reason is the same for all."""
        found = {f.reason for f in self.findings}
        return tuple(found - {""}) if len(found) == 1 else ()

    def item(self, finding: Finding) -> str:
        """What is said of one in the list: its sentence, and what is not the same for all."""
        parts = [" ".join(finding.sentence.splitlines())]
        if finding.remedy and not self.remedies:
            parts.append(finding.remedy)
        if finding.reason and not self.reasons:
            parts.append(f"Accepted: {finding.reason}")
        return " ".join(parts)

    @property
    def sources(self) -> tuple[str, ...]:
        """All documents, each once."""
        return tuple(dict.fromkeys(s for f in self.findings for s in f.sources))

    @property
    def worked(self) -> Finding | None:
        """The first that has a working."""
        return next((f for f in self.findings if f.working is not None), None)

    @property
    def count(self) -> str:
        """How many, in words: `5 findings`."""
        return f"{len(self.findings)} findings"


def told(findings: Iterable[Finding]) -> tuple[Told, ...]:
    """Put together what one check says with one verdict; what passes stays one by one."""
    found: dict[tuple[str, str, int], list[Finding]] = {}
    for number, one in enumerate(findings):
        own = number if one.verdict is Verdict.PASS or not one.check else -1
        found.setdefault((one.verdict.value, one.check, own), []).append(one)
    return tuple(Told(findings=tuple(some)) for some in found.values())


def abouts(finding: Finding) -> tuple[str, ...]:
    """What a finding is about; of a pair both.

    >>> abouts(Finding(check="c", about="ecu-a, ecu-b", verdict=Verdict.PASS, sentence=""))
    ('ecu-a, ecu-b', 'ecu-a', 'ecu-b')
    """
    return tuple(dict.fromkeys((finding.about, *finding.about.split(", "))))


def told_id(finding: Finding) -> str:
    """Where a finding is told, together with all that its check says with the same verdict."""
    return f"finding-{finding.check}-{finding.verdict.value}"
