"""The last good page of a system, and what the last save of its text changed."""

import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

from elec.answers.failures.failures import flight_effects
from elec.attempt.verdicts import VerdictChange, verdict_changes
from elec.check import run
from elec.finding import Finding
from elec.pages.book import book
from elec.pages.glance import Answer, glance
from elec.read import read
from elec.read.reading import files_of
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from elec.write.register import Options, named


class News(Struct, frozen=True, kw_only=True):
    """What there is to tell since the last save."""

    number: int
    """Counts what was told."""
    page: int
    """Counts the pages; a browser that has an older one loads it again."""
    mistakes: tuple[str, ...] = ()
    """What cannot be read, with file, line and column; the last good page stays."""
    changed: tuple[str, ...] = ()
    """What the last save made otherwise: answers, verdicts, sizes."""
    took_s: float = 0.0
    """From the save to this."""


class _Known(Struct, frozen=True, kw_only=True):
    """What the next save is compared with."""

    study: Study
    findings: tuple[Finding, ...]
    answers: tuple[Answer, ...]


class Watched:
    """One system; whoever asks waits for news."""

    def __init__(self, path: Path) -> None:
        """Take the path; nothing is read yet."""
        self.path = path
        self.page = b""
        self.news = News(number=0, page=0)
        self._known: _Known | None = None
        self._seen: object = None
        self._changed = threading.Condition()

    @property
    def saved(self) -> bool:
        """Whether a file was saved, added or taken away since it was looked at."""
        return self._files() != self._seen

    def _files(self) -> tuple[tuple[str, int, int], ...]:
        found = []
        for file in files_of(self.path):
            with suppress(OSError):  # gone between two looks: the next look says so
                state = file.stat()
                found.append((str(file), state.st_mtime_ns, state.st_size))
        return tuple(found)

    def look(self) -> None:
        """Read the text again: tell at once what is otherwise, then make the page."""
        begun = time.monotonic()
        self._seen = self._files()
        found = read(self.path)
        if found.system is None:
            said = tuple(str(mistake) for mistake in found.mistakes)
            self._tell(mistakes=said, took_s=time.monotonic() - begun)
            return
        study = Study(found.system)
        flight_effects(study)  # before the checks, which ask for a part of it
        findings = run(study)
        known = _Known(study=study, findings=findings, answers=glance(study, findings))
        changed = () if self._known is None else tuple(differences(self._known, known))
        self._known = known
        self._tell(changed=changed, took_s=time.monotonic() - begun)
        options = Options(units=study.document.system.units, passes=True, live=True)
        self.page = named("html").write(book(study, findings=findings), options)
        self._tell(changed=changed, took_s=time.monotonic() - begun, fresh=True)

    def _tell(
        self, *, mistakes: tuple[str, ...] = (), changed: tuple[str, ...] = (),
        took_s: float = 0.0, fresh: bool = False,
    ) -> None:  # fmt: skip
        with self._changed:
            self.news = News(
                number=self.news.number + 1,
                page=self.news.page + fresh,
                mistakes=mistakes,
                changed=changed,
                took_s=took_s,
            )
            self._changed.notify_all()

    def after(self, number: int, patience_s: float) -> News | None:
        """News beyond a number; None where none came in that time."""
        with self._changed:
            self._changed.wait_for(lambda: self.news.number > number, patience_s)
            return self.news if self.news.number > number else None


def differences(before: _Known, after: _Known) -> Iterator[str]:
    """What a save changed: answers at a glance, verdicts, devices and gauges."""
    for change in verdict_changes(before.findings, after.findings):
        yield _verdict(change)
    was = {answer.question: answer for answer in before.answers}
    for answer in after.answers:
        old = was.get(answer.question)
        if old is not None and old.text != answer.text:
            yield f"{answer.question} {answer.text} (before: {old.text})"
    old_bars = {(a.question, b.label): b for a in before.answers for b in a.bars}
    for answer in after.answers:
        for bar in answer.bars:
            one = old_bars.get((answer.question, bar.label))
            if one is not None and one.text != bar.text:
                yield f"{bar.label}: {bar.text} (before: {one.text})"
    yield from _sizes(before.study, after.study)


def _verdict(change: VerdictChange) -> str:
    was = change.before.value if change.before else "not asked"
    now = change.after.value if change.after else "not asked"
    sentence = change.finding.sentence.splitlines()[0]
    return f"{change.check}, {change.about}: {was} → {now}. {sentence}"


def _sizes(before: Study, after: Study) -> Iterator[str]:
    titles = {name: chain.title for name, chain in chains(after).by_name.items()}
    was, now = sizing(before).devices, sizing(after).devices
    for name in now.keys() & was.keys():
        if now[name].label != was[name].label:
            yield f"{titles.get(name, name)}: {was[name].label} → {now[name].label}"
    old, new = sizing(before).gauges, sizing(after).gauges
    for name in sorted(new.keys() & old.keys()):
        if new[name].awg != old[name].awg:
            yield f"{name}: AWG {old[name].awg} → AWG {new[name].awg}"


__all__ = ["News", "Watched", "differences"]
