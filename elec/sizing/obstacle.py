"""Why a gauge does not do for the wires of a chain: what kind of thing it is, and in words.

In: nothing. Out: `Obstacle`, which the search for gauges gives and pages explain with numbers.
"""

from typing import Literal

from msgspec import Struct

Kind = Literal[
    "contacts", "short comes back", "stock", "stands in", "heat", "tight", "starts", "short",
    "drop", "chart",
]  # fmt: skip
"""contacts: of its connector. short comes back: a thicker wire's short flows back through it.
stands in: for another circuit. heat: more than it may carry. tight: so much of it that it is
pointed out. starts: several in a row. short: until somebody switches off. chart: of wire by
breaker."""


class Obstacle(Struct, frozen=True, kw_only=True):
    """One reason, the first that was met."""

    kind: Kind
    text: str
    """In a few words."""
    where: str = ""
    """Of heat: where it may carry least, for a sentence."""

    def __str__(self) -> str:
        """In a few words."""
        return self.text
