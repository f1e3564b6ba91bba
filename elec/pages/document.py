"""A neutral book: sections of blocks. Every writer prints the same book its own way."""

from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from elec.finding import Finding
from elec.pages.table import Table
from elec.working import Working

if TYPE_CHECKING:
    from elec.drawings.ink import Picture
    from elec.drawings.sheet import Sheet
    from elec.pages.cards.card import Card
    from elec.pages.glance import Answer


class Paragraph(Struct, frozen=True, kw_only=True):
    """Plain text; `kind` caution is set off so that nobody overlooks it.

    The lines of `verbatim` are printed as they stand, such as those of a file.
    """

    text: str
    kind: Literal["text", "lead", "note", "caution", "verbatim"] = "text"


class Items(Struct, frozen=True, kw_only=True):
    """A list of short texts, with an empty box to tick where `boxes`."""

    items: tuple[str, ...]
    boxes: bool = False


class TableBlock(Struct, frozen=True, kw_only=True):
    """A table in the text."""

    table: Table


class Figure(Struct, frozen=True, kw_only=True):
    """A drawing with its title and one sentence that says what it shows."""

    id: str
    title: str
    drawing: "Sheet | Picture"
    """A drawing sheet, which fills a page of its own, or a chart, which stands in the text."""
    description: str
    also: tuple[str, ...] = ()
    """Further ids that lead here: of the circuits on a sheet that several share."""
    words: tuple[str, ...] = ()
    """What a chart shows, in words, a line for each thing in it; where a table beside it says the
    same, they are not printed."""
    small: bool = False
    """True for a chart of half a page's width, several of which stand side by side."""

    @property
    def sheet(self) -> "Sheet | None":
        """The drawing where it is a sheet."""
        from elec.drawings.sheet import Sheet

        return self.drawing if isinstance(self.drawing, Sheet) else None

    @property
    def chart(self) -> "Picture | None":
        """The drawing where it is a chart."""
        from elec.drawings.ink import Picture

        return self.drawing if isinstance(self.drawing, Picture) else None


class FindingList(Struct, frozen=True, kw_only=True):
    """Findings, worst first as given."""

    findings: tuple[Finding, ...]


class WorkingBlock(Struct, frozen=True, kw_only=True):
    """A hand calculation, folded away until asked for."""

    working: Working


Block = Paragraph | Items | TableBlock | Figure | FindingList | WorkingBlock


class Section(Struct, frozen=True, kw_only=True):
    """A titled part of the book."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    sections: tuple["Section", ...] = ()
    new_page: bool = True
    paper: bool = True
    """False for what is there to look up on a screen and would only fill a binder."""
    look_up: bool = False
    """True for what somebody opens to look up one thing: the page keeps it packed until then."""
    form: bool = False
    """True for a form to be signed: one page on paper, its longest table behind it where that does
    not fit, and its sections, the lists that belong to it, on pages behind."""


class Book(Struct, frozen=True, kw_only=True):
    """The whole record of one system."""

    title: str
    subtitle: str = ""
    owner: str = ""
    revision: str = ""
    date: str = ""
    digest: str = ""
    """Digest of the builder's text, so that an old print is found out."""
    paper: Literal["A4", "Letter"]
    units: Literal["feet", "metric"]
    sections: tuple[Section, ...]
    answers: tuple["Answer", ...] = ()
    """What a page shows before anybody scrolls; on paper the summary says it."""
    cards: tuple["Card", ...] = ()
    """What a name anywhere in it opens; a page keeps the rest folded where there are any."""
