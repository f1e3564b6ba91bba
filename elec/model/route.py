"""Where things are and the ways that wires take."""

from pydantic import Field

from elec.model.entry import Entry
from elec.model.quantity import Celsius, Coordinate, Flag, Metres


class Spot(Entry):
    """A named point in the airframe (`places:` in the file)."""

    name: str | None = None
    station_m: Coordinate | None = None
    buttline_m: Coordinate | None = None
    waterline_m: Coordinate | None = None
    ambient_degc: Celsius | None = None
    within_m: Metres | None = None
    """Usual length of a wire between two things at this place; None: default."""
    fuel_vapour: Flag = False


class Hole(Entry):
    """A hole that a way passes through."""

    diameter_m: Metres = Field(gt=0)
    grommet: Flag = False


class Way(Entry):
    """A path between two places that wires can lie in."""

    name: str | None = None
    between: tuple[str, str]
    length_m: Metres | None = Field(default=None, gt=0)
    ambient_degc: Celsius | None = None
    holes: tuple[Hole, ...] = ()
    conduit_m: Metres | None = Field(default=None, gt=0)
    """Inner diameter, when the way is a tube."""
    bundles: int = Field(default=1, ge=1, le=20)
    """In how many separate bundles the wires lie on this way."""


class Zone(Entry):
    """Places that close together."""

    name: str | None = None
    places: tuple[str, ...]
    closes: str = ""
