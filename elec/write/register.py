"""The register of formats: which endings are known and how each is written."""

import pkgutil
from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from elec.pages.document import Book, Paragraph, Section
from elec.units import UnitSystem


class Options(Struct, frozen=True, kw_only=True):
    """What a reader may choose about the print, without any effect on the numbers."""

    units: UnitSystem = "feet"
    width: int | None = None
    """Columns of the terminal; None for a pipe or a file, where nothing is wrapped."""
    colour: bool = False
    wide: bool = False
    """Keep every column, also on a narrow terminal."""
    passes: bool = False
    """List findings that pass, too; they are always counted."""
    paper: Literal["A4", "Letter"] = "A4"
    """Paper for what is no book, which says itself on which it is."""
    cautions: tuple[str, ...] = ()
    """What the answer carries for whoever acts on it: advice, and care for that very work."""
    live: int = 0
    """The number of a page that hears of later ones from where it was served; 0 elsewhere."""
    again: str = "elec why SYSTEM"
    """The command to repeat when a finding is asked for its working."""


def carrying(section: Section, options: Options) -> Section:
    """A section on paper of its own with its cautions on top."""
    if not options.cautions:
        return section
    first = Paragraph(text=" ".join(options.cautions), kind="caution")
    return replace(section, blocks=(first, *section.blocks))


def small_book(section: Section, options: Options) -> Book:
    """A section alone as a book without a head."""
    return Book(
        title=section.title,
        paper=options.paper,
        units=options.units,
        sections=(carrying(section, options),),
    )


PAPERS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height of the papers for text, standing, mm."""

Document = Section | Book
Write = Callable[[Document, Options], bytes]


class Format(Struct, frozen=True, kw_only=True):
    """One way to write a document."""

    name: str
    endings: tuple[str, ...]
    write: Write


_FORMATS: dict[str, Format] = {}


def writer(*endings: str) -> Callable[[Write], Write]:
    """Register a function as the writer of files with these endings; its module is `to_<name>`."""

    def register(write: Write) -> Write:
        name = write.__module__.rpartition(".to_")[2]
        _FORMATS[name] = Format(name=name, endings=endings, write=write)
        return write

    return register


@cache
def formats() -> Mapping[str, Format]:
    """Every format by its name, in order of the name."""
    folder = Path(__file__).parent
    for module in sorted(found.name for found in pkgutil.iter_modules([str(folder)])):
        if module.startswith("to_"):
            import_module(f"elec.write.{module}")
    return dict(sorted(_FORMATS.items()))


def named(name: str) -> Format:
    """The format of that name; only its own module is loaded.

    Raises:
        KeyError: there is no such format.
    """
    if name not in _FORMATS:
        try:
            import_module(f"elec.write.to_{name}")
        except ModuleNotFoundError:
            raise KeyError(name) from None
    return _FORMATS[name]


def by_ending(path: Path) -> Format | None:
    """The format that a file name asks for by its ending, or None."""
    ending = path.suffix.lower()
    return next((found for found in formats().values() if ending in found.endings), None)
