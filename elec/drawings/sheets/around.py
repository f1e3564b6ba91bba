"""What lies around conductors: the oval of a shield with its drain, a twist, a coaxial line."""

import math
from collections.abc import Sequence

from elec.drawings.inputs import Node
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import cells

OVER_MM = 2.5
"""How far an oval reaches beyond the first and last conductor in it."""


def draw(
    sheet: Sheet, node: Node, x: float, passed: Sequence[float], tails: Sequence[float]
) -> None:
    """One of them.

    Args:
        sheet: where to.
        node: what it is.
        x: its middle.
        passed: y of the conductors that pass through it.
        tails: y of the rows that its drain goes on in.
    """
    if node.kind == "coax":
        for y in passed:
            sheet.circle(
                (x, y), cells.COAX_MM / 2, kind="rule", ref=node.ref, width_mm=0.25, role="coax"
            )  # fmt: skip
    elif node.kind == "twist":
        _twist(sheet, node, x, passed)
    else:
        _shield(sheet, node, x, passed, tails)


def _shield(
    sheet: Sheet, node: Node, x: float, passed: Sequence[float], tails: Sequence[float]
) -> None:
    half = cells.SHIELD_MM / 2
    if passed:
        top, bottom = min(passed) - OVER_MM, max(passed) + OVER_MM
        sheet.rect(
            (x - half, top, x + half, bottom),
            width_mm=0.25,
            kind="rule",
            ref=node.ref,
            role="shield",
            corner_mm=half,
        )
    for y in tails:
        start = y if not passed else bottom if y > bottom else top
        if abs(start - y) > 0.01:
            net = f"drain of {node.ref}"
            sheet.line(((x, start), (x, y)), width_mm=0.25, net=net, role="drain")


def _twist(sheet: Sheet, node: Node, x: float, passed: Sequence[float]) -> None:
    """Two lines that cross between the conductors of a pair."""
    if len(passed) < 2:
        return
    top, bottom = min(passed), max(passed)
    half, count = cells.TWIST_MM / 2, 12
    for side in (-1, 1):
        points = [
            (
                x + side * half * math.cos(2 * math.pi * k / count),
                top + (bottom - top) * k / count,
            )
            for k in range(count + 1)
        ]
        sheet.line(points, width_mm=0.25, kind="rule", ref=node.ref, role="twist")
