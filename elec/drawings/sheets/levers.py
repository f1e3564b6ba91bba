"""The broken line between contacts that one lever moves: poles of a switch, not switches alone."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from elec.drawings.ink import Box
from elec.drawings.sheet import Item, Sheet

CLEAR_MM = 0.6
"""From the line to a text that it passes."""
LEAST_MM = 1.5
"""A piece of the line shorter than this says nothing."""
STRAIGHT_MM = 0.5
"""Contacts stand over one another where their middles are no further apart."""


def draw_levers(sheet: Sheet, contacts: Iterable[tuple[str, str]]) -> None:
    """Join the contacts of each lever that stand over one another; `contacts`: (id, lever)."""
    levers = dict(contacts)
    found: dict[str, list[Box]] = {}
    for item in sheet.items:
        if item.kind == "symbol" and levers.get(item.ref):
            found.setdefault(levers[item.ref], []).append(item.box)
    for lever, boxes in found.items():
        ordered = sorted(set(boxes), key=lambda box: box[1])
        for over, under in pairwise(ordered):
            _draw(sheet, lever, over, under)


def _draw(sheet: Sheet, lever: str, over: Box, under: Box) -> None:
    """The line from blade to blade, broken at the texts on its way; none across anything else."""
    x = _middle(over)
    if abs(x - _middle(under)) > STRAIGHT_MM:
        return
    start, end = (over[1] + over[3]) / 2, (under[1] + under[3]) / 2
    between = [i for i in sheet.items if _meets(i.box, (x, over[3], x, under[1]))]
    if any(not item.text for item in between):
        return
    for top, bottom in _pieces(start, end, between):
        if bottom - top >= LEAST_MM:
            line = ((x, top), (x, bottom))
            sheet.line(line, width_mm=0.2, kind="rule", dash=(1.2, 0.8), ref=f"lever {lever}")


def _pieces(start: float, end: float, texts: Sequence[Item]) -> Iterable[tuple[float, float]]:
    """What is left of a way down between texts."""
    for item in sorted(texts, key=lambda item: item.box[1]):
        yield start, item.box[1] - CLEAR_MM
        start = max(start, item.box[3] + CLEAR_MM)
    yield start, end


def _middle(box: Box) -> float:
    return (box[0] + box[2]) / 2


def _meets(box: Box, way: Box) -> bool:
    """Whether something lies on a way, or so close to it that it would touch."""
    clear = CLEAR_MM
    return (
        box[0] - clear < way[2] and box[2] + clear > way[0] and box[1] < way[3] and box[3] > way[1]
    )


__all__ = ["draw_levers"]
