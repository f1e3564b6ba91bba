"""The sheet that explains the others: every symbol, how texts are to be read, cautions."""

from collections.abc import Collection, Sequence

from msgspec.structs import replace

from elec.cautions import ADVICE, CARE
from elec.drawings import metrics
from elec.drawings.ink import BLACK, PALE, Box
from elec.drawings.inputs import DrawnPin, Node, PanelPosition
from elec.drawings.sheet import Sheet, Size, TitleBlock
from elec.drawings.sheets import around, face, paper, parts, table
from elec.drawings.sheets.plates import front
from elec.drawings.sheets.row_ink import BONDED
from elec.drawings.symbols import NAMES
from elec.kept import takes_over

CAUTIONS = (
    ADVICE,
    "What counts is the judgement of licensed persons and what was measured.",
    CARE["battery"],
    CARE["fuel"],
    "Ring out every wire before power is first applied, and measure what the drawing computes.",
)


CRIMPS = "Crimps of ring terminals"
STATES = (
    (
        "☐: not done yet; ☑: done, by the file. Of a wire on sheets K: this end is crimped, its "
        "state stands beside it; on sheets R: it lies in its way."
    ),
    "Planned: in the file alone. Cut: to length, labelled. Pulled: lies in its way.",
    "Terminated: contacts crimped, in their places. Rung out: the meter read what it has to.",
    "Tested: it did its work with power on.",
)


@takes_over
def legend(
    title: TitleBlock,
    size: Size = "A4",
    connectors: Sequence[str] = (),
    symbols: Sequence[str] = NAMES,
    *,
    signs: Collection[str] | None = None,
    conventions: Sequence[tuple[str, str]] = (),
    marks: Sequence[str] = (),
    contents: Sequence[tuple[str, ...]] = (),
    ring_out: Sequence[str] = (),
    crimps: Sequence[str] = (),
) -> list[Sheet]:
    """The legend as sheets of their own, with these `symbols`, and of the signs these.

    `conventions` is how texts are read, each with the sign that it is about, or none;
    `connectors` is what holds for those, `ring_out` how they are measured, `crimps` what a test
    crimp holds, `marks` what letters, lengths and short words mean, `contents` the drawings.
    """
    sheets = [_sheet(title, size, 0)]
    shown = [name for name in SIGNS if signs is None or name in signs]
    x0, y0, x1, _ = sheets[0].frame
    left, top, bottom = x0 + 6.0, y0 + 4.0, sheets[0].block[1] - 1.0
    right = min(x1 - 6.0, left + LINE_MM)
    under = _draw_contents(sheets, contents, title, size) if contents else top
    beside = left + LIST_MM + 4.0 if under > top else left
    y = _draw_symbols(sheets[-1], symbols, (beside, top, right, bottom))
    y = _draw_signs(sheets[-1], shown, (beside, y, right, bottom)) + 2.0
    free: list[Space] = [
        (sheets[-1], (left, under, beside - 4.0, bottom)), (sheets[-1], (beside, y, right, bottom)),
    ]  # fmt: skip
    said = [text for text, sign in conventions if not sign or sign in shown]
    # what a star is stands under the crimps: connectors, which may have one, keep to their sheet
    blocks = (
        (("Conventions", said),), (("Cautions", CAUTIONS),), (("States", STATES),),
        (("Ring-out", ring_out),), (("Connectors", connectors), (CRIMPS, crimps)),
        (("Marks, lengths, short words", marks),),
    )  # fmt: skip
    for block in blocks:
        filled = [(heading, notes) for heading, notes in block if notes]
        if not filled:
            continue
        k = next((k for k, space in enumerate(free) if _has_room(space, filled)), None)
        if k is None:
            sheets.append(_sheet(title, size, len(sheets)))
            free.append((sheets[-1], (left, top, right, bottom)))
            k = len(free) - 1
        for heading, notes in filled:
            whole = free[k][1][2] - free[k][1][0] > right - left - 0.1
            two = whole and heading == "Conventions"
            shares = _shares(notes, right - left) if two else (notes,)
            free[k] = _draw_section(free[k], heading, shares)
    return sheets


def _draw_section(space: "Space", heading: str, shares: Sequence[Sequence[str]]) -> "Space":
    """Notes under a heading in as many columns as there are shares; gives what is left free."""
    sheet, (x0, y0, x1, y1) = space
    wide, ends = (x1 - x0) / len(shares), [y0]
    for n, share in enumerate(shares):
        top = y0 + (parts.LINE_MM if n else 0.0)  # under the heading
        gap = COLUMN_MM if n < len(shares) - 1 else 0.0
        box = (x0 + n * wide, top, x0 + (n + 1) * wide - gap, y1)
        ends.append(parts.draw_notes(sheet, share, box, heading="" if n else heading))
    return (sheet, (x0, max(ends) + GAP_MM, x1, y1))


Space = tuple[Sheet, Box]
"""A sheet, and what is free of it."""
LINE_MM = 250.0
"""No line of a note is longer: the eye loses the next one."""
LIST_MM = 82.0
"""Width of the list of sheets."""


def _shares(notes: Sequence[str], wide: float) -> tuple[Sequence[str], ...]:
    """Notes in two columns of about the same height where they are many and the sheet is wide."""
    if len(notes) < MANY:
        return (notes,)
    high = [
        parts.notes_mm([note], wide / 2 - COLUMN_MM) - parts.notes_mm([], wide / 2)
        for note in notes
    ]
    at = min(range(len(notes)), key=lambda k: max(sum(high[:k]), sum(high[k:])))
    return (notes[:at], notes[at:])


COLUMN_MM = 3.0
"""Between two columns of notes."""
MANY = 8
"""So many notes stand in two columns over a whole sheet."""
GAP_MM = 0.0
"""Over the heading of notes, besides the line that a heading has."""


def _has_room(space: Space, sections: Sequence[tuple[str, Sequence[str]]]) -> bool:
    x0, y0, x1, y1 = space[1]
    high = sum(parts.notes_mm(notes, x1 - x0) for _, notes in sections)
    return y0 + high + (len(sections) - 1) * (parts.LINE_MM + GAP_MM) <= y1


CONTENTS = ("sheets", "title")


def _draw_contents(
    sheets: list[Sheet], rows: Sequence[tuple[str, ...]], title: TitleBlock, size: Size
) -> float:
    """The list of the drawings of the set, first of all; gives the y under it.

    A list that is higher than a sheet stands on sheets of its own.
    """
    body = [list(row) for row in rows]
    left, top, _, bottom = table.usual_area(sheets[0])
    sheets[0].text(left + 1.0, top + parts.SMALL_MM, "Sheets of this set", bold=True)
    widths = table.column_widths(CONTENTS, body, LIST_MM)
    begin = top + 4.5
    if begin + table.height_mm(widths, CONTENTS, body) <= bottom + 1.0:
        refs = ["contents"] * len(body)
        at = (left + 1.0, begin)
        return 4.0 + table.draw_table(sheets[0], at, CONTENTS, body, widths=widths, refs=refs)
    table.drawn(table.laid(
        sheets, begin, CONTENTS, body, refs=["contents"] * len(body), area=table.usual_area,
        fresh=lambda n: _sheet(title, size, n), beside=2,
    ))  # fmt: skip
    sheets.append(_sheet(title, size, len(sheets)))
    return sheets[-1].frame[1] + 4.0


SYMBOL_MM = 7.0
"""From one symbol to the next."""


def _draw_symbols(sheet: Sheet, symbols: Sequence[str], box: Box) -> float:
    """The symbols in as many columns as have room; gives the y under them."""
    x0, y0, x1, _ = box
    for rows in range(1, len(symbols) + 1):
        high = parts.ROOMY_TOP_MM + SYMBOL_MM * (rows - 1) + 3.6
        if parts.legend_mm(symbols, high, roomy=True) <= x1 - x0 or rows == len(symbols):
            parts.draw_legend(sheet, symbols, (x0, y0, x1, y0 + high), roomy=True)
            return y0 + high + 3.0
    return y0


NO_WIRE = "metal bolted together, no wire"
AT_TRUE_SIZE = "on a plate at 1:1: hole and its centre, amperes or lever in it"
SIGNS = (
    "bus, stud or post", "joined, not joined", NO_WIRE, "changeover, moved by hand or by its coil",
    "shield, drain", "twisted",
    "coaxial", "goes on", "plug and socket", AT_TRUE_SIZE, "on a panel: breaker, fuse",
    "on a panel: breaker", "on a panel: fuse", "on a panel: switch, button",
    "on a panel: switch", "on a panel: button", "on a panel: lever of three positions",
    "on a panel: free position", "on a panel: group, all essential",
    "on a panel: its plate goes on", "contacts of one lever",
    "bridge of a motor that runs both ways",
    "contact: power, ground, signal", "contact: shield, spare",
    "connector of a box, plug in a line", "connector of a box", "terminal, stud of a ground",
)  # fmt: skip
"""What is drawn in other ways than as a symbol."""
PITCH_MM = 10.2
SIGN_MM = 20.5
"""From the left edge of the signs to their names."""


def _draw_signs(sheet: Sheet, signs: Sequence[str], box: Box) -> float:
    """The signs as they are drawn on the other sheets, in columns; gives the y under them."""
    x0, y, x1, bottom = box
    sheet.text(x0, y + parts.SMALL_MM, "Signs", bold=True)
    columns = max(1, int((x1 - x0) // (SIGN_MM + NAME_MM)))
    rows = -(-len(signs) // columns)
    wide = min((x1 - x0) / columns, SIGN_MM + MOST_NAME_MM)
    told = [metrics.wrap(name, parts.SMALL_MM, wide - SIGN_MM - 3.0) for name in signs]
    most = [max(len(lines) for lines in told[k::rows]) for k in range(rows)]
    tall = [max(PITCH_MM, parts.LINE_MM * n + APART_MM) for n in most]
    squeezed = min(1.0, (bottom - y - 4.0) / max(1.0, sum(tall)))
    middles = [y + 4.0 + squeezed * (sum(tall[:k]) + tall[k] / 2) for k in range(rows)]
    for k, (name, lines) in enumerate(zip(signs, told, strict=True)):
        x, middle = x0 + wide * (k // rows), middles[k % rows]
        _draw_sign(sheet, name, x + 7.0, middle)
        for n, line in enumerate(lines):
            level = middle + parts.LINE_MM * (n - (len(lines) - 1) / 2)
            sheet.text(x + SIGN_MM, level, line, middle=True, ref="legend")
    return y + 4.0 + squeezed * sum(tall)


APART_MM = 2.0
"""Between the names of two signs under each other."""
NAME_MM = 29.0
"""The least room for the name of a sign."""
MOST_NAME_MM = 40.0


def _draw_sign(sheet: Sheet, name: str, x: float, y: float) -> None:
    """One sign around a point, all of it furniture of this sheet."""
    low, high = y + 2.2, y - 2.2

    def line(*points: tuple[float, float], wide: float = 0.35) -> None:
        sheet.line(points, width_mm=wide, kind="rule", ref="legend")

    if name.startswith("bus"):
        for left, wide in ((x - 6.0, 1.6), (x + 2.0, 0.9)):
            line((left, y - 4.0), (left, y + 4.0), wide=wide)
            line((left, y), (left + 5.0, y))
    elif name == NO_WIRE:
        both = ((x - 7.0, y), (x + 7.0, y))
        sheet.line(both, width_mm=0.35, kind="rule", dash=BONDED, ref="legend")
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
        for left in (2.2, 3.5) if "plug" in name else ():
            half = (x + left, y - 1.2, x + left + 1.3, y + 1.2)
            sheet.rect(half, width_mm=0.3, kind="rule", fill="#ffffff", ref="legend")
    elif name.startswith("terminal"):
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
    elif name == BRIDGE:
        for side in (-1, 1):
            line((x - 4.4, y + 1.6 * side), (x + 4.4, y - 1.6 * side))
            line((x - 7.0, y + 1.9 * side), (x - 5.6, y + 1.9 * side))
            line((x, y + 3.6 * side), (x - 4.4, y + 2.2 * side), wide=0.6)
            line((x + 0.6, y + 4.2 * side), (x + 7.0, y + 4.2 * side))
            for at in ((x - 5.0, y + 1.9 * side), (x + 5.0, y + 1.9 * side), (x, y + 4.2 * side)):
                sheet.circle(at, 0.6, kind="rule", width_mm=0.35, ref="legend")
    elif name == ONE_LEVER:
        for level in (y - 3.0, y + 3.0):
            for side in (-3.0, 3.0):
                sheet.circle((x + side, level), 0.6, kind="rule", width_mm=0.35, ref="legend")
                line((x + side * 2.0, level), (x + side * 1.2, level))
            line((x - 3.0, level), (x + 2.4, level - 1.6))
        both = ((x, y - 3.0), (x, y + 1.6))
        sheet.line(both, width_mm=0.2, kind="rule", dash=(1.2, 0.8), ref="legend")
    elif name == AT_TRUE_SIZE:
        for side, spot in zip((-3.2, 6.2), HOLES, strict=True):
            front.draw_hole(sheet, spot, (x + side, y), front.RADIUS_MM, "legend")
    elif name in PANEL_SIGNS:
        _draw_panel_sign(sheet, name, x, y)
    elif name.startswith("on a panel"):
        kinds = name.partition(": ")[2].split(", ")
        for side, kind in zip((-3.2, 6.2) if len(kinds) > 1 else (0.0,), kinds, strict=True):
            spot = PanelPosition(name="", column=1, kind=kind)
            front.draw_face(sheet, spot, x + side, y, "legend")
    elif name.startswith("contact: "):
        every = name.partition(": ")[2].split(", ")
        for side, what in zip((-4.6, 1.0, 6.6), every, strict=False):
            spare = what == "spare"
            pin = DrawnPin(name="3", state="spare" if spare else "used",
                           carries="" if spare else what)  # type: ignore[arg-type]  # fmt: skip
            face.draw_contact(sheet, pin, (x + side, y), 2.4, "legend")
    elif name == "goes on":
        line((x - 6.0, y), (x - 3.0, y))
        sheet.rect((x - 3.0, y - 2.6, x + 6.0, y + 2.6), kind="rule", width_mm=0.25, ref="legend")
        line((x + 5.2, y - 2.6), (x + 5.2, y + 2.6), wide=0.25)
        sheet.text(x + 1.0, y, "→1", middle=True, align="center", ref="legend")
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


HOLES = (PanelPosition(name="", column=1, kind="breaker", rating="5"),
         PanelPosition(name="", column=1, kind="switch"))  # fmt: skip
BRIDGE = "bridge of a motor that runs both ways"
ONE_LEVER = "contacts of one lever"
PANEL_SIGNS = (
    "on a panel: lever of three positions", "on a panel: free position",
    "on a panel: group, all essential", "on a panel: its plate goes on",
)  # fmt: skip


def _draw_panel_sign(sheet: Sheet, name: str, x: float, y: float) -> None:
    """Signs of the panels that are no face of a device."""
    if name == PANEL_SIGNS[0]:
        spot = PanelPosition(name="", column=1, kind="switch", lever=("", "", ""))
        front.draw_face(sheet, spot, x, y, "legend")
    elif name == PANEL_SIGNS[1]:
        sheet.circle((x, y), front.RADIUS_MM, kind="rule", ref="legend", dash=(1.0, 0.8))
    elif name == PANEL_SIGNS[2]:
        for left, thick in ((x - 6.5, 0.35), (x + 0.5, 0.9)):
            over, under = y - 0.7, y + 0.7
            points = ((left, under), (left, over), (left + 6.0, over), (left + 6.0, under))
            sheet.line(points, width_mm=thick, kind="rule", ref="legend")
    else:
        cut = ((x - 6.0, y + 2.0), (x + 6.0, y + 2.0))
        edge = (cut[0], (x - 6.0, y - 2.5), (x + 6.0, y - 2.5), cut[1])
        sheet.line(edge, width_mm=0.5, kind="rule", ref="legend")
        sheet.line(cut, width_mm=0.5, kind="rule", dash=(2.4, 1.6), ref="legend")


def _sheet(title: TitleBlock, size: Size, before: int) -> Sheet:
    block = paper.continued(replace(title, title=TITLE), before, "legend")
    about = "The symbols of the drawings, how their texts are to be read, and cautions."
    return paper.page(size, block, about)


TITLE = "Symbols and conventions"
