"""Circuits that belong together, under each other on as few sheets as they need.

Each circuit has its name and what was computed about it over its rows; a circuit that fits on one
sheet is not parted. Mark, gauge, colour and length stand at the wire, so there is no table.
"""

import re
from collections.abc import Sequence
from functools import lru_cache

from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.frame import TITLE_ROOM_MM
from elec.drawings.inputs import COUNTED, CircuitSheet, CircuitsSheet
from elec.drawings.layout import rows as layout
from elec.drawings.sheet import Sheet, Trial
from elec.drawings.sheets import cells, parts
from elec.drawings.sheets.circuit import SPACE_MM, draw_said, draw_strip
from elec.drawings.sheets.flow import SheetFlow, draw_tiers, limit, new_page
from elec.kept import takes_over

HEAD_MM = parts.SMALL_MM
LINE_MM = parts.LINE_MM
NAME_MM = 80.0
"""The widest that the name of a circuit gets."""
TITLE_LINES = 2
LONE = 2
"""So many circuits at least stand on the last of several sheets."""
LEAST_MM = 20.0
"""No circuit is lower."""
GAP_MM = 1.4
"""Between what belongs to one circuit and the name of the next."""
FACT_GAP_MM = 3.0
"""Between two facts in a line."""
TIE = "\u2060"
UNIT = re.compile(r"(?<=\d) (?=(?:A|mA|V|ms|s)\b)")
UNDER_MM = 1.8
"""From what is said about a circuit to the upper edge of its boxes."""


@takes_over
def together(record: CircuitsSheet) -> list[Sheet]:
    """The sheets of these circuits, numbered on from the record's title block.

    They stand in their order, unless that takes a sheet more: then one that has room on a sheet
    that is begun goes there. Where the last sheet would have one lone circuit, the one before it
    goes there, too.
    """
    count = len(record.circuits)
    least = len(_filled(record, count, kind=Trial).pages)
    work = _filled(record, count, ordered=least > 1)
    if len(work.pages) > least:
        work = _filled(record, count)
    alone = {c.id for c in record.circuits} & {i.ref for i in work.pages[-1].sheet.items}
    if len(alone) == 1 and len(work.pages) > 1 and count > LONE:
        evened = _filled(record, count - LONE)
        work = evened if len(evened.pages) == len(work.pages) else work
    for page in work.pages:
        counted = any("(1)" in item.text for item in page.sheet.items if item.text)
        cares = [care for care in record.cautions if counted or care != COUNTED]
        draw_strip(page.sheet, cares)
        if record.listed:
            page.sheet.title = replace(page.sheet.title, title=_listed(record, page.sheet))
    return [page.sheet for page in work.pages]


def _listed(record: CircuitsSheet, sheet: Sheet) -> str:
    """The circuits of a sheet as its title; of many the first ones, and how many more."""
    there = {item.ref for item in sheet.items}
    names = [one.title.title for one in record.circuits if one.id in there]
    for count in range(len(names), 0, -1):
        shown, more = names[:count], len(names) - count
        said = ", ".join([shown[0], *map(_within, shown[1:])])
        said += f" and {more} more" if more else ""
        if len(metrics.wrap(said, metrics.SMALLEST_MM, TITLE_ROOM_MM, bold=True)) <= TITLE_LINES:
            return said
    return record.title.title


def _within(name: str) -> str:
    """A name behind another one: without its capital, which an abbreviation keeps."""
    return name if name[1:2].isupper() else name[:1].lower() + name[1:]


def _filled(
    record: CircuitsSheet, last: int, *, ordered: bool = False, kind: type[Sheet] = Sheet
) -> SheetFlow:
    """The sheets with all circuits, those from `last` on on sheets of their own."""
    work = SheetFlow(
        title=record.title,
        document_type="circuit diagrams",
        description=f"{record.title.title}: {', '.join(c.title.title for c in record.circuits)}.",
        size=record.size,
        kind=kind,
    )
    new_page(work)
    first = 0
    for n, one in enumerate(record.circuits):
        if n == last:
            new_page(work)
            first = len(work.pages) - 1
        if ordered:
            first = len(work.pages) - 1
        _draw(work, cells.clipped(one), record.cautions, first)
    return work


def _draw(work: SheetFlow, record: CircuitSheet, common: Sequence[str], first: int) -> None:
    """One circuit on the first sheet from `first` on that has room for it, else on a new one."""
    parted = 0.0  # the most room in which it was parted: in less it is, too
    for at, page in enumerate(work.pages):
        if at < first:
            continue
        if page.y <= page.sheet.frame[1] + 3.0:  # nothing stands on it yet
            break
        room = limit(page.sheet) - page.y
        if room >= LEAST_MM and room > parted:
            if _fits(work, at, record, common):
                return
            parted = room
    else:
        new_page(work)
    work.at = -1
    _block(work, record, common)


def _fits(work: SheetFlow, at: int, record: CircuitSheet, common: Sequence[str]) -> bool:
    """Draw a circuit on a sheet that is begun; where it would be parted all is as before."""
    page, pages, letters = work.pages[at], len(work.pages), work.cuts
    y, items, wanted = page.y, len(page.sheet.items), len(page.sheet.wanted)
    work.at = at
    _block(work, record, common)
    work.at = -1
    if len(work.pages) == pages:
        return True
    del work.pages[pages:], page.sheet.items[items:], page.sheet.wanted[wanted:]
    page.y, work.cuts = y, letters
    return False


def _labelled(record: CircuitSheet) -> bool:
    """Whether a name over a device keeps the boxes of the first row from what stands over them."""
    first = record.rows[0].nodes if record.rows else ()
    return any(node.kind in cells.DEVICES and node.label for node in first)


Piece = tuple[float, str, bool]
"""A text of a line: where it begins, and whether it is bold."""


@lru_cache(maxsize=1 << 10)
def heading_lines(facts: tuple[tuple[str, str], ...], room: float) -> list[list[Piece]]:
    """What is said over a circuit: each fact with its bold name, whole in a line if it can be.

    Where that takes more lines, they follow each other instead.
    """
    apart, flowing = (_set(facts, room, whole=whole) for whole in (True, False))
    return apart if len(apart) <= len(flowing) else flowing


def _set(facts: Sequence[tuple[str, str]], room: float, *, whole: bool) -> list[list[Piece]]:
    lines: list[list[Piece]] = [[]]
    x = 0.0
    for what, said in facts:
        name = f"{what}:"
        wide = parts.width(name, bold=True) + SPACE_MM
        words = _tied(metrics.clean(said))
        least = wide + parts.width(" ".join(words) if whole else words[0])
        if x and x + FACT_GAP_MM + least > room and (not whole or least <= room or x > room / 2):
            lines.append([])
            x = 0.0
        x += FACT_GAP_MM if x else 0.0
        lines[-1].append((x, name, True))
        x += wide
        text = ""
        for word in words:
            longer = f"{text} {word}".strip()
            if text and x + parts.width(longer) > room:
                lines[-1].append((x, text, False))
                lines.append([])
                x, longer = 0.0, word
            text = longer
        lines[-1].append((x, text, False))
        x += parts.width(text)
    return lines


def _tied(text: str) -> list[str]:
    """The words of a fact, a number with its unit as one."""
    return [one.replace(TIE, " ") for one in UNIT.sub(TIE, text).split(" ")]


def _block(work: SheetFlow, record: CircuitSheet, common: Sequence[str]) -> None:
    """A circuit under its heading, and under theirs the wires that leave it with a fuse."""
    _headed(work, record, common)
    for one in record.also:
        if limit(work.page().sheet) - work.page().y < LEAST_MM:
            new_page(work)
        _headed(work, cells.clipped(one), common)


def _headed(work: SheetFlow, record: CircuitSheet, common: Sequence[str]) -> None:
    page = work.page()
    x, right = page.sheet.frame[0] + 5.0, page.sheet.frame[2] - 5.0
    if page.y > page.sheet.frame[1] + 3.0:
        page.y += GAP_MM
    page.y += HEAD_MM
    name, high = metrics.fit(metrics.clean(record.title.title), HEAD_MM, NAME_MM, bold=True)
    page.sheet.text(x, page.y, name, capital_mm=high, bold=True, ref=record.id)
    begin = x + metrics.width_mm(name, high, bold=True) + 5.0
    cares = [care for care in record.cautions if care not in common]
    facts = (*record.facts, *((("Caution", " ".join(cares)),) if cares else ()))
    left = list(record.spots)
    for number, line in enumerate(heading_lines(facts, right - begin)):
        page.y += LINE_MM if number else 0.0
        for at, text, bold in line:
            if bold:
                page.sheet.text(begin + at, page.y, text, bold=True, ref=record.id)
            else:
                draw_said(page.sheet, (begin + at, page.y), text, left, record.id)
    page.y += 1.0 if _labelled(record) else UNDER_MM
    by_id = dict(enumerate(record.rows))
    ordered = layout.order([cells.strip(i, row) for i, row in by_id.items()])
    draw_tiers(work, [by_id[int(str(strip.id))] for strip in ordered])
    work.page().y -= 2.0  # a block ends closer than tiers of one circuit lie apart


__all__ = ["together"]
