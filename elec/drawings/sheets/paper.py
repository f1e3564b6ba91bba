"""What sheets of all kinds share: a drawing that goes on, the strip beside the title block."""

from msgspec.structs import replace

from elec.drawings.ink import Box
from elec.drawings.sheet import Sheet, Size, TitleBlock


def continued(
    title: TitleBlock, n: int, document_type: str, *, name: str = "", note: str = ""
) -> TitleBlock:
    """The title block of a drawing's sheet, counted from 0; a later one says that it goes on."""
    text = (name or title.title) + (f", continued ({n + 1})" if n else "")
    number = title.sheet + n
    return replace(
        title, sheet=number, title=text, document_type=document_type, note=note or title.note
    )


def page(size: Size, block: TitleBlock, description: str, kind: type[Sheet] = Sheet) -> Sheet:
    """An empty sheet with the id of its number."""
    return kind(size=size, title=block, id=f"sheet-{block.label}", description=description)


def strip(sheet: Sheet) -> Box:
    """Rule off the strip left of the title block; gives the room in it."""
    left, _, _, bottom = sheet.frame
    right, top, _, _ = sheet.block
    sheet.line(((left, top), (right, top)), width_mm=0.25, kind="rule")
    return (left + 3.0, top + 1.5, right - 3.0, bottom - 1.5)
