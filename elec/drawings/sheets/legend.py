"""The sheet that explains the others: every symbol, how texts are to be read, cautions."""

from collections.abc import Sequence

from msgspec.structs import replace

from elec.cautions import ADVICE, CARE
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets import parts
from elec.drawings.symbols import NAMES

CONVENTIONS = (
    "All contacts are drawn as they are with every source off and every switch off.",
    "Text on a wire: its mark and length over the line; its gauge and colour under it.",
    "A thick upright bar is a bus; a thinner one is a stud or post where conductors join.",
    "A dot joins conductors; lines never cross.",
    "A flag names where a conductor goes on: its other end with sheet and zone, or a letter.",
    "An oval is a shield; the line that leaves it is its drain. Without one it is open there.",
    "Two lines that cross between two conductors: these are twisted. A ring on one: coaxial.",
    "A box that stands in several places on a sheet says (part) in each.",
    "In a connector between two harnesses the dashed line parts its two halves.",
    "Amps: the most that the circuit carries in any phase of flight.",
    "Zones: letter down, number across, counted along the frame.",
)
CAUTIONS = (
    ADVICE,
    "What counts is the judgement of licensed persons and what was measured.",
    CARE["battery"],
    CARE["fuel"],
    "Ring out every wire before power is first applied, and measure what the drawing computes.",
)


def legend(title: TitleBlock, size: Size = "A4", connectors: Sequence[str] = ()) -> Sheet:
    """The legend as a sheet of its own; `connectors` is how those are read and measured."""
    sheet = Sheet(
        size=size,
        title=replace(title, title="Symbols and conventions", document_type="legend"),
        id=f"sheet-{title.label}",
        description="The symbols of the drawings, how their texts are to be read, and cautions.",
    )
    x0, y0, x1, _ = sheet.frame
    bottom = sheet.block[1] - 3.0
    end = parts.draw_legend(sheet, NAMES, (x0 + 6.0, y0 + 5.0, x1 - 6.0, bottom), roomy=True)
    right = min(x1 - 6.0, end + 170.0)
    y = parts.draw_notes(
        sheet, CONVENTIONS, (end + 12.0, y0 + 5.0, right, bottom), heading="Conventions"
    )
    for heading, notes in (("Connectors", connectors), ("Cautions", CAUTIONS)):
        if notes:
            box = (end + 12.0, y + 4.0, right, bottom)
            y = parts.draw_notes(sheet, notes, box, heading=heading)
    return sheet
