"""Panels, where breakers and switches stand side by side; sheets that the builder asks for."""

import re
from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field, WithJsonSchema

from elec.model.entry import Entry
from elec.model.names import LETTERS, Names
from elec.model.quantity import Metres

FREE = "free"
"""In a row: a position that nothing stands in."""

PanelRows = Annotated[
    tuple[tuple[str, ...], ...],
    WithJsonSchema(
        {
            "description": "rows from the top, each a list of names, with free for a free position",
            "type": "array",
            "items": {"type": "array", "items": {"type": "string"}},
        }
    ),
]


_SPAN = re.compile(rf"(\d+)([{LETTERS}])(?:-(\d+)([{LETTERS}]))?")


class SpanError(ValueError):
    """A text names no positions that stand side by side."""


def span_of(text: str) -> tuple[int, int, int]:
    """Row, first and last column of positions side by side.

    Raises:
        SpanError: the text is none, or goes from one row to another.

    >>> span_of("2B-2E"), span_of("1A")
    ((2, 2, 5), (1, 1, 1))
    """
    found = _SPAN.fullmatch(text)
    if found is None:
        raise SpanError(f'"{text}" is no position, such as 1A, and no positions, such as 1A-1E')
    row, first = int(found[1]), LETTERS.index(found[2]) + 1
    last = LETTERS.index(found[4]) + 1 if found[4] else first
    if int(found[3] or row) != row or last < first:
        raise SpanError(f'"{text}": from left to right in one row, such as 1A-1E')
    return row, first, last


class Panel(Entry):
    """Breakers, fuses or switches in rows, as you look at them."""

    name: str | None = None
    """The text for print."""
    place: str
    """The place it sits in."""
    holds: Literal["breakers", "fuses", "switches"] = "breakers"
    """What stands on it."""
    columns: int | None = Field(default=None, ge=1, le=40)
    """Positions in a row; left out: those of the longest row."""
    rows: PanelRows = ()
    """Rows from the top, each a list of circuits and feeders (or of switches), with `free` for a
    free position; left out: bus by bus in the order of the file."""
    headings: Mapping[str, Names] = Field(default_factory=dict)
    """What is engraved over positions side by side: {ENGINE: 1A-1E, LIGHTS: [2A-2F, 3A-3C]}; a row
    counts from the top, its letters from the left, without I and O."""
    pitch_m: Metres | None = Field(default=None, gt=0)
    """From the centre of one hole to the next in a row."""
    row_pitch_m: Metres | None = Field(default=None, gt=0)
    """From the centres of one row to those of the next."""
    edge_m: Metres | None = Field(default=None, gt=0)
    """From the panel's edges to the centres of the outermost holes; left out: the sheet measures
    from the first hole."""
    hole_m: Metres | None = Field(default=None, gt=0)
    """Diameter of its holes, from the maker of what stands in them."""
    button_hole_m: Metres | None = Field(default=None, gt=0)
    """Diameter of the holes of push buttons, which are larger than those of levers as a rule."""


class Interconnect(Entry):
    """Equipment whose signal wires are drawn on one sheet, one line for each two boxes."""

    name: str | None = None
    """The text for print."""
    equipment: tuple[str, ...]
    """The boxes."""


__all__ = ["FREE", "Interconnect", "Panel", "SpanError", "span_of"]
