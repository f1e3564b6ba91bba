"""The terminals of a switch as they are seen from behind, its wires at each, links as lines.

The first pole stands at the right, as the first position of a panel does.
"""

from elec.drawings.ink import PALE, Point
from elec.drawings.inputs import PanelPosition
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import parts

RADIUS_MM = 1.9
"""Of the ring of a terminal, with its number in it."""
MARK_MM = 3.5
"""From one wire at a terminal to the next."""
UNDER_MM = 0.6
"""From a ring to what stands under or beside it."""
NEXT_MM = 1.0
"""From the last wire of a terminal to the ring of the next."""
APART_MM = 2.4
"""Between the wires of two poles, and of two switches."""
CLOSE_MM = 1.2
"""The same where there is little room."""
BETWEEN_MM = 5.0
"""Between the rings of two poles that links join."""
PAD_MM = 0.5
SIDES = 2
"""Links are drawn between so many poles at most; others are told in words alone."""


def linked(spot: PanelPosition) -> list[tuple[tuple[int, int], tuple[int, int], str]]:
    """The links of a switch: the pole and the terminal of each end, and the wire."""
    ends: dict[str, list[tuple[int, int]]] = {}
    for n, pole in enumerate(spot.terminals):
        for k, (_, wires) in enumerate(pole):
            for wire in wires:
                ends.setdefault(wire, []).append((n, k))
    return [(at[0], at[1], wire) for wire, at in ends.items() if len(at) == 2]


def _sided(spot: PanelPosition) -> bool:
    """Whether wires stand at the sides, so that links have the room between the poles."""
    return bool(linked(spot)) and len(spot.terminals) <= SIDES


def _mark_mm(spot: PanelPosition, narrow: float) -> float:
    texts = [wire for pole in spot.terminals for _, wires in pole for wire in wires]
    return max([2 * RADIUS_MM, *(narrow * parts.width(text) for text in texts)])


def _apart(narrow: float) -> float:
    return APART_MM if narrow == 1.0 else CLOSE_MM


def wide(spot: PanelPosition, narrow: float = 1.0) -> float:
    """Width that a switch takes, with the space to the next one; `narrow`: its letters."""
    mark, apart = _mark_mm(spot, narrow), _apart(narrow)
    if not _sided(spot):
        return len(spot.terminals) * (mark + apart)
    ring = 2 * RADIUS_MM + PAD_MM + UNDER_MM + mark
    return ring * len(spot.terminals) + BETWEEN_MM + apart


def _rows(spot: PanelPosition) -> list[float]:
    """Height of each terminal with its wires, from the top."""
    found = []
    for k in range(max(map(len, spot.terminals))):
        count = max(len(pole[k][1]) for pole in spot.terminals)
        if _sided(spot):
            found.append(max(2 * RADIUS_MM, MARK_MM * count) + NEXT_MM)
        else:
            found.append(2 * RADIUS_MM + UNDER_MM + MARK_MM * count + NEXT_MM)
    return found


def high(spot: PanelPosition) -> float:
    """Height that its terminals take."""
    return sum(_rows(spot)) - NEXT_MM + 2 * PAD_MM


def draw(sheet: Sheet, spot: PanelPosition, at: Point, narrow: float = 1.0) -> None:
    """The terminals of a switch under the middle of its upper edge."""
    x, top = at
    rows, ref = _rows(spot), f"terminal {spot.name}"
    sided, count = _sided(spot), len(spot.terminals)
    half = (wide(spot, narrow) - 0.6 * _apart(narrow)) / 2
    if sided:
        half = BETWEEN_MM / 2 + 2 * RADIUS_MM + PAD_MM
    body = (x - half, top, x + half, top + high(spot))
    sheet.rect(body, width_mm=0.2, kind="rule", ref=ref, fill=PALE)
    step = _mark_mm(spot, narrow) + _apart(narrow)
    places: dict[tuple[int, int], Point] = {}
    for n, pole in enumerate(spot.terminals):
        off = ((count - 1) / 2 - n) * step
        if sided:
            off = (BETWEEN_MM / 2 + RADIUS_MM) * (1.0 if n == 0 else -1.0)
        for k, (name, wires) in enumerate(pole):
            y = top + PAD_MM + sum(rows[:k]) + RADIUS_MM
            places[n, k] = (x + off, y)
            sheet.circle((x + off, y), RADIUS_MM, kind="rule", width_mm=0.3, ref=ref)
            sheet.text(
                x + off, y, name, align="center", middle=True, ref=ref, role="letter",
                narrow=1.0 if len(name) == 1 else 0.7,
            )  # fmt: skip
            for i, wire in enumerate(wires):
                if sided:
                    side = 1.0 if n == 0 else -1.0
                    sheet.text(
                        x + off + side * (RADIUS_MM + PAD_MM + UNDER_MM), y + MARK_MM * i, wire,
                        align="left" if n == 0 else "right", middle=True, ref=f"rear {spot.name}",
                        narrow=narrow,
                    )  # fmt: skip
                else:
                    level = y + RADIUS_MM + UNDER_MM + parts.SMALL_MM + MARK_MM * i
                    sheet.text(
                        x + off, level, wire, align="center", ref=f"rear {spot.name}",
                        narrow=narrow,
                    )  # fmt: skip
    for a, b, wire in linked(spot) if sided else ():
        _link(sheet, places[a], places[b], f"link {spot.name} {wire}")


def _link(sheet: Sheet, a: Point, b: Point, ref: str) -> None:
    """A line between two rings; beside its own pole where it passes none."""
    (x, y), (to_x, to_y) = a, b
    if abs(x - to_x) < RADIUS_MM:  # within one pole: round by the middle
        inner = x - RADIUS_MM - BETWEEN_MM / 3
        points: tuple[Point, ...] = (
            (x - RADIUS_MM, y), (inner, y), (inner, to_y), (x - RADIUS_MM, to_y),
        )  # fmt: skip
    else:
        long = ((to_x - x) ** 2 + (to_y - y) ** 2) ** 0.5
        dx, dy = RADIUS_MM * (to_x - x) / long, RADIUS_MM * (to_y - y) / long
        points = ((x + dx, y + dy), (to_x - dx, to_y - dy))
    sheet.line(points, width_mm=0.5, kind="rule", ref=ref)
