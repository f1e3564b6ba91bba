"""What a save changed, told piece by piece as it becomes known.

In: the study of the text as it is now; kept: that of the text as it was. Out: `SoFar`, each with
all that is known to differ so far and how many checks were put again: sizes and margins first, then
verdicts, at last the answers at a glance. What is not told yet is not known yet.
"""

import time
from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from elec.attempt.verdicts import VerdictChange, verdict_changes
from elec.check import ask, ids, run
from elec.finding import Finding
from elec.pages.glance import Answer, carries, glance
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains

EVERY_S = 0.15
"""So often at most it is told what more is known."""


class SoFar(Struct, frozen=True, kw_only=True):
    """What is known by now."""

    changed: tuple[str, ...]
    asked: int
    """So many checks were put again."""
    of: int
    """So many checks there are."""


NOTHING = SoFar(changed=(), asked=0, of=0)


class LastAnswers(Struct, frozen=True, kw_only=True):
    """All answers about one text, with which those about the next are compared."""

    study: Study
    findings: tuple[Finding, ...]
    answers: tuple[Answer, ...]


class Answers:
    """The answers about the text as it was, and the way to those about the text as it is."""

    def __init__(self) -> None:
        """Nothing is known yet."""
        self.known: LastAnswers | None = None
        self._took_s: dict[str, float] = {}
        """The longest that each check took so far, with what it was the first to ask for."""

    def again(self, study: Study) -> Iterator[SoFar]:
        """Find the answers anew; what took long before is asked for last."""
        before, names = self.known, ids()
        sized = () if before is None else (*margins(before, study), *sizes(before.study, study))
        yield SoFar(changed=sized, asked=0, of=len(names))
        found: dict[str, tuple[Finding, ...]] = {}
        told = time.monotonic()
        for name in sorted(names, key=lambda one: self._took_s.get(one, 0.0)):
            begun = time.monotonic()
            found[name] = ask(study, name)
            now = time.monotonic()
            self._took_s[name] = max(self._took_s.get(name, 0.0), now - begun)
            if before is not None and now - told > EVERY_S:
                said = (*verdicts(before, found), *sized)
                yield SoFar(changed=said, asked=len(found), of=len(names))
                told = time.monotonic()
        findings = run(study)
        if before is not None:
            said = (*verdicts(before, found), *sized)
            yield SoFar(changed=said, asked=len(names), of=len(names))
        self.known = LastAnswers(study=study, findings=findings, answers=glance(study, findings))
        every = () if before is None else tuple(differences(before, self.known))
        yield SoFar(changed=every, asked=len(names), of=len(names))


def differences(before: LastAnswers, after: LastAnswers) -> Iterator[str]:
    """All that a save changed: verdicts, answers at a glance, devices and gauges."""
    for change in verdict_changes(before.findings, after.findings):
        yield _verdict(change)
    yield from _answers(before.answers, after.answers)
    yield from sizes(before.study, after.study)


def verdicts(before: LastAnswers, found: Mapping[str, tuple[Finding, ...]]) -> Iterator[str]:
    """What the checks that were put again say otherwise; nothing is said of the others."""
    was = (one for one in before.findings if one.check in found)
    now = (one for some in found.values() for one in some)
    for change in verdict_changes(was, now):
        yield _verdict(change)


def margins(before: LastAnswers, study: Study) -> Iterator[str]:
    """What the sources have left, where it is not what it was."""
    yield from _answers(before.answers, tuple(carries(study)))


def _answers(before: Iterable[Answer], after: Iterable[Answer]) -> Iterator[str]:
    was = {answer.question: answer for answer in before}
    bars = {(answer.question, bar.label): bar for answer in was.values() for bar in answer.bars}
    for answer in after:
        old = was.get(answer.question)
        if old is not None and old.text != answer.text:
            yield f"{answer.question} {answer.text} (before: {old.text})"
        for bar in answer.bars:
            one = bars.get((answer.question, bar.label))
            if one is not None and one.text != bar.text:
                yield f"{bar.label}: {bar.text} (before: {one.text})"


def _verdict(change: VerdictChange) -> str:
    was = change.before.value if change.before else "not asked"
    now = change.after.value if change.after else "not asked"
    sentence = change.finding.sentence.splitlines()[0]
    return f"{change.check}, {change.about}: {was} → {now}. {sentence}"


def sizes(before: Study, after: Study) -> Iterator[str]:
    """Devices and gauges that are not what they were."""
    titles = {name: chain.title for name, chain in chains(after).by_name.items()}
    was, now = sizing(before).devices, sizing(after).devices
    for name in sorted(now.keys() & was.keys()):
        if now[name].label != was[name].label:
            yield f"{titles.get(name, name)}: {was[name].label} → {now[name].label}"
    old, new = sizing(before).gauges, sizing(after).gauges
    for name in sorted(new.keys() & old.keys()):
        if new[name].awg != old[name].awg:
            yield f"{name}: AWG {old[name].awg} → AWG {new[name].awg}"
