"""The sheet that explains the others: every symbol, how texts are to be read, cautions."""

from collections.abc import Sequence

from msgspec.structs import replace

from elec.cautions import ADVICE, CARE
from elec.drawings.inputs import Node
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets import around, paper, parts
from elec.drawings.symbols import NAMES

CONVENTIONS = (
    "All contacts are drawn as they are with every source off and every switch off.",
    "Text on a wire: its mark and length over the line; its gauge and colour under it.",
    "Mark L31A22N: kind of circuit, its number, piece of wire, gauge; N: a return or ground wire.",
    "A thick upright bar is a bus; a thinner one is a stud or post where conductors join.",
    "A dot joins conductors; lines that cross are not joined.",
    "A letter in a flag: the conductor goes on from the same letter on the same sheets.",
    "C2/B3: sheet C2, zone B3 (B down, 3 across): the other end. Coil C2: the sheet of that coil.",
    "An oval is a shield; the line that leaves it is its drain. Without one it is open there.",
    "Two lines that cross between two conductors: these are twisted. A ring on one: coaxial.",
    "A box that stands in several places on a sheet says (part) in each.",
    "The dashed line in a connector parts its halves; under it stands its own sheet.",
    "At a ground: on which of its terminals the wire lies, numbered on the sheet of grounds.",
    "Amps: the most that a circuit or feeder carries in any phase, lastingly, not in a start.",
    "Sized for: a source's rated current, a battery's five-minute rate, or what a device allows.",
    "Of a circuit's wires the one-line diagram names first and last, and the length of all.",
)
CAUTIONS = (
    ADVICE,
    "What counts is the judgement of licensed persons and what was measured.",
    CARE["battery"],
    CARE["fuel"],
    "Ring out every wire before power is first applied, and measure what the drawing computes.",
)


def legend(
    title: TitleBlock,
    size: Size = "A4",
    connectors: Sequence[str] = (),
    symbols: Sequence[str] = NAMES,
) -> list[Sheet]:
    """The legend as sheets of their own, with these `symbols`.

    `connectors` is how those are read and measured.
    """
    sheets = [_sheet(title, size, 0)]
    x0, y0, x1, _ = sheets[0].frame
    bottom = sheets[0].block[1] - 2.0
    end = parts.draw_legend(sheets[0], symbols, (x0 + 6.0, y0 + 4.0, x1 - 6.0, bottom), roomy=True)
    signs, low = end + 2.0, y0 + 4.0 + 12.0 + PITCH_MM * len(SIGNS)
    end = _draw_signs(sheets[0], signs, y0 + 4.0)
    left, y = end + 4.0, y0 + 4.0
    for heading, notes in (
        ("Conventions", CONVENTIONS), ("Cautions", CAUTIONS), ("Connectors", connectors),
    ):  # fmt: skip
        below = max(y, low) + parts.notes_mm(notes, x1 - 6.0 - signs)
        if (
            len(sheets) == 1
            and left > signs
            and below <= bottom < (y + parts.notes_mm(notes, x1 - 6.0 - left))
        ):  # under the signs the lines are longer
            left, y = signs, max(y, low)
        if y + parts.notes_mm(notes, x1 - 6.0 - left) > bottom:
            sheets.append(_sheet(title, size, len(sheets)))
            left, y = x0 + 6.0, y0 + 4.0
        if notes:
            box = (left, y, x1 - 6.0, bottom)
            y = parts.draw_notes(sheets[-1], notes, box, heading=heading) + 2.0
    return sheets


SIGNS = ("bus", "stud or post", "shield, drain", "twisted", "coaxial", "goes on", "plug and socket")
"""What is drawn in other ways than as a symbol."""
PITCH_MM = 13.0


def _draw_signs(sheet: Sheet, x: float, y: float) -> float:
    """The signs as they are drawn on the other sheets; gives the x of their right edge."""
    sheet.text(x, y + parts.SMALL_MM, "Signs", bold=True)
    for k, name in enumerate(SIGNS):
        middle = y + 12.0 + PITCH_MM * k
        _draw_sign(sheet, name, x + 6.0, middle)
        sheet.text(x + 15.0, middle, name, middle=True, ref="legend")
    return x + 15.0 + max(map(parts.width, SIGNS))


def _draw_sign(sheet: Sheet, name: str, x: float, y: float) -> None:
    """One sign around a point, all of it furniture of this sheet."""
    low, high = y + 2.2, y - 2.2

    def line(*points: tuple[float, float], wide: float = 0.35) -> None:
        sheet.line(points, width_mm=wide, kind="rule", ref="legend")

    if name in ("bus", "stud or post"):
        line((x - 4.0, y - 4.0), (x - 4.0, y + 4.0), wide=1.6 if name == "bus" else 0.9)
        line((x - 4.0, y), (x + 6.0, y))
    elif name == "goes on":
        line((x - 6.0, y), (x - 3.0, y))
        sheet.rect((x - 3.0, y - 2.6, x + 6.0, y + 2.6), kind="rule", width_mm=0.25, ref="legend")
        line((x + 5.2, y - 2.6), (x + 5.2, y + 2.6), wide=0.25)
        sheet.text(x + 1.0, y, "A", middle=True, align="center", ref="legend")
    elif name == "plug and socket":
        sheet.rect((x - 6.0, y - 3.4, x + 6.0, y + 3.4), kind="rule", ref="legend")
        sheet.line(((x, y - 3.4), (x, y + 3.4)), width_mm=0.25, kind="rule", dash=(1.2, 0.8))
        for side in (-3.0, 3.0):
            sheet.text(x + side, y, "7", middle=True, align="center", ref="legend")
    else:
        passed = (y,) if name == "coaxial" else (high, low)
        for level in passed:
            line((x - 6.0, level), (x + 6.0, level))
        kind = {"shield, drain": "shield", "twisted": "twist", "coaxial": "coax"}[name]
        node = Node(kind=kind, ref="legend")  # type: ignore[arg-type]
        around.draw(sheet, node, x, passed, (low + 4.4,) if kind == "shield" else ())


def _sheet(title: TitleBlock, size: Size, before: int) -> Sheet:
    block = paper.continued(replace(title, title=TITLE), before, "legend")
    about = "The symbols of the drawings, how their texts are to be read, and cautions."
    return paper.page(size, block, about)


TITLE = "Symbols and conventions"
