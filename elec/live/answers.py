"""What a save changed, told piece by piece as it becomes known.

In: the study of the text as it is now; kept: that of the text as it was. Out: `SoFar`, each with
all that is known to differ so far, how many checks were put again, and the first screen: margins
with their picture first, at once with the gauges and devices of before, which it says, then with
those of now; then verdicts and, as soon as what each waits for is known, the other answers at a
glance. What is not known yet stands there as it was, and says so.
"""

import time
from collections.abc import Iterable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.loads.loads import loads
from elec.attempt.verdicts import VerdictChange, verdict_changes, weight
from elec.check import ask, ids, run
from elec.finding import Finding
from elec.pages.glance import CARRIES, PARTS, Answer, answers_of, carries, glance
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
    answers: tuple[Answer, ...] = ()
    """The first screen; what is not known anew yet is of before, and marked so."""


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
        screen = Screen(study, before)
        if before is not None and screen.suppose(before.study):
            yield SoFar(changed=(), asked=0, of=len(names), answers=screen.now())
        screen.answer((), set(names))  # whether it carries
        sized = () if before is None else (*margins(before, study), *sizes(before.study, study))
        yield SoFar(changed=sized, asked=0, of=len(names), answers=screen.now())
        was: dict[str, list[Finding]] = {}
        for one in () if before is None else before.findings:
            was.setdefault(one.check, []).append(one)
        changes: list[VerdictChange] = []
        asked: list[Finding] = []
        left, said = set(names), sized
        told = time.monotonic()
        for count, name in enumerate(sorted(names, key=lambda n: self._took_s.get(n, 0.0)), 1):
            begun = time.monotonic()
            found = ask(study, name)
            now = time.monotonic()
            self._took_s[name] = max(self._took_s.get(name, 0.0), now - begun)
            left.discard(name)
            if before is not None:
                asked += found
                changes += verdict_changes(was.get(name, ()), found)
                fresh = bool(left) and screen.answer(tuple(asked), left)
                if fresh or now - told > EVERY_S or count == len(names):
                    said = (*map(_verdict, sorted(changes, key=weight)), *sized)
                    yield SoFar(changed=said, asked=count, of=len(names), answers=screen.now())
                    told = time.monotonic()
        findings = run(study)
        while screen.answer(findings, left):
            yield SoFar(changed=said, asked=len(names), of=len(names), answers=screen.now())
        self.known = LastAnswers(study=study, findings=findings, answers=glance(study, findings))
        every = () if before is None else tuple(differences(before, self.known))
        answers = self.known.answers
        yield SoFar(changed=every, asked=len(names), of=len(names), answers=answers)


class Screen:
    """The first screen while it becomes that of the text as it is."""

    def __init__(self, study: Study, before: LastAnswers | None) -> None:
        """Begin with that of before; nothing where there is none."""
        self._study, self._of_before = study, before
        self._known: dict[str, tuple[Answer, ...]] = {}
        """Question → its answer now; none where there is nothing to say."""
        self._supposed: dict[str, tuple[Answer, ...]] = {}
        """Question → its answer with gauges and devices of before."""

    def suppose(self, before: Study) -> bool:
        """Answer what the sources have left with the sizes of before; whether they fit.

        They do where the very same wires and devices are there, whatever the loads.
        """
        if chains(self._study).by_name != chains(before).by_name:
            return False
        loads(self._study)  # what does not rest on sizes is found once for both
        first = self._study.supposing(sizing, sizing(before))
        found = [replace(answer, supposed=True) for answer in carries(first) if answer.text]
        self._supposed = {CARRIES: tuple(found)}
        return True

    def answer(self, found: tuple[Finding, ...], left: set[str]) -> bool:
        """Answer the next question that waits for none of the checks left; whether there is one."""
        if self._of_before is None:
            return False  # the browser that waits for a first page shows no answers
        for part in PARTS:
            if part.question not in self._known and not any(map(part.waits_for, left)):
                self._known[part.question] = answers_of(part, self._study, found)
                return True
        return False

    def now(self) -> tuple[Answer, ...]:
        """All of it: what is known, and what is of before marked so."""
        if self._of_before is None:
            return ()
        old = {one.question: (replace(one, before=True),) for one in self._of_before.answers}
        found = old | self._supposed | self._known
        return tuple(answer for part in PARTS for answer in found.get(part.question, ()))


def differences(before: LastAnswers, after: LastAnswers) -> Iterator[str]:
    """All that a save changed: verdicts, answers at a glance, devices and gauges."""
    for change in verdict_changes(before.findings, after.findings):
        yield _verdict(change)
    yield from _answers(before.answers, after.answers)
    yield from sizes(before.study, after.study)


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
