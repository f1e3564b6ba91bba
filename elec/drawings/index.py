"""Where each thing is drawn: reference → sheet and zone, for cross references."""

from collections.abc import Sequence
from dataclasses import dataclass

from elec.drawings.sheet import Sheet

_WORDS = frozenset({"head", "legend", "note", "fact", "caution"})


@dataclass(frozen=True, kw_only=True, order=True)
class Spot:
    """A place in the set of sheets."""

    sheet: int
    zone: str
    sheet_id: str

    def __str__(self) -> str:
        """Give `12 C4`: the sheet's number and the zone."""
        return f"{self.sheet} {self.zone}"


def index(sheets: Sequence[Sheet]) -> dict[str, tuple[Spot, ...]]:
    """The spots of each reference, one a sheet (where it first appears), in the sheets' order."""
    found: dict[str, list[Spot]] = {}
    for sheet in sheets:
        seen: set[str] = set()
        for item in sheet.items:
            if not item.ref or item.ref in seen or item.ref in _WORDS:
                continue
            seen.add(item.ref)
            x, y = (item.box[0] + item.box[2]) / 2, (item.box[1] + item.box[3]) / 2
            spot = Spot(sheet=sheet.title.sheet, zone=sheet.zone(x, y), sheet_id=sheet.id)
            found.setdefault(item.ref, []).append(spot)
    return {ref: tuple(spots) for ref, spots in sorted(found.items())}


def numbered(sheets: Sequence[Sheet]) -> list[Sheet]:
    """The sheets with the count of all in each title block; their numbers stay."""
    count = max((s.title.sheet for s in sheets), default=0)
    return [sheet.numbered(sheet.title.sheet, count) for sheet in sheets]
