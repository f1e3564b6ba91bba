"""The last good page of a system, and what the last save of its text changed."""

import gc
import threading
import time
from contextlib import suppress
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from elec.kept import Kept, keeping
from elec.live.answers import NOTHING, Answers, SoFar
from elec.pages.book import book
from elec.read import read
from elec.read.reading import files_of
from elec.study import Study
from elec.write.register import Options, named


class News(Struct, frozen=True, kw_only=True):
    """What there is to tell since the last save."""

    number: int = 0
    """Counts what was told."""
    page: int = 0
    """Counts the pages; a browser that has an older one fetches it again."""
    before: bool = False
    """Whether the page is of before the last save, so that its numbers are not today's."""
    mistakes: tuple[str, ...] = ()
    """What cannot be read, with file, line and column; the last good page stays."""
    told: SoFar = NOTHING
    """What the last save made otherwise, as far as it is known: answers, verdicts, sizes."""
    took_s: float = 0.0
    """From the save to this."""


class Watched:
    """One system; whoever asks waits for news."""

    def __init__(self, path: Path) -> None:
        """Take the path; nothing is read yet."""
        self.path = path
        self.page = b""
        self.news = News(number=0, page=0)
        self._answers = Answers()
        self._kept = Kept()
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
        """Read the text again: tell piece by piece what is otherwise, then make the page.

        From the first moment on the page is told to be of before. Where the text is saved again
        meanwhile, the rest is left to the next look.
        """
        begun = time.monotonic()
        before = bool(self.page)
        self._seen = self._files()
        self._tell(News(before=before))
        with keeping(self._kept):
            found = read(self.path)
            if found.system is None:
                said = tuple(str(mistake) for mistake in found.mistakes)
                self._tell(News(before=before, mistakes=said, took_s=time.monotonic() - begun))
                return
            self._answer(Study(found.system), begun, before=before)

    def _answer(self, study: Study, begun: float, *, before: bool) -> None:
        for told in self._answers.again(study):
            self._tell(News(before=before, told=told, took_s=time.monotonic() - begun))
            if self.saved:
                return
        known = self._answers.known
        findings = None if known is None else known.findings
        options = Options(units=study.document.system.units, passes=True, live=self.news.page + 1)
        self.page = named("html").write(book(study, findings=findings), options)
        self._tell(replace(self.news, before=False, took_s=time.monotonic() - begun), fresh=True)
        self._kept.turn()
        gc.collect()  # a study holds itself in circles; now nobody waits

    def _tell(self, news: News, *, fresh: bool = False) -> None:
        with self._changed:
            number, page = self.news.number + 1, self.news.page + fresh
            self.news = replace(news, number=number, page=page)
            self._changed.notify_all()

    def after(self, number: int, patience_s: float) -> News | None:
        """News beyond a number; None where none came in that time."""
        with self._changed:
            self._changed.wait_for(lambda: self.news.number > number, patience_s)
            return self.news if self.news.number > number else None


__all__ = ["News", "Watched"]
