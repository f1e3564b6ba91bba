"""Panels, where breakers and switches stand side by side; sheets that the builder asks for."""

from typing import Annotated, Literal

from pydantic import Field, WithJsonSchema

from elec.model.entry import Entry

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


class Interconnect(Entry):
    """Equipment whose signal wires are drawn on one sheet, one line for each two boxes."""

    name: str | None = None
    """The text for print."""
    equipment: tuple[str, ...]
    """The boxes."""


__all__ = ["FREE", "Interconnect", "Panel"]
