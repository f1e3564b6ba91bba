"""The sheet that explains the others: every symbol, how texts are to be read, cautions."""

from collections.abc import Collection, Sequence

from msgspec.structs import replace

from elec.cautions import ADVICE, CARE
from elec.drawings import metrics
from elec.drawings.ink import BLACK, PALE, Point
from elec.drawings.inputs import DrawnPin, Node, PanelPosition
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets import around, face, panel_face, paper, parts, table
from elec.drawings.symbols import NAMES

CONVENTIONS = (
    "All contacts are drawn as they are with every source off and every switch off.",
    "Text on a wire: its mark and length over the line; its gauge and colour under it.",
    "Mark L31A22N: kind of circuit, its number, piece of wire, gauge; N: a return or ground wire.",
    "A thick upright bar is a bus; a thinner one is a stud or post where conductors join.",
    "A letter in a flag: the conductor goes on from the same letter on the same sheets.",
    (
        "C2/B3: sheet C2, zone B3 (B down, 3 across): the other end; here B3: on this sheet; "
        "blank: on none. Coil C2: the sheet of that coil."
    ),
    "An oval is a shield; the line that leaves it is its drain. Without one it is open there.",
    "Two lines that cross between two conductors: these are twisted.",
    "A ring on a conductor: it is coaxial.",
    "A box that stands in several places on a sheet says (part) in each.",
    "The dashed line in a connector parts its halves; under it stands its own sheet.",
    "At a ground: on which of its terminals the wire lies, numbered on the sheet of grounds.",
    "Amps: the most that a circuit or feeder carries in any phase, lastingly, not in a start.",
    "Sized for: a source's rated current, a battery's five-minute rate, or what a device allows.",
    "Of a circuit's wires the one-line diagram names first and last, and the length of all.",
)
OF_SIGN = {
    CONVENTIONS[6]: "shield, drain", CONVENTIONS[7]: "twisted", CONVENTIONS[8]: "coaxial",
    CONVENTIONS[10]: "plug and socket",
}  # fmt: skip
"""Those about a sign, which stand where it does."""
CAUTIONS = (
    ADVICE,
    "What counts is the judgement of licensed persons and what was measured.",
    CARE["battery"],
    CARE["fuel"],
    "Ring out every wire before power is first applied, and measure what the drawing computes.",
)


STATES = (
    "A wire's box is open (☐) until its end is crimped (☑); its state stands beside it.",
    "Planned: in the file alone. Cut: to length, labelled. Pulled: lies in its way.",
    "Terminated: contacts crimped, in their places. Rung out: the meter read what it has to.",
    "Tested: it did its work with power on.",
)


def legend(
    title: TitleBlock,
    size: Size = "A4",
    connectors: Sequence[str] = (),
    symbols: Sequence[str] = NAMES,
    *,
    signs: Collection[str] | None = None,
    marks: Sequence[str] = (),
    contents: Sequence[tuple[str, ...]] = (),
) -> list[Sheet]:
    """The legend as sheets of their own, with these `symbols`, and of the signs these.

    `connectors` is how those are read and measured, `marks` what their letters, lengths and short
    words mean, `contents` the drawings of the set.
    """
    sheets = [_sheet(title, size, 0)]
    shown = [name for name in SIGNS if signs is None or name in signs]
    x0, y0, x1, _ = sheets[0].frame
    bottom = sheets[0].block[1] - 2.0
    box = (x0 + 6.0, y0 + 4.0, x1 - 6.0, bottom)
    left = parts.draw_legend(sheets[0], symbols, box, roomy=True) + 2.0
    pitch = min(PITCH_MM, (bottom - y0 - 14.0) / max(1, len(shown)))
    low = y0 + 4.0 + 10.0 + pitch * len(shown)
    end, y = _draw_signs(sheets[0], shown, (left, y0 + 4.0), pitch) + 4.0, y0 + 4.0
    signs_x, left = left, end
    said = [text for text in CONVENTIONS if OF_SIGN.get(text, shown[0]) in shown]
    for heading, notes in (
        ("Conventions", said), ("Cautions", CAUTIONS), ("Connectors", connectors),
        ("States", STATES), ("Marks, lengths, short words", marks),
    ):  # fmt: skip
        below = max(y, low) + parts.notes_mm(notes, x1 - 6.0 - signs_x)
        if (
            len(sheets) == 1
            and left > signs_x
            and below <= bottom < (y + parts.notes_mm(notes, x1 - 6.0 - left))
        ):  # under the signs the lines are longer
            left, y = signs_x, max(y, low)
        if y + parts.notes_mm(notes, x1 - 6.0 - left) > bottom:
            sheets.append(_sheet(title, size, len(sheets)))
            left, y = x0 + 6.0, y0 + 4.0
        if notes:
            space = (left, y, x1 - 6.0, bottom)
            y = parts.draw_notes(sheets[-1], notes, space, heading=heading) + 2.0
    if contents:
        _draw_contents(sheets, contents, y, title, size)
    return sheets


CONTENTS = ("sheets", "title")


def _draw_contents(
    sheets: list[Sheet], rows: Sequence[tuple[str, ...]], y: float, title: TitleBlock, size: Size
) -> None:
    """The list of the drawings of the set, side by side where it is long."""
    left, top, right, bottom = table.usual_area(sheets[-1])
    body = [list(row) for row in rows]
    count = 1
    for beside in (1, 2, 3):
        room = (right - left - table.GAP_MM * (beside - 1)) / beside
        widths = table.column_widths(CONTENTS, body, room)
        each = -(-len(body) // beside)
        count = beside
        if table.height_mm(widths, CONTENTS, body[:each]) + 6.0 <= bottom - y:
            break
    if y + 6.0 + table.ROW_MM * (1 + -(-len(body) // count)) > bottom and len(sheets) == 1:
        sheets.append(_sheet(title, size, len(sheets)))
        y, count = top, 1
    sheets[-1].text(left + 1.0, y + parts.SMALL_MM, "Sheets of this set", bold=True)
    table.run_on(
        sheets, y + 4.5, CONTENTS, body, refs=["contents"] * len(body), area=table.usual_area,
        fresh=lambda n: _sheet(title, size, n), beside=count,
    )  # fmt: skip


SIGNS = (
    "bus", "stud or post", "joined, not joined", "changeover, moved by hand or by its coil",
    "shield, drain", "twisted",
    "coaxial", "goes on", "plug and socket", "on a panel: breaker, fuse",
    "on a panel: switch, button", "contact: power, ground", "contact: shield, spare",
    "connector of a box, plug in a line", "terminal of a ground, stud on structure",
)  # fmt: skip
"""What is drawn in other ways than as a symbol."""
PITCH_MM = 11.6
SIGN_MM = 19.0
"""From the left edge of the signs to their names."""


def _draw_signs(sheet: Sheet, signs: Sequence[str], at: Point, pitch: float) -> float:
    """The signs as they are drawn on the other sheets; gives the x of their right edge."""
    x, y = at
    sheet.text(x, y + parts.SMALL_MM, "Signs", bold=True)
    right = x
    for k, name in enumerate(signs):
        middle = y + 10.0 + pitch * k
        _draw_sign(sheet, name, x + 7.0, middle)
        lines = metrics.wrap(name, parts.SMALL_MM, NAME_MM)
        for n, line in enumerate(lines):
            level = middle + parts.LINE_MM * (n - (len(lines) - 1) / 2)
            wide = sheet.text(x + SIGN_MM, level, line, middle=True, ref="legend")
            right = max(right, x + SIGN_MM + wide)
    return right


NAME_MM = 30.0


def _draw_sign(sheet: Sheet, name: str, x: float, y: float) -> None:
    """One sign around a point, all of it furniture of this sheet."""
    low, high = y + 2.2, y - 2.2

    def line(*points: tuple[float, float], wide: float = 0.35) -> None:
        sheet.line(points, width_mm=wide, kind="rule", ref="legend")

    if name in ("bus", "stud or post"):
        line((x - 4.0, y - 4.0), (x - 4.0, y + 4.0), wide=1.6 if name == "bus" else 0.9)
        line((x - 4.0, y), (x + 6.0, y))
    elif name.startswith("joined"):
        for side, dot in ((-3.4, True), (3.4, False)):
            line((x + side - 2.6, y), (x + side + 2.6, y))
            line((x + side, y - 2.6), (x + side, y + 2.6))
            if dot:
                sheet.circle((x + side, y), 0.7, kind="rule", fill=BLACK, ref="legend")
    elif name.startswith("connector of"):
        sheet.rect((x - 7.0, y - 2.6, x - 0.6, y + 2.6), width_mm=0.5, kind="rule", ref="legend")
        band = (x - 7.0, y - 2.1, x - 0.6, y + 2.1)
        sheet.rect(band, width_mm=0.25, kind="rule", fill=PALE, ref="legend")
        sheet.text(x - 3.8, y, "J1", middle=True, align="center", bold=True, ref="legend")
        line((x - 0.6, y), (x + 7.0, y))
        for left in (2.2, 3.5):
            half = (x + left, y - 1.2, x + left + 1.3, y + 1.2)
            sheet.rect(half, width_mm=0.3, kind="rule", fill="#ffffff", ref="legend")
    elif name.startswith("terminal of"):
        cell = (x - 6.0, y - 2.4, x, y + 2.4)
        sheet.rect(cell, width_mm=0.25, kind="rule", fill=PALE, ref="legend")
        sheet.text(x - 3.0, y, "3", middle=True, align="center", bold=True, ref="legend")
        line((x, y), (x + 6.0, y))
    elif name.startswith("changeover"):
        for level in (y - 3.0, y + 3.0):
            line((x - 6.0, level), (x - 3.6, level), wide=0.5)
            sheet.circle((x - 3.0, level), 0.6, kind="rule", width_mm=0.35, ref="legend")
        sheet.circle((x + 3.0, y), 0.6, kind="rule", width_mm=0.35, ref="legend")
        line((x + 3.0, y), (x - 1.8, y - 1.5), wide=0.5)
        line((x + 3.6, y), (x + 6.0, y), wide=0.5)
    elif name.startswith("on a panel"):
        for side, kind in zip((-3.2, 6.2), name.partition(": ")[2].split(", "), strict=True):
            spot = PanelPosition(name="", column=1, kind=kind)
            panel_face.draw_face(sheet, spot, x + side, y, "legend")
    elif name.startswith("contact: "):
        for side, what in zip((-3.0, 4.0), name.partition(": ")[2].split(", "), strict=True):
            spare = what == "spare"
            pin = DrawnPin(name="3", state="spare" if spare else "used",
                           carries="" if spare else what)  # type: ignore[arg-type]  # fmt: skip
            face.draw_contact(sheet, pin, (x + side, y), 2.4, "legend")
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
