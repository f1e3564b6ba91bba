"""Which sheets have to be printed anew after a change.

In: two studies. Out: `SheetChange` records. Compared is what is drawn, not the title block: another
revision or date alone replaces no sheet.
"""

from typing import Literal

from msgspec import Struct

from elec.drawings.from_study import DrawingKind, drawings
from elec.drawings.sheet import Sheet
from elec.study import Study

_Key = tuple[DrawingKind, str, int]


class SheetChange(Struct, frozen=True, kw_only=True):
    """One sheet by its name in the set: in the newer set, of what is gone in the older."""

    label: str
    title: str
    what: Literal["new", "changed", "gone"]


def changed_sheets(before: Study, after: Study) -> tuple[SheetChange, ...]:
    """The sheets that are drawn differently, in the order of the set."""
    old, new = _sheets(before), _sheets(after)
    found = []
    for key in dict.fromkeys([*new, *old]):
        was, now = old.get(key), new.get(key)
        shown = now or was
        if shown is not None and (was is None or now is None or _drawn(was) != _drawn(now)):
            what: Literal["new", "changed", "gone"] = (
                "new" if was is None else "gone" if now is None else "changed"
            )
            found.append(SheetChange(label=shown.title.label, title=shown.title.title, what=what))
    return tuple(found)


def _sheets(study: Study) -> dict[_Key, Sheet]:
    return {
        (drawing.kind, drawing.about, number): sheet
        for drawing in drawings(study).drawings
        for number, sheet in enumerate(drawing.sheets)
    }


def _drawn(sheet: Sheet) -> tuple[object, ...]:
    """All of a sheet but what its title block says of issue and date."""
    return sheet.size, sheet.title.label, sheet.title.title, sheet.items


__all__ = ["SheetChange", "changed_sheets"]
