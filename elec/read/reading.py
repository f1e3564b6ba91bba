"""Read a file or a folder: one way through, all mistakes at once."""

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct
from pydantic import ValidationError

from elec.finding import Mistake, Mistaken, Place
from elec.model.system import Document, System
from elec.read.cable_types import check_cable_types
from elec.read.coils import expand_coils
from elec.read.connector_types import check_connector_types
from elec.read.copies import tell_copies
from elec.read.device_classes import check_device_classes
from elec.read.draft import Draft, Places
from elec.read.exchange import finish
from elec.read.given import check_given
from elec.read.joined import check_joined
from elec.read.like import repeat
from elec.read.nameless import tell_nameless
from elec.read.names import check_names
from elec.read.poles import expand_changeovers, expand_reverse
from elec.read.power.taps import expand_taps
from elec.read.ranges import check_ranges
from elec.read.strayed import move_strayed
from elec.read.text import LARGEST_BYTES, sheet, size_of
from elec.read.walk import gather
from elec.read.wire_types import check_wire_types
from elec.read.wording import report

ENDINGS = (".yaml", ".yml")
MOST_ENTRIES = 1000
"""In one section: a light aircraft has some 50 circuits."""
MOST_VALUES = 100_000
"""In the whole system: those in systems/ have up to 4000."""
_TOO_MUCH = f"the system has more than {LARGEST_BYTES / 1e6:.0f} MB, the most that is read"


class Reading(Struct, frozen=True, kw_only=True):
    """A system, or the mistakes in its text; `files` are all files that were looked at."""

    system: System | None
    mistakes: tuple[Mistake, ...]
    files: tuple[str, ...]

    def summary(self) -> str:
        """One line for the end of a list of mistakes; empty where there are none.

        >>> Reading(system=None, mistakes=(), files=()).summary()
        ''
        """
        if not self.mistakes:
            return ""
        count, files = len(self.mistakes), len({m.place.file for m in self.mistakes})
        mistakes = "1 mistake" if count == 1 else f"{count} mistakes"
        where = "" if count == 1 else f" in {files} file{'s' if files > 1 else ''}"
        return f"{mistakes}{where}; nothing was computed."

    def good(self) -> System:
        """The system.

        Raises:
            Mistaken: with every mistake in the text.
        """
        if self.system is None or self.mistakes:
            raise Mistaken(self.mistakes, self.summary())
        return self.system


def read(path: str | Path) -> Reading:
    """Read a system.

    Args:
        path: a YAML file (with `NAME-build.yaml` beside it, where there is one), or a folder whose
            `*.yaml` and `*.yml` files hold one system together.

    Returns:
        The system, or every mistake in it sorted by file and line. Nothing is raised for a text
        that is wrong, a file that is missing or one that cannot be read.
    """
    start = Path(path)
    files = _files(start)
    if isinstance(files, Mistake):
        return Reading(system=None, mistakes=(files,), files=())
    return _read({str(file): file for file in files})


def read_texts(texts: Mapping[Path, bytes]) -> Reading:
    """Read a system from the content of its files, as `read` would from the disk."""
    return _read({str(file): content for file, content in texts.items()})


def files_of(path: str | Path) -> tuple[Path, ...]:
    """The files that a system is read from, in the order in which they are read; none on trouble.

    >>> files_of("no/such/folder")
    ()
    """
    found = _files(Path(path))
    return () if isinstance(found, Mistake) else tuple(found)


def built_beside(start: Path) -> Path:
    """Where the state of building lies: in a folder `build.yaml`, beside a file `NAME-build.yaml`.

    >>> str(built_beside(Path("my-plane.yaml")))
    'my-plane-build.yaml'
    """
    if start.is_dir():
        return start / "build.yaml"
    return start.with_name(f"{start.stem}-build{start.suffix}")


def _read(sources: Mapping[str, Path | bytes]) -> Reading:
    draft = Draft(file=Path(next(iter(sources))).name)
    whole, room = True, LARGEST_BYTES
    for file, source in sources.items():
        size = size_of(source)
        room -= size
        if room < 0 and size <= LARGEST_BYTES:  # a file that alone is too much says so itself
            draft.at((Path(file).name, 1, 1), f"with this file {_TOO_MUCH}")
            return Reading(system=None, mistakes=_sorted(draft.mistakes), files=tuple(sources))
        found = sheet(source, Path(file).name)
        if isinstance(found, list):
            draft.mistakes += found
            whole = False
        else:
            gather(draft, found)
    if whole and not draft.data and not draft.mistakes:
        draft.at((draft.file, 1, 1), "nothing is written here; begin with: elec new FILE")
        whole = False
    whole = whole and not tell_copies(draft)
    tell_nameless(draft)
    document = _document(draft, whole=whole) if _bounded(draft) else None
    mistakes = _sorted(draft.mistakes)
    system = None
    if document is not None and not mistakes:
        system = System(document=document, places=Places(draft.spots))
    return Reading(system=system, mistakes=mistakes, files=tuple(sources))


def _files(start: Path) -> list[Path] | Mistake:
    place = Place(file=str(start), line=1, column=1)
    try:
        finish(start if start.is_dir() else start.parent)
        if start.is_dir():
            found = sorted(
                file
                for file in start.iterdir()
                if file.suffix in ENDINGS and not file.name.startswith(".") and not file.is_dir()
            )
            if found:
                return found
            return Mistake(place=place, message="there is no *.yaml file in this folder")
        if not start.exists():
            return Mistake(place=place, message="there is no such file or folder")
        if not start.is_file():
            return Mistake(place=place, message="this is no file and no folder; save it as a file")
        beside = built_beside(start)
        return [start, beside] if beside.is_file() and beside != start else [start]
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        return Mistake(place=place, message=f"this cannot be read: {reason}")
    except ValueError:
        return Mistake(place=place, message="this is no name of a file")


def _bounded(draft: Draft) -> bool:
    """Whether all of it can be computed in good time; else a mistake says what cannot."""
    for section, entries in draft.data.items():
        if isinstance(entries, dict | list) and len(entries) > MOST_ENTRIES:
            count = f"{len(entries)} entries; {MOST_ENTRIES} are the most that are read"
            draft.wrong((section,), count, key=True)
            return False
    if len(draft.keys) > MOST_VALUES:
        draft.at((draft.file, 1, 1), f"more than {MOST_VALUES} values are written here")
        return False
    return True


def _document(draft: Draft, *, whole: bool) -> Document | None:
    """The records; where a file could not be read, nothing is said about what may stand in it."""
    if not draft.data:
        return None
    if whole:
        move_strayed(draft)
    check_ranges(draft)
    if not repeat(draft):
        return None
    told = len(draft.mistakes)
    expand_reverse(draft)
    expand_changeovers(draft)
    expand_coils(draft)
    expand_taps(draft)
    if not whole:
        del draft.mistakes[told:]
    document = None
    try:
        document = Document.model_validate(draft.data, by_alias=True, by_name=False)
    except ValidationError as error:
        errors = error.errors(include_url=False, include_input=False)
        if not whole:
            errors = [e for e in errors if not (e["type"] == "missing" and len(e["loc"]) == 1)]
        report(draft, errors)
    if whole:
        check_names(draft)
        check_given(draft)
        check_joined(draft)
        check_cable_types(draft)
        check_wire_types(draft)
        check_device_classes(draft)
        check_connector_types(draft)
    return document


def _sorted(mistakes: list[Mistake]) -> tuple[Mistake, ...]:
    """By place; the same words at the same spot only once (`like:` repeats mistakes too)."""
    unique: dict[tuple[str, int, int, str], Mistake] = {}
    for mistake in mistakes:
        at = mistake.place
        unique.setdefault((at.file, at.line, at.column, mistake.message), mistake)
    return tuple(unique[key] for key in sorted(unique))
