"""The book folder: the page, the drawings, the tables and a file for programs, swapped in whole."""

import hashlib
import json
import re
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import MappingProxyType

from msgspec import Struct

from elec import __version__
from elec.cautions import ADVICE
from elec.pages.document import Book, Figure, Section
from elec.read.exchange import alone
from elec.read.kept.earlier import MARKER
from elec.write.files import CannotWrite, reason
from elec.write.register import Options, named
from elec.write.to_csv import table_csv, tables

_NOTHING: Mapping[str, bytes] = MappingProxyType({})


class Written(Struct, frozen=True, kw_only=True):
    """What a book folder holds."""

    folder: Path
    files: tuple[str, ...]


def write_book(
    book: Book,
    folder: Path,
    options: Options,
    *,
    extra: Mapping[str, bytes] = _NOTHING,
    force: bool = False,
) -> Written:
    """Write a book as a folder; one that is there is replaced only if elec wrote it.

    The new folder is made beside the old one and then takes its place, so that a fault on the way
    leaves the old one whole.

    Args:
        book: what to write.
        folder: where to.
        options: how it prints.
        extra: further files, path in the folder → bytes.
        force: also replace a book in which files were changed or added by hand.

    Raises:
        CannotWrite: the folder is not ours, or the disk refuses; nothing has changed then.
    """
    _check_place(folder)
    target = folder.parent.resolve() / folder.name
    fresh, old = (target.with_name(f".{target.name}.elec-{word}") for word in ("new", "old"))
    try:
        with alone(target.parent):
            _recover(target, old)
        _check_ours(folder, target, force=force)
        content = dict(contents(book, options)) | dict(extra)
        with alone(target.parent):
            _check_ours(folder, target, force=force)
            try:
                _remove(fresh)
                _fill(fresh, content, book.digest)
                _swap(fresh, target, old)
            except BaseException:
                _remove(fresh)
                raise
    except OSError as error:
        raise CannotWrite(f"{folder} cannot be written: {reason(error)}") from error
    return Written(folder=folder, files=tuple(sorted(content)))


def contents(book: Book, options: Options) -> Iterator[tuple[str, bytes]]:
    """The files of a book folder: path in the folder and bytes."""
    yield "book.html", named("html").write(book, options)
    yield "book.json", named("json").write(book, options)
    taken: set[str] = set()
    for table in tables(book):
        yield f"tables/{_unused(table.id, taken)}.csv", table_csv(table, options.cautions)
    yield "tables.xlsx", named("xlsx").write(book, options)
    taken = set()
    for figure in figures(book.sections):
        yield f"drawings/{_unused(figure.id, taken)}.svg", _alone(figure)


def figures(sections: tuple[Section, ...]) -> Iterator[Figure]:
    """Every figure, in order."""
    for section in sections:
        for block in section.blocks:
            if isinstance(block, Figure):
                yield block
        yield from figures(section.sections)


def _alone(figure: Figure) -> bytes:
    """A figure's drawing as a file of its own; links within it stay."""
    from elec.drawings.index import targets
    from elec.drawings.svg import to_svg

    if figure.sheet is None:
        svg = to_svg(
            figure.drawing,
            name=figure.id,
            title=figure.title,
            description=f"{figure.description} {ADVICE}",
        )
    else:
        svg = to_svg(figure.sheet, leads={link: link for link in targets([figure.sheet])})
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{svg}'.encode()


def _unused(name: str, taken: set[str]) -> str:
    """A file name that no other file of the folder has, on any kind of disk."""
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip(".-")[:80] or "unnamed"
    found, number = plain, 2
    while found.casefold() in taken:
        found, number = f"{plain}-{number}", number + 1
    taken.add(found.casefold())
    return found


def _check_place(folder: Path) -> None:
    """Refuse a place where no folder can be."""
    if not folder.name or folder.name == "..":
        raise CannotWrite(f"{folder} is no name for a new folder; name one, such as book")
    if not folder.parent.is_dir():
        raise CannotWrite(f"{folder} cannot be written: there is no folder {folder.parent}")
    if folder.is_symlink():
        raise CannotWrite(f"{folder} is a link; name the folder that it leads to")
    if folder.exists() and not folder.is_dir():
        raise CannotWrite(f"{folder} is a file; name a folder for the book")


def _check_ours(folder: Path, target: Path, *, force: bool) -> None:
    """Refuse a folder that elec did not write, or in which somebody worked since."""
    if not target.exists() or not any(target.iterdir()):
        return
    listed = _listed(target)
    if listed is None:
        raise CannotWrite(
            f"{folder} is a folder that elec did not write; choose another name for the book"
        )
    if force:
        return
    for path in sorted(found for found in target.rglob("*") if not found.is_dir()):
        name = path.relative_to(target).as_posix()
        if name == MARKER:
            continue
        if name not in listed:
            raise CannotWrite(
                f"{folder}/{name} is not part of the book; "
                "move it away first, or add --force to lose it"
            )
        if path.is_symlink() or _digest(path.read_bytes()) != listed[name]:
            raise CannotWrite(
                f"{folder}/{name} was changed since elec wrote it; "
                "move it away first, or add --force to replace it"
            )


def _listed(target: Path) -> Mapping[str, str] | None:
    """File → digest as the marker tells, or None where there is no marker of ours."""
    try:
        marker = json.loads((target / MARKER).read_text(encoding="utf-8"))
        return {str(name): str(digest) for name, digest in marker["files"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _fill(fresh: Path, content: Mapping[str, bytes], digest: str) -> None:
    fresh.mkdir()
    marker = {
        "elec": __version__,
        "what": "A book written by elec; elec may replace this folder.",
        "digest": digest,
        "again": "elec book text -o again",
        "files": {name: _digest(data) for name, data in sorted(content.items())},
    }
    (fresh / MARKER).write_text(json.dumps(marker, indent=1) + "\n", encoding="utf-8")
    for name, data in content.items():
        path = fresh / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def _swap(fresh: Path, target: Path, old: Path) -> None:
    """Put the new folder in the place of the old one; on a fault the old one goes back."""
    _remove(old)
    if not target.exists():
        fresh.rename(target)
        return
    target.rename(old)
    try:
        fresh.rename(target)
    except BaseException:
        old.rename(target)
        raise
    _remove(old)


def _recover(target: Path, old: Path) -> None:
    """Put back a book that was set aside by a run that ended between the two moves."""
    if not target.exists() and old.is_dir() and _listed(old) is not None:
        old.rename(target)


def _remove(folder: Path) -> None:
    """Take away a folder that only elec makes; a link or file of that name stays."""
    if folder.is_dir() and not folder.is_symlink():
        shutil.rmtree(folder)


__all__ = ["MARKER", "CannotWrite", "Written", "contents", "figures", "write_book"]
