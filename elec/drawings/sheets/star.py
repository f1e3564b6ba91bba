"""Rows that all begin at one box, laid out with that box in the middle."""

from collections.abc import Sequence
from itertools import zip_longest

from msgspec.structs import replace

from elec.drawings.inputs import DrawnRow


def star(rows: Sequence[DrawnRow], focus: str) -> list[DrawnRow]:
    """Rows that all begin at one box, with that box in the middle: some to its left, some right.

    Rows to the same box stay together; each group goes to the side that has fewer rows.
    """
    groups: dict[str, list[DrawnRow]] = {}
    for row in rows:
        groups.setdefault(row.nodes[-1].ref, []).append(row)
    alone = groups.pop(focus, [])
    left: list[DrawnRow] = []
    right: list[DrawnRow] = []
    for group in groups.values():
        (right if len(right) <= len(left) else left).extend(group)
    return sides(left, right) + alone


def sides(left: Sequence[DrawnRow], right: Sequence[DrawnRow]) -> list[DrawnRow]:
    """Rows that begin at one box, those of one list to its left and those of the other right."""
    return [_through(a, b) for a, b in zip_longest(left, right)]


def _through(left: DrawnRow | None, right: DrawnRow | None) -> DrawnRow:
    """One row from a box at the left through the middle to a box at the right."""
    if left is None:
        assert right is not None  # noqa: S101  # the longer list has a row here
        node = right.nodes[0]
        first = replace(
            node,
            pin="",
            signal="",
            contact="",
            pin_out=node.pin,
            signal_out=node.signal,
            contact_out=node.contact,
        )
        return replace(right, nodes=(first, *right.nodes[1:]))
    turned = DrawnRow(
        nodes=tuple(reversed(left.nodes)), conductors=tuple(reversed(left.conductors))
    )
    if right is None:
        return turned
    node = right.nodes[0]
    middle = replace(
        turned.nodes[-1], pin_out=node.pin, signal_out=node.signal, contact_out=node.contact
    )
    return DrawnRow(
        nodes=(*turned.nodes[:-1], middle, *right.nodes[1:]),
        conductors=(*turned.conductors, *right.conductors),
    )
