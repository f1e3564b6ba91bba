"""Where each thing is drawn: reference → sheet and zone, and what links between sheets lead to."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from elec.drawings.ink import LINK, Lettering, Point
from elec.drawings.sheet import Item, Sheet

_WORDS = frozenset({"head", "legend", "note", "fact", "caution"})


class SheetSpot(Struct, frozen=True, kw_only=True, order=True):
    """A place in the set of sheets."""

    sheet: str
    zone: str
    sheet_id: str

    def __str__(self) -> str:
        """Give `C12/C4`: the sheet's name and the zone."""
        return f"{self.sheet}/{self.zone}"


def index(sheets: Sequence[Sheet]) -> dict[str, tuple[SheetSpot, ...]]:
    """The spots of each reference, one a sheet (where it first appears), in the sheets' order.

    A wire at a contact is `contact wire`: at a plug both halves have the contact, one the wire.
    """
    found: dict[str, list[SheetSpot]] = {}
    for sheet in sheets:
        seen: set[str] = set()
        for item in sheet.items:
            wire = item.net if item.kind == "text" else ""
            for ref in (item.ref, wire, f"{item.ref} {wire}" if wire else ""):
                if not ref or ref in seen or ref in _WORDS:
                    continue
                seen.add(ref)
                x, y = (item.box[0] + item.box[2]) / 2, (item.box[1] + item.box[3]) / 2
                spot = SheetSpot(sheet=sheet.title.label, zone=sheet.zone(x, y), sheet_id=sheet.id)
                found.setdefault(ref, []).append(spot)
    return {ref: tuple(spots) for ref, spots in sorted(found.items())}


def numbered(sheets: Sequence[Sheet], code: str = "") -> list[Sheet]:
    """The sheets of one drawing: each with its number, their count, and an id of its own."""
    made = []
    for number, sheet in enumerate(sheets, 1):
        title = replace(sheet.title, code=code, sheet=number, sheets=len(sheets))
        made.append(replace(sheet, title=title, id=f"sheet-{title.label}"))
    return made


def placed(sheets: Sequence[Sheet], before: int, total: int) -> list[Sheet]:
    """The sheets of one drawing with their places in the whole set, behind so many others."""
    return [
        replace(sheet, title=replace(sheet.title, place=before + n, total=total))
        for n, sheet in enumerate(sheets, 1)
    ]


def with_spots(sheets: Sequence[Sheet], spot: Callable[[str], SheetSpot | None]) -> list[Sheet]:
    """The sheets with the sheet and zone of each thing that they keep room for."""
    found = []
    for sheet in sheets:
        made = replace(sheet, items=list(sheet.items), wanted=[])
        spare: dict[tuple[str, float], list[tuple[float, float]]] = {}
        for want in sheet.wanted:
            x, y = want.at
            line = spare.setdefault((want.ref, y), [])
            x -= sum(mm for _, mm in line)
            wide = 0.0
            there = spot(want.target)
            here = there is not None and there.sheet == sheet.title.label
            if there is not None:
                text = str(there) if want.zone else there.sheet
                text = f"here {there.zone}" if here else text
                wide = made.text(
                    x, y, text, align=want.align, colour=LINK, room_mm=want.room_mm,
                    ref=want.ref, link=there.sheet_id,
                )  # fmt: skip
            if want.own:  # it stands within a line
                line.append((want.at[0], want.room_mm - wide))
        made.items[: len(sheet.items)] = [_closed_up(item, spare) for item in sheet.items]
        found.append(made)
    return found


def _closed_up(item: Item, spare: Mapping[tuple[str, float], list[tuple[float, float]]]) -> Item:
    """A text moved left by the room that was left over in its line before it."""
    if not isinstance(item.ink, Lettering):
        return item
    x, y = item.ink.at
    left = sum(mm for at, mm in spare.get((item.ref, y), ()) if at < x)
    if not left:
        return item
    x0, y0, x1, y1 = item.box
    ink = replace(item.ink, at=(x - left, y))
    return replace(item, ink=ink, box=(x0 - left, y0, x1 - left, y1))


class Target(Struct, frozen=True, kw_only=True):
    """What a link leads to: a sheet, and the spot on it; None: the whole sheet."""

    sheet_id: str
    spot: Point | None = None


def identifier(sheet_id: str, ref: str) -> str:
    """The name of the first item of a reference on a sheet."""
    return f"{sheet_id}-{_word(ref)}"


@lru_cache(maxsize=1 << 14)
def _word(ref: str) -> str:
    """A reference as part of a name."""
    return re.sub(r"[^A-Za-z0-9_.-]", "_", ref)


def targets(sheets: Iterable[Sheet]) -> dict[str, Target]:
    """Every link of these sheets that leads somewhere on them, and the sheets themselves."""
    kept = list(sheets)
    wanted = {i.ink.link for s in kept for i in s.items if isinstance(i.ink, Lettering)}
    found = {sheet.id: Target(sheet_id=sheet.id) for sheet in kept}
    for sheet in kept:
        for item in sheet.items:
            if item.ref and (name := identifier(sheet.id, item.ref)) in wanted:
                spot = (item.box[0], item.box[1])
                found.setdefault(name, Target(sheet_id=sheet.id, spot=spot))
    return found
