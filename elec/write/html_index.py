"""What the page keeps packed: sections to look things up in, and the list of all that has a name.

In: a book. Out: text that a browser unpacks without fetching anything (deflate, base64).
"""

import base64
import json
import zlib
from collections.abc import Iterable, Iterator, Mapping
from operator import itemgetter
from typing import Any

from elec.drawings.index import index
from elec.finding import Finding, Verdict
from elec.kept import takes_over
from elec.pages.cards.card import Card, Fact
from elec.pages.document import Book, Figure, FindingList, Section, TableBlock
from elec.pages.told import told_id
from elec.units import UnitSystem
from elec.write.values import clean, glued, printed, scale

_LEVEL = 8
"""9 takes a fifteenth more work for less than a thousandth of the size."""


@takes_over
def packed(text: str) -> str:
    """A text as it stands in the page until somebody opens it.

    >>> import base64, zlib
    >>> zlib.decompress(base64.b64decode(packed("a wire"))).decode()
    'a wire'
    """
    return base64.b64encode(zlib.compress(text.encode(), _LEVEL)).decode()


def index_of(book: Book, leads: Mapping[str, str]) -> str:
    """The cards and all else that can be found by name, packed.

    Args:
        book: the whole book.
        leads: id of a sheet → the id in the page that it leads to.
    """
    by = {key: _values(book.cards, key) for key in BY}
    found = {
        "by": by,
        "cards": [_card(book, card, spots, by) for card, spots in _drawn(book)],
        "more": list(_more(book, leads)),
    }
    return packed(json.dumps(found, ensure_ascii=False, separators=(",", ":")))


def _drawn(book: Book) -> Iterator[tuple[Card, list[list[str]]]]:
    sheets = {f.sheet.id: f.sheet for f, _ in _figures(book) if f.sheet is not None}
    ids = {f.sheet.id: f.id for f, _ in _figures(book) if f.sheet is not None}
    spots = index(list(sheets.values()))
    for card in book.cards:
        on = spots.get(card.drawn, ()) if card.drawn else ()
        yield card, [[str(spot), ids[spot.sheet_id]] for spot in on]


BY = ("zones", "buses", "states")
"""By what a list is narrowed, besides the verdict."""


def _values(cards: Iterable[Card], key: str) -> list[str]:
    """Everything that cards say under a key; a card then gives numbers."""
    return list(dict.fromkeys(text for card in cards for text in getattr(card, key)))


def _card(
    book: Book, card: Card, spots: list[list[str]], by: Mapping[str, list[str]]
) -> dict[str, Any]:
    made: dict[str, Any] = {"kind": card.kind, "name": card.name, "title": clean(card.title)}
    parts = {
        "facts": [list(_fact(fact, book.units)) for fact in card.facts],
        "wires": list(card.wires),
        "things": list(card.things),
        "sheets": spots,
        "ref": card.ref,
        "verdict": card.verdict,
        "said": [_told(finding) for finding in card.said],
        **{key: [by[key].index(text) for text in getattr(card, key)] for key in BY},
    }
    return made | {key: value for key, value in parts.items() if value}


def _fact(fact: Fact, units: UnitSystem) -> tuple[str, str]:
    column, value = fact
    unit = scale(column, units).unit
    text = printed(value, column, units)
    shown = f"{text} {unit}" if unit and unit != "AWG" and text not in ("", "?") else text
    return clean(column.head), shown


def _more(book: Book, leads: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    """Sections, tables, sheets and findings, each once: what is gone to and has no card."""
    told: set[tuple[str, str]] = set()
    for section in every(book.sections):
        yield {"kind": "section", "name": clean(section.title), "title": "", "id": section.id}
        for block in section.blocks:
            if isinstance(block, TableBlock) and block.table.title:
                title = clean(block.table.title)
                yield {"kind": "table", "name": title, "title": "", "id": block.table.id}
            elif isinstance(block, Figure):
                code = block.sheet.title.label if block.sheet is not None else ""
                name, title = (code, clean(block.title)) if code else (clean(block.title), "")
                yield {"kind": "sheet" if code else "chart", "name": name, "title": title,
                       "id": leads.get(block.id, block.id)}  # fmt: skip
            elif isinstance(block, FindingList):
                for finding in _findings(block):
                    if (key := (finding["name"], finding["title"])) not in told:
                        told.add(key)
                        yield finding


def _told(finding: Finding) -> list[str]:
    """Verdict, sentence and what helps."""
    return [finding.verdict.value, glued(clean(finding.sentence)), glued(clean(finding.remedy))]


def _findings(block: FindingList) -> Iterator[dict[str, Any]]:
    said = {(f.check, f.about, f.verdict.value): f for f in block.findings
            if f.verdict is not Verdict.PASS}  # fmt: skip
    for (check, about, verdict), finding in sorted(said.items(), key=itemgetter(0)):
        yield {"kind": "finding", "name": clean(about), "title": f"{check}: {verdict}",
               "said": [_told(finding)], "ref": told_id(finding)}  # fmt: skip


def every(sections: Iterable[Section]) -> Iterator[Section]:
    """All sections, those within others, too."""
    for section in sections:
        yield section
        yield from every(section.sections)


def _figures(book: Book) -> Iterator[tuple[Figure, Section]]:
    for section in every(book.sections):
        for block in section.blocks:
            if isinstance(block, Figure):
                yield block, section
