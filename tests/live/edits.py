"""Random edits of a system: what a process that has run for long says is what a new one says.

`python -m tests.live.edits larkspur 40` makes so many edits, one after the other, in one process,
and asks a new process about each text; the suite makes a few.
"""

import hashlib
import multiprocessing
import random
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from msgspec import Struct

from elec.kept import Kept, keeping
from elec.live.answers import Answers
from elec.pages.book import book
from elec.read import read_texts
from elec.read.edit import CannotEdit, Edits
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.write.register import Options, named

Texts = dict[Path, bytes]


class Said(Struct, frozen=True, kw_only=True):
    """All that is said about one text."""

    findings: tuple[tuple[str, ...], ...]
    numbers: tuple[float | None, ...]
    """Value and limit of every finding."""
    answers: str
    sizes: tuple[str, ...]
    page: str
    """The sha256 of the whole page."""


def kept_said(kept: Kept, answers: Answers, texts: Texts, *, page: bool) -> Said | None:
    """The same where a process has run for long: what was made of the same is taken over."""
    with keeping(kept):
        found = said(answers, texts, page=page)
    if page:  # as with the page beside the editor: an answer without one asked for nothing
        kept.turn()
    return found


def said(answers: Answers, texts: Texts, *, page: bool) -> Said | None:
    """What is said about a text; None where it cannot be read."""
    system = read_texts(texts).system
    if system is None:
        return None
    study = Study(system)
    for _ in answers.again(study):
        pass
    known = answers.known
    assert known is not None
    options = Options(units=study.document.system.units, passes=True, live=1)
    html = named("html").write(book(study, findings=known.findings), options) if page else b""
    sized = sizing(study)
    return Said(
        findings=tuple(
            (f.check, f.about, f.verdict.value, f.sentence, f.remedy, str(f.place), f.follows)
            for f in known.findings
        ),
        numbers=tuple(n for f in known.findings for n in (f.value, f.limit)),
        answers=repr(known.answers),
        sizes=(
            *(f"{name}: {device.label}" for name, device in sorted(sized.devices.items())),
            *(f"{name}: {gauge.awg}" for name, gauge in sorted(sized.gauges.items())),
        ),
        page=hashlib.sha256(html).hexdigest(),
    )


def _cold(texts: Texts, page: bool, line: Any) -> None:
    line.send(said(Answers(), texts, page=page))


def cold(texts: Texts, *, page: bool) -> Said | None:
    """The same from a process that has never computed anything."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload([__name__ if __name__ != "__main__" else "tests.live.edits"])
    ours, theirs = context.Pipe()
    process = context.Process(target=_cold, args=(texts, page, theirs))
    process.start()
    theirs.close()
    found: Said | None = ours.recv()
    process.join()
    return found


# -- edits --------------------------------------------------------------------------------


def _draw(edits: Edits, luck: random.Random) -> str:
    """Another current or power of a load."""
    equipment = edits.get("equipment")
    loads = [n for n, one in equipment.items() if isinstance(one, dict) and "draw" in one]
    name = luck.choice(loads)
    value, unit = str(edits.get(("equipment", name, "draw"))).split(maxsplit=1)
    new = f"{float(value) * luck.choice([0.5, 0.9, 1.1, 1.5, 3]):.3g} {unit}"
    edits.set(("equipment", name, "draw"), new)
    return f"{name} draws {new}"


def _length(edits: Edits, luck: random.Random) -> str:
    """Another length of a way."""
    at = luck.randrange(len(edits.get("ways")))
    value, unit = str(edits.get(("ways", at, "length"))).split(maxsplit=1)
    new = f"{float(value) * luck.choice([0.7, 1.2, 2]):.3g} {unit}"
    edits.set(("ways", at, "length"), new)
    return f"way {at + 1} is {new} long"


def _rating(edits: Edits, luck: random.Random) -> str:
    """Another rating of a breaker, or one that elec chooses."""
    circuits = [n for n, one in edits.get("circuits").items() if "breaker" in one]
    name, new = luck.choice(circuits), luck.choice(["3 A", "5 A", "7.5 A", "10 A", "15 A", "auto"])
    edits.set(("circuits", name, "breaker"), new)
    return f"breaker of {name} is {new}"


def _removed(edits: Edits, luck: random.Random) -> str:
    """A circuit less, and its load with it where nothing else needs that."""
    name = luck.choice(list(edits.get("circuits")))
    edits.remove(("circuits", name))
    return f"{name} is gone"


def _added(edits: Edits, luck: random.Random) -> str:
    """A load more, on any bus, at any place."""
    name = f"more-{luck.randrange(1000)}"
    place, bus = luck.choice(list(edits.get("places"))), luck.choice(list(edits.get("buses")))
    draw = luck.choice(["0.5 A", "2 A", "40 W"])
    edits.add(name, {"place": place, "draw": draw, "basis": "measured"}, to="equipment")
    edits.add(name, {"bus": bus, "breaker": "auto", "feeds": name}, to="circuits")
    return f"{name} draws {draw} at {place} on {bus}"


def _limit(edits: Edits, luck: random.Random) -> str:
    """A limit that the builder tightens."""
    new = luck.choice(["1.5 %", "1.9 %"])
    edits.set(("limits", "feeder-drop"), new)
    return f"feeder-drop is at most {new}"


def _renamed(edits: Edits, luck: random.Random) -> str:
    """Another name of a load, for print."""
    name, new = luck.choice(list(edits.get("equipment"))), f"Box {luck.randrange(1000)}"
    edits.set(("equipment", name, "name"), new)
    return f"{name} is called {new}"


MANY = 100
"""Of sheets and hand calculations so many at least are the same after an edit of any system."""
EDITS: tuple[Callable[[Edits, random.Random], str], ...] = (
    _draw, _draw, _draw, _length, _rating, _limit, _renamed, _added, _removed,
)  # fmt: skip
"""A changed load is what is changed most."""


def edited(texts: Texts, luck: random.Random) -> tuple[Texts, str]:
    """The text after one edit that leaves a system, and what the edit was."""
    while True:
        edits = Edits(texts)
        try:
            what = luck.choice(EDITS)(edits, luck)
        except (CannotEdit, KeyError, IndexError, TypeError, ValueError):
            continue
        after = edits.files()
        if read_texts(after).system is not None:
            return after, what


def differing(warm: Said | None, new: Said | None) -> list[str]:
    """What is not the same, in short."""
    if warm is None or new is None:
        return [] if warm is new else ["one of them cannot be read"]
    return [name for name in Said.__struct_fields__ if getattr(warm, name) != getattr(new, name)]


def tried(system: str, count: int, *, seed: int, pages: int) -> list[str]:
    """So many edits one upon the other: what a new process says otherwise; all pages of the last.

    After every eighth edit the text is again that of the system.
    """
    folder = Path("systems") / system
    first = {file: file.read_bytes() for file in sorted(folder.glob("*.yaml"))}
    luck = random.Random(seed)  # noqa: S311 - no secret
    answers, kept, texts, found = Answers(), Kept(), dict(first), list[str]()
    kept_said(kept, answers, texts, page=pages > 0)
    for number in range(count):
        texts, what = edited(texts if number % 8 else dict(first), luck)
        page = number >= count - pages
        warm = kept_said(kept, answers, texts, page=page)
        found += [f"{what}: {one}" for one in differing(warm, cold(texts, page=page))]
    if kept.taken < pages * MANY:
        found.append(f"no more than {kept.taken} things were taken over")
    return found


if __name__ == "__main__":
    bad = tried(sys.argv[1], int(sys.argv[2]), seed=7, pages=int(sys.argv[2]))
    print(  # noqa: T201
        *bad, f"{sys.argv[2]} edits of {sys.argv[1]}, {len(bad)} differences", sep="\n"
    )
    sys.exit(bool(bad))
