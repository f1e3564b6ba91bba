"""The sheet that explains the others: every symbol, how texts are to be read, cautions."""

from collections.abc import Sequence

from msgspec.structs import replace

from elec.cautions import ADVICE, CARE
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets import paper, parts
from elec.drawings.symbols import NAMES

CONVENTIONS = (
    "All contacts are drawn as they are with every source off and every switch off.",
    "Text on a wire: its mark and length over the line; its gauge and colour under it.",
    "A thick upright bar is a bus; a thinner one is a stud or post where conductors join.",
    "A dot joins conductors; lines that cross are not joined.",
    "A letter in a flag: the conductor goes on from the same letter on the same sheets.",
    "C2/B3: sheet C2, zone B3, where the other end is drawn. Coil C2: the sheet with that coil.",
    "An oval is a shield; the line that leaves it is its drain. Without one it is open there.",
    "Two lines that cross between two conductors: these are twisted. A ring on one: coaxial.",
    "A box that stands in several places on a sheet says (part) in each.",
    "In a connector between two harnesses the dashed line parts its two halves.",
    "Amps: the most that the circuit carries in any phase; of a feeder, what it carries lastingly.",
    "Of wires in a row the one-line diagram names the first and the last, and the length of all.",
    "Zones: letter down, number across, counted along the frame.",
)
CAUTIONS = (
    ADVICE,
    "What counts is the judgement of licensed persons and what was measured.",
    CARE["battery"],
    CARE["fuel"],
    "Ring out every wire before power is first applied, and measure what the drawing computes.",
)


def legend(title: TitleBlock, size: Size = "A4", connectors: Sequence[str] = ()) -> list[Sheet]:
    """The legend as sheets of their own; `connectors` is how those are read and measured."""
    sheets = [_sheet(title, size, 0)]
    x0, y0, x1, _ = sheets[0].frame
    bottom = sheets[0].block[1] - 2.0
    end = parts.draw_legend(sheets[0], NAMES, (x0 + 6.0, y0 + 4.0, x1 - 6.0, bottom), roomy=True)
    left, y = end + 10.0, y0 + 4.0
    for heading, notes in (
        ("Conventions", CONVENTIONS), ("Cautions", CAUTIONS), ("Connectors", connectors),
    ):  # fmt: skip
        if y + parts.notes_mm(notes, x1 - 6.0 - left) > bottom:
            sheets.append(_sheet(title, size, len(sheets)))
            left, y = x0 + 6.0, y0 + 4.0
        if notes:
            box = (left, y, x1 - 6.0, bottom)
            y = parts.draw_notes(sheets[-1], notes, box, heading=heading) + 2.0
    return sheets


def _sheet(title: TitleBlock, size: Size, before: int) -> Sheet:
    block = paper.continued(replace(title, title=TITLE), before, "legend")
    about = "The symbols of the drawings, how their texts are to be read, and cautions."
    return paper.page(size, block, about)


TITLE = "Symbols and conventions"
