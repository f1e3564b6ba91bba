"""What a diagram of bars and rows consists of, and where everything lies in the end."""

from msgspec import Struct, field

CLEARANCE_MM = 2.5
"""Least distance between a row and the end of a bar it must not touch."""
BLOCK_GAP_MM = 3.0
CROSSING_COST = 1000.0
Key = str | tuple[str, str]
"""A row's name: a text, or (link, "out") and (link, "in") for the two ends of a cut link."""


class BarBox(Struct, frozen=True, kw_only=True):
    """A bar: room for its heading (right of the bar's top), mm."""

    id: str
    heading_mm: float = 0.0
    heading_height_mm: float = 0.0


class FeederLink(Struct, frozen=True, kw_only=True):
    """A feeder between two bars, its lengths when whole and when cut, and its half heights."""

    id: str
    source: str
    target: str
    length_mm: float
    above_mm: float
    below_mm: float
    out_mm: float
    in_mm: float
    flag_height_mm: float = 5.0


class Side(Struct, frozen=True, kw_only=True):
    """A row that ends at a bar from the left (a source with its feeder)."""

    id: Key
    bar: str
    length_mm: float
    above_mm: float
    below_mm: float


class Own(Struct, frozen=True, kw_only=True):
    """A row from a bar to the right; `length_mm` None runs to the right edge."""

    id: Key
    bar: str
    above_mm: float
    below_mm: float
    length_mm: float | None = None


class LayoutProblem(Struct, frozen=True, kw_only=True):
    """What is to be arranged, and the room for it; `open_mm` is what a row to the edge needs."""

    bars: tuple[BarBox, ...]
    links: tuple[FeederLink, ...] = ()
    sides: tuple[Side, ...] = ()
    owns: tuple[Own, ...] = ()
    top_mm: float = 0.0
    left_mm: float = 0.0
    open_mm: float = 0.0


class Arranged(Struct, kw_only=True):
    """Where everything lies; rows are keyed by id, a cut link by (id, "out") and (id, "in")."""

    layer: dict[str, int]
    x: dict[str, float]
    y: dict[Key, float]
    span: dict[str, tuple[float, float]]
    heading: dict[str, float]
    cut: frozenset[str]
    bottom_mm: float
    right_mm: float
    order: tuple[str, ...] = ()
    conflicts: list[frozenset[str]] = field(default_factory=list)
